//! The topic `records`: the records that the work must leave behind.
