//! The rule in C: as it is committed, and as the C compiler of this machine builds it where there is one.

use crate::support::Site;
use std::path::{Path, PathBuf};
use std::process::Command;

fn example() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../rules/sdk-c/example")
}

/// Five cable ends meet in the junction of the failing case and four in that of the passing one; the connector takes
/// four.
fn runs_as_meant(module: &[u8]) {
    let config =
        "lintern: 1\nrules:\n  modules: [house/*.wasm]\n  settings: { crew/crowded-junction: { most: SET ends } }\n";
    let ends = |set: &str, case: &str| {
        let plan = std::fs::read_to_string(example().join("cases").join(case)).unwrap();
        let site = Site::new(&[("lintern.yaml", &config.replace("SET", set)), ("plan.yaml", &plan)]);
        site.write("house/crowded-junction.wasm", module);
        let outcome =
            site.lintern(&["check", "--format", "json", "--margins", "--no-remedies", "--as-of", "2026-03-01"]);
        let json = outcome.json();
        assert_eq!((&json["errors"], &json["plans"][0]["errors"]), (&serde_json::json!([]), &serde_json::json!([])));
        let all = json["plans"][0]["findings"].as_array().unwrap();
        let own: Vec<_> = all.iter().filter(|finding| finding["rule"] == "crew/crowded-junction").collect();
        let margins = json["plans"][0]["margins"].as_array().unwrap();
        let margin = margins.iter().find(|margin| margin["rule"] == "crew/crowded-junction").unwrap();
        let told = own.iter().map(|finding| finding["message"].as_str().unwrap().to_owned()).collect::<Vec<_>>();
        (told, margin["measured"].as_f64(), margin["limit"].as_f64())
    };
    assert_eq!(ends("4", "pass-four.yaml"), (vec![], Some(4.0), Some(4.0)));
    assert_eq!(ends("4", "fail-five.yaml"), (vec!["J1 joins 5 cable ends".to_owned()], Some(5.0), Some(4.0)));
    assert_eq!(ends("3", "pass-four.yaml"), (vec!["J1 joins 4 cable ends".to_owned()], Some(4.0), Some(3.0)));
}

#[test]
fn the_committed_module_runs() {
    runs_as_meant(&std::fs::read(example().join("crowded-junction.wasm")).unwrap());
}

#[test]
fn the_sources_build_with_clang_and_lld() {
    let there = |tool: &str| Command::new(tool).arg("--version").output().is_ok_and(|output| output.status.success());
    if !(there("clang") && there("wasm-ld")) {
        assert!(std::env::var_os("LINTERN_REQUIRE_CLANG").is_none(), "clang and wasm-ld are to be there");
        eprintln!(
            "NOT RUN: the rule in C was not built: this machine has no clang and wasm-ld (packages clang and lld)"
        );
        return;
    }
    let folder = tempfile::TempDir::new().unwrap();
    let built = folder.path().join("built.wasm");
    let status = Command::new("sh").arg(example().join("build.sh")).arg(&built).status().unwrap();
    assert!(status.success());
    runs_as_meant(&std::fs::read(built).unwrap());
}
