//! A plan through the whole check. What loads is checked without a module failing, and twice with the same answers;
//! margins are numbers that agree with the findings; every waiver is judged.
#![no_main]

use libfuzzer_sys::{fuzz_mutator, fuzz_target};
use lintern_core::check::{PlanReport, check};
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
        _ => {}
    }
});

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
