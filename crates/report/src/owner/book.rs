//! What the bench's book has of a job, on the sheets that the owner gets.

use super::sheet::{OwnerPart, OwnerSheet};
use job::Book;

impl OwnerSheet {
    /// The same sheet, which first says whose it is and what was asked for, as far as the book has it.
    #[must_use]
    pub fn with_book(mut self, book: &Book) -> Self {
        let named = |what: &str, text: &str| {
            let text = text.trim();
            if text.is_empty() {
                String::new()
            } else {
                format!("{what}: {text}.")
            }
        };
        let of = [
            named("Instrument", &book.instrument),
            named("Serial number", &book.serial),
            named("It came on", &book.came),
            named("Handed back on", &book.left),
        ];
        let asked = OwnerPart::words("What you asked for", vec![book.asked.trim().to_owned()]);
        let first = OwnerPart::words("The instrument", of.into());
        self.parts.splice(0..0, first.into_iter().chain(asked));
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_book_comes_first_as_far_as_it_is_kept() {
        let sheet = || OwnerSheet {
            under: "",
            headline: String::new(),
            parts: OwnerPart::words("Last", vec!["x".to_owned()]).into_iter().collect(),
            open: Vec::new(),
        };
        assert_eq!(sheet().with_book(&Book::default()), sheet());
        let book = Book {
            asked: "It buzzes up the neck.".to_owned(),
            serial: "123".to_owned(),
            photos: "private.jpg".to_owned(),
            ..Book::default()
        };
        let text = sheet().with_book(&book).text();
        let place = |words: &str| text.find(words).unwrap_or_else(|| panic!("{words}: {text}"));
        assert!(place("Serial number: 123.") < place("It buzzes") && place("It buzzes") < place("Last"));
        assert!(!text.contains("Instrument:") && !text.contains("private"));
    }
}
