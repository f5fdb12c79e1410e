//! Values of expressions.

use crate::schema::{At, House, Kind};
use std::borrow::Cow;
use std::rc::Rc;

/// A value. It lives as long as the plan.
#[derive(Debug, Clone, PartialEq)]
pub enum Value<'a> {
    Flag(bool),
    Number(f64),
    /// Also a day: ISO 8601 days are in order as texts.
    Text(Cow<'a, str>),
    Object(Kind, At),
    House(&'a House),
    List(Rc<[Value<'a>]>),
}

/// Numbers that differ by less than this share are the same: a cover of 304.8 mm is one of 12 in, and what was
/// computed must not fail a limit that it equals by rounding.
const ROUNDING: f64 = 1e-9;

/// Order of two numbers, up to rounding.
pub fn order(left: f64, right: f64) -> std::cmp::Ordering {
    if (left - right).abs() <= ROUNDING * left.abs().max(right.abs()) {
        std::cmp::Ordering::Equal
    } else {
        left.total_cmp(&right)
    }
}

impl Value<'_> {
    /// Whether two values of one type are equal.
    pub fn same(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Number(a), Self::Number(b)) => order(*a, *b).is_eq(),
            (Self::List(a), Self::List(b)) => a.len() == b.len() && a.iter().zip(b.iter()).all(|(a, b)| a.same(b)),
            (a, b) => a == b,
        }
    }
}
