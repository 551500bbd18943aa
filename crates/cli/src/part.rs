//! Which part a command is about.

use crate::failure::Failure;
use clap::Args;
use machining::PartKind;
use work::{NutWork, Planned, SaddleWork};

/// The part to make.
#[derive(Clone, PartialEq, Eq)]
pub enum WhichPart {
    /// The saddle, or all of several.
    Saddle,
    /// The nut, where the job has a table [nut_blank].
    Nut,
    /// Both.
    Both,
    /// One of several saddles, by its name.
    Named(String),
}

impl From<&str> for WhichPart {
    fn from(text: &str) -> Self {
        match text.to_ascii_lowercase().as_str() {
            "saddle" => Self::Saddle,
            "nut" => Self::Nut,
            "both" => Self::Both,
            name => Self::Named(name.to_owned()),
        }
    }
}

/// The parts that a command is about.
pub struct Chosen<'a> {
    /// The job with its plans: the whole, or that of one of several saddles where one is named.
    pub done: &'a Planned,
    /// Which of its parts, the saddle first.
    pub parts: Vec<PartKind>,
}

impl<'a> Chosen<'a> {
    /// The saddles that are meant, as far as they are planned, each in a job of its own where there are several.
    pub fn saddles(&self) -> Vec<SaddleWork<'a>> {
        let saddles = self.done.saddles().filter(|_| self.has(PartKind::Saddle));
        saddles.filter_map(Planned::saddle).collect()
    }

    /// The nut, if it is meant and planned.
    pub fn nut(&self) -> Option<NutWork<'a>> {
        self.done.nut().filter(|_| self.has(PartKind::Nut))
    }

    fn has(&self, part: PartKind) -> bool {
        self.parts.contains(&part)
    }
}

/// Which part is meant.
#[derive(Args)]
pub struct PartArgs {
    /// Saddle, nut or both [default: saddle; plan, draw and cut: both where the job has a nut to make; nut where the saddle stays]
    ///
    /// Where the job has several [[saddle]], "saddle" means all of them, and the name of one means that one.
    #[arg(long, value_name = "PART")]
    part: Option<WhichPart>,
}

impl PartArgs {
    /// The parts that are meant, the saddle first; `usual` where none is named and the job makes both.
    ///
    /// # Errors
    /// [`Failure::Use`] if a part is asked for that the job does not make.
    pub fn chosen<'a>(&self, done: &'a Planned, usual: &[PartKind]) -> Result<Chosen<'a>, Failure> {
        let asked: &[PartKind] = match &self.part {
            None => usual,
            Some(WhichPart::Saddle) => &[PartKind::Saddle],
            Some(WhichPart::Nut) => &[PartKind::Nut],
            Some(WhichPart::Both) => &PartKind::ALL,
            Some(WhichPart::Named(name)) => return of_name(done, name),
        };
        let made: Vec<PartKind> = PartKind::ALL.into_iter().filter(|part| done.makes(*part)).collect();
        if self.part.is_none() && made.len() == 1 {
            return Ok(Chosen { done, parts: made });
        }
        match asked.iter().find(|part| !made.contains(part)) {
            None => Ok(Chosen {
                done,
                parts: asked.to_vec(),
            }),
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

/// One of several saddles.
///
/// # Errors
/// [`Failure::Use`] if none has that name.
pub fn of_name<'a>(done: &'a Planned, name: &str) -> Result<Chosen<'a>, Failure> {
    let named = |one: &&Planned| one.job.name.as_deref() == Some(name);
    if let Some(done) = done.saddles().find(named) {
        return Ok(Chosen {
            done,
            parts: vec![PartKind::Saddle],
        });
    }
    let names: Vec<&str> = done.saddles().filter_map(|one| one.job.name.as_deref()).collect();
    let mut known = vec!["saddle", "nut", "both"];
    known.extend(names);
    Err(Failure::Use(format!(
        "--part: there is no part \"{name}\". This job knows {}.",
        known.join(", ")
    )))
}
