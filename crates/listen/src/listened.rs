//! From samples to what is heard, or why nothing is.

use crate::beside::beside;
use crate::comb::{Comb, Peaks};
use crate::heard::cents;
use crate::onset::{Loudness, cut_tops};
use crate::rest::at_rest;
use crate::series::{Agreed, stiff};
use crate::sound::PITCHES;
use crate::track::{FROM, HIGHEST, NEEDED, Seen, Stretches, told_below};
use crate::{Heard, HeardPartial, Sound, Sure, Unheard};
use numerics::math;

/// A string farther off the pitch that is expected is another one, cents.
pub const OTHER_STRING: f64 = 150.0;
/// Pitches among which another string is looked for, Hz.
const ALL: (f64, f64) = (38.0, 1_500.0);
/// Peaks stand so many times over the noise about them.
const OVER: f64 = 6.0;
/// Least score of a series that stands out.
const STANDS_OUT: f64 = 0.7;
/// A series of so many partials stands out too that has this share of all power.
const ALONE: f64 = 0.8;
const ALONE_PARTIALS: usize = 4;
/// So many strings are a chord.
const MANY: usize = 3;
/// One that explains more has so many of its partials, since two strings together look like a part of a lower one, and so many times the power.
const WHOLE: usize = 7;
const MORE: f64 = 1.1;
/// Another series of this share of the power rings as loud: 15 dB under the string.
const AS_LOUD: f64 = 0.032;
/// The mains, Hz; how near their multiples are; the share of the power that is theirs where nothing else is heard; and how little it
/// changes.
const MAINS: [f64; 2] = [50.0, 60.0];
const MAINS_OFF: f64 = 0.8;
const MAINS_SHARE: f64 = 0.9;
const MAINS_STEADY: f64 = 0.7;
/// A string's pitch moves no more than this beside the fall of a hard pluck, cents.
const STEADY: f64 = 6.0;
/// And its partials lie no farther about their series, cents.
const TOGETHER: f64 = 6.0;
/// Energy of a string's stretch is told by this many partials.
const ENERGY: u32 = 5;
/// 60 dB as a factor's logarithm.
const NEPERS: f64 = 6.907_755_278_982_137;
/// Its fall may be slower and faster than that of any of them by these factors, and lies between these rates where none is seen to fall, 1/s.
const SLOWER: f64 = 0.6;
const FASTER: f64 = 1.2;
const USUAL_FALLS: (f64, f64) = (0.5, 5.0);
/// Without partials below this one B should come out the same.
const WITHOUT: u32 = 5;
/// Standard deviation of what two ways of moving, a few tenths of a cent apart, put between low partials and high ones, cents.
const TWO_WAYS: f64 = 0.02;
/// The worst of three disagreements over a standard deviation.
const WORST: f64 = 0.3;
/// Nothing is surer of B than this share of it.
const LEAST_OF_B: f64 = 0.0022;

/// What is heard of one string whose pitch should be about `expected` Hz: the sound of one pluck, from before it to two seconds after it
/// and more.
///
/// # Errors
/// [`Unheard`], by name.
pub fn listened(sound: &Sound, expected: f64) -> Result<Heard, Unheard> {
    if !(PITCHES.0..=PITCHES.1).contains(&expected) {
        return Err(Unheard::Expected { expected });
    }
    let loudness = Loudness::of(sound);
    let begins = loudness.begins()?;
    if let Some(tops) = cut_tops(sound.samples()) {
        return Err(Unheard::Clipped { tops });
    }
    let left = sound.seconds() - begins;
    if left < NEEDED {
        return Err(Unheard::TooShort {
            seconds: left,
            needed: NEEDED,
        });
    }
    if loudness.is_knock(begins) {
        return Err(Unheard::Clicks);
    }
    let mut stretches = Stretches::of(sound, begins, expected);
    let string = the_string(&stretches, &loudness, begins, expected)?;
    let (seen, all) = stretches.follow(string.pitch, string.b).ok_or(Unheard::NoString)?;
    if let Some(other) = beside(stretches.first(), &seen, &all, string.pitch) {
        return Err(Unheard::TwoStrings { other });
    }
    told(&stretches, &seen, &all, string.pitch, begins)
}

/// The string, roughly, if it rings alone.
fn the_string(stretches: &Stretches, loudness: &Loudness, begins: f64, expected: f64) -> Result<Comb, Unheard> {
    let first = stretches.first();
    let top = told_below(expected).min(0.95 * first.top());
    let peaks = Peaks::of(&first.peaks(30.0, top, OVER), first.width);
    if peaks.is_empty() {
        return Err(Unheard::NoString);
    }
    for mains in MAINS {
        let theirs = peaks.multiples(mains, MAINS_OFF);
        if theirs > MAINS_SHARE * peaks.power() && loudness.change(begins) > MAINS_STEADY {
            return Err(Unheard::Hum { mains });
        }
    }
    let wide = math::exp2(OTHER_STRING / 1200.0);
    let own = peaks.best(expected / wide, expected * wide);
    let any = peaks.best(ALL.0, ALL.1);
    // A string whose first partial the body rings with is heard by that almost alone.
    let out = |comb: &Comb| {
        let alone = comb.power > ALONE * peaks.power() && comb.partials >= ALONE_PARTIALS;
        comb.score >= STANDS_OUT || alone
    };
    let other = |pitch: f64| Unheard::OtherString {
        pitch,
        cents: cents(pitch, expected),
    };
    let Some(own) = own.filter(out) else {
        return Err(instead(&peaks, any, [expected / wide, expected * wide], out).unwrap_or_else(other));
    };
    if own.every > 1 {
        return Err(other(f64::from(own.every) * own.pitch));
    }
    // One that explains more, and far off, is what was played.
    // Where the string that is expected is whole, a lower one is there only with its first partial.
    let there = |any: &Comb| any.first || own.partials <= WHOLE;
    let far = any.filter(|any| cents(any.pitch, own.pitch).abs() > OTHER_STRING && there(any));
    if let Some(any) = far.filter(|any| {
        any.every == 1 && any.partials >= WHOLE && any.score > own.score + STANDS_OUT && any.power > MORE * own.power
    }) {
        return Err(other(any.pitch));
    }
    // Up to its partial 10 the string's own partials leave room for another series.
    let rest = peaks.without(&own);
    let loud = |comb: &Comb| comb.power > AS_LOUD * own.power && comb.score > 0.3;
    if let Some(other) = rest.best(ALL.0, ALL.1).filter(loud) {
        let third = rest.without(&other).best(ALL.0, ALL.1).filter(loud);
        return Err(match third {
            Some(_) => Unheard::Chord,
            None => Unheard::TwoStrings { other: other.pitch },
        });
    }
    Ok(own)
}

/// What is heard where the string that is expected does not stand out: several strings, or one of another pitch, Hz.
fn instead(peaks: &Peaks, any: Option<Comb>, own: [f64; 2], out: impl Fn(&Comb) -> bool) -> Result<Unheard, f64> {
    let mut rest = peaks.clone();
    let mut found: Vec<Comb> = Vec::new();
    while found.len() < MANY {
        let next = rest.best(ALL.0, ALL.1).filter(|comb| comb.partials >= ALONE_PARTIALS);
        let Some(next) = next.filter(|comb| comb.power > AS_LOUD * found.first().map_or(0.0, |first| first.power))
        else {
            break;
        };
        rest = rest.without(&next);
        found.push(next);
    }
    if found.len() >= MANY {
        return Ok(Unheard::Chord);
    }
    let Some(any) = any.filter(out) else {
        return Ok(Unheard::NoString);
    };
    // Two together look like a part of a lower one, of which each would then be every second partial or third.
    let whole = peaks
        .best(own[0], own[1])
        .filter(|own| own.partials >= WHOLE && any.partials < WHOLE);
    if let Some(own) = whole
        && let Some(other) = peaks.without(&own).best(ALL.0, ALL.1)
    {
        return Ok(Unheard::TwoStrings { other: other.pitch });
    }
    // The string that is expected may stand out once the other is away.
    let beside = peaks.without(&any).best(own[0], own[1]);
    match beside.filter(|beside| beside.power > AS_LOUD * any.power && beside.partials >= ALONE_PARTIALS) {
        Some(_) => Ok(Unheard::TwoStrings { other: any.pitch }),
        None => Err(any.pitch),
    }
}

fn told(stretches: &Stretches, seen: &[Seen], all: &Agreed, pitch: f64, begins: f64) -> Result<Heard, Unheard> {
    if all.scatter > TOGETHER {
        return Err(Unheard::NoString);
    }
    let middles: Vec<f64> = all.seen_in.iter().map(|at| stretches.middle(*at)).collect();
    let rest =
        at_rest(&all.stretches, &all.covariance, &middles, energy_falls(stretches, seen)).ok_or(Unheard::NoString)?;
    let moved = all
        .stretches
        .iter()
        .zip(&rest.sharper)
        .enumerate()
        .map(|(i, (at, sharper))| {
            // Late stretches, of which little is left, may lie anywhere.
            let sure_to = all.covariance[(i, i)].sqrt();
            (at - rest.rest.value - sharper).abs() - 3.0 * sure_to
        });
    if moved.fold(0.0, f64::max) > STEADY {
        return Err(Unheard::Unsteady);
    }
    let b = all.line.b;
    let apart = b_apart(stretches, seen, pitch, all);
    let inharmonicity = Sure {
        value: b,
        sure_to: math::hypot(
            math::hypot(math::hypot(all.b_sure_to, apart), LEAST_OF_B * b),
            two_ways(all),
        ),
    };
    let last = all
        .seen_in
        .iter()
        .copied()
        .filter(|at| *at < stretches.long())
        .max()
        .unwrap_or(0);
    let at_rest = pitch * math::exp2(rest.rest.value / 1200.0);
    Ok(Heard {
        pitch: Sure {
            value: at_rest,
            sure_to: at_rest * (math::exp2(rest.rest.sure_to / 1200.0) - 1.0),
        },
        inharmonicity,
        began_sharp: rest.began,
        pull: all.line.pull[0],
        scatter: all.scatter,
        partials: partials(stretches, seen, all, pitch, at_rest),
        listened: [begins, stretches.ends(last)],
        stretches: all.seen_in.len(),
    })
}

/// What the two ways in which a string moves leave open of B: low partials may be heard of the one and high ones of the other.
fn two_ways(all: &Agreed) -> f64 {
    let highest = all
        .partials
        .iter()
        .filter(|(_, counts)| *counts > 0.5)
        .map(|(n, _)| *n)
        .max();
    let n = f64::from(highest.unwrap_or(FROM));
    TWO_WAYS / (stiff(1e-6, n) * 1e6)
}

/// How far B by half of the stretches, or without the lowest partials, lies off B by all, beyond what each is sure to by itself.
fn b_apart(stretches: &Stretches, seen: &[Seen], pitch: f64, all: &Agreed) -> f64 {
    let long = all.seen_in.iter().filter(|at| **at < stretches.long()).count();
    let middle = (long / 2).min(4);
    let parts = [(0..middle, FROM), (middle..2 * middle, FROM), (0..usize::MAX, WITHOUT)];
    let off = parts.into_iter().filter_map(|(part, from)| {
        let own = stretches.inharmonicity_of(seen, pitch, part, from, all.line)?;
        let off = own.value - all.line.b;
        Some((off * off - own.sure_to * own.sure_to).max(0.0))
    });
    // The worst of three is more than one standard deviation.
    WORST * off.fold(0.0, f64::max).sqrt()
}

/// Least and greatest rate at which the energy of the string's stretch may fall, 1/s: by the partials that make most of it, and more, since
/// a string that moves along the top falls more slowly and is hardly heard.
fn energy_falls(stretches: &Stretches, seen: &[Seen]) -> (f64, f64) {
    let each = (1..=ENERGY).filter_map(|n| {
        let own: Vec<&Seen> = seen.iter().filter(|seen| seen.n == n).collect();
        falls(stretches, &own).map(|by_60| 2.0 * NEPERS / by_60)
    });
    let (least, most) = each.fold((f64::INFINITY, 0.0f64), |(least, most), rate| {
        (least.min(rate), most.max(rate))
    });
    if most > 0.0 {
        (SLOWER * least, FASTER * most)
    } else {
        USUAL_FALLS
    }
}

#[allow(clippy::cast_precision_loss)] // a few stretches
fn partials(stretches: &Stretches, seen: &[Seen], all: &Agreed, pitch: f64, at_rest: f64) -> Vec<HeardPartial> {
    let loudest = seen.iter().map(|seen| seen.peak.level).fold(0.0, f64::max);
    let each = (1..=HIGHEST).filter_map(|n| {
        let own: Vec<&Seen> = seen.iter().filter(|seen| seen.n == n).collect();
        let first = own.first()?;
        let off = |seen: &Seen| {
            let at = all.seen_in.iter().position(|at| *at == seen.stretch);
            let at = at.and_then(|at| all.stretches.get(at)).copied();
            cents(seen.peak.frequency, f64::from(n) * pitch) - at.unwrap_or(0.0)
        };
        let off = own.iter().map(|seen| off(seen)).sum::<f64>() / own.len() as f64;
        let number = f64::from(n);
        let limp = number * at_rest;
        let counts = all.partials.iter().find(|(number, _)| *number == n);
        Some(HeardPartial {
            number: n,
            frequency: limp * math::exp2(off / 1200.0),
            limp,
            pulled: off - stiff(all.line.b, number),
            level: 20.0 * math::log10(first.peak.level / loudest),
            falls: falls(stretches, &own),
            counts: counts.map_or(0.0, |(_, counts)| *counts),
        })
    });
    each.collect()
}

/// Seconds to fall by 60 dB, by a straight line through the levels.
#[allow(clippy::cast_precision_loss)] // a few stretches
fn falls(stretches: &Stretches, own: &[&Seen]) -> Option<f64> {
    // Levels of long and short stretches do not go together.
    let own: Vec<&&Seen> = own.iter().filter(|seen| seen.stretch < stretches.long()).collect();
    if own.len() < 3 {
        return None;
    }
    let points = own
        .iter()
        .map(|seen| (stretches.middle(seen.stretch), 20.0 * math::log10(seen.peak.level)));
    let count = own.len() as f64;
    let (t, l) = points
        .clone()
        .fold((0.0, 0.0), |(t, l), (a, b)| (t + a / count, l + b / count));
    let (tt, tl) = points.fold((0.0, 0.0), |(tt, tl), (a, b)| {
        (tt + math::powi(a - t, 2), tl + (a - t) * (b - l))
    });
    let slope = tl / tt;
    (slope < -0.5).then(|| -60.0 / slope)
}
