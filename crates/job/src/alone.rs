//! A job that makes a nut alone: it has `[nut_blank]` and neither `[slot]` nor `[blank]`, so the saddle stays.

use ::nut::{StandingString, StandingSurvey};
use instrument::NutReading;
use units::LengthUnit;

use crate::cross;
use crate::head::head;
use crate::node::Node;
use crate::parts::{Parts, Shared, laid, shared, shares, stretch_given_twice};
use crate::per_string::PerString;
use crate::schema::TARGET;
use crate::sections::bridge::BlankRead;
use crate::sections::cut::nut_cut;
use crate::sections::nut::Target;
use crate::sections::nut_blank::nut_job;
use crate::sections::slot::SlotRead;
use crate::sections::strung::strung as readings;
use crate::sections::tolerance::{tolerance, uncertainty};
use crate::table::Table;
use crate::{NutAlone, NutJob, Profiles};

/// Tables that speak of a saddle to be made, or of work on it.
const OF_A_SADDLE: [&str; 6] = ["bridge", "crown", "filing", "neck", "assess", "cut"];

/// A nut is to be made, and of a saddle nothing is said.
pub(crate) fn saddle_stays(top: &Table) -> bool {
    top.get("nut_blank").is_some() && top.get("slot").is_none() && top.get("blank").is_none()
}

pub(crate) fn alone<'a>(top: &Table<'a>, profiles: &Profiles) -> Option<NutAlone> {
    let source = top.node.source;
    let head = head(top);
    let Shared {
        neck,
        nut_blank,
        margins,
        strung,
        nut_node,
        nut,
        present_node,
        present,
    } = shared(top, profiles);
    let nut_blank = nut_blank?;
    let count = strung.count;
    let with_setback = match top.get("target") {
        None => Some(false),
        Some(n) => with_setback(&n),
    };
    let readings_node = top.get("strung");
    let strung_readings = readings_node.as_ref().and_then(|n| readings(n, count));
    let tolerance = tolerance(top.get("tolerance").as_ref());
    let uncertainty = uncertainty(top.get("uncertainty").as_ref());
    for key in OF_A_SADDLE {
        if let Some(node) = top.get(key) {
            node.doubt(
                "This table is not used: without [slot] and [blank] the saddle stays, and only the nut is made. Leave it out, or \
                 add both.",
            );
        }
    }
    let parts = Parts {
        source,
        board: neck.board(),
        neck,
        strung,
        nut: nut.unwrap_or_default(),
        present,
        target: Target::default(),
        slot: SlotRead::default(),
        exit: None,
        blank: BlankRead::default(),
        filing: None,
    };
    wanted(&parts, &nut_blank, nut_node.as_ref(), present_node.as_ref());
    stretch_given_twice(&parts);
    cross::check(&parts);
    let made = margins
        .as_ref()
        .and_then(|margins| nut_job(margins, count, laid(&parts, with_setback), profiles));
    let nut_cut_node = top.get("nut_cut");
    let nut = made.and_then(|(survey, material)| {
        let cut = nut_cut(nut_cut_node.as_ref(), &survey, None, profiles, source)?;
        Some(NutJob { survey, material, cut })
    });
    if readings_node.is_some() && strung_readings.is_none() {
        return None;
    }
    let survey = StandingSurvey {
        board: parts.board?,
        strings: strings(&parts)?,
        press: parts.strung.press.as_ref().map_or(0.0, |press| press.value),
        with_setback: with_setback?,
        left_handed: head.left_handed?,
    };
    Some(NutAlone {
        title: head.title?.to_owned(),
        notes: head.notes?.to_owned(),
        unit: head.unit.unwrap_or(LengthUnit::Millimetre),
        bench: head.bench?,
        paper: head.paper?,
        survey,
        nut: nut?,
        strung: strung_readings,
        tolerance: tolerance?,
        uncertainty: uncertainty?,
    })
}

/// `[target]` of a saddle that stays says only whether nut setbacks are wanted.
fn with_setback(node: &Node) -> Option<bool> {
    let table = node.table(&TARGET)?;
    for key in ["action_12", "offsets"] {
        if let Some(node) = table.get(key) {
            node.refuse(
                "The saddle stays, so the action at fret 12 and its setbacks follow from what stands there. Leave this out; or add \
                 [slot] and [blank] if a saddle is to be made.",
            );
        }
    }
    let intonation = table.get("intonation")?;
    let word = intonation.choice(&[
        ("octave", false),
        ("best-fit", false),
        ("best-fit-with-nut", true),
        ("offsets", false),
    ])?;
    if !word {
        intonation.refuse(
            "The saddle stays, so only the nut can be set for intonation. Write \"best-fit-with-nut\" for nut setbacks, or leave \
             [target] out for a nut without them.",
        );
        return None;
    }
    Some(true)
}

/// What a standing saddle must be known by.
fn wanted(parts: &Parts, nut_blank: &Node, nut_node: Option<&Node>, present_node: Option<&Node>) {
    let (nut, present) = (&parts.nut, &parts.present);
    let stays = "There is no [slot] and no [blank], so the saddle stays and the nut alone is made;";
    match present_node {
        None => nut_blank.refuse(format!(
            "{stays} where the strings touch that saddle must be known. Add a table [present] with action_12 and \
             contact_from_fret_12, read over the present nut; or add [slot] and [blank] if a saddle is to be made."
        )),
        Some(_) => {
            present.lacks_standing("action_12", &format!("{stays} its height follows from this."));
            present.lacks_standing(
                "contact_from_fret_12",
                &format!("{stays} this says where on it the strings end."),
            );
        }
    }
    let Some(node) = nut_node.filter(|_| !nut.refused) else {
        return;
    };
    if nut.first_fret_clearance.is_none() && nut.held_at_3.is_none() {
        node.refuse(format!(
            "{stays} its height follows from the string over the present nut. Give first_fret_clearance or held_at_3 as they are now."
        ));
    }
    if nut.new_clearance.is_none() && nut.new_held_at_3.is_none() {
        node.refuse("new_clearance or new_held_at_3 is missing: it says how high the slots of the new nut shall be.");
    }
}

fn strings(parts: &Parts) -> Option<Vec<StandingString>> {
    let shares = shares(parts)?;
    let board = parts.board?;
    let runs = parts.strung.runs(board.scale())?;
    let resolve = |values: &Option<PerString>| values.as_ref().map(|v| v.resolve(&shares));
    let (nut, present) = (&parts.nut, &parts.present);
    let (clearance, held) = (resolve(&nut.first_fret_clearance), resolve(&nut.held_at_3));
    let (new_clearance, new_held) = (resolve(&nut.new_clearance), resolve(&nut.new_held_at_3));
    let setback = resolve(&nut.setback);
    let (action, contact) = (resolve(&present.action_12)?, resolve(&present.contact_from_fret_12)?);
    let at = |values: &Option<Vec<f64>>, i: usize| values.as_ref().and_then(|values| values.get(i).copied());
    let each = parts.strung.strings.as_ref()?.iter().enumerate().map(|(i, string)| {
        let run = *runs.get(i)?;
        let action_12 = *action.get(i)?;
        let present_nut = match at(&clearance, i) {
            Some(clearance) => NutReading::Open { clearance, action_12 },
            None => NutReading::HeldAtThree { gap: at(&held, i)? },
        };
        // A setback is behind fret 0; x runs toward the bridge. The sum keeps a nought positive.
        let nut_x = 0.0 - at(&setback, i).unwrap_or(0.0);
        let mut string = StandingString {
            number: string.number,
            note: string.note.clone(),
            model: string.model,
            frequency: string.frequency,
            run,
            present_nut,
            nut_x,
            contact_from_fret_12: *contact.get(i)?,
            action_12,
            new_clearance: 0.0,
            cents_12: present
                .cents_12
                .as_ref()
                .and_then(|got| got.value.get(i).copied().flatten()),
        };
        string.new_clearance = match at(&new_clearance, i) {
            Some(clearance) => clearance,
            None => string.clearance_from_held(&board, at(&new_held, i)?),
        };
        Some(string)
    });
    each.collect()
}
