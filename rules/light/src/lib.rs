//! The topic `light`: what is seen at night.
