//! Comparing a computed value with a limit, and showing both so that a reader sees the difference.

/// Computed values are good to better than this share; a value that equals its limit must not fail by rounding.
const ROUNDING: f64 = 1e-9;

/// Whether a value is above a limit.
pub fn above(value: f64, limit: f64) -> bool {
    value > limit + limit.abs() * ROUNDING
}

/// Whether a value is below a limit.
pub fn below(value: f64, limit: f64) -> bool {
    value < limit - limit.abs() * ROUNDING
}

/// A value with as many decimals as it takes to tell it from a limit, two at least and nine at most.
pub fn shown(value: f64, limit: f64) -> String {
    (2..=9)
        .map(|decimals| (format!("{value:.decimals$}"), format!("{limit:.decimals$}")))
        .find(|(value_text, limit_text)| value_text != limit_text)
        .map_or_else(|| format!("{value:.2}"), |(value_text, _)| value_text)
}

/// A limit or another number of the plan, without superfluous decimals.
pub fn plain(value: f64) -> String {
    let text = format!("{value:.4}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_at_its_limit_is_neither_above_nor_below() {
        let sum: f64 = [0.1; 8].iter().sum();
        assert!(sum != 0.8 && !above(sum, 0.8) && !below(sum, 0.8));
        assert!(above(0.800_001, 0.8) && below(0.799_999, 0.8));
        assert!(above(0.1, 0.0) && !above(0.0, 0.0));
    }

    #[test]
    fn a_near_miss_shows_on_which_side_it_is() {
        assert_eq!(shown(10.799_96, 10.8), "10.79996");
        assert_eq!(shown(9.2, 10.8), "9.20");
        assert_eq!(shown(10.8, 10.8), "10.80");
        assert_eq!((plain(12.0), plain(10.8), plain(100.0)), ("12".into(), "10.8".into(), "100".into()));
    }
}
