//! The contract grows by functions: a module of 1.0 keeps on running on a host of 1.1, and one that needs what 1.1 added
//! is refused by a host of 1.0.

use super::host::{self, RuleModulePre, State};
use super::module::{Memories, Module, config, store};
use super::{Analysed, Engine, EngineOptions, Input, ModuleOutcome, RuleRequest, describe, limits};
use crate::analysis::{Case, network, site};
use crate::plan::load_text;
use crate::repository::Repository;
use wasmtime::StoreContextMut;
use wasmtime::component::Component;

/// Built on the day of 1.0 and never again.
const OF_1_0: &[u8] = include_bytes!("../../tests/fixtures/interface/built-for-1.0.wasm");
/// Needs `plan.added`, which there is from 1.1 on.
const OF_1_1: &[u8] = include_bytes!("../../../tests/contract/dist/later.wasm");

/// Five path lights 3 m apart and one 9 m off: 9 / 3 = 3 times the usual distance, against 1.5.
const PLAN: &str = "plan: 1
schedule: { luminaires: { path-3: { power: 3 W, load: constant-power, nominal: 12 V } } }
site: { grid: m }
luminaires:
  - { id: P1, type: path-3, at: [0, 0], lights: path, scene: walk }
  - { id: P2, type: path-3, at: [3, 0], lights: path, scene: walk }
  - { id: P3, type: path-3, at: [6, 0], lights: path, scene: walk }
  - { id: P4, type: path-3, at: [15, 0], lights: path, scene: walk }
";

fn input() -> Input {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("lintern.yaml"), "lintern: 1\n").unwrap();
    let repository = Repository::of(folder.path()).unwrap();
    let loaded = load_text(&repository, &folder.path().join("plan.yaml"), PLAN.as_bytes());
    assert_eq!(loaded.diagnostics, []);
    let layout = loaded.layout.unwrap();
    let solution = network::solve(&layout, Case::Judged);
    let site = site::locate(&layout).unwrap();
    let as_of = "2026-03-01".parse().unwrap();
    let analysed = Analysed { judged: &solution, soil: &solution, site: &site, as_of, calendar: None, as_built: None };
    Input::new(&layout, &analysed)
}

fn answer(module: &Module) -> ModuleOutcome {
    let ask = |rule: &super::RuleDescription| RuleRequest {
        rule: rule.id.clone(),
        settings: Vec::new(),
        wants_limits: true,
        wants_margins: true,
    };
    module.check(&input(), &module.rules().iter().map(ask).collect::<Vec<_>>())
}

/// The module on a host of a later version, which hands out one number more.
fn on_1_1(bytes: &[u8]) -> Module {
    let wasm = wasmtime::Engine::new(&config(Memories::Pooled)).unwrap();
    let mut linker = host::linker(&wasm, "1.1.0").unwrap();
    let mut plan = linker.instance("lintern:rules/plan@1.1.0").unwrap();
    plan.func_wrap("added", |_: StoreContextMut<'_, State>, ()| Ok((7_u32,))).unwrap();
    let component = Component::new(&wasm, bytes).unwrap();
    let instance = linker.instantiate_pre(&component).and_then(RuleModulePre::new).unwrap();
    let mut asked = store(&wasm, State::new(None), limits::FUEL_TO_DESCRIBE);
    let described = instance.instantiate(&mut asked).unwrap().call_describe(&mut asked).unwrap();
    Module {
        name: "module".to_owned(),
        described: (described.name.clone(), described.version.clone()),
        sha256: String::new(),
        rules: describe::take(described).unwrap(),
        wasm,
        instance,
        expressions: None,
    }
}

fn of_this_host() -> Engine {
    Engine::new(EngineOptions { no_cache: true, ..EngineOptions::default() }).0
}

#[test]
fn a_module_of_1_0_says_the_same_on_a_host_of_1_1() {
    let now = answer(&of_this_host().load("module", OF_1_0).unwrap());
    assert_eq!(now.errors, []);
    let finding = &now.results[0].findings[0];
    assert_eq!((finding.subject.as_str(), finding.measured.as_ref().map(|m| m.value)), ("P4", Some(3.0)));
    assert_eq!(answer(&on_1_1(OF_1_0)), now);
}

#[test]
fn a_module_of_1_1_runs_there_and_is_refused_here() {
    let later = answer(&on_1_1(OF_1_1));
    assert_eq!(later.errors, []);
    assert_eq!(later.results[0].findings[0].message, "on 2026-03-01 it is 7");
    let refused = of_this_host().load("later", OF_1_1).unwrap_err().to_string();
    assert!(
        refused.contains("built for version 1.1.0 of the rule interface; this lintern speaks 1.0.0: upgrade lintern"),
        "{refused}"
    );
}
