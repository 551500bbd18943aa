//! The pen that writes a picture as SVG.

use numerics::math;
use std::fmt::Write as _;

/// Text made fit to stand in SVG.
pub(crate) fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

/// Least room for a string's figure, in user units.
pub(super) const FIGURE: f64 = 34.0;

/// An SVG being written: user units are about CSS pixels.
#[derive(Debug)]
pub(crate) struct Pen {
    out: String,
}

impl Pen {
    pub fn new(class: &str, width: f64, height: f64, title: &str) -> Self {
        let mut out = String::new();
        let _ = write!(
            out,
            "<svg class=\"{class}\" viewBox=\"0 0 {width:.0} {height:.0}\" role=\"img\" aria-label=\"{}\" xmlns=\"http://www.w3.org/2000/svg\">",
            escaped(title)
        );
        Self { out }
    }

    pub fn line(&mut self, class: &str, from: [f64; 2], to: [f64; 2]) {
        let ([x1, y1], [x2, y2]) = (from, to);
        let _ = write!(
            self.out,
            "<line class=\"{class}\" x1=\"{x1:.2}\" y1=\"{y1:.2}\" x2=\"{x2:.2}\" y2=\"{y2:.2}\"/>"
        );
    }

    pub fn path(&mut self, class: &str, points: impl IntoIterator<Item = [f64; 2]>, closed: bool) {
        let mut d = String::new();
        for (i, [x, y]) in points.into_iter().enumerate() {
            let _ = write!(d, "{}{x:.2} {y:.2}", if i == 0 { "M" } else { "L" });
        }
        if closed {
            d.push('Z');
        }
        self.raw_path(class, &d);
    }

    pub fn raw_path(&mut self, class: &str, d: &str) {
        let _ = write!(self.out, "<path class=\"{class}\" d=\"{d}\"/>");
    }

    pub fn circle(&mut self, class: &str, [x, y]: [f64; 2], r: f64) {
        let _ = write!(
            self.out,
            "<circle class=\"{class}\" cx=\"{x:.2}\" cy=\"{y:.2}\" r=\"{r:.2}\"/>"
        );
    }

    pub fn rect(&mut self, class: &str, [x, y]: [f64; 2], width: f64, height: f64) {
        let _ = write!(
            self.out,
            "<rect class=\"{class}\" x=\"{x:.2}\" y=\"{y:.2}\" width=\"{width:.2}\" height=\"{height:.2}\"/>"
        );
    }

    /// Text; `class` also says where it is anchored.
    pub fn text(&mut self, class: &str, [x, y]: [f64; 2], text: &str) {
        let _ = write!(
            self.out,
            "<text class=\"{class}\" x=\"{x:.2}\" y=\"{y:.2}\">{}</text>",
            escaped(text)
        );
    }

    /// A string's number at the top, and its figure below where `gap`, the least distance of neighbours, leaves room. Where they would run
    /// into one another, every second one stands lower.
    pub fn string(&mut self, x: f64, gap: f64, number: u32, figure: &str) {
        let second = number.is_multiple_of(2);
        let low = if gap < 0.5 * FIGURE && second { 13.0 } else { 0.0 };
        self.text("t mid strong", [x, 12.0 + low], &number.to_string());
        if gap >= 0.5 * FIGURE {
            let row = if gap < FIGURE && second { 11.0 } else { 0.0 };
            self.text("t mid", [x, 25.0 + row], figure);
        }
    }

    /// An arrow head at `tip`, coming from `tail`.
    pub fn head(&mut self, tip: [f64; 2], tail: [f64; 2]) {
        const LONG: f64 = 6.0;
        const WIDE: f64 = 2.4;
        let (dx, dy) = (tip[0] - tail[0], tip[1] - tail[1]);
        let size = math::hypot(dx, dy).max(1e-9);
        let (dx, dy) = (dx / size, dy / size);
        let back = [tip[0] - LONG * dx, tip[1] - LONG * dy];
        let sides = [
            [back[0] - WIDE * dy, back[1] + WIDE * dx],
            tip,
            [back[0] + WIDE * dy, back[1] - WIDE * dx],
        ];
        self.path("head", sides, true);
    }

    /// Words by themselves, within a tag.
    pub fn plain(&mut self, text: &str) {
        self.out.push_str(&escaped(text));
    }

    pub fn open(&mut self, tag: &str) {
        let _ = write!(self.out, "<{tag}>");
    }

    pub fn close(&mut self, tag: &str) {
        let _ = write!(self.out, "</{tag}>");
    }

    pub fn done(mut self) -> String {
        self.out.push_str("</svg>");
        self.out
    }
}
