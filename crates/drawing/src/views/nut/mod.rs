//! The views of a nut. Third angle: the view from above stands over the front view, which is seen from the frets. There a
//! right-handed nut has its bass end to the left.

pub(crate) mod part;
pub(crate) mod pattern;
pub(crate) mod section;
pub(crate) mod table;

use super::callouts::{Callout, Row};
use crate::canvas::{Canvas, Lettering, Point};
use crate::figures::Figures;
use numerics::math;
use nut::{NutPlan, NutString};

/// Room at each end of a view for words and dimensions, mm.
const SIDE: f64 = 19.0;
/// Least width of a view, mm, for its heading.
const LEAST_WIDTH: f64 = 100.0;
/// Chords of a top's curve, and of half a slot's floor.
const TOP_CHORDS: u32 = 96;
const FLOOR_CHORDS: u32 = 8;

/// A nut with what every view needs of it.
pub(crate) struct NutScene<'a> {
    pub plan: &'a NutPlan,
    /// Note names, bass to treble; may be empty.
    pub names: &'a [String],
    pub figures: Figures,
}

/// Places of one view on the sheet, `scale` times the part.
#[derive(Clone, Copy)]
pub(crate) struct View {
    pub scale: f64,
    /// x where u is 0, mm.
    zero: f64,
    /// 1 with the bass to the left, -1 mirrored.
    sign: f64,
}

impl View {
    /// x of a place along the nut, mm.
    pub fn x(self, u: f64) -> f64 {
        self.zero + self.sign * self.scale * u
    }

    /// The place of `(u, w)` on the sheet, w mm up (or back) from the line at `bottom`.
    pub fn at(self, u: f64, w: f64, bottom: f64) -> Point {
        [self.x(u), bottom - self.scale * w]
    }
}

impl NutScene<'_> {
    /// Width of a view at `scale`, mm.
    pub fn width(&self, scale: f64) -> f64 {
        (scale * self.plan.blank.length + 2.0 * SIDE).max(LEAST_WIDTH)
    }

    /// The nut in the middle of a view.
    pub fn view(&self, scale: f64) -> View {
        let length = scale * self.plan.blank.length;
        let left = 0.5 * (self.width(scale) - length);
        let (zero, sign) = if self.plan.left_handed {
            (left + length, -1.0)
        } else {
            (left, 1.0)
        };
        View { scale, zero, sign }
    }

    /// Left and right end of the blank on the sheet, mm.
    pub fn sides(&self, view: View) -> (f64, f64) {
        let (a, b) = (view.x(0.0), view.x(self.plan.blank.length));
        (a.min(b), a.max(b))
    }

    /// Highest v of the finished nut, mm.
    pub fn crest(&self) -> f64 {
        self.along().map(|u| self.plan.top.height(u)).fold(0.0, f64::max)
    }

    /// Places from the bass to the treble end of the finished nut.
    fn along(&self) -> impl Iterator<Item = f64> {
        let [start, end] = self.plan.ends;
        (0..=TOP_CHORDS).map(move |i| start + (end - start) * f64::from(i) / f64::from(TOP_CHORDS))
    }

    /// The finished nut from the front, `(u, v)`: bottom, ends, and the top with its slots.
    pub fn outline(&self, slots: bool) -> Vec<[f64; 2]> {
        let [start, end] = self.plan.ends;
        let mut points = vec![[end, 0.0], [start, 0.0]];
        let cuts: Vec<(f64, f64, Vec<[f64; 2]>)> = if slots {
            self.plan.strings.iter().filter_map(|s| self.slot(s)).collect()
        } else {
            Vec::new()
        };
        let mut next = cuts.iter().peekable();
        let mut clear = f64::NEG_INFINITY;
        for u in self.along() {
            while let Some((from, to, cut)) = next.next_if(|cut| cut.0 <= u) {
                if *from > clear {
                    points.extend(cut);
                    clear = *to;
                }
            }
            if u > clear {
                points.push([u, self.plan.top.height(u)]);
            }
        }
        points
    }

    /// One slot's cut into the top: where it begins and ends along the nut, and its corners.
    fn slot(&self, s: &NutString) -> Option<(f64, f64, Vec<[f64; 2]>)> {
        let radius = 0.5 * s.width;
        if s.depth <= 0.0 {
            return None;
        }
        // A slot shallower than its radius is a piece of the circle.
        let sunk = (radius - s.depth).max(0.0);
        let half = (radius * radius - sunk * sunk).sqrt();
        let lip = |u: f64| [u, self.plan.top.height(u).max(s.floor)];
        let mut cut = vec![lip(s.u - half)];
        let open = math::asin(half / radius);
        for i in 0..=2 * FLOOR_CHORDS {
            let turn = open * (f64::from(i) / f64::from(FLOOR_CHORDS) - 1.0);
            cut.push([
                s.u + radius * math::sin(turn),
                s.floor + radius * (1.0 - math::cos(turn)),
            ]);
        }
        cut.push(lip(s.u + half));
        Some((s.u - half, s.u + half, cut))
    }

    /// A callout for every string, `lines` telling its figures.
    pub fn row(&self, view: View, lines: impl Fn(&NutString) -> Vec<String>) -> Row {
        let callouts = self.plan.strings.iter().map(|s| Callout {
            x: view.x(s.u),
            number: s.number,
            lines: lines(s),
            held: false,
        });
        Row::new(callouts.collect(), 0.0, self.width(view.scale))
    }

    /// Words for the left and the right end.
    pub fn end_words(&self) -> [&'static str; 2] {
        if self.plan.left_handed {
            ["TREBLE", "BASS"]
        } else {
            ["BASS", "TREBLE"]
        }
    }

    /// Names of the ends beside a view whose lower edge lies at `y`.
    pub fn name_ends(&self, canvas: &mut Canvas, view: View, y: f64) {
        let (left, right) = self.sides(view);
        let [at_left, at_right] = self.end_words();
        let lettering = Lettering::SMALL_BOLD;
        canvas.text([left - 2.0, y], at_left, lettering, crate::canvas::Anchor::End);
        canvas.text([right + 2.0, y], at_right, lettering, crate::canvas::Anchor::Start);
    }
}
