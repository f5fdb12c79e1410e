//! Numbers from a seed, so that a failing case can be repeated.

/// A small generator of numbers (Knuth's MMIX constants), so that a seed always means the same numbers.
#[derive(Debug, Clone)]
pub struct Seeded(u64);

impl Seeded {
    /// From a seed.
    pub fn new(seed: u64) -> Self {
        let mut this = Self(seed);
        this.unit();
        this
    }

    /// Evenly spread over 0 to 1.
    pub fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A whole number below `end`.
    pub fn below(&mut self, end: usize) -> usize {
        ((self.unit() * end as f64) as usize).min(end - 1)
    }
}
