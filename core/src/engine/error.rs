//! Why a module cannot be used, in words for the person who wrote or chose it.

use super::limits;
use std::fmt::Display;

/// A module that cannot be loaded.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("rule module `{module}` {problem}")]
pub struct ModuleError {
    /// The module's name.
    pub module: String,
    /// What is wrong with it.
    pub problem: Problem,
}

/// What is wrong with a module.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Problem {
    /// The bytes are not WASM.
    #[error("is not a WASM file{0}")]
    NotWasm(&'static str),
    /// The bytes start as WASM but do not read as such.
    #[error("is not valid WASM: {0}")]
    Malformed(String),
    /// A limit on what is compiled.
    #[error(
        "is refused before compiling: it has {found} {what}, and at most {limit} are allowed{hint}",
        hint = build_hint(.what)
    )]
    TooBig {
        /// What there is too much of.
        what: &'static str,
        /// How much there is, or was when counting stopped.
        found: u64,
        /// The limit.
        limit: u64,
    },
    /// An import that rule modules may not have.
    #[error(
        "imports `{0}`: rule modules may import nothing but `lintern:rules`{hint}",
        hint = import_hint(.0)
    )]
    ForbiddenImport(String),
    /// A core module without a rule interface.
    #[error("has no rule interface: its crate must call `lintern_rule::module!`")]
    NoInterface,
    /// An export is missing.
    #[error("has no export `{0}`: its crate must call `lintern_rule::module!`")]
    NoExport(&'static str),
    /// An export is missing that the interface needs besides its functions.
    #[error(
        "exports no {0}: a module in Rust gets it from `lintern_rule::module!`, one in C from the bindings in rules/sdk-c"
    )]
    Incomplete(String),
    /// The section that tells what it is can't be read.
    #[error(
        "has a description of its interface that can't be read ({0}): build it with `lintern-rule` {host} or the \
         bindings in rules/sdk-c",
        host = super::version::HOST
    )]
    BadDescription(String),
    /// It is WASM but no rule module.
    #[error("can't be made a component: {0}")]
    NotEncoded(String),
    /// Built for an older interface.
    #[error(
        "was built for version {module} of the rule interface, which this lintern no longer speaks: \
         its author must rebuild it with `lintern-rule` {host}"
    )]
    Older {
        /// The module's version.
        module: String,
        /// Ours.
        host: &'static str,
    },
    /// Built for a newer interface.
    #[error(
        "was built for version {module} of the rule interface; this lintern speaks {host}: \
         upgrade lintern, or have the module built with `lintern-rule` {host}"
    )]
    Newer {
        /// The module's version.
        module: String,
        /// Ours.
        host: &'static str,
    },
    /// The interface has the right version but other contents.
    #[error(
        "does not fit the rule interface {host}: it was built from another copy of it; build it with `lintern-rule` {host} \
         or from core/wit/v1.0 as it was released ({0})",
        host = super::version::HOST
    )]
    Mismatch(String),
    /// Describing itself failed.
    #[error("{0} while describing its rules")]
    Describe(String),
    /// Its description breaks a rule of the interface.
    #[error("describes itself wrongly: {0}")]
    Description(String),
    /// A rule under a topic of a built-in module.
    #[error(
        "brings rule `{rule}`, but `{topic}/` is kept for lintern's own rules: \
         give the rule a topic of your own, such as `house/`"
    )]
    ReservedTopic {
        /// The rule.
        rule: String,
        /// Its topic.
        topic: String,
    },
    /// WASM cannot be run on this machine.
    #[error("cannot be run: the WASM engine does not start on this machine: {0}")]
    NoEngine(String),
}

fn build_hint(what: &str) -> &'static str {
    if what.starts_with("ms ") { "; build it with `--release` and `opt-level = \"s\"`" } else { "" }
}

fn import_hint(import: &str) -> &'static str {
    if import.starts_with("wasi") {
        ". Build for `wasm32-unknown-unknown` instead of a `wasip` target; rules get no files, clock or random numbers"
    } else if import == "wbg" || import.starts_with("__wbindgen") {
        ". It is made for a browser: leave out crates and features that need JavaScript, such as `wasm-bindgen`"
    } else if import == "env" {
        ". A function is missing that the compiler expects from elsewhere: link what defines it into the module"
    } else {
        ""
    }
}

/// Why a core module can't be made a component, from what the encoder says.
pub(super) fn not_encoded(error: &str) -> Problem {
    let line = error.split_whitespace().collect::<Vec<_>>().join(" ");
    if let Some((_, missing)) = line.split_once("module does not export a ") {
        return Problem::Incomplete(missing.to_owned());
    }
    if let Some((_, why)) = line.split_once("decoding custom section component-type") {
        return Problem::BadDescription(why.trim_start_matches(':').trim().to_owned());
    }
    Problem::NotEncoded(line)
}

/// A stop of a running module, from the engine's error and what was recorded on the way.
pub(super) fn stopped(error: &wasmtime::Error, panic: Option<&str>, refused_memory: bool) -> String {
    use wasmtime::Trap;
    if refused_memory {
        return format!("was stopped: it needed more than its {} MiB of memory", limits::MEMORY_BYTES >> 20);
    }
    if let Some(panic) = panic {
        return format!("panicked: {panic}");
    }
    match error.downcast_ref::<Trap>() {
        Some(Trap::OutOfFuel) => "was stopped: it used up its computing budget (an endless loop?)".to_owned(),
        Some(Trap::StackOverflow) => "was stopped: it recursed too deep".to_owned(),
        // The guest's own stack lies at the bottom of its memory, so that running over it leaves the memory.
        Some(Trap::MemoryOutOfBounds) => {
            "was stopped: it left its memory, most likely by recursing too deep".to_owned()
        }
        Some(Trap::UnreachableCodeReached) => "trapped: it reached code marked unreachable".to_owned(),
        Some(trap) => format!("trapped: {trap}"),
        // Neither of these has a public type.
        None if error.root_cause().to_string().contains("too much data is being copied") => {
            format!("was stopped: its answer is larger than {} MiB", limits::ANSWER_BYTES >> 20)
        }
        None => format!("failed: {}", chain(error)),
    }
}

/// An error with its causes, without repeats.
pub(super) fn chain(error: &wasmtime::Error) -> String {
    let mut text = String::new();
    for cause in error.chain() {
        let cause = cause.to_string();
        if !text.contains(&cause) {
            append(&mut text, cause);
        }
    }
    text
}

fn append(text: &mut String, part: impl Display) {
    if !text.is_empty() {
        text.push_str(": ");
    }
    text.push_str(&part.to_string());
}
