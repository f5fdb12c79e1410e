//! Files that another program changes while they are read: the answer is that of one of their states, or an error.

use super::DAY;
use crate::review::{with_two_violations, with_violation};
use crate::support::{CLEAN, Outcome, Site};
use std::fs::{self, File};
use std::io::Write as _;
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

/// Checks of each test.
const CHECKS: usize = 12;

fn check(site: &Site) -> Outcome {
    let day = DAY.split_once(' ').unwrap().1;
    site.lintern(&["check", "a.yaml", "--format", "json", "--as-of", day, "--no-baseline"])
}

/// Checks again and again while `change` runs in a loop.
fn while_changing(site: &Site, change: impl Fn(&Path) + Sync) -> Vec<Outcome> {
    let done = AtomicBool::new(false);
    std::thread::scope(|scope| {
        scope.spawn(|| {
            while !done.load(Ordering::Relaxed) {
                change(site.path());
            }
        });
        let outcomes = (0..CHECKS).map(|_| check(site)).collect();
        done.store(true, Ordering::Relaxed);
        outcomes
    })
}

/// What is printed for each of these texts, when nobody changes them.
fn answers(site: &Site, name: &str, states: &[&[u8]]) -> Vec<(i32, String)> {
    let answer = |state: &&[u8]| {
        site.write(name, state);
        let outcome = check(site);
        (outcome.code, outcome.out)
    };
    states.iter().map(answer).collect()
}

/// Every outcome is that of a state, or an error that says why.
fn are_of_states(outcomes: Vec<Outcome>, states: &[(i32, String)], errors: &[&str]) {
    for outcome in outcomes {
        assert!(!outcome.err.contains("panicked"), "{outcome:#?}");
        let is_error = outcome.code == 2 && errors.iter().any(|error| outcome.out.contains(error));
        let is_state = states.iter().any(|(code, out)| *code == outcome.code && *out == outcome.out);
        assert!(is_state || is_error, "neither a state nor an error: {outcome:#?}");
    }
}

#[test]
fn a_plan_that_is_replaced_has_one_of_its_states() {
    let states = [CLEAN.to_owned(), with_violation(), with_two_violations()];
    let site = Site::new(&[("a.yaml", CLEAN)]);
    let bytes: Vec<&[u8]> = states.iter().map(|state| state.as_bytes()).collect();
    let answers = answers(&site, "a.yaml", &bytes);
    assert_eq!(answers.iter().map(|(code, _)| *code).collect::<Vec<_>>(), [0, 1, 1]);
    let outcomes = while_changing(&site, |folder| {
        for state in &states {
            fs::write(folder.join("new"), state).unwrap();
            fs::rename(folder.join("new"), folder.join("a.yaml")).unwrap();
        }
    });
    are_of_states(outcomes, &answers, &[]);
}

#[test]
fn a_plan_that_is_removed_and_written_again_has_one_of_its_states() {
    let site = Site::new(&[("a.yaml", CLEAN)]);
    let answers = answers(&site, "a.yaml", &[CLEAN.as_bytes()]);
    let outcomes = while_changing(&site, |folder| {
        fs::remove_file(folder.join("a.yaml")).unwrap();
        std::thread::sleep(Duration::from_millis(1));
        fs::write(folder.join("new"), CLEAN).unwrap();
        fs::rename(folder.join("new"), folder.join("a.yaml")).unwrap();
        std::thread::sleep(Duration::from_millis(1));
    });
    are_of_states(outcomes, &answers, &["there is no such file", "No such file"]);
}

/// Writes over a file as careless programs do: emptied first, then in two pieces.
fn in_place(path: &Path, text: &str) {
    let mut file = File::create(path).unwrap();
    std::thread::sleep(Duration::from_millis(2));
    let half = text.len() / 2;
    file.write_all(&text.as_bytes()[..half]).unwrap();
    std::thread::sleep(Duration::from_millis(2));
    file.write_all(&text.as_bytes()[half..]).unwrap();
    std::thread::sleep(Duration::from_millis(2));
}

#[test]
fn a_plan_that_is_written_in_place_is_never_read_as_a_mixture() {
    let (one, other) = (CLEAN.to_owned(), with_two_violations());
    let half = |text: &str| text.as_bytes()[..text.len() / 2].to_vec();
    let states = [one.clone().into_bytes(), other.clone().into_bytes(), half(&one), half(&other), Vec::new()];
    let site = Site::new(&[("a.yaml", CLEAN)]);
    let bytes: Vec<&[u8]> = states.iter().map(Vec::as_slice).collect();
    let answers = answers(&site, "a.yaml", &bytes);
    let outcomes = while_changing(&site, |folder| {
        in_place(&folder.join("a.yaml"), &one);
        in_place(&folder.join("a.yaml"), &other);
    });
    are_of_states(outcomes, &answers, &["another program keeps changing it"]);
}

#[test]
fn a_schedule_that_is_replaced_has_one_of_its_states() {
    let start = CLEAN.find("schedule:").unwrap();
    let end = CLEAN.find("site:").unwrap();
    let plan = format!("{}use: [types.yaml]\n{}", &CLEAN[..start], &CLEAN[end..]);
    let schedule = &CLEAN[start..end];
    // A breaker that the supply is too large for, so that something is found.
    let other = schedule.replace("rating: 150 VA", "rating: 10 VA");
    let site = Site::new(&[("a.yaml", &plan), ("types.yaml", schedule)]);
    let answers = answers(&site, "types.yaml", &[schedule.as_bytes(), other.as_bytes()]);
    assert_eq!(answers.iter().map(|(code, _)| *code).collect::<Vec<_>>(), [0, 1]);
    let outcomes = while_changing(&site, |folder| {
        for state in [schedule, &other] {
            fs::write(folder.join("new"), state).unwrap();
            fs::rename(folder.join("new"), folder.join("types.yaml")).unwrap();
        }
    });
    are_of_states(outcomes, &answers, &[]);
}
