//! Pieces set into two columns a page, each kept whole where a column holds it, and what stands at the foot of the last page.

use super::piece::{Piece, Words};
use crate::canvas::{Block, Canvas, Item, Shape};
use std::collections::VecDeque;

/// Between columns, and between blocks, mm.
pub(crate) const GAP: f64 = 7.0;
/// Air above a piece, mm.
const LEAD: f64 = 3.5;
/// More pages than this are not looked through for the place of what stands at the foot.
const MOST: usize = 40;

/// Heights that are tried for the columns of the last page.
const STEPS: u32 = 40;

/// The room of a page, mm.
pub(crate) struct Page {
    pub left: f64,
    pub top: f64,
    /// Where the columns of the first page begin, under the headline.
    pub first_top: f64,
    pub width: f64,
    pub bottom: f64,
    /// Paragraphs may go on in the second column where that spares a page.
    pub goes_on: bool,
}

impl Page {
    pub fn column_width(&self) -> f64 {
        0.5 * (self.width - GAP)
    }

    fn top(&self, number: usize) -> f64 {
        if number == 0 { self.first_top } else { self.top }
    }
}

/// The pages, none for no pieces; `foot`, if there is one, stands across the foot of the last.
pub(crate) fn set(pieces: &[Piece], page: &Page, foot: Option<Block>) -> Vec<Canvas> {
    // The last page is as much shorter as that takes; which page is the last is found by trying.
    let less = foot.as_ref().map_or(0.0, |foot| foot.height + LEAD);
    let filled = |shorter| filled(pieces.iter().map(copy).collect(), page, shorter, less);
    let mut of = 1;
    let mut pages = loop {
        let pages = filled([of, of]);
        if pages.len() < of {
            // All of it stands on the page before, and leaves no room there: some of it goes over.
            break filled([of - 1, of]);
        }
        if pages.len() == of || of >= MOST {
            break pages;
        }
        of += 1;
    };
    if let (Some(last), Some(foot)) = (pages.last_mut(), foot) {
        last.place(foot.canvas, [page.left, page.bottom - foot.height]);
    }
    pages
}

fn copy(piece: &Piece) -> Piece {
    match piece {
        Piece::Words(words) => Piece::Words(words.clone()),
        Piece::Fixed(block) => Piece::Fixed(again(block)),
        Piece::Floating(block) => Piece::Floating(again(block)),
    }
}

fn again(block: &Block) -> Block {
    Block {
        canvas: block.canvas.clone(),
        width: block.width,
        height: block.height,
    }
}

/// All pages, with `foot` mm kept free at the foot of these, first and last, counted from 1.
fn filled(pieces: VecDeque<Piece>, page: &Page, shorter: [usize; 2], foot: f64) -> Vec<Canvas> {
    let mut left = pieces;
    let mut pages: Vec<Canvas> = Vec::new();
    while !left.is_empty() && pages.len() <= MOST {
        let top = page.top(pages.len());
        let is_shorter = (shorter[0]..=shorter[1]).contains(&(pages.len() + 1));
        let bottom = page.bottom - if is_shorter { foot } else { 0.0 };
        let height = bottom - top;
        let mut rest = left.iter().map(copy).collect();
        let mut canvas = one_page(&mut rest, page, top, [height, height], false);
        if !rest.is_empty() && page.goes_on {
            // Rather than another page, what is said goes on in the next column.
            let mut all = left.iter().map(copy).collect();
            let on = one_page(&mut all, page, top, [height, height], true);
            if all.is_empty() {
                left.clear();
                pages.push(on);
                break;
            }
        }
        if rest.is_empty() {
            let whole = height;
            // The last page has its columns alike.
            let alike = (1..STEPS).map(|step| height * f64::from(step) / f64::from(STEPS));
            let fits = |height: f64| {
                let mut all = left.iter().map(copy).collect();
                let canvas = one_page(&mut all, page, top, [height, whole], false);
                (all.is_empty() && canvas.items.iter().all(|item| lowest(item) <= top + height)).then_some(canvas)
            };
            if let Some(alike) = alike.filter_map(fits).next() {
                canvas = alike;
            }
        }
        left = rest;
        pages.push(canvas);
    }
    pages
}

/// What one page holds in columns so high; what the second height holds is kept whole, or goes on in the second column.
fn one_page(left: &mut VecDeque<Piece>, page: &Page, top: f64, heights: [f64; 2], goes_on: bool) -> Canvas {
    let mut canvas = Canvas::default();
    let width = page.column_width();
    for (x, goes_on) in [(page.left, goes_on), (page.left + width + GAP, false)] {
        let room = Column {
            at: [x, top],
            width,
            height: heights[0],
            whole: heights[1],
            goes_on,
        };
        column(&mut canvas, left, &room);
    }
    canvas
}

/// Room of a column, mm.
struct Column {
    at: [f64; 2],
    width: f64,
    height: f64,
    /// What is no higher than this is kept whole.
    whole: f64,
    /// Paragraphs may go on in the next column all the same.
    goes_on: bool,
}

/// How far down an item reaches, mm.
fn lowest(item: &Item) -> f64 {
    match &item.shape {
        Shape::Path { points, .. } => points.iter().map(|p| p[1]).fold(f64::NEG_INFINITY, f64::max),
        Shape::Circle { centre, radius, .. } => centre[1] + radius,
        Shape::Text(text) => text.at[1],
    }
}

/// Fills one column.
fn column(canvas: &mut Canvas, left: &mut VecDeque<Piece>, of: &Column) {
    let (at, width, height) = (of.at, of.width, of.height);
    let mut y = 0.0;
    let mut later = VecDeque::new();
    while let Some(piece) = left.pop_front() {
        let start = if y == 0.0 { 0.0 } else { y + LEAD };
        let room = height - start;
        let block = match &piece {
            Piece::Words(words) => words.block(width),
            Piece::Fixed(block) | Piece::Floating(block) => again(block),
        };
        // What no column holds goes over as much as it needs.
        if block.height <= room || (y == 0.0 && !matches!(piece, Piece::Words(_))) {
            y = start + block.height;
            canvas.place(block.canvas, [at[0], at[1] + start]);
            continue;
        }
        match piece {
            Piece::Floating(_) => later.push_back(piece),
            Piece::Words(mut words) if of.goes_on => {
                if let Some(block) = words.whole_ones(width, room) {
                    canvas.place(block.canvas, [at[0], at[1] + start]);
                }
                left.push_front(Piece::Words(words));
                break;
            }
            Piece::Words(mut words) if block.height > of.whole && y == 0.0 => {
                part(canvas, &mut words, at, width, height);
                if !words.is_empty() {
                    left.push_front(Piece::Words(words));
                }
                break;
            }
            piece => {
                left.push_front(piece);
                break;
            }
        }
    }
    while let Some(piece) = later.pop_back() {
        left.push_front(piece);
    }
}

/// Sets what a whole column holds of words that it does not hold.
fn part(canvas: &mut Canvas, words: &mut Words, at: [f64; 2], width: f64, height: f64) {
    let block = words.up_to(width, height);
    canvas.place(block.canvas, at);
}
