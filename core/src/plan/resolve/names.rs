//! The one namespace of ids: supplies, junctions, luminaires, runs, zones and utilities.

use super::items;
use super::types::unread;
use crate::plan::diagnostic::{Diagnostic, Diagnostics};
use crate::plan::field::{Field, Span};
use crate::plan::locate::ElementKind;
use crate::plan::model::PlanDoc;
use crate::plan::nearest;
use crate::plan::scalar::Id;
use std::collections::HashMap;

/// Every id of a plan.
pub(super) struct Names<'p> {
    by_id: HashMap<&'p str, Element>,
    /// In the order of the plan, for messages.
    in_order: Vec<(&'p str, ElementKind)>,
    /// A list could not be read, so that an id which is missing here may stand there.
    pub(super) incomplete: bool,
}

/// What an id names.
#[derive(Clone, Copy)]
pub(super) struct Element {
    pub(super) kind: ElementKind,
    /// Index into the plan's list of that kind.
    pub(super) index: usize,
    span: Span,
}

impl<'p> Names<'p> {
    pub(super) fn collect(plan: &'p PlanDoc, errors: &mut Diagnostics) -> Self {
        let site = plan.site.get();
        let incomplete = unread(&plan.site)
            || unread(&plan.supplies)
            || unread(&plan.junctions)
            || unread(&plan.luminaires)
            || unread(&plan.runs)
            || site.is_some_and(|site| unread(&site.zones) || unread(&site.utilities));
        let mut names = Self { by_id: HashMap::new(), in_order: Vec::new(), incomplete };
        names.add(ElementKind::Supply, items(&plan.supplies).iter().map(|e| e.get().map(|e| &e.id)), errors);
        names.add(ElementKind::Junction, items(&plan.junctions).iter().map(|e| e.get().map(|e| &e.id)), errors);
        names.add(ElementKind::Luminaire, items(&plan.luminaires).iter().map(|e| e.get().map(|e| &e.id)), errors);
        names.add(ElementKind::Run, items(&plan.runs).iter().map(|e| e.get().map(|e| &e.id)), errors);
        if let Some(site) = site {
            names.add(ElementKind::Zone, items(&site.zones).iter().map(|e| e.get().map(|e| &e.id)), errors);
            names.add(ElementKind::Utility, items(&site.utilities).iter().map(|e| e.get().map(|e| &e.id)), errors);
        }
        names
    }

    fn add(&mut self, kind: ElementKind, ids: impl Iterator<Item = Option<&'p Field<Id>>>, errors: &mut Diagnostics) {
        for (index, id) in ids.enumerate() {
            let Some(Field { value: Some(Id(id)), span: Some(span) }) = id else { continue };
            match self.by_id.get(id.as_str()) {
                Some(first) => super::twice(
                    errors,
                    id,
                    Some(*span),
                    first.span,
                    "supplies, junctions, luminaires, runs, zones and utilities share one set of ids; rename one of them",
                ),
                None => {
                    self.by_id.insert(id, Element { kind, index, span: *span });
                    self.in_order.push((id, kind));
                }
            }
        }
    }

    pub(super) fn get(&self, id: &str) -> Option<Element> {
        self.by_id.get(id).copied()
    }

    /// Help for an id that names nothing of these kinds.
    pub(super) fn help(&self, id: &str, what: &str, kinds: &[ElementKind]) -> String {
        let known = self.in_order.iter().filter(|(_, kind)| kinds.contains(kind)).map(|&(id, _)| id);
        nearest::help(id, what, known)
    }

    /// Reports waivers whose subject is no element.
    pub(super) fn check_waivers(&self, plan: &PlanDoc, errors: &mut Diagnostics) {
        for waiver in items(&plan.waivers).iter().filter_map(Field::get) {
            let Some(Id(subject)) = waiver.subject.get() else { continue };
            if self.get(subject).is_none() && !self.incomplete {
                errors.push(|| {
                    Diagnostic::new(waiver.subject.span, format!("no element has the id `{subject}`")).help(self.help(
                        subject,
                        "ids",
                        ElementKind::ALL,
                    ))
                });
            }
        }
    }
}
