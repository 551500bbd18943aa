//! What readings are taken with: entries of a profile file, and how sure each is of what.

use instrument::{Of, Paired};
use serde::Deserialize;
use units::{LengthUnit, parse_angle, parse_cents};

use super::length::length;

/// Correlation of two readings by one tool where its entry says nothing; common practice, no source.
const USUAL_SHARED: f64 = 0.5;

/// A tool of the bench, with which readings are taken.
#[derive(Debug, Clone, PartialEq)]
pub struct BenchTool {
    /// Its name.
    pub name: String,
    /// What it can read, and how surely; of what is read at any fret the reading at fret 12 stands here.
    reads: Vec<(Of, SureTo)>,
    /// Not every shop has it: it is offered for further readings only where it is named.
    pub named_only: bool,
    /// Where its figures come from.
    pub source: String,
}

impl BenchTool {
    /// How sure its reading of this is; `None` where it cannot read it.
    #[must_use]
    pub fn reads(&self, of: Of) -> Option<SureTo> {
        let found = self.reads.iter().find(|(own, _)| own.is_like(of));
        found.map(|(_, sure)| *sure)
    }
}

/// How sure a tool is of one kind of reading: standard uncertainties.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SureTo {
    /// In the reading's own unit: mm, radians, cents.
    Own(Paired),
    /// As a share of what is read.
    Share(Paired),
}

impl SureTo {
    /// How sure a reading that comes to `value` is, in its own unit.
    #[must_use]
    pub fn at(self, value: f64) -> Paired {
        match self {
            Self::Own(sure) => sure,
            Self::Share(share) => Paired {
                shared: share.shared * value.abs(),
                each: share.each * value.abs(),
            },
        }
    }

    /// Correlation of two readings of it, 0 to 1.
    #[must_use]
    pub fn shared(self) -> f64 {
        let (Self::Own(sure) | Self::Share(sure)) = self;
        sure.correlation()
    }
}

/// What the uncertainty of a reading is told in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum SureIn {
    /// mm.
    Length,
    /// Radians.
    Angle,
    /// Cents.
    Cents,
    /// A share of what is read.
    Share,
}

impl SureIn {
    /// What that of a reading is told in.
    pub(crate) fn of(of: Of) -> Self {
        match of {
            Of::Lean => Self::Angle,
            Of::Cents { .. } => Self::Cents,
            Of::RadiusAtNut | Of::RadiusAt12 | Of::Inharmonicity => Self::Share,
            _ => Self::Length,
        }
    }

    /// An uncertainty told in it.
    pub(crate) fn sure(self, total: f64, shared: f64) -> SureTo {
        let paired = Paired::correlated(total, shared);
        match self {
            Self::Share => SureTo::Share(paired),
            _ => SureTo::Own(paired),
        }
    }
}

/// The kinds of readings by the words of the profile, which are the keys of the job file.
const KINDS: [(&str, Of); 18] = [
    ("nut_to_12", Of::NutTo12),
    ("relief", Of::Relief),
    ("radius", Of::RadiusAtNut),
    ("first_fret_clearance", Of::Clearance),
    ("held_at_3", Of::HeldAtThree),
    ("zero_fret_above", Of::ZeroFret),
    ("action", Of::Action { fret: 12 }),
    ("edge_from_fret_12", Of::SlotEdge),
    ("bridge_top", Of::BridgeTop),
    ("depth", Of::SlotDepth),
    ("lean", Of::Lean),
    ("contact_from_fret_12", Of::Contact),
    ("saddle_height", Of::SaddleHeight),
    ("saddle_back", Of::SaddleBack),
    ("exposure", Of::Exposure),
    ("over_bridge", Of::OverBridge),
    ("cents", Of::Cents { fret: 12 }),
    ("inharmonicity", Of::Inharmonicity),
];

/// What a profile calls a kind of reading: `action`, whatever the fret.
#[must_use]
pub fn reading_word(of: Of) -> &'static str {
    let found = KINDS.iter().find(|(_, own)| own.is_like(of));
    found.map_or("", |(word, _)| word)
}

/// Every kind of reading: what a profile calls it, and what it is called at the bench.
pub(crate) fn reading_words() -> impl Iterator<Item = (&'static str, &'static str)> {
    let named = |of: Of| match of {
        Of::NutTo12 => "Nut to fret 12",
        Of::Relief => "Relief",
        Of::RadiusAtNut | Of::RadiusAt12 => "Board radius",
        Of::Clearance => "First-fret clearance",
        Of::HeldAtThree => "Gap over fret 1, held at fret 3",
        Of::ZeroFret => "Zero fret above the others",
        Of::Action { .. } => "Action",
        Of::SlotEdge => "Slot edge from fret 12",
        Of::BridgeTop => "Bridge top",
        Of::SlotDepth => "Slot depth",
        Of::Lean => "Lean",
        Of::Contact => "Contact from fret 12",
        Of::SaddleHeight => "Saddle height",
        Of::SaddleBack => "Contact behind the front face",
        Of::Exposure => "Exposure",
        Of::OverBridge => "String over the bridge",
        Of::Cents { .. } => "Cents",
        Of::Inharmonicity => "Stiffness B",
    };
    KINDS.into_iter().map(move |(word, of)| (word, named(of)))
}

/// The kind of reading of a word of the profile.
#[cfg(test)]
pub(crate) fn read_as(word: &str) -> Of {
    KINDS.iter().find(|(own, _)| *own == word).unwrap().1
}

/// Why an entry cannot be used: its key and a sentence.
type Fault = (&'static str, String);

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ToolEntry {
    pub(super) name: String,
    reads: Vec<ReadsEntry>,
    #[serde(default)]
    named_only: bool,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ReadsEntry {
    of: Vec<String>,
    sure_to: String,
    shared: Option<f64>,
    /// Where the figure comes from, if not as the tool's; kept in the file for its readers.
    #[serde(rename = "source")]
    _source: Option<String>,
}

impl ToolEntry {
    pub(super) fn tool(&self) -> Result<BenchTool, Fault> {
        let mut reads: Vec<(Of, SureTo)> = Vec::new();
        for entry in &self.reads {
            let shared = entry.shared.unwrap_or(USUAL_SHARED);
            if !(0.0..=1.0).contains(&shared) {
                return Err(("shared", format!("{shared} is not a number from 0 to 1.")));
            }
            for word in &entry.of {
                let Some((_, of)) = KINDS.iter().find(|(name, _)| name == word) else {
                    let known: Vec<String> = KINDS.iter().map(|(name, _)| format!("\"{name}\"")).collect();
                    let what = format!("No reading is called \"{word}\". Known are {}.", known.join(", "));
                    return Err(("of", what));
                };
                if reads.iter().any(|(own, _)| own == of) {
                    return Err(("of", format!("\"{word}\" stands twice. Keep one of them.")));
                }
                let measure = SureIn::of(*of);
                reads.push((*of, measure.sure(sure_to(measure, &entry.sure_to)?, shared)));
            }
        }
        if reads.is_empty() {
            return Err(("of", "The tool reads nothing. Name what it can read.".to_owned()));
        }
        Ok(BenchTool {
            name: self.name.clone(),
            reads,
            named_only: self.named_only,
            source: self.source.clone(),
        })
    }
}

/// An uncertainty with its unit, above 0.
fn sure_to(measure: SureIn, text: &str) -> Result<f64, Fault> {
    let fault = |what: String| ("sure_to", what);
    let without = |unit: &str, example: &str| {
        fault(format!(
            "\"{text}\" is not in {unit}. Write it with its unit, as in \"{example}\"."
        ))
    };
    let bare = text.trim().parse::<f64>().is_ok();
    let read = match measure {
        SureIn::Length => length("sure_to", text)?,
        SureIn::Angle if bare => return Err(without("degrees", "1 deg")),
        SureIn::Angle => parse_angle(text, LengthUnit::Millimetre).map_err(|e| fault(format!("{e}.")))?,
        SureIn::Cents if bare => return Err(without("cents", "3 cents")),
        SureIn::Cents => parse_cents(text).map_err(|e| fault(format!("{e}.")))?,
        SureIn::Share => {
            let figure = text.trim().strip_suffix('%').map(|figure| figure.trim().parse::<f64>());
            match figure {
                Some(Ok(per_cent)) => per_cent / 100.0,
                _ => return Err(without("per cent", "5 %")),
            }
        }
    };
    if read.is_finite() && read > 0.0 {
        Ok(read)
    } else {
        Err(fault(format!("\"{text}\" is not above 0.")))
    }
}
