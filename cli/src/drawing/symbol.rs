//! The symbols of a site drawing.

use super::shape::{Anchor, Area, Ink, Shape, Spot, Stroke, Text, line, spot, stroke};
use lintern_core::plan::model::{Method, UtilityKind, ZoneKind};

/// Radius of a luminaire, mm.
pub const LUMINAIRE_MM: f64 = 1.7;
/// Half of the side of a supply, mm.
pub const SUPPLY_MM: f64 = 2.4;
/// Radius of a junction, mm.
pub const JUNCTION_MM: f64 = 0.8;

/// A luminaire: a circle with the mark of its type.
pub fn luminaire(at: Spot, mark: &str, fails: bool) -> Vec<Shape> {
    let ring = Shape::Circle { at, radius_mm: LUMINAIRE_MM, stroke: Some(line(0.3)), fill: Some(Ink::Paper) };
    let size_mm = if mark.chars().count() > 1 { 1.6 } else { 2.1 };
    let letter =
        Text { at: at.plus(0.0, 0.36 * size_mm), text: mark.to_owned(), size_mm, anchor: Anchor::Middle, bold: true };
    let mut shapes = vec![ring, Shape::Text(letter)];
    if fails {
        shapes.insert(0, Area::around(at, LUMINAIRE_MM + 0.8).outline(Some(line(0.45)), None));
    }
    shapes
}

/// A supply: a box with the two windings of a transformer.
pub fn supply(at: Spot, fails: bool) -> Vec<Shape> {
    let mut shapes = Vec::new();
    if fails {
        shapes.push(Area::around(at, SUPPLY_MM + 0.8).outline(Some(line(0.45)), None));
    }
    shapes.push(Area::around(at, SUPPLY_MM).outline(Some(line(0.35)), Some(Ink::Paper)));
    for x_mm in [-0.7, 0.7] {
        let at = at.plus(x_mm, 0.0);
        shapes.push(Shape::Circle { at, radius_mm: 1.1, stroke: Some(line(0.3)), fill: None });
    }
    shapes
}

/// A junction: a dot.
pub fn junction(at: Spot, fails: bool) -> Vec<Shape> {
    let mut shapes = vec![Shape::Circle { at, radius_mm: JUNCTION_MM, stroke: None, fill: Some(Ink::Full) }];
    if fails {
        shapes.push(Area::around(at, JUNCTION_MM + 0.8).outline(Some(line(0.45)), None));
    }
    shapes
}

/// The line of a run that is laid in this way.
pub fn run(method: Option<Method>) -> Stroke {
    let dashes_mm: &[f64] = match method {
        Some(Method::DirectBurial) => &[],
        Some(Method::PvcConduit) => &[3.0, 1.0],
        Some(Method::RigidMetalConduit) => &[4.0, 0.8, 0.8, 0.8],
        Some(Method::Surface) => &[0.5, 0.7],
        Some(Method::Aerial) => &[5.0, 1.0, 0.5, 1.0, 0.5, 1.0],
        None => &[1.2, 1.2],
    };
    Stroke { ink: Ink::Full, width_mm: 0.45, dashes_mm }
}

/// What a way of laying is called in the legend.
pub fn method_name(method: Option<Method>) -> String {
    match method {
        Some(method) => method.to_string().replace('-', " "),
        None => "not stated or several".to_owned(),
    }
}

/// The line of a buried line of others, as the layers that make it.
///
/// A line whose place is only assumed is broken.
pub fn utility(path: &[Spot], kind: UtilityKind, known: bool) -> Vec<Shape> {
    let dashes_mm: &[f64] = if known { &[] } else { &[2.2, 1.2] };
    // The colour alone would be too pale in print for some kinds.
    vec![
        stroke(path.to_vec(), Stroke { ink: Ink::Full, width_mm: 1.1, dashes_mm }),
        stroke(path.to_vec(), Stroke { ink: Ink::Utility(kind), width_mm: 0.75, dashes_mm }),
    ]
}

/// The letters on a buried line, as surveyors write them.
pub fn utility_letters(kind: UtilityKind) -> &'static str {
    match kind {
        UtilityKind::Electric => "E",
        UtilityKind::Gas => "G",
        UtilityKind::Communication => "C",
        UtilityKind::Water => "W",
        UtilityKind::ReclaimedWater => "RW",
        UtilityKind::Sewer => "S",
        UtilityKind::Irrigation => "IR",
    }
}

/// The letters in a patch of paper, with a question mark where the place is only assumed.
pub fn utility_letter(at: Spot, kind: UtilityKind, known: bool) -> Vec<Shape> {
    let letters = format!("{}{}", utility_letters(kind), if known { "" } else { "?" });
    let patch = Area {
        left_mm: at.x_mm - 0.4 - 0.75 * letters.len() as f64,
        top_mm: at.y_mm - 1.3,
        width_mm: 0.8 + 1.5 * letters.len() as f64,
        height_mm: 2.6,
    };
    let text = Text { at: at.plus(0.0, 0.75), text: letters, size_mm: 2.1, anchor: Anchor::Middle, bold: true };
    vec![patch.outline(None, Some(Ink::Paper)), Shape::Text(text)]
}

/// What an area is filled with: a tint of the ink, and lines so far apart at an angle.
pub fn ground(kind: ZoneKind) -> (Option<Ink>, Option<(f64, f64)>) {
    match kind {
        ZoneKind::Building => (Some(Ink::Tint(10)), Some((2.0, 45.0))),
        ZoneKind::Driveway | ZoneKind::Parking | ZoneKind::Road => (Some(Ink::Tint(12)), None),
        ZoneKind::Walk | ZoneKind::Slab => (Some(Ink::Tint(6)), None),
        ZoneKind::Pool | ZoneKind::Spa | ZoneKind::Fountain | ZoneKind::Pond => (Some(Ink::Paper), Some((1.4, 0.0))),
        ZoneKind::LowGround => (Some(Ink::Paper), Some((3.5, 0.0))),
        ZoneKind::Rock => (Some(Ink::Paper), Some((3.5, -45.0))),
        ZoneKind::Lawn | ZoneKind::Bed => (Some(Ink::Paper), None),
    }
}

/// An arrow to the north, turned clockwise by so much from the upward direction of the paper.
pub fn north(at: Spot, clockwise_rad: f64) -> Vec<Shape> {
    const LENGTH_MM: f64 = 11.0;
    let (sin, cos) = clockwise_rad.sin_cos();
    let point = |along: f64, across: f64| at.plus(along * sin + across * cos, -along * cos + across * sin);
    let half = |across: f64, fill| Shape::Path {
        points: vec![point(LENGTH_MM / 2.0, 0.0), point(-LENGTH_MM / 2.0, across), point(-LENGTH_MM / 3.2, 0.0)],
        closed: true,
        stroke: Some(line(0.25)),
        fill: Some(fill),
    };
    let letter = point(LENGTH_MM / 2.0 + 2.2, 0.0);
    let letter = Text {
        at: spot(letter.x_mm, letter.y_mm + 1.1),
        text: "N".to_owned(),
        size_mm: 3.2,
        anchor: Anchor::Middle,
        bold: true,
    };
    vec![half(-2.6, Ink::Full), half(2.6, Ink::Paper), Shape::Text(letter)]
}
