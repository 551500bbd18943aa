//! The ways out of a plan that holds strings at the land.

use crate::best_slot::best_slot;
use crate::ways_out::{HEARD, LIKE, MOST_SETBACK, NutWay, SlotWay, ThickerWay, Way, WayLeft, WaysOut, Worst};
use crate::{Hold, Plan, SaddleSurvey, StringPlan};
use numerics::find_root;
use strings::{FRETS, Point};

/// Range of nut setbacks searched, as a share of the scale length.
const NUT_RANGE: f64 = 0.05;
/// Tolerance of that search, mm or cents.
const NUT_TOLERANCE: f64 = 1e-10;

/// Ways out for strings that are held and off at fret 12 by more than the survey calls good; `None` without any.
pub(crate) fn ways_out(survey: &SaddleSurvey, plan: &Plan) -> Option<WaysOut> {
    let off: Vec<&StringPlan> = plan.strings.iter().filter(|s| s.asks(survey.good_cents)).collect();
    if off.is_empty() {
        return None;
    }
    let blank = &plan.blank;
    let best = best_slot(survey, plan)?;
    let slot = SlotWay {
        bass: best.shift[0],
        treble: best.shift[1],
        furthest: best.furthest,
        fits: best.fits,
    };
    let moved = plan.strings.iter().zip(&best.contacts);
    let moved = moved.filter(|(s, (_, hold))| s.asks(survey.good_cents) || *hold != Hold::Free);
    let by_slot = moved.map(|(s, (x, _))| (s.number, heard(s, s.nut, s.side_at(*x))));
    let by_slot = worst(by_slot)?;
    let wanted = plan.strings.iter().map(|s| s.wanted.b);
    let low = wanted.clone().fold(f64::INFINITY, f64::min);
    let high = wanted.fold(f64::NEG_INFINITY, f64::max);
    let forward = (blank.land - low).max(0.0);
    let back = (high + blank.land - blank.thickness).max(0.0);
    let thicker = ThickerWay {
        thickness: blank.thickness + forward + back,
        forward,
        back,
    };
    let at_wanted = |s: &StringPlan| s.side_at(plan.frame.to_fret(s.wanted).x);
    let by_thicker = worst(off.iter().map(|s| (s.number, heard(s, s.nut, at_wanted(s)))))?;
    let nut: Vec<NutWay> = off.iter().map(|s| nut_way(plan, s)).collect();
    let by_nut = worst(nut.iter().map(|way| (way.string, way.heard())))?;
    // A nut that reaches over the board can be taken off again; one that is filed back cannot.
    let filed = |(way, s): (&NutWay, &&StringPlan)| way.setback.is_some_and(|setback| setback > s.nut_setback);
    let reversible = !nut.iter().zip(&off).any(filed);
    let left = |way, reversible, worst| WayLeft { way, reversible, worst };
    let cuts = [left(Way::Thicker, false, by_thicker), left(Way::Slot, false, by_slot)];
    let nut_way = (!plan.zero_fret).then(|| left(Way::Nut, reversible, by_nut));
    let ways: Vec<WayLeft> = nut_way.into_iter().chain(cuts).collect();
    Some(WaysOut {
        slot,
        thicker,
        nut,
        order: mildest_first(&ways),
    })
}

/// Errors at [`HEARD`], cents.
fn heard(s: &StringPlan, nut: Point, saddle: Point) -> [f64; HEARD.len()] {
    let cents = s.string.cents(nut, saddle);
    let [one, two, three, four, five, .., twelve] = cents;
    [one, two, three, four, five, twelve]
}

/// The largest error of any string.
fn worst(strings: impl Iterator<Item = (u32, [f64; HEARD.len()])>) -> Option<Worst> {
    let notes = strings.flat_map(|(string, cents)| {
        HEARD
            .into_iter()
            .zip(cents)
            .map(move |(fret, cents)| Worst { string, fret, cents })
    });
    notes.max_by(|a, b| a.cents.abs().total_cmp(&b.cents.abs()))
}

/// `ways` come by what they cut, the least first, and go by what they leave, but no way stands behind a like one that cuts more.
fn mildest_first(ways: &[WayLeft]) -> Vec<WayLeft> {
    let size = |way: &WayLeft| way.worst.cents.abs();
    let mut order = ways.to_vec();
    order.sort_by(|a, b| size(a).total_cmp(&size(b)));
    for way in ways.iter().rev() {
        let mut place = order.iter().position(|w| w.way == way.way).unwrap_or(0);
        while place > 0 && size(&order[place - 1]) + LIKE >= size(way) {
            order.swap(place - 1, place);
            place -= 1;
        }
    }
    order
}

fn nut_way(plan: &Plan, s: &StringPlan) -> NutWay {
    let saddle = s.side_at(s.position.x);
    let range = NUT_RANGE * s.string.scale;
    let error = |setback: f64| s.string.cents_at_12(s.nut_path.at(setback), saddle);
    let tuned = find_root(-range, range, NUT_TOLERANCE, error)
        .ok()
        .filter(|_| !plan.zero_fret);
    let most = MOST_SETBACK.max(s.nut_setback.abs());
    let setback = tuned.map(|setback| setback.clamp(-most, most));
    let nut = setback.map_or(s.nut, |setback| s.nut_path.at(setback));
    let [cents_1_to_5 @ .., cents_12] = heard(s, nut, saddle);
    NutWay {
        string: s.number,
        setback,
        capped: tuned.is_some_and(|setback| setback.abs() > most),
        cents_1_to_5,
        cents_12,
        // Along x, a distance square to the face is longer.
        slot_move: (s.wanted.b - s.contact.b) / plan.frame.e_b.x,
    }
}

impl StringPlan {
    /// Whether it is held and off at fret 12 by more than `good` cents.
    #[must_use]
    pub fn asks(&self, good: f64) -> bool {
        self.hold != Hold::Free && self.cents[FRETS - 1].abs() > good
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn left(way: Way, cents: f64) -> WayLeft {
        WayLeft {
            way,
            reversible: way == Way::Nut,
            worst: Worst {
                string: 1,
                fret: 12,
                cents,
            },
        }
    }

    #[test]
    fn like_figures_go_by_what_is_cut_and_others_by_what_is_left() {
        for (nut, thicker, slot, order) in [
            (0.9, -0.1, 0.1, [Way::Nut, Way::Thicker, Way::Slot]),
            (1.2, 0.1, 0.1, [Way::Thicker, Way::Slot, Way::Nut]),
            (-1.2, 0.1, 0.5, [Way::Thicker, Way::Nut, Way::Slot]),
            (0.0, 1.5, 0.2, [Way::Nut, Way::Slot, Way::Thicker]),
            (3.0, 0.0, -2.5, [Way::Thicker, Way::Nut, Way::Slot]),
            (3.66, 2.74, 2.62, [Way::Thicker, Way::Slot, Way::Nut]),
            (0.5, 0.5, 0.5, [Way::Nut, Way::Thicker, Way::Slot]),
        ] {
            let ways = [left(Way::Nut, nut), left(Way::Thicker, thicker), left(Way::Slot, slot)];
            let sorted: Vec<Way> = mildest_first(&ways).iter().map(|w| w.way).collect();
            assert_eq!(sorted, order, "{nut} {thicker} {slot}");
        }
    }
}
