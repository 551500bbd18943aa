//! Which part a command is about.

use crate::failure::Failure;
use clap::{Args, ValueEnum};
use nut::NutPlan;

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

/// Both parts' documents of one command as one JSON object.
pub fn both_documents(saddle: &str, nut: &str) -> String {
    format!(
        "{{\n\"saddle\": {},\n\"nut\": {}\n}}\n",
        saddle.trim_end(),
        nut.trim_end()
    )
}

/// The parts that were chosen.
pub struct Chosen<'a> {
    /// The saddle is one of them.
    pub saddle: bool,
    /// The nut, if it is one of them.
    pub nut: Option<&'a NutPlan>,
}

impl PartArgs {
    /// For a job that makes a nut alone.
    ///
    /// # Errors
    /// [`Failure::Use`] if the saddle is asked for.
    pub fn nut_alone(&self) -> Result<(), Failure> {
        match self.part {
            None | Some(WhichPart::Nut) => Ok(()),
            Some(WhichPart::Saddle | WhichPart::Both) => Err(Failure::Use(
                "--part: this job makes a nut alone: it has no [slot] and no [blank], so the saddle stays. Leave --part out, or add \
                 both tables if a saddle is to be made."
                    .to_owned(),
            )),
        }
    }

    /// The parts of a job with this `nut` to make; `usual` is meant where none is named and there is one.
    ///
    /// # Errors
    /// [`Failure::Use`] if the nut is asked for but the job has none to make.
    pub fn chosen<'a>(&self, nut: Option<&'a NutPlan>, usual: WhichPart) -> Result<Chosen<'a>, Failure> {
        let part = match (self.part, nut) {
            (Some(WhichPart::Nut | WhichPart::Both), None) => {
                return Err(Failure::Use(
                    "--part: this job has no nut to make. Add a table [nut_blank], and nut.new_clearance or nut.new_held_at_3."
                        .to_owned(),
                ));
            }
            (Some(part), _) => part,
            (None, Some(_)) => usual,
            (None, None) => WhichPart::Saddle,
        };
        Ok(Chosen {
            saddle: part != WhichPart::Nut,
            nut: nut.filter(|_| part != WhichPart::Saddle),
        })
    }
}
