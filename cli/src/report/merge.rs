//! Puts the parts of a run together: the document of all plans, as one run would have made it.

use super::document::{Document, Failure, Summary};
use std::collections::BTreeMap;
use std::path::PathBuf;

/// The whole from its parts, in any order, with the pages of the rules.
pub fn merge(parts: Vec<(String, Document)>) -> Result<(Document, BTreeMap<String, String>), String> {
    let mut numbered: BTreeMap<u32, (String, Document)> = BTreeMap::new();
    let mut of = None;
    for (name, document) in parts {
        let shard = document.seal.shard.as_deref().and_then(|shard| shard.split_once('/'));
        let shard = shard.and_then(|(k, n)| Some((k.parse::<u32>().ok()?, n.parse::<u32>().ok()?)));
        let Some((number, count)) = shard else {
            return Err(format!("{name} is no part of a run: it was not written with `--shard K/N --format json`"));
        };
        match of {
            Some(known) if known != count => {
                return Err(format!("{name} is one of {count} parts, another one of {known}"));
            }
            _ => of = Some(count),
        }
        if let Some((other, _)) = numbered.insert(number, (name.clone(), document)) {
            return Err(format!("{other} and {name} are both part {number}"));
        }
    }
    let Some(of) = of else { return Err("no part is given".to_owned()) };
    let missing: Vec<String> = (1..=of)
        .filter(|number| !numbered.contains_key(number))
        .take(20)
        .map(|number| format!("{number}/{of}"))
        .collect();
    if !missing.is_empty() {
        return Err(format!("parts are missing: {}", missing.join(", ")));
    }
    let mut parts = numbered.into_values();
    let Some((first, mut whole)) = parts.next() else { return Err("no part is given".to_owned()) };
    whole.seal.shard = None;
    let mut summary = Summary { errors: 0, ..whole.summary };
    summary.errors = whole.plans.iter().map(|plan| plan.errors.len()).sum();
    for (name, part) in parts {
        let mut seal = part.seal.clone();
        seal.shard = None;
        if seal != whole.seal || part.tool != whole.tool || part.as_of != whole.as_of {
            return Err(format!(
                "{name} and {first} are parts of different runs: their options, rules or versions differ"
            ));
        }
        summary.join(&Summary { errors: part.plans.iter().map(|plan| plan.errors.len()).sum(), ..part.summary });
        whole.plans.extend(part.plans);
        whole.rules.extend(part.rules);
        // What concerns all plans is told by every part.
        for failure in part.errors {
            if failure.kind == "plan" || !whole.errors.contains(&failure) {
                whole.errors.push(failure);
            }
        }
    }
    // The order of one run: folders before what sorts after their names.
    whole.plans.sort_by_cached_key(|plan| (PathBuf::from(&plan.repository), plan.file.clone()));
    sort_errors(&mut whole.errors);
    summary.errors += whole.errors.len();
    whole.summary = summary;
    let pages = whole.rules.iter_mut().filter_map(|(id, rule)| Some((id.clone(), rule.page.take()?))).collect();
    Ok((whole, pages))
}

/// Errors of rules and configurations first, in their order; then those of files that are no plans, by file.
fn sort_errors(errors: &mut [Failure]) {
    errors.sort_by_cached_key(|failure| {
        let of_file = failure.kind == "plan";
        let file = failure.file.clone().filter(|_| of_file);
        (of_file, failure.repository.clone().filter(|_| of_file).map(PathBuf::from), file)
    });
}
