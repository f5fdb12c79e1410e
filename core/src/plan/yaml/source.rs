//! The bytes of a file: read with a limit, from plain files only, and checked to be UTF-8.

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::Path;

/// Largest file that is read.
pub(crate) const MAX_BYTES: u64 = 64 << 20;

/// Why a file can't be read.
#[derive(Debug, thiserror::Error)]
pub(crate) enum ReadError {
    /// The system refuses.
    #[error("{}", io_phrase(.0))]
    Io(#[from] io::Error),
    /// A folder, pipe, device or socket.
    #[error("it is {0}, not a plain file")]
    NotAFile(&'static str),
    /// More bytes than are ever read.
    #[error("it has more than {} MB, the most that is read", MAX_BYTES >> 20)]
    TooLarge,
}

/// What the system says, without its error number: the same text on every system where we know the cause.
fn io_phrase(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file".to_owned(),
        io::ErrorKind::PermissionDenied => "permission to read it is denied".to_owned(),
        _ => error.to_string(),
    }
}

/// Reads a plain file of at most [`MAX_BYTES`]. Nothing else is opened: opening a pipe would wait for its writer.
pub(crate) fn read(path: &Path) -> Result<Vec<u8>, ReadError> {
    let meta = fs::metadata(path)?;
    if meta.is_dir() {
        return Err(ReadError::NotAFile("a folder"));
    }
    if !meta.is_file() {
        return Err(ReadError::NotAFile("a pipe, device or socket"));
    }
    if meta.len() > MAX_BYTES {
        return Err(ReadError::TooLarge);
    }
    let mut bytes = Vec::with_capacity(meta.len() as usize + 1);
    // A file may grow while it is read.
    File::open(path)?.take(MAX_BYTES + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > MAX_BYTES {
        return Err(ReadError::TooLarge);
    }
    Ok(bytes)
}

/// The text of a plain file of at most [`MAX_BYTES`]; `None` where it can't be read or is no text.
pub fn read_text(path: &Path) -> Option<String> {
    String::from_utf8(read(path).ok()?).ok()
}

/// What is wrong with the bytes of a file, and up to where they are sound.
pub(super) struct Unreadable {
    pub(super) sound: usize,
    pub(super) message: String,
    pub(super) help: &'static str,
}

/// The text of a file, byte order mark included.
pub(super) fn decode(bytes: &[u8]) -> Result<&str, Unreadable> {
    const SAVE: &str = "save the file as UTF-8";
    let wide = |name: &str| {
        Err(Unreadable { sound: 0, message: format!("the file is encoded as {name}, not as UTF-8"), help: SAVE })
    };
    match bytes {
        [0xFF, 0xFE, 0, 0, ..] | [0, 0, 0xFE, 0xFF, ..] => return wide("UTF-32"),
        &[0, 0, 0, a, ..] | &[a, 0, 0, 0, ..] if a != 0 => return wide("UTF-32"),
        [0xFF, 0xFE, ..] | [0xFE, 0xFF, ..] => return wide("UTF-16"),
        &[0, a, 0, b, ..] | &[a, 0, b, 0, ..] if a != 0 && b != 0 => return wide("UTF-16"),
        _ => {}
    }
    let text = std::str::from_utf8(bytes).map_err(|e| Unreadable {
        sound: e.valid_up_to(),
        message: format!(
            "the file is not UTF-8: the byte 0x{:02X} at offset {} fits no character",
            bytes[e.valid_up_to()],
            e.valid_up_to()
        ),
        help: SAVE,
    })?;
    match text.find('\0') {
        Some(at) => Err(Unreadable {
            sound: at,
            message: format!("the file has a NUL byte at offset {at}"),
            help: "a plan is a text file; remove the byte",
        }),
        None => Ok(text),
    }
}
