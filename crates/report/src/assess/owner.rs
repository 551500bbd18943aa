//! Words for the sheet that the owner gets.

use super::advice;
use super::assessed::{Assessed, COMPARISON};
use super::topic;
use crate::cautions::accepted;
use assess::{Topic, Undo, Verdict};
use work::Hazards;

/// Paragraphs of the owner's sheet, each list under a heading of its own.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OwnerSheet {
    /// How the instrument stands.
    pub present: Vec<String>,
    /// What is proposed, what to do first first.
    pub proposal: Vec<String>,
    /// What could be done instead.
    pub alternatives: Vec<String>,
    /// What to know before agreeing.
    pub cautions: Vec<String>,
}

/// The words of the owner's sheet; `hazards` are those of the new saddle's material.
#[must_use]
pub fn owner_sheet(of: &Assessed, hazards: Hazards) -> OwnerSheet {
    // How the top of a saddle is filed is the bench's own business.
    let findings = || of.found.findings.iter().filter(|f| f.topic != Topic::BackFall);
    let one = |verdict: Verdict| findings().filter(move |f| f.verdict == verdict);
    let mut present = vec![of.for_owner()];
    present.extend(of.impossible());
    present.extend(one(Verdict::Watch).chain(one(Verdict::Unknown)).map(|f| of.advice(f)));
    let sound: Vec<String> = one(Verdict::Sound)
        .filter(|f| f.topic != Topic::Saddle)
        .map(|f| {
            topic::name(f.topic)
                .split(':')
                .next()
                .unwrap_or_default()
                .to_lowercase()
        })
        .collect();
    if !sound.is_empty() {
        present.push(format!("In order: {}.", sound.join(", ")));
    }
    let mut proposal: Vec<String> = one(Verdict::Act)
        .map(|f| {
            let undo = advice::undo(f).unwrap_or_default();
            format!("{} {undo}", of.advice(f)).trim_end().to_owned()
        })
        .collect();
    proposal.extend(
        findings()
            .filter(|f| f.topic == Topic::Saddle && f.verdict == Verdict::Sound)
            .map(|f| of.advice(f)),
    );
    let cuts = one(Verdict::Act).any(|f| f.undo == Undo::Irreversible);
    let mut alternatives = Vec::new();
    if cuts {
        alternatives.push("Leave it as it is, and watch it through the seasons.".to_owned());
        alternatives.push("Live with a higher action, or with lighter strings or a lower tuning.".to_owned());
    } else {
        alternatives.push("Leave the saddle as it is: nothing else is urgent.".to_owned());
    }
    let due = findings().any(|f| f.topic == Topic::Neck && f.verdict == Verdict::Act);
    if due {
        alternatives.push(
            "Plane the bridge thinner, or cut ramps for more bend: quicker, but it weakens the bridge and cannot be undone."
                .to_owned(),
        );
    } else if of.found.neck.is_some() {
        alternatives.push("Set the neck: not needed now.".to_owned());
    }
    let mut cautions = vec![
        COMPARISON.to_owned(),
        "Work marked CANNOT BE UNDONE takes wood or material away for good. Ask for it in words before it begins.".to_owned(),
        "Action moves with season and damp. A valuable or historic instrument belongs with a qualified repairer; some old materials are protected by law."
            .to_owned(),
        "Dust of bone, shell and synthetic blanks harms lungs, and strings under tension whip: leave the work to the bench.".to_owned(),
    ];
    cautions.extend(accepted(hazards).into_iter().map(str::to_owned));
    if hazards.synthetic {
        cautions.push(
            "The material of the new saddle softens with heat: it is sanded cool, with light pressure and pauses."
                .to_owned(),
        );
    }
    if hazards.check_law {
        cautions.push(
            "The material of the new saddle may be protected by law: check local rules before it is bought, cut, sold or taken abroad."
                .to_owned(),
        );
    }
    present.retain(|p| !p.is_empty());
    OwnerSheet {
        present,
        proposal,
        alternatives,
        cautions,
    }
}
