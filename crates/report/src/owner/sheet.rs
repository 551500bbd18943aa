//! What stands on an owner's sheet.

/// An owner's sheet in words: a headline, its parts in order, and lines that are left open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OwnerSheet {
    /// What the sheet is for, under the title.
    pub under: &'static str,
    /// What comes of it, first and alone.
    pub headline: String,
    /// What follows, in order.
    pub parts: Vec<OwnerPart>,
    /// Lines to be filled in by hand, each with what belongs there.
    pub open: Vec<&'static str>,
}

/// A part of the sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum OwnerPart {
    /// Paragraphs under a heading.
    Words {
        /// The heading.
        head: &'static str,
        /// The paragraphs.
        paragraphs: Vec<String>,
    },
    /// A table.
    Table(OwnerTable),
}

/// A table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OwnerTable {
    /// The heading.
    pub head: &'static str,
    /// Heads of the columns.
    pub columns: Vec<&'static str>,
    /// Rows, each with a cell for every column.
    pub rows: Vec<Vec<String>>,
    /// What is to be known beside it.
    pub note: String,
}

impl OwnerPart {
    /// Paragraphs under a heading; nothing where all are empty.
    pub(super) fn words(head: &'static str, paragraphs: Vec<String>) -> Option<Self> {
        let paragraphs: Vec<String> = paragraphs.into_iter().filter(|text| !text.is_empty()).collect();
        (!paragraphs.is_empty()).then_some(Self::Words { head, paragraphs })
    }
}

impl OwnerSheet {
    /// The whole sheet as plain text, a paragraph a line.
    #[must_use]
    pub fn text(&self) -> String {
        let mut text = format!("{}\n\n{}\n", self.under, self.headline);
        for part in &self.parts {
            match part {
                OwnerPart::Words { head, paragraphs } => {
                    text += &format!("\n{head}\n");
                    text.extend(paragraphs.iter().map(|paragraph| format!("- {paragraph}\n")));
                }
                OwnerPart::Table(table) => {
                    text += &format!("\n{}\n{}\n", table.head, table.columns.join(" | "));
                    text.extend(
                        table
                            .rows
                            .iter()
                            .map(|row| format!("{}\n", row.join(" | ").replace('\n', " "))),
                    );
                    text += &format!("{}\n", table.note);
                }
            }
        }
        text += "\n";
        text.extend(self.open.iter().map(|open| format!("{open}: ________\n")));
        text
    }
}
