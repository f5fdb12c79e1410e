//! What expressions come to: against the specification of the language, and against the known library.

use super::{Scope, Source, Stop, Value, eval};
use crate::check::{Names, check};
use crate::schema::{Kind, element};
use lintern_rule::plan::{LuminaireType, Method, Run, Segment};
use lintern_rule::{Given, Input, Length, NodeRef, blank};

/// Three runs: R1 buried 12 in deep, R2 says nothing, R3 in metric.
fn input() -> Input {
    let length = |value, unit: &str, metres| Some(Length { value, unit: unit.to_owned(), metres });
    let segment =
        |length_m| Segment { start: NodeRef::Output((0, 0)), end: NodeRef::Luminaire(0), length_m, path: Vec::new() };
    let run = |id: &str| Run { segments: vec![segment(10.0), segment(20.5)], ..blank::run(id, 0) };
    Input::from(Given {
        luminaire_types: vec![LuminaireType { flux_lm: Some(450.0), ..blank::luminaire_type("well-6", 6.0) }],
        luminaires: vec![blank::luminaire("L1", 0), blank::luminaire("L2", 0)],
        cable_types: vec![blank::cable_type("burial-12-2")],
        runs: vec![
            Run {
                method: Some(Method::DirectBurial),
                cover: length(12.0, "in", 0.3048),
                barrier: Some(true),
                house: vec![("crew".to_owned(), "north".to_owned())],
                ..run("R1")
            },
            run("R2"),
            Run { cover: length(304.8, "mm", 0.3048), ..run("R3") },
        ],
        run_pieces: vec![vec![None, None]; 3],
        ..Given::default()
    })
}

fn value<'a>(input: &'a Input, run: u32, text: &str) -> Result<Value<'a>, Stop> {
    let checked = check(text, Names { kind: Kind::Run, settings: &[] });
    let checked = checked.unwrap_or_else(|mistakes| panic!("{text}: {mistakes:?}"));
    let mut scope = Scope { input, kind: Kind::Run, element: element(run), settings: &[], locals: Vec::new() };
    eval(&checked.node, Source(text), &mut scope)
}

fn missing(run: u32, text: &str) -> Vec<String> {
    match value(&input(), run, text) {
        Err(Stop(missing)) => missing,
        Ok(value) => panic!("{text} is {value:?}"),
    }
}

#[test]
fn numbers_are_of_one_type_and_lengths_exact() {
    let input = input();
    for text in [
        "7 / 2 == 3.5",
        "run.length_m * 2 == 61",
        "run.length_m == 30.5",
        "run.cover_in == 12",
        "run.cover_ft == 1",
        "run.cover_mm == 304.8",
        "run.cover_m == 0.3048",
        "0.1 + 0.2 == 0.3",
        "7 % 3 == 1 && -7 % 3 == -1",
        "1 == 1.0",
        "min(3, 2) == 2 && max([1, 5, 3]) == 5 && abs(-2) == 2",
        "sum(luminaires.map(l, l.type.flux_lm)) == 900",
        "size(luminaires.filter(l, l.id == \"L1\")) == 1",
        "size(\"café\") == 4",
        "int(3.9) == 3 && int(-3.9) == -3 && double(\"2.5\") == 2.5",
        "string(2.5) + \" m\" == \"2.5 m\"",
        "runs[0].id == \"R1\"",
        "run.house.crew == \"north\" && \"crew\" in run.house",
        "days_between(\"2026-03-02\", \"2026-03-09\") == 7",
        "run.cable.name == \"burial-12-2\"",
    ] {
        assert_eq!(value(&input, 0, text), Ok(Value::Flag(true)), "{text}");
    }
    // 304.8 mm is 12 in.
    assert_eq!(value(&input, 2, "run.cover_in >= 12 && run.cover_in == 12"), Ok(Value::Flag(true)));
}

#[test]
fn what_is_missing_is_named_as_in_the_plan() {
    assert_eq!(missing(1, "run.cover_in > 1"), ["`cover` of R2"]);
    assert_eq!(missing(1, "run.cover_in > 1 && run.method == \"surface\""), ["`cover` of R2", "`method` of R2"]);
    assert_eq!(missing(0, "runs.map(r, r.cover_in)"), ["`cover` of R2"]);
    assert_eq!(missing(0, "luminaires[0].type.cct_k > 1"), ["`cct` of type `well-6`"]);
    assert_eq!(missing(0, "run.house.truck == \"1\""), ["`house.truck` of R1"]);
    assert_eq!(missing(0, "dig.called > \"2026-01-01\""), ["`dig`"]);
    assert_eq!(missing(0, "project.code == \"nec-2023\""), ["`project.code`"]);
    assert_eq!(missing(1, "run.zones.all(z, true)"), ["the places of its ends"]);
}

#[test]
fn has_asks_without_being_stopped() {
    let input = input();
    for (run, text, expected) in [
        (0, "has(run.cover_in)", true),
        (1, "has(run.cover_in)", false),
        (1, "has(run.cover_in) && run.cover_in > 1", false),
        (1, "!has(run.cover_in) || run.cover_in > 1", true),
        (0, "has(dig.called)", false),
        (0, "has(run.house.crew) && !has(run.house.truck)", true),
        (0, "has(luminaires[0].excavation.width_m)", false),
    ] {
        assert_eq!(value(&input, run, text), Ok(Value::Flag(expected)), "{text}");
    }
}

/// langdef.md, "Logical operators": an error on one side does not matter where the other side decides; "Macros": `all`
/// and `exists` absorb errors likewise, `exists_one` does not.
#[test]
fn errors_are_absorbed_as_the_specification_says() {
    let input = input();
    let error = "1 / 0 == 1";
    for (text, expected) in [
        (format!("true || {error}"), Some(true)),
        (format!("{error} || true"), Some(true)),
        (format!("false && {error}"), Some(false)),
        (format!("{error} && false"), Some(false)),
        (format!("{error} || false"), None),
        (format!("{error} && true"), None),
        (format!("true ? true : {error}"), Some(true)),
        (format!("false ? {error} : false"), Some(false)),
        (format!("{error} ? true : true"), None),
        ("[1, 0].exists(x, 1 / x > 0)".to_owned(), Some(true)),
        ("[0, 1].exists(x, 1 / x > 0)".to_owned(), Some(true)),
        ("[0, 1].exists(x, 1 / x < 0)".to_owned(), None),
        ("[0, 1].all(x, 1 / x < 0)".to_owned(), Some(false)),
        ("[0, 1].all(x, 1 / x > 0)".to_owned(), None),
        ("[0, 1].exists_one(x, 1 / x > 0)".to_owned(), None),
        ("[].all(x, false)".to_owned(), Some(true)),
        ("[].exists(x, true)".to_owned(), Some(false)),
    ] {
        assert_eq!(value(&input, 0, &text).ok(), expected.map(Value::Flag), "{text}");
    }
}

#[test]
fn what_has_no_answer_says_why() {
    assert_eq!(missing(0, "1 / 0 > 1"), ["an answer of `1 / 0`: it divides by zero"]);
    assert_eq!(missing(0, "1e308 * 10 > 1"), ["an answer of `1e308 * 10`: the number is too large"]);
    assert_eq!(missing(0, "7.5 % 2 > 1"), ["an answer of `7.5 % 2`: `%` needs whole numbers"]);
    assert_eq!(
        missing(0, "runs[9].id == \"\""),
        ["an answer of `runs[9]`: the list has 3 items, counted from 0, and no item 9"]
    );
    assert_eq!(
        missing(0, "runs[0.5].id == \"\""),
        ["an answer of `runs[0.5]`: the list has 3 items, counted from 0, and no item 0.5"]
    );
    assert_eq!(
        missing(0, "min([1].filter(x, x > 1)) > 1"),
        ["an answer of `min([1].filter(x, x > 1))`: the list is empty"]
    );
    assert_eq!(missing(0, "double(\"x\") > 1"), ["an answer of `double(\"x\")`: `x` is no number"]);
}

/// The known library on the same text. Numbers are written as doubles for it, since it keeps whole ones apart.
#[test]
fn the_known_library_comes_to_the_same() {
    let input = input();
    let atoms = ["1.0", "2.5", "-3.0", "0.0", "7.0"];
    let mut compared = 0;
    let mut state = 20_260_305_u64;
    let mut pick = |of: usize| {
        // A linear congruential generator: the constants of Knuth's MMIX.
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(state >> 33).unwrap_or(0) % of
    };
    fn number(depth: u32, pick: &mut dyn FnMut(usize) -> usize, atoms: &[&str]) -> String {
        if depth == 0 || pick(3) == 0 {
            return atoms[pick(atoms.len())].to_owned();
        }
        let operator = ["+", "-", "*"][pick(3)];
        let (left, right) = (number(depth - 1, pick, atoms), number(depth - 1, pick, atoms));
        if pick(2) == 0 { format!("({left} {operator} {right})") } else { format!("{left} {operator} {right}") }
    }
    fn flag(depth: u32, pick: &mut dyn FnMut(usize) -> usize, atoms: &[&str]) -> String {
        if depth == 0 {
            let operator = ["==", "!=", "<", "<=", ">", ">="][pick(6)];
            return format!("{} {operator} {}", number(2, pick, atoms), number(2, pick, atoms));
        }
        let (a, b) = (flag(depth - 1, pick, atoms), flag(depth - 1, pick, atoms));
        match pick(8) {
            0 => format!("!({a})"),
            1 => format!("({a}) == ({b})"),
            2 => format!("({a} ? {b} : true)"),
            3 => format!("[1.0, 2.0, 3.0].all(x, x > {} || {a})", number(1, pick, atoms)),
            4 => format!("[1.0, 2.0].exists(x, x in [{}, 2.0] && {b})", number(1, pick, atoms)),
            5 => format!(
                "[1.0, 2.0, 4.0].filter(x, x >= {}).map(x, x * 2.0).exists_one(y, y > 3.0) && {b}",
                number(1, pick, atoms)
            ),
            6 => format!("{a} && {b} || \"a\\u00e9b\".contains('é')"),
            _ => format!("{a} || {b}"),
        }
    }
    for _ in 0..400 {
        let text = flag(2, &mut pick, &atoms);
        let theirs = cel::Program::compile(&text).unwrap_or_else(|error| panic!("{text}: {error}"));
        let theirs = theirs.execute(&cel::Context::default());
        let ours = value(&input, 0, &text);
        match (&theirs, &ours) {
            (Ok(cel::Value::Bool(theirs)), Ok(Value::Flag(ours))) => {
                assert_eq!(ours, theirs, "{text}");
                compared += 1;
            }
            _ => panic!("{text}: theirs is {theirs:?}, ours {ours:?}"),
        }
    }
    assert_eq!(compared, 400);
}
