//! `lintern rule new NAME`: the folder of a new rule, in a module or in expressions.

use super::{sdk, stop};
use crate::args::RuleNew;
use crate::commands::{Exit, print};
use std::io;
use std::path::Path;

/// Names that a module of Rust can't have, or that the folder needs for itself.
const TAKEN: [&str; 55] = [
    "abstract",
    "as",
    "async",
    "await",
    "become",
    "box",
    "break",
    "const",
    "continue",
    "crate",
    "do",
    "dyn",
    "else",
    "enum",
    "extern",
    "false",
    "final",
    "fn",
    "for",
    "gen",
    "if",
    "impl",
    "in",
    "let",
    "loop",
    "macro",
    "match",
    "mod",
    "move",
    "mut",
    "override",
    "priv",
    "pub",
    "ref",
    "return",
    "self",
    "static",
    "struct",
    "super",
    "trait",
    "true",
    "try",
    "type",
    "typeof",
    "unsafe",
    "unsized",
    "use",
    "virtual",
    "where",
    "while",
    "yield",
    "union",
    "test",
    "lintern-rule",
    "lintern-exports",
];

/// The names of a new rule.
struct Names<'a> {
    topic: &'a str,
    defect: &'a str,
}

pub fn run(args: &RuleNew) -> Exit {
    let names = match Names::parse(&args.name, args.expression) {
        Ok(names) => names,
        Err(problem) => return stop(&problem),
    };
    let folder = Path::new(names.defect);
    if folder.symlink_metadata().is_ok() {
        return stop(&format!("`{}` exists already, and is left as it is; take another name", names.defect));
    }
    let files = if args.expression { files_of_expressions(&names) } else { files(&names) };
    if let Err(error) = write(folder, &files) {
        return stop(&format!("can't write `{}`: {error}", names.defect));
    }
    let Names { topic, defect } = names;
    let next = if args.expression { names.next_with_expressions() } else { names.next() };
    print(&format!("Wrote {defect}/ with the rule {topic}/{defect}. Next:\n{next}"));
    Exit::Clean
}

impl<'a> Names<'a> {
    /// The names of a rule in a crate, or in expressions.
    fn parse(name: &'a str, expression: bool) -> Result<Self, String> {
        let (topic, defect) = name.split_once('/').unwrap_or(("house", name));
        for (what, part) in [("topic", topic), ("defect", defect)] {
            if !is_kebab(part) {
                return Err(format!(
                    "`{part}` can't be the {what} of a rule: small letters, digits and single hyphens, such as \
                     `dim-lamp` or `fernhollow/dim-lamp`, beginning with a letter"
                ));
            }
        }
        if lintern_core::engine::builtin_topics().contains(&topic) {
            return Err(format!("the topic `{topic}` is lintern's own; take `house` or the name of your company"));
        }
        if !expression && TAKEN.contains(&defect) {
            return Err(format!("`{defect}` is a word of Rust or of the folder itself; name the defect in two words"));
        }
        Ok(Self { topic, defect })
    }

    /// What to do with a crate.
    fn next(&self) -> String {
        let (defect, module, wasm) = (self.defect, self.module(), self.wasm());
        format!(
            "  lintern rule test {defect}      build it, and hold it against its cases\n  \
             edit {defect}/src/{module}/mod.rs and {defect}/cases until they say what you want\n  \
             lintern rule inspect {wasm}\n"
        )
    }

    /// What to do with a file of expressions.
    fn next_with_expressions(&self) -> String {
        let (defect, file) = (self.defect, self.file());
        format!(
            "  lintern rule test {defect}      hold it against its cases\n  \
             edit {defect}/{file} and {defect}/cases until they say what you want; {defect}/fields.md lists what \
             expressions can name\n"
        )
    }

    /// Its file of expressions.
    fn file(&self) -> String {
        format!("{}.rules.yaml", self.defect)
    }

    /// The name as Rust writes it.
    fn module(&self) -> String {
        self.defect.replace('-', "_")
    }

    fn wasm(&self) -> String {
        format!("{}/target/wasm32-unknown-unknown/release/{}.wasm", self.defect, self.module())
    }

    fn fill(&self, template: &str) -> String {
        template
            .replace("{{package}}", self.defect)
            .replace("{{module}}", &self.module())
            .replace("{{file}}", &self.file())
            .replace("{{wasm}}", &format!("{}.wasm", self.module()))
            .replace("{{id}}", &format!("{}/{}", self.topic, self.defect))
    }
}

fn is_kebab(name: &str) -> bool {
    name.len() <= 60
        && name.starts_with(|c: char| c.is_ascii_lowercase())
        && name
            .split('-')
            .all(|part| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit()))
}

/// Every file of the folder: its path in it, and its text.
fn files(names: &Names<'_>) -> Vec<(String, String)> {
    let page = format!("src/{}/doc.md", names.module());
    let rule = format!("src/{}/mod.rs", names.module());
    let mut files: Vec<(String, String)> = [
        ("Cargo.toml", include_str!("template/crate/Cargo.toml.txt")),
        ("Cargo.lock", include_str!("template/crate/Cargo.lock.txt")),
        (".cargo/config.toml", include_str!("template/crate/config.toml.txt")),
        (".gitignore", "/target\n"),
        ("README.md", include_str!("template/crate/README.md.txt")),
        ("src/lib.rs", include_str!("template/crate/lib.rs.txt")),
        (&rule, include_str!("template/crate/rule.rs.txt")),
        (&page, include_str!("template/crate/doc.md.txt")),
        ("cases/pass-near.yaml", include_str!("template/crate/cases/pass-near.yaml")),
        ("cases/fail-far.yaml", include_str!("template/crate/cases/fail-far.yaml")),
        ("cases/edge-minimum-within.yaml", include_str!("template/crate/cases/edge-minimum-within.yaml")),
        ("cases/edge-minimum-beyond.yaml", include_str!("template/crate/cases/edge-minimum-beyond.yaml")),
        ("cases/edge-no-feed.yaml", include_str!("template/crate/cases/edge-no-feed.yaml")),
    ]
    .into_iter()
    .map(|(path, template)| (path.to_owned(), names.fill(template)))
    .collect();
    files.extend(sdk::files().into_iter().map(|(path, text)| (format!("lintern-rule/{path}"), text)));
    files
}

/// The same for a rule in expressions.
fn files_of_expressions(names: &Names<'_>) -> Vec<(String, String)> {
    [
        (names.file().as_str(), include_str!("template/expression/rules.yaml.txt")),
        ("README.md", include_str!("template/expression/README.md.txt")),
        ("fields.md", include_str!("../../../../rules/expression/fields.md")),
        ("cases/pass-near.yaml", include_str!("template/expression/cases/pass-near.yaml")),
        ("cases/fail-far.yaml", include_str!("template/expression/cases/fail-far.yaml")),
        ("cases/edge-longest-within.yaml", include_str!("template/expression/cases/edge-longest-within.yaml")),
        ("cases/edge-longest-beyond.yaml", include_str!("template/expression/cases/edge-longest-beyond.yaml")),
        ("cases/edge-no-method.yaml", include_str!("template/expression/cases/edge-no-method.yaml")),
        ("cases/edge-aerial.yaml", include_str!("template/expression/cases/edge-aerial.yaml")),
    ]
    .into_iter()
    .map(|(path, template)| (path.to_owned(), names.fill(template)))
    .collect()
}

/// Writes a folder whole or not at all: beside the target, then renamed.
fn write(folder: &Path, files: &[(String, String)]) -> io::Result<()> {
    let beside = tempfile::Builder::new().prefix(".lintern-").tempdir_in(".")?;
    // The temporary folder is for its owner alone; one within it has the usual permissions.
    let built = beside.path().join("rule");
    for (path, text) in files {
        let path = built.join(path);
        if let Some(parent) = path.parent() {
            std::fs::create_dir_all(parent)?;
        }
        std::fs::write(path, text)?;
    }
    std::fs::rename(&built, folder)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_a_defect_or_a_topic_with_one() {
        let names = |name| {
            Names::parse(name, false).map(|names| format!("{}/{} {}", names.topic, names.defect, names.module()))
        };
        assert_eq!(names("dim-lamp").as_deref(), Ok("house/dim-lamp dim_lamp"));
        assert_eq!(names("fernhollow/dim-lamp").as_deref(), Ok("fernhollow/dim-lamp dim_lamp"));
        for (name, wanted) in [
            ("", "can't be the defect"),
            ("Dim", "can't be the defect"),
            ("../up", "can't be the topic"),
            ("a/b/c", "can't be the defect"),
            ("-a", "can't be the defect"),
            ("voltage/dim-lamp", "lintern's own"),
            ("loop", "two words"),
        ] {
            let problem = names(name).expect_err(name);
            assert!(problem.contains(wanted), "{name}: {problem}");
        }
        assert!(Names::parse("loop", true).is_ok(), "expressions have no words of Rust");
    }

    #[test]
    fn every_placeholder_is_filled() {
        for (path, text) in files(&Names { topic: "house", defect: "dim-lamp" }) {
            // Rust's own formatting has doubled braces in the copied crate.
            assert!(path.starts_with("lintern-rule/") || !text.contains("{{"), "{path}");
        }
        for (path, text) in files_of_expressions(&Names { topic: "house", defect: "dim-lamp" }) {
            // The reference tells how a brace is written in a message.
            assert!(path == "fields.md" || !text.contains("{{"), "{path}");
        }
    }
}
