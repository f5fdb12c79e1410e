//! The site drawing: everything is where the plan says, to scale, and labels are clear of each other.

use super::{Made, PLANS};
use crate::support::{demo, run};
use std::fmt::Write as _;

/// Values of an attribute of all elements of a kind, in order.
fn circles(svg: &str, radius: &str) -> Vec<(f64, f64)> {
    let of = |element: &str, name: &str| {
        let value = element.split(&format!("{name}=\"")).nth(1)?.split('"').next()?;
        value.parse::<f64>().ok()
    };
    let circles = svg.split("<circle ").skip(1).map(|rest| rest.split("/>").next().unwrap());
    let circles = circles.filter(|circle| circle.contains(&format!(" r=\"{radius}\"")));
    circles.map(|circle| (of(circle, "cx").unwrap(), of(circle, "cy").unwrap())).collect()
}

fn draw(plan: &str, more: &[&str]) -> String {
    let drawn = run(&demo(), &[&["draw", plan], more].concat(), &[]);
    assert_eq!(drawn.code, 0, "{drawn:#?}");
    drawn.out
}

#[test]
fn luminaires_of_the_front_garden_are_where_the_scale_puts_them() {
    let svg = draw(PLANS[0], &["--sheet", "letter"]);
    // The site is 64 ft wide with the gas line and 65 ft high. A letter sheet has 6.8 in for the height beside margins
    // and title, and 65 / 6.8 is 9.6: of the usual scales 1 in = 10 ft is the next.
    assert!(svg.contains("1 in = 10 ft (1:120)"), "{}", svg.lines().filter(|l| l.contains("1 in")).collect::<String>());
    let mm_per_ft = 304.8 / 120.0;
    let plan =
        [(9.0, 6.0), (16.0, 6.0), (38.0, 6.0), (26.0, 16.0), (26.0, 24.0), (26.0, 32.0), (26.0, 40.0), (3.0, 30.0)];
    let drawn = circles(&svg, "1.7");
    // Eight luminaires, and two types in the legend.
    assert_eq!(drawn.len(), plan.len() + 2);
    for (i, (x, y)) in plan.iter().enumerate() {
        let (dx, dy) = (drawn[i].0 - drawn[0].0, drawn[i].1 - drawn[0].1);
        let (wanted_x, wanted_y) = ((x - plan[0].0) * mm_per_ft, -(y - plan[0].1) * mm_per_ft);
        assert!((dx - wanted_x).abs() < 0.02 && (dy - wanted_y).abs() < 0.02, "{i}: {dx} {dy}");
    }
    for word in ["W1", "R5", "gas-1", "hub", "front-walk", "north: not stated", "colours: APWA uniform colour code"] {
        assert!(svg.contains(word), "{word}");
    }
}

#[test]
fn north_is_turned_clockwise_and_stated() {
    let plan = std::fs::read_to_string(demo().join(PLANS[5])).unwrap();
    let site = crate::support::Site::new(&[(
        "schedules/standard.yaml",
        include_str!("../../../plans/schedules/standard.yaml"),
    )]);
    let turned = plan.replacen("site:\n", "site:\n  north: 90 deg\n", 1);
    assert_ne!(turned, plan);
    site.write("terrace/pool-terrace.yaml", turned.as_bytes());
    let drawn = site.lintern(&["draw", "terrace/pool-terrace.yaml"]);
    assert_eq!(drawn.code, 0, "{drawn:#?}");
    assert!(!drawn.out.contains("not stated") && !drawn.err.contains("north"), "{}", drawn.err);
    // Clockwise by a quarter turn is to the right: the letter stands to the right of both halves of the arrow.
    let letter = drawn.out.lines().find(|line| line.ends_with(">N</text>")).unwrap();
    let x: f64 = letter.split("x=\"").nth(1).unwrap().split('"').next().unwrap().parse().unwrap();
    let arrow = drawn.out.lines().take_while(|line| !line.ends_with(">N</text>")).last().unwrap();
    let tip = arrow.split("d=\"M").nth(1).unwrap().split(['L', ' ']).next().unwrap();
    assert!(x > tip.parse().unwrap(), "{letter} {arrow}");
}

/// A plan with so many luminaires on a grid of beds, in one chain a row.
pub fn large(count: usize) -> String {
    let mut plan = String::from(
        "plan: 1\nproject: { name: Many lamps, country: US, region: US-OH, code: nec-2023 }\nschedule:\n  luminaires:\n    \
         path-3: { power: 3 W, apparent-power: 3.5 VA, nominal: 12 V }\n  cables:\n    burial-10-2: { conductor: 10 AWG }\n  \
         supplies:\n    box-600: { rating: 600 VA, output-current: ac, outputs: [{ name: \"12\", volts: 12 V }] }\n\
         site: { grid: ft }\n",
    );
    let side = (count as f64).sqrt().ceil() as usize;
    let (mut luminaires, mut runs, mut supplies) = (String::new(), String::new(), String::new());
    for row in 0..count.div_ceil(side) {
        let y = row * 11;
        let _ = writeln!(supplies, "  - {{ id: S{row}, type: box-600, at: [-12, {y}] }}");
        let mut route = format!("S{row}");
        for column in 0..side.min(count - row * side) {
            let id = format!("L{}", row * side + column + 1);
            let x = column * 9 + (row * 7 + column * 3) % 5;
            let _ = writeln!(luminaires, "  - {{ id: {id}, type: path-3, at: [{x}, {}] }}", y + column % 3);
            let _ = write!(route, ", {id}");
        }
        let _ = writeln!(runs, "  - {{ id: R{row}, cable: burial-10-2, route: [{route}], slack: 5 % }}");
    }
    let _ = write!(plan, "supplies:\n{supplies}luminaires:\n{luminaires}runs:\n{runs}");
    plan
}

#[test]
fn labels_of_5_60_and_400_luminaires_are_all_there_and_clear() {
    for (count, sheet) in [(5, "letter"), (60, "letter"), (400, "tabloid")] {
        let site = crate::support::Site::new(&[("plan.yaml", &large(count))]);
        let drawn = site.lintern(&["draw", "plan.yaml", "-o", "site.svg"]);
        assert_eq!(drawn.code, 0, "{drawn:#?}");
        assert!(!drawn.err.contains("kept clear"), "{count}: {}", drawn.err);
        assert!(drawn.out.contains(sheet), "{count}: {}", drawn.out);
        let svg = std::fs::read_to_string(site.path().join("site.svg")).unwrap();
        for id in 1..=count {
            assert!(svg.contains(&format!(">L{id}</text>")), "{count}: L{id}");
        }
    }
}

#[test]
fn what_fails_has_a_frame_and_a_number_and_no_colour() {
    let html = Made::of(PLANS[4], "packet.html").text();
    let drawing = html.split("<svg ").nth(1).unwrap().split("</svg>").next().unwrap();
    assert!(drawing.contains("violation, by number"));
    // All colours of the drawing are greys, but those of the code for buried lines.
    let allowed = ["#c8101e", "#ffd100", "#ff6a13", "#005eb8", "#753bbd", "#00843d"];
    for color in
        drawing.split('#').skip(1).filter_map(|rest| rest.get(..6)).filter(|c| c.bytes().all(|b| b.is_ascii_hexdigit()))
    {
        let grey = color[0..2] == color[2..4] && color[2..4] == color[4..6];
        assert!(grey || allowed.contains(&format!("#{color}").as_str()), "#{color}");
    }
}

#[test]
fn the_name_of_a_deck_does_not_stand_in_its_pool() {
    let svg = draw(PLANS[5], &[]);
    let place = |word: &str| {
        let line = svg.lines().find(|line| line.ends_with(&format!(">{word}</text>"))).unwrap();
        let of = |name: &str| {
            line.split(&format!(" {name}=\"")).nth(1).unwrap().split('"').next().unwrap().parse::<f64>().unwrap()
        };
        (of("x"), of("y"))
    };
    // The pool is the area with level lines in it; those of the house are slanted.
    let lines = svg.lines().filter(|line| line.contains("stroke-width=\"0.12\"") && line.contains("fill=\"none\""));
    let lines: Vec<[f64; 4]> = lines
        .filter_map(|line| {
            let path = line.split("d=\"M").nth(1)?.split('"').next()?;
            let numbers: Vec<f64> = path.split(['L', ' ']).filter_map(|word| word.parse().ok()).collect();
            numbers.try_into().ok().filter(|[_, y, _, other]: &[f64; 4]| y == other)
        })
        // The legend has a sample of it.
        .filter(|[left, _, right, _]| right - left > 12.0)
        .collect();
    assert!(lines.len() > 5, "{lines:?}");
    let [left, _, right, _] = lines[0];
    let (top, bottom) = (lines[0][1], lines[lines.len() - 1][1]);
    let inside = |(x, y): (f64, f64)| (left..=right).contains(&x) && (top..=bottom).contains(&y);
    assert!(inside(place("pool")) && !inside(place("deck")), "{:?} {:?} {lines:?}", place("pool"), place("deck"));
}
