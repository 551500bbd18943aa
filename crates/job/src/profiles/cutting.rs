//! Cutters, machines and how materials are cut: entries of a profile file, and what they become.

use machining::{Cutter, CutterShape, LINE_MOST, Machine, Material, ToolLengths, Words};
use serde::Deserialize;

use super::length::length;

/// Why an entry cannot be used: its key and a sentence.
type Fault = (&'static str, String);

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CutterEntry {
    pub(super) name: String,
    number: u32,
    shape: ShapeEntry,
    diameter: String,
    corner_radius: Option<String>,
    tip_radius: Option<String>,
    tip: Option<String>,
    /// Degrees.
    side_angle: Option<f64>,
    flutes: u32,
    cutting_length: String,
    stick_out: String,
    shank: String,
    collet: String,
    #[serde(rename = "source")]
    _source: String,
}

#[derive(Deserialize, Clone, Copy)]
enum ShapeEntry {
    #[serde(rename = "flat")]
    Flat,
    #[serde(rename = "corner")]
    Corner,
    #[serde(rename = "ball")]
    Ball,
    #[serde(rename = "tapered ball")]
    TaperedBall,
    #[serde(rename = "V")]
    Vee,
    #[serde(rename = "saw")]
    Saw,
}

/// Highest tool number; many controllers have no more.
const NUMBER: u32 = 99;

impl CutterEntry {
    pub(super) fn cutter(&self) -> Result<Cutter, Fault> {
        if !(1..=NUMBER).contains(&self.number) {
            return Err(("number", format!("Tool numbers run from 1 to {NUMBER}.")));
        }
        let needed = |key: &'static str, text: &Option<String>| match text {
            Some(text) => length(key, text),
            None => Err((key, format!("`{key}` is missing; a cutter of this shape has it."))),
        };
        let half_angle = || match self.side_angle {
            Some(degrees) if degrees > 0.0 && degrees < 90.0 => Ok(degrees.to_radians()),
            _ => Err((
                "side_angle",
                "It is the angle of the cone's side to the axis, more than 0 and less than 90 degrees.".to_owned(),
            )),
        };
        let shape = match self.shape {
            ShapeEntry::Flat => CutterShape::Flat,
            ShapeEntry::Corner => CutterShape::Corner {
                radius: needed("corner_radius", &self.corner_radius)?,
            },
            ShapeEntry::Ball => CutterShape::Ball,
            ShapeEntry::TaperedBall => CutterShape::TaperedBall {
                radius: needed("tip_radius", &self.tip_radius)?,
                half_angle: half_angle()?,
            },
            ShapeEntry::Vee => CutterShape::Vee {
                tip: self.tip.as_ref().map_or(Ok(0.0), |tip| length("tip", tip))?,
                half_angle: half_angle()?,
            },
            ShapeEntry::Saw => CutterShape::Saw,
        };
        let uses = |key: &str| match self.shape {
            ShapeEntry::Flat | ShapeEntry::Ball | ShapeEntry::Saw => false,
            ShapeEntry::Corner => key == "corner_radius",
            ShapeEntry::TaperedBall => matches!(key, "tip_radius" | "side_angle"),
            ShapeEntry::Vee => matches!(key, "tip" | "side_angle"),
        };
        for (key, given) in [
            ("corner_radius", self.corner_radius.is_some()),
            ("tip_radius", self.tip_radius.is_some()),
            ("tip", self.tip.is_some()),
            ("side_angle", self.side_angle.is_some()),
        ] {
            if given && !uses(key) {
                return Err((key, "A cutter of this shape has none. Leave it out.".to_owned()));
            }
        }
        let cutter = Cutter {
            name: self.name.clone(),
            number: self.number,
            shape,
            diameter: length("diameter", &self.diameter)?,
            flutes: self.flutes,
            cutting_length: length("cutting_length", &self.cutting_length)?,
            stick_out: length("stick_out", &self.stick_out)?,
            shank_diameter: length("shank", &self.shank)?,
            collet_diameter: length("collet", &self.collet)?,
        };
        cutter.check().map_err(|error| ("", format!("{error}.")))?;
        Ok(cutter)
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct MachineEntry {
    pub(super) name: String,
    travel: [String; 3],
    /// mm/min.
    feed_most: [f64; 3],
    /// mm/min.
    rapid: [f64; 3],
    /// mm/s2.
    acceleration: [f64; 3],
    /// rev/min.
    spindle: [f64; 2],
    /// s.
    spindle_up: f64,
    corner: String,
    unit: UnitEntry,
    arcs: bool,
    tool_lengths: Option<String>,
    /// As profiles had it before: it says nothing of lengths, so that each tool has a program of its own.
    tool_change: Option<bool>,
    top_z: Option<String>,
    line_most: Option<usize>,
    g: Vec<String>,
    m: Vec<String>,
    letters: String,
    #[serde(rename = "source")]
    _source: String,
}

#[derive(Deserialize, Clone, Copy, PartialEq)]
#[serde(rename_all = "lowercase")]
enum UnitEntry {
    Mm,
    In,
}

/// Longest time that a spindle takes to come to speed, s.
const SPINDLE_UP: f64 = 60.0;
/// Widest rounding of a corner, mm.
const CORNER: f64 = 1.0;
/// Shortest and longest line that a machine is said to take, characters: marks and arcs need the one, the language ends at the other
/// (NISTIR 6556, section 3.3).
const LINE: (usize, usize) = (60, 256);

impl MachineEntry {
    pub(super) fn machine(&self) -> Result<Machine, Fault> {
        for (key, values) in [
            ("feed_most", &self.feed_most[..]),
            ("rapid", &self.rapid),
            ("acceleration", &self.acceleration),
            ("spindle", &self.spindle),
        ] {
            if !values.iter().all(|v| v.is_finite() && *v > 0.0) {
                return Err((key, "Each is a number above 0.".to_owned()));
            }
        }
        if self.spindle[0] > self.spindle[1] {
            return Err(("spindle", "The slowest speed comes first, then the fastest.".to_owned()));
        }
        if !(0.0..=SPINDLE_UP).contains(&self.spindle_up) {
            return Err(("spindle_up", format!("It is a time of 0 to {SPINDLE_UP} s.")));
        }
        let corner = length("corner", &self.corner)?;
        if !(0.0..=CORNER).contains(&corner) {
            return Err(("corner", format!("It is a length of 0 to {CORNER} mm.")));
        }
        let mut travel = [0.0; 3];
        for (to, text) in travel.iter_mut().zip(&self.travel) {
            *to = length("travel", text)?;
            if *to <= 0.0 {
                return Err(("travel", "Each is a length above 0.".to_owned()));
            }
        }
        let words = Words {
            g: codes("g", 'G', &self.g)?,
            m: codes("m", 'M', &self.m)?,
            letters: self.letters.chars().collect(),
        };
        if !self.letters.chars().all(|c| c.is_ascii_uppercase()) {
            return Err((
                "letters",
                "It is a row of capital letters, such as \"XYZIJFS\".".to_owned(),
            ));
        }
        let top_z = self.top_z.as_ref().map(|text| length("top_z", text)).transpose()?;
        if top_z.is_none() && words.takes_g(530) {
            return Err((
                "top_z",
                "G53 is among its words, so `top_z` is needed: Z of the upper end of the travel in the machine's own coordinates."
                    .to_owned(),
            ));
        }
        let line_most = self.line_most.unwrap_or(LINE_MOST);
        if !(LINE.0..=LINE.1).contains(&line_most) {
            return Err((
                "line_most",
                format!("It is a number of characters from {} to {}.", LINE.0, LINE.1),
            ));
        }
        let tool_lengths = self.lengths()?;
        let lacks = |ok: bool, what: &str| {
            if ok {
                return Ok(());
            }
            let way = self.tool_lengths.as_deref().unwrap_or_default();
            let why = format!("A machine with tool_lengths = \"{way}\" needs {what} among its words.");
            Err(("tool_lengths", why))
        };
        let has_letter = |letter: char| words.letters.contains(&letter);
        match tool_lengths {
            ToolLengths::Table => lacks(
                words.takes_g(430) && words.m.contains(&60) && has_letter('T') && has_letter('H'),
                "G43, M6, T and H",
            )?,
            ToolLengths::TouchOff => lacks(words.m.contains(&0), "M0")?,
            ToolLengths::OneProgram => {}
        }
        Ok(Machine {
            name: self.name.clone(),
            travel,
            feed_most: self.feed_most,
            rapid: self.rapid,
            acceleration: self.acceleration,
            spindle: (self.spindle[0], self.spindle[1]),
            spindle_up: self.spindle_up,
            corner,
            inch: self.unit == UnitEntry::In,
            arcs: self.arcs,
            tool_lengths,
            top_z,
            line_most,
            words,
        })
    }

    fn lengths(&self) -> Result<ToolLengths, Fault> {
        let Some(text) = &self.tool_lengths else {
            return Ok(ToolLengths::OneProgram);
        };
        if self.tool_change.is_some() {
            return Err((
                "tool_change",
                "`tool_lengths` says how tools are changed. Leave `tool_change` out.".to_owned(),
            ));
        }
        let found = ToolLengths::NAMES.into_iter().find(|(name, _)| name == text);
        found.map(|(_, way)| way).ok_or_else(|| {
            let names = ToolLengths::NAMES.map(|(name, _)| format!("\"{name}\""));
            ("tool_lengths", format!("It is one of {}.", names.join(", ")))
        })
    }
}

/// Codes such as `G91.1` as ten times their number.
fn codes(key: &'static str, letter: char, words: &[String]) -> Result<Vec<u32>, Fault> {
    let code = |word: &String| {
        let digits = word.strip_prefix(letter)?;
        let (whole, tenth) = digits.split_once('.').unwrap_or((digits, "0"));
        let plain = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
        if !(plain(whole) && plain(tenth) && whole.len() <= 3 && tenth.len() == 1) {
            return None;
        }
        Some(10 * whole.parse::<u32>().ok()? + tenth.parse::<u32>().ok()?)
    };
    let each = words.iter().map(|word| {
        code(word).ok_or_else(|| {
            (
                key,
                format!(
                    "\"{}\" is no {letter} word. Write them as \"{letter}1\".",
                    crate::problem::printable(word)
                ),
            )
        })
    });
    each.collect()
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CuttingEntry {
    pub(super) name: String,
    chip_least: String,
    chip: String,
    chip_most: String,
    step_down: f64,
    step_over: f64,
    /// m/min.
    speed_most: f64,
    source: String,
}

impl CuttingEntry {
    pub(super) fn material(&self) -> Result<Material, Fault> {
        let chips = [
            length("chip_least", &self.chip_least)?,
            length("chip", &self.chip)?,
            length("chip_most", &self.chip_most)?,
        ];
        if !(chips[0] > 0.0 && chips.windows(2).all(|pair| pair[0] <= pair[1])) {
            return Err((
                "chip",
                "The thinnest chip is above 0, then comes the wanted one, then the thickest.".to_owned(),
            ));
        }
        for (key, value, most) in [("step_down", self.step_down, 2.0), ("step_over", self.step_over, 1.0)] {
            if !(value > 0.0 && value <= most) {
                return Err((
                    key,
                    format!("It is a share of the cutter's diameter, above 0 and at most {most}."),
                ));
            }
        }
        if !(self.speed_most.is_finite() && self.speed_most > 0.0) {
            return Err(("speed_most", "It is a number above 0, in m/min.".to_owned()));
        }
        let [chip_least, chip, chip_most] = chips;
        Ok(Material {
            name: self.name.clone(),
            chip_least,
            chip,
            chip_most,
            step_down: self.step_down,
            step_over: self.step_over,
            speed_most: self.speed_most,
            source: self.source.clone(),
        })
    }
}
