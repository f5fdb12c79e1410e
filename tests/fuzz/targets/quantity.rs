//! Texts of quantities and of the other scalars of a plan. What is read is finite, of the kind that was asked for, and
//! is read again from what it prints.
#![no_main]

use libfuzzer_sys::fuzz_target;
use lintern_core::plan::quantity::{self as q, Kind, Quantity, QuantityError};
use lintern_core::plan::scalar::{
    Conductor, Date, EnclosureRating, Id, IpCode, Rating, RouteStep, Slack, Terminal, Tolerance, TrafficLoad,
    WorkRecord,
};
use std::fmt::{Debug, Display};
use std::str::FromStr;

fuzz_target!(|bytes: &[u8]| {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    quantities(text);
    tolerance::<q::VoltageKind>(text);
    tolerance::<q::CurrentKind>(text);
    printed::<Id>(text);
    printed::<Conductor>(text);
    printed::<Rating>(text);
    printed::<IpCode>(text);
    printed::<EnclosureRating>(text);
    printed::<Date>(text);
    refused::<RouteStep>(text);
    refused::<Slack>(text);
    refused::<Terminal>(text);
    refused::<TrafficLoad>(text);
    refused::<WorkRecord>(text);
});

fn quantities(text: &str) {
    quantity::<q::PowerKind>(text);
    quantity::<q::ApparentPowerKind>(text);
    quantity::<q::VoltageKind>(text);
    quantity::<q::SignedVoltageKind>(text);
    quantity::<q::CurrentKind>(text);
    quantity::<q::ResistanceKind>(text);
    quantity::<q::ResistancePerLengthKind>(text);
    quantity::<q::LengthKind>(text);
    quantity::<q::TemperatureKind>(text);
    quantity::<q::RatioKind>(text);
    quantity::<q::ForceKind>(text);
    quantity::<q::ColorTemperatureKind>(text);
    quantity::<q::AngleKind>(text);
    quantity::<q::DurationKind>(text);
    quantity::<q::LuminousFluxKind>(text);
}

fn quantity<K: Kind>(text: &str) {
    match text.parse::<Quantity<K>>() {
        Ok(read) => {
            assert!(read.value().is_finite() && read.si().is_finite(), "{read}");
            assert!(read.si().abs() <= 1e12 && (K::SIGNED || read.si() >= 0.0), "{read}");
            assert!(read.si() == 0.0 || read.si().abs() >= 1e-12, "{read}");
            assert!(K::UNITS.contains(read.unit()), "{read} has a unit of another kind");
            let again: Quantity<K> = read.to_string().parse().unwrap_or_else(|error| panic!("{text:?}: {error}"));
            assert_eq!(again.value(), read.value());
            assert_eq!(again.unit(), read.unit());
        }
        Err(error) => {
            assert!(error.to_string().contains(K::NAME), "{error}");
            if let QuantityError::UnknownUnit { unit, .. } = &error {
                assert!(Quantity::<K>::new(1.0, unit).is_none(), "{error}");
            }
        }
    }
}

fn tolerance<K: Kind>(text: &str) {
    let Ok(read) = text.parse::<Tolerance<K>>() else { return };
    let again: Tolerance<K> = read.to_string().parse().unwrap_or_else(|error| panic!("{text:?} as {read}: {error}"));
    for reading in [0.0, 1.0, 12.0, -12.0] {
        let allowed = read.of_reading(reading);
        assert!(allowed.is_finite() && allowed >= 0.0, "{allowed} of {reading}");
        assert_eq!(again.of_reading(reading), allowed);
    }
}

/// What is read is read again, the same, from what it prints.
fn printed<T: FromStr<Err: Display> + Display + PartialEq + Debug>(text: &str) {
    match text.parse::<T>() {
        Ok(read) => {
            let again = read.to_string().parse::<T>();
            assert_eq!(again.unwrap_or_else(|error| panic!("{text:?} as {read}: {error}")), read);
        }
        Err(error) => assert!(!error.to_string().is_empty()),
    }
}

/// Read or refused with words.
fn refused<T: FromStr<Err: Display>>(text: &str) {
    if let Err(error) = text.parse::<T>() {
        assert!(!error.to_string().is_empty());
    }
}
