//! The few lines of a long text that say what a line in them is for: its own part with the keys above it.
//!
//! Reading a whole plan at each key stroke takes long. Items of lists and long parts beside the one in question are
//! left out, so that what is left is the shape of the place alone.

/// Parts of a mapping of at most so many lines are kept, since their keys matter.
const SHORT: usize = 200;

/// The lines that matter for the line at an index, and where that line is among them. Only of texts in lines that are
/// indented; a text in brackets has no such lines.
pub(super) fn narrow<'t>(lines: &[&'t str], at: usize) -> Option<(Vec<&'t str>, usize)> {
    let own = *lines.get(at)?;
    if column(own) == Some(0) && !own.starts_with('-') {
        // A key of the plan itself.
        return Some((vec![own], 0));
    }
    let is_key =
        |line: &&str| column(line) == Some(0) && !line.starts_with(['-', '{', '[', '}', ']', '"', '\'', '%', '.']);
    let first = lines.get(..at)?.iter().rposition(is_key)?;
    let end = at + 1 + lines.get(at + 1..)?.iter().position(is_key).unwrap_or(lines.len() - at - 1);
    let mut kept = vec![*lines.get(first)?];
    let at = within(lines.get(first + 1..end)?, at - first - 1, &mut kept)?;
    Some((kept, at))
}

/// Keeps of the lines of one part what matters; gives the place of the line among all that is kept.
fn within<'t>(lines: &[&'t str], at: usize, kept: &mut Vec<&'t str>) -> Option<usize> {
    let whole = |kept: &mut Vec<&'t str>| {
        let start = kept.len();
        kept.extend(lines);
        Some(start + at)
    };
    let Some(level) = lines.iter().find_map(|line| column(line)) else { return whole(kept) };
    let is_child = |line: &str| column(line) == Some(level);
    let Some(first) = lines.get(..=at)?.iter().rposition(|line| is_child(line)) else { return whole(kept) };
    let after = lines.get(at + 1..)?.iter().position(|line| column(line).is_some_and(|own| own <= level));
    let end = after.map_or(lines.len(), |after| at + 1 + after);
    let is_item = |line: &str| line.get(level..).is_some_and(|rest| rest.starts_with("- ") || rest.trim_end() == "-");
    if is_item(lines.get(first)?) {
        let start = kept.len();
        kept.extend(lines.get(first..end)?);
        return Some(start + at - first);
    }
    // A short part is read with what stands beside it; in a long one only what the line is in.
    if lines.len() <= SHORT || first == at {
        return whole(kept);
    }
    kept.push(lines.get(first)?);
    within(lines.get(first + 1..end)?, at - first - 1, kept)
}

/// The column of the first character of a line that is more than a comment.
fn column(line: &str) -> Option<usize> {
    let inner = line.trim_start_matches(' ');
    let says = !inner.trim().is_empty() && !inner.starts_with('#');
    says.then(|| line.len() - inner.len())
}

#[cfg(test)]
mod tests {
    use super::narrow;

    fn narrowed(text: &str, at: usize) -> (String, usize) {
        let lines: Vec<&str> = text.split('\n').collect();
        let (kept, at) = narrow(&lines, at).unwrap();
        (kept.join("\n"), at)
    }

    #[test]
    fn only_the_item_and_its_keys_are_left() {
        let text =
            "plan: 1\nruns:\n  - id: a\n    b: c\n  # x\n  - id: d\n    e:\n      - f\n\n    g\n  - id: h\ndig: {}";
        assert_eq!(narrowed(text, 9), ("runs:\n  - id: d\n    e:\n      - f\n\n    g".to_owned(), 5));
        assert_eq!(narrowed(text, 3), ("runs:\n  - id: a\n    b: c\n  # x".to_owned(), 2));
        assert_eq!(narrowed(text, 11), ("dig: {}".to_owned(), 0));
        let same_column = "runs:\n- id: a\n- id: b\n  c\n- id: d";
        assert_eq!(narrowed(same_column, 3), ("runs:\n- id: b\n  c".to_owned(), 2));
    }

    #[test]
    fn long_parts_beside_the_place_are_left_out() {
        let zones: String = (0..300).map(|n| format!("    - id: z{n}\n      kind: lawn\n")).collect();
        let text = format!("site:\n  grid: ft\n  zones:\n{zones}  utilities:\n    - id: gas\n      kind");
        let last = text.split('\n').count() - 1;
        assert_eq!(narrowed(&text, last), ("site:\n  utilities:\n    - id: gas\n      kind".to_owned(), 3));
        assert_eq!(narrowed(&text, 6), ("site:\n  zones:\n    - id: z1\n      kind: lawn".to_owned(), 3));
    }
}
