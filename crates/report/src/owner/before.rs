//! The sheet that the owner gets before the work.

use super::plain::{cell, cents, felt, lasting, per_cent, pitch, remedy, shown, stop, subject};
use super::sheet::{OwnerPart, OwnerSheet, OwnerTable};
use crate::Assessed;
use crate::cautions::accepted;
use crate::figures::list as all;
use assess::{Finding, Topic, Verdict};
use saddle::BlankKind;
use units::BenchUnit;
use work::{AirFrom, Beside, Complaint, Feel, ForkEnd, Hazards, Instead, OwnerString, Proposed};

/// What a cent is.
pub(super) const CENTS: &str = "A cent is a hundredth of a semitone; fret 12 is the octave.";

/// The words of the sheet; `hazards` are those of the new saddle's material.
#[must_use]
pub fn owner_sheet(of: &Assessed, proposed: &Proposed, hazards: Hazards) -> OwnerSheet {
    let bench = of.bench;
    let mut parts = Vec::new();
    parts.extend(OwnerPart::words("What is wrong", wrong(of, proposed)));
    parts.extend(OwnerPart::words("What is proposed", proposal(of, proposed)));
    parts.push(OwnerPart::Table(changes(proposed, bench)));
    parts.extend(OwnerPart::words("What else could be done", instead(proposed, bench)));
    parts.extend(OwnerPart::words("What cannot be undone", forever(of, proposed)));
    parts.extend(OwnerPart::words("How sure this is", sure(of, proposed)));
    parts.extend(OwnerPart::words("Before you agree", before(hazards)));
    OwnerSheet {
        under: "For the owner: what was found, and what is proposed. A comparison, not a promise.",
        headline: headline(proposed),
        parts,
        open: vec![
            "Price",
            "Ready by",
            "Repairer, date and signature",
            "Owner, date and signature",
        ],
    }
}

/// The fork, for one who makes no saddle.
fn headline(proposed: &Proposed) -> String {
    let fork = &proposed.fork;
    let made = match fork.beside {
        Beside::Nothing => "A new saddle",
        Beside::Nut => "A new saddle with a new nut",
        Beside::ZeroFret => "A new saddle, with work on the fret beside the nut,",
    };
    let mut text = match fork.end {
        ForkEnd::Impossible => {
            "No new saddle can be made for this instrument as it stands: something else must be put right first."
                .to_owned()
        }
        ForkEnd::Unsafe => {
            "A new saddle as high as the wanted strings ask for would put the bridge at risk.".to_owned()
        }
        ForkEnd::NeckDue => {
            "A new saddle alone will not help: the neck must be set, which is larger work and cannot be undone."
                .to_owned()
        }
        ForkEnd::TooTall => {
            "A new saddle alone will not help: it would stand too tall. Bridge, top and neck are to be looked at first."
                .to_owned()
        }
        ForkEnd::NotKnown => {
            "Whether a new saddle is enough cannot be said yet: the depth of its groove is not known.".to_owned()
        }
        ForkEnd::NotInTune => format!(
            "{made} brings the strings to the wanted height, but some would stay out of tune up the neck. There are ways to better that; some cannot be undone."
        ),
        ForkEnd::Watch => format!("{made} is the right repair. Some things are to be watched."),
        ForkEnd::Clear => format!("{made} is the right repair, and nothing else is needed."),
        ForkEnd::Once => format!("{made} is the right repair, once the points below are seen to."),
    };
    if !fork.first.is_empty() {
        let first: Vec<String> = fork.first.iter().map(|topic| subject(*topic).to_owned()).collect();
        text += &format!(
            " First {} must be put right and the instrument measured again; that may change the rest.",
            all(&first)
        );
    }
    text
}

/// Findings that matter to the owner: how the top of a saddle is filed is the bench's own business.
fn findings<'a>(of: &'a Assessed) -> impl Iterator<Item = &'a Finding> {
    of.found.findings.iter().filter(|f| f.topic != Topic::BackFall)
}

fn wrong(of: &Assessed, proposed: &Proposed) -> Vec<String> {
    let (bench, count) = (of.bench, of.plan.strings.len());
    let action = bench.action();
    let complaint = |complaint: &Complaint| match *complaint {
        Complaint::High(mm) => format!(
            "The strings stand about {} higher over fret 12 than is wanted.",
            shown(action, mm)
        ),
        Complaint::Low(mm) => format!(
            "The strings stand about {} lower over fret 12 than is wanted: they may buzz.",
            shown(action, mm)
        ),
        Complaint::OutOfTune(worst) => format!(
            "It plays out of tune up the neck: at fret 12 a string is {} against its octave. {CENTS}",
            pitch(worst)
        ),
    };
    let mut list: Vec<String> = proposed.complaints.iter().map(complaint).collect();
    list.extend(of.stops.iter().map(|remark| stop(remark).to_owned()));
    let open = findings(of).filter(|f| matches!(f.verdict, Verdict::Act | Verdict::Watch));
    list.extend(open.map(|f| felt(f, count, bench)));
    if list.iter().all(String::is_empty) {
        list = vec!["Nothing else was found that needs work.".to_owned()];
    }
    list
}

fn proposal(of: &Assessed, proposed: &Proposed) -> Vec<String> {
    let mut list: Vec<String> = findings(of).map(|f| remedy(f).to_owned()).collect();
    if proposed.is_saddle() {
        let beside = match proposed.fork.beside {
            Beside::Nothing => "",
            Beside::Nut => ", together with a new nut",
            Beside::ZeroFret => ", together with work on the fret beside the nut",
        };
        let mut text = format!(
            "A new saddle of {}{beside}, made for this instrument and its strings: it brings every string to the wanted height.",
            of.plan.blank.material
        );
        if matches!(proposed.fork.end, ForkEnd::NotInTune) {
            text += " Before it is cut, choose one of the ways below to better the tuning, or accept it as it will be.";
        }
        list.push(text);
    }
    match proposed.fork.end {
        ForkEnd::NotKnown => list.push("Measure the depth of the groove; then it can be said what helps.".to_owned()),
        ForkEnd::Impossible => {
            list.push("Put right what stands in the way, and measure again. No saddle is cut before.".to_owned())
        }
        ForkEnd::Unsafe => list.push("No saddle is made before that is put right.".to_owned()),
        _ => {}
    }
    list
}

/// How far the worst string is off, cents.
fn off(worst: f64) -> String {
    if pitch(worst) == pitch(0.0) {
        pitch(0.0)
    } else {
        format!("{} off", cents(worst))
    }
}

/// The outer strings and what the hand feels of it.
fn changes(proposed: &Proposed, bench: BenchUnit) -> OwnerTable {
    let unread = || "not measured".to_owned();
    let outer = proposed.outer();
    let named = |i: usize, s: &OwnerString| {
        let side = match (i, outer.len()) {
            (_, 1) => "String",
            (0, _) => "Bass string",
            _ => "Treble string",
        };
        format!("{side} ({}, {})", s.number, s.note)
    };
    let height = outer.iter().enumerate().map(|(i, s)| {
        vec![
            format!("{}: height over fret 12", named(i, s)),
            s.now.action.map_or_else(unread, |mm| cell(bench.action(), mm)),
            cell(bench.action(), s.wanted),
        ]
    });
    let mut rows: Vec<Vec<String>> = height.collect();
    if proposed.is_saddle() {
        rows.extend(outer.iter().enumerate().map(|(i, s)| {
            vec![
                format!("{}: pitch at fret 12", named(i, s)),
                s.now.cents.map_or_else(unread, pitch),
                pitch(s.cents_then),
            ]
        }));
        let read = proposed.strings.iter().filter_map(|s| s.now.cents);
        let worst = read.map(f64::abs).reduce(f64::max);
        rows.push(vec![
            "Worst string: pitch at fret 12".to_owned(),
            worst.map_or_else(unread, off),
            off(proposed.worst_then()),
        ]);
    }
    let feel = match proposed.feel {
        None => "",
        Some(Feel::Lower) => "The strings will be easier to press; played very hard they may buzz sooner. ",
        Some(Feel::Higher) => "The strings will be firmer under the fingers, and buzz less. ",
        Some(Feel::Same) => "The height of the strings will feel as it does now. ",
    };
    OwnerTable {
        head: "What it would change",
        columns: vec!["", "now", if proposed.is_saddle() { "after" } else { "wanted" }],
        rows,
        note: format!("{feel}{}", if proposed.is_saddle() { CENTS } else { "" }),
    }
}

fn instead(proposed: &Proposed, bench: BenchUnit) -> Vec<String> {
    let action = bench.action();
    let stays = |worst: f64| format!("no note would then be more than {} off", cents(worst));
    let one = |instead: &Instead| {
        match *instead {
        Instead::NutMoved(worst) => format!(
            "For the tuning: a new nut that ends some strings a little sooner; {}. The old nut can be put back.",
            stays(worst)
        ),
        Instead::WiderSlot(worst) => format!(
            "For the tuning: a wider groove and a thicker saddle; {}. The wood is gone for good.",
            stays(worst)
        ),
        Instead::SlotAgain(worst) => format!(
            "For the tuning: the groove filled with wood and cut again in its right place; {}. Larger work, visible, and for good.",
            stays(worst)
        ),
        Instead::OutOfTune(worst) => format!(
            "The new saddle in the groove as it is: strings at the wanted height, up to {} out of tune at fret 12. Nothing is cut, and the rest can be done later.",
            cents(worst)
        ),
        Instead::HigherAction(mm) => format!(
            "Live with strings that are at least {} higher over fret 12 than was wanted: then a new saddle alone would do for some time.",
            shown(action, mm)
        ),
        Instead::LighterStrings => {
            "Lighter strings or a lower tuning: they pull less and feel easier, but the height stays.".to_owned()
        }
        Instead::ThinBridge => {
            "Plane the bridge thinner, or cut ramps for the strings: quicker and cheaper, but it weakens the bridge and cannot be undone."
                .to_owned()
        }
        Instead::OtherAction(from, to) => {
            let down = from.filter(|from| *from < 0.0).map(|from| format!("{} lower", shown(action, -from)));
            let up = to.filter(|to| *to > 0.0).map(|to| format!("{} higher", shown(action, to)));
            let ends: Vec<String> = down.into_iter().chain(up).collect();
            if ends.is_empty() {
                "Other string heights: within reason a saddle alone brings them too.".to_owned()
            } else {
                format!(
                    "Other string heights: up to {} over fret 12 than proposed a saddle alone still does it; beyond that neck or bridge come in.",
                    ends.join(" or ")
                )
            }
        }
        Instead::NeckSet => "Set the neck: not needed now. It costs most, and changes the instrument for good.".to_owned(),
        Instead::Leave => "Leave it as it is, and watch it through the seasons: it costs nothing.".to_owned(),
    }
    };
    proposed.instead.iter().map(one).collect()
}

fn forever(of: &Assessed, proposed: &Proposed) -> Vec<String> {
    let mut list: Vec<String> = findings(of).map(|f| lasting(f).to_owned()).collect();
    list.retain(|text| !text.is_empty());
    if !list.is_empty() {
        list.push("Such work is done only if you ask for it in so many words.".to_owned());
    }
    let saddle = match of.plan.blank.kind {
        _ if !proposed.is_saddle() => "",
        BlankKind::DropIn => "The new saddle can be undone: the old one is kept, and can be put back.",
        BlankKind::Through => {
            "A saddle that is glued in is not easily taken out again. The old one is kept for you where it comes out whole."
        }
    };
    list.push(saddle.to_owned());
    if list.iter().all(String::is_empty) {
        list = vec!["Nothing of what is proposed.".to_owned()];
    }
    list
}

fn sure(of: &Assessed, proposed: &Proposed) -> Vec<String> {
    let unread = findings(of).filter(|f| f.verdict == Verdict::Unknown);
    let unread: Vec<String> = unread.map(|f| subject(f.topic).to_owned()).collect();
    let air = findings(of).find(|f| f.topic == Topic::Humidity).and_then(|f| f.value);
    let humidity = air.map_or_else(
        || "The dampness of the air was not noted.".to_owned(),
        |share| {
            let came = if of.air == Some(AirFrom::Book) {
                " when it came"
            } else {
                ""
            };
            format!("The humidity was {}{came}.", per_cent(share))
        },
    );
    let mut list = vec![
        format!(
            "All figures follow from what was measured on the instrument. {humidity} Strings rise when it is damp and sink when it is dry, so a figure holds for the air that it was taken in."
        ),
        format!(
            "The work is good within {} of the wanted height over fret 12. It is measured again with the strings on, before the last stroke.",
            shown(of.bench, proposed.good)
        ),
    ];
    if !unread.is_empty() {
        list.push(format!("Not measured, and so not judged: {}.", all(&unread)));
    }
    if proposed.is_doubted {
        list.push(
            "Some measurements do not agree with the others: they are taken again before anything is cut.".to_owned(),
        );
    }
    list.push("Grain, cracks and old glue show only when the work begins. If they change what is proposed, you are asked first.".to_owned());
    list
}

fn before(hazards: Hazards) -> Vec<String> {
    let mut list = vec![
        "A valuable or historic instrument belongs with a qualified repairer; some old materials are protected by law.".to_owned(),
        "Do not try it at home: dust of bone, shell and synthetic material harms lungs, and strings under tension whip."
            .to_owned(),
    ];
    list.extend(accepted(hazards).into_iter().map(str::to_owned));
    if hazards.synthetic {
        list.push(
            "The material of the new saddle softens with heat: it is sanded cool, with light pressure and pauses."
                .to_owned(),
        );
    }
    if hazards.check_law {
        list.push(
            "The material of the new saddle may be protected by law: check local rules before it is bought, cut, sold or taken abroad."
                .to_owned(),
        );
    }
    list
}
