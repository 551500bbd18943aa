//! The drawings of how each reading is taken, as a browser or a drawing program meets them: in bounds, legible, in one style.

use std::collections::BTreeSet;
use std::path::PathBuf;

use usvg::tiny_skia_path::{PathSegment, Point};
use usvg::{Node, Options, Tree, roxmltree};

/// Size of every drawing, user units.
const SIZE: [f32; 2] = [240.0, 120.0];
/// How far a line's edge may stand out of the picture, user units.
const OUT: f32 = 0.6;
/// Words in a browser's own font are up to so much wider than in the font here; at each side.
const WIDER: f32 = 0.06;
/// Words of this size at least, user units.
const LEAST_TEXT: &str = "11px";
/// Every class that a drawing may have.
const CLASSES: [&str; 18] = [
    "part", "fill", "wood", "face", "string", "tool", "tick", "dim", "head", "thin", "dash", "dot", "ring", "t",
    "small", "mid", "end", "",
];
/// Every attribute that its shapes may have, and its tags.
const ATTRIBUTES: [&str; 20] = [
    "class",
    "id",
    "d",
    "x",
    "y",
    "x1",
    "x2",
    "y1",
    "y2",
    "cx",
    "cy",
    "r",
    "rx",
    "ry",
    "width",
    "height",
    "points",
    "transform",
    "viewBox",
    "xmlns",
];
const TAGS: [&str; 11] = [
    "svg", "title", "style", "g", "path", "line", "rect", "circle", "ellipse", "polyline", "text",
];
/// What the groups are called.
const GROUPS: [&str; 6] = ["instrument", "reference", "strings", "tool", "dimension", "words"];
/// Names of places and of what is there, beside the words of the questions.
const VOCABULARY: &str = "0 1 2 3 12 R nut tail bass treble front back top bottom edge end ends ridge contact rule gauge fret neck body board \
    bridge saddle blank string headstock post floor now new old open wanted gap in up radius";

fn drawings() -> Vec<(String, String)> {
    let folder = PathBuf::from(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../crates/pages/assets/readings"
    ));
    let mut found: Vec<(String, String)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ext| ext == "svg"))
        .map(|path| {
            let name = path.file_stem().unwrap().to_string_lossy().into_owned();
            (name, std::fs::read_to_string(&path).unwrap())
        })
        .collect();
    found.sort();
    assert!(found.len() > 50, "{} drawings", found.len());
    found
}

fn fonts() -> Options<'static> {
    let mut options = Options::default();
    let path = format!(
        "{}/../../crates/drawing/fonts/DejaVuSansCondensed.ttf",
        env!("CARGO_MANIFEST_DIR")
    );
    options.fontdb_mut().load_font_data(std::fs::read(path).unwrap());
    options.fontdb_mut().set_sans_serif_family("DejaVu Sans");
    options
}

fn words(line: &str) -> BTreeSet<String> {
    line.split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect()
}

/// A rectangle: left, top, right, bottom.
type Bounds = [f32; 4];

/// What is drawn: lines as runs of points, and words with their bounds.
#[derive(Default)]
struct Drawn {
    lines: Vec<Vec<Point>>,
    words: Vec<(String, Bounds)>,
    out: Vec<String>,
}

impl Drawn {
    fn of(svg: &str) -> Self {
        let tree = Tree::from_str(svg, &fonts()).unwrap();
        assert_eq!([tree.size().width(), tree.size().height()], SIZE);
        let mut drawn = Self::default();
        drawn.group(tree.root());
        drawn
    }

    fn group(&mut self, group: &usvg::Group) {
        for node in group.children() {
            match node {
                Node::Group(inner) => self.group(inner),
                Node::Path(path) => {
                    let at = path.abs_stroke_bounding_box();
                    self.check("a line", [at.left(), at.top(), at.right(), at.bottom()]);
                    let data = path.data().clone().transform(path.abs_transform()).unwrap();
                    self.lines.extend(flat(&data));
                }
                Node::Text(text) => {
                    let said: String = text.chunks().iter().map(usvg::TextChunk::text).collect();
                    let at = text.abs_bounding_box();
                    let wider = WIDER * at.width();
                    // Between the feet of the letters and their heads: the box has room for every accent.
                    let bounds = [
                        at.left() - wider,
                        at.top() + 0.2 * at.height(),
                        at.right() + wider,
                        at.bottom() - 0.22 * at.height(),
                    ];
                    self.check(&said, bounds);
                    self.words.push((said, bounds));
                }
                Node::Image(_) => panic!("an image"),
            }
        }
    }

    fn check(&mut self, what: &str, [left, top, right, bottom]: Bounds) {
        if left < -OUT || top < -OUT || right > SIZE[0] + OUT || bottom > SIZE[1] + OUT {
            self.out
                .push(format!("{what} at {left:.0},{top:.0} to {right:.0},{bottom:.0}"));
        }
    }
}

/// A path as straight pieces.
fn flat(path: &usvg::tiny_skia_path::Path) -> Vec<Vec<Point>> {
    const PIECES: u8 = 12;
    let mut runs: Vec<Vec<Point>> = Vec::new();
    let mut run: Vec<Point> = Vec::new();
    let mix = |a: Point, b: Point, t: f32| Point::from_xy(a.x + t * (b.x - a.x), a.y + t * (b.y - a.y));
    for segment in path.segments() {
        let last = run.last().copied().unwrap_or_default();
        match segment {
            PathSegment::MoveTo(to) => {
                runs.push(std::mem::replace(&mut run, vec![to]));
            }
            PathSegment::LineTo(to) => run.push(to),
            PathSegment::QuadTo(by, to) => run.extend((1..=PIECES).map(|i| {
                let t = f32::from(i) / f32::from(PIECES);
                mix(mix(last, by, t), mix(by, to, t), t)
            })),
            PathSegment::CubicTo(a, b, to) => run.extend((1..=PIECES).map(|i| {
                let t = f32::from(i) / f32::from(PIECES);
                let (p, q, r) = (mix(last, a, t), mix(a, b, t), mix(b, to, t));
                mix(mix(p, q, t), mix(q, r, t), t)
            })),
            PathSegment::Close => run.extend(run.first().copied()),
        }
    }
    runs.push(run);
    runs.retain(|run| run.len() > 1);
    runs
}

/// Whether a straight piece passes through a rectangle: the part of it within each pair of sides.
fn crosses(from: Point, to: Point, [left, top, right, bottom]: Bounds) -> bool {
    let (mut enter, mut leave) = (0.0_f32, 1.0_f32);
    for (start, by, low, high) in [
        (from.x, to.x - from.x, left, right),
        (from.y, to.y - from.y, top, bottom),
    ] {
        if by.abs() < 1e-6 {
            if start <= low || start >= high {
                return false;
            }
            continue;
        }
        let (a, b) = ((low - start) / by, (high - start) / by);
        enter = enter.max(a.min(b));
        leave = leave.min(a.max(b));
    }
    enter < leave
}

#[test]
fn nothing_is_drawn_outside() {
    let mut wrong = Vec::new();
    for (name, svg) in drawings() {
        wrong.extend(Drawn::of(&svg).out.into_iter().map(|out| format!("{name}: {out}")));
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn no_word_lies_on_a_line_or_on_a_word() {
    let mut wrong = Vec::new();
    for (name, svg) in drawings() {
        let drawn = Drawn::of(&svg);
        for (i, (said, bounds)) in drawn.words.iter().enumerate() {
            let crossed = |run: &Vec<Point>| run.windows(2).any(|pair| crosses(pair[0], pair[1], *bounds));
            if drawn.lines.iter().any(crossed) {
                wrong.push(format!("{name}: \"{said}\" lies on a line"));
            }
            for (other, its) in &drawn.words[..i] {
                if bounds[0] < its[2] && its[0] < bounds[2] && bounds[1] < its[3] && its[1] < bounds[3] {
                    wrong.push(format!("{name}: \"{said}\" lies on \"{other}\""));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// One style in all files, and in each only tags, attributes, classes and groups that are known.
#[test]
fn files_are_in_one_hand() {
    let mut styles: BTreeSet<String> = BTreeSet::new();
    for (name, svg) in drawings() {
        let text = roxmltree::Document::parse(&svg).unwrap();
        let groups: Vec<&str> = text.descendants().filter_map(|node| node.attribute("id")).collect();
        let unique: BTreeSet<&&str> = groups.iter().collect();
        assert_eq!(unique.len(), groups.len(), "{name}: {groups:?}");
        for group in groups {
            assert!(GROUPS.contains(&group), "{name}: a group called {group}");
        }
        for node in text.descendants().filter(roxmltree::Node::is_element) {
            let tag = node.tag_name().name();
            assert!(TAGS.contains(&tag), "{name}: <{tag}>");
            for attribute in node.attributes() {
                let attribute = attribute.name();
                assert!(ATTRIBUTES.contains(&attribute), "{name}: {attribute} of <{tag}>");
                let size = matches!(attribute, "width" | "height");
                assert!(!size || tag == "rect", "{name}: {attribute} of <{tag}>");
            }
            let classes = node.attribute("class").unwrap_or_default();
            for class in classes.split(' ') {
                assert!(CLASSES.contains(&class), "{name}: class {class}");
            }
            let drawn = !matches!(tag, "svg" | "title" | "style" | "g");
            assert!(!drawn || !classes.is_empty(), "{name}: a <{tag}> without a class");
            if tag == "style" {
                styles.insert(node.text().unwrap_or_default().to_owned());
            }
        }
    }
    assert_eq!(styles.len(), 1, "every file has the same style");
    let style = styles.first().unwrap();
    assert!(style.contains(LEAST_TEXT));
    let rules = include_str!("../../../crates/pages/assets/readings/README.md");
    for name in CLASSES.iter().chain(&GROUPS).filter(|name| !name.is_empty()) {
        let told = [format!("`{name}`"), format!("`{name} "), format!(" {name}`")];
        assert!(
            told.iter().any(|told| rules.contains(told)),
            "README.md does not tell of {name}"
        );
    }
    let page = include_str!("../../../crates/pages/assets/bench.css");
    for class in CLASSES.iter().filter(|class| !class.is_empty()) {
        let named = format!(".{class} ");
        assert!(style.contains(&named), "no style for {class}");
        assert!(page.contains(&named), "bench.css has none for {class}");
    }
}

/// Words in a drawing are those of its title, of its question, or names of places.
#[test]
fn words_are_those_of_the_question() {
    let mut wrong = Vec::new();
    for (name, svg) in drawings() {
        let text = roxmltree::Document::parse(&svg).unwrap();
        let title = text.descendants().find(|node| node.has_tag_name("title"));
        let mut known = words(title.and_then(|node| node.text()).unwrap());
        known.extend(words(VOCABULARY));
        // The longest key that begins the name: what is left of it is a variant.
        let question = job::fields()
            .filter(|field| !field.title.is_empty() && name.starts_with(&field.key.replace(':', ".")))
            .max_by_key(|field| field.key.len())
            .unwrap();
        for line in [question.title, question.how, question.help] {
            known.extend(words(line));
        }
        for node in text.descendants().filter(|node| node.has_tag_name("text")) {
            let said = node.text().unwrap_or_default();
            let strange: Vec<String> = words(said).difference(&known).cloned().collect();
            if !strange.is_empty() {
                wrong.push(format!("{name}: {strange:?}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}
