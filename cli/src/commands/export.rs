//! `lintern export geojson`.

use super::{Exit, print, write};
use crate::args::{Export, ExportGeojson};
use crate::output::escape;
use crate::survey::collect::statement;
use crate::survey::export::{Exported, Source, export};
use crate::survey::ground::Ground;
use lintern_core::analysis::{Case, network};
use lintern_core::plan::model::Grid;
use std::fmt::Write as _;

pub fn run(args: &Export) -> Exit {
    match args {
        Export::Geojson(args) => geojson(args),
    }
}

fn geojson(args: &ExportGeojson) -> Exit {
    let (repository, loaded) = match super::plan(&args.plan) {
        Ok(read) => read,
        Err(exit) => return exit,
    };
    let Some(layout) = &loaded.layout else { return Exit::NotChecked };
    let origin = match (layout.origin, args.origin) {
        (Some(own), Some(other)) if own != other.0 => {
            return super::stop(&format!(
                "{} states `site.origin` already, and another one: leave `--origin` out",
                args.plan.display()
            ));
        }
        (own, other) => own.or(other.map(|other| other.0)),
    };
    let Some(origin) = origin else {
        return super::stop(&format!(
            "{} does not say where its [0, 0] is on the earth: give `site: {{ origin: {{ latitude: 44.05, longitude: -121.31 }} }}`, or `--origin LATITUDE,LONGITUDE`",
            args.plan.display()
        ));
    };
    let north_rad = layout.north.map_or(0.0, |north| north.si());
    let ground = match Ground::new(origin, north_rad, layout.grid.unwrap_or(Grid::M)) {
        Ok(ground) => ground,
        Err(reason) => return super::stop(&reason),
    };
    let solution = network::solve(layout, Case::Judged);
    let source = Source { file: &loaded.file, layout, solution: &solution, ground: &ground };
    let exported = match export(&source) {
        Ok(exported) => exported,
        Err(reason) => return super::stop(&reason),
    };
    let mut told = told(&exported, &ground);
    if layout.north.is_none() {
        told.push_str("assumed: the grid's upward axis points to true north, since the plan has no `site.north`\n");
    }
    let Some(path) = &args.output else {
        print(&exported.text);
        eprint!("{}", escape::terminal(&told));
        return Exit::Clean;
    };
    if let Err(refusal) = write::apart(path, repository.root(), &loaded, &["geojson", "json"]) {
        return super::stop(&refusal);
    }
    if let Err(error) = write::put(path, exported.text.as_bytes()) {
        return super::stop(&format!("can't write {}: {error}", path.display()));
    }
    print(&escape::terminal(&format!("Wrote {} features to {}.\n{told}", exported.features, path.display())));
    Exit::Clean
}

/// What is said beside the document.
fn told(exported: &Exported, ground: &Ground) -> String {
    let [projection, _] = statement(ground);
    let mut told = format!("{projection}\n");
    if !exported.unplaced.is_empty() {
        let _ = writeln!(told, "without a place, as features without geometry: {}", exported.unplaced.join(", "));
    }
    exported.notes.iter().for_each(|note| {
        let _ = writeln!(told, "note: {note}");
    });
    told
}
