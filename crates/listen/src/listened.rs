//! From samples to what is heard, or why nothing is.

use crate::comb::{Comb, Peaks};
use crate::heard::cents;
use crate::onset::{Loudness, cut_tops};
use crate::rest::at_rest;
use crate::series::{Agreed, stiff};
use crate::sound::PITCHES;
use crate::track::{FROM, HIGHEST, NEEDED, Seen, Stretches};
use crate::{Heard, HeardPartial, Sound, Sure, Unheard};

/// A string farther off the pitch that is expected is another one, cents.
pub const OTHER_STRING: f64 = 150.0;
/// Pitches among which another string is looked for, Hz.
const ALL: (f64, f64) = (38.0, 1_500.0);
/// Peaks stand so many times over the noise about them.
const OVER: f64 = 6.0;
/// Least score of a series that stands out.
const STANDS_OUT: f64 = 0.7;
/// Another series of this share of the power rings as loud: 12 dB under the string.
const AS_LOUD: f64 = 0.063;
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
/// Nothing is surer of B than this share of it.
const LEAST_OF_B: f64 = 0.002;

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
    let stretches = Stretches::of(sound, begins);
    let pitch = the_string(&stretches, &loudness, begins, expected)?;
    let (seen, all) = stretches.follow(pitch).ok_or(Unheard::NoString)?;
    told(&stretches, &seen, &all, pitch, begins)
}

/// Rough pitch of the string, if it rings alone.
fn the_string(stretches: &Stretches, loudness: &Loudness, begins: f64, expected: f64) -> Result<f64, Unheard> {
    let first = stretches.first().ok_or(Unheard::NoString)?;
    let top = (11.0 * expected).max(3_000.0).min(0.95 * first.top());
    let peaks = Peaks::of(&first.peaks(30.0, top, OVER), first.width);
    if peaks.is_empty() {
        return Err(Unheard::NoString);
    }
    for mains in MAINS {
        let (all, theirs) = peaks.multiples(mains, MAINS_OFF);
        if theirs > MAINS_SHARE * all && loudness.change(begins) > MAINS_STEADY {
            return Err(Unheard::Hum { mains });
        }
    }
    let wide = (OTHER_STRING / 1200.0).exp2();
    let own = peaks.best(expected / wide, expected * wide);
    let any = peaks.best(ALL.0, ALL.1);
    let out = |comb: &Comb| comb.score >= STANDS_OUT;
    if std::env::var("DBG2").is_ok() { eprintln!("own {own:?} any {any:?} {}", first.peaks(30.0, top, OVER).iter().map(|p| format!("{:.1}:{:.0}", p.frequency, 20.0*p.level.log10())).collect::<Vec<_>>().join(" ")); }
    let Some(own) = own.filter(out) else {
        return Err(match any.filter(out) {
            Some(other) => Unheard::OtherString {
                pitch: other.pitch,
                cents: cents(other.pitch, expected),
            },
            None => Unheard::NoString,
        });
    };
    // One that explains more, and far off, is what was played.
    if let Some(other) = any
        && cents(other.pitch, own.pitch).abs() > OTHER_STRING
        && other.score > 1.5 * own.score
        && other.power > 4.0 * own.power
    {
        return Err(Unheard::OtherString {
            pitch: other.pitch,
            cents: cents(other.pitch, expected),
        });
    }
    // Up to its partial 10 the string's own partials leave room for another series.
    let rest = peaks.without(own.pitch);
    let loud = |comb: &Comb| comb.power > AS_LOUD * own.power && comb.score > 0.3;
    if let Some(other) = rest.best(ALL.0, ALL.1).filter(loud) {
        let third = rest.without(other.pitch).best(ALL.0, ALL.1).filter(loud);
        return Err(match third {
            Some(_) => Unheard::Chord,
            None => Unheard::TwoStrings { other: other.pitch },
        });
    }
    Ok(own.pitch)
}

fn told(stretches: &Stretches, seen: &[Seen], all: &Agreed, pitch: f64, begins: f64) -> Result<Heard, Unheard> {
    let count = all.stretches.len();
    if all.scatter > TOGETHER {
        return Err(Unheard::NoString);
    }
    let middles: Vec<f64> = (0..count).map(Stretches::middle).collect();
    let rest = at_rest(&all.stretches, &all.covariance, &middles, energy_falls(seen)).ok_or(Unheard::NoString)?;
    if std::env::var("DBG").is_ok() { let st: Vec<String> = all.stretches.iter().enumerate().map(|(i,a)| format!("{a:.2}({:.2})/{:.2}", all.covariance[(i,i)].sqrt(), rest.sharper[i])).collect(); eprintln!("pitch {pitch:.4} {} {:?}", st.join(" "), energy_falls(seen)); }
    let moved = all.stretches.iter().zip(&rest.sharper).map(|(at, sharper)| (at - rest.rest.value - sharper).abs());
    if moved.fold(0.0, f64::max) > STEADY {
        return Err(Unheard::Unsteady);
    }
    let b = all.line.b;
    let apart = b_apart(stretches, seen, pitch, all);
    let inharmonicity = Sure {
        value: b,
        sure_to: all.b_sure_to.hypot(apart).hypot(LEAST_OF_B * b),
    };
    let at_rest = pitch * (rest.rest.value / 1200.0).exp2();
    Ok(Heard {
        pitch: Sure {
            value: at_rest,
            sure_to: at_rest * ((rest.rest.sure_to / 1200.0).exp2() - 1.0),
        },
        inharmonicity,
        began_sharp: rest.began,
        pull: all.line.pull[0],
        scatter: all.scatter,
        partials: partials(seen, all, pitch, at_rest),
        listened: [begins, stretches.ends()],
        stretches: count,
    })
}

/// How far B by half of the stretches, or without the lowest partials, lies off B by all, beyond what each is sure to by itself.
fn b_apart(stretches: &Stretches, seen: &[Seen], pitch: f64, all: &Agreed) -> f64 {
    let count = all.stretches.len();
    let middle = (count / 2).min(4);
    let parts = [(0..middle, FROM), (middle..count.min(2 * middle), FROM), (0..count, WITHOUT)];
    let off = parts.into_iter().filter_map(|(part, from)| {
        let own = stretches.inharmonicity_of(seen, pitch, part, from, all.line)?;
        let off = own.value - all.line.b;
        Some((off * off - own.sure_to * own.sure_to).max(0.0))
    });
    off.fold(0.0, f64::max).sqrt()
}

/// Least and greatest rate at which the energy of the string's stretch may fall, 1/s: by the partials that make most of it, and more, since
/// a string that moves along the top falls more slowly and is hardly heard.
fn energy_falls(seen: &[Seen]) -> (f64, f64) {
    let each = (1..=ENERGY).filter_map(|n| {
        let own: Vec<&Seen> = seen.iter().filter(|seen| seen.n == n).collect();
        falls(&own).map(|by_60| 2.0 * NEPERS / by_60)
    });
    let (least, most) = each.fold((f64::INFINITY, 0.0f64), |(least, most), rate| (least.min(rate), most.max(rate)));
    if most > 0.0 { (SLOWER * least, FASTER * most) } else { USUAL_FALLS }
}

#[allow(clippy::cast_precision_loss)] // a few stretches
fn partials(seen: &[Seen], all: &Agreed, pitch: f64, at_rest: f64) -> Vec<HeardPartial> {
    let loudest = seen.iter().map(|seen| seen.peak.level).fold(0.0, f64::max);
    let each = (1..=HIGHEST).filter_map(|n| {
        let own: Vec<&Seen> = seen.iter().filter(|seen| seen.n == n).collect();
        let first = own.first()?;
        let off = |seen: &Seen| {
            cents(seen.peak.frequency, f64::from(n) * pitch) - all.stretches.get(seen.stretch).copied().unwrap_or(0.0)
        };
        let off = own.iter().map(|seen| off(seen)).sum::<f64>() / own.len() as f64;
        let number = f64::from(n);
        let limp = number * at_rest;
        let counts = all.partials.iter().find(|(number, _)| *number == n);
        Some(HeardPartial {
            number: n,
            frequency: limp * (off / 1200.0).exp2(),
            limp,
            pulled: off - stiff(all.line.b, number),
            level: 20.0 * (first.peak.level / loudest).log10(),
            falls: falls(&own),
            counts: counts.map_or(0.0, |(_, counts)| *counts),
        })
    });
    each.collect()
}

/// Seconds to fall by 60 dB, by a straight line through the levels.
#[allow(clippy::cast_precision_loss)] // a few stretches
fn falls(own: &[&Seen]) -> Option<f64> {
    if own.len() < 3 {
        return None;
    }
    let points = own.iter().map(|seen| (Stretches::middle(seen.stretch), 20.0 * seen.peak.level.log10()));
    let count = own.len() as f64;
    let (t, l) = points.clone().fold((0.0, 0.0), |(t, l), (a, b)| (t + a / count, l + b / count));
    let (tt, tl) = points.fold((0.0, 0.0), |(tt, tl), (a, b)| (tt + (a - t).powi(2), tl + (a - t) * (b - l)));
    let slope = tl / tt;
    (slope < -0.5).then(|| -60.0 / slope)
}
