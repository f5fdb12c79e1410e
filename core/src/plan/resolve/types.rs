//! The types of the plan's own schedule and of the shared ones, as one flat list of names.

use super::kinds::{cable_type, luminaire_type, splice_type, supply_type};
use crate::layout::{CableType, Catalogue, LuminaireType, SpliceType, SupplyType};
use crate::plan::diagnostic::{Diagnostic, Diagnostics};
use crate::plan::field::{Field, Span};
use crate::plan::model::{CableTypeDoc, LuminaireTypeDoc, ScheduleDoc, SpliceTypeDoc, SupplyTypeDoc};
use crate::plan::nearest;
use crate::plan::read::Map;
use crate::plan::scalar::Id;
use std::collections::HashMap;
use std::sync::Arc;

/// All types by kind and name.
pub(super) struct Types {
    pub(super) luminaires: Table<LuminaireType>,
    pub(super) cables: Table<CableType>,
    pub(super) supplies: Table<SupplyType>,
    pub(super) splices: Table<SpliceType>,
    /// Cable types whose stranding the plan leaves out; each had its default filled in.
    pub(super) stranding_filled_in: Vec<Id>,
    /// Luminaire types whose load model the plan leaves out.
    pub(super) load_filled_in: Vec<Id>,
}

/// The types of one kind. `None` stands for a type that is wrong and has been reported.
pub(super) struct Table<T> {
    what: &'static str,
    by_name: HashMap<Id, Option<Arc<T>>>,
    in_order: Vec<Id>,
    /// A schedule could not be read, so that a name which is missing here may stand there.
    incomplete: bool,
}

impl<T> Table<T> {
    fn new(what: &'static str, incomplete: bool) -> Self {
        Self { what, by_name: HashMap::new(), in_order: Vec::new(), incomplete }
    }

    fn insert(&mut self, name: Id, kind: Option<T>) {
        self.in_order.push(name.clone());
        self.by_name.insert(name, kind.map(Arc::new));
    }

    /// The types in the order of the schedules, the plan's own first.
    fn into_types(mut self) -> Vec<Arc<T>> {
        self.in_order.iter().filter_map(|name| self.by_name.remove(name).flatten()).collect()
    }

    /// A type by name; `None` when it is unknown or wrong.
    pub(super) fn get(&self, name: &Id) -> Option<&T> {
        self.by_name.get(name)?.as_deref()
    }

    /// The type that a field names; an unknown name is reported.
    pub(super) fn follow(&self, field: &Field<Id>, errors: &mut Diagnostics) -> Option<Arc<T>> {
        let name = field.get()?;
        match self.by_name.get(name) {
            Some(kind) => kind.clone(),
            None if self.incomplete => None,
            None => {
                errors.push(|| {
                    let known = self.in_order.iter().map(|id| id.0.as_str());
                    Diagnostic::new(field.span, format!("no {} is named `{name}`", self.what)).help(nearest::help(
                        &name.0,
                        &format!("{}s", self.what),
                        known,
                    ))
                });
                None
            }
        }
    }
}

/// Which table a name stands in.
#[derive(Clone, Copy, PartialEq)]
enum Kind {
    Luminaire,
    Cable,
    Supply,
    Splice,
}

/// Where a name is defined.
struct Definition {
    kind: Kind,
    name: Span,
    /// Span of `replaces: true`.
    replaces: Option<Span>,
    replaced_something: bool,
}

/// One entry of any kind.
struct Entry<'s> {
    kind: Kind,
    name: &'s str,
    span: Span,
    replaces: &'s Field<bool>,
}

const TWO_NAMES: &str = "rename one of them";

impl Types {
    /// Collects the plan's own types and the shared ones.
    pub(super) fn collect(
        plan: Option<&ScheduleDoc>,
        shared: &[&ScheduleDoc],
        incomplete: bool,
        errors: &mut Diagnostics,
    ) -> Self {
        let mut own: HashMap<&str, Definition> = HashMap::new();
        let mut own_in_order = Vec::new();
        for entry in plan.into_iter().flat_map(entries) {
            if let Some(first) = own.get(entry.name) {
                super::twice(errors, entry.name, Some(entry.span), first.name, TWO_NAMES);
                continue;
            }
            let replaces = entry.replaces.span.filter(|_| entry.replaces.get() == Some(&true));
            own_in_order.push(entry.name);
            own.insert(
                entry.name,
                Definition { kind: entry.kind, name: entry.span, replaces, replaced_something: false },
            );
        }
        let mut theirs: HashMap<&str, Span> = HashMap::new();
        for entry in shared.iter().flat_map(|schedule| entries(schedule)) {
            if entry.replaces.get() == Some(&true) {
                errors.push(|| {
                    Diagnostic::new(entry.replaces.span, "a shared schedule can't replace a type")
                        .help("only the plan's own entry can; remove `replaces` here")
                });
            }
            match own.get_mut(entry.name) {
                Some(mine) if mine.replaces.is_some() && mine.kind == entry.kind => {
                    mine.replaced_something = true;
                    continue;
                }
                Some(mine) => {
                    // Replacing with another kind is no replacement, and needs no second error.
                    mine.replaced_something = true;
                    super::twice(
                        errors,
                        entry.name,
                        Some(mine.name),
                        entry.span,
                        if mine.kind == entry.kind {
                            "rename one, or write `replaces: true` in the plan's entry"
                        } else {
                            TWO_NAMES
                        },
                    );
                    continue;
                }
                None => {}
            }
            if let Some(first) = theirs.get(entry.name) {
                super::twice(errors, entry.name, Some(entry.span), *first, TWO_NAMES);
            } else {
                theirs.insert(entry.name, entry.span);
            }
        }
        for (name, definition) in own_in_order.iter().filter_map(|&name| Some((name, own.get(name)?))) {
            if definition.replaces.is_some() && !definition.replaced_something {
                errors.push(|| {
                    Diagnostic::new(
                        definition.replaces,
                        format!("`{name}` replaces nothing: no shared schedule has it"),
                    )
                    .help("remove `replaces`, or name the schedule in `use`")
                });
            }
        }
        let mut types = Self {
            luminaires: Table::new("luminaire type", incomplete),
            cables: Table::new("cable type", incomplete),
            supplies: Table::new("supply type", incomplete),
            splices: Table::new("splice type", incomplete),
            stranding_filled_in: Vec::new(),
            load_filled_in: Vec::new(),
        };
        for schedule in plan.into_iter().chain(shared.iter().copied()) {
            types.luminaires.incomplete |= unread(&schedule.luminaires);
            types.cables.incomplete |= unread(&schedule.cables);
            types.supplies.incomplete |= unread(&schedule.supplies);
            types.splices.incomplete |= unread(&schedule.splices);
            types.resolve(schedule, errors);
        }
        types
    }

    /// All types, for those who choose among them.
    pub(super) fn into_catalogue(self) -> Catalogue {
        let mut names: Vec<Id> = Vec::new();
        names.extend(self.luminaires.in_order.iter().cloned());
        names.extend(self.cables.in_order.iter().cloned());
        names.extend(self.supplies.in_order.iter().cloned());
        names.extend(self.splices.in_order.iter().cloned());
        Catalogue { cables: self.cables.into_types(), supplies: self.supplies.into_types(), names }
    }

    /// Resolves the types of a schedule whose names are not taken yet.
    fn resolve(&mut self, schedule: &ScheduleDoc, errors: &mut Diagnostics) {
        each(&schedule.luminaires, &mut self.luminaires, errors, |name, doc: &LuminaireTypeDoc, errors| {
            if doc.load.is_absent() {
                self.load_filled_in.push(name.name.clone());
            }
            luminaire_type(name.name, doc, errors)
        });
        each(&schedule.cables, &mut self.cables, errors, |name, doc: &CableTypeDoc, errors| {
            if doc.stranding.is_absent() && doc.resistance.is_absent() {
                self.stranding_filled_in.push(name.name.clone());
            }
            cable_type(name, doc, errors)
        });
        each(&schedule.supplies, &mut self.supplies, errors, |name, doc: &SupplyTypeDoc, errors| {
            supply_type(name.name, doc, errors)
        });
        each(&schedule.splices, &mut self.splices, errors, |name, doc: &SpliceTypeDoc, _| {
            Some(splice_type(name.name, doc))
        });
    }
}

/// The name of a type and where it stands.
#[derive(Clone, Copy)]
pub(super) struct Named<'n> {
    pub(super) name: &'n Id,
    pub(super) span: Option<Span>,
}

/// Whether a table is there but could not be read.
pub(super) fn unread<T>(field: &Field<T>) -> bool {
    field.get().is_none() && !field.is_absent()
}

/// Adds the entries of one kind to its table.
fn each<D, T>(
    docs: &Field<Map<D>>,
    table: &mut Table<T>,
    errors: &mut Diagnostics,
    mut resolve: impl FnMut(Named<'_>, &D, &mut Diagnostics) -> Option<T>,
) {
    for (key, doc) in docs.get().map_or(&[][..], |map| &map.entries) {
        let Some(text) = key.get() else { continue };
        let name = match text.parse::<Id>() {
            Ok(name) => name,
            Err(error) => {
                errors.push(|| Diagnostic::new(key.span, error.to_string()));
                continue;
            }
        };
        if !table.by_name.contains_key(&name) {
            let kind = doc.get().and_then(|doc| resolve(Named { name: &name, span: key.span }, doc, errors));
            table.insert(name, kind);
        }
    }
}

/// All entries of a schedule.
fn entries(schedule: &ScheduleDoc) -> Vec<Entry<'_>> {
    fn of<'s, D>(
        kind: Kind,
        docs: &'s Field<Map<D>>,
        replaces: impl Fn(&'s D) -> &'s Field<bool>,
    ) -> impl Iterator<Item = Entry<'s>> {
        const ABSENT: &Field<bool> = &Field { value: None, span: None };
        docs.get().map_or(&[][..], |map| &map.entries).iter().filter_map(move |(key, doc)| {
            let replaces = doc.get().map_or(ABSENT, &replaces);
            Some(Entry { kind, name: key.get()?, span: key.span?, replaces })
        })
    }
    let mut all = Vec::new();
    all.extend(of(Kind::Luminaire, &schedule.luminaires, |d: &LuminaireTypeDoc| &d.replaces));
    all.extend(of(Kind::Cable, &schedule.cables, |d: &CableTypeDoc| &d.replaces));
    all.extend(of(Kind::Supply, &schedule.supplies, |d: &SupplyTypeDoc| &d.replaces));
    all.extend(of(Kind::Splice, &schedule.splices, |d: &SpliceTypeDoc| &d.replaces));
    all
}
