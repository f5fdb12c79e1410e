//! The topic `feed`: how supplies are fed, listed and mounted.
