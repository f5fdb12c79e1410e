//! Drawings as SVG.

use super::Drawing;
use super::face::Weight;
use super::shape::{Anchor, Area, Ink, Shape, Spot, Stroke, Text};
use crate::output::escape;
use std::fmt::Write as _;

/// A drawing as a file of its own.
pub fn file(drawing: &Drawing) -> String {
    let mut out = String::from("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    out.push_str(&element(drawing, "drawing"));
    out
}

/// A drawing as an element of a page; `id` is unique in it.
pub fn element(drawing: &Drawing, id: &str) -> String {
    let mut writer = Writer { out: String::new(), id, cuts: 0 };
    let (width, height) = (number(drawing.width_mm), number(drawing.height_mm));
    let _ = write!(
        writer.out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" \
         viewBox=\"0 0 {width} {height}\" role=\"img\" aria-labelledby=\"{id}-title {id}-desc\" \
         font-family=\"'DejaVu Sans Condensed','Arial Narrow',Arial,sans-serif\">\n\
         <title id=\"{id}-title\">{}</title>\n<desc id=\"{id}-desc\">{}</desc>\n",
        escape::xml(&drawing.title),
        escape::xml(&drawing.description)
    );
    let all = Area { left_mm: 0.0, top_mm: 0.0, width_mm: drawing.width_mm, height_mm: drawing.height_mm };
    writer.shape(&all.outline(None, Some(Ink::Paper)));
    for shape in &drawing.shapes {
        writer.shape(shape);
    }
    writer.out.push_str("</svg>\n");
    writer.out
}

struct Writer<'a> {
    out: String,
    id: &'a str,
    cuts: usize,
}

impl Writer<'_> {
    fn shape(&mut self, shape: &Shape) {
        match shape {
            Shape::Path { points, closed, stroke, fill } => {
                let mut path = String::new();
                for (i, point) in points.iter().enumerate() {
                    let _ = write!(path, "{}{}", if i == 0 { 'M' } else { 'L' }, place(*point));
                }
                let end = if *closed { "Z" } else { "" };
                let _ = writeln!(self.out, "<path d=\"{path}{end}\"{}/>", paint(*stroke, *fill));
            }
            Shape::Circle { at, radius_mm, stroke, fill } => {
                let (x, y, r) = (number(at.x_mm), number(at.y_mm), number(*radius_mm));
                let _ = writeln!(self.out, "<circle cx=\"{x}\" cy=\"{y}\" r=\"{r}\"{}/>", paint(*stroke, *fill));
            }
            Shape::Text(text) => self.text(text),
            Shape::Cut(area, shapes) => {
                self.cuts += 1;
                let name = format!("{}-cut-{}", self.id, self.cuts);
                let (x, y) = (number(area.left_mm), number(area.top_mm));
                let (width, height) = (number(area.width_mm), number(area.height_mm));
                let _ = writeln!(
                    self.out,
                    "<clipPath id=\"{name}\"><rect x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\"/></clipPath>\n\
                     <g clip-path=\"url(#{name})\">"
                );
                for shape in shapes {
                    self.shape(shape);
                }
                self.out.push_str("</g>\n");
            }
        }
    }

    fn text(&mut self, text: &Text) {
        if text.text.is_empty() {
            return;
        }
        let anchor = match text.anchor {
            Anchor::Start => "",
            Anchor::Middle => " text-anchor=\"middle\"",
            Anchor::End => " text-anchor=\"end\"",
        };
        let weight = if text.bold { " font-weight=\"bold\"" } else { "" };
        let (x, y) = (number(text.at.x_mm), number(text.at.y_mm));
        let (size, width) = (number(text.size_mm), number(Weight::of(text.bold).width(&text.text) * text.size_mm));
        let _ = writeln!(
            self.out,
            "<text x=\"{x}\" y=\"{y}\" font-size=\"{size}\"{weight}{anchor} textLength=\"{width}\" \
             lengthAdjust=\"spacingAndGlyphs\">{}</text>",
            escape::xml(&text.text)
        );
    }
}

fn paint(stroke: Option<Stroke>, fill: Option<Ink>) -> String {
    let mut out = format!(" fill=\"{}\"", fill.map_or_else(|| "none".to_owned(), color));
    if let Some(stroke) = stroke {
        let _ = write!(out, " stroke=\"{}\" stroke-width=\"{}\"", color(stroke.ink), number(stroke.width_mm));
        if !stroke.dashes_mm.is_empty() {
            let dashes: Vec<String> = stroke.dashes_mm.iter().map(|dash| number(*dash)).collect();
            let _ = write!(out, " stroke-dasharray=\"{}\"", dashes.join(" "));
        }
    }
    out
}

fn color(ink: Ink) -> String {
    let [r, g, b] = ink.rgb();
    format!("#{r:02x}{g:02x}{b:02x}")
}

fn place(at: Spot) -> String {
    format!("{} {}", number(at.x_mm), number(at.y_mm))
}

/// A hundredth of a millimetre is finer than any printer.
fn number(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}
