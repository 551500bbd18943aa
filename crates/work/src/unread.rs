//! Why what was read gives no instrument, in words.

use crate::doubted::{Doubted, contradicted};
use instrument::{At, Of, SlotSurvey};
use known::{Figure, KnownError, What};
use std::fmt;

/// Why what was read gives no instrument.
#[derive(Debug, Clone, PartialEq)]
pub struct Unread {
    /// Why.
    pub error: KnownError,
    /// Numbers of the strings, bass to treble.
    pub numbers: Vec<u32>,
    /// Whether the slot was read by a saddle of known size.
    pub by_reference: bool,
    /// Where the readings contradict each other: what does not fit, the furthest off first.
    pub doubted: Vec<Doubted>,
}

impl Unread {
    /// Each figure that is not told, with the readings any of which would settle it.
    #[must_use]
    pub fn missing(&self) -> Vec<(Figure, Vec<Of>)> {
        let KnownError::Undetermined(figures) = &self.error else {
            return Vec::new();
        };
        let settled = |figure: &Figure| (*figure, settled_by(*figure, self.by_reference));
        figures.iter().map(settled).collect()
    }

    pub(crate) fn of(error: KnownError, job: &job::Job) -> Self {
        let slot = job.saddle.as_ref().map(|made| made.survey.slot);
        let seen = known::Seen {
            instrument: &job.instrument,
            slot: job.saddle.as_ref().map(|made| made.survey.slot_seen()),
            readings: &job.readings,
            unsure: &job.uncertainty,
            strung: &[],
        };
        let doubted = match error {
            KnownError::NotSettled => contradicted(&seen),
            _ => Vec::new(),
        };
        Self {
            error,
            numbers: job.instrument.strings.iter().map(|s| s.number).collect(),
            doubted,
            by_reference: matches!(slot, Some(SlotSurvey::Reference(_))),
        }
    }

    fn string(&self, at: usize) -> String {
        let number = self.numbers.get(at).copied().unwrap_or_default();
        format!("string {number}")
    }

    fn unweighed(&self, f: &mut fmt::Formatter<'_>, figure: Figure) -> fmt::Result {
        let figure = self.figure(figure);
        write!(f, "how sure {figure} is cannot be weighed: look at [uncertainty]")
    }

    fn figure(&self, figure: Figure) -> String {
        let end = |end: usize| if end == 0 { "bass" } else { "treble" };
        match figure {
            Figure::Stretch => "the scale length".to_owned(),
            Figure::Relief => "the relief".to_owned(),
            Figure::RadiusAtNut => "the radius of the board at the nut".to_owned(),
            Figure::RadiusAt12 => "the radius of the board at fret 12".to_owned(),
            Figure::Lean => "the lean".to_owned(),
            Figure::SlotPlace(e) if self.by_reference => {
                format!("the place of the reference saddle's {} contact", end(e))
            }
            Figure::SlotHeight(e) if self.by_reference => {
                format!("the height of the reference saddle at its {} end", end(e))
            }
            Figure::SlotThird(e) if self.by_reference => {
                format!("how far back the reference saddle's {} contact is", end(e))
            }
            Figure::SlotPlace(e) => format!("the place of the slot's {} end", end(e)),
            Figure::SlotHeight(e) => format!("the height of the bridge top at the {} end", end(e)),
            Figure::SlotThird(e) | Figure::ReferenceDepth(e) => format!("the depth of the slot at its {} end", end(e)),
            Figure::Nut(at) => format!("where {} lies in the nut", self.string(at)),
            Figure::Action(at) => format!("the present action of {}", self.string(at)),
            Figure::Contact(at) => format!("the present contact of {}", self.string(at)),
            Figure::Axial(at) | Figure::Bending(at) | Figure::Mass(at) => {
                format!("the stiffness of {}", self.string(at))
            }
            Figure::Pull(at) | Figure::MadePull(at) => format!("the pitch of {}", self.string(at)),
            Figure::FloorBow => "the bow of the slot's floor".to_owned(),
            Figure::OldSeat(e) => format!("the seat of the present saddle at its {} end", end(e)),
            Figure::Straightedge => "the straightedge's own error".to_owned(),
            Figure::Ends => "how the ends of the strings hold".to_owned(),
            Figure::StandOff => "the stand-off of the strings".to_owned(),
            Figure::Tool(_, of) => format!("what the tool reads too much of the {}", of_words(of)),
            Figure::Risen => "the relief after stringing up".to_owned(),
            Figure::MadeSeat(_) => "the seat of the new saddle".to_owned(),
            Figure::MadeHeight(at) | Figure::MadeBack(at) => format!("the new contact of {}", self.string(at)),
            Figure::NewSlot(at) => format!("the new nut slot of {}", self.string(at)),
            Figure::NeckDrift(visit) => format!("the relief on visit {visit}"),
            Figure::TopDrift(visit) => format!("the bridge top on visit {visit}"),
        }
    }
}

/// Readings any of which would settle a figure.
fn settled_by(figure: Figure, by_reference: bool) -> Vec<Of> {
    const ACTION: Of = Of::Action { fret: 12 };
    match figure {
        Figure::Stretch => vec![Of::NutTo12],
        Figure::Relief | Figure::NeckDrift(_) => vec![Of::Relief],
        Figure::RadiusAtNut => vec![Of::RadiusAtNut],
        Figure::RadiusAt12 => vec![Of::RadiusAt12],
        Figure::Lean => vec![Of::Lean],
        Figure::SlotPlace(_) if by_reference => vec![Of::Contact],
        Figure::SlotHeight(_) if by_reference => vec![Of::SaddleHeight],
        Figure::SlotThird(_) if by_reference => vec![Of::SaddleBack],
        Figure::SlotPlace(_) => vec![Of::SlotEdge, Of::Contact],
        Figure::SlotHeight(_) | Figure::TopDrift(_) => vec![Of::BridgeTop, Of::OverBridge],
        Figure::SlotThird(_) | Figure::ReferenceDepth(_) => vec![Of::SlotDepth, Of::SaddleHeight],
        Figure::Nut(_) => vec![Of::Clearance, Of::HeldAtThree],
        Figure::Action(_) => vec![ACTION, Of::OverBridge],
        Figure::Contact(_) => vec![Of::Contact, Of::SaddleBack],
        Figure::Axial(_) | Figure::Bending(_) | Figure::Mass(_) => vec![Of::Inharmonicity, Of::Cents { fret: 12 }],
        Figure::Pull(_) | Figure::MadePull(_) => vec![Of::Cents { fret: 12 }],
        Figure::FloorBow | Figure::OldSeat(_) | Figure::StandOff => vec![Of::SaddleHeight],
        Figure::Straightedge => vec![Of::BridgeTop],
        Figure::Risen => vec![Of::Relief],
        Figure::MadeSeat(_) | Figure::MadeHeight(_) => vec![ACTION],
        Figure::MadeBack(_) => vec![Of::Contact],
        Figure::NewSlot(_) => vec![Of::Clearance],
        Figure::Ends => vec![Of::Cents { fret: 12 }],
        Figure::Tool(_, of) => vec![of],
    }
}

/// What a reading is of, in the words of the bench.
#[must_use]
pub fn of_words(of: Of) -> String {
    let words = match of {
        Of::NutTo12 => "length from nut to fret 12",
        Of::Relief => "relief",
        Of::RadiusAtNut => "radius at the nut",
        Of::RadiusAt12 => "radius at fret 12",
        Of::Clearance => "gap over fret 1",
        Of::HeldAtThree => "gap over fret 1, held at fret 3",
        Of::ZeroFret => "height of the zero fret",
        Of::Action { fret } => return format!("action at fret {fret}"),
        Of::SlotEdge => "distance from fret 12 to the slot's edge",
        Of::BridgeTop => "bridge top against the straightedge",
        Of::SlotDepth => "depth of the slot",
        Of::Lean => "lean",
        Of::Contact => "distance from fret 12 to the present contact",
        Of::SaddleHeight => "height of the present saddle",
        Of::SaddleBack => "contact's distance back on the present saddle",
        Of::Exposure => "exposure of the present saddle",
        Of::OverBridge => "height of the string over the bridge",
        Of::Cents { fret } => return format!("pitch at fret {fret}"),
        Of::Inharmonicity => "inharmonicity",
    };
    words.to_owned()
}

impl fmt::Display for Unread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.error {
            KnownError::Undetermined(_) => {
                write!(f, "what was read and is not doubted does not tell ")?;
                for (i, (figure, by)) in self.missing().into_iter().enumerate() {
                    let by: Vec<String> = by.into_iter().map(of_words).collect();
                    let before = if i == 0 { "" } else { "; nor " };
                    write!(
                        f,
                        "{before}{} (read again the {})",
                        self.figure(figure),
                        by.join(", or the ")
                    )?;
                }
                write!(f, ". Add a round of [[readings]], or take a doubt back")
            }
            KnownError::Row(row) => match row.what {
                What::Read(of, at) => {
                    let place = match at {
                        At::Whole => String::new(),
                        At::End(0) => " at the bass end".to_owned(),
                        At::End(_) => " at the treble end".to_owned(),
                        At::String(at) => format!(" of {}", self.string(at)),
                    };
                    write!(
                        f,
                        "the {}{place} cannot be had of this instrument, or is sure to nothing that can be weighed. Look at its value and \
                         its \"sure_to\", or strike it out with a doubt",
                        of_words(of)
                    )
                }
                What::Before(figure) | What::Between { inner: figure, .. } => self.unweighed(f, figure),
                What::Strung(of, at) => write!(
                    f,
                    "the {} of {} after stringing up cannot be weighed: look at its value",
                    of_words(of),
                    self.string(at)
                ),
                What::Tied { string, .. } => self.unweighed(f, Figure::Bending(string)),
            },
            KnownError::NotSettled => write!(
                f,
                "the readings contradict each other so much that no instrument is near them. Look for a slip of a whole unit or sign, or \
                 strike out with a doubt what is not believed"
            ),
        }
    }
}

impl std::error::Error for Unread {}
