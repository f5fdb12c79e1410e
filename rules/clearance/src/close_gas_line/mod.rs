//! Buried lighting cable too near a gas line.

use crate::distance::{Unit, written};
use crate::methods;
use crate::table::GAS_LINE;
use lintern_rule::compare::below;
use lintern_rule::facts::UtilityDistance;
use lintern_rule::plan::{Run, UtilityKind};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "clearance/close-gas-line",
    title: "Buried lighting cable comes too near a gas line",
    level: Level::Advice,
    waivable: true,
    settings: &[
        Setting::table(
            "minimum-separation",
            "in",
            Tighter::Higher,
            "clear distance between cable and gas line in the ground",
        ),
        Setting::table("minimum-separation-metric", "mm", Tighter::Higher, "the same for a plan in metres"),
    ],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

/// Millimetres in an inch, exact.
const MM_PER_INCH: f64 = 25.4;
/// Half of the widest that a line is taken to be where the plan does not say: a pass has to hold for it too.
const WIDEST_RADIUS_M: f64 = 0.3048;

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    let gas = |index: u32| input.utilities()[index as usize].kind == UtilityKind::Gas;
    if !input.utilities().iter().any(|utility| utility.kind == UtilityKind::Gas) {
        return;
    }
    let (number, unit, setting) = match Unit::of(input) {
        Unit::Feet => (GAS_LINE.feet * 12.0, "in", "minimum-separation"),
        Unit::Metres => (GAS_LINE.metres * 1000.0, "mm", "minimum-separation-metric"),
    };
    let source = "CGA Best Practices, practice 2.12";
    let limit =
        Limit::new("clear distance to a gas line", number, unit, Tighter::Higher, source).given(settings, setting);
    for (index, run) in input.runs().iter().enumerate() {
        let segments = &input.run_pieces()[index];
        if segments.iter().any(Option::is_none) {
            report.undetermined(&run.id, [format!("`at` of the ends of {}", run.id)]);
        }
        report.checked(&run.id);
        report.limit(&run.id, &limit);
        let mut worst: Vec<Approach> = Vec::new();
        for piece in segments.iter().flatten().flatten() {
            let method = methods::of_piece(input, run, piece);
            if method.is_some_and(|method| !methods::is_buried(method)) {
                continue;
            }
            let exception = input.exception(run, &piece.zones).and_then(|(_, own)| own.cover.as_ref());
            let cover = exception.or(run.cover.as_ref());
            let cover_m = cover.map(|cover| cover.metres);
            for near in piece.utilities.iter().filter(|near| gas(near.utility)) {
                let own = Approach::of(input, near, cover_m, method.is_none());
                match worst.iter_mut().find(|known| known.utility == own.utility) {
                    Some(known) if own.is_worse_than(known) => *known = own,
                    Some(_) => {}
                    None => worst.push(own),
                }
            }
        }
        for approach in worst {
            approach.judge(input, run, unit, &limit, report);
        }
    }
}

/// How a run and a gas line come together where they are nearest.
#[derive(Debug, Clone, Copy)]
struct Approach {
    utility: u32,
    /// From the drawn line, its middle.
    horizontal_m: f64,
    crosses: bool,
    cover_m: Option<f64>,
    /// From the cable to the top of the line in the ground, and half the width of the line.
    section: Section,
    method_missing: bool,
}

/// What is known of the section through cable and line.
#[derive(Debug, Clone, Copy)]
struct Section {
    depth_m: Option<f64>,
    width_m: Option<f64>,
}

impl Approach {
    fn of(input: &Input, near: &UtilityDistance, cover_m: Option<f64>, method_missing: bool) -> Self {
        let utility = &input.utilities()[near.utility as usize];
        let section = Section {
            depth_m: utility.depth.as_ref().map(|depth| depth.metres),
            width_m: utility.width.as_ref().map(|width| width.metres),
        };
        let (utility, crosses) = (near.utility, near.crosses);
        Self { utility, horizontal_m: near.distance_m, crosses, cover_m, section, method_missing }
    }

    /// Clear distance in section: from the top of the cable to the outside of the line, whose middle is half its
    /// width below its top. `None` without both depths. Without a width the line counts as a thread, which can only
    /// make the distance too large.
    fn clear_m(&self) -> Option<f64> {
        self.clear_of_m(self.section.width_m.unwrap_or(0.0) / 2.0)
    }

    fn clear_of_m(&self, radius_m: f64) -> Option<f64> {
        let vertical_m = self.section.depth_m? + radius_m - self.cover_m?;
        Some((self.horizontal_m.hypot(vertical_m) - radius_m).max(0.0))
    }

    fn is_worse_than(&self, other: &Self) -> bool {
        let key = |own: &Self| own.clear_m().unwrap_or(own.horizontal_m);
        key(self) < key(other)
    }

    /// Whether the widest of lines would come nearer than the limit.
    fn may_be_closer(&self, limit: &Limit, scale: impl Fn(f64) -> f64) -> bool {
        let edge = scale((self.horizontal_m - WIDEST_RADIUS_M).max(0.0));
        let clear = self.clear_of_m(WIDEST_RADIUS_M).map(scale);
        below(edge, limit.value()) && clear.is_none_or(|clear| below(clear, limit.value()))
    }

    fn judge(&self, input: &Input, run: &Run, unit: &'static str, limit: &Limit, report: &mut Report) {
        let line = &input.utilities()[self.utility as usize];
        let scale = |metres: f64| if unit == "in" { metres * 1000.0 / MM_PER_INCH } else { metres * 1000.0 };
        let horizontal = scale(self.horizontal_m);
        let edge = scale((self.horizontal_m - self.section.width_m.unwrap_or(0.0) / 2.0).max(0.0));
        // Seen from above they are never farther apart than in section.
        let clear = self.clear_m().map(scale);
        let compared = limit.compare(clear.unwrap_or(edge)).field("route");
        if self.method_missing && below(edge, limit.value()) {
            report.undetermined(&run.id, [format!("`method` of {}", run.id)]);
            return;
        }
        if compared.passes() {
            if self.section.width_m.is_none() && self.may_be_closer(limit, scale) {
                report.undetermined(&run.id, [format!("`width` of {}", line.id)]);
            } else {
                report.passes(&run.id, &compared);
            }
            return;
        }
        let meets = if self.crosses { "crosses" } else { "comes near" };
        let (level, message) = match clear {
            Some(clear) => (
                Level::Advice,
                format!(
                    "{} {meets} gas line {} with {} clear, less than {} {unit}",
                    run.id,
                    line.id,
                    written(clear, limit),
                    limit.value()
                ),
            ),
            None => (
                Level::Reminder,
                format!(
                    "{} {meets} gas line {}, {} from its edge seen from above; how deep one of them lies is not stated, so measure when it is exposed and keep {} {unit} clear",
                    run.id,
                    line.id,
                    written(edge, limit),
                    limit.value()
                ),
            ),
        };
        let mut finding = report
            .finding(&run.id)
            .level(level)
            .related([line.id.as_str()])
            .basis(Basis::practice("CGA Best Practices", "practice 2.12"))
            .message(message)
            .breaks(&compared)
            .work("from the middle of the line, seen from above", horizontal, unit, "computed from the plan");
        let depths = [("depth to the top of the line", self.section.depth_m), ("cover of the cable", self.cover_m)];
        for (name, metres) in depths.into_iter().chain([("outside width of the line", self.section.width_m)]) {
            if let Some(metres) = metres {
                finding = finding.work(name, scale(metres), unit, "plan");
            }
        }
        finding
            .help("move the cable, change its depth, or put a shield between that the gas operator accepts; clear = sqrt(h² + (depth + width/2 − cover)²) − width/2, and the operator's own rule goes before this one")
            .add();
    }
}
