//! The shapes that drawings are made of. All lengths are millimetres on paper, from the upper left corner.

use lintern_core::plan::model::UtilityKind;

/// A drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Its width, mm.
    pub width_mm: f64,
    /// Its height, mm.
    pub height_mm: f64,
    /// What it is.
    pub title: String,
    /// What it shows, for those who can't see it.
    pub description: String,
    /// From the bottom to the top.
    pub shapes: Vec<Shape>,
}

/// A place on paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// From the left, mm.
    pub x_mm: f64,
    /// From the top, mm.
    pub y_mm: f64,
}

/// A place on paper.
pub fn spot(x_mm: f64, y_mm: f64) -> Spot {
    Spot { x_mm, y_mm }
}

impl Spot {
    /// The place so far to the right and down.
    pub fn plus(self, x_mm: f64, y_mm: f64) -> Self {
        spot(self.x_mm + x_mm, self.y_mm + y_mm)
    }

    /// How far another place is, mm.
    pub fn distance_mm(self, other: Self) -> f64 {
        (self.x_mm - other.x_mm).hypot(self.y_mm - other.y_mm)
    }
}

/// A rectangle on paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Area {
    /// Left edge, mm.
    pub left_mm: f64,
    /// Upper edge, mm.
    pub top_mm: f64,
    /// Width, mm.
    pub width_mm: f64,
    /// Height, mm.
    pub height_mm: f64,
}

impl Area {
    /// Right edge, mm.
    pub fn right_mm(&self) -> f64 {
        self.left_mm + self.width_mm
    }

    /// Lower edge, mm.
    pub fn bottom_mm(&self) -> f64 {
        self.top_mm + self.height_mm
    }

    /// The rectangle around a place.
    pub fn around(at: Spot, radius_mm: f64) -> Self {
        Self {
            left_mm: at.x_mm - radius_mm,
            top_mm: at.y_mm - radius_mm,
            width_mm: 2.0 * radius_mm,
            height_mm: 2.0 * radius_mm,
        }
    }

    /// The rectangle as a closed path.
    pub fn outline(&self, stroke: Option<Stroke>, fill: Option<Ink>) -> Shape {
        let (left, top, right, bottom) = (self.left_mm, self.top_mm, self.right_mm(), self.bottom_mm());
        let points = vec![spot(left, top), spot(right, top), spot(right, bottom), spot(left, bottom)];
        Shape::Path { points, closed: true, stroke, fill }
    }
}

/// What is printed with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    /// The one ink.
    Full,
    /// A share of it, in percent.
    Tint(u8),
    /// The paper.
    Paper,
    /// The colour that marks a buried line of this kind.
    Utility(UtilityKind),
}

impl Ink {
    /// Red, green and blue. The uniform colour code names colours; these tones of them are ours.
    pub fn rgb(self) -> [u8; 3] {
        match self {
            Self::Full => [0, 0, 0],
            Self::Paper => [255, 255, 255],
            Self::Tint(percent) => [255 - (f64::from(percent.min(100)) * 2.55).round() as u8; 3],
            Self::Utility(kind) => match kind {
                UtilityKind::Electric => [200, 16, 30],
                UtilityKind::Gas => [255, 209, 0],
                UtilityKind::Communication => [255, 106, 19],
                UtilityKind::Water => [0, 94, 184],
                UtilityKind::ReclaimedWater | UtilityKind::Irrigation => [117, 59, 189],
                UtilityKind::Sewer => [0, 132, 61],
            },
        }
    }
}

/// A line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    /// Its ink.
    pub ink: Ink,
    /// Its width, mm.
    pub width_mm: f64,
    /// Lengths of dashes and gaps by turns, mm; empty for a line without gaps.
    pub dashes_mm: &'static [f64],
}

/// A line without gaps in the one ink.
pub const fn line(width_mm: f64) -> Stroke {
    Stroke { ink: Ink::Full, width_mm, dashes_mm: &[] }
}

/// Which point of a text is given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Its beginning.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

/// A text in one line.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// A point of its base line.
    pub at: Spot,
    /// What it says.
    pub text: String,
    /// Size of the type, mm.
    pub size_mm: f64,
    /// Which point.
    pub anchor: Anchor,
    /// Whether it is bold.
    pub bold: bool,
}

/// One thing that is drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// Straight lines from point to point.
    Path {
        /// The points.
        points: Vec<Spot>,
        /// Whether the last point joins the first.
        closed: bool,
        /// The line along it.
        stroke: Option<Stroke>,
        /// What it is filled with.
        fill: Option<Ink>,
    },
    /// A circle.
    Circle {
        /// Its centre.
        at: Spot,
        /// Its radius, mm.
        radius_mm: f64,
        /// The line along it.
        stroke: Option<Stroke>,
        /// What it is filled with.
        fill: Option<Ink>,
    },
    /// A text.
    Text(Text),
    /// Shapes of which only what is inside of the area is shown.
    Cut(Area, Vec<Shape>),
}

/// Lines from point to point.
pub fn stroke(points: Vec<Spot>, stroke: Stroke) -> Shape {
    Shape::Path { points, closed: false, stroke: Some(stroke), fill: None }
}

/// A text that starts at a point.
pub fn text(at: Spot, size_mm: f64, text: impl Into<String>) -> Shape {
    Shape::Text(Text { at, text: text.into(), size_mm, anchor: Anchor::Start, bold: false })
}

/// A bold text that starts at a point.
pub fn bold(at: Spot, size_mm: f64, text: impl Into<String>) -> Shape {
    Shape::Text(Text { at, text: text.into(), size_mm, anchor: Anchor::Start, bold: true })
}

/// A text around a point.
pub fn middle(at: Spot, size_mm: f64, text: impl Into<String>) -> Shape {
    Shape::Text(Text { at, text: text.into(), size_mm, anchor: Anchor::Middle, bold: false })
}
