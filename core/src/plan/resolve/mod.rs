//! The plan as written to the [`Layout`]: schedules merged, references followed, lengths measured.
//!
//! Everything that can be checked is checked in one pass. A part that is wrong was or is reported,
//! and what refers to it is not reported again. There is a layout only when there is no error.

mod assumptions;
mod elements;
mod kinds;
mod names;
mod outline;
mod readings;
mod routes;
mod site;
mod types;

use super::diagnostic::{Diagnostic, Diagnostics};
use super::field::{Field, Span};
use super::model::{AnalysisDoc, DigDoc, PlanDoc, ProjectDoc, RecordsDoc, ScheduleDoc};
use super::quantity::Temperature;
use super::read::Map;
use crate::layout::{AnalysisSettings, Catalogue, Dig, House, Layout, Project, Records};
use assumptions::Assumptions;
use names::Names;
use site::Site;
use types::Types;

/// Resolves a plan with its shared schedules, in the order of its `use` list, to its layout and all types of its
/// schedules. Errors are recorded;
/// with any error, older ones included, there is no layout. `incomplete` says that a shared schedule could not be
/// read: then nothing is said of types that are missing.
pub(super) fn resolve(
    plan: &PlanDoc,
    shared: &[&ScheduleDoc],
    incomplete: bool,
    errors: &mut Diagnostics,
) -> Option<(Layout, Catalogue)> {
    let mut assumptions = Assumptions::default();
    let types = Types::collect(plan.schedule.get(), shared, incomplete || types::unread(&plan.schedule), errors);
    let names = Names::collect(plan, errors);
    let site = Site::new(plan, errors);
    let analysis = analysis(plan.analysis.get(), errors);
    let zones = site.zones(plan, errors);
    let utilities = site.utilities(plan, errors);
    let supplies = elements::supplies(plan, &types, &site, errors);
    let junctions = elements::junctions(plan, &types, &site, errors);
    let luminaires = elements::luminaires(plan, &types, &site, errors);
    let runs = routes::Routes { plan, types: &types, names: &names, site: &site }.runs(&mut assumptions, errors);
    let readings = readings::readings(plan, &types, &names, errors);
    names.check_waivers(plan, errors);
    let (north, origin) = (site::north(plan, errors), site::origin(plan, errors));
    if !errors.is_empty() {
        return None;
    }
    let mut layout = Layout {
        project: project(plan.project.get()),
        analysis,
        grid: site.grid(),
        north,
        origin,
        soil: plan.site.get().and_then(|site| site.soil.cloned()),
        supplies: all(supplies)?,
        junctions: all(junctions)?,
        luminaires: all(luminaires)?,
        runs: all(runs)?,
        zones: all(zones)?,
        utilities: all(utilities)?,
        dig: plan.dig.get().map(dig),
        records: records(plan.records.get()),
        readings,
        assumptions: Vec::new(),
    };
    readings::check_polarity(plan, &layout, errors);
    if !errors.is_empty() {
        return None;
    }
    assumptions.of_layout(&layout, &types);
    layout.assumptions = assumptions.into_sentences();
    Some((layout, types.into_catalogue()))
}

/// The list, if every item of the plan could be resolved.
fn all<T>(items: Vec<Option<T>>) -> Option<Vec<T>> {
    items.into_iter().collect()
}

/// A company's own data as read.
fn house(field: &Field<Map<String>>) -> House {
    let entries = field.get().map_or(&[][..], |map| &map.entries);
    entries.iter().filter_map(|(key, value)| Some((key.cloned()?, value.cloned()?))).collect()
}

/// The items of a list that is there and was read.
fn items<T>(list: &super::model::List<T>) -> &[Field<T>] {
    list.get().map_or(&[], Vec::as_slice)
}

fn project(doc: Option<&ProjectDoc>) -> Project {
    let Some(doc) = doc else { return Project::default() };
    Project {
        name: doc.name.cloned(),
        designer: doc.designer.cloned(),
        country: doc.country.cloned(),
        region: doc.region.cloned(),
        authority: doc.authority.cloned(),
        code: doc.code.cloned(),
        occupancy: doc.occupancy.cloned(),
        house: house(&doc.house),
    }
}

fn analysis(doc: Option<&AnalysisDoc>, errors: &mut Diagnostics) -> AnalysisSettings {
    let Some(doc) = doc else { return AnalysisSettings::default() };
    for field in [&doc.conductor_temperature, &doc.soil_temperature] {
        temperature(field, errors);
    }
    AnalysisSettings {
        conductor_temperature: doc.conductor_temperature.cloned(),
        soil_temperature: doc.soil_temperature.cloned(),
    }
}

/// Reports a temperature that no conductor has. The linear corrections of resistance mean nothing
/// far outside the ratings of insulation.
fn temperature(field: &Field<Temperature>, errors: &mut Diagnostics) {
    let Some(value) = field.get() else { return };
    if !(-60.0..=250.0).contains(&value.si()) {
        errors.push(|| {
            Diagnostic::new(field.span, format!("`{value}` is not a temperature of a conductor"))
                .help("give a temperature from -60 degC to 250 degC")
        });
    }
}

fn dig(doc: &DigDoc) -> Dig {
    let ticket = doc.ticket.cloned().unwrap_or_default();
    Dig {
        ticket_number: ticket.number.cloned(),
        called: ticket.called.cloned(),
        expires: ticket.expires.cloned(),
        responses: ticket.responses.cloned(),
        starts: doc.starts.cloned(),
        method: doc.method.cloned(),
        private_lines: doc.private_lines.cloned(),
        white_lined: doc.white_lined.cloned(),
        in_tolerance_zone: doc.in_tolerance_zone.cloned(),
    }
}

fn records(doc: Option<&RecordsDoc>) -> Records {
    let Some(doc) = doc else { return Records::default() };
    Records {
        mock_up: doc.mock_up.cloned(),
        test_before_backfill: doc.test_before_backfill.cloned(),
        as_built: doc.as_built.cloned(),
        commissioning: doc.commissioning.cloned(),
        labels: doc.labels.cloned(),
        cut_sheets: doc.cut_sheets.cloned(),
        maintenance: doc.maintenance.cloned(),
    }
}

/// Reports two definitions of one name.
fn twice(errors: &mut Diagnostics, name: &str, here: Option<Span>, first: Span, help: &str) {
    errors.push(|| {
        Diagnostic::new(here, format!("`{name}` is defined twice")).also(first, "first defined here").help(help)
    });
}
