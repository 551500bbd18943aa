//! G and M numbers and their modal groups.

/// What a G number belongs to. One line holds at most one number of a group.
///
/// Source: T. R. Kramer, F. M. Proctor, E. Messina, "The NIST RS274/NGC Interpreter, Version 3", NISTIR 6556 (2000),
/// table 4; G90.1 and G91.1 are a group of their own in later interpreters of the same language.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum GGroup {
    /// Dwell, ways to stored places, and moves in machine coordinates.
    NonModal,
    Motion,
    Plane,
    Distance,
    ArcDistance,
    FeedMode,
    Units,
    RadiusCompensation,
    LengthOffset,
    WorkOffset,
    PathControl,
}

/// What an M number belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum MGroup {
    Stopping,
    ToolChange,
    Spindle,
    Coolant,
}

/// Group of a G number given in tenths; `None` for a number that no program here may hold.
pub(super) fn g_group(tenths: u32) -> Option<GGroup> {
    Some(match tenths {
        40 | 280 | 300 | 530 => GGroup::NonModal,
        0 | 10 | 20 | 30 | 800 => GGroup::Motion,
        170 | 180 | 190 => GGroup::Plane,
        200 | 210 => GGroup::Units,
        400 => GGroup::RadiusCompensation,
        430 | 490 => GGroup::LengthOffset,
        540 | 550 | 560 | 570 | 580 | 590 => GGroup::WorkOffset,
        610 | 611 | 640 => GGroup::PathControl,
        900 | 910 => GGroup::Distance,
        901 | 911 => GGroup::ArcDistance,
        930 | 940 => GGroup::FeedMode,
        _ => return None,
    })
}

/// Group of an M number given in tenths.
pub(super) fn m_group(tenths: u32) -> Option<MGroup> {
    Some(match tenths {
        0 | 10 | 20 | 300 => MGroup::Stopping,
        60 => MGroup::ToolChange,
        30 | 40 | 50 => MGroup::Spindle,
        70 | 80 | 90 => MGroup::Coolant,
        _ => return None,
    })
}

/// A G or M number as written: tenths as a decimal.
pub(super) fn written(letter: char, tenths: u32) -> String {
    if tenths.is_multiple_of(10) {
        format!("{letter}{}", tenths / 10)
    } else {
        format!("{letter}{}.{}", tenths / 10, tenths % 10)
    }
}
