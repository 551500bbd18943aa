//! Strings held at the land: what remains, and three ways out with figures.

use crate::figures::{fixed, length, list, sentence, signed, strings};
use crate::notes::{Note, NoteTopic};
use saddle::{Hold, MOST_SETBACK, NutWay, Plan, SlotWay, StringPlan, ThickerWay, Way, WayLeft};
use units::BenchUnit;
use work::Severity;

/// Lengths below this are called nothing, mm: below what any tool at a bench can set.
const NOTHING: f64 = 0.0005;

pub(crate) fn held(plan: &Plan, bench: BenchUnit) -> Option<Note> {
    let held: Vec<&StringPlan> = plan.strings.iter().filter(|s| s.hold != Hold::Free).collect();
    if held.is_empty() {
        return None;
    }
    let numbers: Vec<u32> = held.iter().map(|s| s.number).collect();
    let one = numbers.len() == 1;
    let remains: Vec<String> = held.iter().map(|s| remains(s)).collect();
    let mut text = format!(
        "{} {} held at the land: the place {} for lies outside the blank. At fret 12 {}.",
        sentence(&strings(&numbers)),
        if one { "is" } else { "are" },
        if one { "it asks" } else { "they ask" },
        list(&remains),
    );
    let asks = |s: &&&StringPlan| {
        let ways = plan.ways_out.as_ref();
        ways.is_some_and(|ways| ways.nut.iter().any(|way| way.string == s.number))
    };
    let good: Vec<u32> = held.iter().filter(|s| !asks(s)).map(|s| s.number).collect();
    if good.len() == held.len() {
        text += " That is within the job's tolerance: nothing need be done about it.";
    } else if !good.is_empty() {
        text += &format!(" Within the job's tolerance: {}.", strings(&good));
    }
    let mut points = Vec::new();
    if let Some(ways) = &plan.ways_out {
        let count = if plan.zero_fret { "Two" } else { "Three" };
        text += &format!(" {count} ways out, the mildest first:");
        if plan.zero_fret {
            text += " (A zero fret cannot be set back.)";
        }
        points.extend(ways.order.iter().map(|left| {
            let way = match left.way {
                Way::Slot => move_slot(&ways.slot, &ways.nut, bench),
                Way::Thicker => thicker(&ways.thicker, bench),
                Way::Nut => nut(plan, &ways.nut, bench),
            };
            format!("{way} {}", worst(left))
        }));
    }
    Some(Note {
        topic: NoteTopic::Held,
        severity: Severity::Mind,
        text,
        points,
    })
}

/// The worst note that a way leaves.
fn worst(left: &WayLeft) -> String {
    let worst = left.worst;
    format!(
        "Of frets 1 to 5 and 12, string {} is then furthest off at fret {}: {} cents.",
        worst.string,
        worst.fret,
        signed(worst.cents, 1)
    )
}

/// What a held string plays at fret 12.
fn remains(s: &StringPlan) -> String {
    let cents = fixed(s.cents[11].abs(), 1);
    let way = if s.cents[11] < 0.0 { "flat" } else { "sharp" };
    if cents == "0.0" {
        format!("string {} is in tune all the same", s.number)
    } else {
        format!("string {} stays {cents} cents {way}", s.number)
    }
}

/// A move with its direction: `by 94.5 thou (2.400 mm) back`.
fn shift(bench: BenchUnit, mm: f64, (plus, minus): (&str, &str)) -> String {
    if mm.abs() < NOTHING {
        "not at all".to_owned()
    } else {
        format!("by {} {}", length(bench, mm.abs()), if mm > 0.0 { plus } else { minus })
    }
}

fn move_slot(way: &SlotWay, alone: &[NutWay], bench: BenchUnit) -> String {
    let aside = ("back", "forward");
    let alone: Vec<String> = alone
        .iter()
        .map(|n| format!("string {} {}", n.string, shift(bench, n.slot_move, aside)))
        .collect();
    let fits = if way.fits {
        "The present thickness of blank then holds every contact.".to_owned()
    } else {
        format!(
            "The present thickness of blank still does not hold every contact: the furthest lies {} from its middle.",
            length(bench, way.furthest)
        )
    };
    format!(
        "Move or re-angle the slot: its front wall, under the bass string {}, under the treble string {}. {fits} (Each by itself would ask for: {}.) The old slot is filled and a new one cut; this cannot be undone.",
        shift(bench, way.bass, aside),
        shift(bench, way.treble, aside),
        list(&alone),
    )
}

fn thicker(way: &ThickerWay, bench: BenchUnit) -> String {
    let mut cuts = Vec::new();
    for (mm, wall) in [(way.forward, "front wall forward"), (way.back, "back wall back")] {
        if mm >= NOTHING {
            cuts.push(format!("its {wall} by {}", length(bench, mm)));
        }
    }
    format!(
        "A thicker blank: {} thick, in a wider slot. Cut {}. Wood cut away cannot be put back; mind the wood left in front of the slot.",
        length(bench, way.thickness),
        list(&cuts),
    )
}

fn nut(plan: &Plan, ways: &[NutWay], bench: BenchUnit) -> String {
    let mut moves = Vec::new();
    let mut none = Vec::new();
    let mut capped = Vec::new();
    let mut then = Vec::new();
    let (mut forward, mut behind, mut moved) = (false, false, false);
    for way in ways {
        let present = plan
            .strings
            .iter()
            .find(|s| s.number == way.string)
            .map_or(0.0, |s| s.nut_setback);
        match way.setback {
            None => none.push(way.string),
            Some(setback) => {
                let change = setback - present;
                if way.capped {
                    capped.push(way.string);
                }
                let near: Vec<String> = way.cents_1_to_5.iter().map(|cents| signed(*cents, 1)).collect();
                then.push(format!(
                    "string {} {} at frets 1 to 5 and {} at 12",
                    way.string,
                    near.join(", "),
                    signed(way.cents_12, 1)
                ));
                moved |= present.abs() >= NOTHING;
                forward |= change <= -NOTHING;
                behind |= change >= NOTHING;
                moves.push(format!(
                    "string {} {}",
                    way.string,
                    shift(bench, change, ("away from the bridge", "toward the bridge"))
                ));
            }
        }
    }
    let mut text = "A nut setback, the saddle as planned here".to_owned();
    if moves.is_empty() {
        text += ".";
    } else {
        text += &format!(
            ": move the contact at the nut{} of {}. In cents that leaves {}.",
            if moved { ", from where this plan has it," } else { "" },
            list(&moves),
            list(&then)
        );
    }
    if !capped.is_empty() {
        text += &format!(
            " More than {} from fret 0 is not proposed, though fret 12 on {} asks for it.",
            length(bench, MOST_SETBACK),
            strings(&capped)
        );
    }
    if !none.is_empty() {
        text += &format!(" No place of the nut brings {} in tune.", strings(&none));
    }
    if forward {
        text += " Toward the bridge: a new nut that reaches over the end of the board; it can be taken off again.";
    }
    if behind {
        text += " Away from the bridge: the nut's front edge is filed back; what is filed away cannot be put back.";
    }
    text
}
