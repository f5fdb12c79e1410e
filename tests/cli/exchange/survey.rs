//! `lintern import geojson`.

use super::{assert_loads, demo_site, item, lines, read, yaml};
use crate::support::{CLEAN, Outcome, Site};
use serde_json::{Value, json};

const WORDS: [&str; 4] = ["--map", "turf=lawn", "--map", "lamp=luminaire"];

fn import(site: &Site, more: &[&str]) -> Outcome {
    let mut arguments = vec!["import", "geojson", "marsh-end.geojson"];
    arguments.extend(WORDS);
    arguments.extend(more);
    site.lintern(&arguments)
}

#[test]
fn a_survey_becomes_a_plan_and_what_is_left_out_is_listed() {
    let site = demo_site();
    let told =
        import(&site, &["--origin", "43.2104,-119.9021", "--use", "schedules/standard.yaml", "-o", "marsh-end.yaml"]);
    assert_eq!((told.code, told.err.as_str()), (1, ""), "{}", told.out);
    assert_eq!(lines(&told.out, "taken"), ["taken: 5 zones, 3 utilities, 1 supply, 4 luminaires"]);
    let [hole, tree, septic] = lines(&told.out, "left out")[..] else { panic!("{}", told.out) };
    assert!(hole.starts_with("left out: feature 2 `lawn`: a hole of a polygon"), "{hole}");
    assert!(tree.starts_with("left out: feature 12 `oak`: `tree` is no kind"), "{tree}");
    assert_eq!(septic, "left out: feature 13 `septic`: it has no geometry");
    let projection = "+proj=tmerc +lat_0=43.2104 +lon_0=-119.9021 +k=1 +x_0=0 +y_0=0 +datum=WGS84 +units=m +no_defs";
    assert!(told.out.contains(projection) && told.out.contains("rounded to 0.01 ft"), "{}", told.out);
    assert!(told.out.contains("note: lines of a survey are no marks on the ground"), "{}", told.out);
    assert!(told.out.contains("changed: feature 7 `L1`: the height of 1 point is dropped"), "{}", told.out);
    assert!(told.out.contains("changed: feature 4 `hedge`: a MultiPolygon of 2 parts is taken apart"), "{}", told.out);

    let text = read(&site, "marsh-end.yaml");
    assert!(text.starts_with("# Taken from marsh-end.geojson.") && text.contains(projection), "{text}");
    let plan = yaml(&text);
    assert_eq!(plan["site"]["grid"], "ft");
    assert_eq!(plan["site"]["origin"], json!({ "latitude": 43.2104, "longitude": -119.9021 }));
    // The survey was made from these feet by PROJ.
    let zones = &plan["site"]["zones"];
    assert_eq!(item(zones, "lawn")["kind"], "lawn");
    assert_eq!(item(zones, "drive")["outline"], json!([[52, -30], [64, -30], [64, 40], [52, 40]]));
    assert_eq!(item(zones, "hedge-2")["outline"], json!([[28, 42], [48, 42], [48, 46], [28, 46]]));
    let gas = item(&plan["site"]["utilities"], "gas-1");
    assert_eq!(
        *gas,
        json!({ "id": "gas-1", "kind": "gas", "path": [[-6, -30], [-6, 50]], "located": "marked", "depth": "24 in", "width": "1 in" })
    );
    assert_eq!(item(&plan["luminaires"], "L4")["at"], json!([42, 6]));
    assert_eq!(item(&plan["supplies"], "transformer")["type"], "box-150");
    assert_loads(&site, "marsh-end.yaml");
    // Nothing is written over.
    let again = import(&site, &["-o", "marsh-end.yaml"]);
    assert_eq!((again.code, again.out.as_str()), (2, ""));
    assert_eq!(read(&site, "marsh-end.yaml"), text);
}

#[test]
fn without_a_file_the_plan_is_printed_and_the_rest_is_told_beside_it() {
    let site = demo_site();
    let told = import(&site, &["--grid", "m", "--use", "schedules/standard.yaml"]);
    assert_eq!(told.code, 1);
    let plan = yaml(&told.out);
    assert_eq!(plan["site"]["grid"], "m");
    // The middle of the survey: the first lamps are within a house's length of it.
    let at = &item(&plan["luminaires"], "L1")["at"];
    assert!(at[0].as_f64().unwrap().hypot(at[1].as_f64().unwrap()) < 20.0, "{at}");
    assert!(told.err.contains("left out") && told.err.contains("+proj=tmerc"), "{}", told.err);
}

#[test]
fn luminaires_without_a_known_type_are_kept_as_comments() {
    let site = demo_site();
    let told = import(&site, &["-o", "a.yaml"]);
    assert_eq!(told.code, 1);
    let refused: Vec<_> = lines(&told.out, "left out").into_iter().filter(|line| line.contains("L1")).collect();
    assert!(refused.len() == 1 && refused[0].contains("path-3"), "{refused:?}");
    let text = read(&site, "a.yaml");
    assert!(text.contains("\n#   - { id: L1, type: path-3, at: [") && !text.contains("\nluminaires:"), "{text}");
    assert_loads(&site, "a.yaml");
}

#[test]
fn a_survey_goes_into_a_plan_whose_text_stays() {
    let site = demo_site();
    let plan =
        CLEAN.replace("site: { grid: ft, soil: loam }", "site: # the ground\n  grid: ft\n  soil: loam # as dug\n");
    site.write("a.yaml", plan.as_bytes());
    let refused = import(&site, &["--into", "a.yaml"]);
    assert_eq!(refused.code, 2);
    assert!(refused.err.contains("does not say where its [0, 0] is"), "{}", refused.err);
    assert_eq!(read(&site, "a.yaml"), plan);

    let told = import(&site, &["--into", "a.yaml", "--origin", "43.2104,-119.9021"]);
    assert_eq!(told.code, 1, "{}", told.err);
    let text = read(&site, "a.yaml");
    for kept in ["site: # the ground\n", "  soil: loam # as dug\n", "records: { mock-up: 2026-02-20"] {
        assert!(text.contains(kept), "{kept}: {text}");
    }
    let added = yaml(&text);
    // L1 and L2 are taken; the types of the survey's lamps are not in this plan but for well-6.
    assert!(told.out.contains("the id `L1` is taken"), "{}", told.out);
    assert_eq!(item(&added["luminaires"], "L4")["at"], json!([42, 6]));
    assert_eq!(added["luminaires"].as_array().unwrap().len(), 3);
    assert_eq!(added["site"]["zones"].as_array().unwrap().len(), 5);
    assert_eq!(added["site"]["origin"]["latitude"], 43.2104);
    assert_loads(&site, "a.yaml");
    let other = import(&site, &["--into", "a.yaml", "--origin", "43,-119"]);
    assert!(other.code == 2 && other.err.contains("another `site.origin`"), "{}", other.err);
    let grid = import(&site, &["--into", "a.yaml", "--grid", "m"]);
    assert!(grid.code == 2 && grid.err.contains("is in ft"), "{}", grid.err);
}

/// A feature with a geometry.
pub fn feature(properties: Value, kind: &str, coordinates: Value) -> Value {
    json!({ "type": "Feature", "properties": properties, "geometry": { "type": kind, "coordinates": coordinates } })
}

/// A survey of features, imported.
pub fn imported(features: Vec<Value>, more: &[&str]) -> (Outcome, Value) {
    let survey = json!({ "type": "FeatureCollection", "features": features });
    let site = Site::new(&[("s.geojson", &survey.to_string())]);
    let mut arguments = vec!["import", "geojson", "s.geojson", "--grid", "m"];
    arguments.extend(more);
    let outcome = site.lintern(&arguments);
    let plan = if outcome.code == 2 { Value::Null } else { yaml(&outcome.out) };
    (outcome, plan)
}

#[test]
fn each_feature_that_is_not_placed_is_named_with_the_reason() {
    let square = json!([[[10.0, 50.0], [10.0001, 50.0], [10.0001, 50.0001], [10.0, 50.0]]]);
    let crossed = json!([[[10.0, 50.0], [10.0002, 50.0002], [10.0002, 50.0], [10.0, 50.0001], [10.0, 50.0]]]);
    let features = vec![
        feature(json!({ "id": "good", "kind": "lawn", "owner": "x" }), "Polygon", square.clone()),
        feature(
            json!({ "id": "utm", "kind": "lawn" }),
            "Polygon",
            json!([[[500000.0, 5.5e6], [500001.0, 5.5e6], [500001.0, 5.6e6]]]),
        ),
        feature(json!({ "id": "crossed", "kind": "lawn" }), "Polygon", crossed),
        feature(json!({ "id": "far", "kind": "gas" }), "LineString", json!([[10.0, 50.0], [11.0, 50.0]])),
        feature(json!({ "id": "point", "kind": "lawn" }), "Point", json!([10.0, 50.0])),
        feature(
            json!({ "id": "deep", "kind": "gas", "depth": 18 }),
            "LineString",
            json!([[10.0, 50.0], [10.0, 50.0001]]),
        ),
        feature(json!({ "id": "short", "kind": "gas" }), "LineString", json!([[10.0], [10.0, 50.0001]])),
        json!({ "type": "Feature", "properties": null, "geometry": { "type": "Circle", "coordinates": [1, 2] } }),
        json!(7),
        feature(json!({ "id": "good", "kind": "bed" }), "Polygon", square.clone()),
        feature(json!({ "id": "Tool shed", "kind": "building" }), "Polygon", square.clone()),
        feature(json!({ "kind": "bed" }), "Polygon", square),
        feature(json!({ "id": "R1", "element": "run" }), "LineString", json!([[10.0, 50.0], [10.0, 50.0001]])),
    ];
    let (told, plan) = imported(features, &[]);
    assert_eq!(told.code, 1, "{}", told.err);
    let left = lines(&told.err, "left out");
    for (number, says) in [
        (2, "projected coordinates"),
        (3, "the outline crosses itself"),
        (4, "the limit is 10 km"),
        (5, "a zone has a Polygon, and this is a Point"),
        (6, "`18`"),
        (7, "without longitude and latitude"),
        (8, "it is no feature of GeoJSON"),
        (9, "it is no feature of GeoJSON"),
        (13, "routes of runs are not imported"),
    ] {
        let of: Vec<_> = left.iter().filter(|line| line.starts_with(&format!("left out: feature {number}"))).collect();
        assert!(of.len() == 1 && of[0].contains(says), "{number} {says}: {left:#?}");
    }
    assert_eq!(left.len(), 9, "{left:#?}");
    let ids: Vec<_> =
        plan["site"]["zones"].as_array().unwrap().iter().map(|zone| zone["id"].as_str().unwrap()).collect();
    assert_eq!(ids, ["good", "good-2", "Tool-shed", "bed-1"]);
    for says in [
        "the id `good` is taken; it takes `good-2`",
        "`Tool shed` is not valid as an id",
        "it has no id and takes `bed-1`",
        "the property `owner` of 1 feature",
    ] {
        assert!(told.err.contains(says), "{says}: {}", told.err);
    }
}
