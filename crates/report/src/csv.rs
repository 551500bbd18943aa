//! The plan as comma-separated values after RFC 4180: a head, then one row a string.

use csv::{Terminator, WriterBuilder};
use saddle::{Bearing, Hold, Plan, StringPlan};

/// Columns before the cents. A name ends in its unit; signs are those of `JSON.md`.
const BEFORE: [&str; 20] = [
    "number",
    "note",
    "height_mm",
    "back_mm",
    "along_mm",
    "from_bass_end_mm",
    "hold",
    "wanted_height_mm",
    "wanted_back_mm",
    "wanted_along_mm",
    "x_mm",
    "y_mm",
    "z_mm",
    "nut_x_mm",
    "nut_z_mm",
    "setback_mm",
    "setback_wanted_mm",
    "nut_setback_mm",
    "action_12_mm",
    "action_1_mm",
];
/// Columns after the cents.
const AFTER: [&str; 9] = [
    "rms_cents",
    "tension_n",
    "calibration",
    "exposure_mm",
    "filing_forward_mm",
    "filing_drop_mm",
    "filing_action_loss_mm",
    "off_plan_mm",
    "break_angle_deg",
];

/// One row a string, bass to treble, at full precision; what is not known is left empty.
///
/// # Errors
/// None is known; the CSV library could refuse a row.
pub fn csv(plan: &Plan) -> Result<String, csv::Error> {
    let mut writer = WriterBuilder::new()
        .terminator(Terminator::CRLF)
        .has_headers(false)
        .from_writer(Vec::new());
    let cents = (1..=strings::FRETS).map(|fret| format!("cents_{fret}"));
    let own = |names: &[&str]| names.iter().map(|n| (*n).to_owned()).collect::<Vec<_>>();
    writer.write_record(own(&BEFORE).into_iter().chain(cents).chain(own(&AFTER)))?;
    for s in &plan.strings {
        writer.serialize(row(plan, s))?;
    }
    let bytes = writer.into_inner().map_err(|e| e.into_error())?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// What stands before the hold, the hold, and what stands after it.
fn row(plan: &Plan, s: &StringPlan) -> (Vec<String>, Hold, Vec<String>) {
    let break_angle = match s.termination.bearing {
        Bearing::Bears { break_angle } => Some(break_angle.to_degrees()),
        Bearing::Lifted | Bearing::ExitUnknown => None,
    };
    let known = |value: Option<f64>| value.map_or_else(String::new, |v| v.to_string());
    let all = |values: &[f64]| values.iter().map(f64::to_string).collect::<Vec<_>>();
    let mut before = vec![s.number.to_string(), s.note.clone()];
    before.extend(all(&[s.contact.v, s.contact.b, s.contact.u, s.contact.u - plan.ends.0]));
    let mut after = all(&[s.wanted.v, s.wanted.b, s.wanted.u]);
    after.extend(all(&[s.position.x, s.position.y, s.position.z, s.nut.x, s.nut.z]));
    after.extend(all(&[
        s.setback,
        s.setback_wanted,
        s.nut_setback,
        s.action_12,
        s.action_1,
    ]));
    after.extend(all(&s.cents));
    after.extend(all(&[s.rms_cents, s.tension]));
    after.extend([known(s.calibration), known(s.exposure)]);
    after.extend(all(&[s.filing.forward, s.filing.drop, s.filing.action_loss]));
    after.extend([s.termination.from_planned.to_string(), known(break_angle)]);
    (before, s.hold, after)
}

#[cfg(test)]
mod tests {
    use crate::fixture::{planned, survey};

    #[test]
    fn reads_back_with_a_csv_reader() {
        let mut survey = survey();
        survey.strings[0].note = "E2, \"low\"".to_owned();
        let plan = planned(&survey);
        let text = super::csv(&plan).unwrap();
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let head = reader.headers().unwrap().clone();
        let place = |name: &str| head.iter().position(|h| h == name).unwrap();
        let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        assert_eq!(rows.len(), plan.strings.len());
        for (row, s) in rows.iter().zip(&plan.strings) {
            let number = |name: &str| row[place(name)].parse::<f64>().unwrap();
            assert_eq!(&row[place("note")], s.note);
            assert_eq!(number("height_mm"), s.contact.v);
            assert_eq!(number("back_mm"), s.contact.b);
            assert_eq!(number("along_mm"), s.contact.u);
            assert_eq!(number("nut_z_mm"), s.nut.z);
            assert_eq!(number("action_1_mm"), s.action_1);
            assert_eq!(number("cents_1"), s.cents[0]);
            assert_eq!(number("cents_12"), s.cents[11]);
            assert_eq!(number("tension_n"), s.tension);
            assert_eq!(number("filing_action_loss_mm"), s.filing.action_loss);
            assert_eq!(&row[place("calibration")], "");
            assert!(number("break_angle_deg") > 1.0);
        }
        assert!(text.ends_with("\r\n"));
        // A head that does not agree with its rows is refused by the reader, so the counts are equal here.
        assert_eq!(head.len(), super::BEFORE.len() + 12 + super::AFTER.len());
    }
}
