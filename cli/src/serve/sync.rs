//! The texts that are open in the editor, kept as the editor has them.

use super::position::{Encoding, Lines};
use lintern_core::plan::cursor::Written;
use lsp_types::TextDocumentContentChangeEvent;
use std::cell::{Cell, OnceCell};
use std::path::PathBuf;
use std::sync::Arc;

/// What a YAML text is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sort {
    /// A plan.
    Plan,
    /// A shared schedule.
    Schedule,
    /// Something else, of which nothing is said.
    Other,
}

/// An open text.
#[derive(Debug)]
pub struct Document {
    /// As the client names it.
    pub address: String,
    /// Its file, without links.
    pub path: PathBuf,
    /// The number of its version.
    pub version: i32,
    /// The text.
    pub text: Arc<str>,
    /// Its lines.
    pub lines: Lines,
    /// The text as YAML, read when somebody asks.
    read: OnceCell<Option<Arc<Written>>>,
    /// The last earlier text that was YAML.
    earlier: Option<Arc<Written>>,
    /// Whether it was a plan at any time since it was opened.
    was_plan: Cell<bool>,
}

impl Document {
    /// A text that was opened.
    pub fn new(address: String, path: PathBuf, version: i32, text: String) -> Self {
        let lines = Lines::of(&text);
        Self {
            address,
            path,
            version,
            text: text.into(),
            lines,
            read: OnceCell::new(),
            earlier: None,
            was_plan: Cell::new(false),
        }
    }

    /// Takes changes in, one after the other.
    pub fn change(&mut self, version: i32, changes: Vec<TextDocumentContentChangeEvent>, encoding: Encoding) {
        let mut text = String::from(&*self.text);
        let mut lines = self.lines.clone();
        let last = changes.len().saturating_sub(1);
        for (index, change) in changes.into_iter().enumerate() {
            match change.range {
                Some(range) => text.replace_range(lines.bytes(&text, range, encoding), &change.text),
                None => text = change.text,
            }
            if index < last {
                lines = Lines::of(&text);
            }
        }
        self.lines = Lines::of(&text);
        self.text = text.into();
        self.version = version;
        if let Some(Some(read)) = self.read.take() {
            self.earlier = Some(read);
        }
    }

    /// The present text as YAML; `None` where it is none.
    pub fn written(&self) -> Option<&Arc<Written>> {
        self.read.get_or_init(|| Written::read(&self.text).map(Arc::new)).as_ref()
    }

    /// Whether the present text has been read.
    pub fn is_read(&self) -> bool {
        self.read.get().is_some()
    }

    /// Takes a text as somebody else has read it, if it is the present one.
    pub fn take_read(&mut self, text: &Arc<str>, written: &Arc<Written>) {
        if Arc::ptr_eq(text, &self.text) {
            self.read.get_or_init(|| Some(written.clone()));
        }
    }

    /// The last earlier text that was YAML and that somebody asked for.
    pub fn earlier(&self) -> Option<&Arc<Written>> {
        self.earlier.as_ref()
    }

    /// What it is. A text that was a plan stays one while it is open: its `plan` key is being typed.
    pub fn sort(&self) -> Sort {
        let sort = if self.was_plan.get() { Sort::Plan } else { self.present_sort() };
        self.was_plan.set(sort == Sort::Plan);
        sort
    }

    /// What the present text is. One that is broken just now is told by its lines.
    fn present_sort(&self) -> Sort {
        let flow = self.text.trim_start_matches('\u{feff}').trim_start().starts_with('{');
        if flow {
            return match self.written() {
                Some(written) if written.is_plan() => Sort::Plan,
                Some(written) if written.is_schedule() => Sort::Schedule,
                _ => Sort::Other,
            };
        }
        let text = self.text.trim_start_matches('\u{feff}');
        let has = |key: &str| {
            text.lines().any(|line| {
                let rest = line.trim_start_matches(['"', '\'']).strip_prefix(key);
                rest.is_some_and(|rest| rest.trim_start_matches(['"', '\'', ' ']).starts_with(':'))
            })
        };
        match (has("plan"), has("schedule")) {
            (true, _) => Sort::Plan,
            (false, true) => Sort::Schedule,
            (false, false) => Sort::Other,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use lsp_types::{Position, Range};

    fn change(from: (u32, u32), to: (u32, u32), text: &str) -> TextDocumentContentChangeEvent {
        let at = |(line, character)| Position { line, character };
        TextDocumentContentChangeEvent {
            range: Some(Range { start: at(from), end: at(to) }),
            range_length: None,
            text: text.to_owned(),
        }
    }

    fn opened(text: &str) -> Document {
        Document::new("file:///a.yaml".to_owned(), PathBuf::from("/a.yaml"), 1, text.to_owned())
    }

    #[test]
    fn changes_are_taken_in_one_after_the_other() {
        let mut document = opened("plan: 1\r\nname: 🌳 oak\r\n");
        // Each counts in the text that the one before it has left.
        document.change(
            2,
            vec![change((1, 6), (1, 8), "elm"), change((1, 9), (1, 9), ","), change((0, 7), (0, 7), "\r\n# x")],
            Encoding::Utf16,
        );
        assert_eq!((&*document.text, document.version), ("plan: 1\r\n# x\r\nname: elm, oak\r\n", 2));
        document.change(3, vec![change((9, 9), (9, 9), "z"), change((0, 0), (0, 4), "plan")], Encoding::Utf16);
        assert_eq!(&*document.text, "plan: 1\r\n# x\r\nname: elm, oak\r\nz");
        let whole = TextDocumentContentChangeEvent { range: None, range_length: None, text: "a: b".to_owned() };
        document.change(4, vec![whole], Encoding::Utf8);
        assert_eq!(&*document.text, "a: b");
    }

    #[test]
    fn plans_are_known_while_they_are_broken() {
        for (text, sort) in [
            ("plan: 1\nruns: [", Sort::Plan),
            ("\u{feff}'plan' : 1\r\n", Sort::Plan),
            ("{plan: 1}", Sort::Plan),
            ("schedule:\n  cables: {", Sort::Schedule),
            ("{schedule: {}}", Sort::Schedule),
            ("services:\n  plan: x\n", Sort::Other),
            ("planet: 1\n", Sort::Other),
            ("", Sort::Other),
        ] {
            assert_eq!(opened(text).sort(), sort, "{text}");
        }
    }

    #[test]
    fn the_last_text_that_was_yaml_is_kept() {
        let mut document = opened("plan: 1\nsupplies: [{ id: S1 }]\n");
        assert!(document.written().is_some() && document.earlier().is_none());
        document.change(2, vec![change((1, 0), (1, 0), "{{")], Encoding::Utf16);
        assert!(document.written().is_none());
        let earlier = document.earlier().and_then(|written| written.element("S1"));
        assert_eq!(earlier.map(|named| named.id).as_deref(), Some("S1"));
    }
}
