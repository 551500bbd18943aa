//! What findings are measured against: figures of the trade, each with its source; a job may set its own.

use serde::{Serialize, Serializer};

/// Where a limit comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// Printed in the named kind of publication.
    Published(&'static str),
    /// Common practice of the trade; no source was found.
    CommonPractice,
    /// Worked out by this program or chosen by its makers.
    Own(&'static str),
    /// Set in the job file.
    Job,
}

impl Source {
    /// In words, for tables.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Published(what) | Self::Own(what) => what,
            Self::CommonPractice => "common practice, no source",
            Self::Job => "set in the job",
        }
    }
}

impl Serialize for Source {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.words())
    }
}

/// One limit with its source. The unit is that of the figure it bounds.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Bound {
    /// The limit itself.
    pub value: f64,
    /// Where it comes from.
    pub source: Source,
}

const fn common(value: f64) -> Bound {
    Bound {
        value,
        source: Source::CommonPractice,
    }
}

const fn published(value: f64, what: &'static str) -> Bound {
    Bound {
        value,
        source: Source::Published(what),
    }
}

/// Least mean exposure that was published, mm; [`Limits::least_exposure`] of common practice asks for more.
pub const LOWEST_EXPOSURE: Bound = published(0.8, "magazine column on bridge height, 2013");

/// Least clearance of the blank in the slot, mm; negative: a blank that is thicker by no more still goes in. No job sets another.
pub const LEAST_CLEARANCE: Bound = common(-0.02);

/// Pressure on the front wall that the wood does not bear, as a share of its compression across the grain, where the job sets no
/// limit.
const BEARS: Bound = Bound {
    value: 1.0,
    source: Source::Own("the wood's own compression across the grain"),
};

/// A mean exposure beyond its limit by less than this factor is watched, not acted on: the limit was published for steel
/// strings, and nylon pulls about half as hard. Chosen by this program.
const FAR_OVER: f64 = 1.25;

/// Least share of the saddle's height in the slot with which it stands safely, where the job sets no limit.
const HELD: Bound = common(1.0 / 3.0);

/// Least bend at the ridge of a string that lies on the back fall, radians: with less it rattles on the ridge or lifts off it. Common
/// practice, no source: half of the least bend in all.
pub const LEAST_AT_RIDGE: Bound = common(6.0 * std::f64::consts::PI / 180.0);

/// Every limit. Lengths in mm, angles in radians, shares without unit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Limits {
    /// Least exposure under any string.
    pub least_exposure: Bound,
    /// Most exposure, as the mean of all strings.
    pub most_exposure: Bound,
    /// Exposure that a neck set aims at, as the mean of all strings.
    pub wanted_exposure: Bound,
    /// Least share of the saddle's height that stands in the slot, 0 to 1.
    pub least_in_slot: Bound,
    /// Least wood under the slot.
    pub least_wood_under: Bound,
    /// Most clearance of the blank in the slot: more lets it tip. 0.1 mm in a slot 4 mm deep moves the top of a saddle 8 mm tall by 0.2 mm.
    pub most_clearance: Bound,
    /// Least bend of a string over the saddle.
    pub least_break_angle: Bound,
    /// Most bend of a string over the saddle.
    pub most_break_angle: Bound,
    /// Least relief at mid-span.
    pub least_relief: Bound,
    /// Most relief at mid-span.
    pub most_relief: Bound,
    /// Least open gap over fret 1.
    pub least_first_fret: Bound,
    /// Most open gap over fret 1.
    pub most_first_fret: Bound,
    /// The same for nylon and gut, unless a job sets [`Limits::most_first_fret`].
    pub most_first_fret_nylon: Bound,
    /// Most error at fret 12 that the slot may leave, cents.
    pub most_cents: Bound,
    /// Most pressure on the front wall as a share of the wood's compression across the grain, 0 to 1.
    pub most_pressure: Bound,
    /// Least wood in front of the slot.
    pub least_front_wall: Bound,
    /// Least wood between slot and holes.
    pub least_to_holes: Bound,
    /// Least thickness of a bridge.
    pub least_bridge: Bound,
    /// Least relative humidity, share.
    pub least_humidity: Bound,
    /// Most relative humidity, share.
    pub most_humidity: Bound,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            least_exposure: common(1.6),
            most_exposure: published(4.8, "magazine column on bridge height, 2013"),
            wanted_exposure: published(3.2, "articles on neck resets"),
            least_in_slot: common(0.5),
            least_wood_under: common(1.5),
            most_clearance: common(0.15),
            least_break_angle: common(12f64.to_radians()),
            most_break_angle: common(45f64.to_radians()),
            least_relief: common(0.0),
            most_relief: published(0.38, "a maker's table of settings"),
            least_first_fret: common(0.1),
            most_first_fret: common(0.65),
            most_first_fret_nylon: common(0.9),
            most_cents: common(3.0),
            most_pressure: Bound {
                value: 0.5,
                source: Source::Own("this program's choice: half, for grain and cracks unseen"),
            },
            least_front_wall: common(3.0),
            least_to_holes: common(3.0),
            least_bridge: published(6.4, "articles on neck resets"),
            least_humidity: common(0.40),
            most_humidity: common(0.55),
        }
    }
}

impl Limits {
    /// Mean exposure over which a saddle is too tall to be the remedy, mm; between that and [`Limits::most_exposure`] it is to be watched.
    #[must_use]
    pub fn too_tall(&self) -> Bound {
        Bound {
            value: FAR_OVER * self.most_exposure.value,
            source: Source::Own("this program's choice: a quarter over the limit of a tall saddle"),
        }
    }

    /// Pressure on the front wall, as a share of the wood's compression across the grain, over which a bridge may split: the job's own
    /// limit, else what the wood bears.
    #[must_use]
    pub fn unsafe_pressure(&self) -> Bound {
        if self.most_pressure.source == Source::Job {
            self.most_pressure
        } else {
            BEARS
        }
    }

    /// Share of the saddle's height in the slot under which it may tip out or split the bridge: the job's own limit, else a third.
    #[must_use]
    pub fn unsafe_in_slot(&self) -> Bound {
        if self.least_in_slot.source == Source::Job {
            self.least_in_slot
        } else {
            HELD
        }
    }
}

/// A limit that a job sets.
impl From<f64> for Bound {
    fn from(value: f64) -> Self {
        Self {
            value,
            source: Source::Job,
        }
    }
}
