//! The plan and its facts as a rule sees them: lists that are fetched from lintern when first asked
//! for, and once only.

use crate::facts::{
    AsBuiltReadings, LuminaireState, NodeState, Piece, Place, SegmentState, SupplyState, UnsolvedPart, WorkCalendar,
};
use crate::plan::{
    CableType, DigPlan, GridUnit, Job, Junction, Luminaire, LuminaireType, Run, Soil, SpliceType, Supply, SupplyType,
    Utility, WorkRecords, Zone, ZoneCover, ZoneKind,
};
use crate::{NodeRef, TemperatureCase, blank, facts, plan};
use std::cell::OnceCell;

/// The plan and what was computed from it.
#[derive(Debug, Default)]
pub struct Input {
    project: OnceCell<Job>,
    luminaire_types: OnceCell<Vec<LuminaireType>>,
    luminaires: OnceCell<Vec<Luminaire>>,
    splice_types: OnceCell<Vec<SpliceType>>,
    junctions: OnceCell<Vec<Junction>>,
    supply_types: OnceCell<Vec<SupplyType>>,
    supplies: OnceCell<Vec<Supply>>,
    cable_types: OnceCell<Vec<CableType>>,
    runs: OnceCell<Vec<Run>>,
    zones: OnceCell<Vec<Zone>>,
    utilities: OnceCell<Vec<Utility>>,
    dig: OnceCell<Option<DigPlan>>,
    records: OnceCell<WorkRecords>,
    ground: OnceCell<Option<Soil>>,
    grid: OnceCell<Option<GridUnit>>,
    judged: OnceCell<Facts>,
    soil: OnceCell<Facts>,
    supply_places: OnceCell<Vec<Option<Place>>>,
    junction_places: OnceCell<Vec<Option<Place>>>,
    luminaire_places: OnceCell<Vec<Option<Place>>>,
    run_pieces: OnceCell<Vec<SegmentPieces>>,
    as_of: OnceCell<String>,
    calendar: OnceCell<Option<WorkCalendar>>,
    readings: OnceCell<Option<AsBuiltReadings>>,
}

/// For each segment of a run its pieces; none where an end of the segment has no place.
pub type SegmentPieces = Vec<Option<Vec<Piece>>>;

/// The lists of a plan, for running rules natively.
#[derive(Debug, Clone)]
#[cfg_attr(feature = "json", derive(serde::Deserialize))]
#[expect(missing_docs, reason = "each field is the list of that name in the interface")]
pub struct Given {
    pub project: Job,
    pub luminaire_types: Vec<LuminaireType>,
    pub luminaires: Vec<Luminaire>,
    pub splice_types: Vec<SpliceType>,
    pub junctions: Vec<Junction>,
    pub supply_types: Vec<SupplyType>,
    pub supplies: Vec<Supply>,
    pub cable_types: Vec<CableType>,
    pub runs: Vec<Run>,
    pub zones: Vec<Zone>,
    pub utilities: Vec<Utility>,
    pub dig: Option<DigPlan>,
    pub records: WorkRecords,
    pub ground: Option<Soil>,
    pub grid: Option<GridUnit>,
    pub judged: GivenFacts,
    pub soil: GivenFacts,
    pub supply_places: Vec<Option<Place>>,
    pub junction_places: Vec<Option<Place>>,
    pub luminaire_places: Vec<Option<Place>>,
    pub run_pieces: Vec<SegmentPieces>,
    pub as_of: String,
    pub calendar: Option<WorkCalendar>,
    pub readings: Option<AsBuiltReadings>,
}

/// The facts of one case, for running rules natively.
#[derive(Debug, Clone, Default)]
#[cfg_attr(feature = "json", derive(serde::Deserialize))]
#[expect(missing_docs, reason = "each field is the list of that name in the interface")]
pub struct GivenFacts {
    pub luminaires: Vec<LuminaireState>,
    pub junctions: Vec<NodeState>,
    pub segments: Vec<Vec<SegmentState>>,
    pub supplies: Vec<SupplyState>,
    pub unsolved: Vec<UnsolvedPart>,
}

impl Default for Given {
    /// A plan that says nothing.
    fn default() -> Self {
        Self {
            project: blank::job(),
            luminaire_types: Vec::new(),
            luminaires: Vec::new(),
            splice_types: Vec::new(),
            junctions: Vec::new(),
            supply_types: Vec::new(),
            supplies: Vec::new(),
            cable_types: Vec::new(),
            runs: Vec::new(),
            zones: Vec::new(),
            utilities: Vec::new(),
            dig: None,
            records: blank::work_records(),
            ground: None,
            grid: None,
            judged: GivenFacts::default(),
            soil: GivenFacts::default(),
            supply_places: Vec::new(),
            junction_places: Vec::new(),
            luminaire_places: Vec::new(),
            run_pieces: Vec::new(),
            as_of: "2026-03-01".to_owned(),
            calendar: None,
            readings: None,
        }
    }
}

impl From<Given> for Input {
    fn from(given: Given) -> Self {
        Self {
            project: given.project.into(),
            luminaire_types: given.luminaire_types.into(),
            luminaires: given.luminaires.into(),
            splice_types: given.splice_types.into(),
            junctions: given.junctions.into(),
            supply_types: given.supply_types.into(),
            supplies: given.supplies.into(),
            cable_types: given.cable_types.into(),
            runs: given.runs.into(),
            zones: given.zones.into(),
            utilities: given.utilities.into(),
            dig: given.dig.into(),
            records: given.records.into(),
            ground: given.ground.into(),
            grid: given.grid.into(),
            supply_places: given.supply_places.into(),
            junction_places: given.junction_places.into(),
            luminaire_places: given.luminaire_places.into(),
            run_pieces: given.run_pieces.into(),
            as_of: given.as_of.into(),
            calendar: given.calendar.into(),
            readings: given.readings.into(),
            judged: Facts::given(TemperatureCase::Judged, given.judged).into(),
            soil: Facts::given(TemperatureCase::Soil, given.soil).into(),
        }
    }
}

impl Input {
    /// An input that asks lintern.
    pub(crate) fn from_host() -> Self {
        Self::default()
    }

    /// What and where the job is.
    pub fn project(&self) -> &Job {
        self.project.get_or_init(plan::project)
    }

    /// The schedule of luminaires.
    pub fn luminaire_types(&self) -> &[LuminaireType] {
        self.luminaire_types.get_or_init(plan::luminaire_types)
    }

    /// The luminaires.
    pub fn luminaires(&self) -> &[Luminaire] {
        self.luminaires.get_or_init(plan::luminaires)
    }

    /// The ways of joining conductors.
    pub fn splice_types(&self) -> &[SpliceType] {
        self.splice_types.get_or_init(plan::splice_types)
    }

    /// The junctions.
    pub fn junctions(&self) -> &[Junction] {
        self.junctions.get_or_init(plan::junctions)
    }

    /// The schedule of supplies.
    pub fn supply_types(&self) -> &[SupplyType] {
        self.supply_types.get_or_init(plan::supply_types)
    }

    /// The supplies.
    pub fn supplies(&self) -> &[Supply] {
        self.supplies.get_or_init(plan::supplies)
    }

    /// The schedule of cables.
    pub fn cable_types(&self) -> &[CableType] {
        self.cable_types.get_or_init(plan::cable_types)
    }

    /// The runs.
    pub fn runs(&self) -> &[Run] {
        self.runs.get_or_init(plan::runs)
    }

    /// Areas of the site.
    pub fn zones(&self) -> &[Zone] {
        self.zones.get_or_init(plan::zones)
    }

    /// Buried lines of others.
    pub fn utilities(&self) -> &[Utility] {
        self.utilities.get_or_init(plan::utilities)
    }

    /// The locate request and how the ground is opened, when the plan says anything of it.
    pub fn dig(&self) -> Option<&DigPlan> {
        self.dig.get_or_init(plan::dig).as_ref()
    }

    /// Records of the work.
    pub fn records(&self) -> &WorkRecords {
        self.records.get_or_init(plan::records)
    }

    /// What the ground is made of.
    pub fn ground(&self) -> Option<Soil> {
        *self.ground.get_or_init(plan::ground)
    }

    /// The unit of the plan's coordinates: distances between places are compared in it.
    pub fn grid(&self) -> Option<GridUnit> {
        *self.grid.get_or_init(plan::grid)
    }

    /// Where each supply is, in the order of [`Input::supplies`]; none where the plan gives no place.
    pub fn supply_places(&self) -> &[Option<Place>] {
        self.supply_places.get_or_init(facts::supply_places)
    }

    /// Where each junction is, in the order of [`Input::junctions`].
    pub fn junction_places(&self) -> &[Option<Place>] {
        self.junction_places.get_or_init(facts::junction_places)
    }

    /// Where each luminaire is, in the order of [`Input::luminaires`].
    pub fn luminaire_places(&self) -> &[Option<Place>] {
        self.luminaire_places.get_or_init(facts::luminaire_places)
    }

    /// Where a node is: its supply for an output; none where the plan gives no place.
    pub fn place(&self, node: NodeRef) -> Option<&Place> {
        match node {
            NodeRef::Junction(junction) => self.junction_places()[junction as usize].as_ref(),
            NodeRef::Luminaire(luminaire) => self.luminaire_places()[luminaire as usize].as_ref(),
            NodeRef::Output((supply, _)) => self.supply_places()[supply as usize].as_ref(),
        }
    }

    /// For each run, in the order of [`Input::runs`], the pieces of its segments.
    pub fn run_pieces(&self) -> &[SegmentPieces] {
        self.run_pieces.get_or_init(facts::run_pieces)
    }

    /// The zones of a place or piece.
    pub fn zones_of<'a>(&'a self, indices: &'a [u32]) -> impl Iterator<Item = &'a Zone> + 'a {
        indices.iter().map(|&index| &self.zones()[index as usize])
    }

    /// The day against which tickets and waivers are judged, ISO 8601.
    pub fn as_of(&self) -> &str {
        self.as_of.get_or_init(facts::as_of)
    }

    /// The working days of the plan's region; none where they are not known.
    pub fn calendar(&self) -> Option<&WorkCalendar> {
        self.calendar.get_or_init(facts::calendar).as_ref()
    }

    /// What was read on the finished work and what explains it; none for a plan without readings.
    pub fn readings(&self) -> Option<&AsBuiltReadings> {
        self.readings.get_or_init(facts::readings).as_ref()
    }

    /// The electrical facts at the judged conductor temperature: the case that verdicts rest on.
    pub fn judged(&self) -> &Facts {
        self.judged.get_or_init(|| Facts::from_host(TemperatureCase::Judged))
    }

    /// The electrical facts with conductors at the temperature of the soil.
    pub fn soil(&self) -> &Facts {
        self.soil.get_or_init(|| Facts::from_host(TemperatureCase::Soil))
    }

    /// The entry of a run's `covers` that holds where these zones are, with its place in the list. Where several do, it is
    /// that of the zone with the most demanding location: an entry for a driveway says more of the crossing than one for
    /// the lawn around it. Of equals it is that of the zone whose id comes first, whatever their order in the plan.
    pub fn exception<'r>(&self, run: &'r Run, zones: &[u32]) -> Option<(usize, &'r ZoneCover)> {
        let demand = |zone: &Zone| match zone.kind {
            ZoneKind::Road => 3,
            ZoneKind::Driveway | ZoneKind::Parking => 2,
            ZoneKind::Building => 1,
            _ => 0,
        };
        let entries = run.covers.iter().enumerate().filter(|(_, entry)| zones.contains(&entry.zone));
        entries.min_by_key(|(_, entry)| {
            let zone = self.zones().get(entry.zone as usize);
            (std::cmp::Reverse(zone.map_or(0, demand)), zone.map(|zone| &zone.id))
        })
    }

    /// The type of a luminaire.
    pub fn luminaire_type(&self, luminaire: &Luminaire) -> &LuminaireType {
        &self.luminaire_types()[luminaire.kind as usize]
    }

    /// The type of a supply.
    pub fn supply_type(&self, supply: &Supply) -> &SupplyType {
        &self.supply_types()[supply.kind as usize]
    }

    /// The cable of a run.
    pub fn cable_type(&self, run: &Run) -> &CableType {
        &self.cable_types()[run.cable as usize]
    }

    /// The splice that a luminaire's or junction's `splice` points at.
    pub fn splice_type(&self, splice: Option<u32>) -> Option<&SpliceType> {
        splice.map(|index| &self.splice_types()[index as usize])
    }

    /// A node as outputs write it: `L1`, `J1`, or `S1/12`.
    pub fn node_name(&self, node: NodeRef) -> String {
        match node {
            NodeRef::Junction(junction) => self.junctions()[junction as usize].id.clone(),
            NodeRef::Luminaire(luminaire) => self.luminaires()[luminaire as usize].id.clone(),
            NodeRef::Output(output) => self.output_name(output),
        }
    }

    /// An output, by its supply and its place there, as outputs write it: `S1/12`.
    pub fn output_name(&self, (supply, output): (u32, u32)) -> String {
        let supply = &self.supplies()[supply as usize];
        format!("{}/{}", supply.id, self.supply_type(supply).outputs[output as usize].name)
    }
}

/// The electrical facts of one case.
#[derive(Debug)]
pub struct Facts {
    case: TemperatureCase,
    luminaires: OnceCell<Vec<LuminaireState>>,
    junctions: OnceCell<Vec<NodeState>>,
    segments: OnceCell<Vec<Vec<SegmentState>>>,
    supplies: OnceCell<Vec<SupplyState>>,
    unsolved: OnceCell<Vec<UnsolvedPart>>,
}

impl Facts {
    fn from_host(case: TemperatureCase) -> Self {
        Self {
            case,
            luminaires: OnceCell::new(),
            junctions: OnceCell::new(),
            segments: OnceCell::new(),
            supplies: OnceCell::new(),
            unsolved: OnceCell::new(),
        }
    }

    fn given(case: TemperatureCase, given: GivenFacts) -> Self {
        Self {
            case,
            luminaires: given.luminaires.into(),
            junctions: given.junctions.into(),
            segments: given.segments.into(),
            supplies: given.supplies.into(),
            unsolved: given.unsolved.into(),
        }
    }

    /// State of each luminaire, in the order of [`Input::luminaires`].
    pub fn luminaires(&self) -> &[LuminaireState] {
        self.luminaires.get_or_init(|| facts::luminaires(self.case))
    }

    /// State of each junction, in the order of [`Input::junctions`].
    pub fn junctions(&self) -> &[NodeState] {
        self.junctions.get_or_init(|| facts::junctions(self.case))
    }

    /// State of the segments of each run, in the order of [`Input::runs`].
    pub fn segments(&self) -> &[Vec<SegmentState>] {
        self.segments.get_or_init(|| facts::segments(self.case))
    }

    /// State of each supply, in the order of [`Input::supplies`].
    pub fn supplies(&self) -> &[SupplyState] {
        self.supplies.get_or_init(|| facts::supplies(self.case))
    }

    /// Connected parts of the network that have no answer.
    pub fn unsolved(&self) -> &[UnsolvedPart] {
        self.unsolved.get_or_init(|| facts::unsolved(self.case))
    }

    /// State of a junction or a luminaire; `None` for an output, whose state stands with its supply.
    pub fn node(&self, node: NodeRef) -> Option<&NodeState> {
        match node {
            NodeRef::Junction(junction) => Some(&self.junctions()[junction as usize]),
            NodeRef::Luminaire(luminaire) => Some(&self.luminaires()[luminaire as usize].node),
            NodeRef::Output(_) => None,
        }
    }
}
