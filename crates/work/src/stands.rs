//! Which readings nothing checks, and how large a slip would hide there.

use crate::Planned;
use crate::doubted::{ReadAt, Told, numbers, read_at};

/// A reading with what a slip in it would do.
#[derive(Debug, Clone, PartialEq)]
pub struct Stands {
    /// The reading.
    pub reading: ReadAt,
    /// Whether no other reading would reveal a slip in it.
    pub is_unchecked: bool,
    /// The largest slip that would go unnoticed one time in five, in its own unit; infinite where nothing checks it.
    pub hidden: f64,
}

impl Planned {
    /// How every reading of this job stands, in the order of the survey; none where no instrument is known, or nothing was read beside
    /// what a survey must have. Of several saddles each has its own.
    #[must_use]
    pub fn stands(&self) -> Vec<Stands> {
        let Some(evidence) = self.evidence.as_ref() else {
            return Vec::new();
        };
        if evidence.readings.taken.iter().all(|taken| taken.doubted) {
            return Vec::new();
        }
        let (seen, known) = (evidence.seen(), &evidence.known);
        let told = &Told { seen, known };
        let numbers = numbers(&told.seen);
        let standings = evidence.known.standings().into_iter();
        let stands = standings.filter_map(|standing| {
            Some(Stands {
                reading: read_at(told, &numbers, evidence.known.rows.get(standing.row)?)?,
                is_unchecked: standing.is_unchecked(),
                hidden: standing.hidden,
            })
        });
        stands.collect()
    }
}
