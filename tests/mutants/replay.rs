//! Runs the rules of a topic on what `tests/tests/native_rules.rs` recorded, and compares with what the committed module
//! answered. The folder of the recordings is in `LINTERN_RECORDED`, the topic in `LINTERN_TOPIC`.

use serde_json::Value;

#[test]
fn rules_answer_as_recorded() {
    let [folder, topic] = ["LINTERN_RECORDED", "LINTERN_TOPIC"].map(|name| std::env::var(name).expect(name));
    let text = std::fs::read_to_string(format!("{folder}/{topic}.json")).expect("recordings");
    let recorded: Vec<Value> = serde_json::from_str(&text).expect("JSON");
    let module = lintern_native::TOPICS.iter().find(|(name, _)| *name == topic).expect("a topic").1;
    assert!(recorded.len() > 6, "few recordings");
    for run in recorded {
        let given = lintern_native::input(run["records"].as_str().expect("records")).expect("records");
        for run in run["runs"].as_array().expect("runs") {
            let asked = lintern_native::requests(run["requests"].clone()).expect("requests");
            let said = lintern_native::answers(&module.check(&given, &asked)).expect("answers");
            assert!(same(&run["answers"], &said), "{}\n{said}", run["answers"]);
        }
    }
}

/// Numbers to a part in 10^12, as where they were recorded.
fn same(one: &Value, other: &Value) -> bool {
    match (one, other) {
        (Value::Array(a), Value::Array(b)) => a.len() == b.len() && a.iter().zip(b).all(|(a, b)| same(a, b)),
        (Value::Object(a), Value::Object(b)) => a.keys().eq(b.keys()) && a.values().zip(b.values()).all(|(a, b)| same(a, b)),
        (Value::Number(a), Value::Number(b)) => {
            let (a, b) = (a.as_f64().expect("a number"), b.as_f64().expect("a number"));
            (a - b).abs() <= 1e-12 * a.abs().max(b.abs())
        }
        _ => one == other,
    }
}
