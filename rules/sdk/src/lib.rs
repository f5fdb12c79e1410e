//! What an author of lintern rules depends on.
//!
//! A rule module is a `cdylib` crate with rules in it. lintern hands it the resolved plan
//! ([`plan`]) and what was computed from it ([`facts`]); the module answers with findings. It has
//! no files, no network and no clock. A whole module with one rule:
//!
//! ```
//! use lintern_rule::prelude::*;
//!
//! const DIM: Rule = Rule {
//!     id: "house/dim-lamp",
//!     title: "A luminaire gets less than our house minimum",
//!     level: Level::Advice,
//!     waivable: true,
//!     settings: &[Setting::number("minimum", 10.8, "V", Tighter::Higher, "lowest voltage that we accept")],
//!     citations: &[],
//!     doc: "Below 10.8 V our lamps look yellow.",
//!     check: dim_lamp,
//! };
//!
//! fn dim_lamp(input: &Input, settings: &Settings, report: &mut Report) {
//!     let minimum = Limit::new("lowest voltage", 10.8, "V", Tighter::Higher, "house standard").given(settings, "minimum");
//!     for (index, (luminaire, state)) in input.luminaires().iter().zip(input.judged().luminaires()).enumerate() {
//!         let Some(volts) = state.node.volts else {
//!             report.undetermined(&luminaire.id, ["a feed"]);
//!             continue;
//!         };
//!         let compared = minimum.compare(volts).of(Quantity::LuminaireVolts(index as u32));
//!         if compared.passes() {
//!             report.passes(&luminaire.id, &compared);
//!         } else {
//!             report
//!                 .finding(&luminaire.id)
//!                 .breaks(&compared)
//!                 .message(format!("{} gets {volts:.2} V, less than {} V", luminaire.id, minimum.value()))
//!                 .help("use a thicker cable or a shorter run")
//!                 .add();
//!         }
//!     }
//! }
//!
//! lintern_rule::module! { name: "house", rules: [DIM] }
//! # fn main() {}
//! ```
//!
//! Build it with `cargo build --release --target wasm32-unknown-unknown`: lintern loads the
//! resulting `.wasm` as it is.
//!
//! What lintern counts on:
//! - **Nothing passes by silence.** For every element that the rule speaks of, say
//!   [`Report::checked`], [`Report::undetermined`] or [`Report::finding`].
//! - **A number is held against a [`Limit`].** [`Limit::compare`] tells whether it passes, [`Report::passes`] and
//!   [`FindingDraft::breaks`] report it, and lintern shows by how much, and what length of cable that turns on.
//! - **Units are in the names.** A [`Length`] also keeps what the plan wrote: compare it in its own
//!   system with that system's column of a table ([`Length::inches`], [`Length::millimetres`]).
//! - **A rule depends on nothing but its input**, so the same plan always gives the same answer.
//!
//! The rules run natively too: build an [`Input`] from [`Given`] lists ([`blank`] has records to
//! start from) and call [`Module::check`].

#[cfg(not(feature = "json"))]
#[doc(hidden)]
#[allow(missing_docs, reason = "generated from the documented WIT files")]
pub mod bindings {
    wit_bindgen::generate!({
        world: "rule-module",
        path: "../../core/wit/v1.0",
        pub_export_macro: true,
        default_bindings_module: "lintern_rule::bindings",
        additional_derives: [PartialEq],
    });
}

// The same with JSON, for running rules natively on what lintern would hand them.
#[cfg(feature = "json")]
#[doc(hidden)]
#[allow(missing_docs, reason = "generated from the documented WIT files")]
pub mod bindings {
    wit_bindgen::generate!({
        world: "rule-module",
        path: "../../core/wit/v1.0",
        pub_export_macro: true,
        default_bindings_module: "lintern_rule::bindings",
        additional_derives: [PartialEq, serde::Serialize, serde::Deserialize],
    });
}

pub mod blank;
pub mod compare;
mod comparison;
pub mod date;
mod input;
mod length;
mod limit;
mod module;
mod report;
mod rule;
mod settings;
mod told;

pub use bindings::lintern::rules::{facts, plan, types};
pub use comparison::{Comparison, Quantity, RunCurrent};
pub use facts::TemperatureCase;
pub use input::{Facts, Given, GivenFacts, Input, SegmentPieces};
pub use limit::Limit;
pub use module::Module;
pub use report::{FindingDraft, Report};
pub use rule::{Basis, Citation, Rule, Setting, SettingDefault, Tighter};
pub use settings::Settings;
pub use types::{Code, Length, Level, Measure, NodeRef, Point};

/// What leaves a module, as the interface has it; tests of rules read it.
pub mod outcome {
    pub use crate::bindings::lintern::rules::report::{
        AppliedLimit, Basis, BasisKind, Citation, Confidence, Finding, Layer, LimitLayer, Margin, ModuleDescription,
        Quantity, RuleDescription, RuleRequest, RuleResult, RunCurrent, Setting as SettingGiven, SettingDescription,
        SettingValue, Tighter, Undetermined, WorkLine,
    };
}

/// Everything that a rule usually names.
pub mod prelude {
    pub use crate::outcome::Confidence;
    pub use crate::{
        Basis, Citation, Code, Comparison, Facts, Given, Input, Length, Level, Limit, NodeRef, Quantity, Report, Rule,
        Setting, Settings, TemperatureCase, Tighter,
    };
}

/// Makes the crate a rule module: `module! { name: "house", rules: [DIM_LAMP, LOOSE_STAKE] }`, or of several crates
/// with [`rules!`] in them: `module! { name: "house", of: [house_voltage::MODULE, house_burial::MODULE] }`.
///
/// It defines `MODULE`, through which the rules also run natively, and, when the crate is built for
/// WASM, the exports that lintern calls.
#[macro_export]
macro_rules! module {
    { name: $name:literal, rules: [$($rule:path),+ $(,)?] $(,)? } => {
        $crate::rules! { name: $name, rules: [$($rule),+] }
        $crate::exports! {}
    };
    { name: $name:literal, of: [$($part:path),+ $(,)?] $(,)? } => {
        /// The rules of this module.
        pub const MODULE: $crate::Module = $crate::Module {
            name: $name,
            version: env!("CARGO_PKG_VERSION"),
            rules: &$crate::Module::joined::<{ 0 $(+ $part.rules.len())+ }>(&[$($part),+]),
        };
        $crate::exports! {}
    };
}

/// Defines `MODULE` with the rules of a crate, as a part of a module that another crate makes.
#[macro_export]
macro_rules! rules {
    { name: $name:literal, rules: [$($rule:path),+ $(,)?] $(,)? } => {
        /// The rules of this module.
        pub const MODULE: $crate::Module = $crate::Module {
            name: $name,
            version: env!("CARGO_PKG_VERSION"),
            rules: &[$(&$rule),+],
        };
    };
}

#[doc(hidden)]
#[macro_export]
macro_rules! exports {
    {} => {
        #[cfg(target_arch = "wasm32")]
        mod lintern_exports {
            struct Exports;
            impl $crate::bindings::Guest for Exports {
                fn describe() -> $crate::outcome::ModuleDescription {
                    super::MODULE.describe_to_host()
                }
                fn check(rules: Vec<$crate::outcome::RuleRequest>) -> Vec<$crate::outcome::RuleResult> {
                    super::MODULE.check_for_host(&rules)
                }
            }
            $crate::bindings::export!(Exports with_types_in $crate::bindings);
        }
    };
}
