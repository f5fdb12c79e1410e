//! Realistic plans of any size from a seed: lots with a supply, a hub, a few runs and their luminaires, beside a house, a
//! walk, beds and buried lines, as in the demo plans. Some lots have one of the usual mistakes.

use lintern_tests::seeded::Seeded;
use std::fmt::Write as _;
use std::io;
use std::path::{Path, PathBuf};

/// Most luminaires on one lot.
const LOT: usize = 11;
/// Feet from lot to lot.
const WIDE: f64 = 80.0;
/// Feet from one row of lots to the next.
const DEEP: f64 = 90.0;
/// One lot in this many has a mistake.
const MISTAKES: usize = 12;

/// Types that every plan uses.
pub const SCHEDULE: &str = include_str!("../../../plans/schedules/standard.yaml");

/// The text of a plan with this many luminaires, its schedule in it.
pub fn plan(seed: u64, luminaires: usize) -> String {
    let mut text = head(seed, luminaires);
    text.push_str(&SCHEDULE[SCHEDULE.find("schedule:").unwrap_or(0)..]);
    body(seed, luminaires, &mut text);
    text
}

/// The text of a plan that takes its types from a shared schedule.
pub fn plan_of_repository(seed: u64, luminaires: usize, schedule: &str) -> String {
    let mut text = head(seed, luminaires);
    let _ = writeln!(text, "use: [{schedule}]");
    body(seed, luminaires, &mut text);
    text
}

/// Writes a repository of this many plans, of 5 to 60 luminaires each, a hundred to a folder. Gives the files.
///
/// # Errors
/// When the folder can't be written.
pub fn repository(folder: &Path, seed: u64, plans: usize) -> io::Result<Vec<PathBuf>> {
    let mut random = Seeded::new(seed);
    std::fs::create_dir_all(folder.join("schedules"))?;
    std::fs::write(folder.join("lintern.yaml"), "lintern: 1\nplans: [\"jobs-*/*.yaml\"]\n")?;
    std::fs::write(folder.join("schedules/standard.yaml"), SCHEDULE)?;
    let mut files = Vec::with_capacity(plans);
    for number in 0..plans {
        let of = folder.join(format!("jobs-{:04}", number / 100));
        if number % 100 == 0 {
            std::fs::create_dir_all(&of)?;
        }
        // Most are homes; one in eight is a larger place.
        let luminaires = if random.below(8) == 0 { 20 + random.below(41) } else { 5 + random.below(16) };
        let file = of.join(format!("job-{number:06}.yaml"));
        std::fs::write(&file, plan_of_repository(seed ^ number as u64, luminaires, "../schedules/standard.yaml"))?;
        files.push(file);
    }
    Ok(files)
}

fn head(seed: u64, luminaires: usize) -> String {
    format!(
        "# A generated plan: seed {seed}, {luminaires} luminaires.\nplan: 1\nproject:\n  name: Generated grounds {seed}\n  designer: \
         R. Quill\n  country: US\n  region: US-OR\n  authority: Fernhollow County\n  code: nec-2023\n  occupancy: \
         one-family-dwelling\nanalysis:\n  conductor-temperature: 75 degC\n  soil-temperature: 30 degC\n"
    )
}

/// What one lot puts into the lists of a plan.
#[derive(Default)]
struct Lists {
    zones: String,
    utilities: String,
    supplies: String,
    junctions: String,
    luminaires: String,
    runs: String,
}

fn body(seed: u64, luminaires: usize, text: &mut String) {
    let mut random = Seeded::new(seed);
    let mut lists = Lists::default();
    let mut left = luminaires;
    let lots = luminaires.div_ceil(LOT - 3);
    let across = (lots as f64).sqrt().ceil() as usize;
    for lot in 0.. {
        if left == 0 {
            break;
        }
        let share = left.min(5 + random.below(LOT - 4));
        left -= share;
        let at = ((lot % across) as f64 * WIDE, (lot / across) as f64 * DEEP);
        add_lot(lot, at, share, &mut random, &mut lists);
    }
    let _ = write!(
        text,
        "site:\n  grid: ft\n  soil: loam\n  zones:\n{}  utilities:\n{}supplies:\n{}junctions:\n{}luminaires:\n{}runs:\n{}",
        lists.zones, lists.utilities, lists.supplies, lists.junctions, lists.luminaires, lists.runs
    );
    text.push_str(
        "dig:\n  ticket: { number: \"26-0311\", called: 2026-03-02, expires: 2026-03-30, responses: all }\n  starts: \
         2026-03-09\n  method: hand\n  private-lines: located\n  white-lined: true\nrecords: { mock-up: 2026-02-20, \
         test-before-backfill: planned, as-built: planned, commissioning: planned, labels: planned, cut-sheets: \
         2026-02-24, maintenance: planned }\n",
    );
}

/// One of the usual mistakes.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Mistake {
    None,
    ShallowCover,
    NoDrainage,
    ThinCable,
    HotLamps,
    UnsuitedSplice,
}

fn add_lot(lot: usize, (x, y): (f64, f64), luminaires: usize, random: &mut Seeded, lists: &mut Lists) {
    let mistake = match random.below(MISTAKES * 5) {
        0 => Mistake::ShallowCover,
        1 => Mistake::NoDrainage,
        2 => Mistake::ThinCable,
        3 => Mistake::HotLamps,
        4 => Mistake::UnsuitedSplice,
        _ => Mistake::None,
    };
    let mut place = |dx: f64, dy: f64| {
        let mut jitter = || (random.below(11) as f64 - 5.0) / 10.0;
        format!("[{:.1}, {:.1}]", x + dx + jitter(), y + dy + jitter())
    };
    let corner = |dx: f64, dy: f64| format!("[{}, {}]", x + dx, y + dy);
    let area = |points: &[(f64, f64)]| points.iter().map(|(dx, dy)| corner(*dx, *dy)).collect::<Vec<_>>().join(", ");
    for (name, kind, points) in [
        ("house", "building", [(0.0, -20.0), (60.0, -20.0), (60.0, 0.0), (0.0, 0.0)]),
        ("drive", "driveway", [(46.0, 0.0), (58.0, 0.0), (58.0, 42.0), (46.0, 42.0)]),
        ("bed", "bed", [(0.0, 0.0), (6.0, 0.0), (6.0, 40.0), (0.0, 40.0)]),
        ("lawn", "lawn", [(6.0, 0.0), (20.0, 0.0), (20.0, 40.0), (6.0, 40.0)]),
    ] {
        let _ = writeln!(lists.zones, "    - {{ id: {name}-{lot}, kind: {kind}, outline: [{}] }}", area(&points));
    }
    let walk = area(&[(20.0, 0.0), (24.0, 0.0), (24.0, 42.0), (20.0, 42.0)]);
    let _ = writeln!(lists.zones, "    - {{ id: walk-{lot}, kind: walk, slab-thickness: 0 in, outline: [{walk}] }}");
    for (kind, from, depth) in [("gas", 64.0, 24), ("water", 40.0, 30)] {
        let path = area(&[(from, 0.0), (from, 45.0)]);
        let _ = writeln!(
            lists.utilities,
            "    - {{ id: {kind}-{lot}, kind: {kind}, path: [{path}], located: marked, depth: {depth} in, width: 1 in }}"
        );
    }
    let _ = write!(
        lists.supplies,
        "  - id: S{lot}\n    type: box-150\n    at: {}\n    mount-height: 14 in\n    exposure: wet\n    control: {{ hours: 6 h, \
         dimmer: none }}\n    feed: {{ circuit: LT-{lot}, breaker: 20 A, connection: receptacle, gfci: true, \
         in-use-cover: true, weather-resistant: true, other-load: 0 VA }}\n",
        corner(28.0, 1.0)
    );
    let _ = writeln!(lists.junctions, "  - {{ id: hub-{lot}, at: {}, splice: gel-cap }}", corner(27.0, 10.0));
    let cover = if mistake == Mistake::ShallowCover { "4 in" } else { "8 in" };
    let thin = mistake == Mistake::ThinCable;
    let mut run = |name: &str, cable: &str, route: &[String], beside: &str| {
        let _ = writeln!(
            lists.runs,
            "  - {{ id: {name}-{lot}, cable: {cable}, route: [{}], slack: 10 %, method: direct-burial, cover: {cover}, \
             backfill: screened-soil{beside} }}",
            route.join(", ")
        );
    };
    let feed = if thin { "burial-12-2" } else { "burial-10-2" };
    run("feed", feed, &[format!("S{lot}/12"), format!("hub-{lot}")], ", riser: pvc-conduit");
    let wells = luminaires * 2 / 5;
    let mut west = vec![format!("hub-{lot}"), corner(27.0, 6.0)];
    let mut path = vec![format!("hub-{lot}")];
    for index in 0..luminaires {
        let well = index < wells;
        let id = format!("{}{lot}-{index}", if well { "W" } else { "P" });
        let at = if well {
            place(17.0 - 4.0 * index as f64, 6.0 + 3.0 * index as f64)
        } else {
            place(27.0, 14.0 + 5.0 * (index - wells) as f64)
        };
        let kind = match (well, mistake == Mistake::HotLamps) {
            (true, _) => "well-6",
            (false, true) => "accent-20",
            (false, false) => "path-3",
        };
        let splice = if mistake == Mistake::UnsuitedSplice && index == 0 { "" } else { ", splice: gel-cap" };
        let more = match (well, mistake) {
            (true, Mistake::NoDrainage) => {
                "placement: in-ground, lights: facade, aim: up, scene: facade, excavation: { width: 10 in, depth: 8 in }"
            }
            (true, _) => {
                "placement: in-ground, lights: facade, aim: up, scene: facade, excavation: { width: 10 in, depth: 14 in, base: \
                 gravel, base-depth: 6 in }"
            }
            (false, _) => "placement: stake, lights: path, aim: down, scene: walk",
        };
        let _ = writeln!(lists.luminaires, "  - {{ id: {id}, type: {kind}, at: {at}, {more}{splice} }}");
        if well { west.push(id) } else { path.push(id) }
    }
    let under_walk = format!(", covers: [{{ zone: walk-{lot}, cover: 12 in, method: pvc-conduit }}]");
    if wells > 0 {
        run("west", "burial-12-2", &west, &under_walk);
    }
    run("path", "burial-12-2", &path, "");
}
