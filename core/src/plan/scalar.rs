//! Values that plans write as one scalar or a short list and that are not plain quantities.

use super::elide;
use super::quantity::{ApparentPower, Force, Kind, Length, Power, Quantity, QuantityError, Ratio};
use std::fmt;
use std::str::FromStr;

/// An id: letters, digits, `.`, `_` and `-`, starting with a letter or digit. It may look like a number.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Id(pub String);

/// A point of the plan in grid units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Upwards.
    pub y: f64,
}

/// Size of one conductor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Conductor {
    /// American wire gauge as the number n of ASTM B258: 12 for 12 AWG, 0 for 1/0, -1 for 2/0, -3 for 4/0.
    Awg(i8),
    /// Nominal cross-section in mm².
    Mm2(f64),
}

/// What a supply may give in all.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Rating {
    /// Rated in VA.
    Apparent(ApparentPower),
    /// Rated in W.
    Real(Power),
}

/// One step of a route.
#[derive(Debug, Clone, PartialEq)]
pub enum RouteStep {
    /// A junction, a luminaire, or a supply with one output.
    Node(Id),
    /// An output of a supply, written `S1/12`.
    Output(Id, Id),
    /// A bend.
    Bend(Point),
}

/// Allowance on a measured segment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Slack {
    /// A share of the measured length.
    Share(Ratio),
    /// A fixed length for each segment.
    Length(Length),
}

/// Where a reading was taken: an element by its id, or an output of a supply, written `S1/12`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Terminal {
    /// The element.
    pub id: Id,
    /// The output, where one is named.
    pub output: Option<Id>,
}

/// What an instrument may be off by: a share of the reading, a fixed amount, or the sum of both.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tolerance<K: Kind> {
    /// Share of the reading.
    pub share: Option<Ratio>,
    /// Fixed amount.
    pub fixed: Option<Quantity<K>>,
}

/// Declared load on a luminaire's face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TrafficLoad {
    /// Not to be loaded.
    None,
    /// Declared for people walking over it.
    WalkOver,
    /// Declared for vehicles driving over it.
    DriveOver,
    /// A declared static load.
    Static(Force),
}

/// An IEC 60529 code. `None` is the letter X: not stated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct IpCode {
    /// First digit, solids, 0 to 6.
    pub solids: Option<u8>,
    /// Second digit, water, 0 to 9.
    pub water: Option<u8>,
}

/// Where an enclosure may stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum EnclosureRating {
    /// Indoors only.
    Indoor,
    /// Outdoors.
    Outdoor,
    /// By its type in NFPA 70 Table 110.28, such as `3R`.
    Type(&'static str),
    /// By its IP code.
    Ip(IpCode),
}

/// A calendar day, ISO 8601.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date(pub jiff::civil::Date);

/// A record of the work: done on a day, or still planned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WorkRecord {
    /// Done on this day.
    On(Date),
    /// Still to be done.
    Planned,
}

/// Why a text is not a scalar of a type.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ScalarError {
    /// A quantity inside the scalar is wrong.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
    /// The text has the wrong shape.
    #[error("`{text}` is not {what}; expected {expected}")]
    Shape { text: String, what: &'static str, expected: &'static str },
}

fn shape(text: &str, what: &'static str, expected: &'static str) -> ScalarError {
    ScalarError::Shape { text: elide(text), what, expected }
}

impl FromStr for Id {
    type Err = ScalarError;
    fn from_str(text: &str) -> Result<Self, ScalarError> {
        let mut bytes = text.bytes();
        let first = bytes.next().is_some_and(|b| b.is_ascii_alphanumeric());
        if first && bytes.all(|b| b.is_ascii_alphanumeric() || matches!(b, b'.' | b'_' | b'-')) {
            Ok(Self(text.to_owned()))
        } else {
            Err(shape(text, "an id", "letters, digits, `.`, `_` and `-`, starting with a letter or digit"))
        }
    }
}

impl fmt::Display for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl Conductor {
    /// Area of one conductor, mm²; of a gauge by the geometric series of ASTM B258.
    pub fn square_mm(&self) -> f64 {
        match self {
            // 36 AWG has 0.005 in, 4/0 AWG (n = -3) 0.46 in, with 38 steps between: a ratio of 92 in 39 steps.
            Self::Awg(n) => {
                let diameter_mm = 0.127 * 92f64.powf((36.0 - f64::from(*n)) / 39.0);
                std::f64::consts::FRAC_PI_4 * diameter_mm * diameter_mm
            }
            Self::Mm2(area) => *area,
        }
    }
}

impl FromStr for Conductor {
    type Err = ScalarError;
    fn from_str(text: &str) -> Result<Self, ScalarError> {
        let wrong = || shape(text, "a conductor size", "a gauge like `12 AWG` or `1/0 AWG`, or an area like `2.5 mm2`");
        let trimmed = text.trim_matches(' ');
        if let Some(gauge) = trimmed.strip_suffix("AWG").map(|g| g.trim_end_matches(' ')) {
            if let Some(aught) = gauge.strip_suffix("/0") {
                return match aught.parse::<u8>() {
                    Ok(n @ 1..=4) => Ok(Self::Awg(1 - n as i8)),
                    _ => Err(wrong()),
                };
            }
            return match gauge.parse::<u8>() {
                Ok(n @ 1..=40) => Ok(Self::Awg(n as i8)),
                _ => Err(wrong()),
            };
        }
        let area = trimmed.strip_suffix("mm2").or_else(|| trimmed.strip_suffix("mm²")).ok_or_else(wrong)?;
        let area = area.trim_end_matches(' ');
        if !area.bytes().all(|b| b.is_ascii_digit() || b == b'.') {
            return Err(wrong());
        }
        match area.parse::<f64>() {
            Ok(a) if a > 0.0 && a < 10_000.0 => Ok(Self::Mm2(a)),
            _ => Err(wrong()),
        }
    }
}

impl fmt::Display for Conductor {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Awg(n) if *n < 1 => write!(f, "{}/0 AWG", 1 - n),
            Self::Awg(n) => write!(f, "{n} AWG"),
            Self::Mm2(a) => write!(f, "{a} mm2"),
        }
    }
}

impl FromStr for Rating {
    type Err = ScalarError;
    fn from_str(text: &str) -> Result<Self, ScalarError> {
        match text.parse::<ApparentPower>() {
            Ok(rating) => Ok(Self::Apparent(rating)),
            Err(QuantityError::UnknownUnit { .. }) => match text.parse::<Power>() {
                Ok(rating) => Ok(Self::Real(rating)),
                Err(QuantityError::UnknownUnit { .. }) => Err(shape(text, "a rating", "`300 VA` or `100 W`")),
                Err(e) => Err(e.into()),
            },
            Err(e) => Err(e.into()),
        }
    }
}

impl fmt::Display for Rating {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Apparent(rating) => rating.fmt(f),
            Self::Real(rating) => rating.fmt(f),
        }
    }
}

impl FromStr for RouteStep {
    type Err = ScalarError;
    fn from_str(text: &str) -> Result<Self, ScalarError> {
        let wrong =
            || shape(text, "a step of a route", "an id like `J1`, an output like `S1/12`, or a point like `[36, 6]`");
        match text.split_once('/') {
            Some((supply, output)) => {
                Ok(Self::Output(supply.parse().map_err(|_| wrong())?, output.parse().map_err(|_| wrong())?))
            }
            None => Ok(Self::Node(text.parse().map_err(|_| wrong())?)),
        }
    }
}

impl FromStr for Slack {
    type Err = ScalarError;
    fn from_str(text: &str) -> Result<Self, ScalarError> {
        match text.parse::<Ratio>() {
            Ok(share) => Ok(Self::Share(share)),
            Err(QuantityError::UnknownUnit { .. }) => match text.parse::<Length>() {
                Ok(length) => Ok(Self::Length(length)),
                Err(QuantityError::UnknownUnit { .. }) => {
                    Err(shape(text, "a slack", "a share like `5 %` or a length like `2 ft`"))
                }
                Err(e) => Err(e.into()),
            },
            Err(QuantityError::NoUnit { .. }) => {
                Err(shape(text, "a slack", "a share like `5 %` or a length like `2 ft`"))
            }
            Err(e) => Err(e.into()),
        }
    }
}

impl FromStr for Terminal {
    type Err = ScalarError;
    fn from_str(text: &str) -> Result<Self, ScalarError> {
        let wrong = || shape(text, "a place of a reading", "an id like `L1`, or an output like `S1/12`");
        let (id, output) = text.split_once('/').map_or((text, None), |(id, output)| (id, Some(output)));
        let output = output.map(|name| name.parse().map_err(|_| wrong())).transpose()?;
        Ok(Self { id: id.parse().map_err(|_| wrong())?, output })
    }
}

impl<K: Kind> Tolerance<K> {
    /// The most that a reading of this size may be off by, in the SI unit.
    pub fn of_reading(&self, reading: f64) -> f64 {
        self.share.map_or(0.0, |share| share.si() * reading.abs()) + self.fixed.map_or(0.0, |fixed| fixed.si())
    }
}

impl<K: Kind> FromStr for Tolerance<K> {
    type Err = ScalarError;
    fn from_str(text: &str) -> Result<Self, ScalarError> {
        let wrong = || {
            shape(
                text,
                "a tolerance",
                "a share of the reading like `0.5 %`, an amount with its unit, or both, joined by ` + `",
            )
        };
        let mut tolerance = Self { share: None, fixed: None };
        for part in text.split(" + ") {
            match part.parse::<Ratio>() {
                Ok(share) if tolerance.share.is_none() => tolerance.share = Some(share),
                Ok(_) => return Err(wrong()),
                Err(QuantityError::UnknownUnit { .. }) => match part.parse::<Quantity<K>>() {
                    Ok(_) if tolerance.fixed.is_some() => return Err(wrong()),
                    Ok(fixed) => tolerance.fixed = Some(fixed),
                    Err(QuantityError::UnknownUnit { .. }) => return Err(wrong()),
                    Err(error) => return Err(error.into()),
                },
                Err(QuantityError::NoUnit { .. }) => return Err(wrong()),
                Err(error) => return Err(error.into()),
            }
        }
        Ok(tolerance)
    }
}

impl<K: Kind> fmt::Display for Tolerance<K> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.share, self.fixed) {
            (Some(share), Some(fixed)) => write!(f, "{share} + {fixed}"),
            (Some(share), None) => share.fmt(f),
            (None, Some(fixed)) => fixed.fmt(f),
            (None, None) => f.write_str("0 %"),
        }
    }
}

impl FromStr for TrafficLoad {
    type Err = ScalarError;
    fn from_str(text: &str) -> Result<Self, ScalarError> {
        match text {
            "none" => Ok(Self::None),
            "walk-over" => Ok(Self::WalkOver),
            "drive-over" => Ok(Self::DriveOver),
            other => match other.parse::<Force>() {
                Ok(force) => Ok(Self::Static(force)),
                Err(QuantityError::NoNumber { .. }) => Err(shape(
                    text,
                    "a traffic load",
                    "`none`, `walk-over`, `drive-over` or a static load like `20 kN`",
                )),
                Err(e) => Err(e.into()),
            },
        }
    }
}

impl FromStr for IpCode {
    type Err = ScalarError;
    fn from_str(text: &str) -> Result<Self, ScalarError> {
        let wrong = || shape(text, "an IP code", "an IEC 60529 code like `IP65`, `IPX7` or `IP6X`");
        let digits = text.strip_prefix("IP").ok_or_else(wrong)?.as_bytes();
        let digit = |byte: u8, most: u8| match byte {
            b'X' => Ok(None),
            b if b.is_ascii_digit() && b - b'0' <= most => Ok(Some(b - b'0')),
            _ => Err(wrong()),
        };
        match digits {
            [solids, water] => Ok(Self { solids: digit(*solids, 6)?, water: digit(*water, 9)? }),
            _ => Err(wrong()),
        }
    }
}

impl fmt::Display for IpCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let digit = |d: Option<u8>| d.map_or('X', |d| char::from(b'0' + d));
        write!(f, "IP{}{}", digit(self.solids), digit(self.water))
    }
}

/// The enclosure types of NFPA 70 Table 110.28.
pub const ENCLOSURE_TYPES: [&str; 16] =
    ["1", "2", "3", "3R", "3RX", "3S", "3SX", "3X", "4", "4X", "5", "6", "6P", "12", "12K", "13"];

impl FromStr for EnclosureRating {
    type Err = ScalarError;
    fn from_str(text: &str) -> Result<Self, ScalarError> {
        match text {
            "indoor" => Ok(Self::Indoor),
            "outdoor" => Ok(Self::Outdoor),
            other => {
                let wrong = || {
                    shape(text, "an enclosure", "`indoor`, `outdoor`, a type like `type 3R` or an IP code like `IP44`")
                };
                match other.strip_prefix("type ") {
                    Some(name) => ENCLOSURE_TYPES
                        .iter()
                        .find(|known| name.trim().eq_ignore_ascii_case(known))
                        .map(|known| Self::Type(known))
                        .ok_or_else(wrong),
                    None => other.parse().map(Self::Ip).map_err(|_| wrong()),
                }
            }
        }
    }
}

impl FromStr for Date {
    type Err = ScalarError;
    fn from_str(text: &str) -> Result<Self, ScalarError> {
        let wrong = || shape(text, "a day", "an ISO 8601 date like `2026-03-02`");
        let plain = text.len() == 10 && text.bytes().all(|b| b.is_ascii_digit() || b == b'-');
        if !plain {
            return Err(wrong());
        }
        text.parse().map(Self).map_err(|_| wrong())
    }
}

impl fmt::Display for EnclosureRating {
    /// As plans write it.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Indoor => f.write_str("indoor"),
            Self::Outdoor => f.write_str("outdoor"),
            Self::Type(name) => write!(f, "type {name}"),
            Self::Ip(code) => write!(f, "{code}"),
        }
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl FromStr for WorkRecord {
    type Err = ScalarError;
    fn from_str(text: &str) -> Result<Self, ScalarError> {
        match text {
            "planned" => Ok(Self::Planned),
            other => other
                .parse()
                .map(Self::On)
                .map_err(|_| shape(text, "a record", "a date like `2026-02-20`, or `planned`")),
        }
    }
}

#[cfg(test)]
mod tests;
