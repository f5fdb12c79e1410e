//! Files as the protocol names them, `file:///srv/plans/a%20b.yaml`, and as the system does.

use percent_encoding::{AsciiSet, CONTROLS, percent_decode_str, utf8_percent_encode};
use std::path::{Path, PathBuf};

/// What is escaped in a path: all but what RFC 3986 lets stand in one.
const ESCAPED: &AsciiSet = &CONTROLS
    .add(b' ')
    .add(b'"')
    .add(b'#')
    .add(b'%')
    .add(b'<')
    .add(b'>')
    .add(b'?')
    .add(b'[')
    .add(b'\\')
    .add(b']')
    .add(b'^')
    .add(b'`')
    .add(b'{')
    .add(b'|')
    .add(b'}');

/// The file that an address names; `None` for what is no file of this machine.
pub fn path(address: &str) -> Option<PathBuf> {
    let rest = address.strip_prefix("file://")?;
    // A machine may be named; only this one has files here.
    let rest = rest.strip_prefix("localhost").unwrap_or(rest);
    let decoded = percent_decode_str(rest.split(['?', '#']).next()?).decode_utf8().ok()?;
    if !decoded.starts_with('/') || decoded.contains('\0') {
        return None;
    }
    let drive = decoded.as_bytes().get(1).is_some_and(u8::is_ascii_alphabetic) && decoded.get(2..3) == Some(":");
    let path = PathBuf::from(if drive && cfg!(windows) { &decoded[1..] } else { &*decoded });
    Some(canonical(&path))
}

/// The address of a file.
pub fn address(path: &Path) -> String {
    let text = path.to_string_lossy().replace(std::path::MAIN_SEPARATOR, "/");
    let text = if text.starts_with('/') { text } else { format!("/{text}") };
    format!("file://{}", utf8_percent_encode(&text, ESCAPED))
}

/// Without links, also where the file itself is not there yet.
fn canonical(path: &Path) -> PathBuf {
    path.canonicalize()
        .ok()
        .or_else(|| Some(path.parent()?.canonicalize().ok()?.join(path.file_name()?)))
        .unwrap_or_else(|| path.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn addresses_and_paths_are_two_spellings_of_one_file() {
        for file in ["/nowhere/a b.yaml", "/nowhere/100%/ß#1?.yaml", "/nowhere/{x}[y]^`.yaml"] {
            let spelt = address(Path::new(file));
            assert!(spelt.starts_with("file:///nowhere/") && spelt.is_ascii(), "{spelt}");
            assert!(spelt.parse::<lsp_types::Uri>().is_ok(), "{spelt}");
            assert_eq!(path(&spelt), Some(PathBuf::from(file)));
        }
        assert_eq!(path("file://localhost/nowhere/a.yaml"), Some(PathBuf::from("/nowhere/a.yaml")));
        for other in [
            "untitled:Untitled-1",
            "https://example.com/a.yaml",
            "file://server/a.yaml",
            "file:///a%00b",
            "file:///%ff",
            "",
        ] {
            assert_eq!(path(other), None, "{other}");
        }
    }
}
