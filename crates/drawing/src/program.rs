//! The program, as it names itself in files.

/// Name and version, as title blocks and files state them.
pub const PROGRAM: &str = concat!("bonewright ", env!("CARGO_PKG_VERSION"));
