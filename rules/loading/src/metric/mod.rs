//! Current-carrying capacities of metric copper cables with two loaded conductors, by how they are laid:
//! IEC 60364-5-52 Annex B and BS 7671 Appendix 4.
//!
//! The tables know the ground at 20 °C with a resistivity of 2.5 K·m/W and the air at 30 °C, one circuit alone. No
//! correction for another temperature, depth or soil and none for cables side by side is made: findings say so.

mod table;

use lintern_rule::plan::{CableKind, CableType, Conductor, Method, Run, Stranding};
use lintern_rule::prelude::*;
use table::{BS_ARMOURED_PVC, BS_ARMOURED_XLPE, BS_PVC, BS_XLPE, IEC_PVC, IEC_XLPE, Laid};

/// Temperature of PVC insulation (thermoplastic), °C.
const PVC_DEGC: f64 = 70.0;
/// Temperature of XLPE and EPR insulation (thermosetting), °C.
const XLPE_DEGC: f64 = 90.0;

/// What a conductor may carry as far as the plan tells: `at_least_a` in any case, and never more than `at_most_a`.
pub struct Capacity {
    pub at_least_a: f64,
    /// `None` where the table has no such value.
    pub at_most_a: Option<f64>,
    /// Where `at_most_a` stands.
    pub source: String,
    /// What is missing to say which it is between the two.
    pub open: Vec<String>,
}

/// What one conductor of a run may carry by the tables of IEC 60364 or BS 7671; else the inputs that are missing.
pub fn capacity(run: &Run, cable: &CableType, code: Code) -> Result<Capacity, Vec<String>> {
    let ampacity = || vec![format!("`ampacity` of cable type `{}`", cable.name)];
    let bs_7671 = code == Code::Bs7671;
    let (Some(Conductor::SquareMm(square_mm)), 1) = (cable.conductor, cable.parallel) else { return Err(ampacity()) };
    // Fine strands and flexible cables have tables of their own.
    if cable.stranding == Stranding::IecClass5 {
        return Err(ampacity());
    }
    let (pvc, xlpe) = match (cable.kind, bs_7671) {
        (
            None | Some(CableKind::Nyy | CableKind::LowVoltageLandscape | CableKind::Armoured | CableKind::Other),
            false,
        ) => (&IEC_PVC, &IEC_XLPE),
        (None, true) => return Err(vec![format!("`kind` of cable type `{}`", cable.name)]),
        (Some(CableKind::Armoured), true) => (&BS_ARMOURED_PVC, &BS_ARMOURED_XLPE),
        (Some(CableKind::Nyy | CableKind::LowVoltageLandscape | CableKind::Other), true) => (&BS_PVC, &BS_XLPE),
        // Flexible cables, single conductors and types of NFPA 70.
        (Some(_), _) => return Err(ampacity()),
    };
    // Type NYY is insulated with PVC.
    let insulation_degc = match (cable.insulation_degc, cable.kind) {
        (Some(degc), _) => degc,
        (None, Some(CableKind::Nyy)) => PVC_DEGC,
        (None, _) => return Err(vec![format!("`insulation` of cable type `{}`", cable.name)]),
    };
    if insulation_degc < PVC_DEGC {
        return Err(ampacity());
    }
    let hot = insulation_degc >= XLPE_DEGC;
    let table = if hot { xlpe } else { pvc };
    let mut open = Vec::new();
    if hot {
        // Luminaires and supplies rarely have terminals for 90 degC; then the values for 70 degC hold.
        open.push(format!("the temperature that the terminals of {} are made for", run.id));
    }
    let mut capacity = Capacity { at_least_a: f64::INFINITY, at_most_a: None, source: String::new(), open };
    let mut governing: Option<(f64, Laid)> = None;
    let mut all_known = true;
    for ways in ways(run, &mut capacity.open) {
        for laid in &ways {
            let missing = || if ways.len() > 1 { std::mem::take(&mut capacity.open) } else { ampacity() };
            let amps = pvc.amps(square_mm, *laid).ok_or_else(missing)?;
            capacity.at_least_a = capacity.at_least_a.min(amps);
        }
        let most = ways.iter().map(|laid| table.amps(square_mm, *laid).map(|amps| (amps, *laid)));
        match most.collect::<Option<Vec<_>>>().and_then(|most| most.into_iter().max_by(|a, b| a.0.total_cmp(&b.0))) {
            // The part of the run that is laid worst governs.
            Some(most) if governing.is_none_or(|(least, _)| most.0 < least) => governing = Some(most),
            Some(_) => {}
            None => all_known = false,
        }
    }
    if let (Some((amps, laid)), true) = (governing, all_known) {
        capacity.at_most_a = Some(amps);
        capacity.source = table.source(laid, bs_7671);
    } else {
        capacity.open = ampacity();
    }
    Ok(capacity)
}

/// For each part of a run, the ways in which it may be laid as far as the plan tells; what would tell is added to
/// `open`.
fn ways(run: &Run, open: &mut Vec<String>) -> Vec<Vec<Laid>> {
    let main = std::iter::once((run.method, run.cover.is_some()));
    let exceptions = run.covers.iter().filter(|exception| exception.method.is_some());
    let exceptions = exceptions.map(|part| (part.method, part.cover.is_some() || run.cover.is_some()));
    let mut parts = Vec::new();
    for (method, buried) in main.chain(exceptions) {
        parts.push(match method {
            Some(Method::DirectBurial) => vec![Laid::Ground],
            Some(Method::PvcConduit | Method::RigidMetalConduit) if buried => vec![Laid::Duct],
            Some(Method::PvcConduit | Method::RigidMetalConduit) => {
                open.push(format!("`cover` of {}: whether the conduit lies in the ground", run.id));
                vec![Laid::Conduit, Laid::Duct]
            }
            Some(Method::Surface) => vec![Laid::Surface],
            Some(Method::Aerial) => vec![Laid::Air],
            None => {
                open.push(format!("`method` of {}", run.id));
                vec![Laid::Conduit, Laid::Surface, Laid::Duct, Laid::Ground, Laid::Air]
            }
        });
    }
    parts
}

#[cfg(test)]
mod tests {
    use super::*;
    use lintern_rule::blank;
    use lintern_rule::plan::ZoneCover;

    #[test]
    fn what_the_plan_leaves_open_makes_a_range() {
        let nyy = nyy(2.5);
        let of = |method, cable: &CableType| {
            let run = Run { method, ..blank::run("R1", 0) };
            capacity(&run, cable, Code::Iec60364).map(|found| (found.at_least_a, found.at_most_a, found.open))
        };
        assert_eq!(of(Some(Method::DirectBurial), &nyy), Ok((28.0, Some(28.0), vec![])));
        assert_eq!(of(None, &nyy), Ok((23.0, Some(30.0), vec!["`method` of R1".to_owned()])));
        let (least, most, open) = of(Some(Method::PvcConduit), &nyy).unwrap();
        assert_eq!((least, most, open.len()), (23.0, Some(29.0), 1));
        let hot = CableType { insulation_degc: Some(90.0), ..nyy.clone() };
        let (least, most, open) = of(Some(Method::DirectBurial), &hot).unwrap();
        assert_eq!((least, most, open.len()), (28.0, Some(35.0), 1));
        let thin = CableType { conductor: Some(Conductor::SquareMm(1.0)), ..nyy };
        assert_eq!(of(Some(Method::DirectBurial), &thin), Err(vec!["`ampacity` of cable type `nyy`".to_owned()]));
    }

    fn nyy(square_mm: f64) -> CableType {
        CableType {
            conductor: Some(Conductor::SquareMm(square_mm)),
            stranding: Stranding::IecClass2,
            kind: Some(CableKind::Nyy),
            ..blank::cable_type("nyy")
        }
    }

    fn laid(method: Option<Method>) -> ZoneCover {
        ZoneCover { zone: 0, cover: None, method, concrete: None, backfill: None }
    }

    /// Table B.52.2, 2.5 mm²: 27 A on a surface (C), 29 A in a duct (D1), 28 A in the ground (D2).
    #[test]
    fn the_part_that_is_laid_worst_governs() {
        let cover = Length { value: 600.0, unit: "mm".to_owned(), metres: 0.6 };
        let of = |main, part, cover| {
            let run = Run { method: Some(main), cover, covers: vec![laid(Some(part))], ..blank::run("R1", 0) };
            capacity(&run, &nyy(2.5), Code::Iec60364).map(|found| (found.at_least_a, found.at_most_a, found.open))
        };
        assert_eq!(of(Method::Surface, Method::DirectBurial, None), Ok((27.0, Some(27.0), vec![])));
        assert_eq!(of(Method::DirectBurial, Method::Surface, None), Ok((27.0, Some(27.0), vec![])));
        // The cover of the run says that its conduit under the drive lies in the ground too.
        assert_eq!(of(Method::DirectBurial, Method::PvcConduit, Some(cover)), Ok((28.0, Some(28.0), vec![])));
    }

    /// BS 7671 has no column for a cable without armour in the ground: where it may lie there, its method is asked for.
    #[test]
    fn what_decides_whether_the_table_has_a_value_is_asked_for() {
        let of = |method| {
            let run = Run { method, ..blank::run("R1", 0) };
            capacity(&run, &nyy(2.5), Code::Bs7671).map(|found| found.at_most_a)
        };
        assert_eq!(of(None), Err(vec!["`method` of R1".to_owned()]));
        assert_eq!(of(Some(Method::DirectBurial)), Err(vec!["`ampacity` of cable type `nyy`".to_owned()]));
        assert_eq!(of(Some(Method::Surface)), Ok(Some(27.0)));
    }
}
