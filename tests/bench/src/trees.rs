//! Large networks as plans: random trees of constant-power loads on one output, and square grids of them.

use lintern_tests::seeded::Seeded;
use std::fmt::Write as _;

const HEAD: &str = r#"plan: 1
project: { name: A generated network }
schedule:
  luminaires:
    lamp: { power: 10 mW, load: constant-power, nominal: 24 V, input: { min: 12 V, max: 30 V }, current: dc }
  cables:
    cable: { conductor: 10 AWG, stranding: stranded, material: copper, kind: low-voltage-landscape }
  supplies:
    box: { rating: 10000 W, output-current: dc, outputs: [{ name: "24", volts: 24 V, source-resistance: 1 mohm }] }
supplies:
  - { id: S, type: box }
"#;

/// A tree in which each luminaire hangs on one of the twenty before it.
pub fn tree(seed: u64, luminaires: usize) -> String {
    let mut random = Seeded::new(seed);
    // Loads and depth grow with the size; shorter cables keep the worst drop near a tenth of a volt to a few volts.
    let feet = 0.5 * (10_000.0 / luminaires as f64).min(10.0).powi(2).max(0.01);
    let links = (0..luminaires).map(|node| {
        let before = node - random.below(node.clamp(1, 20)).min(node);
        let from = if before == 0 { "S/24".to_owned() } else { format!("N{}", before - 1) };
        (from, format!("N{node}"))
    });
    plan(luminaires, links, feet)
}

/// A square grid of luminaires, joined to their neighbours, fed at a corner.
pub fn grid(side: usize) -> String {
    let across = |i: usize| (i % side + 1 < side).then(|| (format!("N{i}"), format!("N{}", i + 1)));
    let down = |i: usize| (i + side < side * side).then(|| (format!("N{i}"), format!("N{}", i + side)));
    let links = (0..side * side).flat_map(|i| [across(i), down(i)]).flatten();
    plan(side * side, std::iter::once(("S/24".to_owned(), "N0".to_owned())).chain(links), 0.5)
}

fn plan(luminaires: usize, links: impl Iterator<Item = (String, String)>, feet: f64) -> String {
    let mut text = HEAD.to_owned();
    text.push_str("luminaires:\n");
    for i in 0..luminaires {
        let _ = writeln!(text, "  - {{ id: N{i}, type: lamp }}");
    }
    text.push_str("runs:\n");
    for (i, (from, to)) in links.enumerate() {
        let _ = writeln!(text, "  - {{ id: R{i}, cable: cable, route: [{from}, {to}], length: {feet} ft }}");
    }
    text
}
