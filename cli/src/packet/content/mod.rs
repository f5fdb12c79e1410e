//! What stands in a packet, one file a part.

mod closing;
mod electrical;
mod findings;
mod ground;
mod schedules;
mod site;
mod summary;
mod water;

use super::{Packet, Section, Source};
use crate::drawing::paper::Paper;

/// Puts a packet together; `paper` is that of the site drawing.
pub fn packet(source: &Source<'_>, paper: Option<Paper>) -> Packet {
    let sections = vec![
        summary::section(source),
        site::section(source, paper),
        findings::section(source),
        findings::verdicts(source),
        closing::accepted(source),
        schedules::section(source),
        electrical::diagrams(source),
        electrical::voltages(source),
        electrical::loading(source),
        ground::cover(source),
        water::section(source),
        ground::digging(source),
        closing::cautions(source),
    ];
    Packet {
        title: title(source),
        foot: format!(
            "{}, sha256 {}…; lintern {}; as of {}",
            source.plan.file,
            source.plan.sha256.get(..12).unwrap_or_default(),
            source.document.tool.version,
            source.document.as_of
        ),
        as_of: source.document.as_of.clone(),
        sections: sections.into_iter().filter(|section| !section.blocks.is_empty()).collect(),
    }
}

/// The name of the job, else its file.
pub fn title(source: &Source<'_>) -> String {
    source.layout.project.name.clone().unwrap_or_else(|| source.plan.file.clone())
}

fn part(id: &'static str, title: &'static str, blocks: Vec<super::Block>) -> Section {
    Section { id, title, blocks }
}
