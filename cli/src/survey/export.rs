//! A plan as GeoJSON (RFC 7946): what is laid where, with what was computed for it and what was read and recorded.

use super::ground::Ground;
use geojson::{Feature, FeatureCollection, GeometryValue, feature};
use lintern_core::analysis::{NodeState, Solution};
use lintern_core::layout::{House, Layout, Measured, NodeRef, PointM, Segment};
use lintern_core::plan::scalar::{Date, WorkRecord};
use serde_json::{Map, Value, json};
use std::fmt::Display;

/// The document, and what has no place in it.
pub struct Exported {
    /// The text, with a line end.
    pub text: String,
    /// Features.
    pub features: usize,
    /// Elements without a place, in the order of the document.
    pub unplaced: Vec<String>,
    /// What is to be known of the whole.
    pub notes: Vec<String>,
}

/// What is exported.
pub struct Source<'a> {
    /// The plan's path in its repository.
    pub file: &'a str,
    /// The plan.
    pub layout: &'a Layout,
    /// Its electrical state.
    pub solution: &'a Solution,
    /// Its ground.
    pub ground: &'a Ground,
}

/// The plan as GeoJSON; the reason where a place can't be told.
pub fn export(source: &Source<'_>) -> Result<Exported, String> {
    let mut out = Out { source, features: Vec::new(), unplaced: Vec::new(), crossing: Vec::new() };
    out.site()?;
    out.nodes()?;
    out.runs()?;
    let mut notes = Vec::new();
    if !out.crossing.is_empty() {
        notes.push(format!("on both sides of the antimeridian, and not cut there: {}", out.crossing.join(", ")));
    }
    let collection = FeatureCollection { bbox: None, features: out.features, foreign_members: Some(about(source)) };
    let features = collection.features.len();
    Ok(Exported { text: crate::output::pretty(&collection), features, unplaced: out.unplaced, notes })
}

struct Out<'a> {
    source: &'a Source<'a>,
    features: Vec<Feature>,
    unplaced: Vec<String>,
    crossing: Vec<String>,
}

impl Out<'_> {
    fn site(&mut self) -> Result<(), String> {
        let layout = self.source.layout;
        for zone in &layout.zones {
            let mut properties = start("zone", Some(zone.kind.to_string()));
            put(&mut properties, "slab-thickness", zone.slab_thickness);
            put(&mut properties, "slab-beyond", zone.slab_beyond);
            put_json(&mut properties, "jets", zone.jets);
            put_house(&mut properties, &zone.house);
            let ring = self.ring(&zone.outline)?;
            self.add(&zone.id.0, &zone.id.0, properties, Some(GeometryValue::new_polygon([ring])));
        }
        for utility in &layout.utilities {
            let mut properties = start("utility", Some(utility.kind.to_string()));
            put(&mut properties, "located", utility.located);
            put(&mut properties, "depth", utility.depth);
            put(&mut properties, "width", utility.width);
            put_house(&mut properties, &utility.house);
            let line = self.line(&utility.path)?;
            self.add(&utility.id.0, &utility.id.0, properties, Some(GeometryValue::new_line_string(line)));
        }
        Ok(())
    }

    fn nodes(&mut self) -> Result<(), String> {
        let Source { layout, solution, .. } = self.source;
        for (supply, state) in layout.supplies.iter().zip(&solution.supplies) {
            let mut properties = start("supply", None);
            put(&mut properties, "type", Some(&supply.kind.name));
            put(&mut properties, "mount-height", supply.mount_height);
            put(&mut properties, "exposure", supply.exposure);
            put_house(&mut properties, &supply.house);
            let outputs: Map<String, Value> = (supply.kind.outputs.iter().zip(&state.outputs))
                .map(|(output, state)| (output.name.0.clone(), json!({ "volts": state.volts, "amps": state.amps })))
                .collect();
            let computed = json!({ "load-w": state.load_w, "load-va": state.load_va, "loading-percent": state.loading_percent, "outputs": outputs });
            properties.insert("computed".to_owned(), computed);
            self.point(&supply.id.0, properties, supply.at)?;
        }
        for (junction, state) in layout.junctions.iter().zip(&solution.junctions) {
            let mut properties = start("junction", None);
            put(&mut properties, "splice", junction.splice.as_ref().map(|splice| &splice.name));
            put(&mut properties, "box", junction.above_ground_box);
            put_house(&mut properties, &junction.house);
            properties.insert("computed".to_owned(), node(state));
            self.point(&junction.id.0, properties, junction.at)?;
        }
        for (luminaire, state) in layout.luminaires.iter().zip(&solution.luminaires) {
            let mut properties = start("luminaire", None);
            put(&mut properties, "type", Some(&luminaire.kind.name));
            put(&mut properties, "placement", luminaire.placement);
            put(&mut properties, "exposure", luminaire.exposure);
            put(&mut properties, "splice", luminaire.splice.as_ref().map(|splice| &splice.name));
            put(&mut properties, "scene", luminaire.scene.as_ref());
            put(&mut properties, "water-depth", luminaire.water_depth);
            put(&mut properties, "mount-height", luminaire.mount_height);
            put(&mut properties, "lights", luminaire.lights);
            put(&mut properties, "aim", luminaire.aim);
            put_house(&mut properties, &luminaire.house);
            let mut computed = node(&state.node);
            computed["amps"] = json!(state.amps);
            computed["lit"] = json!(state.lit);
            properties.insert("computed".to_owned(), computed);
            self.point(&luminaire.id.0, properties, luminaire.at)?;
        }
        Ok(())
    }

    /// A line for each segment.
    fn runs(&mut self) -> Result<(), String> {
        let Source { layout, solution, .. } = self.source;
        for (run, states) in layout.runs.iter().zip(&solution.segments) {
            for (index, (segment, state)) in run.segments.iter().zip(states).enumerate() {
                let (from, to) = (layout.node_name(segment.from), layout.node_name(segment.to));
                let name = format!("{} from {from} to {to}", run.id);
                let mut properties = start("run", None);
                properties.insert("segment".to_owned(), json!(index + 1));
                properties.insert("from".to_owned(), json!(from));
                properties.insert("to".to_owned(), json!(to));
                put(&mut properties, "cable", Some(&run.cable.name));
                put(&mut properties, "method", run.method);
                put(&mut properties, "cover", run.cover);
                let covers: Vec<Value> = run.covers.iter().map(|cover| cover_in_zone(layout, cover)).collect();
                put_json(&mut properties, "covers", (!covers.is_empty()).then_some(covers));
                put_house(&mut properties, &run.house);
                let computed = json!({ "length-m": segment.length_m, "ohms": state.ohms, "amps": state.amps, "loss-w": state.loss_w });
                properties.insert("computed".to_owned(), computed);
                let geometry = match ends_have_places(layout, segment) {
                    true => Some(GeometryValue::new_line_string(self.line(&segment.path)?)),
                    false => None,
                };
                self.add(&run.id.0, &name, properties, geometry);
            }
        }
        Ok(())
    }

    fn point(&mut self, id: &str, properties: Map<String, Value>, at: Option<PointM>) -> Result<(), String> {
        let place = at.map(|at| self.place(at)).transpose()?;
        self.add(id, id, properties, place.map(GeometryValue::new_point));
        Ok(())
    }

    /// Adds a feature, placed or not.
    fn add(&mut self, id: &str, name: &str, mut properties: Map<String, Value>, geometry: Option<GeometryValue>) {
        let readings = read_at(self.source.layout, id, properties.get("segment"));
        if !readings.is_empty() {
            properties.insert("readings".to_owned(), Value::Array(readings));
        }
        properties.insert("id".to_owned(), json!(id));
        match &geometry {
            None => self.unplaced.push(name.to_owned()),
            Some(geometry) if crosses(geometry) => self.crossing.push(name.to_owned()),
            Some(_) => {}
        }
        // The segments of a run share its id, and ids of features are their own.
        let member = properties.get("segment").map_or_else(|| id.to_owned(), |segment| format!("{id}/{segment}"));
        self.features.push(Feature {
            bbox: None,
            geometry: geometry.map(Into::into),
            id: Some(feature::Id::String(member)),
            properties: Some(properties),
            foreign_members: None,
        });
    }

    /// Longitude and latitude to 8 decimals, a millimetre.
    fn place(&self, point: PointM) -> Result<[f64; 2], String> {
        Ok(self.source.ground.to_earth(point)?.map(|degrees| (degrees * 1e8).round() / 1e8 + 0.0))
    }

    fn line(&self, points: &[PointM]) -> Result<Vec<[f64; 2]>, String> {
        points.iter().map(|point| self.place(*point)).collect()
    }

    /// The ring of an outline: counter-clockwise, as RFC 7946 wants outer rings, and closed.
    fn ring(&self, outline: &[PointM]) -> Result<Vec<[f64; 2]>, String> {
        let next = outline.iter().cycle().skip(1);
        let twice_area: f64 = outline.iter().zip(next).map(|(a, b)| a.x_m * b.y_m - b.x_m * a.y_m).sum();
        let mut ring = self.line(outline)?;
        if twice_area < 0.0 {
            ring.reverse();
        }
        ring.extend(ring.first().copied());
        Ok(ring)
    }
}

fn start(element: &str, kind: Option<String>) -> Map<String, Value> {
    let mut properties = Map::new();
    properties.insert("element".to_owned(), json!(element));
    put(&mut properties, "kind", kind);
    properties
}

/// A field in the plan's spelling, where the plan states it.
fn put(properties: &mut Map<String, Value>, key: &str, value: Option<impl Display>) {
    put_json(properties, key, value.map(|value| value.to_string()));
}

fn put_json(properties: &mut Map<String, Value>, key: &str, value: Option<impl Into<Value>>) {
    if let Some(value) = value {
        properties.insert(key.to_owned(), value.into());
    }
}

fn put_house(properties: &mut Map<String, Value>, house: &House) {
    if !house.is_empty() {
        properties.insert("house".to_owned(), json!(house));
    }
}

fn node(state: &NodeState) -> Value {
    json!({ "volts": state.volts, "drop-percent": state.drop_percent })
}

fn cover_in_zone(layout: &Layout, cover: &lintern_core::layout::CoverInZone) -> Value {
    let mut fields = Map::new();
    put(&mut fields, "zone", layout.zones.get(cover.zone).map(|zone| &zone.id));
    put(&mut fields, "cover", cover.cover);
    put(&mut fields, "method", cover.method);
    Value::Object(fields)
}

/// Whether both ends of a segment have places, so that its path is whole.
fn ends_have_places(layout: &Layout, segment: &Segment) -> bool {
    let has_place = |node: NodeRef| match node {
        NodeRef::Output { supply, .. } => layout.supplies.get(supply).is_some_and(|supply| supply.at.is_some()),
        NodeRef::Junction(index) => layout.junctions.get(index).is_some_and(|junction| junction.at.is_some()),
        NodeRef::Luminaire(index) => layout.luminaires.get(index).is_some_and(|luminaire| luminaire.at.is_some()),
    };
    segment.path.len() > 1 && has_place(segment.from) && has_place(segment.to)
}

/// What was read at an element. A clamp on a run is at the start of its first segment.
fn read_at(layout: &Layout, id: &str, segment: Option<&Value>) -> Vec<Value> {
    if segment.is_some_and(|segment| *segment != 1) {
        return Vec::new();
    }
    let Some(readings) = &layout.readings else { return Vec::new() };
    let here = readings.taken.iter().filter(|reading| reading.measured.subject(layout) == id);
    here.map(|reading| {
        let value = match reading.measured {
            Measured::Volts { volts, .. } => json!(volts.to_string()),
            Measured::OutputAmps { amps, .. } | Measured::RunAmps { amps, .. } => json!(amps.to_string()),
            Measured::InputVolts { volts, .. } => json!(volts.to_string()),
            Measured::Lit { lit, .. } => json!(lit),
        };
        let on = readings.on.map(|day| day.to_string());
        json!({ "at": reading.measured.place(layout), "quantity": reading.measured.key(), "value": value, "on": on })
    })
    .collect()
}

/// Whether a geometry lies on both sides of the antimeridian.
fn crosses(geometry: &GeometryValue) -> bool {
    let longitudes: Vec<f64> = match geometry {
        GeometryValue::LineString { coordinates } => coordinates.iter().map(|place| place[0]).collect(),
        GeometryValue::Polygon { coordinates } => coordinates.iter().flatten().map(|place| place[0]).collect(),
        _ => Vec::new(),
    };
    let (low, high) = longitudes.iter().fold((f64::MAX, f64::MIN), |(low, high), l| (low.min(*l), high.max(*l)));
    high - low > 180.0
}

/// What the document says of itself, the plan's dates among it.
fn about(source: &Source<'_>) -> Map<String, Value> {
    let Source { layout, ground, .. } = source;
    let record = |record: Option<WorkRecord>| {
        record.map(|record| match record {
            WorkRecord::On(day) => day.to_string(),
            WorkRecord::Planned => "planned".to_owned(),
        })
    };
    let day = |day: Option<Date>| day.map(|day| day.to_string());
    let records = &layout.records;
    let dig = layout.dig.clone().unwrap_or_default();
    let about = json!({
        "plan": source.file, "project": layout.project.name,
        "origin": { "latitude": ground.origin.latitude_deg, "longitude": ground.origin.longitude_deg },
        "north": layout.north.map(|north| north.to_string()), "projection": ground.projection(),
        "computed-for": "the judged case: conductors at the temperature that verdicts rest on",
        "records": {
            "mock-up": record(records.mock_up), "test-before-backfill": record(records.test_before_backfill),
            "as-built": record(records.as_built), "commissioning": record(records.commissioning),
            "labels": record(records.labels), "cut-sheets": record(records.cut_sheets),
            "maintenance": record(records.maintenance),
        },
        "dig": { "ticket": dig.ticket_number, "called": day(dig.called), "expires": day(dig.expires), "starts": day(dig.starts) },
        "readings-on": day(layout.readings.as_ref().and_then(|readings| readings.on)),
        "caution": crate::output::CAUTION,
    });
    Map::from_iter([("lintern".to_owned(), about)])
}
