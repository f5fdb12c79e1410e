//! `lintern export geojson`, and what comes back of it.

use super::{item, read, yaml};
use crate::support::{Site, run};
use geojson::{FeatureCollection, GeometryValue};
use serde_json::{Value, json};

/// A plan with everything that has a place, on a grid that is turned.
fn plan(grid: &str) -> String {
    format!(
        "plan: 1
use: [schedules/standard.yaml]
site:
  grid: {grid}
  north: 23 deg
  origin: {{ latitude: -33.86, longitude: 151.21 }}
  zones:
    - {{ id: lawn, kind: lawn, outline: [[0, 0], [60.25, 0], [60.25, 40.5], [0, 40]] }}
    - {{ id: pool, kind: pool, outline: [[0, -5], [5, -9], [-4, -20.75]], jets: false }}
  utilities:
    - {{ id: gas-1, kind: gas, path: [[70.01, -5.02], [70, 60]], located: marked, depth: 18 in }}
supplies:
  - {{ id: S1, type: box-150, at: [-1, 2.5], mount-height: 14 in }}
junctions:
  - {{ id: J1, at: [10, 20], splice: gel-cap }}
luminaires:
  - {{ id: L1, type: well-6, at: [12.34, 20], placement: in-ground, splice: gel-cap, house: {{ article: A-1 }} }}
  - {{ id: L2, type: path-3, at: [30, -7.77] }}
  - {{ id: L3, type: path-3 }}
runs:
  - {{ id: R1, cable: burial-12-2, route: [S1, [5, 5], J1, L1], slack: 5 %, method: direct-burial, cover: 8 in }}
  - {{ id: R2, cable: burial-12-2, route: [J1, L2], slack: 5 % }}
  - {{ id: R3, cable: burial-12-2, route: [L2, L3], length: 12 ft }}
records: {{ as-built: 2026-03-12 }}
readings: {{ on: 2026-03-12, taken: [{{ at: L1, volts: 11.8 V }}, {{ at: R1, amps: 0.9 A }}] }}
"
    )
}

fn site(grid: &str) -> Site {
    Site::new(&[
        ("a.yaml", &plan(grid)),
        ("schedules/standard.yaml", include_str!("../../../plans/schedules/standard.yaml")),
    ])
}

#[test]
fn what_is_exported_comes_back_to_the_same_place() {
    for grid in ["ft", "m"] {
        let site = site(grid);
        let told = site.lintern(&["export", "geojson", "a.yaml", "-o", "a.geojson"]);
        assert_eq!((told.code, told.err.as_str()), (0, ""), "{}", told.out);
        assert!(
            told.out.contains("without a place, as features without geometry: L3, R3 from L2 to L3"),
            "{}",
            told.out
        );
        let ground = format!(
            "plan: 1\nuse: [schedules/standard.yaml]\nsite: {{ grid: {grid}, north: 23 deg, origin: {{ latitude: -33.86, longitude: 151.21 }} }}\n"
        );
        site.write("b.yaml", ground.as_bytes());
        let told = site.lintern(&["import", "geojson", "a.geojson", "--into", "b.yaml"]);
        // What has no place, and the four segments of runs, are told.
        assert_eq!(told.code, 1, "{}", told.err);
        assert!(
            told.out.contains("left out: feature 7 `L3`: it has no geometry")
                || told.out.contains("`L3`: it has no geometry"),
            "{}",
            told.out
        );
        assert_eq!(told.out.matches("routes of runs").count(), 3, "{}", told.out);
        let (a, b) = (yaml(&read(&site, "a.yaml")), yaml(&read(&site, "b.yaml")));
        for list in ["supplies", "junctions", "luminaires"] {
            for there in a[list].as_array().unwrap().iter().filter(|there| there.get("at").is_some()) {
                let back = item(&b[list], there["id"].as_str().unwrap());
                same(&there["at"], &back["at"], grid);
                for (key, value) in there.as_object().unwrap().iter().filter(|(key, _)| *key != "at") {
                    assert_eq!(&back[key], value, "{key}");
                }
            }
        }
        let gas = item(&b["site"]["utilities"], "gas-1");
        same(&gas["path"][0], &json!([70.01, -5.02]), grid);
        assert_eq!((&gas["located"], &gas["depth"]), (&json!("marked"), &json!("18 in")));
        let lawn = item(&b["site"]["zones"], "lawn");
        [[0.0, 0.0], [60.25, 0.0], [60.25, 40.5], [0.0, 40.0]].iter().enumerate().for_each(|(i, corner)| {
            same(&lawn["outline"][i], &json!(corner), grid);
        });
        // This one was written clockwise: RFC 7946 turns it.
        let pool = item(&b["site"]["zones"], "pool");
        [[-4.0, -20.75], [5.0, -9.0], [0.0, -5.0]].iter().enumerate().for_each(|(i, corner)| {
            same(&pool["outline"][i], &json!(corner), grid);
        });
    }
}

/// The same place to one step of the rounding: in metres, 8 decimals of a degree may turn a hundredth over.
#[track_caller]
fn same(one: &Value, other: &Value, grid: &str) {
    for axis in [0, 1] {
        let apart = (one[axis].as_f64().unwrap() - other[axis].as_f64().unwrap()).abs();
        assert!(apart < 1e-9, "{grid}: {one} {other}");
    }
}

#[test]
fn the_document_is_geojson_with_what_was_computed_and_read() {
    let site = site("ft");
    let exported = site.lintern(&["export", "geojson", "a.yaml"]);
    assert_eq!(exported.code, 0);
    let collection: FeatureCollection = exported.out.parse::<geojson::GeoJson>().unwrap().try_into().unwrap();
    assert_eq!(collection.features.len(), 2 + 1 + 1 + 1 + 3 + 4);
    let of = |id: &str| {
        let found = collection
            .features
            .iter()
            .find(|feature| matches!(&feature.id, Some(geojson::feature::Id::String(own)) if own == id));
        found.unwrap_or_else(|| panic!("no {id}"))
    };
    for zone in ["lawn", "pool"] {
        let Some(GeometryValue::Polygon { coordinates }) = of(zone).geometry.as_ref().map(|g| &g.value) else {
            panic!()
        };
        let ring = &coordinates[0];
        assert_eq!(ring.first(), ring.last());
        let twice: f64 = ring.windows(2).map(|w| w[0][0] * w[1][1] - w[1][0] * w[0][1]).sum();
        assert!(twice > 0.0, "{zone} is not counter-clockwise");
    }
    let solved = site.lintern(&["solve", "a.yaml", "--format", "json"]).json();
    let property = |id: &str, key: &str| of(id).properties.as_ref().unwrap()[key].clone();
    for id in ["L1", "J1"] {
        assert_eq!(property(id, "computed")["volts"], solved["nodes"][id]["volts"]);
    }
    assert!(solved["nodes"]["L1"]["volts"].as_f64().unwrap() > 10.0);
    assert_eq!(property("R1/1", "computed")["length-m"], solved["segments"][0]["length-m"]);
    assert_eq!((property("R1/2", "cover"), property("R1/2", "cable")), (json!("8 in"), json!("burial-12-2")));
    assert_eq!(
        property("L1", "readings")[0],
        json!({ "at": "L1", "quantity": "volts", "value": "11.8 V", "on": "2026-03-12" })
    );
    assert_eq!(property("R1/1", "readings")[0]["value"], "0.9 A");
    assert!(of("R1/2").properties.as_ref().unwrap().get("readings").is_none());
    assert!(of("L3").geometry.is_none() && of("R3/1").geometry.is_none());
    let Some(GeometryValue::LineString { coordinates }) = of("R1/1").geometry.as_ref().map(|g| &g.value) else {
        panic!()
    };
    assert_eq!(coordinates.len(), 3, "the bend is in the line");
    let about = &collection.foreign_members.as_ref().unwrap()["lintern"];
    assert_eq!((&about["records"]["as-built"], &about["readings-on"]), (&json!("2026-03-12"), &json!("2026-03-12")));
    // A supply 2.5 ft up and 1 ft to the left of [0, 0], with true north 23 degrees to the right: east of it is
    // -0.3048 cos 23 - 0.762 sin 23 = -0.5783 m, north 0.762 cos 23 - 0.3048 sin 23 = 0.5823 m; a degree of latitude
    // is 110.92 km there, one of longitude 92.53 km.
    let Some(GeometryValue::Point { coordinates }) = of("S1").geometry.as_ref().map(|g| &g.value) else { panic!() };
    assert!((coordinates[0] - (151.21 - 0.5783 / 92_530.0)).abs() < 2e-8, "{coordinates:?}");
    assert!((coordinates[1] - (-33.86 + 0.5823 / 110_920.0)).abs() < 2e-8, "{coordinates:?}");
    assert_eq!(run(site.path(), &["export", "geojson", "a.yaml"], &[("RAYON_NUM_THREADS", "1")]).out, exported.out);
}

#[test]
fn a_plan_that_does_not_say_where_it_is_needs_an_origin() {
    let site = site("ft");
    let lost = plan("ft").replace("  origin: { latitude: -33.86, longitude: 151.21 }\n", "");
    site.write("lost.yaml", lost.as_bytes());
    let refused = site.lintern(&["export", "geojson", "lost.yaml", "-o", "x.geojson"]);
    assert_eq!((refused.code, refused.out.as_str()), (2, ""));
    assert!(refused.err.contains("--origin LATITUDE,LONGITUDE"), "{}", refused.err);
    assert!(!site.path().join("x.geojson").exists());
    let given = site.lintern(&["export", "geojson", "lost.yaml", "--origin", "-33.86,151.21"]);
    let own = site.lintern(&["export", "geojson", "a.yaml"]);
    assert_eq!(given.json()["features"], own.json()["features"]);
    assert_eq!(site.lintern(&["export", "geojson", "a.yaml", "--origin", "1,2"]).code, 2);
    for wrong in ["91,0", "0,181", "x,y", "1", "NaN,0"] {
        assert_eq!(site.lintern(&["export", "geojson", "a.yaml", "--origin", wrong]).code, 2, "{wrong}");
    }
}

#[test]
fn an_export_takes_the_place_of_nothing_but_an_earlier_one() {
    let plan = crate::support::CLEAN.replace(
        "site: { grid: ft,",
        "site: { grid: ft, north: 0 deg, origin: { latitude: 44.05, longitude: -121.31 },",
    );
    let site = crate::support::Site::new(&[("plan.yaml", &plan), ("notes.txt", "keep")]);
    for name in ["plan.yaml", "notes.txt"] {
        let told = site.lintern(&["export", "geojson", "plan.yaml", "-o", name]);
        assert_eq!(told.code, 2, "{told:#?}");
        assert!(told.err.contains("no earlier result"), "{}", told.err);
    }
    assert_eq!(std::fs::read_to_string(site.path().join("plan.yaml")).unwrap(), plan);
    for _ in 0..2 {
        assert_eq!(site.lintern(&["export", "geojson", "plan.yaml", "-o", "out.geojson"]).code, 0);
    }
}
