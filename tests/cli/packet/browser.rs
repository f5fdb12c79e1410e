//! The packet in a real browser: Chromium, at the widths of a phone and of a desktop, and printed.

use super::{Made, PLANS, tool};
use serde_json::Value;

const REQUIRED: &str = "LINTERN_REQUIRE_CHROMIUM";
const QUIET: [&str; 8] = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
];

/// Runs Chromium on a file with a folder of its own.
fn chromium(made: &Made, more: &[&str], page: &str) -> Option<String> {
    let data = format!("--user-data-dir={}", made.folder.path().join("chromium").display());
    let name = ["chromium", "chromium-browser", "google-chrome"]
        .into_iter()
        .find(|name| std::process::Command::new(name).arg("--version").output().is_ok())
        .unwrap_or("chromium");
    tool(name, &[&QUIET[..], &[&data, "--allow-file-access-from-files"], more, &[page]].concat(), REQUIRED)
}

/// What a script in a page around the packet measures at several widths.
fn measured(made: &Made) -> Option<Value> {
    let probe = made.folder.path().join("probe.html");
    std::fs::write(&probe, include_str!("probe.html")).unwrap();
    let page = format!("file://{}", probe.display());
    let dom = chromium(made, &["--virtual-time-budget=20000", "--dump-dom"], &page)?;
    let told = dom.split("<pre id=\"told\">").nth(1).and_then(|rest| rest.split("</pre>").next());
    let told = told.unwrap_or_else(|| panic!("the probe told nothing: {dom}"));
    Some(serde_json::from_str(&told.replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&")).unwrap())
}

#[test]
fn it_fits_a_phone_and_a_desktop_and_everything_can_be_read() {
    for plan in [PLANS[0], PLANS[2], PLANS[4], PLANS[5]] {
        let made = Made::of(plan, "packet.html");
        let Some(told) = measured(&made) else { return };
        for at in told["widths"].as_array().unwrap() {
            // No page is wider than its window: what is wide scrolls in itself.
            assert!(at["scroll-width"].as_f64() <= at["width"].as_f64(), "{plan}: {at}");
            assert!(at["texts"].as_u64() > Some(300), "{plan}: {at}");
            // WCAG 2.2, 1.4.3: 4.5 to 1 for text.
            assert!(at["least-contrast"].as_f64() >= Some(4.5), "{plan}: {at}");
            assert_eq!(at["overlaps"], Value::Array(Vec::new()), "{plan}");
            assert_eq!(at["broken-links"], Value::Array(Vec::new()), "{plan}");
        }
        assert_eq!(told["widths"].as_array().unwrap().len(), 3);
    }
}

#[test]
fn it_prints_with_the_drawing_on_a_sheet_of_its_own() {
    let made = Made::of(PLANS[4], "packet.html");
    let pdf = made.folder.path().join("printed.pdf");
    let print = format!("--print-to-pdf={}", pdf.display());
    let page = format!("file://{}", made.file.display());
    if chromium(&made, &["--no-pdf-header-footer", &print], &page).is_none() {
        return;
    }
    let Some(info) = tool("pdfinfo", &["-l", "-1", pdf.to_str().unwrap()], "LINTERN_REQUIRE_POPPLER") else { return };
    let sizes: Vec<&str> = info.lines().filter(|line| line.starts_with("Page ") && line.contains("size")).collect();
    let wide = |line: &&&str| {
        let numbers: Vec<f64> = line.split_whitespace().filter_map(|word| word.parse().ok()).collect();
        numbers.len() >= 3 && numbers[1] > numbers[2]
    };
    assert_eq!(sizes.iter().filter(wide).count(), 1, "{info}");
    let text = tool("pdftotext", &["-layout", pdf.to_str().unwrap(), "-"], "LINTERN_REQUIRE_POPPLER").unwrap();
    for word in ["Volts at every luminaire", "Site drawing", "Cautions", "#1"] {
        assert!(text.contains(word), "{word}");
    }
}
