//! A survey as elements of a plan.

use super::features::{self, Found, NotRead};
use super::ground::{Ground, shown};
use super::ids::Ids;
use super::kinds::{Kind, Vocabulary, Words};
use super::place::Placer;
use super::shapes::{self, Shapes};
use super::{Brought, middle};
use lintern_core::layout::Origin;
use lintern_core::plan::ElementKind;
use lintern_core::plan::model::Grid;
use serde_json::Value;

/// What is asked of a survey.
pub struct Wanted<'a> {
    /// The plan's schema.
    pub schema: &'a Value,
    /// How its words are read.
    pub words: Words,
    /// The place of [0, 0]; the survey's middle where it is left open.
    pub origin: Option<Origin>,
    /// True north of the grid, rad.
    pub north_rad: f64,
    /// The unit of coordinates.
    pub grid: Grid,
    /// The type of luminaires whose feature has none.
    pub luminaire_type: Option<&'a str>,
    /// Ids that are taken.
    pub taken: Vec<String>,
}

/// Why a survey gives nothing.
pub enum Refused {
    /// The file can't be read.
    File(Box<NotRead>),
    /// It has no middle, or there is no projection.
    Ground(String),
}

/// The elements of a survey, on the ground that they were put on.
pub fn collect(name: &str, text: &str, wanted: Wanted<'_>) -> Result<(Brought, Ground), Refused> {
    let survey = features::read(name, text).map_err(Refused::File)?;
    let vocabulary = Vocabulary::new(wanted.schema);
    for (word, kind) in &wanted.words.map {
        if vocabulary.kind(kind).is_none() {
            let words: Vec<&str> = vocabulary.words().collect();
            return Err(Refused::Ground(format!("`--map {word}={kind}`: `{kind}` is none of {}", words.join(", "))));
        }
    }
    let mut brought = Brought { notes: survey.notes, ..Brought::default() };
    let mut ready: Vec<(&Found, Kind, Shapes)> = Vec::new();
    for found in &survey.features {
        let kind = vocabulary.of(&found.properties, &wanted.words);
        match (&found.geometry, kind) {
            (Ok(geometry), Ok(kind)) => {
                let shapes = shapes::of(geometry, kind.element);
                ready.push((found, kind, shapes));
            }
            (Err(reason), _) => brought.leave(&found.origin, reason.clone()),
            (Ok(_), Err(reason)) => brought.leave(&found.origin, reason),
        }
    }
    let places = ready.iter().flat_map(|(_, _, shapes)| shapes.parts.iter().filter_map(|part| part.first()));
    let origin = match wanted.origin.or_else(|| middle::middle(places)) {
        Some(origin) => origin,
        None => {
            ready.iter_mut().for_each(|(found, _, shapes)| {
                shapes.left_out.drain(..).for_each(|reason| brought.leave(&found.origin, reason));
            });
            return Err(Refused::Ground(nothing(name, &brought)));
        }
    };
    let ground = Ground::new(origin, wanted.north_rad, wanted.grid).map_err(Refused::Ground)?;
    let mut placer = Placer {
        ground: &ground,
        schema: wanted.schema,
        ids: Ids::new(wanted.taken),
        property: &wanted.words.property,
        luminaire_type: wanted.luminaire_type,
        unused: Default::default(),
    };
    for (found, kind, shapes) in ready {
        placer.place(found, &kind, shapes, &mut brought);
    }
    let unused = std::mem::take(&mut placer.unused);
    if brought.elements.iter().any(|(_, element)| element.kind == ElementKind::Utility) {
        brought.notes.push(
            "lines of a survey are no marks on the ground: the locate request comes first all the same".to_owned(),
        );
    }
    brought.notes.extend(unused.into_iter().map(|(key, count)| {
        let of = if count == 1 { "1 feature".to_owned() } else { format!("{count} features") };
        format!("the property `{key}` of {of} is no field of the plan format, and is left out")
    }));
    Ok((brought, ground))
}

/// Why there is no feature to place.
fn nothing(name: &str, brought: &Brought) -> String {
    let mut text = format!("{name} has no feature that can be placed");
    for remark in brought.left_out.iter().take(10) {
        text.push_str(&format!("\n  {}: {}", remark.origin.shown, remark.text));
    }
    if brought.left_out.len() > 10 {
        text.push_str(&format!("\n  and {} more", brought.left_out.len() - 10));
    }
    text
}

/// What is said of the projection, in the plan and in the output.
pub fn statement(ground: &Ground) -> [String; 2] {
    let unit = ground.grid;
    [
        format!("[0, 0] of the grid is at {} (WGS 84); projection: {}", shown(ground.origin), ground.projection()),
        format!("coordinates are rounded to {} {unit}", super::ground::STEP),
    ]
}
