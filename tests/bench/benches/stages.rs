//! What a check costs, stage by stage, beside what reading the same plan into plain structs costs.
//!
//! Rules are measured in three parts that add up: bringing up the instances, the work of the rules on data that is
//! already in the guest (what a second round of the same rules in the same instance adds), and the rest, which is the
//! boundary: copying lists in and answers out.

use criterion::measurement::WallTime;
use criterion::{BatchSize, BenchmarkGroup, BenchmarkId, Criterion, SamplingMode, criterion_group, criterion_main};
use lintern_bench::{Plan, SIZES, plain, seed};
use lintern_core::analysis::{Case, network, site};
use lintern_core::check::{CheckOptions, PlanReport, Telling, check_telling, facts, requests};
use lintern_core::engine::{Engine, EngineOptions, Input, Module, RuleRequest};
use lintern_core::layout::Layout;
use lintern_core::plan::load;
use lintern_core::plan::scalar::Date;
use std::hint::black_box;
use std::time::Duration;

fn options() -> CheckOptions {
    let as_of = Date(jiff::civil::date(2026, 3, 5));
    CheckOptions { as_of, settings: Default::default(), amendments: Vec::new() }
}

fn modules() -> Vec<Module> {
    let (engine, _) = Engine::new(EngineOptions::default());
    vec![engine.load_builtin().expect("it loads")]
}

fn stages(criterion: &mut Criterion) {
    let (modules, options) = (modules(), options());
    let all: Vec<&Module> = modules.iter().collect();
    for &luminaires in SIZES {
        let plan = Plan::new(seed(), luminaires);
        let mut group = criterion.benchmark_group("stages");
        if luminaires > 1_000 {
            group.sample_size(10).sampling_mode(SamplingMode::Flat).measurement_time(Duration::from_secs(8));
        }
        let group = &mut group;
        let layout = plan.load().layout.expect("it loads");
        let input = facts(&layout, &options);
        measure(group, "plain", luminaires, || serde_yaml::from_str::<plain::Plan>(&plan.text).expect("it is YAML"));
        measure(group, "load", luminaires, || load(&plan.repository, &plan.file));
        measure(group, "network", luminaires, || [Case::Judged, Case::Soil].map(|case| network::solve(&layout, case)));
        measure(group, "site", luminaires, || site::locate(&layout));
        measure(group, "facts", luminaires, || facts(&layout, &options));
        rules(group, luminaires, &all, &layout, &input, &options);
        let report = checked(&plan, &all, &options);
        measure(group, "output", luminaires, || lintern::plan_as_json(&report));
        measure(group, "whole", luminaires, || lintern::plan_as_json(&checked(&plan, &all, &options)));
    }
}

/// What the program does with a plan before it looks for cures.
fn checked(plan: &Plan, modules: &[&Module], options: &CheckOptions) -> PlanReport {
    let mut report = check_telling(plan.load(), modules, options, Telling::Decisive);
    report.weigh(None);
    report
}

fn rules(
    group: &mut BenchmarkGroup<'_, WallTime>,
    luminaires: usize,
    modules: &[&Module],
    layout: &Layout,
    input: &Input,
    options: &CheckOptions,
) {
    let asked: Vec<(&Module, Vec<RuleRequest>)> =
        modules.iter().map(|module| (*module, requests(module, layout, options, Telling::Decisive))).collect();
    let twice: Vec<(&Module, Vec<RuleRequest>)> =
        asked.iter().map(|(module, asked)| (*module, [&asked[..], &asked[..]].concat())).collect();
    let run = |asked: &[(&Module, Vec<RuleRequest>)]| {
        for (module, asked) in asked {
            black_box(module.check(input, asked));
        }
    };
    measure(group, "instances", luminaires, || {
        for module in modules {
            black_box(module.exchange(input, &[]).expect("it runs"));
        }
    });
    measure(group, "rules", luminaires, || run(&asked));
    measure(group, "rules-twice", luminaires, || run(&twice));
    let records = input.to_json().to_string();
    let native: Vec<_> = asked
        .iter()
        .map(|(module, asked)| {
            let requests = module.exchange(input, asked).expect("it runs").requests;
            lintern_native::requests(requests).expect("requests keep their shape")
        })
        .collect();
    let given = lintern_native::input(&records).expect("records keep their shape");
    measure(group, "native", luminaires, || {
        for asked in &native {
            black_box(lintern_native::MODULE.check(&given, asked));
        }
    });
}

fn measure<T>(group: &mut BenchmarkGroup<'_, WallTime>, name: &str, luminaires: usize, mut run: impl FnMut() -> T) {
    // Results are dropped outside of the time.
    group.bench_function(BenchmarkId::new(name, luminaires), |bencher| {
        bencher.iter_batched(|| (), |()| run(), BatchSize::PerIteration);
    });
}

criterion_group!(benches, stages);
criterion_main!(benches);
