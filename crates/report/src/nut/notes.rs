//! What a repairer should know of a nut beside the figures.

use super::lines::{pairs, saddle_stays};
use crate::figures::{degrees, fixed, length, list, sentence, strings};
use crate::steps::step_words;
use crate::{Note, NoteTopic};
use nut::filing::PresentString;
use nut::{Flag, Front, NutPlan};
use units::BenchUnit;
use work::{Severity, flag_severity, nut_steps};

/// Notes on a nut, what stops the work first.
#[must_use]
pub fn nut_notes(nut: &NutPlan, bench: BenchUnit) -> Vec<Note> {
    let mut notes = flags(nut, bench);
    notes.extend(shelf(nut, bench));
    notes.extend(action(nut, bench));
    // No order of work for what is not to be made.
    if !notes.iter().any(Note::stops) {
        notes.push(order(nut, bench));
    }
    notes.push(interaction(nut, bench));
    notes.push(compensation(nut, bench));
    notes.push(Note::new(
        NoteTopic::NutSlots,
        Severity::Tell,
        "A slot as narrow as a plain string is finished with gauged files, by hand, whatever began it. Measure every string with a micrometer and name the file by that. Round the floor; a shiny mark after some playing shows where the string bears, and it should be the front edge.".to_owned(),
    ));
    if nut.left_handed {
        notes.push(Note::new(
            NoteTopic::LeftHanded,
            Severity::Tell,
            "Left-handed: bass and treble are the instrument's own. Sheets are mirrored, so that they lie on the work as they are.".to_owned(),
        ));
    }
    notes
}

/// Why a nut is not to be made, in sentences; none where it may be.
pub(super) fn nut_stops(nut: &NutPlan, bench: BenchUnit) -> Vec<String> {
    let stops = flags(nut, bench).into_iter().filter(Note::stops);
    stops.map(|note| note.text).collect()
}

/// Flags, those of one kind in one note.
fn flags(nut: &NutPlan, bench: BenchUnit) -> Vec<Note> {
    let show = |mm: f64| length(bench, mm);
    let mut notes = Vec::new();
    let mut say = |severity: Severity, text: String| notes.push(Note::new(NoteTopic::NutSlots, severity, text));
    let of = |pick: &dyn Fn(&Flag) -> Option<(u32, String)>| -> Option<(String, String)> {
        let found: Vec<(u32, String)> = nut.flags.iter().filter_map(pick).collect();
        let numbers: Vec<u32> = found.iter().map(|f| f.0).collect();
        let each: Vec<String> = found
            .into_iter()
            .map(|(n, what)| format!("string {n} {what}"))
            .collect();
        (!numbers.is_empty()).then(|| (strings(&numbers), list(&each)))
    };
    for flag in &nut.flags {
        match flag {
            Flag::Low(by) => say(
                flag_severity(flag),
                format!("The blank is too low by {}: take a higher one.", show(*by)),
            ),
            Flag::Short(by) => say(
                flag_severity(flag),
                format!(
                    "The blank is {} shorter than the board is wide: take a longer one.",
                    show(*by)
                ),
            ),
            Flag::Shelf(mm) => say(
                flag_severity(flag),
                format!(
                    "The shelf of {} takes more than half of the blank's thickness: take a thicker one.",
                    show(*mm)
                ),
            ),
            Flag::ThinWall { strings: [a, b], wall } => say(
                flag_severity(flag),
                format!(
                    "Between the slots of strings {a} and {b} stand only {} of wall, which crumbles under the file (common practice, no source). Widen the pair or the spread.",
                    show(*wall)
                ),
            ),
            _ => {}
        }
    }
    let below = |f: &Flag| match f {
        Flag::BelowBoard { string } => Some((*string, String::new())),
        _ => None,
    };
    if let Some((who, _)) = of(&below) {
        say(
            Severity::Stop,
            format!("The floor of {who} lies at or below the board: look at the fret height and the clearance wanted."),
        );
    }
    let none = |f: &Flag| match f {
        Flag::NoSlot { string } => Some((*string, String::new())),
        _ => None,
    };
    if let Some((who, _)) = of(&none) {
        say(
            Severity::Stop,
            format!("The top lies at or below the floor of {who}, so there is no slot. Let less of the string show."),
        );
    }
    let deep = |f: &Flag| match f {
        Flag::Deep { string, depth } => Some((*string, format!("by {}", show(*depth)))),
        _ => None,
    };
    if let Some((_, each)) = of(&deep) {
        say(
            Severity::Mind,
            format!(
                "Deeper than sense: {each}. A string buried by more than half its own thickness pinches and loses tone (common practice, no source). Lower the top."
            ),
        );
    }
    let bearing = |f: &Flag| match f {
        Flag::Bearing { string, .. } => Some((*string, String::new())),
        _ => None,
    };
    if let Some((who, _)) = of(&bearing) {
        let needed = nut.flags.iter().filter_map(|flag| match flag {
            Flag::Bearing { needed, .. } => Some(*needed),
            _ => None,
        });
        let needed = needed.fold(0.0, f64::max);
        // Half of what nobody read is nothing.
        let unread = nut.fall == 0.0 && nut.strings.iter().all(|s| s.down.is_none());
        say(
            Severity::Stop,
            format!(
                "The slot floors fall {} to the tuners, too little for {who} to bear at the front edge: more than {} is needed. A string that bears further back buzzes and plays out of tune. {}",
                degrees(nut.fall),
                degrees(needed),
                if unread {
                    "They fall by half of the strings' bend over the nut, which nothing tells: read the angle of the headstock, or how far the posts of a level one lie below the frets, or give the fall."
                } else {
                    "Give a larger fall, or read the headstock and the posts again."
                }
            ),
        );
    }
    let edge = |f: &Flag| match f {
        Flag::EdgeOnly { string, down } => Some((*string, format!("bends down by {}", degrees(*down)))),
        _ => None,
    };
    if let Some((_, each)) = of(&edge) {
        say(
            Severity::Mind,
            format!(
                "The slots fall by {}, more steeply than the strings behind them: {each}. They touch the front edge alone and cut into it. Give a smaller fall.",
                degrees(nut.fall)
            ),
        );
    }
    let side = |f: &Flag| match f {
        Flag::Edge { string, left } => Some((*string, format!("leaves {}", show(*left)))),
        _ => None,
    };
    if let Some((_, each)) = of(&side) {
        say(
            Severity::Mind,
            format!(
                "Near the edge of the board: {each} from its side. It slips off the ends of the frets; pages give 1.6 mm on a mandolin and about 3 mm on a guitar."
            ),
        );
    }
    let bend = |f: &Flag| match f {
        Flag::Bend { string, angle } => Some((*string, format!("by {}", degrees(*angle)))),
        _ => None,
    };
    if let Some((_, each)) = of(&bend) {
        say(
            Severity::Mind,
            format!(
                "A sharp bend sideways over the nut: {each}. It may bind; round the slot's back end toward the post."
            ),
        );
    }
    notes
}

fn shelf(nut: &NutPlan, bench: BenchUnit) -> Option<Note> {
    let text = match nut.front {
        Front::Plain => return None,
        Front::Straight if nut.front_x < 0.0 => format!(
            "The front face stands {} behind fret 0. What is filed away there cannot be put back.",
            length(bench, -nut.front_x)
        ),
        Front::Shelf if nut.front_x == 0.0 => {
            "No string asks for a place nearer to the bridge than fret 0: the front edge is cut back under each string, by the setback of the table.".to_owned()
        }
        Front::Straight | Front::Shelf => format!(
            "The nut reaches {} over the end of the board: cut a step of that depth into its front below the board's surface{}. It can be taken off again.",
            length(bench, nut.front_x),
            if nut.front == Front::Shelf {
                ", and file the front edge back under each string to its place"
            } else {
                ""
            }
        ),
    };
    Some(Note::new(NoteTopic::Nut, Severity::Mind, text))
}

fn order(nut: &NutPlan, bench: BenchUnit) -> Note {
    let stays = saddle_stays(nut);
    let text = if stays {
        "The saddle stays, so the nut is all there is to bring right:"
    } else {
        "Nut and saddle are one line, so the order matters:"
    };
    Note {
        topic: NoteTopic::OrderOfWork,
        severity: Severity::Tell,
        text: text.to_owned(),
        points: nut_steps(stays, nut.proud)
            .iter()
            .map(|step| step_words(step, bench))
            .collect(),
    }
}

fn interaction(nut: &NutPlan, bench: BenchUnit) -> Note {
    let step = if bench.is_metric() { 0.1 } else { STEP };
    let each = nut.lines.iter().map(|s| {
        let standing = PresentString::planned(s);
        let (was, then) = (standing.lowered(0.0), standing.lowered(-step));
        (then.action_12 - was.action_12, then.clearance - was.clearance)
    });
    let (action, clearance) = each.fold((0.0, 0.0), |a: (f64, f64), b| (a.0.max(b.0), a.1.max(b.1)));
    Note::new(
        NoteTopic::Nut,
        Severity::Tell,
        format!(
            "Raising a slot by {} raises the action at 12 by {} and the gap at fret 1 by {}. A change at the saddle of the same size raises the action as much, and the gap at fret 1 by about a twentieth.",
            length(bench, step),
            length(bench, action),
            length(bench, clearance),
        ),
    )
}

/// What a new nut does to the action over a saddle that stays.
fn action(nut: &NutPlan, bench: BenchUnit) -> Option<Note> {
    let changes: Vec<(f64, f64)> = nut
        .lines
        .iter()
        .filter_map(|line| Some((line.now?.action_12, line.action_12())))
        .collect();
    let (was, then) = changes.iter().copied().max_by(|a, b| {
        let by = |c: &(f64, f64)| (c.1 - c.0).abs();
        by(a).total_cmp(&by(b))
    })?;
    let each: Vec<String> = changes
        .iter()
        .map(|(was, then)| format!("{} to {}", bench.action().number(*was), bench.action().number(*then)))
        .collect();
    Some(Note::new(
        NoteTopic::Nut,
        Severity::Tell,
        format!(
            "The saddle stays, so the action at 12 follows the nut by about half: it will be {} by up to {}. In {}, bass to treble, now and then: {}.",
            if then < was { "lower" } else { "higher" },
            length(bench, (then - was).abs()),
            bench.action().name(),
            list(&each),
        ),
    ))
}

/// The change that the note on both ends shows in inch units, mm: 4 thou.
const STEP: f64 = 4.0 * 0.0254;

fn compensation(nut: &NutPlan, bench: BenchUnit) -> Note {
    let all = &nut.compensation;
    let gain = all.rms(|s| s.none) - all.rms(|s| s.shelf);
    let finger = all.strings.iter().map(|s| s.finger[0].abs()).fold(0.0, f64::max);
    let rise = all.strings.iter().map(|s| s.open_rise).fold(0.0, f64::max);
    let how = match nut.front {
        Front::Plain => "It is not made here.".to_owned(),
        Front::Straight => format!("Here it is made as one straight shift of {}.", length(bench, all.shift)),
        Front::Shelf => "Here it is made as a shelf.".to_owned(),
    };
    Note::new(
        NoteTopic::Compensation,
        Severity::Tell,
        format!(
            "Front compensation would better the strings by {} cents on the whole. {how} The open string is tuned again afterwards; before that it is sharp by up to {} cents. These corrections are small beside playing: a finger 3/8 in (9.5 mm) further behind fret 1 changes a note by up to {} cents. In a published blind test (32 players and builders, steel strings) a straight saddle, one cut string by string, and saddle with nut were rated alike.",
            fixed(gain, 1),
            fixed(rise, 1),
            fixed(finger, 1),
        ),
    )
}

/// The chosen strings of a nut, in words.
pub(super) fn who(nut: &NutPlan, wanted: impl Fn(usize) -> bool) -> String {
    let numbers: Vec<u32> = pairs(nut)
        .enumerate()
        .filter(|(i, _)| wanted(*i))
        .map(|(_, (s, _))| s.number)
        .collect();
    sentence(&strings(&numbers))
}
