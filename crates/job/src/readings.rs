//! A second file that holds the readings after stringing up and nothing else.

use toml::de::{DeTable, DeValue};

use crate::fields::f;
use crate::head::{format, length_unit};
use crate::parse::parse;
use crate::sections::strung::strung;
use crate::source::SourceText;
use crate::table::Table;
use crate::{Job, Problem, Profiles, StrungReadings};

/// Reads a file of readings after stringing up: `format = 1`, `unit` where bare numbers are used, and a table `[strung]`.
///
/// `profiles` have the tools. Gives the readings of every string of `job`, bass to treble, and what is doubtful. Messages speak the job's bench unit.
///
/// # Errors
/// Every problem found, warnings among them, in line order; at least one is an error.
pub fn read_strung(text: &str, job: &Job, profiles: &Profiles) -> Result<(StrungReadings, Vec<Problem>), Vec<Problem>> {
    let source = SourceText::new(text);
    source.bench.set(job.bench);
    source.strings.set(Some(job.instrument.strings.len()));
    let root = parse(&source, text);
    let empty = DeValue::Table(DeTable::new());
    let read = root.as_ref().and_then(|root| {
        let top = Table::root(&source, root, &empty, "strung_file");
        length_unit(&top);
        format(&top);
        strung(&top.need(f!("strung"))?, profiles)
    });
    source.outcome(read)
}
