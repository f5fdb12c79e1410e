//! The resolved plan and its facts as the interface has them, converted once for each plan and
//! shared by its modules.

use super::host::wit;
use crate::analysis::as_built::AsBuilt;
use crate::analysis::calendar::{DayKind, WorkCalendar};
use crate::analysis::site::{self, SegmentPlaces, SiteFacts};
use crate::analysis::{self, Solution, Unsolved};
use crate::layout::{self, Layout, NodeRef, PointM};
use crate::plan::quantity::{Kind, Length, Quantity};
use crate::plan::{model, scalar};
use std::sync::Arc;

/// A plan and its facts, ready for rule modules.
#[derive(Clone)]
pub struct Input(pub(super) Arc<Records>);

impl Input {
    /// Converts a plan with what was computed from it.
    pub fn new(layout: &Layout, analysed: &Analysed) -> Self {
        Self(Arc::new(Records::new(layout, analysed)))
    }
}

/// What was computed from a plan.
#[derive(Debug, Clone, Copy)]
pub struct Analysed<'a> {
    /// Solution at the judged conductor temperature.
    pub judged: &'a Solution,
    /// Solution at the temperature of the soil.
    pub soil: &'a Solution,
    /// Where everything is.
    pub site: &'a SiteFacts,
    /// The day against which tickets and waivers are judged.
    pub as_of: scalar::Date,
    /// The working days of the region.
    pub calendar: Option<&'a WorkCalendar>,
    /// What was read on the finished work.
    pub as_built: Option<&'a AsBuilt>,
}

impl std::fmt::Debug for Input {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Input").field("luminaires", &self.0.luminaires.len()).finish_non_exhaustive()
    }
}

/// The lists that modules ask for.
pub(super) struct Records {
    pub project: Arc<wit::Job>,
    pub luminaire_types: Arc<[wit::LuminaireType]>,
    pub luminaires: Arc<[wit::Luminaire]>,
    pub splice_types: Arc<[wit::SpliceType]>,
    pub junctions: Arc<[wit::Junction]>,
    pub supply_types: Arc<[wit::SupplyType]>,
    pub supplies: Arc<[wit::Supply]>,
    pub cable_types: Arc<[wit::CableType]>,
    pub runs: Arc<[wit::Run]>,
    pub zones: Arc<[wit::Zone]>,
    pub utilities: Arc<[wit::Utility]>,
    pub dig: Arc<Option<wit::DigPlan>>,
    pub records: Arc<wit::WorkRecords>,
    pub ground: Arc<Option<wit::Soil>>,
    pub grid: Arc<Option<wit::GridUnit>>,
    pub judged: CaseFacts,
    pub soil: CaseFacts,
    pub supply_places: Arc<[Option<wit::Place>]>,
    pub junction_places: Arc<[Option<wit::Place>]>,
    pub luminaire_places: Arc<[Option<wit::Place>]>,
    pub run_pieces: Arc<[Vec<Option<Vec<wit::Piece>>>]>,
    pub as_of: Arc<String>,
    pub calendar: Arc<Option<wit::WorkCalendar>>,
    pub readings: Arc<Option<wit::AsBuiltReadings>>,
}

/// The facts of one case.
pub(super) struct CaseFacts {
    pub luminaires: Arc<[wit::LuminaireState]>,
    pub junctions: Arc<[wit::NodeState]>,
    pub segments: Arc<[Vec<wit::SegmentState>]>,
    pub supplies: Arc<[wit::SupplyState]>,
    pub unsolved: Arc<[wit::UnsolvedPart]>,
}

/// Converts an enum whose variants have the same names on both sides.
macro_rules! same_names {
    ($($function:ident: $from:ty => $to:ident { $($variant:ident),+ })+) => {
        $(fn $function(value: $from) -> wit::$to {
            match value { $(<$from>::$variant => wit::$to::$variant),+ }
        })+
    };
}

mod as_built;

same_names! {
    code: model::Code => Code { Nec2017, Nec2020, Nec2023, Nec2026, Iec60364, Bs7671 }
    occupancy: model::Occupancy => Occupancy { OneFamilyDwelling, TwoFamilyDwelling, Multifamily, Commercial, Public }
    load: model::LoadModel => LoadModel { ConstantPower, ConstantCurrent, Resistive }
    accepted: model::CurrentKind => AcceptedCurrent { Ac, Dc, AcOrDc }
    output_current: model::OutputCurrent => OutputCurrent { Ac, Dc }
    location: model::Location => Location { Dry, Damp, Wet, Submersible }
    exposure: model::Exposure => Exposure { Dry, Damp, Wet }
    placement: model::Placement => Placement { InGround, Stake, Surface, Wall, Eave, Tree, Step, Underwater }
    base: model::Base => Base { Gravel, Sand, NativeSoil }
    stranding: model::Stranding => Stranding { Solid, Stranded, IecClass1, IecClass2, IecClass5 }
    cable_kind: model::CableKind => CableKind {
        UfB, Use2, Nyy, H07rnF, LowVoltageLandscape, Thwn2, LampCord, Armoured, Bare, Other
    }
    listing: model::SupplyListing => Listing { LowVoltageLighting, Class2, General, Selv }
    method: model::Method => Method { DirectBurial, PvcConduit, RigidMetalConduit, Surface, Aerial }
    zone_kind: model::ZoneKind => ZoneKind {
        Lawn, Bed, Driveway, Parking, Road, Walk, Slab, Building, Pool, Spa, Fountain, Pond, LowGround, Rock
    }
    utility_kind: model::UtilityKind => UtilityKind {
        Electric, Gas, Communication, Water, ReclaimedWater, Sewer, Irrigation
    }
    located: model::Located => Located { Marked, Private, Assumed }
    responses: model::Responses => Responses { All, Some, None }
    dig_method: model::DigMethod => DigMethod { Hand, Vacuum, Machine }
    drain: model::Drain => Drain { None, Sump, Daylight }
    lamp: model::Lamp => Lamp { Led, Halogen }
    dimming: model::Dimming => Dimming { None, Phase, Pwm, Analog, Digital }
    lights: model::Lights => Lights { Path, Steps, Tree, Facade, Entry, Water, Area }
    aim: model::Aim => Aim { Up, Down, Level }
    connection: model::Connection => Connection { Receptacle, HardWired }
    riser: model::Riser => Riser { None, PvcConduit, RigidMetalConduit }
    shared_with: model::SharedWith => SharedWith { None, Power, Communication }
    marking: model::Marking => Marking { None, Tape, Covers }
    backfill: model::Backfill => Backfill { Sand, ScreenedSoil, NativeSoil, RockySoil }
    supports: model::Supports => Supports { Building, Pole, Tree }
    grid: model::Grid => GridUnit { Ft, M }
    soil: model::Soil => Soil { Clay, Loam, Sand, Rock }
    private_lines: model::PrivateLines => PrivateLines { Located, None, Unknown }
    reason: Unsolved => UnsolvedReason { NoOperatingPoint, NoSteadyState, TooManyCutOuts, OutputsTied, AcDcJoined, SourcesShorted, SharesUnsolvedSupply, UnknownResistance }
}

/// Types in the order of their first use, each once.
struct Schedule<'a, T>(Vec<&'a Arc<T>>);

impl<'a, T> Schedule<'a, T> {
    fn of(used: impl Iterator<Item = &'a Arc<T>>) -> Self {
        let mut seen = std::collections::HashSet::new();
        Self(used.filter(|kind| seen.insert(Arc::as_ptr(kind))).collect())
    }

    /// The index of each type by its address.
    fn index(&self) -> std::collections::HashMap<*const T, u32> {
        self.0.iter().map(|kind| Arc::as_ptr(kind)).zip(0..).collect()
    }

    fn convert<U>(&self, convert: impl Fn(&T) -> U) -> Arc<[U]> {
        self.0.iter().map(|kind| convert(kind)).collect()
    }
}

impl Records {
    fn new(plan: &Layout, analysed: &Analysed) -> Self {
        let luminaire_types = Schedule::of(plan.luminaires.iter().map(|luminaire| &luminaire.kind));
        let supply_types = Schedule::of(plan.supplies.iter().map(|supply| &supply.kind));
        let cable_types = Schedule::of(plan.runs.iter().map(|run| &run.cable));
        let splices = plan.junctions.iter().filter_map(|junction| junction.splice.as_ref());
        let splice_types =
            Schedule::of(splices.chain(plan.luminaires.iter().filter_map(|luminaire| luminaire.splice.as_ref())));
        let (luminaire_index, supply_index) = (luminaire_types.index(), supply_types.index());
        let (cable_index, splice_index) = (cable_types.index(), splice_types.index());
        let splice = |splice: &Option<Arc<_>>| splice.as_ref().map(|kind| splice_index[&Arc::as_ptr(kind)]);
        Self {
            project: Arc::new(job(&plan.project)),
            luminaires: plan
                .luminaires
                .iter()
                .map(|luminaire| wit::Luminaire {
                    id: luminaire.id.0.clone(),
                    kind: luminaire_index[&Arc::as_ptr(&luminaire.kind)],
                    at: luminaire.at.map(point),
                    placement: luminaire.placement.map(placement),
                    exposure: luminaire.exposure.map(exposure),
                    splice: splice(&luminaire.splice),
                    excavation: luminaire.excavation.map(|hole| wit::Excavation {
                        width: hole.width.map(length),
                        depth: hole.depth.map(length),
                        base: hole.base.map(base),
                        base_depth: hole.base_depth.map(length),
                        drain: hole.drain.map(drain),
                    }),
                    scene: luminaire.scene.clone(),
                    water_depth: luminaire.water_depth.map(length),
                    mount_height: luminaire.mount_height.map(length),
                    lights: luminaire.lights.map(lights),
                    aim: luminaire.aim.map(aim),
                    shielded: luminaire.shielded,
                    cord: luminaire.cord.map(length),
                    removable: luminaire.removable,
                    house: house(&luminaire.house),
                })
                .collect(),
            junctions: plan
                .junctions
                .iter()
                .map(|junction| wit::Junction {
                    id: junction.id.0.clone(),
                    at: junction.at.map(point),
                    splice: splice(&junction.splice),
                    above_ground_box: junction.above_ground_box.map(exposure),
                    house: house(&junction.house),
                })
                .collect(),
            supplies: plan
                .supplies
                .iter()
                .map(|supply| wit::Supply {
                    id: supply.id.0.clone(),
                    kind: supply_index[&Arc::as_ptr(&supply.kind)],
                    at: supply.at.map(point),
                    mount_height: supply.mount_height.map(length),
                    feed: supply.feed.as_ref().map(|feed| wit::Feed {
                        circuit: feed.circuit.clone(),
                        breaker_a: feed.breaker.map(si),
                        gfci: feed.gfci,
                        in_use_cover: feed.in_use_cover,
                        connection: feed.connection.map(connection),
                        weather_resistant: feed.weather_resistant,
                        rcd_a: feed.rcd.map(si),
                        other_load_va: feed.other_load.map(si),
                    }),
                    exposure: supply.exposure.map(exposure),
                    hours: supply.control.and_then(|control| control.hours).map(|hours| si(hours) / 3600.0),
                    dimmer: supply.control.and_then(|control| control.dimmer).map(dimming),
                    house: house(&supply.house),
                })
                .collect(),
            runs: plan.runs.iter().map(|r| run(r, cable_index[&Arc::as_ptr(&r.cable)])).collect(),
            luminaire_types: luminaire_types.convert(luminaire_type),
            supply_types: supply_types.convert(supply_type),
            cable_types: cable_types.convert(cable_type),
            splice_types: splice_types.convert(splice_type),
            zones: plan
                .zones
                .iter()
                .map(|zone| wit::Zone {
                    id: zone.id.0.clone(),
                    kind: zone_kind(zone.kind),
                    outline: zone.outline.iter().copied().map(point).collect(),
                    slab_thickness: zone.slab_thickness.map(length),
                    slab_beyond: zone.slab_beyond.map(length),
                    jets: zone.jets,
                    house: house(&zone.house),
                })
                .collect(),
            utilities: plan
                .utilities
                .iter()
                .map(|utility| wit::Utility {
                    id: utility.id.0.clone(),
                    kind: utility_kind(utility.kind),
                    path: utility.path.iter().copied().map(point).collect(),
                    located: utility.located.map(located),
                    depth: utility.depth.map(length),
                    width: utility.width.map(length),
                    house: house(&utility.house),
                })
                .collect(),
            dig: Arc::new(plan.dig.as_ref().map(dig)),
            records: Arc::new(wit::WorkRecords {
                mock_up: plan.records.mock_up.map(work_record),
                test_before_backfill: plan.records.test_before_backfill.map(work_record),
                as_built: plan.records.as_built.map(work_record),
                commissioning: plan.records.commissioning.map(work_record),
                labels: plan.records.labels.map(work_record),
                cut_sheets: plan.records.cut_sheets.map(work_record),
                maintenance: plan.records.maintenance.map(work_record),
            }),
            ground: Arc::new(plan.soil.map(soil)),
            grid: Arc::new(plan.grid.map(grid)),
            judged: CaseFacts::new(analysed.judged),
            soil: CaseFacts::new(analysed.soil),
            supply_places: places(&analysed.site.supplies),
            junction_places: places(&analysed.site.junctions),
            luminaire_places: places(&analysed.site.luminaires),
            run_pieces: analysed.site.runs.iter().map(|run| run.iter().map(pieces).collect()).collect(),
            as_of: Arc::new(analysed.as_of.to_string()),
            calendar: Arc::new(analysed.calendar.map(calendar)),
            readings: Arc::new(analysed.as_built.map(as_built::as_built)),
        }
    }
}

impl CaseFacts {
    fn new(solution: &Solution) -> Self {
        Self {
            luminaires: solution
                .luminaires
                .iter()
                .map(|state| wit::LuminaireState {
                    node: node_state(&state.node),
                    amps: state.amps,
                    lit: state.lit,
                    power_factor_assumed: state.power_factor_assumed,
                })
                .collect(),
            junctions: solution.junctions.iter().map(node_state).collect(),
            segments: solution
                .segments
                .iter()
                .map(|run| {
                    let segment =
                        |s: &analysis::SegmentState| wit::SegmentState { ohms: s.ohms, amps: s.amps, loss_w: s.loss_w };
                    run.iter().map(segment).collect()
                })
                .collect(),
            supplies: solution.supplies.iter().map(supply_state).collect(),
            unsolved: solution
                .unsolved
                .iter()
                .map(|part| wit::UnsolvedPart {
                    reason: reason(part.reason),
                    phrase: part.reason.phrase().to_owned(),
                    outputs: part.outputs.iter().filter_map(output_ref).collect(),
                    nodes: part.nodes.iter().copied().map(node_ref).collect(),
                })
                .collect(),
        }
    }
}

fn si<K: Kind>(quantity: Quantity<K>) -> f64 {
    quantity.si()
}

fn length(length: Length) -> wit::Length {
    wit::Length { value: length.value(), unit: length.unit().symbol.to_owned(), metres: length.si() }
}

fn point(point: PointM) -> wit::Point {
    wit::Point { x_m: point.x_m, y_m: point.y_m }
}

fn house(house: &layout::House) -> Vec<(String, String)> {
    house.iter().map(|(key, value)| (key.clone(), value.clone())).collect()
}

/// An index of the interface. A plan of more than four billion elements does not fit into memory.
fn index(index: usize) -> u32 {
    u32::try_from(index).unwrap_or(u32::MAX)
}

fn node_ref(node: NodeRef) -> wit::NodeRef {
    match node {
        NodeRef::Output { supply, output } => wit::NodeRef::Output((index(supply), index(output))),
        NodeRef::Junction(junction) => wit::NodeRef::Junction(index(junction)),
        NodeRef::Luminaire(luminaire) => wit::NodeRef::Luminaire(index(luminaire)),
    }
}

fn output_ref(node: &NodeRef) -> Option<(u32, u32)> {
    match *node {
        NodeRef::Output { supply, output } => Some((index(supply), index(output))),
        NodeRef::Junction(_) | NodeRef::Luminaire(_) => None,
    }
}

fn job(project: &layout::Project) -> wit::Job {
    wit::Job {
        name: project.name.clone(),
        country: project.country.clone(),
        region: project.region.clone(),
        authority: project.authority.clone(),
        code: project.code.map(code),
        occupancy: project.occupancy.map(occupancy),
        house: house(&project.house),
    }
}

fn ip_code(ip: scalar::IpCode) -> wit::IpCode {
    wit::IpCode { solids: ip.solids, water: ip.water }
}

fn luminaire_type(kind: &layout::LuminaireType) -> wit::LuminaireType {
    wit::LuminaireType {
        name: kind.name.0.clone(),
        power_w: si(kind.power),
        apparent_power_va: kind.apparent_power.map(si),
        load: load(kind.load),
        nominal_v: si(kind.nominal),
        input_min_v: kind.input_min.map(si),
        input_max_v: kind.input_max.map(si),
        cut_out_v: kind.cut_out.map(si),
        current: kind.current.map(accepted),
        ip: kind.ip.iter().copied().map(ip_code).collect(),
        location: kind.location.map(location),
        traffic: kind.traffic.map(|traffic| match traffic {
            scalar::TrafficLoad::None => wit::TrafficLoad::None,
            scalar::TrafficLoad::WalkOver => wit::TrafficLoad::WalkOver,
            scalar::TrafficLoad::DriveOver => wit::TrafficLoad::DriveOver,
            scalar::TrafficLoad::Static(force) => wit::TrafficLoad::StaticNewtons(si(force)),
        }),
        width: kind.width.map(length),
        body_depth: kind.body_depth.map(length),
        cct_k: kind.cct.map(si),
        flux_lm: kind.flux.map(si),
        immersion_depth: kind.immersion_depth.map(length),
        listed: kind.listed,
        grounding_required: kind.grounding_required,
        lamp: kind.lamp.map(lamp),
        dimming: kind.dimming.iter().copied().map(dimming).collect(),
        house: house(&kind.house),
    }
}

fn splice_type(kind: &layout::SpliceType) -> wit::SpliceType {
    wit::SpliceType {
        name: kind.name.0.clone(),
        location: kind.location.map(location),
        direct_burial: kind.direct_burial,
        resistance_ohm: kind.resistance.map(si),
        house: house(&kind.house),
    }
}

fn supply_type(kind: &layout::SupplyType) -> wit::SupplyType {
    wit::SupplyType {
        name: kind.name.0.clone(),
        rating: kind.rating.map(|rating| match rating {
            scalar::Rating::Apparent(power) => wit::Rating::ApparentVa(si(power)),
            scalar::Rating::Real(power) => wit::Rating::RealW(si(power)),
        }),
        current: output_current(kind.output_current),
        outputs: kind
            .outputs
            .iter()
            .map(|output| wit::Output {
                name: output.name.0.clone(),
                volts: si(output.volts),
                limit_a: output.limit.map(si),
                protection_a: output.protection.map(si),
                source_resistance_ohm: output.source_resistance.map(si),
            })
            .collect(),
        common_resistance_ohm: kind.common_resistance.map(si),
        regulated: kind.regulated,
        input_v: kind.input_volts.map(si),
        listing: kind.listing.map(listing),
        enclosure: kind.enclosure.map(|enclosure| match enclosure {
            scalar::EnclosureRating::Indoor => wit::Enclosure::Indoor,
            scalar::EnclosureRating::Outdoor => wit::Enclosure::Outdoor,
            scalar::EnclosureRating::Type(name) => wit::Enclosure::ListedType(name.to_owned()),
            scalar::EnclosureRating::Ip(ip) => wit::Enclosure::Ip(ip_code(ip)),
        }),
        isolating: kind.isolating,
        grounded_output: kind.grounded_output,
        pool_listed: kind.pool_listed,
        dimming: kind.dimming.map(dimming),
        house: house(&kind.house),
    }
}

fn cable_type(kind: &layout::CableType) -> wit::CableType {
    wit::CableType {
        name: kind.name.0.clone(),
        conductor: kind.conductor.map(|conductor| match conductor {
            scalar::Conductor::Awg(number) => wit::Conductor::Awg(number),
            scalar::Conductor::Mm2(area) => wit::Conductor::SquareMm(area),
        }),
        stranding: stranding(kind.stranding),
        parallel: kind.parallel,
        kind: kind.kind.map(cable_kind),
        direct_burial: kind.direct_burial,
        insulation_degc: kind.insulation.map(si),
        ampacity_a: kind.ampacity.map(si),
        location: kind.location.map(location),
        sunlight_resistant: kind.sunlight_resistant,
        voltage_rating_v: kind.voltage_rating.map(si),
        house: house(&kind.house),
    }
}

fn run(run: &layout::Run, cable: u32) -> wit::Run {
    wit::Run {
        id: run.id.0.clone(),
        cable,
        segments: run
            .segments
            .iter()
            .map(|segment| wit::Segment {
                start: node_ref(segment.from),
                end: node_ref(segment.to),
                length_m: segment.length_m,
                path: segment.path.iter().copied().map(point).collect(),
            })
            .collect(),
        method: run.method.map(method),
        cover: run.cover.map(length),
        covers: run
            .covers
            .iter()
            .map(|cover| wit::ZoneCover {
                zone: index(cover.zone),
                cover: cover.cover.map(length),
                method: cover.method.map(method),
                concrete: cover.concrete.map(length),
                backfill: cover.backfill.map(backfill),
            })
            .collect(),
        instructed_cover: run.instructed_cover.map(length),
        riser: run.riser.map(riser),
        shared_with: run.shared_with.map(shared_with),
        barrier: run.barrier,
        marking: run.marking.map(marking),
        backfill: run.backfill.map(backfill),
        concrete: run.concrete.map(length),
        supports: run.supports.map(supports),
        house: house(&run.house),
    }
}

fn dig(dig: &layout::Dig) -> wit::DigPlan {
    let day = |day: Option<scalar::Date>| day.map(|day| day.0.to_string());
    wit::DigPlan {
        ticket_number: dig.ticket_number.clone(),
        called: day(dig.called),
        expires: day(dig.expires),
        responses: dig.responses.map(responses),
        starts: day(dig.starts),
        method: dig.method.map(dig_method),
        private_lines: dig.private_lines.map(private_lines),
        white_lined: dig.white_lined,
        in_tolerance_zone: dig.in_tolerance_zone.map(dig_method),
    }
}

fn work_record(record: scalar::WorkRecord) -> wit::WorkRecord {
    match record {
        scalar::WorkRecord::On(day) => wit::WorkRecord::On(day.0.to_string()),
        scalar::WorkRecord::Planned => wit::WorkRecord::Planned,
    }
}

fn node_state(state: &analysis::NodeState) -> wit::NodeState {
    wit::NodeState {
        fed_by: state.fed_by.iter().filter_map(output_ref).collect(),
        volts: state.volts,
        no_load_volts: state.no_load_volts,
        feed_volts: state.feed_volts,
        drop_percent: state.drop_percent,
    }
}

fn supply_state(state: &analysis::SupplyState) -> wit::SupplyState {
    wit::SupplyState {
        load_w: state.load_w,
        load_va: state.load_va,
        nameplate_va: state.nameplate_va,
        nameplate_va_at_pf90: state.nameplate_va_at_0_9,
        loading_percent: state.loading_percent,
        outputs: state
            .outputs
            .iter()
            .map(|output| wit::OutputState {
                volts: output.volts,
                amps: output.amps,
                source_assumed_ideal: output.source_assumed_ideal,
                luminaires: index(output.luminaires),
            })
            .collect(),
    }
}

fn places(places: &[Option<site::PlaceFacts>]) -> Arc<[Option<wit::Place>]> {
    let place = |place: &site::PlaceFacts| wit::Place {
        zones: zones(&place.zones),
        water: water(&place.water),
        utilities: utilities(&place.utilities),
    };
    places.iter().map(|p| p.as_ref().map(place)).collect()
}

fn pieces(segment: &SegmentPlaces) -> Option<Vec<wit::Piece>> {
    let SegmentPlaces::Pieces(pieces) = segment else { return None };
    let piece = |piece: &site::Piece| wit::Piece {
        from_m: piece.from_m,
        to_m: piece.to_m,
        begin: point(piece.start),
        end: point(piece.end),
        zones: zones(&piece.zones),
        water: water(&piece.water),
        utilities: utilities(&piece.utilities),
    };
    Some(pieces.iter().map(piece).collect())
}

fn zones(zones: &[usize]) -> Vec<u32> {
    zones.iter().copied().map(index).collect()
}

fn water(near: &[site::WaterDistance]) -> Vec<wit::WaterDistance> {
    near.iter().map(|w| wit::WaterDistance { zone: index(w.zone), distance_m: w.distance_m }).collect()
}

fn utilities(near: &[site::UtilityDistance]) -> Vec<wit::UtilityDistance> {
    near.iter()
        .map(|u| wit::UtilityDistance { utility: index(u.utility), distance_m: u.distance_m, crosses: u.crosses })
        .collect()
}

fn calendar(calendar: &WorkCalendar) -> wit::WorkCalendar {
    let day = |day: &analysis::calendar::Day| wit::Day {
        date: day.date.to_string(),
        kind: match day.kind {
            DayKind::Working => wit::DayKind::Working,
            DayKind::Weekend => wit::DayKind::Weekend,
            DayKind::Holiday(name) => wit::DayKind::Holiday(name.to_owned()),
            DayKind::Unsure(name) => wit::DayKind::Unsure(name.to_owned()),
        },
    };
    wit::WorkCalendar { days: calendar.days.iter().map(day).collect(), source: calendar.source.to_owned() }
}
