//! Coordinates, zones and buried lines.

use super::outline::Outlines;
use super::{house, items};
use crate::geometry::Lattice;
use crate::layout::{Origin, PointM, Utility, Zone};
use crate::plan::diagnostic::{Diagnostic, Diagnostics};
use crate::plan::field::{Field, Span};
use crate::plan::model::{Grid, PlanDoc, UtilityDoc, ZoneDoc};
use crate::plan::quantity::{Angle, METRES_PER_FOOT};
use crate::plan::scalar::{Point, RouteStep};

/// The plan's grid.
pub(super) struct Site {
    grid: Option<Grid>,
    metres: Option<f64>,
}

impl Site {
    /// Reports coordinates without a grid, once.
    pub(super) fn new(plan: &PlanDoc, errors: &mut Diagnostics) -> Self {
        let field = plan.site.get().map(|s| &s.grid);
        let grid = field.and_then(Field::cloned);
        // A grid that is wrong has been reported.
        if field.is_none_or(Field::is_absent)
            && let Some(span) = first_coordinate(plan)
        {
            errors.push(|| {
                Diagnostic::new(span, "the plan has coordinates but does not say their unit")
                    .help("give `site: { grid: ft }` or `site: { grid: m }`")
            });
        }
        let metres = grid.map(|grid| match grid {
            Grid::Ft => METRES_PER_FOOT,
            Grid::M => 1.0,
        });
        Self { grid, metres }
    }

    pub(super) fn grid(&self) -> Option<Grid> {
        self.grid
    }

    /// A point in metres; `None` without a grid.
    pub(super) fn metres(&self, point: Point) -> Option<PointM> {
        self.metres.map(|m| PointM { x_m: point.x * m, y_m: point.y * m })
    }

    /// The place of an element in metres.
    pub(super) fn place(&self, at: &Field<Point>) -> Option<PointM> {
        self.metres(at.cloned()?)
    }

    fn points(&self, list: &[Field<Point>]) -> Option<Vec<PointM>> {
        list.iter().map(|p| self.place(p)).collect()
    }

    pub(super) fn zones(&self, plan: &PlanDoc, errors: &mut Diagnostics) -> Vec<Option<Zone>> {
        let Some(site) = plan.site.get() else { return Vec::new() };
        let mut outlines = Outlines::new(self.grid);
        let resolve = |zone: &Field<ZoneDoc>| {
            let zone = zone.get()?;
            let corners = zone.outline.get()?;
            let mut outline = self.points(corners)?;
            outline.truncate(outlines.check(zone.outline.span, corners, &outline, errors)?);
            Some(Zone {
                id: zone.id.cloned()?,
                kind: zone.kind.cloned()?,
                outline,
                slab_thickness: zone.slab_thickness.cloned(),
                slab_beyond: zone.slab_beyond.cloned(),
                jets: zone.jets.cloned(),
                house: house(&zone.house),
            })
        };
        items(&site.zones).iter().map(resolve).collect()
    }

    pub(super) fn utilities(&self, plan: &PlanDoc, errors: &mut Diagnostics) -> Vec<Option<Utility>> {
        let Some(site) = plan.site.get() else { return Vec::new() };
        let resolve = |utility: &Field<UtilityDoc>| {
            let utility = utility.get()?;
            let path = utility.path.get()?;
            if path.len() < 2 {
                errors.push(|| {
                    Diagnostic::new(
                        utility.path.span,
                        format!("a path needs at least 2 points, this has {}", path.len()),
                    )
                });
                return None;
            }
            let points = self.points(path)?;
            let lattice = Lattice::new(self.grid?);
            if points.windows(2).all(|w| lattice.steps(w[0]) == lattice.steps(w[1])) {
                errors.push(|| {
                    Diagnostic::new(utility.path.span, "the path has no length: all of its points are one place")
                        .help("give at least 2 different points along the line")
                });
                return None;
            }
            Some(Utility {
                id: utility.id.cloned()?,
                kind: utility.kind.cloned()?,
                path: points,
                located: utility.located.cloned(),
                depth: utility.depth.cloned(),
                width: utility.width.cloned(),
                house: house(&utility.house),
            })
        };
        items(&site.utilities).iter().map(resolve).collect()
    }
}

/// Direction of true north from the upward axis of the grid.
pub(super) fn north(plan: &PlanDoc, errors: &mut Diagnostics) -> Option<Angle> {
    let field = &plan.site.get()?.north;
    let angle = *field.get()?;
    if angle.si() < std::f64::consts::TAU {
        return Some(angle);
    }
    errors.push(|| {
        Diagnostic::new(field.span, format!("`{angle}` is not a direction"))
            .help("give an angle from 0 deg to below 360 deg, clockwise from the upward axis of the grid")
    });
    None
}

/// Where the grid's [0, 0] is on the earth.
pub(super) fn origin(plan: &PlanDoc, errors: &mut Diagnostics) -> Option<Origin> {
    let doc = plan.site.get()?.origin.get()?;
    let mut within = |field: &Field<f64>, most: f64, what: &str| {
        let degrees = field.cloned()?;
        if degrees.abs() <= most {
            return Some(degrees);
        }
        errors.push(|| {
            Diagnostic::new(field.span, format!("`{degrees}` is not a {what}"))
                .help(format!("give degrees from -{most} to {most}, as WGS 84 has them"))
        });
        None
    };
    let (latitude, longitude) = (within(&doc.latitude, 90.0, "latitude"), within(&doc.longitude, 180.0, "longitude"));
    Some(Origin { latitude_deg: latitude?, longitude_deg: longitude? })
}

/// The first coordinate in the file.
fn first_coordinate(plan: &PlanDoc) -> Option<Span> {
    let site = plan.site.get();
    let zones = site.map_or(&[][..], |s| items(&s.zones)).iter().filter_map(|z| Some(z.get()?.outline.span));
    let utilities = site.map_or(&[][..], |s| items(&s.utilities)).iter().filter_map(|u| Some(u.get()?.path.span));
    let supplies = items(&plan.supplies).iter().filter_map(|e| Some(e.get()?.at.span));
    let junctions = items(&plan.junctions).iter().filter_map(|e| Some(e.get()?.at.span));
    let luminaires = items(&plan.luminaires).iter().filter_map(|e| Some(e.get()?.at.span));
    let bends = items(&plan.runs).iter().filter_map(|run| {
        let bend = items(&run.get()?.route).iter().find(|step| matches!(step.get(), Some(RouteStep::Bend(_))))?;
        Some(bend.span)
    });
    zones.chain(utilities).chain(supplies).chain(junctions).chain(luminaires).chain(bends).flatten().min()
}
