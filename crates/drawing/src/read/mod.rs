//! What was read: the instrument with a mark at every reading's place, thick where it is unsure and struck through where it is doubted, and a
//! list of the rounds. It is not at true scale, so it carries no bars.

mod above;
mod layout;
mod list;
mod mark;
mod side;

pub use layout::{ReadLayout, ReadRoom, Spot, read_weight};

use crate::canvas::{Anchor, Canvas, Lettering};
use crate::text::{fonts_readable, wrap};
use crate::unscaled::{Frame, framed, room};
use crate::{DrawingError, Sheet, SheetOptions};
use job::Job;
use list::List;
use report::{ReadWords, read_words};
use units::BenchUnit;
use work::{Hazards, Rounds};

const TEXT: Lettering = Lettering::BENCH;
/// Room left of the nut for the strings' numbers, mm.
const NUMBERS: f64 = 7.0;
/// Between blocks, mm.
const GAP: f64 = 4.0;
/// Between columns, mm.
const BETWEEN: f64 = 7.0;
/// What the picture has room for, but for its size, mm.
const ROOM: ReadRoom = ReadRoom {
    width: 0.0,
    height: 0.0,
    strings: (3.8, 7.0),
    pitch: 15.0,
};
/// Most between the outer strings, mm; the lower ones where the list then needs fewer sheets.
const HEIGHTS: [f64; 3] = [49.0, 42.0, 35.0];
/// Most rounds of one picture: their numbers stand in two rows, so far apart at least. More go on another sheet.
const MOST: usize = 36;

/// The sheets of what was read of a job's instrument, lengths in words in `bench`.
///
/// # Errors
/// As [`read_sheets`].
pub fn read_sheets_of(job: &Job, read: &Rounds, bench: BenchUnit) -> Result<Vec<Sheet>, DrawingError> {
    let options = SheetOptions {
        bench,
        ..SheetOptions::of(job, Hazards::default(), Vec::new())
    };
    read_sheets(read, &read_words(read, bench), &options)
}

/// The sheets of what was read, one or more.
///
/// # Errors
/// No strings, places that are not numbers, or a font that cannot be read.
pub fn read_sheets(read: &Rounds, words: &ReadWords, options: &SheetOptions) -> Result<Vec<Sheet>, DrawingError> {
    if read.lanes.is_empty() {
        return Err(DrawingError::NoStrings);
    }
    if !fonts_readable() {
        return Err(DrawingError::Font);
    }
    let ways = HEIGHTS.map(|height| pages(read, words, options, height));
    let pages = ways.into_iter().min_by_key(Vec::len).unwrap_or_default();
    let of = pages.len();
    let one = |(i, page)| {
        let frame = Frame {
            name: "what was read",
            under: words.heading,
            small: TEXT,
            number_of: [i + 1, of],
        };
        framed(page, &frame, options)
    };
    pages.into_iter().enumerate().map(one).collect()
}

/// What stands on the sheets, the outer strings at most `height` mm apart.
fn pages(read: &Rounds, words: &ReadWords, options: &SheetOptions, height: f64) -> Vec<Canvas> {
    let [left, top, right, bottom] = room(options.paper);
    let width = right - left;
    let mut list = List::new(&words.lines, &words.legend);
    let mut pages: Vec<Canvas> = Vec::new();
    let mut pieces = pieces(read).into_iter();
    loop {
        let piece = pieces.next();
        if !pages.is_empty() && piece.is_none() && list.is_empty() {
            break;
        }
        let mut canvas = Canvas::default();
        let mut y = top;
        if let Some((first, piece)) = piece {
            let room = ReadRoom {
                width: width - NUMBERS,
                height,
                ..ROOM
            };
            y = pictured(&mut canvas, &piece, first, words, [left, top], room) + GAP;
        }
        let across = 0.5 * (width - BETWEEN);
        list.fill_two(&mut canvas, [left, left + across + BETWEEN], y, [across, bottom - y]);
        pages.push(canvas);
    }
    pages
}

/// Parts of the rounds that one picture holds, about as many in each, with the number of its first round.
fn pieces(read: &Rounds) -> Vec<(usize, Rounds)> {
    let pictures = read.rounds.len().div_ceil(MOST).max(1);
    let each = read.rounds.len().div_ceil(pictures).max(1);
    let part = |(i, rounds): (usize, &[work::Round])| {
        let part = Rounds {
            rounds: rounds.to_vec(),
            ..read.clone()
        };
        (1 + i * each, part)
    };
    read.rounds.chunks(each).enumerate().map(part).collect()
}

/// The pictures with the words over them; answers where they end.
fn pictured(
    canvas: &mut Canvas,
    read: &Rounds,
    first: usize,
    words: &ReadWords,
    [left, top]: [f64; 2],
    room: ReadRoom,
) -> f64 {
    let width = room.width + NUMBERS;
    let mut y = top;
    for line in wrap(words.how, width, TEXT.capitals, TEXT.bold) {
        canvas.text([left, y + TEXT.capitals], line, TEXT, Anchor::Start);
        y += TEXT.line();
    }
    y += 0.5 * GAP;
    let layout = ReadLayout::of(read, room);
    // In the middle, where it is not as wide as the paper.
    let x = left + NUMBERS + 0.5 * (room.width - layout.width).max(0.0);
    let (above, feet) = above::above(read, &layout, first);
    let side = side::side(read, &layout, &feet, above.height);
    let height = above.height;
    canvas.place(above.canvas, [x, y]);
    canvas.place(side.canvas, [x, y + height]);
    y + height + side.height
}
