//! The published values, as data.

/// How a cable is laid: a reference method of the tables.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Laid {
    /// In conduit above the ground: B2 (BS 7671: B).
    Conduit,
    /// Fixed on a surface: C.
    Surface,
    /// In a duct in the ground: D1 (BS 7671: D).
    Duct,
    /// Directly in the ground: D2 (BS 7671: D).
    Ground,
    /// In free air: E.
    Air,
}

/// A row: size of the conductor, mm², and what it may carry, A, as [`Laid`] has it; `None` where the table has no such
/// column or the value could not be confirmed.
type Row = (f64, [Option<f64>; 5]);

/// The tables of one kind of cable.
pub struct Table {
    /// Where the values stand, but for the method in free air.
    name: &'static str,
    /// Where those for free air stand.
    air: &'static str,
    rows: &'static [Row],
}

const fn all(conduit: f64, surface: f64, duct: f64, ground: f64, air: f64) -> [Option<f64>; 5] {
    [Some(conduit), Some(surface), Some(duct), Some(ground), Some(air)]
}

/// IEC 60364-5-52:2009 Tables B.52.2 and B.52.10: PVC, 70 °C.
pub const IEC_PVC: Table = Table {
    name: "IEC 60364-5-52, Table B.52.2",
    air: "IEC 60364-5-52, Table B.52.10",
    rows: &[
        (1.5, all(16.5, 19.5, 22.0, 22.0, 22.0)),
        (2.5, all(23.0, 27.0, 29.0, 28.0, 30.0)),
        (4.0, all(30.0, 36.0, 37.0, 38.0, 40.0)),
        (6.0, all(38.0, 46.0, 46.0, 48.0, 51.0)),
        (10.0, all(52.0, 63.0, 60.0, 64.0, 70.0)),
        (16.0, all(69.0, 85.0, 78.0, 83.0, 94.0)),
        (25.0, all(90.0, 112.0, 99.0, 110.0, 119.0)),
        (35.0, all(111.0, 138.0, 119.0, 132.0, 148.0)),
    ],
};

/// IEC 60364-5-52:2009 Tables B.52.3 and B.52.12: XLPE and EPR, 90 °C.
pub const IEC_XLPE: Table = Table {
    name: "IEC 60364-5-52, Table B.52.3",
    air: "IEC 60364-5-52, Table B.52.12",
    rows: &[
        (1.5, all(22.0, 24.0, 25.0, 27.0, 26.0)),
        (2.5, all(30.0, 33.0, 33.0, 35.0, 36.0)),
        (4.0, all(40.0, 45.0, 43.0, 46.0, 49.0)),
        (6.0, all(51.0, 58.0, 53.0, 58.0, 63.0)),
        (10.0, all(69.0, 80.0, 71.0, 77.0, 86.0)),
        (16.0, all(91.0, 107.0, 91.0, 100.0, 115.0)),
        (25.0, all(119.0, 138.0, 116.0, 129.0, 149.0)),
        (35.0, all(146.0, 171.0, 139.0, 155.0, 185.0)),
    ],
};

/// Without armour BS 7671 has no column for the ground.
const fn unarmoured(conduit: f64, surface: f64, air: f64) -> [Option<f64>; 5] {
    [Some(conduit), Some(surface), None, None, Some(air)]
}

/// With armour it has none for conduit, and one for the ground with and without a duct.
const fn armoured(surface: f64, ground: Option<f64>, air: f64) -> [Option<f64>; 5] {
    [None, Some(surface), ground, ground, Some(air)]
}

/// BS 7671:2018 Table 4D2A: multicore, not armoured, thermoplastic, 70 °C.
pub const BS_PVC: Table = Table {
    name: "BS 7671, Table 4D2A",
    air: "BS 7671, Table 4D2A",
    rows: &[
        (1.5, unarmoured(16.5, 19.5, 22.0)),
        (2.5, unarmoured(23.0, 27.0, 30.0)),
        (4.0, unarmoured(30.0, 36.0, 40.0)),
        (6.0, unarmoured(38.0, 46.0, 51.0)),
        (10.0, unarmoured(52.0, 63.0, 70.0)),
        (16.0, unarmoured(69.0, 85.0, 94.0)),
    ],
};

/// BS 7671:2018 Table 4E2A: multicore, not armoured, thermosetting, 90 °C.
pub const BS_XLPE: Table = Table {
    name: "BS 7671, Table 4E2A",
    air: "BS 7671, Table 4E2A",
    rows: &[
        (1.5, unarmoured(22.0, 24.0, 26.0)),
        (2.5, unarmoured(30.0, 33.0, 36.0)),
        (4.0, unarmoured(40.0, 45.0, 49.0)),
        (6.0, unarmoured(51.0, 58.0, 63.0)),
        (10.0, unarmoured(69.0, 80.0, 86.0)),
        (16.0, unarmoured(91.0, 107.0, 115.0)),
    ],
};

/// BS 7671:2018 Table 4D4A: multicore, armoured, thermoplastic, 70 °C.
pub const BS_ARMOURED_PVC: Table = Table {
    name: "BS 7671, Table 4D4A",
    air: "BS 7671, Table 4D4A",
    rows: &[
        (1.5, armoured(21.0, Some(22.0), 22.0)),
        (2.5, armoured(28.0, Some(29.0), 31.0)),
        (4.0, armoured(38.0, Some(37.0), 41.0)),
        (6.0, armoured(49.0, Some(46.0), 53.0)),
        (10.0, armoured(67.0, Some(60.0), 72.0)),
        (16.0, armoured(89.0, Some(78.0), 97.0)),
        (25.0, armoured(118.0, Some(99.0), 128.0)),
        (35.0, armoured(145.0, Some(119.0), 157.0)),
    ],
};

/// BS 7671:2018 Table 4E4A: multicore, armoured, thermosetting, 90 °C. Of the value of 4 mm² in the ground, copies of
/// the table disagree (43 A, 46 A): it is left out.
pub const BS_ARMOURED_XLPE: Table = Table {
    name: "BS 7671, Table 4E4A",
    air: "BS 7671, Table 4E4A",
    rows: &[
        (1.5, armoured(27.0, Some(25.0), 29.0)),
        (2.5, armoured(36.0, Some(33.0), 39.0)),
        (4.0, armoured(49.0, None, 52.0)),
        (6.0, armoured(62.0, Some(53.0), 66.0)),
        (10.0, armoured(85.0, Some(71.0), 90.0)),
        (16.0, armoured(110.0, Some(91.0), 115.0)),
        (25.0, armoured(146.0, Some(116.0), 152.0)),
        (35.0, armoured(180.0, Some(139.0), 188.0)),
    ],
};

impl Table {
    /// What a conductor of this size may carry, A.
    pub fn amps(&self, square_mm: f64, laid: Laid) -> Option<f64> {
        self.rows.iter().find(|(size, _)| *size == square_mm).and_then(|(_, columns)| columns[laid as usize])
    }

    /// Where that stands, with the conditions that it holds for.
    pub fn source(&self, laid: Laid, bs_7671: bool) -> String {
        let (method, conditions) = match (laid, bs_7671) {
            (Laid::Conduit, false) => ("B2", "air 30 degC"),
            (Laid::Conduit, true) => ("B", "air 30 degC"),
            (Laid::Surface, _) => ("C", "air 30 degC"),
            (Laid::Duct, false) => ("D1", "ground 20 degC, 2.5 K.m/W"),
            (Laid::Ground, false) => ("D2", "ground 20 degC, 2.5 K.m/W"),
            (Laid::Duct | Laid::Ground, true) => ("D", "ground 20 degC, 2.5 K.m/W"),
            (Laid::Air, _) => ("E", "air 30 degC"),
        };
        let name = if laid == Laid::Air { self.air } else { self.name };
        format!("{name}, method {method}: {conditions}, one circuit; no correction applied")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIZES: [f64; 8] = [1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0];

    /// A table agrees with its published columns, size by size, and has no other rows.
    fn agrees(table: &Table, columns: &[(Laid, &[f64])]) {
        for laid in [Laid::Conduit, Laid::Surface, Laid::Duct, Laid::Ground, Laid::Air] {
            let published = columns.iter().find(|(column, _)| *column == laid).map(|(_, amps)| *amps);
            let ours: Vec<Option<f64>> = table.rows.iter().map(|(size, _)| table.amps(*size, laid)).collect();
            let theirs: Vec<Option<f64>> = match published {
                Some(amps) => amps.iter().map(|amps| (*amps > 0.0).then_some(*amps)).collect(),
                None => vec![None; table.rows.len()],
            };
            assert_eq!(ours, theirs, "{} {laid:?}", table.name);
        }
        assert!(table.rows.iter().map(|(size, _)| size).eq(&SIZES[..table.rows.len()]), "{}", table.name);
    }

    /// IEC 60364-5-52:2009, Table B.52.2 columns B2, C, D1, D2 and Table B.52.10 column E, two loaded conductors.
    #[test]
    fn pvc_agrees_with_the_annex() {
        agrees(
            &IEC_PVC,
            &[
                (Laid::Conduit, &[16.5, 23.0, 30.0, 38.0, 52.0, 69.0, 90.0, 111.0]),
                (Laid::Surface, &[19.5, 27.0, 36.0, 46.0, 63.0, 85.0, 112.0, 138.0]),
                (Laid::Duct, &[22.0, 29.0, 37.0, 46.0, 60.0, 78.0, 99.0, 119.0]),
                (Laid::Ground, &[22.0, 28.0, 38.0, 48.0, 64.0, 83.0, 110.0, 132.0]),
                (Laid::Air, &[22.0, 30.0, 40.0, 51.0, 70.0, 94.0, 119.0, 148.0]),
            ],
        );
    }

    /// IEC 60364-5-52:2009, Table B.52.3 columns B2, C, D1, D2 and Table B.52.12 column E, two loaded conductors.
    #[test]
    fn xlpe_agrees_with_the_annex() {
        agrees(
            &IEC_XLPE,
            &[
                (Laid::Conduit, &[22.0, 30.0, 40.0, 51.0, 69.0, 91.0, 119.0, 146.0]),
                (Laid::Surface, &[24.0, 33.0, 45.0, 58.0, 80.0, 107.0, 138.0, 171.0]),
                (Laid::Duct, &[25.0, 33.0, 43.0, 53.0, 71.0, 91.0, 116.0, 139.0]),
                (Laid::Ground, &[27.0, 35.0, 46.0, 58.0, 77.0, 100.0, 129.0, 155.0]),
                (Laid::Air, &[26.0, 36.0, 49.0, 63.0, 86.0, 115.0, 149.0, 185.0]),
            ],
        );
    }

    /// BS 7671:2018 Tables 4D2A and 4E2A, columns B, C and E, one two-core cable, single-phase AC or DC.
    #[test]
    fn cables_without_armour_agree_with_the_appendix() {
        agrees(
            &BS_PVC,
            &[
                (Laid::Conduit, &[16.5, 23.0, 30.0, 38.0, 52.0, 69.0]),
                (Laid::Surface, &[19.5, 27.0, 36.0, 46.0, 63.0, 85.0]),
                (Laid::Air, &[22.0, 30.0, 40.0, 51.0, 70.0, 94.0]),
            ],
        );
        agrees(
            &BS_XLPE,
            &[
                (Laid::Conduit, &[22.0, 30.0, 40.0, 51.0, 69.0, 91.0]),
                (Laid::Surface, &[24.0, 33.0, 45.0, 58.0, 80.0, 107.0]),
                (Laid::Air, &[26.0, 36.0, 49.0, 63.0, 86.0, 115.0]),
            ],
        );
    }

    /// BS 7671:2018 Tables 4D4A and 4E4A, columns C, D and E, one two-core cable, single-phase AC or DC; 0 for the
    /// value that is left out.
    #[test]
    fn armoured_cables_agree_with_the_appendix() {
        let ground = [22.0, 29.0, 37.0, 46.0, 60.0, 78.0, 99.0, 119.0];
        agrees(
            &BS_ARMOURED_PVC,
            &[
                (Laid::Surface, &[21.0, 28.0, 38.0, 49.0, 67.0, 89.0, 118.0, 145.0]),
                (Laid::Duct, &ground),
                (Laid::Ground, &ground),
                (Laid::Air, &[22.0, 31.0, 41.0, 53.0, 72.0, 97.0, 128.0, 157.0]),
            ],
        );
        let ground = [25.0, 33.0, 0.0, 53.0, 71.0, 91.0, 116.0, 139.0];
        agrees(
            &BS_ARMOURED_XLPE,
            &[
                (Laid::Surface, &[27.0, 36.0, 49.0, 62.0, 85.0, 110.0, 146.0, 180.0]),
                (Laid::Duct, &ground),
                (Laid::Ground, &ground),
                (Laid::Air, &[29.0, 39.0, 52.0, 66.0, 90.0, 115.0, 152.0, 188.0]),
            ],
        );
    }

    /// Thermosetting insulation never carries less than thermoplastic, and more copper never less than less.
    #[test]
    fn the_tables_rise() {
        for (pvc, xlpe) in [(&IEC_PVC, &IEC_XLPE), (&BS_PVC, &BS_XLPE), (&BS_ARMOURED_PVC, &BS_ARMOURED_XLPE)] {
            for laid in [Laid::Conduit, Laid::Surface, Laid::Duct, Laid::Ground, Laid::Air] {
                let amps = |table: &Table| SIZES.map(|size| table.amps(size, laid));
                for table in [pvc, xlpe] {
                    let known: Vec<f64> = amps(table).into_iter().flatten().collect();
                    assert!(known.is_sorted_by(|a, b| a < b), "{} {laid:?}", table.name);
                }
                for (cool, hot) in amps(pvc).into_iter().zip(amps(xlpe)) {
                    assert!(cool.zip(hot).is_none_or(|(cool, hot)| cool < hot), "{} {laid:?}", xlpe.name);
                }
            }
        }
    }
}
