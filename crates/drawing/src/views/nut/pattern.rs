//! Patterns at true size, to cut out and glue on the blank. Their outlines are narrow lines, so that the cut is exact.

use super::NutScene;
use crate::canvas::{Block, Canvas, Fill, LineKind};
use crate::views::heading;

/// The strip for the top: ends, bearing edges and slots.
pub(crate) fn strip(scene: &NutScene) -> Block {
    let plan = scene.plan;
    let view = scene.view(1.0);
    let mut canvas = Canvas::default();
    let small = "Lines: slots with their fan. Cross ticks: bearing edges. The frets are below.";
    let width = scene.width(1.0);
    let top = heading(&mut canvas, 0.0, "Strip for the top, 1:1", small, width);
    let row = scene.row(view, |_| Vec::new());
    let t = plan.blank.thickness;
    let front = top + row.height + 1.0 + t;
    let at = |u: f64, b: f64| view.at(u, b, front);
    row.draw(&mut canvas, top, |_| front - t - 0.4);
    let corners = vec![
        at(0.0, 0.0),
        at(plan.blank.length, 0.0),
        at(plan.blank.length, t),
        at(0.0, t),
    ];
    canvas
        .polygon(corners, Some(LineKind::Narrow), Fill::None)
        .id("nut-strip");
    if plan.blank.length > plan.board_width + 1e-6 {
        for end in plan.ends {
            canvas.line(at(end, 0.0), at(end, t), LineKind::Narrow);
        }
    }
    for s in &plan.strings {
        canvas
            .line(at(s.u, s.b), at(plan.centre + s.back_y, t), LineKind::Narrow)
            .id(format!("nut-strip-slot-{}", s.number));
        canvas.line(at(s.u - 0.6, s.b), at(s.u + 0.6, s.b), LineKind::Narrow);
    }
    scene.name_ends(&mut canvas, view, front);
    Block {
        canvas,
        width,
        height: front + 2.0,
    }
}

/// The pattern for the front face: ends, top, and where each slot ends.
pub(crate) fn front(scene: &NutScene) -> Block {
    let (plan, figures) = (scene.plan, scene.figures);
    let view = scene.view(1.0);
    let mut canvas = Canvas::default();
    let small = "Cut to the middle of the line. Lines: slots, to their floors. Figures: from the centre line.";
    let width = scene.width(1.0);
    let top = heading(&mut canvas, 0.0, "Pattern for the front face, 1:1", small, width);
    let row = scene.row(view, |s| vec![figures.one(s.y)]);
    let bottom = top + row.height + 1.0 + scene.crest();
    let at = |u: f64, v: f64| view.at(u, v, bottom);
    row.draw(&mut canvas, top, |c| {
        let own = plan.strings.iter().find(|s| s.number == c.number);
        bottom - own.map_or(0.0, |s| s.top.max(s.floor)) - 0.5
    });
    let corners = scene.outline(false).into_iter().map(|[u, v]| at(u, v)).collect();
    canvas
        .polygon(corners, Some(LineKind::Narrow), Fill::None)
        .id("nut-pattern");
    for s in &plan.strings {
        canvas
            .line(at(s.u, s.top.max(s.floor)), at(s.u, s.floor), LineKind::Narrow)
            .id(format!("nut-pattern-slot-{}", s.number));
        // A tick at the bottom, to set a square by.
        canvas.line(at(s.u, 0.0), at(s.u, 1.2), LineKind::Narrow);
    }
    scene.name_ends(&mut canvas, view, bottom);
    Block {
        canvas,
        width,
        height: bottom + 2.0,
    }
}
