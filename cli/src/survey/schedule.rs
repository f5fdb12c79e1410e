//! A luminaire schedule in CSV (RFC 4180): a type for each row, and as many luminaires as it counts.

mod cells;
mod columns;

use super::ids::Ids;
use super::{Brought, Origin};
use cells::Cells;
use columns::{Column, Meaning, read_header};
use lintern_core::plan::additions::{NewElement, flow_mapping, flow_text, has_type};
use lintern_core::plan::{ElementKind, Loaded};
use lintern_core::repository::Repository;
use std::collections::BTreeMap;
use std::path::Path;

/// Rows and luminaires beyond this are no schedule of one property.
const MOST_ROWS: usize = 10_000;
const MOST_LUMINAIRES: usize = 10_000;
const MOST_OF_ROW: usize = 1_000;

/// What a schedule gives.
#[derive(Debug, Default)]
pub struct Schedule {
    /// Types by name, for the schedule of the plan.
    pub types: Vec<(String, String)>,
    /// The luminaires, and what was told.
    pub brought: Brought,
}

/// Reads a schedule for a plan; the reason where it is none.
pub fn read(
    text: &str,
    base: &Loaded,
    repository: &Repository,
    path: &Path,
    taken: Vec<String>,
) -> Result<Schedule, String> {
    let text = text.trim_start_matches('\u{feff}');
    let delimiter = delimiter(text);
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .flexible(true)
        .trim(csv::Trim::All)
        .has_headers(false)
        .from_reader(text.as_bytes());
    let mut records = reader.records();
    let header = match records.next() {
        Some(Ok(header)) => header,
        Some(Err(error)) => return Err(format!("line 1: {error}")),
        None => return Err("it is empty: a first line with the names of the columns is wanted".to_owned()),
    };
    let mut brought = Brought::default();
    let columns = read_header(&header, &lintern_core::plan::schema(), &mut brought);
    if columns.iter().all(|column| column.meaning.is_none()) {
        return Err(format!(
            "none of its columns is a field of a luminaire type: {}; use the names of the plan format, like `type`, `power (W)`, `nominal (V)`, `count`",
            header.iter().take(20).collect::<Vec<_>>().join(", ")
        ));
    }
    let mut rows = Rows {
        cells: Cells::new(repository, path),
        base,
        ids: Ids::new(taken),
        names: Ids::default(),
        made: BTreeMap::new(),
        count: 0,
        schedule: Schedule { types: Vec::new(), brought },
    };
    if columns.iter().all(|column| column.meaning != Some(Meaning::Count)) {
        rows.schedule.brought.notes.push("there is no column `count`: types are taken, and no luminaires".to_owned());
    }
    let mut last_line = 1;
    for (index, record) in records.enumerate() {
        if index == MOST_ROWS {
            return Err(format!("more than {MOST_ROWS} rows"));
        }
        match record {
            Ok(record) => {
                let line = record.position().map_or(index + 2, |at| usize::try_from(at.line()).unwrap_or(usize::MAX));
                last_line = line;
                rows.row(line, &columns, &record)?;
            }
            Err(error) => {
                let origin = Origin { number: index + 2, shown: format!("row {}", index + 2) };
                rows.schedule.brought.leave(&origin, error.to_string());
            }
        }
    }
    // The last row goes on over all lines behind it.
    if text.matches('"').count() % 2 == 1 && text.trim_end().lines().count() > last_line {
        return Err(format!("line {last_line}: a quote that opens here is never closed; nothing is taken"));
    }
    Ok(rows.schedule)
}

/// The sign between columns: the one that stands most often in the first line, outside of quotes.
fn delimiter(text: &str) -> u8 {
    let mut quoted = false;
    let mut counts = [(b',', 0), (b';', 0), (b'\t', 0)];
    for byte in text.lines().next().unwrap_or("").bytes() {
        quoted ^= byte == b'"';
        if let Some((_, count)) = counts.iter_mut().find(|(sign, _)| *sign == byte && !quoted) {
            *count += 1;
        }
    }
    // The first of several that stand equally often.
    counts.iter().rev().max_by_key(|(_, count)| *count).map_or(b',', |(sign, _)| *sign)
}

/// Rows as they are read one after another.
struct Rows<'a> {
    cells: Cells<'a>,
    base: &'a Loaded,
    ids: Ids,
    /// Names of types that are taken by rows.
    names: Ids,
    /// Types that were made, by their name in the file: what they are, and their name in the plan.
    made: BTreeMap<String, (String, String)>,
    count: usize,
    schedule: Schedule,
}

impl Rows<'_> {
    fn row(&mut self, line: usize, columns: &[Column], record: &csv::StringRecord) -> Result<(), String> {
        if record.iter().all(str::is_empty) {
            return Ok(());
        }
        let origin = Origin { number: line, shown: format!("line {line}") };
        if record.len() > columns.len() {
            let more = record.len() - columns.len();
            self.schedule
                .brought
                .leave(&origin, format!("{more} more cells than there are columns: the last ones are left out"));
        }
        let cell = |meaning: &Meaning| {
            let column = columns.iter().position(|column| column.meaning.as_ref() == Some(meaning))?;
            record.get(column).filter(|text| !text.is_empty())
        };
        let (tag, name) = (cell(&Meaning::Tag), cell(&Meaning::Type).or(cell(&Meaning::Tag)));
        let counts = columns.iter().any(|column| column.meaning == Some(Meaning::Count));
        let count = if counts { self.count_of(&origin, cell(&Meaning::Count)) } else { 0 };
        let mut of_type = Vec::new();
        let mut of_luminaire = Vec::new();
        for (column, text) in columns.iter().zip(record.iter()).filter(|(_, text)| !text.is_empty()) {
            let (list, key, value) = match &column.meaning {
                Some(Meaning::OfType(key)) => {
                    (&mut of_type, key, self.cells.of_type(key, column.unit.as_deref(), text))
                }
                Some(Meaning::OfLuminaire(key)) if key == "splice" => {
                    let known = has_type(self.base, ElementKind::Luminaire, "splice", text);
                    let value =
                        known.then(|| flow_text(text)).ok_or_else(|| format!("the plan has no splice type `{text}`"));
                    (&mut of_luminaire, key, value)
                }
                Some(Meaning::OfLuminaire(key)) => {
                    (&mut of_luminaire, key, self.cells.of_luminaire(key, column.unit.as_deref(), text))
                }
                None if column.shown.is_empty() => {
                    self.schedule.brought.leave(&origin, "a cell in a column without a name");
                    continue;
                }
                Some(Meaning::Type | Meaning::Tag | Meaning::Count) | None => continue,
            };
            match value {
                Ok(value) => list.push((key.clone(), value)),
                Err(reason) => {
                    let text: String = text.chars().take(60).collect();
                    self.schedule.brought.leave(&origin, format!("column `{}`, `{text}`: {reason}", column.shown));
                }
            }
        }
        let Some(kind) = self.kind(&origin, name, of_type) else { return Ok(()) };
        self.luminaires(&origin, tag, &kind, count, &of_luminaire)
    }

    /// How many luminaires a row stands for.
    fn count_of(&mut self, origin: &Origin, cell: Option<&str>) -> usize {
        let Some(text) = cell else {
            self.schedule.brought.leave(origin, "no `count`: the type is taken, and no luminaire");
            return 0;
        };
        match text.parse::<usize>() {
            Ok(count) if count <= MOST_OF_ROW => count,
            _ => {
                let text: String = text.chars().take(60).collect();
                let reason = format!(
                    "column `count`, `{text}`: a whole number up to {MOST_OF_ROW} is wanted; no luminaire is taken"
                );
                self.schedule.brought.leave(origin, reason);
                0
            }
        }
    }

    /// The type of a row: one of the plan, one of an earlier row that is the same, or a new one.
    fn kind(&mut self, origin: &Origin, name: Option<&str>, mut fields: Vec<(String, String)>) -> Option<String> {
        let brought = &mut self.schedule.brought;
        if let Some(name) = name.filter(|name| has_type(self.base, ElementKind::Luminaire, "type", name)) {
            if !fields.is_empty() {
                brought.change(
                    origin,
                    format!("the plan has the type `{name}` already: it is used, and the row's own data are left out"),
                );
            }
            return Some(name.to_owned());
        }
        columns::gather(&mut fields);
        let text = flow_mapping(&fields);
        let key = name.unwrap_or_default().to_owned();
        if let Some((_, known)) = self.made.get(&key).filter(|(same, _)| *same == text && name.is_some()) {
            return Some(known.clone());
        }
        if let Err(reason) = self.cells.whole(&text) {
            brought.leave(origin, format!("the type is left out, and its luminaires: {reason}"));
            return None;
        }
        let (name, given) = self.names.take(name, "luminaire");
        if let Some(given) = given {
            brought.change(origin, format!("type: {given}"));
        }
        self.made.entry(key).or_insert_with(|| (text.clone(), name.clone()));
        self.schedule.types.push((flow_text(&name), text));
        Some(name)
    }

    fn luminaires(
        &mut self,
        origin: &Origin,
        tag: Option<&str>,
        kind: &str,
        count: usize,
        fields: &[(String, String)],
    ) -> Result<(), String> {
        self.count += count;
        if self.count > MOST_LUMINAIRES {
            return Err(format!("more than {MOST_LUMINAIRES} luminaires"));
        }
        for number in 1..=count {
            let wanted = match tag {
                Some(tag) if count == 1 => tag.to_owned(),
                Some(tag) if tag.ends_with(|c: char| c.is_ascii_digit()) => format!("{tag}-{number}"),
                Some(tag) => format!("{tag}{number}"),
                None => format!("{kind}-{number}"),
            };
            let (id, given) = self.ids.take(Some(&wanted), "L");
            if let Some(given) = given {
                self.schedule.brought.change(origin, given);
            }
            let mut all = vec![("type".to_owned(), flow_text(kind))];
            all.extend(fields.iter().cloned());
            let element = NewElement { kind: ElementKind::Luminaire, id, fields: all };
            self.schedule.brought.elements.push((origin.clone(), element));
        }
        Ok(())
    }
}
