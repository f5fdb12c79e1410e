//! What several rules of this topic need: the code's family, the zones at an element, and how runs are laid where
//! they reach it.

use lintern_rule::compare::shown;
use lintern_rule::facts::Place;
use lintern_rule::plan::{Luminaire, LuminaireType, Method, Placement, Run, Zone, ZoneKind};
use lintern_rule::{Basis, Code, Input, NodeRef};

/// Whether a code is an edition of NFPA 70; `None` when the plan names no code.
pub fn is_nec(input: &Input) -> Option<bool> {
    input.project().code.map(|code| !matches!(code, Code::Iec60364 | Code::Bs7671))
}

/// Listed equipment is used as its listing and its instructions say: NFPA 70 110.3(B).
pub fn listing(code: Option<Code>) -> Basis {
    match code {
        Some(Code::Nec2017) => Basis::code("NFPA 70", "2017", "110.3(B)"),
        Some(Code::Nec2020) => Basis::code("NFPA 70", "2020", "110.3(B)"),
        Some(Code::Nec2023) => Basis::code("NFPA 70", "2023", "110.3(B)"),
        Some(Code::Nec2026) => Basis { section: None, ..Basis::code("NFPA 70", "2026", "") },
        Some(Code::Iec60364 | Code::Bs7671) | None => Basis::PRACTICE,
    }
}

/// A value with as many decimals as it takes to tell it from a limit, and no superfluous ones.
pub fn seen(value: f64, limit: f64) -> String {
    shown(value, limit).trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The luminaires that are let into the ground, with their index and type.
pub fn in_ground(input: &Input) -> impl Iterator<Item = (usize, &Luminaire, &LuminaireType)> {
    let luminaires = input.luminaires().iter().enumerate();
    luminaires
        .filter(|(_, luminaire)| luminaire.placement == Some(Placement::InGround))
        .map(move |(l, luminaire)| (l, luminaire, input.luminaire_type(luminaire)))
}

/// What to say of a luminaire whose placement decides whether a rule speaks of it.
pub fn missing_placement(luminaire: &Luminaire) -> [String; 1] {
    [format!("`placement` of {}", luminaire.id)]
}

/// The zones at a place.
pub fn zones<'a>(input: &'a Input, place: &'a Place) -> impl Iterator<Item = &'a Zone> {
    place.zones.iter().map(move |&zone| &input.zones()[zone as usize])
}

/// The first zone of one of these kinds at a place.
pub fn zone_of_kind<'a>(input: &'a Input, place: &'a Place, kinds: &[ZoneKind]) -> Option<&'a Zone> {
    zones(input, place).find(|zone| kinds.contains(&zone.kind))
}

/// Whether the plan has a zone of one of these kinds anywhere.
pub fn has_zone(input: &Input, kinds: &[ZoneKind]) -> bool {
    input.zones().iter().any(|zone| kinds.contains(&zone.kind))
}

/// How the runs that reach a node are laid there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Laying {
    /// No run reaches it.
    Unconnected,
    /// One at least lies in the ground, in a raceway or not.
    InTheGround,
    /// All lie open: on a surface or overhead.
    Open,
    /// The plan does not say: the methods that are missing.
    NotStated(Vec<String>),
}

/// The runs that reach each node, gathered once: plans have many of both.
pub struct Joined<'a> {
    input: &'a Input,
    junctions: Vec<Vec<usize>>,
    luminaires: Vec<Vec<usize>>,
}

impl<'a> Joined<'a> {
    pub fn new(input: &'a Input) -> Self {
        let mut junctions = vec![Vec::new(); input.junctions().len()];
        let mut luminaires = vec![Vec::new(); input.luminaires().len()];
        for (r, run) in input.runs().iter().enumerate() {
            for end in run.segments.iter().flat_map(|segment| [segment.start, segment.end]) {
                let runs: &mut Vec<usize> = match end {
                    NodeRef::Junction(junction) => &mut junctions[junction as usize],
                    NodeRef::Luminaire(luminaire) => &mut luminaires[luminaire as usize],
                    NodeRef::Output(_) => continue,
                };
                if runs.last() != Some(&r) {
                    runs.push(r);
                }
            }
        }
        Self { input, junctions, luminaires }
    }

    /// How the runs that reach a junction are laid there, exceptions by zone included.
    pub fn at_junction(&self, junction: usize) -> Laying {
        self.laying(&self.junctions[junction], self.input.junction_places()[junction].as_ref())
    }

    /// How the runs that reach a luminaire are laid there, exceptions by zone included.
    pub fn at_luminaire(&self, luminaire: usize) -> Laying {
        self.laying(&self.luminaires[luminaire], self.input.luminaire_places()[luminaire].as_ref())
    }

    fn laying(&self, runs: &[usize], place: Option<&Place>) -> Laying {
        let zones = place.map_or(&[][..], |place| &place.zones);
        let mut missing = Vec::new();
        let (mut open, mut buried) = (false, false);
        for &r in runs {
            let run = &self.input.runs()[r];
            let exception = self.input.exception(run, zones).and_then(|(_, entry)| entry.method);
            match exception.or(run.method) {
                None => missing.push(missing_method(run)),
                Some(method) if is_open(method) => open = true,
                Some(_) => buried = true,
            }
        }
        match (buried, missing.is_empty(), open) {
            (true, _, _) => Laying::InTheGround,
            (false, false, _) => Laying::NotStated(missing),
            (false, true, true) => Laying::Open,
            (false, true, false) => Laying::Unconnected,
        }
    }
}

/// The method of a run as a missing input.
pub fn missing_method(run: &Run) -> String {
    format!("`method` of {}", run.id)
}

/// Whether a method leaves the cable in the open.
pub fn is_open(method: Method) -> bool {
    matches!(method, Method::Surface | Method::Aerial)
}

#[cfg(test)]
mod tests {
    use super::*;
    use lintern_rule::plan::{Segment, ZoneCover};
    use lintern_rule::{Given, blank};

    /// A run between two nodes, laid by a method.
    fn run(id: &str, start: NodeRef, end: NodeRef, method: Option<Method>) -> Run {
        let segment = Segment { start, end, length_m: 1.0, path: Vec::new() };
        Run { segments: vec![segment], method, ..blank::run(id, 0) }
    }

    fn laying(runs: Vec<Run>, zones: Option<Vec<u32>>) -> Laying {
        let place = zones.map(|zones| Place { zones, water: Vec::new(), utilities: Vec::new() });
        let given = Given {
            junctions: vec![blank::junction("J1")],
            junction_places: vec![place],
            luminaires: vec![blank::luminaire("L1", 0)],
            luminaire_places: vec![None],
            runs,
            ..Given::default()
        };
        Joined::new(&given.into()).at_junction(0)
    }

    #[test]
    fn one_buried_run_puts_the_joint_in_the_ground() {
        let (j, l, s) = (NodeRef::Junction(0), NodeRef::Luminaire(0), NodeRef::Output((0, 0)));
        let surface = || run("R1", s, j, Some(Method::Surface));
        assert_eq!(laying(vec![surface()], None), Laying::Open);
        assert_eq!(laying(vec![surface(), run("R2", j, l, Some(Method::PvcConduit))], None), Laying::InTheGround);
        let unknown = || run("R2", j, l, None);
        assert_eq!(laying(vec![surface(), unknown()], None), Laying::NotStated(vec!["`method` of R2".to_owned()]));
        let buried = run("R1", s, j, Some(Method::DirectBurial));
        assert_eq!(laying(vec![buried, unknown()], None), Laying::InTheGround, "one is enough");
        assert_eq!(laying(vec![run("R1", s, l, Some(Method::DirectBurial))], None), Laying::Unconnected);
    }

    #[test]
    fn an_exception_counts_where_the_joint_lies_in_its_zone() {
        let cover =
            ZoneCover { zone: 0, cover: None, method: Some(Method::DirectBurial), concrete: None, backfill: None };
        let mut surface = run("R1", NodeRef::Output((0, 0)), NodeRef::Junction(0), Some(Method::Surface));
        surface.covers = vec![cover];
        assert_eq!(laying(vec![surface.clone()], Some(vec![0])), Laying::InTheGround);
        assert_eq!(laying(vec![surface.clone()], Some(vec![1])), Laying::Open);
        assert_eq!(laying(vec![surface], None), Laying::Open);
    }
}
