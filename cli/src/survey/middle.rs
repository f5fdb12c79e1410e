//! The middle of a survey, about which it is projected where nobody names a place.

use lintern_core::layout::Origin;

/// The median of longitude and latitude, rounded to a millionth of a degree: a feature that lies astray moves it little.
/// Longitudes are counted around the first of them, so that the antimeridian is no border.
pub fn middle<'a>(places: impl Iterator<Item = &'a [f64; 2]>) -> Option<Origin> {
    let places: Vec<[f64; 2]> = places.copied().collect();
    let &[first, _] = places.first()?;
    let longitude = median(places.iter().map(|[longitude, _]| turned(longitude - first)))? + first;
    let latitude = median(places.iter().map(|[_, latitude]| *latitude))?;
    let rounded = |degrees: f64| (degrees * 1e6).round() / 1e6 + 0.0;
    Some(Origin { latitude_deg: rounded(latitude), longitude_deg: rounded(turned(longitude)) })
}

/// An angle from -180 to below 180 degrees.
fn turned(degrees: f64) -> f64 {
    (degrees + 180.0).rem_euclid(360.0) - 180.0
}

fn median(values: impl Iterator<Item = f64>) -> Option<f64> {
    let mut values: Vec<f64> = values.collect();
    let middle = values.len() / 2;
    let (_, median, _) = (!values.is_empty()).then(|| values.select_nth_unstable_by(middle, f64::total_cmp))?;
    Some(*median)
}

#[cfg(test)]
mod tests {
    use super::middle;

    #[test]
    fn the_middle_is_the_median_and_knows_no_antimeridian() {
        let at = |places: &[[f64; 2]]| middle(places.iter()).map(|origin| (origin.latitude_deg, origin.longitude_deg));
        assert_eq!(at(&[]), None);
        assert_eq!(at(&[[-121.3, 44.0], [-121.2, 44.1], [0.0, 0.0]]), Some((44.0, -121.2)));
        assert_eq!(at(&[[179.9995, -17.0], [-179.9996, -17.1], [-179.9999, -17.2]]), Some((-17.1, -179.9999)));
        assert_eq!(at(&[[10.123_456_789, 50.0]]), Some((50.0, 10.123_457)));
    }
}
