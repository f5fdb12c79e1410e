//! One plan from its file to its findings: load, analyse, run the rules, place what they say, apply waivers.

use crate::analysis::{Case, Solution, calendar, network, site};
use crate::engine::{Analysed, Input, Module, RawFinding, RuleRequest};
use crate::finding::{Finding, Level, Verdict};
use crate::plan::scalar::Date;
use crate::plan::{Diagnostic, Loaded, Waiver};
use crate::settings::RuleSettings;
use std::collections::{BTreeMap, BTreeSet};

/// What is asked of every plan.
#[derive(Debug, Clone)]
pub struct CheckOptions {
    /// The day against which waivers are judged.
    pub as_of: Date,
    /// Settings of rules, by rule id.
    pub settings: BTreeMap<String, RuleSettings>,
}

/// Something that could not be done for one plan.
#[derive(Debug, Clone, PartialEq)]
pub enum CheckError {
    /// The plan can't be read; boxed for its size.
    Plan(Box<Diagnostic>),
    /// A rule module failed or was stopped.
    Module(String),
}

/// The result for one plan.
#[derive(Debug)]
pub struct PlanReport {
    /// The plan, its texts and where everything stands in them.
    pub loaded: Loaded,
    /// What was assumed, sorted and without repeats.
    pub assumptions: Vec<String>,
    /// Findings by file, position and rule.
    pub findings: Vec<Finding>,
    /// Verdict of each rule.
    pub verdicts: BTreeMap<String, Verdict>,
    /// What could not be done.
    pub errors: Vec<CheckError>,
}

/// Checks a loaded plan with the given modules.
pub fn check(loaded: Loaded, modules: &[&Module], options: &CheckOptions) -> PlanReport {
    let mut report = PlanReport {
        assumptions: Vec::new(),
        findings: Vec::new(),
        verdicts: BTreeMap::new(),
        errors: loaded.diagnostics.iter().map(|d| CheckError::Plan(Box::new(d.clone()))).collect(),
        loaded,
    };
    let Some(layout) = &report.loaded.layout else {
        return report;
    };
    let judged = network::solve(layout, Case::Judged);
    let soil = network::solve(layout, Case::Soil);
    report.assumptions = assumptions(&layout.assumptions, &[&judged, &soil], options);
    let places = site::locate(layout);
    let calendar = calendar::work_calendar(layout, options.as_of.0);
    let input = Input::new(
        layout,
        &Analysed { judged: &judged, soil: &soil, site: &places, as_of: options.as_of, calendar: calendar.as_ref() },
    );
    for module in modules {
        run_module(module, &input, options, &mut report);
    }
    report.findings.sort_by(|a, b| (a.span, &a.rule, &a.subject).cmp(&(b.span, &b.rule, &b.subject)));
    report
}

fn assumptions(of_plan: &[String], solutions: &[&Solution], options: &CheckOptions) -> Vec<String> {
    let notes = options.settings.values().flat_map(|s| &s.notes);
    let all: BTreeSet<&String> =
        of_plan.iter().chain(solutions.iter().flat_map(|s| &s.assumptions)).chain(notes).collect();
    all.into_iter().cloned().collect()
}

fn run_module(module: &Module, input: &Input, options: &CheckOptions, report: &mut PlanReport) {
    let requests: Vec<RuleRequest> = module
        .rules()
        .iter()
        .map(|rule| RuleRequest {
            rule: rule.id.clone(),
            settings: options.settings.get(&rule.id).map(|s| s.values.clone()).unwrap_or_default(),
            wants_limits: false,
        })
        .collect();
    let outcome = module.check(input, &requests);
    report.errors.extend(outcome.errors.into_iter().map(|e| CheckError::Module(e.to_string())));
    for result in outcome.results {
        let settings = options.settings.get(&result.rule);
        let waivable = module.rules().iter().any(|r| r.id == result.rule && r.waivable);
        let mut failed = BTreeSet::new();
        let mut placed = Vec::new();
        let mut stray = None;
        for raw in result.findings {
            failed.insert(raw.subject.clone());
            match place(&report.loaded, &result.rule, raw, settings.and_then(|s| s.level)) {
                Ok(finding) => placed.push(finding),
                Err(subject) => stray = Some(subject),
            }
        }
        if let Some(subject) = stray {
            report.errors.push(CheckError::Module(format!(
                "module `{}`: rule `{}` names `{subject}`, which is not an element of the plan; its findings are left out",
                module.name(),
                result.rule
            )));
            continue;
        }
        let missing: BTreeSet<String> =
            result.undetermined.iter().flat_map(|(_, missing)| missing.iter().cloned()).collect();
        let undetermined: BTreeSet<&String> = result.undetermined.iter().map(|(subject, _)| subject).collect();
        let verdict = Verdict::from_counts(
            result.checked,
            failed.len() as u32,
            undetermined.len() as u32,
            missing.into_iter().collect(),
        );
        report.verdicts.insert(result.rule.clone(), verdict);
        for mut finding in placed {
            if waivable {
                finding.waived = waiver(&report.loaded.waivers, &finding, options.as_of);
            }
            report.findings.push(finding);
        }
    }
}

/// Gives a finding its place in the plan; the error is a subject that the plan does not have.
fn place(loaded: &Loaded, rule: &str, raw: RawFinding, level: Option<Level>) -> Result<Finding, String> {
    let Some(span) = loaded.locate(&raw.subject, &raw.field) else {
        return Err(raw.subject);
    };
    if let Some(stray) = raw.related.iter().find(|id| loaded.locate(id, "").is_none()) {
        return Err(stray.clone());
    }
    Ok(Finding {
        rule: rule.to_owned(),
        level: level.unwrap_or(raw.level),
        subject: raw.subject,
        related: raw.related,
        field: raw.field,
        message: raw.message,
        measured: raw.measured,
        limit: raw.limit,
        work: raw.work,
        basis: raw.basis,
        help: raw.help,
        span,
        waived: None,
    })
}

/// Reason of the first waiver that covers the finding on that day.
fn waiver(waivers: &[Waiver], finding: &Finding, as_of: Date) -> Option<String> {
    waivers
        .iter()
        .find(|w| {
            w.rule == finding.rule
                && (w.subject.is_empty() || w.subject == finding.subject)
                && w.on.is_none_or(|on| on <= as_of)
                && w.until.is_none_or(|until| as_of <= until)
        })
        .and_then(|w| w.reason.clone())
}
