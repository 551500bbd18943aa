//! From the text of a job file to a survey.

use ::nut::NutSurvey;
use ::nut::slot::open_from_held;
use instrument::{Board, NutReading, ReferenceEnd, SlotEnd, SlotSurvey};
use saddle::{Blank, CentsReading, SaddleSurvey, StringSurvey};
use strings::Criterion;
use toml::Spanned;
use toml::de::{DeTable, DeValue};
use units::{BenchUnit, LengthUnit};

use crate::alone::{alone, saddle_stays};
use crate::cross;
use crate::limits;
use crate::node::{Node, Source};
use crate::problem::in_line_order;
use crate::schema::TOP;
use crate::sections::assess::assess;
use crate::sections::bridge::{BlankRead, Exit, crown};
use crate::sections::cut::{cut, nut_cut};
use crate::sections::filing::FilingRead;
use crate::sections::instrument::Neck;
use crate::sections::nut::{Intonation, Nut, Present, Target};
use crate::sections::nut_blank::{Laid, Margins, nut_job};
use crate::sections::slot::{SlotRead, Way};
use crate::sections::strings::Strung;
use crate::sections::strung::strung as readings;
use crate::sections::tolerance::{tolerance, uncertainty};
use crate::table::Table;
use crate::{Checked, CutJob, FilingSetup, Job, NutJob, Paper, Problem, Profiles, Severity, Work};

/// The version of the job file that this program reads.
pub const FORMAT: u32 = 1;

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
    let source = Source::new(text);
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

/// The tables of the text, unless it is not laid out as TOML; what is wrong is reported.
pub(crate) fn parse<'a>(source: &Source, text: &'a str) -> Option<Spanned<DeTable<'a>>> {
    let (root, errors) = DeTable::parse_recoverable(text);
    let mut broken = false;
    for error in &errors {
        // A key that stands twice leaves the rest of the file readable.
        broken |= !is_duplicate(error);
        source.report(syntax(source, error));
    }
    (!broken).then_some(root)
}

fn syntax(source: &Source, error: &toml::de::Error) -> Problem {
    if let (true, Some(span)) = (is_duplicate(error), error.span()) {
        return Problem {
            severity: Severity::Error,
            line: Some(source.line(span.start)),
            field: source.slice(span).unwrap_or_default(),
            read: None,
            what: "This name stands twice in its table. Keep one of the two.".into(),
        };
    }
    Problem {
        severity: Severity::Error,
        line: error.span().map(|span| source.line(span.start)),
        field: String::new(),
        read: None,
        what: format!(
            "The text is not laid out as a job file must be (TOML): {}. Look at this line and the one before it for quotes, \
             brackets or an equals sign.",
            error.message().trim().replace('\n', "; ")
        ),
    }
}

fn is_duplicate(error: &toml::de::Error) -> bool {
    error.message().contains("duplicate key")
}

/// Everything read, for the checks across tables.
pub(crate) struct Parts<'a> {
    pub(crate) source: &'a Source<'a>,
    pub(crate) neck: Neck<'a>,
    pub(crate) board: Option<Board>,
    pub(crate) strung: Strung<'a>,
    pub(crate) nut: Nut<'a>,
    pub(crate) present: Present<'a>,
    pub(crate) target: Target<'a>,
    pub(crate) slot: SlotRead<'a>,
    pub(crate) exit: Option<Exit<'a>>,
    pub(crate) blank: BlankRead<'a>,
    pub(crate) filing: Option<FilingRead<'a>>,
}

/// Title, units and sides, at the top of the file.
pub(crate) struct Head<'a> {
    pub(crate) unit: Option<LengthUnit>,
    pub(crate) bench: Option<BenchUnit>,
    pub(crate) title: Option<&'a str>,
    pub(crate) notes: Option<&'a str>,
    pub(crate) left_handed: Option<bool>,
    pub(crate) paper: Option<Paper>,
}

/// Reads the top of the file; units hold from here on.
pub(crate) fn head<'a>(top: &Table<'a>) -> Head<'a> {
    let source = top.node.source;
    let unit = length_unit(top);
    let inches = matches!(unit, Some(LengthUnit::Inch | LengthUnit::Thou));
    let by_unit = if inches { BenchUnit::Thou } else { BenchUnit::Millimetre };
    let bench = top.get("bench").map_or(Some(by_unit), |n| {
        n.choice(&BenchUnit::ALL.map(|unit| (unit.name(), unit)))
    });
    source.bench.set(bench.unwrap_or(by_unit));
    format(top);
    let title = top.need("title").and_then(|n| title(&n));
    let notes = top.get("notes").map_or(Some(""), |n| n.prose(true));
    let left_handed = top.get("left_handed").map_or(Some(false), |n| n.boolean());
    let papers = [("A4", Paper::A4), ("Letter", Paper::Letter)];
    let paper = top.get("paper").map_or(Some(Paper::A4), |n| n.choice(&papers));
    Head {
        unit,
        bench,
        title,
        notes,
        left_handed,
        paper,
    }
}

/// What every job reads: neck, strings, nut and how the instrument stands.
pub(crate) struct Shared<'a> {
    pub(crate) neck: Neck<'a>,
    pub(crate) nut_blank: Option<Node<'a>>,
    pub(crate) margins: Option<Margins<'a>>,
    pub(crate) strung: Strung<'a>,
    pub(crate) nut_node: Option<Node<'a>>,
    pub(crate) nut: Option<Nut<'a>>,
    pub(crate) present_node: Option<Node<'a>>,
    pub(crate) present: Present<'a>,
}

/// Reads what every job has.
pub(crate) fn shared<'a>(top: &Table<'a>, profiles: &Profiles) -> Shared<'a> {
    let neck = top.need("instrument").and_then(|n| Neck::read(&n)).unwrap_or_default();
    let spelled = top.get("string");
    let nut_blank = top.get("nut_blank");
    let margins = nut_blank.as_ref().and_then(Margins::read);
    let strung = top
        .need("strings")
        .and_then(|n| Strung::read(&n, spelled.as_ref(), margins.as_ref(), profiles));
    let strung = strung.unwrap_or_default();
    let nut_node = top.need("nut");
    let nut = nut_node.as_ref().and_then(|n| Nut::read(n, strung.count));
    let present_node = top.get("present");
    let present = present_node.as_ref().and_then(|n| Present::read(n, strung.count));
    Shared {
        neck,
        nut_blank,
        margins,
        strung,
        nut_node,
        nut,
        present_node,
        present: present.unwrap_or_default(),
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
        None if nut_blank.is_none() => Some(None),
        None => None,
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
    let survey = SaddleSurvey {
        board: parts.board?,
        strings: strings(&parts)?,
        press: parts.strung.press.as_ref().map_or(0.0, |press| press.value),
        slot: slot_survey(&parts)?,
        lean: parts.slot.lean?,
        under_tension: parts.slot.under_tension,
        under: parts.slot.under?,
        slot_width: parts.slot.width.as_ref().map(|got| got.value),
        slot_length: parts.slot.length.as_ref().map(|got| got.value),
        exit: parts.exit.as_ref().map(Exit::ends),
        blank: blank?,
        crown: crown?,
        left_handed: head.left_handed?,
    };
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
        nut: nut_made?,
        filing: filing?,
        strung: readings,
        tolerance: tolerance?,
        uncertainty: uncertainty?,
        assess,
        cut: cut?,
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
        bass_end: blank.bass_end.as_ref()?.as_ref().map(|got| got.value),
        land: blank.land?,
    })
}

/// Unit of bare numbers, from here on.
pub(crate) fn length_unit(top: &Table) -> Option<LengthUnit> {
    let unit = top
        .get("unit")
        .and_then(|n| n.choice(&LengthUnit::ALL.map(|unit| (unit.name(), unit))));
    top.node.source.unit.set(unit);
    unit
}

fn title<'a>(node: &Node<'a>) -> Option<&'a str> {
    let title = node.prose(false)?;
    if title.trim().is_empty() {
        node.refuse("The title is empty. Write what the job is, such as \"Parlour guitar: new saddle\".");
        return None;
    }
    Some(title)
}

pub(crate) fn format(top: &Table) {
    let Some(node) = top.need("format") else { return };
    let limit = limits::Limit {
        least: 0.0,
        most: f64::from(u32::MAX),
        usual: (0.0, f64::from(u32::MAX)),
        hint: "Write format = 1.",
    };
    if node.whole(&limit).is_some_and(|format| format != FORMAT) {
        node.refuse(format!(
            "This program reads format {FORMAT}. Write format = {FORMAT}, or use the program that the file was made for."
        ));
    }
}

/// What of the strings a new nut needs; `with_setback` where the target could be read.
pub(crate) fn laid(parts: &Parts, with_setback: Option<bool>) -> Option<Laid> {
    let strung = &parts.strung;
    Some(Laid {
        outer: strung.outer?,
        rule: strung.nut_rule?,
        courses: strung.nut_courses.clone()?,
        wound: strung.strings.as_ref()?.iter().map(|s| s.wound).collect(),
        shares: shares(parts)?,
        with_setback: with_setback?,
    })
}

/// The nut to be made; `Some(None)` if none is wanted.
fn made_nut(
    parts: &Parts,
    margins: &Margins,
    profiles: &Profiles,
    cutting: impl FnOnce(&NutSurvey) -> Option<CutJob>,
) -> Option<Option<NutJob>> {
    let with_setback = parts.target.intonation.as_ref();
    let with_setback = with_setback.map(|intonation| matches!(intonation, Intonation::BestFitWithNut));
    let nut = nut_job(margins, parts.strung.count, laid(parts, with_setback), profiles);
    let wanted = parts.nut.new_clearance.is_some() || parts.nut.new_held_at_3.is_some();
    if !wanted && !parts.nut.refused {
        margins.table.node.doubt(
            "No nut is planned from this: nut.new_clearance or nut.new_held_at_3 says how high its slots shall be. Give one of \
             them for a new nut.",
        );
        return Some(None);
    }
    let (survey, material) = nut?;
    let cut = cutting(&survey)?;
    Some(Some(NutJob { survey, material, cut }))
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

/// A string cannot have both a factor and the reading that finds it anew.
pub(crate) fn stretch_given_twice(parts: &Parts) {
    let present = &parts.present;
    for string in parts.strung.strings.iter().flatten() {
        let Some(factor) = &string.stretch else { continue };
        let place = parts
            .strung
            .count
            .and_then(|count| count.checked_sub(string.number as usize));
        let read = place.and_then(|i| *present.cents_12.as_ref()?.value.get(i)?);
        if read.is_some() {
            factor.at.refuse(format!(
                "String {} has a reading in present.cents_12 too, which finds the factor anew. Keep one of the two.",
                string.number
            ));
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

/// Places of the strings at fret 12: 0 at the bass-most string, 1 at the treble-most.
pub(crate) fn shares(parts: &Parts) -> Option<Vec<f64>> {
    let [nut, saddle] = parts.strung.places.as_ref()?;
    // Fret 12 is half way.
    let places: Vec<f64> = nut
        .iter()
        .zip(saddle)
        .map(|(nut, saddle)| 0.5 * (nut + saddle))
        .collect();
    let (first, last) = (*places.first()?, *places.last()?);
    let width = last - first;
    Some(
        places
            .iter()
            .map(|y| if width > 0.0 { (y - first) / width } else { 0.0 })
            .collect(),
    )
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
