//! The work list: what stands in the way first, then the order of the work.

use crate::page::{closing, opening, stopped};
use crate::plan::stop_words;
use crate::steps::{stage_words, step_words};
use crate::wrap::wrapped;
use machining::PartKind;
use units::BenchUnit;
use work::{Planned, steps};

/// What the order of the work is good for.
pub const STEPS_ORDER: &str = "In this order nothing undoes what was done before (common practice).";

/// The work list, what stands in the way of a part first. At most [`crate::WIDTH`] columns wide.
#[must_use]
pub fn steps_page(done: &Planned, bench: BenchUnit) -> String {
    let mut text = opening(&done.job.title);
    if done.halts() {
        text += stopped(&stop_words(done, &PartKind::ALL, bench)).trim_end();
    } else {
        text += wrapped(STEPS_ORDER, "", "").trim_end();
    }
    text += "\n";
    for staged in steps(done) {
        text += &format!("\n{}\n\n", stage_words(&staged).to_uppercase());
        for (i, (_, step)) in staged.steps.iter().enumerate() {
            text += &wrapped(&step_words(step, bench), &format!("{:>2}. ", i + 1), "    ");
        }
    }
    text + &closing(done.hazards())
}
