//! Volts and loads. NEC Chapter 9 Table 8, stranded: 12 AWG 1.98, 10 AWG 1.24, 8 AWG 0.778 ohm/kft at 75 degC.

use super::{Job, lamps, plan, run, supply};
use lintern_core::remedy::{Cure, Sort};

const CHAIN: &str = "route: [S1/12, L1, L2, L3], slack: 0 %";

/// Three lamps 30 ft apart: a loop of 30 ft has 2 x 1.98 x 0.030 = 0.1188 ohm. Drop at L3 (3 + 2 + 1) x 0.1188 =
/// 0.7128 V = 5.94 %, at L2 (3 + 2) x 0.1188 = 0.594 V = 4.95 %.
fn chain_text(rest: &str) -> String {
    plan("", &supply("S1", "[0, 0]"), &lamps(&["[30, 0]", "[60, 0]", "[90, 0]"]), &run("R1", rest))
}

fn chain(rest: &str) -> Job {
    Job::new(&chain_text(rest))
}

fn number(cure: &Cure, name: &str) -> f64 {
    cure.work.iter().find(|line| line.name == name).unwrap_or_else(|| panic!("{name}: {:?}", cure.work)).value
}

fn close(a: f64, b: f64) {
    assert!((a - b).abs() < 1e-9 * b.abs().max(1.0), "{a} is not {b}");
}

#[test]
fn the_first_segment_in_the_next_size_is_enough() {
    // L3 may lose 0.6 V. With the first 30 ft in 10 AWG, 2 x 1.24 x 0.030 = 0.0744 ohm:
    // 3 x 0.0744 + 3 x 0.1188 = 0.5796 V = 4.83 %. Another tap would not change the drop of a constant current.
    let job = chain(CHAIN);
    let cure = job.smallest("voltage/excess-drop", "L3");
    assert_eq!(cure.sort, Sort::Conductor);
    assert_eq!(cure.summary, "lay R1 from S1/12 to L1 in 10 AWG");
    close(number(&cure, "drop at L3 now"), 5.94);
    close(number(&cure, "drop at L3 after the change"), 4.83);
    close(number(&cure, "loop of R1 from S1/12 to L1 then"), 0.0744);
    assert_eq!((cure.cost.cable_added_m, cure.cost.trench_added_m, cure.cost.parts_changed), (0.0, 0.0, 1));
    close(cure.cost.cable_replaced_m, 30.0 * 0.3048);
    assert!(cure.text.contains("burial-10-2: { conductor: 10 AWG, stranding: stranded,"), "{}", cure.text);
}

#[test]
fn a_run_that_is_drawn_against_the_flow_or_fed_in_its_middle_is_thickened_where_it_carries_most() {
    let cure = chain("route: [L3, L2, L1, S1/12], slack: 0 %").smallest("voltage/excess-drop", "L3");
    assert_eq!(cure.summary, "lay R1 from L1 to S1/12 in 10 AWG");
    close(number(&cure, "drop at L3 after the change"), 4.83);
    // A lamp on the other side changes nothing for L3, and its cable stays.
    let places = ["[30, 0]", "[60, 0]", "[90, 0]", "[0, 30]"];
    let text =
        plan("", &supply("S1", "[0, 0]"), &lamps(&places), &run("R1", "route: [L4, S1/12, L1, L2, L3], slack: 0 %"));
    let cure = Job::new(&text).smallest("voltage/excess-drop", "L3");
    assert_eq!(cure.summary, "lay R1 from S1/12 to L1 in 10 AWG");
    close(cure.cost.cable_replaced_m, 30.0 * 0.3048);
}

#[test]
fn a_cure_that_gives_a_new_run_the_fault_of_the_old_one_is_not_offered() {
    // Two conductors of 12 AWG a pole are too small to be paralleled (NFPA 70, 310.10(G)); each run would be so too.
    let text = chain_text("route: [S1/12, L1, L2, L3], slack: 100 %")
        .replace("conductor: 12 AWG,", "conductor: 12 AWG, parallel: 2,");
    let job = Job::new(&text);
    let faults = job.findings().iter().filter(|(rule, _)| rule == "loading/paralleled-conductors").count();
    assert_eq!(faults, 1, "{:?}", job.findings());
    for cure in job.remedies().cures {
        assert!(!cure.text.contains("R1-2"), "{}", cure.summary);
    }
}

#[test]
fn a_thicker_type_of_the_schedule_is_taken_with_the_resistance_of_its_maker() {
    // burial-10-2 of this maker has 1.5 ohm/kft, a loop of 30 ft 0.09 ohm. One segment in it leaves
    // 3 x 0.09 + 3 x 0.1188 = 0.6264 V, two 5 x 0.09 + 0.1188 = 0.5688 V = 4.74 %.
    let own = "burial-12-2: { conductor: 12 AWG,";
    let maker = "burial-10-2: { conductor: 10 AWG, resistance: 1.5 ohm/kft,";
    let text = chain_text(CHAIN);
    let line = text.lines().find(|line| line.contains(own)).expect("a cable type");
    let text = text.replace(line, &format!("{line}\n{}", line.replace(own, maker)));
    let remedies = Job::new(&text).remedies();
    let is = |cure: &&Cure| cure.sort == Sort::Conductor && cure.text.contains("cable: burial-10-2");
    let cure = remedies.cures.iter().find(is).unwrap_or_else(|| panic!("{:?}", remedies.cures));
    assert_eq!(cure.summary, "lay R1 from S1/12 to L2 in 10 AWG");
    close(number(cure, "loop of R1 from L1 to L2 then"), 0.09);
    close(number(cure, "drop at L3 after the change"), 4.74);
}

#[test]
fn another_tap_lifts_the_last_lamp_into_its_range() {
    // 12 - 0.7128 = 11.2872 V is below 11.5 V; from 13 V it is 12.2872 V, and 13 V without load is inside 15 V.
    let job = Job::new(&chain_text(CHAIN).replace("min: 11 V", "min: 11.5 V"));
    let cure = job.smallest("voltage/undervoltage", "L3");
    assert_eq!((cure.sort, cure.summary.as_str()), (Sort::Output, "connect R1 to output S1/13"));
    close(number(&cure, "voltage at L3 now"), 11.2872);
    close(number(&cure, "voltage at L3 after the change"), 12.2872);
    assert!(cure.text.contains("route: [S1/13, L1, L2, L3]"));
}

#[test]
fn a_tap_that_is_too_high_without_load_is_not_offered() {
    // The lamps may have 12.5 V at most: then the 13 V tap is no cure, and 10 AWG on 60 ft is:
    // 12 - (5 x 0.0744 + 0.1188) = 11.5092 V; on 30 ft alone 12 - 0.5796 = 11.4204 V is too little.
    let job = Job::new(&chain_text(CHAIN).replace("min: 11 V, max: 15 V", "min: 11.5 V, max: 12.5 V"));
    let remedies = job.remedies();
    assert!(remedies.cures.iter().all(|cure| cure.sort != Sort::Output), "{:?}", remedies.cures);
    let cure = job.smallest("voltage/undervoltage", "L3");
    close(number(&cure, "voltage at L3 after the change"), 11.5092);
    assert_eq!(cure.summary, "lay R1 from S1/12 to L2 in 10 AWG");
}

#[test]
fn a_star_tells_its_volts_and_its_cable() {
    // From the supply straight: L3 alone on 90 ft has 3 x 0.1188 = 0.3564 V of drop; 60 + 90 - 60 ft of cable more.
    let star = chain(CHAIN).remedies().cures.into_iter().find(|cure| cure.sort == Sort::Star).expect("a star");
    close(number(&star, "drop at L3 after the change"), 0.3564 / 12.0 * 100.0);
    close(star.cost.cable_added_m, (90.0_f64 * 0.3048 * 1e4).round() / 1e4);
    close(number(&star, "cable added"), star.cost.cable_added_m);
}

#[test]
fn the_far_part_gets_a_feed_of_its_own() {
    // L2 and L3 on a second run beside the first: L3 loses (2 x 2 + 1) x 0.1188 = 0.594 V on 60 + 30 ft. The least
    // cable is for L3 alone: 90 ft instead of the last 30 ft, 60 ft more, and 0.3564 V. Cut before L2 it is 60 ft
    // instead of 30 ft, 30 ft more; the lamps stand in a line, so that it lies in the trench of the first.
    let feed = chain(CHAIN).remedies().cures.into_iter().find(|cure| cure.sort == Sort::FeedBeside).expect("a feed");
    close(feed.cost.cable_added_m, (30.0_f64 * 0.3048 * 1e4).round() / 1e4);
    assert_eq!((feed.cost.parts_changed, feed.cost.trench_added_m), (2, 0.0));
    assert!(feed.text.contains("route: [S1/12, L1]"), "{}", feed.text);
    assert!(feed.text.contains("route: [S1/12, [30, 0], L2, L3]"), "{}", feed.text);
}

#[test]
fn stated_lengths_are_fed_in_the_same_trench() {
    let job = chain("route: [S1/12, L1, L2, L3], lengths: [30 ft, 30 ft, 30 ft]");
    let feed = job.remedies().cures.into_iter().find(|cure| cure.sort == Sort::FeedBeside).expect("a feed");
    close(feed.cost.cable_added_m, (30.0_f64 * 0.3048 * 1e4).round() / 1e4);
    assert_eq!(feed.cost.trench_added_m, 0.0);
    assert!(
        feed.text.contains("route: [S1/12, L2, L3]") && feed.text.contains("lengths: [60 ft, 30 ft]"),
        "{}",
        feed.text
    );
}

#[test]
fn the_next_rating_or_a_second_supply() {
    // Eleven lamps of 12 VA on 150 VA: the supply gives 12 V x 11 A = 132 VA, 88 %; at 80 % it takes 165 VA.
    let places: Vec<String> = (1..=11).map(|i| format!("[{i}, {}]", i % 2)).collect();
    let places: Vec<&str> = places.iter().map(String::as_str).collect();
    let runs = [
        run("R1", "route: [S1/12, L1, L2, L3, L4, L5], slack: 0 %"),
        run("R2", "route: [S1/12, L6, L7, L8, L9, L10, L11], slack: 0 %"),
    ];
    let job = Job::new(&plan("", &supply("S1", "[0, 0]"), &lamps(&places), &runs.join("\n")));
    let cure = job.smallest("loading/overloaded-supply", "S1");
    assert_eq!(cure.sort, Sort::Rating);
    close(number(&cure, "loading of S1 now"), 88.0);
    close(number(&cure, "least rating"), 165.0);
    close(number(&cure, "next rating"), 200.0);
    close(number(&cure, "loading of S1 after the change"), 66.0);
    // The five lamps of R1 are the smaller share: 60 VA go, 72 VA stay, 48 % of 150 VA.
    let split = job.remedies().cures.into_iter().find(|cure| cure.sort == Sort::Split).expect("a split");
    assert_eq!(split.summary, "set a second supply of its type beside S1 and connect R1 to it");
    close(number(&split, "nameplates that move"), 60.0);
    close(number(&split, "loading of S1 after the change"), 48.0);
    assert!(split.text.contains("{ id: S1-2, type: box-150") && split.text.contains("route: [S1-2/12, L1, L2"));
}

#[test]
fn a_supply_with_room_beside_takes_a_run() {
    // Ten lamps on S1: 120 VA would be 80 %, an eleventh makes it 88 %. S2 at the same place has nothing to do.
    let places: Vec<String> = (1..=11).map(|i| format!("[{i}, {}]", i % 2)).collect();
    let places: Vec<&str> = places.iter().map(String::as_str).collect();
    let runs = [
        run("R1", "route: [S1/12, L1, L2, L3, L4, L5], slack: 0 %"),
        run("R2", "route: [S1/12, L6, L7, L8, L9, L10, L11], slack: 0 %"),
    ];
    let supplies = [supply("S1", "[0, 0]"), supply("S2", "[0, 0]")].join("\n");
    let job = Job::new(&plan("", &supplies, &lamps(&places), &runs.join("\n")));
    let cure = job.smallest("loading/overloaded-supply", "S1");
    assert_eq!((cure.sort, cure.summary.as_str()), (Sort::Split, "connect R1 to S2/12"));
    close(number(&cure, "loading of S1 after the change"), 48.0);
    assert_eq!((cure.cost.cable_added_m, cure.cost.parts_changed), (0.0, 1));
}

#[test]
fn what_no_change_cures_is_said() {
    let job = Job::new(&plan(
        "",
        &supply("S1", "[0, 0]"),
        &lamps(&["[1500, 0]"]),
        &run("R1", "route: [S1/12, L1], slack: 0 %"),
    ));
    // 1500 ft of 3 AWG, five sizes on, still lose 2 x 0.245 x 1.5 x 1 A = 0.735 V, 6.1 %.
    let remedies = job.remedies();
    let uncured: Vec<&str> = remedies.uncured.iter().map(|u| u.finding.rule.as_str()).collect();
    assert!(uncured.contains(&"voltage/excess-drop"), "{uncured:?}, {:?}", remedies.cures);
}
