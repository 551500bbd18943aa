//! The shop's own profiles under change: kinds of things, the fields of each as a form has them, and the file that holds them.

mod file;
mod kind;
mod rows;
mod typed;

pub use file::{ShopFile, shop_entry, shop_names};
pub use kind::{OWN_PROFILES, ShopKind};
pub use rows::shop_fields;
