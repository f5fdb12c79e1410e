//! Quantities as plans write them: one string that carries its unit, such as `9 W` or `42 ft`.
//!
//! A [`Quantity`] keeps the number and the unit as written, because limits are compared in the unit
//! of the plan, and gives the SI value on demand. The kind is part of the type, so a power can't be
//! passed where a length is due.

use super::elide;
use std::fmt;
use std::marker::PhantomData;
use std::str::FromStr;

/// A unit of measure: how plans spell it and how it converts to SI as `si = value * factor + offset`.
#[derive(Debug, PartialEq)]
pub struct Unit {
    /// The spelling used in messages and outputs, such as `ft`.
    pub symbol: &'static str,
    /// Other spellings that plans may use.
    pub aliases: &'static [&'static str],
    /// Multiplier to SI.
    pub factor: f64,
    /// Offset to SI, added after the factor; only temperatures have one.
    pub offset: f64,
}

const fn unit(symbol: &'static str, aliases: &'static [&'static str], factor: f64) -> Unit {
    Unit { symbol, aliases, factor, offset: 0.0 }
}

/// A physical kind: its name in messages, its units and an example. SI comes first.
pub trait Kind: fmt::Debug + Copy + PartialEq + 'static {
    /// What messages call it, such as `a length`.
    const NAME: &'static str;
    /// Accepted units; the first is the SI one.
    const UNITS: &'static [Unit];
    /// Accepted examples, shown in errors and in the JSON Schema.
    const EXAMPLES: &'static [&'static str];
    /// Whether values below zero make sense.
    const SIGNED: bool = false;
}

/// A number with its unit, as written in the plan.
#[derive(Clone, Copy)]
pub struct Quantity<K: Kind> {
    value: f64,
    unit: &'static Unit,
    kind: PhantomData<K>,
}

impl<K: Kind> Quantity<K> {
    /// A quantity in the SI unit of its kind.
    pub fn from_si(value: f64) -> Self {
        Self { value, unit: &K::UNITS[0], kind: PhantomData }
    }

    /// A quantity in the unit with this symbol or alias; `None` when the kind has no such unit.
    pub fn new(value: f64, symbol: &str) -> Option<Self> {
        let unit = K::UNITS.iter().find(|u| u.symbol == symbol || u.aliases.contains(&symbol))?;
        Some(Self { value, unit, kind: PhantomData })
    }

    /// The number as written.
    pub fn value(&self) -> f64 {
        self.value
    }

    /// The unit as written.
    pub fn unit(&self) -> &'static Unit {
        self.unit
    }

    /// The value in the SI unit of the kind (`K::UNITS[0]`).
    pub fn si(&self) -> f64 {
        self.value * self.unit.factor + self.unit.offset
    }
}

impl<K: Kind> fmt::Debug for Quantity<K> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{self}")
    }
}

impl<K: Kind> fmt::Display for Quantity<K> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.value, self.unit.symbol)
    }
}

impl<K: Kind> PartialEq for Quantity<K> {
    fn eq(&self, other: &Self) -> bool {
        self.si() == other.si()
    }
}

/// Why a text is not a quantity of a kind.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum QuantityError {
    /// The text has no number at its start.
    #[error("`{text}` is not {kind}: it must start with a number")]
    NoNumber { text: String, kind: &'static str },
    /// The text is a bare number.
    #[error("`{text}` has no unit; {kind} is written like {examples}")]
    NoUnit { text: String, kind: &'static str, examples: String },
    /// The unit is not one of this kind.
    #[error("`{unit}` is not a unit of {kind}; accepted: {accepted}")]
    UnknownUnit { unit: String, kind: &'static str, accepted: String },
    /// The number is out of the range of sensible values.
    #[error("`{text}` is out of range for {kind}: {why}")]
    OutOfRange { text: String, kind: &'static str, why: &'static str },
}

/// Splits `9.5 W` into the text of the number and of the unit. The number follows our own rule:
/// digits with an optional sign, point and exponent; no `inf`, `nan`, hex or underscores.
fn split_number(text: &str) -> Option<(&str, &str)> {
    let bytes = text.as_bytes();
    let mut i = usize::from(matches!(bytes.first(), Some(b'+' | b'-')));
    let digits_from = i;
    while bytes.get(i).is_some_and(|b| b.is_ascii_digit()) {
        i += 1;
    }
    let mut digits = i - digits_from;
    if bytes.get(i) == Some(&b'.') {
        let after = i + 1;
        let mut j = after;
        while bytes.get(j).is_some_and(|b| b.is_ascii_digit()) {
            j += 1;
        }
        if j == after {
            return None;
        }
        digits += j - after;
        i = j;
    }
    if digits == 0 {
        return None;
    }
    if matches!(bytes.get(i), Some(b'e' | b'E')) {
        let mut j = i + 1;
        if matches!(bytes.get(j), Some(b'+' | b'-')) {
            j += 1;
        }
        let exponent_from = j;
        while bytes.get(j).is_some_and(|b| b.is_ascii_digit()) {
            j += 1;
        }
        if j > exponent_from {
            i = j;
        }
    }
    Some((&text[..i], text[i..].trim_start_matches(' ')))
}

/// A bare number by the rule of quantities, such as a coordinate; `None` when the text is anything else.
pub(crate) fn bare_number(text: &str) -> Option<f64> {
    match split_number(text)? {
        (number, "") => number.parse().ok().filter(|n: &f64| n.is_finite()),
        _ => None,
    }
}

impl<K: Kind> FromStr for Quantity<K> {
    type Err = QuantityError;

    fn from_str(text: &str) -> Result<Self, QuantityError> {
        let text = text.trim_matches(' ');
        let owned = || elide(text);
        let Some((number, unit)) = split_number(text) else {
            return Err(QuantityError::NoNumber { text: owned(), kind: K::NAME });
        };
        if unit.is_empty() {
            let examples = K::EXAMPLES.iter().map(|e| format!("`{e}`")).collect::<Vec<_>>().join(", ");
            return Err(QuantityError::NoUnit { text: owned(), kind: K::NAME, examples });
        }
        let value: f64 = number.parse().map_err(|_| QuantityError::NoNumber { text: owned(), kind: K::NAME })?;
        let quantity = Self::new(value, unit).ok_or_else(|| QuantityError::UnknownUnit {
            unit: elide(unit),
            kind: K::NAME,
            accepted: K::UNITS.iter().map(|u| u.symbol).collect::<Vec<_>>().join(", "),
        })?;
        let si = quantity.si();
        let out_of_range = |why| QuantityError::OutOfRange { text: owned(), kind: K::NAME, why };
        if !si.is_finite() || si.abs() > 1e12 {
            return Err(out_of_range("it is too large"));
        }
        if si < 0.0 && !K::SIGNED {
            return Err(out_of_range("it can't be negative"));
        }
        if si != 0.0 && si.abs() < 1e-12 {
            return Err(out_of_range("it is too small to mean anything"));
        }
        Ok(quantity)
    }
}

macro_rules! kinds {
    ($($(#[$doc:meta])* $alias:ident, $kind:ident, $name:literal, [$($unit:expr),+], [$($example:literal),+] $(, $signed:literal)?;)+) => {
        $(
            $(#[$doc])*
            pub type $alias = Quantity<$kind>;
            /// Marker of the kind.
            #[derive(Debug, Clone, Copy, PartialEq)]
            pub struct $kind;
            impl Kind for $kind {
                const NAME: &'static str = $name;
                const UNITS: &'static [Unit] = &[$($unit),+];
                const EXAMPLES: &'static [&'static str] = &[$($example),+];
                $(const SIGNED: bool = $signed;)?
            }
        )+
    };
}

/// One international foot, exactly.
pub const METRES_PER_FOOT: f64 = 0.3048;
/// One inch, exactly.
pub const METRES_PER_INCH: f64 = 0.0254;

kinds! {
    /// Real power, SI unit W.
    Power, PowerKind, "a power", [unit("W", &["watt", "watts"], 1.0), unit("kW", &[], 1e3), unit("mW", &[], 1e-3)], ["9 W", "0.5 kW"];
    /// Apparent power, SI unit VA.
    ApparentPower, ApparentPowerKind, "an apparent power", [unit("VA", &[], 1.0), unit("kVA", &[], 1e3)], ["7.5 VA"];
    /// Electric potential difference, SI unit V.
    Voltage, VoltageKind, "a voltage", [unit("V", &["volt", "volts"], 1.0), unit("mV", &[], 1e-3), unit("kV", &[], 1e3)], ["12 V"];
    /// Electric potential difference with its polarity, SI unit V.
    SignedVoltage, SignedVoltageKind, "a reading of volts", [unit("V", &["volt", "volts"], 1.0), unit("mV", &[], 1e-3), unit("kV", &[], 1e3)], ["10.9 V", "-11.8 V"], true;
    /// Electric current, SI unit A.
    Current, CurrentKind, "a current", [unit("A", &["amp", "amps"], 1.0), unit("mA", &[], 1e-3)], ["25 A", "700 mA"];
    /// Resistance, SI unit ohm.
    Resistance, ResistanceKind, "a resistance", [unit("ohm", &["Ω", "ohms"], 1.0), unit("mohm", &["mΩ"], 1e-3)], ["2 mohm", "0.2 ohm"];
    /// Resistance of one conductor per length, SI unit ohm/m.
    ResistancePerLength, ResistancePerLengthKind, "a resistance per length",
        [unit("ohm/m", &["Ω/m"], 1.0), unit("ohm/km", &["Ω/km"], 1e-3), unit("ohm/kft", &["Ω/kft"], 1e-3 / METRES_PER_FOOT)], ["6.5 ohm/km", "1.98 ohm/kft"];
    /// Length, SI unit m.
    Length, LengthKind, "a length",
        [unit("m", &[], 1.0), unit("cm", &[], 1e-2), unit("mm", &[], 1e-3), unit("ft", &["'"], METRES_PER_FOOT), unit("in", &["\""], METRES_PER_INCH)],
        ["42 ft", "8 in", "2.4 m", "450 mm"];
    /// Celsius temperature. Plans speak of soil and conductors, so the stored unit is the degree Celsius.
    Temperature, TemperatureKind, "a temperature",
        [unit("degC", &["°C"], 1.0), Unit { symbol: "degF", aliases: &["°F"], factor: 5.0 / 9.0, offset: -160.0 / 9.0 }], ["60 degC", "86 degF"], true;
    /// A share of a whole; the stored unit is the plain ratio.
    Ratio, RatioKind, "a percentage", [unit("", &[], 1.0), unit("%", &["percent"], 1e-2)], ["5 %"];
    /// Force, SI unit N.
    Force, ForceKind, "a force", [unit("N", &[], 1.0), unit("kN", &[], 1e3), unit("lbf", &[], 4.448_221_615_260_5)], ["20 kN"];
    /// Correlated colour temperature, SI unit K.
    ColorTemperature, ColorTemperatureKind, "a colour temperature", [unit("K", &[], 1.0)], ["3000 K"];
    /// Angle, SI unit rad.
    Angle, AngleKind, "an angle", [unit("rad", &[], 1.0), unit("deg", &["°"], std::f64::consts::PI / 180.0)], ["12 deg"];
    /// Length of time, SI unit s.
    Duration, DurationKind, "a duration", [unit("s", &[], 1.0), unit("min", &[], 60.0), unit("h", &["hours"], 3600.0)], ["5 h"];
    /// Luminous flux, SI unit lm.
    LuminousFlux, LuminousFluxKind, "a luminous flux", [unit("lm", &[], 1.0)], ["450 lm"];
}

#[cfg(test)]
mod tests;
