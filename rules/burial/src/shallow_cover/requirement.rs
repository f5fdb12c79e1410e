//! What NFPA 70 asks of the cover of one stretch, with what the plan leaves open tried both ways.

use crate::circuit::Circuit;
use crate::fitness::{self, Fitness};
use crate::stretch::{Stretch, has_vehicles};
use crate::table::{self, Both, Column, Location, System};
use lintern_rule::compare::{above, below};
use lintern_rule::plan::{Listing, Method, Occupancy, Run, Soil, Zone, ZoneKind};
use lintern_rule::{Input, Length};

/// Something that the requirement depends on, and that a plan may leave open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Question {
    /// Not more than 30 V.
    LowVoltage,
    /// The cable is made for the ground.
    Identified,
    /// The drive is that of a one- or two-family dwelling.
    Dwelling,
    /// The slab has a row of its own.
    Slab,
    /// The supply is of a listed low-voltage lighting system.
    Listed,
}

const QUESTIONS: [Question; 5] =
    [Question::LowVoltage, Question::Identified, Question::Dwelling, Question::Slab, Question::Listed];

/// The answers to all questions, one bit each.
#[derive(Debug, Clone, Copy)]
struct Answers(u8);

impl Answers {
    fn is(self, question: Question) -> bool {
        self.0 >> question as u8 & 1 == 1
    }

    fn turned(self, question: Question) -> Self {
        Self(self.0 ^ 1 << question as u8)
    }
}

/// A requirement of the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Need {
    pub cover: Both,
    pub location: Location,
    pub column: Column,
}

/// What lets a cover be less than the table has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reliance {
    /// Footnote a: the instructions of the listed low-voltage lighting system.
    Instructions,
    /// Note 5: raceway under concrete that goes down to solid rock.
    Rock,
}

/// What the table says of a stretch.
#[derive(Debug, Clone, PartialEq)]
pub enum Judgement {
    /// The table has no cover for it: it is another rule's matter.
    Elsewhere,
    Enough(Need),
    /// Less than the table has, by what allows that.
    Relying(Need, Reliance),
    Short(Need),
    /// Less than even the instructions allow.
    BelowInstructions(Need),
    /// The inputs that would tell.
    Open(Vec<String>),
}

/// An answer, or the inputs that are missing for it.
type Answer = Result<bool, Vec<String>>;

/// What is known of a run as a whole.
pub struct RunAnswers {
    low_voltage: Answer,
    /// Whether its cable is identified for the ground.
    identified: Answer,
    dwelling: Answer,
    listed: Answer,
    rock: bool,
}

impl RunAnswers {
    /// What the plan says of a run.
    pub fn of(input: &Input, circuit: &Circuit, run: &Run) -> Self {
        let low_voltage = circuit
            .volts
            .map(|volts| !above(volts, table::LANDSCAPE_VOLTS))
            .ok_or_else(|| vec!["a feed: no run leads to it from a supply".to_owned()]);
        Self {
            low_voltage,
            identified: identified(input, run),
            dwelling: dwelling(input),
            listed: listed(circuit),
            rock: input.ground() == Some(Soil::Rock),
        }
    }
}

/// What is known of a stretch.
pub struct Stated<'a> {
    stretch: &'a Stretch<'a>,
    method: Method,
    kinds: Vec<ZoneKind>,
    /// Whether note 5 may hold: rock, and a raceway under 2 in of concrete.
    on_rock: bool,
    run: &'a RunAnswers,
    slab: Answer,
}

impl<'a> Stated<'a> {
    /// What the plan says of a stretch.
    pub fn of(input: &Input, run: &'a RunAnswers, stretch: &'a Stretch<'a>, method: Method) -> Self {
        let zones: Vec<&Zone> = stretch.zones(input).collect();
        let kinds: Vec<ZoneKind> = zones.iter().map(|zone| zone.kind).collect();
        let rock = run.rock || kinds.contains(&ZoneKind::Rock);
        let on_rock = rock && stretch.is_in_raceway() && has_concrete(stretch);
        Self { stretch, method, kinds, on_rock, run, slab: slab(&zones) }
    }

    fn answer(&self, question: Question) -> Result<bool, &[String]> {
        // Column 5 takes any identified raceway, whatever the cable.
        if question == Question::Identified && self.stretch.is_in_raceway() {
            return Ok(true);
        }
        let answer = match question {
            Question::LowVoltage => &self.run.low_voltage,
            Question::Identified => &self.run.identified,
            Question::Dwelling => &self.run.dwelling,
            Question::Slab => &self.slab,
            Question::Listed => &self.run.listed,
        };
        answer.as_ref().copied().map_err(Vec::as_slice)
    }

    /// Judges a cover, where `floor` is wanted anywhere but under buildings.
    pub fn judge(&self, cover: Option<&Length>, floor: Both) -> Judgement {
        let known = QUESTIONS.map(|question| self.answer(question));
        let agrees = |answers: &Answers| {
            QUESTIONS.iter().zip(&known).all(|(q, known)| known.is_err() || *known == Ok(answers.is(*q)))
        };
        let all = (0..1 << QUESTIONS.len()).map(Answers).filter(agrees);
        let judged: Vec<(Answers, Judgement)> =
            all.map(|answers| (answers, self.judge_one(answers, cover, floor))).collect();
        let is_short = |j: &Judgement| matches!(j, Judgement::Short(_) | Judgement::BelowInstructions(_));
        // The answers with which it is short, one bit each.
        let short = judged.iter().filter(|(_, j)| is_short(j)).fold(0_u32, |bits, (a, _)| bits | 1 << a.0);
        if short != 0 && !judged.iter().all(|(_, j)| is_short(j)) {
            let decides = |question: Question| {
                judged.iter().any(|(a, _)| (short >> a.0 ^ short >> a.turned(question).0) & 1 == 1)
            };
            let open = QUESTIONS.into_iter().zip(&known).filter_map(|(q, known)| Some((q, known.as_ref().err()?)));
            let missing =
                open.filter(|(question, _)| decides(*question)).flat_map(|(_, inputs)| inputs.iter().cloned());
            return Judgement::Open(missing.collect());
        }
        // The mildest of what may hold when all fall short, the strictest when none does.
        let inches = |(_, j): &(Answers, Judgement)| match j {
            Judgement::Short(need) | Judgement::Enough(need) => need.cover.inches,
            Judgement::Relying(need, _) => need.cover.inches + 1000.0,
            Judgement::BelowInstructions(_) => -1.0,
            Judgement::Elsewhere | Judgement::Open(_) => f64::INFINITY,
        };
        let found = match short {
            0 => judged.into_iter().max_by(|a, b| inches(a).total_cmp(&inches(b))),
            _ => judged.into_iter().min_by(|a, b| inches(a).total_cmp(&inches(b))),
        };
        found.map_or(Judgement::Elsewhere, |(_, judgement)| judgement)
    }

    fn judge_one(&self, answers: Answers, cover: Option<&Length>, floor: Both) -> Judgement {
        let Some(need) = self.need(answers) else { return Judgement::Elsewhere };
        let system = cover.map_or(System::Inch, System::of);
        let floor = if need.location == Location::Building { 0.0 } else { floor.in_system(system) };
        let wanted = need.cover.in_system(system).max(floor);
        let Some(cover) = cover else {
            return if wanted > 0.0 { Judgement::Open(vec!["`cover`".to_owned()]) } else { Judgement::Enough(need) };
        };
        let has = system.read(cover);
        if !below(has, wanted) {
            return Judgement::Enough(need);
        }
        let run = self.stretch.run;
        let named = matches!(need.location, Location::Building | Location::Vehicles | Location::DwellingVehicles);
        match &run.instructed_cover {
            Some(allowed) if !named && answers.is(Question::LowVoltage) && answers.is(Question::Listed) => {
                // A floor of the place or the house is not lifted by instructions.
                let table_alone = need.cover.in_system(system);
                let least = if wanted > table_alone { wanted } else { system.read(allowed) };
                if below(has, least) {
                    Judgement::BelowInstructions(need)
                } else {
                    Judgement::Relying(need, Reliance::Instructions)
                }
            }
            _ if self.on_rock && wanted <= need.cover.in_system(system) => Judgement::Relying(need, Reliance::Rock),
            _ => Judgement::Short(need),
        }
    }

    /// The requirement of the table. Every zone there holds and the strictest governs; the row for all other locations
    /// holds where none of the named ones does.
    fn need(&self, answers: Answers) -> Option<Need> {
        let landscape = answers.is(Question::LowVoltage) && answers.is(Question::Identified);
        let of = |location: Location| {
            let (cover, column) = table::least_cover(location, self.method, landscape)?;
            Some(Need { cover, location, column })
        };
        let kinds = &self.kinds;
        if kinds.contains(&ZoneKind::Road) {
            return of(Location::Vehicles);
        }
        if kinds.iter().any(|kind| has_vehicles(*kind)) {
            return of(if answers.is(Question::Dwelling) { Location::DwellingVehicles } else { Location::Vehicles });
        }
        if kinds.contains(&ZoneKind::Building) {
            return of(Location::Building);
        }
        let concrete = has_concrete(self.stretch);
        let named =
            [concrete.then_some(Location::BelowTrenchConcrete), answers.is(Question::Slab).then_some(Location::Slab)];
        let needs = [Some(Location::General)].into_iter().chain(named).flatten().filter_map(of);
        needs.reduce(|least, next| if next.cover.inches < least.cover.inches { next } else { least })
    }
}

/// Whether the concrete in the trench has a row of its own.
fn has_concrete(stretch: &Stretch<'_>) -> bool {
    stretch.concrete().is_some_and(|thickness| table::TRENCH_CONCRETE.is_reached_by(thickness))
}

/// Column 5 asks for UF or another identified cable. A cable that is known not to be made for
/// the ground has no column at all; it is judged by the one that its replacement will have.
fn identified(input: &Input, run: &Run) -> Answer {
    match fitness::for_earth(input.cable_type(run), input.project().code) {
        Fitness::Suits | Fitness::Unfit(_) => Ok(true),
        Fitness::Unknown(missing) => Err(vec![missing]),
    }
}

fn dwelling(input: &Input) -> Answer {
    let occupancy = input.project().occupancy.ok_or_else(|| vec!["`project.occupancy`".to_owned()])?;
    Ok(matches!(occupancy, Occupancy::OneFamilyDwelling | Occupancy::TwoFamilyDwelling))
}

/// Whether a slab there has the thickness and the reach of the slab row. A walk may be one: of concrete, or of gravel,
/// which its thickness tells.
fn slab(zones: &[&Zone]) -> Answer {
    let mut missing = Vec::new();
    for zone in zones {
        if !matches!(zone.kind, ZoneKind::Slab | ZoneKind::Walk) {
            continue;
        }
        let thick = zone.slab_thickness.as_ref().map(|length| table::SLAB_THICKNESS.is_reached_by(length));
        let beyond = zone.slab_beyond.as_ref().map(|length| table::SLAB_BEYOND.is_reached_by(length));
        match (thick, beyond) {
            (Some(true), Some(true)) => return Ok(true),
            (Some(false), _) | (_, Some(false)) => {}
            (thick, beyond) => {
                missing.extend(thick.is_none().then(|| format!("`slab-thickness` of zone {}", zone.id)));
                missing.extend(beyond.is_none().then(|| format!("`slab-beyond` of zone {}", zone.id)));
            }
        }
    }
    if missing.is_empty() { Ok(false) } else { Err(missing) }
}

fn listed(circuit: &Circuit) -> Answer {
    match circuit.listing {
        Some(listing) => Ok(listing == Listing::LowVoltageLighting),
        // Supplies of different listings are not one listed system.
        None if circuit.listing_not_stated.is_empty() => Ok(false),
        None => Err(circuit.listing_not_stated.clone()),
    }
}
