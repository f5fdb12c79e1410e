//! One case: the plan as it is, again, with the other rules of the module asked first, and with its lists in another
//! order.

use super::cases::CaseFile;
use lintern_core::check::{Ask, CheckError, CheckOptions, Tried, try_module};
use lintern_core::declared::{self, Found, Header};
use lintern_core::engine::{Effort, Module, RawMargin};
use lintern_core::plan::scalar::Date;
use lintern_core::plan::{Loaded, load_text};
use lintern_core::repository::Repository;
use std::collections::BTreeMap;

/// The day on which a case is judged that names none: not today, or a case would turn with the calendar.
const AS_OF: &str = "2026-01-01";

/// What came of a case.
pub struct Trial {
    pub shown: String,
    pub rule: String,
    /// The verdict that it declares.
    pub expect: String,
    pub ending: Ending,
    pub effort: Effort,
    /// What the rule held against limits.
    pub told: Vec<RawMargin>,
    /// What is not as it should be without being wrong: a name that says something else than the header, a check that
    /// was not made.
    pub remarks: Vec<String>,
}

/// How a case ends.
pub enum Ending {
    /// The rule says what was declared.
    Agrees,
    /// It says something else, or not always the same.
    Differs(Vec<String>),
    /// Nothing is declared; the header that describes what the rule says.
    NotDeclared(String),
    /// It could not be run, and why.
    NotRun(Vec<String>),
}

/// Tries a case with the module that has its rule.
pub fn run(case: &CaseFile, modules: &[Module]) -> Trial {
    let mut trial = Trial {
        shown: case.shown.clone(),
        rule: case.rule.as_ref().cloned().unwrap_or_default(),
        expect: String::new(),
        ending: Ending::Agrees,
        effort: Effort::default(),
        told: Vec::new(),
        remarks: Vec::new(),
    };
    let (header, rule) = match (&case.header, &case.rule) {
        (Ok(header), Ok(rule)) => (header.as_ref(), rule),
        (Err(problem), _) | (_, Err(problem)) => {
            trial.ending = Ending::NotRun(vec![problem.clone()]);
            return trial;
        }
    };
    trial.expect = header.map(|header| header.expect.clone()).unwrap_or_default();
    trial.remarks.extend(header.and_then(|header| remark(&case.shown, header)));
    let Some(module) = modules.iter().find(|module| module.rules().iter().any(|known| known.id == *rule)) else {
        trial.ending = Ending::NotRun(vec![format!("there is no rule `{rule}` here")]);
        return trial;
    };
    match Desk::new(case, header) {
        Ok(desk) => desk.judge(case, module, rule, header, &mut trial),
        Err(problem) => trial.ending = Ending::NotRun(vec![problem]),
    }
    trial
}

/// What every run of a case has in common.
struct Desk {
    repository: Repository,
    options: CheckOptions,
}

impl Desk {
    fn new(case: &CaseFile, header: Option<&Header>) -> Result<Self, String> {
        let day = header.and_then(|header| header.as_of).map_or_else(|| AS_OF.parse(), Ok);
        let as_of: Date = day.map_err(|_| format!("`{AS_OF}` is no day"))?;
        let repository = Repository::of(&case.path).map_err(|error| format!("can't open its folder: {error}"))?;
        Ok(Self { repository, options: CheckOptions { as_of, settings: BTreeMap::new(), amendments: Vec::new() } })
    }

    fn load(&self, case: &CaseFile, text: &str) -> Loaded {
        load_text(&self.repository, &case.path, text.as_bytes())
    }

    fn judge(&self, case: &CaseFile, module: &Module, rule: &str, header: Option<&Header>, trial: &mut Trial) {
        let run = |text: &str, ask| try_module(self.load(case, text), module, &self.options, ask);
        let first = run(&case.text, Ask::Rule(rule));
        let problems = problems(&first);
        if !problems.is_empty() {
            trial.ending = Ending::NotRun(problems);
            return;
        }
        let Some(found) = Found::of(&first, rule) else {
            trial.ending = Ending::NotRun(vec![format!("rule `{rule}` gave no answer")]);
            return;
        };
        trial.effort = first.effort;
        trial.told = first.report.told.iter().filter(|(of, _)| of == rule).map(|(_, margin)| margin.clone()).collect();
        let Some(header) = header else {
            trial.ending = Ending::NotDeclared(found.as_header());
            return;
        };
        let mut differences = found.differences(header);
        if !declared::is_same(&first, &run(&case.text, Ask::Rule(rule)), rule) {
            differences
                .push("says something else when it is run again: a rule must depend on its plan alone".to_owned());
        }
        let among_others = run(&case.text, Ask::AllReversed);
        let mut not_checked = |what: &str| trial.remarks.push(format!("{}: NOT CHECKED: {what}", case.shown));
        // Where the other rules of the module have used up what it may fail, there is nothing to compare.
        if !among_others.report.verdicts.contains_key(rule) {
            not_checked("whether it says the same among the other rules of its module, of which too many fail");
        } else if !declared::is_same(&first, &among_others, rule) {
            differences.push("says something else when the other rules of its module are asked before it".to_owned());
        }
        // What the writer of YAML cannot carry over says nothing of the rule.
        let other = declared::reordered(&case.text).map(|text| run(&text, Ask::Rule(rule)));
        match other.filter(|other| other.report.loaded.layout.is_some()) {
            None => not_checked("whether the order of the plan's lists matters, since the plan could not be rewritten"),
            Some(other) if !declared::agrees(&first.report, &other.report) => {
                differences.push("depends on the order of the plan's lists (luminaires, runs, zones …)".to_owned());
            }
            Some(_) => {}
        }
        if !differences.is_empty() {
            trial.ending = Ending::Differs(differences);
        }
    }
}

/// Why a plan could not be judged.
fn problems(tried: &Tried) -> Vec<String> {
    let sources = &tried.report.loaded.sources;
    let in_words = |error: &CheckError| match error {
        CheckError::Plan(problem) => {
            let line = problem.span.and_then(|span| sources.line_column(span)).map(|place| place.line);
            let help = problem.help.as_ref().map(|help| format!(" ({help})")).unwrap_or_default();
            match line {
                Some(line) => format!("line {line}: {}{help}", problem.message),
                None => format!("{}{help}", problem.message),
            }
        }
        CheckError::Module(message) => message.clone(),
    };
    tried.report.errors.iter().map(in_words).collect()
}

/// Where the name of a file promises another verdict than its header declares.
fn remark(shown: &str, header: &Header) -> Option<String> {
    let name = shown.rsplit('/').next().unwrap_or(shown);
    let promised = ["pass", "fail"].into_iter().find(|word| name.starts_with(&format!("{word}-")))?;
    (promised != header.expect).then(|| format!("{shown} is named `{promised}-…` and expects {}", header.expect))
}
