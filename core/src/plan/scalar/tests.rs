//! Scalars that are read from one text: what is accepted, how it prints, what is refused.

use super::*;
use crate::plan::quantity::VoltageKind;

/// Accepted texts with what they print as, then refused ones.
fn table<T: FromStr + fmt::Display>(accepted: &[(&str, &str)], refused: &[&str]) {
    for (text, printed) in accepted {
        let value = text.parse::<T>().ok().map(|v| v.to_string());
        assert_eq!(value.as_deref(), Some(*printed), "{text}");
    }
    for text in refused {
        assert!(text.parse::<T>().is_err(), "{text:?}");
    }
}

#[test]
fn scalars_that_print() {
    table::<Id>(
        &[("L1", "L1"), ("7", "7"), ("1e3", "1e3"), ("on", "on"), ("a.b_c-d", "a.b_c-d")],
        &["", "-a", ".a", "_a", "a/b", "a b", "é", "a\n"],
    );
    table::<Conductor>(
        &[
            ("12 AWG", "12 AWG"),
            ("12AWG", "12 AWG"),
            ("1/0 AWG", "1/0 AWG"),
            ("4/0 AWG", "4/0 AWG"),
            ("2.5 mm2", "2.5 mm2"),
            ("2.5 mm²", "2.5 mm2"),
            ("4 mm2", "4 mm2"),
        ],
        &[
            "",
            "12",
            "AWG",
            "0 AWG",
            "41 AWG",
            "5/0 AWG",
            "0/0 AWG",
            "-2 AWG",
            "12 awg",
            "0 mm2",
            "-1 mm2",
            "nan mm2",
            "1e2 mm2",
            "1.2.3 mm2",
            "2.5 mm",
        ],
    );
    table::<Rating>(
        &[("300 VA", "300 VA"), ("0.3 kVA", "0.3 kVA"), ("100 W", "100 W")],
        &["300", "300 V", "VA", "-1 W", "1e99 VA"],
    );
    table::<IpCode>(
        &[("IP65", "IP65"), ("IPX7", "IPX7"), ("IP6X", "IP6X"), ("IP69", "IP69")],
        &["", "IP", "IP6", "IP75", "IP6x", "ip65", "IP655", "65", "IPé"],
    );
    table::<Date>(
        &[("2026-03-02", "2026-03-02"), ("2024-02-29", "2024-02-29")],
        &["2026-02-29", "2026-3-2", "20260302", "2026-13-01", "02-03-2026", "2026-03-02 ", "today"],
    );
}

#[test]
fn scalars_of_several_forms() {
    assert!(matches!("5 %".parse(), Ok(Slack::Share(share)) if share.si() == 0.05));
    assert!(matches!("2 ft".parse(), Ok(Slack::Length(length)) if length.value() == 2.0));
    for text in ["5", "5 W", "%", "-5 %"] {
        assert!(text.parse::<Slack>().is_err(), "{text}");
    }
    assert_eq!("S1/12".parse(), Ok(RouteStep::Output(Id("S1".into()), Id("12".into()))));
    assert_eq!("J1".parse(), Ok(RouteStep::Node(Id("J1".into()))));
    for text in ["", "/", "S1/", "/12", "S1/1/2", "S 1"] {
        assert!(text.parse::<RouteStep>().is_err(), "{text}");
    }
    assert_eq!("none".parse(), Ok(TrafficLoad::None));
    assert_eq!("walk-over".parse(), Ok(TrafficLoad::WalkOver));
    assert_eq!("drive-over".parse(), Ok(TrafficLoad::DriveOver));
    assert!(matches!("20 kN".parse(), Ok(TrafficLoad::Static(force)) if force.si() == 20_000.0));
    for text in ["", "truck", "20", "20 kg"] {
        assert!(text.parse::<TrafficLoad>().is_err(), "{text}");
    }
    assert_eq!("outdoor".parse(), Ok(EnclosureRating::Outdoor));
    assert_eq!("indoor".parse(), Ok(EnclosureRating::Indoor));
    assert_eq!("IP44".parse(), Ok(EnclosureRating::Ip(IpCode { solids: Some(4), water: Some(4) })));
    assert_eq!("type 3r".parse(), Ok(EnclosureRating::Type("3R")));
    assert!("IP4".parse::<EnclosureRating>().is_err() && "type 7".parse::<EnclosureRating>().is_err());
    assert_eq!("planned".parse(), Ok(WorkRecord::Planned));
    assert!(matches!("2026-02-20".parse(), Ok(WorkRecord::On(_))));
    assert!("done".parse::<WorkRecord>().is_err());
}

/// NEC Chapter 9 Table 8, area in mm2: 12 AWG 3.31, 10 AWG 5.261, 4/0 AWG 107.2.
#[test]
fn the_area_of_a_gauge_is_that_of_the_table() {
    for (gauge, square_mm) in [(12, 3.31), (10, 5.261), (-3, 107.2)] {
        let computed = Conductor::Awg(gauge).square_mm();
        assert!((computed - square_mm).abs() < 6e-4 * square_mm, "{gauge}: {computed}");
    }
}

#[test]
fn tolerances_of_instruments() {
    let of = |text: &str, reading| text.parse::<Tolerance<VoltageKind>>().map(|t| t.of_reading(reading));
    for (text, allowed) in [("0.5 %", 0.06), ("0.05 V", 0.05), ("0.5 % + 20 mV", 0.08), ("20 mV + 0.5 %", 0.08)] {
        assert!((of(text, 12.0).unwrap() - allowed).abs() < 1e-12, "{text}");
        assert!((of(text, -12.0).unwrap() - allowed).abs() < 1e-12, "{text}");
    }
    for text in ["", "0.5", "0.5 A", "1 % + 1 %", "1 V + 1 V", "1 % +", "1 % + 1 V + 1 V", "-1 %"] {
        assert!(of(text, 12.0).is_err(), "{text}");
    }
}
