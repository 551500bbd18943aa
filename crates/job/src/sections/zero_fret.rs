//! A zero fret in place of a nut: keys of `[nut]`.

use crate::fields::f;
use crate::may::May;
use crate::per_string::PerString;
use crate::problem::{ProblemKind as P, Why};
use crate::table::Table;

/// A zero fret as read.
pub(crate) struct ZeroFret<'a> {
    /// Its crown over the plane of the others, where it was read so.
    pub(crate) above: Option<PerString<'a>>,
    /// What is done to it.
    pub(crate) work: Work<'a>,
}

/// What is done to a zero fret.
pub(crate) enum Work<'a> {
    /// Nothing.
    Kept,
    /// Its crown is filed down by so much.
    Dressed(PerString<'a>),
    /// Other wire, whose crown stands above the present one by so much.
    NewWire(PerString<'a>),
}

#[derive(Clone, Copy, PartialEq)]
enum Word {
    Kept,
    Dressed,
    NewWire,
}

impl Word {
    const ALL: [Self; 3] = [Self::Kept, Self::Dressed, Self::NewWire];

    fn written(self) -> &'static str {
        match self {
            Self::Kept => "kept",
            Self::Dressed => "dressed",
            Self::NewWire => "new wire",
        }
    }
}

impl<'a> ZeroFret<'a> {
    /// From the table `[nut]`.
    pub(crate) fn read(table: &Table<'a>) -> May<Self> {
        let [above_row, dressed_row, wire_row] = [f!("nut.zero_fret_above"), f!("nut.dressed"), f!("nut.new_wire")];
        let word = table.choice(f!("nut.zero_fret"), Word::ALL);
        let [above, dressed, wire] = [above_row, dressed_row, wire_row].map(|row| table.strings(row));
        let word = match word {
            May::Read(word) => word,
            May::Unread => return May::Unread,
            May::Absent => {
                let mut stray = false;
                for node in [above_row, dressed_row, wire_row]
                    .iter()
                    .filter_map(|row| table.get(row))
                {
                    node.refuse(P::NoZeroFret {});
                    stray = true;
                }
                return if stray { May::Unread } else { May::Absent };
            }
        };
        let mut sound = true;
        let mut refuse = |row, kind: P| {
            if let Some(node) = table.get(row) {
                node.refuse(kind);
                sound = false;
            }
        };
        for row in [f!("nut.new_clearance"), f!("nut.new_held_at_3")] {
            refuse(row, P::ZeroFretNoNewGap {});
        }
        refuse(f!("nut.setback"), P::ZeroFretNotSetBack {});
        let word_is = word.written();
        for (row, own) in [(dressed_row, Word::Dressed), (wire_row, Word::NewWire)] {
            if word != own {
                let other = own.written();
                refuse(row, P::ZeroFretOtherWork { word: word_is, other });
            }
        }
        let gaps = [f!("nut.first_fret_clearance"), f!("nut.held_at_3")].map(|row| table.get(row).is_some());
        match (gaps.contains(&true), table.get(above_row)) {
            (true, Some(node)) => {
                node.refuse(P::ZeroFretReadTwice {});
                sound = false;
            }
            (false, None) => {
                table.lacks(f!("nut.first_fret_clearance"), Why::ZeroFretHeight {});
                sound = false;
            }
            _ => {}
        }
        let amount = |row, read: May<PerString<'a>>| {
            if table.get(row).is_none() {
                table.lacks(row, Why::ZeroFretWork { word: word_is });
            }
            read.given()
        };
        let work = match word {
            Word::Kept => Some(Work::Kept),
            Word::Dressed => amount(dressed_row, dressed).map(Work::Dressed),
            Word::NewWire => amount(wire_row, wire).map(Work::NewWire),
        };
        match (work, above.sound()) {
            (Some(work), Some(above)) if sound => May::Read(Self { above, work }),
            _ => May::Unread,
        }
    }

    /// How far the work raises the crown, mm at each string with these shares of the width.
    pub(crate) fn rises(&self, shares: &[f64]) -> Vec<f64> {
        match &self.work {
            Work::Kept => vec![0.0; shares.len()],
            // Nought has no sign.
            Work::Dressed(by) => by.resolve(shares).into_iter().map(|by| 0.0 - by).collect(),
            Work::NewWire(by) => by.resolve(shares),
        }
    }
}
