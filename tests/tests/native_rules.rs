//! The rules run natively say what their committed module says: of every case of every rule, of the demo plans, and of
//! all that a module tells, to the last field. The same sources twice compiled, with one difference that is known: the
//! powers and logarithms of the machine's library may differ from the module's in the last digit.
//!
//! With `LINTERN_RECORD` set to a folder, what was asked and answered is written there, a file a topic, for running
//! changed rules without the engine: `tests/mutants/run`.

use lintern_core::check::{CheckOptions, Telling, facts, requests};
use lintern_core::engine::{Engine, EngineOptions, Exchange, Input, Module};
use lintern_core::plan::load;
use lintern_core::plan::scalar::Date;
use lintern_core::repository::Repository;
use lintern_tests::scenario::plans;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// The day on which cases are judged.
const AS_OF: jiff::civil::Date = jiff::civil::date(2026, 3, 1);

#[test]
fn natively_rules_say_what_their_modules_say() {
    let (engine, _) = Engine::new(EngineOptions::default());
    let builtin = engine.load_builtin().expect("the module loads");
    let options = CheckOptions { as_of: Date(AS_OF), settings: Default::default(), amendments: Vec::new() };
    let mut recorded: BTreeMap<&str, Vec<Value>> = BTreeMap::new();
    let mut compared = 0;
    for (topic, native) in lintern_native::TOPICS {
        let module = builtin.of_topics(&[topic]);
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../rules").join(topic).join("src");
        let cases = yaml_below(&folder).into_iter().filter(|path| path.parent().is_some_and(|p| p.ends_with("cases")));
        let files: Vec<PathBuf> = cases.chain(yaml_below(&plans())).collect();
        assert!(files.len() > 6, "no cases of {topic}");
        for file in files {
            let Some(input) = input(&file, &options) else { continue };
            let records = input.to_json().to_string();
            let given = lintern_native::input(&records).expect("records keep their shape");
            let at = format!("{topic}, {}", file.display());
            let runs = [Telling::Nothing, Telling::Decisive, Telling::All].map(|telling| {
                let exchange = exchange(&module, &input, (&file, telling), &options);
                let asked = lintern_native::requests(exchange.requests.clone()).expect("requests keep their shape");
                let said = lintern_native::answers(&native.check(&given, &asked)).expect("answers have a form in JSON");
                same(&exchange.answers, &said, &at);
                compared += 1;
                exchange
            });
            decisive_is_of_all(&runs[1].answers, &runs[2].answers, &at);
            let runs = runs.map(|run| json!({ "requests": run.requests, "answers": run.answers }));
            recorded.entry(topic).or_default().push(json!({ "file": at, "records": records, "runs": runs }));
        }
    }
    assert!(compared > 1_000, "only {compared} runs were compared");
    if let Some(folder) = std::env::var_os("LINTERN_RECORD") {
        for (topic, runs) in recorded {
            let file = Path::new(&folder).join(format!("{topic}.json"));
            std::fs::write(&file, json!(runs).to_string()).expect("the folder can be written");
        }
    }
}

/// The comparison itself can fail.
#[test]
#[should_panic(expected = "x[0].b: 1.5 by the module, 1.6 natively")]
fn a_difference_is_told() {
    same(&json!([{ "a": "t", "b": 1.5 }]), &json!([{ "a": "t", "b": 1.6 }]), "x");
}

fn exchange(module: &Module, input: &Input, (file, telling): (&Path, Telling), options: &CheckOptions) -> Exchange {
    let repository = Repository::of(file).expect("a repository");
    let layout = load(&repository, file).layout.expect("it loads");
    module
        .exchange(input, &requests(module, &layout, options, telling))
        .unwrap_or_else(|error| panic!("{}: {error}", file.display()))
}

/// What is decisive is what breaks a limit, and what passes with the least room, as a share of the limit; the first of
/// them by element, field and name.
fn decisive_is_of_all(decisive: &Value, all: &Value, at: &str) {
    for (decisive, all) in list(decisive).iter().zip(list(all)) {
        let passes = |margin: &&Value| margin["passes"] == true;
        let number = |margin: &Value, name: &str| margin[name].as_f64().expect("a number");
        let room = |margin: &Value| {
            let (measured, limit) = (number(margin, "measured"), number(margin, "limit"));
            let room = if (limit - measured).abs() <= limit.abs() * 1e-9 { 0.0 } else { (limit - measured).abs() };
            if limit == 0.0 { f64::INFINITY } else { room / limit.abs() * 100.0 }
        };
        let least = list(&all["margins"]).iter().filter(passes).min_by(|a, b| room(a).total_cmp(&room(b)));
        let mut wanted: Vec<&Value> = list(&all["margins"]).iter().filter(|margin| !passes(margin)).collect();
        wanted.extend(least);
        let (mut told, mut wanted) = (json!(decisive["margins"]), json!(wanted));
        for list in [&mut told, &mut wanted] {
            list.as_array_mut().expect("a list").sort_by_key(Value::to_string);
        }
        assert_eq!(told, wanted, "{at}: {}", decisive["id"]);
    }
}

fn list(value: &Value) -> &[Value] {
    value.as_array().expect("a list")
}

/// The facts of a plan; none for what is no plan, such as a shared schedule.
fn input(file: &Path, options: &CheckOptions) -> Option<Input> {
    let repository = Repository::of(file).ok()?;
    Some(facts(&load(&repository, file).layout?, options))
}

fn yaml_below(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for entry in std::fs::read_dir(folder).expect("the folder is there") {
        let path = entry.expect("it can be listed").path();
        if path.is_dir() {
            files.extend(yaml_below(&path));
        } else if path.extension().is_some_and(|extension| extension == "yaml") {
            files.push(path);
        }
    }
    files.sort();
    files
}

/// Compares two values, numbers to a part in 10^12.
fn same(module: &Value, native: &Value, at: &str) {
    match (module, native) {
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
            for (index, (a, b)) in a.iter().zip(b).enumerate() {
                same(a, b, &format!("{at}[{index}]"));
            }
        }
        (Value::Object(a), Value::Object(b)) if a.keys().eq(b.keys()) => {
            for ((key, a), b) in a.iter().zip(b.values()) {
                same(a, b, &format!("{at}.{key}"));
            }
        }
        (Value::Number(a), Value::Number(b)) => {
            let (a, b) = (a.as_f64().expect("a number"), b.as_f64().expect("a number"));
            assert!((a - b).abs() <= 1e-12 * a.abs().max(b.abs()), "{at}: {a} by the module, {b} natively");
        }
        _ => assert_eq!(module, native, "{at}: the module on the left, native on the right"),
    }
}
