//! Surveys and schedules that are not what they say.

use super::survey::{feature, imported};
use crate::support::Site;
use serde_json::json;

#[test]
fn what_is_no_survey_is_told_and_nothing_is_written() {
    for (text, says) in [
        ("", "it is not JSON"),
        ("plan: 1\n", "it is not JSON"),
        ("{\"type\": \"FeatureCollection\",\n \"features\": [NaN]}", "s.geojson:2:"),
        ("{\"type\": \"FeatureCollection\", \"features\": [1e999]}", "out of range"),
        ("[1, 2]", "no GeoJSON"),
        ("{\"type\": \"Topology\"}", "`Topology` is no collection of features"),
        ("{\"type\": \"FeatureCollection\"}", "without a list of `features`"),
        ("{\"type\": \"FeatureCollection\", \"features\": []}", "no feature that can be placed"),
        ("{\"type\": \"FeatureCollection\", \"features\": [null]}", "no feature that can be placed"),
        (
            "{\"type\": \"FeatureCollection\", \"crs\": {\"type\": \"name\", \"properties\": {\"name\": \"EPSG:32610\"}}, \"features\": []}",
            "names another reference system",
        ),
        (&format!("{}{}", "[".repeat(100_000), "]".repeat(100_000)), "recursion limit"),
        (
            "{\"type\": \"FeatureCollection\", \"features\": [{\"type\": \"Feature\", \"properties\": {\"id\": \"\\u001b[31mx\\nfeature 9\"}, \"geometry\": null}]}",
            "u{1b}[31m",
        ),
    ] {
        let site = Site::new(&[("s.geojson", text)]);
        let refused = site.lintern(&["import", "geojson", "s.geojson", "-o", "a.yaml"]);
        assert_eq!((refused.code, refused.out.as_str()), (2, ""), "{says}");
        assert!(refused.err.contains(says), "{says}: {}", refused.err);
        assert!(!refused.err.contains('\u{1b}'), "{}", refused.err);
        assert!(!site.path().join("a.yaml").exists());
    }
    let site = Site::new(&[]);
    site.write("s.geojson", b"{\"a\": \"\xff\"}");
    assert!(site.lintern(&["import", "geojson", "s.geojson"]).err.contains("line 1 is not UTF-8"));
    assert_eq!(site.lintern(&["import", "geojson", "."]).code, 2);
    assert_eq!(site.lintern(&["import", "geojson", "nowhere"]).code, 2);
}

#[test]
fn a_site_on_the_antimeridian_is_one_site() {
    let lawn = json!([[[179.9999, -17.0], [-179.9999, -17.0], [-179.9999, -16.9999], [179.9999, -17.0]]]);
    let (told, plan) = imported(vec![feature(json!({ "id": "lawn", "kind": "lawn" }), "Polygon", lawn)], &[]);
    assert_eq!(told.code, 0, "{}", told.err);
    let outline = plan["site"]["zones"][0]["outline"].as_array().unwrap();
    let xs: Vec<f64> = outline.iter().map(|corner| corner[0].as_f64().unwrap()).collect();
    // Two ten-thousandths of a degree at 17 degrees south: 21.3 m.
    assert!((xs[1] - xs[0] - 21.3).abs() < 0.1, "{xs:?}");
}

#[test]
fn names_and_values_of_a_survey_stay_what_they_are() {
    let path = json!([[10.0, 50.0], [10.0, 50.0001]]);
    let hostile = "x }\n- { id: y, kind: gas, path: [[0, 0], [1, 1]]\u{202e}";
    let features = vec![
        feature(
            json!({ "id": hostile, "kind": "gas", "house": { hostile: hostile, "a: b": "#c" } }),
            "LineString",
            path.clone(),
        ),
        feature(json!({ "id": "z", "kind": hostile }), "LineString", path),
    ];
    let (told, plan) = imported(features, &[]);
    assert_eq!(told.code, 1, "{}", told.err);
    let utilities = plan["site"]["utilities"].as_array().unwrap();
    assert_eq!(utilities.len(), 1);
    assert_eq!(utilities[0]["house"][hostile], hostile);
    assert!(!told.err.contains('\u{202e}') && !told.out.contains('\u{202e}'), "{}{}", told.out, told.err);
}

#[test]
fn very_many_features_take_no_ages() {
    let spot = |n: u32| feature(json!({ "kind": "junction" }), "Point", json!([10.0 + f64::from(n) * 1e-7, 50.0]));
    let (told, plan) = imported((0..5_000).map(spot).collect(), &[]);
    assert_eq!(told.code, 0, "{}", told.err.lines().last().unwrap_or(""));
    assert_eq!(plan["junctions"].as_array().unwrap().len(), 5_000);
    assert!(told.err.contains("changed: and 4950 more"));
}
