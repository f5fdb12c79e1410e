//! The topic `wet-location`: whether everything is made for the water that it meets.
