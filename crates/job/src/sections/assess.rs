//! What `bonewright assess` needs: parts of `[bridge]`, `[neck]` and `[assess]`.

use assess::{Accept, Bound, Facts, Limits, Ramp, wood, woods};

use crate::fields::{Field, Kind, f};
use crate::node::Node;
use crate::problem::{ProblemKind as P, Why};
use crate::table::Table;

/// The facts, or defaults where a table is not there. `None` if something is refused.
pub(crate) fn assess(bridge: Option<&Node>, neck: Option<&Node>, own: Option<&Node>) -> Option<Facts> {
    let mut facts = Facts::default();
    // An unknown key of [bridge] is reported by its other reader.
    let bridge = bridge.and_then(Node::quiet_table);
    let read = [
        bridge.map(|table| read_bridge(&table, &mut facts)),
        neck.map(|node| read_neck(&node.table()?, &mut facts)),
        own.map(|node| read_own(&node.table()?, &mut facts)),
    ];
    read.into_iter().all(|read| read != Some(None)).then_some(facts)
}

fn read_bridge(table: &Table, facts: &mut Facts) -> Option<()> {
    let [length, depth] = [f!("bridge.ramp_length"), f!("bridge.ramp_depth")].map(|row| table.may(row, Node::figure));
    let thickness = table.plain_ends(f!("bridge.thickness"));
    let under = table.plain_ends(f!("bridge.wood_under_slot"));
    let wall = table.plain_ends(f!("bridge.front_wall"));
    let named = table.may(f!("bridge.wood"), |n| {
        n.named(woods().iter().map(|wood| wood.name), wood)
    });
    facts.ramp = match (length.sound()?, depth.sound()?) {
        (Some(length), Some(depth)) => Some(Ramp { length, depth }),
        (None, None) => None,
        (given, _) => {
            let lacking = if given.is_some() {
                f!("bridge.ramp_depth")
            } else {
                f!("bridge.ramp_length")
            };
            table.lacks(lacking, Why::Ramp {});
            return None;
        }
    };
    facts.bridge_thickness = thickness.sound()?;
    facts.wood_under = under.sound()?;
    facts.front_wall = wall.sound()?;
    facts.wood = named.sound()?;
    Some(())
}

fn read_neck(table: &Table, facts: &mut Facts) -> Option<()> {
    let heel = table.may(f!("neck.heel_height"), Node::figure);
    let board = table.may(f!("neck.board_thickness"), Node::figure);
    let last = table.may(f!("neck.last_fret"), Node::whole);
    (facts.heel_height, facts.pivot_below, facts.last_fret) = (heel.sound()?, board.sound()?, last.sound()?);
    Some(())
}

fn accepted(node: &Node) -> Option<Accept> {
    let name = node.text()?;
    let found = Accept::ALL.into_iter().find(|accept| accept.name() == name);
    found.or_else(|| node.refused(P::NotAccepted {}))
}

/// A figure as a share of one where its row has per cent.
fn share(row: &Field, value: f64) -> f64 {
    if row.kind == Kind::Number("per cent") {
        value / 100.0
    } else {
        value
    }
}

fn read_own(table: &Table, facts: &mut Facts) -> Option<()> {
    let percent = table.may(f!("assess.humidity"), Node::figure);
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
        least_humidity,
        most_humidity,
        ..
    } = &mut facts.limits;
    let mut sound = true;
    let mut put = |row: &'static Field, to: &mut Bound| match table.may(row, Node::figure).sound() {
        Some(value) => *to = value.map_or(*to, |value| share(row, value).into()),
        None => sound = false,
    };
    put(f!("assess.wanted_exposure"), wanted_exposure);
    put(f!("assess.least_exposure"), least_exposure);
    put(f!("assess.most_exposure"), most_exposure);
    put(f!("assess.least_in_slot"), least_in_slot);
    put(f!("assess.least_wood_under"), least_wood_under);
    put(f!("assess.most_clearance"), most_clearance);
    put(f!("assess.least_break_angle"), least_break_angle);
    put(f!("assess.most_break_angle"), most_break_angle);
    put(f!("assess.least_relief"), least_relief);
    put(f!("assess.most_relief"), most_relief);
    put(f!("assess.least_first_fret"), least_first_fret);
    put(f!("assess.most_first_fret"), most_first_fret);
    put(f!("assess.most_cents"), most_cents);
    put(f!("assess.most_pressure"), most_pressure);
    put(f!("assess.least_front_wall"), least_front_wall);
    put(f!("assess.least_to_holes"), least_to_holes);
    put(f!("assess.least_humidity"), least_humidity);
    put(f!("assess.most_humidity"), most_humidity);
    for (least, most, rows) in [
        (
            least_exposure,
            most_exposure,
            [f!("assess.least_exposure"), f!("assess.most_exposure")],
        ),
        (
            least_break_angle,
            most_break_angle,
            [f!("assess.least_break_angle"), f!("assess.most_break_angle")],
        ),
        (
            least_relief,
            most_relief,
            [f!("assess.least_relief"), f!("assess.most_relief")],
        ),
        (
            least_first_fret,
            most_first_fret,
            [f!("assess.least_first_fret"), f!("assess.most_first_fret")],
        ),
        (
            least_humidity,
            most_humidity,
            [f!("assess.least_humidity"), f!("assess.most_humidity")],
        ),
    ] {
        if least.value >= most.value {
            let [least, most] = rows;
            if let Some(node) = table.get(most).or_else(|| table.get(least)) {
                node.refuse(P::LeastOverMost {
                    least: least.name(),
                    most: most.name(),
                });
            }
            sound = false;
        }
    }
    if let Some(list) = table.get(f!("assess.accept")) {
        let Some(named) = list.list() else {
            return list.refused(P::NotAccepted {});
        };
        let named: Vec<Option<Accept>> = named.iter().map(accepted).collect();
        facts.accept = named.into_iter().collect::<Option<_>>()?;
    }
    facts.humidity = percent.sound()?.map(|percent| share(f!("assess.humidity"), percent));
    sound.then_some(())
}
