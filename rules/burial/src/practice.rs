//! Depths that are usual where the code has no figure: IEC 60364 and BS 7671 ask for a depth at which the cable is not
//! disturbed, and leave it to the country and the designer.
//!
//! None of these is from the text of a standard that was read. GB: guides to BS 7671. DE: DIN VDE 0276-603 as quoted in
//! the trade. FR: guides to NF C 15-100. The rest, and the figure under vehicles for DE: from memory. So nothing
//! more than a reminder rests on them.

use lintern_rule::Code;

/// Where a cable lies, as far as usual depths tell places apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ground {
    Garden,
    /// Under a footpath or a slab.
    Paved,
    Vehicles,
}

/// A usual depth with where it is from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Depth {
    pub millimetres: f64,
    pub source: &'static str,
}

const DEFAULT: &str = "common practice, no source";
const GB: &str = "guides to BS 7671, which itself has no figure";
const DE: &str = "DIN VDE 0276-603 as quoted in the trade; from memory under vehicles";
const FR: &str = "guides to NF C 15-100";

/// The usual depth without regard to the country.
pub fn usual(ground: Ground) -> Depth {
    let millimetres = match ground {
        Ground::Garden | Ground::Paved => 500.0,
        Ground::Vehicles => 600.0,
    };
    Depth { millimetres, source: DEFAULT }
}

/// The usual depth of a country; a plan by BS 7671 without a country is taken as British.
pub fn national(code: Code, country: Option<&str>, ground: Ground) -> Option<Depth> {
    let country = country.or((code == Code::Bs7671).then_some("GB"))?;
    let (source, garden, paved, vehicles) = match country {
        "GB" => (GB, 600.0, 450.0, 750.0),
        "DE" => (DE, 600.0, 600.0, 800.0),
        "FR" => (FR, 500.0, 500.0, 850.0),
        _ => return None,
    };
    let millimetres = match ground {
        Ground::Garden => garden,
        Ground::Paved => paved,
        Ground::Vehicles => vehicles,
    };
    Some(Depth { millimetres, source })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_country_has_the_depths_of_its_guides() {
        let rows = [("GB", [600.0, 450.0, 750.0]), ("DE", [600.0, 600.0, 800.0]), ("FR", [500.0, 500.0, 850.0])];
        for (country, depths) in rows {
            for (ground, depth) in [Ground::Garden, Ground::Paved, Ground::Vehicles].into_iter().zip(depths) {
                let found = national(Code::Iec60364, Some(country), ground).map(|depth| depth.millimetres);
                assert_eq!(found, Some(depth), "{country}, {ground:?}");
            }
        }
        assert_eq!(national(Code::Iec60364, Some("SE"), Ground::Garden), None);
        assert_eq!(national(Code::Iec60364, None, Ground::Garden), None);
        assert_eq!(national(Code::Bs7671, None, Ground::Garden).map(|depth| depth.millimetres), Some(600.0));
        assert_eq!([Ground::Garden, Ground::Paved, Ground::Vehicles].map(|g| usual(g).millimetres), [500., 500., 600.]);
    }
}
