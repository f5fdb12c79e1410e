//! The guide to house rules, step by step as a reader takes it.
//!
//! Fenced blocks of `rules/guide.md` are done in order in an empty folder: `title=FILE` writes a file, `console` runs
//! its `$ ` lines and compares what they print, where `…` stands for any text or any lines. Blocks marked `wasm` need
//! a compiler for WASM.

use crate::support::run;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use tempfile::TempDir;

struct Block {
    line: usize,
    info: String,
    text: String,
}

#[test]
fn every_step_of_the_guide_does_what_it_says() {
    let guide = std::fs::read_to_string(root().join("rules/guide.md")).unwrap();
    let blocks = blocks(&guide);
    let count = |what: &str| blocks.iter().filter(|block| block.info.contains(what)).count();
    assert!(count("console") > 8 && count("title=") > 5 && count("wasm") > 4, "the guide has lost its steps");
    let folder = TempDir::new().unwrap();
    let compiles = can_compile();
    if !compiles {
        eprintln!(
            "NOT RUN: the steps of the guide that compile a rule. This machine has neither the target \
             wasm32-unknown-unknown nor the source of std; `sh rules/build/rust-src.sh` gets it."
        );
    }
    for block in &blocks {
        if let Some((_, file)) = block.info.split_once("title=") {
            let path = folder.path().join(file);
            std::fs::create_dir_all(path.parent().unwrap()).unwrap();
            std::fs::write(path, &block.text).unwrap();
        } else if block.info.starts_with("console") && (compiles || !block.info.contains("wasm")) {
            console(folder.path(), block);
        }
    }
}

/// The rule that `lintern rule new` writes is another one for each name; its folder lies in any workspace.
#[test]
fn a_new_rule_is_written_whole_and_never_over_something() {
    let folder = TempDir::new().unwrap();
    let outcome = run(folder.path(), &["rule", "new", "fernhollow/dim-lamp"], &[]);
    assert_eq!(outcome.code, 0, "{outcome:#?}");
    let read = |file: &str| std::fs::read_to_string(folder.path().join("dim-lamp").join(file)).unwrap();
    assert!(read("src/dim_lamp/mod.rs").contains("id: \"fernhollow/dim-lamp\""));
    assert!(
        read("Cargo.toml").contains("[workspace]")
            && read("lintern-rule/wit/rules.wit").contains("package lintern:rules@")
    );
    std::fs::write(folder.path().join("dim-lamp/README.md"), "mine").unwrap();
    let again = run(folder.path(), &["rule", "new", "dim-lamp"], &[]);
    assert_eq!(again.code, 2, "{again:#?}");
    assert!(again.err.contains("exists already"), "{again:#?}");
    assert_eq!(read("README.md"), "mine");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1, "nothing is left beside it");
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn blocks(guide: &str) -> Vec<Block> {
    let mut blocks: Vec<Block> = Vec::new();
    let mut open = false;
    for (index, line) in guide.lines().enumerate() {
        match (line.strip_prefix("```"), open) {
            (Some(info), false) => {
                blocks.push(Block { line: index + 1, info: info.to_owned(), text: String::new() });
                open = true;
            }
            (Some(_), true) => open = false,
            (None, true) => {
                let block = blocks.last_mut().unwrap();
                block.text.push_str(line);
                block.text.push('\n');
            }
            (None, false) => {}
        }
    }
    assert!(!open, "the last block is not closed");
    blocks
}

/// Runs the commands of a block, each with the lines below it as what it prints.
fn console(folder: &Path, block: &Block) {
    let mut commands: Vec<(&str, Vec<&str>)> = Vec::new();
    for line in block.text.lines() {
        match (line.strip_prefix("$ "), commands.last_mut()) {
            (Some(command), _) => commands.push((command, Vec::new())),
            (None, Some((_, expected))) => expected.push(line),
            (None, None) => panic!("line {}: a block starts with a command", block.line),
        }
    }
    for (command, expected) in commands {
        let printed = shell(folder, command);
        let lines: Vec<&str> = printed.lines().collect();
        assert!(
            lines_match(&expected, &lines),
            "rules/guide.md, block at line {}: `{command}` printed\n{printed}\nand not\n{}",
            block.line,
            expected.join("\n")
        );
    }
}

fn shell(folder: &Path, command: &str) -> String {
    let program = Path::new(env!("CARGO_BIN_EXE_lintern"));
    let path = std::env::join_paths(
        std::iter::once(program.parent().unwrap().to_owned())
            .chain(std::env::split_paths(&std::env::var_os("PATH").unwrap_or_default())),
    );
    let mut shell = Command::new("sh");
    shell
        .args(["-c", command])
        .current_dir(folder)
        .env("PATH", path.unwrap())
        .env("LINTERN_CONFIG", "")
        .stderr(Stdio::inherit());
    for name in
        ["CI", "NO_COLOR", "COLUMNS", "LINTERN_CACHE", "CARGO_TARGET_DIR", "CARGO_BUILD_TARGET_DIR", "RUSTFLAGS"]
    {
        shell.env_remove(name);
    }
    let output = shell.output().unwrap();
    // What was compiled once serves every later run of the tests.
    let target = folder.join("long-pull/target");
    if folder.join("long-pull/Cargo.toml").exists() && target.symlink_metadata().is_err() {
        let kept = Path::new(env!("CARGO_TARGET_TMPDIR")).join("guide");
        std::fs::create_dir_all(&kept).unwrap();
        std::os::unix::fs::symlink(kept, target).unwrap();
    }
    String::from_utf8(output.stdout).unwrap()
}

/// Whether lines are as expected; a line `…` stands for any lines.
fn lines_match(expected: &[&str], lines: &[&str]) -> bool {
    match expected {
        [] => lines.is_empty(),
        ["…", rest @ ..] => (0..=lines.len()).any(|skip| lines_match(rest, &lines[skip..])),
        [first, rest @ ..] => lines
            .split_first()
            .is_some_and(|(line, others)| text_matches(first.trim_end(), line.trim_end()) && lines_match(rest, others)),
    }
}

/// Whether a line is as expected; `…` stands for any text.
fn text_matches(expected: &str, line: &str) -> bool {
    match expected.split_once('…') {
        None => expected == line,
        Some((start, end)) => line
            .strip_prefix(start)
            .is_some_and(|rest| end.is_empty() || rest.char_indices().any(|(at, _)| text_matches(end, &rest[at..]))),
    }
}

/// Whether rule modules can be compiled here.
fn can_compile() -> bool {
    let rustc = |arguments: &[&str]| {
        let output = Command::new("rustc").args(arguments).output().ok().filter(|output| output.status.success())?;
        Some(PathBuf::from(String::from_utf8(output.stdout).ok()?.trim()))
    };
    let target = rustc(&["--print", "target-libdir", "--target", "wasm32-unknown-unknown"]);
    let source = rustc(&["--print", "sysroot"]).map(|root| root.join("lib/rustlib/src/rust/library/Cargo.lock"));
    target.is_some_and(|folder| folder.is_dir()) || source.is_some_and(|file| file.is_file())
}
