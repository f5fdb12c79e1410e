//! The ratios that are aimed at, measured turn by turn: each round runs every stage once, so that a clock that goes up and
//! down, or another program, meets all of them alike. Prints the medians of the rounds' own ratios, as JSON.
//!
//!     cargo bench --workspace --bench ratios -- [LUMINAIRES ...]

use lintern_bench::{Plan, plain, seed};
use lintern_core::check::{CheckOptions, Telling, check_telling, facts, requests};
use lintern_core::engine::{Engine, EngineOptions};
use lintern_core::plan::scalar::Date;
use std::hint::black_box;
use std::time::{Duration, Instant};

/// Rounds at least, and the time after which there are no more.
const ROUNDS: usize = 5;
const LONG: Duration = Duration::from_secs(6);

fn main() {
    let asked: Vec<usize> = std::env::args().filter_map(|argument| argument.parse().ok()).collect();
    let sizes = if asked.is_empty() { vec![5, 60, 400, 10_000] } else { asked };
    let ratios: Vec<serde_json::Value> = sizes.into_iter().map(of).collect();
    println!("{}", serde_json::Value::from(ratios));
}

fn of(luminaires: usize) -> serde_json::Value {
    let (engine, _) = Engine::new(EngineOptions::default());
    let module = engine.load_builtin().expect("it loads");
    let as_of = Date(jiff::civil::date(2026, 3, 5));
    let options = CheckOptions { as_of, settings: Default::default(), amendments: Vec::new() };
    let plan = Plan::new(seed(), luminaires);
    let layout = plan.load().layout.expect("it loads");
    let input = facts(&layout, &options);
    let once = requests(&module, &layout, &options, Telling::Decisive);
    let twice = [&once[..], &once[..]].concat();
    let natively = lintern_native::requests(module.exchange(&input, &once).expect("it runs").requests);
    let natively = natively.expect("requests keep their shape");
    let given = lintern_native::input(&input.to_json().to_string()).expect("records keep their shape");
    let whole = || {
        let mut report = check_telling(plan.load(), &[&module], &options, Telling::Decisive);
        report.weigh(None);
        lintern::plan_as_json(&report)
    };
    let mut rounds: Vec<[f64; 6]> = Vec::new();
    let began = Instant::now();
    while rounds.len() < ROUNDS || began.elapsed() < LONG {
        rounds.push([
            seconds(|| serde_yaml::from_str::<plain::Plan>(&plan.text).expect("it is YAML")),
            seconds(|| plan.load()),
            seconds(|| module.check(&input, &once)),
            seconds(|| module.check(&input, &twice)),
            seconds(|| lintern_native::MODULE.check(&given, &natively)),
            seconds(whole),
        ]);
    }
    let median = |of: fn(&[f64; 6]) -> f64| {
        let mut all: Vec<f64> = rounds.iter().map(of).collect();
        all.sort_by(f64::total_cmp);
        (all[all.len() / 2] * 100.0).round() / 100.0
    };
    serde_json::json!({
        "luminaires": luminaires,
        "rounds": rounds.len(),
        "yardstick-ms": median(|[plain, ..]| plain * 1e3),
        "whole-to-yardstick": median(|[plain, _, _, _, _, whole]| whole / plain),
        "loading-to-yardstick": median(|[plain, load, ..]| load / plain),
        "rules-to-yardstick": median(|[plain, _, rules, ..]| rules / plain),
        "guest-to-native": median(|[_, _, once, twice, native, _]| (twice - once) / native),
        "native-to-yardstick": median(|[plain, _, _, _, native, _]| native / plain),
    })
}

/// Results are dropped outside of the time.
fn seconds<T>(run: impl FnOnce() -> T) -> f64 {
    let start = Instant::now();
    let result = black_box(run());
    let taken = start.elapsed().as_secs_f64();
    drop(result);
    taken
}
