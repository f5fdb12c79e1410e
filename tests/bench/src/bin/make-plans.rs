//! Writes generated plans for measurements of the whole program: `make-plans plan N FILE`, `tree N FILE`,
//! `grid SIDE FILE`, `repository N FOLDER`, `records N FILE` (what rules are told of a plan of N luminaires, as JSON), and
//! `five N FILE` (what the five rules of `rego/rules.rego` find in it, and how long they take).

use lintern_bench::{Plan, seed, sites, trees};
use lintern_core::check::{CheckOptions, Telling, facts, requests};
use lintern_core::engine::{Engine, EngineOptions, Input, Module, RuleRequest};
use lintern_core::layout::Layout;
use lintern_core::plan::scalar::Date;
use serde_json::json;
use std::path::Path;
use std::time::{Duration, Instant};

/// The rules that `rego/rules.rego` has too.
const FIVE: [&str; 5] = [
    "voltage/undervoltage",
    "voltage/overvoltage",
    "voltage/excess-drop",
    "loading/overloaded-supply",
    "feed/low-mounting",
];

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [kind, size, to] = &arguments[..] else { return Err("three arguments: what, how many, where to".into()) };
    let (size, to) = (size.parse::<usize>()?, Path::new(to));
    match kind.as_str() {
        "plan" => std::fs::write(to, sites::plan(seed(), size))?,
        "tree" => std::fs::write(to, trees::tree(seed(), size))?,
        "grid" => std::fs::write(to, trees::grid(size))?,
        "repository" => {
            sites::repository(to, seed(), size)?;
        }
        "records" | "five" => {
            let as_of = Date(jiff::civil::date(2026, 3, 5));
            let options = CheckOptions { as_of, settings: Default::default(), amendments: Vec::new() };
            let layout = Plan::new(seed(), size).load().layout.ok_or("the plan does not load")?;
            let input = facts(&layout, &options);
            let text = if kind == "five" { five(&layout, &input, &options)? } else { input.to_json().to_string() };
            std::fs::write(to, text)?;
        }
        other => return Err(format!("nothing is called `{other}`").into()),
    }
    Ok(())
}

/// Runs the five rules in their modules, each module with the rules of its own, in a fresh instance as always.
fn five(layout: &Layout, input: &Input, options: &CheckOptions) -> Result<String, Box<dyn std::error::Error>> {
    let (engine, _) = Engine::new(EngineOptions::default());
    let modules = [engine.load_builtin()?];
    let asked: Vec<(&Module, Vec<RuleRequest>)> = modules
        .iter()
        .map(|module| {
            let mut asked = requests(module, layout, options, Telling::Nothing);
            asked.retain(|request| FIVE.contains(&&*request.rule));
            (module, asked)
        })
        .filter(|(_, asked)| !asked.is_empty())
        .collect();
    let (mut seconds, began) = (Vec::new(), Instant::now());
    let mut outcomes = Vec::new();
    while seconds.len() < 5 || began.elapsed() < Duration::from_secs(3) {
        let start = Instant::now();
        outcomes = asked.iter().map(|(module, asked)| module.check(input, asked)).collect();
        seconds.push(start.elapsed().as_secs_f64());
    }
    seconds.sort_by(f64::total_cmp);
    let results = outcomes.iter().flat_map(|outcome| &outcome.results);
    let findings: Vec<_> = results
        .flat_map(|result| result.findings.iter().map(|f| json!({ "rule": result.rule, "subject": f.subject })))
        .collect();
    Ok(json!({ "seconds": seconds[seconds.len() / 2], "findings": findings }).to_string())
}
