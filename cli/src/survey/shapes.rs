//! Geometries as the shapes that elements have: a point, a path, an outline.

use geojson::{GeometryValue, Position};
use lintern_core::plan::ElementKind;

/// Nested collections deeper than this are refused.
const DEEPEST: usize = 16;

/// Longitude and latitude in degrees.
pub type Place = [f64; 2];

/// The shapes of one feature.
#[derive(Debug, Default, PartialEq)]
pub struct Shapes {
    /// Its parts that the element can have, in order: one place, a path, or an outline without its repeated end.
    pub parts: Vec<Vec<Place>>,
    /// What is not in them, and why.
    pub left_out: Vec<String>,
    /// What was changed.
    pub changed: Vec<String>,
}

/// The shapes that a geometry gives for a sort of element.
pub fn of(geometry: &GeometryValue, element: ElementKind) -> Shapes {
    let mut shapes = Shapes::default();
    let mut heights = 0;
    take(geometry, element, &mut shapes, &mut heights, 0);
    if heights > 0 {
        shapes.changed.push(match heights {
            1 => "the height of 1 point is dropped".to_owned(),
            _ => format!("the heights of {heights} points are dropped"),
        });
    }
    if shapes.parts.len() > 1 {
        let parts = shapes.parts.len();
        shapes
            .changed
            .push(format!("a {} of {parts} parts is taken apart into {parts} elements", geometry.type_name()));
    }
    shapes
}

fn take(geometry: &GeometryValue, element: ElementKind, shapes: &mut Shapes, heights: &mut usize, depth: usize) {
    let is_point = matches!(element, ElementKind::Luminaire | ElementKind::Supply | ElementKind::Junction);
    match geometry {
        GeometryValue::Point { coordinates } if is_point => part(std::slice::from_ref(coordinates), shapes, heights),
        GeometryValue::MultiPoint { coordinates } if is_point => {
            coordinates.iter().for_each(|place| part(std::slice::from_ref(place), shapes, heights));
        }
        GeometryValue::LineString { coordinates } if element == ElementKind::Utility => {
            part(coordinates, shapes, heights)
        }
        GeometryValue::MultiLineString { coordinates } if element == ElementKind::Utility => {
            coordinates.iter().for_each(|line| part(line, shapes, heights));
        }
        GeometryValue::Polygon { coordinates } if element == ElementKind::Zone => polygon(coordinates, shapes, heights),
        GeometryValue::MultiPolygon { coordinates } if element == ElementKind::Zone => {
            coordinates.iter().for_each(|rings| polygon(rings, shapes, heights));
        }
        GeometryValue::GeometryCollection { .. } if depth >= DEEPEST => {
            shapes.left_out.push("a collection of geometries is nested too deeply".to_owned());
        }
        GeometryValue::GeometryCollection { geometries } => {
            geometries.iter().for_each(|geometry| take(&geometry.value, element, shapes, heights, depth + 1));
        }
        other => {
            let wanted = match element {
                ElementKind::Zone => "a Polygon",
                ElementKind::Utility => "a LineString",
                _ => "a Point",
            };
            shapes.left_out.push(format!("{} has {wanted}, and this is a {}", element.phrase(), other.type_name()));
        }
    }
}

/// The outer ring; the plan's zones have no holes.
fn polygon(rings: &[Vec<Position>], shapes: &mut Shapes, heights: &mut usize) {
    let Some((outer, holes)) = rings.split_first() else {
        shapes.left_out.push("a polygon without a ring".to_owned());
        return;
    };
    let closed = outer.len() > 1 && outer.first() == outer.last();
    part(if closed { &outer[..outer.len() - 1] } else { outer }, shapes, heights);
    if !holes.is_empty() {
        let holes = holes.len();
        let what = if holes == 1 { "a hole".to_owned() } else { format!("{holes} holes") };
        shapes.left_out.push(format!("{what} of a polygon: zones have none, so that the zone covers the hole as well"));
    }
}

fn part(positions: &[Position], shapes: &mut Shapes, heights: &mut usize) {
    let mut places = Vec::with_capacity(positions.len());
    for position in positions {
        match position.as_slice() {
            [longitude, latitude, rest @ ..] => {
                *heights += usize::from(!rest.is_empty());
                places.push([*longitude, *latitude]);
            }
            _ => {
                shapes.left_out.push("a position without longitude and latitude".to_owned());
                return;
            }
        }
    }
    if let Some([longitude, latitude]) = places.iter().find(|place| !is_on_earth(place)) {
        let why = match longitude.abs() <= 90.0 && latitude.abs() <= 180.0 {
            true => "they seem to be swapped; longitude comes first",
            false => "the survey seems to be in projected coordinates; convert it to WGS 84",
        };
        shapes.left_out.push(format!("{longitude}, {latitude} is no longitude and latitude: {why}"));
    } else if places.is_empty() {
        shapes.left_out.push("a geometry without positions".to_owned());
    } else {
        shapes.parts.push(places);
    }
}

/// Whether a place can be one of the earth, in degrees.
fn is_on_earth([longitude, latitude]: &Place) -> bool {
    longitude.abs() <= 180.0 && latitude.abs() <= 90.0
}
