//! A sheet as SVG: user unit 1 mm, fixed decimals.

use crate::Sheet;
use crate::canvas::{Anchor, Fill, Item, Shape, Text};
use crate::text::FAMILY;
use svg::node::element::{Circle, Element, Path, Rectangle, Text as SvgText, Title};
use svg::{Document, Node};

/// A number with at most four decimals (0.1 micrometre), without trailing noughts; never `-0`.
pub(crate) fn number(value: f64) -> String {
    numerics::trimmed(value, 4)
}

impl Sheet {
    /// The sheet as SVG; the user unit is 1 mm.
    #[must_use]
    pub fn svg(&self) -> String {
        write(self)
    }
}

fn write(sheet: &Sheet) -> String {
    let (width, height) = (number(sheet.width), number(sheet.height));
    let mut document = Document::new()
        .set("width", format!("{width}mm"))
        .set("height", format!("{height}mm"))
        .set("viewBox", format!("0 0 {width} {height}"))
        .set("font-family", FAMILY)
        .set("font-stretch", "condensed")
        .set("font-kerning", "none")
        .set("stroke-linejoin", "round")
        .add(Title::new(sheet.heading.clone()))
        .add(
            Rectangle::new()
                .set("width", width)
                .set("height", height)
                .set("fill", "#fff"),
        );
    for item in &sheet.items {
        document.append(named(element(item), item));
    }
    format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{document}\n")
}

fn named(mut element: Element, item: &Item) -> Element {
    if let Some(id) = &item.id {
        element.assign("id", id.as_str());
    }
    for (name, value) in &item.data {
        element.assign(format!("data-{name}"), value.as_str());
    }
    if let Some(zero) = item.zero {
        element.assign("data-u0-x", number(zero.u0_x));
        element.assign("data-v0-y", number(zero.v0_y));
        element.assign("data-u-sign", number(zero.u_sign));
    }
    element
}

fn element(item: &Item) -> Element {
    let paint = |mut element: Element, line: Option<crate::LineKind>, fill: Fill| {
        element.assign(
            "fill",
            match fill {
                Fill::None => "none",
                Fill::Ink => "#000",
                Fill::Paper => "#fff",
            },
        );
        if let Some(line) = line {
            element.assign("class", line.name());
            element.assign("stroke", "#000");
            element.assign("stroke-width", number(line.width()));
            if !line.dashes().is_empty() {
                let dashes: Vec<String> = line.dashes().iter().map(|d| number(*d)).collect();
                element.assign("stroke-dasharray", dashes.join(" "));
            }
        }
        element
    };
    match &item.shape {
        Shape::Path {
            points,
            closed,
            line,
            fill,
        } => {
            // Not svg's path::Data, which holds f32.
            let mut d = String::new();
            for (i, [x, y]) in points.iter().enumerate() {
                d.push_str(if i == 0 { "M" } else { "L" });
                d.push_str(&format!("{} {}", number(*x), number(*y)));
            }
            if *closed {
                d.push('Z');
            }
            paint(Path::new().set("d", d).into(), *line, *fill)
        }
        Shape::Circle {
            centre,
            radius,
            line,
            fill,
        } => paint(
            Circle::new()
                .set("cx", number(centre[0]))
                .set("cy", number(centre[1]))
                .set("r", number(*radius))
                .into(),
            *line,
            *fill,
        ),
        Shape::Text(text) => lettered(text),
    }
}

fn lettered(text: &Text) -> Element {
    let [x, y] = text.at.map(number);
    let mut element: Element = SvgText::new(text.content.as_str())
        .set("x", x.as_str())
        .set("y", y.as_str())
        .set("font-size", number(text.font_size()))
        .into();
    if text.lettering.bold {
        element.assign("font-weight", "bold");
    }
    match text.anchor {
        Anchor::Start => {}
        Anchor::Middle => element.assign("text-anchor", "middle"),
        Anchor::End => element.assign("text-anchor", "end"),
    }
    if text.turn != 0.0 {
        element.assign(
            "transform",
            format!("rotate({} {x} {y})", number(-text.turn.to_degrees())),
        );
    }
    // So that another font keeps to the same room.
    element.assign("textLength", number(text.width()));
    element.assign("lengthAdjust", "spacingAndGlyphs");
    element
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_fixed() {
        for (value, text) in [
            (0.1 + 0.2, "0.3"),
            (-0.00001, "0"),
            (100.0, "100"),
            (12.34567, "12.3457"),
            (-2.5, "-2.5"),
        ] {
            assert_eq!(number(value), text);
        }
    }
}
