//! A value of the plan together with where it stands: [`Field`] and [`Span`].

use serde::{Deserialize, Serialize};

/// Where something stands: a file of the load and a range of bytes in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, Default)]
pub struct Span {
    /// Index into [`super::Sources`].
    pub file: u32,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

/// One field of the plan. `value` is `None` when the field is absent, or when it was wrong; in the
/// latter case the load has recorded a diagnostic.
#[derive(Clone, PartialEq)]
pub struct Field<T> {
    /// The typed value.
    pub value: Option<T>,
    /// Where the value stands; `None` when the plan leaves the field out.
    pub span: Option<Span>,
}

impl<T> Default for Field<T> {
    fn default() -> Self {
        Self { value: None, span: None }
    }
}

impl<T: std::fmt::Debug> std::fmt::Debug for Field<T> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.value.fmt(f)
    }
}

impl<T> Field<T> {
    /// The value, if it is present and valid.
    pub fn get(&self) -> Option<&T> {
        self.value.as_ref()
    }

    /// Whether the plan leaves the field out.
    pub fn is_absent(&self) -> bool {
        self.span.is_none()
    }
}

impl<T: Clone> Field<T> {
    /// A copy of the value, if it is present and valid.
    pub fn cloned(&self) -> Option<T> {
        self.value.clone()
    }
}
