//! Blocks one below another, with pages that begin where the last one is full.

use super::canvas::Canvas;
use super::table::{self, Measured};
use super::text::{lines, printable};
use crate::drawing::Drawing;
use crate::drawing::face::Weight;
use crate::drawing::paper::Paper;
use crate::drawing::shape::{Anchor, Area, Ink, Shape, Text, line, spot, stroke};
use crate::packet::{Block, Check, Finding, Packet, Section, Table};

const LEFT_MM: f64 = 15.0;
const TOP_MM: f64 = 16.0;
const BOTTOM_MM: f64 = 16.0;
/// Size of the type of texts, mm.
const TYPE_MM: f64 = 2.9;
/// From one line to the next, mm.
const LINE_MM: f64 = 4.1;

/// Where a section begins.
pub struct SectionMark {
    /// Its heading.
    pub title: String,
    /// Its page, from 0.
    pub page: usize,
    /// Its place on that page, mm from the top.
    pub y_mm: f64,
}

/// Sets blocks on pages.
pub struct Flow<'a> {
    packet: &'a Packet,
    paper_mm: (f64, f64),
    pages: Vec<Canvas>,
    marks: Vec<SectionMark>,
    /// Where the next block starts, mm from the top.
    y_mm: f64,
    /// Whether the last page takes no more.
    full: bool,
}

impl<'a> Flow<'a> {
    /// An empty document on this paper, upright.
    pub fn new(packet: &'a Packet, paper: Paper) -> Self {
        let mut flow =
            Self { packet, paper_mm: paper.sides_mm(), pages: Vec::new(), marks: Vec::new(), y_mm: TOP_MM, full: true };
        flow.room(0.0);
        let title = printable(&packet.title);
        for text in lines(&title, Weight::Bold, 6.0, flow.width_mm()) {
            flow.write(0.0, &text, 6.0, true);
            flow.y_mm += 8.0;
        }
        let key = "■ marks what fails; # and a number name a finding.";
        flow.write(0.0, key, TYPE_MM, false);
        flow.y_mm += LINE_MM;
        flow
    }

    /// Sets a section.
    pub fn section(&mut self, section: &Section) {
        let first_mm = match section.blocks.first() {
            Some(Block::Drawing(drawing)) if self.is_inline(drawing) => drawing.height_mm + 14.0,
            _ => 30.0,
        };
        self.room(first_mm);
        self.y_mm += 5.0;
        let page = self.pages.len().saturating_sub(1);
        self.marks.push(SectionMark { title: section.title.to_owned(), page, y_mm: self.y_mm - 4.0 });
        self.write(0.0, section.title, 4.4, true);
        let rule = vec![spot(LEFT_MM, self.y_mm + 1.6), spot(LEFT_MM + self.width_mm(), self.y_mm + 1.6)];
        self.draw(stroke(rule, line(0.5)));
        self.y_mm += 7.0;
        for block in &section.blocks {
            self.block(block);
            self.y_mm += 2.4;
        }
    }

    /// The pages, with their feet, and where sections begin.
    pub fn finish(mut self) -> (Vec<Canvas>, Vec<SectionMark>) {
        let count = self.pages.len();
        let foot = printable(&self.packet.foot);
        for (i, page) in self.pages.iter_mut().enumerate() {
            let y_mm = page.height_mm - 3.2;
            let at = |x_mm: f64, text: String, anchor| {
                Shape::Text(Text { at: spot(x_mm, y_mm), text, size_mm: 2.2, anchor, bold: false })
            };
            page.shape(at(LEFT_MM, foot.clone(), Anchor::Start));
            page.shape(at(page.width_mm - LEFT_MM, format!("page {} of {count}", i + 1), Anchor::End));
        }
        (self.pages, self.marks)
    }

    fn width_mm(&self) -> f64 {
        self.paper_mm.0 - 2.0 * LEFT_MM
    }

    fn bottom_mm(&self) -> f64 {
        self.paper_mm.1 - BOTTOM_MM
    }

    /// Starts a page where so much does not fit on this one.
    fn room(&mut self, height_mm: f64) {
        if self.full || self.y_mm + height_mm > self.bottom_mm() {
            self.pages.push(Canvas::new(self.paper_mm.0, self.paper_mm.1));
            self.y_mm = TOP_MM;
            self.full = false;
        }
    }

    fn draw(&mut self, shape: Shape) {
        if let Some(page) = self.pages.last_mut() {
            page.shape(shape);
        }
    }

    /// Writes one line so far from the left edge; its base line is where the next block starts.
    fn write(&mut self, indent_mm: f64, text: &str, size_mm: f64, bold: bool) {
        let (at, text) = (spot(LEFT_MM + indent_mm, self.y_mm), text.to_owned());
        self.draw(Shape::Text(Text { at, text, size_mm, anchor: Anchor::Start, bold }));
    }

    fn block(&mut self, block: &Block) {
        match block {
            Block::Text(text) => self.paragraph(0.0, text, false),
            Block::List(items) => {
                for item in items {
                    self.room(LINE_MM);
                    self.write(0.0, "•", TYPE_MM, false);
                    self.paragraph(4.0, item, false);
                }
            }
            Block::Facts(facts) => self.facts(0.0, 52.0, facts),
            Block::Notice { title, lines } => self.notice(title, lines),
            Block::Table(table) => self.table(table),
            Block::Drawing(drawing) => self.drawing(drawing),
            Block::Checks(checks) => checks.iter().for_each(|check| self.check(check)),
            Block::Finding(finding) => self.finding(finding),
        }
    }

    fn paragraph(&mut self, indent_mm: f64, text: &str, bold: bool) {
        let width_mm = self.width_mm() - indent_mm;
        for text in lines(&printable(text), Weight::of(bold), TYPE_MM, width_mm) {
            self.room(LINE_MM);
            self.write(indent_mm, &text, TYPE_MM, bold);
            self.y_mm += LINE_MM;
        }
    }

    fn facts(&mut self, indent_mm: f64, name_mm: f64, facts: &[(String, String)]) {
        for (name, value) in facts {
            let names = lines(&printable(name), Weight::Bold, TYPE_MM, name_mm - 2.0);
            let values = lines(&printable(value), Weight::Regular, TYPE_MM, self.width_mm() - indent_mm - name_mm);
            for i in 0..names.len().max(values.len()) {
                self.room(LINE_MM);
                if let Some(name) = names.get(i) {
                    self.write(indent_mm, name, TYPE_MM, true);
                }
                if let Some(value) = values.get(i) {
                    self.write(indent_mm + name_mm, value, TYPE_MM, false);
                }
                self.y_mm += LINE_MM;
            }
        }
    }

    fn notice(&mut self, title: &str, more: &[String]) {
        const INDENT_MM: f64 = 4.0;
        let width_mm = self.width_mm() - 2.0 * INDENT_MM;
        let set = |text: &str, weight, size_mm| lines(&printable(text), weight, size_mm, width_mm);
        let heading = set(title, Weight::Bold, 3.6);
        let body: Vec<String> = more.iter().flat_map(|text| set(text, Weight::Regular, TYPE_MM)).collect();
        let height_mm = 5.2 * heading.len() as f64 + LINE_MM * body.len() as f64 + 5.0;
        self.room(height_mm);
        let top_mm = self.y_mm - 3.0;
        let area = Area { left_mm: LEFT_MM, top_mm, width_mm: self.width_mm(), height_mm };
        let inner = Area {
            left_mm: area.left_mm + 0.9,
            top_mm: area.top_mm + 0.9,
            width_mm: area.width_mm - 1.8,
            height_mm: area.height_mm - 1.8,
        };
        for area in [area, inner] {
            self.draw(area.outline(Some(line(0.4)), None));
        }
        self.y_mm += 3.0;
        for text in &heading {
            self.write(INDENT_MM, text, 3.6, true);
            self.y_mm += 5.2;
        }
        for text in &body {
            self.write(INDENT_MM, text, TYPE_MM, false);
            self.y_mm += LINE_MM;
        }
        self.y_mm = top_mm + height_mm + 4.0;
    }

    fn check(&mut self, check: &Check) {
        self.room(2.0 * LINE_MM);
        self.write(0.0, if check.done { "☑" } else { "☐" }, 3.8, false);
        self.paragraph(6.0, &format!("{}: {}", check.title, check.state), true);
        if !check.detail.is_empty() {
            self.paragraph(6.0, &check.detail, false);
        }
        self.y_mm += 0.8;
    }

    fn finding(&mut self, finding: &Finding) {
        let mark = if finding.fails { "■ " } else { "" };
        let heading = format!("{mark}#{}  {}", finding.number, finding.heading);
        self.room(4.0 * LINE_MM);
        let rule = vec![spot(LEFT_MM, self.y_mm - 3.4), spot(LEFT_MM + self.width_mm(), self.y_mm - 3.4)];
        self.draw(stroke(rule, line(if finding.fails { 0.6 } else { 0.2 })));
        self.paragraph(0.0, &heading, true);
        self.paragraph(4.0, &finding.message, false);
        self.facts(4.0, 24.0, &finding.facts);
        self.y_mm += 1.0;
    }

    /// Whether a drawing stands among the text.
    fn is_inline(&self, drawing: &Drawing) -> bool {
        drawing.width_mm <= self.width_mm() && drawing.height_mm <= self.bottom_mm() - TOP_MM
    }

    /// A drawing that is wider than the page gets a page of its own size.
    fn drawing(&mut self, drawing: &Drawing) {
        if self.is_inline(drawing) {
            self.room(drawing.height_mm);
            let at = spot(LEFT_MM, self.y_mm - 3.0);
            if let Some(page) = self.pages.last_mut() {
                page.drawing(at, drawing);
            }
            self.y_mm += drawing.height_mm;
            return;
        }
        let mut page = Canvas::new(drawing.width_mm, drawing.height_mm);
        page.drawing(spot(0.0, 0.0), drawing);
        self.pages.push(page);
        self.full = true;
    }

    fn table(&mut self, table: &Table) {
        let measured = table::measure(table, self.width_mm());
        let head_mm = height(&measured.heading);
        let first_mm = measured.rows.first().map_or(0.0, |row| height(row));
        self.room(LINE_MM + head_mm + first_mm.min(60.0));
        self.write(0.0, &printable(&table.caption), TYPE_MM, true);
        self.y_mm += 1.6;
        self.heading(table, &measured);
        for (row, cells) in table.rows.iter().zip(&measured.rows) {
            self.row(table, &measured, cells, row.fails);
        }
        self.y_mm += LINE_MM;
    }

    fn heading(&mut self, table: &Table, measured: &Measured) {
        let height_mm = height(&measured.heading);
        self.cells(table, measured, &measured.heading, height_mm, true, Some(Ink::Tint(8)));
    }

    /// A row; one that is higher than a page goes on over several.
    fn row(&mut self, table: &Table, measured: &Measured, cells: &[Vec<String>], fails: bool) {
        let most =
            ((self.bottom_mm() - TOP_MM - height(&measured.heading)) / table::LINE_MM).floor().max(4.0) as usize - 2;
        let count = cells.iter().map(Vec::len).max().unwrap_or(1);
        for start in (0..count).step_by(most) {
            let part: Vec<Vec<String>> =
                cells.iter().map(|lines| lines.iter().skip(start).take(most).cloned().collect()).collect();
            let height_mm = height(&part);
            if self.y_mm + height_mm > self.bottom_mm() {
                self.full = true;
                self.room(0.0);
                self.heading(table, measured);
            }
            self.cells(table, measured, &part, height_mm, fails, None);
        }
    }

    fn cells(
        &mut self,
        table: &Table,
        measured: &Measured,
        cells: &[Vec<String>],
        height_mm: f64,
        bold: bool,
        fill: Option<Ink>,
    ) {
        let top_mm = self.y_mm;
        let mut left_mm = LEFT_MM;
        for ((column, width_mm), lines) in table.columns.iter().zip(&measured.widths_mm).zip(cells) {
            let area = Area { left_mm, top_mm, width_mm: *width_mm, height_mm };
            self.draw(area.outline(Some(line(0.15)), fill));
            for (i, text) in lines.iter().enumerate() {
                let y_mm = top_mm + table::LINE_MM * i as f64 + 2.7;
                let (x_mm, anchor) = match column.numeric {
                    true => (area.right_mm() - table::PAD_MM, Anchor::End),
                    false => (left_mm + table::PAD_MM, Anchor::Start),
                };
                let text = text.clone();
                self.draw(Shape::Text(Text { at: spot(x_mm, y_mm), text, size_mm: table::TYPE_MM, anchor, bold }));
            }
            left_mm += width_mm;
        }
        self.y_mm += height_mm;
    }
}

/// Height of a row, mm.
fn height(cells: &[Vec<String>]) -> f64 {
    table::LINE_MM * cells.iter().map(Vec::len).max().unwrap_or(1).max(1) as f64 + 1.0
}
