//! Where and how surely readings are taken, in bench words.

use crate::figures::{cents_of, degrees, fixed, strings};
use instrument::{At, Of};
use units::BenchUnit;

/// Where readings of one kind are taken; `numbers` are those of the strings, bass to treble. Nothing for what is of the whole instrument.
pub(crate) fn places(places: &[At], numbers: &[u32]) -> Option<String> {
    let on: Vec<u32> = places
        .iter()
        .filter_map(|at| match at {
            At::String(i) => numbers.get(*i).copied(),
            _ => None,
        })
        .collect();
    if !on.is_empty() {
        let every = on.len() == numbers.len() && on.len() > 1;
        return Some(if every { "every string".to_owned() } else { strings(&on) });
    }
    match places {
        [At::End(_), At::End(_)] => Some("both ends".to_owned()),
        [At::End(0)] => Some("bass end".to_owned()),
        [At::End(_)] => Some("treble end".to_owned()),
        _ => None,
    }
}

/// Unit of a kind of reading's uncertainty in JSON.
pub(crate) fn unit(of: Of) -> &'static str {
    match of {
        Of::Lean => "rad",
        Of::Cents { .. } => "cents",
        Of::RadiusAtNut | Of::RadiusAt12 | Of::Inharmonicity => "share",
        _ => "mm",
    }
}

/// How sure readings of a kind are; of a radius and of inharmonicity as a share of itself.
pub(crate) fn sure_to(of: Of, sure_to: f64, bench: BenchUnit) -> String {
    match unit(of) {
        "rad" => degrees(sure_to),
        "cents" => cents_of(sure_to),
        "share" => format!("{} %", fixed(100.0 * sure_to, 0)),
        _ => bench.show(sure_to),
    }
}
