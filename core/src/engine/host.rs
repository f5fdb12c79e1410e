//! What a running module can reach: the plan, the facts, and a way to say that it panicked.
//!
//! The types come from the interface's WIT files. The functions are written out instead of generated:
//! a generated one would clone each list for each module, these share it.

use super::charge::{self, Items};
use super::convert::{CaseFacts, Records};
use super::{describe, expressions, limits};
use std::sync::Arc;
use wasmtime::component::{Linker, Lower};
use wasmtime::{ResourceLimiter, StoreContextMut, Trap};

mod bindings {
    wasmtime::component::bindgen!({
        world: "rule-module",
        path: "wit/v1.0",
        additional_derives: [serde::Serialize],
    });
}

pub(super) use bindings::RuleModulePre;

/// The interface's types, flat.
pub(super) mod wit {
    pub use super::bindings::lintern::rules::facts::*;
    pub use super::bindings::lintern::rules::plan::*;
    pub use super::bindings::lintern::rules::report::*;
    // Named, since the other interfaces alias them.
    pub use super::bindings::lintern::rules::types::{Code, Length, Level, Measure, NodeRef, Point};
}

/// The state of one instance.
pub(super) struct State {
    /// The plan; none while a module describes itself.
    pub input: Option<Arc<Records>>,
    /// What the module said before it panicked.
    pub panic: Option<String>,
    /// Whether it was refused memory.
    pub refused_memory: bool,
    /// The rules of a file of expressions, for the module that runs them.
    pub expressions: Option<Arc<expressions::Rules>>,
    /// What that module says is wrong with them.
    pub mistakes: Vec<expressions::wit::Mistake>,
}

impl State {
    pub fn new(input: Option<Arc<Records>>) -> Self {
        Self { input, panic: None, refused_memory: false, expressions: None, mistakes: Vec::new() }
    }
}

impl ResourceLimiter for State {
    fn memory_growing(&mut self, _current: usize, desired: usize, _maximum: Option<usize>) -> wasmtime::Result<bool> {
        let granted = desired <= limits::MEMORY_BYTES;
        self.refused_memory |= !granted;
        Ok(granted)
    }

    fn table_growing(&mut self, _current: usize, desired: usize, _maximum: Option<usize>) -> wasmtime::Result<bool> {
        let granted = desired <= limits::TABLE_ENTRIES;
        self.refused_memory |= !granted;
        Ok(granted)
    }

    fn instances(&self) -> usize {
        limits::PARTS as usize
    }

    fn tables(&self) -> usize {
        limits::TABLES as usize
    }

    fn memories(&self) -> usize {
        limits::MEMORIES as usize
    }
}

/// The imports that modules may have, and no others. The engine links what was built for an earlier version of the same
/// major number.
pub(super) fn linker(engine: &wasmtime::Engine, version: &str) -> wasmtime::Result<Linker<State>> {
    let mut linker = Linker::new(engine);
    let interface = |name: &str| format!("lintern:rules/{name}@{version}");

    let mut plan = linker.instance(&interface("plan"))?;
    let mut list = Provide { instance: &mut plan };
    list.plan("project", |records| records.project.clone())?;
    list.plan("luminaire-types", |records| records.luminaire_types.clone())?;
    list.plan("luminaires", |records| records.luminaires.clone())?;
    list.plan("splice-types", |records| records.splice_types.clone())?;
    list.plan("junctions", |records| records.junctions.clone())?;
    list.plan("supply-types", |records| records.supply_types.clone())?;
    list.plan("supplies", |records| records.supplies.clone())?;
    list.plan("cable-types", |records| records.cable_types.clone())?;
    list.plan("runs", |records| records.runs.clone())?;
    list.plan("zones", |records| records.zones.clone())?;
    list.plan("utilities", |records| records.utilities.clone())?;
    list.plan("dig", |records| records.dig.clone())?;
    list.plan("records", |records| records.records.clone())?;
    list.plan("ground", |records| records.ground.clone())?;
    list.plan("grid", |records| records.grid.clone())?;

    let mut facts = linker.instance(&interface("facts"))?;
    let mut list = Provide { instance: &mut facts };
    list.facts("luminaires", |facts| facts.luminaires.clone())?;
    list.facts("junctions", |facts| facts.junctions.clone())?;
    list.facts("segments", |facts| facts.segments.clone())?;
    list.facts("supplies", |facts| facts.supplies.clone())?;
    list.facts("unsolved", |facts| facts.unsolved.clone())?;
    list.plan("supply-places", |records| records.supply_places.clone())?;
    list.plan("junction-places", |records| records.junction_places.clone())?;
    list.plan("luminaire-places", |records| records.luminaire_places.clone())?;
    list.plan("run-pieces", |records| records.run_pieces.clone())?;
    list.plan("as-of", |records| records.as_of.clone())?;
    list.plan("calendar", |records| records.calendar.clone())?;
    list.plan("readings", |records| records.readings.clone())?;

    linker.instance(&interface("diag"))?.func_wrap(
        "panicked",
        |mut store: StoreContextMut<'_, State>, (message,): (String,)| {
            take_fuel(&mut store, charge::CALL + charge::BYTE * message.len() as u64)?;
            store.data_mut().panic = Some(describe::cut(message));
            Ok(())
        },
    )?;
    Ok(linker)
}

/// Adds functions that hand out parts of the plan.
struct Provide<'a, 'b> {
    instance: &'a mut wasmtime::component::LinkerInstance<'b, State>,
}

impl Provide<'_, '_> {
    fn plan<T>(&mut self, name: &str, part: fn(&Records) -> Arc<T>) -> wasmtime::Result<()>
    where
        T: Lower + Items + Send + Sync + ?Sized + 'static,
    {
        self.instance.func_wrap(name, move |mut store: StoreContextMut<'_, State>, ()| {
            let part = part(records(store.data())?);
            take_fuel(&mut store, charge::CALL + charge::ITEM * part.items())?;
            Ok((part,))
        })
    }

    fn facts<T>(&mut self, name: &str, part: fn(&CaseFacts) -> Arc<T>) -> wasmtime::Result<()>
    where
        T: Lower + Items + Send + Sync + ?Sized + 'static,
    {
        self.instance.func_wrap(name, move |mut store: StoreContextMut<'_, State>, (case,): (wit::TemperatureCase,)| {
            let records = records(store.data())?;
            let part = part(match case {
                wit::TemperatureCase::Judged => &records.judged,
                wit::TemperatureCase::Soil => &records.soil,
            });
            take_fuel(&mut store, charge::CALL + charge::ITEM * part.items())?;
            Ok((part,))
        })
    }
}

/// Takes fuel for what the host does for a module; without enough the module is stopped as by its own work.
fn take_fuel(store: &mut StoreContextMut<'_, State>, fuel: u64) -> wasmtime::Result<()> {
    match store.get_fuel()?.checked_sub(fuel) {
        Some(left) => store.set_fuel(left),
        None => {
            store.set_fuel(0)?;
            Err(Trap::OutOfFuel.into())
        }
    }
}

fn records(state: &State) -> wasmtime::Result<&Records> {
    state.input.as_deref().ok_or_else(|| wasmtime::Error::msg("it asked for the plan, which it may not depend on"))
}
