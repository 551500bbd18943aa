//! What `bonewright assess` needs: parts of `[bridge]`, `[neck]` and `[assess]`.

use assess::{Accept, Facts, Limits, Ramp, wood, woods};

use crate::limits::{self, Limit};
use crate::may::May;
use crate::node::Node;
use crate::schema::{ASSESS, BRIDGE, NECK};
use crate::string_spec::unknown;
use crate::table::Table;

/// The facts, or defaults where a table is not there. `None` if something is refused.
pub(crate) fn assess(bridge: Option<&Node>, neck: Option<&Node>, own: Option<&Node>) -> Option<Facts> {
    let mut facts = Facts::default();
    let mut sound = true;
    // An unknown key of [bridge] is reported by its other reader.
    if let Some(table) = bridge.filter(|n| n.is_table()).and_then(|n| n.known_table(&BRIDGE)) {
        sound &= read_bridge(&table, &mut facts).is_some();
    }
    if let Some(node) = neck {
        sound &= node
            .table(&NECK)
            .and_then(|table| read_neck(&table, &mut facts))
            .is_some();
    }
    if let Some(node) = own {
        sound &= node
            .table(&ASSESS)
            .and_then(|table| read_own(&table, &mut facts))
            .is_some();
    }
    sound.then_some(facts)
}

fn may<T>(table: &Table, key: &str, read: impl FnOnce(&Node) -> Option<T>) -> May<T> {
    May::read(table.get(key), |node| read(node))
}

fn ends(node: &Node, limit: &Limit) -> Option<[f64; 2]> {
    node.ends(|n| n.length(limit))
        .map(|[bass, treble]| [bass.value, treble.value])
}

fn read_bridge(table: &Table, facts: &mut Facts) -> Option<()> {
    let length = may(table, "ramp_length", |n| n.length(&limits::RAMP_LENGTH));
    let depth = may(table, "ramp_depth", |n| n.length(&limits::RAMP_DEPTH));
    let thickness = may(table, "thickness", |n| ends(n, &limits::BRIDGE_THICKNESS));
    let under = may(table, "wood_under_slot", |n| ends(n, &limits::WOOD_UNDER));
    let wall = may(table, "front_wall", |n| ends(n, &limits::FRONT_WALL));
    let named = may(table, "wood", |n| {
        let name = n.text()?;
        let found = wood(name);
        if found.is_none() {
            let known: Vec<&str> = woods().iter().map(|wood| wood.name).collect();
            n.refuse(unknown(name, &known, "wood"));
        }
        found
    });
    let (length, depth) = (length.sound().ok()?, depth.sound().ok()?);
    facts.ramp = match (length, depth) {
        (Some(length), Some(depth)) => Some(Ramp { length, depth }),
        (None, None) => None,
        (Some(_), None) => {
            table.lacks("ramp_depth", "A ramp has a length and a depth.");
            return None;
        }
        (None, Some(_)) => {
            table.lacks("ramp_length", "A ramp has a length and a depth.");
            return None;
        }
    };
    facts.bridge_thickness = thickness.sound().ok()?;
    facts.wood_under = under.sound().ok()?;
    facts.front_wall = wall.sound().ok()?;
    facts.wood = named.sound().ok()?;
    Some(())
}

fn read_neck(table: &Table, facts: &mut Facts) -> Option<()> {
    let heel = may(table, "heel_height", |n| n.length(&limits::HEEL_HEIGHT));
    let board = may(table, "board_thickness", |n| n.length(&limits::BOARD_THICKNESS));
    let last = may(table, "last_fret", |n| n.whole(&limits::LAST_FRET));
    (facts.heel_height, facts.pivot_below, facts.last_fret) =
        (heel.sound().ok()?, board.sound().ok()?, last.sound().ok()?);
    Some(())
}

/// What a list of accepted things may hold.
const ACCEPTED: &str =
    "A list of \"front wall\", \"slot\" or both is expected: what is accepted although it is unsafe.";

fn accepted(node: &Node) -> Option<Accept> {
    let name = node.text()?;
    let found = Accept::ALL.into_iter().find(|accept| accept.name() == name);
    if found.is_none() {
        node.refuse(ACCEPTED.to_owned());
    }
    found
}

fn read_own(table: &Table, facts: &mut Facts) -> Option<()> {
    let percent = may(table, "humidity", |n| n.number(&limits::HUMIDITY, "per cent"));
    let Limits {
        least_exposure,
        most_exposure,
        wanted_exposure,
        least_in_slot,
        least_wood_under,
        most_clearance,
        least_break_angle,
        most_break_angle,
        least_relief,
        most_relief,
        least_first_fret,
        most_first_fret,
        most_cents,
        most_pressure,
        least_front_wall,
        least_to_holes,
        ..
    } = &mut facts.limits;
    let length = |limit| move |n: &Node| n.length(limit);
    let share = |n: &Node| n.number(&limits::SHARE_LIMIT, "");
    let angle = |n: &Node| n.angle(&limits::BREAK_LIMIT);
    let mut sound = true;
    let mut put = |key: &str, to: &mut assess::Bound, read: &dyn Fn(&Node) -> Option<f64>| {
        if let Some(n) = table.get(key) {
            let value = read(&n);
            sound &= value.is_some();
            *to = value.map_or(*to, Into::into);
        }
    };
    put("wanted_exposure", wanted_exposure, &length(&limits::EXPOSURE_LIMIT));
    put("least_exposure", least_exposure, &length(&limits::EXPOSURE_LIMIT));
    put("most_exposure", most_exposure, &length(&limits::EXPOSURE_LIMIT));
    put("least_in_slot", least_in_slot, &share);
    put("least_wood_under", least_wood_under, &length(&limits::WOOD_LIMIT));
    put("most_clearance", most_clearance, &length(&limits::CLEARANCE_LIMIT));
    put("least_break_angle", least_break_angle, &angle);
    put("most_break_angle", most_break_angle, &angle);
    put("least_relief", least_relief, &length(&limits::RELIEF_LIMIT));
    put("most_relief", most_relief, &length(&limits::RELIEF_LIMIT));
    put(
        "least_first_fret",
        least_first_fret,
        &length(&limits::FIRST_FRET_CLEARANCE),
    );
    put(
        "most_first_fret",
        most_first_fret,
        &length(&limits::FIRST_FRET_CLEARANCE),
    );
    put("most_cents", most_cents, &|n| n.cents(&limits::CENTS_LIMIT));
    put("most_pressure", most_pressure, &share);
    put("least_front_wall", least_front_wall, &length(&limits::WOOD_LIMIT));
    put("least_to_holes", least_to_holes, &length(&limits::WOOD_LIMIT));
    for (least, most, key) in [
        (&*least_exposure, &*most_exposure, "most_exposure"),
        (&*least_break_angle, &*most_break_angle, "most_break_angle"),
        (&*least_relief, &*most_relief, "most_relief"),
        (&*least_first_fret, &*most_first_fret, "most_first_fret"),
    ] {
        if least.value >= most.value {
            let other = key.replace("most", "least");
            let at = table.get(key).or_else(|| table.get(&other));
            if let Some(node) = at {
                node.refuse(format!(
                    "`{other}` must be less than `{key}`. The one that is not given has its default."
                ));
            }
            sound = false;
        }
    }
    if let Some(list) = table.get("accept") {
        let Some(named) = list.list() else {
            list.refuse(ACCEPTED.to_owned());
            return None;
        };
        let named: Vec<Option<Accept>> = named.iter().map(accepted).collect();
        facts.accept = named.into_iter().collect::<Option<_>>()?;
    }
    facts.humidity = percent.sound().ok()?.map(|percent| percent / 100.0);
    sound.then_some(())
}
