//! The job file for a second saddle: the first one's text with what the fit found.

use instrument::{Board, BoardRadius, NutReading, ReferenceEnd, SlotEnd, SlotSurvey};
use saddle::{Fit, SaddleSurvey, StringSurvey};
use strings::{Criterion, Stiffness};
use thiserror::Error;
use toml_edit::Value;

use crate::Job;
use crate::edit::{Edit, EditError};
use crate::fields::{Range, f};
use crate::head::MOST_TITLE;
use crate::problem::Quantity;

/// Why no job file for a second saddle can be written.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum CorrectedError {
    /// The text is not the one that the job was read from.
    #[error("the job file has changed since it was read: {0}; read it again")]
    Text(String),
    /// The job makes no saddle.
    #[error("the saddle stays in this job, so there is none to make again")]
    NoSaddle,
    /// The fit belongs to another job.
    #[error("the fit holds {fit} strings, but the job has {job}")]
    Count {
        /// Strings of the fit.
        fit: usize,
        /// Strings of the job.
        job: usize,
    },
    /// A figure of the fit is outside what a job file may hold.
    #[error(
        "{field} would become {value}, outside the {allowed} that a job may hold: look at the readings that it comes from"
    )]
    Outside {
        /// Field, with the string's number or the end.
        field: String,
        /// The figure with its unit.
        value: String,
        /// The range allowed.
        allowed: String,
    },
}

/// A figure that differs by less than this from what the file says is left as it is written; mm, radians, no unit.
const SAME: f64 = 1e-9;

/// A pair that was not there: it differs from every other.
pub(crate) const NONE: [f64; 2] = [f64::NAN; 2];

/// The job file for a second saddle, written from `text`, the file that `job` was read from. The user's remarks and order stay.
///
/// What [`saddle::fit`] corrected is set: relief, radius and places of the frets, the slot's readings, lean, nut, present action, how strings and their ends
/// are. Readings that are used up (cents and contacts of the old saddle, `[strung]`, `[filing]`,
/// `[[readings]]` with `[doubt]`, a new nut's clearance) are left out. `title` is the new job's; by default the old one with `, second saddle` behind it. Lengths have
/// four decimals of a millimetre, the lean four of a degree.
///
/// The caller should [`crate::read()`] what comes out, as any job file: the checks across readings are made there.
///
/// # Errors
/// [`CorrectedError`].
pub fn corrected(text: &str, fit: &Fit, job: &Job, title: Option<&str>) -> Result<String, CorrectedError> {
    let was = &job.saddle.as_ref().ok_or(CorrectedError::NoSaddle)?.survey;
    let now = &fit.corrected;
    if now.strings.len() != was.strings.len() {
        return Err(CorrectedError::Count {
            fit: now.strings.len(),
            job: was.strings.len(),
        });
    }
    let mut edit = Figures::new(text, job)?;
    let title = title.map_or_else(|| next_title(&job.title), one_line);
    edit.put("title", title, "")?;
    // What tension changes stands in the file as it was said, and is counted again.
    let change = |survey: &SaddleSurvey| (survey.under_tension.bridge_top, survey.under_tension.lean);
    let ((was_rise, was_lean), (rise, lean)) = (change(was), change(now));
    let mut slot = now.slot;
    if let SlotSurvey::Straightedge(ends) = &mut slot {
        for (end, (rise, was)) in ends.iter_mut().zip(rise.into_iter().zip(was_rise)) {
            end.bridge_top += rise - was;
        }
    }
    edit.slot(&was.slot, &slot)?;
    edit.lean(was.lean, now.lean + lean - was_lean, FOUND)?;
    edit.heights(&now.strings)?;
    let nut_moved = |(was, now): (&StringSurvey, &StringSurvey)| (now.nut_x - was.nut_x).abs() > SAME;
    if was.strings.iter().zip(&now.strings).any(nut_moved) {
        let setbacks = now
            .strings
            .iter()
            .map(|s| (s.number, now.board.fret_x(0, &s.run) - s.nut_x));
        let remark = "as the first plan moved the nut";
        edit.lengths("nut.setback", setbacks, &f!("nut.setback").range, remark)?;
    }
    let with_nut = |s: &StringSurvey| s.criterion == Criterion::BestFitWithNut;
    if was.strings.iter().any(with_nut) && !now.strings.iter().any(with_nut) {
        edit.put("target.intonation", "best-fit", "the nut is made")?;
    }
    for (was, now) in was.strings.iter().zip(&now.strings) {
        edit.stretch(was, now)?;
    }
    edit.neck_and_ends(was, now)?;
    let work = edit
        .edit
        .value("nut.zero_fret")
        .and_then(|(value, _)| value.as_str().map(str::to_owned));
    if work.is_some_and(|work| work != "kept") {
        edit.put("nut.zero_fret", "kept", "it is as the first plan wanted it")?;
    }
    edit.take_out("nut.held_at_3 nut.new_clearance nut.new_held_at_3 nut_blank.front");
    edit.take_out("nut.zero_fret_above nut.dressed nut.new_wire");
    edit.take_out(USED_UP);
    Ok(edit.finish(
        "A second saddle, planned from what the first one showed after stringing up. Written by bonewright fit from",
    ))
}

/// Readings of the old saddle, and those that the figures which take their place already count.
pub(crate) const USED_UP: &str = "present.cents_12 present.contact_from_fret_12 present.exposure present.over_bridge present.saddle_height present.saddle_back strung filing readings doubt";

/// Remark beside a figure of the fit.
const FOUND: &str = "found by bonewright fit";

impl From<EditError> for CorrectedError {
    fn from(error: EditError) -> Self {
        Self::Text(error.to_string())
    }
}

/// Figures put into a job's text, each held against its limits, with a list of what was changed.
pub(crate) struct Figures<'a> {
    edit: Edit,
    job: &'a Job,
    set: Vec<String>,
    stretched: Vec<String>,
    out: Vec<&'static str>,
}

impl<'a> Figures<'a> {
    pub(crate) fn new(text: &str, job: &'a Job) -> Result<Self, CorrectedError> {
        let mut edit = Edit::of(text)?;
        // Every job with a saddle has them.
        if let Some(table) = ["slot", "nut"].into_iter().find(|table| !edit.has_table(table)) {
            return Err(CorrectedError::Text(format!("it has no table [{table}]")));
        }
        Ok(Self {
            edit,
            job,
            set: Vec::new(),
            stretched: Vec::new(),
            out: Vec::new(),
        })
    }

    fn slot(&mut self, was: &SlotSurvey, now: &SlotSurvey) -> Result<(), CorrectedError> {
        match (was, now) {
            (SlotSurvey::Straightedge(was), SlotSurvey::Straightedge(now)) => {
                let both = |of: fn(&SlotEnd) -> f64| [was.each_ref().map(of), now.each_ref().map(of)];
                let edges = both(|end| end.edge_from_fret_12);
                self.ends(
                    "slot.edge_from_fret_12",
                    edges,
                    &f!("slot.edge_from_fret_12").range,
                    FOUND,
                )?;
                let tops = both(|end| end.bridge_top);
                self.bridge_top(tops)?;
                self.ends("slot.depth", both(|end| end.depth), &f!("slot.depth").range, FOUND)
            }
            (SlotSurvey::Reference(was), SlotSurvey::Reference(now)) => {
                let both = |of: fn(&ReferenceEnd) -> f64| [was.each_ref().map(of), now.each_ref().map(of)];
                let contacts = both(|end| end.contact_from_fret_12);
                let place = f!("slot.reference.contact_from_fret_12");
                self.ends("slot.reference.contact_from_fret_12", contacts, &place.range, FOUND)?;
                let backs = both(|end| end.back);
                self.ends("slot.reference.back", backs, &f!("slot.reference.back").range, FOUND)?;
                let heights = both(|end| end.height);
                self.ends(
                    "slot.reference.height",
                    heights,
                    &f!("slot.reference.height").range,
                    FOUND,
                )?;
                // Else the new present action would be taken for the one that the reference saddle stood at.
                let actions = [NONE, now.map(|end| end.action_12)];
                let remark = "with the reference saddle in";
                self.ends(
                    "slot.reference.action_12",
                    actions,
                    &f!("present.action_12").range,
                    remark,
                )
            }
            _ => Err(CorrectedError::Text("its slot is read in another way".into())),
        }
    }

    /// Lean, radians.
    pub(crate) fn lean(&mut self, was: f64, now: f64, remark: &str) -> Result<(), CorrectedError> {
        if (now - was).abs() <= SAME {
            return Ok(());
        }
        let degrees = now.to_degrees();
        self.check("slot.lean", degrees, &f!("slot.lean").range, |v| format!("{v:.1}°"))?;
        self.put("slot.lean", format!("{} deg", figure(degrees)), remark)
    }

    /// Clearance and present action as they stand.
    fn heights(&mut self, strings: &[StringSurvey]) -> Result<(), CorrectedError> {
        let open = |s: &StringSurvey| match s.present_nut {
            Some(NutReading::Open { clearance, action_12 }) => Some((s.number, clearance, action_12)),
            _ => None,
        };
        let open: Option<Vec<_>> = strings.iter().map(open).collect();
        let open = open.ok_or_else(|| CorrectedError::Text("the nut of its strings is not known".into()))?;
        let clearance = open.iter().map(|&(number, clearance, _)| (number, clearance));
        let limit = &f!("nut.first_fret_clearance").range;
        self.lengths("nut.first_fret_clearance", clearance, limit, FOUND)?;
        let action = open.iter().map(|&(number, _, action)| (number, action));
        self.lengths("present.action_12", action, &f!("present.action_12").range, FOUND)
    }

    /// The neck, and how string ends hold.
    pub(crate) fn neck_and_ends(&mut self, was: &SaddleSurvey, now: &SaddleSurvey) -> Result<(), CorrectedError> {
        self.neck(&was.board, &now.board)?;
        let (ends, stand_off) = (f!("strings.ends"), f!("strings.stand_off"));
        self.factor("strings.ends", was.ends.sum(), now.ends.sum(), &ends.range)?;
        self.factor("strings.stand_off", was.stand_off, now.stand_off, &stand_off.range)
    }

    /// Relief, radius and places of the frets.
    fn neck(&mut self, was: &Board, now: &Board) -> Result<(), CorrectedError> {
        if (now.relief() - was.relief()).abs() > SAME {
            let (row, field) = (f!("instrument.relief"), "instrument.relief");
            self.check_length(field, now.relief(), &row.range)?;
            self.put(field, length(now.relief()), FOUND)?;
        }
        if let (BoardRadius::Conical { nut: a, fret_12: b }, BoardRadius::Conical { nut, fret_12 }) =
            (was.radius(), now.radius())
            && ((nut - a).abs() > SAME || (fret_12 - b).abs() > SAME)
        {
            let limit = &f!("instrument.board_radius").range;
            let [at_nut, at_12] = [("nut", nut), ("fret_12", fret_12)];
            for (end, mm) in [at_nut, at_12] {
                self.check_length(&format!("instrument.board_radius.{end}"), mm, limit)?;
            }
            let value = Value::from_iter([at_nut, at_12].map(|(end, mm)| (end, length(mm))));
            self.put("instrument.board_radius", value, FOUND)?;
        }
        let stretch = now.stretch() / was.stretch();
        let before = self.number("instrument.frets_factor");
        self.factor(
            "instrument.frets_factor",
            before,
            before * stretch,
            &f!("instrument.frets_factor").range,
        )
    }

    /// The bridge top with its sign, which takes the place of a side that was said.
    fn bridge_top(&mut self, tops: [[f64; 2]; 2]) -> Result<(), CorrectedError> {
        let set = self.set.len();
        self.ends("slot.bridge_top", tops, &f!("slot.bridge_top").range, FOUND)?;
        if self.set.len() > set {
            self.take_out("slot.bridge_side");
        }
        Ok(())
    }

    /// The number that a field holds; 1 where it is not there.
    fn number(&mut self, field: &str) -> f64 {
        let value = self.edit.value(field);
        let value = value.and_then(|(value, _)| value.as_float().or_else(|| value.as_integer().map(|i| i as f64)));
        value.unwrap_or(1.0)
    }

    /// A number without unit, if it differs from what was.
    fn factor(&mut self, field: &str, was: f64, now: f64, limit: &Range) -> Result<(), CorrectedError> {
        if (now - was).abs() <= SAME {
            return Ok(());
        }
        self.check(field, now, limit, |v| format!("{v:.3}"))?;
        self.put(field, rounded(now), FOUND)
    }

    /// Multiplies the factors that a string has by what the fit found.
    pub(crate) fn stretch(&mut self, was: &StringSurvey, now: &StringSurvey) -> Result<(), CorrectedError> {
        let (axial, bending) = match (was.model.stiffness, now.model.stiffness) {
            (Stiffness::Elastic { axial: a, bending: b }, Stiffness::Elastic { axial, bending }) => {
                (axial / a, bending / b / (axial / a))
            }
            // Its bending is told over that of one piece with its stretch.
            (Stiffness::Measured { kappa: a, bending: b }, Stiffness::Measured { kappa, bending }) => {
                (kappa / a, bending / b)
            }
            _ => return Err(CorrectedError::Text("its strings are described in another way".into())),
        };
        let mass = now.model.linear_density / was.model.linear_density;
        let number = was.number;
        let factors = [
            ("stretch_factor", axial, &f!("string.stretch_factor").range),
            ("bending_factor", bending, &f!("string.bending_factor").range),
            ("mass_factor", mass, &f!("string.mass_factor").range),
        ];
        for (key, ratio, limit) in factors {
            if (ratio - 1.0).abs() <= SAME {
                continue;
            }
            let field = format!("string.{number}.{key}");
            let factor = self.number(&field) * ratio;
            self.check(&format!("{key} of string {number}"), factor, limit, |v| {
                format!("{v:.2}")
            })?;
            self.edit.set(&field, rounded(factor))?;
            self.edit.remark(&field, FOUND);
            let number = number.to_string();
            if self.stretched.last() != Some(&number) {
                self.stretched.push(number);
            }
        }
        Ok(())
    }

    /// A length at each end, mm, if it differs from what was; [`NONE`] differs from all.
    pub(crate) fn ends(
        &mut self,
        field: &str,
        [was, now]: [[f64; 2]; 2],
        limit: &Range,
        remark: &str,
    ) -> Result<(), CorrectedError> {
        if (0..2).all(|i| (now[i] - was[i]).abs() <= SAME) {
            return Ok(());
        }
        for (mm, end) in now.iter().zip(["bass", "treble"]) {
            self.check_length(&format!("{field}.{end}"), *mm, limit)?;
        }
        let [bass, treble] = now.map(length);
        if bass == treble {
            return self.put(field, bass, remark);
        }
        self.put(field, Value::from_iter([("bass", bass), ("treble", treble)]), remark)
    }

    /// One length for each string, `(number, mm)` bass to treble.
    pub(crate) fn lengths(
        &mut self,
        field: &str,
        each: impl Iterator<Item = (u32, f64)>,
        limit: &Range,
        remark: &str,
    ) -> Result<(), CorrectedError> {
        let list = each.map(|(number, mm)| {
            self.check_length(&format!("{field} of string {number}"), mm, limit)?;
            Ok(length(mm))
        });
        let list = list.collect::<Result<Vec<_>, CorrectedError>>()?;
        self.put(field, Value::from_iter(list), remark)
    }

    fn check_length(&self, field: &str, mm: f64, limit: &Range) -> Result<(), CorrectedError> {
        self.check(field, mm, limit, |length| Quantity::Length(length).show(self.job.bench))
    }

    fn check(
        &self,
        field: &str,
        value: f64,
        limit: &Range,
        show: impl Fn(f64) -> String,
    ) -> Result<(), CorrectedError> {
        if (limit.least..=limit.most).contains(&value) {
            return Ok(());
        }
        Err(CorrectedError::Outside {
            field: field.to_owned(),
            value: show(value),
            allowed: format!("{} to {}", show(limit.least), show(limit.most)),
        })
    }

    /// Sets a value, with a remark of ours that says where it comes from.
    pub(crate) fn put(&mut self, field: &str, value: impl Into<Value>, remark: &str) -> Result<(), CorrectedError> {
        self.edit.set(field, value)?;
        if !remark.is_empty() {
            self.edit.remark(field, remark);
        }
        self.set.push(field.to_owned());
        Ok(())
    }

    /// Takes out these fields, named with a space between.
    pub(crate) fn take_out(&mut self, fields: &'static str) {
        let there = fields.split(' ').filter(|field| self.edit.remove(field));
        self.out.extend(there);
    }

    /// The whole text under a remark that begins with `head` and says what was changed.
    pub(crate) fn finish(mut self, head: &str) -> String {
        if !self.stretched.is_empty() {
            let numbers = self.stretched.join(", ");
            self.set.push(format!("factors of string {numbers}"));
        }
        let mut head = format!("{head} the job \"{}\". Set: {}.", self.job.title, self.set.join(", "));
        if !self.out.is_empty() {
            head += &format!(" Taken out: {}.", self.out.join(", "));
        }
        head += " All else stands as it was written.";
        self.edit.text_below(&(remark_lines(&head) + "\n"))
    }
}

/// Steps in which a stretch factor is written: six decimals.
const STRETCH_STEPS: f64 = 1e6;

/// A factor as it is written.
fn rounded(factor: f64) -> f64 {
    (factor * STRETCH_STEPS).round() / STRETCH_STEPS
}

/// Four decimals; nought has no sign.
pub(crate) fn figure(value: f64) -> String {
    numerics::fixed(value, 4)
}

fn length(mm: f64) -> String {
    format!("{} mm", figure(mm))
}

/// The title with the number of the saddle, which is counted as far as words reach.
fn next_title(title: &str) -> String {
    const SECOND: &str = ", second saddle";
    match title.strip_suffix(SECOND) {
        Some(first) => format!("{first}, third saddle"),
        None if title.ends_with(", third saddle") => title.to_owned(),
        None => lengthened(title, SECOND),
    }
}

/// A title with more behind it, shortened so far that it stays one.
pub(crate) fn lengthened(title: &str, more: &str) -> String {
    let room = MOST_TITLE.saturating_sub(more.chars().count());
    if title.chars().count() <= room {
        return format!("{title}{more}");
    }
    let kept: String = title.chars().take(room.saturating_sub(1)).collect();
    format!("{}…{more}", kept.trim_end())
}

/// A title has no line breaks or other control characters.
fn one_line(title: &str) -> String {
    title.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

/// A text as remark lines of a job file.
fn remark_lines(text: &str) -> String {
    /// Characters of a line, at which words are broken.
    const WIDTH: usize = 100;
    let mut lines = String::new();
    let mut line = String::from("#");
    for word in text.split(' ') {
        if line.chars().count() + 1 + word.chars().count() > WIDTH {
            lines += &line;
            lines += "\n";
            line = String::from("#");
        }
        line += " ";
        line += word;
    }
    lines + &line + "\n"
}
