//! Sheets as one PDF, a page each, with real text.

mod font;
mod stream;

use crate::canvas::{Fill, LineKind, Point, Text};
use crate::ink::{Baseline, Pen, Step, draw};
use crate::{DrawingError, Sheet};
use font::Font;
use pdf_writer::types::LineJoinStyle;
use pdf_writer::{Content, Filter, Finish, Name, Pdf, Rect, Ref, Str, TextStr};
use stream::{deflated, single};

/// PDF points in a millimetre: 72 to the inch (ISO 32000-1, 8.3.2.3).
const POINTS_PER_MM: f64 = 72.0 / 25.4;

/// The sheets as one PDF file: a page each, exactly as large as the paper. The same sheets give the same bytes.
///
/// # Errors
/// No sheets, or a font that cannot be read.
pub fn pdf(sheets: &[Sheet]) -> Result<Vec<u8>, DrawingError> {
    let first = sheets.first().ok_or(DrawingError::NoSheets)?;
    let mut fonts = [Font::new(false)?, Font::new(true)?];
    let mut contents = Vec::new();
    for sheet in sheets {
        let mut page = Page::new(sheet, &mut fonts);
        draw(sheet, &mut page)?;
        contents.push(page.content.finish());
    }

    let mut next = Ref::new(1);
    let (catalog, tree, info) = (next.bump(), next.bump(), next.bump());
    let fonts: Vec<(Font, Ref)> = fonts
        .into_iter()
        .filter(|font| !font.is_empty())
        .map(|font| (font, next.bump()))
        .collect();
    let pages: Vec<(Ref, Ref)> = sheets.iter().map(|_| (next.bump(), next.bump())).collect();
    let mut pdf = Pdf::new();
    pdf.catalog(catalog).pages(tree);
    let count = i32::try_from(pages.len()).unwrap_or(i32::MAX);
    pdf.pages(tree).kids(pages.iter().map(|(page, _)| *page)).count(count);
    pdf.document_info(info)
        .title(TextStr(&first.title))
        .creator(TextStr(crate::PROGRAM));
    for ((sheet, content), (page, stream)) in sheets.iter().zip(contents).zip(pages) {
        let mut page = pdf.page(page);
        page.parent(tree)
            .media_box(Rect::new(
                0.0,
                0.0,
                single(sheet.width * POINTS_PER_MM),
                single(sheet.height * POINTS_PER_MM),
            ))
            .contents(stream);
        let mut resources = page.resources();
        let mut listed = resources.fonts();
        for (font, id) in &fonts {
            listed.pair(Name(font.name()), id);
        }
        listed.finish();
        resources.finish();
        page.finish();
        let content = deflated(&content);
        pdf.stream(stream, &content).filter(Filter::FlateDecode);
    }
    for (font, id) in fonts {
        font.write(&mut pdf, id, &mut next, first)?;
    }
    Ok(pdf.finish())
}

/// Writes the content of one page, in mm from its top left corner, y downward.
struct Page<'a> {
    content: Content,
    fonts: &'a mut [Font; 2],
    /// What lines are drawn with at this point of the content.
    line: Option<LineKind>,
    /// What shapes are filled with at this point of the content.
    fill: Fill,
}

impl<'a> Page<'a> {
    fn new(sheet: &Sheet, fonts: &'a mut [Font; 2]) -> Self {
        let mut content = Content::new();
        let scale = single(POINTS_PER_MM);
        content
            .transform([scale, 0.0, 0.0, -scale, 0.0, single(sheet.height * POINTS_PER_MM)])
            .set_line_join(LineJoinStyle::RoundJoin);
        Self {
            content,
            fonts,
            line: None,
            fill: Fill::Ink,
        }
    }

    fn set_fill(&mut self, fill: Fill) {
        if self.fill != fill && fill != Fill::None {
            self.content.set_fill_gray(if fill == Fill::Ink { 0.0 } else { 1.0 });
            self.fill = fill;
        }
    }

    fn set_line(&mut self, line: LineKind) {
        if self.line != Some(line) {
            self.content
                .set_line_width(single(line.width()))
                .set_dash_pattern(line.dashes().iter().map(|d| single(*d)), 0.0);
            self.line = Some(line);
        }
    }
}

impl Pen for Page<'_> {
    fn figure(&mut self, steps: &[Step], fill: Fill, line: Option<LineKind>) {
        self.set_fill(fill);
        if let Some(line) = line {
            self.set_line(line);
        }
        let place = |p: &Point| p.map(single);
        for step in steps {
            match step {
                Step::Move(p) => {
                    let [x, y] = place(p);
                    self.content.move_to(x, y);
                }
                Step::Line(p) => {
                    let [x, y] = place(p);
                    self.content.line_to(x, y);
                }
                Step::Curve(a, b, to) => {
                    let [[x1, y1], [x2, y2], [x, y]] = [a, b, to].map(place);
                    self.content.cubic_to(x1, y1, x2, y2, x, y);
                }
                Step::Close => {
                    self.content.close_path();
                }
            }
        }
        match (fill == Fill::None, line.is_some()) {
            (false, true) => self.content.fill_nonzero_and_stroke(),
            (false, false) => self.content.fill_nonzero(),
            (true, true) => self.content.stroke(),
            (true, false) => self.content.end_path(),
        };
    }

    fn text(&mut self, text: &Text, baseline: Baseline) {
        self.set_fill(Fill::Ink);
        let font = &mut self.fonts[usize::from(text.lettering.bold)];
        let [cos, sin] = baseline.turn.map(single);
        let [x, y] = baseline.start.map(single);
        // The page's y runs downward, a glyph's upward.
        self.content
            .begin_text()
            .set_font(Name(font.name()), single(baseline.size))
            .set_text_matrix([cos, -sin, -sin, -cos, x, y]);
        let mut shown = self.content.show_positioned();
        let mut items = shown.items();
        for (numbers, back) in font.pieces(&text.content) {
            items.show(Str(&numbers));
            if back != 0.0 {
                items.adjust(back);
            }
        }
        items.finish();
        shown.finish();
        self.content.end_text();
    }
}
