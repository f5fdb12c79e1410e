//! A plan through the whole check. What loads is checked without a module failing, twice with the same answers, and
//! with its lists the other way round with answers that agree; margins are numbers that agree with the findings; every waiver is judged.
#![no_main]

use libfuzzer_sys::{fuzz_mutator, fuzz_target};
use lintern_core::check::{PlanReport, check};
use lintern_core::declared::{agrees, reordered};
use lintern_core::engine::RuleDescription;
use lintern_core::identity::identities;
use lintern_core::plan::Loaded;
use lintern_core::waivers;
use lintern_fuzz::{builtin_modules, change, loaded, modules, options, oracle};

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
    change::mutate(data, size, max_size, seed)
});

fuzz_target!(init: { builtin_modules(); }, |bytes: &[u8]| {
    let plan = loaded(bytes);
    if plan.layout.is_none() {
        return;
    }
    let mut report = checked(plan.clone());
    oracle::no_module_failed(&report);
    oracle::findings(&report);
    assert_eq!(identities(&report).len(), report.findings.len());
    // What takes longest is asked of some inputs only; the length of an input chooses.
    match bytes.len() % 4 {
        0 => {
            let again = checked(plan);
            assert_eq!(report.findings, again.findings);
            assert_eq!(report.verdicts, again.verdicts);
            assert_eq!(report.assumptions, again.assumptions);
            assert_eq!(identities(&report), identities(&again));
        }
        1 => {
            report.weigh(None);
            margins(&report);
        }
        2 => turned(&report, bytes),
        _ => {}
    }
});

/// With its lists the other way round a plan is the same plan.
fn turned(report: &PlanReport, bytes: &[u8]) {
    let Some(text) = std::str::from_utf8(bytes).ok().and_then(reordered) else { return };
    let other = loaded(text.as_bytes());
    if other.layout.is_some() {
        let other = check(other, &modules(), &options());
        let one = check(report.loaded.clone(), &modules(), &options());
        let said = |report: &PlanReport| {
            let mut said: Vec<_> =
                report.findings.iter().map(|f| format!("{} {}: {}", f.rule, f.subject, f.message)).collect();
            said.sort_unstable();
            format!("{:#?} {:#?}", said, report.verdicts)
        };
        assert!(agrees(&one, &other), "{}\nand turned round:\n{}", said(&one), said(&other));
    }
}

fn checked(plan: Loaded) -> PlanReport {
    let options = options();
    let mut report = check(plan, &modules(), &options);
    let rules = builtin_modules().iter().flat_map(|module| module.rules());
    let rules: Vec<&RuleDescription> = rules.chain(waivers::rules()).collect();
    waivers::judge(&mut report, &rules, &options);
    report
}

fn margins(report: &PlanReport) {
    for verdict in report.verdicts.keys() {
        if let Some(margin) = report.margins.tightest(verdict) {
            assert!(margin.measured.is_finite() && margin.limit.is_finite() && margin.margin.is_finite(), "{margin:?}");
            assert_eq!(
                margin.passes,
                report.findings.iter().all(|f| report.margins.of(f) != Some(margin)),
                "{margin:?}"
            );
        }
    }
    for finding in &report.findings {
        if let Some(margin) = report.margins.of(finding) {
            assert!(!margin.passes, "{finding:?} {margin:?}");
        }
    }
}
