//! From the text of a job file to a survey.

use ::nut::NutSurvey;
use ::nut::slot::open_from_held;
use instrument::{NutReading, ReferenceEnd, SlotEnd, SlotSurvey};
use saddle::{Blank, CentsReading, CrownSpec, SaddleSurvey, StringSurvey};
use strings::Criterion;
use toml::de::{DeTable, DeValue};
use units::LengthUnit;

use crate::alone::{alone, saddle_stays};
use crate::cross;
use crate::head::head;
use crate::may::May;
use crate::node::SourceText;
use crate::parse::parse;
use crate::parts::{Parts, Shared, laid, shared, shares, stretch_given_twice};
use crate::problem::in_line_order;
use crate::schema::TOP;
use crate::sections::assess::assess;
use crate::sections::bridge::{BlankRead, Exit, crown};
use crate::sections::cut::{cut, nut_cut};
use crate::sections::filing::FilingRead;
use crate::sections::nut::{Intonation, Target};
use crate::sections::nut_blank::{Margins, nut_job};
use crate::sections::slot::{SlotRead, Way};
use crate::sections::strung::strung as readings;
use crate::sections::tolerance::{tolerance, uncertainty};
use crate::table::Table;
use crate::{Checked, CutJob, FilingSetup, Job, NutJob, Problem, Profiles, Severity, Work};

/// Reads a job file and checks the whole of it.
///
/// # Errors
/// Every problem found, warnings among them, in line order; at least one is an error.
pub fn read(text: &str, profiles: &Profiles) -> Result<Checked, Vec<Problem>> {
    let (work, warnings) = read_work(text, profiles)?;
    match work {
        Work::Saddle(job) => Ok(Checked { job: *job, warnings }),
        Work::NutAlone(_) => Err(vec![Problem {
            severity: Severity::Error,
            line: None,
            field: "slot".to_owned(),
            read: None,
            what: "This job makes a nut alone: without [slot] and [blank] the saddle stays. Add both if a saddle is to be made."
                .to_owned(),
        }]),
    }
}

/// Reads a job file, whatever part it makes, and checks the whole of it. Gives the warnings too, in line order.
///
/// # Errors
/// Every problem found, warnings among them, in line order; at least one is an error.
pub fn read_work(text: &str, profiles: &Profiles) -> Result<(Work, Vec<Problem>), Vec<Problem>> {
    let source = SourceText::new(text);
    let root = parse(&source, text);
    let work = root.as_ref().and_then(|root| {
        let empty = DeValue::Table(DeTable::new());
        let top = Table::root(&source, root, &empty, &TOP);
        if saddle_stays(&top) {
            alone(&top, profiles).map(|nut| Work::NutAlone(Box::new(nut)))
        } else {
            job(&top, profiles).map(|job| Work::Saddle(Box::new(job)))
        }
    });
    let mut problems = source.into_problems();
    in_line_order(&mut problems);
    let sound = problems.iter().all(|problem| problem.severity == Severity::Warning);
    match work {
        Some(work) if sound => Ok((work, problems)),
        _ => {
            if sound {
                problems.push(Problem::unexplained("The job cannot be read."));
            }
            Err(problems)
        }
    }
}

fn job<'a>(top: &Table<'a>, profiles: &Profiles) -> Option<Job> {
    let source = top.node.source;
    let head = head(top);
    let Shared {
        neck,
        nut_blank,
        margins,
        strung,
        nut,
        present,
        ..
    } = shared(top, profiles);
    let count = strung.count;
    let nut_read = nut.is_some();
    let target = top.need("target").and_then(|n| Target::read(&n, count));
    let slot = top.need("slot").and_then(|n| SlotRead::read(&n));
    let exit_node = top.get("bridge");
    let exit = exit_node.as_ref().and_then(Exit::read);
    let blank = top.need("blank").and_then(|n| BlankRead::read(&n, profiles));
    let crown = crown(top.get("crown").as_ref());
    let filing_node = top.get("filing");
    let filing = filing_node.as_ref().and_then(|n| FilingRead::read(n, count));
    let readings_node = top.get("strung");
    let readings = readings_node.as_ref().and_then(|n| readings(n, count));
    let tolerance = tolerance(top.get("tolerance").as_ref());
    let uncertainty = uncertainty(top.get("uncertainty").as_ref());
    let assess = assess(exit_node.as_ref(), top.get("neck").as_ref(), top.get("assess").as_ref());
    let parts = Parts {
        source,
        board: neck.board(),
        neck,
        strung,
        nut: nut.unwrap_or_default(),
        present,
        target: target.unwrap_or_default(),
        slot: slot.unwrap_or_default(),
        exit,
        blank: blank.unwrap_or_default(),
        filing,
    };
    dependents(&parts, nut_read);
    cross::check(&parts);
    let blank = whole_blank(&parts);
    let cut_node = top.get("cut");
    let cut = blank
        .as_ref()
        .and_then(|blank| cut(cut_node.as_ref(), blank, profiles, source));
    let nut_cut_node = top.get("nut_cut");
    if nut_cut_node.is_some() && nut_blank.is_none() {
        source.report(Problem {
            severity: Severity::Error,
            line: None,
            field: "nut_cut".to_owned(),
            read: None,
            what: "[nut_cut] says how a nut is cut, but there is no [nut_blank]. Describe the nut there, or leave [nut_cut] out.".to_owned(),
        });
    }
    let nut_made = match &margins {
        Some(margins) => {
            let cutting = |nut: &NutSurvey| nut_cut(nut_cut_node.as_ref(), nut, cut.as_ref(), profiles, source);
            made_nut(&parts, margins, profiles, cutting)
        }
        None if nut_blank.is_none() => May::Absent,
        None => May::Unread,
    };

    let filing = match (&parts.filing, shares(&parts)) {
        (Some(filing), Some(shares)) => filing.resolve(&shares),
        (None, Some(shares)) if filing_node.is_none() => Some(FilingSetup::untouched(shares.len())),
        _ => None,
    };
    if readings_node.is_some() && readings.is_none() {
        return None;
    }
    let string_exit = parts.exit.as_ref().map(|exit| exit.kind);
    if exit_node.is_some() && string_exit.is_none() {
        return None;
    }
    let blank_material = parts.blank.material.clone()?;
    let survey = saddle_survey(&parts, blank, crown, head.left_handed)?;
    let wound = parts.strung.strings.iter().flatten().map(|string| Some(string.wound));
    let assess = assess::Facts {
        wound: wound.collect(),
        ..assess?
    };
    Some(Job {
        title: head.title?.to_owned(),
        notes: head.notes?.to_owned(),
        unit: head.unit.unwrap_or(LengthUnit::Millimetre),
        bench: head.bench?,
        paper: head.paper?,
        survey,
        set_name: parts.strung.set,
        string_exit,
        blank_material,
        nut: nut_made.sound().ok()?,
        filing: filing?,
        strung: readings,
        tolerance: tolerance?,
        uncertainty: uncertainty?,
        assess,
        cut: cut?,
    })
}

/// What was measured and is wanted, if all of it could be read.
fn saddle_survey(
    parts: &Parts,
    blank: Option<Blank>,
    crown: Option<CrownSpec>,
    left_handed: Option<bool>,
) -> Option<SaddleSurvey> {
    Some(SaddleSurvey {
        board: parts.board?,
        strings: strings(parts)?,
        press: parts.strung.press.as_ref().map_or(0.0, |press| press.value),
        slot: slot_survey(parts)?,
        lean: parts.slot.lean?,
        under_tension: parts.slot.under_tension,
        under: parts.slot.under?,
        slot_width: parts.slot.width.as_ref().map(|got| got.value),
        slot_length: parts.slot.length.as_ref().map(|got| got.value),
        exit: parts.exit.as_ref().map(Exit::ends),
        blank: blank?,
        crown: crown?,
        left_handed: left_handed?,
    })
}

/// The blank, if all of it could be read.
fn whole_blank(parts: &Parts) -> Option<Blank> {
    let blank = &parts.blank;
    Some(Blank {
        kind: blank.kind?,
        material: blank.material.as_ref()?.name.clone(),
        thickness: blank.thickness.as_ref()?.value,
        height: blank.height.as_ref()?.value,
        length: blank.length.as_ref()?.value,
        bass_end: blank.bass_end.as_ref().sound().ok()?.map(|got| got.value),
        land: blank.land?,
    })
}

/// The nut to be made, if one is wanted.
fn made_nut(
    parts: &Parts,
    margins: &Margins,
    profiles: &Profiles,
    cutting: impl FnOnce(&NutSurvey) -> Option<CutJob>,
) -> May<NutJob> {
    let with_setback = parts.target.intonation.as_ref();
    let with_setback = with_setback.map(|intonation| matches!(intonation, Intonation::BestFitWithNut));
    let nut = nut_job(margins, parts.strung.count, laid(parts, with_setback), profiles);
    let wanted = parts.nut.new_clearance.is_some() || parts.nut.new_held_at_3.is_some();
    if !wanted && !parts.nut.refused {
        margins.table.node.doubt(
            "No nut is planned from this: nut.new_clearance or nut.new_held_at_3 says how high its slots shall be. Give one of \
             them for a new nut.",
        );
        return May::Absent;
    }
    let made = nut.and_then(|(survey, material)| {
        let cut = cutting(&survey)?;
        Some(NutJob { survey, material, cut })
    });
    made.map_or(May::Unread, May::Read)
}

/// Readings that need other readings.
fn dependents(parts: &Parts, nut_read: bool) {
    let (nut, present) = (&parts.nut, &parts.present);
    if let (Some(clearance), None) = (&nut.first_fret_clearance, &present.action_12)
        && let Some(first) = clearance.written().first()
    {
        present.lacks_action(&first.at, "first_fret_clearance needs the present action at fret 12.");
    }
    let no_present_nut = nut_read && !nut.refused && nut.first_fret_clearance.is_none() && nut.held_at_3.is_none();
    let why =
        "needs the height of the present nut: give nut.first_fret_clearance with present.action_12, or nut.held_at_3.";
    if let Some(cents) = &present.cents_12 {
        if no_present_nut {
            cents.at.refuse(format!("A cents reading {why}"));
        }
        if present.action_12.is_none() {
            present.lacks_action(&cents.at, "cents_12 needs the present action at fret 12.");
        }
    }
    stretch_given_twice(parts);
    if let Some(by_reference) = &parts.slot.by_reference {
        if no_present_nut {
            by_reference.refuse(format!("A reference saddle {why}"));
        }
        let own = matches!(&parts.slot.way, Some(Way::Reference { action_12: Some(_), .. }));
        if present.action_12.is_none() && !own {
            present.lacks_action(by_reference, "A reference saddle needs the present action at fret 12.");
        }
    }
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
                    let present = parts.present.action_12.as_ref()?.resolve(&shares(parts)?);
                    [*present.first()?, *present.last()?]
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

fn strings(parts: &Parts) -> Option<Vec<StringSurvey>> {
    let shares = shares(parts)?;
    let runs = parts.strung.runs(parts.board?.scale())?;
    let resolve = |values: &Option<crate::per_string::PerString>| values.as_ref().map(|v| v.resolve(&shares));
    let (nut, present) = (&parts.nut, &parts.present);
    let clearance = resolve(&nut.first_fret_clearance);
    let held = resolve(&nut.held_at_3);
    let new_clearance = resolve(&nut.new_clearance);
    let new_held = resolve(&nut.new_held_at_3);
    let setback = resolve(&nut.setback);
    let action_now = resolve(&present.action_12);
    let contact = resolve(&present.contact_from_fret_12);
    let target = resolve(&parts.target.action_12)?;
    let intonation = parts.target.intonation.as_ref()?;
    let offsets = match intonation {
        Intonation::Offsets(offsets) => Some(offsets.resolve(&shares)),
        _ => None,
    };
    let at = |values: &Option<Vec<f64>>, i: usize| values.as_ref().and_then(|values| values.get(i).copied());
    let strung = parts.strung.strings.as_ref()?;
    let each = strung.iter().enumerate().map(|(i, string)| {
        let open = at(&clearance, i)
            .zip(at(&action_now, i))
            .map(|(clearance, action_12)| NutReading::Open { clearance, action_12 });
        let pressed = at(&held, i).map(|gap| NutReading::HeldAtThree { gap });
        let cents = present
            .cents_12
            .as_ref()
            .and_then(|got| got.value.get(i).copied().flatten());
        let measured = match cents {
            None => None,
            Some(cents_12) => Some(CentsReading {
                cents_12,
                contact_from_fret_12: at(&contact, i)?,
                action_12: at(&action_now, i)?,
            }),
        };
        let run = *runs.get(i)?;
        let target_action = *target.get(i)?;
        // A setback is behind fret 0; x runs toward the bridge. The sum keeps a nought positive.
        let nut_x = 0.0 - at(&setback, i).unwrap_or(0.0);
        let by_held = match at(&new_held, i) {
            Some(gap) => Some(open_from_held(&parts.board?, &run, nut_x, gap, target_action)),
            None => None,
        };
        Some(StringSurvey {
            number: string.number,
            note: string.note.clone(),
            model: string.model,
            frequency: string.frequency,
            run,
            present_nut: open.or(pressed),
            new_clearance: at(&new_clearance, i).or(by_held),
            nut_x,
            target_action,
            criterion: match intonation {
                Intonation::Octave => Criterion::Octave,
                Intonation::BestFit => Criterion::BestFit,
                Intonation::BestFitWithNut => Criterion::BestFitWithNut,
                Intonation::Offsets(_) => Criterion::Offset(at(&offsets, i)?),
            },
            measured,
            stretch_found: string.stretch.is_some(),
        })
    });
    each.collect()
}
