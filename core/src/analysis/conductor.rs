//! Resistance of conductors: published tables and their temperature corrections.

use crate::plan::model::Stranding;
use crate::plan::quantity::METRES_PER_FOOT;
use crate::plan::scalar::Conductor;

/// NEC (NFPA 70) Chapter 9 Table 8, uncoated copper, direct current at 75 °C, ohm per 1000 ft:
/// AWG number of ASTM B258, solid, stranded. 18 to 10 AWG in both forms confirmed against a
/// copy of the table; 8 AWG and larger from its ohm/kft column.
#[expect(clippy::approx_constant, reason = "3.14 is what the table gives for 14 AWG")]
const NEC_TABLE_8: &[(i8, Option<f64>, f64)] = &[
    (18, Some(7.77), 7.95),
    (16, Some(4.89), 4.99),
    (14, Some(3.07), 3.14),
    (12, Some(1.93), 1.98),
    (10, Some(1.21), 1.24),
    (8, Some(0.764), 0.778),
    (6, None, 0.491),
    (4, None, 0.308),
    (3, None, 0.245),
    (2, None, 0.194),
    (1, None, 0.154),
    (0, None, 0.122),
    (-1, None, 0.0967),
    (-2, None, 0.0766),
    (-3, None, 0.0608),
];

/// IEC 60228 maximum DC resistance at 20 °C, plain annealed copper, ohm/km:
/// mm², classes 1 and 2, class 5.
const IEC_60228: &[(f64, f64, f64)] = &[
    (0.5, 36.0, 39.0),
    (0.75, 24.5, 26.0),
    (1.0, 18.1, 19.5),
    (1.5, 12.1, 13.3),
    (2.5, 7.41, 7.98),
    (4.0, 4.61, 4.95),
    (6.0, 3.08, 3.30),
    (10.0, 1.83, 1.91),
    (16.0, 1.15, 1.21),
    (25.0, 0.727, 0.780),
    (35.0, 0.524, 0.554),
    (50.0, 0.387, 0.386),
];

/// Copper, referred to 75 °C: note 2 of NEC Chapter 9 Table 8, per kelvin.
const NEC_ALPHA_75: f64 = 0.003_23;
/// Copper, referred to 20 °C: IEC 60287-1-1 Table 1, per kelvin.
const IEC_ALPHA_20: f64 = 0.003_93;

/// Resistance of one conductor, ohm/m, at a conductor temperature in °C, from the published tables.
/// `None` when the table has no such size in that stranding.
pub fn table_ohms_per_m(size: Conductor, stranding: Stranding, temperature_c: f64) -> Option<f64> {
    match size {
        Conductor::Awg(gauge) => {
            let &(_, solid, stranded) = NEC_TABLE_8.iter().find(|row| row.0 == gauge)?;
            let ohms_per_kft_75 = match stranding {
                Stranding::Solid => solid?,
                Stranding::Stranded => stranded,
                Stranding::IecClass1 | Stranding::IecClass2 | Stranding::IecClass5 => return None,
            };
            Some(ohms_per_kft_75 / (1000.0 * METRES_PER_FOOT) * nec_factor(temperature_c))
        }
        Conductor::Mm2(area) => {
            let &(_, class_1_2, class_5) = IEC_60228.iter().find(|row| row.0 == area)?;
            let ohms_per_km_20 = match stranding {
                Stranding::IecClass1 | Stranding::IecClass2 => class_1_2,
                Stranding::IecClass5 => class_5,
                Stranding::Solid | Stranding::Stranded => return None,
            };
            Some(ohms_per_km_20 / 1000.0 * iec_factor(temperature_c))
        }
    }
}

/// Resistance of one conductor, ohm/m, from its maker's value at `at_c`, at another temperature.
/// The coefficients are those of the table that the size belongs to. `None` for `at_c` means that
/// the value is used unchanged.
pub fn maker_ohms_per_m(value: f64, at_c: Option<f64>, size: Option<Conductor>, temperature_c: f64) -> f64 {
    let factor = match size {
        Some(Conductor::Awg(_)) => nec_factor,
        Some(Conductor::Mm2(_)) | None => iec_factor,
    };
    at_c.map_or(value, |at| value * factor(temperature_c) / factor(at))
}

/// Resistance over that at 75 °C.
fn nec_factor(temperature_c: f64) -> f64 {
    1.0 + NEC_ALPHA_75 * (temperature_c - 75.0)
}

/// Resistance over that at 20 °C.
fn iec_factor(temperature_c: f64) -> f64 {
    1.0 + IEC_ALPHA_20 * (temperature_c - 20.0)
}

/// Sizes of the same table and stranding that are larger than this one, the next one first.
pub fn larger_sizes(size: Conductor, stranding: Stranding) -> Vec<Conductor> {
    let all = table_sizes(size);
    let own = all.iter().position(|other| *other == size).map_or(all.len(), |own| own + 1);
    let listed = |other: &Conductor| table_ohms_per_m(*other, stranding, 20.0).is_some();
    all[own..].iter().copied().filter(listed).collect()
}

/// The sizes of the table that a size belongs to, in the order of the table.
pub fn table_sizes(size: Conductor) -> Vec<Conductor> {
    match size {
        Conductor::Awg(_) => NEC_TABLE_8.iter().map(|row| Conductor::Awg(row.0)).collect(),
        Conductor::Mm2(_) => IEC_60228.iter().map(|row| Conductor::Mm2(row.0)).collect(),
    }
}

/// Sizes that a table has, for messages.
pub fn known_sizes(size: Conductor) -> String {
    match size {
        Conductor::Awg(_) => NEC_TABLE_8.iter().map(|r| Conductor::Awg(r.0).to_string()).collect::<Vec<_>>().join(", "),
        Conductor::Mm2(_) => IEC_60228.iter().map(|r| Conductor::Mm2(r.0).to_string()).collect::<Vec<_>>().join(", "),
    }
}

#[cfg(test)]
mod tests;
