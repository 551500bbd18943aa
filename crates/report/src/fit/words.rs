//! Words of the fit page.

use crate::figures::{degrees, fixed, length, list, sentence, signed, strings};
use numerics::math;
use saddle::Fit;
use units::BenchUnit;
use work::{Borne, Ending, Fitted, Left, Remark, StringLeft, Untunable, Whole};

/// A lean that differs by less says nothing, radians (0.1 degree): no gauge at the bench shows it.
const LEAN_SHOWN: f64 = 0.1 * std::f64::consts::PI / 180.0;

/// What is left on a string, short enough for a table.
#[must_use]
pub fn left(s: &StringLeft, bench: BenchUnit) -> String {
    let low = || format!("low by {} at fret 12", bench.show(-s.off_12));
    match s.left {
        Left::Good => "good".to_owned(),
        Left::Held => "held at the land, leave it".to_owned(),
        Left::Low(_) => format!("{}, leave it", low()),
        Left::Untuned => format!("{}, leave it", tuning(s)),
        Left::File => "file to these figures".to_owned(),
        Left::TooLow => format!("too {}", low()),
        Left::ReadAgain => "reading doubtful".to_owned(),
        Left::Wait => "nothing yet".to_owned(),
        Left::WithShim => "lower it once the shim is in".to_owned(),
        Left::Remade => "comes with the new saddle".to_owned(),
    }
}

/// `4.1 cents sharp`; where the aim is another than a true octave, `4.1 cents sharp of its aim`.
fn tuning(s: &StringLeft) -> String {
    let off = s.untuned.map_or(0.0, |untuned| untuned.off);
    let side = if off < 0.0 { "flat" } else { "sharp" };
    let of = if signed(off, 1) == signed(s.then_cents_12, 1) {
        ""
    } else {
        " of its aim"
    };
    format!("{} cents {side}{of}", fixed(off.abs(), 1))
}

/// Where the saddle stands.
pub(super) fn seat(fit: &Fit, across: f64, bench: BenchUnit) -> String {
    let at = |mm: f64| {
        if bench.number(mm.abs()) == bench.number(0.0) {
            "just as high as planned".to_owned()
        } else {
            format!(
                "{} {} than planned",
                length(bench, mm.abs()),
                if mm > 0.0 { "higher" } else { "lower" }
            )
        }
    };
    let (bass, treble) = (fit.seat.bass, fit.seat.treble);
    const SHOWS: &str = " At fret 12 about half of it shows.";
    if across == 0.0 {
        return format!("The saddle stands {}.{SHOWS}", at(bass));
    }
    let roll = math::atan2(treble - bass, across);
    let mut text = format!(
        "Under the bass string the saddle stands {}, under the treble string {}",
        at(bass),
        at(treble)
    );
    text += &if fixed(roll.to_degrees().abs(), 2) == "0.00" {
        "; it is level from end to end.".to_owned()
    } else {
        format!(
            ": a roll of {} degrees, {} end up.",
            fixed(roll.to_degrees().abs(), 2),
            if roll > 0.0 { "treble" } else { "bass" }
        )
    };
    text += SHOWS;
    if fit.lean.abs() > LEAN_SHOWN {
        text += &format!(
            " The actions together say that the saddle leans {} more to the {} than was read.",
            degrees(fit.lean.abs()),
            if fit.lean > 0.0 { "front" } else { "back" },
        );
    }
    text
}

/// What to do with the whole saddle.
#[must_use]
pub fn whole(fitted: &Fitted, bench: BenchUnit) -> String {
    let shown = |mm: f64| length(bench, mm);
    let leave = || leave(fitted, bench);
    let low = || too_low(fitted, bench);
    match fitted.whole() {
        Whole::Good => format!("Nothing: every string is good. File nothing more.{}", ending(fitted)),
        Whole::AsNear => format!("Nothing that a file could mend: file nothing more.{}{}", leave(), ending(fitted)),
        Whole::File => format!(
            "File the strings that say so to the figures above, the move first, then the height from the top. String up and measure before the last stroke: what is filed off cannot be put back.{}",
            leave()
        ),
        Whole::Shim(by) => format!(
            "{} This saddle drops in: lay a shim {} thick under its whole length.{} All strings come up by that at the saddle; then lower each by what stands under \"lower, shimmed\". String up and read again before the last stroke.{}",
            low(),
            shown(by),
            thicker(fitted, by, bench),
            stays(fitted)
        ),
        Whole::ShimOrNew(by) => format!(
            "{} File it no further. Two ways are left. As long as its ends are not blended into the bridge and it is not glued: a shim {} thick under its whole length, hard, flat and as wide as the saddle.{} It costs this (common practice, no source). Every string comes up by the thickness at the saddle and is lowered again by what stands under \"lower, shimmed\", so the crown is filed anew. The ends come up by as much over the wings of the bridge: trace them again. So much less of the saddle stands in its slot. The shim is glued in with it, one joint more between strings and bridge. String up dry and read again before the last stroke. Once the ends are blended or it is glued, a shim would lift the ends off the wings: then make a new saddle to the corrected plan below, which has the seat, the nut and the strings as these readings show them.{}{}",
            low(),
            shown(by),
            thicker(fitted, by, bench),
            unmade(fitted),
            stays(fitted)
        ),
        Whole::NewSaddle(by) => format!(
            "{} File it no further. A shim would have to be {} thick, and would lift it too far out of its slot. Make a new saddle to the corrected plan below: it has the seat, the nut and the strings as these readings show them.{}{}",
            low(),
            shown(by),
            unmade(fitted),
            stays(fitted)
        ),
        Whole::SlotsFirst => "First the nut: slots are not at their gap, and a slot that goes down takes about half of that off the action at fret 12. File nothing at the saddle yet. Bring the slots right (\"bonewright fit --part nut\"), string up and read again.".to_owned(),
        Whole::ReadAgain => "File nothing yet. Take the doubtful readings again first, then run this again: a wrong reading would be filed into the saddle for good.".to_owned(),
    }
}

/// What comes next for a saddle that is right, behind a sentence; nothing for one that drops in.
fn ending(fitted: &Fitted) -> String {
    match fitted.ending() {
        None | Some(Ending::Nothing) => String::new(),
        Some(Ending::Blend) => " Next: blend the ends to the bridge.".to_owned(),
        Some(Ending::BlendAndGlue) => {
            " Next: blend the ends to the bridge, and last glue it in. Then read again, against these figures."
                .to_owned()
        }
        Some(Ending::ReadFirst(unread)) => format!(
            " Next, while it is still dry: read action and cents of {} too. What is glued in is not taken out again.",
            strings(&unread)
        ),
    }
}

/// What is said where a reading alone would not have a string good; nothing where none would.
#[must_use]
pub fn weighed(fitted: &Fitted, bench: BenchUnit) -> Option<String> {
    let off = fitted.read_further_off();
    let (_, most) = off.iter().copied().max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))?;
    let numbers: Vec<u32> = off.iter().map(|(number, _)| *number).collect();
    Some(format!(
        "{} {} read up to {} too {} at fret 12, but such a reading is sure to {} only, and all that was read before and after stringing up puts {} within {} of the target. A surer tool would tell: read the action again with feelers or a dial, and name it (\"with\" in [strung]).",
        sentence(&strings(&numbers)),
        if numbers.len() == 1 { "was" } else { "were" },
        length(bench, most.abs()),
        if most > 0.0 { "high" } else { "low" },
        length(bench, fitted.limits.reading),
        if numbers.len() == 1 { "it" } else { "them" },
        length(bench, fitted.limits.action),
    ))
}

/// The same in short, for a screen that shows the figures beside it.
#[must_use]
pub fn whole_short(fitted: &Fitted, bench: BenchUnit) -> String {
    let shown = |mm: f64| length(bench, mm);
    match fitted.whole() {
        Whole::Good => "Every string is good. File nothing more.".to_owned(),
        Whole::AsNear => format!("File nothing more.{}", leave(fitted, bench)),
        Whole::File => format!(
            "File the strings below: the move first, then the height. Measure before the last stroke; what is filed off cannot be put back.{}",
            leave(fitted, bench)
        ),
        Whole::Shim(by) => format!(
            "{} This saddle drops in: lay a shim {} thick under its whole length, then string up and read again.",
            too_low(fitted, bench),
            shown(by)
        ),
        Whole::ShimOrNew(by) => format!(
            "{} File it no further. While its ends are not blended and it is not glued, lay a shim {} thick under its whole length, then string up and read again; else make a new saddle. The figures behind this say what the shim costs, and hold what these readings taught.",
            too_low(fitted, bench),
            shown(by)
        ),
        Whole::NewSaddle(_) => format!(
            "{} File it no further: make a new saddle, for a shim would lift this one too far out of its slot. The figures behind this hold what these readings taught.{}",
            too_low(fitted, bench),
            unmade(fitted)
        ),
        Whole::SlotsFirst => "First the nut: slots are not at their gap, and they change the action at fret 12 too. File nothing at the saddle yet; bring the slots right, string up and read again.".to_owned(),
        Whole::ReadAgain => "File nothing yet. Take the doubtful readings again first.".to_owned(),
    }
}

/// Numbers of the strings for which a test holds.
fn those(fitted: &Fitted, test: impl Fn(&StringLeft) -> bool) -> Vec<u32> {
    fitted.strings().iter().filter(|s| test(s)).map(|s| s.number).collect()
}

/// Which strings are too low, and how far: at fret 12, and what that is at the saddle.
fn too_low(fitted: &Fitted, bench: BenchUnit) -> String {
    let is_low = |s: &StringLeft| s.left == Left::TooLow;
    let lowest = fitted
        .strings()
        .iter()
        .filter(|s| is_low(s))
        .min_by(|a, b| a.off_12.total_cmp(&b.off_12));
    let Some(lowest) = lowest else {
        return String::new();
    };
    let floor = if -lowest.off_12 <= fitted.limits.action {
        ", under the floor of the job"
    } else {
        ""
    };
    let by = format!(
        "{} under its target at fret 12, which is {} at the saddle{floor}",
        length(bench, -lowest.off_12),
        length(bench, -lowest.off_saddle)
    );
    let numbers = those(fitted, is_low);
    let which = if numbers.len() == 1 {
        format!("string {} is {by}", lowest.number)
    } else {
        format!(
            "{}, most of all string {}: it is {by}",
            strings(&numbers),
            lowest.number
        )
    };
    format!("Too low: {which}. Nothing can be put back on the crown.")
}

/// Strings that are left although they are off, and why.
fn leave(fitted: &Fitted, bench: BenchUnit) -> String {
    let lows = |of: fn(Borne) -> bool| {
        let is_of = move |s: &&StringLeft| matches!(s.left, Left::Low(borne) if of(borne));
        let found: Vec<&StringLeft> = fitted.strings().iter().filter(is_of).collect();
        found
    };
    let mut text = String::new();
    let within = lows(|borne| borne == Borne::WithinReading);
    if !within.is_empty() {
        let limits = &fitted.limits;
        text += &format!(
            " Leave {}, within what the reading can tell: good is down to {}, and a reading is sure to {}.",
            under(&within, bench),
            bench.show(limits.action),
            bench.show(limits.reading)
        );
    }
    let over = lows(|borne| matches!(borne, Borne::OverFloor(_)));
    if !over.is_empty() {
        let floors = over.iter().filter_map(|s| match s.left {
            Left::Low(Borne::OverFloor(floor)) => Some(bench.action().show(floor)),
            _ => None,
        });
        let mut floors: Vec<String> = floors.collect();
        floors.dedup();
        text += &format!(
            " Leave {}, but over the job's floor of {}; or lower the target in the job.",
            under(&over, bench),
            list(&floors)
        );
    }
    text + &stays(fitted)
}

/// `string 3: it is 4.3 thou (0.108 mm) under its target at fret 12`; of several each with its figure.
fn under(low: &[&StringLeft], bench: BenchUnit) -> String {
    let numbers: Vec<u32> = low.iter().map(|s| s.number).collect();
    let mut by: Vec<String> = low.iter().map(|s| length(bench, -s.off_12)).collect();
    let which = strings(&numbers);
    by.dedup();
    match by.as_slice() {
        [one] if low.len() == 1 => format!("{which}: it is {one} under its target at fret 12"),
        [one] => format!("{which}: each is {one} under its target at fret 12"),
        _ => {
            let by: Vec<String> = low.iter().map(|s| bench.show(-s.off_12)).collect();
            format!("{which}: they are {} under their targets at fret 12", list(&by))
        }
    }
}

/// Strings that end out of tune, and why.
fn stays(fitted: &Fitted) -> String {
    let whys = [
        (Untunable::Held, "held at the land: the plan's ways out still hold"),
        (
            Untunable::PastLand,
            "for its place would lie past the land of this blank (the plan of a second saddle, \"--write-job\", has the ways out)",
        ),
        (
            Untunable::EndsLow,
            "for the whole move of its ridge would leave it too low (\"bonewright filing\" says what a part of it costs; a second saddle would bring it right)",
        ),
        (
            Untunable::NotWorth,
            "for no move of the ridge betters it by what is worth a stroke",
        ),
    ];
    let decided = |s: &&StringLeft| !matches!(s.left, Left::Wait | Left::ReadAgain);
    let of = |why| {
        let untuned = |s: &&StringLeft| s.untuned.is_some_and(|untuned| untuned.why == why);
        let each = fitted.strings().iter().filter(decided).filter(untuned);
        let each = each.map(|s| format!("string {} stays {}", s.number, tuning(s)));
        let each: Vec<String> = each.collect();
        (!each.is_empty()).then(|| list(&each))
    };
    let each = whys.into_iter().filter_map(|(why, words)| Some((of(why)?, words)));
    each.map(|(which, words)| format!(" At fret 12 {which}, {words}."))
        .collect()
}

/// Why a shim is thicker than the lowest string lacks.
fn thicker(fitted: &Fitted, shim: f64, bench: BenchUnit) -> &'static str {
    let most = fitted.strings().iter().map(|s| -s.off_saddle).fold(0.0, f64::max);
    let moved = fitted.strings().iter().any(|s| s.move_back != 0.0);
    if moved && shim > most + bench.step() {
        " That is more than is lacking there, because the ridge goes down where it is moved."
    } else {
        ""
    }
}

/// What stands against the corrected plan.
fn unmade(fitted: &Fitted) -> &'static str {
    if fitted.next_remarks().iter().any(Remark::stops) {
        " But as it stands that plan is not to be made: it says first why."
    } else {
        ""
    }
}
