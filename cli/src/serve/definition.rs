//! Where an element or a type gets its name, where else it is named, and the elements of a text as an outline.

use super::check::repository_of;
use super::position::Lines;
use super::server::{Answer, View};
use super::sync::Document;
use lintern_core::plan::ElementKind;
use lintern_core::plan::cursor::{Named, Role, Written};
use lsp_types::{Location, ReferenceParams, TextDocumentPositionParams};
use serde_json::{Value, json};
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Bytes of a text that is not read at each key stroke.
const LONG: usize = 60_000;

/// A text that may not be open.
pub struct Other {
    /// Its address.
    pub address: String,
    /// Its text.
    text: Arc<str>,
    lines: Lines,
    /// As YAML.
    pub written: Arc<Written>,
}

impl View<'_> {
    /// The text that names are looked up in: the present one, else the last that was YAML. A long text is not read at
    /// each key stroke; its names are those of the last check.
    pub fn names(&self) -> Option<&Written> {
        let checked = self.latest.and_then(|checked| checked.written.as_deref());
        let document = self.document;
        if document.text.len() > LONG && !document.is_read() && checked.is_some() {
            return checked;
        }
        document.written().or_else(|| document.earlier()).map(|written| &**written).or(checked)
    }

    /// The shared schedules that a text uses, from the editor where they are open there.
    pub fn schedules(&self, written: &Written) -> Vec<Other> {
        let Ok(repository) = repository_of(&self.document.path) else { return Vec::new() };
        let folder = self.document.path.parent().unwrap_or(Path::new(""));
        let files = written.schedules();
        let found = files.iter().filter_map(|(file, _)| repository.inside(folder, file).ok());
        found.filter_map(|path| self.other(&path)).collect()
    }

    /// A file by its path.
    fn other(&self, path: &PathBuf) -> Option<Other> {
        if let Some(open) = self.documents.get(path) {
            let Document { address, text, lines, .. } = open;
            let written = open.written().or_else(|| open.earlier())?.clone();
            return Some(Other { address: address.clone(), text: text.clone(), lines: lines.clone(), written });
        }
        let text: Arc<str> = lintern_core::plan::read_text(path)?.into();
        let written = Arc::new(Written::read(&text)?);
        Some(Other { address: super::address::address(path), lines: Lines::of(&text), text, written })
    }

    /// A place in the present text.
    pub fn location(&self, bytes: Range<usize>) -> Option<Location> {
        let Document { address, text, lines, .. } = self.document;
        Some(Location { uri: address.parse().ok()?, range: lines.range(text, bytes, self.options.encoding) })
    }

    fn location_in(&self, other: &Other, bytes: Range<usize>) -> Option<Location> {
        let range = other.lines.range(&other.text, bytes, self.options.encoding);
        Some(Location { uri: other.address.parse().ok()?, range })
    }

    /// The byte at a place.
    pub fn byte(&self, position: lsp_types::Position) -> usize {
        self.document.lines.byte(&self.document.text, position, self.options.encoding)
    }
}

/// Answers `textDocument/definition`.
pub fn definition(view: &View<'_>, params: &TextDocumentPositionParams) -> Answer {
    let Some(written) = view.document.written() else { return Ok(Value::Null) };
    let spot = written.at(view.byte(params.position));
    let found = match written.role(&spot) {
        Some(Role::Element { id, .. }) => written.element(&id).and_then(|named| view.location(named.id_bytes)),
        Some(Role::Type { table, name, .. }) => of_type(view, written, table, &name),
        Some(Role::File(file)) => of_file(view, &file),
        Some(Role::Rule(_)) | None => None,
    };
    Ok(json!(found))
}

/// A type: in the plan itself first, whose entries replace those of schedules.
fn of_type(view: &View<'_>, written: &Written, table: &str, name: &str) -> Option<Location> {
    let named = |written: &Written| {
        written
            .types()
            .into_iter()
            .find(|known| known.table == table && known.name == name)
            .map(|known| known.name_bytes)
    };
    if let Some(bytes) = named(written) {
        return view.location(bytes);
    }
    view.schedules(written).iter().find_map(|other| view.location_in(other, named(&other.written)?))
}

fn of_file(view: &View<'_>, file: &str) -> Option<Location> {
    let folder = view.document.path.parent().unwrap_or(Path::new(""));
    let path = repository_of(&view.document.path).ok()?.inside(folder, file).ok()?;
    let address = view.documents.get(&path).map_or_else(|| super::address::address(&path), |d| d.address.clone());
    Some(Location { uri: address.parse().ok()?, range: lsp_types::Range::default() })
}

/// Answers `textDocument/references`: in the text itself, and for types in the other open texts and in the schedules
/// that the text uses.
pub fn references(view: &View<'_>, params: &ReferenceParams) -> Answer {
    let Some(written) = view.document.written() else { return Ok(Value::Null) };
    let spot = written.at(view.byte(params.text_document_position.position));
    let with_own = params.context.include_declaration;
    let mut found: Vec<Location> = Vec::new();
    match written.role(&spot) {
        Some(Role::Element { id, .. }) => {
            let own = written.element(&id).map(|named| named.id_bytes);
            let uses = written.uses(&id).into_iter().filter(|bytes| with_own || own.as_ref() != Some(bytes));
            found.extend(uses.filter_map(|bytes| view.location(bytes)));
        }
        Some(Role::Type { table, name, .. }) => {
            let uses = |written: &Written| {
                let own = written.types().into_iter().find(|known| known.table == table && known.name == name);
                let own = own.map(|known| known.name_bytes);
                let all = written.uses_of_type(table, &name).into_iter();
                all.filter(|bytes| with_own || own.as_ref() != Some(bytes)).collect::<Vec<_>>()
            };
            found.extend(uses(written).into_iter().filter_map(|bytes| view.location(bytes)));
            let open = view.documents.keys().filter(|path| **path != view.document.path);
            let mut others: Vec<Other> = open.filter_map(|path| view.other(path)).collect();
            for schedule in view.schedules(written) {
                if others.iter().all(|other| other.address != schedule.address) {
                    others.push(schedule);
                }
            }
            for other in &others {
                found.extend(uses(&other.written).into_iter().filter_map(|bytes| view.location_in(other, bytes)));
            }
        }
        Some(Role::Rule(_) | Role::File(_)) | None => {}
    }
    Ok(json!(found))
}

/// Answers `textDocument/documentSymbol`: the elements by kind, then the types.
pub fn symbols(view: &View<'_>) -> Answer {
    let Some(written) = view.document.written() else { return Ok(json!([])) };
    let range = |bytes: Range<usize>| view.document.lines.range(&view.document.text, bytes, view.options.encoding);
    let of_element = |named: Named| {
        let detail = format!("{} {}", kind_word(named.kind), named.what);
        json!({
            "name": shown_name(&named.id), "detail": detail.trim_end(), "kind": symbol_kind(named.kind),
            "range": range(named.bytes), "selectionRange": range(named.id_bytes),
        })
    };
    let mut symbols: Vec<Value> = written.elements().into_iter().map(of_element).collect();
    symbols.extend(written.types().into_iter().map(|known| {
        json!({
            "name": shown_name(&known.name), "detail": format!("type of {}", known.table), "kind": 5,
            "range": range(known.bytes), "selectionRange": range(known.name_bytes),
        })
    }));
    Ok(Value::Array(symbols))
}

/// A symbol must have a name.
fn shown_name(name: &str) -> &str {
    if name.trim().is_empty() { "(no id)" } else { name }
}

/// `supply` and so on.
pub fn kind_word(kind: ElementKind) -> &'static str {
    kind.phrase().split_once(' ').map_or("", |(_, word)| word)
}

/// The protocol's numbers of symbols: there are none for what stands in a garden.
fn symbol_kind(kind: ElementKind) -> u32 {
    match kind {
        ElementKind::Supply => 24,
        ElementKind::Junction => 20,
        ElementKind::Luminaire => 19,
        ElementKind::Run => 11,
        ElementKind::Zone | ElementKind::Utility => 3,
    }
}
