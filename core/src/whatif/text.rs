//! Makes each change in the text of the plan.

use super::{Change, step_text};
use crate::plan::edit::{Editor, Part, find, flow};
use crate::plan::scalar::{Id, RouteStep};
use crate::plan::yaml::{NodeId, Tree};
use crate::plan::{Loaded, parse_tree};

/// The text after all changes; `None` where the text has no place for one.
pub(super) fn write(loaded: &Loaded, changes: &[Change]) -> Option<String> {
    let mut tree = loaded.trees().first()?.clone();
    for change in changes {
        let text = one(loaded, &tree, change)?;
        tree = parse_tree(&loaded.file, &text)?;
    }
    Some(tree.text().to_owned())
}

fn one(loaded: &Loaded, tree: &Tree, change: &Change) -> Option<String> {
    let mut editor = Editor::new(tree);
    match change {
        Change::Cable { run, cable } => editor.set(element(tree, "runs", run)?, "cable", &cable.0),
        Change::CableType { name, like, conductor } => {
            let (from, node) = type_of(loaded, tree, "cables", like)?;
            let size = conductor.to_string();
            let parts = [
                Part::Is("conductor", &size),
                Part::Without("resistance"),
                Part::Without("resistance-at"),
                Part::Without("ampacity"),
                Part::Without("replaces"),
            ];
            add_type(tree, &mut editor, "cables", name, &flow(from, node, &parts));
        }
        Change::SupplyType { name, like, rating } => {
            let (from, node) = type_of(loaded, tree, "supplies", like)?;
            let rating = rating.to_string();
            let entry = flow(from, node, &[Part::Is("rating", &rating), Part::Without("replaces")]);
            add_type(tree, &mut editor, "supplies", name, &entry);
        }
        Change::End { run, last, node } => {
            let route = tree.get(element(tree, "runs", run)?, "route")?;
            let steps = tree.items(route);
            editor.replace(*if *last { steps.last() } else { steps.first() }?, step_text(node));
        }
        Change::Split { run, segments, new } => split(tree, &mut editor, run, *segments, Some(new))?,
        Change::Shorten { run, segments } => split(tree, &mut editor, run, *segments, None)?,
        Change::Remove { run } => {
            let (list, index) = place(tree, "runs", run)?;
            editor.remove_item(list, index);
        }
        Change::Route { run, route } => {
            let run = element(tree, "runs", run)?;
            editor.set(run, "route", &steps_text(route));
            editor.remove_entry(run, "length");
            editor.remove_entry(run, "lengths");
        }
        Change::Run { new, like, route, lengths_m } => {
            let (list, index) = place(tree, "runs", like)?;
            let route = steps_text(route);
            let lengths = lengths_m.as_ref().map(|m| lengths_text(m, like_unit(tree, tree.items(list)[index])));
            let mut parts = vec![
                Part::Is("id", &new.0),
                Part::Is("route", &route),
                Part::Without("length"),
                Part::Without("added-resistance"),
            ];
            parts.push(lengths.as_deref().map_or(Part::Without("lengths"), |text| Part::Is("lengths", text)));
            editor.add_item(list, index, &flow(tree, tree.items(list)[index], &parts));
        }
        Change::Covers { run, keep } => {
            let run = element(tree, "runs", run)?;
            let covers = tree.get(run, "covers")?;
            let kept: Vec<String> =
                keep.iter().map(|i| Some(flow(tree, *tree.items(covers).get(*i)?, &[]))).collect::<Option<_>>()?;
            match kept.is_empty() {
                true => editor.remove_entry(run, "covers"),
                false if kept.len() == tree.items(covers).len() => {}
                false => editor.replace(covers, format!("[{}]", kept.join(", "))),
            }
        }
        Change::Cover { run, entry } => {
            let run = element(tree, "runs", run)?;
            match tree.get(run, "covers") {
                Some(covers) => editor.add_item(covers, usize::MAX, entry),
                None => editor.set(run, "covers", &format!("[{entry}]")),
            }
        }
        Change::Supply { supply, kind } => editor.set(element(tree, "supplies", supply)?, "type", &kind.0),
        Change::SupplyBeside { new, like } => {
            let (list, index) = place(tree, "supplies", like)?;
            let item = flow(tree, tree.items(list)[index], &[Part::Is("id", &new.0)]);
            editor.add_item(list, tree.items(list).len(), &item);
        }
        Change::Value { element: id, field, value } => {
            let steps: Vec<&str> = field.split('.').collect();
            let (key, way) = steps.split_last()?;
            let start =
                ["supplies", "junctions", "luminaires", "runs"].iter().find_map(|list| element(tree, list, id))?;
            editor.set(find(tree, start, way)?, key, value);
        }
    }
    editor.finish()
}

/// The list of a kind of element, and the index of one of them.
fn place(tree: &Tree, list: &str, id: &Id) -> Option<(NodeId, usize)> {
    let list = tree.get(tree.root(), list)?;
    let is = |item: &NodeId| tree.get(*item, "id").is_some_and(|node| tree.scalar(node) == id.0);
    Some((list, tree.items(list).iter().position(is)?))
}

fn element(tree: &Tree, list: &str, id: &Id) -> Option<NodeId> {
    let (list, index) = place(tree, list, id)?;
    tree.items(list).get(index).copied()
}

/// The entry of a type, in the plan as it is now or in a shared schedule.
fn type_of<'t>(loaded: &'t Loaded, now: &'t Tree, table: &str, name: &Id) -> Option<(&'t Tree, NodeId)> {
    let trees = std::iter::once(now).chain(loaded.trees().iter().skip(1));
    trees.into_iter().find_map(|tree| Some((tree, find(tree, tree.root(), &["schedule", table, &name.0])?)))
}

/// Adds a type to the plan's own schedule, which it may not have yet.
fn add_type(tree: &Tree, editor: &mut Editor<'_>, table: &str, name: &Id, entry: &str) {
    let filled = |node: &NodeId| !tree.entries(*node).is_empty();
    let schedule = tree.get(tree.root(), "schedule").filter(filled);
    match (schedule, schedule.and_then(|schedule| tree.get(schedule, table)).filter(filled)) {
        (_, Some(types)) => editor.add_entry(types, &name.0, entry),
        (Some(schedule), None) => editor.set(schedule, table, &format!("{{ {name}: {entry} }}")),
        (None, None) => editor.set(tree.root(), "schedule", &format!("{{ {table}: {{ {name}: {entry} }} }}")),
    }
}

/// Leaves the first segments with a run; the others go to a new one behind it, or away.
fn split(tree: &Tree, editor: &mut Editor<'_>, run: &Id, segments: usize, new: Option<&Id>) -> Option<()> {
    let (list, index) = place(tree, "runs", run)?;
    let item = *tree.items(list).get(index)?;
    let route = tree.get(item, "route")?;
    let steps = tree.items(route);
    let is_node = |step: &&NodeId| tree.items(**step).is_empty();
    // The node in which the first part ends is the first of the second part.
    let last = *steps.iter().filter(is_node).nth(segments)?;
    let at = steps.iter().position(|step| *step == last)?;
    let listed = |nodes: &[NodeId]| {
        let items: Vec<String> = nodes.iter().map(|node| flow(tree, *node, &[])).collect();
        format!("[{}]", items.join(", "))
    };
    if at == 0 || at + 1 >= steps.len() {
        return None;
    }
    editor.truncate(route, at + 1);
    let lengths = tree.get(item, "lengths");
    let stated = lengths.map_or(&[][..], |lengths| tree.items(lengths));
    if let Some(lengths) = lengths {
        editor.truncate(lengths, segments);
    }
    if let Some(new) = new {
        let (route, lengths) = (listed(&steps[at..]), listed(stated.get(segments.min(stated.len())..)?));
        let mut parts = vec![Part::Is("id", &new.0), Part::Is("route", &route)];
        if !stated.is_empty() {
            parts.push(Part::Is("lengths", &lengths));
        }
        editor.add_item(list, index, &flow(tree, item, &parts));
    }
    Some(())
}

fn steps_text(route: &[RouteStep]) -> String {
    let steps: Vec<String> = route.iter().map(step_text).collect();
    format!("[{}]", steps.join(", "))
}

/// The unit of length that a run uses: that of its stated lengths, else metres.
fn like_unit(tree: &Tree, run: NodeId) -> &'static str {
    let first = tree.get(run, "lengths").and_then(|l| tree.items(l).first().copied());
    let stated = first.or_else(|| tree.get(run, "length")).or_else(|| tree.get(run, "cover"));
    let text = stated.map_or("", |node| tree.scalar(node));
    if text.ends_with("ft") || text.ends_with("in") { "ft" } else { "m" }
}

/// Lengths as they are written. Each is rounded up to a hundredth, so that no cable comes out too short.
fn lengths_text(lengths_m: &[f64], unit: &str) -> String {
    let per_m = if unit == "ft" { crate::plan::quantity::METRES_PER_FOOT.recip() } else { 1.0 };
    let items: Vec<String> = lengths_m
        .iter()
        .map(|m| {
            let hundredths = m * per_m * 100.0;
            // A length that was written in hundredths comes back as such, in spite of its way through metres.
            let near = hundredths.round();
            let hundredths = if (hundredths - near).abs() < 1e-6 { near } else { hundredths.ceil() };
            format!("{} {unit}", hundredths / 100.0)
        })
        .collect();
    format!("[{}]", items.join(", "))
}
