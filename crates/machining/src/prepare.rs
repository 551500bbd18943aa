//! From a plan to programs that have been checked, or to the reasons why there is none.

use crate::emit::{EmitError, emit};
use crate::outline::Outline;
use crate::{PassError, Setup, SetupKind, Surface, Target, Toolpath, toolpaths};
use saddle::Plan;
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
}

const ON_EDGE: &str = "The front face on the fixed jaw and the bottom edge on the parallel are the datums of both setups. \
Cut the crown on edge first, while the stock is a full block; then lay it on its front face and cut the outline with the same \
end against the stop, X zero at the same end.";
const FLAT: &str = "The front face on the table and the bottom edge along Y zero are the datums of both setups. Set the \
bottom edge against a straight stop parallel to X, and X zero at the same end of the stock as on edge.";

/// Toolpaths and texts for `plan` in `setup`: all tools in one program where the machine changes tools, else one program
/// for each tool.
///
/// # Errors
/// [`PrepareError`] if there is no toolpath, or no text for this machine.
pub fn prepare(plan: &Plan, title: &str, setup: &Setup) -> Result<Prepared, PrepareError> {
    let made = toolpaths(plan, setup)?;
    let groups: Vec<Vec<&Toolpath>> = if setup.machine.tool_change {
        vec![made.paths.iter().collect()]
    } else {
        made.paths.iter().map(|path| vec![path]).collect()
    };
    let (kind, registration) = match setup.kind {
        SetupKind::OnEdge => ("on-edge", ON_EDGE),
        SetupKind::Flat => ("flat", FLAT),
    };
    let mut programs = Vec::new();
    for (i, paths) in groups.iter().enumerate() {
        programs.push(Program {
            name: format!("{kind}-{}.ngc", i + 1),
            tools: paths.iter().map(|p| p.cutter.number).collect(),
            text: emit(title, setup, paths)?,
        });
    }
    Ok(Prepared {
        programs,
        notes: made.notes,
        registration,
    })
}

/// The surface that the programs of `setup` leave.
///
/// # Errors
/// [`PassError`] if the stock does not hold the blank.
pub fn target(plan: &Plan, setup: &Setup) -> Result<Box<dyn Target>, PassError> {
    Ok(match setup.kind {
        SetupKind::OnEdge => Box::new(Surface::new(plan, setup)?),
        SetupKind::Flat => Box::new(Outline::new(plan, setup)?),
    })
}
