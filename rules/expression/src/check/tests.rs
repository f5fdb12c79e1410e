//! What the checker refuses, where, and the way out.

use super::{Names, SettingType, check};
use crate::schema::Kind;
use crate::types::{Type, Unit};

fn settings() -> Vec<SettingType> {
    let setting = |name: &str, of| SettingType { name: name.to_owned(), of };
    vec![
        setting("least_cover", Type::Number(Unit::known("in"))),
        setting("longest", Type::Number(Unit::known("m"))),
        setting("share", Type::Number(Unit::known("%"))),
        setting("count", Type::Number(Unit::known(""))),
        setting("strict", Type::Flag),
        setting("crew", Type::Text(None)),
    ]
}

/// The mistakes of an expression: message, underlined text, help.
fn mistakes(kind: Kind, text: &str) -> Vec<(String, String, String)> {
    let settings = settings();
    match check(text, Names { kind, settings: &settings }) {
        Ok(_) => Vec::new(),
        Err(found) => found
            .into_iter()
            .map(|m| (m.message, text[m.span.from..m.span.to].to_owned(), m.help.unwrap_or_default()))
            .collect(),
    }
}

#[test]
fn each_mistake_has_its_place_and_its_way_out() {
    let rows = [
        (Kind::Run, "rum.cover_in > 1", "there is nothing called `rum` here", "rum", "did you mean `run`?"),
        (
            Kind::Run,
            "luminaire.volts > 1",
            "there is nothing called `luminaire` here",
            "luminaire",
            "this rule is `for: run`; write `run.…`",
        ),
        (Kind::Run, "run.covr_in > 1", "a run has no `covr_in`", "covr_in", "did you mean `cover_in`?"),
        (
            Kind::Run,
            "run.cover > 1",
            "a run has no `cover`",
            "cover",
            "say in which unit: `run.cover_m`, `run.cover_mm`, `run.cover_in`, `run.cover_ft`",
        ),
        (
            Kind::Luminaire,
            "luminaire.power_w > 1",
            "a luminaire has no `power_w`",
            "power_w",
            "write `luminaire.type.power_w`",
        ),
        (
            Kind::Run,
            "settings.last_cover > 1",
            "this rule has no setting `last_cover`",
            "last_cover",
            "did you mean `settings.least_cover`?",
        ),
        (
            Kind::Run,
            "lenght(runs) > 1",
            "there is no function `lenght` here",
            "lenght",
            "there are: has, size, int, double, string, abs, min, max, sum, days_between",
        ),
        (
            Kind::Run,
            "run.id.startswith(\"R\")",
            "there is no function `startswith` here",
            "startswith",
            "did you mean `startsWith`?",
        ),
        (
            Kind::Run,
            "run.method == \"direct-burail\"",
            "this is never `direct-burail`",
            "\"direct-burail\"",
            "did you mean `direct-burial`?",
        ),
        (
            Kind::Run,
            "run.method in [\"surface\", \"aeriel\"]",
            "this is never `aeriel`",
            "\"aeriel\"",
            "did you mean `aerial`?",
        ),
        (
            Kind::Run,
            "run.cover_m >= settings.least_cover",
            "compared numbers need one unit: `run.cover_m` is in m, `settings.least_cover` is in in",
            "run.cover_m >= settings.least_cover",
            "write `run.cover_in`",
        ),
        (
            Kind::Run,
            "run.length_m + run.length_ft > 3",
            "the numbers around `+` need one unit: `run.length_m` is in m, `run.length_ft` is in ft",
            "run.length_m + run.length_ft",
            "write `run.length_ft`",
        ),
        (
            Kind::Luminaire,
            "luminaire.volts > settings.share",
            "compared numbers need one unit: `luminaire.volts` is in V, `settings.share` is in %",
            "luminaire.volts > settings.share",
            "give the setting in V",
        ),
        (
            Kind::Run,
            "run.cover_in > \"12\"",
            "a text is compared with a number in in: they can't be equal",
            "run.cover_in > \"12\"",
            "write numbers without quotes and unit: `run.cover_in >= 12`",
        ),
        (
            Kind::Run,
            "!run.cover_in",
            "`!` needs true or false, and this is a number in in",
            "run.cover_in",
            "compare it: `… > 0`",
        ),
        (
            Kind::Run,
            "run.barrier == \"true\"",
            "a text is compared with true or false: they can't be equal",
            "run.barrier == \"true\"",
            "write `true` and `false` without quotes",
        ),
        (
            Kind::Run,
            "run.segments.length_m > 3",
            "this is a list, and a list has no `length_m`",
            "length_m",
            "`list.all(x, …)`, `list.exists(x, …)` and `list.map(x, …)` look at its items, `list[0]` is the first",
        ),
        (
            Kind::Run,
            "run.zones.exists(z, z.kind == \"drive\")",
            "this is never `drive`",
            "\"drive\"",
            "it is one of: lawn, bed, driveway, parking, road, walk, slab, building, pool, spa, fountain, pond, low-ground, rock, other",
        ),
        (
            Kind::Run,
            "runs.all(1, true)",
            "here stands a name for the items of the list",
            "1",
            "write it like `luminaires.all(x, x.volts > 11)`",
        ),
        (Kind::Plan, "dig.called < \"soon\"", "`soon` is no day", "\"soon\"", "write it like `\"2026-03-02\"`"),
        (
            Kind::Plan,
            "runs[0] == runs[1]",
            "objects are not compared",
            "runs[0] == runs[1]",
            "compare their `id` or `name`",
        ),
        (Kind::Run, "has(runs)", "`has` asks for a field", "runs", "write it like `has(run.cover_m)`"),
        (Kind::Run, "has(run.covr_in)", "a run has no `covr_in`", "covr_in", "did you mean `cover_in`?"),
        (
            Kind::Run,
            "[1, \"a\"] == [2]",
            "the items of a list have to be of one type; this is a text, the other is a number",
            "\"a\"",
            "",
        ),
        (
            Kind::Run,
            "run.id.matches(\"R.*\")",
            "there is no function `matches` here",
            "matches",
            "there are no patterns: use `contains`, `startsWith` or `endsWith`",
        ),
    ];
    for (kind, text, message, underlined, help) in rows {
        let found = mistakes(kind, text);
        let expected = [(message.to_owned(), underlined.to_owned(), help.to_owned())];
        assert_eq!(found, expected, "{text}");
    }
}

#[test]
fn all_mistakes_of_an_expression_are_told() {
    let found = mistakes(Kind::Run, "run.covr_in > 1 && rum.cover_in > 1 || run.method == \"buried\"");
    assert_eq!(
        found.iter().map(|(_, underlined, _)| underlined.as_str()).collect::<Vec<_>>(),
        ["covr_in", "rum", "\"buried\""]
    );
}

#[test]
fn what_is_sound_is_taken() {
    for (kind, text) in [
        (Kind::Run, "run.cover_in >= settings.least_cover"),
        (Kind::Run, "run.cover_in * 2 > run.length_m"),
        (Kind::Run, "run.cover_in + 1 > settings.least_cover"),
        (Kind::Run, "run.house.crew == settings.crew && \"crew\" in run.house"),
        (Kind::Run, "run.house[\"lay-crew\"] != \"\""),
        (Kind::Run, "has(run.house.crew)"),
        (Kind::Luminaire, "luminaire.type.ip.exists(code, code.water >= 7)"),
        (Kind::Luminaire, "\"pwm\" in luminaire.type.dimming"),
        (Kind::Plan, "sum(luminaires.map(l, l.type.power_w)) < 300"),
        (Kind::Plan, "size(luminaires) < settings.count"),
        (Kind::Plan, "dig.called < dig.starts && as_of >= \"2026-01-01\""),
        (Kind::Plan, "days_between(dig.called, dig.starts) >= 3"),
        (Kind::Supply, "supply.feed.breaker_a == 20 || settings.strict"),
        (Kind::Output, "output.amps < output.limit_a"),
        (Kind::Segment, "segment.pieces.all(p, p.utilities.all(u, u.distance_ft > 2 || u.utility.kind != \"gas\"))"),
        (Kind::Run, "run.method in [] || true"),
    ] {
        assert_eq!(mistakes(kind, text), [], "{text}");
    }
}
