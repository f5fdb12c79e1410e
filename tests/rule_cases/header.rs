//! What a case declares in the comments at its top: the verdict, each finding, each element that can't be checked,
//! and the arithmetic by hand.
//!
//! ```yaml
//! # expect: fail
//! # finding: L2 at "L2" measured 9.4986 V limit 10 V level violation section "110.3(B)"
//! # undetermined: L5 missing "`input.min` of type `well-6`"
//! # hand: loop 2 x 1.98 ohm/kft x 100 ft = 0.396 ohm; a line that goes on
//! #   is indented.
//! ```

use std::fmt;

/// The declaration of a case.
#[derive(Debug, Default)]
pub struct Header {
    pub expect: String,
    pub findings: Vec<Finding>,
    pub undetermined: Vec<Undetermined>,
    pub hand: String,
}

/// A number with its unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    pub value: f64,
    pub unit: String,
}

/// A finding as a case declares it, or as the program made it.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    pub subject: String,
    /// The text of the plan that is underlined.
    pub at: String,
    pub measured: Option<Measure>,
    pub limit: Option<Measure>,
    pub level: String,
    /// The section that is cited; `None` for no section.
    pub section: Option<String>,
}

/// An element that can't be checked, and what is missing.
#[derive(Debug)]
pub struct Undetermined {
    pub missing: Vec<String>,
}

impl Header {
    /// Reads the comments at the top of a case.
    pub fn parse(text: &str) -> Result<Self, String> {
        let mut header = Self::default();
        for entry in entries(text)? {
            let (key, value) = entry.split_once(": ").ok_or_else(|| format!("`# {entry}` is not `# key: value`"))?;
            match key {
                "expect" => header.expect = value.to_owned(),
                "finding" => header.findings.push(Finding::parse(value).map_err(|e| format!("`{value}`: {e}"))?),
                "undetermined" => header.undetermined.push(Undetermined::parse(value)?),
                "hand" => header.hand = value.to_owned(),
                _ => return Err(format!("`{key}` is not expect, finding, undetermined or hand")),
            }
        }
        match header.expect.as_str() {
            "pass" | "fail" | "undetermined" | "not-applicable" => {}
            other => return Err(format!("`expect: {other}` is no verdict")),
        }
        if (header.expect == "fail") == header.findings.is_empty() {
            return Err("a case fails exactly when it has findings".to_owned());
        }
        if (header.expect == "undetermined") && header.undetermined.is_empty() {
            return Err("an undetermined case says what is missing".to_owned());
        }
        if header.hand.is_empty() {
            return Err("the arithmetic by hand is missing".to_owned());
        }
        Ok(header)
    }
}

/// The comment lines at the top, each with the indented lines that go on from it.
fn entries(text: &str) -> Result<Vec<String>, String> {
    let mut entries: Vec<String> = Vec::new();
    for line in text.lines().map_while(|line| line.strip_prefix('#')) {
        match (line.strip_prefix("   "), entries.last_mut()) {
            (Some(more), Some(entry)) => {
                entry.push(' ');
                entry.push_str(more);
            }
            (Some(_), None) => return Err("the first comment line goes on from nothing".to_owned()),
            (None, _) => entries.push(line.trim_start().to_owned()),
        }
    }
    Ok(entries)
}

impl Finding {
    fn parse(text: &str) -> Result<Self, String> {
        let (subject, rest) = text.split_once(" at ").ok_or("no ` at \"text\"` after the subject")?;
        let (at, rest) = quoted(rest)?;
        let mut fields: Vec<(&str, String)> = Vec::new();
        for word in rest.split_whitespace() {
            match (word, fields.last_mut()) {
                ("measured" | "limit" | "level" | "section", _) => fields.push((word, String::new())),
                (_, Some((_, value))) if value.is_empty() => word.clone_into(value),
                (_, Some((_, value))) => {
                    value.push(' ');
                    value.push_str(word);
                }
                (_, None) => return Err(format!("`{word}` is not measured, limit, level or section")),
            }
        }
        let field = |name: &str| fields.iter().find(|(key, _)| *key == name).map(|(_, value)| value.as_str());
        Ok(Self {
            subject: subject.to_owned(),
            at,
            measured: field("measured").map(Measure::parse).transpose()?,
            limit: field("limit").map(Measure::parse).transpose()?,
            level: field("level").ok_or("no level")?.to_owned(),
            section: match field("section").ok_or("no section; write `section null` for none")? {
                "null" => None,
                section => Some(quoted(section)?.0),
            },
        })
    }

    /// Whether two findings are the same but for the fourth significant digit of what was measured.
    pub fn agrees_with(&self, other: &Self) -> bool {
        let close = |a: &Option<Measure>, b: &Option<Measure>, share: f64| match (a, b) {
            (Some(a), Some(b)) => a.unit == b.unit && (a.value - b.value).abs() <= share * a.value.abs(),
            (a, b) => a.is_none() && b.is_none(),
        };
        (&self.subject, &self.at, &self.level, &self.section)
            == (&other.subject, &other.at, &other.level, &other.section)
            && close(&self.measured, &other.measured, 1e-4)
            && close(&self.limit, &other.limit, 1e-6)
    }
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} at \"{}\"", self.subject, self.at)?;
        for (name, measure) in [("measured", &self.measured), ("limit", &self.limit)] {
            if let Some(Measure { value, unit }) = measure {
                write!(f, " {name} {value} {unit}")?;
            }
        }
        write!(f, " level {} section ", self.level)?;
        match &self.section {
            Some(section) => write!(f, "\"{section}\""),
            None => f.write_str("null"),
        }
    }
}

impl Measure {
    fn parse(text: &str) -> Result<Self, String> {
        let (value, unit) = text.split_once(' ').unwrap_or((text, ""));
        let value = value.parse().map_err(|_| format!("`{value}` is no number"))?;
        Ok(Self { value, unit: unit.to_owned() })
    }
}

impl Undetermined {
    fn parse(text: &str) -> Result<Self, String> {
        let (_subject, mut rest) = text.split_once(" missing ").ok_or("no ` missing \"input\"` after the subject")?;
        let mut missing = Vec::new();
        while !rest.is_empty() {
            let (input, after) = quoted(rest)?;
            missing.push(input);
            rest = after.trim_start_matches([',', ' ']);
        }
        Ok(Self { missing })
    }
}

/// A text in double quotes at the start, and what follows it.
fn quoted(text: &str) -> Result<(String, &str), String> {
    let inner = text.strip_prefix('"').ok_or_else(|| format!("`{text}` does not start with a quote"))?;
    let (content, rest) = inner.split_once('"').ok_or_else(|| format!("`{text}` has no closing quote"))?;
    Ok((content.to_owned(), rest))
}
