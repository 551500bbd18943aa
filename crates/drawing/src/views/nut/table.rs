//! The table of slots.

use super::NutScene;
use crate::canvas::{Block, Lettering};
use crate::views::table::{Column, filled};
use nut::NutString;

/// The table, bass to treble, no wider than `room` mm if it can be.
pub(crate) fn table(scene: &NutScene, room: f64) -> Block {
    let (strings, figures) = (&scene.plan.strings, scene.figures);
    let two = |head: &[&str], value: fn(&NutString) -> f64| {
        Column::of(head, strings.iter().map(|s| figures.stacked(value(s))).collect())
    };
    let names = strings.iter().enumerate().map(|(i, s)| {
        let note = scene.names.get(i).map_or("", String::as_str);
        let note = crate::text::shorten(&crate::text::clean(note), 14.0, Lettering::SMALL.capitals, false);
        let lines = [s.number.to_string(), note];
        lines.into_iter().filter(|line| !line.is_empty()).collect()
    });
    let mut columns = vec![
        Column::of(&["string"], names.collect()),
        two(&["along from", "bass end"], |s| s.u),
        two(&["from", "centre", "line"], |s| s.y),
        two(&["slot", "width"], |s| s.width),
        two(&["floor up", "from", "seat"], |s| s.floor),
        two(&["stack", "on the", "board"], |s| s.stack),
        two(&["deep"], |s| s.depth),
        two(&["shows"], |s| s.shows),
    ];
    if strings.iter().any(|s| s.setback != 0.0) {
        columns.push(two(&["setback"], |s| s.setback));
    }
    let note = format!(
        "{}, [{}] below. Leave {} to the final stroke. Setback: negative is toward the bridge.",
        figures.name(),
        figures.beside_name(),
        figures.show(scene.plan.proud)
    );
    filled("Slots", &columns, strings.len(), room, &note)
}
