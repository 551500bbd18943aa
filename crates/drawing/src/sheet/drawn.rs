//! A sheet, drawn.

use super::frame::MARGIN;
use crate::canvas::{Item, Shape, Text};

/// A sheet, drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Width of the paper, mm.
    pub width: f64,
    /// Height of the paper, mm.
    pub height: f64,
    /// What the sheet shows, for file names and window titles.
    pub heading: String,
    /// Title of the whole set.
    pub title: String,
    /// Everything drawn, mm from the top left corner.
    pub items: Vec<Item>,
}

impl Sheet {
    /// Every text of the sheet.
    pub fn texts(&self) -> impl Iterator<Item = &Text> {
        self.items.iter().filter_map(|item| match &item.shape {
            Shape::Text(text) => Some(text),
            _ => None,
        })
    }

    /// The rectangle inside the border, mm: left, top, right, bottom.
    #[must_use]
    pub fn border(&self) -> [f64; 4] {
        [MARGIN, MARGIN, self.width - MARGIN, self.height - MARGIN]
    }
}
