//! The 95 % points of the chi-square distribution.

/// 95 % points for 1 to 30 degrees of freedom: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4.
const POINTS_95: [f64; 30] = [
    3.841, 5.991, 7.815, 9.488, 11.070, 12.592, 14.067, 15.507, 16.919, 18.307, 19.675, 21.026, 22.362, 23.685, 24.996,
    26.296, 27.587, 28.869, 30.144, 31.410, 32.671, 33.924, 35.172, 36.415, 37.652, 38.885, 40.113, 41.337, 42.557,
    43.773,
];

/// The value that chi-square stays below with 95 %; 0 without degrees of freedom.
pub(super) fn point_95(degrees: usize) -> f64 {
    /// The 95 % point of the normal distribution.
    const NORMAL_95: f64 = 1.644_854;
    match degrees {
        0 => 0.0,
        n if n <= POINTS_95.len() => POINTS_95[n - 1],
        // Wilson and Hilferty, Proceedings of the National Academy of Sciences 17 (1931) 684.
        n => {
            let share = 2.0 / (9.0 * n as f64);
            n as f64 * (1.0 - share + NORMAL_95 * share.sqrt()).powi(3)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::point_95;

    #[test]
    fn the_approximation_continues_the_table() {
        // The table of the same handbook: 50 degrees 67.505, 100 degrees 124.342.
        assert!((point_95(50) - 67.505).abs() < 0.05, "{}", point_95(50));
        assert!((point_95(100) - 124.342).abs() < 0.05, "{}", point_95(100));
        assert!(point_95(31) > point_95(30));
    }
}
