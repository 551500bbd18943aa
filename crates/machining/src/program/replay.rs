//! Does what a machine would do with the words of a program.
//!
//! Assumed at the start: tool tip at program (0, 0, 0), spindle and coolant off, millimetres, G17, G90, no motion mode, the
//! wanted work offset in force. Within a line the order is that of NISTIR 6556 (2000), table 8.

use thiserror::Error;

use super::arc::{ArcFault, ArcWords, arc};
use super::code::written;
use super::read::{Line, Word};
use crate::{Motion, MotionKind, Plane};

/// Millimetres in an inch, exact.
const INCH: f64 = 25.4;

/// Why a line cannot be carried out.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum ReplayFault {
    /// A feed move without a feed.
    #[error("a cutting move has no feed; write F before it")]
    NoFeed,
    /// Coordinates without a motion in force.
    #[error("coordinates stand without G0, G1, G2 or G3 in force")]
    NoMotion,
    /// A motion word without coordinates.
    #[error("{0} has no coordinates")]
    NoCoordinates(String),
    /// An arc that is none.
    #[error("{0}")]
    Arc(#[from] ArcFault),
    /// Words that have nothing to do here.
    #[error("{0} has no use on this line; take it out or add what it belongs to")]
    Unused(char),
    /// Feed and unit on one line.
    #[error(
        "the unit changes on a line that also sets the feed, and controllers differ in what that means; use two lines"
    )]
    UnitsAndFeed,
    /// Feed mode other than per minute.
    #[error("G93 is not taken; feeds are per minute (G94)")]
    InverseTime,
    /// Feed or speed of less than nought.
    #[error("{0} is less than nought")]
    Negative(char),
    /// Tool number that is none.
    #[error("T{0} is no tool number")]
    ToolNumber(f64),
    /// Tool change without a tool.
    #[error("M6 without a tool number; write T and the number before it")]
    NoTool,
    /// Spindle started without a speed.
    #[error("the spindle is started without a speed; write S on the same line or before")]
    NoSpeed,
    /// Dwell without its time.
    #[error("G4 has no time; write P and the seconds")]
    NoDwell,
    /// Words after the program's end.
    #[error("words stand behind the end of the program, where no controller reads them")]
    AfterEnd,
}

/// A fault with its line.
#[derive(Debug, Clone, PartialEq, Error)]
#[error("line {line}: {fault}")]
pub struct ReplayError {
    /// Line of the text, from 1.
    pub line: u32,
    /// What is wrong.
    pub fault: ReplayFault,
}

/// Something that happens between motions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum EventKind {
    /// Spindle starts: speed in rev/min, and whether it turns the cutting way (M3).
    Spindle(f64, bool),
    /// Spindle stops.
    SpindleOff,
    /// Another tool is put in.
    Tool(u32),
    /// Tool is called for but not yet put in.
    Select(u32),
    /// The machine waits, seconds.
    Dwell(f64),
    /// The program waits for the operator.
    Pause,
    /// Program end.
    End,
    /// A G word that sets a mode, in tenths.
    Mode(u32),
}

/// An event with its place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Event {
    /// Line of the text, from 1.
    pub line: u32,
    /// How many motions went before.
    pub after: usize,
    /// What happens.
    pub kind: EventKind,
}

/// All that a program does.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Replay {
    /// Motions in order.
    pub motions: Vec<Motion>,
    /// What happens between them, in order.
    pub events: Vec<Event>,
}

/// Carries out a program with tool `loaded` in the spindle.
///
/// # Errors
/// The first line that cannot be carried out.
pub fn replay(lines: &[Line], loaded: u32) -> Result<Replay, ReplayError> {
    let mut state = State::new(loaded);
    for line in lines {
        state.run(line).map_err(|fault| ReplayError {
            line: line.number,
            fault,
        })?;
    }
    Ok(state.done)
}

/// The machine between two lines.
struct State {
    at: [f64; 3],
    /// Motion in force: 0 to 3, or none (G80).
    motion: Option<u32>,
    plane: Plane,
    absolute: bool,
    absolute_centre: bool,
    /// Millimetres in a program unit.
    unit: f64,
    /// mm/min, where set.
    feed: Option<f64>,
    speed: Option<f64>,
    turning: bool,
    selected: Option<u32>,
    tool: u32,
    ended: bool,
    done: Replay,
}

/// Words of one line by letter.
struct Words<'a> {
    words: &'a [Word],
    used: Vec<char>,
}

impl Words<'_> {
    /// Value behind a letter, marked as used.
    fn take(&mut self, letter: char) -> Option<f64> {
        let value = self.words.iter().find(|w| w.letter == letter).map(|w| w.value);
        if value.is_some() {
            self.used.push(letter);
        }
        value
    }

    /// G or M numbers of the line in tenths.
    fn codes(&self, letter: char) -> Vec<u32> {
        self.words
            .iter()
            .filter(|w| w.letter == letter)
            .filter_map(Word::tenths)
            .collect()
    }
}

impl State {
    fn new(tool: u32) -> Self {
        Self {
            at: [0.0; 3],
            motion: None,
            plane: Plane::Xy,
            absolute: true,
            absolute_centre: false,
            unit: 1.0,
            feed: None,
            speed: None,
            turning: false,
            selected: None,
            tool,
            ended: false,
            done: Replay::default(),
        }
    }

    fn event(&mut self, line: u32, kind: EventKind) {
        let after = self.done.motions.len();
        self.done.events.push(Event { line, after, kind });
    }

    fn run(&mut self, line: &Line) -> Result<(), ReplayFault> {
        if self.ended {
            return Err(ReplayFault::AfterEnd);
        }
        let mut words = Words {
            words: &line.words,
            used: vec!['N', 'G', 'M'],
        };
        let (g, m) = (words.codes('G'), words.codes('M'));
        self.feed_and_speed(line.number, &mut words, &g)?;
        self.tool_and_spindle(line.number, &m)?;
        if g.contains(&40) {
            let seconds = words.take('P').ok_or(ReplayFault::NoDwell)?;
            if seconds < 0.0 {
                return Err(ReplayFault::Negative('P'));
            }
            self.event(line.number, EventKind::Dwell(seconds));
        }
        for code in &g {
            self.mode(line.number, *code)?;
        }
        self.move_by(line.number, &mut words, &g)?;
        if let Some(word) = line.words.iter().find(|w| !words.used.contains(&w.letter)) {
            return Err(ReplayFault::Unused(word.letter));
        }
        for code in m {
            match code {
                0 | 10 => self.event(line.number, EventKind::Pause),
                20 | 300 => {
                    // The end of a program also stops the spindle (NISTIR 6556, section 3.6.1). Whether the program stopped
                    // it by its own M5 is for the judge.
                    self.ended = true;
                    self.event(line.number, EventKind::End);
                }
                _ => {}
            }
        }
        Ok(())
    }

    fn feed_and_speed(&mut self, line: u32, words: &mut Words, g: &[u32]) -> Result<(), ReplayFault> {
        if let Some(feed) = words.take('F') {
            if g.iter().any(|code| [200, 210].contains(code)) {
                return Err(ReplayFault::UnitsAndFeed);
            }
            if feed < 0.0 {
                return Err(ReplayFault::Negative('F'));
            }
            self.feed = Some(feed * self.unit).filter(|f| *f > 0.0);
        }
        if let Some(speed) = words.take('S') {
            if speed < 0.0 {
                return Err(ReplayFault::Negative('S'));
            }
            self.speed = Some(speed);
            if self.turning {
                self.event(line, EventKind::Spindle(speed, true));
            }
        }
        if let Some(number) = words.take('T') {
            // The bounds make the cast exact.
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let tool = (number.fract() == 0.0 && (0.0..100_000.0).contains(&number)).then_some(number as u32);
            self.selected = Some(tool.ok_or(ReplayFault::ToolNumber(number))?);
            self.event(line, EventKind::Select(self.selected.unwrap_or_default()));
        }
        Ok(())
    }

    fn tool_and_spindle(&mut self, line: u32, m: &[u32]) -> Result<(), ReplayFault> {
        if m.contains(&60) {
            self.tool = self.selected.ok_or(ReplayFault::NoTool)?;
            // A tool change stops the spindle (NISTIR 6556, section 3.6.3).
            self.turning = false;
            self.event(line, EventKind::Tool(self.tool));
        }
        for code in m {
            match code {
                30 | 40 => {
                    let speed = self.speed.filter(|s| *s > 0.0).ok_or(ReplayFault::NoSpeed)?;
                    self.turning = true;
                    self.event(line, EventKind::Spindle(speed, *code == 30));
                }
                50 => {
                    self.turning = false;
                    self.event(line, EventKind::SpindleOff);
                }
                _ => {}
            }
        }
        Ok(())
    }

    fn mode(&mut self, line: u32, code: u32) -> Result<(), ReplayFault> {
        match code {
            0 | 10 | 20 | 30 => self.motion = Some(code / 10),
            800 => self.motion = None,
            170 => self.plane = Plane::Xy,
            180 => self.plane = Plane::Zx,
            190 => self.plane = Plane::Yz,
            200 => self.unit = INCH,
            210 => self.unit = 1.0,
            900 | 910 => self.absolute = code == 900,
            901 | 911 => self.absolute_centre = code == 901,
            930 => return Err(ReplayFault::InverseTime),
            _ => {}
        }
        self.event(line, EventKind::Mode(code));
        Ok(())
    }

    fn move_by(&mut self, line: u32, words: &mut Words, g: &[u32]) -> Result<(), ReplayFault> {
        let given = ['X', 'Y', 'Z'].map(|letter| words.take(letter));
        if given.iter().all(Option::is_none) {
            // An arc in G17 may leave out X and Y for a full circle, but then it has a centre.
            return match g.iter().find(|code| **code <= 30) {
                Some(code) if *code < 20 || !words.words.iter().any(|w| "IJK".contains(w.letter)) => {
                    Err(ReplayFault::NoCoordinates(written('G', *code)))
                }
                Some(_) => self.go(line, words, given),
                None => Ok(()),
            };
        }
        self.go(line, words, given)
    }

    fn go(&mut self, line: u32, words: &mut Words, given: [Option<f64>; 3]) -> Result<(), ReplayFault> {
        let motion = self.motion.ok_or(ReplayFault::NoMotion)?;
        let mut to = self.at;
        for (axis, value) in given.iter().enumerate() {
            if let Some(value) = value {
                let base = if self.absolute { 0.0 } else { self.at[axis] };
                to[axis] = base + value * self.unit;
            }
        }
        let kind = match motion {
            0 => MotionKind::Rapid,
            1 => MotionKind::Line,
            code => {
                let unit = self.unit;
                let offset = ['I', 'J', 'K'].map(|letter| words.take(letter).map(|v| v * unit));
                let radius = words.take('R').map(|v| v * unit);
                let arc_words = ArcWords {
                    offset,
                    radius,
                    absolute: self.absolute_centre,
                    inch: unit > 1.0,
                };
                arc(self.at, to, self.plane, code == 2, &arc_words)?
            }
        };
        let feed = match kind {
            MotionKind::Rapid => 0.0,
            _ => self.feed.ok_or(ReplayFault::NoFeed)?,
        };
        let spindle = if self.turning { self.speed.unwrap_or(0.0) } else { 0.0 };
        self.done.motions.push(Motion {
            from: self.at,
            to,
            kind,
            feed,
            spindle,
            tool: self.tool,
            line,
        });
        self.at = to;
        Ok(())
    }
}
