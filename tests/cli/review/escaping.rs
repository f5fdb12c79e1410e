//! Text of plans is untrusted: it stays text in every format.

use crate::support::{CLEAN, Site, run};

/// A circuit's name that is shown in a finding.
fn site(name: &str) -> Site {
    let quoted = serde_json::to_string(name).unwrap();
    let plan = CLEAN.replace("circuit: LT-3", &format!("circuit: {quoted}")).replace("breaker: 20 A", "breaker: 0.1 A");
    Site::new(&[("a.yaml", &plan)])
}

const HOSTILE: &str = "x|y `code` <script>alert(1)</script> [l](https://evil.example) @team #12 \u{1b}[2J\u{202e}]]>&amp; ::error::owned ##[error]owned --> %0A";

#[test]
fn no_format_lets_a_name_act() {
    let site = site(HOSTILE);
    let out = |format: &str| run(site.path(), &["check", "--as-of", "2026-03-01", "--format", format], &[]).out;
    let shown = out("terminal");
    assert!(shown.contains("x|y") && shown.contains("::error::owned"), "the name is shown: {shown}");
    for format in ["terminal", "json", "sarif", "junit", "github", "gitlab", "markdown"] {
        let text = out(format);
        assert!(!text.contains(['\u{1b}', '\u{202e}', '\u{7}']), "{format}");
    }
    let markdown = out("markdown");
    let seal = markdown.find("<!-- lintern-seal").unwrap();
    let comment = &markdown[..seal];
    for active in ["<script", "[l](", "@team", "#12", "-->", "://evil"] {
        assert!(!comment.contains(active), "{active}: {comment}");
    }
    assert_eq!(markdown.matches("-->").count(), 1, "the seal ends once");
    assert!(comment.contains("x\\|y `code`"), "{comment}");
    for line in out("github").lines() {
        let command = line.trim_start().starts_with("::");
        let ours = ["::error file=", "::warning file=", "::notice file=", "::error title="];
        assert!(!command || ours.iter().any(|start| line.starts_with(start)), "{line}");
        assert!(command || !line.contains("##["), "{line}");
    }
    let junit = out("junit");
    assert!(quick_junit::Report::deserialize_from_str(&junit).is_ok(), "{junit}");
    assert!(!junit.contains("<script"));
}

#[test]
fn file_names_are_untrusted_too() {
    let name = "::error::x,y:z`|\n##[error]@team\u{1b}[2J.yaml";
    let site = Site::new(&[(name, &CLEAN.replace("breaker: 20 A", "breaker: 30 A"))]);
    let out = |format: &str| run(site.path(), &["check", "--as-of", "2026-03-01", "--format", format], &[]);
    for format in ["terminal", "json", "sarif", "junit", "github", "gitlab", "markdown"] {
        let outcome = out(format);
        assert_eq!(outcome.code, 1, "{format}");
        assert!(!outcome.out.contains('\u{1b}'), "{format}: {:?}", outcome.out);
    }
    let github = out("github").out;
    let first = github.lines().next().unwrap();
    assert!(
        first.starts_with("::error file=%3A%3Aerror%3A%3Ax%2Cy%3Az`|%0A##[error]@team\\u{1b}[2J.yaml,line="),
        "{first}"
    );
    assert!(github.lines().skip(1).all(|line| !line.trim_start().starts_with("::error::")), "{github}");
    let markdown = out("markdown").out;
    assert!(markdown.contains("`::error::x,y:z'\u{2502} ##[error]@team\\u{1b}[2J.yaml`"), "{markdown}");
}
