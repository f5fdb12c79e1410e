//! Placeholder: replaced by the progress line.

/// Progress of long work.
pub struct Progress;

impl Progress {
    /// Starts.
    pub fn start(_shown: bool, _total: u64, _what: &str) -> Self {
        Self
    }

    /// One more is done.
    pub fn step(&self) {}
}
