//! Mistakes on the command line: clap says which command or option is near, and this what a path in place of a command
//! wants to be.

use clap::Error;
use clap::error::{ContextKind, ContextValue, ErrorKind};
use std::path::Path;

/// The error with the way out where clap knows none.
pub fn explain(mut error: Error) -> Error {
    let path = match (error.kind(), error.get(ContextKind::InvalidSubcommand)) {
        (ErrorKind::InvalidSubcommand, Some(ContextValue::String(text))) if is_path(text) => text.clone(),
        _ => return error,
    };
    // A command that happens to be near would only mislead.
    error.remove(ContextKind::SuggestedSubcommand);
    let tip = format!("did you mean `lintern check {}`?", shown(&path));
    error.insert(ContextKind::Suggested, ContextValue::StyledStrs(vec![tip.into()]));
    error
}

/// Whether a word is a path rather than a command.
fn is_path(word: &str) -> bool {
    let path = Path::new(word);
    word.contains(['/', '\\']) || path.extension().is_some_and(|e| e == "yaml" || e == "yml") || path.exists()
}

/// A path as a shell takes it.
fn shown(path: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || matches!(c, '/' | '\\' | '.' | '-' | '_' | ':');
    if path.chars().all(plain) { path.to_owned() } else { format!("'{}'", path.replace('\'', r"'\''")) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_are_told_from_commands() {
        for path in ["plans/x.yaml", "x.yml", "..", "./x", r"plans\x", "src"] {
            assert!(is_path(path), "{path}");
        }
        for word in ["chek", "plan", ""] {
            assert!(!is_path(word), "{word}");
        }
        assert_eq!(shown("my plans/it's.yaml"), r"'my plans/it'\''s.yaml'");
        assert_eq!(shown("plans/x.yaml"), "plans/x.yaml");
    }
}
