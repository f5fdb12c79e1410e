//! The schedule: types of luminaires, supplies, cables and splices. An object of these kinds is known by the element
//! that has the type, so that every element has one.

use super::{At, Field, Get, Kind, index, length, plan, words};
use lintern_rule::Input;
use lintern_rule::plan::{CableType, Conductor, Enclosure, IpCode, LuminaireType, Rating, SpliceType, SupplyType};

fn luminaire_type(input: &Input, at: At) -> &LuminaireType {
    input.luminaire_type(&input.luminaires()[at[0] as usize])
}

fn supply_type(input: &Input, at: At) -> &SupplyType {
    input.supply_type(&input.supplies()[at[0] as usize])
}

fn cable(input: &Input, at: At) -> &CableType {
    input.cable_type(&input.runs()[at[0] as usize])
}

/// The second number tells junctions from luminaires.
pub const OF_LUMINAIRE: u32 = 0;
pub const OF_JUNCTION: u32 = 1;

fn splice(input: &Input, at: At) -> Option<&SpliceType> {
    let element = at[0] as usize;
    input.splice_type(match at[1] {
        OF_JUNCTION => input.junctions()[element].splice,
        _ => input.luminaires()[element].splice,
    })
}

/// Name of the schedule entry.
pub fn name(input: &Input, kind: Kind, at: At) -> &str {
    match kind {
        Kind::SupplyType => &supply_type(input, at).name,
        Kind::Cable => &cable(input, at).name,
        Kind::Splice => splice(input, at).map_or("", |kind| &kind.name),
        _ => &luminaire_type(input, at).name,
    }
}

pub const LUMINAIRE_TYPE: &[&[Field]] = &[
    &[
        plan("name", "", "name in the schedule", Get::Text(|i, at| Some(&luminaire_type(i, at).name))),
        plan("power_w", "power", "power", Get::Number("W", |i, at| Some(luminaire_type(i, at).power_w))),
        plan(
            "apparent_power_va",
            "apparent-power",
            "apparent power",
            Get::Number("VA", |i, at| luminaire_type(i, at).apparent_power_va),
        ),
        plan(
            "load",
            "load",
            "how it draws its power",
            Get::Word(words::LOAD, |i, at| Some(words::load(luminaire_type(i, at).load))),
        ),
        plan(
            "nominal_v",
            "nominal",
            "nominal voltage",
            Get::Number("V", |i, at| Some(luminaire_type(i, at).nominal_v)),
        ),
        plan("input_min_v", "input.min", "lowest voltage", Get::Number("V", |i, at| luminaire_type(i, at).input_min_v)),
        plan(
            "input_max_v",
            "input.max",
            "highest voltage",
            Get::Number("V", |i, at| luminaire_type(i, at).input_max_v),
        ),
        plan("cut_out_v", "cut-out", "dark below this", Get::Number("V", |i, at| luminaire_type(i, at).cut_out_v)),
        plan(
            "current",
            "current",
            "what it may be fed with",
            Get::Word(words::ACCEPTED, |i, at| luminaire_type(i, at).current.map(words::accepted)),
        ),
        plan(
            "ip",
            "ip",
            "its IP codes; empty where none is stated",
            Get::Many(Kind::Ip, |i, at| {
                Some((0..index(luminaire_type(i, at).ip.len())).map(|code| [at[0], code, 0, 0, 0]).collect())
            }),
        ),
        plan(
            "location",
            "location",
            "what it is listed for",
            Get::Word(words::LOCATION, |i, at| luminaire_type(i, at).location.map(words::location)),
        ),
        plan(
            "traffic",
            "traffic",
            "load on its face that is declared; `static` is a stated force",
            Get::Word(words::TRAFFIC, |i, at| luminaire_type(i, at).traffic.map(words::traffic)),
        ),
    ],
    length!("width", "width", "width of its body", |i, at| luminaire_type(i, at).width.as_ref()),
    length!("body_depth", "body-depth", "depth of its body", |i, at| luminaire_type(i, at).body_depth.as_ref()),
    length!("immersion_depth", "immersion-depth", "depth of immersion by its maker", |i, at| luminaire_type(i, at)
        .immersion_depth
        .as_ref()),
    &[
        plan("cct_k", "cct", "colour temperature", Get::Number("K", |i, at| luminaire_type(i, at).cct_k)),
        plan("flux_lm", "flux", "luminous flux", Get::Number("lm", |i, at| luminaire_type(i, at).flux_lm)),
        plan("listed", "listed", "listed by a testing laboratory", Get::Flag(|i, at| luminaire_type(i, at).listed)),
        plan(
            "grounding_required",
            "grounding-required",
            "must be grounded",
            Get::Flag(|i, at| luminaire_type(i, at).grounding_required),
        ),
        plan(
            "lamp",
            "lamp",
            "kind of lamp",
            Get::Word(words::LAMP, |i, at| luminaire_type(i, at).lamp.map(words::lamp)),
        ),
        plan(
            "dimming",
            "dimming",
            "ways of dimming; empty where none is stated",
            Get::Words(words::DIMMING, |i, at| {
                Some(luminaire_type(i, at).dimming.iter().map(|way| words::dimming(*way)).collect())
            }),
        ),
        plan("house", "house", "your own data", Get::House(|i, at| &luminaire_type(i, at).house)),
    ],
];

fn ip(input: &Input, at: At) -> &IpCode {
    &luminaire_type(input, at).ip[at[1] as usize]
}

pub const IP: &[&[Field]] = &[&[
    plan("solids", "ip", "first digit; absent for X", Get::Number("", |i, at| ip(i, at).solids.map(f64::from))),
    plan("water", "ip", "second digit; absent for X", Get::Number("", |i, at| ip(i, at).water.map(f64::from))),
]];

pub const SUPPLY_TYPE: &[&[Field]] = &[&[
    plan("name", "", "name in the schedule", Get::Text(|i, at| Some(&supply_type(i, at).name))),
    plan(
        "rating_va",
        "rating",
        "rating, where it is in VA",
        Get::Number("VA", |i, at| match supply_type(i, at).rating {
            Some(Rating::ApparentVa(va)) => Some(va),
            _ => None,
        }),
    ),
    plan(
        "rating_w",
        "rating",
        "rating, where it is in W",
        Get::Number("W", |i, at| match supply_type(i, at).rating {
            Some(Rating::RealW(watts)) => Some(watts),
            _ => None,
        }),
    ),
    plan(
        "output_current",
        "output-current",
        "AC or DC",
        Get::Word(words::OUTPUT_CURRENT, |i, at| Some(words::output_current(supply_type(i, at).current))),
    ),
    plan(
        "common_resistance_ohm",
        "common-resistance",
        "resistance that all outputs share",
        Get::Number("ohm", |i, at| supply_type(i, at).common_resistance_ohm),
    ),
    plan("regulated", "regulated", "holds its outputs", Get::Flag(|i, at| supply_type(i, at).regulated)),
    plan("input_v", "input-volts", "nominal mains", Get::Number("V", |i, at| supply_type(i, at).input_v)),
    plan(
        "listing",
        "listing",
        "what it is listed as",
        Get::Word(words::LISTING, |i, at| supply_type(i, at).listing.map(words::listing)),
    ),
    plan(
        "enclosure",
        "enclosure",
        "as plans write it: `indoor`, `outdoor`, `type 3R`, `IP44`",
        Get::Name(|i, at| {
            Some(match supply_type(i, at).enclosure.as_ref()? {
                Enclosure::Indoor => "indoor".to_owned(),
                Enclosure::Outdoor => "outdoor".to_owned(),
                Enclosure::ListedType(name) => format!("type {name}"),
                Enclosure::Ip(code) => {
                    let digit = |digit: Option<u8>| digit.map_or("X".to_owned(), |digit| digit.to_string());
                    format!("IP{}{}", digit(code.solids), digit(code.water))
                }
            })
        }),
    ),
    plan("isolating", "isolating", "has an isolating transformer", Get::Flag(|i, at| supply_type(i, at).isolating)),
    plan(
        "grounded_output",
        "grounded-output",
        "an output pole is grounded",
        Get::Flag(|i, at| supply_type(i, at).grounded_output),
    ),
    plan("pool_listed", "pool-listed", "listed for pools and spas", Get::Flag(|i, at| supply_type(i, at).pool_listed)),
    plan(
        "dimming",
        "dimming",
        "way in which it may be dimmed",
        Get::Word(words::DIMMING, |i, at| supply_type(i, at).dimming.map(words::dimming)),
    ),
    plan("house", "house", "your own data", Get::House(|i, at| &supply_type(i, at).house)),
]];

pub const SPLICE: &[&[Field]] = &[&[
    plan("name", "", "name in the schedule", Get::Text(|i, at| splice(i, at).map(|kind| kind.name.as_str()))),
    plan(
        "location",
        "location",
        "what it is listed for",
        Get::Word(words::LOCATION, |i, at| splice(i, at)?.location.map(words::location)),
    ),
    plan("direct_burial", "direct-burial", "may be buried", Get::Flag(|i, at| splice(i, at)?.direct_burial)),
    plan(
        "resistance_ohm",
        "resistance",
        "resistance of each pole",
        Get::Number("ohm", |i, at| splice(i, at)?.resistance_ohm),
    ),
    plan("house", "house", "your own data", Get::House(|i, at| splice(i, at).map_or(&[], |kind| &kind.house))),
]];

/// Area of a gauge by the geometric series of ASTM B258: 36 AWG is 0.005 in, 4/0 AWG (number -3) 0.46 in, with 39
/// steps between.
fn square_mm(conductor: Conductor) -> f64 {
    match conductor {
        Conductor::SquareMm(area) => area,
        Conductor::Awg(number) => {
            let diameter_mm = 0.127 * 92f64.powf((36.0 - f64::from(number)) / 39.0);
            std::f64::consts::FRAC_PI_4 * diameter_mm * diameter_mm
        }
    }
}

pub const CABLE: &[&[Field]] = &[&[
    plan("name", "", "name in the schedule", Get::Text(|i, at| Some(&cable(i, at).name))),
    plan(
        "conductor_awg",
        "conductor",
        "gauge number: 12 for 12 AWG, 0 for 1/0, -1 for 2/0; a thicker conductor has a lower one",
        Get::Number("AWG", |i, at| match cable(i, at).conductor {
            Some(Conductor::Awg(number)) => Some(f64::from(number)),
            _ => None,
        }),
    ),
    plan(
        "area_mm2",
        "conductor",
        "area of one conductor; of a gauge by ASTM B258",
        Get::Number("mm2", |i, at| cable(i, at).conductor.map(square_mm)),
    ),
    plan(
        "stranding",
        "stranding",
        "how the conductor is built",
        Get::Word(words::STRANDING, |i, at| Some(words::stranding(cable(i, at).stranding))),
    ),
    plan(
        "parallel",
        "parallel",
        "conductors in parallel for each pole",
        Get::Number("", |i, at| Some(f64::from(cable(i, at).parallel))),
    ),
    plan(
        "kind",
        "kind",
        "kind of cable",
        Get::Word(words::CABLE_KIND, |i, at| cable(i, at).kind.map(words::cable_kind)),
    ),
    plan("direct_burial", "direct-burial", "may be buried", Get::Flag(|i, at| cable(i, at).direct_burial)),
    plan(
        "insulation_degc",
        "insulation",
        "temperature of its insulation",
        Get::Number("degC", |i, at| cable(i, at).insulation_degc),
    ),
    plan("ampacity_a", "ampacity", "current that it may carry", Get::Number("A", |i, at| cable(i, at).ampacity_a)),
    plan(
        "location",
        "location",
        "what it is listed for",
        Get::Word(words::LOCATION, |i, at| cable(i, at).location.map(words::location)),
    ),
    plan(
        "sunlight_resistant",
        "sunlight-resistant",
        "may lie in the sun",
        Get::Flag(|i, at| cable(i, at).sunlight_resistant),
    ),
    plan(
        "voltage_rating_v",
        "voltage-rating",
        "highest voltage",
        Get::Number("V", |i, at| cable(i, at).voltage_rating_v),
    ),
    plan("house", "house", "your own data", Get::House(|i, at| &cable(i, at).house)),
]];
