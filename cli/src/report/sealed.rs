//! Reads what a report rests on from the report itself, in any format that carries it.

use super::document::Document;
use super::seal::{Digests, Rests, Seal};
use crate::args::CheckFormat;
use percent_encoding::percent_decode_str;
use serde_json::Value;

/// The format of a report and what it rests on; `None` where it carries no seal.
pub fn read(text: &str) -> Option<(CheckFormat, Rests)> {
    let start = text.trim_start_matches('\u{feff}').trim_start();
    if start.starts_with('{') {
        if let Ok(document) = serde_json::from_str::<Document>(text) {
            return Some((CheckFormat::Json, Rests::of(&document)));
        }
        let log: Value = serde_json::from_str(text).ok()?;
        return Some((CheckFormat::Sarif, of_sarif(&log)?));
    }
    if start.starts_with("<?xml") {
        let report = quick_junit::Report::deserialize_from_str(text).ok()?;
        return Some((CheckFormat::Junit, of_junit(&report)?));
    }
    let (_, seal) = text.rsplit_once("<!-- lintern-seal ")?;
    let (seal, _) = seal.split_once(" -->")?;
    let seal: Seal = serde_json::from_str(seal).ok()?;
    Some((CheckFormat::Markdown, Rests { seal, files: None }))
}

fn of_junit(report: &quick_junit::Report) -> Option<Rests> {
    let mut suites = report.test_suites.iter();
    let seal = suites.next()?.properties.iter().find(|property| property.name.as_str() == "seal")?;
    let seal = serde_json::from_str(seal.value.as_str()).ok()?;
    let mut files = Digests::new();
    for suite in suites {
        for property in &suite.properties {
            let file = match property.name.as_str() {
                "sha256" => suite.name.as_str(),
                name => match name.strip_prefix("schedule ") {
                    Some(file) => file,
                    None => continue,
                },
            };
            files.insert(file.to_owned(), property.value.as_str().to_owned());
        }
    }
    Some(Rests { seal, files: Some(files) })
}

fn of_sarif(log: &Value) -> Option<Rests> {
    let run = log.get("runs")?.get(0)?;
    let seal = serde_json::from_value(run.get("properties")?.get("seal")?.clone()).ok()?;
    let file = |artifact: &Value| {
        let uri = artifact.get("location")?.get("uri")?.as_str()?;
        let path = percent_decode_str(uri).decode_utf8().ok()?.into_owned();
        Some((path, artifact.get("hashes")?.get("sha-256")?.as_str()?.to_owned()))
    };
    let files: Digests = run.get("artifacts")?.as_array()?.iter().filter_map(file).collect();
    Some(Rests { seal, files: Some(files) })
}
