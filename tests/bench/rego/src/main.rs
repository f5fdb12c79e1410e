//! Runs `rules.rego` on the records of a plan and prints what it finds and how long that takes, as JSON:
//! `lintern-bench-rego RULES RECORDS`. The time to evaluate is told alone, and with what it takes to hand the records over
//! as JSON: lintern's time has the handing over of the plan in it.

use regorus::{Engine, Value};
use std::time::{Duration, Instant};

/// How long it is measured at least.
const LEAST: Duration = Duration::from_secs(3);

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [rules, records] = &arguments[..] else { return Err("two arguments: rules, records".into()) };
    let mut engine = Engine::new();
    engine.add_policy_from_file(rules).map_err(|error| error.to_string())?;
    let records = std::fs::read_to_string(records)?;
    let (mut alone, mut with_input) = (Vec::new(), Vec::new());
    let began = Instant::now();
    let mut found = Value::Undefined;
    while alone.len() < 5 || began.elapsed() < LEAST {
        let mut own = engine.clone();
        let start = Instant::now();
        own.set_input(Value::from_json_str(&records).map_err(|error| error.to_string())?);
        let handed_over = Instant::now();
        found = own.eval_rule("data.lintern.findings".to_owned()).map_err(|error| error.to_string())?;
        alone.push(handed_over.elapsed().as_secs_f64());
        with_input.push(start.elapsed().as_secs_f64());
    }
    let median = |mut times: Vec<f64>| {
        times.sort_by(f64::total_cmp);
        times[times.len() / 2]
    };
    let found: serde_json::Value = serde_json::from_str(&found.to_json_str().map_err(|error| error.to_string())?)?;
    let (seconds, with_input) = (median(alone), median(with_input));
    println!("{}", serde_json::json!({ "seconds": seconds, "with-input": with_input, "findings": found }));
    Ok(())
}
