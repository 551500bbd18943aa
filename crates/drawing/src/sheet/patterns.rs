//! The three patterns on a sheet.

use super::draft::{Area, Draft, GAP, fits};
use crate::DrawingError;
use crate::canvas::{Block, Canvas};
use crate::views::{Scene, pattern, wings};
use machining::PartKind;

/// The three patterns.
pub(super) struct Patterns {
    front: Block,
    strip: Block,
    back: Block,
}

impl Patterns {
    pub fn of(scene: &Scene) -> Self {
        Self {
            front: pattern::face(scene, pattern::Face::Front),
            strip: pattern::strip(scene),
            back: with_templates(pattern::face(scene, pattern::Face::Back), wings::templates(scene)),
        }
    }

    pub fn check(&self, area: Area) -> Result<(), DrawingError> {
        [&self.front, &self.strip, &self.back]
            .into_iter()
            .try_for_each(|block| fits(block, area, PartKind::Saddle))
    }

    pub fn two_columns_width(&self) -> f64 {
        self.front.width.max(self.back.width) + GAP + self.strip.width
    }

    pub fn two_columns_height(&self) -> f64 {
        (self.front.height).max(self.strip.height + GAP + self.back.height)
    }

    /// Front pattern to the left; strip and back pattern to the right.
    pub fn two_columns(self, draft: &mut Draft, area: Area) {
        let right = area.left + area.width - self.back.width.max(self.strip.width);
        let below = area.top + self.strip.height + GAP;
        let under = area.top + self.front.height + GAP;
        let end = area.top + self.two_columns_height();
        draft.leave([area.left, under], self.front.width, end - under);
        draft.canvas.place(self.front.canvas, [area.left, area.top]);
        draft.canvas.place(self.strip.canvas, [right, area.top]);
        draft.canvas.place(self.back.canvas, [right, below]);
    }

    /// In two columns, or else one under the other on as many sheets as they need.
    pub fn sheets(self, area: Area) -> Vec<Draft> {
        if self.two_columns_width() <= area.width && self.two_columns_height() <= area.height {
            let mut draft = Draft::new("Patterns");
            let [height, front, beside] = [self.two_columns_height(), self.front.height, self.front.width];
            self.two_columns(&mut draft, area);
            let below = area.below(height + GAP);
            // What is free under the front pattern goes down to the foot.
            draft.free.clear();
            let under = area.below(front + GAP);
            let right = area.left + beside + GAP;
            draft.leave([under.left, under.top], beside, under.height);
            draft.leave([right, below.top], area.left + area.width - right, below.height);
            return vec![draft];
        }
        let width = self.front.width.max(self.strip.width).max(self.back.width);
        let mut drafts: Vec<Draft> = Vec::new();
        let mut y = f64::INFINITY;
        for block in [self.front, self.strip, self.back] {
            if y + block.height > area.bottom() {
                let mut draft = Draft::new("Patterns");
                let x = area.left + width + GAP;
                draft.leave([x, area.top], area.left + area.width - x, area.height);
                drafts.push(draft);
                y = area.top;
            }
            if let Some(draft) = drafts.last_mut() {
                draft.canvas.place(block.canvas, [area.left, y]);
            }
            y += block.height + 2.0 * GAP;
        }
        drafts
    }
}

/// The templates of blended ends stand under the back pattern.
fn with_templates(back: Block, templates: Option<Block>) -> Block {
    let Some(templates) = templates else { return back };
    let mut canvas = Canvas::default();
    let top = back.height + GAP;
    canvas.place(back.canvas, [0.0, 0.0]);
    canvas.place(templates.canvas, [0.0, top]);
    Block {
        canvas,
        width: back.width.max(templates.width),
        height: top + templates.height,
    }
}
