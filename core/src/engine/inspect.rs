//! Reads a module before it is compiled, and refuses what would be too much to compile.
//!
//! Fuel and memory limits bound a running module, not the compiler: one function of 100,000 nested
//! branches keeps it busy for more than 20 s, and hundreds of thousands of empty functions or data
//! segments take it gigabytes.

use super::cost::Cost;
use super::error::Problem;
use super::{limits, version};
use wasmparser::{ComponentExternalKind, ComponentTypeRef, Parser, Payload};

/// What a file holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// A core module with the description of a component in a custom section.
    Core,
    /// A component.
    Component,
}

/// Inspects a module.
pub(super) fn inspect(bytes: &[u8]) -> Result<Kind, Problem> {
    inspect_with(bytes, None)
}

/// Inspects a module that may import one interface more.
pub(super) fn inspect_with(bytes: &[u8], own_import: Option<&'static str>) -> Result<Kind, Problem> {
    too_big("bytes", bytes.len() as u64, limits::MODULE_BYTES as u64)?;
    let kind = match bytes {
        _ if Parser::is_component(bytes) => Kind::Component,
        _ if Parser::is_core_wasm(bytes) => Kind::Core,
        [] => return Err(Problem::NotWasm(": it is empty")),
        _ if bytes.starts_with(b"(") => return Err(Problem::NotWasm(", but WASM in text form: convert it to binary")),
        _ => return Err(Problem::NotWasm("")),
    };
    let mut counts = Counts { own_import, ..Counts::default() };
    for payload in Parser::new(0).parse_all(bytes) {
        counts.add(kind, &payload.map_err(malformed)?)?;
    }
    match kind {
        Kind::Core if !counts.has_interface => Err(Problem::NoInterface),
        Kind::Component if !counts.exports_describe => Err(Problem::NoExport("describe")),
        Kind::Component if !counts.exports_check => Err(Problem::NoExport("check")),
        _ => Ok(kind),
    }
}

#[derive(Default)]
struct Counts {
    /// Components within components that are open.
    depth: u32,
    functions: u64,
    data: u64,
    elements: u64,
    globals: u64,
    tables: u64,
    memories: u64,
    imports: u64,
    exports: u64,
    types: u64,
    custom: u64,
    parts: u64,
    items: u64,
    cost: Cost,
    /// Bytes of the sections that describe an interface.
    interface_bytes: u64,
    /// An interface that this module may import beside those of rules.
    own_import: Option<&'static str>,
    has_interface: bool,
    exports_describe: bool,
    exports_check: bool,
}

pub(super) fn too_big(what: &'static str, found: u64, limit: u64) -> Result<(), Problem> {
    if found > limit { Err(Problem::TooBig { what, found, limit }) } else { Ok(()) }
}

pub(super) fn count(total: &mut u64, more: u32, what: &'static str, limit: u64) -> Result<(), Problem> {
    *total += u64::from(more);
    too_big(what, *total, limit)
}

pub(super) fn malformed(error: wasmparser::BinaryReaderError) -> Problem {
    Problem::Malformed(error.to_string())
}

impl Counts {
    fn add(&mut self, kind: Kind, payload: &Payload<'_>) -> Result<(), Problem> {
        match payload {
            Payload::FunctionSection(section) => {
                count(&mut self.functions, section.count(), "functions", limits::FUNCTIONS)
            }
            Payload::CodeSectionEntry(body) => self.cost.function(body),
            Payload::DataSection(section) => count(&mut self.data, section.count(), "data segments", limits::SEGMENTS),
            Payload::ElementSection(section) => {
                count(&mut self.elements, section.count(), "element segments", limits::SEGMENTS)
            }
            Payload::GlobalSection(section) => count(&mut self.globals, section.count(), "globals", limits::GLOBALS),
            Payload::TableSection(section) => {
                count(&mut self.tables, section.count(), "tables", limits::TABLES)?;
                for table in section.clone() {
                    let entries = table.map_err(malformed)?.ty.initial;
                    too_big("entries in a table", entries, limits::TABLE_ENTRIES as u64)?;
                }
                Ok(())
            }
            Payload::MemorySection(section) => {
                count(&mut self.memories, section.count(), "memories", limits::MEMORIES)?;
                for memory in section.clone() {
                    let pages = memory.map_err(malformed)?.initial;
                    too_big("pages in a memory", pages, (limits::MEMORY_BYTES >> 16) as u64)?;
                }
                Ok(())
            }
            Payload::TypeSection(section) => {
                count(&mut self.types, section.count(), "types", limits::TYPES)?;
                for ty in section.clone().into_iter_err_on_gc_types() {
                    let ty = ty.map_err(malformed)?;
                    self.cost.function_type(ty.params().len(), ty.results().len())?;
                }
                Ok(())
            }
            Payload::CoreTypeSection(section) => count(&mut self.types, section.count(), "types", limits::TYPES),
            Payload::ComponentTypeSection(section) => count(&mut self.types, section.count(), "types", limits::TYPES),
            Payload::ExportSection(section) => count(&mut self.exports, section.count(), "exports", limits::EXPORTS),
            Payload::ImportSection(section) => {
                count(&mut self.imports, section.count(), "imports", limits::IMPORTS)?;
                if kind == Kind::Core {
                    for import in section.clone().into_imports() {
                        core_import(import.map_err(malformed)?.module)?;
                    }
                }
                Ok(())
            }
            Payload::ComponentImportSection(section) => {
                count(&mut self.imports, section.count(), "imports", limits::IMPORTS)?;
                if self.depth == 0 {
                    for import in section.clone() {
                        let import = import.map_err(malformed)?;
                        // A type carries no code, and the tool gives it a plain name.
                        let is_type = matches!(import.ty, ComponentTypeRef::Type(_));
                        if !is_type && self.own_import != Some(import.name.name) {
                            version::check_import(import.name.name)?;
                        }
                    }
                }
                Ok(())
            }
            Payload::ComponentExportSection(section) => {
                count(&mut self.exports, section.count(), "exports", limits::EXPORTS)?;
                if self.depth == 0 {
                    for export in section.clone() {
                        let export = export.map_err(malformed)?;
                        let is_function = export.kind == ComponentExternalKind::Func;
                        self.exports_describe |= is_function && export.name.name == "describe";
                        self.exports_check |= is_function && export.name.name == "check";
                    }
                }
                Ok(())
            }
            Payload::CustomSection(section) => {
                if section.name().starts_with("component-type") {
                    self.has_interface = true;
                    self.interface_bytes += section.data().len() as u64;
                    too_big("bytes of interface description", self.interface_bytes, limits::INTERFACE_BYTES)?;
                }
                count(&mut self.custom, 1, "custom sections", limits::CUSTOM_SECTIONS)
            }
            Payload::ModuleSection { .. } => count(&mut self.parts, 1, "parts", limits::PARTS),
            Payload::ComponentSection { .. } => {
                self.depth += 1;
                count(&mut self.parts, 1, "parts", limits::PARTS)
            }
            Payload::InstanceSection(section) => count(&mut self.parts, section.count(), "parts", limits::PARTS),
            Payload::ComponentInstanceSection(section) => {
                count(&mut self.parts, section.count(), "parts", limits::PARTS)
            }
            Payload::ComponentAliasSection(section) => {
                count(&mut self.items, section.count(), "component items", limits::COMPONENT_ITEMS)
            }
            Payload::ComponentCanonicalSection(section) => {
                count(&mut self.items, section.count(), "component items", limits::COMPONENT_ITEMS)
            }
            _ => Ok(()),
        }
    }
}

/// Imports of a core module, which become imports of the component; names that start with `$` or
/// `[` are the tool's own.
fn core_import(module: &str) -> Result<(), Problem> {
    if module.starts_with(['$', '[']) { Ok(()) } else { version::check_import(module) }
}
