//! Every unit, what is refused, and printing read back.

use super::*;
use proptest::prelude::*;

#[test]
fn every_unit_converts_to_si() {
    // NIST SP 811 (2008), appendix B.8: 1 ft = 0.3048 m, 1 in = 0.0254 m, 1 lbf = 4.448 222 N, t/degC = (t/degF - 32)/1.8.
    let length = [
        ("2.4 m", 2.4),
        ("45 cm", 0.45),
        ("450 mm", 0.45),
        ("42 ft", 12.8016),
        ("8 in", 0.2032),
        ("6'", 1.8288),
        ("18\"", 0.4572),
    ];
    for (text, metres) in length {
        assert!((text.parse::<Length>().unwrap().si() - metres).abs() < 1e-12, "{text}");
    }
    let temperature = [("60 degC", 60.0), ("60 °C", 60.0), ("86 degF", 30.0), ("-40 degF", -40.0), ("32 °F", 0.0)];
    for (text, celsius) in temperature {
        assert!((text.parse::<Temperature>().unwrap().si() - celsius).abs() < 1e-9, "{text}");
    }
    let per_length = [("6.5 ohm/km", 6.5e-3), ("1.98 ohm/kft", 1.98 / 304.8), ("0.01 Ω/m", 0.01)];
    for (text, ohms_per_m) in per_length {
        assert!((text.parse::<ResistancePerLength>().unwrap().si() - ohms_per_m).abs() < 1e-15, "{text}");
    }
    assert!(("1 lbf".parse::<Force>().unwrap().si() - 4.448_222).abs() < 1e-6);
    assert_eq!("20 kN".parse::<Force>().unwrap().si(), 20_000.0);
    for (text, watts) in [
        ("9 W", 9.0),
        ("9W", 9.0),
        ("0.5 kW", 500.0),
        ("500 mW", 0.5),
        ("9 watts", 9.0),
        (".5 W", 0.5),
        ("1e2 W", 100.0),
        (" 9  W ", 9.0),
        ("+9 W", 9.0),
    ] {
        assert_eq!(text.parse::<Power>().unwrap().si(), watts, "{text}");
    }
    assert_eq!("7.5 VA".parse::<ApparentPower>().unwrap().si(), 7.5);
    assert_eq!("0.3 kVA".parse::<ApparentPower>().unwrap().si(), 300.0);
    assert_eq!("12 V".parse::<Voltage>().unwrap().si(), 12.0);
    assert!(("700 mA".parse::<Current>().unwrap().si() - 0.7).abs() < 1e-12);
    assert_eq!("2 mohm".parse::<Resistance>().unwrap().si(), 0.002);
    assert_eq!("0.2 Ω".parse::<Resistance>().unwrap().si(), 0.2);
    assert_eq!("5 %".parse::<Ratio>().unwrap().si(), 0.05);
    assert_eq!("3000 K".parse::<ColorTemperature>().unwrap().si(), 3000.0);
    assert_eq!("450 lm".parse::<LuminousFlux>().unwrap().si(), 450.0);
}

#[test]
fn what_is_no_quantity_is_refused() {
    let refused = [
        "",
        " ",
        "W",
        "9",
        "9 V",
        "9 w",
        "nan W",
        "inf W",
        "NaN W",
        "infinity W",
        "0x9 W",
        "0o7 W",
        "1_000 W",
        "9. W",
        ". W",
        "--9 W",
        "-9 W",
        "9 W W",
        "9 W/m",
        "1e400 W",
        "1e13 W",
        "1e-20 W",
        "9,5 W",
        "9\tW",
        "9 W\n",
        "１ W",
        "9 ½W",
    ];
    for text in refused {
        assert!(text.parse::<Power>().is_err(), "{text:?}");
    }
}

#[test]
fn bare_numbers_follow_the_same_rule() {
    for (text, number) in [("36", 36.0), ("-5", -5.0), ("0.9", 0.9), (".5", 0.5), ("1e3", 1000.0), ("+2", 2.0)] {
        assert_eq!(bare_number(text), Some(number), "{text}");
    }
    for text in ["", "x", "nan", ".nan", "inf", ".inf", "0x10", "0o7", "1_0", "1.", "1 ft", "1e999", "- 1", " "] {
        assert_eq!(bare_number(text), None, "{text:?}");
    }
}

/// A printed quantity reads back with the same number and the same unit.
fn round_trip<K: Kind>(value: f64) {
    for unit in K::UNITS.iter().filter(|u| !u.symbol.is_empty()) {
        let quantity = Quantity::<K>::new(value, unit.symbol).unwrap();
        let back: Quantity<K> = quantity.to_string().parse().unwrap();
        assert_eq!((back.value(), back.unit().symbol), (value, unit.symbol));
    }
}

proptest! {
    #[test]
    fn printing_reads_back(value in 1e-6f64..1e8) {
        round_trip::<PowerKind>(value);
        round_trip::<VoltageKind>(value);
        round_trip::<LengthKind>(value);
        round_trip::<TemperatureKind>(-value);
        round_trip::<ResistanceKind>(value);
        round_trip::<ResistancePerLengthKind>(value);
        round_trip::<RatioKind>(value);
        round_trip::<ForceKind>(value);
    }
}

/// A text of the plan stands in the message with what could move a terminal's cursor escaped, and not at full length.
#[test]
fn a_text_in_a_message_steers_no_terminal_and_has_an_end() {
    let texts = ["6 W;\tx", "\u{1b}[2J W", "6\u{7}", "-6 W", "1e99 W"];
    let long = format!("6 W{}", "*".repeat(1_000));
    for text in texts.into_iter().chain([long.as_str()]) {
        let message = text.parse::<Power>().expect_err("it is no power").to_string();
        assert!(!message.chars().any(char::is_control), "{message:?}");
        assert!(message.chars().count() < 200, "{message}");
    }
    assert_eq!(
        "6 W;\tx".parse::<Power>().unwrap_err().to_string(),
        "`W;\\tx` is not a unit of a power; accepted: W, kW, mW"
    );
}
