//! The site to scale: ground, buried lines, supplies, runs and luminaires, with labels, legend, north and title.

use super::label::{self, Label, Place};
use super::legend::{self, Used};
use super::paper::Paper;
use super::scale::Scale;
use super::shape::{Anchor, Area, Drawing, Ink, Shape, Spot, Text, line, spot, stroke};
use super::{Marks, extent, face, fill, notes, path, symbol};
use lintern_core::analysis::site::{SegmentPlaces, SiteFacts};
use lintern_core::layout::{Layout, LuminaireType, PointM, Run};
use lintern_core::plan::model::{Grid, Located, Method, ZoneKind};
use std::collections::BTreeSet;
use std::sync::Arc;

/// What is drawn.
pub struct View<'a> {
    /// The plan.
    pub layout: &'a Layout,
    /// Where its segments lie.
    pub places: &'a SiteFacts,
    /// What is wrong with its elements.
    pub marks: &'a Marks,
    /// Lines of the title, the first one large.
    pub title: Vec<String>,
    /// Types of luminaires that are installed.
    pub kinds: Vec<Arc<LuminaireType>>,
    /// Their names with the letters that mark them.
    pub types: Vec<(String, String)>,
}

impl<'a> View<'a> {
    /// Of a plan.
    pub fn new(layout: &'a Layout, places: &'a SiteFacts, marks: &'a Marks, title: Vec<String>) -> Self {
        let kinds = installed(layout);
        let types = kinds.iter().enumerate().map(|(i, kind)| (kind.name.0.clone(), letters(i))).collect();
        Self { layout, places, marks, title, kinds, types }
    }

    /// Whether a kind of ground is water that is built or kept.
    pub fn is_water(kind: ZoneKind) -> bool {
        matches!(kind, ZoneKind::Pool | ZoneKind::Spa | ZoneKind::Fountain | ZoneKind::Pond)
    }

    /// The mark of a type.
    pub fn mark(&self, kind: &LuminaireType) -> &str {
        self.types.iter().find(|(name, _)| *name == kind.name.0).map_or("?", |(_, mark)| mark)
    }
}

/// Types of luminaires that are installed, in the order of the plan.
pub fn installed(layout: &Layout) -> Vec<Arc<LuminaireType>> {
    let mut seen = BTreeSet::new();
    let kinds = layout.luminaires.iter().map(|luminaire| &luminaire.kind);
    kinds.filter(|kind| seen.insert(&kind.name)).cloned().collect()
}

/// `A` to `Z`, `AA`, `AB` and so on.
pub fn letters(index: usize) -> String {
    let letter = |i: usize| char::from(b'A' + (i % 26) as u8);
    match index / 26 {
        0 => letter(index).to_string(),
        tens => format!("{}{}", letters(tens - 1), letter(index)),
    }
}

/// A drawing of the site.
pub struct Sheet {
    /// It.
    pub drawing: Drawing,
    /// The paper that it is for, with the longer side across.
    pub paper: Paper,
    /// Its scale as plans state it.
    pub scale: String,
    /// Labels and symbols that cover a symbol or another label.
    pub crowded: usize,
    /// Labels.
    labels: usize,
    /// What is not in it, one sentence each.
    pub notes: Vec<String>,
}

const MARGIN_MM: f64 = 8.0;
const LEGEND_MM: f64 = 52.0;
const TITLE_MM: f64 = 15.0;

/// Draws the site on a paper, or on the smallest usual one on which labels are clear of each other; `None` where
/// nothing of the plan has a place.
pub fn sheet(view: &View<'_>, paper: Option<Paper>) -> Option<Sheet> {
    let sizes = match &paper {
        Some(paper) => std::slice::from_ref(paper),
        None => Paper::usual(view.layout),
    };
    let mut best: Option<Sheet> = None;
    // Paper that the labels alone would fill needs no trial.
    let needed_mm2 = label_area_mm2(view);
    let has_room = |paper: &&Paper| {
        let (height_mm, width_mm) = paper.sides_mm();
        Some(**paper) == sizes.last().copied() || needed_mm2 < 0.4 * width_mm * height_mm
    };
    for paper in sizes.iter().filter(has_room) {
        let sheet = on(view, *paper)?;
        // One label in a hundred does not call for a larger paper.
        let is_clear = sheet.crowded * 100 <= sheet.labels;
        if best.as_ref().is_none_or(|best| sheet.crowded < best.crowded) {
            best = Some(sheet);
        }
        if is_clear {
            break;
        }
    }
    best
}

/// Room that the labels of nodes and runs take, mm².
fn label_area_mm2(view: &View<'_>) -> f64 {
    let layout = view.layout;
    let ids = (layout.luminaires.iter().map(|l| &l.id))
        .chain(layout.junctions.iter().map(|j| &j.id))
        .chain(layout.supplies.iter().map(|s| &s.id))
        .chain(layout.runs.iter().map(|r| &r.id));
    ids.map(|id| face::Weight::Regular.width(&id.0) * 2.2 * 2.6).sum()
}

fn on(view: &View<'_>, paper: Paper) -> Option<Sheet> {
    let (height_mm, width_mm) = paper.sides_mm();
    let frame = Area {
        left_mm: MARGIN_MM,
        top_mm: MARGIN_MM,
        width_mm: width_mm - 2.0 * MARGIN_MM,
        height_mm: height_mm - 2.0 * MARGIN_MM,
    };
    let window = Area { width_mm: frame.width_mm - LEGEND_MM, height_mm: frame.height_mm - TITLE_MM, ..frame };
    let extent = extent::of(view.layout)?;
    let grid = view.layout.grid.unwrap_or(Grid::M);
    let inner = Area { width_mm: window.width_mm - 16.0, height_mm: window.height_mm - 12.0, ..window };
    let scale = Scale::fitting(extent.width_m, extent.height_m, &inner, grid);
    let to_paper = ToPaper {
        mm_per_m: scale.mm_per_m(),
        middle_m: extent.middle_m(),
        middle: spot(window.left_mm + window.width_mm / 2.0, window.top_mm + window.height_mm / 2.0),
    };
    let mut artist = Artist::new(view, to_paper, window);
    artist.ground();
    artist.utilities();
    artist.runs();
    artist.nodes();
    let labels = artist.labels.len();
    let (inside, crowded) = artist.labelled();
    let mut shapes = vec![Shape::Cut(window, inside)];
    let legend = Area { left_mm: window.right_mm(), width_mm: LEGEND_MM, height_mm: window.height_mm, ..window };
    shapes.push(window.outline(Some(line(0.35)), None));
    shapes.push(frame.outline(Some(line(0.5)), None));
    shapes.extend(legend::draw(view, &artist.used, scale, &legend));
    shapes.extend(title(view, &scale.text(), &frame, paper));
    let drawing = Drawing {
        width_mm,
        height_mm,
        title: format!("Site drawing: {}", view.title.first().map_or("plan", String::as_str)),
        description: description(view, &scale.text()),
        shapes,
    };
    Some(Sheet { drawing, paper, scale: scale.text(), crowded, labels, notes: notes::of(view, extent.cut) })
}

/// The strip below the drawing.
fn title(view: &View<'_>, scale: &str, frame: &Area, paper: Paper) -> Vec<Shape> {
    let strip = Area { top_mm: frame.bottom_mm() - TITLE_MM, height_mm: TITLE_MM, ..*frame };
    let mut shapes = vec![strip.outline(Some(line(0.5)), None)];
    let width_mm = strip.width_mm - LEGEND_MM - 6.0;
    for (i, words) in view.title.iter().take(3).enumerate() {
        let size_mm = if i == 0 { 3.6 } else { 2.4 };
        let at = spot(strip.left_mm + 2.0, strip.top_mm + 5.0 + 4.0 * i as f64);
        let text = legend::cut(&face::settable(words), size_mm, width_mm);
        shapes.push(Shape::Text(Text { at, text, size_mm, anchor: Anchor::Start, bold: i == 0 }));
    }
    let right = strip.right_mm() - LEGEND_MM + 2.0;
    shapes.push(stroke(vec![spot(right - 2.0, strip.top_mm), spot(right - 2.0, strip.bottom_mm())], line(0.35)));
    shapes.push(super::shape::bold(spot(right, strip.top_mm + 5.0), 2.6, scale));
    let when = format!("printed on {} at 100 %", paper.name());
    shapes.push(super::shape::text(spot(right, strip.top_mm + 9.0), 2.2, when));
    shapes.push(super::shape::text(spot(right, strip.top_mm + 13.0), 2.2, "not for locating lines: dig by the marks"));
    shapes
}

fn description(view: &View<'_>, scale: &str) -> String {
    let layout = view.layout;
    format!(
        "Site drawing at {scale}: {} zones, {} buried lines, {} supplies, {} junctions, {} luminaires, {} runs.",
        layout.zones.len(),
        layout.utilities.len(),
        layout.supplies.len(),
        layout.junctions.len(),
        layout.luminaires.len(),
        layout.runs.len()
    )
}

#[derive(Clone, Copy)]
struct ToPaper {
    mm_per_m: f64,
    middle_m: PointM,
    middle: Spot,
}

impl ToPaper {
    fn at(&self, p: PointM) -> Spot {
        let x_mm = self.middle.x_mm + (p.x_m - self.middle_m.x_m) * self.mm_per_m;
        spot(x_mm, self.middle.y_mm - (p.y_m - self.middle_m.y_m) * self.mm_per_m)
    }

    fn path(&self, points: &[PointM]) -> Vec<Spot> {
        points.iter().map(|p| self.at(*p)).collect()
    }
}

struct Artist<'a> {
    view: &'a View<'a>,
    to_paper: ToPaper,
    window: Area,
    shapes: Vec<Shape>,
    /// Above the lines.
    symbols: Vec<Shape>,
    labels: Vec<(Label, Option<bool>)>,
    blocked: Vec<Area>,
    lines: Vec<[Spot; 2]>,
    used: Used,
}

impl<'a> Artist<'a> {
    fn new(view: &'a View<'a>, to_paper: ToPaper, window: Area) -> Self {
        let used = Used { methods: BTreeSet::new(), utilities: BTreeSet::new(), zones: BTreeSet::new() };
        Self {
            view,
            to_paper,
            window,
            shapes: Vec::new(),
            symbols: Vec::new(),
            labels: Vec::new(),
            blocked: Vec::new(),
            lines: Vec::new(),
            used,
        }
    }

    /// Asks for a label with the numbers of the element's findings.
    fn label(&mut self, id: &str, place: Place, size_mm: f64) {
        let numbers = self.view.marks.text(id);
        let fails = (!numbers.is_empty()).then(|| self.view.marks.fails(id));
        let text = if numbers.is_empty() { id.to_owned() } else { format!("{id} {numbers}") };
        let text = face::settable(&text).into_owned();
        let frame_mm = if fails.is_some() { 0.5 } else { 0.2 };
        self.labels.push((Label { text, size_mm, bold: fails == Some(true), frame_mm, place }, fails));
    }

    fn ground(&mut self) {
        // A pool lies in its deck, whichever the plan names first.
        let mut zones: Vec<_> =
            self.view.layout.zones.iter().map(|zone| (zone, self.to_paper.path(&zone.outline))).collect();
        zones.sort_by(|a, b| fill::area_mm2(&b.1).total_cmp(&fill::area_mm2(&a.1)));
        for (i, (zone, outline)) in zones.iter().enumerate() {
            self.shapes.extend(legend::zone(outline, zone.kind));
            self.used.zones.insert(zone.kind);
            let shown: Vec<Spot> = outline.iter().map(|p| self.kept_inside(*p)).collect();
            let width_mm = face::Weight::Regular.width(&zone.id.0) * 2.2 + 1.0;
            let rooms = fill::rooms(&shown, width_mm);
            // The name of a deck does not stand in its pool, unless there is no other room.
            let is_over = |at: &Spot| zones[i + 1..].iter().any(|(_, smaller)| fill::contains(smaller, *at));
            let (covered, clear): (Vec<Spot>, Vec<Spot>) = rooms.into_iter().partition(is_over);
            self.label(&zone.id.0, Place::At(if clear.is_empty() { covered } else { clear }), 2.2);
        }
    }

    fn kept_inside(&self, p: Spot) -> Spot {
        let (left, right) = (self.window.left_mm, self.window.right_mm());
        spot(p.x_mm.clamp(left, right), p.y_mm.clamp(self.window.top_mm, self.window.bottom_mm()))
    }

    fn utilities(&mut self) {
        for utility in &self.view.layout.utilities {
            let path = self.to_paper.path(&utility.path);
            if !path.windows(2).any(|pair| label::crosses(&[pair[0], pair[1]], &self.window)) {
                continue;
            }
            let known = matches!(utility.located, Some(Located::Marked | Located::Private));
            self.shapes.extend(symbol::utility(&path, utility.kind, known));
            self.used.utilities.insert((utility.kind, known));
            self.note_lines(&path);
            let mut visible = path::along(&path, 34.0);
            let window = self.window;
            let is_inside = |p: &Spot| {
                (window.left_mm + 2.0..window.right_mm() - 2.0).contains(&p.x_mm)
                    && (window.top_mm + 2.0..window.bottom_mm() - 2.0).contains(&p.y_mm)
            };
            visible.retain(is_inside);
            for at in &visible {
                self.symbols.extend(symbol::utility_letter(*at, utility.kind, known));
                self.blocked.push(Area::around(*at, 1.4));
            }
            let fine = path::along(&path, 6.0);
            let named = fine.iter().filter(|p| is_inside(p)).max_by(|a, b| {
                let clear = |p: &Spot| visible.iter().map(|v| v.distance_mm(*p)).fold(f64::INFINITY, f64::min);
                clear(a).total_cmp(&clear(b))
            });
            if let Some(at) = named.copied() {
                self.label(&utility.id.0, Place::Beside(at, 0.6), 2.0);
            }
        }
    }

    fn note_lines(&mut self, path: &[Spot]) {
        self.lines.extend(path.windows(2).map(|pair| [pair[0], pair[1]]));
    }

    fn runs(&mut self) {
        let view = self.view;
        for (run, places) in view.layout.runs.iter().zip(&view.places.runs) {
            let mut longest: Option<(f64, Spot)> = None;
            for (segment, places) in run.segments.iter().zip(places) {
                let path = self.to_paper.path(&segment.path);
                let SegmentPlaces::Pieces(pieces) = places else { continue };
                for piece in pieces {
                    let method = method_in(run, &piece.zones);
                    let mm = self.to_paper.mm_per_m;
                    let part = path::part(&path, piece.from_m * mm, piece.to_m * mm);
                    self.used.methods.insert(method);
                    if part.len() > 1 {
                        self.shapes.push(stroke(part, symbol::run(method)));
                    }
                }
                self.note_lines(&path);
                let length_mm = path::length_mm(&path);
                let middle = path::part(&path, 0.0, length_mm / 2.0).last().copied();
                if let Some(middle) = middle.filter(|_| longest.is_none_or(|(length, _)| length_mm > length)) {
                    longest = Some((length_mm, middle));
                }
            }
            if let Some((_, at)) = longest {
                self.label(&run.id.0, Place::Beside(at, 0.5), 2.0);
            }
        }
    }

    fn nodes(&mut self) {
        let view = self.view;
        for supply in &view.layout.supplies {
            let id = &supply.id.0;
            self.node(id, supply.at, symbol::SUPPLY_MM, |at| symbol::supply(at, view.marks.fails(id)));
        }
        for junction in &view.layout.junctions {
            let id = &junction.id.0;
            self.node(id, junction.at, symbol::JUNCTION_MM, |at| symbol::junction(at, view.marks.fails(id)));
        }
        for luminaire in &view.layout.luminaires {
            let (id, mark) = (&luminaire.id.0, view.mark(&luminaire.kind));
            self.node(id, luminaire.at, symbol::LUMINAIRE_MM, |at| symbol::luminaire(at, mark, view.marks.fails(id)));
        }
    }

    fn node(&mut self, id: &str, at: Option<PointM>, radius_mm: f64, draw: impl FnOnce(Spot) -> Vec<Shape>) {
        let Some(at) = at.map(|at| self.to_paper.at(at)) else { return };
        self.symbols.extend(draw(at));
        let radius_mm = if self.view.marks.fails(id) { radius_mm + 0.8 } else { radius_mm };
        self.blocked.push(Area::around(at, radius_mm));
        self.label(id, Place::Beside(at, radius_mm), 2.2);
    }

    /// All that is in the window, and how many labels cover something.
    fn labelled(&mut self) -> (Vec<Shape>, usize) {
        let (labels, frames): (Vec<Label>, Vec<Option<bool>>) = std::mem::take(&mut self.labels)
            .into_iter()
            .filter(|(label, _)| !matches!(&label.place, Place::At(points) if points.is_empty()))
            .unzip();
        let placed = label::place(&labels, &self.blocked, &self.lines, &self.window);
        let mut shapes = std::mem::take(&mut self.shapes);
        for label in &placed {
            shapes.extend(label.leader.map(|leader| stroke(leader.to_vec(), line(0.15))));
        }
        shapes.append(&mut self.symbols);
        for ((label, framed), placed) in labels.iter().zip(frames).zip(&placed) {
            let outline = framed.map(legend::frame);
            // Hatching would run through the name of an area.
            let has_patch = framed.is_some() || matches!(label.place, Place::At(_));
            shapes.push(placed.area.outline(outline, has_patch.then_some(Ink::Paper)));
            let at = spot(
                placed.area.left_mm + label.frame_mm,
                placed.area.bottom_mm() - label.frame_mm - 0.2 * label.size_mm,
            );
            let (text, size_mm, bold) = (label.text.clone(), label.size_mm, label.bold);
            shapes.push(Shape::Text(Text { at, text, size_mm, anchor: Anchor::Start, bold }));
        }
        let hidden = label::hidden(&self.blocked);
        (shapes, hidden + placed.iter().filter(|label| label.covers).count())
    }
}

/// How a run is laid where it lies in these zones; none where the plan says nothing, or several things.
pub fn method_in(run: &Run, zones: &[usize]) -> Option<Method> {
    let mut stated = run.covers.iter().filter(|cover| zones.contains(&cover.zone)).filter_map(|cover| cover.method);
    match stated.next() {
        // Which of several holds is for the rules to say.
        Some(first) => stated.all(|other| other == first).then_some(first),
        None => run.method,
    }
}
