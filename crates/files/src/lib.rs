//! Files that are written whole or not at all, alone or as a set.
//!
//! Someone who cuts with a new program must not find the setup sheet of the old one beside it. So a set is written into a hidden
//! folder beside its place first, and then swapped in: a failure on the way puts back what was there, and what a crash leaves is put
//! back by the next run in the same folder.
//!
//! A job may be changed by the page and by the command at once, or by two of each. So a change holds the folder's lock while it looks
//! whether what it changes still stands, keeps what was there, and writes: nothing that was acknowledged is lost.

mod disk;
mod lock;
mod moving;
mod one;
mod presence;
mod replace;
mod set;
#[cfg(test)]
mod tests;
mod versions;

pub use disk::{Disk, RealDisk};
pub use lock::{FolderLock, LockError, lock_folder};
pub use one::write_file;
pub use presence::{Bench, Presence};
pub use replace::Replace;
pub use set::{NewFile, SetError, recover, write_set};
pub use versions::{Binned, HIDDEN, Kept, KeptVersion, Still, VersionError, Versions, change_file};
