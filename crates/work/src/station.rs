//! Where on the instrument a reading is taken.

use instrument::{At, Board, FretLine, Of, StringRun};
use std::cmp::Ordering;

/// Where along the instrument; those at the bridge stand in the order in which they come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Along {
    /// At the nut's front.
    Nut,
    /// On the crown of a fret, 0 to 24: 0 is a zero fret.
    Fret(u32),
    /// Halfway from the nut to fret 12: what is read of the whole way.
    ToFret12,
    /// Halfway between the frets on which the straightedge rests.
    MidSpan,
    /// On the open string between fret 12 and the bridge.
    OpenString,
    /// On the bridge top in front of the slot.
    BridgeTop,
    /// At the slot's front edge.
    SlotEdge,
    /// On the slot's front wall.
    FrontWall,
    /// On the slot's floor.
    SlotFloor,
    /// On the present saddle's front face, over the bridge.
    SaddleFace,
    /// From the present saddle's bottom edge to its ridge.
    SaddleHeight,
    /// Across the present saddle's top.
    SaddleTop,
    /// On the present saddle's ridge.
    Ridge,
}

impl Along {
    /// Where a kind of reading is taken.
    #[must_use]
    pub fn of(of: Of) -> Self {
        match of {
            Of::NutTo12 => Self::ToFret12,
            Of::Relief => Self::MidSpan,
            Of::RadiusAtNut => Self::Nut,
            Of::RadiusAt12 => Self::Fret(12),
            Of::Clearance | Of::HeldAtThree => Self::Fret(1),
            Of::ZeroFret => Self::Fret(0),
            Of::Action { fret } | Of::Cents { fret } => Self::Fret(fret),
            Of::Inharmonicity => Self::OpenString,
            Of::OverBridge | Of::BridgeTop => Self::BridgeTop,
            Of::SlotEdge => Self::SlotEdge,
            Of::Lean => Self::FrontWall,
            Of::SlotDepth => Self::SlotFloor,
            Of::Exposure => Self::SaddleFace,
            Of::SaddleHeight => Self::SaddleHeight,
            Of::SaddleBack => Self::SaddleTop,
            Of::Contact => Self::Ridge,
        }
    }

    /// Whether it is at the bridge, and not over the neck.
    #[must_use]
    pub fn is_at_bridge(self) -> bool {
        match self {
            Self::Nut | Self::Fret(_) | Self::ToFret12 | Self::MidSpan | Self::OpenString => false,
            Self::BridgeTop
            | Self::SlotEdge
            | Self::FrontWall
            | Self::SlotFloor
            | Self::SaddleFace
            | Self::SaddleHeight
            | Self::SaddleTop
            | Self::Ridge => true,
        }
    }
}

/// A place along an instrument, with the line across it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Station {
    /// Where.
    pub along: Along,
    /// x from fret 0 on the centre line, mm. At the bridge, where places lie close, that of the strings' end by their scale lengths; they
    /// stand in the order of [`Station::before`].
    pub x: f64,
    /// How far the line across goes toward the bridge for each mm toward the treble side, no unit: that of the frets there.
    pub slant: f64,
}

impl Station {
    /// A place along a board.
    #[must_use]
    pub fn on(board: &Board, along: Along) -> Self {
        let fret = |n: u32| *board.frets().line(n);
        let half = |a: FretLine, b: FretLine| FretLine {
            x: 0.5 * (a.x + b.x),
            slant: 0.5 * (a.slant + b.slant),
        };
        let line = match along {
            Along::Nut => fret(0),
            Along::Fret(n) => fret(n),
            Along::ToFret12 => half(fret(0), fret(12)),
            Along::MidSpan => half(fret(1), fret(board.joint_fret())),
            Along::OpenString => half(fret(12), *board.frets().saddle()),
            Along::BridgeTop
            | Along::SlotEdge
            | Along::FrontWall
            | Along::SlotFloor
            | Along::SaddleFace
            | Along::SaddleHeight
            | Along::SaddleTop
            | Along::Ridge => *board.frets().saddle(),
        };
        Self {
            along,
            x: line.crossed_by(&StringRun::CENTRE),
            slant: line.slant,
        }
    }

    /// How two stand to each other, from the nut back; at the bridge, and where two stand at one place, as [`Along`] has them.
    #[must_use]
    pub fn before(&self, other: &Self) -> Ordering {
        let (here, there) = (self.along.is_at_bridge(), other.along.is_at_bridge());
        let by_place = || {
            if here {
                Ordering::Equal
            } else {
                self.x.total_cmp(&other.x)
            }
        };
        here.cmp(&there).then_with(by_place).then(self.along.cmp(&other.along))
    }
}

/// Where across it is: what is read of the present saddle at an end is read under the outer string there.
pub(crate) fn across(of: Of, at: At, strings: usize) -> At {
    match (of, at) {
        (Of::Contact | Of::SaddleHeight | Of::SaddleBack, At::End(0)) => At::String(0),
        (Of::Contact | Of::SaddleHeight | Of::SaddleBack, At::End(_)) => At::String(strings.saturating_sub(1)),
        (_, at) => at,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use instrument::BoardRadius;

    /// The way a repairer goes from the nut to the bridge, on a neck that joins at fret 14.
    #[test]
    fn places_stand_from_the_nut_back() {
        let board = Board::new(650.0, 14, 0.2, BoardRadius::Flat).unwrap();
        let all = [
            Along::Nut,
            Along::Fret(0),
            Along::Fret(1),
            Along::Fret(4),
            Along::ToFret12,
            Along::MidSpan,
            Along::Fret(7),
            Along::Fret(12),
            Along::OpenString,
            Along::BridgeTop,
            Along::SlotEdge,
            Along::FrontWall,
            Along::SlotFloor,
            Along::SaddleFace,
            Along::SaddleHeight,
            Along::SaddleTop,
            Along::Ridge,
        ];
        let stations = all.map(|along| Station::on(&board, along));
        assert!(stations.windows(2).all(|pair| pair[0].before(&pair[1]).is_lt()));
        // Fret 24 of a long board is over the body, and still in front of the bridge.
        assert!(Station::on(&board, Along::Fret(24)).before(&stations[9]).is_lt());
    }

    #[test]
    fn what_is_read_of_the_saddle_at_an_end_is_under_the_outer_string() {
        assert_eq!(across(Of::SaddleHeight, At::End(1), 6), At::String(5));
        assert_eq!(across(Of::SlotDepth, At::End(1), 6), At::End(1));
        assert_eq!(across(Of::Contact, At::String(3), 6), At::String(3));
    }
}
