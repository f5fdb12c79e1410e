//! The text of a new plan: what is known as its lines, what is not as comments.

use super::Answers;
use lintern_core::layout::Catalogue;
use lintern_core::plan::additions::flow_text;
use lintern_core::plan::model::OutputCurrent;

/// Names of types that are listed before the rest is left to the schedule.
const SHOWN: usize = 12;

/// A new plan.
pub struct Draft {
    /// Its text.
    pub text: String,
    /// What is still to be decided: the field, and what it is.
    pub open: Vec<(String, String)>,
}

/// The plan that the answers make, with the types that are at hand.
pub fn plan(answers: &Answers, catalogue: &Catalogue) -> Draft {
    let mut draft = Draft { text: String::new(), open: Vec::new() };
    draft.line("# Lines with `decide:` name what is still to be decided; take them away as you go.");
    draft.line("plan: 1");
    project(&mut draft, answers);
    types(&mut draft, answers, catalogue);
    site(&mut draft, answers);
    elements(&mut draft, answers);
    work(&mut draft);
    draft
}

impl Draft {
    fn line(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    /// A comment for something that is open.
    fn decide(&mut self, indent: &str, field: &str, what: &str) {
        self.line(&format!("{indent}# decide: {field}: {what}"));
        self.open.push((field.to_owned(), what.to_owned()));
    }
}

fn project(draft: &mut Draft, answers: &Answers) {
    let text = |answer: &Option<String>| answer.as_deref().map(flow_text);
    let fields = [
        ("name", text(&answers.name), "what the job is called"),
        ("designer", text(&answers.designer), "who draws the plan"),
        ("country", text(&answers.country), "where the job is, like US; one-call law and code depend on it"),
        ("region", text(&answers.region), "the state or province, like US-OR; the notice before digging depends on it"),
        ("authority", text(&answers.authority), "the authority having jurisdiction"),
        ("code", answers.code.map(|code| code.to_string()), "the code and edition, like nec-2023; limits depend on it"),
        ("occupancy", answers.occupancy.map(|use_| use_.to_string()), "like one-family-dwelling; limits depend on it"),
    ];
    let known = fields.iter().any(|(_, value, _)| value.is_some());
    draft.line(if known { "project:" } else { "# project:" });
    for (key, value, what) in fields {
        match value {
            Some(value) => draft.line(&format!("  {key}: {value}")),
            None => draft.decide("  ", &format!("project.{key}"), what),
        }
    }
}

fn types(draft: &mut Draft, answers: &Answers, catalogue: &Catalogue) {
    if !answers.schedules.is_empty() {
        let schedules: Vec<String> = answers.schedules.iter().map(|schedule| flow_text(schedule)).collect();
        draft.line(&format!("use: [{}]", schedules.join(", ")));
        at_hand(draft, answers, catalogue);
        return;
    }
    draft.decide("", "schedule", "the types that are installed, from their data sheets, or `use` of a shared schedule");
    let volts = answers.volts.map_or_else(|| "VOLTS".to_owned(), |volts| format!("{volts} V"));
    let current = answers.current.map_or_else(|| "CURRENT".to_owned(), |current| current.to_string());
    for line in [
        "schedule:".to_owned(),
        "  luminaires:".to_owned(),
        format!("    TYPE: {{ power: WATTS, apparent-power: VA, nominal: {volts}, input: {{ min: VOLTS, max: VOLTS }}, ip: [CODE], location: wet }}"),
        "  cables:".to_owned(),
        "    TYPE: { conductor: SIZE, stranding: stranded, kind: low-voltage-landscape, direct-burial: true, insulation: TEMPERATURE }".to_owned(),
        "  supplies:".to_owned(),
        format!("    TYPE: {{ rating: VA, output-current: {current}, outputs: [{{ name: NAME, volts: {volts}, limit: AMPS }}], input-volts: VOLTS }}"),
    ] {
        draft.line(&format!("# {line}"));
    }
}

/// Names the types that the schedules bring.
fn at_hand(draft: &mut Draft, answers: &Answers, catalogue: &Catalogue) {
    let list = |names: Vec<&str>| {
        let more = names.len().saturating_sub(SHOWN);
        let shown = names.iter().take(SHOWN).copied().collect::<Vec<_>>().join(", ");
        if more > 0 { format!("{shown} and {more} more") } else { shown }
    };
    let fits = |output: &lintern_core::layout::Output| {
        answers.volts.is_none_or(|volts| (output.volts.si() - f64::from(volts)).abs() < 1e-9)
    };
    let supplies = catalogue.supplies.iter().filter(|supply| {
        supply.outputs.iter().any(fits) && answers.current.is_none_or(|current| current == supply.output_current)
    });
    let supplies: Vec<&str> = supplies.map(|supply| supply.name.0.as_str()).collect();
    let of = match (answers.volts, answers.current) {
        (Some(volts), Some(OutputCurrent::Ac)) => format!(" of {volts} V ac"),
        (Some(volts), Some(OutputCurrent::Dc)) => format!(" of {volts} V dc"),
        (Some(volts), None) => format!(" of {volts} V"),
        (None, Some(current)) => format!(" of {current}"),
        (None, None) => String::new(),
    };
    match supplies.is_empty() {
        true => draft.decide("", "schedule.supplies", &format!("the schedule has no supply type{of}")),
        false => draft.line(&format!("# supply types{of} at hand: {}", list(supplies))),
    }
    let cables: Vec<&str> = catalogue.cables.iter().map(|cable| cable.name.0.as_str()).collect();
    if !cables.is_empty() {
        draft.line(&format!("# cable types at hand: {}", list(cables)));
    }
}

fn site(draft: &mut Draft, answers: &Answers) {
    let known = answers.grid.is_some() || answers.origin.is_some();
    draft.line(if known { "site:" } else { "# site:" });
    match answers.grid {
        Some(grid) => draft.line(&format!("  grid: {grid}")),
        None => draft.decide("  ", "site.grid", "the unit of coordinates, ft or m"),
    }
    match answers.origin {
        Some(origin) => draft
            .line(&format!("  origin: {{ latitude: {}, longitude: {} }}", origin.latitude_deg, origin.longitude_deg)),
        None => draft.decide("  ", "site.origin", "where [0, 0] is on the earth, for surveys and as-built files"),
    }
    draft.decide(
        "  ",
        "site.zones",
        "lawns, drives, buildings, water: `lintern import geojson SURVEY --into PLAN` takes them from a survey",
    );
    draft.decide("  ", "site.utilities", "buried lines of others, as they are marked");
}

fn elements(draft: &mut Draft, answers: &Answers) {
    let volts = answers.volts.map_or_else(String::new, |volts| format!(" for {volts} V"));
    draft.decide("", "supplies", &format!("where they stand, and the circuits that feed them{volts}"));
    draft.line("# supplies:");
    draft.line("#   - { id: S1, type: TYPE, at: [0, 0], mount-height: HEIGHT, feed: { circuit: NAME, breaker: AMPS, gfci: true } }");
    draft.decide(
        "",
        "luminaires",
        "types and places: `lintern import csv SCHEDULE --into PLAN` takes them from a schedule",
    );
    draft.line("# luminaires:");
    draft.line("#   - { id: L1, type: TYPE, at: [0, 0], placement: in-ground, splice: TYPE }");
    draft.decide("", "runs", "`lintern size PLAN` proposes them for placed luminaires");
    draft.line("# runs:");
    draft.line("#   - { id: R1, cable: TYPE, route: [S1, L1], method: direct-burial, cover: DEPTH }");
}

fn work(draft: &mut Draft) {
    draft.decide(
        "",
        "dig",
        "the start, how the ground is opened, and the locate request; `lintern steps PLAN` counts the notice",
    );
    draft.line("# dig: { ticket: { number: NUMBER, called: DATE, expires: DATE, responses: none }, starts: DATE, method: hand, private-lines: unknown, white-lined: false }");
    draft.decide("", "records", "the night mock-up, the test before backfill, and what is handed over");
    draft.line("# records: { mock-up: planned, test-before-backfill: planned, as-built: planned, commissioning: planned, labels: planned, cut-sheets: planned, maintenance: planned }");
}
