//! Cells as values of the plan. Whether a text is one is asked of the loader itself, with a plan of one field.

use lintern_core::plan::additions::{flow_mapping, flow_text};
use lintern_core::plan::load_text;
use lintern_core::repository::Repository;
use std::collections::HashMap;
use std::path::Path;

/// Asks the loader, and remembers its answers.
pub struct Cells<'a> {
    repository: &'a Repository,
    path: &'a Path,
    known: HashMap<String, Result<(), String>>,
}

impl<'a> Cells<'a> {
    /// For a plan at a path.
    pub fn new(repository: &'a Repository, path: &'a Path) -> Self {
        Self { repository, path, known: HashMap::new() }
    }

    /// The value of a field of a type, or why it is none.
    pub fn of_type(&mut self, key: &str, unit: Option<&str>, text: &str) -> Result<String, String> {
        let lists = ["ip", "dimming"];
        if lists.contains(&key) {
            let signs = [' ', ',', '/', ';', '+'];
            let words: Vec<String> = text.split(signs).filter(|word| !word.is_empty()).map(flow_text).collect();
            let list = format!("[{}]", words.join(", "));
            self.ask(&with_field(key, &list))?;
            return Ok(list);
        }
        self.first(unit, text, |value| with_field(key, value))
    }

    /// The value of a field of a luminaire, or why it is none.
    pub fn of_luminaire(&mut self, key: &str, unit: Option<&str>, text: &str) -> Result<String, String> {
        self.first(unit, text, |value| {
            format!("{}luminaires: [{{ id: a, type: t, {key}: {value} }}]\n", with_field("power", "1 W"))
        })
    }

    /// Whether all fields of a type go together.
    pub fn whole(&mut self, fields: &str) -> Result<(), String> {
        self.ask(&format!("plan: 1\nschedule: {{ luminaires: {{ t: {fields} }} }}\n"))
    }

    /// The first spelling that the loader takes.
    fn first(&mut self, unit: Option<&str>, text: &str, plan: impl Fn(&str) -> String) -> Result<String, String> {
        let number = text.parse::<f64>().is_ok();
        let with_unit = unit.filter(|_| number).map(|unit| format!("{text} {unit}"));
        let as_written = flow_text(with_unit.as_deref().unwrap_or(text));
        let plain = match text.to_ascii_lowercase().as_str() {
            "true" | "yes" => Some("true".to_owned()),
            "false" | "no" => Some("false".to_owned()),
            _ if number && unit.is_none() && !text.contains(|c: char| c.is_ascii_alphabetic()) => Some(text.to_owned()),
            _ => None,
        };
        let mut refused = None;
        for value in [as_written].into_iter().chain(plain) {
            match self.ask(&plan(&value)) {
                Ok(()) => return Ok(value),
                Err(reason) => refused = refused.or(Some(reason)),
            }
        }
        Err(refused.unwrap_or_default())
    }

    fn ask(&mut self, plan: &str) -> Result<(), String> {
        if let Some(answer) = self.known.get(plan) {
            return answer.clone();
        }
        let loaded = load_text(self.repository, self.path, plan.as_bytes());
        let answer = match loaded.diagnostics.first() {
            None => Ok(()),
            Some(problem) => Err(match &problem.help {
                Some(help) => format!("{}; {help}", problem.message),
                None => problem.message.clone(),
            }),
        };
        self.known.insert(plan.to_owned(), answer.clone());
        answer
    }
}

/// A plan whose one type has a field.
fn with_field(key: &str, value: &str) -> String {
    let mut fields = vec![("power".to_owned(), "1 W".to_owned()), ("nominal".to_owned(), "12 V".to_owned())];
    if key.starts_with("input-") {
        fields.push(("input".to_owned(), format!("{{ min: {value}, max: {value} }}")));
    } else {
        fields.retain(|(known, _)| known != key);
        fields.push((key.to_owned(), value.to_owned()));
    }
    format!("plan: 1\nschedule: {{ luminaires: {{ t: {} }} }}\n", flow_mapping(&fields))
}
