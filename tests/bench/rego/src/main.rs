//! Runs `rules.rego` on the records of a plan and prints what it finds and how long that takes, as JSON:
//! `lintern-bench-rego RULES RECORDS`. Reading the records is not in the time.

use regorus::{Engine, Value};
use std::time::{Duration, Instant};

/// How long it is measured at least.
const LEAST: Duration = Duration::from_secs(3);

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [rules, records] = &arguments[..] else { return Err("two arguments: rules, records".into()) };
    let mut engine = Engine::new();
    engine.add_policy_from_file(rules).map_err(|error| error.to_string())?;
    engine.set_input(Value::from_json_file(records).map_err(|error| error.to_string())?);
    let mut seconds = Vec::new();
    let began = Instant::now();
    let mut found = Value::Undefined;
    while seconds.len() < 5 || began.elapsed() < LEAST {
        let mut own = engine.clone();
        let start = Instant::now();
        found = own.eval_rule("data.lintern.findings".to_owned()).map_err(|error| error.to_string())?;
        seconds.push(start.elapsed().as_secs_f64());
    }
    seconds.sort_by(f64::total_cmp);
    let found: serde_json::Value = serde_json::from_str(&found.to_json_str().map_err(|error| error.to_string())?)?;
    println!("{}", serde_json::json!({ "seconds": seconds[seconds.len() / 2], "findings": found }));
    Ok(())
}
