//! A short question as it is typed: texts into figures. What is left empty is taken as usual.

use saddle::Bare;
use units::{BenchUnit, LengthUnit, ReadError, parse_angle, parse_cents, parse_length};

use crate::short::{ShortAsk, USUAL};

/// A short question, as typed.
#[derive(Debug, Clone, Copy, Default)]
pub struct ShortTyped<'a> {
    /// `filed`, `sharp`, `action`, `gap` or `relief`.
    pub question: &'a str,
    /// Its figure: a length with its unit; cents for `sharp`.
    pub by: &'a str,
    /// Fret over which the action is to change; 12 if empty.
    pub fret: &'a str,
    /// Lean of the saddle.
    pub lean: &'a str,
    /// Fall of the crown.
    pub fall: &'a str,
    /// Scale length.
    pub scale: &'a str,
    /// Contact beyond the scale's end.
    pub setback: &'a str,
    /// Action at fret 12.
    pub action: &'a str,
    /// Gap over fret 1.
    pub gap: &'a str,
    /// Fret at the body joint.
    pub joint: &'a str,
}

/// Why a text is no figure.
#[derive(Debug, Clone, PartialEq)]
pub enum ShortUnread {
    /// There is no such question.
    NoQuestion,
    /// A length that does not say its unit, as typed.
    NoUnit(String),
    /// No number of a fret, as typed.
    NoFret(String),
    /// It cannot be read.
    Unread(ReadError),
}

/// What was read of it: the question, what is taken, and the units that it is asked in.
pub type ShortRead = (ShortAsk, Bare, BenchUnit);

impl ShortTyped<'_> {
    /// The figures.
    ///
    /// # Errors
    /// Every text that is no figure, with its name.
    pub fn read(&self) -> Result<ShortRead, Vec<(&'static str, ShortUnread)>> {
        let mut unread = Vec::new();
        let mut keep = |name, read: Result<f64, ShortUnread>| {
            read.unwrap_or_else(|why| {
                unread.push((name, why));
                f64::NAN
            })
        };
        let by = keep(
            "by",
            match self.question {
                "sharp" => parse_cents(self.by).map_err(ShortUnread::Unread),
                _ => length(self.by),
            },
        );
        let mut or = |name, text: &str, usual: f64, read: fn(&str) -> Result<f64, ShortUnread>| match text.trim() {
            "" => usual,
            text => keep(name, read(text)),
        };
        let bare = Bare {
            lean: or("lean", self.lean, USUAL.lean, angle),
            fall: or("fall", self.fall, USUAL.fall, angle),
            scale: or("scale", self.scale, USUAL.scale, length),
            setback: or("setback", self.setback, USUAL.setback, length),
            action_12: or("action", self.action, USUAL.action_12, length),
            gap_1: or("gap", self.gap, USUAL.gap_1, length),
            ..USUAL
        };
        let mut or_fret = |name, text: &str, usual| match text.trim() {
            "" => usual,
            text => text.parse().unwrap_or_else(|_| {
                unread.push((name, ShortUnread::NoFret(text.to_owned())));
                usual
            }),
        };
        let fret = or_fret("fret", self.fret, 12);
        let bare = Bare {
            joint_fret: or_fret("joint", self.joint, USUAL.joint_fret),
            ..bare
        };
        let ask = match self.question {
            "filed" => Some(ShortAsk::Filed { forward: by }),
            "sharp" => Some(ShortAsk::Sharp { cents: by }),
            "action" => Some(ShortAsk::Action { down: by, fret }),
            "gap" => Some(ShortAsk::Gap { high: by }),
            "relief" => Some(ShortAsk::Relief { more: by }),
            _ => None,
        };
        if ask.is_none() {
            unread.push(("question", ShortUnread::NoQuestion));
        }
        match ask {
            Some(ask) if unread.is_empty() => Ok((ask, bare, self.bench())),
            _ => Err(unread),
        }
    }

    /// The units of its first length: metric, or imperial.
    #[must_use]
    pub fn bench(&self) -> BenchUnit {
        let lengths = [self.by, self.scale, self.action, self.gap, self.setback];
        match lengths.into_iter().find(|text| says_unit(text)) {
            Some(text) if text.contains("mm") || text.contains("cm") => BenchUnit::METRIC,
            _ => BenchUnit::IMPERIAL,
        }
    }
}

/// Whether a text has more in it than a number.
fn says_unit(text: &str) -> bool {
    text.contains(|c: char| c.is_alphabetic() || matches!(c, '"' | '″'))
}

/// A length that says its unit, mm.
///
/// # Errors
/// [`ShortUnread`].
pub fn length(text: &str) -> Result<f64, ShortUnread> {
    if !text.trim().is_empty() && !says_unit(text) {
        return Err(ShortUnread::NoUnit(text.trim().to_owned()));
    }
    parse_length(text, LengthUnit::Millimetre).map_err(ShortUnread::Unread)
}

fn angle(text: &str) -> Result<f64, ShortUnread> {
    parse_angle(text, LengthUnit::Millimetre).map_err(ShortUnread::Unread)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_become_figures() {
        let typed = ShortTyped {
            question: "filed",
            by: "1/32 in",
            lean: "18 deg",
            ..ShortTyped::default()
        };
        let (ask, bare, bench) = typed.read().unwrap();
        assert_eq!(
            (ask, bench),
            (ShortAsk::Filed { forward: 0.79375 }, BenchUnit::IMPERIAL)
        );
        assert!((bare.lean.to_degrees() - 18.0).abs() < 1e-12 && bare.scale == USUAL.scale);
        // Cents have no unit, so the scale's is answered in.
        let typed = ShortTyped {
            question: "sharp",
            by: "4",
            scale: "645 mm",
            ..ShortTyped::default()
        };
        let (ask, bare, bench) = typed.read().unwrap();
        assert_eq!(
            (ask, bare.scale, bench),
            (ShortAsk::Sharp { cents: 4.0 }, 645.0, BenchUnit::METRIC)
        );
        let typed = ShortTyped {
            question: "what",
            by: "1/32",
            lean: "steep",
            joint: "x",
            ..ShortTyped::default()
        };
        let names: Vec<_> = typed.read().unwrap_err().into_iter().map(|(name, _)| name).collect();
        assert_eq!(names, ["by", "lean", "joint", "question"]);
    }
}
