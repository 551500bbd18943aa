//! Where the frets stand: straight lines across the board, square to it or fanned.

use crate::StringRun;
use numerics::math;

/// Highest fret that is known.
pub const MOST_FRETS: usize = 36;

/// Distances along x from fret 0, mm: of the frets, and of the place where the string would end by the scale length alone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FretPlaces {
    frets: [f64; MOST_FRETS + 1],
    scale: f64,
}

impl FretPlaces {
    /// Equal temperament: fret n at `L (1 - 2^(-n/12))`, with the scale length L in mm.
    #[must_use]
    pub fn tempered(scale: f64) -> Self {
        Self {
            frets: std::array::from_fn(|n| scale * tempered(n)),
            scale,
        }
    }

    /// Frets 1, 2, 3 and so on as `measured`, mm from fret 0; those beyond the list divide what is left of `scale` (mm) by equal
    /// temperament. What is in the list beyond fret 36 is not looked at.
    #[must_use]
    pub fn measured(scale: f64, measured: &[f64]) -> Self {
        let last = measured.len().min(MOST_FRETS);
        let from = measured[..last].last().copied().unwrap_or(0.0);
        let beyond = |n: usize| from + (scale - from) * tempered(n - last);
        Self {
            frets: std::array::from_fn(|n| match n {
                0 => 0.0,
                n if n <= last => measured[n - 1],
                n => beyond(n),
            }),
            scale,
        }
    }

    /// Place of fret `n`, mm from fret 0; from fret 36 on that of fret 36.
    #[must_use]
    pub fn fret(&self, n: u32) -> f64 {
        self.frets[(n as usize).min(MOST_FRETS)]
    }

    /// Scale length, mm.
    #[must_use]
    pub fn scale(&self) -> f64 {
        self.scale
    }

    /// From fret 12 to the end of the scale length, mm.
    #[must_use]
    pub fn beyond_12(&self) -> f64 {
        self.scale - self.fret(12)
    }
}

/// Share of the scale length from fret 0 to fret `n` in equal temperament.
fn tempered(n: usize) -> f64 {
    1.0 - math::exp2(-(n as f64) / 12.0)
}

/// A straight line across the board, in plan.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct FretLine {
    /// x on the centre line, mm.
    pub x: f64,
    /// How far it goes toward the bridge for each mm toward the treble side, no unit; 0 where it stands square.
    pub slant: f64,
}

impl FretLine {
    /// Through two points `(x, y)` on the bass and on the treble side, mm.
    fn through(bass: (f64, f64), treble: (f64, f64)) -> Self {
        let slant = (treble.0 - bass.0) / (treble.1 - bass.1);
        Self {
            x: bass.0 - slant * bass.1,
            slant,
        }
    }

    /// x at `y`, mm.
    #[inline]
    #[must_use]
    pub fn at(&self, y: f64) -> f64 {
        self.x + self.slant * y
    }

    /// x where a string's run crosses it, mm.
    #[inline]
    #[must_use]
    pub fn crossed_by(&self, run: &StringRun) -> f64 {
        (self.x + self.slant * run.nut) / (1.0 - self.slant * run.slope)
    }
}

/// All frets as they stand, with the line on which strings would end by their scale lengths alone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frets {
    lines: [FretLine; MOST_FRETS + 1],
    saddle: FretLine,
}

impl Frets {
    /// Every fret square to the centre line.
    #[must_use]
    pub fn square(places: &FretPlaces) -> Self {
        let line = |x: f64| FretLine { x, slant: 0.0 };
        Self {
            lines: places.frets.map(line),
            saddle: line(places.scale),
        }
    }

    /// Every fret straight from its place on the outer bass string to its place on the outer treble string. Where these differ, `None`
    /// unless the spread is known and positive.
    #[must_use]
    pub fn fanned(fan: &Fan, spread: Option<Spread>) -> Option<Self> {
        let [bass, treble] = &fan.outer;
        if bass == treble {
            return Some(Self::square(bass));
        }
        let spread = spread.filter(|wide| wide.nut > 0.0 && wide.saddle > 0.0)?;
        let starts = fan.starts();
        let line = |bass_mm: f64, treble_mm: f64| {
            let half = |share: f64| 0.5 * (spread.nut + (spread.saddle - spread.nut) * share);
            FretLine::through(
                (starts[0] + bass_mm, -half(bass_mm / bass.scale)),
                (starts[1] + treble_mm, half(treble_mm / treble.scale)),
            )
        };
        Some(Self {
            lines: std::array::from_fn(|n| line(bass.frets[n], treble.frets[n])),
            saddle: line(bass.scale, treble.scale),
        })
    }

    /// A string's run from `nut` on fret 0 to `saddle` on the line where strings would end by their scale lengths (both y in mm).
    #[must_use]
    pub fn run(&self, nut: f64, saddle: f64) -> StringRun {
        let (start, end) = (self.line(0).at(nut), self.saddle.at(saddle));
        let slope = (saddle - nut) / (end - start);
        StringRun {
            nut: nut - slope * start,
            slope,
        }
    }

    /// The line of fret `n`; from fret 36 on that of fret 36.
    #[inline]
    #[must_use]
    pub fn line(&self, n: u32) -> &FretLine {
        &self.lines[(n as usize).min(MOST_FRETS)]
    }

    /// The lines of frets 0 to 36.
    pub(crate) fn all(&self) -> &[FretLine] {
        &self.lines
    }

    /// Whether on the centre line each fret stands further than the one before it, and the scale's end beyond all.
    pub(crate) fn rise(&self) -> bool {
        let ends = self.lines[1..].iter().chain([&self.saddle]);
        self.lines.iter().zip(ends).all(|(a, b)| a.x < b.x)
    }

    /// Where strings would end by their scale lengths alone.
    #[inline]
    #[must_use]
    pub fn saddle(&self) -> &FretLine {
        &self.saddle
    }
}

/// Distance across, square to the centre line, between the outer strings' centres at fret 0 and at the end of their scale
/// lengths, mm, positive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// At fret 0.
    pub nut: f64,
    /// At the end of the scale length.
    pub saddle: f64,
}

/// A fanned board: frets at their places along the outer strings, and the fret that stands square to the centre line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fan {
    /// Along the outer bass and the outer treble string.
    pub outer: [FretPlaces; 2],
    /// Number of the fret that stands square, 0 to 36; 0 for a square nut.
    pub square: u32,
}

impl Fan {
    /// x of fret 0 at the outer bass and treble string, mm; their middle is nought.
    fn starts(&self) -> [f64; 2] {
        let [bass, treble] = self.outer.map(|places| places.fret(self.square));
        [0.5 * (treble - bass), 0.5 * (bass - treble)]
    }

    /// How much further toward the bridge fret `n` lies under the outer treble string than under the bass string, mm.
    #[must_use]
    pub fn treble_ahead(&self, n: u32) -> f64 {
        let ([bass, treble], [from, to]) = (self.starts(), &self.outer);
        treble + to.fret(n) - bass - from.fret(n)
    }

    /// The same for the ends of the scale lengths, mm.
    #[must_use]
    pub fn treble_end_ahead(&self) -> f64 {
        self.treble_ahead(0) + self.outer[1].scale - self.outer[0].scale
    }

    /// The places along a string that keeps this share of the way from the bass string (0) to the treble string (1).
    #[must_use]
    pub fn at(&self, share: f64) -> FretPlaces {
        let [bass, treble] = &self.outer;
        let between = |a: f64, b: f64| a + share * (b - a);
        FretPlaces {
            frets: std::array::from_fn(|n| between(bass.frets[n], treble.frets[n])),
            scale: between(bass.scale, treble.scale),
        }
    }
}

/// Distance across, square to the centre line, of what lies `along` apart on a slanting line, one end `ahead` of the other, mm;
/// `None` where that cannot be.
#[must_use]
pub fn across(along: f64, ahead: f64) -> Option<f64> {
    // Where nothing slants there is nothing to work out, and no rounding.
    if ahead == 0.0 {
        return Some(along);
    }
    let square = (along - ahead) * (along + ahead);
    (square > 0.0).then(|| square.sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn equal_temperament_by_list_is_that_by_rule() {
        let rule = FretPlaces::tempered(647.7);
        for count in [12, 20, 36] {
            let list = FretPlaces::measured(647.7, &rule.frets[1..=count]);
            for (a, b) in rule.frets.iter().zip(&list.frets) {
                assert!((a - b).abs() < 1e-12 * 647.7, "{a} {b}");
            }
        }
    }

    proptest! {
        /// A string that keeps its share of the way across is divided like the outer ones: it has a scale length of its own.
        #[test]
        fn a_string_that_keeps_its_share_is_tempered(
            bass in 600.0..760.0f64, less in 0.0..70.0f64, square in 0u32..13, share in 0.0..1.0f64, nut in 30.0..50.0f64, wider in 0.0..25.0f64,
        ) {
            let fan = Fan { outer: [bass, bass - less].map(FretPlaces::tempered), square };
            let spread = Spread { nut, saddle: nut + wider };
            let frets = Frets::fanned(&fan, Some(spread)).unwrap();
            let y = |wide: f64| (share - 0.5) * wide;
            let (start, end) = (frets.line(0).at(y(spread.nut)), frets.saddle().at(y(spread.saddle)));
            let slope = (y(spread.saddle) - y(spread.nut)) / (end - start);
            let run = StringRun { nut: y(spread.nut) - slope * start, slope };
            let scale = bass - share * less;
            prop_assert!((end - start - scale).abs() < 1e-10);
            for n in 0..=36u32 {
                let x = frets.line(n).crossed_by(&run);
                prop_assert!((x - start - scale * tempered(n as usize)).abs() < 1e-10);
            }
            prop_assert!(frets.line(square).slant.abs() < 1e-12);
            prop_assert!(frets.line(0).x.abs() < 1e-10);
            // What a caliper along the slanted nut reads gives the distance across back.
            let ahead = fan.treble_ahead(0);
            prop_assert!((fan.at(share).scale() - scale).abs() < 1e-10);
            prop_assert!((across(math::hypot(nut, ahead), ahead).unwrap() - nut).abs() < 1e-9);
        }

        #[test]
        fn without_a_difference_a_fan_is_square(scale in 500.0..760.0f64, square in 0u32..20) {
            let fan = Fan { outer: [scale; 2].map(FretPlaces::tempered), square };
            let square = Some(Frets::square(&FretPlaces::tempered(scale)));
            prop_assert_eq!(Frets::fanned(&fan, Some(Spread { nut: 40.0, saddle: 55.0 })), square);
            prop_assert_eq!(Frets::fanned(&fan, None), square);
            prop_assert!((fan.treble_ahead(7), fan.treble_end_ahead()) == (0.0, 0.0));
        }
    }

    #[test]
    fn a_slant_longer_than_the_line_is_none() {
        assert_eq!(across(40.0, 41.0), None);
        assert_eq!(across(40.0, 0.0), Some(40.0));
    }
}
