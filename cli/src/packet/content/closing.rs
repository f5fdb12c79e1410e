//! The end: what was accepted and assumed, the cautions, and what the packet rests on.

use super::super::words::said;
use super::super::{Block, Section, Source, Table};
use super::part;

pub fn accepted(source: &Source<'_>) -> Section {
    let mut waivers =
        Table::new("Waivers of the plan", &["Rule", "Element", "Reason", "Accepted by, as stated", "On", "Until"]);
    for waiver in &source.loaded.waivers {
        waivers.row(
            [
                waiver.rule.clone(),
                if waiver.subject.is_empty() { "the plan".to_owned() } else { waiver.subject.clone() },
                said(waiver.reason.as_ref()),
                said(waiver.approved_by.as_ref()),
                said(waiver.on),
                said(waiver.until),
            ],
            false,
        );
    }
    let assumptions = match source.plan.assumptions.is_empty() {
        true => Block::Text("Nothing had to be assumed.".to_owned()),
        false => Block::List(source.plan.assumptions.iter().map(|a| format!("Assumed: {a}")).collect()),
    };
    part("accepted", "Waivers and assumptions", vec![waivers.or("The plan waives nothing."), assumptions])
}

pub fn cautions(source: &Source<'_>) -> Section {
    let cautions = [
        source.document.caution.as_str(),
        "This packet is made from the plan. What is built can differ.",
        "Work on the line side of a supply is for licensed people where the law asks for them. Near pools and fountains \
         a mistake can kill: have that part inspected.",
        "Cited sections are pointers for readers of the code, not its text; the adopted edition with its local \
         amendments governs.",
    ];
    let mut rests = vec![
        ("Program".to_owned(), format!("lintern {}", source.document.tool.version)),
        ("As of".to_owned(), source.document.as_of.clone()),
        (source.plan.path(), format!("sha256 {}", source.plan.sha256)),
    ];
    rests.extend(source.plan.schedules.iter().map(|file| (file.file.clone(), format!("sha256 {}", file.sha256))));
    for repository in &source.document.seal.repositories {
        if let Some(digest) = &repository.configuration {
            rests.push(("lintern.yaml".to_owned(), format!("sha256 {digest}")));
        }
        for part in repository.packs.iter().chain(&repository.files) {
            rests.push((part.name.clone(), format!("sha256 {}", part.sha256)));
        }
    }
    for module in source.document.seal.modules.iter().chain(&source.document.seal.packs) {
        rests.push((format!("rules: {}", module.name), format!("sha256 {}", module.sha256)));
    }
    let cautions = cautions.into_iter().map(str::to_owned).collect();
    part("cautions", "Cautions, and what this rests on", vec![Block::List(cautions), Block::Facts(rests)])
}
