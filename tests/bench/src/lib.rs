//! Plans to measure.
