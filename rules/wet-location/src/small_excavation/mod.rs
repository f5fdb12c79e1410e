//! A hole that is too small for the in-ground luminaire that it is dug for.

use crate::support::{in_ground, seen};
use lintern_rule::compare::plain;
use lintern_rule::plan::Excavation;
use lintern_rule::prelude::*;

/// About twice the luminaire each way, %. Common practice, no source.
const TWICE: f64 = 200.0;

pub const RULE: Rule = Rule {
    id: "wet-location/small-excavation",
    title: "The hole for an in-ground luminaire is too small",
    level: Level::Advice,
    waivable: true,
    settings: &[
        Setting::number("width", TWICE, "%", Tighter::Higher, "least width of the hole, of the luminaire's width"),
        Setting::number("depth", TWICE, "%", Tighter::Higher, "least depth of the hole, of the luminaire's body depth"),
    ],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    for (_, luminaire, kind) in in_ground(input) {
        let id = &luminaire.id;
        let hole = luminaire.excavation.as_ref();
        match (hole.and_then(|hole| hole.width.as_ref()), kind.width.as_ref()) {
            (Some(hole), Some(body)) => {
                let limit = share("least width of the hole, of the luminaire's", settings, "width");
                let measure = Measure::of(hole);
                let needed = measure.take(body) * limit.value() / 100.0;
                judge(id, Side::Width, &measure, needed, &limit, report, |draft| {
                    draft.work("width of the luminaire", measure.take(body), measure.unit, "plan")
                });
            }
            (hole, body) => {
                report.undetermined(id, missing(id, &kind.name, Side::Width, hole.is_none(), body.is_none()))
            }
        }
        match (hole.and_then(|hole| Some((hole, hole.depth.as_ref()?))), kind.body_depth.as_ref()) {
            (Some((whole, hole)), Some(body)) => {
                let limit = share("least depth of the hole, of the body's", settings, "depth");
                let measure = Measure::of(hole);
                let bed = bed(whole, &measure);
                let body = measure.take(body);
                let needed = (body * limit.value() / 100.0).max(body + bed);
                judge(id, Side::Depth, &measure, needed, &limit, report, |draft| {
                    draft
                        .work("depth of the luminaire's body", body, measure.unit, "plan")
                        .work("bed below it", bed, measure.unit, "`excavation.base-depth`")
                        .work("body and bed together", body + bed, measure.unit, "body + bed")
                });
            }
            (hole, body) => {
                report.undetermined(id, missing(id, &kind.name, Side::Depth, hole.is_none(), body.is_none()))
            }
        }
    }
}

/// Which side of the hole.
#[derive(Clone, Copy)]
enum Side {
    Width,
    Depth,
}

impl Side {
    fn name(self) -> &'static str {
        match self {
            Self::Width => "width",
            Self::Depth => "depth",
        }
    }
}

/// A side of the hole in the unit system that the plan wrote it in.
struct Measure {
    value: f64,
    unit: &'static str,
    metric: bool,
}

impl Measure {
    fn of(length: &Length) -> Self {
        match length.is_metric() {
            true => Self { value: length.millimetres(), unit: "mm", metric: true },
            false => Self { value: length.inches(), unit: "in", metric: false },
        }
    }

    /// Another length in the same unit.
    fn take(&self, length: &Length) -> f64 {
        match self.metric {
            true => length.millimetres(),
            false => length.inches(),
        }
    }
}

fn share(what: &'static str, settings: &Settings, name: &str) -> Limit {
    Limit::new(what, TWICE, "%", Tighter::Higher, "common practice").given(settings, name)
}

/// The bed below the luminaire; 0 where none is stated, which asks for no more than the plan says.
fn bed(hole: &Excavation, measure: &Measure) -> f64 {
    hole.base_depth.as_ref().map_or(0.0, |bed| measure.take(bed))
}

fn judge<'a>(
    id: &str,
    side: Side,
    hole: &Measure,
    needed: f64,
    limit: &Limit,
    report: &'a mut Report,
    work: impl FnOnce(lintern_rule::FindingDraft<'a>) -> lintern_rule::FindingDraft<'a>,
) {
    let (name, unit) = (side.name(), hole.unit);
    let compared = limit.compare(hole.value).comes_to(needed, unit).field(format!("excavation.{name}"));
    if compared.passes() {
        report.passes(id, &compared);
        return;
    }
    let wide = match side {
        Side::Width => "wide",
        Side::Depth => "deep",
    };
    let draft = report
        .finding(id)
        .message(format!(
            "the hole for {id} is {} {unit} {wide}; the practice for its luminaire is at least {} {unit}",
            seen(hole.value, needed),
            plain(needed)
        ))
        // The authority of the share, and the length that it comes to.
        .breaks(&compared);
    work(draft).help(format!("dig it to a {name} of at least {} {unit}", plain(needed))).add();
}

fn missing(id: &str, kind: &str, side: Side, hole: bool, body: bool) -> Vec<String> {
    let name = side.name();
    let body_name = match side {
        Side::Width => "width",
        Side::Depth => "body-depth",
    };
    let hole = hole.then(|| format!("`excavation.{name}` of {id}"));
    let body = body.then(|| format!("`{body_name}` of type `{kind}`"));
    hole.into_iter().chain(body).collect()
}
