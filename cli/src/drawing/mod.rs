//! Drawings on paper: the site to scale, and the circuits as one-line diagrams.
//!
//! A drawing is a list of plain shapes in millimetres, see [`shape`]. It is written as SVG by [`svg`] and into the
//! pages of the permit packet by [`crate::packet::pdf`], so that both show the same.
//!
//! One ink and its tints, but for the lines of utilities, which have the colours of the uniform colour code of the
//! American Public Works Association. What fails is told by a frame and a number, never by a colour.

mod extent;
pub mod face;
mod fill;
pub mod label;
mod legend;
mod notes;
pub mod one_line;
pub mod paper;
mod path;
mod scale;
pub mod shape;
pub mod site;
pub mod svg;
mod symbol;

pub use shape::Drawing;

use std::collections::BTreeMap;

fn numbered((number, waived): &(usize, bool)) -> String {
    if *waived { format!("#{number} (waived)") } else { format!("#{number}") }
}

/// The numbers of the findings that an element has, by its id.
#[derive(Debug, Clone, Default)]
pub struct Marks {
    /// By element.
    pub of: BTreeMap<String, Mark>,
}

/// What is to be said of an element on a drawing.
#[derive(Debug, Clone, Default)]
pub struct Mark {
    /// Numbers of its findings, as in the list of findings, and whether each is waived. They are written with `#`,
    /// which no id of a plan has.
    pub numbers: Vec<(usize, bool)>,
    /// Whether one of them is a violation.
    pub fails: bool,
}

impl Marks {
    /// Numbers in one text for a label, such as `#3 #5`, at most three; empty where there are none.
    pub fn text(&self, id: &str) -> String {
        const MOST: usize = 3;
        let Some(mark) = self.of.get(id) else { return String::new() };
        let mut words: Vec<String> = mark.numbers.iter().take(MOST).map(numbered).collect();
        if mark.numbers.len() > MOST {
            words.push(format!("+{}", mark.numbers.len() - MOST));
        }
        words.join(" ")
    }

    /// All numbers in one text; empty where there are none.
    pub fn all(&self, id: &str) -> String {
        self.of.get(id).map_or_else(String::new, |mark| mark.numbers.iter().map(numbered).collect::<Vec<_>>().join(" "))
    }

    /// Whether an element has a violation.
    pub fn fails(&self, id: &str) -> bool {
        self.of.get(id).is_some_and(|mark| mark.fails)
    }
}
