//! The permit packet of one plan: what a reviewer decides with and a crew builds from, on paper.
//!
//! [`content`] puts it together from the plan, its facts and the document of a check, as sections of plain blocks;
//! [`html`] and [`pdf`] set the same blocks, so that they can't say different things.

pub mod content;
pub mod html;
pub mod pdf;
mod source;
pub mod words;

pub use source::Source;

use crate::drawing::Drawing;

/// The packet.
#[derive(Debug, Clone)]
pub struct Packet {
    /// Name of the job.
    pub title: String,
    /// What stands at the foot of every page: what the packet was made from.
    pub foot: String,
    /// The day it was made for, as `2026-03-01`.
    pub as_of: String,
    /// Its parts.
    pub sections: Vec<Section>,
}

/// One part.
#[derive(Debug, Clone)]
pub struct Section {
    /// Its name in addresses.
    pub id: &'static str,
    /// Its heading.
    pub title: &'static str,
    /// What is in it.
    pub blocks: Vec<Block>,
}

/// A piece of a section.
#[derive(Debug, Clone)]
pub enum Block {
    /// A paragraph.
    Text(String),
    /// A short list.
    List(Vec<String>),
    /// Names with their values.
    Facts(Vec<(String, String)>),
    /// What matters most, in a frame.
    Notice {
        /// In one line.
        title: String,
        /// More of it.
        lines: Vec<String>,
    },
    /// A table.
    Table(Table),
    /// A drawing.
    Drawing(Box<Drawing>),
    /// Things to be done or confirmed.
    Checks(Vec<Check>),
    /// A finding in full.
    Finding(Box<Finding>),
}

/// A table.
#[derive(Debug, Clone)]
pub struct Table {
    /// What it shows.
    pub caption: String,
    /// Its columns.
    pub columns: Vec<Column>,
    /// Its rows.
    pub rows: Vec<Row>,
}

/// A column.
#[derive(Debug, Clone)]
pub struct Column {
    /// Its heading.
    pub title: String,
    /// Whether it holds numbers, which stand to the right.
    pub numeric: bool,
}

/// A row.
#[derive(Debug, Clone)]
pub struct Row {
    /// A cell for each column.
    pub cells: Vec<String>,
    /// Whether it is of something that fails.
    pub fails: bool,
}

/// Something to be done or confirmed.
#[derive(Debug, Clone)]
pub struct Check {
    /// Whether the plan records it as done.
    pub done: bool,
    /// How it stands, in a word.
    pub state: String,
    /// What.
    pub title: String,
    /// More of it.
    pub detail: String,
}

/// A finding in full.
#[derive(Debug, Clone)]
pub struct Finding {
    /// Its number.
    pub number: usize,
    /// Whether it is a violation that counts.
    pub fails: bool,
    /// Level, rule and element.
    pub heading: String,
    /// What is wrong.
    pub message: String,
    /// Names with their values: numbers, basis, the way out, who accepted it.
    pub facts: Vec<(String, String)>,
}

impl Table {
    /// A table without rows. A heading that starts with `#` is of a column of numbers.
    pub fn new(caption: &str, titles: &[&str]) -> Self {
        let column = |title: &&str| match title.strip_prefix('#') {
            Some(title) => Column { title: title.to_owned(), numeric: true },
            None => Column { title: (*title).to_owned(), numeric: false },
        };
        Self { caption: caption.to_owned(), columns: titles.iter().map(column).collect(), rows: Vec::new() }
    }

    /// Adds a row.
    pub fn row<const N: usize>(&mut self, cells: [String; N], fails: bool) {
        self.rows.push(Row { cells: cells.into(), fails });
    }

    /// The table as a block; a sentence where it is empty.
    pub fn or(self, nothing: &str) -> Block {
        if self.rows.is_empty() { Block::Text(nothing.to_owned()) } else { Block::Table(self) }
    }
}
