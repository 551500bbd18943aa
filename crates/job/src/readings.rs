//! A second file that holds the readings after stringing up and nothing else.

use instrument::StrungString;
use toml::de::{DeTable, DeValue};

use crate::head::{format, length_unit};
use crate::node::SourceText;
use crate::parse::parse;
use crate::problem::in_line_order;
use crate::schema::READINGS;
use crate::sections::strung::strung;
use crate::table::Table;
use crate::{Job, Problem, Severity};

/// Reads a file of readings after stringing up: `format = 1`, `unit` where bare numbers are used, and a table `[strung]`.
///
/// Gives the readings of every string of `job`, bass to treble, and what is doubtful. Messages speak the job's bench unit.
///
/// # Errors
/// Every problem found, warnings among them, in line order; at least one is an error.
pub fn read_strung(text: &str, job: &Job) -> Result<(Vec<StrungString>, Vec<Problem>), Vec<Problem>> {
    let source = SourceText::new(text);
    let count = Some(job.instrument.strings.len());
    source.bench.set(job.bench);
    source.strings.set(count);
    let root = parse(&source, text);
    let read = root.as_ref().and_then(|root| {
        let empty = DeValue::Table(DeTable::new());
        let top = Table::root(&source, root, &empty, &READINGS);
        length_unit(&top);
        format(&top);
        let node = top.need("strung")?;
        strung(&node, count)
    });
    let mut problems = source.into_problems();
    in_line_order(&mut problems);
    let sound = problems.iter().all(|problem| problem.severity == Severity::Warning);
    match read {
        Some(read) if sound => Ok((read, problems)),
        _ => {
            if sound {
                problems.push(Problem::unexplained("The readings cannot be read."));
            }
            Err(problems)
        }
    }
}
