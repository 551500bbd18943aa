//! From what was read to the instrument and the parts to make.

use instrument::{
    CentsReading, NewGap, NutReading, ReferenceEnd, SlotEnd, SlotSurvey, StrungInstrument, SurveyedString,
};
use saddle::{ActionWish, AlsoString, Blank, SaddleSurvey, StringSurvey, Wings};
use strings::{Criterion, Ends};

use crate::fields::f;
use crate::may::May;
use crate::parts::Parts;
use crate::problem::ProblemKind as P;
use crate::sections::bridge::Exit;
use crate::sections::cut::{cut, nut_cut};
use crate::sections::nut::Intonation;
use crate::sections::nut_blank::{nut_job, saddle_stays};
use crate::sections::slot::Way;
use crate::table::Table;
use crate::{CutJob, FilingSetup, NutJob, Profiles, SaddleJob, Severity};

/// The instrument as it stands, if all of it could be read.
pub(crate) fn instrument(parts: &Parts, left_handed: Option<bool>) -> Option<StrungInstrument> {
    let board = parts.board?;
    let runs = parts.strung.runs(&board)?;
    let (nut, present) = (&parts.nut, &parts.present);
    let clearance = parts.each(nut.first_fret_clearance.as_ref())?;
    let held = parts.each(nut.held_at_3.as_ref())?;
    let above = parts.each(nut.zero_fret.as_ref().and_then(|zero| zero.above.as_ref()))?;
    let setback = parts.each(nut.setback.as_ref())?;
    let action = parts.each(present.action_12.as_ref())?;
    let contact = parts.each(present.contact_from_fret_12.as_ref())?;
    let each = parts.strung.strings.as_ref()?.iter().enumerate().map(|(i, string)| {
        let open = clearance[i]
            .zip(action[i])
            .map(|(clearance, action_12)| NutReading::Open { clearance, action_12 });
        Some(SurveyedString {
            number: string.number,
            note: string.note.clone(),
            model: string.model,
            frequency: string.frequency,
            run: *runs.get(i)?,
            present_nut: open
                .or(held[i].map(|gap| NutReading::HeldAtThree { gap }))
                .or(above[i].map(|above| NutReading::ZeroFret { above })),
            // A setback is behind fret 0; x runs toward the bridge.
            nut_x: board.fret_x(0, runs.get(i)?) - setback[i].unwrap_or(0.0),
            action_12: action[i],
            contact_from_fret_12: contact[i],
            cents_12: present
                .cents_12
                .as_ref()
                .and_then(|got| got.value.get(i).copied().flatten()),
            stretch_found: string.stretch.is_some(),
            known: string.known,
        })
    });
    Some(StrungInstrument {
        board,
        strings: each.collect::<Option<_>>()?,
        press: parts.strung.press.as_ref().map_or(0.0, |press| press.value),
        left_handed: left_handed?,
        ends: Ends::of_sum(parts.strung.ends?),
        stand_off: parts.strung.stand_off?,
    })
}

/// The saddle to be made, if one is.
pub(crate) fn saddle(
    top: &Table,
    parts: &Parts,
    instrument: Option<&StrungInstrument>,
    good_cents: Option<f64>,
    cut: Option<CutJob>,
) -> May<SaddleJob> {
    if saddle_stays(top) {
        return May::Absent;
    }
    saddle_job(top, parts, instrument, good_cents, cut).map_or(May::Unread, May::Read)
}

fn saddle_job(
    top: &Table,
    parts: &Parts,
    instrument: Option<&StrungInstrument>,
    good_cents: Option<f64>,
    cut: Option<CutJob>,
) -> Option<SaddleJob> {
    let carried = parts.carried.clone();
    let filing = match (top.get(f!("filing")), &parts.filing) {
        (None, _) => Some(FilingSetup::untouched(carried.clone()?.len())),
        (Some(_), None) => None,
        (Some(_), Some(filing)) => parts.filed(filing),
    };
    let exit = parts.exit.as_ref().sound()?;
    let wound = parts.strung.strings.as_ref()?.get(carried?)?.iter();
    let wound = wound.map(|string| Some(string.wound));
    Some(SaddleJob {
        survey: survey(parts, instrument?, good_cents?)?,
        string_exit: exit.map(|exit| exit.kind),
        material: parts.blank.material.clone()?,
        filing: filing?,
        assess: assess::Facts {
            wound: wound.collect(),
            ..parts.facts.clone()?
        },
        cut: cut?,
        old_glued: parts.present.glued.unwrap_or_default(),
    })
}

/// How the saddle's blank is cut; `None` where there is none or it could not be read.
pub(crate) fn saddle_cut(top: &Table, parts: &Parts, profiles: &Profiles) -> Option<CutJob> {
    cut(top.get(f!("cut")).as_ref(), &blank(parts)?, profiles, parts.source)
}

/// What was measured and is wanted, if all of it could be read.
fn survey(parts: &Parts, instrument: &StrungInstrument, good_cents: f64) -> Option<SaddleSurvey> {
    Some(SaddleSurvey {
        board: instrument.board,
        strings: strings(parts, instrument)?,
        press: instrument.press,
        slot: slot_survey(parts)?,
        lean: parts.slot.lean?,
        under_tension: parts.slot.under_tension,
        under: parts.slot.under?,
        slot_width: parts.slot.width.as_ref().map(|got| got.value),
        slot_length: parts.slot.length.as_ref().map(|got| got.value),
        exit: parts.exit.as_ref().sound()?.map(Exit::ends),
        blank: blank(parts)?,
        crown: parts.crown?,
        left_handed: instrument.left_handed,
        ends: instrument.ends,
        stand_off: instrument.stand_off,
        good_cents,
    })
}

/// The blank, if all of it could be read.
fn blank(parts: &Parts) -> Option<Blank> {
    let blank = &parts.blank;
    Some(Blank {
        kind: blank.kind?,
        material: blank.material.as_ref()?.name.clone(),
        thickness: blank.thickness.as_ref()?.value,
        height: blank.height.as_ref()?.value,
        length: blank.length.as_ref()?.value,
        bass_end: blank.bass_end.as_ref().sound()?.map(|got| got.value),
        land: blank.land?,
        given_end_radius: blank.end_radius.as_ref().sound()?.copied(),
        wings: wings(parts)?,
        glued: blank.glued?,
    })
}

/// Contour of the blended ends in the blank: what lies under the saddle lifts it off the floor from which the contour was read.
fn wings(parts: &Parts) -> Option<Option<Wings>> {
    let Some(read) = parts.blank.wings.as_ref().sound()? else {
        return Some(None);
    };
    read.value.raised(-parts.slot.under?).ok().map(Some)
}

/// The nut to be made, if one is.
pub(crate) fn nut(
    top: &Table,
    parts: &Parts,
    instrument: Option<&StrungInstrument>,
    saddle_cut: Option<&CutJob>,
    profiles: &Profiles,
) -> May<NutJob> {
    let cut_node = top.get(f!("nut_cut"));
    if cut_node.is_some() && parts.nut_blank.is_none() {
        let field = "nut_cut".to_owned();
        parts
            .source
            .report(Severity::Error, None, field, None, P::NutCutWithoutNut {});
    }
    let Some(margins) = &parts.margins else {
        return if parts.nut_blank.is_none() {
            May::Absent
        } else {
            May::Unread
        };
    };
    let made = nut_job(margins, parts.laid(), profiles);
    let wanted = parts.nut.new_clearance.is_some() || parts.nut.new_held_at_3.is_some();
    if !wanted && !parts.nut.refused && !saddle_stays(top) {
        margins.table.node.doubt(P::NoNutPlanned {});
        return May::Absent;
    }
    let made = made.and_then(|(survey, material)| {
        Some(NutJob {
            cut: nut_cut(cut_node.as_ref(), &survey, saddle_cut, profiles, parts.source)?,
            gaps: new_gaps(parts, instrument?)?.into_iter().collect::<Option<_>>()?,
            survey,
            material,
        })
    });
    made.map_or(May::Unread, May::Read)
}

/// Wanted gaps over fret 1; `None` for a string whose nut stays.
fn new_gaps(parts: &Parts, instrument: &StrungInstrument) -> Option<Vec<Option<NewGap>>> {
    let (clearance, held) = (
        parts.each(parts.nut.new_clearance.as_ref())?,
        parts.each(parts.nut.new_held_at_3.as_ref())?,
    );
    let each = (0..instrument.strings.len()).map(|i| {
        let (open, held) = (clearance[i].map(NewGap::Open), held[i].map(NewGap::HeldAtThree));
        open.or(held)
    });
    Some(each.collect())
}

fn slot_survey(parts: &Parts) -> Option<SlotSurvey> {
    match parts.slot.way.as_ref()? {
        Way::Straightedge {
            edge_from_fret_12,
            bridge_top,
            depth,
        } => Some(SlotSurvey::Straightedge([0, 1].map(|i| SlotEnd {
            edge_from_fret_12: edge_from_fret_12[i].value,
            bridge_top: bridge_top[i].value,
            depth: depth[i].value,
        }))),
        Way::Reference {
            contact_from_fret_12,
            height,
            back,
            action_12,
            depth,
        } => {
            let actions = match action_12 {
                Some(own) => *own,
                None => {
                    let present = parts.present.action_12.as_ref()?.resolve(&parts.shares()?);
                    let own = present.get(parts.carried.clone()?)?;
                    [*own.first()?, *own.last()?]
                }
            };
            Some(SlotSurvey::Reference([0, 1].map(|i| ReferenceEnd {
                contact_from_fret_12: contact_from_fret_12[i].value,
                action_12: actions[i],
                height: height[i].value,
                back: back[i].value,
                depth: depth.as_ref().map(|depth| depth[i].value),
            })))
        }
    }
}

fn strings(parts: &Parts, instrument: &StrungInstrument) -> Option<Vec<StringSurvey>> {
    let target = parts.each(parts.target.action_12.as_ref())?;
    let wish = parts.target.action_at.as_ref().sound()?;
    let wished = parts.each(wish.map(|wish| &wish.action))?;
    let also = parts.also.as_ref().sound()?.map_or(&[][..], Vec::as_slice);
    let new_gap = new_gaps(parts, instrument)?;
    let zero_fret = match &parts.nut.zero_fret {
        Some(zero) => Some(zero.rises(&parts.shares()?)),
        None => None,
    };
    let intonation = parts.target.intonation.as_ref()?;
    let offsets = match intonation {
        Intonation::Offsets(offsets) => parts.each(Some(offsets))?,
        _ => Vec::new(),
    };
    let carried = parts.carried.clone()?;
    let own = instrument
        .strings
        .iter()
        .enumerate()
        .take(carried.end)
        .skip(carried.start);
    let each = own.map(|(i, s)| {
        let measured = match s.cents_12 {
            None => None,
            Some(cents_12) => Some(CentsReading {
                cents_12,
                contact_from_fret_12: s.contact_from_fret_12?,
                action_12: s.action_12?,
            }),
        };
        Some(StringSurvey {
            number: s.number,
            note: s.note.clone(),
            model: s.model,
            frequency: s.frequency,
            run: s.run,
            present_nut: s.present_nut,
            zero_fret: zero_fret.as_ref().and_then(|rises| rises.get(i).copied()),
            new_gap: new_gap[i],
            nut_x: s.nut_x,
            target_action: target[i]?,
            action_at: wish.zip(wished[i]).map(|(wish, action)| ActionWish {
                fret: wish.fret.value,
                action,
                weight: wish.weight,
            }),
            criterion: match intonation {
                Intonation::Octave => Criterion::Octave,
                Intonation::BestFit => Criterion::BestFit,
                Intonation::BestFitWithNut => Criterion::BestFitWithNut,
                Intonation::Offsets(_) => Criterion::Offset(offsets.get(i).copied().flatten()?),
            },
            measured,
            stretch_found: s.stretch_found,
            calibration: None,
            known: parts.strung.strings.as_ref()?.get(i)?.known,
            also: also
                .iter()
                .map(|also| {
                    let own = also.strings.get(i)?;
                    Some(AlsoString {
                        name: also.name.clone(),
                        weight: also.weight,
                        note: own.note.clone(),
                        frequency: own.frequency,
                        model: own.other,
                    })
                })
                .collect::<Option<_>>()?,
        })
    });
    each.collect()
}
