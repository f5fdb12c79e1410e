//! The bytes of a file: read with a limit, from plain files only, and checked to be UTF-8.

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::Path;

/// Largest file that is read.
pub const MAX_BYTES: u64 = 64 << 20;

/// How often a file is read that changes meanwhile.
const TRIES: u32 = 5;

/// Why a file can't be read.
#[derive(Debug, thiserror::Error)]
pub enum ReadError {
    /// The system refuses.
    #[error("{}", io_phrase(.0))]
    Io(#[from] io::Error),
    /// A folder, pipe, device or socket.
    #[error("it is {0}, not a plain file")]
    NotAFile(&'static str),
    /// More bytes than are ever read.
    #[error("it has more than {} MB, the most that is read", .0 >> 20)]
    TooLarge(u64),
    /// Another program writes it.
    #[error("another program keeps changing it; run the command again when that is done")]
    Changing,
}

/// What the system says, without its error number: the same text on every system where we know the cause.
fn io_phrase(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file".to_owned(),
        io::ErrorKind::PermissionDenied => "permission to read it is denied".to_owned(),
        io::ErrorKind::OutOfMemory => "there is not enough memory for it".to_owned(),
        _ => error.to_string(),
    }
}

/// Reads a plain file of at most [`MAX_BYTES`].
pub(crate) fn read(path: &Path) -> Result<Vec<u8>, ReadError> {
    read_plain(path, MAX_BYTES)
}

/// Reads a plain file of at most so many bytes. Nothing else is opened: opening a pipe would wait for its writer. What
/// is being written by another program is read again, so that the bytes are never part old and part new.
pub fn read_plain(path: &Path, most_bytes: u64) -> Result<Vec<u8>, ReadError> {
    for _ in 0..TRIES {
        if let Some(bytes) = read_once(path, most_bytes)? {
            return Ok(bytes);
        }
    }
    Err(ReadError::Changing)
}

/// Reads a file; `None` where it was changed meanwhile.
fn read_once(path: &Path, most_bytes: u64) -> Result<Option<Vec<u8>>, ReadError> {
    let bytes_of = |meta: &fs::Metadata| match (meta.is_file(), meta.is_dir()) {
        (true, _) if meta.len() > most_bytes => Err(ReadError::TooLarge(most_bytes)),
        (true, _) => Ok(meta.len()),
        (false, true) => Err(ReadError::NotAFile("a folder")),
        (false, false) => Err(ReadError::NotAFile("a pipe, device or socket")),
    };
    bytes_of(&fs::metadata(path)?)?;
    let mut file = open(path)?;
    let before = file.metadata()?;
    // A pipe may have taken its place.
    let expected = bytes_of(&before)?;
    let mut bytes = Vec::new();
    bytes.try_reserve_exact(expected as usize + 1).map_err(|_| io::Error::from(io::ErrorKind::OutOfMemory))?;
    // A file may grow while it is read.
    (&mut file).take(most_bytes + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > most_bytes {
        return Err(ReadError::TooLarge(most_bytes));
    }
    let after = file.metadata()?;
    let same = after.len() == before.len() && after.modified().ok() == before.modified().ok();
    Ok(same.then_some(bytes))
}

/// Opens a file to read. What has become a pipe since it was looked at does not wait for its writer.
#[cfg(unix)]
fn open(path: &Path) -> io::Result<File> {
    use std::os::unix::fs::OpenOptionsExt as _;
    let flags = same_rustix::fs::OFlags::NONBLOCK.bits() as i32;
    fs::OpenOptions::new().read(true).custom_flags(flags).open(path)
}

#[cfg(not(unix))]
fn open(path: &Path) -> io::Result<File> {
    File::open(path)
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
