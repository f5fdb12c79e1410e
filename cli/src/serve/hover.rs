//! What is said of the place that a person points at: findings there, then what the word means, then what was computed.

use super::facts;
use super::page::Page;
use super::server::{Answer, View};
use super::sync::Sort;
use crate::output::margin;
use crate::output::terminal::basis_text;
use lintern_core::finding::Finding;
use lintern_core::plan::ElementKind;
use lintern_core::plan::cursor::{Described, On, Role, Spot, Written, describe};
use lsp_types::TextDocumentPositionParams;
use serde_json::{Value, json};
use std::ops::Range;

/// Words, units and examples that are listed, at most.
const MOST_SPELLINGS: usize = 24;

/// Answers `textDocument/hover`.
pub fn answer(view: &View<'_>, params: &TextDocumentPositionParams) -> Answer {
    let byte = view.byte(params.position);
    let mut page = Page::new(view.options.markdown_hover);
    let mut bytes = None;
    findings(view, byte, &mut page, &mut bytes);
    match view.document.written() {
        Some(written) => of_text(view, written, byte, &mut page, &mut bytes),
        None if page.is_empty() => page.line("The text can't be read at present, so nothing is known of this place."),
        None => {}
    }
    if page.is_empty() {
        return Ok(Value::Null);
    }
    let kind = if view.options.markdown_hover { "markdown" } else { "plaintext" };
    let mut hover = json!({ "contents": { "kind": kind, "value": page.finish() } });
    if let (Some(bytes), Some(hover)) = (bytes, hover.as_object_mut()) {
        let range = view.document.lines.range(&view.document.text, bytes, view.options.encoding);
        hover.insert("range".to_owned(), json!(range));
    }
    Ok(hover)
}

/// The findings at a place. Those of another version may stand elsewhere now, so they are not told.
fn findings(view: &View<'_>, byte: usize, page: &mut Page, bytes: &mut Option<Range<usize>>) {
    let Some(checked) = view.latest.filter(|checked| checked.version == view.document.version) else { return };
    let margins = view.sound.filter(|(sound, _)| sound.version == checked.version).map(|(_, margins)| margins);
    for (finding, (standing, _)) in checked.report.findings.iter().zip(&checked.standing) {
        let span = finding.span.start as usize..finding.span.end as usize;
        if finding.span.file != 0 || byte < span.start || byte > span.end {
            continue;
        }
        of_finding(finding, standing.as_deref(), page);
        if let Some(own) = margins.and_then(|margins| margins.of(finding)) {
            page.item("margin", &margin::of_finding(own));
        }
        bytes.get_or_insert(span);
    }
}

fn of_finding(finding: &Finding, standing: Option<&str>, page: &mut Page) {
    page.heading(&format!("{} {}", finding.level.word(), finding.rule));
    page.line(&finding.message);
    if let Some(standing) = standing {
        page.item("standing", standing);
    }
    page.item("basis", &basis_text(&finding.basis));
    page.item("help", &finding.help);
}

fn of_text(view: &View<'_>, written: &Written, byte: usize, page: &mut Page, bytes: &mut Option<Range<usize>>) {
    let spot = written.at(byte);
    if spot.on != On::Between {
        bytes.get_or_insert(spot.bytes.clone());
    }
    match written.role(&spot) {
        Some(Role::Element { id, .. }) => match written.element(&id) {
            Some(named) => element(view, named.kind, &id, &named.what, page),
            None => page.line(&format!("No element of this plan has the id `{id}`.")),
        },
        Some(Role::Type { table, name, .. }) => of_type(view, written, table, &name, page),
        Some(Role::Rule(rule)) => of_rule(view, &rule, page),
        Some(Role::File(file)) => page.line(&format!("A shared schedule: the types of `{file}` can be used here.")),
        None => {
            if spot.on == On::Key || (spot.on == On::Value && page.is_empty()) {
                key(&spot, page);
            }
            let around = written.element_of(&spot.route).filter(|(_, id)| !id.is_empty());
            if let Some((kind, id)) = around.filter(|_| page.is_empty() || spot.on == On::Value) {
                let what = written.element(id).map(|named| named.what).unwrap_or_default();
                element(view, kind, id, &what, page);
            }
        }
    }
}

/// The description of a key, or of the value under it.
fn key(spot: &Spot, page: &mut Page) {
    let Some(known) = describe(&spot.route).filter(|known| !known.description.is_empty()) else { return };
    let name = spot.route.iter().rev().find_map(|step| match step {
        lintern_core::plan::cursor::Step::Key(key) => Some(key.as_str()),
        lintern_core::plan::cursor::Step::Item(_) => None,
    });
    page.heading(name.unwrap_or_default());
    page.line(&known.description);
    if let Some(meaning) = known.words.iter().find(|word| word.word == spot.text && !word.description.is_empty()) {
        page.item(&meaning.word, &meaning.description);
    }
    spellings(&known, page);
}

fn spellings(known: &Described, page: &mut Page) {
    let listed = |all: Vec<&str>| {
        let more = if all.len() > MOST_SPELLINGS { ", …" } else { "" };
        format!(
            "{}{more}",
            all.into_iter().take(MOST_SPELLINGS).map(|word| format!("`{word}`")).collect::<Vec<_>>().join(", ")
        )
    };
    let words: Vec<&str> = known.words.iter().map(|word| word.word.as_str()).collect();
    if !words.is_empty() {
        page.item("accepted", &listed(words));
    } else if !known.examples.is_empty() {
        page.item("written like", &listed(known.examples.iter().map(String::as_str).collect()));
    }
    let keys: Vec<&str> = known.keys.iter().map(|key| key.name.as_str()).collect();
    if !keys.is_empty() {
        page.item("keys", &listed(keys));
    }
}

fn element(view: &View<'_>, kind: ElementKind, id: &str, what: &str, page: &mut Page) {
    let what = if what.is_empty() { String::new() } else { format!(", {what}") };
    page.heading(&format!("{id}: {}{what}", kind.phrase()));
    if matches!(kind, ElementKind::Zone | ElementKind::Utility) {
        return;
    }
    if view.document.sort() != Sort::Plan {
        return;
    }
    let Some((checked, margins)) = view.sound else {
        let why = match view.latest {
            Some(_) => "The plan does not load, so no values are computed; its errors say why.",
            None => "Not checked yet.",
        };
        return page.line(why);
    };
    let facts = facts::of(checked, margins, kind, id);
    if facts.is_empty() {
        page.line("No values are computed: the last text that was checked does not have it.");
    }
    for (label, text) in facts {
        page.item(&label, &text);
    }
    let present = view.document.version;
    let loads = view.latest.is_none_or(|latest| latest.report.loaded.layout.is_some());
    if checked.version != present {
        page.line(match loads {
            true => "Values are of the text before the last changes, which are being checked.",
            false => "Values are of the last text that loaded; the present one does not.",
        });
    }
}

fn of_type(view: &View<'_>, written: &Written, table: &str, name: &str, page: &mut Page) {
    let own = written.type_facts(table, name).map(|facts| (facts, None));
    let found = own.or_else(|| {
        let shared = view.schedules(written).into_iter();
        shared.into_iter().find_map(|other| Some((other.written.type_facts(table, name)?, Some(other.address))))
    });
    let of =
        table.strip_suffix("ies").map_or_else(|| table.trim_end_matches('s').to_owned(), |stem| format!("{stem}y"));
    let Some((facts, from)) = found else {
        return page.line(&format!("No schedule that is used here has a {of} type `{name}`."));
    };
    page.heading(&format!("{name}: a {of} type"));
    for (key, value) in facts {
        page.item(&key, &value);
    }
    let file = from.as_deref().and_then(|address| address.rsplit('/').next().map(str::to_owned));
    if let Some(file) = file {
        page.item("from", &format!("`{file}`"));
    }
}

fn of_rule(view: &View<'_>, id: &str, page: &mut Page) {
    let Some(checked) = view.latest else { return page.line("The rules are being loaded.") };
    match checked.book.rules().find(|rule| rule.id == id) {
        Some(rule) => {
            page.heading(&rule.id);
            page.line(&rule.title);
            page.item("level", rule.level.word());
            if !rule.waivable {
                page.item("waivers", "its findings can't be waived");
            }
        }
        None => page.line(&format!("No rule that runs here has the id `{id}`.")),
    }
}
