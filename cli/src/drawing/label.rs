//! Where labels stand: beside what they name, clear of symbols and of each other as far as that can be had.
//!
//! Each label has places around its point, near ones first; it takes the cheapest, the most crowded ones choosing
//! first, and then each chooses again among what the others took until nothing changes.

use super::face::Weight;
use super::shape::{Area, Spot, spot};
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};
use std::f64::consts::TAU;

/// A label that is to be placed.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// What it says.
    pub text: String,
    /// Size of its type, mm.
    pub size_mm: f64,
    /// Whether it is bold.
    pub bold: bool,
    /// Room around the text, for a frame, mm.
    pub frame_mm: f64,
    /// What it names.
    pub place: Place,
}

/// What a label names.
#[derive(Debug, Clone, PartialEq)]
pub enum Place {
    /// A symbol of this radius around a point; the label stands beside it, with a leader where it is far.
    Beside(Spot, f64),
    /// An area; the label stands around one of these points, the first ones being the best.
    At(Vec<Spot>),
}

/// A label in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// The rectangle that it fills.
    pub area: Area,
    /// A line to what it names, where it is far.
    pub leader: Option<[Spot; 2]>,
    /// Whether it covers a symbol or another label.
    pub covers: bool,
}

impl Label {
    fn size(&self) -> (f64, f64) {
        let width_mm = Weight::of(self.bold).width(&self.text) * self.size_mm;
        (width_mm + 2.0 * self.frame_mm, self.size_mm + 2.0 * self.frame_mm)
    }
}

/// A place that a label may take.
#[derive(Debug, Clone)]
struct Candidate {
    area: Area,
    leader: Option<[Spot; 2]>,
    cost: f64,
}

type Boxes = RTree<GeomWithData<Rectangle<[f64; 2]>, usize>>;

/// Whether a label is on a symbol or on another label costs this much; on a line, much less.
const COVERS: f64 = 1000.0;
const ON_LINE: f64 = 12.0;
const OUTSIDE: f64 = 5000.0;
const AWAY: f64 = 2.0;

/// Places labels inside a window. `symbols` are to be kept clear, `lines` as well as can be.
pub fn place(labels: &[Label], symbols: &[Area], lines: &[[Spot; 2]], window: &Area) -> Vec<Placed> {
    // Thousands of labels are not looked at by eye one by one.
    let rounds = if labels.len() > MANY { 1 } else { 4 };
    let symbols: Boxes = RTree::bulk_load(symbols.iter().enumerate().map(|(i, area)| boxed(area, i)).collect());
    let line_boxes: Boxes =
        RTree::bulk_load(lines.iter().enumerate().map(|(i, line)| boxed(&around(line), i)).collect());
    let candidates: Vec<Vec<Candidate>> =
        labels.iter().map(|label| candidates(label, labels.len(), &symbols, (&line_boxes, lines), window)).collect();
    let mut order: Vec<usize> = (0..labels.len()).collect();
    // Areas last: they have the most room to choose from.
    order.sort_by_key(|&i| (matches!(labels[i].place, Place::At(_)), free(&candidates[i])));
    let mut taken: Boxes = RTree::new();
    let mut chosen: Vec<Option<usize>> = vec![None; labels.len()];
    for round in 0..=rounds {
        let mut changed = false;
        for &i in &order {
            let before = chosen[i];
            if let Some(old) = before.and_then(|old| candidates[i].get(old)) {
                taken.remove(&boxed(&old.area, i));
            }
            let cost = |candidate: &Candidate| candidate.cost + COVERS * met(&taken, &candidate.area) as f64;
            let best =
                (0..candidates[i].len()).min_by(|a, b| cost(&candidates[i][*a]).total_cmp(&cost(&candidates[i][*b])));
            chosen[i] = best;
            changed |= best != before;
            if let Some(new) = best.and_then(|best| candidates[i].get(best)) {
                taken.insert(boxed(&new.area, i));
            }
        }
        if !changed || round == rounds {
            break;
        }
    }
    let placed = |(i, choice): (usize, &Option<usize>)| {
        let candidate = choice.and_then(|choice| candidates[i].get(choice))?;
        // One of those that it meets is itself.
        let covers = met(&taken, &candidate.area) > 1 || met(&symbols, &candidate.area) > 0;
        Some(Placed { area: candidate.area, leader: candidate.leader, covers })
    };
    chosen.iter().enumerate().filter_map(placed).collect()
}

/// How many symbols lie on another one, but for those at the very same place.
pub fn hidden(symbols: &[Area]) -> usize {
    let boxes: Boxes = RTree::bulk_load(symbols.iter().enumerate().map(|(i, area)| boxed(area, i)).collect());
    symbols.iter().filter(|area| met(&boxes, area) > 1).count()
}

/// How many places cover nothing fixed.
fn free(candidates: &[Candidate]) -> usize {
    candidates.iter().filter(|candidate| candidate.cost < COVERS).count()
}

/// From so many labels on, fewer places are tried.
const MANY: usize = 3_000;

fn candidates(
    label: &Label,
    labels: usize,
    symbols: &Boxes,
    lines: (&Boxes, &[[Spot; 2]]),
    window: &Area,
) -> Vec<Candidate> {
    let (width_mm, height_mm) = label.size();
    let centred =
        |at: Spot| Area { left_mm: at.x_mm - width_mm / 2.0, top_mm: at.y_mm - height_mm / 2.0, width_mm, height_mm };
    let mut all: Vec<Candidate> = match &label.place {
        Place::At(points) => {
            let at = |(i, at): (usize, &Spot)| Candidate { area: centred(*at), leader: None, cost: i as f64 };
            points.iter().enumerate().map(at).collect()
        }
        Place::Beside(point, radius_mm) => {
            const RINGS_MM: [f64; 6] = [0.5, 2.0, 4.0, 7.0, 11.0, 16.0];
            let (rings, directions) = if labels > MANY { (3, 8) } else { (RINGS_MM.len(), 16) };
            let mut all = Vec::with_capacity(rings * directions);
            for (ring, gap_mm) in RINGS_MM.into_iter().take(rings).enumerate() {
                for direction in 0..directions {
                    // To the right first.
                    let (sin, cos) = (TAU * direction as f64 / directions as f64).sin_cos();
                    let reach_mm = radius_mm + gap_mm;
                    let middle = spot(
                        point.x_mm + cos * (reach_mm + width_mm / 2.0),
                        point.y_mm - sin * (reach_mm + height_mm / 2.0),
                    );
                    let area = centred(middle);
                    let leader = (ring > 1).then(|| [*point, nearest(&area, *point)]);
                    let cost = AWAY * gap_mm + 0.2 * (1.0 - cos) + if ring > 1 { 4.0 } else { 0.0 };
                    all.push(Candidate { area, leader, cost });
                }
            }
            all
        }
    };
    for candidate in &mut all {
        candidate.cost += COVERS * met(symbols, &candidate.area) as f64;
        candidate.cost += ON_LINE * crossed(lines, &candidate.area) as f64;
        if !within(&candidate.area, window) {
            candidate.cost += OUTSIDE;
        }
    }
    all
}

/// The point of an area that is nearest to another.
fn nearest(area: &Area, to: Spot) -> Spot {
    spot(to.x_mm.clamp(area.left_mm, area.right_mm()), to.y_mm.clamp(area.top_mm, area.bottom_mm()))
}

fn boxed(area: &Area, data: usize) -> GeomWithData<Rectangle<[f64; 2]>, usize> {
    let corners = ([area.left_mm, area.top_mm], [area.right_mm(), area.bottom_mm()]);
    GeomWithData::new(Rectangle::from_corners(corners.0, corners.1), data)
}

fn met(boxes: &Boxes, area: &Area) -> usize {
    // Touching edges are no overlap.
    const TOUCH_MM: f64 = 0.05;
    let low = [area.left_mm + TOUCH_MM, area.top_mm + TOUCH_MM];
    let high = [area.right_mm() - TOUCH_MM, area.bottom_mm() - TOUCH_MM];
    boxes.locate_in_envelope_intersecting(&AABB::from_corners(low, high)).count()
}

fn crossed((boxes, lines): (&Boxes, &[[Spot; 2]]), area: &Area) -> usize {
    let envelope = AABB::from_corners([area.left_mm, area.top_mm], [area.right_mm(), area.bottom_mm()]);
    let near = boxes.locate_in_envelope_intersecting(&envelope);
    near.filter(|near| lines.get(near.data).is_some_and(|line| crosses(line, area))).count()
}

/// Whether a straight line has a point in an area (Liang and Barsky).
pub fn crosses([a, b]: &[Spot; 2], area: &Area) -> bool {
    let (dx, dy) = (b.x_mm - a.x_mm, b.y_mm - a.y_mm);
    let bounds = [
        (-dx, a.x_mm - area.left_mm),
        (dx, area.right_mm() - a.x_mm),
        (-dy, a.y_mm - area.top_mm),
        (dy, area.bottom_mm() - a.y_mm),
    ];
    let (mut from, mut to) = (0.0f64, 1.0f64);
    for (p, q) in bounds {
        if p == 0.0 {
            if q < 0.0 {
                return false;
            }
        } else if p < 0.0 {
            from = from.max(q / p);
        } else {
            to = to.min(q / p);
        }
    }
    from <= to
}

fn around([a, b]: &[Spot; 2]) -> Area {
    Area {
        left_mm: a.x_mm.min(b.x_mm),
        top_mm: a.y_mm.min(b.y_mm),
        width_mm: (a.x_mm - b.x_mm).abs(),
        height_mm: (a.y_mm - b.y_mm).abs(),
    }
}

fn within(area: &Area, window: &Area) -> bool {
    area.left_mm >= window.left_mm
        && area.top_mm >= window.top_mm
        && area.right_mm() <= window.right_mm()
        && area.bottom_mm() <= window.bottom_mm()
}

#[cfg(test)]
mod tests {
    use super::{Area, Label, Place, Placed, crosses, place, spot};

    fn label(text: &str, x_mm: f64, y_mm: f64) -> Label {
        let place = Place::Beside(spot(x_mm, y_mm), 1.5);
        Label { text: text.to_owned(), size_mm: 2.2, bold: false, frame_mm: 0.3, place }
    }

    fn overlap(a: &Area, b: &Area) -> bool {
        a.left_mm < b.right_mm() && b.left_mm < a.right_mm() && a.top_mm < b.bottom_mm() && b.top_mm < a.bottom_mm()
    }

    const WINDOW: Area = Area { left_mm: 0.0, top_mm: 0.0, width_mm: 200.0, height_mm: 150.0 };

    fn set(points: &[(f64, f64)]) -> (Vec<Area>, Vec<Placed>) {
        let labels: Vec<Label> = points.iter().enumerate().map(|(i, (x, y))| label(&format!("L{i}"), *x, *y)).collect();
        let symbols: Vec<Area> = points.iter().map(|(x, y)| Area::around(spot(*x, *y), 1.5)).collect();
        let placed = place(&labels, &symbols, &[], &WINDOW);
        assert_eq!(placed.len(), labels.len());
        (symbols, placed)
    }

    #[test]
    fn labels_of_a_crowd_cover_neither_each_other_nor_a_symbol() {
        // 8 x 8 symbols 8 mm apart, the width of a label and a half.
        let points: Vec<(f64, f64)> =
            (0..64).map(|i| (40.0 + f64::from(i % 8) * 8.0, 40.0 + f64::from(i / 8) * 8.0)).collect();
        let (symbols, placed) = set(&points);
        for (i, a) in placed.iter().enumerate() {
            assert!(!a.covers, "{i}");
            assert!(symbols.iter().all(|symbol| !overlap(symbol, &a.area)), "{i}");
            assert!(placed[i + 1..].iter().all(|b| !overlap(&a.area, &b.area)), "{i}");
        }
    }

    #[test]
    fn a_lone_label_stands_to_the_right_and_one_at_the_edge_inside() {
        let (_, placed) = set(&[(100.0, 50.0), (199.0, 1.0)]);
        assert!(placed[0].area.left_mm > 101.5 && placed[0].leader.is_none());
        assert!(placed[1].area.right_mm() <= 200.0 && placed[1].area.top_mm >= 0.0);
    }

    #[test]
    fn more_labels_than_room_are_all_there_and_say_so() {
        let (_, placed) = set(&[(100.0, 50.0); 120]);
        assert!(placed.iter().any(|label| label.covers));
    }

    #[test]
    fn a_line_crosses_an_area() {
        let area = Area { left_mm: 1.0, top_mm: 1.0, width_mm: 2.0, height_mm: 2.0 };
        assert!(crosses(&[spot(0.0, 0.0), spot(4.0, 4.0)], &area));
        assert!(!crosses(&[spot(0.0, 3.0), spot(1.0, 6.0)], &area));
        assert!(!crosses(&[spot(0.0, 0.0), spot(0.9, 0.9)], &area));
    }
}
