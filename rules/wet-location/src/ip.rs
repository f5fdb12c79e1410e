//! What the IP codes of a type say together, by the rules of IEC 60529: a digit up to 6 includes the lower ones, 7 and
//! 8 do not include 5 and 6, 9 includes neither, and X says nothing.

use lintern_rule::plan::IpCode;

/// Whether something is met: `None` when the codes do not say.
pub type Met = Option<bool>;

/// Whether the first digits reach a degree of protection against solids.
pub fn solids(codes: &[IpCode], needed: u8) -> Met {
    met(codes.iter().filter_map(|code| code.solids), |digit| digit >= needed)
}

/// Whether the second digits reach a degree of protection against water.
pub fn water(codes: &[IpCode], needed: u8) -> Met {
    met(codes.iter().filter_map(|code| code.water), |digit| match needed {
        0..=4 => digit >= needed,
        5 | 6 => (needed..=6).contains(&digit),
        7 => digit == 7 || digit == 8,
        _ => digit == needed,
    })
}

/// One digit that reaches it is enough: several codes on one luminaire are several tests that it has passed.
fn met(digits: impl Iterator<Item = u8>, reaches: impl Fn(u8) -> bool) -> Met {
    digits.fold(None, |so_far, digit| Some(so_far == Some(true) || reaches(digit)))
}

/// A code as it is marked.
pub fn marked(code: &IpCode) -> String {
    let digit = |digit: Option<u8>| digit.map_or_else(|| "X".to_owned(), |digit| digit.to_string());
    format!("IP{}{}", digit(code.solids), digit(code.water))
}

/// Codes as they are marked, such as `IP65 and IP67`.
pub fn all_marked(codes: &[IpCode]) -> String {
    codes.iter().map(marked).collect::<Vec<_>>().join(" and ")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn codes(text: &str) -> Vec<IpCode> {
        let digit = |c: char| c.to_digit(10).map(|d| d as u8);
        text.split_whitespace()
            .map(|code| {
                let mut digits = code.chars().skip(2);
                IpCode { solids: digits.next().and_then(digit), water: digits.next().and_then(digit) }
            })
            .collect()
    }

    /// IEC 60529, clause 6: what a second characteristic numeral covers.
    #[test]
    fn a_second_digit_covers_what_iec_60529_says() {
        // (marked, needed, met)
        let rows = [
            ("IP44", 4, Some(true)),
            ("IP43", 4, Some(false)),
            ("IP65", 4, Some(true)),
            ("IP67", 4, Some(true)),
            ("IP68", 3, Some(true)),
            ("IP65", 5, Some(true)),
            ("IP66", 5, Some(true)),
            ("IP67", 5, Some(false)),
            ("IP68", 5, Some(false)),
            ("IP68", 6, Some(false)),
            ("IP69", 5, Some(false)),
            ("IP69", 7, Some(false)),
            ("IP69", 4, Some(true)),
            ("IP65", 7, Some(false)),
            ("IP66", 7, Some(false)),
            ("IP67", 7, Some(true)),
            ("IP68", 7, Some(true)),
            ("IP67", 8, Some(false)),
            ("IP68", 8, Some(true)),
            // Several codes are combined, in any order.
            ("IP65 IP67", 5, Some(true)),
            ("IP65 IP67", 7, Some(true)),
            ("IP67 IP66", 5, Some(true)),
            ("IP65 IP67", 8, Some(false)),
            // X says nothing: neither zero nor a pass.
            ("IP6X", 3, None),
            ("IP6X IP67", 5, Some(false)),
            ("IP6X IP67", 7, Some(true)),
            ("", 3, None),
        ];
        for (text, needed, expected) in rows {
            assert_eq!(water(&codes(text), needed), expected, "{text} for IPX{needed}");
        }
    }

    #[test]
    fn a_first_digit_includes_the_lower_ones_and_x_says_nothing() {
        let rows = [
            ("IP65", 6, Some(true)),
            ("IP55", 6, Some(false)),
            ("IPX7", 6, None),
            ("IPX7 IP65", 6, Some(true)),
            ("IP20", 3, Some(false)),
            ("IP20", 2, Some(true)),
        ];
        for (text, needed, expected) in rows {
            assert_eq!(solids(&codes(text), needed), expected, "{text} for IP{needed}X");
        }
        assert_eq!(all_marked(&codes("IP65 IPX7")), "IP65 and IPX7");
    }
}
