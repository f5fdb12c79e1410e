//! Every limit on rule modules, in one place.
//!
//! A module is untrusted. Compiling it is bounded by what [`super::inspect`] lets through, running it
//! by fuel, memory and stack, its answer by the caps on text. None of them is a clock: a verdict must
//! not depend on how fast the machine is.
//!
//! The scale is set by modules of one topic: 50 to 300 kB with a few hundred functions. The built-in
//! module, of all topics, comes with the program: what bounds compiling is not asked of it, what
//! bounds running is.

/// Bytes of a module.
pub const MODULE_BYTES: usize = 8 << 20;
/// Functions, over all core modules in a component.
pub const FUNCTIONS: u64 = 20_000;
/// Estimated milliseconds of compiling, by the weights in `cost`.
///
/// Measured with two slow cores and the development profile: our largest topic, 289 kB, takes 1.5 s
/// and is estimated at 2.2; 3,000 loads in one function take 2.1 s and are estimated at 2.4; 3,000
/// loops over 100 variables 3.3 s, and 3.6; 20,000 empty functions 5.5 s, and 5.0. So the worst that
/// is accepted takes about 5 s by this estimate, and what took minutes within the other limits is refused. A lower
/// limit would refuse honest modules of twice the size of ours.
pub const COMPILE_COST: u64 = 5_000;
/// Bytes of one function's body; our largest has 13 kB.
pub const FUNCTION_BYTES: usize = 128 << 10;
/// Parameters of one function type. Compilers pass long lists in memory.
pub const PARAMETERS: u64 = 50;
/// Results of one function type.
pub const RESULTS: u64 = 16;
/// Bytes of the sections of a core module that describe its interface; ours have less than 40 kB.
pub const INTERFACE_BYTES: u64 = 256 << 10;
/// Blocks, loops and branches open at once in one function.
pub const BLOCK_DEPTH: u32 = 1_000;
/// Local variables of one function; ours have up to 62. A body of a few bytes can declare millions.
pub const LOCALS: u64 = 5_000;
/// Data segments, and element segments.
pub const SEGMENTS: u64 = 5_000;
/// Globals.
pub const GLOBALS: u64 = 1_000;
/// Tables that a module declares.
pub const TABLES: u64 = 16;
/// Memories that a module declares.
pub const MEMORIES: u64 = 4;
/// Imports, over the component and the core modules in it.
pub const IMPORTS: u64 = 1_000;
/// Exports, likewise.
pub const EXPORTS: u64 = 1_000;
/// Types, likewise.
pub const TYPES: u64 = 10_000;
/// Custom sections, such as names and debugging data.
pub const CUSTOM_SECTIONS: u64 = 100;
/// Core modules and components in a component, and instances of them.
pub const PARTS: u64 = 100;
/// Canonical functions and aliases of a component.
pub const COMPONENT_ITEMS: u64 = 5_000;

/// Fuel for one run of a module's rules on one plan: 0.1 to 0.4 s of computing. Four rules on a plan
/// of 10,000 luminaires use 15 million.
pub const FUEL_PER_RUN: u64 = 5_000_000_000;
/// Runs' worth of fuel that a module may use on one plan when its rules have to be run one by one
/// after a failure.
pub const RUNS_PER_PLAN: u64 = 8;
/// Fuel for describing itself. A module needs less than a million.
pub const FUEL_TO_DESCRIBE: u64 = 1_000_000_000;

/// Bytes of memory of one instance.
pub const MEMORY_BYTES: usize = 128 << 20;
/// Entries of one table.
pub const TABLE_ENTRIES: usize = 100_000;
/// Bytes of stack of a running module.
pub const STACK_BYTES: usize = 512 << 10;

/// Bytes that one answer may take, counted as lists and texts are copied out of the module.
pub const ANSWER_BYTES: usize = 64 << 20;
/// Findings of one rule on one plan. A rule over 10,000 luminaires with a finding on each is an
/// honest answer.
pub const FINDINGS_PER_RULE: usize = 20_000;
/// Bytes of one text in a finding; longer ones are cut.
pub const TEXT_BYTES: usize = 4_000;
/// Ids in `related`, inputs in `missing` and lines of `work`; further ones are dropped.
pub const LIST_ENTRIES: usize = 200;

/// Rules in one module.
pub const RULES: usize = 500;
/// Bytes of a rule's page.
pub const DOCUMENTATION_BYTES: usize = 64 << 10;
/// Settings of one rule, and citations.
pub const DESCRIPTION_ENTRIES: usize = 100;

/// Margins that one rule may tell of one plan: two for each of 50,000 elements.
pub const MARGINS_PER_RULE: usize = 100_000;

/// Applied limits that one rule may tell of one plan.
pub const LIMITS_PER_RULE: usize = 10_000;
