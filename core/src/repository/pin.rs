//! Writes the digests of the files that a configuration or the manifest of a pack names into it.

use super::{CONFIG_FILE, MANIFEST, Pack, Pin, Repository, Rules, sha256_hex};
use crate::plan::diagnostic::{Diagnostic, Diagnostics, Sources};
use crate::plan::edit::{Editor, find};
use crate::plan::yaml::{NodeId, Tree};
use crate::plan::{parse_tree, yaml};
use std::path::{Path, PathBuf};

/// A configuration or manifest with the digests of its files.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pinned {
    /// The file to write.
    pub file: PathBuf,
    /// Its name.
    pub name: &'static str,
    /// Its new text; `None` where nothing changes.
    pub text: Option<String>,
    /// Each file with the digest that it had and the one that it has; none for none.
    pub digests: Vec<(String, Option<String>, Option<String>)>,
}

/// Why nothing is pinned.
#[derive(Debug, Clone)]
pub struct CannotPin {
    /// What is wrong.
    pub diagnostics: Vec<Diagnostic>,
    /// The texts that they speak of.
    pub sources: Sources,
}

impl CannotPin {
    fn new(message: impl Into<String>, help: &str) -> Self {
        Self { diagnostics: vec![Diagnostic::new(None, message).help(help)], sources: Sources::default() }
    }
}

/// What is pinned, and where its digests stand.
struct Target {
    file: PathBuf,
    name: &'static str,
    /// Key of the digests, and of the mapping in which it stands.
    key: &'static str,
    within: &'static [&'static str],
    rules: Rules,
    pins: Vec<Pin>,
}

/// Computes the digests for the pack in a folder, or for the configuration of the repository that the folder is in.
pub fn pin(folder: &Path) -> Result<Pinned, CannotPin> {
    let target = if folder.join(MANIFEST).exists() { of_pack(folder)? } else { of_repository(folder)? };
    let mut wanted: Vec<(String, String)> = Vec::new();
    for file in [&target.rules.modules, &target.rules.expressions, &target.rules.amendments].into_iter().flatten() {
        let bytes = yaml::read(&file.path)
            .map_err(|error| CannotPin::new(format!("can't read `{}`: {error}", file.name), "nothing was written"))?;
        wanted.push((file.name.clone(), sha256_hex(&bytes)));
    }
    for file in &target.rules.packs {
        let pack = Pack::read(&file.path, &file.name).map_err(|why| CannotPin::new(why, "nothing was written"))?;
        wanted.push((file.name.clone(), pack.sha256));
    }
    let text = rewritten(&target, &wanted)?;
    let was = |name: &str| target.pins.iter().find(|pin| pin.file == name).map(|pin| pin.sha256.clone());
    let mut digests: Vec<_> = wanted.iter().map(|(name, now)| (name.clone(), was(name), Some(now.clone()))).collect();
    let gone = target.pins.iter().filter(|pin| wanted.iter().all(|(name, _)| *name != pin.file));
    digests.extend(gone.map(|pin| (pin.file.clone(), Some(pin.sha256.clone()), None)));
    Ok(Pinned { file: target.file, name: target.name, text, digests })
}

fn of_pack(folder: &Path) -> Result<Target, CannotPin> {
    let pack = Pack::read(folder, ".").map_err(|why| CannotPin::new(why, "nothing was written"))?;
    if !pack.diagnostics.is_empty() {
        return Err(CannotPin { diagnostics: pack.diagnostics, sources: pack.sources });
    }
    let file = pack.folder.root().join(MANIFEST);
    Ok(Target { file, name: MANIFEST, key: "digests", within: &[], rules: pack.rules, pins: pack.digests })
}

fn of_repository(folder: &Path) -> Result<Target, CannotPin> {
    let repository = Repository::of(folder)
        .map_err(|error| CannotPin::new(format!("can't open {}: {error}", folder.display()), "nothing was written"))?;
    let file = repository.root().join(CONFIG_FILE);
    if !file.exists() {
        let message = format!("there is no {MANIFEST} in {0} and no {CONFIG_FILE} at or above it", folder.display());
        return Err(CannotPin::new(message, "name the folder of a pack or of a plan repository"));
    }
    if !repository.diagnostics().is_empty() {
        let (diagnostics, sources) = (repository.diagnostics().to_vec(), repository.sources().clone());
        return Err(CannotPin { diagnostics, sources });
    }
    let rules = repository.config().rules.clone();
    let pins = rules.pins.clone();
    Ok(Target { file, name: CONFIG_FILE, key: "pins", within: &["rules"], rules, pins })
}

/// The text with these digests; `None` where it has them already.
fn rewritten(target: &Target, wanted: &[(String, String)]) -> Result<Option<String>, CannotPin> {
    let same = target.pins.len() == wanted.len()
        && wanted.iter().all(|(name, now)| target.pins.iter().any(|pin| pin.file == *name && pin.sha256 == *now));
    if same {
        return Ok(None);
    }
    let unreadable = |why: String| CannotPin::new(format!("can't read {}: {why}", target.name), "nothing was written");
    let bytes = yaml::read(&target.file).map_err(|error| unreadable(error.to_string()))?;
    let mut errors = Diagnostics::default();
    let mut sources = Sources::default();
    let Some(tree) = yaml::parse(target.name, &bytes, &mut sources, &mut errors) else {
        return Err(CannotPin { diagnostics: errors.into_sorted(), sources });
    };
    let entries: Vec<(String, String)> =
        wanted.iter().map(|(name, now)| (key(name), format!("\"sha256:{now}\""))).collect();
    let mut editor = Editor::new(&tree);
    let Some(within) = find(&tree, tree.root(), target.within) else {
        let message = format!("{} names no rules, so that there is nothing to pin", target.name);
        return Err(CannotPin::new(message, "name modules, expressions, amendments or packs under `rules`"));
    };
    match tree.get(within, target.key) {
        Some(_) if entries.is_empty() => editor.remove_entry(within, target.key),
        // Comments between them stay.
        Some(old) if same_keys(&tree, old, &entries) => {
            for (entry, (_, digest)) in tree.entries(old).iter().zip(&entries) {
                editor.replace(entry.value, digest.clone());
            }
        }
        Some(old) if !tree.entries(old).is_empty() => editor.replace_entries(old, &entries),
        Some(_) => {
            editor.remove_entry(within, target.key);
            editor.add_mapping(within, target.key, &entries);
        }
        None => editor.add_mapping(within, target.key, &entries),
    }
    let text = editor.finish().filter(|text| reads_as(target, text, &entries));
    text.map(Some).ok_or_else(|| {
        let list: Vec<String> = entries.iter().map(|(name, digest)| format!("{name}: {digest}")).collect();
        CannotPin::new(
            format!("can't write `{}` into {} as it is laid out", target.key, target.name),
            &format!("write it by hand: {}: {{ {} }}", target.key, list.join(", ")),
        )
    })
}

/// Whether a mapping has these keys in this order.
fn same_keys(tree: &Tree, mapping: NodeId, entries: &[(String, String)]) -> bool {
    let keys = tree.entries(mapping).iter().map(|entry| key(tree.scalar(entry.key)));
    keys.eq(entries.iter().map(|(key, _)| key.clone()))
}

/// Whether the new text reads as it is meant.
fn reads_as(target: &Target, text: &str, entries: &[(String, String)]) -> bool {
    let Some(tree) = parse_tree(target.name, text) else { return false };
    let route: Vec<&str> = target.within.iter().copied().chain([target.key]).collect();
    let Some(mapping) = find(&tree, tree.root(), &route) else { return entries.is_empty() };
    let read: Vec<(String, String)> = tree
        .entries(mapping)
        .iter()
        .map(|entry| (key(tree.scalar(entry.key)), format!("\"{}\"", tree.scalar(entry.value))))
        .collect();
    read == entries
}

/// A file name as a key: quoted where it could read as something else.
fn key(name: &str) -> String {
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '/' | '.' | '_' | '-');
    let starts_plain = name.starts_with(|c: char| c.is_ascii_alphabetic());
    if starts_plain && name.chars().all(plain) {
        return name.to_owned();
    }
    serde_json::Value::from(name).to_string()
}

#[cfg(test)]
mod tests;
