//! Headed paragraphs set into columns, from one to the next.

use crate::canvas::{Anchor, Canvas, Lettering, Point};
use crate::text::{clean, wrap};
use std::collections::VecDeque;

/// Lettering of the paragraphs: large enough for one who does not read drawings.
const TEXT: Lettering = Lettering {
    capitals: 2.3,
    bold: false,
};
const HEAD: Lettering = Lettering::BODY_BOLD;

/// Room for a column, mm.
#[derive(Debug, Clone, Copy)]
pub(super) struct Column {
    pub at: Point,
    pub width: f64,
    pub height: f64,
}

struct Paragraph {
    text: String,
    head: bool,
    /// Whether its beginning stands in another column.
    goes_on: bool,
}

/// Paragraphs still to be set.
pub(super) struct Flow(VecDeque<Paragraph>);

impl Flow {
    pub fn new<'a>(parts: impl IntoIterator<Item = (&'a str, &'a Vec<String>)>) -> Self {
        let mut all = VecDeque::new();
        for (head, paragraphs) in parts {
            let texts: Vec<String> = paragraphs.iter().map(|p| clean(p)).filter(|p| !p.is_empty()).collect();
            if texts.is_empty() {
                continue;
            }
            let one = |text: String, head| Paragraph {
                text,
                head,
                goes_on: false,
            };
            all.push_back(one(head.to_owned(), true));
            all.extend(texts.into_iter().map(|text| one(text, false)));
        }
        Self(all)
    }

    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Sets what the column holds; the rest stays. A heading stays with the first lines below it.
    pub fn fill(&mut self, canvas: &mut Canvas, column: Column) {
        let mut y = 0.0;
        while let Some(paragraph) = self.0.pop_front() {
            let lettering = if paragraph.head { HEAD } else { TEXT };
            let lead = match (y == 0.0 || paragraph.goes_on, paragraph.head) {
                (true, _) => 0.0,
                (false, true) => 3.5,
                (false, false) => 1.3,
            };
            let below = if paragraph.head { 2.0 * TEXT.line() + 1.3 } else { 0.0 };
            let lines = wrap(&paragraph.text, column.width, lettering.capitals, lettering.bold);
            let mut line_top = y + lead;
            let mut set = 0;
            for line in &lines {
                if line_top + lettering.line() + below > column.height {
                    break;
                }
                let at = [column.at[0], column.at[1] + line_top + lettering.capitals];
                canvas.text(at, line.clone(), lettering, Anchor::Start);
                line_top += lettering.line();
                set += 1;
            }
            if set < lines.len() {
                self.0.push_front(Paragraph {
                    text: lines[set..].join(" "),
                    goes_on: set > 0 || paragraph.goes_on,
                    ..paragraph
                });
                return;
            }
            y = line_top;
        }
    }
}
