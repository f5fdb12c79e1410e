//! Too large a share of the supply's voltage is lost on the way to a luminaire.

use crate::support::{Cables, missing_voltage};
use lintern_rule::compare::{above, plain, shown};
use lintern_rule::facts::NodeState;
use lintern_rule::outcome::BasisKind;
use lintern_rule::prelude::*;

/// IEC 60364-7-715 and BS 7671, 715.525: from the transformer's terminals to the farthest luminaire, % of the nominal
/// voltage.
const CODE_LIMIT_PERCENT: f64 = 5.0;

pub const RULE: Rule = Rule {
    id: "voltage/excess-drop",
    title: "The voltage drop from the supply to a luminaire is too large",
    level: Level::Advice,
    waivable: true,
    settings: &[Setting::number(
        "limit",
        5.0,
        "%",
        Tighter::Lower,
        "largest drop from the output's volts without load to a luminaire, of the luminaire's nominal voltage; 3 % where colour or brightness is critical",
    )],
    citations: &[
        advisory(Code::Nec2017, "2017", "210.19(A)(1) Informational Note No. 4", Confidence::Memory),
        advisory(Code::Nec2020, "2020", "210.19(A)(1) Informational Note No. 3", Confidence::Confirmed),
        advisory(Code::Nec2023, "2023", "210.19 Informational Note", Confidence::Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
        Citation::confirmed(Code::Iec60364, Basis::code("IEC 60364-7-715", "2011", "715.525")),
        Citation::confirmed(Code::Bs7671, Basis::code("BS 7671", "2018", "715.525")),
    ],
    doc: include_str!("doc.md"),
    check,
};

/// NFPA 70 has no figure for the secondary of a lighting supply. Its informational notes advise 3 % on a branch circuit
/// and 5 % with the feeder; the trade reads them across to the secondary. So they stand behind a practice, not a rule.
const fn advisory(code: Code, edition: &'static str, section: &'static str, confidence: Confidence) -> Citation {
    let basis =
        Basis { kind: BasisKind::Practice, document: Some("NFPA 70"), edition: Some(edition), section: Some(section) };
    Citation { code, basis, confidence }
}

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    let code_has_limit = matches!(input.project().code, Some(Code::Iec60364 | Code::Bs7671));
    let source = if code_has_limit { "715.525, from the terminals" } else { "common practice, 5 % of nominal" };
    let governing =
        Limit::new("largest drop", CODE_LIMIT_PERCENT, "%", Tighter::Lower, source).given(settings, "limit");
    let limit = governing.value();
    let cables = Cables::new(input);
    for (index, (luminaire, state)) in input.luminaires().iter().zip(input.judged().luminaires()).enumerate() {
        let id = &luminaire.id;
        let nominal = input.luminaire_type(luminaire).nominal_v;
        let (Some(drop), Some(volts), Some(feed)) = (state.node.drop_percent, state.node.volts, state.node.feed_volts)
        else {
            report.undetermined(id, missing_voltage(&state.node));
            continue;
        };
        let compared = governing.compare(drop).of(Quantity::LuminaireDropPercent(index as u32));
        if compared.passes() {
            report.passes(id, &compared);
            continue;
        }
        let in_cables = terminal_volts(input, &state.node).map(|terminal| (terminal - volts) / nominal * 100.0);
        let breaks_code = code_has_limit && in_cables.is_some_and(|drop| above(drop, CODE_LIMIT_PERCENT));
        let (level, basis) = match (breaks_code, code_has_limit) {
            (true, _) => (Level::Violation, RULE.basis(input.project().code)),
            // Inside the code's limit, but not inside the company's.
            (false, true) => (Level::Advice, Basis::PRACTICE),
            (false, false) => (Level::Advice, Basis { kind: BasisKind::Practice, ..RULE.basis(input.project().code) }),
        };
        let draft = report
            .finding(id)
            .level(level)
            .basis(basis)
            .message(format!("{} % of {id}'s voltage is lost on the way; the limit is {} %", shown(drop, limit), plain(limit)))
            .breaks(&compared)
            .work("nominal voltage of the luminaire", nominal, "V", "plan")
            .work("allowed drop", nominal * limit / 100.0, "V", "limit x nominal")
            .work("drop", feed - volts, "V", "output without load - luminaire")
            .help("use a thicker cable, a shorter route, a feed nearer to the middle of the group, or a higher system voltage");
        cables.work(draft, index, state).add();
    }
}

/// The highest terminal voltage, under load, of the outputs that feed a node.
fn terminal_volts(input: &Input, state: &NodeState) -> Option<f64> {
    let terminals = state
        .fed_by
        .iter()
        .filter_map(|(supply, output)| input.judged().supplies()[*supply as usize].outputs[*output as usize].volts);
    terminals.max_by(f64::total_cmp)
}
