//! What can be written at a place: keys, words, units, ids, types, rules and schedules.

use super::check::repository_of;
use super::server::{Answer, View};
use super::sync::Sort;
use lintern_core::plan::ElementKind;
use lintern_core::plan::cursor::{Described, Place, Unfinished, Wanted, Written, describe, unfinished, wanted};
use lsp_types::TextDocumentPositionParams;
use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::path::Path;

/// The protocol's numbers of what is completed.
mod kind {
    pub const FIELD: u32 = 5;
    pub const VARIABLE: u32 = 6;
    pub const CLASS: u32 = 7;
    pub const UNIT: u32 = 11;
    pub const ENUM_MEMBER: u32 = 20;
    pub const FILE: u32 = 17;
    pub const REFERENCE: u32 = 18;
}

/// Folders deep that schedules are looked for, and files that are looked at.
const DEEPEST: usize = 6;
const MOST_FILES: usize = 2_000;

/// Something that can be written.
struct Item {
    label: String,
    kind: u32,
    detail: String,
    documentation: String,
    insert: String,
}

impl Item {
    fn new(label: &str, kind: u32, detail: &str) -> Self {
        let insert = label.to_owned();
        Self { label: label.to_owned(), kind, detail: detail.to_owned(), documentation: String::new(), insert }
    }
}

/// Answers `textDocument/completion`.
pub fn answer(view: &View<'_>, params: &TextDocumentPositionParams) -> Answer {
    let text = &view.document.text;
    let Some(unfinished) = unfinished(text, view.byte(params.position)) else { return Ok(Value::Null) };
    let items = match &unfinished.place {
        Place::Key { present, has_colon } => keys(view, &unfinished, present, *has_colon),
        Place::Value { before } => values(view, &unfinished, before),
    };
    let range = view.document.lines.range(text, unfinished.word.clone(), view.options.encoding);
    let shown = |(index, item): (usize, Item)| {
        let Item { label, kind, detail, documentation, insert } = item;
        let mut shown = json!({
            "label": label, "kind": kind, "filterText": label, "sortText": format!("{index:05}"),
            "textEdit": { "range": range, "newText": insert },
        });
        if let Some(shown) = shown.as_object_mut() {
            if !detail.is_empty() {
                shown.insert("detail".to_owned(), json!(detail));
            }
            if !documentation.is_empty() {
                let mut page = super::page::Page::new(view.options.markdown_completion);
                page.line(&documentation);
                let kind = if view.options.markdown_completion { "markdown" } else { "plaintext" };
                let value = page.finish();
                shown.insert("documentation".to_owned(), json!({ "kind": kind, "value": value.trim_start() }));
            }
        }
        shown
    };
    let items: Vec<Value> = items.into_iter().enumerate().map(shown).collect();
    Ok(json!({ "isIncomplete": false, "items": items }))
}

/// Keys that are not there yet, those first that the mapping must have.
fn keys(view: &View<'_>, unfinished: &Unfinished, present: &[String], has_colon: bool) -> Vec<Item> {
    let Some(known) = describe(&unfinished.route) else { return Vec::new() };
    let is_schedule = unfinished.route.is_empty() && view.document.sort() == Sort::Schedule;
    let new = known.keys.into_iter().filter(|key| !present.contains(&key.name));
    let new = new.filter(|key| !is_schedule || matches!(key.name.as_str(), "schedule" | "house"));
    new.map(|key| {
        let after = match (has_colon, key.nested) {
            (true, _) => "",
            (false, true) => ":",
            (false, false) => ": ",
        };
        Item {
            insert: format!("{}{after}", key.name),
            documentation: key.description,
            ..Item::new(&key.name, kind::FIELD, if key.required { "required" } else { "" })
        }
    })
    .collect()
}

fn values(view: &View<'_>, unfinished: &Unfinished, before: &str) -> Vec<Item> {
    if let Some(wanted) = wanted(&unfinished.route) {
        return if before.is_empty() { named(view, unfinished, wanted) } else { Vec::new() };
    }
    let Some(known) = describe(&unfinished.route) else { return Vec::new() };
    match before.trim_end() {
        "" => words(&known),
        number if is_number(number) => known.units.iter().map(|unit| Item::new(unit, kind::UNIT, "unit")).collect(),
        _ => Vec::new(),
    }
}

/// Whether a text is a number, maybe after another quantity of a sum.
fn is_number(text: &str) -> bool {
    let last = text.rsplit([' ', '+']).next().unwrap_or_default();
    last.parse::<f64>().is_ok()
}

fn words(known: &Described) -> Vec<Item> {
    let mut items: Vec<Item> = known
        .words
        .iter()
        .map(|word| Item { documentation: word.description.clone(), ..Item::new(&word.word, kind::ENUM_MEMBER, "") })
        .collect();
    if items.is_empty() && !known.free_text {
        // Numbers and days are nobody's to propose.
        let plain = known.examples.iter().filter(|example| example.starts_with(|c: char| c.is_ascii_alphabetic()));
        items.extend(plain.map(|example| Item::new(example, kind::ENUM_MEMBER, "")));
    }
    items
}

fn named(view: &View<'_>, unfinished: &Unfinished, wanted: Wanted) -> Vec<Item> {
    let Some(written) = view.names() else {
        return match wanted {
            Wanted::Rules => rules(view),
            _ => Vec::new(),
        };
    };
    match wanted {
        Wanted::Nodes | Wanted::Places | Wanted::Zones | Wanted::Elements => {
            elements(view, unfinished, written, wanted)
        }
        Wanted::Types(table) => types(view, written, table),
        Wanted::Rules => rules(view),
        Wanted::Files => files(view, written),
    }
}

/// Ids, and outputs as `S1/12`.
fn elements(view: &View<'_>, unfinished: &Unfinished, written: &Written, wanted: Wanted) -> Vec<Item> {
    let is_wanted = |kind: ElementKind| match wanted {
        Wanted::Zones => kind == ElementKind::Zone,
        Wanted::Nodes => matches!(kind, ElementKind::Supply | ElementKind::Junction | ElementKind::Luminaire),
        Wanted::Places => !matches!(kind, ElementKind::Zone | ElementKind::Utility),
        _ => true,
    };
    let mut outputs = Outputs { view, written, shared: None };
    let mut items = Vec::new();
    for named in written.elements().into_iter().filter(|named| is_wanted(named.kind) && named.id != unfinished.inside) {
        let detail = format!("{} {}", super::definition::kind_word(named.kind), named.what);
        let detail = detail.trim_end();
        if named.kind == ElementKind::Supply && matches!(wanted, Wanted::Nodes | Wanted::Places) {
            let names = outputs.of(&named.what);
            items.extend(
                names.iter().map(|output| Item::new(&format!("{}/{output}", named.id), kind::VARIABLE, detail)),
            );
            // A supply alone stands for its one output.
            if names.len() > 1 && wanted == Wanted::Nodes {
                continue;
            }
        }
        items.push(Item::new(&named.id, kind::VARIABLE, detail));
    }
    items
}

/// The outputs of supply types, which mostly stand in shared schedules.
struct Outputs<'a> {
    view: &'a View<'a>,
    written: &'a Written,
    shared: Option<Vec<super::definition::Other>>,
}

impl Outputs<'_> {
    fn of(&mut self, name: &str) -> Vec<String> {
        if let Some(own) = self.written.outputs(name) {
            return own;
        }
        let shared = self.shared.get_or_insert_with(|| self.view.schedules(self.written));
        shared.iter().find_map(|other| other.written.outputs(name)).unwrap_or_default()
    }
}

/// The types of a table: the plan's own, then those of shared schedules that it does not replace.
fn types(view: &View<'_>, written: &Written, table: &str) -> Vec<Item> {
    let shared = view.schedules(written);
    let mut seen = BTreeSet::new();
    let mut items = Vec::new();
    let own =
        std::iter::once((None, written)).chain(shared.iter().map(|other| (Some(&other.address), &*other.written)));
    for (address, written) in own {
        let from = address.and_then(|address| address.rsplit('/').next());
        for known in written.types().into_iter().filter(|known| known.table == table) {
            if seen.insert(known.name.clone()) {
                let facts = written.type_facts(table, &known.name).unwrap_or_default();
                let facts: Vec<String> = facts.iter().take(6).map(|(key, value)| format!("{key}: {value}")).collect();
                let item = Item::new(&known.name, kind::CLASS, from.unwrap_or("this plan"));
                items.push(Item { documentation: facts.join("; "), ..item });
            }
        }
    }
    items
}

/// Rules of the repository, once they are loaded.
fn rules(view: &View<'_>) -> Vec<Item> {
    let Ok(repository) = repository_of(&view.document.path) else { return Vec::new() };
    let Some(book) = view.books.get(repository.root()) else { return Vec::new() };
    let rules = book.rules().filter(|rule| rule.waivable);
    rules
        .map(|rule| Item {
            documentation: rule.title.clone(),
            ..Item::new(&rule.id, kind::REFERENCE, rule.level.word())
        })
        .collect()
}

/// Shared schedules of the repository that are not used yet, by the way from the plan's folder.
fn files(view: &View<'_>, written: &Written) -> Vec<Item> {
    let Ok(repository) = repository_of(&view.document.path) else { return Vec::new() };
    let Some(folder) = view.document.path.parent() else { return Vec::new() };
    let used: BTreeSet<String> = written.schedules().into_iter().map(|(file, _)| file).collect();
    let mut items = Vec::new();
    for path in lintern_core::repository::schedules(&repository, DEEPEST, MOST_FILES) {
        let way = way_from(folder, &path);
        if !used.contains(&way) {
            items.push(Item::new(&way, kind::FILE, "shared schedule"));
        }
    }
    items
}

/// The way from a folder to a file, with `/`.
fn way_from(folder: &Path, file: &Path) -> String {
    let shared = folder.components().zip(file.components()).take_while(|(a, b)| a == b).count();
    let up = folder.components().skip(shared).map(|_| "..".to_owned());
    let down = file.components().skip(shared).map(|part| part.as_os_str().to_string_lossy().into_owned());
    up.chain(down).collect::<Vec<_>>().join("/")
}
