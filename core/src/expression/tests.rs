//! Whole files through the real engine, on the demo plans, with expectations computed by hand.

use super::{ExpressionFile, parse};
use crate::check::{CheckOptions, PlanReport, check};
use crate::engine::{Engine, EngineOptions, LoadExpressionsError, Module};
use crate::finding::{BasisKind, Level};
use crate::plan::load;
use crate::plan::scalar::Date;
use crate::repository::Repository;
use std::path::Path;
use std::sync::OnceLock;

fn engine() -> &'static Engine {
    static ENGINE: OnceLock<Engine> = OnceLock::new();
    ENGINE.get_or_init(|| {
        let options = EngineOptions { no_cache: true, ..EngineOptions::default() };
        Engine::new(options).0
    })
}

/// A file of one rule: `rest` follows its id and title.
fn file(rest: &str) -> ExpressionFile {
    let lines: String = rest.lines().map(|line| format!("    {line}\n")).collect();
    parse("house.yaml", format!("expressions: 1\nrules:\n  - id: house/rule\n    title: A rule\n{lines}").as_bytes())
}

fn loaded(file: &ExpressionFile) -> Module {
    match engine().load_expressions(file) {
        Ok(module) => module,
        Err(LoadExpressionsError::Wrong(wrong)) => panic!("{:#?}", shown(file, &wrong)),
        Err(LoadExpressionsError::Module(error)) => panic!("{error}"),
    }
}

/// Message and underlined text of each diagnostic.
fn shown(file: &ExpressionFile, wrong: &[crate::plan::Diagnostic]) -> Vec<(String, String)> {
    wrong
        .iter()
        .map(|d| (d.message.clone(), d.span.map_or(String::new(), |span| file.sources.text(span).to_owned())))
        .collect()
}

fn mistakes(file: &ExpressionFile) -> Vec<(String, String)> {
    match engine().load_expressions(file) {
        Err(LoadExpressionsError::Wrong(wrong)) => shown(file, &wrong),
        Err(LoadExpressionsError::Module(error)) => panic!("{error}"),
        Ok(_) => Vec::new(),
    }
}

fn report(plan: &str, file: &ExpressionFile) -> PlanReport {
    let plans = Path::new(env!("CARGO_MANIFEST_DIR")).join("../plans");
    let path = plans.join(plan);
    let repository = Repository::of(&path).expect("the demo repository opens");
    let module = loaded(file);
    let options = CheckOptions {
        as_of: Date(jiff::civil::date(2026, 3, 5)),
        settings: Default::default(),
        amendments: Vec::new(),
    };
    check(load(&repository, &path), &[&module], &options)
}

fn findings(report: &PlanReport) -> Vec<(&str, &str)> {
    assert!(report.errors.is_empty(), "{:?}", report.errors);
    report.findings.iter().map(|finding| (finding.subject.as_str(), finding.message.as_str())).collect()
}

const FRONT: &str = "fernhollow-court/front-garden.yaml";

#[test]
fn a_number_is_held_against_a_setting() {
    // R1 is the only run of 10 AWG and 8 in is the cover of every run: 12 in are asked of runs in 12 AWG.
    let file = file(
        "level: violation\nfor: run\nwhere: run.cable.conductor_awg == 12\nvalue: run.cover_in\nlimit: least-cover\n\
         settings:\n  least-cover: { default: 12 in, tighter: higher, about: least cover }\n\
         message: \"{run.id} has {run.cover_in} in, and {{we}} ask for {settings.least_cover:.1} in\"\n\
         basis: { document: Fernhollow Lighting Standard, edition: \"3\", section: \"4.2\" }",
    );
    let report = report(FRONT, &file);
    let expected: Vec<(String, String)> = ["R2", "R3", "R4", "R5"]
        .iter()
        .map(|id| ((*id).to_owned(), format!("{id} has 8 in, and {{we}} ask for 12.0 in")))
        .collect();
    let mut found: Vec<(String, String)> =
        findings(&report).into_iter().map(|(subject, message)| (subject.to_owned(), message.to_owned())).collect();
    found.sort();
    assert_eq!(found, expected);
    let finding = &report.findings[0];
    assert_eq!(finding.level, Level::Violation);
    assert_eq!(finding.basis.kind, BasisKind::Practice);
    assert_eq!(finding.basis.document.as_deref(), Some("Fernhollow Lighting Standard"));
    assert_eq!(finding.measured.as_ref().map(|m| (m.value, m.unit.as_str())), Some((8.0, "in")));
    assert_eq!(finding.limit.as_ref().map(|m| (m.value, m.unit.as_str())), Some((12.0, "in")));
    // The field is known from the value: the plan's own text is underlined.
    assert_eq!(report.loaded.sources.text(finding.span), "8 in");
    assert_eq!(report.told.len(), 4, "each comparison has its margin");
}

#[test]
fn a_condition_is_required_and_what_is_left_out_is_told() {
    let rest = "for: luminaire\nrequire: has(luminaire.exposure)\nmessage: \"{luminaire.id}: {luminaire.exposure}\"";
    let report = report(FRONT, &file(rest));
    let found = findings(&report);
    assert_eq!(found.len(), 8, "no luminaire of the plan states its exposure");
    assert!(found.contains(&("W1", "W1: (not stated)")), "{found:?}");
    // Without `has` the same is no finding: every element is undetermined, for want of a named input.
    let undetermined = self::report(FRONT, &file("for: luminaire\nrequire: luminaire.exposure == \"wet\"\nmessage: m"));
    assert!(undetermined.findings.is_empty());
    let verdict = format!("{:?}", undetermined.verdicts["house/rule"]);
    assert!(verdict.contains("`exposure` of W1"), "{verdict}");
}

#[test]
fn facts_and_places_are_seen() {
    // Four well lights of 6 W and four path lights of 3 W: 36 W.
    for (plan, rest) in [
        (FRONT, "for: plan\nrequire: sum(luminaires.map(l, l.type.power_w)) == 36 && size(runs) == 5\nmessage: m"),
        (FRONT, "for: supply\nrequire: supply.feed.breaker_a == 20 && supply.type.rating_va == 150\nmessage: m"),
        (FRONT, "for: luminaire\nrequire: luminaire.volts > 9 && luminaire.volts < 12.1\nmessage: m"),
        (FRONT, "for: run\nwhere: run.id == \"R2\"\nrequire: run.zones.exists(z, z.kind == \"walk\")\nmessage: m"),
        (FRONT, "for: plan\nrequire: days_between(dig.called, dig.starts) == 7\nmessage: m"),
        (FRONT, "for: output\nrequire: output.id == \"S1/12\" && output.luminaires == 8\nmessage: m"),
        (
            FRONT,
            "for: segment\nwhere: segment.run.id == \"R1\"\nrequire: segment.id == \"R1 from S1/12 to hub\"\nmessage: m",
        ),
        (FRONT, "for: zone\nwhere: zone.kind == \"walk\"\nrequire: zone.slab_thickness_in == 0\nmessage: m"),
        (FRONT, "for: utility\nwhere: utility.kind == \"gas\"\nrequire: utility.depth_ft == 2\nmessage: m"),
        (FRONT, "for: junction\nrequire: junction.runs == 5 && junction.splice.name == \"gel-cap\"\nmessage: m"),
        (FRONT, "for: plan\nrequire: records.mock_up == \"done\" && records.labels == \"planned\"\nmessage: m"),
    ] {
        let report = report(plan, &file(rest));
        assert_eq!(findings(&report), [], "{rest}");
        let verdict = format!("{:?}", report.verdicts["house/rule"]);
        assert!(verdict.contains("Pass"), "{rest}: {verdict}");
    }
}

#[test]
fn nothing_is_passed_by_silence() {
    let report = report(FRONT, &file("for: run\nwhere: run.id == \"X\"\nrequire: false\nmessage: m"));
    assert_eq!(findings(&report), []);
    let verdict = format!("{:?}", report.verdicts["house/rule"]);
    assert!(verdict.contains("NotApplicable"), "{verdict}");
}

#[test]
fn a_mistake_is_underlined_in_the_file_however_the_text_is_quoted() {
    for require in [
        "require: run.covr_in > 1",
        "require: \"run.covr_in > 1\"",
        "require: 'run.covr_in > 1'",
        "require: 'run.id == ''R1'' || run.covr_in > 1'",
        "require: \"run.id == \\\"R1\\\" || run.covr_in > 1\"",
        "require: |\n  run.id == \"R1\"\n  || run.covr_in > 1",
        "require: >-\n  run.id == \"R1\"\n  || run.covr_in > 1",
        "require: run.id == \"R1\"\n  || run.covr_in > 1",
    ] {
        let found = mistakes(&file(&format!("for: run\n{require}\nmessage: m")));
        assert_eq!(found, [("a run has no `covr_in`".to_owned(), "covr_in".to_owned())], "{require}");
    }
    let found = mistakes(&file("for: run\nrequire: run.barrier\nmessage: \"{run.id} and {rum.id}\""));
    assert_eq!(found, [("there is nothing called `rum` here".to_owned(), "rum".to_owned())]);
}

#[test]
fn all_mistakes_of_a_file_are_told_and_nothing_of_it_is_used() {
    let text = "expressions: 1\nrules:\n  - { id: house/a, title: A, for: rum, require: 'true', message: m }\n  - { id: House, title: B, for: run, message: m }\n  - { id: house/c, title: C, for: run, require: 'true', value: run.length_m, message: m }\n  - { id: house/c, title: D, for: run, requires: 'true', message: m }\n  - { id: house/e, title: E, for: run, value: run.length_m, limit: x, settings: { x: { default: 3 furlong } }, message: m }\n";
    let file = parse("house.yaml", text.as_bytes());
    let found: Vec<String> = file.diagnostics.iter().map(|d| d.message.clone()).collect();
    for expected in [
        "`rum` is not accepted here",
        "`House` is no id of a rule",
        "this rule tests nothing",
        "a rule has either `require` or `value` and `limit`",
        "there are two rules `house/c`",
        "unknown key `requires`",
        "`furlong` is no unit",
    ] {
        assert!(found.iter().any(|message| message.contains(expected)), "{expected} is not in {found:#?}");
    }
    assert!(file.rules.is_empty());
}

#[test]
fn a_limit_has_a_direction_and_a_unit() {
    let rule = |value: &str, setting: &str| {
        mistakes(&file(&format!("for: run\nvalue: {value}\nlimit: most\nsettings:\n  most: {setting}\nmessage: m")))
    };
    assert_eq!(rule("run.length_m", "{ default: 60 m, tighter: lower }"), []);
    assert_eq!(
        rule("run.length_m", "{ default: 60 m }"),
        [("setting `most` does not say which direction is stricter".to_owned(), "most".to_owned())]
    );
    assert_eq!(
        rule("run.length_m", "{ default: 60 ft, tighter: lower }"),
        [("value and limit need one unit: the value is in m, `most` is in ft".to_owned(), "run.length_m".to_owned())]
    );
    assert_eq!(
        rule("run.id", "{ default: 60 m, tighter: lower }"),
        [("this has to be a number, and it is a text".to_owned(), "run.id".to_owned())]
    );
}

#[test]
fn a_hostile_expression_ends_in_an_error_with_its_place() {
    let deep =
        mistakes(&file(&format!("for: run\nrequire: {}true{}\nmessage: m", "(".repeat(1_900), ")".repeat(1_900))));
    assert_eq!(deep[0].0, "this expression is nested more than 32 levels deep");
    let long = mistakes(&file(&format!("for: run\nrequire: '{}'\nmessage: m", "(".repeat(100_000))));
    assert!(long[0].0.starts_with("`require` has 100000 bytes"), "{long:?}");
    // Every kind of nesting as deep as it may be: the stack of a module holds it.
    for nested in [
        format!("{}true{}", "(".repeat(31), ")".repeat(31)),
        format!("{}true{}", "!(".repeat(31), ")".repeat(31)),
        format!("{}true", "true ? true : ".repeat(30)),
        format!("1{} > 0", " + 1".repeat(29)),
        format!("{}1{} == 1", "abs(".repeat(29), ")".repeat(29)),
        format!("{}true{}", "luminaires.filter(l, l.id == \"W1\").all(l, ".repeat(14), ")".repeat(14)),
    ] {
        let report = report(FRONT, &file(&format!("for: plan\nrequire: '{nested}'\nmessage: m")));
        assert!(report.errors.is_empty(), "{nested}: {:?}", report.errors);
    }
}

#[test]
fn what_computes_without_end_is_stopped_and_named() {
    let nested = "luminaires.all(a, luminaires.all(b, luminaires.all(c, luminaires.all(d, luminaires.all(e, \
                  luminaires.all(f, luminaires.all(g, luminaires.all(h, luminaires.all(i, luminaires.all(j, \
                  a.volts + j.volts > 0))))))))))";
    let report = report(FRONT, &file(&format!("for: luminaire\nrequire: '{nested}'\nmessage: m")));
    let errors: Vec<String> = report.errors.iter().map(|error| format!("{error:?}")).collect();
    assert_eq!(errors.len(), 1, "{errors:?}");
    assert!(errors[0].contains("house/rule") && errors[0].contains("house.yaml"), "{errors:?}");
    assert!(errors[0].contains("used up its computing budget"), "{errors:?}");
}

#[test]
fn no_other_module_may_import_the_rules_of_files() {
    let error = engine().load("thief", crate::engine::expression_module()).expect_err("it is refused");
    assert!(error.to_string().contains("imports `lintern:expressions/source@1.0.0`"), "{error}");
}

/// For each kind of the reference a list of its objects.
const LISTS: [(&str, &str); 22] = [
    ("plan", "[1].map(x, plan)"),
    ("project", "[1].map(x, project)"),
    ("records", "[1].map(x, records)"),
    ("dig", "[plan].filter(x, has(x.dig)).map(x, x.dig)"),
    ("supply", "supplies"),
    ("supply type", "supplies.map(s, s.type)"),
    ("feed", "supplies.filter(s, has(s.feed)).map(s, s.feed)"),
    ("output", "[supplies[0].outputs[0]]"),
    ("junction", "junctions"),
    ("luminaire", "luminaires"),
    ("luminaire type", "luminaires.map(l, l.type)"),
    ("IP code", "luminaires.filter(l, size(l.type.ip) > 0).map(l, l.type.ip[0])"),
    ("excavation", "luminaires.filter(l, has(l.excavation)).map(l, l.excavation)"),
    ("splice", "luminaires.filter(l, has(l.splice)).map(l, l.splice)"),
    ("run", "runs"),
    ("cable", "runs.map(r, r.cable)"),
    ("cover in a zone", "runs.filter(r, size(r.covers) > 0).map(r, r.covers[0])"),
    ("segment", "runs.map(r, r.segments[0])"),
    ("piece", "runs.filter(r, has(r.segments[0].pieces)).map(r, r.segments[0].pieces[0])"),
    ("zone", "zones"),
    ("utility", "utilities"),
    ("water nearby", "luminaires.filter(l, has(l.water)).filter(l, size(l.water) > 0).map(l, l.water[0])"),
];

/// What holds for every value of a type of the reference. Words are held against the list that the reference prints.
fn holds(of: &str, meaning: &str, field: &str) -> String {
    let words =
        || meaning.split('`').skip(1).step_by(2).map(|word| format!("\"{word}\"")).collect::<Vec<_>>().join(", ");
    match of {
        "word" => format!("x.{field} in [{}]", words()),
        "list of words" => format!("x.{field}.all(w, w in [{}])", words()),
        "true or false" => format!("x.{field} || !x.{field}"),
        "text" => format!("size(x.{field}) >= 0"),
        "day" => format!("x.{field} > \"1900-01-01\""),
        "texts by key" => format!("size(x.{field}) >= 0"),
        of if of.starts_with("number") => format!("x.{field} + 1 > x.{field}"),
        of if of.starts_with("list of") => format!("size(x.{field}) >= 0"),
        // An object: it is there or not.
        _ => format!("has(x.{field})"),
    }
}

/// The reference is printed from the table that the module reads values from. Every field of it is read here from every
/// demo plan, and has the type and the words that the reference says.
#[test]
fn the_table_agrees_with_the_values_of_the_demo_plans() {
    let reference = include_str!("../../../rules/expression/fields.md");
    let mut rules = String::from("expressions: 1\nrules:\n");
    let mut count = 0;
    for section in reference.split("\n## ").skip(2) {
        let (kind, table) = section.split_once('\n').expect("a title");
        let Some((_, list)) = LISTS.iter().find(|(name, _)| *name == kind) else {
            assert_eq!(kind, "utility nearby");
            continue;
        };
        for row in table.lines().filter(|line| line.starts_with("| `")) {
            let mut cells = row.split(" | ");
            let field = cells.next().unwrap_or_default().trim_matches(['|', '`', ' ']);
            let (of, meaning) = (cells.next().unwrap_or_default(), cells.next().unwrap_or_default());
            // The meaning may quote words of its own before the list of words.
            let meaning = meaning.rsplit_once(": ").map_or("", |(_, words)| words);
            let require = format!("{list}.all(x, !has(x.{field}) || {})", holds(of, meaning, field));
            count += 1;
            rules.push_str(&format!(
                "  - {{ id: house/rule-{count}, title: {field}, for: plan, require: '{require}', message: m }}\n"
            ));
        }
    }
    assert!(count > 200, "{count} fields were read");
    let file = parse("fields.yaml", rules.as_bytes());
    for plan in [
        FRONT,
        "quarry-lane/back-garden.yaml",
        "quarry-lane/side-yard.yaml",
        "saltmarsh-terrace/pool-terrace.yaml",
        "marlpit-green/green.yaml",
    ] {
        let report = report(plan, &file);
        assert_eq!(findings(&report), [], "{plan}");
        for (rule, verdict) in &report.verdicts {
            assert!(format!("{verdict:?}").contains("Pass"), "{plan}: {rule}: {verdict:?}");
        }
        assert_eq!(report.verdicts.len(), count);
    }
}
