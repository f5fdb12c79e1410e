//! A plan, its findings, and the changes that are offered. Each is made in the text: the text loads, the findings that
//! it claims to cure are gone, and none is new or graver.
#![no_main]

use libfuzzer_sys::{fuzz_mutator, fuzz_target};
use lintern_core::check::{PlanReport, check};
use lintern_core::finding::{Finding, Level};
use lintern_core::remedy::{Cure, Effort, Key, search};
use lintern_fuzz::{builtin_modules, change, loaded, modules, options, oracle, repository};

/// A few changes: each costs a check with all rules.
const EFFORT: Effort = Effort { each_sort: true, checks: 4 };

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
    change::mutate(data, size, max_size, seed)
});

fuzz_target!(init: { builtin_modules(); }, |bytes: &[u8]| {
    let plan = loaded(bytes);
    if plan.layout.is_none() {
        return;
    }
    let before = check(plan, &modules(), &options());
    oracle::no_module_failed(&before);
    let remedies = search(repository(), &before, &modules(), &options(), EFFORT, &|_| true);
    assert!(remedies.checks <= EFFORT.checks, "{}", remedies.checks);
    for cure in &remedies.cures {
        let plan = loaded(cure.text.as_bytes());
        assert_eq!(plan.diagnostics, [], "{}", cure.text);
        let after = check(plan, &modules(), &options());
        oracle::no_module_failed(&after);
        oracle::findings(&after);
        cures(cure, &before, &after);
    }
    for finding in &before.findings {
        let cured = remedies.smallest(finding);
        assert!(cured.is_none_or(|cure| cure.cures.contains(&Key::of(finding))));
    }
});

fn cures(cure: &Cure, before: &PlanReport, after: &PlanReport) {
    assert!(!cure.cures.is_empty() && !cure.changes.is_empty() && !cure.summary.is_empty(), "{cure:?}");
    for key in &cure.cures {
        assert!(unwaived(before).any(|finding| Key::of(finding) == *key), "{key:?} was there: {cure:#?}");
        assert!(unwaived(after).all(|finding| Key::of(finding) != *key), "{key:?} is gone: {cure:#?}");
    }
    for finding in unwaived(after) {
        let key = Key::of(finding);
        let known = unwaived(before).any(|was| Key::of(was) == key && was.level >= finding.level);
        // A new element may have the reminders of the element that it is like.
        let of_new = finding.level == Level::Reminder && before.loaded.element_kind(&finding.subject).is_none();
        assert!(known || of_new, "{finding:?} is new: {cure:#?}");
    }
}

fn unwaived(report: &PlanReport) -> impl Iterator<Item = &Finding> {
    report.findings.iter().filter(|finding| finding.waived.is_none())
}
