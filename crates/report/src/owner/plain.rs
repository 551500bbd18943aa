//! What was found, in the words of a person who plays: what is felt of each finding, what mends it, and what of that cannot be undone.

use crate::figures::{fixed, length, sentence, strings};
use assess::{Finding, Topic, Undo, Verdict, told_angle};
use units::BenchUnit;
use work::Remark;

/// A length with its unit.
pub(super) fn shown(bench: BenchUnit, mm: f64) -> String {
    length(bench, mm)
}

/// The same in a cell of a table: the other unit under the first.
pub(super) fn cell(bench: BenchUnit, mm: f64) -> String {
    shown(bench, mm).replacen(" (", "\n(", 1)
}

/// `about 11.5 degrees`: no bench makes finer ones.
fn angle(radians: f64) -> String {
    let text = fixed(told_angle(radians).to_degrees(), 1);
    format!("about {} degrees", text.strip_suffix(".0").unwrap_or(&text))
}

pub(super) fn per_cent(share: f64) -> String {
    format!("{} per cent", fixed(100.0 * share, 0))
}

/// Error of a note, cents: `4 cents sharp`, `in tune`.
pub(super) fn pitch(cents: f64) -> String {
    let whole = fixed(cents.abs(), 0);
    match whole.as_str() {
        "0" => "in tune".to_owned(),
        "1" => format!("1 cent {}", side(cents)),
        _ => format!("{whole} cents {}", side(cents)),
    }
}

fn side(cents: f64) -> &'static str {
    if cents < 0.0 { "flat" } else { "sharp" }
}

/// `3 cents`.
pub(super) fn cents(cents: f64) -> String {
    let whole = fixed(cents.abs(), 0);
    if whole == "1" {
        "1 cent".to_owned()
    } else {
        format!("{whole} cents")
    }
}

/// What a finding is about, inside a sentence.
pub(super) fn subject(topic: Topic) -> &'static str {
    match topic {
        Topic::Humidity => "the dampness of the air",
        Topic::Relief => "the bow of the neck",
        Topic::Nut => "the nut",
        Topic::ZeroFret => "the fret at the nut",
        Topic::Saddle => "the depth of the groove in which the saddle stands",
        Topic::Fit => "how the saddle fits its groove",
        Topic::InSlot => "how deep the saddle stands in its groove",
        Topic::BreakAngle => "how the strings press on the saddle",
        Topic::BackFall => "the top of the saddle",
        Topic::Slot => "the place of the saddle's groove",
        Topic::WoodUnder => "the wood under the saddle's groove",
        Topic::FrontWall => "the wood in front of the saddle's groove",
        Topic::ToHoles => "the wood behind the saddle's groove",
        Topic::Load => "the wood that the saddle leans on",
        Topic::Neck => "the angle of the neck",
        Topic::Bridge => "the height of the bridge",
    }
}

/// `strings 6 and 5`, `all strings`.
fn under(finding: &Finding, count: usize) -> String {
    let named = finding.strings.len();
    if named == 0 || named == count && count > 1 {
        "all strings".to_owned()
    } else {
        strings(&finding.strings)
    }
}

/// What is felt or seen of a finding that is not in order, in sentences; nothing where only the bench minds it. `count`: of strings.
pub(super) fn felt(finding: &Finding, count: usize, bench: BenchUnit) -> String {
    let Some(value) = finding.value else {
        return String::new();
    };
    if finding.verdict == Verdict::Sound {
        return String::new();
    }
    let mm = || shown(bench, value);
    let which = || sentence(&under(finding, count));
    let low = finding.is_low();
    match finding.topic {
        Topic::Humidity => format!(
            "The air was {} when the instrument was measured ({}): {}.",
            if low { "dry" } else { "damp" },
            per_cent(value),
            if low {
                "a dry top sinks, and takes the strings down with it"
            } else {
                "a damp top swells, and lifts the strings"
            }
        ),
        Topic::Relief if low => "The neck is bent backward, with a hump in its middle: strings may buzz.".to_owned(),
        Topic::Relief => format!(
            "The neck is bowed by {}, more than usual: strings stand high in its middle.",
            mm()
        ),
        Topic::Nut if low => format!(
            "{} lie very low at the nut, {} over the first fret: played open they may buzz.",
            which(),
            mm()
        ),
        Topic::Nut => format!(
            "{} stand high at the nut, {} over the first fret: chords there are hard to press and sound sharp.",
            which(),
            mm()
        ),
        Topic::ZeroFret if low => format!(
            "{} lie very low at the fret beside the nut, {} over the first fret: played open they may buzz.",
            which(),
            mm()
        ),
        Topic::ZeroFret => format!(
            "{} stand high at the fret beside the nut, {} over the first fret: chords there are hard to press and sound sharp.",
            which(),
            mm()
        ),
        Topic::Saddle | Topic::BackFall => String::new(),
        Topic::Fit if low => "The material for the new saddle is too thick for its groove.".to_owned(),
        Topic::Fit => {
            "The new saddle would stand loose in its groove: it could tip, and put the strings out of tune.".to_owned()
        }
        Topic::InSlot => format!(
            "Little of the saddle would stand in its groove, {} of its height where it is least: it could tip and split the bridge.",
            per_cent(value)
        ),
        Topic::BreakAngle if low => format!(
            "{} would pass almost straight over the saddle (bent by {}), and press on it only weakly: they may sound weak or rattle.",
            which(),
            angle(value)
        ),
        Topic::BreakAngle => format!(
            "{} would be bent sharply over the saddle (by up to {}), and press hard on it.",
            which(),
            angle(value)
        ),
        Topic::Slot => format!(
            "The groove of the saddle does not lie where these strings want it: in it {} would be up to {} out of tune at fret 12.",
            under(finding, count),
            cents(value)
        ),
        Topic::WoodUnder => format!("Only {} of wood is left under the saddle's groove.", mm()),
        Topic::FrontWall => format!(
            "Only {} of wood stands in front of the saddle's groove: it may crack there.",
            mm()
        ),
        Topic::ToHoles => format!(
            "Only {} of wood stands between the saddle's groove and the holes of the strings.",
            mm()
        ),
        Topic::Load => format!(
            "The strings would press the saddle against the wood in front of it with {} of what that wood bears.",
            per_cent(value)
        ),
        Topic::Neck => format!(
            "Little is left of the saddle: with the strings at the wanted height it would stand only {} out of the bridge under {}. The neck has come forward, as necks do over the years.",
            mm(),
            under(finding, count)
        ),
        Topic::Bridge => format!(
            "The saddle would be tall, {} out of the bridge: the strings lever with it on the bridge.",
            mm()
        ),
    }
}

/// What mends a finding that asks for work, in sentences.
pub(super) fn remedy(finding: &Finding) -> &'static str {
    let low = finding.is_low();
    if finding.verdict != Verdict::Act {
        return "";
    }
    match finding.topic {
        Topic::Humidity => {
            "First keep the instrument at about 45 per cent humidity for a week or two, and have it measured again."
        }
        Topic::Relief => {
            "First set the neck straight with its rod, if it has one, and measure again. Without a rod the frets or the board would have to be levelled."
        }
        Topic::Nut if low => "Make a new nut, or fill the grooves of this one and cut them again.",
        Topic::Nut => {
            "First file the grooves of the nut deeper, a little at a time: that brings the strings down along the whole neck, by half as much at fret 12."
        }
        Topic::ZeroFret if low => "Level the frets, or put in higher wire beside the nut.",
        Topic::ZeroFret => {
            "First file the fret beside the nut down, a little at a time: that brings the strings down along the whole neck."
        }
        Topic::Saddle | Topic::BackFall => "",
        Topic::Fit if low => "Thin the material before it goes in: forced in, it would split the bridge.",
        Topic::Fit => "Take a thicker piece, so that the new saddle fits its groove.",
        Topic::InSlot => "Make the saddle a snug fit. A deeper groove would hold it better.",
        Topic::BreakAngle => {
            "Cut short ramps from the holes of the strings toward the saddle, so that the strings come down to it more steeply."
        }
        Topic::Slot => "",
        Topic::WoodUnder | Topic::FrontWall | Topic::ToHoles => "Look for cracks, and take no more wood there.",
        Topic::Load => {
            "Look for a crack in front of the saddle first. A lower saddle, or a groove that leans less, would ease it."
        }
        Topic::Neck => {
            "Set the neck: it is taken off, and put back at a steeper angle. Then make a new saddle. This is larger work, and is measured anew when it is done."
        }
        Topic::Bridge => {
            "Look first whether the top has sunk. A taller bridge, or the neck brought forward, would mend it; no saddle would."
        }
    }
}

/// What of the work that a finding asks for cannot be undone; nothing where all of it can.
pub(super) fn lasting(finding: &Finding) -> &'static str {
    if finding.verdict != Verdict::Act || finding.undo != Undo::Irreversible {
        return "";
    }
    match finding.topic {
        Topic::Nut => {
            "What is filed out of the nut: a groove that is too deep can only be filled, or the nut made anew."
        }
        Topic::ZeroFret => "What is filed off the fret: it needs new wire then.",
        Topic::InSlot => "A deeper groove: its wood cannot be put back.",
        Topic::BreakAngle => "Ramps in the bridge: their wood cannot be put back.",
        Topic::Slot => {
            "A groove that is moved or made wider, if you choose that: it stays visible, and its wood cannot be put back."
        }
        Topic::Load => "A groove that is cut anew: its wood cannot be put back.",
        Topic::Neck => "A neck that is set: wood is taken off its heel for good.",
        Topic::Bridge => "A new bridge, or a neck that is set: wood is taken off for good.",
        Topic::Humidity
        | Topic::Relief
        | Topic::Saddle
        | Topic::Fit
        | Topic::BackFall
        | Topic::WoodUnder
        | Topic::FrontWall
        | Topic::ToHoles => "Wood or material that is taken off.",
    }
}

/// Why no such saddle can be made, in a sentence; nothing where a finding tells it, or where it does not stand in the way.
pub(super) fn stop(remark: &Remark) -> &'static str {
    match remark {
        Remark::BlankLow { .. } => {
            "The piece of material is too low for the saddle that is needed: a higher one has to be taken."
        }
        Remark::NothingInSlot { .. } => {
            "What lies under the saddle fills its groove: nothing of a new saddle would stand in it."
        }
        Remark::UnderBottom(_) | Remark::Sunk(_) => {
            "With the strings at the wanted height they pass at or under the top of the bridge: there is no room for a saddle."
        }
        Remark::OffBlank(_) => "The strings want to rest where a saddle in this groove has nothing for them.",
        Remark::OnFirstFret(_) => {
            "Strings lie on the first fret when they are played open: the nut has to be put right."
        }
        Remark::Touching(_) => "At the wanted height strings would touch frets where they should ring free.",
        Remark::Lifted(_) => "Strings would pass over the saddle without pressing on it.",
        _ => "",
    }
}
