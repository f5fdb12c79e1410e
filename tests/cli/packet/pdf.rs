//! The packet as PDF, read by Poppler, a reader of its own making.

use super::{Made, PLANS, tool};
use crate::support::Site;
use std::path::Path;

const REQUIRED: &str = "LINTERN_REQUIRE_POPPLER";

fn text(file: &Path) -> Option<String> {
    tool("pdftotext", &["-layout", file.to_str().unwrap(), "-"], REQUIRED)
}

/// Without spaces and line ends, which layout adds and takes.
fn words(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).collect()
}

#[test]
fn its_text_can_be_searched_and_says_what_the_page_says() {
    for plan in PLANS {
        let made = Made::of(plan, "packet.pdf");
        let Some(read) = text(&made.file) else { return };
        let html = Made::of(plan, "packet.html").text();
        let read = words(&read);
        for title in
            ["Summary", "Site drawing", "Schedules", "Voltages", "Loading", "Before digging", "Findings", "Cautions"]
        {
            assert!(read.contains(&words(title)), "{plan}: {title}");
        }
        // Every cell of these tables.
        for caption in [
            "Volts at every luminaire",
            "Load of every supply: the larger of load and nameplates governs",
            "Verdicts by rule",
        ] {
            for row in super::text::table(&html, caption) {
                for cell in row.iter().filter(|cell| !cell.contains('<') && cell.len() < 24) {
                    assert!(read.contains(&words(cell)), "{plan} {caption}: {cell}");
                }
            }
        }
    }
}

#[test]
fn its_fonts_are_embedded_and_its_pages_numbered() {
    let made = Made::of(PLANS[4], "packet.pdf");
    let file = made.file.to_str().unwrap();
    let Some(fonts) = tool("pdffonts", &[file], REQUIRED) else { return };
    let rows: Vec<&str> = fonts.lines().skip(2).collect();
    assert_eq!(rows.len(), 2, "{fonts}");
    for row in rows {
        let words: Vec<&str> = row.split_whitespace().collect();
        // name, type (two words), encoding, embedded, subset, unicode
        assert!(words[0].contains("DejaVuSansCondensed"), "{row}");
        assert_eq!(words.iter().filter(|word| **word == "yes").count(), 3, "{row}");
    }
    let Some(info) = tool("pdfinfo", &["-l", "-1", file], REQUIRED) else { return };
    let pages: usize = info.lines().find_map(|l| l.strip_prefix("Pages:")).unwrap().trim().parse().unwrap();
    let read = text(&made.file).unwrap();
    assert_eq!(read.matches('\u{c}').count(), pages);
    for page in 1..=pages {
        assert!(read.contains(&format!("page {page} of {pages}")), "{page}");
    }
    assert!(info.contains("612 x 792 pts"), "{info}");
    assert!(info.contains("792 x 612 pts") || info.contains("1224 x 792 pts"), "the sheet of the drawing: {info}");
    assert!(pages > 4, "{info}");
}

#[test]
fn the_same_plan_gives_the_same_bytes() {
    let bytes = || std::fs::read(&Made::of(PLANS[0], "packet.pdf").file).unwrap();
    assert!(bytes() == bytes(), "two runs differ");
}

#[test]
fn characters_that_the_face_lacks_are_told_by_number() {
    let site = Site::new(&[(
        "plan.yaml",
        &crate::support::CLEAN.replace("name: Two lamps", "name: \"庭の灯 Zwölf Lämpchen\""),
    )]);
    let file = site.path().join("packet.pdf");
    assert_eq!(super::report(site.path(), "plan.yaml", &file, &[]).code, 0);
    let Some(read) = text(&file) else { return };
    assert!(read.contains("<U+5EAD>") && read.contains("Zwölf Lämpchen"), "{read}");
}

#[test]
fn a_large_plan_has_headings_on_every_page_and_loses_no_row() {
    let site = Site::new(&[("plan.yaml", &super::drawing::large(400))]);
    let file = site.path().join("packet.pdf");
    let made = super::report(site.path(), "plan.yaml", &file, &[]);
    assert_eq!(made.code, 0, "{made:#?}");
    let Some(read) = text(&file) else { return };
    let pages: Vec<&str> = read.split('\u{c}').collect();
    let of_volts: Vec<&&str> =
        pages.iter().filter(|page| page.contains("Soil case") && page.contains("Off load")).collect();
    assert!(of_volts.len() >= 4, "{} pages with the heading", of_volts.len());
    for id in 1..=400 {
        let row = format!("L{id} ");
        assert!(
            of_volts
                .iter()
                .any(|page| page.lines().any(|line| line.trim_start().trim_start_matches("■ ").starts_with(&row))),
            "L{id}"
        );
    }
}
