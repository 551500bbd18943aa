//! The command `bonewright`: flags and glue.
fn main() {}
