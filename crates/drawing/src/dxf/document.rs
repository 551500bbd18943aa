//! A DXF file: layers, entities, and what stands round them.

use std::fmt::Write;

/// Free space between the highest point of the front view and the view from above, mm.
pub(super) const VIEW_GAP: f64 = 15.0;

/// Height of the lettering of the notes, mm.
pub(super) const NOTE_HEIGHT: f64 = 2.0;

/// Height of a string's number, mm; two digits fit between the strings of a course.
pub(super) const NUMBER_HEIGHT: f64 = 1.2;

/// From the bottom edge down to the base of a string's number, mm.
pub(super) const NUMBER_DROP: f64 = 2.5;

/// Layers: name and AutoCAD colour index (7 black or white, 5 blue, 1 red, 3 green, 8 grey).
const LAYERS: [(&str, u8); 6] = [
    ("0", 7),
    ("OUTLINE", 7),
    ("TOP", 5),
    ("RIDGE", 1),
    ("STATIONS", 3),
    ("NOTES", 8),
];

// Handles of the fixed objects; the entities count on from FIRST_ENTITY.
const MODEL_RECORD: u32 = 0x20;

const PAPER_RECORD: u32 = 0x21;

const ROOT_DICTIONARY: u32 = 0xC;

const FIRST_ENTITY: u32 = 0x100;

/// No entities yet.
pub(super) fn new_body() -> Body {
    Body {
        out: Groups::default(),
        next: FIRST_ENTITY,
    }
}

/// The whole file round its entities, which reach from `left` to `right` and up to the base line `y` of the highest note.
pub(super) fn finished(body: &Body, (left, right): (f64, f64), y: f64) -> String {
    let mut out = Groups::default();
    header(&mut out, body.next, [left, -NUMBER_DROP], [right, y + NOTE_HEIGHT]);
    tables(&mut out, [0.5 * (left + right), 0.5 * y], 1.2 * (y + NUMBER_DROP));
    blocks(&mut out);
    out.start("SECTION").name("ENTITIES");
    out.0.push_str(&body.out.0);
    out.start("ENDSEC");
    objects(&mut out);
    out.start("EOF");
    out.0
}

/// Pairs of group code and value.
#[derive(Default)]
struct Groups(String);

impl Groups {
    fn put(&mut self, code: u16, value: &str) -> &mut Self {
        // Writing to a String cannot fail.
        let _ = writeln!(self.0, "{code:3}\n{value}");
        self
    }

    fn start(&mut self, kind: &str) -> &mut Self {
        self.put(0, kind)
    }

    fn name(&mut self, name: &str) -> &mut Self {
        self.put(2, name)
    }

    fn class(&mut self, class: &str) -> &mut Self {
        self.put(100, class)
    }

    fn integer(&mut self, code: u16, value: u32) -> &mut Self {
        self.put(code, &value.to_string())
    }

    fn handle(&mut self, code: u16, handle: u32) -> &mut Self {
        self.put(code, &format!("{handle:X}"))
    }

    /// Six decimals, and never -0. Not a number cannot come here: `ShapeError` refuses such plans.
    fn real(&mut self, code: u16, value: f64) -> &mut Self {
        self.put(code, &numerics::fixed(value, 6))
    }

    /// A point whose x has group code `code`; y and z follow in steps of ten.
    fn point(&mut self, code: u16, at: [f64; 2]) -> &mut Self {
        self.flat(code, at).real(code + 20, 0.0)
    }

    /// A point without z.
    fn flat(&mut self, code: u16, at: [f64; 2]) -> &mut Self {
        self.real(code, at[0]).real(code + 10, at[1])
    }
}

/// Entities of model space.
pub(super) struct Body {
    out: Groups,
    next: u32,
}

impl Body {
    fn entity(&mut self, kind: &str, layer: &str, class: &str) -> &mut Groups {
        let handle = self.next;
        self.next += 1;
        self.out
            .start(kind)
            .handle(5, handle)
            .handle(330, MODEL_RECORD)
            .class("AcDbEntity")
            .put(8, layer)
            .class(class)
    }

    /// Corners `(x, y, bulge of the side that follows)`.
    pub(super) fn polyline(&mut self, layer: &str, closed: bool, corners: impl Iterator<Item = (f64, f64, f64)>) {
        let corners: Vec<_> = corners.collect();
        let count = u32::try_from(corners.len()).unwrap_or(u32::MAX);
        let out = self.entity("LWPOLYLINE", layer, "AcDbPolyline");
        out.integer(90, count).integer(70, u32::from(closed));
        for (x, y, bulge) in corners {
            out.flat(10, [x, y]);
            if bulge != 0.0 {
                out.real(42, bulge);
            }
        }
    }

    pub(super) fn line(&mut self, layer: &str, from: [f64; 2], to: [f64; 2]) {
        self.entity("LINE", layer, "AcDbLine").point(10, from).point(11, to);
    }

    pub(super) fn point(&mut self, layer: &str, at: [f64; 2]) {
        self.entity("POINT", layer, "AcDbPoint").point(10, at);
    }

    /// Text on a base line at `at`, which is its left end, or its middle if `centred`.
    pub(super) fn text(&mut self, layer: &str, at: [f64; 2], height: f64, centred: bool, text: &str) {
        let out = self.entity("TEXT", layer, "AcDbText");
        out.point(10, at).real(40, height).put(1, text).put(7, "STANDARD");
        if centred {
            out.integer(72, 1).point(11, at);
        }
        out.class("AcDbText");
    }
}

fn header(out: &mut Groups, next: u32, low: [f64; 2], high: [f64; 2]) {
    out.start("SECTION").name("HEADER");
    out.put(9, "$ACADVER").put(1, "AC1015");
    out.put(9, "$HANDSEED").handle(5, next);
    // 4: millimetres; 1: metric.
    out.put(9, "$INSUNITS").integer(70, 4);
    out.put(9, "$MEASUREMENT").integer(70, 1);
    out.put(9, "$EXTMIN").point(10, low);
    out.put(9, "$EXTMAX").point(10, high);
    out.start("ENDSEC");
}

fn tables(out: &mut Groups, centre: [f64; 2], height: f64) {
    out.start("SECTION").name("TABLES");
    table(out, "VPORT", 1, 1);
    record(out, "VPORT", 0x11, 1, "AcDbViewportTableRecord", "*ACTIVE");
    out.flat(10, [0.0; 2]).flat(11, [1.0; 2]).flat(12, centre);
    out.flat(13, [0.0; 2]).flat(14, [10.0; 2]).flat(15, [10.0; 2]);
    out.real(16, 0.0).real(26, 0.0).real(36, 1.0).point(17, [0.0; 2]);
    out.real(40, height).real(41, 1.5).real(42, 50.0);
    out.start("ENDTAB");
    table(out, "LTYPE", 2, 3);
    for (handle, name) in [(0x12, "BYBLOCK"), (0x13, "BYLAYER"), (0x14, "CONTINUOUS")] {
        record(out, "LTYPE", handle, 2, "AcDbLinetypeTableRecord", name);
        out.put(3, "").integer(72, 65).integer(73, 0).real(40, 0.0);
    }
    out.start("ENDTAB");
    table(out, "LAYER", 3, 6);
    for ((name, colour), handle) in LAYERS.into_iter().zip(0x40..) {
        record(out, "LAYER", handle, 3, "AcDbLayerTableRecord", name);
        out.integer(62, u32::from(colour)).put(6, "CONTINUOUS");
    }
    out.start("ENDTAB");
    table(out, "STYLE", 4, 1);
    record(out, "STYLE", 0x15, 4, "AcDbTextStyleTableRecord", "STANDARD");
    out.real(40, 0.0)
        .real(41, 1.0)
        .real(50, 0.0)
        .integer(71, 0)
        .real(42, NOTE_HEIGHT)
        .put(3, "txt")
        .put(4, "");
    out.start("ENDTAB");
    table(out, "VIEW", 5, 0);
    out.start("ENDTAB");
    table(out, "UCS", 6, 0);
    out.start("ENDTAB");
    table(out, "APPID", 7, 1);
    record(out, "APPID", 0x16, 7, "AcDbRegAppTableRecord", "ACAD");
    out.start("ENDTAB");
    table(out, "DIMSTYLE", 8, 1);
    out.class("AcDbDimStyleTable");
    out.start("DIMSTYLE").handle(105, 0x17).handle(330, 8);
    out.class("AcDbSymbolTableRecord")
        .class("AcDbDimStyleTableRecord")
        .name("STANDARD")
        .integer(70, 0);
    out.start("ENDTAB");
    table(out, "BLOCK_RECORD", 9, 2);
    for (handle, name) in [(MODEL_RECORD, "*MODEL_SPACE"), (PAPER_RECORD, "*PAPER_SPACE")] {
        out.start("BLOCK_RECORD").handle(5, handle).handle(330, 9);
        out.class("AcDbSymbolTableRecord")
            .class("AcDbBlockTableRecord")
            .name(name);
    }
    out.start("ENDTAB");
    out.start("ENDSEC");
}

/// Head of a table with `count` records.
fn table(out: &mut Groups, name: &str, handle: u32, count: u32) {
    out.start("TABLE")
        .name(name)
        .handle(5, handle)
        .handle(330, 0)
        .class("AcDbSymbolTable")
        .integer(70, count);
}

/// Head of a record with its flags.
fn record(out: &mut Groups, kind: &str, handle: u32, owner: u32, class: &str, name: &str) {
    out.start(kind).handle(5, handle).handle(330, owner);
    out.class("AcDbSymbolTableRecord")
        .class(class)
        .name(name)
        .integer(70, 0);
}

fn blocks(out: &mut Groups) {
    out.start("SECTION").name("BLOCKS");
    for (record, name, begin) in [
        (MODEL_RECORD, "*MODEL_SPACE", 0x22),
        (PAPER_RECORD, "*PAPER_SPACE", 0x24),
    ] {
        out.start("BLOCK")
            .handle(5, begin)
            .handle(330, record)
            .class("AcDbEntity")
            .put(8, "0");
        out.class("AcDbBlockBegin")
            .name(name)
            .integer(70, 0)
            .point(10, [0.0; 2])
            .put(3, name)
            .put(1, "");
        out.start("ENDBLK")
            .handle(5, begin + 1)
            .handle(330, record)
            .class("AcDbEntity")
            .put(8, "0");
        out.class("AcDbBlockEnd");
    }
    out.start("ENDSEC");
}

fn objects(out: &mut Groups) {
    out.start("SECTION").name("OBJECTS");
    dictionary(out, ROOT_DICTIONARY, 0, &[("ACAD_GROUP", 0xD)]);
    dictionary(out, 0xD, ROOT_DICTIONARY, &[]);
    out.start("ENDSEC");
}

fn dictionary(out: &mut Groups, handle: u32, owner: u32, entries: &[(&str, u32)]) {
    out.start("DICTIONARY")
        .handle(5, handle)
        .handle(330, owner)
        .class("AcDbDictionary")
        .integer(281, 1);
    for (name, target) in entries {
        out.put(3, name).handle(350, *target);
    }
}
