use super::document::Part;
use super::trial::answer;
use super::{Coverage, coverage};
use crate::check::CheckOptions;
use crate::engine::{Engine, EngineOptions, Module};
use crate::plan::{load, load_text};
use crate::repository::{Repository, find};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

fn modules() -> Vec<Module> {
    let (engine, _) = Engine::new(EngineOptions::default());
    vec![engine.load_builtin().unwrap()]
}

fn options() -> CheckOptions {
    CheckOptions { as_of: "2026-03-05".parse().unwrap(), settings: BTreeMap::new(), amendments: Vec::new() }
}

fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../plans")
}

/// The coverage of plans by name and text.
fn of(files: &[(&str, &str)]) -> Coverage {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in files {
        std::fs::write(folder.path().join(name), text).unwrap();
    }
    let repository = Repository::of(folder.path()).unwrap();
    let plans: Vec<PathBuf> =
        files.iter().filter(|(_, text)| text.starts_with("plan:")).map(|(name, _)| folder.path().join(name)).collect();
    let modules = modules();
    coverage(&repository, &plans, &modules.iter().collect::<Vec<_>>(), &options())
}

fn routes(coverage: &Coverage) -> Vec<&str> {
    coverage.fields.iter().map(|field| field.route.as_str()).collect()
}

fn elements(coverage: &Coverage) -> Vec<String> {
    coverage.elements.iter().map(|element| format!("{} {}", element.kind, element.id)).collect()
}

const PLAN: &str = "plan: 1
project: { name: Two lamps, designer: R. Quill, code: nec-2023, occupancy: one-family-dwelling }
use: [types.yaml]
schedule:
  luminaires:
    well-6: { power: 6 W, apparent-power: 7 VA, load: constant-power, nominal: 12 V, input: { min: 9 V, max: 15 V }, current: ac-or-dc, house: { article: A-17 } }
    spare: { power: 3 W, nominal: 12 V }
  supplies:
    box-150: { rating: 150 VA, output-current: ac, outputs: [{ name: \"12\", volts: 12 V, limit: 12.5 A }], input-volts: 120 V }
site:
  grid: ft
  zones:
    - { id: lawn, kind: lawn, outline: [[100, 100], [120, 100], [120, 120]] }
    - { id: drive, kind: driveway, outline: [[10, -5], [20, -5], [20, 5], [10, 5]] }
  utilities:
    - { id: gas-1, kind: gas, path: [[30, -9], [30, 9]], located: marked }
supplies: [{ id: S1, type: box-150, at: [0, 0], feed: { circuit: LT-3, breaker: 20 A } }]
luminaires: [{ id: L1, type: well-6, at: [40, 0], placement: stake, house: { article: B-3 } }]
runs: [{ id: R1, cable: burial-12-2, route: [S1, L1], method: direct-burial, cover: 8 in }]
";
const TYPES: &str = "schedule:
  cables:
    burial-12-2: { conductor: 12 AWG, stranding: stranded, kind: low-voltage-landscape, direct-burial: true }
    unused-10: { conductor: 10 AWG, stranding: stranded }
";

#[test]
fn the_whole_document_says_what_the_plan_says() {
    let found = find(&[demo()]);
    let modules = modules();
    let modules: Vec<&Module> = modules.iter().collect();
    assert!(found.plans.len() >= 6);
    for plan in &found.plans {
        let loaded = load(&plan.repository, &plan.path);
        let whole = Part::whole(&loaded).unwrap().text();
        let again = load_text(&plan.repository, &plan.path, whole.as_bytes());
        assert_eq!(again.diagnostics, [], "{}", plan.file);
        assert_eq!(answer(again, &modules, &options()), answer(loaded, &modules, &options()), "{}", plan.file);
    }
}

#[test]
fn what_no_rule_reads_is_listed_and_what_rules_read_is_not() {
    let coverage = of(&[("a.yaml", PLAN), ("types.yaml", TYPES)]);
    let unread = routes(&coverage);
    for route in ["luminaires[].house.article", "schedule.luminaires.*.house.article"] {
        assert!(unread.contains(&route), "{unread:?}");
    }
    for route in [
        "runs[].cover",
        "luminaires[].placement",
        "schedule.luminaires.*.input.min",
        "schedule.cables.*.conductor",
        "schedule.supplies.*.rating",
        "supplies[].feed.breaker",
        "site.utilities[].located",
        "project.code",
    ] {
        assert!(!unread.contains(&route), "{route}: {unread:?}");
    }
    let people: Vec<&str> = coverage.for_people.iter().map(|field| field.route.as_str()).collect();
    assert_eq!(people, ["project.designer", "project.name"]);
    // The driveway and the gas line are crossed; nothing is near the lawn.
    let idle: BTreeSet<String> = elements(&coverage).into_iter().collect();
    assert_eq!(idle, BTreeSet::from(["zone lawn", "luminaires spare", "cables unused-10"].map(str::to_owned)));
    let article = coverage.fields.iter().find(|field| field.route == "luminaires[].house.article").unwrap();
    assert_eq!((article.occurrences, article.plans, article.plans_tried), (1, 1, 1));
    assert_eq!((article.first.file.as_str(), article.first.line), ("a.yaml", 18));
}

#[test]
fn a_type_that_another_plan_installs_and_a_field_that_another_plan_needs_are_not_listed() {
    let other = PLAN.replace("cable: burial-12-2", "cable: unused-10").replace("type: well-6, at", "type: spare, at");
    let both = of(&[("a.yaml", PLAN), ("b.yaml", &other), ("types.yaml", TYPES)]);
    assert!(!elements(&both).contains(&"cables unused-10".to_owned()), "{:?}", elements(&both));
    // `spare` of the one plan is another entry than `spare` of the other.
    assert!(elements(&both).contains(&"luminaires spare".to_owned()));
}

#[test]
fn the_number_of_threads_means_nothing_and_plans_that_do_not_load_are_counted() {
    let files = [("a.yaml", PLAN), ("b.yaml", "plan: 1\nruns: 3\n"), ("types.yaml", TYPES)];
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| of(&files))
    };
    let one = on(1);
    assert_eq!(one, on(4));
    assert_eq!(one.plans_not_loaded, 1);
}
