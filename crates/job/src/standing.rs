//! A job without `[slot]` and `[blank]`: the saddle stays, and a nut is made over it.

use crate::fields::f;
use crate::parts::Parts;
use crate::problem::{ProblemKind as P, Why};
use crate::table::Table;

/// Tells what is not used, and what a standing saddle must be known by.
pub(crate) fn check(top: &Table, parts: &Parts) {
    // Tables that speak of a saddle to be made, or of work on it.
    for row in [
        f!("bridge"),
        f!("crown"),
        f!("filing"),
        f!("neck"),
        f!("assess"),
        f!("cut"),
        f!("also"),
    ] {
        if let Some(node) = top.get(row) {
            node.doubt(P::TableOfASaddle {});
        }
    }
    let Some(nut_blank) = &parts.nut_blank else { return };
    let (nut, present) = (&parts.nut, &parts.present);
    if parts.present_node.is_some() {
        present.lacks_standing(f!("present.action_12"), Why::StandingHeight {});
        present.lacks_standing(f!("present.contact_from_fret_12"), Why::StandingPlace {});
    } else {
        nut_blank.refuse(P::StandingUnknown {});
    }
    let Some(node) = parts.nut_node.as_ref().filter(|_| !nut.refused) else {
        return;
    };
    if nut.first_fret_clearance.is_none() && nut.held_at_3.is_none() {
        node.refuse(P::StandingNutUnknown {});
    }
    if nut.new_clearance.is_none() && nut.new_held_at_3.is_none() {
        node.refuse(P::NoNewGap {});
    }
}
