//! Files of expressions: rules that a company writes in YAML, without a compiler.
//!
//! ```yaml
//! expressions: 1
//! rules:
//!   - id: house/long-pull
//!     title: A run is longer than our crews pull in one piece
//!     for: run
//!     value: run.length_m
//!     limit: longest
//!     settings:
//!       longest: { default: 60 m, tighter: lower, about: longest run that we pull in one piece }
//!     message: "{run.id} is {run.length_m:.1} m long; our crews pull {settings.longest} m"
//! ```
//!
//! The file arrives with the plans and is as untrusted as they are. Here it is read, with the place of every text;
//! its expressions are parsed and checked in the sandbox ([`Engine::load_expressions`](crate::engine::Engine::load_expressions)).
//! rules/expression/fields.md lists what expressions can name.

pub(crate) mod document;
mod place;
mod take;

use crate::engine::expression_types as wit;
use crate::plan::diagnostic::{Diagnostic, Diagnostics, Sources};
use crate::plan::field::Span;
use crate::plan::{de, yaml};
use crate::repository::sha256_hex;
use document::ExpressionsDoc;

/// A file of expressions.
#[derive(Debug, Clone)]
pub struct ExpressionFile {
    /// Relative to the root of the repository with `/`.
    pub name: String,
    /// Its text; spans and diagnostics point into it.
    pub sources: Sources,
    /// What is wrong with it as YAML; expressions are checked when it is loaded.
    pub diagnostics: Vec<Diagnostic>,
    /// Digest of its bytes.
    pub(crate) sha256: String,
    rules: Vec<Placed>,
}

/// A rule with the places of its texts.
#[derive(Debug, Clone)]
struct Placed {
    rule: wit::Rule,
    /// Where its id stands.
    id: Span,
    /// Its texts: which, and where its value stands.
    parts: Vec<(wit::Part, Span)>,
}

/// Reads a file of expressions by its name for display and its bytes. What is wrong is recorded; nothing of a wrong file
/// is used.
pub fn parse(name: &str, bytes: &[u8]) -> ExpressionFile {
    let mut errors = Diagnostics::default();
    let mut sources = Sources::default();
    let mut rules = Vec::new();
    if let Some(tree) = yaml::parse(name, bytes, &mut sources, &mut errors)
        && let Some(doc) = de::read::<ExpressionsDoc>(&tree, &mut errors).value
    {
        rules = take::rules(&doc, &mut errors);
    }
    let diagnostics = errors.into_sorted();
    if !diagnostics.is_empty() {
        rules.clear();
    }
    ExpressionFile { name: name.to_owned(), sources, diagnostics, sha256: sha256_hex(bytes), rules }
}

impl ExpressionFile {
    /// Where a rule's id stands.
    pub fn rule_span(&self, id: &str) -> Option<Span> {
        self.rules.iter().find(|placed| placed.rule.id == id).map(|placed| placed.id)
    }

    /// Its rules, as the module that runs them gets them.
    pub(crate) fn rules(&self) -> Vec<wit::Rule> {
        self.rules.iter().map(|placed| placed.rule.clone()).collect()
    }

    /// What that module found wrong, where it stands in the file.
    pub(crate) fn diagnostics_of(&self, mistakes: &[wit::Mistake]) -> Vec<Diagnostic> {
        let mut errors = Diagnostics::default();
        for mistake in mistakes {
            errors.push(|| {
                let diagnostic = Diagnostic::new(self.place(mistake), mistake.message.clone());
                match &mistake.help {
                    Some(help) => diagnostic.help(help.clone()),
                    None => diagnostic,
                }
            });
        }
        errors.into_sorted()
    }

    fn place(&self, mistake: &wit::Mistake) -> Option<Span> {
        let placed = self.rules.get(mistake.rule as usize)?;
        let span = placed.parts.iter().find(|(part, _)| *part == mistake.part).map_or(placed.id, |(_, span)| *span);
        Some(place::within(&self.sources, span, placed.text(mistake.part), mistake.from as usize, mistake.to as usize))
    }
}

impl Placed {
    fn text(&self, part: wit::Part) -> &str {
        match (part, &self.rule.test) {
            (wit::Part::Where, _) => self.rule.where_.as_deref().unwrap_or_default(),
            (wit::Part::Require, wit::Test::Require(text)) => text,
            (wit::Part::Value, wit::Test::Compare(comparison)) => &comparison.value,
            (wit::Part::Limit, wit::Test::Compare(comparison)) => &comparison.limit,
            (wit::Part::Message, _) => &self.rule.message,
            (wit::Part::Help, _) => &self.rule.help,
            _ => "",
        }
    }
}

#[cfg(test)]
mod tests;
