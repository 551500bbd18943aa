//! What to do about it, in sentences.

use super::words;
use crate::figures::{fixed, length, sentence};
use crate::wishes::MAIN_ALONE;
use saddle::tolerance::Share;
use units::BenchUnit;
use work::{SureAdvice, Sureness, WORTH};

/// Readings that the sentences name.
const NAMED: usize = 3;

/// Where a share is largest: the index of the string, the share, and whether it is of action rather than cents.
fn largest(share: &Share) -> Option<(usize, f64, bool)> {
    let of = |list: &[f64], action: bool| {
        list.iter()
            .copied()
            .enumerate()
            .map(move |(i, s)| (i, s, action))
            .collect()
    };
    let (action, cents): (Vec<_>, Vec<_>) = (of(&share.of_action, true), of(&share.of_cents, false));
    action
        .into_iter()
        .chain(cents)
        .reduce(|a, b| if b.1 > a.1 { b } else { a })
}

/// The readings that matter most, a sentence each.
pub(super) fn readings(sure: &Sureness, bench: BenchUnit) -> Vec<String> {
    let shares = sure.tolerance.first_order.shares.iter();
    shares
        .filter(|share| share.of_all >= WORTH)
        .take(NAMED)
        .filter_map(|share| {
            let (i, part, action) = largest(share)?;
            let number = sure.plan.strings.get(i)?.number;
            Some(format!(
                "{}, {} {}, makes {} % of string {number}'s spread of {}: {}.",
                sentence(words::name(share.reading)),
                words::how(share.reading),
                words::sure_to(share.reading, share.sigma, bench),
                fixed(100.0 * part, 0),
                if action { "action" } else { "cents" },
                words::mend(share.reading),
            ))
        })
        .collect()
}

/// One plain piece of advice.
pub(super) fn advice(sure: &Sureness, bench: BenchUnit) -> String {
    let text = of_main(sure, bench);
    if sure.shared {
        format!("{text} {MAIN_ALONE}")
    } else {
        text
    }
}

fn of_main(sure: &Sureness, bench: BenchUnit) -> String {
    let SureAdvice::First { again, proud } = sure.advice() else {
        return "The survey is good enough: make the saddle as planned.".to_owned();
    };
    let mut text = String::new();
    if let Some(share) = again {
        text += &format!(
            "First make the {} surer: {}. ",
            words::name(share.reading),
            words::mend(share.reading)
        );
    }
    text += "\"bonewright measure\" says what to read next, and what that gains. ";
    if proud > 0.0 {
        let chance = words::percent(sure.sampling.confidence);
        text += &format!(
            "Then leave the whole saddle {} proud: with that the chance is {chance} that no string ends too low. String up, read again, run \"bonewright fit\", and take the rest off the top.",
            length(bench, proud)
        );
    } else {
        text += "Height is safe as planned: string up, read again, and run \"bonewright fit\" for what is left.";
    }
    text
}
