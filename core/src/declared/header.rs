//! The header of a case.

use crate::finding::Measure;
use crate::plan::scalar::Date;
use std::fmt;

/// The declaration of a case.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Header {
    /// The rule that it speaks of, where it says so.
    pub rule: Option<String>,
    /// The day on which the plan is judged, where it says so.
    pub as_of: Option<Date>,
    /// The verdict.
    pub expect: String,
    /// Every finding.
    pub findings: Vec<DeclaredFinding>,
    /// Every element that can't be checked.
    pub undetermined: Vec<Undetermined>,
    /// The arithmetic by hand; may be empty.
    pub hand: String,
}

/// A finding as a case declares it, or as the rule made it.
#[derive(Debug, Clone, PartialEq)]
pub struct DeclaredFinding {
    /// Id of the element; empty for the plan as a whole.
    pub subject: String,
    /// The text of the plan that is underlined.
    pub at: String,
    /// The value at fault.
    pub measured: Option<Measure>,
    /// The limit.
    pub limit: Option<Measure>,
    /// The level.
    pub level: String,
    /// The section that is cited; `None` for no section.
    pub section: Option<String>,
}

/// An element that can't be checked, and what is missing.
#[derive(Debug, Clone, PartialEq)]
pub struct Undetermined {
    /// The element.
    pub subject: String,
    /// The missing inputs.
    pub missing: Vec<String>,
}

/// What is wrong with a header, and where.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {message}")]
pub struct HeaderError {
    /// The line, from 1.
    pub line: usize,
    /// What is wrong and what is wanted.
    pub message: String,
}

const KEYS: &str = "expect, finding, undetermined, hand, rule or as-of";

impl Header {
    /// Reads the comments at the top of a case; `None` where there are none.
    pub fn parse(text: &str) -> Result<Option<Self>, HeaderError> {
        let mut header = Self::default();
        let entries = entries(text)?;
        let Some(last) = entries.last().map(|(line, _)| *line) else { return Ok(None) };
        for (line, entry) in entries {
            header.take(&entry).map_err(|message| HeaderError { line, message })?;
        }
        header.agrees_with_itself().map_err(|message| HeaderError { line: last, message })?;
        Ok(Some(header))
    }

    fn take(&mut self, entry: &str) -> Result<(), String> {
        let (key, value) = entry
            .split_once(": ")
            .ok_or_else(|| format!("`# {entry}` is not `# key: value`; a line that goes on is indented by three"))?;
        let once = |taken: bool| if taken { Err(format!("`{key}` stands here a second time")) } else { Ok(()) };
        match key {
            "expect" => {
                once(!self.expect.is_empty())?;
                match value {
                    "pass" | "fail" | "undetermined" | "not-applicable" => value.clone_into(&mut self.expect),
                    _ => {
                        return Err(format!(
                            "`expect: {value}` is no verdict; pass, fail, undetermined or not-applicable is wanted"
                        ));
                    }
                }
            }
            "finding" => {
                let finding = DeclaredFinding::parse(value).map_err(|why| {
                    format!(
                        "`finding: {value}`: {why}; it is written like \
                         `# finding: L1 at \"L1\" measured 10.8 V limit 11 V level advice section null`"
                    )
                })?;
                self.findings.push(finding);
            }
            "undetermined" => {
                let element = Undetermined::parse(value).map_err(|why| {
                    format!(
                        "`undetermined: {value}`: {why}; it is written like `# undetermined: L5 missing \"a feed\"`"
                    )
                })?;
                self.undetermined.push(element);
            }
            "hand" => {
                once(!self.hand.is_empty())?;
                value.clone_into(&mut self.hand);
            }
            "rule" => {
                once(self.rule.is_some())?;
                self.rule = Some(value.trim().to_owned());
            }
            "as-of" => {
                once(self.as_of.is_some())?;
                let date = value.trim().parse().map_err(|_| format!("`as-of: {value}` is no day like 2026-03-01"))?;
                self.as_of = Some(date);
            }
            _ => return Err(format!("`{key}` is not {KEYS}")),
        }
        Ok(())
    }

    fn agrees_with_itself(&self) -> Result<(), String> {
        if self.expect.is_empty() {
            return Err("the header has no `# expect: VERDICT` (pass, fail, undetermined or not-applicable)".to_owned());
        }
        if (self.expect == "fail") == self.findings.is_empty() {
            return Err("a case fails exactly when it has findings: `# expect: fail` needs a `# finding: …`, and any \
                        other verdict has none"
                .to_owned());
        }
        if self.expect == "undetermined" && self.undetermined.is_empty() {
            return Err("an undetermined case says what is missing: `# undetermined: L5 missing \"a feed\"`".to_owned());
        }
        Ok(())
    }
}

/// The comment lines at the top, each with the indented lines that go on from it, and the number of its line.
fn entries(text: &str) -> Result<Vec<(usize, String)>, HeaderError> {
    let mut entries: Vec<(usize, String)> = Vec::new();
    for (index, line) in text.lines().map_while(|line| line.strip_prefix('#')).enumerate() {
        match (line.strip_prefix("   "), entries.last_mut()) {
            (Some(more), Some((_, entry))) => {
                entry.push(' ');
                entry.push_str(more.trim());
            }
            (Some(_), None) => {
                let message = "the first comment line is indented as if it went on from another".to_owned();
                return Err(HeaderError { line: index + 1, message });
            }
            (None, _) => entries.push((index + 1, line.trim().to_owned())),
        }
    }
    Ok(entries)
}

impl DeclaredFinding {
    fn parse(text: &str) -> Result<Self, String> {
        // A finding on the plan as a whole has no subject.
        let (subject, rest) = match text.strip_prefix("at ") {
            Some(rest) => ("", rest),
            None => text.split_once(" at ").ok_or("no ` at \"text\"` after the subject")?,
        };
        let (at, mut rest) = quoted(rest)?;
        let mut finding =
            Self { subject: subject.to_owned(), at, measured: None, limit: None, level: String::new(), section: None };
        while !rest.trim().is_empty() {
            rest = finding.take_part(rest.trim_start())?;
        }
        match finding.level.as_str() {
            "violation" | "advice" | "reminder" => Ok(finding),
            "" => Err("no level".to_owned()),
            other => Err(format!("`{other}` is not violation, advice or reminder")),
        }
    }

    /// Takes one named part, and gives what follows it.
    fn take_part<'a>(&mut self, text: &'a str) -> Result<&'a str, String> {
        let (name, rest) = text.split_once(' ').unwrap_or((text, ""));
        let rest = rest.trim_start();
        if name == "section" && rest.starts_with('"') {
            let (section, rest) = quoted(rest)?;
            self.section = Some(section);
            return Ok(rest);
        }
        let end = ["measured ", "limit ", "level ", "section "]
            .iter()
            .filter_map(|next| Some(rest.find(&format!(" {next}"))? + 1))
            .min()
            .unwrap_or(rest.len());
        let (value, after) = rest.split_at(end);
        let value = value.trim();
        match name {
            "measured" => self.measured = Some(measure(value)?),
            "limit" => self.limit = Some(measure(value)?),
            "level" => value.clone_into(&mut self.level),
            "section" if value == "null" => self.section = None,
            "section" => return Err(format!("the section `{value}` is neither in quotes nor null")),
            _ => return Err(format!("`{name}` is not measured, limit, level or section")),
        }
        Ok(after)
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

impl fmt::Display for DeclaredFinding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.subject.is_empty() {
            write!(f, "{} ", self.subject)?;
        }
        write!(f, "at \"{}\"", self.at)?;
        for (name, measure) in [("measured", &self.measured), ("limit", &self.limit)] {
            if let Some(Measure { value, unit }) = measure {
                write!(f, " {name} {value}")?;
                if !unit.is_empty() {
                    write!(f, " {unit}")?;
                }
            }
        }
        write!(f, " level {} section ", self.level)?;
        match &self.section {
            Some(section) => write!(f, "\"{section}\""),
            None => f.write_str("null"),
        }
    }
}

fn measure(text: &str) -> Result<Measure, String> {
    let (value, unit) = text.split_once(' ').unwrap_or((text, ""));
    let value = value.parse().map_err(|_| format!("`{value}` is no number"))?;
    Ok(Measure { value, unit: unit.to_owned() })
}

impl Undetermined {
    fn parse(text: &str) -> Result<Self, String> {
        let (subject, mut rest) = match text.strip_prefix("missing ") {
            Some(rest) => ("", rest),
            None => text.split_once(" missing ").ok_or("no ` missing \"input\"` after the subject")?,
        };
        let mut missing = Vec::new();
        while !rest.is_empty() {
            let (input, after) = quoted(rest)?;
            missing.push(input);
            rest = after.trim_start_matches([',', ' ']);
        }
        Ok(Self { subject: subject.to_owned(), missing })
    }
}

/// A text in double quotes at the start, and what follows it.
fn quoted(text: &str) -> Result<(String, &str), String> {
    let inner = text.strip_prefix('"').ok_or_else(|| format!("`{text}` does not start with a quote"))?;
    let (content, rest) = inner.split_once('"').ok_or_else(|| format!("`{text}` has no closing quote"))?;
    Ok((content.to_owned(), rest))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_header_reads_back_what_it_shows() {
        let text = "# rule: house/dim\n# as-of: 2026-03-01\n# expect: fail\n\
                    # finding: L1 at \"L1\" measured 10.812 V limit 11 V level advice section \"Part 4.2\"\n\
                    # finding: at \"plan\" measured 3 level reminder section null\n\
                    # undetermined: L2 missing \"a feed\", \"a supply\"\n# hand: 12 - 1.188\n#    = 10.812\nplan: 1\n";
        let header = Header::parse(text).expect("in order").expect("there is one");
        assert_eq!(header.rule.as_deref(), Some("house/dim"));
        assert_eq!(header.findings[0].section.as_deref(), Some("Part 4.2"));
        assert_eq!(header.findings[1].subject, "");
        assert_eq!(header.undetermined[0].missing, ["a feed", "a supply"]);
        assert_eq!(header.hand, "12 - 1.188 = 10.812");
        for finding in &header.findings {
            assert_eq!(DeclaredFinding::parse(&finding.to_string()).as_ref(), Ok(finding));
        }
        assert_eq!(Header::parse("plan: 1\n"), Ok(None));
    }

    #[test]
    fn a_wrong_header_says_the_line_and_what_is_wanted() {
        for (text, line, wanted) in [
            ("# expect: fails\n", 1, "pass, fail, undetermined or not-applicable"),
            ("# expect: pass\n# findings: L1\n", 2, "is not expect, finding"),
            ("# expect: fail\n# finding: L1\n", 2, "at \"text\""),
            ("# expect: fail\n# finding: L1 at \"L1\" level bad\n", 2, "violation, advice or reminder"),
            ("# expect: fail\n# finding: L1 at \"L1\" measured x V level advice\n", 2, "`x` is no number"),
            ("# expect: fail\n", 1, "exactly when it has findings"),
            ("# hand: nothing\n", 1, "expect: VERDICT"),
            ("# expect: pass\n# as-of: today\n", 2, "2026-03-01"),
            ("# expect: pass\n# expect: pass\n", 2, "second time"),
        ] {
            let error = Header::parse(text).expect_err(text);
            assert_eq!(error.line, line, "{text}: {error}");
            assert!(error.message.contains(wanted), "{text}: {error}");
        }
    }
}
