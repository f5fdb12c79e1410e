//! Files made to exhaust memory, time or the stack. Each ends in an error; the bounds are counts, not seconds.

use super::load_text;
use crate::plan::yaml::{MAX_BYTES, MAX_NODES};

/// The first error of a plan.
fn error(plan: impl AsRef<[u8]>) -> String {
    let loaded = load_text(plan, &[]);
    assert!(loaded.layout.is_none());
    assert!(loaded.diagnostics.len() <= 101, "{} diagnostics", loaded.diagnostics.len());
    assert!(loaded.diagnostics.iter().all(|d| d.message.len() < 2_000));
    loaded.diagnostics[0].message.clone()
}

#[test]
fn deep_nesting() {
    const LEVELS: usize = 100_000;
    let deep = "nested deeper than 128 levels, the most that is read";
    assert_eq!(error("[".repeat(LEVELS)), deep);
    assert_eq!(error("{a: ".repeat(LEVELS)), deep);
    assert_eq!(error("- ".repeat(LEVELS)), deep);
    let block: String = (0..2_000).map(|i| format!("{}a:\n", " ".repeat(i))).collect();
    assert_eq!(error(block), deep);
}

#[test]
fn alias_bombs() {
    let mut bomb = "plan: 1\nhouse:\n  a0: &a0 [x, x, x, x, x, x, x, x, x]\n".to_owned();
    for i in 1..20 {
        let previous = format!("*a{}", i - 1);
        bomb += &format!("  a{i}: &a{i} [{}]\n", [previous.as_str(); 9].join(", "));
    }
    assert_eq!(error(bomb), format!("the file has more than {MAX_NODES} values, the most that is read"));
    // Each alias adds a level.
    let mut tower = "plan: 1\nhouse:\n  a0: &a0 [x]\n".to_owned();
    for i in 1..200 {
        tower += &format!("  a{i}: &a{i} [*a{}]\n", i - 1);
    }
    assert_eq!(error(tower), "nested deeper than 128 levels, the most that is read");
}

#[test]
fn long_lines_and_many_values() {
    assert_eq!(
        error("x".repeat(50 << 20)),
        "expected a mapping, in lines like `key: value`, found `xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx…`"
    );
    let id = format!("plan: 1\njunctions: [{{ id: {} }}]\n", "x".repeat(1 << 20));
    assert_eq!(error(id), "expected an id like `L1`, found a text of 1048576 bytes");
    let many = format!("[{}]", "[],".repeat(MAX_NODES as usize));
    assert_eq!(error(many), format!("the file has more than {MAX_NODES} values, the most that is read"));
    assert_eq!(
        error(vec![b'#'; MAX_BYTES as usize + 1]),
        "can't read plan.yaml: it has more than 64 MB, the most that is read"
    );
}

#[test]
fn many_errors_are_counted_and_not_kept() {
    let plan = format!("plan: 1\njunctions:\n{}", "- { id: J1, x: 1 }\n".repeat(50_000));
    let loaded = load_text(plan, &[]);
    assert_eq!(loaded.diagnostics.len(), 101);
    // An unknown key each, and all but the first id again.
    assert_eq!(loaded.diagnostics[100].message, format!("{} more errors are not shown", 50_000 + 49_999 - 100));
}

/// A plan with one zone of these corners.
fn zone(corners: impl Iterator<Item = [f64; 2]>) -> String {
    let corners: Vec<String> = corners.map(|[x, y]| format!("[{x}, {y}]")).collect();
    format!("plan: 1\nsite: {{ grid: ft, zones: [{{ id: z, kind: lawn, outline: [{}] }}] }}\n", corners.join(", "))
}

#[test]
fn outlines_of_very_many_corners() {
    const CORNERS: u32 = 10_000;
    // Round a pond of 100 ft, to the thousandth of a foot: its corners are 0.06 ft apart.
    let round = |i: u32| {
        let angle = f64::from(i) / f64::from(CORNERS) * std::f64::consts::TAU;
        [angle.cos(), angle.sin()].map(|v| (v * 100_000.0).round() / 1_000.0)
    };
    let loaded = load_text(zone((0..CORNERS).map(round)), &[]);
    assert_eq!(loaded.diagnostics, []);
    assert_eq!(loaded.layout.unwrap().zones[0].outline.len(), CORNERS as usize);
    // Two of its corners, on opposite sides of the pond, in each other's place.
    let swap = |i: u32| match i {
        2_500 => 7_500,
        7_500 => 2_500,
        i => i,
    };
    let swapped = (0..CORNERS).map(swap).map(round);
    assert!(error(zone(swapped)).starts_with("the outline crosses itself: the edge from "));
    // Teeth that are long and slanted, so that the box of each lies over all the others.
    let tooth = |i: u32| [f64::from(i + i % 2 * CORNERS), f64::from(i % 2 * CORNERS)];
    let back = [[f64::from(2 * CORNERS), -1.0], [0.0, -1.0]];
    assert_eq!(
        error(zone((0..CORNERS).map(tooth).chain(back))),
        "too many long edges lie close together to check the outline"
    );
}
