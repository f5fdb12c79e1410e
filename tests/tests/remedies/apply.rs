//! Every cure that is offered for the demo plans, checked once more from its text.

use super::{options, pairs};
use lintern_core::check::check;
use lintern_core::plan::{load, load_text};
use lintern_core::remedy::{Effort, search};
use lintern_core::repository::Repository;
use lintern_tests::scenario::{modules, plans};
use std::collections::BTreeSet;

/// The lines of a text that the other does not have.
fn lines_beyond<'t>(text: &'t str, other: &str) -> Vec<&'t str> {
    let known: BTreeSet<&str> = other.lines().collect();
    text.lines().filter(|line| !known.contains(line)).collect()
}

#[test]
fn every_cure_of_the_demo_plans_cures_and_raises_nothing() {
    let modules: Vec<_> = modules().iter().collect();
    for name in ["quarry-lane/back-garden.yaml", "quarry-lane/side-yard.yaml"] {
        let path = plans().join(name);
        let repository = Repository::of(&path).unwrap();
        let before = check(load(&repository, &path), &modules, &options());
        let text = std::fs::read_to_string(&path).unwrap();
        let remedies = search(&repository, &before, &modules, &options(), Effort::THOROUGH, &|_| true);
        assert!(remedies.cures.len() >= 6, "{name}: {}", remedies.cures.len());
        for cure in &remedies.cures {
            let after = check(load_text(&repository, &path, cure.text.as_bytes()), &modules, &options());
            assert!(after.errors.is_empty(), "{name}, {}: {:?}", cure.summary, after.errors);
            for key in &cure.cures {
                let is = |f: &&lintern_core::finding::Finding| {
                    f.rule == key.rule && f.subject == key.subject && f.field == key.field
                };
                assert!(
                    before.findings.iter().any(|f| is(&f)) && !after.findings.iter().any(|f| is(&f)),
                    "{name}: {key:?}"
                );
            }
            // New elements stand for those they are like: `R1-2` for `R1`.
            let known = pairs(&before);
            for (rule, subject) in pairs(&after) {
                let origin = subject.rsplit_once('-').map_or(subject.as_str(), |(origin, _)| origin).to_owned();
                let either =
                    known.contains(&(rule.clone(), subject.clone())) || known.contains(&(rule.clone(), origin));
                assert!(either, "{name}, {}: raises {rule} at {subject}", cure.summary);
            }
            // The rest of the text stays: comments, blank lines, the order of keys.
            let (gone, new) = (lines_beyond(&text, &cure.text), lines_beyond(&cure.text, &text));
            assert!(gone.len() <= 3 && new.len() <= 9, "{name}, {}: {gone:#?} {new:#?}", cure.summary);
            assert!(gone.iter().all(|line| !line.trim_start().starts_with('#')), "{gone:?}");
        }
    }
}

#[test]
fn the_search_gives_the_same_twice() {
    let modules: Vec<_> = modules().iter().collect();
    let path = plans().join("quarry-lane/back-garden.yaml");
    let repository = Repository::of(&path).unwrap();
    let report = check(load(&repository, &path), &modules, &options());
    let search = || search(&repository, &report, &modules, &options(), Effort::BRIEF, &|_| true);
    assert_eq!(search(), search());
}
