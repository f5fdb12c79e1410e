//! Whether a plan can be sized, and where its runs start.

use super::place::{Place, middle, on_building};
use super::request::{Request, SizingError};
use crate::layout::{Layout, PointM};
use crate::plan::model::Grid;
use std::collections::BTreeSet;

/// Most luminaires of one sizing.
const MOST_LUMINAIRES: usize = 2000;

/// The grid of a plan that can be sized.
pub(super) fn suited(layout: &Layout) -> Result<Grid, SizingError> {
    let unsuited = |text: String| Err(SizingError::Unsuited(text));
    if layout.luminaires.is_empty() {
        return unsuited("the plan has no luminaires; give each an id, a type and a place".to_owned());
    }
    if layout.luminaires.len() > MOST_LUMINAIRES {
        return unsuited(format!(
            "the plan has {} luminaires; at most {MOST_LUMINAIRES} are sized together: split the plan",
            layout.luminaires.len()
        ));
    }
    if !layout.runs.is_empty() || !layout.junctions.is_empty() {
        return unsuited("the plan is wired already; sizing starts from luminaires alone: remove `runs` and `junctions`, or see `lintern solve`".to_owned());
    }
    if layout.supplies.len() > 1 {
        return unsuited(format!(
            "the plan has {} supplies; keep the one where the runs are to start, or none",
            layout.supplies.len()
        ));
    }
    let placeless: Vec<&str> =
        layout.luminaires.iter().filter(|luminaire| luminaire.at.is_none()).map(|l| l.id.0.as_str()).collect();
    match (layout.grid, placeless.as_slice()) {
        (Some(grid), []) => Ok(grid),
        (_, placeless) => unsuited(format!(
            "luminaires without a place can't be wired: {}; give each `at: [x, y]`, and the plan `site: {{ grid: ft }}` or `m`",
            placeless.join(", ")
        )),
    }
}

/// Where the runs start, and how that was found.
pub(super) fn start(
    layout: &Layout,
    grid: Grid,
    request: &Request,
    notes: &mut BTreeSet<String>,
) -> Result<(Place, String), SizingError> {
    let own = layout.supplies.first();
    if let Some(own) = own {
        notes.insert(format!("{} stays where it is; its type is chosen anew.", own.id));
    }
    if let Some((own, at)) = own.and_then(|own| Some((own, own.at?))) {
        if request.from.is_some() {
            return Err(SizingError::Unsuited(format!(
                "{} has a place, where the runs start; remove its `at`, or the `--from`",
                own.id
            )));
        }
        return Ok((Place::of_plan(at, grid), format!("place of {}", own.id)));
    }
    if let Some(point) = request.from {
        return Ok((Place::of_grid(point, grid), "--from".to_owned()));
    }
    let places: Vec<PointM> = layout.luminaires.iter().filter_map(|luminaire| luminaire.at).collect();
    let center = middle(&places);
    let (at, from) = match on_building(layout, center) {
        Some((at, building)) => (at, format!("the point of {building} nearest to the middle of the luminaires")),
        None => (center, "the middle of the luminaires".to_owned()),
    };
    let place = Place::rounded(at, grid);
    notes.insert(format!(
        "Runs start at [{}, {}], {from}, since the plan places no supply; `--from X,Y` says otherwise.",
        place.grid.x, place.grid.y
    ));
    Ok((place, from))
}
