//! What an entry of a profile holds, a row each: for its form, and for what a file is refused for. What each means is said at the head of
//! its file in `profiles/`.

use super::kind::ShopKind;
use super::tools::reading_words;
use crate::form::{FormField, FormTake};
use FormTake::{Length, Letters, List, Number, Sure, Whole, Wholes, Words, YesNo};

/// The three axes.
const AXES: [&str; 3] = ["X", "Y", "Z"];

fn row(key: &str, title: &str, how: &'static str, take: FormTake) -> FormField {
    FormField {
        key: key.to_owned(),
        group: String::new(),
        title: title.to_owned(),
        how,
        take,
        optional: false,
    }
}

fn may(field: FormField) -> FormField {
    FormField {
        optional: true,
        ..field
    }
}

fn choice(list: &[(&str, &str)]) -> FormTake {
    let each = list
        .iter()
        .map(|(value, shown)| ((*value).to_owned(), (*shown).to_owned()));
    FormTake::Choice(each.collect())
}

/// One of these names, or none of them.
fn names(list: &[&str]) -> FormTake {
    let none = (String::new(), "none".to_owned());
    let each = list.iter().map(|name| ((*name).to_owned(), (*name).to_owned()));
    FormTake::Choice(std::iter::once(none).chain(each).collect())
}

fn of_axes(key: &str, title: &str, how: &'static str, take: &FormTake) -> Vec<FormField> {
    let each = AXES.iter().enumerate();
    each.map(|(at, axis)| {
        let how = if at == 0 { how } else { "" };
        row(&format!("{key}.{at}"), &format!("{title} {axis}"), how, take.clone())
    })
    .collect()
}

/// What strings and their wraps can be made of, by name.
#[derive(Debug, Default)]
pub(crate) struct Made<'a> {
    pub(crate) of: Vec<&'a str>,
    pub(crate) wraps: Vec<&'a str>,
}

/// The fields of a thing of this kind, in order; of a string set those of `strings` strings.
pub(crate) fn rows(kind: ShopKind, strings: usize, made: &Made) -> Vec<FormField> {
    let mut fields = vec![row(
        "name",
        if kind == ShopKind::Cutting { "Material" } else { "Name" },
        if kind == ShopKind::Cutting {
            "Under the name of the blank's material."
        } else {
            "As lists show it. Under the name of a built-in one it takes the place of that."
        },
        Words,
    )];
    fields.extend(match kind {
        ShopKind::Machine => machine(),
        ShopKind::Cutter => cutter(),
        ShopKind::Tool => tool(),
        ShopKind::Set => set(strings, made),
        ShopKind::StringMaterial => string_material(),
        ShopKind::Wrap => vec![density()],
        ShopKind::Material => material(),
        ShopKind::Cutting => cutting(),
    });
    fields.push(row(
        "source",
        "Where its figures come from",
        "Measured here, or the maker's sheet: so that one knows later how far to trust them.",
        Words,
    ));
    fields
}

fn machine() -> Vec<FormField> {
    let lengths = [
        ("table", "in the controller's table, each measured before"),
        ("touch-off", "touched off at a stop of the program"),
        (
            "one-program-a-tool",
            "touched off before: each tool has a program of its own",
        ),
    ];
    let mut fields = of_axes("travel", "Travel", "How far it goes, with the unit.", &Length);
    fields.extend(of_axes(
        "feed_most",
        "Fastest feed",
        "While it cuts.",
        &Number("mm/min"),
    ));
    fields.extend(of_axes(
        "rapid",
        "Rapid rate",
        "While it does not cut.",
        &Number("mm/min"),
    ));
    fields.extend(of_axes(
        "acceleration",
        "Acceleration",
        "As the controller is set.",
        &Number("mm/s\u{b2}"),
    ));
    fields.extend([
        row("spindle.0", "Slowest spindle", "The slowest speed that it holds under load.", Number("rev/min")),
        row("spindle.1", "Fastest spindle", "", Number("rev/min")),
        row("spindle_up", "Spindle comes to speed in", "The program waits so long before the first cut.", Number("s")),
        row("corner", "Rounds a corner by", "How far the controller may leave the way at a corner; 0 mm where it stops at every corner.", Length),
        row("unit", "Programs are written in", "", choice(&[("mm", "millimetres"), ("in", "inches")])),
        row("arcs", "Takes arcs", "No: straight moves alone.", YesNo),
        row("tool_lengths", "Lengths of its tools", "How the machine knows how long each tool is.", choice(&lengths)),
        may(row("top_z", "Top of the travel, Z", "In the machine's own coordinates, with the unit. Needed where G53 is among its words.", Length)),
        may(row("line_most", "Longest line that it takes", "Left empty: 80.", Whole("characters"))),
        row("g", "G words that it takes", "With spaces between them. A program holds no other. G28 and G30 only where their stored places stand clear above stock, vise and tools.", List),
        row("m", "M words that it takes", "", List),
        row("letters", "Letters that it takes", "In a row: of axes, feed, speed, tool.", Letters),
    ]);
    fields
}

fn cutter() -> Vec<FormField> {
    let shapes = [
        ("flat", "flat"),
        ("corner", "flat with rounded corners"),
        ("ball", "ball"),
        ("tapered ball", "tapered ball"),
        ("V", "V"),
        ("saw", "slitting saw on an arbor"),
    ];
    vec![
        row(
            "number",
            "Tool number",
            "Its number in the program, 1 to 99.",
            Whole(""),
        ),
        row("shape", "Shape", "", choice(&shapes)),
        row(
            "diameter",
            "Diameter",
            "With the unit. Of a cone that of its thick end.",
            Length,
        ),
        may(row(
            "corner_radius",
            "Radius of the corners",
            "Of a flat cutter with rounded corners alone.",
            Length,
        )),
        may(row(
            "tip_radius",
            "Radius of the tip",
            "Of a tapered ball alone.",
            Length,
        )),
        may(row(
            "tip",
            "Flat at the tip",
            "Of a V cutter alone. Left empty: a point.",
            Length,
        )),
        may(row(
            "side_angle",
            "Angle of the side to the axis",
            "Of a cone alone: half of the angle by which a V cutter is named.",
            Number("degrees"),
        )),
        row("flutes", "Edges", "Of a saw its teeth.", Whole("")),
        row(
            "cutting_length",
            "Length of the edges",
            "Of a saw the thickness of its blade.",
            Length,
        ),
        row(
            "stick_out",
            "Sticks out by",
            "From the tip to the face of the collet. Measure it.",
            Length,
        ),
        row(
            "shank",
            "Shank",
            "Its diameter. Of a saw that of the arbor with its screw.",
            Length,
        ),
        row(
            "collet",
            "Collet with its nut",
            "Its diameter: so that it passes beside the vise.",
            Length,
        ),
    ]
}

fn tool() -> Vec<FormField> {
    let mut fields = vec![may(row(
        "named_only",
        "Not in every shop",
        "Yes: it is offered for further readings only where it is named.",
        YesNo,
    ))];
    for (word, title) in reading_words() {
        let [_, sure_to, shared, _] = reads();
        fields.extend([sure_to, shared].map(|field| FormField {
            key: format!("reads.{word}.{}", field.key),
            group: title.to_owned(),
            ..may(field)
        }));
    }
    fields
}

fn set(strings: usize, made: &Made) -> Vec<FormField> {
    let mut fields = vec![may(row(
        "courses",
        "Strings in each course",
        "Bass to treble, 1 or 2 each, with spaces between them. Left empty: each string is a course of its own.",
        Wholes,
    ))];
    for number in (1..=strings).rev() {
        // What each is stands at the first of them.
        fields.extend(string(made).into_iter().map(|field| FormField {
            key: format!("string.{number}.{}", field.key),
            group: format!("String {number}"),
            how: if number == strings { field.how } else { "" },
            ..field
        }));
    }
    fields
}

/// The fields of one string of a set, but for its number.
#[rustfmt::skip]
pub(super) fn string(made: &Made) -> [FormField; 11] {
    [
        row("note", "Note", "As E2: the open string.", Words),
        row("gauge", "Gauge", "With the unit.", Length),
        row("kind", "Kind", "", choice(&[("plain", "plain"), ("wound", "wound")])),
        may(row("material", "Plain: of", "", names(&made.of))),
        may(row("core", "Core", "Of a wound one, with the unit. Across flats if it is hexagonal.", Length)),
        may(row("core_shape", "Core's shape", "", choice(&[("", "none"), ("round", "round"), ("hexagonal", "hexagonal")]))),
        may(row("core_material", "Core of", "", names(&made.of))),
        may(row("wrap", "Wrap", "", names(&made.wraps))),
        may(row("linear_density", "Weight", "If it was weighed.", Number("g/m"))),
        may(row("stretch_response", "Stretch response", "If it was measured: how much the pitch rises with the length, a share over a share.", Number(""))),
        may(row("source", "Figures from", "If not as the set's.", Words)),
    ]
}

/// What a file says of each kind of reading that a tool takes; the form has a field of each.
pub(super) fn reads() -> [FormField; 4] {
    [
        row("of", "Of", "", List),
        row("sure_to", "Sure to", "", Sure),
        may(row("shared", "Errs alike", "", Number(""))),
        may(row("source", "Figures from", "If not as the tool's.", Words)),
    ]
}

fn density() -> FormField {
    row("density", "Density", "", Number("g/cm\u{b3}"))
}

fn string_material() -> Vec<FormField> {
    vec![
        density(),
        row(
            "modulus",
            "Young's modulus",
            "How stiff it is, stretched as in a string: steel has about 200, nylon about 5.",
            Number("GPa"),
        ),
    ]
}

fn material() -> Vec<FormField> {
    let dusts = [
        ("bone", "bone, horn, antler, ivory"),
        ("shell", "shell and mother-of-pearl"),
        ("synthetic", "plastics and resin-bound paper or linen"),
        ("metal", "metal"),
        ("wood", "wood"),
    ];
    vec![
        may(density()),
        row(
            "dust",
            "Its dust is that of",
            "Which caution the sheets carry.",
            choice(&dusts),
        ),
        may(row(
            "check_law",
            "May be protected by law",
            "Yes: the sheets say to check before buying, working or travelling.",
            YesNo,
        )),
    ]
}

fn cutting() -> Vec<FormField> {
    vec![
        row(
            "chip_least",
            "Thinnest chip",
            "Thinner is rubbed, not cut. With the unit.",
            Length,
        ),
        row("chip", "Chip aimed at", "", Length),
        row(
            "chip_most",
            "Thickest chip",
            "Thicker breaks the edge of the work. Try a new material on scrap first.",
            Length,
        ),
        row(
            "step_down",
            "Deeper by, each pass",
            "While roughing: a share of the cutter's diameter, as 0.15.",
            Number(""),
        ),
        row(
            "step_over",
            "Aside by, each pass",
            "While roughing: a share of the cutter's diameter.",
            Number(""),
        ),
        row(
            "speed_most",
            "Fastest at the rim",
            "How fast the cutter's rim may go through it.",
            Number("m/min"),
        ),
    ]
}
