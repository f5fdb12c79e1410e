//! The known name that a misspelt one most likely means.

/// Names longer than this are not compared: nobody misspells them by a letter, and comparing costs
/// the product of both lengths.
const LONGEST: usize = 64;

/// The known name nearest to `name`, if one is near enough: a third of its letters may differ, or
/// one alone begins with it. The earlier of two that are equally near.
pub fn nearest<'a>(name: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    if name.len() > LONGEST {
        return None;
    }
    let lower = name.to_lowercase();
    let allowed = (name.chars().count() / 3).max(1);
    let mut best: Option<(usize, &str)> = None;
    for candidate in known {
        if candidate.len().abs_diff(name.len()) > allowed || candidate.len() > LONGEST {
            continue;
        }
        let distance = strsim::osa_distance(&lower, &candidate.to_lowercase());
        if distance <= allowed && best.is_none_or(|(least, _)| distance < least) {
            best = Some((distance, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// A sentence that helps with an unknown name: the nearest known one, or the list of all while it is short.
pub(crate) fn help<'a>(name: &str, what: &str, known: impl IntoIterator<Item = &'a str> + Clone) -> String {
    if let Some(near) = nearest(name, known.clone()) {
        return format!("did you mean `{near}`?");
    }
    list(what, known)
}

/// `known keys: a, b, c`, cut after thirty names.
pub(crate) fn list<'a>(what: &str, known: impl IntoIterator<Item = &'a str>) -> String {
    const SHOWN: usize = 30;
    let mut known = known.into_iter();
    let shown: Vec<&str> = known.by_ref().take(SHOWN).collect();
    let rest = known.count();
    match (shown.is_empty(), rest) {
        (true, _) => format!("there are no {what} here"),
        (false, 0) => format!("known {what}: {}", shown.join(", ")),
        (false, _) => format!("known {what}: {}, and {rest} more", shown.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn near_names_are_found_and_far_ones_are_not() {
        let known = ["power", "nominal", "cut-out", "cct"];
        let rows = [
            ("powr", Some("power")),
            ("Power", Some("power")),
            ("pwoer", Some("power")),
            ("cutout", Some("cut-out")),
            ("cut_out", Some("cut-out")),
            ("ct", Some("cct")),
            ("wattage", None),
            ("", None),
        ];
        for (name, expected) in rows {
            assert_eq!(nearest(name, known), expected, "{name}");
        }
        assert_eq!(nearest(&"p".repeat(100_000), known), None);
    }
}
