//! The views of the saddle. Third angle: the view from above stands over the front view, the section's view from the
//! end to the right of it. Seen from the front (from the nut), a right-handed saddle has its treble end to the left.

pub(crate) mod above;
pub(crate) mod callouts;
pub(crate) mod filed;
pub(crate) mod front;
mod marks;
pub(crate) mod nut;
pub(crate) mod pattern;
mod scene;
pub(crate) mod section;
pub(crate) mod spread;
pub(crate) mod table;
pub(crate) mod wings;

pub(crate) use marks::{contact, heading, short};
pub(crate) use scene::{Along, Scene, mouth};

use crate::canvas::{Block, Canvas};

/// View from above, enlarged and true, over the front view; if they are higher than `room` mm, the enlarged one goes without figures.
pub(crate) fn views(scene: &Scene, room: f64) -> Block {
    let block = views_with(scene, false);
    if block.height > room {
        views_with(scene, true)
    } else {
        block
    }
}

fn views_with(scene: &Scene, bare: bool) -> Block {
    let along = scene.along(false);
    let mut canvas = Canvas::default();
    let mut y = above::enlarged(&mut canvas, scene, along, 0.0, bare);
    y = above::true_size(&mut canvas, scene, along, y + 5.0);
    y = front::front(&mut canvas, scene, along, y + 5.0);
    Block {
        canvas,
        width: scene.width(),
        height: y,
    }
}
