//! The topic `burial`: whether cable lies deep enough, in a way that it is made for.
