//! A length in the system of a table's column, exact where the plan wrote it in that system.

use crate::Length;

/// Metres in an inch, exact (ISO 31-1).
const METRES_PER_INCH: f64 = 0.0254;

impl Length {
    /// The length in inches; exact for a length that the plan wrote in inches or feet.
    pub fn inches(&self) -> f64 {
        match self.unit.as_str() {
            "in" => self.value,
            "ft" => self.value * 12.0,
            _ => self.metres / METRES_PER_INCH,
        }
    }

    /// The length in millimetres; exact for a length that the plan wrote in mm, cm or m.
    pub fn millimetres(&self) -> f64 {
        match self.unit.as_str() {
            "mm" => self.value,
            "cm" => self.value * 10.0,
            _ => self.metres * 1000.0,
        }
    }

    /// Whether the plan wrote it in a metric unit.
    pub fn is_metric(&self) -> bool {
        self.unit.ends_with('m')
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn length(value: f64, unit: &str, metres: f64) -> Length {
        Length { value, unit: unit.to_owned(), metres }
    }

    #[test]
    fn a_length_is_exact_in_its_own_system() {
        // 18 in and 1.5 ft are the same cover: 0.4572 m.
        assert_eq!(length(18.0, "in", 0.4572).inches(), 18.0);
        assert_eq!(length(1.5, "ft", 0.4572).inches(), 18.0);
        assert_eq!(length(45.7, "cm", 0.457).millimetres(), 457.0);
        assert!((length(0.4572, "m", 0.4572).inches() - 18.0).abs() < 1e-9);
        assert!(length(1.0, "m", 1.0).is_metric() && !length(1.0, "ft", 0.3048).is_metric());
    }
}
