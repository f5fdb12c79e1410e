//! A client library that others have written, pygls, against the program.

use std::path::Path;
use std::process::Command;

#[test]
fn a_client_library_works_with_the_server() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let library = root.join("target/python");
    let there = |program: &str| {
        let seen = Command::new(program).env("PYTHONPATH", &library).args(["-c", "import pygls.lsp.client"]).output();
        seen.is_ok_and(|output| output.status.success())
    };
    if !there("python3") {
        let why = "NOT RUN: the editor with a client library. It wants python3 and pygls; `bash tests/run` gets it";
        assert!(std::env::var_os("LINTERN_REQUIRE_LSP_CLIENT").is_none(), "{why}");
        eprintln!("{why}");
        return;
    }
    let output = Command::new("python3")
        .arg(root.join("tests/editor/client.py"))
        .arg(env!("CARGO_BIN_EXE_lintern"))
        .env("PYTHONPATH", &library)
        .env("PYTHONDONTWRITEBYTECODE", "1")
        .env("LINTERN_CONFIG", "")
        .env_remove("LINTERN_CACHE")
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(output.status.success(), "{said}{}", String::from_utf8_lossy(&output.stderr));
    // Each step says that it was made, so that none is left out by silence.
    let steps: Vec<&str> = said.lines().filter_map(|line| line.strip_prefix("ok ")).collect();
    assert_eq!(
        steps,
        [
            "findings",
            "typing",
            "hover",
            "completion",
            "definition",
            "references",
            "rename",
            "refusal",
            "cure",
            "outline",
            "end"
        ]
    );
}
