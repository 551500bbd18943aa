//! Where the marks of what was read stand in a picture: stations side by side in their order, strings one under the other. Only the order
//! is true along; a fan of frets keeps its slant.

use crate::canvas::Point;
use instrument::At;
use work::{Along, Rounds, Station};

/// Between two rounds at one station, as a share of the pitch.
const WITHIN: f64 = 1.0;
/// Between the last round of a station and the first of the next, over the neck or over the bridge.
const BETWEEN: f64 = 1.4;
/// From the last station over the neck to the first at the bridge.
const TO_BRIDGE: f64 = 2.2;
/// Before the first round and behind the last.
const ENDS: [f64; 2] = [1.3, 1.6];
/// Thickness of the nut, and half the width of a crown beyond the rounds on it, as shares of the pitch.
const NUT: f64 = 0.5;
const CROWN: f64 = 0.38;

/// What a picture has room for, in its own unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadRoom {
    /// Width.
    pub width: f64,
    /// Height between the outer strings, at most.
    pub height: f64,
    /// Least and most between two strings.
    pub strings: (f64, f64),
    /// Most between two rounds.
    pub pitch: f64,
}

/// A station with the rounds that are taken there.
#[derive(Debug, Clone, PartialEq)]
pub struct Spot {
    /// The station.
    pub station: Station,
    /// Its first and last round on the centre line; the same place twice where it has none.
    pub from_to: [f64; 2],
}

impl Spot {
    /// Its middle on the centre line.
    #[must_use]
    pub fn middle(&self) -> f64 {
        0.5 * (self.from_to[0] + self.from_to[1])
    }
}

/// A layout in the picture's own unit; x to the right from the nut, and across from the centre line toward the treble side.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadLayout {
    /// Each round on the centre line, with the slant of its line across.
    pub columns: Vec<(f64, f64)>,
    /// Stations, from the nut back: nut, fret 12 and ridge are always among them.
    pub spots: Vec<Spot>,
    /// Each string from the centre line toward the treble side, bass to treble.
    pub across: Vec<f64>,
    /// Least distance between two rounds.
    pub pitch: f64,
    /// Whether the bass side is up: the picture of a left-handed instrument is the mirror image of a right-handed one's.
    pub bass_up: bool,
    /// Half the width of the board.
    pub half: f64,
    /// Where the picture ends.
    pub width: f64,
}

impl ReadLayout {
    /// For so much room.
    #[must_use]
    pub fn of(read: &Rounds, room: ReadRoom) -> Self {
        let across = across(read, room);
        let half = across.last().copied().unwrap_or(0.0) + 0.5 * room.strings.1;
        let mut stations = read.always.clone();
        for round in &read.rounds {
            if stations.iter().all(|known| known.along != round.station.along) {
                stations.push(round.station);
            }
        }
        stations.sort_by(Station::before);
        let counts: Vec<usize> = stations
            .iter()
            .map(|station| {
                read.rounds
                    .iter()
                    .filter(|round| round.station.along == station.along)
                    .count()
                    .max(1)
            })
            .collect();
        // Steps from place to place: a share of the pitch, and what the slants' difference needs.
        let mut steps: Vec<(f64, f64)> = Vec::new();
        for (i, (station, count)) in stations.iter().zip(&counts).enumerate() {
            let before = i.checked_sub(1).and_then(|i| stations.get(i));
            steps.push(match before {
                None => (ENDS[0], station.slant.abs() * half),
                Some(before) => {
                    let into_bridge = station.along.is_at_bridge() && !before.along.is_at_bridge();
                    let share = if into_bridge { TO_BRIDGE } else { BETWEEN };
                    (share, (station.slant - before.slant).abs() * half)
                }
            });
            steps.extend((1..*count).map(|_| (WITHIN, 0.0)));
        }
        let last = stations.last().map_or(0.0, |station| station.slant.abs() * half);
        let shares: f64 = steps.iter().map(|step| step.0).sum::<f64>() + ENDS[1];
        let fixed: f64 = steps.iter().map(|step| step.1).sum::<f64>() + last;
        let pitch = ((room.width - fixed) / shares).clamp(0.0, room.pitch);
        let mut x = 0.0;
        let mut places = steps.iter().map(|(share, fixed)| {
            x += share * pitch + fixed;
            x
        });
        let mut columns = vec![(0.0, 0.0); read.rounds.len()];
        let mut spots = Vec::new();
        for (station, count) in stations.iter().zip(&counts) {
            let own: Vec<f64> = places.by_ref().take(*count).collect();
            let (Some(from), Some(to)) = (own.first(), own.last()) else {
                continue;
            };
            spots.push(Spot {
                station: *station,
                from_to: [*from, *to],
            });
            let rounds = read.rounds.iter().enumerate();
            let here = rounds.filter(|(_, round)| round.station.along == station.along);
            for ((i, _), place) in here.zip(own) {
                columns[i] = (place, station.slant);
            }
        }
        Self {
            columns,
            across,
            pitch,
            bass_up: read.left_handed,
            half,
            width: x + ENDS[1] * pitch + last,
            spots,
        }
    }

    /// The spot of a station, if it is there.
    #[must_use]
    pub fn spot(&self, along: Along) -> Option<&Spot> {
        self.spots.iter().find(|spot| spot.station.along == along)
    }

    /// The first spot at the bridge; the ridge is always there.
    #[must_use]
    pub fn bridge(&self) -> Option<&Spot> {
        self.spots.iter().find(|spot| spot.station.along.is_at_bridge())
    }

    /// Where the nut's front stands on the centre line; what is read at it stands before it.
    #[must_use]
    pub fn nut_front(&self) -> f64 {
        self.spot(Along::Nut)
            .map_or(0.0, |spot| spot.from_to[0] - 0.55 * self.pitch)
    }

    /// Thickness of the nut.
    #[must_use]
    pub fn nut_thick(&self) -> f64 {
        NUT * self.pitch
    }

    /// A crown with the rounds on it.
    #[must_use]
    pub fn crown(&self, spot: &Spot) -> [f64; 2] {
        let [from, to] = spot.from_to;
        [from - CROWN * self.pitch, to + CROWN * self.pitch]
    }

    /// Front and back of the bridge.
    #[must_use]
    pub fn bridge_ends(&self) -> [f64; 2] {
        let from = self.bridge().map_or(0.0, |spot| spot.from_to[0]);
        let to = self.spot(Along::Ridge).map_or(0.0, |spot| spot.from_to[1]);
        [from - 0.9 * self.pitch, to + 1.2 * self.pitch]
    }

    /// Front and back of the saddle, which fills its slot where there is one.
    #[must_use]
    pub fn saddle_ends(&self, has_slot: bool) -> [f64; 2] {
        let ridge = self.spot(Along::Ridge).map_or([0.0; 2], |spot| spot.from_to);
        let in_slot = |spot: &&Spot| spot.station.along.is_at_bridge() && spot.station.along != Along::BridgeTop;
        let first = self.spots.iter().find(in_slot).filter(|_| has_slot);
        let front = match first {
            Some(spot) if spot.station.along == Along::SlotEdge => spot.middle(),
            Some(spot) => spot.from_to[0] - 0.55 * self.pitch,
            None => ridge[0] - 0.55 * self.pitch,
        };
        [front, ridge[1] + 0.6 * self.pitch]
    }

    /// From the centre line toward the treble side.
    #[must_use]
    pub fn toward_treble(&self, at: At) -> f64 {
        let of = |string: usize| self.across.get(string).copied().unwrap_or(0.0);
        match at {
            At::Whole => 0.0,
            At::End(0) => of(0),
            At::End(_) => self.across.last().copied().unwrap_or(0.0),
            At::String(string) => of(string),
        }
    }

    /// A place `treble` toward the treble side on a line across that crosses the centre line at `x`: right of the picture's left edge and
    /// below its centre line.
    #[must_use]
    pub fn place(&self, x: f64, slant: f64, treble: f64) -> Point {
        let up = if self.bass_up { -treble } else { treble };
        [x + slant * treble, -up]
    }

    /// Where the mark of a round stands.
    #[must_use]
    pub fn mark(&self, round: usize, at: At) -> Point {
        let (x, slant) = self.columns.get(round).copied().unwrap_or_default();
        self.place(x, slant, self.toward_treble(at))
    }
}

/// Strings about the centre line, as far apart as they are at the bridge and as the room allows: pairs stay pairs.
fn across(read: &Rounds, room: ReadRoom) -> Vec<f64> {
    let gaps: Vec<f64> = read.lanes.windows(2).map(|pair| pair[1].y - pair[0].y).collect();
    let (least, most) = room.strings;
    let with = |scale: f64| -> Vec<f64> { gaps.iter().map(|gap| (scale * gap).clamp(least, most)).collect() };
    // The widest gap as wide as it may be, or as much smaller, in steps of a hundredth, as the height wants.
    let widest = gaps.iter().copied().fold(0.0, f64::max);
    let steps = (1..=100)
        .rev()
        .map(|hundredth| 0.01 * f64::from(hundredth) * most / widest);
    let fitting = steps.map(with).find(|gaps| gaps.iter().sum::<f64>() <= room.height);
    let gaps = fitting.unwrap_or_else(|| vec![least; gaps.len()]);
    let whole: f64 = gaps.iter().sum();
    let mut at = -0.5 * whole;
    let mut all = vec![at];
    for gap in gaps {
        at += gap;
        all.push(at);
    }
    all
}

/// Line of a mark as a share of the thickest, 0 to 1, by [`work::Mark::takes_up`]: a reading that takes up a quarter of the tolerance has one
/// half as thick as one that takes up all of it.
#[must_use]
pub fn read_weight(takes_up: Option<f64>) -> f64 {
    takes_up.unwrap_or(0.0).clamp(0.0, 1.0).sqrt()
}
