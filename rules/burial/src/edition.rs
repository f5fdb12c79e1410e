//! What depends on the code: whether it is an edition of NFPA 70, and how binding its Chapter 3 is for a circuit.

use lintern_rule::plan::Listing;
use lintern_rule::prelude::*;

/// Whether a code is an edition of NFPA 70; `None` when the plan names no code.
pub fn is_nec(input: &Input) -> Option<bool> {
    input.project().code.map(|code| !matches!(code, Code::Iec60364 | Code::Bs7671))
}

/// How binding 300.5 of NFPA 70 is for a run, and the authority to name with it.
///
/// Class 2 circuits keep to Article 725, which takes over only those sections of Article 300 that it names
/// (725.3, confirmed for 2017); of 300.5 it names paragraph (B) alone. Authorities ask for its cover all the same, so
/// there it is advice. Whether the 2026 edition keeps figures and sections is not confirmed, so there a person is asked
/// to.
pub fn binding(input: &Input, circuit: &crate::circuit::Circuit, rule: &Rule) -> (Level, Basis) {
    let code = input.project().code;
    if circuit.listing == Some(Listing::Class2) {
        return (Level::Advice, Basis::PRACTICE);
    }
    let level = if code == Some(Code::Nec2026) { Level::Reminder } else { Level::Violation };
    (level, rule.basis(code))
}

/// A section that the editions 2017, 2020 and 2023 of NFPA 70 have under the same number; without the number for 2026,
/// which is not confirmed.
pub fn section(code: Code, section: &'static str) -> Basis {
    match code {
        Code::Nec2017 => Basis::code("NFPA 70", "2017", section),
        Code::Nec2020 => Basis::code("NFPA 70", "2020", section),
        Code::Nec2023 => Basis::code("NFPA 70", "2023", section),
        Code::Nec2026 => Basis { section: None, ..Basis::code("NFPA 70", "2026", section) },
        Code::Iec60364 | Code::Bs7671 => Basis::PRACTICE,
    }
}
