//! Which part a command is about.

use crate::failure::Failure;
use clap::{Args, ValueEnum};
use machining::PartKind;
use work::Planned;

/// The part to make.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum WhichPart {
    /// The saddle
    Saddle,
    /// The nut, where the job has a table [nut_blank]
    Nut,
    /// Both
    Both,
}

/// Which part is meant.
#[derive(Args)]
pub struct PartArgs {
    /// Saddle, nut or both [default: saddle; plan, draw and cut: both where the job has a nut to make; nut where the saddle stays]
    #[arg(long, value_name = "PART")]
    part: Option<WhichPart>,
}

impl PartArgs {
    /// The parts that are meant, the saddle first; `usual` where none is named and the job makes both.
    ///
    /// # Errors
    /// [`Failure::Use`] if a part is asked for that the job does not make.
    pub fn chosen(&self, done: &Planned, usual: &[PartKind]) -> Result<Vec<PartKind>, Failure> {
        let asked: &[PartKind] = match self.part {
            None => usual,
            Some(WhichPart::Saddle) => &[PartKind::Saddle],
            Some(WhichPart::Nut) => &[PartKind::Nut],
            Some(WhichPart::Both) => &PartKind::ALL,
        };
        let made: Vec<PartKind> = PartKind::ALL.into_iter().filter(|part| done.makes(*part)).collect();
        if self.part.is_none() && made.len() == 1 {
            return Ok(made);
        }
        match asked.iter().find(|part| !made.contains(part)) {
            None => Ok(asked.to_vec()),
            Some(PartKind::Saddle) => Err(Failure::Use(
                "--part: this job makes a nut alone: it has no [slot] and no [blank], so the saddle stays. Leave --part out, or add \
                 both tables if a saddle is to be made."
                    .to_owned(),
            )),
            Some(PartKind::Nut) => Err(Failure::Use(
                "--part: this job has no nut to make. Add a table [nut_blank], and nut.new_clearance or nut.new_held_at_3.".to_owned(),
            )),
        }
    }
}
