//! Words, tables and pictures in two columns a page, none of them cut where a column holds it whole.

mod piece;
mod set;
mod table;

pub(crate) use piece::{HEAD, Piece, TEXT};
pub(crate) use set::{GAP, Page, set};
pub(crate) use table::table;
