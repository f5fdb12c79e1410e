//! The YAML parser's errors in the words of somebody who writes plans.

use super::{MAX_DEPTH, Span};
use crate::plan::diagnostic::Diagnostic;
use granit_parser::{ErrorKind, ScanError};

/// The diagnostic of an error that ended the parse, where it stands.
pub(super) fn diagnostic(error: &ScanError, span: Span) -> Diagnostic {
    let (message, help): (String, Option<&str>) = match error.kind() {
        ErrorKind::RecursionLimitExceeded => (too_deep(), None),
        ErrorKind::DirectiveDisallowed => {
            ("YAML directives are not supported".to_owned(), Some("remove the line that starts with `%`"))
        }
        ErrorKind::UnknownAnchor => {
            ("this alias names no anchor".to_owned(), Some("define it before with `&name`, or quote the text"))
        }
        ErrorKind::TabNotAllowed | ErrorKind::TabInBlockIndentation | ErrorKind::TabInIndentation => {
            ("YAML can't be indented with tabs".to_owned(), Some("use spaces"))
        }
        ErrorKind::SimpleKeyExpected | ErrorKind::InvalidSimpleKey => (
            "this line is not `key: value`".to_owned(),
            Some("put a colon and a space after the key, and check that the lines of one level start in one column"),
        ),
        ErrorKind::MappingValueNotAllowed => (
            "a `: ` can't stand here".to_owned(),
            Some("quote a text that holds `: `, and give every key its own line"),
        ),
        ErrorKind::UnclosedQuotedScalar => {
            ("this quote is never closed".to_owned(), Some("close it with the same kind of quote"))
        }
        ErrorKind::UnclosedFlowCollection { open } => (format!("this `{open}` is never closed"), Some("close it")),
        ErrorKind::UnknownQuotedScalarEscape => {
            ("YAML has no such escape".to_owned(), Some("write `\\\\` for a backslash, or use single quotes"))
        }
        ErrorKind::UndeclaredTagHandle => (
            "only the tags of YAML itself are supported".to_owned(),
            Some("remove the tag, or quote a text that starts with `!`"),
        ),
        other => (format!("not valid YAML: {other}"), None),
    };
    let diagnostic = Diagnostic::new(span, message);
    match help {
        Some(help) => diagnostic.help(help),
        None => diagnostic,
    }
}

/// What is said of nesting beyond the limit.
pub(super) fn too_deep() -> String {
    format!("nested deeper than {MAX_DEPTH} levels, the most that is read")
}
