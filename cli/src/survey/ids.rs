//! Ids for what comes in: its own where they are valid and free, else new ones like them.

use lintern_core::plan::scalar::Id;
use std::collections::{BTreeSet, HashMap};

/// Ids longer than this are cut: no survey means them to be read.
const LONGEST: usize = 60;

/// The ids that are taken.
#[derive(Debug, Default)]
pub struct Ids {
    taken: BTreeSet<String>,
    /// The last number that was tried behind a name, so that many equal names take no time.
    last: HashMap<String, usize>,
}

impl Ids {
    /// With the ids that a plan has.
    pub fn new(taken: impl IntoIterator<Item = String>) -> Self {
        Self { taken: taken.into_iter().collect(), last: HashMap::new() }
    }

    /// An id for something that calls itself `wanted`; the second is what was done to it, where anything was.
    pub fn take(&mut self, wanted: Option<&str>, otherwise: &str) -> (String, Option<String>) {
        let name = wanted.map_or_else(String::new, valid);
        let name = if name.is_empty() { otherwise.to_owned() } else { name };
        let numbered = wanted.is_none() || self.taken.contains(&name);
        let id = if numbered { self.numbered(&name, wanted.is_none()) } else { name.clone() };
        self.taken.insert(id.clone());
        let why = match wanted {
            None => Some(format!("it has no id and takes `{id}`")),
            Some(wanted) if wanted == id => None,
            Some(wanted) if wanted == name => Some(format!("the id `{wanted}` is taken; it takes `{id}`")),
            Some(wanted) => Some(format!("`{}` is not valid as an id; it takes `{id}`", short(wanted))),
        };
        (id, why)
    }

    /// The name with a number: from 1 for what has no name, from 2 for what has one.
    fn numbered(&mut self, name: &str, nameless: bool) -> String {
        let last = self.last.entry(name.to_owned()).or_insert(usize::from(!nameless));
        loop {
            *last += 1;
            let id = format!("{name}-{last}");
            if !self.taken.contains(&id) {
                return id;
            }
        }
    }
}

/// The name with hyphens for what no id may have.
fn valid(name: &str) -> String {
    if name.len() <= LONGEST && name.parse::<Id>().is_ok() {
        return name.to_owned();
    }
    let mut id = String::new();
    for c in name.chars().take(LONGEST) {
        match c {
            _ if c.is_ascii_alphanumeric() || matches!(c, '.' | '_') => id.push(c),
            _ if !id.ends_with('-') => id.push('-'),
            _ => {}
        }
    }
    id.trim_matches(['-', '.', '_']).to_owned()
}

/// The start of a text.
fn short(text: &str) -> String {
    if text.chars().count() <= LONGEST { text.to_owned() } else { text.chars().take(LONGEST).chain(['…']).collect() }
}

#[cfg(test)]
mod tests {
    use super::Ids;

    #[test]
    fn ids_are_kept_where_they_are_valid_and_free() {
        let mut ids = Ids::new(["lawn".to_owned()]);
        let mut id = |wanted, otherwise| ids.take(wanted, otherwise);
        assert_eq!(id(Some("drive"), "driveway"), ("drive".to_owned(), None));
        for (wanted, got, says) in [
            (Some("lawn"), "lawn-2", "is taken"),
            (Some("lawn"), "lawn-3", "is taken"),
            (Some("Front lawn!"), "Front-lawn", "not valid"),
            (Some("../x"), "x", "not valid"),
            (Some("\u{202e}"), "bed", "not valid"),
            (None, "bed-1", "has no id"),
            (None, "bed-2", "has no id"),
        ] {
            let (given, why) = id(wanted, "bed");
            assert_eq!(given, got);
            assert!(why.as_deref().is_some_and(|why| why.contains(says)), "{why:?}");
        }
        let long = "x".repeat(500);
        assert_eq!(id(Some(&long), "bed").0.len(), 60);
    }
}
