//! Every rule is checked against the cases in its folder, whose expectations were computed by hand, and against what
//! a rule must bring with it.

mod case;
mod margins;
mod program;
mod registry;
mod shown;

use case::{Case, Outcome};
use registry::Rule;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::Mutex;

/// What is wrong, by the file or rule that it is wrong with.
type Complaints = BTreeMap<String, Vec<String>>;

#[test]
fn every_rule_says_of_its_cases_what_was_computed_by_hand() {
    let rules = registry::rules();
    let mut complaints = Complaints::new();
    let cases = read_cases(&rules, &mut complaints);
    let outcomes = check_all(&cases, &mut complaints);
    for (case, outcome) in &outcomes {
        let differences = case.differences(outcome);
        if !differences.is_empty() {
            complaints.insert(shown_path(&case.path), differences);
        }
    }
    for (case, outcome) in outcomes.iter().filter(|(case, _)| case.has_snapshot()) {
        if catch_unwind(AssertUnwindSafe(|| assert_snapshot(case, outcome))).is_err() {
            complaints.entry(shown_path(&case.path)).or_default().push("the snapshot differs".to_owned());
        }
    }
    fail_with(&complaints);
}

#[test]
fn every_rule_has_a_page_an_authority_and_cases_on_both_sides_of_its_limit() {
    let rules = registry::rules();
    let mut complaints = Complaints::new();
    let cases = read_cases(&rules, &mut complaints);
    for rule in &rules {
        let own: Vec<&Case> = cases.iter().filter(|case| case.rule == rule.id).collect();
        let mut lacks = rule.lacks(&own);
        for snapshot in registry::files(&rule.folder.join("cases"), "snap") {
            let name = snapshot.file_stem().unwrap_or_default().to_string_lossy().into_owned();
            if !own.iter().any(|case| case.name == name && case.has_snapshot()) {
                lacks.push(format!("{name}.snap belongs to no case"));
            }
        }
        if !lacks.is_empty() {
            complaints.insert(rule.id.clone(), lacks);
        }
    }
    let dead = registry::dead_folders(&rules);
    if !dead.is_empty() {
        complaints.insert("rules".to_owned(), dead);
    }
    fail_with(&complaints);
}

fn read_cases(rules: &[Rule], complaints: &mut Complaints) -> Vec<Case> {
    let mut cases = Vec::new();
    for rule in rules {
        for path in registry::files(&rule.folder.join("cases"), "yaml") {
            match Case::read(&rule.id, &path) {
                Ok(case) => cases.push(case),
                Err(error) => {
                    complaints.insert(shown_path(&path), vec![error]);
                }
            }
        }
    }
    cases
}

/// Checks all cases, several at a time; the answers are in the order of the cases.
fn check_all<'a>(cases: &'a [Case], complaints: &mut Complaints) -> Vec<(&'a Case, Outcome)> {
    let waiting = Mutex::new(cases.iter().enumerate());
    let answers = Mutex::new(BTreeMap::new());
    let threads = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    std::thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(|| {
                loop {
                    let Some((index, case)) = waiting.lock().expect("no thread panics").next() else { break };
                    let answer = case.check();
                    answers.lock().expect("no thread panics").insert(index, answer);
                }
            });
        }
    });
    let mut outcomes = Vec::new();
    for (index, answer) in answers.into_inner().expect("no thread panics") {
        match answer {
            Ok(outcome) => outcomes.push((&cases[index], outcome)),
            Err(error) => {
                complaints.insert(shown_path(&cases[index].path), vec![error]);
            }
        }
    }
    outcomes
}

/// Compares the rendered result with the snapshot beside the case.
fn assert_snapshot(case: &Case, outcome: &Outcome) {
    let mut settings = insta::Settings::new();
    settings.set_snapshot_path(case.path.parent().unwrap_or(Path::new(".")));
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.bind(|| insta::assert_snapshot!(case.name.as_str(), shown::text(case, outcome)));
}

fn shown_path(path: &Path) -> String {
    path.strip_prefix(crate::program::root()).unwrap_or(path).display().to_string()
}

/// Fails with everything that is wrong at once.
fn fail_with(complaints: &Complaints) {
    let mut text = String::new();
    for (what, lines) in complaints {
        writeln!(text, "\n{what}").expect("a string takes text");
        for line in lines {
            writeln!(text, "  {line}").expect("a string takes text");
        }
    }
    assert!(complaints.is_empty(), "{} of the rules' files are wrong:\n{text}", complaints.len());
}
