//! The resolved plan: schedules merged, references followed, lengths measured, no spans.
//!
//! Analysis and rules read this; they never see YAML. Lists keep the order of the plan. An index
//! into one of the lists is a plain `usize` named after the list.

mod circuit;
mod readings;

pub use circuit::{Circuit, Circuits, Member};
pub use readings::{Measured, Reading, Readings};

use crate::plan::model::{
    Aim, Backfill, Base, CableKind, Code, Connection, CurrentKind, DigMethod, Dimming, Drain, Exposure, Grid, Lamp,
    Lights, LoadModel, Located, Location, Marking, Material, Method, Occupancy, OutputCurrent, Placement, PrivateLines,
    Responses, Riser, SharedWith, Soil, Stranding, SupplyListing, Supports, UtilityKind, ZoneKind,
};
use crate::plan::quantity::{
    Angle, ApparentPower, ColorTemperature, Current, Duration, Length, LuminousFlux, Power, Resistance,
    ResistancePerLength, Temperature, Voltage,
};
use crate::plan::scalar::{Conductor, Date, EnclosureRating, Id, IpCode, Rating, TrafficLoad, WorkRecord};
use indexmap::IndexMap;
use std::sync::Arc;

/// A company's own data on an element.
pub type House = IndexMap<String, String>;

/// A point of the site in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PointM {
    /// To the right, m.
    pub x_m: f64,
    /// Upwards, m.
    pub y_m: f64,
}

/// The resolved plan.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Layout {
    /// What and where the job is.
    pub project: Project,
    /// How the electrical analysis is made.
    pub analysis: AnalysisSettings,
    /// Unit of the plan's coordinates.
    pub grid: Option<Grid>,
    /// Direction of true north, clockwise from the grid's upward axis.
    pub north: Option<Angle>,
    /// Where the point [0, 0] of the grid is on the earth.
    pub origin: Option<Origin>,
    /// What the ground is made of.
    pub soil: Option<Soil>,
    /// Supplies.
    pub supplies: Vec<Supply>,
    /// Junctions.
    pub junctions: Vec<Junction>,
    /// Luminaires.
    pub luminaires: Vec<Luminaire>,
    /// Runs, with their segments.
    pub runs: Vec<Run>,
    /// Areas of the site.
    pub zones: Vec<Zone>,
    /// Buried lines of others.
    pub utilities: Vec<Utility>,
    /// The locate request and how the ground is opened, when the plan says anything of it.
    pub dig: Option<Dig>,
    /// Records of the work.
    pub records: Records,
    /// What was read on the finished work, when the plan has any of it.
    pub readings: Option<Readings>,
    /// What the plan leaves out and the loader filled in, one sentence each, sorted and without repeats.
    pub assumptions: Vec<String>,
}

/// The types of a plan's schedules, installed or not.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Catalogue {
    /// Cable types, the plan's own first.
    pub cables: Vec<Arc<CableType>>,
    /// Supply types, the plan's own first.
    pub supplies: Vec<Arc<SupplyType>>,
    /// The names of all types of every kind.
    pub names: Vec<Id>,
}

/// A place on the earth, WGS 84.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Origin {
    /// Degrees north of the equator, -90 to 90.
    pub latitude_deg: f64,
    /// Degrees east of Greenwich, -180 to 180.
    pub longitude_deg: f64,
}

/// What and where the job is.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Project {
    /// Name of the job.
    pub name: Option<String>,
    /// Who drew the plan.
    pub designer: Option<String>,
    /// Country, ISO 3166-1 alpha-2.
    pub country: Option<String>,
    /// State or province, ISO 3166-2.
    pub region: Option<String>,
    /// The authority having jurisdiction.
    pub authority: Option<String>,
    /// The code and edition.
    pub code: Option<Code>,
    /// What the property is used for.
    pub occupancy: Option<Occupancy>,
    /// A company's own data.
    pub house: House,
}

/// Conductor temperatures of the two cases; `None` means the convention of the conductor's system.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct AnalysisSettings {
    /// Judged case; `None` means 75 degC for AWG and 70 degC for mm2.
    pub conductor_temperature: Option<Temperature>,
    /// Second case; `None` means 30 degC.
    pub soil_temperature: Option<Temperature>,
}

/// A type of luminaire.
#[derive(Debug, Clone, PartialEq)]
pub struct LuminaireType {
    /// Its name in the schedule.
    pub name: Id,
    /// Real power at nominal voltage.
    pub power: Power,
    /// Apparent power at nominal voltage, from `apparent-power`, or from power and `power-factor`.
    pub apparent_power: Option<ApparentPower>,
    /// How the current follows the voltage; as stated, or constant-power with an assumption.
    pub load: LoadModel,
    /// Nominal voltage.
    pub nominal: Voltage,
    /// Lowest stated input voltage.
    pub input_min: Option<Voltage>,
    /// Highest stated input voltage.
    pub input_max: Option<Voltage>,
    /// Below this the driver is off.
    pub cut_out: Option<Voltage>,
    /// The kind of current it accepts.
    pub current: Option<CurrentKind>,
    /// IP codes as marked.
    pub ip: Vec<IpCode>,
    /// What it is listed for.
    pub location: Option<Location>,
    /// Declared load on its face.
    pub traffic: Option<TrafficLoad>,
    /// Width of the body.
    pub width: Option<Length>,
    /// Depth of the body.
    pub body_depth: Option<Length>,
    /// Colour temperature.
    pub cct: Option<ColorTemperature>,
    /// Luminous flux.
    pub flux: Option<LuminousFlux>,
    /// Depth of immersion that the maker states.
    pub immersion_depth: Option<Length>,
    /// Whether a testing laboratory has listed it.
    pub listed: Option<bool>,
    /// Whether it must be grounded.
    pub grounding_required: Option<bool>,
    /// The source of light.
    pub lamp: Option<Lamp>,
    /// The ways of dimming that its driver accepts; empty where the plan does not say.
    pub dimming: Vec<Dimming>,
    /// Whether the source of light is hidden from normal view.
    pub shielded: Option<bool>,
    /// A company's own data.
    pub house: House,
}

/// A type of cable.
#[derive(Debug, Clone, PartialEq)]
pub struct CableType {
    /// Its name in the schedule.
    pub name: Id,
    /// Size of one conductor; `None` only where `resistance` is given.
    pub conductor: Option<Conductor>,
    /// How the strands are made; as stated, or stranded / class 2 with an assumption.
    pub stranding: Stranding,
    /// The metal.
    pub material: Material,
    /// Conductors in parallel for each pole.
    pub parallel: u32,
    /// Type of the cable.
    pub kind: Option<CableKind>,
    /// Whether it is made for burial without a raceway.
    pub direct_burial: Option<bool>,
    /// Temperature rating of the insulation.
    pub insulation: Option<Temperature>,
    /// Current-carrying capacity of one conductor as laid.
    pub ampacity: Option<Current>,
    /// Resistance of one conductor from its maker.
    pub resistance: Option<ResistancePerLength>,
    /// The temperature that holds for.
    pub resistance_at: Option<Temperature>,
    /// What it is listed for.
    pub location: Option<Location>,
    /// Whether it may lie in the sun.
    pub sunlight_resistant: Option<bool>,
    /// Voltage that its insulation is rated for.
    pub voltage_rating: Option<Voltage>,
    /// A company's own data.
    pub house: House,
}

/// A type of supply.
#[derive(Debug, Clone, PartialEq)]
pub struct SupplyType {
    /// Its name in the schedule.
    pub name: Id,
    /// What it may give in all.
    pub rating: Option<Rating>,
    /// The kind of current it gives.
    pub output_current: OutputCurrent,
    /// Its outputs.
    pub outputs: Vec<Output>,
    /// Resistance that all outputs share.
    pub common_resistance: Option<Resistance>,
    /// Whether it holds its volts from no load to full load.
    pub regulated: Option<bool>,
    /// Voltage of its feed.
    pub input_volts: Option<Voltage>,
    /// What it is listed as.
    pub listing: Option<SupplyListing>,
    /// Where its enclosure may stand.
    pub enclosure: Option<EnclosureRating>,
    /// Whether an isolating transformer stands between branch circuit and outputs.
    pub isolating: Option<bool>,
    /// Whether a conductor of its outputs is grounded.
    pub grounded_output: Option<bool>,
    /// Whether it is listed for pool and spa use.
    pub pool_listed: Option<bool>,
    /// The way of dimming that it offers.
    pub dimming: Option<Dimming>,
    /// A company's own data.
    pub house: House,
}

/// One output of a supply.
#[derive(Debug, Clone, PartialEq)]
pub struct Output {
    /// Its name.
    pub name: Id,
    /// Voltage without load at nominal input.
    pub volts: Voltage,
    /// Current it is limited to.
    pub limit: Option<Current>,
    /// Rating of its overcurrent device.
    pub protection: Option<Current>,
    /// Resistance of the source seen at this output.
    pub source_resistance: Option<Resistance>,
}

/// A type of splice.
#[derive(Debug, Clone, PartialEq)]
pub struct SpliceType {
    /// Its name in the schedule.
    pub name: Id,
    /// What it is listed for.
    pub location: Option<Location>,
    /// Whether it is listed for burial without a box.
    pub direct_burial: Option<bool>,
    /// Resistance of one splice in one conductor.
    pub resistance: Option<Resistance>,
    /// A company's own data.
    pub house: House,
}

/// A supply that is installed.
#[derive(Debug, Clone, PartialEq)]
pub struct Supply {
    /// Its id.
    pub id: Id,
    /// Its type.
    pub kind: Arc<SupplyType>,
    /// Where it stands.
    pub at: Option<PointM>,
    /// Height of its underside above ground.
    pub mount_height: Option<Length>,
    /// The branch circuit that feeds it.
    pub feed: Option<Feed>,
    /// How exposed its place is, as stated.
    pub exposure: Option<Exposure>,
    /// How it is switched and dimmed.
    pub control: Option<Control>,
    /// A company's own data.
    pub house: House,
}

/// How a supply is switched and dimmed.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Control {
    /// The longest time a night that it is on without a break.
    pub hours: Option<Duration>,
    /// The way of dimming of the control that feeds it.
    pub dimmer: Option<Dimming>,
}

/// The branch circuit that feeds a supply.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Feed {
    /// Name of the circuit.
    pub circuit: Option<String>,
    /// Rating of its overcurrent device.
    pub breaker: Option<Current>,
    /// Ground-fault protection.
    pub gfci: Option<bool>,
    /// Cover that closes on the plug.
    pub in_use_cover: Option<bool>,
    /// How the circuit reaches the supply.
    pub connection: Option<Connection>,
    /// Whether the receptacle is of the weather-resistant type.
    pub weather_resistant: Option<bool>,
    /// Rated residual operating current of the residual-current device.
    pub rcd: Option<Current>,
    /// Other load on the circuit.
    pub other_load: Option<ApparentPower>,
}

/// A place where runs join.
#[derive(Debug, Clone, PartialEq)]
pub struct Junction {
    /// Its id.
    pub id: Id,
    /// Where it is.
    pub at: Option<PointM>,
    /// How the conductors are joined.
    pub splice: Option<Arc<SpliceType>>,
    /// What the box above ground that it is in is listed for; `None` is no box.
    pub above_ground_box: Option<Exposure>,
    /// A company's own data.
    pub house: House,
}

/// A luminaire that is installed.
#[derive(Debug, Clone, PartialEq)]
pub struct Luminaire {
    /// Its id.
    pub id: Id,
    /// Its type.
    pub kind: Arc<LuminaireType>,
    /// Where it is.
    pub at: Option<PointM>,
    /// How it is placed.
    pub placement: Option<Placement>,
    /// How exposed the place is, as stated.
    pub exposure: Option<Exposure>,
    /// How it is joined to the run.
    pub splice: Option<Arc<SpliceType>>,
    /// The hole it stands in.
    pub excavation: Option<Excavation>,
    /// The group that is seen together.
    pub scene: Option<String>,
    /// Depth of its lens below the normal water level.
    pub water_depth: Option<Length>,
    /// Its height above the ground or the highest water level.
    pub mount_height: Option<Length>,
    /// What it lights.
    pub lights: Option<Lights>,
    /// Where it points.
    pub aim: Option<Aim>,
    /// Whether its source of light is hidden from normal view: as stated here, else as of its type.
    pub shielded: Option<bool>,
    /// Length of its cord that is exposed in a fountain.
    pub cord: Option<Length>,
    /// Whether it can be serviced without draining the water.
    pub removable: Option<bool>,
    /// A company's own data.
    pub house: House,
}

/// The hole that an in-ground luminaire stands in.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Excavation {
    /// Its width.
    pub width: Option<Length>,
    /// Its depth.
    pub depth: Option<Length>,
    /// What its bottom is filled with.
    pub base: Option<Base>,
    /// Thickness of that fill.
    pub base_depth: Option<Length>,
    /// How water leaves it.
    pub drain: Option<Drain>,
}

/// A node of the network.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum NodeRef {
    /// Output `output` of supply `supply`.
    Output {
        /// Index into [`Layout::supplies`].
        supply: usize,
        /// Index into the outputs of its type.
        output: usize,
    },
    /// A junction by its index.
    Junction(usize),
    /// A luminaire by its index.
    Luminaire(usize),
}

/// A cable run.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// Its id.
    pub id: Id,
    /// Its cable type.
    pub cable: Arc<CableType>,
    /// Its segments in order.
    pub segments: Vec<Segment>,
    /// How it is laid.
    pub method: Option<Method>,
    /// Depth to the top of the cable or raceway.
    pub cover: Option<Length>,
    /// Cover that the instructions of the listed system allow.
    pub instructed_cover: Option<Length>,
    /// What guards the cable where it comes out of the ground.
    pub riser: Option<Riser>,
    /// What else lies in its raceway, cable or enclosure.
    pub shared_with: Option<SharedWith>,
    /// Whether a permanent barrier divides it from that.
    pub barrier: Option<bool>,
    /// What warns of it in the ground.
    pub marking: Option<Marking>,
    /// What the trench is filled with next to it.
    pub backfill: Option<Backfill>,
    /// Thickness of concrete over it.
    pub concrete: Option<Length>,
    /// What holds an aerial run.
    pub supports: Option<Supports>,
    /// Exceptions by zone.
    pub covers: Vec<CoverInZone>,
    /// A company's own data.
    pub house: House,
}

/// A piece of a run between two neighbouring nodes.
#[derive(Debug, Clone, PartialEq)]
pub struct Segment {
    /// Where it starts.
    pub from: NodeRef,
    /// Where it ends.
    pub to: NodeRef,
    /// Its points including both ends where they have a place, m.
    pub path: Vec<PointM>,
    /// Length of cable, m: measured with slack, or as stated.
    pub length_m: f64,
    /// Resistance added to its loop, ohm.
    pub added_ohms: f64,
}

/// Another cover or method inside one zone.
#[derive(Debug, Clone, PartialEq)]
pub struct CoverInZone {
    /// Index into [`Layout::zones`].
    pub zone: usize,
    /// Depth there.
    pub cover: Option<Length>,
    /// Method there.
    pub method: Option<Method>,
    /// Thickness of concrete over it there.
    pub concrete: Option<Length>,
    /// What the trench is filled with next to it there.
    pub backfill: Option<Backfill>,
}

/// An area of the site.
#[derive(Debug, Clone, PartialEq)]
pub struct Zone {
    /// Its id.
    pub id: Id,
    /// What it is.
    pub kind: ZoneKind,
    /// Its corners.
    pub outline: Vec<PointM>,
    /// Thickness of a slab.
    pub slab_thickness: Option<Length>,
    /// How far a slab reaches past the runs under it on each side.
    pub slab_beyond: Option<Length>,
    /// Whether the surround is cleaned with water jets.
    pub jets: Option<bool>,
    /// A company's own data.
    pub house: House,
}

/// A buried line of others.
#[derive(Debug, Clone, PartialEq)]
pub struct Utility {
    /// Its id.
    pub id: Id,
    /// What it carries.
    pub kind: UtilityKind,
    /// Points along it.
    pub path: Vec<PointM>,
    /// How its position is known.
    pub located: Option<Located>,
    /// Depth to its top.
    pub depth: Option<Length>,
    /// Its outside width.
    pub width: Option<Length>,
    /// A company's own data.
    pub house: House,
}

/// The locate request and how the ground is opened.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Dig {
    /// Number of the ticket.
    pub ticket_number: Option<String>,
    /// The day it was called in.
    pub called: Option<Date>,
    /// The day it expires.
    pub expires: Option<Date>,
    /// How many operators have answered.
    pub responses: Option<Responses>,
    /// The day the ground is opened.
    pub starts: Option<Date>,
    /// How it is opened.
    pub method: Option<DigMethod>,
    /// Whether private lines have been looked for.
    pub private_lines: Option<PrivateLines>,
    /// Whether the place of the excavation is marked in white.
    pub white_lined: Option<bool>,
    /// How the ground is opened in the tolerance zone of a line.
    pub in_tolerance_zone: Option<DigMethod>,
}

/// Records of the work.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Records {
    /// The night mock-up.
    pub mock_up: Option<WorkRecord>,
    /// The test before backfill.
    pub test_before_backfill: Option<WorkRecord>,
    /// The as-built record.
    pub as_built: Option<WorkRecord>,
    /// The readings at commissioning.
    pub commissioning: Option<WorkRecord>,
    /// Labels at supplies and circuits.
    pub labels: Option<WorkRecord>,
    /// Data sheets of what is installed.
    pub cut_sheets: Option<WorkRecord>,
    /// The next maintenance.
    pub maintenance: Option<WorkRecord>,
}

impl Layout {
    /// Whether lengths are shown in feet: by the grid, else where the conductors are of AWG sizes.
    pub fn is_in_feet(&self) -> bool {
        match self.grid {
            Some(grid) => grid == Grid::Ft,
            None => self.runs.iter().any(|run| matches!(run.cable.conductor, Some(Conductor::Awg(_)))),
        }
    }

    /// The id of a node as outputs write it: `L1`, `J1`, or `S1/12`.
    pub fn node_name(&self, node: NodeRef) -> String {
        match node {
            NodeRef::Junction(j) => self.junctions[j].id.0.clone(),
            NodeRef::Luminaire(l) => self.luminaires[l].id.0.clone(),
            NodeRef::Output { supply, output } => {
                let supply = &self.supplies[supply];
                format!("{}/{}", supply.id, supply.kind.outputs[output].name)
            }
        }
    }
}
