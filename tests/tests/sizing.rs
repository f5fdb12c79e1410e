//! Proposals of supplies, circuits and conductors: by hand, and by properties on seeded sites.

#![expect(clippy::unwrap_used, reason = "a panic here is a failing test")]

use lintern_core::check::{CheckOptions, check};
use lintern_core::engine::Module;
use lintern_core::finding::Level;
use lintern_core::plan::scalar::Date;
use lintern_core::plan::{load, load_text};
use lintern_core::repository::Repository;
use lintern_core::sizing::{Proposal, Request, Rules, Sizing, SizingError, Topology, Weights, size};
use lintern_tests::scenario::{AS_OF, modules};
use lintern_tests::seeded::Seeded;
use std::fmt::Write as _;

const TOPICS: [&str; 2] = ["voltage", "loading"];

fn options() -> CheckOptions {
    CheckOptions { as_of: Date(AS_OF), settings: Default::default(), amendments: Vec::new() }
}

fn request(slack: &str) -> Request {
    Request { from: None, slack: slack.parse().unwrap(), volts: None, weights: Weights::default() }
}

/// Sizes a plan that stands in a folder of its own.
fn try_size(plan: &str, request: &Request) -> Result<Sizing, SizingError> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.yaml");
    std::fs::write(&path, plan).unwrap();
    let repository = Repository::of(&path).unwrap();
    let modules: Vec<&Module> = modules().iter().collect();
    let rules = Rules { repository: &repository, path: &path, modules: &modules, options: &options() };
    size(&load(&repository, &path), &rules, request)
}

fn sized(plan: &str, slack: &str) -> Sizing {
    try_size(plan, &request(slack)).unwrap_or_else(|error| panic!("{error}\n{plan}"))
}

fn of(sizing: &Sizing, topology: Topology) -> &Proposal {
    let result = sizing.topologies.iter().find(|result| result.topology == topology).unwrap();
    result.proposal.as_ref().unwrap_or_else(|| panic!("{topology:?}: {:?}", result.unfit))
}

/// Rules of the two topics that find something at or above advice in a plan.
fn found(plan: &str) -> Vec<(String, String)> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.yaml");
    let repository = Repository::of(folder.path()).unwrap();
    let loaded = load_text(&repository, &path, plan.as_bytes());
    assert!(loaded.layout.is_some(), "{:?}\n{plan}", loaded.diagnostics);
    let judges: Vec<Module> = modules().iter().map(|module| module.of_topics(&TOPICS)).collect();
    let judges: Vec<&Module> = judges.iter().collect();
    let report = check(loaded, &judges, &options());
    assert!(report.errors.is_empty(), "{:?}", report.errors);
    let grave = report.findings.into_iter().filter(|finding| finding.level >= Level::Advice);
    grave.map(|finding| (finding.rule, finding.subject)).collect()
}

fn close(a: f64, b: f64) {
    assert!((a - b).abs() < 1e-9, "{a} is not {b}");
}

/// Three luminaires of 12 W at constant current, so 1 A each whatever the volts, 10 m apart on a line from the supply, and
/// one cable of 2 ohm/km: 4 mohm a metre of loop. With 10 % of slack a stretch of 10 m is 11 m of cable and 0.044 ohm.
const LINE: &str = r#"plan: 1
project: { code: nec-2023 }
schedule:
  luminaires:
    steady: { power: 12 W, load: constant-current, nominal: 12 V, input: { min: 9 V, max: 15 V }, current: dc }
  cables:
    only: { conductor: 8 AWG, stranding: stranded, kind: low-voltage-landscape, direct-burial: true, resistance: 2 ohm/km, resistance-at: 75 degC }
  supplies:
    psu: { rating: 100 W, output-current: dc, regulated: true, input-volts: 120 V, outputs: [{ name: a, volts: 12 V, limit: 8 A, protection: 8 A }] }
site: { grid: m }
supplies: [{ id: S1, type: psu, at: [0, 0] }]
luminaires:
  - { id: L1, type: steady, at: [10, 0] }
  - { id: L2, type: steady, at: [20, 0] }
  - { id: L3, type: steady, at: [30, 0] }
"#;

#[test]
fn three_on_a_line_by_hand() {
    let sizing = sized(LINE, "10 %");
    for result in &sizing.topologies {
        let proposal = of(&sizing, result.topology);
        // Whatever the way, the ground is opened along 30 m, 3 A at 12 V are 36 W, and 80 % of 8 A are 6.4 A.
        close(proposal.trench_m, 30.0);
        assert_eq!(proposal.findings, []);
        let [supply] = &proposal.supplies[..] else { panic!("{:?}", proposal.supplies) };
        close(supply.loading_percent, 36.0);
        close(supply.outputs[0].amps, 3.0);
        close(supply.outputs[0].circuit_limit_a, 6.4);
        close(proposal.no_load.value, 12.0);
    }
    // 3 A, 2 A and 1 A through 0.044 ohm each: 0.132 + 0.088 + 0.044 = 0.264 V, 2.2 % of 12 V.
    let chain = of(&sizing, Topology::Chain);
    close(chain.cable_m, 33.0);
    assert_eq!((chain.lowest.luminaire.as_str(), chain.highest.luminaire.as_str()), ("L3", "L1"));
    close(chain.lowest.value, 11.736);
    close(chain.highest.value, 11.868);
    close(chain.largest_drop.value, 2.2);
    // Runs of 11, 22 and 33 m with 1 A each: 33 x 0.004 = 0.132 V at the farthest.
    let star = of(&sizing, Topology::Star);
    close(star.cable_m, 66.0);
    close(star.lowest.value, 11.868);
    // The junction is at L2: 22 m with 3 A lose 0.264 V, then 11 m with 1 A lose 0.044 V to L1 and to L3.
    let hub = of(&sizing, Topology::Hub);
    close(hub.cable_m, 44.0);
    assert_eq!(hub.lowest.luminaire, "L1");
    close(hub.lowest.value, 11.692);
    // The junction is halfway between L1 and L2, 16.5 m of cable: 3 A lose 0.198 V; 5.5 m with 2 A lose 0.044 V to L2 and
    // 11 m with 1 A lose 0.044 V to L3. 16.5 + 5.5 + 16.5 = 38.5 m.
    let tee = of(&sizing, Topology::Tee);
    close(tee.cable_m, 38.5);
    assert_eq!((tee.junctions, tee.splices), (1, 4));
    close(tee.lowest.value, 11.714);
    // Round: 0.044 i + 0.044 (i - 1) + 0.044 (i - 2) + 0.132 (i - 3) = 0 gives i = 2 A towards L1 and 1 A towards L3.
    // L1 12 - 0.088, L2 0.044 less: 11.868 V, as L3 has from the other side.
    let round = of(&sizing, Topology::Loop);
    close(round.cable_m, 66.0);
    close(round.lowest.value, 11.868);
    close(round.highest.value, 11.912);
    // By cable: chain 33, tee 38.5, hub 44, then star and loop with 66 m and the same trench, in their order.
    let ranks: Vec<_> = sizing.topologies.iter().map(|result| (result.topology.word(), result.rank)).collect();
    assert_eq!(ranks, [("star", Some(4)), ("hub", Some(3)), ("chain", Some(1)), ("tee", Some(2)), ("loop", Some(5))]);
}

#[test]
fn the_work_adds_up() {
    let sizing = sized(LINE, "10 %");
    let chain = of(&sizing, Topology::Chain);
    let lines: Vec<_> = chain.lowest.work.iter().map(|line| (line.name.as_str(), line.value)).collect();
    let names: Vec<_> = lines.iter().map(|line| line.0).collect();
    assert_eq!(
        names,
        [
            "volts of S1/a without load",
            "drop in R1 from S1/a to L1",
            "drop in R1 from L1 to L2",
            "drop in R1 from L2 to L3",
            "volts at the luminaire",
            "nominal voltage"
        ]
    );
    close(lines[0].1 - lines[1].1 - lines[2].1 - lines[3].1, lines[4].1);
    let [demand] = &sizing.demands[..] else { panic!("{:?}", sizing.demands) };
    // 36 W / 0.8 = 45 W.
    close(demand.least_rating_va, 45.0);
    assert_eq!(demand.rating_va, Some(100.0));
}

/// Weights of 2 a metre of cable, 10 a metre of trench, 5 a splice and 0.5 a watt: the chain costs
/// 66 + 300 + 15 + 50 = 431, the star 132 + 300 + 15 + 50 = 497.
#[test]
fn weights_make_a_cost() {
    let weights = Weights {
        cable_per_m: 2.0,
        trench_per_m: 10.0,
        splice_each: 5.0,
        supply_per_va: 0.5,
        cable_type_per_m: Vec::new(),
    };
    let sizing = try_size(LINE, &Request { weights: weights.clone(), ..request("10 %") }).unwrap();
    close(of(&sizing, Topology::Chain).cost.unwrap(), 431.0);
    close(of(&sizing, Topology::Star).cost.unwrap(), 497.0);
    // A weight of the type goes before that of any cable.
    let own = Weights { cable_type_per_m: vec![("only".to_owned(), 3.0)], ..weights.clone() };
    let sizing = try_size(LINE, &Request { weights: own, ..request("10 %") }).unwrap();
    close(of(&sizing, Topology::Chain).cost.unwrap(), 464.0);
    let unknown = Weights { cable_type_per_m: vec![("other".to_owned(), 3.0)], ..weights };
    let error = try_size(LINE, &Request { weights: unknown, ..request("10 %") }).unwrap_err();
    assert!(error.to_string().contains("`other`; there are only"), "{error}");
}

/// One luminaire of 60 W at constant current, 5 A, at a distance in feet; no schedule of cables or supplies.
fn single(distance_ft: f64) -> String {
    format!(
        "plan: 1
project: {{ code: nec-2023 }}
schedule: {{ luminaires: {{ steady: {{ power: 60 W, load: constant-current, nominal: 12 V, input: {{ min: 9 V, max: 12 V }}, current: dc }} }} }}
site: {{ grid: ft }}
luminaires: [{{ id: L1, type: steady, at: [{distance_ft}, 0] }}]
"
    )
}

/// NEC Chapter 9 Table 8, stranded, 75 degC: 1.98, 1.24 and 0.778 ohm/kft. 5 % of 12 V are 0.6 V, so at 5 A a loop may have
/// 0.12 ohm: 30.3 ft of 12 AWG, 48.4 ft of 10 AWG, 77.1 ft of 8 AWG.
#[test]
fn the_conductor_is_the_handbooks() {
    let from = Some(lintern_core::plan::scalar::Point { x: 0.0, y: 0.0 });
    for (distance_ft, size) in [(30.0, "12 AWG"), (31.0, "10 AWG"), (48.0, "10 AWG"), (49.0, "8 AWG"), (77.0, "8 AWG")]
    {
        let sizing = try_size(&single(distance_ft), &Request { from, ..request("0 %") }).unwrap();
        for topology in Topology::ALL {
            let runs = &of(&sizing, topology).runs;
            assert_eq!(runs.len(), 1, "one luminaire is wired in one way");
            assert_eq!(runs[0].conductor.as_deref(), Some(size), "{distance_ft} ft");
        }
    }
    let sizing = try_size(&single(78.0), &Request { from, ..request("0 %") }).unwrap();
    let unfit = sizing.topologies[0].unfit.as_ref().unwrap();
    // 78 ft x 2 x 0.778 ohm/kft x 5 A = 0.6068 V: 5.06 %.
    assert!(unfit.reason.contains("11.39 V") && unfit.reason.contains("5.06 %"), "{}", unfit.reason);
    assert_eq!(unfit.remedies, ["a supply in the middle of the luminaires, at [78, 0], does"]);
    assert!(sizing.topologies.iter().all(|result| result.rank.is_none()));
}

/// Some luminaires of 20 W, close together on AC.
fn bunch(count: usize, apparent: &str) -> String {
    let mut plan = format!(
        "plan: 1
project: {{ code: nec-2023 }}
schedule: {{ luminaires: {{ flood: {{ power: 20 W{apparent}, load: constant-current, nominal: 12 V, input: {{ min: 9 V, max: 15 V }}, current: ac }} }} }}
site: {{ grid: ft }}
luminaires:
"
    );
    for i in 0..count {
        let _ = writeln!(plan, "  - {{ id: L{i:02}, type: flood, at: [{}, {}] }}", i % 5, i / 5);
    }
    plan
}

/// The sum over 0.8 at power factor 1: 120 VA ask for 150, 240 for 300, 480 for 600; 240 W without a stated power factor are
/// 267 VA at 0.9 and ask for 333 VA, so 600. Currents hold, so cable adds nothing to the load.
#[test]
fn ratings_follow_the_80_percent_rule() {
    for (count, apparent, least_va, rating_va) in [
        (6, ", apparent-power: 20 VA", 150.0, 150.0),
        (12, ", apparent-power: 20 VA", 300.0, 300.0),
        (24, ", apparent-power: 20 VA", 600.0, 600.0),
        (12, "", 240.0 / 0.9 / 0.8, 600.0),
    ] {
        let sizing = sized(&bunch(count, apparent), "5 %");
        close(sizing.demands[0].least_rating_va, least_va);
        assert_eq!(sizing.demands[0].rating_va, Some(rating_va));
        let star = of(&sizing, Topology::Star);
        assert_eq!(star.supplies.iter().map(|supply| supply.rating_va).collect::<Vec<_>>(), [rating_va]);
        // 16 A at 12 V are 192 VA an output.
        let va = count as f64 * if apparent.is_empty() { 20.0 / 0.9 } else { 20.0 };
        assert!(star.supplies[0].outputs.len() >= (va / 192.0).ceil() as usize);
        assert!(star.supplies[0].outputs.iter().all(|output| output.amps <= 16.0));
        assert!(star.undetermined.iter().all(|missing| missing.rule != "loading/overloaded-supply"), "{star:#?}");
    }
    // 100 x 20 VA are above 80 % of the largest rating: two supplies.
    let sizing = sized(&bunch(100, ", apparent-power: 20 VA"), "5 %");
    assert_eq!(sizing.demands[0].rating_va, None);
    let star = of(&sizing, Topology::Star);
    assert!(star.supplies.len() > 1 && star.supplies.iter().all(|supply| supply.loading_percent <= 80.0 + 1e-9));
}

/// A site of luminaires at random places with cables and supplies to choose from.
fn random_site(seed: u64) -> String {
    let mut seeded = Seeded::new(seed);
    let mut plan = String::from(
        "plan: 1
project: { code: nec-2023 }
schedule:
  luminaires:
    well: { power: 6 W, apparent-power: 7 VA, load: constant-power, nominal: 12 V, input: { min: 9 V, max: 15 V }, cut-out: 8 V, current: ac-or-dc }
    path: { power: 3 W, apparent-power: 3.6 VA, load: constant-current, nominal: 12 V, input: { min: 9 V, max: 15 V }, current: ac }
    accent: { power: 20 W, load: resistive, nominal: 12 V, input: { min: 10.8 V, max: 12.6 V }, current: ac-or-dc }
  cables:
    c12: { conductor: 12 AWG, stranding: stranded, kind: low-voltage-landscape, direct-burial: true, insulation: 60 degC }
    c10: { conductor: 10 AWG, stranding: stranded, kind: low-voltage-landscape, direct-burial: true, insulation: 60 degC }
    c8: { conductor: 8 AWG, stranding: stranded, kind: low-voltage-landscape, direct-burial: true, insulation: 60 degC }
    c6: { conductor: 6 AWG, stranding: stranded, kind: low-voltage-landscape, direct-burial: true, insulation: 60 degC }
  splices:
    gel: { location: wet, direct-burial: true, resistance: 1 mohm }
site: { grid: ft }
luminaires:
",
    );
    let count = 2 + seeded.below(14);
    let reach_ft = 20.0 + 80.0 * seeded.unit();
    for i in 0..count {
        let kind = ["well", "path", "accent"][seeded.below(3)];
        let (x, y) = (reach_ft * seeded.unit(), reach_ft * seeded.unit());
        let _ = writeln!(plan, "  - {{ id: L{i}, type: {kind}, at: [{x:.1}, {y:.1}], splice: gel }}");
    }
    plan
}

#[test]
fn a_proposal_passes_the_rules_and_no_run_can_be_smaller() {
    let smaller = [("c6", "c8"), ("c8", "c10"), ("c10", "c12")];
    let (mut proposals, mut shrunk) = (0, 0);
    for seed in 0..24 {
        let site = random_site(seed);
        let sizing = sized(&site, "5 %");
        for result in &sizing.topologies {
            let Some(proposal) = &result.proposal else { continue };
            proposals += 1;
            assert_eq!(found(&proposal.plan), [], "seed {seed}, {:?}\n{}", result.topology, proposal.plan);
            assert!(proposal.minimal);
            for run in &proposal.runs {
                let Some((_, less)) = smaller.iter().find(|(size, _)| *size == run.cable) else { continue };
                let written = format!("id: {}, cable: {},", run.id, run.cable);
                let changed = format!("id: {}, cable: {less},", run.id);
                let plan = proposal.plan.replace(&written, &changed);
                assert_ne!(plan, proposal.plan);
                assert_ne!(found(&plan), [], "seed {seed}, {:?}: {} does with {less}", result.topology, run.id);
                shrunk += 1;
            }
        }
    }
    assert!(proposals > 80 && shrunk > 20, "{proposals} proposals, {shrunk} runs above the smallest size");
}

#[test]
fn lengths_are_distances_with_slack_and_every_luminaire_is_fed_once() {
    for seed in 0..12 {
        let sizing = sized(&random_site(seed), "5 %");
        for result in &sizing.topologies {
            let Some(proposal) = &result.proposal else { continue };
            let mut runs_m = 0.0;
            for run in &proposal.runs {
                close(run.length_m, run.straight_m * 1.05);
                runs_m += run.length_m;
            }
            close(proposal.cable_m, runs_m);
            close(proposal.cable_by_type.iter().map(|cable| cable.length_m).sum(), runs_m);
            assert!(proposal.trench_m <= runs_m / 1.05 + 1e-6);
            let luminaires: usize = proposal.supplies.iter().flat_map(|s| &s.outputs).map(|o| o.luminaires).sum();
            assert_eq!(luminaires, proposal.splices - proposal.junctions);
        }
    }
}

/// With one cable, loads that hold their current and a source that holds its volts, a star loses least of the open ways:
/// no other way to a luminaire is shorter than the straight one or carries less. A loop may lose less, since it feeds a
/// luminaire from two sides.
#[test]
fn a_star_loses_least_of_the_open_ways() {
    for seed in 0..20 {
        let mut seeded = Seeded::new(seed);
        let mut plan = LINE
            .split("supplies: [")
            .next()
            .unwrap()
            .replace("rating: 100 W", "rating: 1000 W")
            .replace("8 A,", "200 A,")
            .replace("8 A }", "200 A }");
        plan.push_str("supplies: [{ id: S1, type: psu, at: [0, 0] }]\nluminaires:\n");
        for i in 0..3 + seeded.below(4) {
            let _ = writeln!(
                plan,
                "  - {{ id: L{i}, type: steady, at: [{:.2}, {:.2}] }}",
                12.0 * seeded.unit(),
                12.0 * seeded.unit()
            );
        }
        let sizing = sized(&plan, "5 %");
        let star = of(&sizing, Topology::Star).largest_drop.value;
        for topology in [Topology::Hub, Topology::Chain, Topology::Tee] {
            let other = of(&sizing, topology).largest_drop.value;
            assert!(star <= other + 1e-9, "seed {seed}: star {star} %, {topology:?} {other} %");
        }
    }
}

#[test]
fn the_order_of_the_luminaires_means_nothing() {
    for seed in 0..6 {
        let site = random_site(seed);
        let (head, list) = site.split_once("luminaires:\n  - ").unwrap();
        let mut lines: Vec<&str> = list.lines().map(|line| line.trim_start_matches("  - ")).collect();
        lines.reverse();
        let turned = format!("{head}luminaires:\n  - {}\n", lines.join("\n  - "));
        let (one, other) = (sized(&site, "5 %"), sized(&turned, "5 %"));
        for topology in &one.topologies {
            let twin = other.topologies.iter().find(|twin| twin.topology == topology.topology).unwrap();
            let runs = |proposal: &Option<Proposal>| {
                let runs = proposal.iter().flat_map(|proposal| &proposal.runs);
                runs.map(|run| (run.cable.clone(), run.route.clone())).collect::<Vec<_>>()
            };
            assert_eq!(runs(&topology.proposal), runs(&twin.proposal), "seed {seed}");
            assert_eq!(topology.rank, twin.rank);
        }
        assert_eq!(one, sized(&site, "5 %"), "equal input, equal answer");
    }
}

#[test]
fn mixed_voltages_get_supplies_of_their_own() {
    let plan = "plan: 1
project: { code: iec-60364 }
schedule:
  luminaires:
    twelve: { power: 6 W, apparent-power: 7 VA, nominal: 12 V, input: { min: 9 V, max: 15 V }, current: ac-or-dc }
    strip: { power: 14 W, load: resistive, nominal: 24 V, input: { min: 21 V, max: 27 V }, current: dc }
site: { grid: m, zones: [{ id: house, kind: building, outline: [[0, 0], [10, 0], [10, -8], [0, -8]] }] }
luminaires: [{ id: A, type: twelve, at: [4, 6] }, { id: B, type: twelve, at: [6, 6] }, { id: C, type: strip, at: [5, 9] }]
";
    let sizing = sized(plan, "5 %");
    // The middle is at [5, 7]; the nearest point of the house is [5, 0].
    assert_eq!((sizing.start.x, sizing.start.y), (5.0, 0.0));
    let kinds: Vec<_> = sizing.demands.iter().map(|demand| (demand.output_v, demand.current)).collect();
    assert_eq!(kinds, [(12.0, "ac"), (24.0, "dc")]);
    let chain = of(&sizing, Topology::Chain);
    assert_eq!(chain.supplies.len(), 2);
    assert_eq!(chain.findings, []);
    assert!(chain.runs.iter().all(|run| run.conductor.as_deref() == Some("2.5 mm2")), "{:?}", chain.runs);
    assert!(chain.undetermined.iter().all(|missing| missing.rule != "loading/overloaded-conductor"));
    // At 15 V the 24 V strip stays where it is.
    let sizing = try_size(plan, &Request { volts: Some(15.0), ..request("5 %") }).unwrap();
    assert_eq!(sizing.demands.iter().map(|demand| demand.output_v).collect::<Vec<_>>(), [15.0, 24.0]);
}

#[test]
fn luminaires_on_one_point_are_wired() {
    let plan = LINE.replace("[10, 0]", "[5, 0]").replace("[20, 0]", "[5, 0]").replace("[30, 0]", "[0, 0]");
    let sizing = sized(&plan, "5 %");
    for topology in Topology::ALL {
        let proposal = of(&sizing, topology);
        assert_eq!(proposal.findings, [], "{topology:?}");
        close(proposal.trench_m, 5.0);
    }
    // All of them on the supply: which way round a loop of no length the current goes is not said.
    let plan = LINE.replace("[10, 0]", "[0, 0]").replace("[20, 0]", "[0, 0]").replace("[30, 0]", "[0, 0]");
    let sizing = sized(&plan, "5 %");
    assert!(of(&sizing, Topology::Loop).runs.iter().all(|run| run.amps.is_none()));
    assert!(of(&sizing, Topology::Star).runs.iter().all(|run| run.amps == Some(1.0)));
}

#[test]
fn what_can_not_be_sized_is_told() {
    let cut = |from: &str, to: &str| try_size(&LINE.replace(from, to), &request("5 %")).unwrap_err().to_string();
    let list = LINE.split_once("luminaires:\n  - ").unwrap().1;
    assert!(cut(&format!("luminaires:\n  - {list}"), "").contains("no luminaires"));
    assert!(cut("steady, at: [20, 0]", "steady").contains("without a place can't be wired: L2"));
    assert!(cut("site:", "junctions: [{ id: J1 }]\nsite:").contains("wired already"));
    assert!(
        cut("[{ id: S1, type: psu, at: [0, 0] }]", "[{ id: S1, type: psu }, { id: S2, type: psu }]")
            .contains("2 supplies")
    );
    assert!(cut("power: 12 W", "power: 120 W").contains("can carry a single luminaire of 120 VA"));
    assert!(cut("nominal: 12 V", "nominal: 9 V").contains("no supply gives 9 V DC"));
    let from = Some(lintern_core::plan::scalar::Point { x: 1.0, y: 1.0 });
    let error = try_size(LINE, &Request { from, ..request("5 %") }).unwrap_err();
    assert!(error.to_string().contains("S1 has a place"), "{error}");
    assert!(matches!(try_size("plan: 2\n", &request("5 %")), Err(SizingError::Plan(_))));
}

/// However a plan is written, what stands in it stays, and the proposal is read back.
#[test]
fn a_plan_keeps_its_text() {
    let lamp = "{ id: L1, type: steady, at: [10, 0] }, { id: L2, type: steady, at: [20, 5] }";
    let kind =
        "steady: { power: 12 W, load: constant-current, nominal: 12 V, input: { min: 9 V, max: 15 V }, current: dc }";
    let variants = [
        format!("{{ plan: 1, site: {{ grid: m }}, schedule: {{ luminaires: {{ {kind} }} }}, luminaires: [{lamp}] }}"),
        format!("plan: 1\nsite: {{ grid: m }}\n# types\nschedule:\n  # mine\n  luminaires:\n    {kind}\nluminaires: [{lamp}] # all\n"),
        format!("plan: 1\nsite: {{ grid: m }}\nschedule:\n  supplies: {{}}\n  luminaires:\n    {kind}\nruns: []\njunctions: []\nsupplies: [] # none yet\nluminaires: [{lamp}]"),
        format!("plan: 1\nsite: {{ grid: m }}\nschedule:\n  supplies:\n    odd: {{ output-current: dc, outputs: [{{ name: a, volts: 48 V }}] }}\n  luminaires:\n    {kind}\nsupplies:\n  - id: S1 # here\n    type: odd # to be chosen\nluminaires: [{lamp}, {{ id: X, type: wide, at: [1, 1] }}]\n").replace("    steady:", "    wide: { power: 100 W, nominal: 24 V, current: dc }\n    steady:"),
        format!("plan: 1\r\nsite: {{ grid: m }}\r\nschedule: {{ luminaires: {{ {kind} }}, supplies: {{ odd: {{ output-current: dc, outputs: [{{ name: a, volts: 48 V }}] }} }} }}\r\nsupplies: [{{ id: S9, type: odd, at: [1, 2] }}]\r\nluminaires: [{lamp}]\r\n"),
    ];
    for plan in variants {
        let sizing = sized(&plan, "5 %");
        let tee = &of(&sizing, Topology::Tee).plan;
        found(tee);
        for word in plan.split_whitespace().filter(|word| *word != "odd" && *word != "odd,") {
            let word = word.trim_end_matches(['}', ']', '[', '{']);
            assert!(tee.contains(word), "{word} is lost:\n{plan}\n{tee}");
        }
        assert!(plan.matches('#').count() == tee.matches('#').count(), "{tee}");
    }
}

/// Four hundred luminaires: the time is printed, not judged.
#[test]
fn a_large_site_is_sized() {
    let mut seeded = Seeded::new(400);
    let (head, _) = LINE.split_once("supplies: [").unwrap();
    let head = head.split("  cables:").next().unwrap().replace("power: 12 W", "power: 5 W");
    let mut plan = format!("{head}site: {{ grid: m }}\nluminaires:\n");
    for i in 0..400 {
        let _ = writeln!(
            plan,
            "  - {{ id: L{i}, type: steady, at: [{:.1}, {:.1}] }}",
            80.0 * seeded.unit(),
            60.0 * seeded.unit()
        );
    }
    modules();
    let begun = std::time::Instant::now();
    let sizing = sized(&plan, "5 %");
    println!("400 luminaires in {:?}", begun.elapsed());
    assert_eq!(of(&sizing, Topology::Star).runs.len(), 400);
    assert_eq!(of(&sizing, Topology::Star).findings, []);
}

/// A plan of the NEC with constant-power luminaires of 12 W at some places, the start at the origin.
fn on_ground(schedule: &str, places_ft: &[(f64, f64)]) -> Result<Sizing, SizingError> {
    let mut plan = format!(
        "plan: 1
project: {{ code: nec-2023 }}
site: {{ grid: ft }}
schedule:
  luminaires:
    big: {{ power: 12 W, apparent-power: 12.6 VA, load: constant-power, nominal: 12 V, input: {{ min: 9 V, max: 15 V }}, current: ac-or-dc }}
    h20: {{ power: 20 W, load: resistive, nominal: 12 V, input: {{ min: 10.8 V, max: 12.6 V }}, current: ac-or-dc }}
{schedule}luminaires:
"
    );
    let kind = if schedule.contains("# h20") { "h20" } else { "big" };
    for (i, (x, y)) in places_ft.iter().enumerate() {
        let _ = writeln!(plan, "  - {{ id: L{i:02}, type: {kind}, at: [{x}, {y}] }}");
    }
    let from = Some(lintern_core::plan::scalar::Point { x: 0.0, y: 0.0 });
    try_size(&plan, &Request { from, ..request("5 %") })
}

/// With 18 AWG the far luminaire has no operating point: 200 ft x 1.05 of stranded 18 AWG, 7.95 ohm/kft, are 3.34 ohm of
/// loop, and 12 V through that give 144 / (4 x 3.34) = 10.8 W at most. With 10 AWG, 1.24 ohm/kft, the loop has 0.52 ohm and
/// loses about 0.6 V. At 4000 ft even 10 AWG gives 144 / (4 x 10.4) = 3.5 W at most.
#[test]
fn a_far_luminaire_is_sized_or_unfit_but_no_failure_of_the_rules() {
    let cables = "  cables:
    c18: { conductor: 18 AWG, stranding: stranded, material: copper, kind: low-voltage-landscape, direct-burial: true, insulation: 60 degC }
    c10: { conductor: 10 AWG, stranding: stranded, material: copper, kind: low-voltage-landscape, direct-burial: true, insulation: 60 degC }
";
    let sizing = on_ground(cables, &[(200.0, 0.0), (10.0, 5.0)]).unwrap();
    assert_eq!((sizing.drop_limit_percent, sizing.loading_limit_percent), (5.0, 80.0));
    let sizing = on_ground(cables, &[(10.0, 5.0), (4000.0, 0.0)]).unwrap();
    for result in &sizing.topologies {
        let unfit = result.unfit.as_ref().unwrap();
        assert!(
            unfit.reason.contains("L01 has no operating point with c10"),
            "{:?}: {}",
            result.topology,
            unfit.reason
        );
    }
}

/// Outputs of 20 A and 4 A are given 16 A and 3.2 A. Nine of 20 W are 15 A: one output of one supply. 15 are 25 A: 240 VA or
/// 20 A are the most of a supply, so two.
#[test]
fn each_output_has_its_own_allowance() {
    let supply = |small_a: f64| {
        format!(
            "  # h20
  supplies:
    s300: {{ rating: 300 VA, output-current: ac, outputs: [{{ name: b, volts: 12 V, limit: {small_a} A, protection: {small_a} A, source-resistance: 1 mohm }}, {{ name: a, volts: 12 V, limit: 25 A, protection: 20 A, source-resistance: 1 mohm }}] }}
"
        )
    };
    let places: Vec<(f64, f64)> = (0..15).map(|i| (5.0 + f64::from(i), 5.0)).collect();
    let sizing = on_ground(&supply(4.0), &places[..9]).unwrap();
    let star = of(&sizing, Topology::Star);
    let [only] = &star.supplies[..] else { panic!("{:?}", star.supplies) };
    let [output] = &only.outputs[..] else { panic!("{:?}", only.outputs) };
    assert_eq!((output.name.as_str(), output.luminaires), ("a", 9));
    close(output.circuit_limit_a, 16.0);
    // 2 A, of which 1.6 A may be used, carry none of 1.67 A.
    let sizing = on_ground(&supply(2.0), &places[..3]).unwrap();
    assert_eq!(of(&sizing, Topology::Star).supplies.len(), 1);
    let sizing = on_ground(&supply(4.0), &places).unwrap();
    let star = of(&sizing, Topology::Star);
    assert_eq!(star.supplies.len(), 2, "{:?}", star.supplies);
    for output in star.supplies.iter().flat_map(|supply| &supply.outputs) {
        assert!(output.amps <= output.circuit_limit_a, "{output:?}");
    }
}

#[test]
fn what_is_stated_to_be_for_indoors_is_not_proposed() {
    let supply = |name: &str, facts: &str| {
        format!(
            "    {name}: {{ rating: 100 VA, output-current: ac, outputs: [{{ name: a, volts: 12 V, limit: 8 A, protection: 8 A, source-resistance: 8 mohm }}], {facts} }}\n"
        )
    };
    let supplies = [
        supply("a-bench", "enclosure: indoor"),
        supply("b-bare", "isolating: false"),
        supply("c-any", "listing: general"),
        supply("d-out", "listing: low-voltage-lighting, enclosure: type 3R, isolating: true"),
    ];
    let cable = |name: &str, facts: &str| {
        format!(
            "    {name}: {{ conductor: 12 AWG, stranding: stranded, material: copper, insulation: 60 degC, {facts} }}\n"
        )
    };
    let cables = [
        cable("a-dry", "kind: other, location: dry"),
        cable("b-any", "kind: low-voltage-landscape"),
        cable("c-ground", "kind: low-voltage-landscape, direct-burial: true"),
    ];
    let schedule = format!("  supplies:\n{}  cables:\n{}", supplies.concat(), cables.concat());
    let sizing = on_ground(&schedule, &[(10.0, 5.0), (20.0, 5.0)]).unwrap();
    for topology in Topology::ALL {
        let proposal = of(&sizing, topology);
        assert!(proposal.supplies.iter().all(|supply| supply.r#type == "d-out"), "{topology:?}");
        assert!(proposal.runs.iter().all(|run| run.cable == "c-ground"), "{topology:?}: {:?}", proposal.runs);
    }
    let told = sizing.assumptions.iter().filter(|text| text.contains("are not proposed")).collect::<Vec<_>>();
    assert!(told.iter().any(|text| text.ends_with(": a-dry.")), "{told:?}");
    assert!(
        told.iter().any(|text| text.contains("a-bench (its enclosure is for indoors), b-bare (it does not isolate its outputs), c-any (it is not listed for low-voltage lighting)")),
        "{told:?}"
    );
}

/// Two luminaires of 12 W that one output of 1.5 A, so 1.2 A, can't feed together.
#[test]
fn a_star_under_another_name_says_so() {
    let supply = "  supplies:
    two: { rating: 100 VA, output-current: ac, outputs: [{ name: a, volts: 12 V, limit: 1.5 A, protection: 1.5 A, source-resistance: 1 mohm }, { name: b, volts: 12 V, limit: 1.5 A, protection: 1.5 A, source-resistance: 1 mohm }] }
";
    let sizing = on_ground(supply, &[(5.0, 0.0), (0.0, 5.0)]).unwrap();
    for result in &sizing.topologies {
        let says = result.note.as_ref().is_some_and(|note| note.contains("the same as a star"));
        assert_eq!(says, result.topology != Topology::Star, "{:?}", result.note);
    }
    assert!(sized(LINE, "5 %").topologies.iter().all(|result| result.note.is_none()));
}

#[test]
fn marks_and_line_ends_of_a_plan_stay() {
    let plain = LINE.replace("only:", "only : ").replace("  supplies:\n    psu: { rating: 100 W, output-current: dc, regulated: true, input-volts: 120 V, outputs: [{ name: a, volts: 12 V, limit: 8 A, protection: 8 A }] }\n", "").replace("supplies: [{ id: S1, type: psu, at: [0, 0] }]\n", "");
    let marked = format!("\u{feff}{plain}...\n");
    let tee = of(&sized(&marked, "5 %"), Topology::Tee).plan.clone();
    assert!(tee.starts_with("\u{feff}plan: 1") && tee.ends_with("\n...\n") && tee.contains("\nruns:\n"), "{tee}");
    assert_eq!(found(&tee), []);
    let crlf = plain.replace('\n', "\r\n");
    let tee = of(&sized(&crlf, "5 %"), Topology::Tee).plan.clone();
    assert_eq!(tee.matches('\n').count(), tee.matches("\r\n").count(), "{tee:?}");
    assert_eq!(found(&tee), []);
}

#[test]
fn weights_that_say_two_things_or_nothing_are_told() {
    let weights = |of: &[(&str, f64)]| Weights {
        cable_type_per_m: of.iter().map(|(name, weight)| ((*name).to_owned(), *weight)).collect(),
        ..Weights::default()
    };
    let twice = Request { weights: weights(&[("only", 1.0), ("only", 2.0)]), ..request("5 %") };
    let error = try_size(LINE, &twice).unwrap_err().to_string();
    assert!(error.contains("`only` has two weights"), "{error}");
    let plan = LINE
        .replace("    only:", "    free: { conductor: 6 AWG, stranding: stranded, direct-burial: true }\n    only:");
    let partly = Request { weights: weights(&[("only", 1.0)]), ..request("5 %") };
    let told = try_size(&plan, &partly).unwrap().assumptions;
    assert!(told.iter().any(|text| text == "Cable without a weight costs nothing in the rank: free."), "{told:?}");
}
