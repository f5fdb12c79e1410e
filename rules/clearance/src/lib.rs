//! The topic `clearance`: whether the lighting keeps its distance from water, from other lines and from other circuits.
