//! Checks that look at more than one reading.

use assess::{LEAST_CLEARANCE, Limits};
use instrument::BoardRadius;
use saddle::BlankKind;

use crate::limits::{self, Limit};
use crate::node::Got;
use crate::parts::Parts;
use crate::sections::slot::Way;

/// All checks across tables; each is left out where a reading it needs is missing.
pub(crate) fn check(parts: &Parts) {
    blank_in_slot(parts);
    strings_on_blank(parts);
    slot_within_reach(parts);
    contacts_within_reach(parts);
    skew(parts);
    radius_over_spread(parts);
    tension(parts);
    steel_action(parts);
    press(parts);
    exit_behind_slot(parts);
    crown_on_blank(parts);
    shallow_slot(parts);
    spreads(parts);
    bass_over_treble(parts);
}

fn shown(parts: &Parts, mm: f64) -> String {
    parts.source.show(mm)
}

fn blank_in_slot(parts: &Parts) {
    let (slot, blank) = (&parts.slot, &parts.blank);
    let show = |mm| shown(parts, mm);
    let most = parts
        .facts
        .as_ref()
        .map_or_else(|| Limits::default().most_clearance, |facts| facts.limits.most_clearance)
        .value;
    if let (Some(width), Some(thickness)) = (&slot.width, &blank.thickness) {
        let loose = width.value - thickness.value;
        if loose < LEAST_CLEARANCE.value {
            thickness.at.refuse(format!(
                "The blank is {} thicker than the slot, which is {} wide. It would not go in, or would split the bridge. \
                 Thin the blank, or look at slot.width.",
                show(-loose),
                show(width.value)
            ));
        } else if loose > most {
            thickness.at.doubt(format!(
                "The blank is {} thinner than the slot, which is {} wide; over {} it tips. Use a thicker blank, or look at \
                 slot.width.",
                show(loose),
                show(width.value),
                show(most)
            ));
        }
    }
    if let (Some(length), Some(slot_length), Some(kind)) = (&blank.length, &slot.length, blank.kind) {
        let short = slot_length.value - length.value;
        match kind {
            BlankKind::DropIn if short < 0.0 => length.at.refuse(format!(
                "The blank is {} longer than the closed slot, which is {} long. Shorten it, or look at slot.length.",
                show(-short),
                show(slot_length.value)
            )),
            BlankKind::DropIn if short > limits::SHORT_IN_SLOT => length.at.doubt(format!(
                "The blank is {} shorter than the slot, so a gap shows. Use a longer blank, or look at slot.length.",
                show(short)
            )),
            BlankKind::Through if short > limits::SHORT_THROUGH => length.at.doubt(format!(
                "The blank is {} shorter than the open slot, so its ends lie inside the bridge. Use a longer blank, or look \
                 at slot.length.",
                show(short)
            )),
            _ => {}
        }
    }
    if let (Some(height), Some(depth)) = (&blank.height, &slot.depth) {
        let deepest = depth[0].value.max(depth[1].value);
        if height.value + slot.under.unwrap_or(0.0) <= deepest {
            height.at.refuse(format!(
                "The blank does not reach out of the slot, which is {} deep. Use a higher blank, or look at slot.depth.",
                show(deepest)
            ));
        }
    }
}

/// Share of the blank's height that a slot is deep at least. Common practice wants half of the saddle; under a third it tips.
const SHALLOW: f64 = 1.0 / 3.0;

fn shallow_slot(parts: &Parts) {
    let (Some(height), Some(depth)) = (&parts.blank.height, &parts.slot.depth) else {
        return;
    };
    let least = depth[0].value.min(depth[1].value) - parts.slot.under.unwrap_or(0.0);
    if least < SHALLOW * height.value {
        height.at.doubt(format!(
            "Only {} of {} would stand in the slot, less than a third. Look at slot.depth, slot.under and the blank's height.",
            shown(parts, least.max(0.0)),
            shown(parts, height.value)
        ));
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
        spread.at.doubt(format!(
            "The strings spread {} at the nut and only {} at the saddle. They run apart toward the bridge: look at both spreads.",
            shown(parts, nut),
            shown(parts, saddle)
        ));
    }
}

/// The bass string swings wider, so its action is the higher (common practice, no source).
fn bass_over_treble(parts: &Parts) {
    let Some(action) = &parts.target.action_12 else { return };
    let written = action.written();
    if let [bass, .., treble] = written
        && bass.value < treble.value
    {
        bass.at.doubt(format!(
            "The bass string is to have less action than the treble, {} and {}. Look whether the two are the wrong way round.",
            shown(parts, bass.value),
            shown(parts, treble.value)
        ));
    }
}

fn strings_on_blank(parts: &Parts) {
    let (Some([_, saddle]), Some(length), Ok(bass_end)) = (
        &parts.strung.places,
        &parts.blank.length,
        parts.blank.bass_end.as_ref().sound(),
    ) else {
        return;
    };
    let (Some(first), Some(last)) = (saddle.first(), saddle.last()) else {
        return;
    };
    // A skewed slot is longer than the spread across it.
    let skewed = match &parts.slot.way {
        Some(Way::Straightedge {
            edge_from_fret_12: ends,
            ..
        }) => ends[0].value - ends[1].value,
        Some(Way::Reference {
            contact_from_fret_12: ends,
            ..
        }) => ends[0].value - ends[1].value,
        None => 0.0,
    };
    let along = (last - first).hypot(skewed);
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
        at.refuse(format!(
            "The strings are wider than the saddle: the outer {end} string leaves the blank by {}. Between the outer strings \
             lie {}. Use a longer blank, or look at saddle_spread, bass_end and the blank's length.",
            shown(parts, -least),
            shown(parts, along)
        ));
    } else if least < limits::END_MARGIN {
        at.doubt(format!(
            "The outer {end} string lies only {} from the end of the blank; {} or more is usual. Use a longer blank, or look \
             at saddle_spread.",
            shown(parts, least),
            shown(parts, limits::END_MARGIN)
        ));
    }
}

/// Compares readings from fret 12 with half the scale length.
fn reach(parts: &Parts, readings: &[Got<f64>], forward: f64, what: &str) {
    let Some(scale) = &parts.neck.scale else { return };
    let Limit {
        least,
        most,
        usual,
        hint,
    } = limits::SETBACK_REACH;
    let mut seen: Vec<f64> = Vec::new();
    for reading in readings.iter().filter(|r| {
        let new = !seen.contains(&r.value);
        seen.push(r.value);
        new
    }) {
        let setback = reading.value - 0.5 * scale.value - forward;
        let side = if setback < 0.0 { "short of" } else { "beyond" };
        let place = format!(
            "{what} lies {} {side} the scale length, which is {}",
            shown(parts, setback.abs()),
            shown(parts, scale.value)
        );
        if !(least..=most).contains(&setback) {
            reading.at.refuse(format!(
                "{place}. No setback reaches it; allowed is {} short to {} beyond. {hint}",
                shown(parts, -least),
                shown(parts, most)
            ));
        } else if !(usual.0..=usual.1).contains(&setback) {
            reading.at.doubt(format!(
                "{place}, which is doubtful; usual is {} short to {} beyond. {hint}",
                shown(parts, -usual.0),
                shown(parts, usual.1)
            ));
        }
    }
}

fn slot_within_reach(parts: &Parts) {
    match &parts.slot.way {
        Some(Way::Straightedge { edge_from_fret_12, .. }) => {
            let lean = parts.slot.lean.unwrap_or(0.0);
            let forward = limits::USUAL_EXPOSURE * lean.tan();
            reach(parts, edge_from_fret_12, forward, "The front face of the saddle");
        }
        Some(Way::Reference {
            contact_from_fret_12, ..
        }) => reach(parts, contact_from_fret_12, 0.0, "The contact of the reference saddle"),
        None => {}
    }
}

fn contacts_within_reach(parts: &Parts) {
    if let Some(contact) = &parts.present.contact_from_fret_12 {
        reach(parts, contact.written(), 0.0, "The present contact");
    }
}

fn skew(parts: &Parts) {
    let ends = match &parts.slot.way {
        Some(Way::Straightedge { edge_from_fret_12, .. }) => edge_from_fret_12,
        Some(Way::Reference {
            contact_from_fret_12, ..
        }) => contact_from_fret_12,
        None => return,
    };
    let Some(spread) = &parts.strung.saddle_spread else {
        return;
    };
    let behind = ends[0].value - ends[1].value;
    let skew = behind.atan2(spread.value).to_degrees();
    if skew.abs() > limits::USUAL_SKEW {
        ends[1].at.doubt(format!(
            "With the reading at the bass the slot is skewed by {:.1}°; over {:.0}° is doubtful. Look at both readings.",
            skew.abs(),
            limits::USUAL_SKEW
        ));
    } else if behind < -limits::TREBLE_BEHIND {
        ends[1].at.doubt(format!(
            "The slot lies {} further back at the treble than at the bass, which is unusual. Look whether the two are swapped.",
            shown(parts, -behind)
        ));
    }
}

fn radius_over_spread(parts: &Parts) {
    let (Some(radius), Some([nut, saddle]), Some(board)) = (&parts.neck.radius, &parts.strung.places, &parts.board)
    else {
        return;
    };
    let BoardRadius::Conical { nut: at_nut, fret_12 } = radius.value else {
        return;
    };
    let half = |places: &[f64]| places.iter().fold(0.0, |widest: f64, y| widest.max(y.abs()));
    let (half_nut, half_saddle) = (half(nut), half(saddle));
    // Crowns are asked for up to the joint fret, and at fret 12.
    for fret in [1, 12, board.joint_fret()] {
        let x = board.fret_x(fret);
        let here = at_nut + (fret_12 - at_nut) * x / board.fret_x(12);
        let half = half_nut + (half_saddle - half_nut) * x / board.scale();
        if here <= half {
            radius.at.refuse(format!(
                "At fret {fret} the radius would be {}, less than half the width of the strings there, which is {}. Look at \
                 the radius and its unit.",
                shown(parts, here),
                shown(parts, half)
            ));
            return;
        }
    }
}

fn tension(parts: &Parts) {
    let (Some(strings), Some(scale)) = (&parts.strung.strings, &parts.neck.scale) else {
        return;
    };
    let Limit {
        least,
        most,
        usual,
        hint,
    } = limits::TENSION;
    for string in strings {
        let tension = string.model.tension(scale.value, string.frequency);
        let figure = format!(
            "String {} tuned to {} would be under {tension:.0} N",
            string.number, string.note
        );
        if !(least..=most).contains(&tension) {
            string
                .at
                .refuse(format!("{figure}; allowed is {least:.0} to {most:.0} N. {hint}"));
        } else if !(usual.0..=usual.1).contains(&tension) {
            string
                .at
                .doubt(format!("{figure}; usual is {:.0} to {:.0} N. {hint}", usual.0, usual.1));
        }
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
        if got.value > limits::STEEL_ACTION_USUAL && got.value <= limits::ACTION_12.usual.1 {
            got.at.doubt(format!(
                "{} is high for steel strings; over {} is doubtful. Look at the reading and its unit.",
                shown(parts, got.value),
                shown(parts, limits::STEEL_ACTION_USUAL)
            ));
        }
    }
}

/// The finger must lie between the nut and fret 1.
fn press(parts: &Parts) {
    let (Some(press), Some(scale)) = (&parts.strung.press, &parts.neck.scale) else {
        return;
    };
    let forward = parts.nut.setback.as_ref().map_or(0.0, |setback| {
        setback
            .written()
            .iter()
            .fold(0.0, |most: f64, got| most.max(-got.value))
    });
    let room = scale.value * (1.0 - (-1.0f64 / 12.0).exp2()) - forward;
    if press.value >= room {
        press.at.refuse(format!(
            "The finger would lie behind the nut: from nut to fret 1 there are {}. Give a smaller press.",
            shown(parts, room)
        ));
    }
}

fn exit_behind_slot(parts: &Parts) {
    let (Some(exit), Some(width)) = (&parts.exit, &parts.slot.width) else {
        return;
    };
    let mut ends: Vec<&Got<f64>> = exit.behind_slot.iter().collect();
    ends.dedup_by(|a, b| a.value == b.value);
    for end in ends {
        if end.value <= width.value {
            end.at.refuse(format!(
                "The strings would leave the bridge inside the slot, which is {} wide. Measure from the slot's front edge to \
                 the front of the hole.",
                shown(parts, width.value)
            ));
        }
    }
}

/// The present contact lies on the blank, and the floor under the target.
fn crown_on_blank(parts: &Parts) {
    let Some(filing) = &parts.filing else { return };
    if let (Some(back), Some(thickness)) = (&filing.back, &parts.blank.thickness) {
        for got in back.written() {
            if got.value > thickness.value {
                got.at.refuse(format!(
                    "The contact would lie behind the blank, which is {} thick. Measure from its front face.",
                    shown(parts, thickness.value)
                ));
            }
        }
    }
    if let (Some(floor), Some(target)) = (&filing.floor_12, &parts.target.action_12) {
        let highest = target.written().iter().fold(0.0, |most: f64, got| most.max(got.value));
        for got in floor.written() {
            if got.value >= highest {
                got.at.doubt(format!(
                    "The floor is not under the target, which is {} at most, so nothing may be filed. Give the least action \
                     that still plays.",
                    shown(parts, highest)
                ));
            }
        }
    }
}
