//! One plan from its file to its findings: load, analyse, run the rules, place what they say, apply waivers.

use crate::analysis::{Case, as_built, calendar, network, site};
use crate::engine::{
    Analysed, AppliedLimit, Effort, GivenSetting, Input, Module, RawFinding, RawMargin, RuleDescription, RuleOutcome,
    RuleRequest,
};
use crate::finding::{Finding, Level, Verdict};
use crate::layout::Layout;
use crate::margin::{Margins, margins};
use crate::plan::scalar::Date;
use crate::plan::{Diagnostic, ElementKind, Loaded, elide, is_route};
use crate::remedy::Remedies;
use crate::repository::Fit;
use crate::settings::{Amendment, RuleSettings};
use crate::waivers;
use std::collections::{BTreeMap, BTreeSet};

/// What is asked of every plan.
#[derive(Debug, Clone)]
pub struct CheckOptions {
    /// The day against which waivers are judged.
    pub as_of: Date,
    /// Settings of rules, by rule id.
    pub settings: BTreeMap<String, RuleSettings>,
    /// Local amendments of limits, for the plans that they are for.
    pub amendments: Vec<Amendment>,
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
    /// Changes that would cure findings, where they were looked for: see [`crate::remedy`].
    pub remedies: Option<Remedies>,
    /// What each rule held against limits, by rule id; [`PlanReport::weigh`] makes margins of it.
    pub told: Vec<(String, RawMargin)>,
    /// By how much numbers keep their limits or break them; empty before [`PlanReport::weigh`].
    pub margins: Margins,
}

impl PlanReport {
    /// Brings the findings into their order: by file, position and rule.
    pub(crate) fn sort(&mut self) {
        self.findings.sort_by(|a, b| (a.span, &a.rule, &a.subject).cmp(&(b.span, &b.rule, &b.subject)));
    }

    /// Works out the margins, with the lengths of cable at which verdicts turn: of findings, of the tightest of each
    /// rule, and of what is within a percentage of its limit.
    pub fn weigh(&mut self, near_miss_percent: Option<f64>) {
        if let Some(layout) = &self.loaded.layout {
            self.margins = margins(layout, std::mem::take(&mut self.told), near_miss_percent);
        }
    }
}

/// How much rules are asked to tell of what they held against limits.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Telling {
    /// Nothing: only findings and verdicts are wanted.
    Nothing,
    /// What a reader of findings wants: what breaks a limit, and of each rule what passes by the least.
    Decisive,
    /// Everything.
    #[default]
    All,
}

/// Checks a loaded plan with the given modules, which tell everything.
pub fn check(loaded: Loaded, modules: &[&Module], options: &CheckOptions) -> PlanReport {
    check_telling(loaded, modules, options, Telling::All)
}

/// Checks a loaded plan with the given modules, which tell as much as is wanted.
pub fn check_telling(loaded: Loaded, modules: &[&Module], options: &CheckOptions, telling: Telling) -> PlanReport {
    let mut report = PlanReport {
        assumptions: Vec::new(),
        findings: Vec::new(),
        verdicts: BTreeMap::new(),
        errors: loaded.diagnostics.iter().map(|d| CheckError::Plan(Box::new(d.clone()))).collect(),
        remedies: None,
        told: Vec::new(),
        margins: Margins::default(),
        loaded,
    };
    let Some(layout) = &report.loaded.layout else {
        return report;
    };
    let (input, assumed, problem) = analyse(layout, options);
    report.assumptions = assumed;
    report.errors.extend(problem);
    for module in modules {
        run_module(module, &input, options, (Ask::All, telling), &mut report);
    }
    report.sort();
    report
}

/// Which rules of a module are asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ask<'a> {
    /// All, as the module describes them.
    All,
    /// All, the last one first.
    AllReversed,
    /// One alone.
    Rule(&'a str),
}

/// The result of one module on one plan, with what a report for readers leaves out.
#[derive(Debug)]
pub struct Tried {
    /// The report.
    pub report: PlanReport,
    /// What could not be checked: the rule, the element, the inputs that were missing.
    pub undetermined: Vec<(String, String, Vec<String>)>,
    /// What share of its budget the module took.
    pub effort: Effort,
}

/// Tries the rules of one module on a plan, for the tests of their author.
pub fn try_module(loaded: Loaded, module: &Module, options: &CheckOptions, ask: Ask<'_>) -> Tried {
    let mut tried = Tried { report: check(loaded, &[], options), undetermined: Vec::new(), effort: Effort::default() };
    let Some(layout) = &tried.report.loaded.layout else { return tried };
    let (input, ..) = analyse(layout, options);
    let (undetermined, effort) = run_module(module, &input, options, (ask, Telling::All), &mut tried.report);
    (tried.undetermined, tried.effort) = (undetermined, effort);
    tried.report.sort();
    tried
}

/// The limits of one rule as it applies them to a plan, layer by layer. Errors are those of the module.
pub fn applied_limits(
    layout: &Layout,
    module: &Module,
    rule: &str,
    options: &CheckOptions,
) -> Result<Vec<AppliedLimit>, String> {
    let (input, _, problem) = analyse(layout, options);
    if let Some(CheckError::Plan(problem)) = problem {
        return Err(problem.message);
    }
    let request = RuleRequest {
        rule: rule.to_owned(),
        settings: settings_of(rule, layout, options),
        wants_limits: true,
        wants_margins: false,
    };
    let outcome = module.check(&input, &[request]);
    match outcome.errors.first() {
        Some(error) => Err(error.to_string()),
        None => Ok(outcome.results.into_iter().flat_map(|result| result.limits).collect()),
    }
}

/// What rules are told of a plan. What could not be computed is left out of it, as in a check, but not told here.
pub fn facts(layout: &Layout, options: &CheckOptions) -> Input {
    analyse(layout, options).0
}

/// What a check asks of a module for a plan: all its rules, with the settings that hold for the plan.
///
/// Asked for margins without limits a module need not tell more than is decisive; see the SDK. Limits that come along are
/// dropped.
pub fn requests(module: &Module, layout: &Layout, options: &CheckOptions, telling: Telling) -> Vec<RuleRequest> {
    let request = |rule: &RuleDescription| RuleRequest {
        rule: rule.id.clone(),
        settings: settings_of(&rule.id, layout, options),
        wants_limits: telling == Telling::All,
        wants_margins: telling != Telling::Nothing,
    };
    module.rules().iter().map(request).collect()
}

/// What an amendment and the company give for a rule's settings on a plan, in the order of their layers.
pub fn settings_of(rule: &str, layout: &Layout, options: &CheckOptions) -> Vec<GivenSetting> {
    let local = in_force(layout, options).filter(|amendment| amendment.rule == rule).map(|amendment| &amendment.given);
    let house = options.settings.get(rule).into_iter().flat_map(|settings| &settings.values);
    local.chain(house).cloned().collect()
}

/// The amendments that hold for a plan on the day.
fn in_force<'a>(layout: &'a Layout, options: &'a CheckOptions) -> impl Iterator<Item = &'a Amendment> {
    options.amendments.iter().filter(|amendment| {
        amendment.applies.fit(&layout.project) == Fit::Yes && amendment.date.is_none_or(|date| date <= options.as_of)
    })
}

/// What rules are told of a plan, what was assumed, and what could not be computed.
fn analyse(layout: &Layout, options: &CheckOptions) -> (Input, Vec<String>, Option<CheckError>) {
    let judged = network::solve(layout, Case::Judged);
    let soil = network::solve(layout, Case::Soil);
    let (places, problem) = match site::locate(layout) {
        Ok(places) => (places, None),
        // The electrical rules still answer.
        Err(error) => {
            let problem = CheckError::Plan(Box::new(Diagnostic::new(None, error.to_string())));
            (site::SiteFacts::unplaced(layout), Some(problem))
        }
    };
    let calendar = calendar::work_calendar(layout, options.as_of.0);
    let readings = as_built::examine(layout);
    let analysed = Analysed {
        judged: &judged,
        soil: &soil,
        site: &places,
        as_of: options.as_of,
        calendar: calendar.as_ref(),
        as_built: readings.as_ref(),
    };
    let mut assumed: BTreeSet<String> = layout.assumptions.iter().cloned().collect();
    assumed.extend([&judged, &soil].into_iter().flat_map(|solution| solution.assumptions.iter()).cloned());
    assumed.extend(readings.iter().flat_map(|readings| &readings.assumptions).cloned());
    assumed.extend(options.settings.values().flat_map(|settings| &settings.notes).cloned());
    assumed.extend(in_force(layout, options).map(|amendment| amendment.note.clone()));
    assumed.extend(options.amendments.iter().filter_map(|amendment| match amendment.applies.fit(&layout.project) {
        Fit::Unsaid(key) => Some(format!(
            "the amendments of {} are not applied: the plan does not say `project.{key}`",
            amendment.document
        )),
        Fit::Yes | Fit::No => None,
    }));
    (Input::new(layout, &analysed), assumed.into_iter().collect(), problem)
}

/// Runs a module's rules and puts what they say into the report. Gives what could not be checked, by rule and element.
fn run_module(
    module: &Module,
    input: &Input,
    options: &CheckOptions,
    (ask, telling): (Ask<'_>, Telling),
    report: &mut PlanReport,
) -> (Vec<(String, String, Vec<String>)>, Effort) {
    let Some(layout) = &report.loaded.layout else { return Default::default() };
    let mut requests = requests(module, layout, options, telling);
    match ask {
        Ask::All => {}
        Ask::AllReversed => requests.reverse(),
        Ask::Rule(rule) => requests.retain(|request| request.rule == rule),
    }
    let outcome = module.check(input, &requests);
    let mut unchecked = Vec::new();
    report.errors.extend(outcome.errors.into_iter().map(|e| CheckError::Module(e.to_string())));
    for result in outcome.results {
        let settings = options.settings.get(&result.rule);
        let waivable = module.rules().iter().any(|rule| rule.id == result.rule && waivers::is_waivable(rule, options));
        let mut failed = BTreeSet::new();
        let mut placed = Vec::new();
        let mut stray = stray(&report.loaded, &result);
        if stray.is_none() {
            for raw in result.findings {
                failed.insert(raw.subject.clone());
                match place(
                    &report.loaded,
                    &result.rule,
                    raw,
                    settings.and_then(|s| s.level.as_ref()).map(|(level, _)| *level),
                ) {
                    Some(finding) => placed.push(finding),
                    // Every element has a place.
                    None => stray = Some("an element without a place".to_owned()),
                }
            }
        }
        if let Some(stray) = stray {
            report.errors.push(CheckError::Module(format!(
                "module `{}`: rule `{}` names {stray}; its findings are left out",
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
        let of_rule = |(subject, missing)| (result.rule.clone(), subject, missing);
        unchecked.extend(result.undetermined.into_iter().map(of_rule));
        report.told.extend(result.margins.into_iter().map(|margin| (result.rule.clone(), margin)));
        for mut finding in placed {
            if waivable {
                finding.waived = waivers::acceptance(&report.loaded.waivers, &finding, options.as_of);
            }
            report.findings.push(finding);
        }
    }
    (unchecked, outcome.effort)
}

/// What a rule names that the plan does not have, or fields that no plan has: what a module makes up is not shown.
fn stray(loaded: &Loaded, outcome: &RuleOutcome) -> Option<String> {
    let known = |id: &str| id.is_empty() || loaded.element_kind(id).is_some();
    let findings = &outcome.findings;
    let named = (outcome.margins.iter().map(|margin| &margin.subject))
        .chain(outcome.undetermined.iter().map(|(subject, _)| subject))
        .chain(findings.iter().flat_map(|finding| [&finding.subject].into_iter().chain(&finding.related)));
    if let Some(id) = named.into_iter().find(|id| !known(id)) {
        return Some(format!("`{}`, which is not an element of the plan", elide(id)));
    }
    let fields = findings.iter().map(|finding| (&finding.subject, &finding.field));
    let fields = fields.chain(outcome.margins.iter().map(|margin| (&margin.subject, &margin.field)));
    let mut seen = BTreeSet::new();
    for (subject, field) in fields {
        let kind = loaded.element_kind(subject);
        if seen.insert((kind, field)) && !is_route(kind, field) {
            let of = kind.map_or("the plan", ElementKind::phrase);
            return Some(format!("the field `{}` of {of}, which plans don't have", elide(field)));
        }
    }
    None
}

/// Gives a finding its place in the plan.
fn place(loaded: &Loaded, rule: &str, raw: RawFinding, level: Option<Level>) -> Option<Finding> {
    let span = loaded.locate(&raw.subject, &raw.field)?;
    Some(Finding {
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
