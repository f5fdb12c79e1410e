//! What a packet says, held against what the other commands say.

use super::{DAY, Made, PLANS, report};
use crate::support::{CLEAN, Site, demo, run};
use serde_json::Value;

/// The texts of the cells of a table, by row, from its caption.
pub fn table(html: &str, caption: &str) -> Vec<Vec<String>> {
    let start = html.find(&format!("<caption>{caption}</caption>")).unwrap_or_else(|| panic!("no table `{caption}`"));
    let body = html[start..].split("</table>").next().unwrap().split("<tbody>").nth(1).unwrap();
    let cell = |cell: &str| {
        let text = cell.split_once('>').unwrap().1.split("</td>").next().unwrap();
        text.replace("■ ", "").replace("&#39;", "'").replace("&quot;", "\"").replace("&amp;", "&")
    };
    body.split("<tr").skip(1).map(|row| row.split("<td").skip(1).map(cell).collect()).collect()
}

/// As the page has it.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;").replace('\'', "&#39;")
}

fn json(arguments: &[&str]) -> Value {
    run(&demo(), arguments, &[]).json()
}

fn number(text: &str) -> f64 {
    text.split(' ').next().unwrap().parse().unwrap_or_else(|_| panic!("no number in `{text}`"))
}

#[test]
fn volts_loads_and_lengths_are_those_of_the_solver() {
    for plan in PLANS {
        let html = Made::of(plan, "packet.html").text();
        let judged = json(&["solve", plan, "--format", "json"]);
        let soil = json(&["solve", plan, "--format", "json", "--case", "soil"]);
        let rows = table(&html, "Volts at every luminaire");
        let luminaires = rows.len();
        for row in &rows {
            for (cell, of) in [(&row[3], &judged), (&row[4], &soil)] {
                match of["nodes"][&row[0]]["volts"].as_f64() {
                    Some(volts) => assert!((number(cell) - volts).abs() <= 0.005 + 1e-9, "{plan} {row:?} {volts}"),
                    None => assert_eq!(cell, "–", "{plan} {row:?}"),
                }
            }
        }
        assert_eq!(luminaires, table(&html, "Luminaires").len(), "{plan}");
        for row in table(&html, "Load of every supply: the larger of load and nameplates governs")
            .iter()
            .filter(|row| !row[0].is_empty())
        {
            let loading = judged["supplies"][&row[0]]["loading-percent"].as_f64();
            match loading {
                Some(loading) => assert!((number(&row[8]) / loading - 1.0).abs() < 1e-3, "{plan} {row:?} {loading}"),
                None => assert!(row[8].starts_with('–'), "{plan} {row:?}"),
            }
        }
        let cable_m: f64 = judged["segments"].as_array().unwrap().iter().map(|s| s["length-m"].as_f64().unwrap()).sum();
        let total = table(&html, "Cable, with slack").last().unwrap()[7].clone();
        let metres = if total.ends_with("ft") { 0.3048 } else { 1.0 };
        assert!((number(&total) * metres - cable_m).abs() < 0.05, "{plan}: {total} {cable_m}");
    }
}

#[test]
fn cable_of_the_front_garden_is_what_its_coordinates_give_by_hand() {
    let html = Made::of(PLANS[0], "packet.html").text();
    // R1: from (28, 1) to (27, 10), sqrt(1 + 81), with 10 % slack: 9.961 ft.
    // R2 to R5, 12 AWG: (27, 10)-(27, 6)-(16, 6)-(9, 6) is 4 + 11 + 7; (27, 10)-(38, 6) is sqrt(121 + 16);
    // (27, 10)-(26, 16) is sqrt(37), then three times 8; (27, 10)-(12, 20)-(3, 30) is sqrt(325) + sqrt(181).
    let twelve = 1.1 * (22.0 + 137f64.sqrt() + 37f64.sqrt() + 24.0 + 325f64.sqrt() + 181f64.sqrt());
    let rows = table(&html, "Cable, with slack");
    let of = |name: &str| rows.iter().find(|row| row[0] == name).unwrap()[7].clone();
    assert_eq!(of("burial-10-2"), format!("{:.1} ft", 1.1 * 82f64.sqrt()));
    assert_eq!(of("burial-12-2"), format!("{twelve:.1} ft"));
    assert_eq!(of("All"), format!("{:.1} ft", twelve + 1.1 * 82f64.sqrt()));
    // R2 passes under the walk from x = 25 to x = 20: 5 ft in conduit at 12 in, where the county asks for 8 in.
    let cover = table(&html, "Excavation and cover, piece by piece, drawn lengths");
    let under: Vec<&Vec<String>> = cover.iter().filter(|row| row[0] == "R2" && row[3] == "front-walk").collect();
    assert_eq!(under.len(), 1);
    assert_eq!(under[0][4..7], ["5.0 ft", "pvc conduit", "12 in"]);
    let limits = table(&html, "Covers against the limits that were applied");
    let amended = ["R2", "covers.0.cover", "12 in", "8 in", "Fernhollow County Code, 15.04.310", "passes"];
    assert!(limits.iter().any(|row| *row == amended), "{limits:?}");
}

#[test]
fn a_run_under_a_drive_and_a_lawn_is_held_against_both_limits() {
    let html = Made::of("quarry-lane/side-yard.yaml", "packet.html").text();
    let limits = table(&html, "Covers against the limits that were applied");
    let of: Vec<[&str; 3]> =
        limits.iter().filter(|row| row[0] == "R2").map(|row| [&*row[2], &row[3], &row[5]]).collect();
    // NFPA 70 (2023) Table 300.5(A), column 5: 18 in under driveways of one- and two-family dwellings; elsewhere the
    // invented county's 8 in.
    assert_eq!(of, [["6 in", "8 in", "FAILS"], ["6 in", "18 in", "FAILS"]]);
}

#[test]
fn every_finding_verdict_and_assumption_of_the_check_is_there() {
    for plan in PLANS {
        let html = Made::of(plan, "packet.html").text();
        let document = json(&[&["check", plan, "--format", "json"], &DAY[..]].concat());
        let checked = &document["plans"][0];
        let findings = checked["findings"].as_array().unwrap();
        let mut numbers = std::collections::BTreeSet::new();
        for finding in findings {
            let (rule, message) = (finding["rule"].as_str().unwrap(), finding["message"].as_str().unwrap());
            let subject = finding["subject"].as_str().unwrap();
            // In full, or in the table of others of its rule.
            let shown = message.split('`').map(escaped).collect::<Vec<_>>();
            let is_of = |part: &str| shown.iter().all(|words| part.contains(words.as_str())) && part.contains(subject);
            let full = html.split("<article").skip(1).map(|part| part.split("</article>").next().unwrap());
            let full: Vec<&str> = full.filter(|part| part.contains(rule) && is_of(part)).collect();
            let caption = format!("<caption>More of {rule}:");
            let others = html.split(caption.as_str()).skip(1);
            let mut rows = others.flat_map(|table| table.split("</table>").next().unwrap().split("<tr").skip(2));
            let row = rows.find(|part| is_of(part));
            let fails = finding["level"] == "violation" && finding["waived"].is_null();
            let number = match (full.first(), row) {
                (Some(article), _) => {
                    assert_eq!(article.contains("class=\"fails\"") && article.contains('■'), fails, "{plan} {article}");
                    for part in ["document", "section"] {
                        if let Some(text) = finding["basis"][part].as_str() {
                            assert!(article.contains(text), "{plan} {rule} lacks its {part}: {article}");
                        }
                    }
                    article.split("id=\"finding-").nth(1).unwrap().split('"').next().unwrap()
                }
                (None, Some(row)) => {
                    assert_eq!(row.contains('■'), fails, "{plan} {row}");
                    row.split('#').nth(1).unwrap().split('<').next().unwrap()
                }
                (None, None) => panic!("{plan}: {rule} {subject} is not there"),
            };
            numbers.insert(number.parse::<usize>().unwrap());
        }
        assert_eq!(numbers, (1..=findings.len()).collect(), "{plan}");
        let verdicts = table(&html, "Verdicts by rule");
        for (rule, verdict) in checked["verdicts"].as_object().unwrap() {
            let row = verdicts.iter().find(|row| row[0] == *rule);
            let word = row.map_or("not-applicable", |row| match row[1].as_str() {
                "pass" => "pass",
                "FAIL" => "fail",
                "UNDECIDED" => "undetermined",
                other => panic!("{other}"),
            });
            assert_eq!(word, verdict["verdict"], "{plan} {rule}");
            assert!(html.contains(rule.as_str()), "{plan} {rule}");
        }
        assert_eq!(html.matches("Assumed: ").count(), checked["assumptions"].as_array().unwrap().len(), "{plan}");
        assert!(html.contains(checked["sha256"].as_str().unwrap()), "{plan}");
        assert!(html.contains("does not replace the adopted code"), "{plan}");
    }
}

#[test]
fn a_page_needs_nothing_else_and_is_the_same_every_time() {
    for plan in [PLANS[0], PLANS[2]] {
        let html = Made::of(plan, "packet.html").text();
        assert_eq!(html, Made::of(plan, "packet.html").text());
        let foreign = html.replace("http://www.w3.org/2000/svg", "");
        for word in ["http:", "https:", "<script", "<link", "<img", "@import", "url(http", "src="] {
            assert!(!foreign.contains(word), "{plan}: {word}");
        }
    }
}

#[test]
fn texts_of_a_plan_are_text_on_the_page() {
    let name = "<b onload='x'>&\u{202e}\u{1b}[31m {{ title }} {% raw %}";
    let plan = CLEAN.replace("name: Two lamps", &format!("name: {}", serde_json::json!(name)));
    let site = Site::new(&[("plan.yaml", &plan)]);
    for file in ["packet.html", "drawing.svg"] {
        let made = match file {
            "packet.html" => report(site.path(), "plan.yaml", &site.path().join(file), &[]),
            _ => site.lintern(&["draw", "plan.yaml", "-o", file]),
        };
        assert_eq!(made.code, 0, "{made:#?}");
        let text = std::fs::read_to_string(site.path().join(file)).unwrap();
        assert!(!text.contains("<b ") && !text.contains('\u{202e}') && !text.contains('\u{1b}'), "{file}");
        assert!(text.contains("&lt;b onload="), "{file}");
        assert!(text.contains("{{ title }} {% raw %}") || file != "packet.html", "{file}");
    }
    let pdf = report(site.path(), "plan.yaml", &site.path().join("packet.pdf"), &[]);
    assert_eq!(pdf.code, 0, "{pdf:#?}");
}

#[test]
fn what_can_not_be_made_is_told_and_nothing_is_written() {
    let broken = CLEAN.replace("cover: 8 in", "cover: 8");
    let site = Site::new(&[("plan.yaml", CLEAN), ("broken.yaml", &broken)]);
    for (arguments, told) in [
        (&["report", "plan.yaml", "-o", "packet.docx"][..], ".html or .pdf"),
        (&["report", "plan.yaml", "-o", "nowhere/packet.pdf"], "can't write"),
        (&["report", "broken.yaml", "-o", "packet.html"], "has no unit"),
        (&["report", "absent.yaml", "-o", "packet.html"], "absent.yaml"),
        (&["draw", "plan.yaml", "-o", "plan.yaml"], ".svg"),
        (&["draw", "broken.yaml", "-o", "site.svg"], "has no unit"),
    ] {
        let made = site.lintern(arguments);
        assert_eq!(made.code, 2, "{arguments:?}: {made:#?}");
        assert!(made.err.contains(told), "{arguments:?}: {made:#?}");
    }
    let mut left: Vec<_> = std::fs::read_dir(site.path()).unwrap().map(|e| e.unwrap().file_name()).collect();
    left.sort();
    assert_eq!(left, ["broken.yaml", "lintern.yaml", "plan.yaml"]);
}

#[test]
fn a_plan_without_places_has_a_packet_without_a_drawing() {
    let mut plan = CLEAN.replace("at: [0, 0], ", "");
    for at in ["at: [40, 0], ", "at: [55, 0], "] {
        plan = plan.replace(at, "");
    }
    let site = Site::new(&[("plan.yaml", &plan)]);
    let made = report(site.path(), "plan.yaml", &site.path().join("packet.html"), &[]);
    assert_eq!(made.code, 0, "{made:#?}");
    let html = std::fs::read_to_string(site.path().join("packet.html")).unwrap();
    assert!(html.contains("There is no site drawing"));
    assert!(html.contains("NOT PLACED"));
    let drawn = site.lintern(&["draw", "plan.yaml"]);
    assert_eq!((drawn.code, drawn.out.as_str()), (2, ""));
    assert!(drawn.err.contains("nothing to draw"), "{drawn:#?}");
}

#[test]
fn waived_findings_are_told_apart_and_count_for_a_reviewer() {
    let waived = format!(
        "{}waivers: [{{ rule: burial/shallow-cover, subject: R1, reason: rock at 3 in, approved-by: Fernhollow County, on: 2026-03-01 }}]\n",
        CLEAN.replace("cover: 8 in", "cover: 3 in")
    );
    let site = Site::new(&[("plan.yaml", &waived)]);
    let made = |more: &[&str]| {
        let made = report(site.path(), "plan.yaml", &site.path().join("packet.html"), more);
        assert_eq!(made.code, 0, "{made:#?}");
        std::fs::read_to_string(site.path().join("packet.html")).unwrap()
    };
    let own = made(&[]);
    assert!(own.contains("1 VIOLATION, waived by the plan: for the authority to judge"), "{own}");
    assert!(own.contains("(waived: rock at 3 in)"));
    assert!(table(&own, "Runs")[0][5].contains("(waived)"), "{:?}", table(&own, "Runs"));
    assert!(own.contains("waived by Fernhollow County on 2026-03-01: rock at 3 in"));
    assert_eq!(table(&own, "Waivers of the plan").len(), 1);
    assert!(made(&["--as-reviewer"]).contains("1 VIOLATION: to be cured before the work"));
}

#[test]
fn a_packet_takes_the_place_of_nothing_that_was_read() {
    let site = Site::new(&[("plan.html", CLEAN), ("plan.yaml", CLEAN)]);
    std::os::unix::fs::symlink(site.path().join("plan.yaml"), site.path().join("link.html")).unwrap();
    for (plan, output) in [("plan.html", "plan.html"), ("plan.yaml", "link.html")] {
        let made = site.lintern(&["report", plan, "-o", output]);
        assert_eq!(made.code, 2, "{made:#?}");
        assert!(made.err.contains("no earlier result"), "{made:#?}");
        assert_eq!(std::fs::read_to_string(site.path().join(plan)).unwrap(), CLEAN);
    }
}

#[test]
fn covers_that_contradict_each_other_are_told_and_none_is_chosen() {
    let zones = "zones: [{ id: walk, kind: walk, outline: [[10, -5], [20, -5], [20, 5], [10, 5]] }, { id: drive, kind: driveway, outline: [[15, -5], [30, -5], [30, 5], [15, 5]] }]";
    let plan = CLEAN
        .replace("soil: loam }", &format!("soil: loam, {zones} }}"))
        .replace("riser: pvc-conduit,", "riser: pvc-conduit, covers: [{ zone: walk, cover: 8 in, method: pvc-conduit }, { zone: drive, cover: 24 in, method: rigid-metal-conduit }],");
    let site = Site::new(&[("plan.yaml", &plan)]);
    let made = report(site.path(), "plan.yaml", &site.path().join("packet.html"), &[]);
    assert_eq!(made.code, 0, "{made:#?}");
    let html = std::fs::read_to_string(site.path().join("packet.html")).unwrap();
    let rows = table(&html, "Excavation and cover, piece by piece, drawn lengths");
    let of = |zones: &str| {
        rows.iter().find(|row| row[3] == zones).unwrap_or_else(|| panic!("{zones}: {rows:?}"))[5..7].to_vec()
    };
    assert_eq!(of("walk"), ["pvc conduit", "8 in"]);
    assert_eq!(of("walk, drive"), ["not stated or several", "SEVERAL: 8 in by walk, 24 in by drive"]);
    assert_eq!(of("drive"), ["rigid metal conduit", "24 in"]);
}

#[test]
fn distances_to_buried_lines_are_from_edge_to_edge_and_what_has_no_place_is_not_known() {
    // The line of 12 in at y = 6 ft: 6 ft less 6 in from the middle of the trench; the holes are 10 in wide.
    let plan = CLEAN
        .replace("soil: loam }", "soil: loam, utilities: [{ id: gas-9, kind: gas, path: [[0, 6], [60, 6]], located: marked, width: 12 in }] }")
        .replace("id: L2, type: well-6, at: [55, 0],", "id: L2, type: well-6,");
    let site = Site::new(&[("plan.yaml", &plan)]);
    let made = report(site.path(), "plan.yaml", &site.path().join("packet.html"), &[]);
    assert_eq!(made.code, 0, "{made:#?}");
    let html = std::fs::read_to_string(site.path().join("packet.html")).unwrap();
    let caption = "Buried lines within 10 ft: from the edge of the hole or the middle of the trench to the edge of the line, where widths are stated";
    let clear: Vec<(String, String)> =
        table(&html, caption).into_iter().map(|row| (row[5].clone(), row[6].clone())).collect();
    assert_eq!(clear, [("hole of L1".to_owned(), "5.1 ft".to_owned()), ("run R1".to_owned(), "5.5 ft".to_owned())]);
    assert!(html.contains("NOT KNOWN, since they have no place: hole of L2, run R1."), "{html}");
}
