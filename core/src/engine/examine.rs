//! What the bytes of a module show without compiling or running it.

use super::error::Problem;
use super::inspect::{Kind, inspect};
use crate::repository::sha256_hex;
use std::collections::BTreeSet;
use wasmparser::{ComponentAlias, ComponentExternalKind, ComponentTypeRef, Parser, Payload};

/// What a module's bytes show.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Examined {
    /// Number of bytes.
    pub size: usize,
    /// SHA-256 in lower-case hexadecimal.
    pub sha256: String,
    /// What the file holds; `None` when it is no WASM.
    pub kind: Option<ModuleKind>,
    /// Versions of the rule interface that its imports name, `1.0.0`.
    pub interfaces: Vec<String>,
    /// What it can call: interface and function, as far as it could be read. Sorted.
    pub imports: Vec<String>,
    /// Why it is not compiled.
    pub problem: Option<Problem>,
}

/// What a module file holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ModuleKind {
    /// A component.
    Component,
    /// A core module, as plain cargo makes it.
    CoreModule,
}

impl ModuleKind {
    /// The words that outputs use.
    pub fn words(self) -> &'static str {
        match self {
            Self::Component => "component",
            Self::CoreModule => "core module",
        }
    }
}

/// Most imports that are listed.
const MOST: usize = 1_000;

/// Reads what a module's bytes show. Never fails: what is wrong is in [`Examined::problem`].
pub fn examine(bytes: &[u8]) -> Examined {
    let problem = inspect(bytes).err();
    let kind = match bytes {
        _ if Parser::is_component(bytes) => Some(Kind::Component),
        _ if Parser::is_core_wasm(bytes) => Some(Kind::Core),
        _ => None,
    };
    // What is larger than a module may be is not read any further.
    let too_large = bytes.len() > super::limits::MODULE_BYTES;
    let imports = match kind {
        Some(kind) if !too_large => imports(kind, bytes),
        _ => BTreeSet::new(),
    };
    let versions: BTreeSet<&str> = imports
        .iter()
        .filter_map(|(interface, _)| interface.strip_prefix("lintern:rules/")?.split_once('@'))
        .map(|(_, version)| version)
        .collect();
    Examined {
        size: bytes.len(),
        sha256: sha256_hex(bytes),
        kind: kind.map(|kind| match kind {
            Kind::Component => ModuleKind::Component,
            Kind::Core => ModuleKind::CoreModule,
        }),
        interfaces: versions.into_iter().map(str::to_owned).collect(),
        imports: imports
            .iter()
            // An interface is named by its functions, where any is called.
            .filter(|(interface, name)| !name.is_empty() || !imports.iter().any(|(i, n)| i == interface && n != name))
            .map(|(interface, name)| format!("{interface} {name}").trim_end().to_owned())
            .collect(),
        problem,
    }
}

/// Interface and function of each import; the function is empty for an interface of types alone.
fn imports(kind: Kind, bytes: &[u8]) -> BTreeSet<(String, String)> {
    let mut found = BTreeSet::new();
    let mut depth = 0_u32;
    // Names of the instances of the outermost component by index; `None` for those that are not imported.
    let mut instances: Vec<Option<String>> = Vec::new();
    for payload in Parser::new(0).parse_all(bytes) {
        if found.len() >= MOST {
            break;
        }
        match payload {
            Ok(Payload::ImportSection(section)) if kind == Kind::Core => {
                for import in section.into_imports().flatten() {
                    // Names that start so are the tool's own.
                    if !import.module.starts_with(['$', '[']) && found.len() < MOST {
                        found.insert((import.module.to_owned(), import.name.to_owned()));
                    }
                }
            }
            Ok(Payload::ModuleSection { .. } | Payload::ComponentSection { .. }) => depth += 1,
            Ok(Payload::End(_)) => depth = depth.saturating_sub(1),
            Ok(Payload::ComponentImportSection(section)) if depth == 0 => {
                for import in section.into_iter().flatten() {
                    let name = import.name.name.to_owned();
                    match import.ty {
                        ComponentTypeRef::Type(_) => continue,
                        ComponentTypeRef::Instance(_) => instances.push(Some(name.clone())),
                        _ => {}
                    }
                    if found.len() < MOST {
                        found.insert((name, String::new()));
                    }
                }
            }
            Ok(Payload::ComponentInstanceSection(section)) if depth == 0 => {
                instances.extend(section.into_iter().flatten().map(|_| None));
            }
            Ok(Payload::ComponentAliasSection(section)) if depth == 0 => {
                for alias in section.into_iter().flatten() {
                    let ComponentAlias::InstanceExport { kind, instance_index, name } = alias else { continue };
                    match kind {
                        ComponentExternalKind::Instance => instances.push(None),
                        ComponentExternalKind::Func if found.len() < MOST => {
                            if let Some(Some(interface)) = instances.get(instance_index as usize) {
                                found.insert((interface.clone(), name.to_owned()));
                            }
                        }
                        _ => {}
                    }
                }
            }
            Ok(_) => {}
            Err(_) => break,
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_module_shows_the_functions_that_it_calls() {
        let bytes = include_bytes!("../../../plans/packs/fernhollow-lighting/modules/pathway.wasm");
        let examined = examine(bytes);
        assert_eq!(examined.kind, Some(ModuleKind::Component));
        assert_eq!(examined.interfaces, [super::super::INTERFACE_VERSION]);
        assert!(examined.imports.iter().any(|name| name == "lintern:rules/plan@1.0.0 luminaires"), "{examined:#?}");
        assert_eq!(examined.problem, None);
        assert_eq!((examined.size, examined.sha256.len()), (bytes.len(), 64));
    }

    #[test]
    fn what_cannot_be_loaded_still_shows_size_and_digest() {
        let examined = examine(b"not a module");
        assert_eq!((examined.kind, examined.size), (None, 12));
        assert!(matches!(examined.problem, Some(Problem::NotWasm(_))));
    }
}
