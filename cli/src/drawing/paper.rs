//! Sizes of paper.

use clap::ValueEnum;
use lintern_core::layout::Layout;

/// A size of paper. The names are those of ANSI/ASME Y14.1 and ISO 216.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Paper {
    /// 8.5 by 11 in
    Letter,
    /// 11 by 17 in
    Tabloid,
    /// 17 by 22 in, ANSI C
    #[value(name = "ansi-c")]
    AnsiC,
    /// 22 by 34 in, ANSI D
    #[value(name = "ansi-d")]
    AnsiD,
    /// 210 by 297 mm
    A4,
    /// 297 by 420 mm
    A3,
    /// 420 by 594 mm
    A2,
    /// 594 by 841 mm
    A1,
}

impl Paper {
    const INCH: &'static [Self] = &[Self::Letter, Self::Tabloid, Self::AnsiC, Self::AnsiD];
    const METRIC: &'static [Self] = &[Self::A4, Self::A3, Self::A2, Self::A1];

    /// The shorter and the longer side, mm.
    pub fn sides_mm(self) -> (f64, f64) {
        const INCH: f64 = 25.4;
        match self {
            Self::Letter => (8.5 * INCH, 11.0 * INCH),
            Self::Tabloid => (11.0 * INCH, 17.0 * INCH),
            Self::AnsiC => (17.0 * INCH, 22.0 * INCH),
            Self::AnsiD => (22.0 * INCH, 34.0 * INCH),
            Self::A4 => (210.0, 297.0),
            Self::A3 => (297.0, 420.0),
            Self::A2 => (420.0, 594.0),
            Self::A1 => (594.0, 841.0),
        }
    }

    /// Its name.
    pub fn name(self) -> String {
        self.to_possible_value().map_or_else(String::new, |value| value.get_name().to_owned())
    }

    /// The sizes that are used where a plan is for, from small to large.
    pub fn usual(layout: &Layout) -> &'static [Self] {
        let inches = match layout.project.country.as_deref() {
            Some(country) => matches!(country, "US" | "CA" | "MX"),
            None => layout.is_in_feet(),
        };
        if inches { Self::INCH } else { Self::METRIC }
    }
}
