//! The `lintern` program.

fn main() -> std::process::ExitCode {
    lintern::main()
}
