//! Pairs plans and findings of two states, and says of each pair what became of it.

use super::side::State;
use crate::report::document::{Finding, Plan, Span, Standing};
use lintern_core::finding::{Basis, Level, Measure};
use lintern_core::identity::without_places;
use serde::Serialize;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// Numbers that differ by less of each other are the same: another order of adding up.
const ROUNDING: f64 = 1e-9;

/// Whether a plan is in both states.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Presence {
    /// In both.
    Both,
    /// In the later one alone.
    Added,
    /// In the earlier one alone.
    Removed,
}

/// What a change does to a plan.
#[derive(Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct PlanChange {
    /// Its file, relative to the root of version control.
    pub file: String,
    /// Its former file, where it was renamed and is the same to the byte.
    pub renamed_from: Option<String>,
    /// Whether it is in both states.
    pub presence: Presence,
    /// Whether it could not be checked before or now.
    pub unchecked: Option<&'static str>,
    /// Findings that are new, or count again.
    pub new: Vec<Change>,
    /// Findings that are worse.
    pub worse: Vec<Change>,
    /// Findings that are better.
    pub better: Vec<Change>,
    /// Findings that are gone.
    pub cured: Vec<Change>,
    /// Findings that are gone because the rule can't judge them any more.
    pub gone: Vec<Change>,
    /// Findings that are waived now, or are worse under their waiver, or whose waiver changed.
    pub waived: Vec<Change>,
    /// Findings that are the same.
    pub unchanged: usize,
    /// Rules that judge fewer elements than before.
    pub unjudged: Vec<Unjudged>,
    /// The tightest numbers that pass, where they moved.
    pub moved: Vec<Moved>,
}

/// What became of a finding.
#[derive(Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Change {
    /// Id of the rule.
    pub rule: String,
    /// The consequence; of what is gone, the former one.
    pub level: Level,
    /// The former consequence, where it is another.
    pub was_level: Option<Level>,
    /// Id of the element.
    pub subject: String,
    /// Route of the field.
    pub field: String,
    /// What is or was wrong.
    pub message: String,
    /// What was measured before: of a new finding, what passed then.
    pub was: Option<Measure>,
    /// What is measured now: of what is gone, what passes now.
    pub now: Option<Measure>,
    /// The limit.
    pub limit: Option<Measure>,
    /// The authority.
    pub basis: Basis,
    /// What to do.
    pub help: String,
    /// Where it is, in the state that it is in.
    pub span: Option<Span>,
    /// Reason of the waiver, of what is waived now.
    pub waived: Option<String>,
    /// Who accepted it.
    pub approved_by: Option<String>,
    /// Reason of the former waiver, where there was one.
    pub was_waived: Option<String>,
    /// Whether what was measured before kept its limit.
    pub passed: bool,
}

/// A rule that judges fewer elements than before.
#[derive(Debug, Serialize)]
pub struct Unjudged {
    /// Id of the rule.
    pub rule: String,
    /// Elements that it could not judge before.
    pub was: u32,
    /// Elements that it can't judge now.
    pub now: u32,
    /// What is missing now.
    pub missing: Vec<String>,
}

/// The tightest number of a rule that passes, in both states.
#[derive(Debug, Serialize)]
pub struct Moved {
    /// Id of the rule.
    pub rule: String,
    /// The element that is closest to the limit now.
    pub subject: String,
    /// The number that is held against the limit.
    pub name: String,
    /// What was measured before.
    pub was: Measure,
    /// What is measured now.
    pub now: Measure,
    /// The limit now.
    pub limit: Measure,
}

impl PlanChange {
    /// Whether anything that counts is different.
    pub fn is_changed(&self) -> bool {
        let lists = [&self.new, &self.worse, &self.better, &self.cured, &self.gone, &self.waived];
        lists.iter().any(|list| !list.is_empty())
            || !self.unjudged.is_empty()
            || self.presence != Presence::Both
            || self.renamed_from.is_some()
            || self.unchecked.is_some()
    }
}

/// The plans of both states, by file.
pub fn pair(old: &State, new: &State) -> Vec<PlanChange> {
    let by_key = |state: &State| -> BTreeMap<String, Plan> {
        state.document().plans.iter().map(|plan| (state.key(&plan.path()), plan.clone())).collect()
    };
    let (mut before, after) = (by_key(old), by_key(new));
    // A file that can't even be told to be a plan has no entry; it is not gone.
    let failed = |state: &State| -> BTreeSet<String> {
        state.document().errors.iter().filter_map(|failure| Some(state.key(&failure.path()?))).collect()
    };
    let (failed_before, failed_now) = (failed(old), failed(new));
    let mut renamed: BTreeMap<String, Plan> = BTreeMap::new();
    for (key, plan) in after.iter().filter(|(key, _)| !before.contains_key(*key)).collect::<Vec<_>>() {
        let is_it = |(former, other): &(&String, &Plan)| other.sha256 == plan.sha256 && !after.contains_key(*former);
        let former = before.iter().find(is_it).map(|(former, _)| former.clone());
        if let Some(plan) = former.and_then(|former| before.remove(&former)) {
            renamed.insert(key.clone(), plan);
        }
    }
    let keys: BTreeSet<&String> = before.keys().chain(after.keys()).collect();
    let one = |key: &String| {
        let (former, now) = (before.get(key).or(renamed.get(key)), after.get(key));
        let mut change = plan(former, now);
        change.renamed_from = renamed.get(key).map(Plan::path);
        let (fails_before, fails_now) = (failed_before.contains(key), failed_now.contains(key));
        if (former.is_none() && fails_before) || (now.is_none() && fails_now) {
            change.presence = Presence::Both;
            change.unchecked = Some(if fails_now { "now" } else { "before" });
            change.gone.append(&mut change.cured);
        }
        change
    };
    keys.into_iter().map(one).collect()
}

fn plan(old: Option<&Plan>, new: Option<&Plan>) -> PlanChange {
    let presence = match (old, new) {
        (Some(_), Some(_)) => Presence::Both,
        (None, _) => Presence::Added,
        (Some(_), None) => Presence::Removed,
    };
    let failed = |plan: Option<&Plan>| plan.is_some_and(|plan| !plan.errors.is_empty());
    let mut change = PlanChange {
        file: new.or(old).map(Plan::path).unwrap_or_default(),
        renamed_from: None,
        presence,
        unchecked: match (failed(old), failed(new)) {
            (false, false) => None,
            (true, false) => Some("before"),
            (false, true) => Some("now"),
            (true, true) => Some("before and now"),
        },
        new: Vec::new(),
        worse: Vec::new(),
        better: Vec::new(),
        cured: Vec::new(),
        gone: Vec::new(),
        waived: Vec::new(),
        unchanged: 0,
        unjudged: Vec::new(),
        moved: Vec::new(),
    };
    let mut left: BTreeMap<String, Vec<&Finding>> = BTreeMap::new();
    for finding in old.iter().flat_map(|plan| &plan.findings) {
        left.entry(same(finding)).or_default().push(finding);
    }
    let (was, now) = (Numbers::of(old), Numbers::of(new));
    // Same inputs first, so that of several findings at one place the right ones are paired.
    let mut unpaired = Vec::new();
    for finding in new.iter().flat_map(|plan| &plan.findings) {
        match take(&mut left, finding, true) {
            Some(former) => sort(&mut change, former, finding),
            None => unpaired.push(finding),
        }
    }
    for finding in unpaired {
        match take(&mut left, finding, false) {
            Some(former) => sort(&mut change, former, finding),
            None if finding.standing() == Standing::Waived => change.waived.push(Change::of(finding, None)),
            None => {
                let passed = was.at(finding);
                change.new.push(Change { passed: passed.is_some(), was: passed, ..Change::of(finding, None) });
            }
        }
    }
    for finding in left.into_values().flatten() {
        let verdict = new.and_then(|plan| plan.verdicts.get(&finding.rule));
        let is_judged = new.is_none() || verdict.is_some_and(|verdict| verdict.verdict.undetermined == 0);
        let gone = Change { was: finding.measured.clone(), now: now.at(finding), ..Change::of(finding, None) };
        if is_judged { change.cured.push(gone) } else { change.gone.push(gone) }
    }
    if let (Some(old), Some(new)) = (old, new) {
        change.unjudged = unjudged(old, new);
        change.moved = moved(old, new);
    }
    change
}

/// What a finding is known again by.
fn same(finding: &Finding) -> String {
    format!("{}\0{}\0{}", finding.rule, finding.subject, without_places(&finding.field))
}

fn take<'a>(
    left: &mut BTreeMap<String, Vec<&'a Finding>>,
    finding: &Finding,
    same_inputs: bool,
) -> Option<&'a Finding> {
    let list = left.get_mut(&same(finding))?;
    let at = list.iter().position(|former| !same_inputs || former.inputs == finding.inputs)?;
    Some(list.remove(at))
}

/// What became of a finding that is in both states.
fn sort(change: &mut PlanChange, former: &Finding, finding: &Finding) {
    // Baselines are not used here: the earlier state is what the later one is held against.
    let is_waived = |finding: &Finding| finding.standing() == Standing::Waived;
    let worsening = worsening(former, finding);
    let told = Change::of(finding, Some(former));
    match (is_waived(former), is_waived(finding)) {
        (false, true) => change.waived.push(told),
        (true, false) => change.new.push(told),
        (false, false) => match worsening {
            Some(true) => change.worse.push(told),
            Some(false) => change.better.push(told),
            None => change.unchanged += 1,
        },
        (true, true) => {
            let same_waiver = (&former.waived, &former.waiver) == (&finding.waived, &finding.waiver);
            if same_waiver && worsening != Some(true) { change.unchanged += 1 } else { change.waived.push(told) }
        }
    }
}

/// Whether a finding is worse than before, or better; `None` where it is the same.
fn worsening(former: &Finding, finding: &Finding) -> Option<bool> {
    if former.level != finding.level {
        return Some(finding.level > former.level);
    }
    let room = |finding: &Finding| finding.margin.as_ref()?["value"].as_f64();
    let unit = |finding: &Finding| finding.measured.as_ref().map(|measured| measured.unit.clone());
    if unit(former) != unit(finding) {
        return None;
    }
    let (was, now) = (room(former)?, room(finding)?);
    let differs = (was - now).abs() > ROUNDING * was.abs().max(now.abs());
    differs.then_some(now < was)
}

impl Change {
    fn of(finding: &Finding, former: Option<&Finding>) -> Self {
        Self {
            rule: finding.rule.clone(),
            level: finding.level,
            was_level: former.map(|former| former.level).filter(|level| *level != finding.level),
            subject: finding.subject.clone(),
            field: finding.field.clone(),
            message: finding.message.clone(),
            was: former.and_then(|former| former.measured.clone()),
            now: finding.measured.clone(),
            limit: finding.limit.clone(),
            basis: finding.basis.clone(),
            help: finding.help.clone(),
            span: finding.span.clone(),
            waived: finding.waived.clone(),
            approved_by: finding.waiver.as_ref().and_then(|waiver| waiver.approved_by.clone()),
            was_waived: former.and_then(|former| former.waived.clone()),
            passed: false,
        }
    }
}

/// What rules measured where it passes.
struct Numbers<'a> {
    /// `None` where several numbers were measured at one place, so that none can be told for it.
    by_place: BTreeMap<(&'a str, &'a str, String), Option<&'a Value>>,
}

impl<'a> Numbers<'a> {
    fn of(plan: Option<&'a Plan>) -> Self {
        let list = plan.and_then(|plan| plan.margins.as_ref()).and_then(Value::as_array);
        let mut by_place: BTreeMap<_, Option<&'a Value>> = BTreeMap::new();
        for margin in list.into_iter().flatten().filter(|margin| margin["passes"] == true) {
            let text = |key: &str| margin[key].as_str().unwrap_or_default();
            let place = (text("rule"), text("subject"), without_places(text("field")));
            let known = by_place.entry(place).or_insert(Some(margin));
            if known.is_some_and(|known| known["measured"] != margin["measured"]) {
                *known = None;
            }
        }
        Self { by_place }
    }

    /// What was measured where a finding of the other state is.
    fn at(&self, finding: &Finding) -> Option<Measure> {
        let place = (finding.rule.as_str(), finding.subject.as_str(), without_places(&finding.field));
        let margin = (*self.by_place.get(&place)?)?;
        let unit = margin["unit"].as_str()?;
        let same_unit = finding.measured.as_ref().is_none_or(|measured| measured.unit == unit);
        same_unit.then_some(Measure { value: margin["measured"].as_f64()?, unit: unit.to_owned() })
    }
}

fn unjudged(old: &Plan, new: &Plan) -> Vec<Unjudged> {
    let count = |plan: &Plan, rule: &str| plan.verdicts.get(rule).map(|verdict| verdict.verdict.undetermined);
    let of = |(rule, verdict): (&String, &crate::report::document::Verdict)| {
        let (was, now) = (count(old, rule)?, verdict.verdict.undetermined);
        (now > was).then(|| Unjudged { rule: rule.clone(), was, now, missing: verdict.verdict.missing.clone() })
    };
    new.verdicts.iter().filter_map(of).collect()
}

fn moved(old: &Plan, new: &Plan) -> Vec<Moved> {
    let of = |(rule, verdict): (&String, &crate::report::document::Verdict)| {
        let now = verdict.tightest.as_ref()?.value();
        let was = old.verdicts.get(rule)?.tightest.as_ref()?.value();
        if now["name"] != was["name"] || now["unit"] != was["unit"] {
            return None;
        }
        let (before, after) = (was["measured"].as_f64()?, now["measured"].as_f64()?);
        let unit = now["unit"].as_str()?.to_owned();
        let measure = |value: f64| Measure { value, unit: unit.clone() };
        let differs = (before - after).abs() > ROUNDING * before.abs().max(after.abs());
        differs.then_some(Moved {
            rule: rule.clone(),
            subject: now["subject"].as_str()?.to_owned(),
            name: now["name"].as_str()?.to_owned(),
            was: measure(before),
            now: measure(after),
            limit: measure(now["limit"].as_f64()?),
        })
    };
    new.verdicts.iter().filter_map(of).collect()
}
