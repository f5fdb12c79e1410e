//! Another id for an element, wherever the plan names it.

use super::server::{Answer, Failure, View};
use lintern_core::plan::cursor::{On, Role, Spot, Written};
use lsp_types::{RenameParams, TextDocumentPositionParams};
use serde_json::{Value, json};
use std::ops::Range;
use std::sync::Arc;

/// Answers `textDocument/prepareRename`: what would be renamed, or why nothing can be.
pub fn prepare(view: &View<'_>, params: &TextDocumentPositionParams) -> Answer {
    let (written, spot, id) = element_at(view, params)?;
    let bytes = id_bytes(&view.document.text, &spot, &id);
    if written.element(&id).is_none() {
        return Err(Failure::refused(format!("`{id}` is not the id of an element of this plan")));
    }
    let range = view.document.lines.range(&view.document.text, bytes, view.options.encoding);
    Ok(json!({ "range": range, "placeholder": id }))
}

/// Answers `textDocument/rename`.
pub fn answer(view: &View<'_>, params: &RenameParams) -> Answer {
    let (written, _, id) = element_at(view, &params.text_document_position)?;
    let edits = written.rename(&id, &params.new_name).map_err(|refused| Failure::refused(refused.to_string()))?;
    Ok(changes(view.document, edits, view.options))
}

fn element_at<'a>(
    view: &'a View<'_>,
    params: &TextDocumentPositionParams,
) -> Result<(&'a Arc<Written>, Spot, String), Failure> {
    let Some(written) = view.document.written() else {
        return Err(Failure::refused("the text can't be read at present, so not all places of an id are known"));
    };
    let byte = view.byte(params.position);
    let spot = written.at(byte);
    match written.role(&spot) {
        Some(Role::Element { id, output, .. }) => {
            let own = id_bytes(&view.document.text, &spot, &id);
            if output.is_some() && byte > own.end {
                return Err(Failure::refused(
                    "this is an output, which its supply type names; only ids of elements are renamed",
                ));
            }
            Ok((written, spot, id))
        }
        Some(Role::Type { .. }) => {
            Err(Failure::refused("this names a type, which other plans may use; only ids of elements are renamed"))
        }
        Some(Role::Rule(_) | Role::File(_)) | None => {
            let what = if spot.on == On::Key { "this is a key" } else { "no element is named here" };
            Err(Failure::refused(format!("{what}; only ids of elements are renamed")))
        }
    }
}

/// The bytes of an id in the text at a spot, without quotes and output.
fn id_bytes(text: &str, spot: &Spot, id: &str) -> Range<usize> {
    let written = text.get(spot.bytes.clone()).unwrap_or_default();
    match written.find(id) {
        Some(at) => spot.bytes.start + at..spot.bytes.start + at + id.len(),
        None => spot.bytes.clone(),
    }
}

/// Changes to one text as the client takes them.
pub fn changes(
    document: &super::sync::Document,
    edits: Vec<(Range<usize>, String)>,
    options: super::options::Options,
) -> Value {
    let edit = |(bytes, text): (Range<usize>, String)| json!({ "range": document.lines.range(&document.text, bytes, options.encoding), "newText": text });
    let edits: Vec<Value> = edits.into_iter().map(edit).collect();
    if options.versioned_changes {
        let text = json!({ "uri": document.address, "version": document.version });
        return json!({ "documentChanges": [{ "textDocument": text, "edits": edits }] });
    }
    let mut changes = serde_json::Map::new();
    changes.insert(document.address.clone(), Value::Array(edits));
    json!({ "changes": changes })
}
