//! Files that are no rule modules, or too much of one. Nothing of them is run, and what would keep the
//! compiler busy is refused before it starts.

use super::{GUEST, engine};

const DESCRIBES_FOREVER: &[u8] = include_bytes!("dist/describes-forever.wasm");

fn refused(bytes: &[u8]) -> String {
    match engine().load("bad", bytes) {
        Ok(_) => panic!("it was loaded"),
        Err(error) => {
            let text = error.to_string();
            assert!(text.starts_with("rule module `bad` "), "{text}");
            text
        }
    }
}

/// A core module in text form, with the marker of a rule interface, so that it gets past that test.
fn core(body: &str) -> Vec<u8> {
    wat::parse_str(format!("(module {body} (@custom \"component-type:x\" \"\"))")).unwrap()
}

/// The module that behaves, as text, changed.
fn changed(change: impl FnOnce(String) -> String) -> Vec<u8> {
    wat::parse_str(change(wasmprinter::print_bytes(GUEST).unwrap())).unwrap()
}

#[test]
fn other_files_are_no_modules() {
    assert_eq!(refused(b""), "rule module `bad` is not a WASM file: it is empty");
    assert_eq!(refused(b"plan: 1\n"), "rule module `bad` is not a WASM file");
    assert!(refused(b"(module)").contains("WASM in text form"));
    let plain = wat::parse_str("(module (func (export \"check\")))").unwrap();
    assert!(refused(&plain).contains("has no rule interface: its crate must call `lintern_rule::module!`"));
    let empty = wat::parse_str("(component)").unwrap();
    assert!(refused(&empty).contains("has no export `describe`"));
}

#[test]
fn truncated_and_altered_bytes_are_errors() {
    for length in (0..GUEST.len()).step_by(997) {
        refused(&GUEST[..length]);
    }
    // An altered byte may be harmless; it must not bring anything down.
    for position in (0..GUEST.len()).step_by(6007) {
        let mut bytes = GUEST.to_vec();
        bytes[position] ^= 0x55;
        if let Err(error) = engine().load("bad", &bytes) {
            assert!(error.to_string().starts_with("rule module `bad` "), "{error}");
        }
    }
}

#[test]
fn an_import_beyond_the_interface_is_refused() {
    let wasi = wat::parse_str(r#"(component (import "wasi:clocks/monotonic-clock@0.2.0" (instance)))"#).unwrap();
    let error = refused(&wasi);
    assert!(
        error.contains(
            "imports `wasi:clocks/monotonic-clock@0.2.0`: rule modules may import nothing but `lintern:rules`"
        ),
        "{error}"
    );
    let preview1 = core(r#"(import "wasi_snapshot_preview1" "fd_write" (func (param i32 i32 i32 i32) (result i32)))"#);
    let error = refused(&preview1);
    assert!(error.contains("imports `wasi_snapshot_preview1`"), "{error}");
    assert!(error.contains("Build for `wasm32-unknown-unknown`"), "{error}");
    assert!(refused(&core(r#"(import "env" "now" (func (result i64)))"#)).contains("imports `env`"));
    let invented = wat::parse_str(r#"(component (import "lintern:rules/files@1.0.0" (instance)))"#).unwrap();
    let error = refused(&invented);
    assert!(error.contains("imports `lintern:rules/files@1.0.0`, which there is none of"), "{error}");
}

#[test]
fn another_version_says_who_must_upgrade() {
    let newer = changed(|text| text.replace("@1.0.0", "@2.0.0"));
    let error = refused(&newer);
    assert!(error.contains("built for version 2.0.0") && error.contains("upgrade lintern"), "{error}");
    let older = changed(|text| text.replace("@1.0.0", "@0.1.0"));
    let error = refused(&older);
    assert!(error.contains("built for version 0.1.0") && error.contains("its author must rebuild it"), "{error}");
}

#[test]
fn loops_while_loading_are_stopped() {
    let error = refused(DESCRIBES_FOREVER);
    assert!(error.contains("used up its computing budget") && error.contains("while describing"), "{error}");
    // A start function runs before anything else.
    let error = refused(&with("(func $forever (loop br 0)) (start $forever)"));
    assert!(error.contains("used up its computing budget"), "{error}");
}

/// The guest with something more at the end of its main module, where no index moves.
fn with(part: &str) -> Vec<u8> {
    changed(|text| {
        let module = text.find("(core module").unwrap();
        let end = module + text[module..].find("\n  )").unwrap();
        let (before, after) = text.split_at(end);
        format!("{before}\n{part}{after}")
    })
}

#[test]
fn a_module_that_fails_before_it_is_asked_is_told() {
    for (part, wanted) in [
        ("(func $boom unreachable) (start $boom)", "trapped: it reached code marked unreachable"),
        ("(func $deep call $deep) (start $deep)", "it recursed too deep"),
        (
            "(table $bomb 1 funcref) (func $grow (loop (drop (table.grow $bomb (ref.null func) (i32.const 50000))) \
             (br 0))) (start $grow)",
            "was stopped: it needed more",
        ),
        (
            "(func $eat (loop (br_if 0 (i32.ne (memory.grow (i32.const 1000)) (i32.const -1)))) unreachable) \
             (start $eat)",
            "was stopped: it needed more than its 128 MiB of memory",
        ),
    ] {
        let error = refused(&with(part));
        assert!(error.contains(wanted) && error.contains("while describing"), "{part}: {error}");
    }
}

#[test]
fn what_would_keep_the_compiler_busy_is_refused_before_it_starts() {
    let nested = format!("(func {} {})", "block ".repeat(20_000), "end ".repeat(20_000));
    let long = format!("(func {})", "i32.const 1 drop ".repeat(100_000));
    let locals = "(func (local i64)) ".replace("i64", &"i64 ".repeat(5_001));
    let cases = [
        (core("(table 100001 funcref)"), "100001 entries in a table"),
        (core("(table 4000000000 funcref)"), "4000000000 entries in a table"),
        (core("(memory 2049)"), "2049 pages in a memory"),
        (core(&nested), "nested blocks in one function"),
        (core(&long), "bytes in one function"),
        (core(&locals), "local variables in one function"),
        (core(&"(func) ".repeat(20_001)), "functions"),
        (core(&format!("(func (param {}))", "i64 ".repeat(51))), "parameters in one function type"),
        (core(&format!("(type (func (result {})))", "i64 ".repeat(17))), "results in one function type"),
        (
            core(&format!("(@custom \"component-type:y\" \"{}\")", "x".repeat(300_000))),
            "bytes of interface description",
        ),
        (core(&format!("(memory 1) {}", "(data (i32.const 0) \"x\") ".repeat(5_001))), "data segments"),
        (core(&format!("(table 1 funcref) {}", "(elem func) ".repeat(5_001))), "element segments"),
        (core(&"(global i32 (i32.const 0)) ".repeat(1_001)), "globals"),
        (core(&"(table 1 funcref) ".repeat(17)), "tables"),
        (core(&"(memory 1) ".repeat(5)), "memories"),
        (core(&"(type (func)) ".repeat(10_001)), "types"),
        (core(&"(@custom \"a\" \"b\") ".repeat(101)), "custom sections"),
        (wat::parse_str(format!("(component {})", "(core module) ".repeat(101))).unwrap(), "parts"),
        (vec![0; (8 << 20) + 1], "bytes"),
    ];
    for (bytes, what) in cases {
        let error = refused(&bytes);
        assert!(error.contains("is refused before compiling"), "{what}: {error}");
        assert!(error.contains(&format!(" {what}, and at most")), "{what}: {error}");
    }
}

/// The core module that plain cargo makes of the guest.
const CORE: &[u8] = include_bytes!("../cli/fixtures/core-module.wasm");

/// The core module with a name replaced by another one of the same length, wherever it stands.
fn renamed(from: &str, to: &str) -> Vec<u8> {
    assert_eq!(from.len(), to.len());
    let mut bytes = CORE.to_vec();
    let places: Vec<usize> =
        (0..bytes.len() - from.len()).filter(|at| bytes[*at..].starts_with(from.as_bytes())).collect();
    assert!(!places.is_empty(), "{from}");
    for at in places {
        bytes[at..at + to.len()].copy_from_slice(to.as_bytes());
    }
    bytes
}

#[test]
fn what_the_tools_say_is_said_in_words_for_authors() {
    let section =
        |content: &str| wat::parse_str(format!("(module (@custom \"component-type:x\" \"{content}\"))")).unwrap();
    for (bytes, wanted) in [
        (renamed("\u{5}check", "\u{5}chock"), "has no export `check`: its crate must call `lintern_rule::module!`"),
        (
            renamed("cabi_realloc", "cabo_realloc"),
            "exports no function named `cabi_realloc`: a module in Rust gets it from",
        ),
        (renamed("\u{6}memory", "\u{6}memary"), "exports no memory named `memory`"),
        (section("junk"), "has a description of its interface that can't be read"),
        (
            renamed("luminaire-types", "luminaire-typos"),
            "does not fit the rule interface 1.0.0: it was built from another copy",
        ),
        (
            core(r#"(import "env" "memcpy" (func (param i32 i32 i32) (result i32)))"#),
            "link what defines it into the module",
        ),
        (
            core(r#"(import "__wbindgen_placeholder__" "x" (func))"#),
            "leave out crates and features that need JavaScript",
        ),
    ] {
        let error = refused(&bytes);
        assert!(error.contains(wanted), "{wanted}: {error}");
        assert!(!error.contains('\n'), "one line: {error}");
    }
}

/// Each of these kept the compiler busy for 8 s to minutes while bytes alone were counted.
#[test]
fn what_costs_too_much_to_compile_is_refused_before_it_starts() {
    let memory = |code: &str, times: usize| core(&format!("(memory 1) (func (param i32) {})", code.repeat(times)));
    let locals = format!("(func (param i32) (local {})", "i64 ".repeat(1_000));
    let in_loop = |i: usize| format!("(loop (local.set {} (i64.const 1)) (br_if 0 (local.get 0)))", 1 + i % 1_000);
    let loops: String = (0..6_000).map(in_loop).collect();
    let table = format!("(block (br_table {} 0 (local.get 0)))", "0 ".repeat(60_000));
    let cases = [
        ("loads", memory("(drop (i64.load (local.get 0)))", 9_000)),
        ("copies", memory("(memory.copy (local.get 0) (local.get 0) (local.get 0))", 9_000)),
        ("divisions", memory("(drop (i32.div_s (local.get 0) (local.get 0)))", 9_000)),
        (
            "indirect calls",
            core(&format!("(table 10 funcref) (func (param i32) {})", "(call_indirect (local.get 0)) ".repeat(9_000))),
        ),
        ("branches", memory("(if (local.get 0) (then nop) (else nop))", 9_000)),
        ("loops over many variables", core(&format!("{locals} {loops})"))),
        ("tables of jumps", core(&format!("(func (param i32) {table}) ").repeat(60))),
        (
            "many functions with loads",
            core(&format!(
                "(memory 1) {}",
                format!("(func (param i32) {})", "(drop (i64.load (local.get 0)))".repeat(500)).repeat(200)
            )),
        ),
    ];
    for (what, bytes) in cases {
        let error = refused(&bytes);
        assert!(
            error.contains(" ms of estimated work for the compiler, and at most 5000 are allowed"),
            "{what}: {error}"
        );
    }
}

#[test]
fn proposals_that_no_rule_needs_are_refused() {
    let cases = [
        ("(memory i64 1)", "memory64"),
        ("(memory 1) (memory 1)", "multiple memories"),
        ("(memory 1 1 shared)", "threads"),
        ("(func $f return_call $f)", "tail calls"),
        ("(tag)", "exceptions"),
        ("(type (struct))", "gc"),
        (
            "(func (param i64) (result i64 i64) (i64.add128 (local.get 0) (local.get 0) (local.get 0) (local.get 0)))",
            "wide arithmetic",
        ),
    ];
    for (part, what) in cases {
        // One core module more, at the end, so that no index moves.
        let bytes = changed(|text| {
            let (before, _) = text.rsplit_once(')').unwrap();
            format!("{before} (core module {part}))")
        });
        let error = refused(&bytes);
        assert!(error.contains(what) && error.contains("is not valid WASM"), "{what}: {error}");
    }
}
