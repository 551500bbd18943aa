//! The job file for a second saddle: the first one's text with what the fit found.

use instrument::{NutReading, SlotSurvey};
use saddle::{Fit, StringSurvey};
use strings::{Criterion, Stiffness};
use thiserror::Error;
use toml_edit::{Array, ArrayOfTables, DocumentMut, InlineTable, Item, Table, TableLike, Value};

use crate::Job;
use crate::fields::{Range, f};
use crate::head::MOST_TITLE;
use crate::problem::{Quantity, printable};
use crate::text_form::TextForm;

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

/// The job file for a second saddle, written from `text`, the file that `job` was read from. The user's remarks and order stay.
///
/// What [`saddle::fit`] corrected is set: lean, slot depth or height of the reference saddle, nut, present action and the
/// stretch of each string. Readings that are used up (cents and contacts of the old saddle, `[strung]`, `[filing]`, a new
/// nut's clearance) are left out. `title` is the new job's; by default the old one with `, second saddle` behind it. Lengths have
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
    let mut edit = Edit::new(text, job)?;
    let title = title.map_or_else(|| next_title(&job.title), one_line);
    edit.put("", "title", title.into(), "")?;
    edit.slot(&was.slot, &now.slot)?;
    if (now.lean - was.lean).abs() > SAME {
        let degrees = now.lean.to_degrees();
        edit.check("slot.lean", degrees, &f!("slot.lean").range, |v| format!("{v:.1}°"))?;
        edit.put("slot", "lean", format!("{} deg", figure(degrees)).into(), FOUND)?;
    }
    edit.heights(&now.strings)?;
    let nut_moved = |(was, now): (&StringSurvey, &StringSurvey)| (now.nut_x - was.nut_x).abs() > SAME;
    if was.strings.iter().zip(&now.strings).any(nut_moved) {
        let setbacks = now.strings.iter().map(|s| (s.number, -s.nut_x));
        edit.lengths(
            "nut",
            "setback",
            setbacks,
            &f!("nut.setback").range,
            "as the first plan moved the nut",
        )?;
    }
    let with_nut = |s: &StringSurvey| s.criterion == Criterion::BestFitWithNut;
    if was.strings.iter().any(with_nut) && !now.strings.iter().any(with_nut) {
        edit.put("target", "intonation", "best-fit".into(), "the nut is made")?;
    }
    for (was, now) in was.strings.iter().zip(&now.strings) {
        edit.stretch(was, now)?;
    }
    for (table, key) in [
        ("nut", "held_at_3"),
        ("nut", "new_clearance"),
        ("nut", "new_held_at_3"),
        ("nut_blank", "front"),
        ("present", "cents_12"),
        ("present", "contact_from_fret_12"),
        ("", "strung"),
        ("", "filing"),
    ] {
        edit.take_out(table, key);
    }
    Ok(edit.finish(
        "A second saddle, planned from what the first one showed after stringing up. Written by bonewright fit from",
    ))
}

/// Remark beside a figure of the fit.
const FOUND: &str = "found by bonewright fit";

/// A job's text under change, with a list of what was changed.
pub(crate) struct Edit<'a> {
    document: DocumentMut,
    form: TextForm,
    job: &'a Job,
    set: Vec<String>,
    stretched: Vec<String>,
    out: Vec<String>,
}

impl<'a> Edit<'a> {
    pub(crate) fn new(text: &str, job: &'a Job) -> Result<Self, CorrectedError> {
        Ok(Self {
            document: text
                .parse()
                .map_err(|error: toml_edit::TomlError| CorrectedError::Text(printable(error.message())))?,
            form: TextForm::of(text),
            job,
            set: Vec::new(),
            stretched: Vec::new(),
            out: Vec::new(),
        })
    }

    fn slot(&mut self, was: &SlotSurvey, now: &SlotSurvey) -> Result<(), CorrectedError> {
        match (was, now) {
            (SlotSurvey::Straightedge(was), SlotSurvey::Straightedge(now)) => {
                let depths = [was.map(|end| end.depth), now.map(|end| end.depth)];
                self.ends("slot", "depth", depths, &f!("slot.depth").range, FOUND)
            }
            (SlotSurvey::Reference(was), SlotSurvey::Reference(now)) => {
                let heights = [was.map(|end| end.height), now.map(|end| end.height)];
                self.ends(
                    "slot.reference",
                    "height",
                    heights,
                    &f!("slot.reference.height").range,
                    FOUND,
                )?;
                // Else the new present action would be taken for the one that the reference saddle stood at.
                let none = [f64::NAN; 2];
                let actions = [none, now.map(|end| end.action_12)];
                let remark = "with the reference saddle in";
                self.ends(
                    "slot.reference",
                    "action_12",
                    actions,
                    &f!("present.action_12").range,
                    remark,
                )
            }
            _ => Err(CorrectedError::Text("its slot is read in another way".into())),
        }
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
        self.lengths("nut", "first_fret_clearance", clearance, limit, FOUND)?;
        let action = open.iter().map(|&(number, _, action)| (number, action));
        self.lengths("present", "action_12", action, &f!("present.action_12").range, FOUND)
    }

    /// Multiplies the factor that a string has by what the fit found.
    pub(crate) fn stretch(&mut self, was: &StringSurvey, now: &StringSurvey) -> Result<(), CorrectedError> {
        let ratio = match (was.model.stiffness, now.model.stiffness) {
            (Stiffness::Elastic { axial: was, .. }, Stiffness::Elastic { axial: now, .. })
            | (Stiffness::Measured { kappa: was }, Stiffness::Measured { kappa: now }) => now / was,
            _ => return Err(CorrectedError::Text("its strings are described in another way".into())),
        };
        if (ratio - 1.0).abs() <= SAME {
            return Ok(());
        }
        let number = i64::from(was.number);
        let field = format!("stretch_factor of string {number}");
        let position = self.position("strings");
        let list = self
            .document
            .entry("string")
            .or_insert_with(|| Item::ArrayOfTables(ArrayOfTables::new()));
        let own = |table: &dyn TableLike| table.get("number").and_then(Item::as_integer) == Some(number);
        let before = |table: &dyn TableLike| {
            let item = table.get("stretch_factor")?;
            item.as_float().or_else(|| item.as_integer().map(|i| i as f64))
        };
        let inline = !list.is_array_of_tables();
        let count;
        // The place of the string's table, which is added if there is none.
        let table: Option<&mut dyn TableLike> = match list {
            Item::ArrayOfTables(tables) => {
                let at = tables.iter().position(|table| own(table));
                count = tables.len();
                if at.is_none() {
                    let mut table = Table::new();
                    table.insert("number", number.into());
                    // The first stands behind [strings], later ones behind the last.
                    table.set_position(if count == 0 { position } else { None });
                    tables.push(table);
                }
                tables.get_mut(at.unwrap_or(count)).map(|table| table as _)
            }
            Item::Value(Value::Array(tables)) => {
                let at = tables
                    .iter()
                    .position(|value| value.as_inline_table().is_some_and(|table| own(table)));
                count = tables.len();
                if at.is_none() {
                    tables.push(InlineTable::from_iter([("number", number)]));
                }
                tables
                    .get_mut(at.unwrap_or(count))
                    .and_then(Value::as_inline_table_mut)
                    .map(|table| table as _)
            }
            _ => None,
        };
        let table = table.ok_or_else(|| CorrectedError::Text("its strings are not laid out as tables".into()))?;
        let factor = before(table).unwrap_or(1.0) * ratio;
        let rounded = (factor * STRETCH_STEPS).round() / STRETCH_STEPS;
        place(table, "stretch_factor", rounded.into(), FOUND, inline);
        self.stretched.push(was.number.to_string());
        self.check(&field, factor, &f!("string.stretch_factor").range, |v| {
            format!("{v:.2}")
        })
    }

    pub(crate) fn ends(
        &mut self,
        table: &str,
        key: &str,
        [was, now]: [[f64; 2]; 2],
        limit: &Range,
        remark: &str,
    ) -> Result<(), CorrectedError> {
        if (0..2).all(|i| (now[i] - was[i]).abs() <= SAME) {
            return Ok(());
        }
        for (mm, end) in now.iter().zip(["bass", "treble"]) {
            self.check_length(&format!("{table}.{key}.{end}"), *mm, limit)?;
        }
        let [bass, treble] = now.map(length);
        let value = if bass == treble {
            bass.into()
        } else {
            InlineTable::from_iter([("bass", bass), ("treble", treble)]).into()
        };
        self.put(table, key, value, remark)
    }

    /// One length for each string, `(number, mm)` bass to treble.
    pub(crate) fn lengths(
        &mut self,
        table: &str,
        key: &str,
        each: impl Iterator<Item = (u32, f64)>,
        limit: &Range,
        remark: &str,
    ) -> Result<(), CorrectedError> {
        let mut list = Array::new();
        for (number, mm) in each {
            self.check_length(&format!("{table}.{key} of string {number}"), mm, limit)?;
            list.push(length(mm));
        }
        self.put(table, key, list.into(), remark)
    }

    fn check_length(&self, field: &str, mm: f64, limit: &Range) -> Result<(), CorrectedError> {
        self.check(field, mm, limit, |length| Quantity::Length(length).show(self.job.bench))
    }

    pub(crate) fn check(
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

    /// A table by its dotted name, the empty one for the top of the file; and whether it is written within one line.
    fn table(&mut self, name: &str) -> Option<(&mut dyn TableLike, bool)> {
        let mut item = self.document.as_item_mut();
        let mut inline = false;
        for part in name.split('.').filter(|part| !part.is_empty()) {
            item = item.as_table_like_mut()?.get_mut(part)?;
            inline |= item.is_inline_table();
        }
        Some((item.as_table_like_mut()?, inline))
    }

    /// Position of a table in the file, if it has a header of its own.
    fn position(&self, table: &str) -> Option<isize> {
        self.document.get(table)?.as_table()?.position()
    }

    pub(crate) fn put(&mut self, table: &str, key: &str, value: Value, remark: &str) -> Result<(), CorrectedError> {
        if table == "present" && self.table(table).is_none() {
            let mut present = Table::new();
            // Behind [nut], whose readings belong to it.
            present.set_position(self.position("nut"));
            self.document.insert(table, Item::Table(present));
        }
        let Some((into, inline)) = self.table(table) else {
            return Err(CorrectedError::Text(format!("it has no table [{table}]")));
        };
        place(into, key, value, remark, inline);
        let dot = if table.is_empty() { "" } else { "." };
        self.set.push(format!("{table}{dot}{key}"));
        Ok(())
    }

    pub(crate) fn take_out(&mut self, table: &str, key: &str) {
        if let Some((from, _)) = self.table(table)
            && from.remove(key).is_some()
        {
            let dot = if table.is_empty() { "" } else { "." };
            self.out.push(format!("{table}{dot}{key}"));
        }
    }

    /// The whole text under a remark that begins with `head` and says what was changed.
    pub(crate) fn finish(mut self, head: &str) -> String {
        if !self.stretched.is_empty() {
            self.set
                .push(format!("stretch_factor of string {}", self.stretched.join(", ")));
        }
        let mut head = format!("{head} the job \"{}\". Set: {}.", self.job.title, self.set.join(", "));
        if !self.out.is_empty() {
            head += &format!(" Taken out: {}.", self.out.join(", "));
        }
        head += " All else stands as it was written.";
        let mut text = remark_lines(&head);
        text += "\n";
        // A mark of the byte order would no longer stand at the beginning.
        text += self.document.to_string().trim_start_matches('\u{feff}');
        self.form.put(&text)
    }
}

/// Steps in which a stretch factor is written: six decimals.
const STRETCH_STEPS: f64 = 1e6;

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

/// Sets a key. The user's remark behind it stays, and a remark of ours says where the figure comes from.
fn place(table: &mut dyn TableLike, key: &str, mut value: Value, remark: &str, inline: bool) {
    let old = table
        .get(key)
        .and_then(Item::as_value)
        .map(|value| value.decor().clone());
    if let Some(decor) = old {
        *value.decor_mut() = decor;
    }
    if !inline && !remark.is_empty() {
        let behind = value
            .decor()
            .suffix()
            .and_then(|suffix| suffix.as_str())
            .unwrap_or_default();
        let behind = behind.trim_end();
        let remark = match behind.contains('#') {
            true if behind.ends_with(remark) => behind.to_owned(),
            true => format!("{behind}; {remark}"),
            false => format!(" # {remark}"),
        };
        value.decor_mut().set_suffix(remark);
    }
    match table.get_mut(key) {
        Some(item) => *item = Item::Value(value),
        None => {
            table.insert(key, Item::Value(value));
        }
    }
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
