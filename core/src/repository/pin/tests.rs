//! Digests are written into text as people lay it out, and nothing else of it changes.

use super::{pin, sha256_hex};
use std::fs;
use tempfile::TempDir;

const COUNTY: &str = "amendments: 1\n";

fn digest() -> String {
    format!("\"sha256:{}\"", sha256_hex(COUNTY.as_bytes()))
}

/// The manifest after its digests were written; `a.yaml` and `b.yaml` are there.
fn pinned(manifest: &str) -> Result<Option<String>, String> {
    let folder = TempDir::new().unwrap();
    for (name, text) in [("pack.yaml", manifest), ("a.yaml", COUNTY), ("b.yaml", COUNTY), ("my: d.yaml", COUNTY)] {
        fs::write(folder.path().join(name), text).unwrap();
    }
    let pinned = pin(folder.path()).map_err(|error| error.diagnostics[0].message.clone())?;
    Ok(pinned.text)
}

#[test]
fn digests_are_written_as_the_file_is_laid_out() {
    let wrong = format!("sha256:{}", "0".repeat(64));
    let right = digest();
    let head = "pack: 1\nname: a\nversion: 1\n";
    for (before, after) in [
        // No digests yet, in block and in flow style, with and without an end of the last line.
        (
            "rules:\n  amendments: [a.yaml]\n".to_owned(),
            format!("rules:\n  amendments: [a.yaml]\ndigests:\n  a.yaml: {right}\n"),
        ),
        (
            "rules: { amendments: [a.yaml] }".to_owned(),
            format!("rules: {{ amendments: [a.yaml] }}\ndigests:\n  a.yaml: {right}\n"),
        ),
        // One more, one less, with what stands behind.
        (
            format!("digests:\n    a.yaml: {wrong}\nrules:\n  amendments: [\"[ab].yaml\"]\n"),
            format!("digests:\n    a.yaml: {right}\n    b.yaml: {right}\nrules:\n  amendments: [\"[ab].yaml\"]\n"),
        ),
        (
            format!("digests: {{ a.yaml: {wrong}, b.yaml: {wrong} }} # all\nrules:\n  amendments: [b.yaml]\n"),
            format!("digests: {{ b.yaml: {right} }} # all\nrules:\n  amendments: [b.yaml]\n"),
        ),
        // A glob of all means the files with rules, not the one that names them.
        (
            "rules:\n  amendments: [\"[ab].yaml\", \"{a,pack}.yaml\"]\n".to_owned(),
            format!(
                "rules:\n  amendments: [\"[ab].yaml\", \"{{a,pack}}.yaml\"]\ndigests:\n  a.yaml: {right}\n  b.yaml: {right}\n"
            ),
        ),
        // The same files: what stands between their digests stays.
        (
            format!(
                "rules:\n  amendments: [a.yaml, b.yaml]\ndigests:\n  # of the county\n  a.yaml: {wrong} # new\n\n  b.yaml: {wrong}\n"
            ),
            format!(
                "rules:\n  amendments: [a.yaml, b.yaml]\ndigests:\n  # of the county\n  a.yaml: {right} # new\n\n  b.yaml: {right}\n"
            ),
        ),
        // None any more, and a key without a value.
        (format!("rules: {{}}\ndigests:\n  a.yaml: {wrong}\nabout: x\n"), "rules: {}\nabout: x\n".to_owned()),
        // A name that reads as something else without quotes.
        (
            "rules:\r\n  amendments: [\"my: d.yaml\"]\r\n".to_owned(),
            format!("rules:\r\n  amendments: [\"my: d.yaml\"]\r\ndigests:\r\n  \"my: d.yaml\": {right}\r\n"),
        ),
    ] {
        assert_eq!(pinned(&format!("{head}{before}")), Ok(Some(format!("{head}{after}"))), "{before}");
        assert_eq!(pinned(&format!("{head}{after}")), Ok(None), "nothing is left to do: {after}");
    }
}

#[test]
fn what_cannot_be_pinned_is_told_and_nothing_is_written() {
    let told = |manifest: &str| pinned(manifest).unwrap_err();
    assert_eq!(
        told("pack: 1\nname: a\nversion: 1\nrules: { amendments: [x.yaml] }\n"),
        "`x.yaml`: there is no such file"
    );
    assert!(told("pack: [\n").contains("never closed"));
    let folder = TempDir::new().unwrap();
    let none = pin(folder.path()).unwrap_err().diagnostics[0].message.clone();
    assert!(none.starts_with("there is no pack.yaml in "), "{none}");
    fs::write(folder.path().join("lintern.yaml"), "lintern: 1\n").unwrap();
    assert_eq!(pin(folder.path()).unwrap().text, None, "no files, no digests");
}

#[test]
fn what_names_the_rules_is_none_of_them() {
    let head = "pack: 1\nname: a\nversion: 1\n";
    let of = |list: &str| pinned(&format!("{head}rules: {{ amendments: [{list}] }}\n"));
    assert_eq!(of("pack.yaml"), Err("`pack.yaml` says which rules run and holds none".to_owned()));
    assert_eq!(of("./pack.yaml"), Err("`./pack.yaml` says which rules run and holds none".to_owned()));
    assert_eq!(of("\"p*.yaml\""), Err("no file matches `p*.yaml`".to_owned()));
}
