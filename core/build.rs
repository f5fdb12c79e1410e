//! Nothing is built. Only a package with a build script counts what it depends on for building, which here gives the
//! WASM engine's macros the same features whichever package is built: see the workspace's `Cargo.toml`.

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
}
