//! Data of plans that no rule reads: dead data, or a missing rule.
//!
//! Rules read whole records, so calls say nothing of fields. What counts is whether an answer depends on a field: it is
//! left out everywhere in a plan, and the plan is checked again; then other values are put in its place. Where nothing
//! changes in any plan (no finding, verdict, margin or assumption), no rule reads the field, as far as these plans show.

mod document;
mod other;
mod routes;
mod trial;

use crate::check::CheckOptions;
use crate::engine::Module;
use crate::plan::field::Span;
use crate::plan::{Loaded, Sources, load};
use crate::repository::Repository;
use document::Part;
use rayon::prelude::*;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;
use trial::Trials;

/// Plans in which one field is tried.
const MOST_PLANS: usize = 25;

/// Zones and lines that are tried over all plans.
const MOST_ELEMENTS: usize = 400;

/// What identifies a plan to people, or tells them of it. No rule is expected to read it.
const FOR_PEOPLE: [&str; 4] = ["project.name", "project.designer", "dig.ticket.number", "readings.on"];

/// What no rule reads in the plans of a repository.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Coverage {
    /// Fields, by route.
    pub fields: Vec<Unread>,
    /// Fields that are for people alone.
    pub for_people: Vec<Unread>,
    /// Types that no plan installs, zones and lines without which every answer is the same.
    pub elements: Vec<Idle>,
    /// Zones and lines that were not tried, to bound the work.
    pub elements_not_tried: usize,
    /// Plans that can't be loaded, about which nothing is said.
    pub plans_not_loaded: usize,
}

/// A field that changes no answer when it is left out or otherwise.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Unread {
    /// Where it stands in the format, such as `luminaires[].house.article`.
    pub route: String,
    /// How often it stands in the plans.
    pub occurrences: usize,
    /// Plans that have it.
    pub plans: usize,
    /// Plans that it was left out of, one after another.
    pub plans_tried: usize,
    /// The first of them.
    pub first: Place,
}

/// An element that changes no answer when it is left out.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Idle {
    /// Where it is.
    #[serde(flatten)]
    pub place: Place,
    /// `zone`, `utility`, or the table of the schedule.
    pub kind: String,
    /// Its id or name.
    pub id: String,
}

/// A place in a file.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Place {
    /// The file, relative to the repository.
    pub file: String,
    /// The line, from 1.
    pub line: u32,
    /// The column in characters, from 1.
    pub column: u32,
}

/// Looks for what no rule reads in plans of a repository.
pub fn coverage(repository: &Repository, plans: &[PathBuf], modules: &[&Module], options: &CheckOptions) -> Coverage {
    let surveys: Vec<Option<Survey>> = plans.par_iter().map(|plan| survey(&load(repository, plan))).collect();
    let trials = Trials::new(repository, plans, modules, options);
    let mut result =
        Coverage { plans_not_loaded: surveys.iter().filter(|survey| survey.is_none()).count(), ..Coverage::default() };
    let mut by_route: BTreeMap<&str, Vec<(usize, &Seen)>> = BTreeMap::new();
    for (plan, survey) in surveys.iter().enumerate() {
        for (route, seen) in survey.iter().flat_map(|survey| &survey.fields) {
            by_route.entry(route).or_default().push((plan, seen));
        }
    }
    let by_route: Vec<_> = by_route.into_iter().collect();
    let unread: Vec<Unread> =
        by_route.into_par_iter().filter_map(|(route, seen)| field(route, &seen, &trials)).collect();
    (result.for_people, result.fields) = unread.into_iter().partition(|unread| FOR_PEOPLE.contains(&&*unread.route));
    let sites = surveys.iter().enumerate().flat_map(|(plan, survey)| {
        survey.iter().flat_map(move |survey| survey.places.iter().map(move |place| (plan, place)))
    });
    let sites: Vec<_> = sites.collect();
    result.elements_not_tried = sites.len().saturating_sub(MOST_ELEMENTS);
    let idle = sites.into_par_iter().take(MOST_ELEMENTS).filter(|(plan, element)| {
        !trials.changes(*plan, |whole| routes::without_item(whole, &["site", element.list], element.index))
    });
    result.elements = idle.map(|(_, element)| element.idle.clone()).collect();
    result.elements.extend(idle_types(surveys.iter().flatten()));
    result.elements.sort();
    result
}

/// A field that no plan needs, as far as was tried.
fn field(route: &str, seen: &[(usize, &Seen)], trials: &Trials<'_>) -> Option<Unread> {
    let tried = &seen[..seen.len().min(MOST_PLANS)];
    if tried.iter().any(|(plan, _)| trials.changes(*plan, |whole| routes::without(whole, route))) {
        return None;
    }
    // What says again what is assumed anyway is read all the same.
    let others = other::changes(route);
    let is_read = others.iter().any(|other| {
        tried.iter().any(|(plan, _)| trials.differs(*plan, |whole| routes::with_other(whole, route, other)))
    });
    if is_read {
        return None;
    }
    Some(Unread {
        route: route.to_owned(),
        occurrences: seen.iter().map(|(_, seen)| seen.count).sum(),
        plans: seen.len(),
        plans_tried: tried.len(),
        first: seen.first()?.1.first.clone(),
    })
}

/// What one plan has.
struct Survey {
    fields: BTreeMap<String, Seen>,
    /// Zones and lines to which nothing refers.
    places: Vec<SitePlace>,
    /// Types with their place, and those that are installed.
    types: Vec<Idle>,
    installed: BTreeSet<(String, String)>,
}

struct Seen {
    count: usize,
    first: Place,
}

struct SitePlace {
    list: &'static str,
    index: usize,
    idle: Idle,
}

fn survey(loaded: &Loaded) -> Option<Survey> {
    loaded.layout.as_ref()?;
    let whole = Part::whole(loaded)?;
    let place = |span: Span| place(&loaded.sources, span);
    let mut fields: BTreeMap<String, Seen> = BTreeMap::new();
    routes::each(&whole, &mut |route, span| match fields.get_mut(route) {
        Some(seen) => seen.count += 1,
        None => {
            if let Some(first) = place(span) {
                fields.insert(route.to_owned(), Seen { count: 1, first });
            }
        }
    });
    Some(Survey { fields, places: places(loaded, &place), types: types(loaded, &place), installed: installed(loaded) })
}

fn place(sources: &Sources, span: Span) -> Option<Place> {
    let at = sources.line_column(span)?;
    Some(Place { file: sources.path(span).to_owned(), line: at.line, column: at.column })
}

/// Zones that no `covers` names, and lines.
fn places(loaded: &Loaded, place: &dyn Fn(Span) -> Option<Place>) -> Vec<SitePlace> {
    let Some(tree) = loaded.tree() else { return Vec::new() };
    let root = tree.root();
    let items =
        |list: &str| tree.get(root, "site").and_then(|site| tree.get(site, list)).map_or(&[][..], |l| tree.items(l));
    let runs = tree.get(root, "runs").map_or(&[][..], |runs| tree.items(runs));
    let covers = runs.iter().filter_map(|run| tree.get(*run, "covers")).flat_map(|covers| tree.items(covers));
    let named: BTreeSet<&str> =
        covers.filter_map(|cover| tree.get(*cover, "zone")).map(|zone| tree.scalar(zone)).collect();
    let mut places = Vec::new();
    for (list, kind) in [("zones", "zone"), ("utilities", "utility")] {
        for (index, item) in items(list).iter().enumerate() {
            let Some(id) = tree.get(*item, "id") else { continue };
            if let (false, Some(at)) = (named.contains(tree.scalar(id)), place(tree.span(id))) {
                let idle = Idle { kind: kind.to_owned(), id: tree.scalar(id).to_owned(), place: at };
                places.push(SitePlace { list, index, idle });
            }
        }
    }
    places
}

/// The types of a plan and of its shared schedules.
fn types(loaded: &Loaded, place: &dyn Fn(Span) -> Option<Place>) -> Vec<Idle> {
    let mut types = Vec::new();
    for tree in loaded.trees() {
        let Some(schedule) = tree.get(tree.root(), "schedule") else { continue };
        for table in tree.entries(schedule) {
            for entry in tree.entries(table.value) {
                let (kind, id) = (tree.scalar(table.key).to_owned(), tree.scalar(entry.key).to_owned());
                types.extend(place(tree.span(entry.key)).map(|place| Idle { place, kind, id }));
            }
        }
    }
    types
}

/// The types that the elements of a plan name, by table.
fn installed(loaded: &Loaded) -> BTreeSet<(String, String)> {
    let Some(tree) = loaded.tree() else { return BTreeSet::new() };
    let mut installed = BTreeSet::new();
    for (list, key, table) in [
        ("luminaires", "type", "luminaires"),
        ("luminaires", "splice", "splices"),
        ("junctions", "splice", "splices"),
        ("supplies", "type", "supplies"),
        ("runs", "cable", "cables"),
    ] {
        let items = tree.get(tree.root(), list).map_or(&[][..], |list| tree.items(list));
        let names = items.iter().filter_map(|item| tree.get(*item, key)).map(|name| tree.scalar(name).to_owned());
        installed.extend(names.map(|name| (table.to_owned(), name)));
    }
    installed
}

/// Types that no plan installs which can see them.
fn idle_types<'a>(surveys: impl Iterator<Item = &'a Survey>) -> Vec<Idle> {
    let mut installed: BTreeMap<&Idle, bool> = BTreeMap::new();
    for survey in surveys {
        for one in &survey.types {
            let is_installed = survey.installed.contains(&(one.kind.clone(), one.id.clone()));
            *installed.entry(one).or_default() |= is_installed;
        }
    }
    installed.into_iter().filter(|(_, installed)| !installed).map(|(one, _)| one.clone()).collect()
}

#[cfg(test)]
mod tests;
