//! `lintern import csv`.

use super::{assert_loads, demo_site, item, lines, read, yaml};
use crate::support::{CLEAN, Site};
use serde_json::json;

#[test]
fn a_schedule_becomes_types_and_luminaires_and_wrong_cells_are_told() {
    let site = demo_site();
    let told = site.lintern(&["import", "csv", "marsh-end-lamps.csv", "-o", "lamps.yaml"]);
    assert_eq!((told.code, told.err.as_str()), (1, ""), "{}", told.out);
    assert_eq!(lines(&told.out, "taken"), ["taken: 3 types, 7 luminaires"]);
    let [column, cell] = lines(&told.out, "left out")[..] else { panic!("{}", told.out) };
    assert!(column.starts_with("left out: line 1: the column `finish` is no field"), "{column}");
    assert!(cell.starts_with("left out: line 4: column `ip`, `IP6`: "), "{cell}");
    let plan = yaml(&read(&site, "lamps.yaml"));
    assert_eq!(
        plan["schedule"]["luminaires"]["step-2"],
        json!({
            "power": "2 W", "apparent-power": "2.4 VA", "nominal": "12 V", "load": "constant-power", "ip": ["IP66", "IP67"],
            "location": "wet", "cct": "2700 K", "flux": "90 lm", "input": { "min": "10 V", "max": "15 V" },
        })
    );
    assert!(plan["schedule"]["luminaires"]["spot-7"].get("ip").is_none());
    let ids: Vec<_> = plan["luminaires"].as_array().unwrap().iter().map(|lamp| lamp["id"].as_str().unwrap()).collect();
    assert_eq!(ids, ["T1", "T2", "T3", "T4", "W1", "W2", "A1"]);
    assert_eq!(
        *item(&plan["luminaires"], "W2"),
        json!({ "id": "W2", "type": "wall-5", "placement": "wall", "scene": "entry" })
    );
    assert_loads(&site, "lamps.yaml");
}

/// Tabs, a byte order mark, quotes with commas and line ends in them, and headers as people write them.
#[test]
fn schedules_come_in_many_forms() {
    let rows = [
        ("Type,Power,Nominal,Count,Scene\r\na,6 W,12 V,2,\"front, \"\"left\"\"\nside\"\r\n", "front, \"left\"\nside"),
        ("\u{feff}type\tpower (W)\tnominal (V)\tcount\tscene\na\t6\t12\t2\tx\n", "x"),
        ("TYPE;Power (W);nominal (V);COUNT;scene;shielded;power_factor\na;6;12;2;12;yes;0.9\n", "12"),
        ("type,power (W),nominal (V),count,scene\n\n,,,,\na,6,12 V,2,true", "true"),
    ];
    for (text, scene) in rows {
        let site = Site::new(&[("l.csv", text)]);
        let told = site.lintern(&["import", "csv", "l.csv"]);
        assert_eq!(told.code, 0, "{text}: {}", told.err);
        let plan = yaml(&told.out);
        assert_eq!(plan["schedule"]["luminaires"]["a"]["power"], "6 W");
        assert_eq!(item(&plan["luminaires"], "a-2")["scene"], scene, "{text}");
    }
}

#[test]
fn each_row_that_can_be_read_goes_in() {
    let text = "type,tag,count,power (W),apparent-power,power-factor,nominal (V),splice\n\
        a,A,2,6,,,12,gel-cap\n\
        b,B,1,six,,,12,\n\
        c,C,1,6,7 VA,0.9,12,\n\
        d,D,many,6,,,12,\n\
        a,E,1,6,,,12,\n\
        a,F,1,7,,,12,\n\
        well-6,G,1,9,,,12,other-cap\n\
        e,A1,1,6,,,12,,surplus\n";
    let site = Site::new(&[("l.csv", text), ("a.yaml", CLEAN)]);
    let told = site.lintern(&["import", "csv", "l.csv", "--into", "a.yaml"]);
    assert_eq!(told.code, 1, "{}", told.err);
    let left = lines(&told.out, "left out");
    for (line, says) in [
        (3, "column `power (W)`, `six`"),
        (3, "the type is left out, and its luminaires"),
        (4, "the type is left out, and its luminaires"),
        (5, "column `count`, `many`"),
        (8, "the plan has no splice type `other-cap`"),
        (9, "1 more cells than there are columns"),
    ] {
        assert!(
            left.iter().any(|text| text.starts_with(&format!("left out: line {line}:")) && text.contains(says)),
            "{says}: {left:#?}"
        );
    }
    assert_eq!(left.len(), 6, "{left:#?}");
    for says in [
        "line 7: type: the id `a` is taken",
        "line 8: the plan has the type `well-6` already",
        "line 9: the id `A1` is taken",
    ] {
        assert!(told.out.contains(says), "{says}: {}", told.out);
    }
    let plan = yaml(&read(&site, "a.yaml"));
    let ids: Vec<_> = plan["luminaires"].as_array().unwrap().iter().map(|lamp| lamp["id"].as_str().unwrap()).collect();
    assert_eq!(ids, ["L1", "L2", "A1", "A2", "E", "F", "G", "A1-2"]);
    assert_eq!(
        (&item(&plan["luminaires"], "E")["type"], &item(&plan["luminaires"], "F")["type"]),
        (&json!("a"), &json!("a-2"))
    );
    assert!(plan["schedule"]["luminaires"].get("d").is_some());
}

#[test]
fn what_is_no_schedule_is_told() {
    for (text, says) in [
        ("", "it is empty"),
        ("a,b\n1,2\n", "none of its columns is a field"),
        ("\u{0}\u{1b}[31m\n", "none of its columns"),
        ("type,power (W),nominal (V),count\na,6,12,1001\n", ""),
    ] {
        let site = Site::new(&[("l.csv", text)]);
        let told = site.lintern(&["import", "csv", "l.csv", "-o", "a.yaml"]);
        if says.is_empty() {
            assert_eq!(told.code, 1);
            assert!(told.out.contains("a whole number up to 1000"), "{}", told.out);
        } else {
            assert_eq!((told.code, told.out.as_str()), (2, ""), "{text:?}");
            assert!(told.err.contains(says) && !told.err.contains('\u{1b}'), "{}", told.err);
            assert!(!site.path().join("a.yaml").exists());
        }
    }
}

#[test]
fn a_quote_that_is_never_closed_takes_no_row_with_it() {
    let site = Site::new(&[("q.csv", "type,power (W),nominal (V),count\n\"a,6,12,1\nb,7,12,1\nc,8,12,1\n")]);
    let told = site.lintern(&["import", "csv", "q.csv", "-o", "q.yaml"]);
    assert_eq!(told.code, 2, "{told:#?}");
    assert!(told.err.contains("line 2: a quote that opens here is never closed"), "{}", told.err);
    assert!(!site.path().join("q.yaml").exists());
    // An inch sign in a cell opens nothing.
    let inches = Site::new(&[("q.csv", "type,power (W),nominal (V),count,scene\na,6,12,1,6\" bed\nb,7,12,1,x\n")]);
    let told = inches.lintern(&["import", "csv", "q.csv", "-o", "q.yaml"]);
    assert_eq!(lines(&told.out, "taken"), ["taken: 2 types, 2 luminaires"], "{told:#?}");
}
