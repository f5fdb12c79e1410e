//! What every rule must bring with it: a page with all its sections, cases of every kind, an authority.

use crate::case::Case;
use crate::program;
use lintern_core::finding::Measure;
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// The sections of a rule's page, in order.
const SECTIONS: [&str; 8] =
    ["What it checks", "Why", "Fails", "Passes", "Settings", "Citations", "Remedy", "When to waive"];

/// A rule as the program lists it, with its folder.
#[derive(Debug)]
pub struct Rule {
    pub id: String,
    pub folder: PathBuf,
    listed: Value,
}

/// The rules that the program lists.
///
/// # Panics
/// When it lists none.
pub fn rules() -> Vec<Rule> {
    let output = program::run(["rules", "--format", "json"]);
    let document = program::json(&output).unwrap_or_else(|error| panic!("`lintern rules` {error}"));
    let listed = document["rules"].as_array().expect("`rules` is a list");
    assert!(!listed.is_empty(), "the program lists no rules");
    listed
        .iter()
        .map(|rule| {
            let id = rule["id"].as_str().expect("a rule has an id").to_owned();
            let (topic, defect) = id.split_once('/').expect("an id is `topic/defect`");
            let folder = program::root().join("rules").join(topic).join("src").join(defect.replace('-', "_"));
            Rule { id, folder, listed: rule.clone() }
        })
        .collect()
}

/// The files of a folder with an extension, sorted; none where the folder is missing.
pub fn files(folder: &Path, extension: &str) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten().map(|entry| entry.path());
    let mut files: Vec<PathBuf> = entries.filter(|path| path.extension().is_some_and(|e| e == extension)).collect();
    files.sort_unstable();
    files
}

/// Folders of rules that the program does not list.
pub fn dead_folders(rules: &[Rule]) -> Vec<String> {
    let folders = |path: &Path| -> Vec<PathBuf> {
        let entries = std::fs::read_dir(path).into_iter().flatten().flatten().map(|entry| entry.path());
        let mut folders: Vec<PathBuf> = entries.filter(|path| path.is_dir()).collect();
        folders.sort_unstable();
        folders
    };
    let topics = folders(&program::root().join("rules"));
    let found = topics.iter().flat_map(|topic| folders(&topic.join("src"))).filter(|f| f.join("doc.md").is_file());
    found
        .filter(|folder| !rules.iter().any(|rule| rule.folder == **folder))
        .map(|folder| format!("{}: no listed rule stands here", folder.display()))
        .collect()
}

impl Rule {
    /// What the rule lacks.
    pub fn lacks(&self, cases: &[&Case]) -> Vec<String> {
        let mut lacks = self.page_lacks();
        for (kind, expect) in [("passing", "pass"), ("failing", "fail")] {
            if !cases.iter().any(|case| case.header.expect == expect) {
                lacks.push(format!("no {kind} case"));
            }
        }
        let has_limit = cases.iter().flat_map(|case| &case.header.findings).any(|finding| finding.limit.is_some());
        if has_limit && !cases.iter().any(|beyond| cases.iter().any(|within| is_pair(within, beyond))) {
            lacks.push("no pair `edge-*-within` and `edge-*-beyond` on both sides of its limit".to_owned());
        }
        lacks
    }

    fn page_lacks(&self) -> Vec<String> {
        let page = std::fs::read_to_string(self.folder.join("doc.md")).unwrap_or_default();
        let mut lacks = Vec::new();
        if !page.starts_with("# ") || page.starts_with("# draft") {
            lacks.push("doc.md does not start with `# <title>`".to_owned());
        }
        let sections = sections(&page);
        let titles: Vec<&str> = sections.iter().map(|(title, _)| *title).collect();
        if titles != SECTIONS {
            lacks.push(format!("doc.md has the sections {titles:?}, not {SECTIONS:?}"));
        }
        let section: BTreeMap<&str, &str> = sections.into_iter().collect();
        for (title, body) in &section {
            if body.trim().is_empty() {
                lacks.push(format!("`## {title}` of doc.md is empty"));
            }
        }
        lacks.extend(self.settings_lack(section.get("Settings").copied().unwrap_or_default()));
        lacks.extend(self.citations_lack(section.get("Citations").copied().unwrap_or_default()));
        lacks
    }

    fn settings_lack(&self, page: &str) -> Vec<String> {
        let settings = self.listed["settings"].as_array().map(Vec::as_slice).unwrap_or_default();
        let names = settings.iter().filter_map(|setting| setting["name"].as_str());
        let mut lacks: Vec<String> = names
            .filter(|name| !page.contains(&format!("`{name}`")))
            .map(|name| format!("`## Settings` of doc.md does not name `{name}`"))
            .collect();
        if settings.is_empty() && !page.trim().starts_with("None") {
            lacks.push("`## Settings` of doc.md does not say None".to_owned());
        }
        lacks
    }

    /// A page names each section that the rule cites, says which are from memory, and says so where the rule rests
    /// on common practice alone.
    fn citations_lack(&self, page: &str) -> Vec<String> {
        let mut lacks = Vec::new();
        let citations = self.listed["citations"].as_array().map(Vec::as_slice).unwrap_or_default();
        for citation in citations {
            let basis = if citation["basis"].is_object() { &citation["basis"] } else { citation };
            let Some(section) = basis["section"].as_str() else { continue };
            if !page.contains(section) {
                lacks.push(format!("`## Citations` of doc.md does not name {section}"));
            }
            if citation["confirmed"] == false && !page.contains("memory") {
                lacks.push(format!("`## Citations` of doc.md does not say that {section} is from memory"));
            }
        }
        let says_practice = page.contains("common practice") || page.contains("Common practice");
        if citations.is_empty() && !says_practice {
            lacks.push("the rule cites nothing, and `## Citations` of doc.md does not say common practice".to_owned());
        }
        lacks
    }
}

/// The level-two sections of a page with their bodies.
fn sections(page: &str) -> Vec<(&str, &str)> {
    let parts = page.split("\n## ").skip(1);
    parts.map(|part| part.split_once('\n').unwrap_or((part, ""))).collect()
}

/// Whether two cases stand on the two sides of a limit: they are named so, differ in one line, the one within has
/// no finding, and what the other measured is close to its limit.
fn is_pair(within: &Case, beyond: &Case) -> bool {
    let stem = |case: &Case, side: &str| {
        let (stem, _suffix) = case.name.strip_prefix("edge-")?.split_once(side)?;
        Some(stem.to_owned())
    };
    let (Some(one), Some(other)) = (stem(within, "-within"), stem(beyond, "-beyond")) else { return false };
    let close = beyond.header.findings.iter().any(|finding| match (&finding.measured, &finding.limit) {
        (Some(measured), Some(limit)) => is_close(measured, limit),
        _ => false,
    });
    one == other && within.header.findings.is_empty() && close && differing_lines(within, beyond) == Some(1)
}

/// Within 3 % of the limit, or the next whole number where things are counted.
fn is_close(measured: &Measure, limit: &Measure) -> bool {
    let apart = (measured.value - limit.value).abs();
    let counted = measured.unit.contains(' ');
    apart <= 0.03 * limit.value.abs() || counted && apart <= 1.0
}

/// How many lines of two plans differ, comments aside; `None` when they have not the same number of lines.
fn differing_lines(one: &Case, other: &Case) -> Option<usize> {
    let lines = |case: &Case| -> Vec<String> {
        case.text.lines().filter(|line| !line.starts_with('#')).map(str::to_owned).collect()
    };
    let (one, other) = (lines(one), lines(other));
    (one.len() == other.len()).then(|| one.iter().zip(&other).filter(|(a, b)| a != b).count())
}
