//! The site drawing.

use super::super::{Block, Section, Source};
use super::part;
use crate::drawing::paper::Paper;
use crate::drawing::site::{View, sheet};

pub fn section(source: &Source<'_>, paper: Option<Paper>) -> Section {
    let view = view(source);
    let Some(sheet) = sheet(&view, paper) else {
        let nothing = "There is no site drawing: the plan gives no place to anything (`at`, `outline`, `path`).";
        return part("site", "Site drawing", vec![Block::Text(nothing.to_owned())]);
    };
    let mut notes = vec![format!(
        "Scale {} where it is printed on {} paper without fitting to the page; the bar holds at any size. \
         Buried lines are where the plan says they are: dig by the marks on the ground, never by this drawing.",
        sheet.scale,
        sheet.paper.name()
    )];
    notes.extend(sheet.notes);
    if sheet.crowded > 0 {
        notes.push(format!("{} labels could not be kept clear of symbols or other labels.", sheet.crowded));
    }
    part("site", "Site drawing", vec![Block::List(notes), Block::Drawing(Box::new(sheet.drawing))])
}

/// What is drawn of a plan.
pub fn view<'a>(source: &'a Source<'_>) -> View<'a> {
    let project = &source.layout.project;
    let of = |name: &str, value: &Option<String>| value.as_ref().map(|value| format!("{name}{value}"));
    let parties = [of("designer: ", &project.designer), of("authority: ", &project.authority)];
    let code = project.code.map(|code| format!("code: {code}"));
    let second = parties.into_iter().flatten().chain(code).collect::<Vec<_>>().join(";  ");
    let third = format!(
        "{}, sha256 {}…;  lintern {};  as of {}",
        source.plan.file,
        source.plan.sha256.get(..12).unwrap_or_default(),
        source.document.tool.version,
        source.document.as_of
    );
    View::new(source.layout, &source.places, &source.marks, vec![super::title(source), second, third])
}
