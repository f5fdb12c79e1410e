//! Reads the files that one configuration or pack names. The bytes whose digest is compared are the bytes that are used.

use super::layer::{Digests, Layer};
use super::{FileKind, HouseModule, Problem, ProblemKind, Rulebook, Shared, UsedFile};
use crate::engine::{LoadExpressionsError, Module, refuse_reserved};
use crate::expression;
use crate::plan::{Diagnostic, yaml};
use crate::repository::{AmendmentFile, RuleFile, read_amendments, sha256_hex};

pub(super) struct Files<'a, 'l, 'b> {
    layer: &'l Layer<'l>,
    shared: Shared<'a>,
    book: &'b mut Rulebook,
}

impl<'a, 'l, 'b> Files<'a, 'l, 'b> {
    pub(super) fn new(layer: &'l Layer<'l>, shared: Shared<'a>, book: &'b mut Rulebook) -> Self {
        Self { layer, shared, book }
    }

    /// Loads its modules.
    pub(super) fn modules(&mut self) {
        for file in &self.layer.rules.modules {
            let Some(bytes) = self.bytes(file, FileKind::Module) else { continue };
            match self.shared.engine.load(&self.layer.shown(&file.name), &bytes) {
                Ok(module) => self.take(file, module),
                Err(error) => self.module_problem(error.to_string(), file),
            }
        }
    }

    /// Loads its rules in expressions.
    pub(super) fn expressions(&mut self) {
        for file in &self.layer.rules.expressions {
            let Some(bytes) = self.bytes(file, FileKind::Expressions) else { continue };
            let parsed = expression::parse(&self.layer.shown(&file.name), &bytes);
            match self.shared.engine.load_expressions(&parsed) {
                Ok(module) => self.take(file, module),
                Err(LoadExpressionsError::Wrong(wrong)) => {
                    self.book.problems.extend(wrong.into_iter().map(|d| Problem::config(d, &parsed.sources)));
                }
                Err(LoadExpressionsError::Module(error)) => self.module_problem(error.to_string(), file),
            }
        }
    }

    /// Reads its local amendments.
    pub(super) fn amendments(&mut self) -> Vec<AmendmentFile> {
        let mut read = Vec::new();
        for file in &self.layer.rules.amendments {
            let Some(bytes) = self.bytes(file, FileKind::Amendments) else { continue };
            let amendments = read_amendments(&self.layer.shown(&file.name), &bytes);
            let wrong = amendments.diagnostics.iter().map(|d| Problem::config(d.clone(), &amendments.sources));
            self.book.problems.extend(wrong);
            read.push(amendments);
        }
        read
    }

    /// Reports digests of files that it does not name.
    pub(super) fn pins(&mut self) {
        let rules = self.layer.rules;
        let named = [&rules.modules, &rules.expressions, &rules.amendments, &rules.packs];
        for pin in self.layer.digests.pins() {
            if !named.into_iter().flatten().any(|file| file.name == pin.file) {
                let message = format!("`{}` has a digest here, but nothing under `rules` names it", pin.file);
                let diagnostic = Diagnostic::new(pin.span, message).help("remove the digest, or name the file");
                self.book.problems.push(Problem::config(diagnostic, self.layer.sources));
            }
        }
    }

    /// The bytes of a file, provided that they are the pinned ones.
    fn bytes(&mut self, file: &RuleFile, kind: FileKind) -> Option<Vec<u8>> {
        let shown = self.layer.shown(&file.name);
        let bytes = match yaml::read(&file.path) {
            Ok(bytes) => bytes,
            Err(error) => {
                self.problem(kind, Diagnostic::new(file.span, format!("can't read `{shown}`: {error}")));
                return None;
            }
        };
        let sha256 = sha256_hex(&bytes);
        let pin = self.layer.digests.pins().iter().find(|pin| pin.file == file.name);
        let wrong = match (pin, &self.layer.digests) {
            (Some(pin), _) if pin.sha256 != sha256 => Some(
                Diagnostic::new(pin.span, format!("`{shown}` is not the pinned one: its SHA-256 is {sha256}")).help(
                    "find out who changed it; `lintern rule pin` writes the new digest, if you trust the new one",
                ),
            ),
            (None, Digests::All(_)) => Some(
                Diagnostic::new(file.span, format!("`{shown}` has no digest in the manifest of its pack"))
                    .help(format!("`lintern rule pin {}` writes the digests", self.layer.shown(""))),
            ),
            _ => None,
        };
        if let Some(wrong) = wrong {
            self.problem(kind, wrong);
            return None;
        }
        let origin = self.layer.origin.clone();
        self.book.files.push(UsedFile { name: shown, kind, origin, sha256, pinned: pin.is_some() });
        Some(bytes)
    }

    /// Takes a module whose rules nobody else brings.
    fn take(&mut self, file: &RuleFile, module: Module) {
        if let Err(error) = refuse_reserved(&module) {
            return self.module_problem(error.to_string(), file);
        }
        let others = || self.shared.builtin.iter().chain(self.book.modules.iter().map(|house| &house.module));
        let message = module.rules().iter().find_map(|rule| {
            let other = others().find(|other| other.rules().iter().any(|known| known.id == rule.id))?;
            let (own, id) = (module.name(), &rule.id);
            Some(format!("module `{own}` brings rule `{id}`, which module `{}` has already", other.name()))
        });
        match message {
            Some(message) => self.module_problem(message, file),
            None => self.book.modules.push(HouseModule { module, origin: self.layer.origin.clone() }),
        }
    }

    fn module_problem(&mut self, message: String, file: &RuleFile) {
        self.book.problems.push(Problem::module(message, Some(file.span), self.layer.sources));
    }

    fn problem(&mut self, kind: FileKind, diagnostic: Diagnostic) {
        let kind = if kind == FileKind::Module { ProblemKind::Module } else { ProblemKind::Config };
        self.book.problems.push(Problem { kind, diagnostic, sources: self.layer.sources.clone() });
    }
}
