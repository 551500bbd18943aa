//! The shop's own profiles under change: kinds of things, the fields of each as a form has them, and the file that holds them.

mod fields;
mod file;
mod typed;

pub use fields::shop_fields;
pub use file::{ShopFile, shop_entry, shop_names};
