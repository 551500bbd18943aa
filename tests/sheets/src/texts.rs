//! Texts on the sheets: none overlaps another, leaves the border or is struck by a line. Words and options to try it with.

use drawing::{Point, Shape, Sheet, SheetOptions, Text};
use job::Paper;
use proptest::prelude::*;
use units::BenchUnit;
use work::Hazards;

/// Least size of a font, mm: 9 points of 1/72 in.
pub const LEAST_SIZE: f64 = 9.0 * 25.4 / 72.0;
/// The same of figures: 10 points.
pub const LEAST_FIGURE: f64 = 10.0 * 25.4 / 72.0;
/// Least air between two texts, mm.
const AIR: f64 = 0.3;
/// A line may come this close to the ink's box, mm (the box has the ink's full height along the whole text).
const TOUCH: f64 = 0.05;

/// A box as centre, unit axes and half sizes.
struct Box2 {
    centre: Point,
    axes: [Point; 2],
    half: [f64; 2],
}

impl Box2 {
    fn of(text: &Text) -> Self {
        let [a, b, c, d] = text.corners();
        let axis = |p: Point, q: Point| {
            let (dx, dy) = (q[0] - p[0], q[1] - p[1]);
            let length = dx.hypot(dy).max(1e-9);
            ([dx / length, dy / length], 0.5 * length)
        };
        let ((x, w), (y, h)) = (axis(a, b), axis(a, d));
        Self {
            centre: [0.5 * (a[0] + c[0]), 0.5 * (a[1] + c[1])],
            axes: [x, y],
            half: [w, h],
        }
    }

    /// Separating axes.
    fn overlaps(&self, other: &Self, air: f64) -> bool {
        let apart = [self.centre[0] - other.centre[0], self.centre[1] - other.centre[1]];
        let dot = |a: Point, b: Point| a[0] * b[0] + a[1] * b[1];
        self.axes.iter().chain(&other.axes).all(|axis| {
            let reach = |b: &Self| (0..2).map(|i| b.half[i] * dot(b.axes[i], *axis).abs()).sum::<f64>();
            dot(apart, *axis).abs() < reach(self) + reach(other) + air
        })
    }

    /// Clips the piece against the box.
    fn struck(&self, from: Point, to: Point, grow: f64) -> bool {
        let local = |p: Point| {
            self.axes
                .map(|axis| (p[0] - self.centre[0]) * axis[0] + (p[1] - self.centre[1]) * axis[1])
        };
        let (a, b) = (local(from), local(to));
        let (mut low, mut high): (f64, f64) = (0.0, 1.0);
        for i in 0..2 {
            let (h, d) = (self.half[i] + grow, b[i] - a[i]);
            if d.abs() < 1e-12 {
                if a[i].abs() > h {
                    return false;
                }
                continue;
            }
            let (p, q) = ((-h - a[i]) / d, (h - a[i]) / d);
            low = low.max(p.min(q));
            high = high.min(p.max(q));
        }
        low <= high
    }
}

/// The least upright box around points: what is clear of it needs no closer look.
#[derive(Clone, Copy)]
struct Span([f64; 4]);

impl Span {
    fn of(points: &[Point]) -> Self {
        points.iter().fold(
            Self([f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY]),
            |Self([a, b, c, d]), [x, y]| Self([a.min(*x), b.min(*y), c.max(*x), d.max(*y)]),
        )
    }

    fn clear_of(&self, other: &Self, air: f64) -> bool {
        let ([a, b, c, d], [e, f, g, h]) = (self.0, other.0);
        c + air < e || g + air < a || d + air < f || h + air < b
    }
}

/// A box that grows by so much along turned axes grows by less than this times as much along upright ones.
const TURNED: f64 = 1.5;

/// What is wrong with a sheet's texts.
pub fn complaints(sheet: &Sheet) -> Vec<String> {
    let mut found = Vec::new();
    let texts: Vec<(&Text, Box2, Span)> = sheet
        .texts()
        .map(|t| (t, Box2::of(t), Span::of(&t.corners())))
        .collect();
    let mut paths = Vec::new();
    for item in &sheet.items {
        let Shape::Path {
            points, closed, line, ..
        } = &item.shape
        else {
            continue;
        };
        let grow = TOUCH + line.map_or(0.0, |l| 0.5 * l.width());
        let last = closed.then(|| [points[points.len() - 1], points[0]]);
        let pieces = points.windows(2).map(|w| [w[0], w[1]]).chain(last);
        let pieces: Vec<([Point; 2], Span)> = pieces.map(|piece| (piece, Span::of(&piece))).collect();
        paths.push((item, line, grow, Span::of(points), pieces));
    }
    let [left, top, right, bottom] = sheet.border();
    for (i, (text, place, span)) in texts.iter().enumerate() {
        for [x, y] in text.corners() {
            if x < left + 0.3 || x > right - 0.3 || y < top + 0.3 || y > bottom - 0.3 {
                found.push(format!("\"{}\" leaves the border at {x:.1} {y:.1}", text.content));
            }
        }
        if text.font_size() < LEAST_SIZE {
            found.push(format!("\"{}\" is too small", text.content));
        }
        for (other, at, there) in &texts[i + 1..] {
            if !span.clear_of(there, TURNED * AIR) && place.overlaps(at, AIR) {
                found.push(format!(
                    "\"{}\" at {:?} overlaps \"{}\" at {:?}",
                    text.content, text.at, other.content, other.at
                ));
            }
        }
        for (item, line, grow, all, pieces) in &paths {
            let air = TURNED * grow;
            let strikes =
                |([a, b], near): &([Point; 2], Span)| !near.clear_of(span, air) && place.struck(*a, *b, *grow);
            if !all.clear_of(span, air) && pieces.iter().any(strikes) {
                found.push(format!(
                    "\"{}\" at {:?} is struck by {:?} ({:?})",
                    text.content, text.at, item.id, line
                ));
            }
        }
    }
    found
}

/// Nothing is wrong with any.
pub fn check(sheets: &[Sheet]) -> Result<(), TestCaseError> {
    for sheet in sheets {
        let found = complaints(sheet);
        prop_assert!(found.is_empty(), "{}:\n{}", sheet.heading, found.join("\n"));
    }
    Ok(())
}

/// `count` words of differing length, with signs of the trade, a sign that the font lacks and a combining one.
pub fn words(count: usize) -> String {
    const WORDS: [&str; 9] = [
        "saddle",
        "a",
        "½",
        "E♭",
        "compensation",
        "漢字",
        "e\u{301}tude",
        "Instrumentenbauerwerkstatt",
        "°",
    ];
    let words: Vec<&str> = (0..count).map(|i| WORDS[(7 * i + i / 9) % WORDS.len()]).collect();
    words.join(" ")
}

pub fn options() -> impl Strategy<Value = SheetOptions> {
    (
        prop_oneof![Just(Paper::A4), Just(Paper::Letter)],
        proptest::sample::select(BenchUnit::ALL.to_vec()),
        0usize..40,
        any::<[bool; 2]>(),
        proptest::collection::vec(0usize..60, 0..25),
    )
        .prop_map(|(paper, bench, title, [synthetic, check_law], notes)| SheetOptions {
            paper,
            bench,
            title: words(title),
            headline: String::new(),
            heights: work::Heights::default(),
            steps: Vec::new(),
            hazards: Hazards {
                synthetic,
                check_law,
                ..Hazards::default()
            },
            notes: notes.into_iter().map(words).collect(),
        })
}
