//! Codes, feeds and wording as several rules of this topic need them.

use lintern_rule::plan::{OutputCurrent, Run, SupplyType};
use lintern_rule::prelude::*;

/// The two families of codes: they cut the surroundings of water in different ways.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Family {
    /// NFPA 70: distances from the water.
    Nec,
    /// IEC 60364 and BS 7671: zones around the basin.
    Iec,
}

/// The family of the plan's code; `None` when the plan names no code.
pub fn family(input: &Input) -> Option<Family> {
    input.project().code.map(|code| match code {
        Code::Iec60364 | Code::Bs7671 => Family::Iec,
        Code::Nec2017 | Code::Nec2020 | Code::Nec2023 | Code::Nec2026 => Family::Nec,
    })
}

/// The level of a requirement that is confirmed for the editions before 2026 and not for that one.
pub fn level(input: &Input, confirmed: Level) -> Level {
    match input.project().code {
        Some(Code::Nec2026) => Level::Reminder,
        _ => confirmed,
    }
}

/// The outputs, as (supply, output), that feed a node.
pub fn feeds(input: &Input, node: NodeRef) -> Vec<(u32, u32)> {
    match node {
        NodeRef::Output(output) => vec![output],
        other => input.judged().node(other).map(|state| state.fed_by.clone()).unwrap_or_default(),
    }
}

/// The outputs that feed a run, in the order of the plan.
pub fn run_feeds(input: &Input, run: &Run) -> Vec<(u32, u32)> {
    let nodes = run.segments.iter().flat_map(|segment| [segment.start, segment.end]);
    let mut outputs: Vec<(u32, u32)> = nodes.flat_map(|node| feeds(input, node)).collect();
    outputs.sort_unstable();
    outputs.dedup();
    outputs
}

/// The supplies behind outputs, each once.
pub fn supplies(outputs: &[(u32, u32)]) -> Vec<u32> {
    let mut supplies: Vec<u32> = outputs.iter().map(|(supply, _)| *supply).collect();
    supplies.sort_unstable();
    supplies.dedup();
    supplies
}

/// The volts of an output without load, and its type.
pub fn output(input: &Input, (supply, output): (u32, u32)) -> (f64, &SupplyType) {
    let kind = input.supply_type(&input.supplies()[supply as usize]);
    (kind.outputs[output as usize].volts, kind)
}

/// `AC` or `DC`.
pub fn current(kind: &SupplyType) -> &'static str {
    match kind.current {
        OutputCurrent::Ac => "AC",
        OutputCurrent::Dc => "DC",
    }
}

/// The missing input of a node that no output feeds.
pub const NO_FEED: &str = "a feed";

/// Words as a sentence lists them: `a`, `a and b`, `a, b and c`.
pub fn sentence_list(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [head @ .., last] => format!("{} and {last}", head.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_list_reads_as_a_sentence() {
        let words: Vec<String> = ["a", "b", "c"].map(str::to_owned).to_vec();
        assert_eq!(sentence_list(&words), "a, b and c");
        assert_eq!((sentence_list(&words[..2]), sentence_list(&words[..1])), ("a and b".into(), "a".into()));
        assert_eq!(sentence_list(&[]), "");
    }
}
