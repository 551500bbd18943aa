//! From a plan to programs that have been checked, or to the reasons why there is none.

use crate::emit::{EmitError, emit};
use crate::heights::{Height, heights};
use crate::outline::Outline;
use crate::program::Marks;
use crate::slots::{Grooved, Prism, grooves};
use crate::{
    Check, CutTolerance, Part, PassError, Report, Setup, SetupKind, Surface, Target, ToolLengths, ToolTouch, Toolpath,
    toolpaths, verify,
};
use thiserror::Error;

/// One program, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Program {
    /// Name for its file, without folder: what it is cut from, setup, order, and ending.
    pub name: String,
    /// Numbers of the tools it uses, in order.
    pub tools: Vec<u32>,
    /// The text.
    pub text: String,
    /// What it was made from; its head carries them.
    pub marks: Marks,
    /// What came of it when it was read back and simulated; nothing is wrong in it.
    pub report: Report,
}

/// What is wrong with programs that are not handed out.
#[derive(Debug, Clone, PartialEq)]
pub struct Refused {
    /// Name and report of every program, up to the first one that is not in order and that one.
    pub reports: Vec<(String, Report)>,
    /// Remarks that came with the toolpaths.
    pub notes: Vec<String>,
}

/// Programs of one setup.
#[derive(Debug, Clone, PartialEq)]
pub struct Prepared {
    /// In the order in which they are run.
    pub programs: Vec<Program>,
    /// Remarks in plain words, for the sheet.
    pub notes: Vec<String>,
    /// How this setup and the other find each other, in plain words.
    pub registration: &'static str,
    /// How each tool, in the order of its work, comes to its Z.
    pub touch_off: Vec<ToolTouch>,
    /// What to measure before the part is let go, bass to treble.
    pub heights: Vec<Height>,
    /// What it measures from end to end, mm, where this setup cuts both ends.
    pub length: Option<f64>,
}

/// Why there is no program.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum PrepareError {
    /// No toolpath.
    #[error(transparent)]
    Pass(#[from] PassError),
    /// No text for this machine.
    #[error(transparent)]
    Emit(#[from] EmitError),
    /// The programs were checked and are not in order.
    #[error("{}", said(.0))]
    Refused(Box<Refused>),
}

/// The first thing that is wrong.
fn said(refused: &Refused) -> String {
    let first = refused
        .reports
        .iter()
        .find_map(|(name, report)| report.findings.first().map(|f| (name, f)));
    first.map_or_else(
        || "the programs are not in order".to_owned(),
        |(name, finding)| format!("{name}, line {}: {}", finding.line, finding.fault),
    )
}

const ON_EDGE: &str = "The stock is a whole block: the front face on the fixed jaw and the bottom edge on the parallel are the \
datums, X zero is the end of the stock. The ends stay as they are. If the outline is to be cut by machine too, it comes first: \
choose both setups.";
const ON_EDGE_OUTLINED: &str = "The saddle's outline is cut already: X zero is its own end, not the end of the stock that it came \
from. File flush what tabs left. Stand the finished bottom edge on the parallel, front face on the fixed jaw, and touch X off on that \
end. The top must stand as high as written: measure it in the vise. The crown comes last, so that its height counts from the edge that \
stands in the slot.";
const FLAT: &str = "Cut the outline first, while the stock is a whole block: tabs have stock to hold on to, and no cutter runs along a \
finished ridge. The crown follows on edge. The front face on the tape and the bottom edge along Y zero are the datums of both setups. \
Set the bottom edge against a straight stop parallel to X. Take the stop away once the tape holds.";
const NUT_FLAT: &str = "Cut the outline first, while the stock is a full block: it gives the top curve and both ends. The front face \
on the tape and the bottom edge along Y zero are the datums. Set the bottom edge against a straight stop parallel to X, and take the \
stop away once the tape holds. File flush what tabs or skin leave before the nut goes into the vise.";
const NUT_ON_EDGE: &str = "The nut's outline is cut already: X zero is its own end, not the end of the stock that it came \
from. Stand the finished bottom edge on the parallel, front face on the fixed jaw. The top must stand as high as written: \
measure it in the vise.";
const NUT_ON_END: &str = "The nut's outline is cut already. It stands on one finished end, front face on the fixed jaw, and \
its top edge looks past the side of the jaws to the saw: X counts from the bottom edge, so the bottom edge sits against a stop \
square to X. Z zero is where the sheet says, at the nut's own end.";

/// Programs for `part` in `setup`, each read back from its text and simulated: all tools in one program where the machine
/// goes from one to the next within it ([`ToolLengths`]), else one program for each tool.
///
/// # Errors
/// [`PrepareError`] if there is no toolpath, no text for this machine, or if a program is not in order; no text is then
/// handed out.
pub fn prepare<'a>(part: impl Into<Part<'a>>, title: &str, setup: &Setup) -> Result<Prepared, PrepareError> {
    let part = part.into();
    let made = toolpaths(part, setup)?;
    let groups: Vec<Vec<&Toolpath>> = match setup.machine.tool_lengths {
        ToolLengths::Table | ToolLengths::TouchOff => vec![made.paths.iter().collect()],
        ToolLengths::OneProgram => made.paths.iter().map(|path| vec![path]).collect(),
    };
    let registration = match (part, setup.kind) {
        (Part::Saddle(_), SetupKind::OnEdge) if setup.outlined => ON_EDGE_OUTLINED,
        (Part::Saddle(_), SetupKind::OnEdge) => ON_EDGE,
        (Part::Saddle(_), SetupKind::Flat) => FLAT,
        (Part::Saddle(_), SetupKind::OnEnd) => return Err(PassError::OnEnd.into()),
        (Part::Nut(_), SetupKind::Flat) => NUT_FLAT,
        (Part::Nut(_), SetupKind::OnEdge) => NUT_ON_EDGE,
        (Part::Nut(_), SetupKind::OnEnd) => NUT_ON_END,
    };
    let target = target(part, setup)?;
    let mut programs: Vec<Program> = Vec::new();
    for (i, paths) in groups.iter().enumerate() {
        let name = format!("{}-{}.ngc", setup.name(), i + 1);
        let (text, marks) = marked(part, setup, &emit(title, setup, paths)?);
        let check = Check {
            setup,
            target: target.as_ref(),
            limits: CutTolerance::of(setup),
            loaded: paths.first().map_or(0, |p| p.cutter.number),
            start: programs.last().and_then(|p| p.report.left.as_ref()),
            last: i + 1 == groups.len(),
        };
        let report = verify(&text, &check);
        if !report.in_order() {
            let done = programs.into_iter().map(|p| (p.name, p.report));
            let reports = done.chain(std::iter::once((name, report))).collect();
            let notes = made.notes;
            return Err(PrepareError::Refused(Box::new(Refused { reports, notes })));
        }
        programs.push(Program {
            name,
            tools: paths.iter().map(|p| p.cutter.number).collect(),
            text,
            marks,
            report,
        });
    }
    let tools: Vec<u32> = made.paths.iter().map(|path| path.cutter.number).collect();
    let (heights, length) = heights(part, setup)?;
    Ok(Prepared {
        programs,
        notes: made.notes,
        registration,
        touch_off: setup.touches(&tools),
        heights,
        length,
    })
}

/// `text` with its marks, behind the lines of its head that name the setup and the machine.
fn marked(part: Part, setup: &Setup, text: &str) -> (String, Marks) {
    let marks = Marks::of(part, setup, text);
    let stock = text.rfind("\n(Stock: ").map_or(0, |at| at + 1);
    let (head, rest) = text.split_at(stock);
    let [mark, from] = marks.comments();
    (format!("{head}{mark}\n{from}\n{rest}"), marks)
}

/// The surface that the programs of `setup` leave.
///
/// # Errors
/// [`PassError`] if the stock does not hold the blank.
pub fn target<'a>(part: impl Into<Part<'a>>, setup: &Setup) -> Result<Box<dyn Target>, PassError> {
    let part = part.into();
    Ok(match (part, setup.kind) {
        (_, SetupKind::Flat) => Box::new(Outline::new(part, setup)?),
        (Part::Saddle(plan), SetupKind::OnEdge) => Box::new(Surface::new(plan, setup)?),
        (Part::Saddle(_), SetupKind::OnEnd) => return Err(PassError::OnEnd),
        (Part::Nut(plan), SetupKind::OnEdge | SetupKind::OnEnd) => {
            let prism = Prism::new(plan, setup)?;
            let (made, _) = grooves(plan, &prism, setup);
            Box::new(Grooved::new(prism, plan.blank.thickness, &made, setup))
        }
    })
}
