//! `lintern draw`: the site drawing of one plan, as SVG.

use super::{Exit, print, write};
use crate::args::Draw;
use crate::drawing::site::{View, sheet};
use crate::drawing::{Marks, svg};
use crate::output::escape;
use lintern_core::analysis::site::{SiteFacts, locate};

pub fn run(args: &Draw) -> Exit {
    let (repository, loaded) = match super::plan(&args.plan) {
        Ok(plan) => plan,
        Err(exit) => return exit,
    };
    let Some(layout) = &loaded.layout else { return Exit::NotChecked };
    let places = locate(layout).unwrap_or_else(|error| {
        eprintln!("lintern: {error}; runs are not drawn");
        SiteFacts::unplaced(layout)
    });
    let project = &layout.project;
    let name = project.name.clone().unwrap_or_else(|| loaded.file.clone());
    let second = [&project.designer, &project.authority].into_iter().flatten().cloned().collect::<Vec<_>>().join(";  ");
    let digest = loaded.sha256.get(..12).unwrap_or_default();
    let third = format!("{}, sha256 {digest}…;  lintern {}", loaded.file, env!("CARGO_PKG_VERSION"));
    let marks = Marks::default();
    let view = View::new(layout, &places, &marks, vec![name, second, third]);
    let Some(sheet) = sheet(&view, args.sheet) else {
        eprintln!("lintern: there is nothing to draw: the plan gives no place to anything (`at`, `outline`, `path`)");
        return Exit::NotChecked;
    };
    let picture = svg::file(&sheet.drawing);
    match &args.output {
        None => print(&picture),
        Some(path) if !path.extension().is_some_and(|e| e.eq_ignore_ascii_case("svg")) => {
            eprintln!("lintern: the name of a drawing ends in .svg");
            return Exit::NotChecked;
        }
        Some(path) => {
            if let Err(refusal) = write::apart(path, repository.root(), &loaded, &["svg"]) {
                eprintln!("lintern: {}", escape::terminal(&refusal));
                return Exit::NotChecked;
            }
            let shown = path.display().to_string();
            if let Err(error) = write::put(path, picture.as_bytes()) {
                eprintln!("lintern: can't write {}: {error}", escape::terminal(&shown));
                return Exit::NotChecked;
            }
            print(&format!("Wrote {}: {} on {} paper.\n", escape::terminal(&shown), sheet.scale, sheet.paper.name()));
        }
    }
    for note in &sheet.notes {
        eprintln!("lintern: {}", escape::terminal(note));
    }
    if sheet.crowded > 0 {
        eprintln!("lintern: {} labels could not be kept clear of symbols or other labels", sheet.crowded);
    }
    Exit::Clean
}
