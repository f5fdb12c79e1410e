//! The table of everything that an expression can name: its type, its unit, its words, what it means, where the plan
//! writes it, and how its value is had. The checker, the values and the reference (`fields.md`) are all read from it.

mod elements;
mod places;
mod project;
mod types;
mod words;

use lintern_rule::{Input, Length};

/// Where an object stands: indices into the lists of the plan, by kind. The first is the element's, then follow those of
/// its parts (output; segment, piece), then what is near it, and which list that is in.
pub type At = [u32; 5];

/// The element of this index.
pub const fn element(index: u32) -> At {
    [index, 0, 0, 0, 0]
}

/// A company's own data on an element.
pub type House = [(String, String)];

/// A field of a kind of object.
pub struct Field {
    /// As expressions write it.
    pub name: &'static str,
    /// How its value is had, which is its type too.
    pub get: Get,
    /// Key of the plan, from the element; empty for what lintern computes or what stands elsewhere.
    pub plan: &'static str,
    /// What is missing where it is absent, for what is no key of the plan.
    pub missing: &'static str,
    /// What it means, in one line.
    pub doc: &'static str,
}

/// How the value of a field is had; none is absent.
pub enum Get {
    /// A number in a unit; an empty unit is a plain number.
    Number(&'static str, fn(&Input, At) -> Option<f64>),
    /// A length of the plan in one of four units.
    Length(Unit, for<'a> fn(&'a Input, At) -> Option<&'a Length>),
    Flag(fn(&Input, At) -> Option<bool>),
    Text(for<'a> fn(&'a Input, At) -> Option<&'a str>),
    /// A text that is put together.
    Name(fn(&Input, At) -> Option<String>),
    /// An ISO 8601 day.
    Day(for<'a> fn(&'a Input, At) -> Option<&'a str>),
    /// One of a list of words.
    Word(&'static [&'static str], fn(&Input, At) -> Option<&'static str>),
    Words(&'static [&'static str], fn(&Input, At) -> Option<Vec<&'static str>>),
    Texts(fn(&Input, At) -> Option<Vec<String>>),
    One(Kind, fn(&Input, At) -> Option<At>),
    Many(Kind, fn(&Input, At) -> Option<Vec<At>>),
    House(for<'a> fn(&'a Input, At) -> &'a House),
}

/// Units in which a length of the plan can be had.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    Metres,
    Millimetres,
    Inches,
    Feet,
}

impl Unit {
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Metres => "m",
            Self::Millimetres => "mm",
            Self::Inches => "in",
            Self::Feet => "ft",
        }
    }

    /// A length in this unit; exact where the plan wrote it in a unit of the same system.
    pub fn of(self, length: &Length) -> f64 {
        match (self, length.unit.as_str()) {
            (Self::Metres, "m") | (Self::Feet, "ft") => length.value,
            (Self::Metres, _) => length.metres,
            (Self::Millimetres, "m") => length.value * 1000.0,
            (Self::Millimetres, _) => length.millimetres(),
            (Self::Inches, _) => length.inches(),
            (Self::Feet, "in") => length.value / 12.0,
            (Self::Feet, _) => length.metres / METRES_PER_FOOT,
        }
    }
}

/// Exact, ISO 31-1.
const METRES_PER_FOOT: f64 = 0.3048;

/// A field for each unit of a length: `cover_m`, `cover_mm`, `cover_in`, `cover_ft`.
macro_rules! length {
    ($name:literal, $plan:literal, $doc:literal, $get:expr) => {
        &[
            length!(@ concat!($name, "_m"), Metres, $plan, $doc, $get),
            length!(@ concat!($name, "_mm"), Millimetres, $plan, $doc, $get),
            length!(@ concat!($name, "_in"), Inches, $plan, $doc, $get),
            length!(@ concat!($name, "_ft"), Feet, $plan, $doc, $get),
        ]
    };
    (@ $name:expr, $unit:ident, $plan:literal, $doc:literal, $get:expr) => {
        $crate::schema::Field {
            name: $name,
            get: $crate::schema::Get::Length($crate::schema::Unit::$unit, $get),
            plan: $plan,
            missing: "",
            doc: $doc,
        }
    };
}
pub(crate) use length;

/// A distance or a length that lintern computes, in metres and in feet.
macro_rules! distance {
    ($name:literal, $missing:literal, $doc:literal, $get:expr) => {
        &[
            $crate::schema::fact(concat!($name, "_m"), $missing, $doc, $crate::schema::Get::Number("m", $get)),
            $crate::schema::fact(
                concat!($name, "_ft"),
                $missing,
                $doc,
                $crate::schema::Get::Number("ft", |input, at| {
                    let metres: fn(&lintern_rule::Input, $crate::schema::At) -> Option<f64> = $get;
                    metres(input, at).map($crate::schema::feet)
                }),
            ),
        ]
    };
}
pub(crate) use distance;

pub fn feet(metres: f64) -> f64 {
    metres / METRES_PER_FOOT
}

/// A field that the plan writes.
const fn plan(name: &'static str, key: &'static str, doc: &'static str, get: Get) -> Field {
    Field { name, get, plan: key, missing: "", doc }
}

/// A field that lintern computes, with what is missing where it has no value.
const fn fact(name: &'static str, missing: &'static str, doc: &'static str, get: Get) -> Field {
    Field { name, get, plan: "", missing, doc }
}

/// Index into a list, as the interface counts.
pub fn index(index: usize) -> u32 {
    u32::try_from(index).unwrap_or(u32::MAX)
}

/// The places 0, 1, 2, … of a list.
pub fn all(count: usize) -> Vec<At> {
    (0..index(count)).map(element).collect()
}

/// The kinds of objects, each with its table.
macro_rules! kinds {
    ($($kind:ident $word:literal $doc:literal $table:expr;)+) => {
        /// A kind of object.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum Kind { $($kind),+ }

        impl Kind {
            /// All kinds, in the order of the reference.
            pub const ALL: &[Kind] = &[$(Kind::$kind),+];

            /// As expressions and messages call it.
            pub fn word(self) -> &'static str {
                match self { $(Self::$kind => $word),+ }
            }

            /// What it is, in one line.
            pub fn doc(self) -> &'static str {
                match self { $(Self::$kind => $doc),+ }
            }

            fn groups(self) -> &'static [&'static [Field]] {
                match self { $(Self::$kind => $table),+ }
            }
        }
    };
}

kinds! {
    Plan "plan" "the plan as a whole" project::PLAN;
    Project "project" "what and where the job is" project::PROJECT;
    Dig "dig" "the locate request and how the ground is opened" project::DIG;
    Records "records" "records of the work" project::RECORDS;
    Supply "supply" "a power supply" elements::SUPPLY;
    SupplyType "supply type" "the schedule entry of a supply" types::SUPPLY_TYPE;
    Feed "feed" "the branch circuit of a supply" elements::FEED;
    Output "output" "an output of a supply" elements::OUTPUT;
    Junction "junction" "a place where runs join" elements::JUNCTION;
    Luminaire "luminaire" "a luminaire" elements::LUMINAIRE;
    LuminaireType "luminaire type" "the schedule entry of a luminaire" types::LUMINAIRE_TYPE;
    Ip "IP code" "a code of IEC 60529" types::IP;
    Excavation "excavation" "the hole of a luminaire" elements::EXCAVATION;
    Splice "splice" "the way in which conductors are joined" types::SPLICE;
    Run "run" "a cable run" elements::RUN;
    Cable "cable" "the schedule entry of a run's cable" types::CABLE;
    ZoneCover "cover in a zone" "what is different about a run inside one zone" elements::ZONE_COVER;
    Segment "segment" "a run from one node to the next" elements::SEGMENT;
    Piece "piece" "a stretch of a segment on which the zones do not change" places::PIECE;
    Zone "zone" "an area of the site" elements::ZONE;
    Utility "utility" "a buried line of others" elements::UTILITY;
    Water "water nearby" "a pool, spa, fountain or pond within 30 m" places::WATER;
    NearUtility "utility nearby" "a utility within 30 m" places::NEAR_UTILITY;
}

impl Kind {
    /// Its fields.
    pub fn fields(self) -> impl Iterator<Item = &'static Field> {
        self.groups().iter().copied().flatten()
    }

    /// The field of this name.
    pub fn field(self, name: &str) -> Option<&'static Field> {
        self.fields().find(|field| field.name == name)
    }
}

/// A variable that stands beside the element.
pub struct Variable {
    pub name: &'static str,
    pub get: Get,
    pub doc: &'static str,
}

/// The variables that every expression has.
pub const VARIABLES: &[Variable] = &[
    Variable { name: "plan", get: Get::One(Kind::Plan, |_, _| Some(element(0))), doc: "the plan as a whole" },
    Variable {
        name: "project",
        get: Get::One(Kind::Project, |_, _| Some(element(0))),
        doc: "what and where the job is",
    },
    Variable {
        name: "dig",
        get: Get::One(Kind::Dig, |input, _| input.dig().map(|_| element(0))),
        doc: "the locate request and how the ground is opened; absent where the plan says nothing of it",
    },
    Variable { name: "records", get: Get::One(Kind::Records, |_, _| Some(element(0))), doc: "records of the work" },
    Variable {
        name: "as_of",
        get: Get::Day(|input, _| Some(input.as_of())),
        doc: "the day against which the plan is judged",
    },
    Variable {
        name: "supplies",
        get: Get::Many(Kind::Supply, |input, _| Some(all(input.supplies().len()))),
        doc: "all supplies",
    },
    Variable {
        name: "junctions",
        get: Get::Many(Kind::Junction, |input, _| Some(all(input.junctions().len()))),
        doc: "all junctions",
    },
    Variable {
        name: "luminaires",
        get: Get::Many(Kind::Luminaire, |input, _| Some(all(input.luminaires().len()))),
        doc: "all luminaires",
    },
    Variable { name: "runs", get: Get::Many(Kind::Run, |input, _| Some(all(input.runs().len()))), doc: "all runs" },
    Variable { name: "zones", get: Get::Many(Kind::Zone, |input, _| Some(all(input.zones().len()))), doc: "all zones" },
    Variable {
        name: "utilities",
        get: Get::Many(Kind::Utility, |input, _| Some(all(input.utilities().len()))),
        doc: "all utilities",
    },
];

/// What an object is called where something of it is missing: `R3`, ``type `well-6` ``.
pub fn title(input: &Input, kind: Kind, at: At) -> String {
    let element = |kind| id(input, kind, at);
    match kind {
        Kind::Plan => "the plan".to_owned(),
        Kind::Project => "`project`".to_owned(),
        Kind::Dig => "`dig`".to_owned(),
        Kind::Records => "`records`".to_owned(),
        Kind::SupplyType | Kind::LuminaireType | Kind::Cable | Kind::Splice => {
            format!("type `{}`", types::name(input, kind, at))
        }
        Kind::Ip => format!("type `{}`", types::name(input, Kind::LuminaireType, at)),
        Kind::Feed => element(Kind::Supply),
        Kind::Excavation => element(Kind::Luminaire),
        Kind::ZoneCover | Kind::Piece => element(Kind::Run),
        Kind::Water | Kind::NearUtility => "what is nearby".to_owned(),
        _ => element(kind),
    }
}

/// Id of an element, as its findings name it; empty for the plan. Of an output it is the supply's, of a segment the run's.
pub fn id(input: &Input, kind: Kind, at: At) -> String {
    let at = at[0] as usize;
    match kind {
        Kind::Supply | Kind::Output => input.supplies()[at].id.clone(),
        Kind::Junction => input.junctions()[at].id.clone(),
        Kind::Luminaire => input.luminaires()[at].id.clone(),
        Kind::Run | Kind::Segment => input.runs()[at].id.clone(),
        Kind::Zone => input.zones()[at].id.clone(),
        Kind::Utility => input.utilities()[at].id.clone(),
        _ => String::new(),
    }
}

/// The elements of a kind, in the order of the plan.
pub fn elements(input: &Input, kind: Kind) -> Vec<At> {
    match kind {
        Kind::Supply => all(input.supplies().len()),
        Kind::Output => {
            (0..index(input.supplies().len())).flat_map(|supply| elements::outputs(input, supply)).collect()
        }
        Kind::Junction => all(input.junctions().len()),
        Kind::Luminaire => all(input.luminaires().len()),
        Kind::Run => all(input.runs().len()),
        Kind::Segment => (0..index(input.runs().len())).flat_map(|run| elements::segments(input, run)).collect(),
        Kind::Zone => all(input.zones().len()),
        Kind::Utility => all(input.utilities().len()),
        _ => vec![element(0)],
    }
}
