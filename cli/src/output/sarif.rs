//! `--format sarif`: SARIF 2.1.0 (OASIS), for code scanning.
//!
//! Findings are results; a waiver or a baseline suppresses one; what could not be judged and errors are notifications
//! of the run, since they are no results. Paths count from the root of version control.

use crate::report::document::{Failure, Span, Standing, joined};
use crate::report::{Document, Finding, Plan, shown};
use lintern_core::finding::{Level, Outcome};
use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, utf8_percent_encode};
use serde_json::{Value, json};
use serde_sarif::sarif;
use std::collections::BTreeMap;

/// Where the schema of the format stands.
const SCHEMA: &str = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";

/// What stays as it is in a path: unreserved characters of RFC 3986 and the slash.
const PATH: &AsciiSet = &NON_ALPHANUMERIC.remove(b'-').remove(b'.').remove(b'_').remove(b'~').remove(b'/');

/// The whole log.
pub fn render(document: &Document, pages: &BTreeMap<String, String>) -> String {
    let indices: BTreeMap<&str, i64> = document.rules.keys().map(String::as_str).zip(0..).collect();
    let has_baseline = document.seal.repositories.iter().any(|repository| repository.baseline.is_some());
    let mut results = Vec::new();
    for plan in &document.plans {
        for finding in &plan.findings {
            results.push(result(document, plan, finding, indices.get(finding.rule.as_str()).copied(), has_baseline));
        }
    }
    let driver = sarif::ToolComponent::builder()
        .name(document.tool.name.clone())
        .version(document.tool.version.clone())
        .semantic_version(document.tool.version.clone())
        .rules(document.rules.iter().map(|(id, rule)| descriptor(id, rule, pages)).collect::<Vec<_>>())
        .build();
    let invocation = sarif::Invocation::builder()
        .execution_successful(document.summary.errors == 0)
        .tool_execution_notifications(notifications(document))
        .build();
    let artifacts: BTreeMap<String, &str> = document.plans.iter().flat_map(files).collect();
    let run = sarif::Run::builder()
        .tool(sarif::Tool::builder().driver(driver).build())
        .invocations(vec![invocation])
        .artifacts(artifacts.into_iter().map(|(path, sha256)| artifact(&path, sha256)).collect::<Vec<_>>())
        .results(results)
        .column_kind(json!("unicodeCodePoints"))
        .properties(bag([
            ("as-of", json!(document.as_of)),
            ("caution", json!(document.caution)),
            ("summary", json!(document.summary)),
            ("seal", json!(document.seal)),
        ]))
        .build();
    let log = sarif::Sarif::builder().schema(SCHEMA.to_owned()).version(json!("2.1.0")).runs(vec![run]).build();
    super::pretty(&log)
}

fn descriptor(
    id: &str,
    rule: &crate::report::document::Rule,
    pages: &BTreeMap<String, String>,
) -> sarif::ReportingDescriptor {
    let page = rule.page.as_ref().or_else(|| pages.get(id)).map_or("", |page| page.trim());
    let help = sarif::MultiformatMessageString::builder()
        .text(if page.is_empty() { rule.title.clone() } else { page.to_owned() })
        .markdown(if page.is_empty() { rule.title.clone() } else { page.to_owned() })
        .build();
    let topic = id.split('/').next().unwrap_or_default();
    sarif::ReportingDescriptor::builder()
        .id(id.to_owned())
        .short_description(sarif::MultiformatMessageString::builder().text(rule.title.clone()).build())
        .help(help)
        .default_configuration(sarif::ReportingConfiguration::builder().level(json!(level(rule.level))).build())
        .properties(sarif::PropertyBag::builder().tags(vec![topic.to_owned()]).build())
        .build()
}

fn result(
    document: &Document,
    plan: &Plan,
    finding: &Finding,
    index: Option<i64>,
    has_baseline: bool,
) -> sarif::Result {
    let mut text = format!("{}.", finding.message);
    if !finding.help.is_empty() {
        text.push_str(&format!(" Help: {}.", finding.help));
    }
    text.push_str(&format!(" Basis: {}.", super::terminal::basis_text(&finding.basis)));
    let fingerprints = [
        ("lintern/v1", finding.fingerprint.clone()),
        ("primaryLocationLineHash", format!("{}:1", finding.fingerprint)),
    ];
    let mut properties = vec![
        ("level", json!(finding.level)),
        ("subject", json!(finding.subject)),
        ("field", json!(finding.field)),
        ("measured", json!(finding.measured)),
        ("limit", json!(finding.limit)),
        ("work", json!(finding.work)),
        ("basis", json!(finding.basis)),
        ("inputs", json!(finding.inputs)),
    ];
    if let Some(remedy) = &finding.remedy {
        properties.push(("remedy", remedy["summary"].clone()));
    }
    let own = sarif::Result::builder()
        .rule_id(finding.rule.clone())
        .level(result_level(finding.level))
        .message(sarif::Message::builder().text(text).build())
        .locations(vec![location(&plan.repository, finding.span.as_ref(), &plan.path(), &finding.subject)])
        .partial_fingerprints(
            fingerprints.into_iter().map(|(key, value)| (key.to_owned(), value)).collect::<BTreeMap<_, _>>(),
        )
        .properties(bag(properties))
        .build();
    // What does not count is suppressed; an empty list says that nothing suppresses the others.
    let suppressions = match (finding.standing(), document.seal.options.as_reviewer) {
        (Standing::Open, _) | (_, true) => Vec::new(),
        (Standing::Waived, false) => vec![waived(finding)],
        (Standing::Known, false) => vec![recorded()],
    };
    let state = has_baseline.then(|| match &finding.baseline {
        None => json!("new"),
        Some(_) if shown::is_reopened(finding) => json!("updated"),
        Some(_) => json!("unchanged"),
    });
    sarif::Result { rule_index: index, suppressions: Some(suppressions), baseline_state: state, ..own }
}

fn waived(finding: &Finding) -> sarif::Suppression {
    let waiver = finding.waiver.as_ref();
    let properties = bag([
        ("approved-by", json!(waiver.and_then(|waiver| waiver.approved_by.as_ref()))),
        ("on", json!(waiver.and_then(|waiver| waiver.on.as_ref()))),
        ("until", json!(waiver.and_then(|waiver| waiver.until.as_ref()))),
    ]);
    sarif::Suppression::builder()
        .kind(json!("inSource"))
        .status(json!("accepted"))
        .justification(finding.waived.clone().unwrap_or_default())
        .properties(properties)
        .build()
}

fn recorded() -> sarif::Suppression {
    sarif::Suppression::builder()
        .kind(json!("external"))
        .status(json!("accepted"))
        .justification(format!("in the baseline {}", crate::report::baseline::FILE))
        .build()
}

fn location(repository: &str, span: Option<&Span>, file: &str, subject: &str) -> sarif::Location {
    let path = span.map_or_else(|| file.to_owned(), |span| joined(repository, &span.file));
    let artifact = artifact_location(&path);
    let physical = match span {
        Some(span) => {
            let region = sarif::Region::builder()
                .start_line(i64::from(span.line))
                .start_column(i64::from(span.column))
                .end_line(i64::from(span.end_line))
                .end_column(i64::from(span.end_column))
                .build();
            sarif::PhysicalLocation::builder().artifact_location(artifact).region(region).build()
        }
        None => sarif::PhysicalLocation::builder().artifact_location(artifact).build(),
    };
    let own = sarif::Location::builder().physical_location(physical).build();
    let logical = (!subject.is_empty())
        .then(|| vec![sarif::LogicalLocation::builder().name(subject.to_owned()).kind("element".to_owned()).build()]);
    sarif::Location { logical_locations: logical, ..own }
}

fn artifact_location(path: &str) -> sarif::ArtifactLocation {
    let uri = utf8_percent_encode(path, PATH).to_string();
    sarif::ArtifactLocation::builder().uri(uri).uri_base_id("%SRCROOT%".to_owned()).build()
}

fn artifact(path: &str, sha256: &str) -> sarif::Artifact {
    let hashes = BTreeMap::from([("sha-256".to_owned(), sha256.to_owned())]);
    sarif::Artifact::builder().location(artifact_location(path)).hashes(hashes).build()
}

/// The plan and its schedules.
fn files(plan: &Plan) -> Vec<(String, &str)> {
    let schedules = plan.schedules.iter().map(|s| (joined(&plan.repository, &s.file), s.sha256.as_str()));
    [(plan.path(), plan.sha256.as_str())]
        .into_iter()
        .chain(schedules)
        .filter(|(_, sha256)| !sha256.is_empty())
        .collect()
}

/// What could not be done or judged.
fn notifications(document: &Document) -> Vec<sarif::Notification> {
    let mut all: Vec<sarif::Notification> = document.errors.iter().map(error).collect();
    for plan in &document.plans {
        all.extend(plan.errors.iter().map(error));
        for (rule, verdict) in &plan.verdicts {
            let verdict = &verdict.verdict;
            if verdict.undetermined == 0 && verdict.verdict != Outcome::Undetermined {
                continue;
            }
            let text = format!(
                "{rule}: {} not checked, for want of {}",
                super::terminal::count(verdict.undetermined as usize, "element", "elements"),
                verdict.missing.join("; ")
            );
            let notification = sarif::Notification::builder()
                .level(json!("note"))
                .message(sarif::Message::builder().text(text).build())
                .locations(vec![location(&plan.repository, None, &plan.path(), "")])
                .associated_rule(sarif::ReportingDescriptorReference::builder().id(rule.clone()).build());
            all.push(notification.build());
        }
    }
    all
}

fn error(failure: &Failure) -> sarif::Notification {
    let help = failure.help.as_ref().map(|help| format!(" Help: {help}.")).unwrap_or_default();
    let own = sarif::Notification::builder()
        .level(json!("error"))
        .message(sarif::Message::builder().text(format!("{}.{help}", failure.message)).build())
        .properties(bag([("kind", json!(failure.kind))]))
        .build();
    let repository = failure.repository.as_deref().unwrap_or("");
    let place = failure.path().map(|path| location(repository, failure.span.as_ref(), &path, ""));
    sarif::Notification { locations: place.map(|place| vec![place]), ..own }
}

fn bag(entries: impl IntoIterator<Item = (&'static str, Value)>) -> sarif::PropertyBag {
    let entries = entries.into_iter().filter(|(_, value)| !value.is_null());
    let entries: BTreeMap<String, Value> = entries.map(|(key, value)| (key.to_owned(), value)).collect();
    sarif::PropertyBag::builder().additional_properties(entries).build()
}

fn level(level: Level) -> &'static str {
    match level {
        Level::Violation => "error",
        Level::Advice => "warning",
        Level::Reminder => "note",
    }
}

fn result_level(level: Level) -> sarif::ResultLevel {
    match level {
        Level::Violation => sarif::ResultLevel::Error,
        Level::Advice => sarif::ResultLevel::Warning,
        Level::Reminder => sarif::ResultLevel::Note,
    }
}
