//! One rule that behaves, and one for each way of misbehaving, so that the tests of the sandbox run
//! real modules.

use lintern_rule::prelude::*;

const WELL_BEHAVED: Rule = Rule {
    settings: &[Setting::number("minimum", 10.5, "V", Tighter::Higher, "lowest voltage that passes")],
    citations: &[Citation::nec(Code::Nec2023, "411.6", Confidence::Confirmed)],
    check: well_behaved,
    ..misbehaving("hostile/well-behaved", well_behaved)
};
const ENDLESS_LOOP: Rule = misbehaving("hostile/endless-loop", |_, _, _| {
    let mut turns = 0_u64;
    loop {
        turns = std::hint::black_box(turns.wrapping_add(1));
    }
});
const MEMORY_EATER: Rule = misbehaving("hostile/memory-eater", |_, _, _| {
    let mut blocks: Vec<Vec<u8>> = Vec::new();
    loop {
        blocks.push(std::hint::black_box(vec![1; 1 << 20]));
    }
});
const UNREACHABLE: Rule = misbehaving("hostile/unreachable", |_, _, _| {
    #[cfg(target_arch = "wasm32")]
    core::arch::wasm32::unreachable();
});
const PANIC: Rule = misbehaving("hostile/panic", |_, _, _| panic!("the 13th cable is missing"));
const DEEP_RECURSION: Rule = misbehaving("hostile/deep-recursion", |_, _, report| {
    report.checked(recurse(1).to_string());
});
const MILLION_FINDINGS: Rule = misbehaving("hostile/million-findings", |_, _, report| {
    for _ in 0..1_000_000 {
        report.finding("").add();
    }
});
const MANY_FINDINGS: Rule = misbehaving("hostile/many-findings", |_, _, report| {
    for _ in 0..20_000 {
        report.finding("").add();
    }
});
const HUGE_MESSAGE: Rule = misbehaving("hostile/huge-message", |_, _, report| {
    report.finding("L1").message("x".repeat(1 << 20)).add();
});
const NOT_A_NUMBER: Rule = misbehaving("hostile/not-a-number", |_, _, report| {
    report.finding("L1").message("x").measured(f64::NAN, "V").add();
});

const HOST_CALL_STORM: Rule = misbehaving("hostile/host-call-storm", |_, _, report| {
    loop {
        std::hint::black_box(lintern_rule::plan::luminaires());
        if std::hint::black_box(false) {
            report.checked("");
        }
    }
});
/// Moves the cursor, clears the screen, draws a link, turns the direction of writing, ends the line.
const NASTY: &str = "\u{1b}[2J\u{1b}]8;;file:///etc\u{7}x\u{202e}\0\r\n::error::forged\u{9b}31m<b>";
const ESCAPES: Rule = misbehaving("hostile/escapes", |_, _, report| {
    report.finding("L1").message(NASTY).help(NASTY).measured(1.0, NASTY).work(NASTY, 1.0, NASTY, NASTY).add();
});
const PANIC_WITH_ESCAPES: Rule = misbehaving("hostile/panic-with-escapes", |_, _, _| panic!("{NASTY}"));
const MADE_UP_FIELD: Rule = misbehaving("hostile/made-up-field", |_, _, report| {
    report.finding("L1").field("type.colour").message("x").add();
});
const MADE_UP_SUBJECT: Rule = misbehaving("hostile/made-up-subject", |_, _, report| {
    report.undetermined(NASTY, ["nothing"]);
});

const fn misbehaving(id: &'static str, check: fn(&Input, &Settings, &mut Report)) -> Rule {
    Rule { id, title: "A test", level: Level::Advice, waivable: true, settings: &[], citations: &[], doc: "", check }
}

fn well_behaved(input: &Input, settings: &Settings, report: &mut Report) {
    let minimum = settings.number("minimum");
    for (luminaire, state) in input.luminaires().iter().zip(input.judged().luminaires()) {
        match state.node.volts {
            None => report.undetermined(&luminaire.id, ["a feed"]),
            Some(volts) if volts >= minimum => report.checked(&luminaire.id),
            Some(volts) => report
                .finding(&luminaire.id)
                .field("type.input.min")
                .message(format!("{} gets {volts:.2} V of {minimum} V", input.luminaire_type(luminaire).name))
                .measured(volts, "V")
                .limit(minimum, "V")
                .related(state.node.fed_by.iter().map(|&output| input.output_name(output)))
                .help("shorten the run")
                .add(),
        }
    }
}

#[expect(unconditional_recursion, reason = "that is the misbehaviour")]
fn recurse(depth: u64) -> u64 {
    let held = std::hint::black_box([depth; 16]);
    recurse(depth + 1) + std::hint::black_box(held)[3]
}

lintern_rule::module! {
    name: "hostile",
    // After eight failures on a plan the others are not run, so what fails comes last.
    rules: [
        WELL_BEHAVED, ESCAPES, MADE_UP_FIELD, MADE_UP_SUBJECT, MANY_FINDINGS, HUGE_MESSAGE, NOT_A_NUMBER,
        PANIC_WITH_ESCAPES, HOST_CALL_STORM, ENDLESS_LOOP, MEMORY_EATER, UNREACHABLE, PANIC, DEEP_RECURSION,
        MILLION_FINDINGS,
    ],
}
