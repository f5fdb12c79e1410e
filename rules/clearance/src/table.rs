//! The distances of NFPA 70 around water, as one table with both columns.

use crate::distance::Both;

/// Low-voltage lighting to the water: 411.5(B) in 2017 and 2020, 411.6(B) in 2023.
pub const LIGHTING: Both = Both { feet: 10.0, metres: 3.0 };
/// A luminaire over the pool or within 5 ft of it, above the highest water level: 680.22(B)(1).
pub const LUMINAIRE_HEIGHT: Both = Both { feet: 12.0, metres: 3.7 };
/// The band in which that height is asked for, and in which 680.11 names the methods underground.
pub const CLOSE: Both = Both { feet: 5.0, metres: 1.5 };
/// A luminaire from 5 ft to 10 ft away that is fixed to a structure, above the highest water level: 680.22(B)(4).
pub const ADJACENT_HEIGHT: Both = Both { feet: 5.0, metres: 1.5 };
/// The enclosure of a supply on the conduit of an underwater luminaire: 680.24(B)(2).
pub const UNDERWATER_SUPPLY: Both = Both { feet: 4.0, metres: 1.2 };
/// Other equipment above the low-voltage contact limit: 680.22(E).
pub const OTHER_EQUIPMENT: Both = Both { feet: 5.0, metres: 1.5 };
/// Where overhead conductors keep their heights above a pool, horizontally: Table 680.9(A).
pub const OVERHEAD: Both = Both { feet: 10.0, metres: 3.0 };
/// A receptacle: 680.22(A).
pub const RECEPTACLE: Both = Both { feet: 6.0, metres: 1.83 };
/// A receptacle without a ground-fault circuit interrupter: 680.22(A), and 680.58 at a fountain.
pub const UNPROTECTED_RECEPTACLE: Both = Both { feet: 20.0, metres: 6.0 };
/// The lens of a luminaire in a pool wall below the normal water level: 680.23(A)(5).
pub const LENS_DEPTH: Both = Both { feet: 1.5, metres: 0.45 };
/// The lens of any luminaire in a pool wall: 680.23(A)(5).
pub const LEAST_LENS_DEPTH: Both = Both { feet: 4.0 / 12.0, metres: 0.1 };
/// Exposed cord in a fountain, at most: 680.51(E).
pub const FOUNTAIN_CORD: Both = Both { feet: 10.0, metres: 3.0 };
/// Buried electric supply to a gas line, radially: CGA Best Practices 2.12.
pub const GAS_LINE: Both = Both { feet: 1.0, metres: 0.3 };

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rows_are_those_of_the_published_texts() {
        // NFPA 70 prints metres with feet and inches: 3.0 m (10 ft), 3.7 m (12 ft), 1.5 m (5 ft), 1.2 m (4 ft),
        // 1.83 m (6 ft), 6.0 m (20 ft), 450 mm (18 in.), 100 mm (4 in.). CGA: 12 in.
        let inches = |both: Both| (both.feet * 12.0, both.metres);
        assert_eq!(inches(LIGHTING), (120.0, 3.0));
        assert_eq!(inches(LUMINAIRE_HEIGHT), (144.0, 3.7));
        assert_eq!(inches(CLOSE), (60.0, 1.5));
        assert_eq!(inches(ADJACENT_HEIGHT), (60.0, 1.5));
        assert_eq!(inches(UNDERWATER_SUPPLY), (48.0, 1.2));
        assert_eq!(inches(OTHER_EQUIPMENT), (60.0, 1.5));
        assert_eq!(inches(OVERHEAD), (120.0, 3.0));
        assert_eq!(inches(RECEPTACLE), (72.0, 1.83));
        assert_eq!(inches(UNPROTECTED_RECEPTACLE), (240.0, 6.0));
        assert_eq!(inches(LENS_DEPTH), (18.0, 0.45));
        assert_eq!(inches(LEAST_LENS_DEPTH), (4.0, 0.1));
        assert_eq!(inches(FOUNTAIN_CORD), (120.0, 3.0));
        assert_eq!(inches(GAS_LINE), (12.0, 0.3));
    }
}
