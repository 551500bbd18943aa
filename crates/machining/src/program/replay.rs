//! Does what a machine would do with the words of a program.
//!
//! Assumed at the start: spindle and coolant off, millimetres, G17, G90, no motion mode, no tool length, the wanted work offset in
//! force, and the tip nobody knows where: written as (0, 0, 0), see [`Blind`]. Within a line the order is that of NISTIR 6556 (2000),
//! table 8.
//!
//! Where a machine goes in its own coordinates is not known in the program's. `G53` up to the top of Z, and `G28` and `G30` to their
//! stored places, are taken to end clear above all, at the height that the caller gives; after `G28` and `G30` nobody knows X and Y.
//! NISTIR 6556, section 3.5.10, lets `G28` and `G30` pass the point of their words and then run all axes at once.

use thiserror::Error;

use super::arc::{ArcFault, ArcWords, arc};
use super::code::written;
use super::header::tool_named;
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
    /// P for two words.
    #[error("G4 and G64 stand on one line and both take P; use two lines")]
    SharedP,
    /// Tool length without its place in the table.
    #[error("G43 has no H; write H and the number of the tool whose length it is")]
    NoLength,
    /// H number that is none.
    #[error("H{0} is no number of a tool")]
    LengthNumber(f64),
    /// A move in machine coordinates that is no rapid.
    #[error("G53 stands without G0; a cut in the machine's own coordinates cannot be judged")]
    MachineFeed,
    /// A way to a stored place and a motion on one line.
    #[error("{0} and {1} both take the line's coordinates; use two lines")]
    TwoMotions(String, String),
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
    /// Another tool is put in (M6).
    Tool(u32),
    /// The program waits while another tool is put in by hand and touched off: M0 with a comment that names the tool.
    ToolByHand(u32),
    /// A tool's length is taken up (G43 H), or none is in force from here on (G49).
    Length(Option<u32>),
    /// Tool is called for but not yet put in.
    Select(u32),
    /// The machine waits, seconds.
    Dwell(f64),
    /// The program waits for the operator (M0).
    Pause,
    /// The program waits, if the machine is set to (M1).
    OptionalPause,
    /// Coolant on (M7, M8) or off (M9).
    Coolant(bool),
    /// How far the controller may leave the path at corners, mm (G64 P); `None`: as far as it likes (G64 alone).
    Blend(Option<f64>),
    /// All axes go to the place stored for a G word, in tenths (G28, G30).
    Stored(u32),
    /// A move in machine coordinates (G53) to this Z, mm, if it names one.
    Machine(Option<f64>),
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

/// A motion that begins where nobody knows: at the start, after a tool change, after a way to a stored place. What it does not know
/// is written as it was before, or as nought at the start.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Blind {
    /// Number of the motion, from 0.
    pub motion: usize,
    /// Axes (X, Y, Z) that its line names.
    pub named: [bool; 3],
    /// Axes whose place is not known before it.
    pub unknown: [bool; 3],
    /// It is a move in the machine's own coordinates.
    pub machine: bool,
}

/// All that a program does.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Replay {
    /// Motions in order.
    pub motions: Vec<Motion>,
    /// Those that begin where nobody knows.
    pub blind: Vec<Blind>,
    /// What happens between them, in order.
    pub events: Vec<Event>,
    /// The first motion that is an arc by its centre.
    pub centred: Option<usize>,
}

/// Carries out a program with tool `loaded` in the spindle.
///
/// # Errors
/// The first line that cannot be carried out.
pub fn replay(lines: &[Line], loaded: u32) -> Result<Replay, ReplayError> {
    replay_under(lines, loaded, 0.0)
}

/// As [`replay`], with ways to the machine's top or stored places taken to end at Z `clear`, mm, or at the height that the tool has
/// already.
///
/// # Errors
/// The first line that cannot be carried out.
pub fn replay_under(lines: &[Line], loaded: u32, clear: f64) -> Result<Replay, ReplayError> {
    let mut state = State::new(loaded, clear);
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
    /// Axes whose place nobody knows.
    unknown: [bool; 3],
    /// Z where ways to the machine's top end, mm.
    clear: f64,
    /// Tool whose length is in force.
    length: Option<u32>,
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
    fn new(tool: u32, clear: f64) -> Self {
        Self {
            at: [0.0; 3],
            unknown: [true; 3],
            clear,
            length: None,
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
        if g.contains(&40) && g.contains(&640) {
            return Err(ReplayFault::SharedP);
        }
        if g.contains(&40) {
            let seconds = words.take('P').ok_or(ReplayFault::NoDwell)?;
            if seconds < 0.0 {
                return Err(ReplayFault::Negative('P'));
            }
            self.event(line.number, EventKind::Dwell(seconds));
        }
        self.length(line.number, &mut words, &g)?;
        if g.contains(&640) {
            let by = words.take('P').map(|p| p * self.unit);
            if by.is_some_and(|by| by < 0.0) {
                return Err(ReplayFault::Negative('P'));
            }
            self.event(line.number, EventKind::Blend(by));
        }
        for code in &g {
            self.mode(line.number, *code)?;
        }
        match g.iter().find(|code| matches!(code, 280 | 300)) {
            Some(code) => self.stored(line.number, &mut words, *code, &g)?,
            None => self.move_by(line.number, &mut words, &g)?,
        }
        if let Some(word) = line.words.iter().find(|w| !words.used.contains(&w.letter)) {
            return Err(ReplayFault::Unused(word.letter));
        }
        for code in m {
            match code {
                0 | 10 => self.pause(line, code),
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

    /// M0 and M1. A comment that names a tool at an M0 says that the tool goes in there.
    fn pause(&mut self, line: &Line, code: u32) {
        match tool_named(&line.comments).filter(|_| code == 0) {
            Some(tool) => {
                self.tool = tool;
                // Whoever changes a tool moves the machine.
                self.unknown = [true; 3];
                self.event(line.number, EventKind::ToolByHand(tool));
            }
            None if code == 0 => self.event(line.number, EventKind::Pause),
            None => self.event(line.number, EventKind::OptionalPause),
        }
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
            self.selected = Some(whole(number).ok_or(ReplayFault::ToolNumber(number))?);
            self.event(line, EventKind::Select(self.selected.unwrap_or_default()));
        }
        Ok(())
    }

    fn tool_and_spindle(&mut self, line: u32, m: &[u32]) -> Result<(), ReplayFault> {
        if m.contains(&60) {
            self.tool = self.selected.ok_or(ReplayFault::NoTool)?;
            // A tool change stops the spindle (NISTIR 6556, section 3.6.3).
            self.turning = false;
            // Where a change leaves the axes is the machine's affair.
            self.unknown = [true; 3];
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
                70 | 80 => self.event(line, EventKind::Coolant(true)),
                90 => self.event(line, EventKind::Coolant(false)),
                _ => {}
            }
        }
        Ok(())
    }

    /// G43 and G49. Program coordinates are those of the tip, so that another length moves the place of a tool that stands still.
    fn length(&mut self, line: u32, words: &mut Words, g: &[u32]) -> Result<(), ReplayFault> {
        let length = if g.contains(&430) {
            let number = words.take('H').ok_or(ReplayFault::NoLength)?;
            Some(whole(number).ok_or(ReplayFault::LengthNumber(number))?)
        } else if g.contains(&490) {
            None
        } else {
            return Ok(());
        };
        self.unknown[2] |= self.length != length;
        self.length = length;
        self.event(line, EventKind::Length(length));
        Ok(())
    }

    /// G28 and G30: over the point of the line's words to the stored place.
    fn stored(&mut self, line: u32, words: &mut Words, code: u32, g: &[u32]) -> Result<(), ReplayFault> {
        if let Some(other) = g.iter().find(|other| **other <= 30 || **other == 800) {
            return Err(ReplayFault::TwoMotions(written('G', code), written('G', *other)));
        }
        let given = ['X', 'Y', 'Z'].map(|letter| words.take(letter));
        if given.iter().any(Option::is_some) {
            let to = self.place(given);
            self.push(line, given, to, MotionKind::Rapid, 0.0, false);
        }
        self.event(line, EventKind::Stored(code));
        let [x, y, z] = self.at;
        let up = [x, y, z.max(self.clear)];
        self.push(line, [None, None, Some(z)], up, MotionKind::Rapid, 0.0, true);
        (self.unknown[0], self.unknown[1]) = (true, true);
        Ok(())
    }

    /// A rapid in machine coordinates.
    fn machine_move(&mut self, line: u32, given: [Option<f64>; 3]) -> Result<(), ReplayFault> {
        if self.motion != Some(0) {
            return Err(ReplayFault::MachineFeed);
        }
        if given.iter().all(Option::is_none) {
            return Err(ReplayFault::NoCoordinates(written('G', 530)));
        }
        self.event(line, EventKind::Machine(given[2].map(|z| z * self.unit)));
        let mut to = self.at;
        if given[2].is_some() {
            to[2] = to[2].max(self.clear);
        }
        self.push(line, given, to, MotionKind::Rapid, 0.0, true);
        for (unknown, given) in self.unknown.iter_mut().zip(given).take(2) {
            *unknown |= given.is_some();
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
            // These do something and set nothing.
            40 | 280 | 300 | 530 => return Ok(()),
            _ => {}
        }
        self.event(line, EventKind::Mode(code));
        Ok(())
    }

    fn move_by(&mut self, line: u32, words: &mut Words, g: &[u32]) -> Result<(), ReplayFault> {
        let given = ['X', 'Y', 'Z'].map(|letter| words.take(letter));
        if g.contains(&530) {
            return self.machine_move(line, given);
        }
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
        let to = self.place(given);
        let kind = match motion {
            0 => MotionKind::Rapid,
            1 => MotionKind::Line,
            code => {
                let unit = self.unit;
                let offset = ['I', 'J', 'K'].map(|letter| words.take(letter).map(|v| v * unit));
                let radius = words.take('R').map(|v| v * unit);
                if offset.iter().any(Option::is_some) {
                    self.done.centred = self.done.centred.or(Some(self.done.motions.len()));
                }
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
        self.push(line, given, to, kind, feed, false);
        Ok(())
    }

    /// The place that coordinates name, the others as they are.
    fn place(&self, given: [Option<f64>; 3]) -> [f64; 3] {
        let mut to = self.at;
        for (axis, value) in given.iter().enumerate() {
            if let Some(value) = value {
                let base = if self.absolute { 0.0 } else { self.at[axis] };
                to[axis] = base + value * self.unit;
            }
        }
        to
    }

    fn push(&mut self, line: u32, given: [Option<f64>; 3], to: [f64; 3], kind: MotionKind, feed: f64, machine: bool) {
        let named = given.map(|value| value.is_some());
        if machine || self.unknown.contains(&true) {
            self.done.blind.push(Blind {
                motion: self.done.motions.len(),
                named,
                unknown: self.unknown,
                machine,
            });
        }
        for (unknown, named) in self.unknown.iter_mut().zip(named) {
            // A step from a place that nobody knows ends at one.
            *unknown &= !(named && (self.absolute || machine));
        }
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
    }
}

/// A number of a tool or of its length.
fn whole(number: f64) -> Option<u32> {
    // The bounds make the cast exact.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let whole = (number.fract() == 0.0 && (0.0..100_000.0).contains(&number)).then_some(number as u32);
    whole
}
