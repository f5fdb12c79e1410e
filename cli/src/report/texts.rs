//! The texts of the plans of one run, kept in their order in a temporary file, so that a large repository takes no more
//! memory than a small one.

use std::io::{self, Read, Seek, SeekFrom, Write};
use std::sync::{Mutex, PoisonError};
use tempfile::SpooledTempFile;

/// What is kept in memory before there is a file.
const IN_MEMORY: usize = 1 << 20;

/// Takes texts from several threads.
pub struct Spool(Mutex<Store>);

struct Store {
    file: SpooledTempFile,
    bytes: u64,
}

/// Where a text is.
pub enum Place {
    /// In the file.
    There { start: u64, bytes: usize },
    /// Here, since the file could not take it.
    Here(String),
}

/// Texts in an order.
pub struct Texts {
    store: Mutex<Store>,
    places: Vec<Place>,
}

impl Spool {
    /// An empty one.
    pub fn new() -> Self {
        Self(Mutex::new(Store { file: SpooledTempFile::new(IN_MEMORY), bytes: 0 }))
    }

    /// Takes a text.
    pub fn put(&self, text: String) -> Place {
        let mut store = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let start = store.bytes;
        // A full disk must not lose what was found: then it stays in memory.
        match store.file.seek(SeekFrom::Start(start)).and_then(|_| store.file.write_all(text.as_bytes())) {
            Ok(()) => {
                store.bytes += text.len() as u64;
                Place::There { start, bytes: text.len() }
            }
            Err(_) => Place::Here(text),
        }
    }

    /// The texts at these places.
    pub fn texts(self, places: Vec<Place>) -> Texts {
        Texts { store: self.0, places }
    }
}

impl Texts {
    /// Writes them with something between each two.
    pub fn write(&self, between: &str, out: &mut impl Write) -> io::Result<()> {
        let mut store = self.store.lock().unwrap_or_else(PoisonError::into_inner);
        let mut text = Vec::new();
        for (index, place) in self.places.iter().enumerate() {
            if index > 0 {
                out.write_all(between.as_bytes())?;
            }
            match place {
                Place::Here(text) => out.write_all(text.as_bytes())?,
                Place::There { start, bytes } => {
                    text.resize(*bytes, 0);
                    let read = store.file.seek(SeekFrom::Start(*start)).and_then(|_| store.file.read_exact(&mut text));
                    read.map_err(|error| io::Error::other(format!("its temporary file can't be read: {error}")))?;
                    out.write_all(&text)?;
                }
            }
        }
        Ok(())
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.places.is_empty()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_come_back_in_the_order_that_is_asked_for() {
        for size in [3, IN_MEMORY] {
            let spool = Spool::new();
            let text = |letter: &str| letter.repeat(size);
            let mut places: Vec<Place> = ["a", "b", "", "c"].iter().map(|letter| spool.put(text(letter))).collect();
            places.insert(1, Place::Here("here".to_owned()));
            places.reverse();
            let texts = spool.texts(places);
            let mut written = Vec::new();
            texts.write("|", &mut written).expect("a list takes everything");
            let wanted = format!("{}||{}|here|{}", text("c"), text("b"), text("a"));
            assert!(written == wanted.as_bytes(), "{} bytes", written.len());
            // And once more, for another output.
            let mut again = Vec::new();
            texts.write("|", &mut again).expect("a list takes everything");
            assert!(again == written);
        }
    }
}
