//! Enclosure types by where they may stand: NFPA 70 Table 110.28, the same in its 2017, 2020 and 2023 editions.

/// The types of the part for outdoor use. Each keeps out rain, snow and sleet.
const FOR_OUTDOORS: [&str; 10] = ["3", "3R", "3S", "3X", "3RX", "3SX", "4", "4X", "6", "6P"];

/// Whether a type is for outdoor use; the others are for indoor use alone.
pub fn is_for_outdoors(name: &str) -> bool {
    FOR_OUTDOORS.contains(&name)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// NFPA 70 2017, Table 110.28: the column heads of its two parts. 4, 4X, 6 and 6P stand in both.
    #[test]
    fn every_type_of_the_table_is_on_its_side() {
        let outdoor_part = ["3", "3R", "3S", "3X", "3RX", "3SX", "4", "4X", "6", "6P"];
        let indoor_part = ["1", "2", "4", "4X", "5", "6", "6P", "12", "12K", "13"];
        for name in outdoor_part {
            assert!(is_for_outdoors(name), "type {name}");
        }
        for name in indoor_part {
            assert_eq!(is_for_outdoors(name), outdoor_part.contains(&name), "type {name}");
        }
    }
}
