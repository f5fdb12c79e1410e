//! A plan that says only what a designer writes first: what it leaves out is asked for, never held against it.

use lintern_core::finding::Level;
use lintern_tests::scenario::Scenario;
use std::collections::BTreeSet;

const PLAN: &str = r#"
plan: 1
project: { name: Alder Row, country: US, region: US-OR, authority: Fernhollow County, code: nec-2023, occupancy: one-family-dwelling }
schedule:
  luminaires:
    well-5: { power: 5 W, apparent-power: 6 VA, load: constant-power, nominal: 12 V, input: { min: 9 V, max: 15 V }, current: ac-or-dc, ip: [IP65, IP67], location: wet, traffic: drive-over, width: 4 in, body-depth: 6 in, cct: 3000 K, flux: 400 lm }
  cables:
    garden-12: { conductor: 12 AWG, stranding: stranded, material: copper, kind: low-voltage-landscape, direct-burial: true, insulation: 60 degC }
  supplies:
    box-100:
      rating: 100 VA
      output-current: ac
      outputs: [{ name: "12", volts: 12 V, limit: 8 A, source-resistance: 20 mohm }]
      input-volts: 120 V
      listing: low-voltage-lighting
      enclosure: outdoor
  splices:
    gel: { location: wet, direct-burial: true }
site:
  grid: ft
  zones:
    - { id: lawn, kind: lawn, outline: [[12, 0], [60, 0], [60, 40], [12, 40]] }
    - { id: drive, kind: driveway, outline: [[0, 0], [12, 0], [12, 40], [0, 40]] }
  utilities:
    - { id: gas-1, kind: gas, path: [[80, -5], [80, 60]], located: marked }
supplies:
  - { id: S1, type: box-100, at: [30, 2], mount-height: 14 in, feed: { circuit: L1, breaker: 20 A, gfci: true, in-use-cover: true, other-load: 0 VA } }
junctions:
  - { id: J1, at: [40, 12], splice: gel }
luminaires:
  - { id: A, type: well-5, at: [44, 18], placement: in-ground, splice: gel, excavation: { width: 10 in, depth: 14 in, base: gravel, base-depth: 6 in } }
  - { id: B, type: well-5, at: [4, 30], placement: in-ground, splice: gel, excavation: { width: 10 in, depth: 14 in, base: gravel, base-depth: 6 in } }
runs:
  - { id: R1, cable: garden-12, route: [S1, [36, 6], J1], slack: 5 %, method: direct-burial, cover: 8 in }
  - { id: R2, cable: garden-12, route: [J1, A], length: 12 ft, method: direct-burial, cover: 8 in }
  - { id: R3, cable: garden-12, route: [J1, B], slack: 5 %, method: direct-burial, cover: 8 in, covers: [{ zone: drive, cover: 20 in, method: pvc-conduit }] }
dig:
  ticket: { number: "26-0311", called: 2026-03-02, expires: 2026-03-30, responses: all }
  starts: 2026-03-09
  method: hand
  private-lines: located
records: { mock-up: 2026-02-20, test-before-backfill: planned, as-built: planned }
"#;

#[test]
fn nothing_is_invented() {
    let said = Scenario(serde_yaml::from_str(PLAN).expect("YAML")).check();
    assert_eq!(said.pairs(Level::Advice), BTreeSet::new());
    let asked: BTreeSet<&str> = said.undetermined.iter().map(String::as_str).collect();
    // Drains, guards, backfill, listings and receptacles are not stated.
    let expected = [
        "burial/unguarded-emergence",
        "burial/unsuitable-backfill",
        "feed/unlisted-luminaire",
        "feed/unsuitable-receptacle",
        "wet-location/sun-exposed-cable",
        "wet-location/undrained-luminaire",
    ];
    assert_eq!(asked, expected.into_iter().collect());
}
