//! The smallest thicker conductor on random chains, against a search of every size and every first part of the chain
//! by the closed form of constant currents.

use super::{Job, lamps, plan, run, supply};
use lintern_core::remedy::Sort;
use lintern_tests::seeded::Seeded;

/// NEC Chapter 9 Table 8, stranded, ohm/kft at 75 degC, and mm2: 12 AWG, then the next five sizes.
const SIZES: [(f64, f64); 6] =
    [(1.98, 3.31), (1.24, 5.261), (0.778, 8.367), (0.491, 13.30), (0.308, 21.15), (0.245, 26.67)];

/// Drop at the last lamp, V: `first` segments in a size and the others in 12 AWG, each lamp drawing 1 A.
fn drop_volts(lengths_ft: &[f64], first: usize, size: usize) -> f64 {
    let ohms = |i: usize| 2.0 * lengths_ft[i] / 1000.0 * SIZES[if i < first { size } else { 0 }].0;
    (0..lengths_ft.len()).map(|i| ohms(i) * (lengths_ft.len() - i) as f64).sum()
}

#[test]
fn no_smaller_conductor_would_do() {
    let mut cured = 0;
    for seed in 0..60 {
        let mut random = Seeded::new(seed);
        let count = 2 + random.below(5);
        let lengths: Vec<f64> = (0..count).map(|_| (10 + random.below(50)) as f64).collect();
        let mut x = 0.0;
        let places: Vec<String> = lengths
            .iter()
            .map(|length| {
                x += length;
                format!("[{x}, 0]")
            })
            .collect();
        let places: Vec<&str> = places.iter().map(String::as_str).collect();
        let nodes: Vec<String> = (1..=count).map(|i| format!("L{i}")).collect();
        let route = format!("route: [S1/12, {}], slack: 0 %", nodes.join(", "));
        let job = Job::new(&plan("", &supply("S1", "[0, 0]"), &lamps(&places), &run("R1", &route)));
        let last = format!("L{count}");
        if drop_volts(&lengths, 0, 0) <= 0.6 * (1.0 + 1e-9) {
            assert!(!job.findings().contains(&("voltage/excess-drop".to_owned(), last)), "seed {seed}");
            continue;
        }
        // Every size on every first part; copper is what ranks sizes of one run.
        let mut best: Option<(f64, usize, usize)> = None;
        for (size, (_, square_mm)) in SIZES.iter().enumerate().skip(1) {
            for first in 1..=count {
                let copper = lengths[..first].iter().sum::<f64>() * (square_mm - SIZES[0].1);
                if drop_volts(&lengths, first, size) <= 0.6 * (1.0 + 1e-9) && best.is_none_or(|best| copper < best.0) {
                    best = Some((copper, first, size));
                }
            }
        }
        let remedies = job.remedies();
        let finding = job.finding("voltage/excess-drop", &last);
        let found = remedies.cures.iter().find(|cure| {
            cure.sort == Sort::Conductor && cure.cures.iter().any(|key| key.subject == last && key.rule == finding.rule)
        });
        match (best, found) {
            (Some((copper, first, size)), Some(cure)) => {
                cured += 1;
                let found = cure.cost.copper_added / 0.3048;
                assert!(
                    (found - copper).abs() < 2e-3 * copper,
                    "seed {seed}: {} ({found} mm2 ft), but {first} segments in size {size} do ({copper} mm2 ft)",
                    cure.summary
                );
            }
            (None, None) => {}
            (best, found) => panic!("seed {seed}: {best:?} by the closed form, {found:?} found"),
        }
    }
    assert!(cured > 30, "{cured} chains with a cure");
}
