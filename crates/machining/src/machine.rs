//! A small CNC router or mill, and the words that its controller takes.

/// How the lengths of a machine's tools are known, and so how a job goes on from one tool to the next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ToolLengths {
    /// The controller holds a table of them: a program changes the tool (`Tn M6`) and takes up its length (`G43 Hn`).
    Table,
    /// Each tool is touched off when it goes in: a program stops for that (`M0`), says which tool and what it touches, and
    /// goes on.
    TouchOff,
    /// A program holds one tool, which is touched off before it starts.
    OneProgram,
}

impl ToolLengths {
    /// Each with its name in profiles.
    pub const NAMES: [(&'static str, Self); 3] = [
        ("table", Self::Table),
        ("touch-off", Self::TouchOff),
        ("one-program-a-tool", Self::OneProgram),
    ];
}

/// Longest line of a program where the machine's own is not known: characters, without the line's end. Small controllers have room
/// for 80 (common practice, no source).
pub const LINE_MOST: usize = 80;

/// A machine. Lengths in mm, times in minutes for feeds and seconds for accelerations.
#[derive(Debug, Clone, PartialEq)]
pub struct Machine {
    /// Name, for sheets and comments.
    pub name: String,
    /// Travel in X, Y and Z.
    pub travel: [f64; 3],
    /// Highest feed in X, Y and Z, mm/min.
    pub feed_most: [f64; 3],
    /// Rapid rate in X, Y and Z, mm/min.
    pub rapid: [f64; 3],
    /// Acceleration in X, Y and Z, mm/s2.
    pub acceleration: [f64; 3],
    /// Slowest and fastest spindle speed, rev/min.
    pub spindle: (f64, f64),
    /// Seconds from spindle start to speed.
    pub spindle_up: f64,
    /// Deviation from a corner that the controller's look-ahead allows, mm; 0 for a stop at every corner.
    pub corner: f64,
    /// Programs in inches instead of millimetres.
    pub inch: bool,
    /// Takes G2 and G3.
    pub arcs: bool,
    /// How the lengths of its tools are known.
    pub tool_lengths: ToolLengths,
    /// Z of the upper end of the travel in the machine's own coordinates, mm, where G53 goes up to; `None` where it is not known.
    pub top_z: Option<f64>,
    /// Longest line of a program that it takes, characters without the line's end.
    pub line_most: usize,
    /// What the controller accepts.
    pub words: Words,
}

/// G and M numbers (times ten, so that G91.1 is 911) and letters that a controller accepts. A program holds no other.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Words {
    /// G numbers times ten.
    pub g: Vec<u32>,
    /// M numbers times ten.
    pub m: Vec<u32>,
    /// Other letters, such as X, Y, Z, I, J, K, F, S, T, H, N.
    pub letters: Vec<char>,
}

impl Words {
    /// Whether a G number in tenths is taken.
    #[must_use]
    pub fn takes_g(&self, tenths: u32) -> bool {
        self.g.contains(&tenths)
    }

    /// Whether `G4 P`, a wait in seconds, is taken.
    #[must_use]
    pub fn waits(&self) -> bool {
        self.takes_g(40) && self.letters.contains(&'P')
    }
}
