//! One case: its file, what it declares, what the program says of it, and how the two differ.

use crate::margins;
use crate::program;
use lintern_core::declared::{DeclaredFinding, Found, Header};
use lintern_core::finding::Measure;
use serde_json::Value;
use std::path::{Path, PathBuf};

/// The day on which every case is judged.
const AS_OF: &str = "2026-03-01";

/// A case of a rule.
#[derive(Debug)]
pub struct Case {
    pub rule: String,
    /// Name of the file without its extension.
    pub name: String,
    pub path: PathBuf,
    pub text: String,
    pub header: Header,
}

impl Case {
    /// Reads the case of a rule from a file.
    pub fn read(rule: &str, path: &Path) -> Result<Self, String> {
        let text = std::fs::read_to_string(path).map_err(|error| error.to_string())?;
        let header = Header::parse(&text).map_err(|error| error.to_string())?.ok_or("it declares nothing")?;
        if header.hand.is_empty() {
            return Err("the arithmetic by hand is missing".to_owned());
        }
        let name = path.file_stem().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        let case = Self { rule: rule.to_owned(), name, path: path.to_owned(), text, header };
        let expect = case.header.expect.as_str();
        match case.name.split('-').next() {
            Some("pass") if expect == "pass" => Ok(case),
            Some("fail") if expect == "fail" => Ok(case),
            Some("edge") => Ok(case),
            _ => Err(format!("a file named `{}` can't expect `{expect}`", case.name)),
        }
    }

    /// Whether its rendered result is kept as a snapshot.
    pub fn has_snapshot(&self) -> bool {
        !self.name.starts_with("pass-")
    }

    /// Checks the plan of the case with the program.
    pub fn check(&self) -> Result<Outcome, String> {
        let file = self.path.strip_prefix(program::root()).map_err(|error| error.to_string())?;
        let arguments =
            ["check", "--format", "json", "--margins", "--no-remedies", "--as-of", AS_OF].map(std::ffi::OsStr::new);
        let output = program::run(arguments.into_iter().chain([file.as_os_str()]));
        let mut document = program::json(&output)?;
        if !matches!(output.status.code(), Some(0 | 1)) {
            return Err(format!("exit {:?}: {}", output.status.code(), document["plans"][0]["errors"]));
        }
        Outcome::of(&self.rule, document["plans"][0].take())
    }

    /// How the program differs from what the case declares.
    pub fn differences(&self, outcome: &Outcome) -> Vec<String> {
        let found = Found {
            verdict: outcome.verdict.clone(),
            findings: outcome.findings.iter().map(|finding| self.as_declared(finding)).collect(),
            undetermined: outcome.undetermined,
            missing: outcome.missing.clone(),
            elements: Vec::new(),
        };
        let mut differences = outcome.contradictions.clone();
        differences.extend(found.differences(&self.header));
        differences
    }

    /// A finding of the program in the form in which cases declare them.
    fn as_declared(&self, finding: &Value) -> DeclaredFinding {
        let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
        let measure = |value: &Value| {
            let unit = text(&value["unit"]);
            value["value"].as_f64().map(|value| Measure { value, unit })
        };
        DeclaredFinding {
            subject: text(&finding["subject"]),
            at: self.underlined(finding).unwrap_or("(outside the file)").to_owned(),
            measured: measure(&finding["measured"]),
            limit: measure(&finding["limit"]),
            level: text(&finding["level"]),
            section: finding["basis"]["section"].as_str().map(str::to_owned),
        }
    }

    /// The text of the plan that a finding underlines.
    pub fn underlined(&self, finding: &Value) -> Option<&str> {
        let span = &finding["span"];
        let byte = |name: &str| span[name].as_u64().and_then(|byte| usize::try_from(byte).ok());
        self.text.get(byte("byte-start")?..byte("byte-end")?)
    }
}

/// What the program says of a case, as far as its rule goes.
#[derive(Debug)]
pub struct Outcome {
    pub verdict: String,
    pub undetermined: u64,
    pub missing: Vec<String>,
    pub findings: Vec<Value>,
    /// Where margins and findings of any rule on the plan do not say the same.
    pub contradictions: Vec<String>,
}

impl Outcome {
    fn of(rule: &str, mut plan: Value) -> Result<Self, String> {
        if plan["errors"].as_array().is_none_or(|errors| !errors.is_empty()) {
            return Err(format!("errors: {:#}", plan["errors"]));
        }
        let verdict = &plan["verdicts"][rule];
        let missing = verdict["missing"].as_array().ok_or_else(|| format!("no verdict of {rule}"))?;
        let missing = missing.iter().filter_map(Value::as_str).map(str::to_owned).collect();
        let undetermined = verdict["undetermined"].as_u64().ok_or("no count of undetermined elements")?;
        let verdict = verdict["verdict"].as_str().ok_or("the verdict is no text")?.to_owned();
        let Value::Array(mut findings) = plan["findings"].take() else { return Err("no list of findings".to_owned()) };
        let contradictions = margins::contradictions(&findings, plan["margins"].as_array().ok_or("no margins")?);
        findings.retain(|finding| finding["rule"] == rule);
        Ok(Self { verdict, undetermined, missing, findings, contradictions })
    }
}
