//! One page: what is written and drawn on it, kept until the number of pages is known.

use super::text::printable;
use super::{Fonts, POINTS_PER_MM};
use crate::drawing::face::Weight;
use crate::drawing::shape::{Anchor, Area, Drawing, Ink, Shape, Spot, Stroke, spot};
use krilla::Document;
use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder, Point, Rect, Transform};
use krilla::num::NormalizedF32;
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, StrokeDash};
use krilla::surface::Surface;
use krilla::text::TextDirection;

/// A page with what is on it.
#[derive(Debug, Clone)]
pub struct Canvas {
    /// Its width, mm.
    pub width_mm: f64,
    /// Its height, mm.
    pub height_mm: f64,
    /// What is on it, each moved by so much, mm.
    shapes: Vec<(Spot, Shape)>,
}

impl Canvas {
    /// An empty page.
    pub fn new(width_mm: f64, height_mm: f64) -> Self {
        Self { width_mm, height_mm, shapes: Vec::new() }
    }

    /// Draws a shape.
    pub fn shape(&mut self, shape: Shape) {
        self.shapes.push((spot(0.0, 0.0), shape));
    }

    /// Puts a drawing with its upper left corner at a place.
    pub fn drawing(&mut self, at: Spot, drawing: &Drawing) {
        self.shapes.extend(drawing.shapes.iter().map(|shape| (at, shape.clone())));
    }

    /// Writes the page into a document.
    pub fn write(&self, document: &mut Document, fonts: &Fonts) -> Result<(), String> {
        let settings =
            PageSettings::from_wh(points(self.width_mm), points(self.height_mm)).ok_or("a page has no size")?;
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        for (moved, shape) in &self.shapes {
            surface.push_transform(&Transform::from_translate(points(moved.x_mm), points(moved.y_mm)));
            draw(&mut surface, shape, fonts);
            surface.pop();
        }
        surface.finish();
        page.finish();
        Ok(())
    }
}

fn points(mm: f64) -> f32 {
    (mm * POINTS_PER_MM) as f32
}

fn draw(surface: &mut Surface<'_>, shape: &Shape, fonts: &Fonts) {
    match shape {
        Shape::Path { points: places, closed, stroke, fill } => paint(surface, path(places, *closed), *stroke, *fill),
        Shape::Circle { at, radius_mm, stroke, fill } => paint(surface, circle(*at, *radius_mm), *stroke, *fill),
        Shape::Text(text) => {
            let words = printable(&text.text);
            if words.trim().is_empty() {
                return;
            }
            let weight = Weight::of(text.bold);
            let width_mm = weight.width(&words) * text.size_mm;
            let left_mm = match text.anchor {
                Anchor::Start => text.at.x_mm,
                Anchor::Middle => text.at.x_mm - width_mm / 2.0,
                Anchor::End => text.at.x_mm - width_mm,
            };
            surface.set_stroke(None);
            surface.set_fill(Some(filled(Ink::Full)));
            let at = Point::from_xy(points(left_mm), points(text.at.y_mm));
            surface.draw_text(at, fonts.of(weight), points(text.size_mm), &words, false, TextDirection::Auto);
        }
        Shape::Cut(area, shapes) => {
            let Some(cut) = rectangle(area) else { return };
            surface.push_clip_path(&cut, &FillRule::NonZero);
            for shape in shapes {
                draw(surface, shape, fonts);
            }
            surface.pop();
        }
    }
}

fn paint(surface: &mut Surface<'_>, path: Option<Path>, stroke: Option<Stroke>, fill: Option<Ink>) {
    let Some(path) = path else { return };
    surface.set_fill(fill.map(filled));
    surface.set_stroke(stroke.map(stroked));
    if stroke.is_some() || fill.is_some() {
        surface.draw_path(&path);
    }
}

fn color(ink: Ink) -> rgb::Color {
    let [r, g, b] = ink.rgb();
    rgb::Color::new(r, g, b)
}

fn filled(ink: Ink) -> Fill {
    Fill { paint: color(ink).into(), opacity: NormalizedF32::ONE, rule: FillRule::EvenOdd }
}

fn stroked(stroke: Stroke) -> krilla::paint::Stroke {
    let dash = (!stroke.dashes_mm.is_empty())
        .then(|| StrokeDash { array: stroke.dashes_mm.iter().map(|dash| points(*dash)).collect(), offset: 0.0 });
    krilla::paint::Stroke {
        paint: color(stroke.ink).into(),
        width: points(stroke.width_mm),
        miter_limit: 4.0,
        line_cap: LineCap::Butt,
        line_join: LineJoin::Round,
        opacity: NormalizedF32::ONE,
        dash,
    }
}

fn path(places: &[Spot], closed: bool) -> Option<Path> {
    let mut builder = PathBuilder::new();
    for (i, place) in places.iter().enumerate() {
        let (x, y) = (points(place.x_mm), points(place.y_mm));
        if i == 0 { builder.move_to(x, y) } else { builder.line_to(x, y) }
    }
    if closed {
        builder.close();
    }
    builder.finish()
}

/// A circle of four curves, as usual: the handles are 0.5523 of the radius.
fn circle(at: Spot, radius_mm: f64) -> Option<Path> {
    const HANDLE: f64 = 0.552_284_75;
    let mut builder = PathBuilder::new();
    let place = |x: f64, y: f64| (points(at.x_mm + x * radius_mm), points(at.y_mm + y * radius_mm));
    let (x, y) = place(1.0, 0.0);
    builder.move_to(x, y);
    let mut quarter = |a: (f64, f64), b: (f64, f64), end: (f64, f64)| {
        let (a, b, end) = (place(a.0, a.1), place(b.0, b.1), place(end.0, end.1));
        builder.cubic_to(a.0, a.1, b.0, b.1, end.0, end.1);
    };
    quarter((1.0, HANDLE), (HANDLE, 1.0), (0.0, 1.0));
    quarter((-HANDLE, 1.0), (-1.0, HANDLE), (-1.0, 0.0));
    quarter((-1.0, -HANDLE), (-HANDLE, -1.0), (0.0, -1.0));
    quarter((HANDLE, -1.0), (1.0, -HANDLE), (1.0, 0.0));
    builder.close();
    builder.finish()
}

fn rectangle(area: &Area) -> Option<Path> {
    let mut builder = PathBuilder::new();
    builder.push_rect(Rect::from_xywh(
        points(area.left_mm),
        points(area.top_mm),
        points(area.width_mm),
        points(area.height_mm),
    )?);
    builder.finish()
}
