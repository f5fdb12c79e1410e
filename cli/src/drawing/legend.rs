//! The column beside a site drawing: what its symbols and lines mean, north, and the scale.

use super::face::Weight;
use super::scale::Scale;
use super::shape::{Area, Ink, Shape, Stroke, bold, line, spot, stroke, text};
use super::site::View;
use super::{fill, symbol};
use lintern_core::plan::model::{Method, UtilityKind, ZoneKind};
use std::collections::BTreeSet;

/// Height of a line, mm.
const LINE_MM: f64 = 4.6;
/// Size of type, mm.
const TYPE_MM: f64 = 2.4;
/// Width of a sample, mm.
const SAMPLE_MM: f64 = 9.0;

/// What a drawing shows.
pub struct Used {
    /// Ways of laying.
    pub methods: BTreeSet<Option<Method>>,
    /// Kinds of buried lines, and whether their places are known.
    pub utilities: BTreeSet<(UtilityKind, bool)>,
    /// Kinds of ground.
    pub zones: BTreeSet<ZoneKind>,
}

/// Draws the column.
pub fn draw(view: &View<'_>, used: &Used, scale: Scale, area: &Area) -> Vec<Shape> {
    let mut column = Column { shapes: Vec::new(), area: *area, y_mm: area.top_mm + 1.0, left_out: 0 };
    column.north(view);
    column.shapes.extend(scale.bar(spot(area.left_mm + 2.0, area.bottom_mm() - 3.0), area.width_mm - 9.0));
    column.shapes.push(text(spot(area.left_mm + 2.0, area.bottom_mm() - 8.5), TYPE_MM, scale.text()));
    column.heading("Circuits");
    if !view.layout.supplies.is_empty() {
        column.row("supply", |at| symbol::supply(at, false));
    }
    if !view.layout.junctions.is_empty() {
        column.row("junction", |at| symbol::junction(at, false));
    }
    for &method in &used.methods {
        let across = |at: super::shape::Spot| vec![at.plus(-SAMPLE_MM / 2.0, 0.0), at.plus(SAMPLE_MM / 2.0, 0.0)];
        column
            .row(&format!("run, {}", symbol::method_name(method)), |at| vec![stroke(across(at), symbol::run(method))]);
    }
    if view.marks.of.values().any(|mark| mark.fails) {
        column.row("violation, by number", |at| framed(at, true));
    }
    if view.marks.of.values().any(|mark| !mark.fails) {
        column.row("other finding, by number", |at| framed(at, false));
    }
    if !used.utilities.is_empty() {
        column.heading("Buried lines of others");
        for &(kind, known) in &used.utilities {
            let place = if known { "" } else { ", place assumed" };
            column.row(&format!("{}{place}", kind.to_string().replace('-', " ")), |at| {
                let path = [at.plus(-SAMPLE_MM / 2.0, 0.0), at.plus(SAMPLE_MM / 2.0, 0.0)];
                let mut shapes = symbol::utility(&path, kind, known);
                shapes.extend(symbol::utility_letter(at, kind, known));
                shapes
            });
        }
        column.note("colours: APWA uniform colour code");
    }
    let patterned = |kind: &&ZoneKind| symbol::ground(**kind) != (Some(Ink::Paper), None);
    if used.zones.iter().any(|kind| patterned(&kind)) {
        column.heading("Ground");
        for &kind in used.zones.iter().filter(patterned) {
            column.row(&kind.to_string().replace('-', " "), |at| ground(at, kind));
        }
    }
    column.heading("Luminaires");
    for ((name, mark), kind) in view.types.iter().zip(&view.kinds) {
        let count = view.layout.luminaires.iter().filter(|luminaire| luminaire.kind.name == kind.name).count();
        column.row(&format!("{name} ({count})"), |at| symbol::luminaire(at, mark, false));
    }
    column.finish()
}

/// The frame of a label that has findings.
fn framed(at: super::shape::Spot, fails: bool) -> Vec<Shape> {
    let area = Area { left_mm: at.x_mm - 3.0, top_mm: at.y_mm - 1.6, width_mm: 6.0, height_mm: 3.2 };
    vec![area.outline(Some(frame(fails)), Some(Ink::Paper)), super::shape::middle(at.plus(0.0, 0.8), 2.2, "#1")]
}

/// The line around a label: full for violations, dashed for all else.
pub fn frame(fails: bool) -> Stroke {
    match fails {
        true => line(0.45),
        false => Stroke { ink: Ink::Full, width_mm: 0.25, dashes_mm: &[0.8, 0.6] },
    }
}

fn ground(at: super::shape::Spot, kind: ZoneKind) -> Vec<Shape> {
    let area = Area { left_mm: at.x_mm - SAMPLE_MM / 2.0, top_mm: at.y_mm - 1.6, width_mm: SAMPLE_MM, height_mm: 3.2 };
    let corners = [
        spot(area.left_mm, area.top_mm),
        spot(area.right_mm(), area.top_mm),
        spot(area.right_mm(), area.bottom_mm()),
        spot(area.left_mm, area.bottom_mm()),
    ];
    zone(&corners, kind)
}

/// An area of ground as it is drawn.
pub fn zone(outline: &[super::shape::Spot], kind: ZoneKind) -> Vec<Shape> {
    let (tint, hatch) = symbol::ground(kind);
    let edge = Stroke { ink: Ink::Tint(55), width_mm: 0.2, dashes_mm: &[] };
    let mut shapes = vec![Shape::Path { points: outline.to_vec(), closed: true, stroke: None, fill: tint }];
    if let Some((step_mm, degrees)) = hatch {
        let thin = Stroke { ink: Ink::Tint(35), width_mm: 0.12, dashes_mm: &[] };
        shapes.extend(fill::hatch(outline, step_mm, degrees).into_iter().map(|line| stroke(line.to_vec(), thin)));
    }
    shapes.push(Shape::Path { points: outline.to_vec(), closed: true, stroke: Some(edge), fill: None });
    shapes
}

struct Column {
    shapes: Vec<Shape>,
    area: Area,
    y_mm: f64,
    left_out: usize,
}

impl Column {
    fn north(&mut self, view: &View<'_>) {
        let at = spot(self.area.left_mm + 8.0, self.y_mm + 9.5);
        match view.layout.north {
            Some(angle) => self.shapes.extend(symbol::north(at, angle.si())),
            None => {
                self.shapes.push(text(spot(self.area.left_mm + 2.0, self.y_mm + 7.0), TYPE_MM, "north: not stated"));
                let grid = spot(self.area.left_mm + 2.0, self.y_mm + 11.0);
                self.shapes.push(text(grid, TYPE_MM, "up is +y of the plan"));
            }
        }
        self.y_mm += 18.0;
    }

    fn has_room(&self) -> bool {
        self.y_mm + LINE_MM < self.area.bottom_mm() - 16.0
    }

    fn heading(&mut self, title: &str) {
        if self.has_room() {
            self.y_mm += LINE_MM + 0.8;
            self.shapes.push(bold(spot(self.area.left_mm + 2.0, self.y_mm), TYPE_MM, title));
        }
    }

    fn row(&mut self, label: &str, sample: impl FnOnce(super::shape::Spot) -> Vec<Shape>) {
        if !self.has_room() {
            self.left_out += 1;
            return;
        }
        self.y_mm += LINE_MM;
        self.shapes.extend(sample(spot(self.area.left_mm + 2.0 + SAMPLE_MM / 2.0, self.y_mm - 0.8)));
        let left_mm = self.area.left_mm + 4.0 + SAMPLE_MM;
        let label = cut(label, TYPE_MM, self.area.right_mm() - left_mm);
        self.shapes.push(text(spot(left_mm, self.y_mm), TYPE_MM, label));
    }

    fn note(&mut self, note: &str) {
        if self.has_room() {
            self.y_mm += LINE_MM - 0.6;
            self.shapes.push(text(spot(self.area.left_mm + 2.0, self.y_mm), 2.0, note));
        }
    }

    fn finish(mut self) -> Vec<Shape> {
        if self.left_out > 0 {
            let at = spot(self.area.left_mm + 2.0, self.y_mm + LINE_MM);
            self.shapes.push(text(at, TYPE_MM, format!("{} more in the schedules", self.left_out)));
        }
        self.shapes
    }
}

/// The beginning of a text that is not wider than this, with an ellipsis where it is cut.
pub fn cut(text: &str, size_mm: f64, width_mm: f64) -> String {
    let fits = |text: &str| Weight::Bold.width(text) * size_mm <= width_mm;
    if fits(text) {
        return text.to_owned();
    }
    let mut kept = String::new();
    for c in text.chars() {
        kept.push(c);
        if !fits(&format!("{kept}…")) {
            kept.pop();
            break;
        }
    }
    format!("{kept}…")
}
