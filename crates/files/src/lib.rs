//! Files that are written whole or not at all, alone or as a set.
//!
//! Someone who cuts with a new program must not find the setup sheet of the old one beside it. So a set is written into a hidden
//! folder beside its place first, and then swapped in: a failure on the way puts back what was there, and what a crash leaves is put
//! back by the next run in the same folder.

mod disk;
mod set;
#[cfg(test)]
mod tests;

pub use disk::{Disk, RealDisk};
pub use set::{NewFile, Replace, SetError, recover, write_set};
