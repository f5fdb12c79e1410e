//! The yardstick: the same plan read by `serde_yaml` into plain structs, quantities as texts, nothing resolved, nothing
//! checked and no place kept.

#![expect(missing_docs, reason = "each field is the key of that name in the format of plans")]

use serde::Deserialize;
use std::collections::BTreeMap;

#[derive(Debug, Deserialize)]
pub struct Plan {
    pub plan: u32,
    pub project: Project,
    #[serde(default)]
    pub r#use: Vec<String>,
    #[serde(default)]
    pub analysis: BTreeMap<String, String>,
    #[serde(default)]
    pub schedule: Schedule,
    pub site: Site,
    pub supplies: Vec<Supply>,
    pub junctions: Vec<Junction>,
    pub luminaires: Vec<Luminaire>,
    pub runs: Vec<Run>,
    pub dig: Dig,
    pub records: BTreeMap<String, String>,
}

#[derive(Debug, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Project {
    pub name: String,
    pub designer: String,
    pub country: String,
    pub region: String,
    pub authority: String,
    pub code: String,
    pub occupancy: String,
}

#[derive(Debug, Default, Deserialize)]
pub struct Schedule {
    pub luminaires: BTreeMap<String, LuminaireType>,
    pub cables: BTreeMap<String, CableType>,
    pub supplies: BTreeMap<String, SupplyType>,
    pub splices: BTreeMap<String, SpliceType>,
}

#[derive(Debug, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct LuminaireType {
    pub power: String,
    pub apparent_power: Option<String>,
    pub load: String,
    pub nominal: String,
    pub input: InputRange,
    pub cut_out: Option<String>,
    pub current: String,
    pub ip: Vec<String>,
    pub location: String,
    pub traffic: Option<String>,
    pub width: Option<String>,
    pub body_depth: Option<String>,
    pub cct: String,
    pub flux: String,
    pub listed: bool,
    pub grounding_required: bool,
    pub lamp: String,
    pub dimming: Vec<String>,
    pub shielded: bool,
}

#[derive(Debug, Deserialize)]
pub struct InputRange {
    pub min: String,
    pub max: String,
}

#[derive(Debug, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct CableType {
    pub conductor: String,
    pub stranding: String,
    pub material: String,
    pub kind: String,
    pub direct_burial: bool,
    pub insulation: String,
    pub location: String,
    pub sunlight_resistant: bool,
    pub voltage_rating: String,
}

#[derive(Debug, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct SupplyType {
    pub rating: String,
    pub output_current: String,
    pub outputs: Vec<Output>,
    pub regulated: bool,
    pub input_volts: String,
    pub listing: String,
    pub enclosure: String,
    pub isolating: bool,
    pub grounded_output: bool,
    pub dimming: String,
}

#[derive(Debug, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Output {
    pub name: String,
    pub volts: String,
    pub limit: String,
    pub protection: String,
    pub source_resistance: String,
}

#[derive(Debug, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct SpliceType {
    pub location: String,
    pub direct_burial: bool,
    pub resistance: String,
}

#[derive(Debug, Deserialize)]
pub struct Site {
    pub grid: String,
    pub soil: String,
    pub zones: Vec<Zone>,
    pub utilities: Vec<Utility>,
}

#[derive(Debug, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Zone {
    pub id: String,
    pub kind: String,
    pub slab_thickness: Option<String>,
    pub outline: Vec<[f64; 2]>,
}

#[derive(Debug, Deserialize)]
pub struct Utility {
    pub id: String,
    pub kind: String,
    pub path: Vec<[f64; 2]>,
    pub located: String,
    pub depth: String,
    pub width: String,
}

#[derive(Debug, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Supply {
    pub id: String,
    pub r#type: String,
    pub at: [f64; 2],
    pub mount_height: String,
    pub exposure: String,
    pub control: Control,
    pub feed: Feed,
}

#[derive(Debug, Deserialize)]
pub struct Control {
    pub hours: String,
    pub dimmer: String,
}

#[derive(Debug, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Feed {
    pub circuit: String,
    pub breaker: String,
    pub connection: String,
    pub gfci: bool,
    pub in_use_cover: bool,
    pub weather_resistant: bool,
    pub other_load: String,
}

#[derive(Debug, Deserialize)]
pub struct Junction {
    pub id: String,
    pub at: [f64; 2],
    pub splice: String,
}

#[derive(Debug, Deserialize)]
pub struct Luminaire {
    pub id: String,
    pub r#type: String,
    pub at: [f64; 2],
    pub placement: String,
    pub lights: String,
    pub aim: String,
    pub scene: String,
    pub excavation: Option<Excavation>,
    pub splice: Option<String>,
}

#[derive(Debug, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Excavation {
    pub width: String,
    pub depth: String,
    pub base: Option<String>,
    pub base_depth: Option<String>,
}

#[derive(Debug, Deserialize)]
pub struct Run {
    pub id: String,
    pub cable: String,
    pub route: Vec<Stop>,
    pub slack: String,
    pub method: String,
    pub cover: String,
    pub backfill: String,
    pub riser: Option<String>,
    #[serde(default)]
    pub covers: Vec<Cover>,
}

/// A stop of a route: an element or a bend.
#[derive(Debug, Deserialize)]
#[serde(untagged)]
pub enum Stop {
    Element(String),
    Bend([f64; 2]),
}

#[derive(Debug, Deserialize)]
pub struct Cover {
    pub zone: String,
    pub cover: String,
    pub method: String,
}

#[derive(Debug, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Dig {
    pub ticket: Ticket,
    pub starts: String,
    pub method: String,
    pub private_lines: String,
    pub white_lined: bool,
}

#[derive(Debug, Deserialize)]
pub struct Ticket {
    pub number: String,
    pub called: String,
    pub expires: String,
    pub responses: String,
}
