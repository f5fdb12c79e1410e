//! Cover of what lies in the ground, stretch by stretch, against the table of the code or what is usual in the country.

mod requirement;
#[cfg(test)]
mod tests;
mod usual;

use crate::circuit::Circuit;
use crate::edition::{binding, is_nec};
use crate::stretch::{self, Stretch, Ways};
use crate::table::{Both, Location, System};
use lintern_rule::compare::{plain, shown};
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::outcome::Layer;
use lintern_rule::plan::{Listing, Run, Zone, ZoneKind};
use lintern_rule::prelude::*;
use requirement::{Judgement, Need, Reliance, RunAnswers, Stated};
use std::borrow::Cow;

pub const RULE: Rule = Rule {
    id: "burial/shallow-cover",
    title: "A cable or raceway lies less deep than its place asks for",
    level: Level::Violation,
    waivable: true,
    settings: &[
        Setting::table(
            "minimum-cover",
            "in",
            Tighter::Higher,
            "least cover anywhere but under buildings, for covers in inches",
        ),
        Setting::table(
            "minimum-cover-metric",
            "mm",
            Tighter::Higher,
            "least cover anywhere but under buildings, for covers in mm, cm or m",
        ),
    ],
    citations: &[
        Citation::nec(Code::Nec2017, "Table 300.5", Confirmed),
        Citation::nec(Code::Nec2020, "Table 300.5", Confirmed),
        Citation::nec(Code::Nec2023, "Table 300.5(A)", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
    ],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    let mut limits = Limits::of(input, settings);
    for (index, run) in input.runs().iter().enumerate() {
        let ways = stretch::ways(input, index);
        if ways.unknown_method {
            report.undetermined(&run.id, ["`method`"]);
        }
        if !ways.unplaced.is_empty() {
            report.undetermined(&run.id, ways.unplaced.iter().map(String::as_str));
        }
        match is_nec(input) {
            _ if ways.buried.is_empty() => {}
            None => report.undetermined(&run.id, ["`project.code`"]),
            Some(true) => by_table(input, &mut limits, report, run, &ways),
            Some(false) => usual::check(input, settings, report, run, &ways),
        }
    }
}

/// The setting for covers in a system.
fn setting(system: System) -> &'static str {
    match system {
        System::Inch => "minimum-cover",
        System::Metric => "minimum-cover-metric",
    }
}

/// The limit of a row of the table, raised where an amendment or the company wants more everywhere. A lower number of
/// theirs changes nothing: it can't be meant for driveways and lawns alike.
fn raised(settings: &Settings, plain_limit: Limit, system: System) -> Limit {
    let raised = plain_limit.clone().given(settings, setting(system));
    if raised.value() > plain_limit.value() { raised } else { plain_limit }
}

/// What an amendment or the company wants everywhere; 0 where they want nothing.
fn floor(settings: &Settings) -> Both {
    let of = |system: System| {
        let nothing = Limit::new("least cover", 0.0, system.unit(), Tighter::Higher, "");
        nothing.given(settings, setting(system)).value()
    };
    Both { inches: of(System::Inch), millimetres: of(System::Metric) }
}

/// The limits of the table that a plan meets with, each made once.
struct Limits<'a> {
    table: &'static str,
    settings: &'a Settings<'a>,
    floor: Both,
    known: Vec<(Need, System, Limit)>,
}

impl<'a> Limits<'a> {
    fn of(input: &Input, settings: &'a Settings<'a>) -> Self {
        let table = match input.project().code {
            Some(Code::Nec2017 | Code::Nec2020) => "Table 300.5",
            _ => "Table 300.5(A)",
        };
        Self { table, settings, floor: floor(settings), known: Vec::new() }
    }

    fn limit(&mut self, need: Need, system: System) -> &Limit {
        let known = self.known.iter().position(|(other, of, _)| (*other, *of) == (need, system));
        let index = known.unwrap_or_else(|| {
            let source = format!("NFPA 70 {}, column {}: {}", self.table, need.column.number(), need.location.row());
            let limit = Limit::new("least cover", need.cover.in_system(system), system.unit(), Tighter::Higher, source);
            let raises = need.location != Location::Building;
            let limit = if raises { raised(self.settings, limit, system) } else { limit };
            self.known.push((need, system, limit));
            self.known.len() - 1
        });
        &self.known[index].2
    }
}

/// Stretches of a run with one and the same finding.
struct Group<'a> {
    judgement: Judgement,
    zones: Vec<&'a str>,
    field: Cow<'static, str>,
    cover: &'a Length,
    stretches: Vec<Stretch<'a>>,
}

fn by_table<'a>(input: &'a Input, limits: &mut Limits, report: &mut Report, run: &'a Run, ways: &Ways<'a>) {
    let circuit = Circuit::of(input, run);
    let answers = RunAnswers::of(input, &circuit, run);
    let mut groups: Vec<Group<'a>> = Vec::new();
    for stretch in &ways.buried {
        let Some(method) = stretch.method() else { continue };
        let stated = Stated::of(input, &answers, stretch, method);
        let cover = stretch.cover();
        let judgement = stated.judge(cover.as_ref().map(|(cover, _)| *cover), limits.floor);
        let need = match &judgement {
            Judgement::Elsewhere => continue,
            Judgement::Open(missing) => {
                report.undetermined(&run.id, missing.iter().map(String::as_str));
                continue;
            }
            Judgement::Enough(need) => {
                let system = cover.as_ref().map_or(System::Inch, |(cover, _)| System::of(cover));
                let limit = limits.limit(*need, system);
                match cover {
                    Some((cover, field)) => report.passes(&run.id, &limit.compare(system.read(cover)).field(field)),
                    None => {
                        report.limit(&run.id, limit);
                        report.checked(&run.id);
                    }
                }
                continue;
            }
            Judgement::Short(need) | Judgement::BelowInstructions(need) | Judgement::Relying(need, _) => *need,
        };
        let Some((cover, field)) = cover else { continue };
        let zones = governing(input, stretch, need.location);
        let known = |group: &&mut Group<'_>| {
            let apart = is_named(need.location) && group.zones != zones;
            !apart && group.judgement == judgement && group.field == field
        };
        match groups.iter_mut().find(known) {
            Some(group) => {
                group.stretches.push(*stretch);
                let more: Vec<&str> = zones.into_iter().filter(|zone| !group.zones.contains(zone)).collect();
                group.zones.extend(more);
            }
            None => groups.push(Group { judgement, zones, field, cover, stretches: vec![*stretch] }),
        }
    }
    for group in groups {
        add_finding(input, limits, report, run, &circuit, &group);
    }
}

/// Whether a row of the table is for a place of its own, so that the zone is part of the finding.
fn is_named(location: Location) -> bool {
    !matches!(location, Location::General | Location::BelowTrenchConcrete)
}

/// The zones on which the requirement of a stretch rests: all of them where no row of its own holds.
fn governing<'a>(input: &'a Input, stretch: &Stretch<'a>, location: Location) -> Vec<&'a str> {
    let counts = |zone: &&Zone| match location {
        Location::Vehicles | Location::DwellingVehicles => stretch::has_vehicles(zone.kind),
        Location::Building => zone.kind == ZoneKind::Building,
        Location::Slab => matches!(zone.kind, ZoneKind::Slab | ZoneKind::Walk),
        Location::General | Location::BelowTrenchConcrete => true,
    };
    stretch.zones(input).filter(counts).map(|zone| zone.id.as_str()).collect()
}

fn add_finding(
    input: &Input,
    limits: &mut Limits,
    report: &mut Report,
    run: &Run,
    circuit: &Circuit,
    group: &Group<'_>,
) {
    let system = System::of(group.cover);
    let (level, basis) = binding(input, circuit, &RULE);
    let (need, reliance, below_instructions) = match &group.judgement {
        Judgement::Short(need) => (need, None, false),
        Judgement::BelowInstructions(need) => (need, None, true),
        Judgement::Relying(need, reliance) => (need, Some(*reliance), false),
        Judgement::Elsewhere | Judgement::Enough(_) | Judgement::Open(_) => return,
    };
    let limit = limits.limit(*need, system);
    let instructed = run.instructed_cover.as_ref().filter(|_| below_instructions && limit.layer() == Layer::Code);
    // Below what the instructions allow, it is they that are the limit.
    let by_instructions = instructed.map(|allowed| {
        let source = "instructions of the listed system, as stated in the plan";
        Limit::new("least cover", system.read(allowed), system.unit(), Tighter::Higher, source)
    });
    let limit = by_instructions.as_ref().unwrap_or(limit);
    let cover = system.read(group.cover);
    let unit = system.unit();
    let has = format!(
        "{} has {} {unit} of cover{}, {}",
        run.id,
        shown_cover(cover, limit.value()),
        under(input, need.location, &group.zones),
        stretch::places(input, &group.stretches, system == System::Metric)
    );
    let wanted = format!("{} {unit}", plain(limit.value()));
    let (level, message) = match reliance {
        Some(Reliance::Instructions) => {
            let allowed = run.instructed_cover.as_ref().map_or(0.0, |allowed| system.read(allowed));
            let allowed = format!("{} {unit}", plain(allowed));
            let why =
                format!("less than {wanted} stands on the instructions of the listed system, which allow {allowed}");
            (Level::Reminder, format!("{has}; {why}"))
        }
        Some(Reliance::Rock) => {
            let why = format!(
                "less than {wanted} is allowed over solid rock where the concrete over the raceway goes down to it"
            );
            (Level::Reminder, format!("{has}; {why}"))
        }
        None => {
            (level_of(level, limit), format!("{has}; {}", asked(input, limit, level, &wanted, instructed.is_some())))
        }
    };
    report
        .finding(&run.id)
        .level(level)
        .basis(basis)
        .related(group.zones.iter().copied())
        .message(message)
        .work(format!("cover of {}", run.id), cover, unit, "plan")
        .breaks(&limit.compare(cover).field(group.field.clone()))
        .help(help(group, run, circuit))
        .add();
}

/// A cover as the plan has it, with more decimals only where it would look like its limit.
fn shown_cover(cover: f64, limit: f64) -> String {
    if plain(cover) == plain(limit) { shown(cover, limit) } else { plain(cover) }
}

/// What a local amendment asks for is law, whatever the code has.
fn level_of(level: Level, limit: &Limit) -> Level {
    if limit.layer() == Layer::Local { Level::Violation } else { level }
}

fn asked(input: &Input, limit: &Limit, level: Level, wanted: &str, by_instructions: bool) -> String {
    match (limit.layer(), level) {
        _ if by_instructions => format!("the instructions of the listed system ask for {wanted}"),
        (Layer::Local, _) => format!("the local amendment asks for {wanted}"),
        (Layer::House, _) => format!("the company asks for {wanted}"),
        (_, Level::Advice) => format!("{wanted} is usual there for Class 2 circuits too"),
        (_, Level::Reminder) if input.project().code == Some(Code::Nec2026) => {
            format!("the 2023 edition asks for {wanted} there, and the 2026 one is to be looked up")
        }
        _ => format!("{wanted} is required there"),
    }
}

/// The place of the finding where the table names it.
fn under(input: &Input, location: Location, zones: &[&str]) -> String {
    let kind = |id: &str| input.zones().iter().find(|zone| zone.id == id).map(|zone| zone.kind);
    let named = |zone: &&str| match kind(zone) {
        Some(ZoneKind::Road) => format!("the road {zone}"),
        Some(ZoneKind::Parking) => format!("the parking area {zone}"),
        Some(ZoneKind::Driveway) => format!("the driveway {zone}"),
        Some(ZoneKind::Walk) => format!("the walk {zone}"),
        _ => format!("the slab {zone}"),
    };
    match location {
        Location::Vehicles | Location::DwellingVehicles | Location::Slab => {
            format!(" under {}", zones.iter().map(named).collect::<Vec<_>>().join(" and "))
        }
        Location::BelowTrenchConcrete => " below the concrete in its trench".to_owned(),
        Location::General | Location::Building => String::new(),
    }
}

fn help(group: &Group<'_>, run: &Run, circuit: &Circuit) -> String {
    let what = match &group.judgement {
        Judgement::Relying(_, Reliance::Instructions) => {
            "keep the instructions on site for the inspector, and see that they are those of this system"
        }
        Judgement::Relying(_, Reliance::Rock) => {
            "see in the open trench that the concrete reaches the rock, and photograph it"
        }
        Judgement::BelowInstructions(_) => "lay it that deep",
        Judgement::Short(need) if matches!(need.location, Location::Vehicles | Location::DwellingVehicles) => {
            "lay it deeper there, in a sleeve so that it can be replaced, or lead the run round"
        }
        _ if circuit.volts.is_some_and(|volts| volts > crate::table::LANDSCAPE_VOLTS) => {
            "lay it deeper, or in a raceway, which may lie less deep"
        }
        _ if run.instructed_cover.is_some() => {
            "lay it deeper; instructions allow less only where the supply is of a listed low-voltage lighting system"
        }
        _ if circuit.listing == Some(Listing::LowVoltageLighting) => {
            "lay it deeper, or state `instructed-cover` where the instructions of the listed system allow less"
        }
        _ => "lay it deeper",
    };
    format!("{what}; the authority having jurisdiction decides")
}
