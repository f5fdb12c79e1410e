//! Cures of findings as changes to the text, the smallest first, each checked with all rules as by `lintern remedy`.

use super::check::Checked;
use super::options::Options;
use super::rename::changes;
use super::server::View;
use super::sync::Document;
use crate::output::escape;
use lintern_core::remedy::{Cure, Key, Remedies};
use lsp_types::{CodeActionParams, CodeActionTriggerKind};
use serde_json::{Value, json};
use std::ops::Range;
use std::sync::Arc;

/// Lines that a change is looked for in before the rest of the text is taken as changed.
const FARTHEST: usize = 4_000;

/// The findings that cures are wanted for; `None` where there are none, or where nobody asked.
pub fn wish(view: &View<'_>, params: &CodeActionParams) -> Option<(Arc<Checked>, Vec<usize>)> {
    // Editors ask at each move of the cursor, whether there is anything; searching takes longer than that.
    if params.context.trigger_kind == Some(CodeActionTriggerKind::AUTOMATIC) {
        return None;
    }
    let wants_fixes = |kinds: &Vec<lsp_types::CodeActionKind>| {
        kinds.iter().any(|kind| "quickfix".starts_with(kind.as_str()) || kind.as_str().starts_with("quickfix"))
    };
    if !params.context.only.as_ref().is_none_or(wants_fixes) {
        return None;
    }
    // What is found in another version may not be true of this one.
    let checked = view.latest.filter(|checked| checked.version == view.document.version)?;
    checked.report.loaded.layout.as_ref()?;
    let asked = view.document.lines.bytes(&view.document.text, params.range, view.options.encoding);
    let meets = |span: lintern_core::plan::field::Span| {
        span.file == 0 && span.start as usize <= asked.end && asked.start <= span.end as usize
    };
    let findings = checked.report.findings.iter().enumerate();
    let findings: Vec<usize> = findings
        .filter(|(_, finding)| finding.waived.is_none() && meets(finding.span))
        .map(|(index, _)| index)
        .collect();
    (!findings.is_empty()).then(|| (checked.clone(), findings))
}

/// The cures as code actions.
pub fn answer(document: &Document, checked: &Checked, remedies: &Remedies, options: Options) -> Value {
    let feet = checked.report.loaded.layout.as_ref().is_some_and(lintern_core::layout::Layout::is_in_feet);
    let action = |(index, cure): (usize, &Cure)| {
        let title = format!("{} ({})", cure.summary, cure.cost.phrase(feet));
        let cured = checked.report.findings.iter().filter(|finding| cure.cures.contains(&Key::of(finding)));
        let diagnostics: Vec<Value> = cured
            .filter(|finding| finding.span.file == 0)
            .map(|finding| {
                let bytes = finding.span.start as usize..finding.span.end as usize;
                json!({
                    "range": document.lines.range(&document.text, bytes, options.encoding),
                    "message": escape::terminal(&finding.message), "source": "lintern", "code": finding.rule,
                })
            })
            .collect();
        json!({
            "title": escape::terminal(&title.replace(['\n', '\r'], " ")),
            "kind": "quickfix",
            "isPreferred": index == 0,
            "diagnostics": diagnostics,
            "edit": changes(document, difference(&document.text, &cure.text), options),
        })
    };
    Value::Array(remedies.cures.iter().enumerate().map(action).collect())
}

/// What to change in a text to get another one: few bytes, by looking for the lines that both have.
fn difference(old: &str, new: &str) -> Vec<(Range<usize>, String)> {
    let (old_lines, new_lines) = (lines(old), lines(new));
    let same = |a: usize, b: usize| {
        let line = old_lines.get(a).and_then(|line| old.get(line.clone()));
        line == new_lines.get(b).and_then(|line| new.get(line.clone()))
    };
    let (mut a, mut b, mut edits) = (0, 0, Vec::new());
    while a < old_lines.len() || b < new_lines.len() {
        if a < old_lines.len() && b < new_lines.len() && same(a, b) {
            (a, b) = (a + 1, b + 1);
            continue;
        }
        // The nearest lines from which on both go on alike, for two lines or to the end.
        let left = old_lines.len() - a + new_lines.len() - b;
        let meet = (1..=left.min(FARTHEST)).find_map(|far| {
            (0..=far)
                .map(|down| (a + down, b + far - down))
                .find(|(x, y)| *x <= old_lines.len() && *y <= new_lines.len() && same(*x, *y) && same(x + 1, y + 1))
        });
        let (x, y) = meet.unwrap_or((old_lines.len(), new_lines.len()));
        let start = |lines: &[Range<usize>], text: &str, at: usize| lines.get(at).map_or(text.len(), |line| line.start);
        let gone = start(&old_lines, old, a)..start(&old_lines, old, x);
        let come = &new[start(&new_lines, new, b)..start(&new_lines, new, y)];
        edits.push(trimmed(old, gone, come));
        (a, b) = (x, y);
    }
    edits
}

/// The lines of a text with their ends.
fn lines(text: &str) -> Vec<Range<usize>> {
    let mut start = 0;
    text.split_inclusive('\n')
        .map(|line| {
            let own = start..start + line.len();
            start = own.end;
            own
        })
        .collect()
}

/// A change without what both sides begin and end with.
fn trimmed(old: &str, gone: Range<usize>, come: &str) -> (Range<usize>, String) {
    let before = &old[gone.clone()];
    let head: usize = before.chars().zip(come.chars()).take_while(|(a, b)| a == b).map(|(a, _)| a.len_utf8()).sum();
    let (rest, rest_come) = (&before[head..], &come[head..]);
    let tail: usize =
        rest.chars().rev().zip(rest_come.chars().rev()).take_while(|(a, b)| a == b).map(|(a, _)| a.len_utf8()).sum();
    (gone.start + head..gone.end - tail, rest_come[..rest_come.len() - tail].to_owned())
}

#[cfg(test)]
mod tests {
    use super::difference;

    fn applied(old: &str, new: &str) -> (String, usize) {
        let edits = difference(old, new);
        let mut text = old.to_owned();
        for (bytes, come) in edits.iter().rev() {
            text.replace_range(bytes.clone(), come);
        }
        (text, edits.iter().map(|(bytes, come)| bytes.len() + come.len()).sum())
    }

    #[test]
    fn a_difference_makes_the_other_text_and_is_small() {
        let lines: Vec<String> = (0..500).map(|n| format!("  - {{ id: L{n}, at: [{n}, ß] }}\r\n")).collect();
        let old = lines.concat();
        let mut changed = lines.clone();
        changed[3] = "  - { id: L3, at: [4, ß] }\r\n".to_owned();
        changed.insert(250, "  - { id: new }\r\n".to_owned());
        changed.remove(400);
        let new = changed.concat();
        let (text, bytes) = applied(&old, &new);
        assert_eq!(text, new);
        assert!(bytes < 60, "{bytes}");
        for (old, new) in [
            ("", ""),
            ("", "a\n"),
            ("a\n", ""),
            ("a", "b"),
            ("a\nb", "a\nb\nc\n"),
            ("é\n", "è\n"),
            ("a\na\na\n", "a\n"),
        ] {
            assert_eq!(applied(old, new).0, new, "{old:?}");
        }
        assert_eq!(applied(&old, &old).1, 0);
    }
}
