//! Checks that look at more than one reading.

use assess::{LEAST_CLEARANCE, Limits};
use instrument::{BoardRadius, FretPlaces};
use numerics::math;
use saddle::BlankKind;

use crate::fields::{Range, f};
use crate::may::May;
use crate::node::Got;
use crate::parts::Parts;
use crate::problem::{ProblemKind as P, Quantity, mm};
use crate::sections::slot::Way;
use crate::table::Ends;

/// How far the front of the slot, the present contact or a reference contact may lie from the scale length, mm; common practice, no
/// source, as all that follows here.
const SETBACK_REACH: Range = Range {
    least: -8.0,
    most: 25.0,
    usual: (-5.0, 9.0),
    hint: "Look at the unit, at the scale length (was nut to fret 12 written for it?) and at the reading from fret 12.",
};
/// Tension of one string, N.
const TENSION: Range = Range {
    least: 5.0,
    most: 400.0,
    usual: (15.0, 220.0),
    hint: "Look at the note and its octave, the gauge and its unit, the core and the scale length.",
};
/// Target action over which a saddle for steel strings is doubtful, mm.
const STEEL_ACTION_USUAL: f64 = 4.0;
/// Least length of blank beyond an outer string without a warning, mm.
const END_MARGIN: f64 = 2.0;
/// A drop-in blank shorter than its slot by more than this shows a gap, mm.
const SHORT_IN_SLOT: f64 = 1.0;
/// A through blank shorter than its slot by more than this lies inside the bridge, mm: a caliper reads no finer.
const SHORT_THROUGH: f64 = 0.02;
/// Exposure taken for the front face when only the edge of the slot is known, mm. About 3.2 is a usual exposure.
const USUAL_EXPOSURE: f64 = 3.0;
/// A slot skewed by more than this is doubtful, degrees. Slants of 2.5 degrees are usual.
const USUAL_SKEW: f64 = 8.0;
/// The treble end of a slot may lie this far behind the bass end without a warning, mm.
const TREBLE_BEHIND: f64 = 0.8;
/// How far the old saddle may stand out of the bridge without a doubt, mm: a slip of the sign of the bridge's reading leaves it.
const OLD_EXPOSURE: (f64, f64) = (0.3, 11.0);
/// Share of the blank's height that a slot is deep at least. Half of the saddle is wanted; under a third it tips.
const SHALLOW: f64 = 1.0 / 3.0;

/// All checks across tables; each is left out where a reading it needs is missing.
pub(crate) fn check(parts: &Parts) {
    blank_in_slot(parts);
    blended_ends(parts);
    strings_on_blank(parts);
    slot_within_reach(parts);
    contacts_within_reach(parts);
    skew(parts);
    radius_over_spread(parts);
    tension(parts);
    wish_over_fret_1(parts);
    steel_action(parts);
    press(parts);
    exit_behind_slot(parts);
    crown_on_blank(parts);
    shallow_slot(parts);
    spreads(parts);
    bass_over_treble(parts);
    bridge_under_string(parts);
}

/// The contours of both ends leave room between them, and lie above the bottom edge.
fn blended_ends(parts: &Parts) {
    let May::Read(read) = &parts.blank.wings else { return };
    let length = parts.blank.length.as_ref().map_or(f64::INFINITY, |got| got.value);
    let (from, to) = read.value.between((0.0, length));
    if from >= to {
        read.at.refuse(P::WingsOverlap {});
    }
    let under = parts.slot.under.unwrap_or(0.0);
    if read.value.raised(-under).is_err() {
        read.at.refuse(P::WingUnderFloor { under: mm(under) });
    }
}

fn blank_in_slot(parts: &Parts) {
    let (slot, blank) = (&parts.slot, &parts.blank);
    let most = parts
        .facts
        .as_ref()
        .map_or_else(|| Limits::default().most_clearance, |facts| facts.limits.most_clearance)
        .value;
    if let (Some(width), Some(thickness)) = (&slot.width, &blank.thickness) {
        let loose = width.value - thickness.value;
        let slot = mm(width.value);
        if loose < LEAST_CLEARANCE.value {
            thickness.at.refuse(P::BlankTooThick {
                thicker: mm(-loose),
                slot,
            });
        } else if loose > most {
            thickness.at.doubt(P::BlankLoose {
                thinner: mm(loose),
                slot,
                most: mm(most),
            });
        }
    }
    if let (Some(length), Some(slot_length), Some(kind)) = (&blank.length, &slot.length, blank.kind) {
        let short = slot_length.value - length.value;
        match kind {
            BlankKind::DropIn if short < 0.0 => length.at.refuse(P::BlankTooLong {
                longer: mm(-short),
                slot: mm(slot_length.value),
            }),
            BlankKind::DropIn if short > SHORT_IN_SLOT => length.at.doubt(P::GapShows { shorter: mm(short) }),
            BlankKind::Through if short > SHORT_THROUGH => length.at.doubt(P::EndsInside { shorter: mm(short) }),
            _ => {}
        }
    }
    if let (Some(height), Some(depth)) = (&blank.height, &slot.depth) {
        let deepest = depth[0].value.max(depth[1].value);
        if height.value + slot.under.unwrap_or(0.0) <= deepest {
            height.at.refuse(P::BlankSunk { depth: mm(deepest) });
        }
    }
}

fn shallow_slot(parts: &Parts) {
    let (Some(height), Some(depth)) = (&parts.blank.height, &parts.slot.depth) else {
        return;
    };
    let least = depth[0].value.min(depth[1].value) - parts.slot.under.unwrap_or(0.0);
    if least < SHALLOW * height.value {
        height.at.doubt(P::ShallowSlot {
            inside: mm(least.max(0.0)),
            height: mm(height.value),
        });
    }
}

fn spreads(parts: &Parts) {
    let (Some(places), Some(spread)) = (&parts.strung.places, &parts.strung.saddle_spread) else {
        return;
    };
    let [nut, saddle] = places.each_ref().map(|at| Some(at.last()? - at.first()?));
    if let (Some(nut), Some(saddle)) = (nut, saddle)
        && nut > saddle
    {
        spread.at.doubt(P::WiderAtNut {
            nut: mm(nut),
            saddle: mm(saddle),
        });
    }
}

/// The bass string swings wider, so its action is the higher (common practice, no source).
fn bass_over_treble(parts: &Parts) {
    let Some(action) = &parts.target.action_12 else { return };
    if let [bass, .., treble] = action.written()
        && bass.value < treble.value
    {
        bass.at.doubt(P::BassUnderTreble {
            bass: mm(bass.value),
            treble: mm(treble.value),
        });
    }
}

/// The string as it is now passes over the bridge top by what the old saddle stands out: where that cannot be, the sign or the size of the
/// bridge's reading is doubtful. Fret crowns are taken to lie in the straightedge's line, which relief moves by some tenths of a millimetre.
fn bridge_under_string(parts: &Parts) {
    let (Some([edge_from_fret_12, bridge_top]), Some(action), Some(frets), Some(clearance)) = (
        &parts.slot.line,
        parts.each(parts.present.action_12.as_ref()),
        parts.own_frets(),
        parts.each(parts.nut.first_fret_clearance.as_ref()),
    ) else {
        return;
    };
    let Some(own) = parts.carried.clone() else { return };
    let (action, clearance) = (action.get(own.clone()), clearance.get(own));
    let (action, clearance) = (action.unwrap_or_default(), clearance.unwrap_or_default());
    let ends = [
        action.first().zip(clearance.first()),
        action.last().zip(clearance.last()),
    ];
    for (i, end) in ends.into_iter().enumerate() {
        let Some((Some(action), Some(clearance))) = end else {
            continue;
        };
        let places = &frets[i];
        let span = places.fret(12) - places.fret(1);
        let over_line = action + (action - clearance) * edge_from_fret_12[i].value / span;
        let exposure = over_line - bridge_top[i].value;
        if !(OLD_EXPOSURE.0..=OLD_EXPOSURE.1).contains(&exposure) {
            bridge_top[i].at.doubt(P::BridgeAgainstString {
                line: mm(over_line),
                side: if exposure < 0.0 { "under" } else { "over" },
                gap: mm(exposure.abs()),
            });
            return;
        }
    }
}

/// The readings from fret 12 to the slot or the reference saddle, bass and treble.
fn slot_ends<'p, 'a>(parts: &'p Parts<'a>) -> Option<&'p Ends<'a>> {
    Some(match parts.slot.way.as_ref()? {
        Way::Straightedge { edge_from_fret_12, .. } => edge_from_fret_12,
        Way::Reference {
            contact_from_fret_12, ..
        } => contact_from_fret_12,
    })
}

fn strings_on_blank(parts: &Parts) {
    let (Some([_, saddle]), Some(length), Some(bass_end)) = (
        parts.own_places(),
        &parts.blank.length,
        parts.blank.bass_end.as_ref().sound(),
    ) else {
        return;
    };
    let (Some(first), Some(last)) = (saddle.first(), saddle.last()) else {
        return;
    };
    // A skewed slot is longer than the spread across it.
    let ahead = parts.own_treble_ahead();
    let skewed = slot_ends(parts).map_or(0.0, |ends| ends[0].value - ends[1].value - ahead);
    let along = math::hypot(last - first, skewed);
    let (at, bass) = match bass_end {
        Some(end) => (&end.at, end.value),
        None => (&length.at, 0.5 * (length.value - along)),
    };
    let treble = length.value - bass - along;
    let (end, least) = if bass < treble {
        ("bass", bass)
    } else {
        ("treble", treble)
    };
    if least < 0.0 {
        at.refuse(P::StringOffBlank {
            end,
            by: mm(-least),
            along: mm(along),
        });
    } else if least < END_MARGIN {
        at.doubt(P::StringNearEnd {
            end,
            left: mm(least),
            usual: mm(END_MARGIN),
        });
    }
}

/// Compares readings from fret 12 with what is left of the scale length there; `frets`: along the string of each.
fn reach(readings: &[Got<f64>], frets: impl Fn(usize) -> FretPlaces, forward: f64, what: &'static str) {
    let Range {
        least,
        most,
        usual,
        hint,
    } = SETBACK_REACH;
    let mut seen: Vec<[f64; 2]> = Vec::new();
    for (i, reading) in readings.iter().enumerate() {
        let places = frets(i);
        let this = [reading.value, places.beyond_12()];
        if seen.contains(&this) {
            continue;
        }
        seen.push(this);
        let setback = reading.value - places.beyond_12() - forward;
        let side = if setback < 0.0 { "short of" } else { "beyond" };
        let (off, scale) = (mm(setback.abs()), mm(places.scale()));
        if !(least..=most).contains(&setback) {
            let (short, beyond) = (mm(-least), mm(most));
            reading.at.refuse(P::OutOfReach {
                what,
                off,
                side,
                scale,
                short,
                beyond,
                hint,
            });
        } else if !(usual.0..=usual.1).contains(&setback) {
            let (short, beyond) = (mm(-usual.0), mm(usual.1));
            reading.at.doubt(P::FarFromScale {
                what,
                off,
                side,
                scale,
                short,
                beyond,
                hint,
            });
        }
    }
}

fn slot_within_reach(parts: &Parts) {
    let (Some(way), Some(ends), Some(frets)) = (&parts.slot.way, slot_ends(parts), parts.own_frets()) else {
        return;
    };
    match way {
        Way::Straightedge { .. } => edge_within_reach(parts, ends),
        Way::Reference { .. } => reach(ends, |i| frets[i.min(1)], 0.0, "The contact of the reference saddle"),
    }
}

/// Looks whether a setback reaches from the scale length to a slot whose edge is read so.
pub(crate) fn edge_within_reach(parts: &Parts, edge_from_fret_12: &Ends) {
    let Some(frets) = parts.own_frets() else { return };
    let forward = USUAL_EXPOSURE * math::tan(parts.slot.lean.unwrap_or(0.0));
    let along = |i: usize| frets[i.min(1)];
    reach(edge_from_fret_12, along, forward, "The front face of the saddle");
}

/// The same of present contacts, of which string `i` of `of` has the one of its place in `readings`.
pub(crate) fn contact_within_reach(parts: &Parts, readings: &[Got<f64>], of: &[usize]) {
    let (Some(fan), Some(shares)) = (&parts.neck.fan, parts.shares()) else {
        return;
    };
    let share = |i: usize| of.get(i).and_then(|string| shares.get(*string)).copied();
    let along = |i: usize| fan.value.at(share(i).unwrap_or(0.5));
    reach(readings, along, 0.0, "The present contact");
}

fn contacts_within_reach(parts: &Parts) {
    let (Some(contact), Some(fan)) = (&parts.present.contact_from_fret_12, &parts.neck.fan) else {
        return;
    };
    let readings = contact.written();
    let along = |i: usize| {
        let last = readings.len() - 1;
        fan.value.at(if last > 0 { i as f64 / last as f64 } else { 0.5 })
    };
    reach(readings, along, 0.0, "The present contact");
}

fn skew(parts: &Parts) {
    let (Some(ends), Some(width)) = (slot_ends(parts), parts.own_spread()) else {
        return;
    };
    // Against where the scale lengths end: fanned frets slant the saddle with them.
    let beyond = parts.own_frets().map(|places| places.map(|places| places.beyond_12()));
    let end = |i: usize| ends[i].value - beyond.map_or(0.0, |beyond| beyond[i]);
    let behind = end(0) - end(1);
    let skew = math::atan2(behind, width).to_degrees();
    if skew.abs() > USUAL_SKEW {
        ends[1].at.doubt(P::Skewed {
            skew: Quantity::Angle(skew.abs()),
            usual: Quantity::Angle(USUAL_SKEW),
        });
    } else if behind < -TREBLE_BEHIND {
        ends[1].at.doubt(P::TrebleBehind { behind: mm(-behind) });
    }
}

fn radius_over_spread(parts: &Parts) {
    let (Some(radius), Some(board)) = (&parts.neck.radius, &parts.board) else {
        return;
    };
    let Some(runs) = parts.strung.runs(board) else {
        return;
    };
    let BoardRadius::Conical { nut: at_nut, fret_12 } = radius.value else {
        return;
    };
    // Crowns are asked for up to the joint fret, and at fret 12.
    for fret in [1, 12, board.joint_fret()] {
        for run in &runs {
            let x = board.fret_x(fret, run);
            let here = at_nut + (fret_12 - at_nut) * x / board.frets().line(12).x;
            let half = run.y(x).abs();
            if here <= half {
                radius.at.refuse(P::RadiusUnderSpread {
                    fret,
                    radius: mm(here),
                    half: mm(half),
                });
                return;
            }
        }
    }
}

fn tension(parts: &Parts) {
    let (Some(strings), Some(fan)) = (&parts.strung.strings, &parts.neck.fan) else {
        return;
    };
    let shares = parts.shares();
    let Range {
        least,
        most,
        usual,
        hint,
    } = TENSION;
    let main = strings.iter().map(|s| (s.number, &s.note, s.frequency, s.model, &s.at));
    let also = match &parts.also {
        May::Read(also) => also.as_slice(),
        May::Absent | May::Unread => &[],
    };
    let also = also.iter().flat_map(|also| also.strings.iter().enumerate());
    let also = also.map(|(i, s)| (i, (s.number, &s.note, s.frequency, s.model, &s.at)));
    for (i, (number, note, frequency, model, at)) in main.enumerate().chain(also) {
        let share = shares.as_ref().and_then(|shares| shares.get(i)).unwrap_or(&0.5);
        let tension = model.tension(fan.value.at(*share).scale(), frequency);
        let note = note.clone();
        let [tension_said, least_said, most_said] = [tension, least, most].map(Quantity::Force);
        if !(least..=most).contains(&tension) {
            at.refuse(P::TensionOutside {
                number,
                note,
                tension: tension_said,
                least: least_said,
                most: most_said,
                hint,
            });
        } else if !(usual.0..=usual.1).contains(&tension) {
            at.doubt(P::TensionDoubtful {
                number,
                note,
                tension: tension_said,
                least: Quantity::Force(usual.0),
                most: Quantity::Force(usual.1),
                hint,
            });
        }
    }
}

/// The gap over fret 1 that a new nut shall give is a wish there already.
fn wish_over_fret_1(parts: &Parts) {
    if let (May::Read(wish), Some(_)) = (&parts.target.action_at, &parts.nut.new_clearance)
        && wish.fret.value == 1
    {
        wish.fret.at.refuse(P::WishAtOne {});
    }
}

fn steel_action(parts: &Parts) {
    let (Some(strings), Some(action)) = (&parts.strung.strings, &parts.target.action_12) else {
        return;
    };
    if !strings.iter().all(|string| string.steel) {
        return;
    }
    for got in action.written() {
        if got.value > STEEL_ACTION_USUAL && got.value <= f!("target.action_12").range.usual.1 {
            got.at.doubt(P::HighForSteel {
                action: mm(got.value),
                usual: mm(STEEL_ACTION_USUAL),
            });
        }
    }
}

/// The finger must lie between the nut and fret 1.
fn press(parts: &Parts) {
    let (Some(press), Some(fan)) = (&parts.strung.press, &parts.neck.fan) else {
        return;
    };
    let forward = parts.nut.setback.as_ref().map_or(0.0, |setback| {
        setback
            .written()
            .iter()
            .fold(0.0, |most: f64, got| most.max(-got.value))
    });
    let first = fan.value.outer.map(|places| places.fret(1));
    let room = first[0].min(first[1]) - forward;
    if press.value >= room {
        press.at.refuse(P::FingerBehindNut { room: mm(room) });
    }
}

fn exit_behind_slot(parts: &Parts) {
    let (May::Read(exit), Some(width)) = (&parts.exit, &parts.slot.width) else {
        return;
    };
    let mut ends: Vec<&Got<f64>> = exit.behind_slot.iter().collect();
    ends.dedup_by(|a, b| a.value == b.value);
    for end in ends {
        if end.value <= width.value {
            end.at.refuse(P::ExitInSlot { width: mm(width.value) });
        }
    }
}

/// The present contact lies on the blank, and the floor under the target.
fn crown_on_blank(parts: &Parts) {
    let Some(filing) = &parts.filing else { return };
    if let (Some(back), Some(thickness)) = (&filing.back, &parts.blank.thickness) {
        for got in back.written() {
            if got.value > thickness.value {
                got.at.refuse(P::ContactBehindBlank {
                    thickness: mm(thickness.value),
                });
            }
        }
    }
    if let (Some(floor), Some(target)) = (&filing.floor_12, &parts.target.action_12) {
        let highest = target.written().iter().fold(0.0, |most: f64, got| most.max(got.value));
        for got in floor.written() {
            if got.value >= highest {
                got.at.doubt(P::FloorOverTarget { target: mm(highest) });
            }
        }
    }
}
