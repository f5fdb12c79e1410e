//! The circuits as one-line diagrams: for each output a rail with what hangs on it, row by row.
//!
//! A node with several branches keeps its largest one on its own rail; the others turn off to the right. So a chain of
//! any length stays in one column, and no drawing needs more columns than the binary logarithm of its nodes.

use super::face;
use super::legend::frame;
use super::shape::{Anchor, Area, Drawing, Ink, Shape, Spot, Stroke, Text, line, spot, stroke};
use super::site::View;
use super::symbol;
use crate::output::terminal::number;
use lintern_core::analysis::Solution;
use lintern_core::layout::{CableType, NodeRef, Segment};
use std::collections::{BTreeMap, BTreeSet};

/// Height of a row, mm.
const ROW_MM: f64 = 5.4;
/// Width of a column, mm.
const COLUMN_MM: f64 = 7.0;
/// Height of what stands above the rows, mm.
const HEAD_MM: f64 = 9.0;

/// A row of the diagram.
struct Row {
    node: NodeRef,
    column: usize,
    /// The row that it hangs on, and the text on the line to it.
    from: Option<(usize, String)>,
    /// Where the node stands already: the line closes a loop or comes from another output.
    again: bool,
}

/// Diagrams of all outputs that feed something, each at most so high and wide, mm.
pub fn diagrams(view: &View<'_>, solution: &Solution, width_mm: f64, height_mm: f64) -> Vec<Drawing> {
    let most_rows = (((height_mm - HEAD_MM) / ROW_MM).floor() as usize).max(4);
    let network = Network::new(view);
    let mut seen = BTreeSet::new();
    let mut drawings = Vec::new();
    for (s, supply) in view.layout.supplies.iter().enumerate() {
        for (o, _) in supply.kind.outputs.iter().enumerate() {
            let root = NodeRef::Output { supply: s, output: o };
            let rows = network.rows(root, &mut seen);
            if rows.len() < 2 {
                continue;
            }
            let pages = rows.len().div_ceil(most_rows);
            for page in 0..pages {
                let range = page * most_rows..((page + 1) * most_rows).min(rows.len());
                let part = (pages > 1).then(|| (page + 1, pages));
                drawings.push(Sheet { view, solution, rows: &rows, range, width_mm }.draw(part));
            }
        }
    }
    drawings
}

/// Nodes that no output reaches, by name.
pub fn unfed(view: &View<'_>) -> Vec<String> {
    let network = Network::new(view);
    let mut seen = BTreeSet::new();
    for (s, supply) in view.layout.supplies.iter().enumerate() {
        for output in 0..supply.kind.outputs.len() {
            network.rows(NodeRef::Output { supply: s, output }, &mut seen);
        }
    }
    let nodes = (0..view.layout.junctions.len()).map(NodeRef::Junction);
    let nodes = nodes.chain((0..view.layout.luminaires.len()).map(NodeRef::Luminaire));
    nodes.filter(|node| !seen.contains(node)).map(|node| view.layout.node_name(node)).collect()
}

struct Network {
    /// Neighbours of each node, with the number and the text of the segment.
    links: BTreeMap<NodeRef, Vec<(NodeRef, usize, String)>>,
}

impl Network {
    fn new(view: &View<'_>) -> Self {
        let mut links: BTreeMap<NodeRef, Vec<(NodeRef, usize, String)>> = BTreeMap::new();
        let mut count = 0;
        for run in &view.layout.runs {
            for segment in &run.segments {
                let text = on_line(view, &run.id.0, segment, &cable(&run.cable));
                links.entry(segment.from).or_default().push((segment.to, count, text.clone()));
                links.entry(segment.to).or_default().push((segment.from, count, text));
                count += 1;
            }
        }
        Self { links }
    }

    /// The rows below an output, in the order in which they are drawn; what has been drawn before is told and not
    /// followed.
    fn rows(&self, root: NodeRef, seen: &mut BTreeSet<NodeRef>) -> Vec<Row> {
        let weight = self.weights(root, seen);
        let mut rows: Vec<Row> = Vec::new();
        let mut used: BTreeSet<usize> = BTreeSet::new();
        // What is still to be drawn, the next one last.
        let mut open = vec![(root, 0, None)];
        while let Some((node, column, from)) = open.pop() {
            if let Some((_, segment, _)) = &from
                && !used.insert(*segment)
            {
                continue;
            }
            let again = !seen.insert(node);
            let row = rows.len();
            rows.push(Row {
                node,
                column,
                from: from.map(|(row, _, text): (usize, usize, String)| (row, text)),
                again,
            });
            // Nothing is fed through the outputs of others.
            if again || (row > 0 && matches!(node, NodeRef::Output { .. })) {
                continue;
            }
            let links = self.links.get(&node).map_or(&[][..], Vec::as_slice);
            let mut children: Vec<&(NodeRef, usize, String)> =
                links.iter().filter(|(_, s, _)| !used.contains(s)).collect();
            // The largest one goes on along the rail, after the others.
            let largest =
                children.iter().max_by_key(|(to, ..)| weight.get(to).copied().unwrap_or(0)).map(|(_, s, _)| *s);
            children.sort_by_key(|(_, segment, _)| Some(*segment) == largest);
            for (to, segment, text) in children.into_iter().rev() {
                let column = if Some(*segment) == largest { column } else { column + 1 };
                open.push((*to, column, Some((row, *segment, text.clone()))));
            }
        }
        rows
    }

    /// How many nodes hang on each, by a walk over the whole part.
    fn weights(&self, root: NodeRef, seen: &BTreeSet<NodeRef>) -> BTreeMap<NodeRef, usize> {
        let mut order = vec![root];
        let mut parent: BTreeMap<NodeRef, NodeRef> = BTreeMap::new();
        let mut known: BTreeSet<NodeRef> = seen.iter().copied().chain([root]).collect();
        let mut at = 0;
        while at < order.len() {
            let node = order[at];
            at += 1;
            for (to, ..) in self.links.get(&node).map_or(&[][..], Vec::as_slice) {
                if known.insert(*to) {
                    parent.insert(*to, node);
                    order.push(*to);
                }
            }
        }
        let mut weights: BTreeMap<NodeRef, usize> = order.iter().map(|node| (*node, 1)).collect();
        for node in order.iter().rev() {
            let own = weights.get(node).copied().unwrap_or(0);
            if let Some(above) = parent.get(node).and_then(|parent| weights.get_mut(parent)) {
                *above += own;
            }
        }
        weights
    }
}

/// A cable by its type and the size of its conductors.
fn cable(cable: &CableType) -> String {
    let size = cable.conductor.as_ref().map(|size| format!(" ({size})")).unwrap_or_default();
    format!("{}{size}", cable.name)
}

/// The text on a line: run, length and cable.
fn on_line(view: &View<'_>, run: &str, segment: &Segment, cable: &str) -> String {
    format!("by {run}, {}, {cable}", super::super::packet::words::length(view.layout, segment.length_m))
}

struct Sheet<'a> {
    view: &'a View<'a>,
    solution: &'a Solution,
    rows: &'a [Row],
    range: std::ops::Range<usize>,
    width_mm: f64,
}

impl Sheet<'_> {
    fn draw(&self, part: Option<(usize, usize)>) -> Drawing {
        let root = self.rows.first().map_or_else(String::new, |row| self.view.layout.node_name(row.node));
        let part_text = part.map(|(page, pages)| format!(", part {page} of {pages}")).unwrap_or_default();
        let title = format!("One-line diagram of {root}{part_text}");
        let mut shapes = vec![super::shape::bold(spot(1.0, 4.5), 3.0, face::settable(&title))];
        // Rails of rows before come in from above, those of rows behind go on below.
        for (index, row) in self.rows.iter().enumerate() {
            if let Some((from, _)) = &row.from {
                self.rail(&mut shapes, *from, index);
            }
        }
        for index in self.range.clone() {
            self.row(&mut shapes, index);
        }
        let description = format!("{} rows: each node with its volts, below what feeds it.", self.range.len());
        let height_mm = HEAD_MM + ROW_MM * self.range.len() as f64;
        Drawing { width_mm: self.width_mm, height_mm, title, description, shapes }
    }

    fn place(&self, index: usize) -> Spot {
        let row = index as f64 - self.range.start as f64;
        let column = self.rows.get(index).map_or(0, |row| row.column);
        spot(5.0 + COLUMN_MM * column as f64, HEAD_MM + ROW_MM * row)
    }

    fn rail(&self, shapes: &mut Vec<Shape>, from: usize, to: usize) {
        if from >= self.range.end || to < self.range.start {
            return;
        }
        let (start, end) = (self.place(from), self.place(to));
        let (top, bottom) = (HEAD_MM - ROW_MM * 0.6, HEAD_MM + ROW_MM * (self.range.len() as f64 - 0.4));
        let thin = Stroke { width_mm: 0.3, ..line(0.3) };
        let down = spot(start.x_mm, end.y_mm.min(bottom));
        shapes.push(stroke(vec![spot(start.x_mm, start.y_mm.max(top)), down], thin));
        if self.range.contains(&to) && end.x_mm > start.x_mm {
            shapes.push(stroke(vec![spot(start.x_mm, end.y_mm), end], thin));
        }
    }

    fn row(&self, shapes: &mut Vec<Shape>, index: usize) {
        let Some(row) = self.rows.get(index) else { return };
        let at = self.place(index);
        let layout = self.view.layout;
        let name = layout.node_name(row.node);
        let id = match row.node {
            NodeRef::Output { supply, .. } => layout.supplies[supply].id.0.clone(),
            _ => name.clone(),
        };
        let fails = self.view.marks.fails(&id) && !row.again;
        let radius_mm = match row.node {
            NodeRef::Output { .. } => symbol::SUPPLY_MM,
            NodeRef::Junction(_) => symbol::JUNCTION_MM,
            NodeRef::Luminaire(_) => symbol::LUMINAIRE_MM,
        };
        let mut x_mm = at.x_mm + radius_mm + 1.4;
        if row.again {
            let ring = Shape::Circle { at, radius_mm: 0.8, stroke: Some(line(0.3)), fill: Some(Ink::Paper) };
            shapes.push(ring);
        } else {
            shapes.extend(match row.node {
                NodeRef::Output { .. } => symbol::supply(at, fails),
                NodeRef::Junction(_) => symbol::junction(at, fails),
                NodeRef::Luminaire(l) => symbol::luminaire(at, self.view.mark(&layout.luminaires[l].kind), fails),
            });
        }
        if fails {
            x_mm += 0.8;
        }
        let words = if row.again { format!("{name} (see its row: loop or second feed)") } else { name };
        x_mm = self.write(shapes, x_mm, at.y_mm, &words, true, None);
        let numbers = if row.again { String::new() } else { self.view.marks.text(&id) };
        if !numbers.is_empty() {
            x_mm = self.write(shapes, x_mm, at.y_mm, &numbers, fails, Some(fails));
        }
        if !row.again {
            x_mm = self.write(shapes, x_mm, at.y_mm, &self.state(row.node), false, None);
        }
        if let Some((_, text)) = &row.from {
            // In a column of its own, unless the row is long.
            let left_mm = x_mm.max(0.5 * self.width_mm);
            let text = super::legend::cut(&face::settable(text), 2.3, (self.width_mm - 1.0 - left_mm).max(8.0));
            let at = spot(left_mm, at.y_mm + 0.9);
            shapes.push(Shape::Text(Text { at, text, size_mm: 2.3, anchor: Anchor::Start, bold: false }));
        }
    }

    /// Writes a text and gives where the next one starts.
    fn write(
        &self,
        shapes: &mut Vec<Shape>,
        x_mm: f64,
        y_mm: f64,
        words: &str,
        bold: bool,
        framed: Option<bool>,
    ) -> f64 {
        const TYPE_MM: f64 = 2.5;
        let words = face::settable(words).into_owned();
        let width_mm = face::Weight::of(bold).width(&words) * TYPE_MM;
        if let Some(fails) = framed {
            let area = Area { left_mm: x_mm - 0.6, top_mm: y_mm - 1.7, width_mm: width_mm + 1.2, height_mm: 3.5 };
            shapes.push(area.outline(Some(frame(fails)), Some(Ink::Paper)));
        }
        let at = spot(x_mm, y_mm + 0.9);
        shapes.push(Shape::Text(Text { at, text: words, size_mm: TYPE_MM, anchor: Anchor::Start, bold }));
        x_mm + width_mm + 2.4
    }

    /// Volts and amps of a node.
    fn state(&self, node: NodeRef) -> String {
        let told = |volts: Option<f64>, amps: Option<f64>| {
            let volts = volts.map_or_else(|| "no voltage computed".to_owned(), |volts| format!("{volts:.2} V"));
            amps.map_or(volts.clone(), |amps| format!("{volts}  {} A", number(amps)))
        };
        match node {
            NodeRef::Output { supply, output } => {
                let state = self.solution.supplies.get(supply).and_then(|supply| supply.outputs.get(output));
                told(state.and_then(|state| state.volts), state.and_then(|state| state.amps))
            }
            NodeRef::Junction(j) => told(self.solution.junctions.get(j).and_then(|state| state.volts), None),
            NodeRef::Luminaire(l) => {
                let state = self.solution.luminaires.get(l);
                let dark = if state.and_then(|state| state.lit) == Some(false) { "  dark" } else { "" };
                told(state.and_then(|s| s.node.volts), state.and_then(|s| s.amps)) + dark
            }
        }
    }
}
