//! Scales of drawings, as rulers for engineers and architects have them, and the bar that shows one.

use super::shape::{Anchor, Area, Ink, Shape, Spot, Text, line, spot, stroke};
use lintern_core::plan::model::Grid;
use lintern_core::plan::quantity::METRES_PER_FOOT;

/// A scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// How many times smaller the drawing is.
    pub ratio: f64,
    grid: Grid,
}

/// Feet to an inch of paper.
const FEET_TO_AN_INCH: &[f64] = &[1.0, 2.0, 4.0, 5.0, 8.0, 10.0, 16.0, 20.0, 30.0, 40.0, 50.0, 60.0, 80.0];
/// One to so many.
const METRIC: &[f64] = &[10.0, 20.0, 25.0, 50.0, 75.0];

impl Scale {
    /// The largest usual scale at which something of this size fits into an area.
    pub fn fitting(width_m: f64, height_m: f64, area: &Area, grid: Grid) -> Self {
        let least = (width_m * 1000.0 / area.width_mm).max(height_m * 1000.0 / area.height_mm);
        let (usual, unit) = match grid {
            Grid::Ft => (FEET_TO_AN_INCH, 12.0),
            Grid::M => (METRIC, 1.0),
        };
        let mut ratios = usual.iter().copied().chain(decades()).map(|number| number * unit);
        Self { ratio: ratios.find(|ratio| *ratio >= least).unwrap_or(least), grid }
    }

    /// Millimetres of paper for a metre.
    pub fn mm_per_m(&self) -> f64 {
        1000.0 / self.ratio
    }

    /// As plans state it.
    pub fn text(&self) -> String {
        match self.grid {
            Grid::Ft => format!("1 in = {} ft (1:{})", self.ratio / 12.0, self.ratio),
            Grid::M => format!("1:{}", self.ratio),
        }
    }

    /// A bar of four parts from a place on its lower edge, at most so wide.
    pub fn bar(&self, at: Spot, most_mm: f64) -> Vec<Shape> {
        const PARTS: usize = 4;
        const HEIGHT_MM: f64 = 1.6;
        let (metres, unit) = match self.grid {
            Grid::Ft => (METRES_PER_FOOT, "ft"),
            Grid::M => (1.0, "m"),
        };
        let mm_per_unit = self.mm_per_m() * metres;
        let steps = [0.25, 0.5, 1.0, 2.0, 2.5, 5.0, 10.0, 20.0, 25.0, 50.0].into_iter().chain(decades());
        let step = steps.take_while(|step| step * PARTS as f64 * mm_per_unit <= most_mm).last().unwrap_or(0.25);
        let mut shapes = Vec::new();
        for part in 0..PARTS {
            let area = Area {
                left_mm: at.x_mm + part as f64 * step * mm_per_unit,
                top_mm: at.y_mm - HEIGHT_MM,
                width_mm: step * mm_per_unit,
                height_mm: HEIGHT_MM,
            };
            shapes.push(area.outline(Some(line(0.2)), Some(if part % 2 == 0 { Ink::Full } else { Ink::Paper })));
        }
        for mark in [0, 2, PARTS] {
            let x_mm = at.x_mm + mark as f64 * step * mm_per_unit;
            shapes
                .push(stroke(vec![spot(x_mm, at.y_mm - HEIGHT_MM), spot(x_mm, at.y_mm - HEIGHT_MM - 0.8)], line(0.2)));
            let last = if mark == PARTS { format!(" {unit}") } else { String::new() };
            shapes.push(Shape::Text(Text {
                at: spot(x_mm, at.y_mm - HEIGHT_MM - 1.4),
                text: format!("{}{last}", mark as f64 * step),
                size_mm: 2.3,
                anchor: if mark == 0 { Anchor::Start } else { Anchor::Middle },
                bold: false,
            }));
        }
        shapes
    }
}

/// 100, 200, 500, 1000 and so on, as far as anything goes.
fn decades() -> impl Iterator<Item = f64> {
    (2..12).flat_map(|power| [1.0, 2.0, 5.0].map(|n| n * 10f64.powi(power)))
}

#[cfg(test)]
mod tests {
    use super::{Area, Grid, Scale};

    #[test]
    fn a_site_gets_the_largest_usual_scale_that_fits() {
        let paper = Area { left_mm: 0.0, top_mm: 0.0, width_mm: 200.0, height_mm: 150.0 };
        let text = |width_m, height_m, grid| Scale::fitting(width_m, height_m, &paper, grid).text();
        // 64 ft on 200 mm (7.87 in) need 8.13 ft to an inch at least.
        assert_eq!(text(64.0 * 0.3048, 10.0, Grid::Ft), "1 in = 10 ft (1:120)");
        assert_eq!(text(62.9 * 0.3048, 10.0, Grid::Ft), "1 in = 8 ft (1:96)");
        assert_eq!(text(10.0, 7.5, Grid::M), "1:50");
        assert_eq!(text(10.0, 7.6, Grid::M), "1:75");
        assert_eq!(text(3000.0, 7.6, Grid::M), "1:20000");
        assert_eq!(text(0.0, 0.0, Grid::M), "1:10");
    }
}
