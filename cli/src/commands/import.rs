//! `lintern import geojson` and `lintern import csv`: into a new plan, or into one that is there.

use super::{Exit, plain_style, print, stop, style, write};
use crate::args::{Import, ImportCsv, ImportGeojson, Target};
use crate::output::{escape, import as told, terminal};
use crate::survey::collect::{Refused, Wanted, collect, statement};
use crate::survey::{Brought, MOST_BYTES, Remark, ground::Ground, schedule};
use lintern_core::layout::{Layout, Origin};
use lintern_core::plan::additions::{Additions, NewElement, add, flow_text};
use lintern_core::plan::model::Grid;
use lintern_core::plan::{Loaded, load_text, read_plain};
use lintern_core::repository::Repository;
use std::path::{Path, PathBuf};

pub fn run(args: &Import) -> Exit {
    let done = match args {
        Import::Geojson(args) => geojson(args),
        Import::Csv(args) => csv(args),
    };
    done.unwrap_or_else(|exit| exit)
}

/// The plan that is added to.
struct Base {
    repository: Repository,
    /// Where the plan stands, or will stand.
    path: PathBuf,
    loaded: Loaded,
    is_new: bool,
}

impl Base {
    fn of(target: &Target) -> Result<Self, Exit> {
        if let Some(plan) = &target.into {
            if !target.schedules.is_empty() {
                return Err(stop("`--use` is for new plans: name the schedule in the `use` of the plan itself"));
            }
            let (repository, loaded) = super::plan(plan)?;
            return Ok(Self { repository, path: plan.clone(), loaded, is_new: false });
        }
        let path = target.output.clone().unwrap_or_else(|| PathBuf::from("plan.yaml"));
        if target.output.is_some() && path.symlink_metadata().is_ok() {
            return Err(stop(&format!(
                "{} exists already, and is left as it is; `--into` adds to a plan",
                path.display()
            )));
        }
        let repository = super::repository(write::folder(&path))?;
        let path = std::path::absolute(&path).unwrap_or(path);
        let mut text = "plan: 1\n".to_owned();
        if !target.schedules.is_empty() {
            let schedules: Vec<String> = target.schedules.iter().map(|schedule| flow_text(schedule)).collect();
            text.push_str(&format!("use: [{}]\n", schedules.join(", ")));
        }
        let loaded = load_text(&repository, &path, text.as_bytes());
        if loaded.layout.is_none() {
            eprint!("{}", terminal::diagnostics(&loaded.diagnostics, &loaded.sources, style()));
            return Err(Exit::NotChecked);
        }
        Ok(Self { repository, path, loaded, is_new: true })
    }

    fn layout(&self) -> Result<&Layout, Exit> {
        self.loaded.layout.as_ref().ok_or(Exit::NotChecked)
    }

    /// Every id of the plan.
    fn ids(&self) -> Vec<String> {
        let Some(layout) = &self.loaded.layout else { return Vec::new() };
        let nodes = layout.supplies.iter().map(|e| &e.id).chain(layout.junctions.iter().map(|e| &e.id));
        let nodes = nodes.chain(layout.luminaires.iter().map(|e| &e.id)).chain(layout.runs.iter().map(|e| &e.id));
        let site = layout.zones.iter().map(|e| &e.id).chain(layout.utilities.iter().map(|e| &e.id));
        nodes.chain(site).map(|id| id.0.clone()).collect()
    }
}

fn geojson(args: &ImportGeojson) -> Result<Exit, Exit> {
    let text = read(&args.survey)?;
    let base = Base::of(&args.target)?;
    let layout = base.layout()?;
    let grid = match (layout.grid, args.grid.map(Grid::from)) {
        (Some(own), Some(other)) if own != other => {
            return Err(stop(&format!("the grid of {} is in {own}: leave `--grid` out", base.path.display())));
        }
        (own, other) => own.or(other).unwrap_or(Grid::Ft),
    };
    let origin = origin(&base, args.origin.map(|origin| origin.0))?;
    let schema = lintern_core::plan::schema();
    let name = file_name(&args.survey);
    let wanted = Wanted {
        schema: &schema,
        words: args.words(),
        origin,
        north_rad: layout.north.map_or(0.0, |north| north.si()),
        grid,
        luminaire_type: args.luminaire_type.as_deref(),
        taken: base.ids(),
    };
    let (mut brought, ground) = match collect(&name, &text, wanted) {
        Ok(collected) => collected,
        Err(Refused::File(problem)) => {
            let problems = std::slice::from_ref(&problem.diagnostic);
            eprint!("{}", terminal::diagnostics(problems, &problem.sources, style()));
            return Err(Exit::NotChecked);
        }
        Err(Refused::Ground(reason)) => return Err(stop(&reason)),
    };
    let mut site = Vec::new();
    if layout.grid.is_none() {
        site.push(("grid".to_owned(), grid.to_string()));
    }
    if layout.origin.is_none() {
        let Origin { latitude_deg, longitude_deg } = ground.origin;
        site.push(("origin".to_owned(), format!("{{ latitude: {latitude_deg}, longitude: {longitude_deg} }}")));
    }
    if layout.north.is_none() {
        brought.notes.push("the grid's upward axis points to true north: the plan has no `site.north`".to_owned());
    }
    let header = comments(&name, Some(&ground));
    finish(&args.target, &base, site, Vec::new(), brought, &header)
}

/// The place of [0, 0] where it is known: of the plan, of the command line, or none where the plan has no places yet.
fn origin(base: &Base, other: Option<Origin>) -> Result<Option<Origin>, Exit> {
    let layout = base.layout()?;
    match (layout.origin, other) {
        (Some(own), Some(other)) if own != other => {
            Err(stop(&format!("{} states another `site.origin` already: leave `--origin` out", base.path.display())))
        }
        (None, None) if has_places(layout) => Err(stop(&format!(
            "{} has places, and does not say where its [0, 0] is on the earth: state `site.origin`, or give `--origin LATITUDE,LONGITUDE`",
            base.path.display()
        ))),
        (own, other) => Ok(own.or(other)),
    }
}

fn has_places(layout: &Layout) -> bool {
    !layout.zones.is_empty()
        || !layout.utilities.is_empty()
        || layout.supplies.iter().any(|element| element.at.is_some())
        || layout.junctions.iter().any(|element| element.at.is_some())
        || layout.luminaires.iter().any(|element| element.at.is_some())
        || layout.runs.iter().any(|run| run.segments.iter().any(|segment| !segment.path.is_empty()))
}

fn csv(args: &ImportCsv) -> Result<Exit, Exit> {
    let text = read(&args.schedule)?;
    let base = Base::of(&args.target)?;
    let name = file_name(&args.schedule);
    let schedule = schedule::read(&text, &base.loaded, &base.repository, &base.path, base.ids())
        .map_err(|reason| stop(&format!("{}: {reason}", args.schedule.display())))?;
    let mut brought = schedule.brought;
    if !brought.elements.is_empty() {
        brought.notes.push("luminaires of a schedule have no place yet: give each its `at`".to_owned());
    }
    finish(&args.target, &base, Vec::new(), schedule.types, brought, &comments(&name, None))
}

/// Puts what was brought into the plan, writes it, and tells what came of it.
fn finish(
    target: &Target,
    base: &Base,
    site: Vec<(String, String)>,
    luminaire_types: Vec<(String, String)>,
    mut brought: Brought,
    header: &[String],
) -> Result<Exit, Exit> {
    let types = luminaire_types.len();
    let elements: Vec<NewElement> = brought.elements.iter().map(|(_, element)| element.clone()).collect();
    let additions = Additions { site, luminaire_types, elements };
    let added = add(&base.repository, &base.path, &base.loaded, &additions).map_err(|loaded| refuse(base, &loaded))?;
    let mut spare = Vec::new();
    for (index, problem) in &added.refused {
        let Some((origin, element)) = brought.elements.get(*index).cloned() else { continue };
        let help = problem.help.as_ref().map_or_else(String::new, |help| format!("; {help}"));
        let message = one_line(&format!("{}{help}", problem.message));
        spare.push(format!("  - {}", element.text()));
        brought
            .left_out
            .push(Remark { origin, text: format!("{} `{}`: {message}", element.kind.phrase(), element.id) });
    }
    let gone: Vec<usize> = added.refused.iter().map(|(index, _)| *index).collect();
    let mut index = 0;
    brought.elements.retain(|_| {
        index += 1;
        !gone.contains(&(index - 1))
    });
    brought.left_out.sort();
    let text = with_comments(&added.text, header, &spare, base.is_new);
    let last = load_text(&base.repository, &base.path, text.as_bytes());
    if last.layout.is_none() {
        return Err(refuse(base, &last));
    }
    let report = told::report(&brought, types, header);
    let written = match (&target.into, &target.output) {
        (Some(plan), _) => write::over(plan, text.as_bytes()).map(|()| Some(plan)),
        (None, Some(plan)) => write::new(plan, &text).map(|()| Some(plan)),
        (None, None) => Ok(None),
    };
    match written {
        Ok(Some(plan)) => print(&escape::terminal(&format!("Wrote {}.\n{report}", plan.display()))),
        Ok(None) => {
            print(&text);
            eprint!("{}", escape::terminal(&report));
        }
        Err(error) => return Err(stop(&format!("the plan can't be written: {error}"))),
    }
    Ok(if brought.left_out.is_empty() { Exit::Clean } else { Exit::Found })
}

/// Says why nothing is written.
fn refuse(base: &Base, loaded: &Loaded) -> Exit {
    eprint!("{}", terminal::diagnostics(&loaded.diagnostics, &loaded.sources, plain_style()));
    stop(&format!("nothing is written: {} could not be read with it", base.path.display()))
}

/// What is said of the import in the plan.
fn comments(name: &str, ground: Option<&Ground>) -> Vec<String> {
    let mut lines = vec![format!("Taken from {name}. See that it is what is on the ground.")];
    lines.extend(ground.into_iter().flat_map(statement));
    lines
}

/// The plan with its comments: at the top of a new one, at the end of one that is there.
fn with_comments(plan: &str, header: &[String], spare: &[String], is_new: bool) -> String {
    let comment = |line: &String| format!("# {line}\n");
    let header: String = header.iter().map(comment).collect();
    let mut text = if is_new { format!("{header}{plan}") } else { plan.to_owned() };
    let newline = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let mut end = if is_new { String::new() } else { header };
    if !spare.is_empty() {
        end.push_str("# Left out, because the plan could not be read with it; the output of the import says why:\n");
        end.extend(spare.iter().map(comment));
    }
    if !end.is_empty() && !text.ends_with('\n') {
        text.push_str(newline);
    }
    text.push_str(&end.replace('\n', newline));
    text
}

fn read(path: &Path) -> Result<String, Exit> {
    let wrong = |reason: String| stop(&format!("can't read {}: {reason}", path.display()));
    let bytes = read_plain(path, MOST_BYTES).map_err(|error| wrong(error.to_string()))?;
    String::from_utf8(bytes).map_err(|error| {
        let bytes = error.as_bytes();
        let valid = bytes.get(..error.utf8_error().valid_up_to()).unwrap_or_default();
        let line = valid.iter().filter(|byte| **byte == b'\n').count() + 1;
        wrong(format!("line {line} is not UTF-8; save it as UTF-8"))
    })
}

/// The name of a file, as a comment can hold it.
fn file_name(path: &Path) -> String {
    one_line(&path.file_name().unwrap_or_default().to_string_lossy())
}

/// Text on one line, without signs that are not to be seen.
fn one_line(text: &str) -> String {
    escape::terminal(&text.replace(['\n', '\r', '\t'], " ")).replace(['\u{85}', '\u{2028}', '\u{2029}'], " ")
}
