//! Files of expressions as modules: the generic module is compiled once, and each file gives it other rules.

use super::error::{ModuleError, Problem, chain, stopped};
use super::host::{RuleModulePre, State};
use super::inspect::inspect_with;
use super::module::{Engine, Module, store};
use super::{describe, expression_module, limits};
use crate::expression::ExpressionFile;
use crate::plan::Diagnostic;
use std::sync::Arc;
use wasmtime::StoreContextMut;
use wasmtime::component::Linker;

mod bindings {
    wasmtime::component::bindgen!({ world: "expression-rules", path: "wit/expressions" });
}

/// The interface's types.
pub(crate) mod wit {
    pub use super::bindings::lintern::expressions::source::*;
}

/// The rules of one file.
pub(crate) type Rules = Vec<wit::Rule>;

/// What only the module that runs expressions may import.
const INTERFACE: &str = "lintern:expressions/source@1.0.0";

/// Mistakes that are taken over from one file.
const MISTAKES: usize = 200;

/// Why a file of expressions is not used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LoadExpressionsError {
    /// Mistakes in the file; they point into its sources.
    #[error("the file has {} mistakes", .0.len())]
    Wrong(Vec<Diagnostic>),
    /// The module that runs expressions failed on it.
    #[error(transparent)]
    Module(#[from] ModuleError),
}

impl Engine {
    /// Makes a module of a file of expressions, which are checked. Of a file with a mistake nothing is used.
    pub fn load_expressions(&self, file: &ExpressionFile) -> Result<Module, LoadExpressionsError> {
        if !file.diagnostics.is_empty() {
            return Err(LoadExpressionsError::Wrong(file.diagnostics.clone()));
        }
        let failed = |problem| ModuleError { module: file.name.clone(), problem };
        let instance = self.expressions.get_or_init(|| prepare(self)).as_ref();
        let instance = instance.map_err(|problem| failed(problem.clone()))?;
        let wasm = instance.engine();
        let rules = Arc::new(file.rules());
        let state = State { expressions: Some(rules.clone()), ..State::new(None) };
        let mut store = store(wasm, state, limits::FUEL_TO_DESCRIBE);
        let described = instance.instantiate(&mut store).and_then(|module| module.call_describe(&mut store));
        let state = store.into_data();
        let described = described.map_err(|error| {
            failed(Problem::Describe(stopped(&error, state.panic.as_deref(), state.refused_memory)))
        })?;
        if !state.mistakes.is_empty() {
            return Err(LoadExpressionsError::Wrong(file.diagnostics_of(&state.mistakes)));
        }
        Ok(Module {
            name: file.name.clone(),
            described: (describe::cut(described.name.clone()), describe::cut(described.version.clone())),
            sha256: file.sha256.clone(),
            rules: describe::take(described).map_err(failed)?,
            wasm: wasm.clone(),
            instance: instance.clone(),
            expressions: Some(rules),
        })
    }
}

/// Compiles the module that runs expressions, with the interface that it alone may import.
fn prepare(engine: &Engine) -> Result<RuleModulePre<State>, Problem> {
    let bytes = expression_module();
    inspect_with(bytes, Some(INTERFACE))?;
    let (component, linker) = engine.compile(bytes)?;
    let mut linker = linker.clone();
    provide(&mut linker)
        .and_then(|()| linker.instantiate_pre(&component))
        .and_then(RuleModulePre::new)
        .map_err(|error| Problem::Mismatch(chain(&error)))
}

fn provide(linker: &mut Linker<State>) -> wasmtime::Result<()> {
    let mut source = linker.instance(INTERFACE)?;
    source.func_wrap("rules", |store: StoreContextMut<'_, State>, ()| {
        Ok((store.data().expressions.clone().unwrap_or_default(),))
    })?;
    source.func_wrap("wrong", |mut store: StoreContextMut<'_, State>, (mistake,): (wit::Mistake,)| {
        let mistakes = &mut store.data_mut().mistakes;
        if mistakes.len() < MISTAKES {
            mistakes.push(mistake);
        }
        Ok(())
    })
}
