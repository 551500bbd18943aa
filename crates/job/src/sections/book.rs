//! `[book]`: what the bench's book has of a job.

use crate::Book;
use crate::fields::{Field, f};
use crate::node::Node;

/// Reads what is there; every key may be left out.
pub(crate) fn book(node: &Node) -> Option<Book> {
    let table = node.table()?;
    let text = |row: &'static Field| table.may(row, |n| n.prose(false)).or("").map(str::to_owned);
    let share = |row: &'static Field| table.may(row, Node::figure).sound();
    let [asked, instrument, serial] = [f!("book.asked"), f!("book.instrument"), f!("book.serial")].map(text);
    let [came, left, photos] = [f!("book.came"), f!("book.left"), f!("book.photos")].map(text);
    let [humidity_in, humidity_out] = [f!("book.humidity_in"), f!("book.humidity_out")].map(share);
    Some(Book {
        asked: asked?,
        instrument: instrument?,
        serial: serial?,
        came: came?,
        left: left?,
        humidity_in: humidity_in?.map(|percent| percent / 100.0),
        humidity_out: humidity_out?.map(|percent| percent / 100.0),
        photos: photos?,
    })
}
