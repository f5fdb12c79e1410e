//! Tables: how wide their columns are, and the lines in each cell.

use super::text::{lines, printable};
use crate::drawing::face::Weight;
use crate::packet::{Row, Table};

/// Size of type, mm.
pub const TYPE_MM: f64 = 2.35;
/// From one line to the next, mm.
pub const LINE_MM: f64 = 3.1;
/// Room on each side of a cell, mm.
pub const PAD_MM: f64 = 0.9;

/// A table that is measured.
pub struct Measured {
    /// Widths of the columns, mm.
    pub widths_mm: Vec<f64>,
    /// Lines of the heading, by column.
    pub heading: Vec<Vec<String>>,
    /// Lines of each row, by column.
    pub rows: Vec<Vec<Vec<String>>>,
}

/// Measures a table for a width, mm.
pub fn measure(table: &Table, width_mm: f64) -> Measured {
    let heading: Vec<String> = table.columns.iter().map(|column| printable(&column.title)).collect();
    let rows: Vec<Vec<String>> = table.rows.iter().map(|row| cells(row, table.columns.len())).collect();
    let widths_mm = widths(table, &heading, &rows, width_mm);
    let set = |texts: &[String], weight: Weight| -> Vec<Vec<String>> {
        let cells = texts.iter().zip(&widths_mm);
        cells.map(|(text, width)| lines(text, weight, TYPE_MM, width - 2.0 * PAD_MM)).collect()
    };
    let bold = |fails| Weight::of(fails);
    Measured {
        heading: set(&heading, Weight::Bold),
        rows: rows.iter().zip(&table.rows).map(|(texts, row)| set(texts, bold(row.fails))).collect(),
        widths_mm,
    }
}

fn cells(row: &Row, columns: usize) -> Vec<String> {
    let cell = |i: usize| {
        let text = row.cells.get(i).map_or("", String::as_str);
        printable(&if i == 0 && row.fails { format!("■ {text}") } else { text.to_owned() })
    };
    (0..columns).map(cell).collect()
}

/// Each column gets what its longest word needs; what is left goes to those whose texts are longer than that.
fn widths(table: &Table, heading: &[String], rows: &[Vec<String>], width_mm: f64) -> Vec<f64> {
    let measured = |text: &str, weight: Weight| weight.width(text) * TYPE_MM + 2.0 * PAD_MM + 0.1;
    let longest_word =
        |text: &str, weight: Weight| text.split(' ').map(|word| measured(word, weight)).fold(0.0, f64::max);
    let mut least = Vec::new();
    let mut whole = Vec::new();
    for (i, column) in table.columns.iter().enumerate() {
        let own = || rows.iter().zip(&table.rows).filter_map(|(row, of)| Some((row.get(i)?, Weight::of(of.fails))));
        let whole_mm = own().map(|(text, weight)| measured(text, weight)).fold(0.0, f64::max);
        let word_mm = own().map(|(text, weight)| longest_word(text, weight)).fold(0.0, f64::max);
        let title = heading.get(i).map_or("", String::as_str);
        let title_mm = longest_word(title, Weight::Bold);
        // Numbers keep their units beside them.
        let least_mm: f64 = if column.numeric { whole_mm.min(30.0) } else { word_mm.min(32.0) };
        least.push(least_mm.max(title_mm));
        whole.push(whole_mm.max(measured(title, Weight::Bold)));
    }
    let least_mm: f64 = least.iter().sum();
    if least_mm >= width_mm {
        return least.iter().map(|width| width * width_mm / least_mm).collect();
    }
    let wanted_mm: f64 = whole.iter().zip(&least).map(|(whole, least)| (whole - least).max(0.0)).sum();
    let share = ((width_mm - least_mm) / wanted_mm.max(1e-9)).min(1.0);
    whole.iter().zip(&least).map(|(whole, least)| least + (whole - least).max(0.0) * share).collect()
}

#[cfg(test)]
mod tests {
    use super::{Table, measure};

    #[test]
    fn a_table_fits_its_page_and_keeps_its_text() {
        let mut table = Table::new("t", &["Id", "#Volts", "A long heading of words", "Findings"]);
        table.row(["L1".to_owned(), "11.82 V".to_owned(), "words ".repeat(40), "F1 F2".to_owned()], true);
        table.row(["a-very-long-id".repeat(8), "9 V".to_owned(), String::new(), String::new()], false);
        for width_mm in [60.0, 120.0, 190.0] {
            let measured = measure(&table, width_mm);
            assert!(measured.widths_mm.iter().sum::<f64>() <= width_mm + 1e-6, "{width_mm}: {:?}", measured.widths_mm);
            assert_eq!(measured.rows[1][0].concat(), "a-very-long-id".repeat(8));
            assert!(measured.rows[0][0].join(" ").starts_with('■'));
        }
    }
}
