//! A module from its bytes to something that can be run.

use super::error::{ModuleError, Problem, chain, not_encoded, stopped};
use super::expressions::Rules;
use super::host::{self, RuleModulePre, State};
use super::inspect::{Kind, inspect};
use super::{RuleDescription, cache, describe, limits, version};
use sha2::{Digest as _, Sha256};
use std::borrow::Cow;
use std::path::PathBuf;
use std::sync::{Arc, OnceLock};
use wasmtime::component::{Component, Linker};
use wasmtime::{Cache, Config, InstanceAllocationStrategy, PoolingAllocationConfig, Store, WasmFeatures};

/// Loads rule modules. One serves the whole program.
pub struct Engine {
    wasm: Result<(wasmtime::Engine, Linker<State>), String>,
    /// Where compiled modules are kept.
    cache: Option<Cache>,
    /// The same engine without the cache, for a module of which the cache has what can be neither used nor removed.
    without_cache: OnceLock<Result<(wasmtime::Engine, Linker<State>), String>>,
    /// The module that runs expressions, compiled when it is first needed.
    pub(super) expressions: OnceLock<Result<RuleModulePre<State>, Problem>>,
}

/// How modules are loaded.
#[derive(Debug, Clone, Default)]
#[non_exhaustive]
pub struct EngineOptions {
    /// Where compiled modules are kept; `None` means the user's usual place for caches.
    pub cache_dir: Option<PathBuf>,
    /// Keep no compiled modules.
    pub no_cache: bool,
}

/// A loaded module.
#[derive(Clone)]
pub struct Module {
    pub(super) name: String,
    /// What it calls itself, and its version.
    pub(super) described: (String, String),
    pub(super) sha256: String,
    pub(super) rules: Vec<RuleDescription>,
    pub(super) wasm: wasmtime::Engine,
    pub(super) instance: RuleModulePre<State>,
    /// The rules of a file of expressions, where the module is one.
    pub(super) expressions: Option<Arc<Rules>>,
}

impl Engine {
    /// Starts the engine. The notes say what does not work as it should but stops nothing.
    pub fn new(options: EngineOptions) -> (Self, Vec<String>) {
        let mut notes = Vec::new();
        let mut cache = None;
        if !options.no_cache {
            match cache::open(options.cache_dir) {
                Ok(opened) => cache = Some(opened),
                Err(note) => notes.push(note),
            }
        }
        let wasm = start(cache.clone());
        (Self { wasm, cache, without_cache: OnceLock::new(), expressions: OnceLock::new() }, notes)
    }

    /// Compiles a component, or takes it from the cache; with the linker of the engine that it belongs to.
    pub(super) fn compile(&self, component: &[u8]) -> Result<(Component, &Linker<State>), Problem> {
        let no_engine = |error: &String| Problem::NoEngine(error.clone());
        let (mut wasm, mut linker) = self.wasm.as_ref().map(|(wasm, linker)| (wasm, linker)).map_err(no_engine)?;
        let mut place = self.cache.as_ref().map(|cache| cache::Place::of(cache, wasm, component));
        match place.as_ref().map(cache::Place::clear) {
            None | Some(cache::Left::Nothing) => {}
            Some(cache::Left::Sound) => place = None,
            Some(cache::Left::Wrong) => {
                place = None;
                let other = self.without_cache.get_or_init(|| start(None)).as_ref();
                (wasm, linker) = other.map(|(wasm, linker)| (wasm, linker)).map_err(no_engine)?;
            }
        }
        let compiled = Component::new(wasm, component).map_err(|error| Problem::Malformed(chain(&error)))?;
        if let Some(place) = place {
            place.keep();
        }
        Ok((compiled, linker))
    }

    /// Loads a module: reads and bounds it, compiles it, asks it for its rules.
    pub fn load(&self, name: &str, bytes: &[u8]) -> Result<Module, ModuleError> {
        self.try_load(name, bytes).map_err(|problem| ModuleError { module: name.to_owned(), problem })
    }

    fn try_load(&self, name: &str, bytes: &[u8]) -> Result<Module, Problem> {
        let component = match inspect(bytes)? {
            Kind::Component => Cow::Borrowed(bytes),
            Kind::Core => {
                let encoded = encode(bytes)?;
                inspect(&encoded)?;
                Cow::Owned(encoded)
            }
        };
        self.compile_and_ask(name, &component, bytes)
    }

    /// Compiles a component and asks it for its rules; the digest is that of the bytes it was made of.
    pub(super) fn compile_and_ask(&self, name: &str, component: &[u8], bytes: &[u8]) -> Result<Module, Problem> {
        let (component, linker) = self.compile(component)?;
        let wasm = component.engine();
        let mismatch = |error: wasmtime::Error| Problem::Mismatch(chain(&error));
        let instance = linker.instantiate_pre(&component).and_then(RuleModulePre::new).map_err(mismatch)?;
        let described = ask(wasm, &instance).map_err(Problem::Describe)?;
        Ok(Module {
            name: name.to_owned(),
            described: (describe::cut(described.name.clone()), describe::cut(described.version.clone())),
            sha256: Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect(),
            rules: describe::take(described)?,
            wasm: wasm.clone(),
            instance,
            expressions: None,
        })
    }
}

impl Module {
    /// Its name, as it was loaded.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// What it calls itself.
    pub fn described_name(&self) -> &str {
        &self.described.0
    }

    /// The same module with the rules of some topics alone.
    pub fn of_topics(&self, topics: &[&str]) -> Self {
        let is_of = |rule: &&RuleDescription| rule.id.split_once('/').is_some_and(|(topic, _)| topics.contains(&topic));
        Self { rules: self.rules.iter().filter(is_of).cloned().collect(), ..self.clone() }
    }

    /// Its own version.
    pub fn version(&self) -> &str {
        &self.described.1
    }

    /// Its rules.
    pub fn rules(&self) -> &[RuleDescription] {
        &self.rules
    }

    /// SHA-256 of the bytes that were loaded, in lower-case hexadecimal.
    pub fn sha256(&self) -> &str {
        &self.sha256
    }
}

impl std::fmt::Debug for Engine {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Engine").finish_non_exhaustive()
    }
}

impl std::fmt::Debug for Module {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Module").field("name", &self.name).field("sha256", &self.sha256).finish_non_exhaustive()
    }
}

/// The engine with what modules may import.
fn start(cache: Option<Cache>) -> Result<(wasmtime::Engine, Linker<State>), String> {
    let engine = |memory| {
        let mut config = config(memory);
        config.cache(cache.clone());
        wasmtime::Engine::new(&config)
    };
    engine(Memories::Pooled)
        .or_else(|_| engine(Memories::Allocated))
        .and_then(|engine| Ok((engine.clone(), host::linker(&engine, version::HOST)?)))
        .map_err(|error| chain(&error))
}

/// Where the memories of instances come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Memories {
    /// Address ranges of 4 GiB with guard pages behind them, of which nothing is mapped but what is used. No access needs
    /// an explicit bounds check, which makes code a third smaller: to compile, to take from the cache and to run. They are
    /// reserved once and used again, with everything in them as a new memory has it.
    Pooled,
    /// The allocator, for a process that may not have so many addresses.
    Allocated,
}

/// Instances at once beyond one for each thread of the program.
const SPARE_INSTANCES: u32 = 64;
/// Bytes of what the engine keeps of an instance beside memories and tables; a module within all limits needs less.
const INSTANCE_BYTES: usize = 16 << 20;
/// Bytes of a memory that stay with the process for the next instance and are cleared by writing: all that a module
/// touches for a plan of some hundred luminaires. The rest goes back and comes again page by page.
const KEPT_BYTES: usize = 1 << 20;

/// The same on every machine: what a module answers, and the fuel that it takes, depend on this.
pub(super) fn config(memories: Memories) -> Config {
    let mut config = Config::new();
    config.wasm_component_model(true);
    // What rustc and clang do not emit for a rule is one thing less to trust.
    let unneeded = [
        WasmFeatures::THREADS,
        WasmFeatures::SHARED_EVERYTHING_THREADS,
        WasmFeatures::MEMORY64,
        WasmFeatures::MULTI_MEMORY,
        WasmFeatures::EXCEPTIONS,
        WasmFeatures::GC,
        WasmFeatures::FUNCTION_REFERENCES,
        WasmFeatures::TAIL_CALL,
        WasmFeatures::STACK_SWITCHING,
        WasmFeatures::CUSTOM_PAGE_SIZES,
        WasmFeatures::WIDE_ARITHMETIC,
    ];
    for feature in unneeded {
        config.wasm_features(feature, false);
    }
    // The only bound on running time, so that a verdict does not depend on the machine's speed.
    config.consume_fuel(true);
    config.max_wasm_stack(limits::STACK_BYTES);
    config.cranelift_nan_canonicalization(true);
    config.wasm_relaxed_simd(false);
    config.relaxed_simd_deterministic(true);
    // A fresh instance for each plan and module. Its data is mapped, and copied page by page when written to.
    let pooled = memories == Memories::Pooled;
    config.signals_based_traps(pooled);
    config.memory_init_cow(pooled);
    config.memory_reservation(if pooled { 4 << 30 } else { 0 });
    config.memory_guard_size(if pooled { 32 << 20 } else { 0 });
    if pooled {
        config.allocation_strategy(InstanceAllocationStrategy::Pooling(pool()));
    }
    config.memory_reservation_for_growth(1 << 20);
    // No message shows an address in a module, and nothing unwinds through one: less to compile, to keep and to load.
    config.generate_address_map(false);
    config.native_unwind_info(false);
    config
}

/// Room for the instances of all threads at once, and some more for programs that call from threads of their own.
fn pool() -> PoolingAllocationConfig {
    let at_once = u32::try_from(rayon::current_num_threads()).unwrap_or(u32::MAX).saturating_add(SPARE_INSTANCES);
    let of_each = |most: u64| u32::try_from(most).unwrap_or(u32::MAX);
    let mut pool = PoolingAllocationConfig::new();
    pool.total_component_instances(at_once)
        .total_core_instances(at_once.saturating_mul(of_each(limits::PARTS)))
        .total_memories(at_once.saturating_mul(of_each(limits::MEMORIES)))
        .total_tables(at_once.saturating_mul(of_each(limits::TABLES)))
        .max_memories_per_module(of_each(limits::MEMORIES))
        .max_tables_per_module(of_each(limits::TABLES))
        .max_memory_size(limits::MEMORY_BYTES)
        .table_elements(limits::TABLE_ENTRIES)
        .max_core_instance_size(INSTANCE_BYTES)
        .max_component_instance_size(INSTANCE_BYTES)
        .linear_memory_keep_resident(KEPT_BYTES)
        .table_keep_resident(KEPT_BYTES);
    pool
}

/// A core module from plain cargo as a component.
fn encode(core: &[u8]) -> Result<Vec<u8>, Problem> {
    wit_component::ComponentEncoder::default()
        .module(core)
        .and_then(|encoder| encoder.validate(false).encode())
        .map_err(|error| not_encoded(&format!("{error:#}")))
}

/// Lets a module describe itself, without a plan.
fn ask(wasm: &wasmtime::Engine, instance: &RuleModulePre<State>) -> Result<host::wit::ModuleDescription, String> {
    let mut store = store(wasm, State::new(None), limits::FUEL_TO_DESCRIBE);
    instance.instantiate(&mut store).and_then(|module| module.call_describe(&mut store)).map_err(|error| {
        let state = store.data();
        stopped(&error, state.panic.as_deref(), state.refused_memory)
    })
}

/// A store for one instance, with its limits.
pub(super) fn store(wasm: &wasmtime::Engine, state: State, fuel: u64) -> Store<State> {
    let mut store = Store::new(wasm, state);
    store.limiter(|state| state);
    store.set_hostcall_fuel(limits::ANSWER_BYTES);
    // Fails only where the configuration has no fuel; ours has, and a store without any runs nothing.
    let _ = store.set_fuel(fuel);
    store
}
