//! The command line of what brings plans in and out: `new`, `import`, `export`.

use super::VoltsArg;
use clap::{Args, Subcommand, ValueEnum};
use lintern_core::layout::Origin;
use lintern_core::plan::model::{Code, Grid, Occupancy, OutputCurrent};
use std::path::PathBuf;

#[derive(Debug, Subcommand)]
pub enum Import {
    /// Take zones, utilities, supplies, junctions and luminaires from a survey in GeoJSON (RFC 7946)
    Geojson(ImportGeojson),
    /// Take luminaire types, and luminaires without a place, from a schedule in CSV (RFC 4180)
    Csv(ImportCsv),
}

#[derive(Debug, Subcommand)]
pub enum Export {
    /// Write what is laid where as GeoJSON (RFC 7946), with what was computed, read and recorded
    Geojson(ExportGeojson),
}

/// The plan that an import goes to.
#[derive(Debug, Args)]
pub struct Target {
    /// Write a new plan; default to standard output
    #[arg(long, short, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// Add to this plan; its comments and layout stay
    #[arg(long, value_name = "PLAN", conflicts_with = "output")]
    pub into: Option<PathBuf>,
    /// A shared schedule for the new plan, as a path from it; may be repeated
    #[arg(long = "use", value_name = "SCHEDULE")]
    pub schedules: Vec<String>,
}

#[derive(Debug, Args)]
#[command(after_help = "Exit codes: 0 all was taken; 1 something was left out, which is listed; 2 nothing is written.")]
pub struct ImportGeojson {
    /// The survey
    pub survey: PathBuf,
    #[command(flatten)]
    pub target: Target,
    /// Where [0, 0] of the grid is, in degrees of WGS 84; default the middle of the survey
    #[arg(long, value_name = "LATITUDE,LONGITUDE", value_parser = place, allow_hyphen_values = true)]
    pub origin: Option<PlaceArg>,
    /// The unit of the grid of a plan that has none; default ft
    #[arg(long, value_enum)]
    pub grid: Option<GridArg>,
    /// The property in which the kind of a feature stands
    #[arg(long, value_name = "NAME", default_value = "kind")]
    pub property: String,
    /// A word of the survey with the plan's word for it, like turf=lawn or lamp=luminaire; may be repeated
    #[arg(long = "map", value_name = "WORD=KIND", value_parser = word)]
    pub map: Vec<(String, String)>,
    /// The type of luminaires whose feature has none
    #[arg(long, value_name = "TYPE")]
    pub luminaire_type: Option<String>,
}

#[derive(Debug, Args)]
#[command(after_help = "Exit codes: 0 all was taken; 1 something was left out, which is listed; 2 nothing is written.")]
pub struct ImportCsv {
    /// The schedule: a header with names of fields, like `type,power (W),nominal (V),count`, and a row for each type
    pub schedule: PathBuf,
    #[command(flatten)]
    pub target: Target,
}

#[derive(Debug, Args)]
pub struct ExportGeojson {
    /// The plan
    pub plan: PathBuf,
    /// Write to this file instead of standard output
    #[arg(long, short, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// Where [0, 0] of the grid is, in degrees of WGS 84, for a plan that does not say so
    #[arg(long, value_name = "LATITUDE,LONGITUDE", value_parser = place, allow_hyphen_values = true)]
    pub origin: Option<PlaceArg>,
}

/// A place on the earth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlaceArg(pub Origin);

/// Latitude and longitude in degrees.
fn place(text: &str) -> Result<PlaceArg, String> {
    let number = |text: &str| text.trim().parse::<f64>().ok();
    let place = text.split_once(',').and_then(|(latitude, longitude)| {
        Some(Origin { latitude_deg: number(latitude)?, longitude_deg: number(longitude)? })
    });
    place
        .filter(|place| place.latitude_deg.abs() <= 90.0 && place.longitude_deg.abs() <= 180.0)
        .map(PlaceArg)
        .ok_or_else(|| {
            "latitude and longitude in degrees are wanted, like 44.05,-121.31: latitude to 90, longitude to 180"
                .to_owned()
        })
}

/// A word of a survey and what it stands for.
fn word(text: &str) -> Result<(String, String), String> {
    let parts = text.rsplit_once('=').filter(|(word, kind)| !word.is_empty() && !kind.is_empty());
    parts
        .map(|(word, kind)| (word.trim().to_owned(), kind.trim().to_owned()))
        .ok_or_else(|| "write it as WORD=KIND, like turf=lawn".to_owned())
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum GridArg {
    Ft,
    M,
}

impl From<GridArg> for Grid {
    fn from(arg: GridArg) -> Self {
        match arg {
            GridArg::Ft => Self::Ft,
            GridArg::M => Self::M,
        }
    }
}

impl ImportGeojson {
    /// How the words of the survey are read.
    pub fn words(&self) -> crate::survey::kinds::Words {
        crate::survey::kinds::Words { property: self.property.clone(), map: self.map.clone() }
    }
}

#[derive(Debug, Args)]
#[command(
    after_help = "What neither flags nor answers give is left open, with a comment in the plan. Questions are asked on a terminal alone."
)]
pub struct NewPlan {
    /// The plan to write; never one that is there
    pub file: PathBuf,
    /// Name of the job
    #[arg(long, value_name = "TEXT")]
    pub name: Option<String>,
    /// Who draws the plan
    #[arg(long, value_name = "TEXT")]
    pub designer: Option<String>,
    /// Country, ISO 3166-1, like US
    #[arg(long, value_parser = country)]
    pub country: Option<String>,
    /// State or province, ISO 3166-2, like US-OR
    #[arg(long, value_parser = region)]
    pub region: Option<String>,
    /// The authority having jurisdiction
    #[arg(long, value_name = "TEXT")]
    pub authority: Option<String>,
    /// The electrical code and edition, like nec-2023
    #[arg(long, value_parser = choice::<Code>)]
    pub code: Option<Code>,
    /// What the property is used for, like one-family-dwelling
    #[arg(long, value_parser = choice::<Occupancy>)]
    pub occupancy: Option<Occupancy>,
    /// The unit of the grid
    #[arg(long, value_enum)]
    pub grid: Option<GridArg>,
    /// Where [0, 0] of the grid is, in degrees of WGS 84
    #[arg(long, value_name = "LATITUDE,LONGITUDE", value_parser = place, allow_hyphen_values = true)]
    pub origin: Option<PlaceArg>,
    /// Volts of the lighting
    #[arg(long, value_enum)]
    pub volts: Option<VoltsArg>,
    /// Current of the lighting, ac or dc
    #[arg(long, value_parser = choice::<OutputCurrent>)]
    pub current: Option<OutputCurrent>,
    /// A shared schedule inside the repository, as a path from the plan; may be repeated
    #[arg(long = "schedule", value_name = "SCHEDULE")]
    pub schedules: Vec<String>,
    /// Ask nothing, even on a terminal
    #[arg(long)]
    pub no_questions: bool,
}

/// A word of the plan format.
fn choice<T: serde::de::DeserializeOwned>(text: &str) -> Result<T, String> {
    serde_json::from_value(serde_json::Value::from(text)).map_err(|error| error.to_string())
}

/// A country's code.
pub fn country(text: &str) -> Result<String, String> {
    let valid = text.len() == 2 && text.bytes().all(|byte| byte.is_ascii_uppercase());
    if valid { Ok(text.to_owned()) } else { Err("two capital letters of ISO 3166-1 are wanted, like US".to_owned()) }
}

/// The code of a state or province.
pub fn region(text: &str) -> Result<String, String> {
    let valid = text.split_once('-').is_some_and(|(of, part)| {
        country(of).is_ok()
            && (1..=3).contains(&part.len())
            && part.bytes().all(|byte| byte.is_ascii_uppercase() || byte.is_ascii_digit())
    });
    if valid { Ok(text.to_owned()) } else { Err("a code of ISO 3166-2 is wanted, like US-OR".to_owned()) }
}
