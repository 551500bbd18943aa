//! What a machine does, line by line.

/// Plane of an arc.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Plane {
    /// G17.
    Xy,
    /// G18.
    Zx,
    /// G19.
    Yz,
}

/// How the tool goes from one point to the next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MotionKind {
    /// As fast as the machine can.
    Rapid,
    /// Straight at the feed.
    Line,
    /// Along a circle (or helix) at the feed.
    Arc {
        /// Plane of the circle.
        plane: Plane,
        /// Centre; its coordinate square to the plane is the start's.
        centre: [f64; 3],
        /// Clockwise as seen against the plane's axis.
        clockwise: bool,
        /// Turned angle, radians, positive.
        turn: f64,
    },
}

/// One motion, in program coordinates, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Motion {
    /// Start of the tool's tip.
    pub from: [f64; 3],
    /// End of the tool's tip.
    pub to: [f64; 3],
    /// How.
    pub kind: MotionKind,
    /// Feed, mm/min; 0 for a rapid.
    pub feed: f64,
    /// Spindle speed, rev/min; 0 when it stands.
    pub spindle: f64,
    /// Tool number.
    pub tool: u32,
    /// Line of the program, from 1.
    pub line: u32,
}
