//! A feature becomes elements of the plan: its shapes on the grid, its properties as fields.

use super::features::Found;
use super::ground::Ground;
use super::ids::Ids;
use super::kinds::{Kind, fields};
use super::shapes::{Place, Shapes};
use super::values::yaml;
use super::{Brought, Origin};
use lintern_core::plan::ElementKind;
use lintern_core::plan::additions::NewElement;
use serde_json::Value;
use std::collections::BTreeMap;

/// Puts features on the ground of a plan.
pub struct Placer<'a> {
    /// The ground.
    pub ground: &'a Ground,
    /// The plan's schema.
    pub schema: &'a Value,
    /// Ids of the plan and of what was placed.
    pub ids: Ids,
    /// The property in which the kind stands.
    pub property: &'a str,
    /// The type of luminaires whose feature has none.
    pub luminaire_type: Option<&'a str>,
    /// Properties that are no field of the plan, with the number of features that have them.
    pub unused: BTreeMap<String, usize>,
}

impl Placer<'_> {
    /// The elements of one feature.
    pub fn place(&mut self, found: &Found, kind: &Kind, shapes: Shapes, brought: &mut Brought) {
        let Shapes { parts, left_out, changed } = shapes;
        left_out.into_iter().for_each(|reason| brought.leave(&found.origin, reason));
        let fields = self.fields(found, kind);
        let otherwise = kind.word.as_deref().unwrap_or(match kind.element {
            ElementKind::Supply => "S",
            ElementKind::Junction => "J",
            _ => "L",
        });
        let several = parts.len() > 1;
        changed.into_iter().for_each(|what| brought.change(&found.origin, what));
        for (index, part) in parts.iter().enumerate() {
            let shape = match self.shape(kind.element, part, &found.origin, brought) {
                Ok(shape) => shape,
                Err(reason) => {
                    brought.leave(&found.origin, reason);
                    continue;
                }
            };
            let wanted = found.id.as_ref().map(|id| if several { format!("{id}-{}", index + 1) } else { id.clone() });
            let (id, given) = self.ids.take(wanted.as_deref(), otherwise);
            if let Some(given) = given {
                brought.change(&found.origin, given);
            }
            let mut all = Vec::new();
            all.extend(kind.word.iter().map(|word| ("kind".to_owned(), word.clone())));
            all.extend(fields.iter().filter(|(key, _)| key == "type").cloned());
            all.push(shape);
            all.extend(fields.iter().filter(|(key, _)| key != "type").cloned());
            brought.elements.push((found.origin.clone(), NewElement { kind: kind.element, id, fields: all }));
        }
    }

    /// The properties that are fields of the plan; the others are counted.
    fn fields(&mut self, found: &Found, kind: &Kind) -> Vec<(String, String)> {
        let known = fields(self.schema, kind.element);
        let mut taken = Vec::new();
        for (key, value) in &found.properties {
            if known.contains(key) {
                taken.extend(yaml(value).map(|value| (key.clone(), value)));
            } else if !["id", "element"].contains(&key.as_str()) && key != self.property && !value.is_null() {
                *self.unused.entry(key.clone()).or_insert(0) += 1;
            }
        }
        if let (ElementKind::Luminaire, Some(name)) = (kind.element, self.luminaire_type)
            && taken.iter().all(|(key, _)| key != "type")
        {
            taken.push(("type".to_owned(), lintern_core::plan::additions::flow_text(name)));
        }
        taken
    }

    /// The place, the path or the outline in grid units.
    fn shape(
        &self,
        element: ElementKind,
        part: &[Place],
        origin: &Origin,
        brought: &mut Brought,
    ) -> Result<(String, String), String> {
        let mut points: Vec<[f64; 2]> = Vec::with_capacity(part.len());
        for [longitude, latitude] in part {
            points.push(self.ground.on_grid(self.ground.to_plan(*longitude, *latitude)?));
        }
        let given = points.len();
        if element == ElementKind::Zone {
            // Corners that rounding brought together; what comes twice otherwise is for the loader to judge.
            points.dedup();
            while points.len() > 1 && points.first() == points.last() {
                points.pop();
            }
            if points.len() < given {
                let fewer = given - points.len();
                brought.change(
                    origin,
                    format!("{fewer} of {given} corners lie on the one before, once rounded, and are left out"),
                );
            }
        }
        let text = |[x, y]: &[f64; 2]| format!("[{x}, {y}]");
        let all = || format!("[{}]", points.iter().map(text).collect::<Vec<_>>().join(", "));
        Ok(match element {
            ElementKind::Zone => ("outline".to_owned(), all()),
            ElementKind::Utility => ("path".to_owned(), all()),
            _ => ("at".to_owned(), points.first().map_or_else(String::new, text)),
        })
    }
}
