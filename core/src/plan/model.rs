//! The plan as written: one struct for each mapping of the YAML format, every value in a [`Field`].
//!
//! The doc comments here are the descriptions in the JSON Schema. Which keys a mapping must have
//! is said by [`Node::REQUIRED`], which the loader and the schema both read.

use super::field::Field;
use super::quantity::{
    Angle, ApparentPower, ColorTemperature, Current, CurrentKind as Amps, Duration, Length, LuminousFlux, Power,
    Resistance, ResistancePerLength, SignedVoltage, Temperature, Voltage, VoltageKind as Volts,
};
use super::read::{Map, Node};
use super::scalar::{
    Conductor, Date, EnclosureRating, Id, IpCode, Point, Rating, RouteStep, Slack, Terminal, Tolerance, TrafficLoad,
    WorkRecord,
};
use schemars::JsonSchema;
use serde::Deserialize;

/// A list whose items keep their own spans.
pub type List<T> = Field<Vec<Field<T>>>;
/// A mapping with free keys, in the order of the plan.
pub type Table<T> = Field<Map<T>>;

/// Named, because an attribute can hold an array only where syn's `full` feature happens to be on.
const USE_EXAMPLE: [&str; 1] = ["../schedules/standard.yaml"];
const ROUTE_EXAMPLE: [&str; 2] = ["S1/12", "J1"];

/// Defines the mappings of the format: all keys optional for serde (the loader reports what is
/// missing by the list in brackets), kebab-case in YAML.
macro_rules! mappings {
    ($($(#[$meta:meta])* $name:ident [$($required:literal),*] { $($(#[$fmeta:meta])* $field:ident: $type:ty,)* })*) => {
        $(
            $(#[$meta])*
            #[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema)]
            #[serde(default, rename_all = "kebab-case")]
            #[schemars(extend("required" = [$($required),*] as [&str; _]))]
            #[schemars(deny_unknown_fields)]
            pub struct $name {
                $($(#[$fmeta])* pub $field: $type,)*
            }
            impl Node for $name {
                const REQUIRED: &'static [&'static str] = &[$($required),*];
            }
        )*
    };
}

/// Defines the enumerations of the format, kebab-case in YAML.
macro_rules! choices {
    ($($(#[$meta:meta])* $name:ident { $($(#[$vmeta:meta])* $variant:ident $(= $text:literal)?,)* })*) => {
        $(
            $(#[$meta])*
            #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize, serde::Serialize, JsonSchema)]
            #[serde(rename_all = "kebab-case")]
            pub enum $name { $($(#[$vmeta])* $(#[serde(rename = $text)])? $variant,)* }
            impl Node for $name {}
            impl std::fmt::Display for $name {
                /// The word as plans write it.
                fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                    self.serialize(f)
                }
            }
        )*
    };
}
use serde::Serialize;

choices! {
    /// The electrical code that the plan is judged by, with its edition.
    Code {
        /// NFPA 70, 2017 edition.
        Nec2017 = "nec-2017",
        /// NFPA 70, 2020 edition.
        Nec2020 = "nec-2020",
        /// NFPA 70, 2023 edition.
        Nec2023 = "nec-2023",
        /// NFPA 70, 2026 edition.
        Nec2026 = "nec-2026",
        /// IEC 60364, as adopted nationally.
        Iec60364 = "iec-60364",
        /// BS 7671.
        Bs7671 = "bs-7671",
    }
    /// What the property is used for.
    Occupancy { OneFamilyDwelling, TwoFamilyDwelling, Multifamily, Commercial, Public, }
    /// How a load's current follows its voltage.
    LoadModel {
        /// A driver that holds its power: current rises as the voltage sags.
        ConstantPower,
        /// A driver that holds its input current.
        ConstantCurrent,
        /// A filament or resistor-limited load.
        Resistive,
    }
    /// The kind of current that a luminaire accepts.
    CurrentKind { Ac, Dc, AcOrDc, }
    /// The kind of current that a supply gives.
    OutputCurrent { Ac, Dc, }
    /// What a product is listed for, or how exposed a place is.
    Location { Dry, Damp, Wet, Submersible, }
    /// How exposed the place of a luminaire is.
    Exposure { Dry, Damp, Wet, }
    /// How a luminaire is placed.
    Placement { InGround, Stake, Surface, Wall, Eave, Tree, Step, Underwater, }
    /// How the strands of a conductor are made.
    Stranding {
        Solid,
        Stranded,
        IecClass1 = "iec-class-1",
        IecClass2 = "iec-class-2",
        IecClass5 = "iec-class-5",
    }
    /// The metal of a conductor.
    Material { Copper, }
    /// The type of a cable.
    CableKind {
        UfB = "uf-b",
        Use2 = "use-2",
        Nyy = "nyy",
        H07rnF = "h07rn-f",
        LowVoltageLandscape,
        /// Single insulated conductors for wet places, in a raceway.
        Thwn2 = "thwn-2",
        /// Parallel lamp cord such as SPT.
        LampCord,
        /// With earthed armour or a metal sheath.
        Armoured,
        /// Without insulation.
        Bare,
        Other,
    }
    /// What a supply is listed as.
    SupplyListing { LowVoltageLighting, Class2 = "class-2", General, Selv, }
    /// How a run is laid.
    Method { DirectBurial, PvcConduit, RigidMetalConduit, Surface, Aerial, }
    /// The unit of the plan's coordinates.
    Grid { Ft, M, }
    /// What an area of the site is.
    ZoneKind { Lawn, Bed, Driveway, Parking, Road, Walk, Slab, Building, Pool, Spa, Fountain, Pond, LowGround, Rock, }
    /// What a buried line carries.
    UtilityKind { Electric, Gas, Communication, Water, ReclaimedWater, Sewer, Irrigation, }
    /// How the position of a buried line is known.
    Located {
        /// Marked on the ground by the locating service.
        Marked,
        /// Located privately.
        Private,
        /// Assumed from drawings or traces on the surface.
        Assumed,
    }
    /// What an excavation is filled with at its bottom.
    Base { Gravel, Sand, NativeSoil, }
    /// How many of the operators have answered a locate request.
    Responses { All, Some, None, }
    /// How the ground is opened.
    DigMethod {
        Hand,
        /// By air or water and suction.
        Vacuum,
        Machine,
    }
    /// The source of light in a luminaire.
    Lamp { Led, Halogen, }
    /// A way of dimming.
    Dimming {
        None,
        /// Phase cut of the mains.
        Phase,
        /// Pulse width of the output.
        Pwm,
        /// 0-10 V or 1-10 V.
        Analog,
        /// By a bus, IEC 62386.
        Digital,
    }
    /// What a luminaire lights.
    Lights { Path, Steps, Tree, Facade, Entry, Water, Area, }
    /// Where a luminaire points.
    Aim { Up, Down, Level, }
    /// How water leaves an excavation.
    Drain {
        None,
        /// Into a pit that is filled with stone.
        Sump,
        /// Through a line that ends in the open.
        Daylight,
    }
    /// How a branch circuit reaches a supply.
    Connection { Receptacle, HardWired, }
    /// What guards a cable where it comes out of the ground.
    Riser { None, PvcConduit, RigidMetalConduit, }
    /// What else lies in the raceway, cable or enclosure of a run.
    SharedWith { None, Power, Communication, }
    /// What warns of a cable in the ground.
    Marking { None, Tape, Covers, }
    /// What a trench is filled with next to the cable.
    Backfill { Sand, ScreenedSoil, NativeSoil, RockySoil, }
    /// What holds an aerial run.
    Supports { Building, Pole, Tree, }
    /// What the ground is made of.
    Soil { Clay, Loam, Sand, Rock, }
    /// Whether lines that the one-call service does not mark have been looked for.
    PrivateLines { Located, None, Unknown, }
}

mappings! {
    /// A plan of outdoor low-voltage lighting.
    PlanDoc ["plan"] {
        /// Version of the plan format; this is version 1.
        #[schemars(range(min = 1, max = 1), example = 1)]
        plan: Field<u64>,
        /// What and where the job is, and the code it is judged by.
        project: Field<ProjectDoc>,
        /// Shared schedules inside the plan repository, as paths from this file with `/`.
        #[schemars(example = USE_EXAMPLE)]
        r#use: List<String>,
        /// The types that are installed.
        schedule: Field<ScheduleDoc>,
        /// How the electrical analysis is made.
        analysis: Field<AnalysisDoc>,
        /// The ground: zones and buried lines.
        site: Field<SiteDoc>,
        /// The supplies, each with an id, a type and a place.
        supplies: List<SupplyDoc>,
        /// Places where runs join without a luminaire.
        junctions: List<JunctionDoc>,
        /// The luminaires, each with an id, a type and a place.
        luminaires: List<LuminaireDoc>,
        /// The cable runs between supplies, junctions and luminaires.
        runs: List<RunDoc>,
        /// The locate request and how the ground is opened.
        dig: Field<DigDoc>,
        /// Records of the work.
        records: Field<RecordsDoc>,
        /// What was read on the finished work, to be compared with what was computed.
        readings: Field<ReadingsDoc>,
        /// Findings that the authority or the designer has accepted, with the reason.
        waivers: List<WaiverDoc>,
        /// A company's own data.
        house: Table<String>,
    }
    /// A shared schedule: types that several plans use.
    ScheduleFile ["schedule"] {
        /// The types.
        schedule: Field<ScheduleDoc>,
        /// A company's own data.
        house: Table<String>,
    }
    /// What and where the job is.
    ProjectDoc [] {
        /// Name of the job.
        #[schemars(example = &"Fernhollow Court, front garden")]
        name: Field<String>,
        /// Who drew the plan.
        #[schemars(example = &"R. Quill")]
        designer: Field<String>,
        /// Country, ISO 3166-1 alpha-2.
        #[schemars(example = &"US")]
        country: Field<String>,
        /// State or province, ISO 3166-2.
        #[schemars(example = &"US-OR")]
        region: Field<String>,
        /// The authority having jurisdiction.
        #[schemars(example = &"Fernhollow County")]
        authority: Field<String>,
        /// The electrical code and edition; without it limits that differ by code are not judged.
        code: Field<Code>,
        /// What the property is used for.
        occupancy: Field<Occupancy>,
        /// A company's own data.
        house: Table<String>,
    }
    /// The types that are installed, by name.
    ScheduleDoc [] {
        /// Luminaire types by name.
        luminaires: Table<LuminaireTypeDoc>,
        /// Cable types by name.
        cables: Table<CableTypeDoc>,
        /// Supply types by name.
        supplies: Table<SupplyTypeDoc>,
        /// Splice types by name.
        splices: Table<SpliceTypeDoc>,
    }
    /// A type of luminaire.
    LuminaireTypeDoc ["power", "nominal"] {
        /// Real power at nominal voltage, W.
        power: Field<Power>,
        /// Apparent power at nominal voltage on AC, VA; excludes `power-factor`.
        apparent_power: Field<ApparentPower>,
        /// Power factor on AC, above 0 up to 1; excludes `apparent-power`.
        #[schemars(range(max = 1), example = 0.9)]
        power_factor: Field<f64>,
        /// How the current follows the voltage; absent means constant-power, listed as an assumption.
        load: Field<LoadModel>,
        /// Nominal voltage, V.
        nominal: Field<Voltage>,
        /// Range of input voltage that the maker states, V.
        input: Field<InputRangeDoc>,
        /// Below this voltage the driver is off and draws nothing, V.
        cut_out: Field<Voltage>,
        /// The kind of current that it accepts.
        current: Field<CurrentKind>,
        /// IEC 60529 codes as marked; 7 and 8 do not include 5 and 6.
        ip: List<IpCode>,
        /// What the type is listed for.
        location: Field<Location>,
        /// Declared load on its face.
        traffic: Field<TrafficLoad>,
        /// Width or diameter of the body.
        width: Field<Length>,
        /// Depth of the body below its face.
        body_depth: Field<Length>,
        /// Correlated colour temperature, K.
        cct: Field<ColorTemperature>,
        /// Luminous flux, lm.
        flux: Field<LuminousFlux>,
        /// Depth of immersion that the maker states for IPX8.
        immersion_depth: Field<Length>,
        /// Whether a testing laboratory has listed or certified it.
        #[schemars(example = true)]
        listed: Field<bool>,
        /// Whether it must be grounded (earthed).
        #[schemars(example = false)]
        grounding_required: Field<bool>,
        /// The source of light.
        lamp: Field<Lamp>,
        /// The ways of dimming that its driver accepts; `none` alone means that it must not be dimmed.
        dimming: List<Dimming>,
        /// Whether the source of light is hidden from normal view.
        #[schemars(example = true)]
        shielded: Field<bool>,
        /// This entry stands in for one of the same name from a shared schedule.
        #[schemars(example = true)]
        replaces: Field<bool>,
        /// A company's own data.
        house: Table<String>,
    }
    /// Range of input voltage.
    InputRangeDoc ["min", "max"] {
        /// Lowest input voltage, V.
        min: Field<Voltage>,
        /// Highest input voltage, V.
        max: Field<Voltage>,
    }
    /// A type of cable.
    CableTypeDoc [] {
        /// Size of one conductor, `12 AWG` or `2.5 mm2`.
        conductor: Field<Conductor>,
        /// How the strands are made; absent means stranded (AWG) or class 2 (mm2), listed as an assumption.
        stranding: Field<Stranding>,
        /// The metal.
        material: Field<Material>,
        /// Conductors in parallel for each pole; absent means 1.
        #[schemars(range(min = 1, max = 64), example = 1)]
        parallel: Field<u64>,
        /// Type of the cable.
        kind: Field<CableKind>,
        /// Whether it is made for burial without a raceway.
        #[schemars(example = true)]
        direct_burial: Field<bool>,
        /// Temperature rating of the insulation.
        insulation: Field<Temperature>,
        /// Current-carrying capacity of one conductor as laid, A; replaces the built-in tables.
        ampacity: Field<Current>,
        /// Resistance of one conductor from its maker; replaces the table.
        resistance: Field<ResistancePerLength>,
        /// The conductor temperature that `resistance` holds for; absent means it is used unchanged.
        resistance_at: Field<Temperature>,
        /// What it is listed for.
        location: Field<Location>,
        /// Whether it may lie in the sun.
        #[schemars(example = true)]
        sunlight_resistant: Field<bool>,
        /// Voltage that its insulation is rated for.
        voltage_rating: Field<Voltage>,
        /// This entry stands in for one of the same name from a shared schedule.
        #[schemars(example = true)]
        replaces: Field<bool>,
        /// A company's own data.
        house: Table<String>,
    }
    /// A type of supply: a transformer or a DC power unit.
    SupplyTypeDoc ["output-current", "outputs"] {
        /// What it may give in all, `300 VA` or `100 W`.
        rating: Field<Rating>,
        /// The kind of current that it gives.
        output_current: Field<OutputCurrent>,
        /// Its outputs or taps.
        outputs: List<OutputDoc>,
        /// Resistance that all outputs share.
        common_resistance: Field<Resistance>,
        /// Whether it holds its volts from no load to full load.
        #[schemars(example = false)]
        regulated: Field<bool>,
        /// Voltage of the circuit that feeds it.
        input_volts: Field<Voltage>,
        /// What it is listed as.
        listing: Field<SupplyListing>,
        /// Where its enclosure may stand: indoor, outdoor, a type of NFPA 70 Table 110.28 such as `type 3R`, or an IP code.
        enclosure: Field<EnclosureRating>,
        /// Whether an isolating transformer stands between the branch circuit and the outputs.
        #[schemars(example = true)]
        isolating: Field<bool>,
        /// Whether a conductor of its outputs is grounded (earthed).
        #[schemars(example = false)]
        grounded_output: Field<bool>,
        /// Whether it is listed and identified for swimming pool and spa use.
        #[schemars(example = true)]
        pool_listed: Field<bool>,
        /// The way of dimming that it offers.
        dimming: Field<Dimming>,
        /// This entry stands in for one of the same name from a shared schedule.
        #[schemars(example = true)]
        replaces: Field<bool>,
        /// A company's own data.
        house: Table<String>,
    }
    /// One output or tap of a supply.
    OutputDoc ["name", "volts"] {
        /// Name of the output, unique in its supply.
        #[schemars(example = &"12")]
        name: Field<Id>,
        /// Voltage without load at nominal input, V.
        volts: Field<Voltage>,
        /// Current that the output is limited to, A.
        limit: Field<Current>,
        /// Rating of the overcurrent device on this output, A.
        protection: Field<Current>,
        /// Resistance of the source as seen at this output.
        source_resistance: Field<Resistance>,
    }
    /// A type of splice.
    SpliceTypeDoc [] {
        /// What it is listed for.
        location: Field<Location>,
        /// Whether it is listed for burial without a box.
        #[schemars(example = true)]
        direct_burial: Field<bool>,
        /// Resistance of one splice in one conductor; absent means 0.
        resistance: Field<Resistance>,
        /// This entry stands in for one of the same name from a shared schedule.
        #[schemars(example = true)]
        replaces: Field<bool>,
        /// A company's own data.
        house: Table<String>,
    }
    /// How the electrical analysis is made.
    AnalysisDoc [] {
        /// Conductor temperature of the judged case; absent means 75 degC for AWG and 70 degC for mm2.
        conductor_temperature: Field<Temperature>,
        /// Conductor temperature of the second case; absent means 30 degC.
        soil_temperature: Field<Temperature>,
    }
    /// The ground.
    SiteDoc [] {
        /// Unit of all coordinates; needed where any coordinate is given.
        grid: Field<Grid>,
        /// Direction of true north, clockwise from the grid's upward axis, below 360 deg; absent means not stated.
        north: Field<Angle>,
        /// Where the point [0, 0] of the grid is on the earth.
        origin: Field<OriginDoc>,
        /// What the ground is made of.
        soil: Field<Soil>,
        /// Areas of the site.
        zones: List<ZoneDoc>,
        /// Buried lines of others.
        utilities: List<UtilityDoc>,
    }
    /// A place on the earth, WGS 84.
    OriginDoc ["latitude", "longitude"] {
        /// Degrees north of the equator.
        #[schemars(range(min = -90, max = 90), example = 44.05)]
        latitude: Field<f64>,
        /// Degrees east of Greenwich.
        #[schemars(range(min = -180, max = 180), example = -121.31)]
        longitude: Field<f64>,
    }
    /// An area of the site.
    ZoneDoc ["id", "kind", "outline"] {
        /// Its id, unique among all elements of the plan.
        #[schemars(example = &"lawn")]
        id: Field<Id>,
        /// What the area is.
        kind: Field<ZoneKind>,
        /// Corners in order, in grid units; the last joins the first.
        outline: List<Point>,
        /// Thickness of a slab.
        slab_thickness: Field<Length>,
        /// How far a slab reaches past the runs under it on each side.
        slab_beyond: Field<Length>,
        /// Whether the surround is cleaned with water jets.
        #[schemars(example = true)]
        jets: Field<bool>,
        /// A company's own data.
        house: Table<String>,
    }
    /// A buried line.
    UtilityDoc ["id", "kind", "path"] {
        /// Its id, unique among all elements of the plan.
        #[schemars(example = &"gas-1")]
        id: Field<Id>,
        /// What it carries.
        kind: Field<UtilityKind>,
        /// Points along it, in grid units.
        path: List<Point>,
        /// How its position is known.
        located: Field<Located>,
        /// Depth to its top.
        depth: Field<Length>,
        /// Its outside width or diameter.
        width: Field<Length>,
        /// A company's own data.
        house: Table<String>,
    }
    /// A supply that is installed.
    SupplyDoc ["id", "type"] {
        /// Its id, unique among all elements of the plan.
        #[schemars(example = &"S1")]
        id: Field<Id>,
        /// Its type, from a schedule.
        #[schemars(example = &"box-300")]
        r#type: Field<Id>,
        /// Where it stands, in grid units.
        at: Field<Point>,
        /// Height of its underside above ground.
        mount_height: Field<Length>,
        /// The branch circuit that feeds it.
        feed: Field<FeedDoc>,
        /// How exposed its place is; absent means wet, listed as an assumption where a rule needs it.
        exposure: Field<Exposure>,
        /// How it is switched and dimmed.
        control: Field<ControlDoc>,
        /// A company's own data.
        house: Table<String>,
    }
    /// How a supply is switched and dimmed.
    ControlDoc [] {
        /// The longest time a night that it is on without a break.
        hours: Field<Duration>,
        /// The way of dimming of the control that feeds it.
        dimmer: Field<Dimming>,
    }
    /// The branch circuit that feeds a supply.
    FeedDoc [] {
        /// Name of the circuit; supplies with the same name share it.
        #[schemars(example = &"LT-3")]
        circuit: Field<String>,
        /// Rating of its overcurrent device, A.
        breaker: Field<Current>,
        /// Whether it has ground-fault protection.
        #[schemars(example = true)]
        gfci: Field<bool>,
        /// Whether the receptacle has a cover that closes on the plug.
        #[schemars(example = true)]
        in_use_cover: Field<bool>,
        /// How the circuit reaches the supply.
        connection: Field<Connection>,
        /// Whether the receptacle is of the weather-resistant type.
        #[schemars(example = true)]
        weather_resistant: Field<bool>,
        /// Rated residual operating current of the residual-current device.
        rcd: Field<Current>,
        /// Other load on the same circuit, VA.
        other_load: Field<ApparentPower>,
    }
    /// A place where runs join without a luminaire.
    JunctionDoc ["id"] {
        /// Its id, unique among all elements of the plan.
        #[schemars(example = &"J1")]
        id: Field<Id>,
        /// Where it is, in grid units.
        at: Field<Point>,
        /// How the conductors are joined, a splice type.
        #[schemars(example = &"gel-cap")]
        splice: Field<Id>,
        /// What the box above ground that it is in is listed for; absent means no box.
        r#box: Field<Exposure>,
        /// A company's own data.
        house: Table<String>,
    }
    /// A luminaire that is installed.
    LuminaireDoc ["id", "type"] {
        /// Its id, unique among all elements of the plan.
        #[schemars(example = &"L1")]
        id: Field<Id>,
        /// Its type, from a schedule.
        #[schemars(example = &"well-6")]
        r#type: Field<Id>,
        /// Where it is, in grid units.
        at: Field<Point>,
        /// How it is placed.
        placement: Field<Placement>,
        /// How exposed the place is; absent means wet outdoors and damp under an eave.
        exposure: Field<Exposure>,
        /// How it is joined to the run, a splice type.
        #[schemars(example = &"gel-cap")]
        splice: Field<Id>,
        /// The hole that an in-ground luminaire stands in.
        excavation: Field<ExcavationDoc>,
        /// Name of the group of luminaires that is seen together.
        #[schemars(example = &"entry")]
        scene: Field<String>,
        /// Depth of its lens below the normal water level.
        water_depth: Field<Length>,
        /// Its height above the ground, or above the highest water level.
        mount_height: Field<Length>,
        /// What it lights.
        lights: Field<Lights>,
        /// Where it points.
        aim: Field<Aim>,
        /// Whether its source of light is hidden from normal view here; absent means as its type.
        #[schemars(example = true)]
        shielded: Field<bool>,
        /// Length of its cord that is exposed in a fountain.
        cord: Field<Length>,
        /// Whether it can be taken out for service without draining the water.
        #[schemars(example = true)]
        removable: Field<bool>,
        /// A company's own data.
        house: Table<String>,
    }
    /// The hole that an in-ground luminaire stands in.
    ExcavationDoc [] {
        /// Its width or diameter.
        width: Field<Length>,
        /// Its depth.
        depth: Field<Length>,
        /// What its bottom is filled with.
        base: Field<Base>,
        /// Thickness of that fill.
        base_depth: Field<Length>,
        /// How water leaves it.
        drain: Field<Drain>,
    }
    /// A cable run.
    RunDoc ["id", "cable", "route"] {
        /// Its id, unique among all elements of the plan.
        #[schemars(example = &"R1")]
        id: Field<Id>,
        /// Its cable type, from a schedule.
        #[schemars(example = &"burial-12-2")]
        cable: Field<Id>,
        /// Nodes and bends in order: ids, outputs as `S1/12`, and points in grid units.
        #[schemars(example = ROUTE_EXAMPLE)]
        route: List<RouteStep>,
        /// Allowance on each measured segment, `5 %` or a length; absent means none, listed as an assumption.
        slack: Field<Slack>,
        /// Length of a run with two nodes; replaces measured length and slack.
        length: Field<Length>,
        /// Length of each segment in order; replaces measured length and slack.
        lengths: List<Length>,
        /// Resistance added to the loop of a run with two nodes.
        added_resistance: Field<Resistance>,
        /// How the run is laid.
        method: Field<Method>,
        /// Depth from the surface to the top of the cable or raceway.
        cover: Field<Length>,
        /// Cover that the instructions of the listed low-voltage lighting system allow.
        instructed_cover: Field<Length>,
        /// What guards the cable where it comes out of the ground.
        riser: Field<Riser>,
        /// What else lies in its raceway, cable or enclosure.
        shared_with: Field<SharedWith>,
        /// Whether a permanent barrier divides it from what it shares with.
        #[schemars(example = true)]
        barrier: Field<bool>,
        /// What warns of it in the ground.
        marking: Field<Marking>,
        /// What the trench is filled with next to it.
        backfill: Field<Backfill>,
        /// Thickness of concrete over it.
        concrete: Field<Length>,
        /// What holds an aerial run.
        supports: Field<Supports>,
        /// Exceptions by zone. Where zones overlap, that of the most demanding one holds: of a road before that of a driveway or
        /// a parking area, that before one of a building, and of equals the first by id.
        covers: List<CoverDoc>,
        /// A company's own data.
        house: Table<String>,
    }
    /// Another cover or method inside one zone.
    CoverDoc ["zone"] {
        /// The zone.
        #[schemars(example = &"drive")]
        zone: Field<Id>,
        /// Depth to the top of the cable or raceway there.
        cover: Field<Length>,
        /// How the run is laid there.
        method: Field<Method>,
        /// Thickness of concrete over it there.
        concrete: Field<Length>,
        /// What the trench is filled with next to it there.
        backfill: Field<Backfill>,
    }
    /// The locate request and how the ground is opened.
    DigDoc [] {
        /// The locate request.
        ticket: Field<TicketDoc>,
        /// The day the ground is opened.
        starts: Field<Date>,
        /// How the ground is opened.
        method: Field<DigMethod>,
        /// Whether lines that the one-call service does not mark have been looked for.
        private_lines: Field<PrivateLines>,
        /// Whether the place of the excavation is marked in white.
        #[schemars(example = true)]
        white_lined: Field<bool>,
        /// How the ground is opened in the tolerance zone of a line; absent means by `method`.
        in_tolerance_zone: Field<DigMethod>,
    }
    /// A locate request.
    TicketDoc [] {
        /// Its number.
        #[schemars(example = &"26-0311")]
        number: Field<String>,
        /// The day it was called in.
        called: Field<Date>,
        /// The day it expires.
        expires: Field<Date>,
        /// How many operators have answered.
        responses: Field<Responses>,
    }
    /// Records of the work.
    RecordsDoc [] {
        /// The night mock-up: its date, or `planned`.
        mock_up: Field<WorkRecord>,
        /// The test before backfill: its date, or `planned`.
        test_before_backfill: Field<WorkRecord>,
        /// The as-built record: its date, or `planned`.
        as_built: Field<WorkRecord>,
        /// The readings at commissioning: the date, or `planned`.
        commissioning: Field<WorkRecord>,
        /// Labels at supplies and circuits: the date, or `planned`.
        labels: Field<WorkRecord>,
        /// Data sheets of what is installed: the date, or `planned`.
        cut_sheets: Field<WorkRecord>,
        /// The next maintenance: its date, or `planned`.
        maintenance: Field<WorkRecord>,
    }
    /// What was read on the finished work, with every luminaire switched on.
    ReadingsDoc ["taken"] {
        /// The day of the readings.
        on: Field<Date>,
        /// What the instruments may be off by, rounding of the last digit included.
        tolerance: Field<ToleranceDoc>,
        /// Conductor temperature during the readings; absent means that of the soil case, listed as an assumption.
        conductor_temperature: Field<Temperature>,
        /// The readings, one entry for each place.
        taken: List<ReadingDoc>,
    }
    /// What the instruments may be off by.
    ToleranceDoc [] {
        /// Of volts: a share of the reading, volts, or both; absent means that of a common hand instrument, listed as an assumption.
        volts: Field<Tolerance<Volts>>,
        /// Of amps: a share of the reading, amps, or both; absent means that of a common clamp meter, listed as an assumption.
        amps: Field<Tolerance<Amps>>,
    }
    /// What was read at one place.
    ReadingDoc ["at"] {
        /// The place: a luminaire, a junction, a supply, one of its outputs as `S1/12`, or the start of a run.
        #[schemars(example = &"S1/12")]
        at: Field<Terminal>,
        /// Volts there under load, at an output, a junction or a luminaire; below zero on DC where the leads are reversed.
        volts: Field<SignedVoltage>,
        /// Amps of an output, or at the start of a run.
        amps: Field<Current>,
        /// Volts of the branch circuit at the input of the supply.
        input_volts: Field<Voltage>,
        /// Whether the luminaire was seen to be lit.
        #[schemars(example = true)]
        lit: Field<bool>,
    }
    /// A finding that has been accepted.
    WaiverDoc ["rule"] {
        /// Id of the rule.
        #[schemars(example = &"burial/shallow-cover")]
        rule: Field<String>,
        /// Id of the element; absent means the whole plan.
        #[schemars(example = &"R2")]
        subject: Field<Id>,
        /// Why it is accepted.
        #[schemars(example = &"rock at 4 in")]
        reason: Field<String>,
        /// Who has accepted it.
        #[schemars(example = &"Fernhollow County")]
        approved_by: Field<String>,
        /// The day it was accepted.
        on: Field<Date>,
        /// The last day it holds.
        until: Field<Date>,
    }
}
