//! A small CNC router or mill, and the words that its controller takes.

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
    /// Takes T and M6 within a program; otherwise one file per tool.
    pub tool_change: bool,
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
    /// Other letters, such as X, Y, Z, I, J, K, F, S, T, N.
    pub letters: Vec<char>,
}
