//! Every bound of the server's own rooms, each with its reason. Bounds of the wire stand in
//! `protocol/src/limits.rs`.
