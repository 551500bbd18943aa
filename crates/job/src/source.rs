//! The text of a job file with its units, and the problems found in it so far.

use std::cell::{Cell, RefCell};
use std::ops::{Range, RangeInclusive};

use units::{BenchUnit, Decimal, LengthUnit};

use crate::problem::{ProblemKind, in_line_order, printable, shorten};
use crate::{Problem, Severity};

/// So many lengths without a unit are one problem.
const MANY: usize = 3;

/// The text, its units and the problems found so far.
pub(crate) struct SourceText<'a> {
    text: &'a str,
    line_starts: Vec<usize>,
    /// Unit of bare numbers, once it is read.
    pub(crate) unit: Cell<Option<LengthUnit>>,
    /// Mark of decimals, once it is read.
    pub(crate) decimal: Cell<Decimal>,
    /// Unit that messages speak in.
    pub(crate) bench: Cell<BenchUnit>,
    /// Number of strings, once it is known.
    pub(crate) strings: Cell<Option<usize>>,
    /// Several saddles are made: the text is read once for each, and what is reported already is not reported again.
    pub(crate) several: Cell<bool>,
    /// The lines of the saddle that is read, where there are several, and what stands before the names of fields there.
    pub(crate) own: RefCell<Option<(RangeInclusive<usize>, String)>>,
    problems: RefCell<Vec<Problem>>,
}

impl<'a> SourceText<'a> {
    pub(crate) fn new(text: &'a str) -> Self {
        let breaks = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n');
        Self {
            text,
            line_starts: std::iter::once(0).chain(breaks.map(|(at, _)| at + 1)).collect(),
            unit: Cell::new(None),
            decimal: Cell::default(),
            bench: Cell::new(BenchUnit::METRIC),
            strings: Cell::new(None),
            several: Cell::new(false),
            own: RefCell::new(None),
            problems: RefCell::default(),
        }
    }

    pub(crate) fn line(&self, at: usize) -> usize {
        self.line_starts.partition_point(|start| *start <= at).max(1)
    }

    /// What stands in the text, fit for a message.
    pub(crate) fn slice(&self, span: Range<usize>) -> Option<String> {
        self.text.get(span).map(printable)
    }

    /// Reports a problem; `line` is `None` where it belongs to no line.
    pub(crate) fn report(
        &self,
        severity: Severity,
        line: Option<usize>,
        mut field: String,
        read: Option<String>,
        kind: ProblemKind,
    ) {
        if let (Some(line), Some((lines, before))) = (line, &*self.own.borrow())
            && lines.contains(&line)
            && !field.starts_with(before.as_str())
        {
            field.insert_str(0, before);
        }
        let mut problem = Problem {
            severity,
            line,
            field,
            read,
            kind,
            bench: self.bench.get(),
        };
        shorten(&mut problem.field);
        let mut problems = self.problems.borrow_mut();
        if !(self.several.get() && problems.contains(&problem)) {
            problems.push(problem);
        }
    }

    /// What was read with its warnings, or all problems in line order; at least one of them is an error.
    pub(crate) fn outcome<T>(self, read: Option<T>) -> Result<(T, Vec<Problem>), Vec<Problem>> {
        let bench = self.bench.get();
        let mut problems = self.problems.into_inner();
        for problem in &mut problems {
            problem.bench = bench;
        }
        without_unit_at_once(&mut problems);
        in_line_order(&mut problems);
        let sound = problems.iter().all(|problem| problem.severity == Severity::Warning);
        match read {
            Some(read) if sound => Ok((read, problems)),
            _ => {
                if sound {
                    // Nothing may be refused without a reason; no known text comes here.
                    problems.push(Problem {
                        severity: Severity::Error,
                        line: None,
                        field: String::new(),
                        read: None,
                        kind: ProblemKind::Unexplained {},
                        bench,
                    });
                }
                Err(problems)
            }
        }
    }
}

/// A file that declares no unit lacks it in every line: one problem, at the first.
fn without_unit_at_once(problems: &mut Vec<Problem>) {
    let lacking = |problem: &Problem| problem.kind == ProblemKind::NoUnit {};
    // Where the unit itself is refused, that is all there is to mend.
    if problems.iter().any(|problem| problem.field == "unit") {
        problems.retain(|problem| !lacking(problem));
        return;
    }
    let mut lines: Vec<usize> = problems.iter().filter(|p| lacking(p)).filter_map(|p| p.line).collect();
    lines.sort_unstable();
    lines.dedup();
    if lines.len() < MANY {
        return;
    }
    let first = lines.first().copied();
    let mut all = lines.iter().map(|line| line.to_string()).collect::<Vec<_>>();
    let last = all.pop().unwrap_or_default();
    let lines = format!("{} and {last}", all.join(", "));
    let mut told = false;
    problems.retain_mut(|problem| {
        if !lacking(problem) {
            return true;
        }
        if problem.line != first || std::mem::replace(&mut told, true) {
            return false;
        }
        problem.kind = ProblemKind::NoUnits { lines: lines.clone() };
        true
    });
}
