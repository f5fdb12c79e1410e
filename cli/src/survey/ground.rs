//! Places on the earth and places of a plan: a local transverse Mercator projection about the plan's [0, 0].

use lintern_core::layout::{Origin, PointM};
use lintern_core::plan::model::Grid;
use lintern_core::plan::quantity::METRES_PER_FOOT;
use proj4rs::Proj;
use proj4rs::transform::transform;

/// Farther from [0, 0] than this nothing is placed: a plan is of one property, and the scale of the projection is
/// true to a millionth within it.
pub const REACH_M: f64 = 10_000.0;
/// Coordinates are rounded to this share of the grid unit.
pub const STEP: f64 = 0.01;

/// The ground of a plan: where its [0, 0] is, how it is turned, and the unit of its grid.
pub struct Ground {
    /// The place of [0, 0].
    pub origin: Origin,
    /// True north, clockwise from the upward axis of the grid, rad.
    north_rad: f64,
    /// The unit.
    pub grid: Grid,
    earth: Proj,
    local: Proj,
}

impl Ground {
    /// The ground about a place; the reason where there is no projection about it.
    pub fn new(origin: Origin, north_rad: f64, grid: Grid) -> Result<Self, String> {
        let no_projection = |error| format!("no local projection about {}: {error}", shown(origin));
        let earth = Proj::from_proj_string("+proj=longlat +datum=WGS84 +no_defs").map_err(no_projection)?;
        let local = Proj::from_proj_string(&projection(origin)).map_err(no_projection)?;
        Ok(Self { origin, north_rad, grid, earth, local })
    }

    /// The projection as a PROJ string.
    pub fn projection(&self) -> String {
        projection(self.origin)
    }

    /// The place of the plan, in metres of its grid, of a place on the earth.
    pub fn to_plan(&self, longitude_deg: f64, latitude_deg: f64) -> Result<PointM, String> {
        let place = Origin { latitude_deg, longitude_deg };
        let mut point = (longitude_deg.to_radians(), latitude_deg.to_radians(), 0.0);
        let outside = || format!("{} can't be projected about {}", shown(place), shown(self.origin));
        transform(&self.earth, &self.local, &mut point).map_err(|_| outside())?;
        let (east, north, _) = point;
        if !east.is_finite() || !north.is_finite() {
            return Err(outside());
        }
        let away = east.hypot(north);
        if away > REACH_M {
            return Err(format!(
                "{} is {:.1} km from the plan's [0, 0] at {}; the limit is {} km",
                shown(place),
                away / 1000.0,
                shown(self.origin),
                REACH_M / 1000.0
            ));
        }
        let (sin, cos) = self.north_rad.sin_cos();
        Ok(PointM { x_m: east * cos + north * sin, y_m: north * cos - east * sin })
    }

    /// Longitude and latitude, in degrees, of a place of the plan.
    pub fn to_earth(&self, point: PointM) -> Result<[f64; 2], String> {
        let (sin, cos) = self.north_rad.sin_cos();
        let mut place = (point.x_m * cos - point.y_m * sin, point.x_m * sin + point.y_m * cos, 0.0);
        let outside = || format!("the point {:.1} m, {:.1} m is too far from [0, 0]", point.x_m, point.y_m);
        transform(&self.local, &self.earth, &mut place).map_err(|_| outside())?;
        let (longitude, latitude) = (place.0.to_degrees(), place.1.to_degrees());
        if longitude.is_finite() && latitude.is_finite() { Ok([longitude, latitude]) } else { Err(outside()) }
    }

    /// Coordinates in grid units, rounded to [`STEP`].
    pub fn on_grid(&self, point: PointM) -> [f64; 2] {
        let unit = match self.grid {
            Grid::Ft => METRES_PER_FOOT,
            Grid::M => 1.0,
        };
        // The sum makes a negative zero a zero.
        [point.x_m, point.y_m].map(|metres| (metres / unit / STEP).round() * STEP + 0.0).map(tidy)
    }
}

/// Without the digits that multiplying by a step leaves.
fn tidy(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}

/// Transverse Mercator on WGS 84 about a place, scale 1.
fn projection(origin: Origin) -> String {
    let Origin { latitude_deg, longitude_deg } = origin;
    format!(
        "+proj=tmerc +lat_0={latitude_deg} +lon_0={longitude_deg} +k=1 +x_0=0 +y_0=0 +datum=WGS84 +units=m +no_defs"
    )
}

/// A place in words, latitude first.
pub fn shown(place: Origin) -> String {
    format!("latitude {}, longitude {}", place.latitude_deg, place.longitude_deg)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Latitude and longitude of the origin and of a point, then its east and north in metres.
    /// Source: PROJ 9.5.1 via pyproj 3.7.2, the same PROJ string, rounded to a tenth of a millimetre.
    const BY_PROJ: [(f64, f64, f64, f64, f64, f64); 13] = [
        (44.0582, -121.3153, 44.0591, -121.3141, 96.1518, 100.0027),
        (44.0582, -121.3153, 44.0571, -121.3202, -392.6332, -122.2130),
        (44.0582, -121.3153, 44.1102, -121.2501, 5219.7549, 5779.9893),
        (-33.8688, 151.2093, -33.8679, 151.2107, 129.5386, 99.8271),
        (-33.8688, 151.2093, -33.8751, 151.2001, -851.1820, -698.8346),
        (-33.8688, 151.2093, -33.9321, 151.2799, 6527.5515, -7023.5182),
        (0.0005, -78.45, -0.0006, -78.4489, 122.4514, -121.6317),
        (0.0005, -78.45, 0.0301, -78.4701, -2237.5215, 3272.9988),
        (64.1466, -21.9426, 64.1471, -21.9401, 121.6858, 55.7422),
        (64.1466, -21.9426, 64.1203, -21.8702, 3527.4186, -2929.9032),
        (-54.8019, -68.303, -54.8031, -68.3002, 180.0600, -133.5875),
        (-17.7134, 179.9995, -17.7129, -179.9996, 95.4675, 55.3383),
        (-17.7134, 179.9995, -17.7141, 179.9979, -169.7189, -77.4747),
    ];

    fn ground(latitude_deg: f64, longitude_deg: f64, north_deg: f64, grid: Grid) -> Ground {
        Ground::new(Origin { latitude_deg, longitude_deg }, f64::to_radians(north_deg), grid).unwrap()
    }

    #[test]
    fn places_are_those_of_proj() {
        for (latitude_0, longitude_0, latitude, longitude, east, north) in BY_PROJ {
            let ground = ground(latitude_0, longitude_0, 0.0, Grid::M);
            let point = ground.to_plan(longitude, latitude).unwrap();
            let off = (point.x_m - east).hypot(point.y_m - north);
            assert!(off < 0.000_15, "{latitude} {longitude}: {point:?} is {off} m off");
            let [back_longitude, back_latitude] = ground.to_earth(point).unwrap();
            let turn = (back_longitude - longitude).rem_euclid(360.0);
            assert!((back_latitude - latitude).abs() < 1e-10 && turn.min(360.0 - turn) < 1e-10);
        }
    }

    /// The grid's upward axis points east: true north is 270 degrees clockwise from it.
    #[test]
    fn a_turned_grid_is_turned_back() {
        let turned = ground(44.0582, -121.3153, 270.0, Grid::M);
        let plain = ground(44.0582, -121.3153, 0.0, Grid::M);
        let (turned_point, point) =
            (turned.to_plan(-121.3141, 44.0591).unwrap(), plain.to_plan(-121.3141, 44.0591).unwrap());
        assert!((turned_point.y_m - point.x_m).abs() < 1e-9 && (turned_point.x_m + point.y_m).abs() < 1e-9);
        let [longitude, latitude] = turned.to_earth(turned_point).unwrap();
        assert!((longitude + 121.3141).abs() < 1e-10 && (latitude - 44.0591).abs() < 1e-10);
    }

    #[test]
    fn coordinates_are_hundredths_of_the_grid_unit() {
        let ground = ground(44.0, -121.0, 0.0, Grid::Ft);
        assert_eq!(ground.on_grid(PointM { x_m: 3.048, y_m: -0.001 }), [10.0, 0.0]);
        assert_eq!(ground.on_grid(PointM { x_m: 0.305, y_m: -7.62 }), [1.0, -25.0]);
        assert!(ground.on_grid(PointM { x_m: 0.0, y_m: -0.001 })[1].is_sign_positive());
    }

    #[test]
    fn what_is_far_away_or_no_place_is_refused() {
        let ground = ground(44.0, -121.0, 0.0, Grid::M);
        assert!(ground.to_plan(-121.0, 44.2).unwrap_err().contains("the limit is 10 km"));
        for (longitude, latitude) in
            [(f64::NAN, 44.0), (0.0, f64::INFINITY), (59.0, -44.0), (1e300, 1e300), (-31.0, 0.0)]
        {
            assert!(ground.to_plan(longitude, latitude).is_err(), "{longitude} {latitude}");
        }
        assert!(ground.to_earth(PointM { x_m: f64::NAN, y_m: 0.0 }).is_err());
        for (latitude, longitude) in [(90.0, 0.0), (-90.0, 10.0), (0.0, 180.0), (f64::NAN, 0.0)] {
            // Whatever comes of it, no panic.
            let origin = Origin { latitude_deg: latitude, longitude_deg: longitude };
            if let Ok(ground) = Ground::new(origin, 0.0, Grid::M) {
                let _ = ground.to_plan(longitude, latitude);
            }
        }
    }
}
