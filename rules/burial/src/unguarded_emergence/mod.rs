//! A cable that comes out of the ground without a guard.

use crate::circuit::Circuit;
use crate::edition::is_nec;
use crate::stretch;
use crate::table::LANDSCAPE_VOLTS;
use lintern_rule::compare::above;
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::plan::{Luminaire, Method, Placement, Riser, Run};
use lintern_rule::prelude::*;

/// Elements that a finding names.
const NAMED: usize = 20;

pub const RULE: Rule = Rule {
    id: "burial/unguarded-emergence",
    title: "A cable comes out of the ground without a guard",
    level: Level::Advice,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "300.5(D)(1)", Confirmed),
        Citation::nec(Code::Nec2020, "300.5(D)(1)", Confirmed),
        Citation::nec(Code::Nec2023, "300.5(D)(1)", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
    ],
    doc: include_str!("doc.md"),
    check,
};

/// Where a run comes out of the ground.
#[derive(Default)]
struct Emergence {
    /// Elements above the ground that a cable without a raceway leads to.
    at: Vec<String>,
    /// What would tell of others whether they are.
    missing: Vec<String>,
}

fn check(input: &Input, _: &Settings, report: &mut Report) {
    for (index, run) in input.runs().iter().enumerate() {
        let Emergence { at, missing } = emergence(input, run, index);
        match (at.is_empty(), run.riser) {
            (true, None | Some(Riser::None)) if !missing.is_empty() => report.undetermined(&run.id, missing),
            (true, _) => {}
            (false, Some(Riser::PvcConduit | Riser::RigidMetalConduit)) => report.checked(&run.id),
            (false, None) => report.undetermined(&run.id, ["`riser`"]),
            (false, Some(Riser::None)) => add_finding(input, report, run, &at),
        }
    }
}

/// The elements at which a run of bare cable comes out of the ground.
fn emergence(input: &Input, run: &Run, index: usize) -> Emergence {
    let ways = stretch::ways(input, index);
    let placed = ways.buried.iter().filter(|stretch| stretch.method() == Some(Method::DirectBurial));
    let mut nodes: Vec<NodeRef> = placed.flat_map(|stretch| stretch.nodes()).collect();
    if run.method == Some(Method::DirectBurial) {
        let pieces = &input.run_pieces()[index];
        let unplaced = run.segments.iter().zip(pieces).filter(|(_, pieces)| pieces.is_none());
        nodes.extend(unplaced.flat_map(|(segment, _)| [segment.start, segment.end]));
    }
    let mut found = Emergence::default();
    for node in nodes {
        match node {
            NodeRef::Output((supply, _)) => found.at.push(input.supplies()[supply as usize].id.clone()),
            NodeRef::Junction(junction) => {
                let junction = &input.junctions()[junction as usize];
                found.at.extend(junction.above_ground_box.map(|_| junction.id.clone()));
            }
            NodeRef::Luminaire(luminaire) => {
                let luminaire = &input.luminaires()[luminaire as usize];
                match is_above_ground(luminaire) {
                    Ok(true) => found.at.push(luminaire.id.clone()),
                    Ok(false) => {}
                    Err(missing) => found.missing.push(missing),
                }
            }
        }
    }
    for list in [&mut found.at, &mut found.missing] {
        list.sort_unstable();
        list.dedup();
    }
    found
}

/// Whether the cable shows on its way to a luminaire. That of a stake or a ground light comes up inside it.
fn is_above_ground(luminaire: &Luminaire) -> Result<bool, String> {
    match (luminaire.placement, &luminaire.mount_height) {
        (None, _) => Err(format!("`placement` of {}", luminaire.id)),
        (Some(Placement::Wall | Placement::Eave | Placement::Tree), _) => Ok(true),
        (Some(Placement::Surface), Some(height)) => Ok(height.metres > 0.0),
        (Some(Placement::Surface), None) => Err(format!("`mount-height` of {}", luminaire.id)),
        (Some(Placement::InGround | Placement::Stake | Placement::Step | Placement::Underwater), _) => Ok(false),
    }
}

fn add_finding(input: &Input, report: &mut Report, run: &Run, at: &[String]) {
    let code = input.project().code;
    // Column 5 of the table is not among those that 300.5(D)(1) names.
    let line_voltage =
        is_nec(input) == Some(true) && Circuit::of(input, run).volts.is_some_and(|volts| above(volts, LANDSCAPE_VOLTS));
    let (level, basis) = match (line_voltage, code) {
        (true, Some(Code::Nec2026)) => (Level::Reminder, RULE.basis(code)),
        (true, _) => (Level::Violation, RULE.basis(code)),
        (false, _) => (Level::Advice, Basis::PRACTICE),
    };
    let named = at.iter().take(NAMED).map(String::as_str).collect::<Vec<_>>().join(", ");
    let more = if at.len() > NAMED { format!(" and {} more", at.len() - NAMED) } else { String::new() };
    let help = if line_voltage {
        "guard it with a raceway from its least cover, 18 in (450 mm) down at most, to 8 ft (2.5 m) above the ground or to where it enters; the authority having jurisdiction decides"
    } else {
        "guard it with conduit from below the spade's reach up to the enclosure, out of the way of mowers and trimmers; the authority having jurisdiction decides"
    };
    report
        .finding(&run.id)
        .level(level)
        .basis(basis)
        .field("riser")
        .related(at.iter().take(NAMED).map(String::as_str))
        .message(format!("{} comes out of the ground without a guard at {named}{more}", run.id))
        .help(help)
        .add();
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;
    use lintern_rule::outcome::RuleResult;
    use lintern_rule::{GivenFacts, blank};

    /// A bare cable in open ground, without a guard, from luminaire to luminaire.
    fn judge(luminaires: Vec<Luminaire>) -> RuleResult {
        let mut run =
            Run { riser: Some(Riser::None), ..sample::chain(luminaires.len() as u32 - 1, Some(Method::DirectBurial)) };
        for (number, segment) in (0..).zip(&mut run.segments) {
            (segment.start, segment.end) = (NodeRef::Luminaire(number), NodeRef::Luminaire(number + 1));
        }
        let judged =
            GivenFacts { luminaires: vec![blank::luminaire_state(); luminaires.len()], ..GivenFacts::default() };
        let luminaire_types = vec![blank::luminaire_type("wash", 5.0)];
        sample::judge(&RULE, Given { luminaire_types, luminaires, judged, ..sample::plan(&[], true, run) })
    }

    /// What stands on the ground covers the end of its cable; what stands on a wall 4 in high shows it.
    #[test]
    fn a_surface_luminaire_on_the_ground_needs_no_guard() {
        let at = |metres| {
            let mount_height = Some(Length { value: metres * 100.0, unit: "cm".to_owned(), metres });
            let luminaire = blank::luminaire("L1", 0);
            let stake = Luminaire { placement: Some(Placement::Stake), ..blank::luminaire("L2", 0) };
            let surface = Luminaire { placement: Some(Placement::Surface), mount_height, ..luminaire };
            judge(vec![surface, stake]).findings.len()
        };
        assert_eq!((at(0.0), at(0.1)), (0, 1));
    }

    #[test]
    fn twenty_places_are_named_and_more_are_counted() {
        let message = |walls: usize| {
            let luminaires = (1..=walls).map(|number| Luminaire {
                placement: Some(Placement::Wall),
                ..blank::luminaire(&format!("L{number:02}"), 0)
            });
            judge(luminaires.collect()).findings.remove(0).message
        };
        assert!(message(20).ends_with(", L19, L20"), "{}", message(20));
        assert!(message(22).ends_with(", L19, L20 and 2 more"), "{}", message(22));
    }
}
