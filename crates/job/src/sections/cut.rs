//! `[cut]` and `[nut_cut]`: how the blanks of saddle and nut are cut, or their defaults.

use machining::{
    Cutter, CutterShape, Ends, Holding, MOST_PASSES, Machine, Material, PartKind, SetupKind, Stock, Zero,
    finishing_passes,
};
use nut::NutSurvey;
use saddle::{Blank, BlankKind};

use crate::limits::{self, Limit};
use crate::may::May;
use crate::node::{Node, SourceText};
use crate::schema::{CUT, NUT_CUT, STOCK, TAPE, VISE, WINGS};
use crate::string_spec::unknown;
use crate::table::Table;
use crate::{CutJob, Problem, Profiles, Severity};

/// Names of the profiles taken where none is named.
const MACHINE: &str = "small belt router";
const ROUGHER: &str = "flat 3 mm";
const FINISHER: &str = "ball 3 mm";
const SLOT_CUTTERS: [&str; 2] = ["tapered ball 0.25 mm", "V 60 degrees"];
const SAWS: [&str; 1] = ["saw 0.3 mm"];
/// Grooves in a nut stop this far above the slots' floors where nothing is given, mm. Common practice, no source.
const SLOT_LEAVE: f64 = 0.1;
/// Wanted spindle speed where none is given, rev/min. Common practice, no source.
const SPINDLE: f64 = 12_000.0;
/// Share of the stock's height that the jaws take where none is given, before the part is known; see [`machining::held`].
const JAWS: f64 = 0.4;
/// Thickness of a jaw where none is given, mm. Common practice, no source.
const JAW_THICKNESS: f64 = 12.0;
/// Tabs where none are given: how many, length and height in mm. Common practice, no source.
const TABS: (u32, f64, f64) = (2, 4.0, 0.6);
/// Left on by roughing where nothing is given, mm. Common practice, no source.
const ALLOWANCE: f64 = 0.15;
/// Highest ridge between finishing passes where none is given, mm: issue's limits leave 0.010 mm.
const SCALLOP: f64 = 0.005;
/// Height of rapid moves over everything where none is given, mm. Common practice, no source.
const CLEARANCE: f64 = 5.0;
/// Stock and blank are the same thickness within this, mm; a caliper reads 0.02.
const SAME_THICKNESS: f64 = 0.05;

/// A profile by its name.
trait Named {
    fn name(&self) -> &str;
}
impl Named for Machine {
    fn name(&self) -> &str {
        &self.name
    }
}
impl Named for Cutter {
    fn name(&self) -> &str {
        &self.name
    }
}
impl Named for Material {
    fn name(&self) -> &str {
        &self.name
    }
}

fn by_name<T: Named + Clone>(node: &Node, list: &[T], what: &str) -> Option<T> {
    let name = node.text()?;
    let found = list.iter().find(|item| item.name() == name).cloned();
    if found.is_none() {
        let known: Vec<&str> = list.iter().map(Named::name).collect();
        node.refuse(unknown(name, &known, what));
    }
    found
}

/// The profile that a key names, or the one of the default name.
fn chosen<T: Named + Clone>(
    node: Option<Node>,
    list: &[T],
    default: &str,
    what: &str,
    field: &str,
    source: &SourceText,
) -> Option<T> {
    if let Some(node) = node {
        return by_name(&node, list, what);
    }
    usual(list, default, what, field, source)
}

/// The profile of a name that stands for none.
fn usual<T: Named + Clone>(list: &[T], default: &str, what: &str, field: &str, source: &SourceText) -> Option<T> {
    let found = list.iter().find(|item| item.name() == default).cloned();
    if found.is_none() {
        source.report(Problem {
            severity: Severity::Error,
            line: None,
            field: field.to_owned(),
            read: None,
            what: format!("The profiles hold no {what} named \"{default}\", so name one in {field}."),
        });
    }
    found
}

/// What `[cut]` and `[nut_cut]` have in common, as a job that cuts nothing yet; what is not said is as in `usual`, if that is
/// given.
fn common(
    table: Option<&Table>,
    part: PartKind,
    blank: &Piece,
    usual: Option<&CutJob>,
    profiles: &Profiles,
    source: &SourceText,
) -> Option<CutJob> {
    let get = |key: &str| table.and_then(|t| t.get(key));
    let length = |key, limit: &Limit, default| get(key).map_or(Some(default), |n: Node| n.length(limit));
    let name = match part {
        PartKind::Saddle => "cut",
        PartKind::Nut => "nut_cut",
    };
    let machine = match (get("machine"), usual) {
        (None, Some(usual)) => Some(usual.machine.clone()),
        (node, _) => {
            let field = format!("{name}.machine");
            chosen(node, profiles.machines(), MACHINE, "machine", &field, source)
        }
    };
    let rougher = match (get("rougher"), usual) {
        (None, Some(usual)) => Some(usual.rougher.clone()),
        (node, _) => {
            let field = format!("{name}.rougher");
            chosen(node, profiles.cutters(), ROUGHER, "cutter", &field, source)
        }
    };
    let material = material(get("material"), blank.material, profiles);
    let spindle = get("spindle").map_or_else(
        || Some(usual.map_or(SPINDLE, |usual| usual.spindle)),
        |n| n.number(&limits::SPINDLE, "rev/min"),
    );
    let stock_node = get("stock");
    let stock = stock(stock_node.as_ref(), blank);
    let zero = zero(get("zero"));
    let vise = stock.and_then(|stock| vise(get("vise").as_ref(), &stock));
    let tape = tape(get("tape").as_ref(), stock.map(|stock| stock.thickness));
    let rough_allowance = length("rough_allowance", &limits::ROUGH_ALLOWANCE, ALLOWANCE);
    let clearance = length("clearance", &limits::CUT_CLEARANCE, CLEARANCE);
    let rougher = rougher?;
    let (vise, jaws_measured) = vise?;
    Some(CutJob {
        part,
        kinds: Vec::new(),
        machine: machine?,
        finisher: rougher.clone(),
        rougher,
        material: material.sound().ok()?,
        spindle: spindle?,
        stock: stock?,
        stock_measured: stock_node.is_some(),
        jaws_measured,
        zero: zero?,
        vise,
        tape: tape?,
        ends: Ends::Square,
        rough_allowance: rough_allowance?,
        scallop: SCALLOP,
        clearance: clearance?,
        groovers: Vec::new(),
        groove_leave: 0.0,
    })
}

/// How the saddle's blank is cut; `None` if anything is refused.
pub(crate) fn cut(node: Option<&Node>, blank: &Blank, profiles: &Profiles, source: &SourceText) -> Option<CutJob> {
    let table = match node {
        Some(node) => Some(node.table(&CUT)?),
        None => None,
    };
    let table = table.as_ref();
    let get = |key: &str| table.and_then(|t| t.get(key));
    let kinds = match get("setup") {
        None => Some(vec![SetupKind::OnEdge]),
        Some(n) => {
            // The outline comes first: after it the block is gone, before it no ridge stands that could be hurt.
            let both: &[SetupKind] = &[SetupKind::Flat, SetupKind::OnEdge];
            n.choice(&[("flat", &both[..1]), ("on edge", &both[1..]), ("both", both)])
                .map(<[SetupKind]>::to_vec)
        }
    };
    let piece = Piece {
        material: &blank.material,
        thickness: blank.thickness,
        height: blank.height,
        length: blank.length,
        finished: blank.length,
        field: "blank.thickness",
    };
    let common = common(table, PartKind::Saddle, &piece, None, profiles, source);
    let balls = profiles.cutters();
    let finisher = chosen(get("finisher"), balls, FINISHER, "cutter", "cut.finisher", source);
    if let (Some(common), Some(finisher)) = (&common, &finisher)
        && let Some(n) = get("finisher").or_else(|| get("rougher"))
    {
        own_numbers(&[&common.rougher, finisher], &n);
    }
    let ends = table.map_or(Some(usual_ends(blank)), |t| ends(t, blank));
    let scallop = get("scallop").map_or(Some(SCALLOP), |n| n.length(&limits::SCALLOP));
    if let (Some(common), Some(finisher), Some(scallop)) = (&common, &finisher, scallop)
        && let Some(node) = get("scallop").or_else(|| get("finisher"))
    {
        patient(&node, finisher, common, scallop)?;
    }
    Some(CutJob {
        kinds: kinds?,
        finisher: finisher?,
        ends: ends?,
        scallop: scallop?,
        ..common?
    })
}

/// Refuses more finishing passes than anyone waits for, before any is made.
fn patient(node: &Node, finisher: &Cutter, common: &CutJob, scallop: f64) -> Option<()> {
    let left = common.rough_allowance + scallop;
    // Without a material nothing is cut, and that is told where it is asked for.
    let material = common.material.as_ref();
    let passes =
        material.and_then(|material| finishing_passes(finisher, material, common.stock.thickness, left, scallop));
    let Some(passes) = passes.filter(|passes| *passes > MOST_PASSES) else {
        return Some(());
    };
    node.refuse(format!(
        "With this scallop \"{}\" goes over the crown about {passes:.0} times, and {MOST_PASSES:.0} is the most. Take a wider ball, or a \
         higher scallop: 0.005 mm is the default.",
        finisher.name
    ));
    None
}

/// How the nut's blank is cut; `None` if anything is refused. What is not said is as for the saddle, if one is cut.
pub(crate) fn nut_cut(
    node: Option<&Node>,
    nut: &NutSurvey,
    saddle: Option<&CutJob>,
    profiles: &Profiles,
    source: &SourceText,
) -> Option<CutJob> {
    let table = match node {
        Some(node) => Some(node.table(&NUT_CUT)?),
        None => None,
    };
    let table = table.as_ref();
    let get = |key: &str| table.and_then(|t| t.get(key));
    let kinds = match get("setup") {
        None => Some(vec![SetupKind::Flat, SetupKind::OnEdge]),
        Some(n) => {
            let milled: &[SetupKind] = &[SetupKind::Flat, SetupKind::OnEdge];
            let sawn: &[SetupKind] = &[SetupKind::Flat, SetupKind::OnEnd];
            n.choice(&[
                ("flat", &milled[..1]),
                ("on edge", &milled[1..]),
                ("both", milled),
                ("on end", &sawn[1..]),
                ("flat and on end", sawn),
            ])
            .map(<[SetupKind]>::to_vec)
        }
    };
    let piece = Piece {
        material: &nut.blank.material,
        thickness: nut.blank.thickness,
        height: nut.blank.height,
        length: nut.blank.length,
        finished: nut.board_width,
        field: "nut_blank.thickness",
    };
    let common = common(table, PartKind::Nut, &piece, saddle, profiles, source);
    let fine = cutters(get("slot_cutters"), &SLOT_CUTTERS, false, profiles, source);
    let saws = cutters(get("saws"), &SAWS, true, profiles, source);
    let groovers = fine.zip(saws).map(|(fine, saws)| [fine, saws].concat());
    if let (Some(common), Some(groovers)) = (&common, &groovers)
        && let Some(n) = ["slot_cutters", "saws", "rougher"].into_iter().find_map(get)
    {
        let all: Vec<&Cutter> = std::iter::once(&common.rougher).chain(groovers).collect();
        own_numbers(&all, &n);
    }
    let leave = get("slot_leave").map_or(Some(SLOT_LEAVE), |n| n.length(&limits::SLOT_LEAVE));
    Some(CutJob {
        kinds: kinds?,
        groovers: groovers?,
        groove_leave: leave?,
        ..common?
    })
}

/// Refuses cutters that would be taken for one another.
fn own_numbers(cutters: &[&Cutter], node: &Node) {
    for (i, a) in cutters.iter().enumerate() {
        for b in &cutters[i + 1..] {
            if a.number == b.number && a.name != b.name {
                node.refuse(format!(
                    "\"{}\" and \"{}\" are both tool number {}. Give one of them another number in its profile.",
                    a.name, b.name, a.number
                ));
            }
        }
    }
}

/// Cutters by name, or those that stand for none named; saws, or none of them.
fn cutters(
    node: Option<Node>,
    usually: &[&str],
    saws: bool,
    profiles: &Profiles,
    source: &SourceText,
) -> Option<Vec<Cutter>> {
    let field = if saws { "nut_cut.saws" } else { "nut_cut.slot_cutters" };
    let Some(node) = node else {
        let usual = usually
            .iter()
            .map(|name| usual(profiles.cutters(), name, "cutter", field, source));
        return usual.collect();
    };
    let Some(parts) = node.list() else {
        node.refuse("Expected a list of names of cutters, such as [\"V 60 degrees\"].");
        return None;
    };
    let named = parts.iter().map(|part| {
        let cutter = by_name(part, profiles.cutters(), "cutter")?;
        if (cutter.shape == CutterShape::Saw) != saws {
            part.refuse(if saws {
                "This is no saw. Cutters that stand upright over the slot belong to slot_cutters."
            } else {
                "A saw cuts the slots from the side, on end. Name it in saws."
            });
            return None;
        }
        Some(cutter)
    });
    // All are looked at, so that every wrong name is told.
    let named: Vec<Option<Cutter>> = named.collect();
    named.into_iter().collect()
}

/// How the material is cut, by the name given or by the blank's own; absent if no profile knows.
fn material(node: Option<Node>, blank: &str, profiles: &Profiles) -> May<Material> {
    if node.is_some() {
        return May::read(node, |n| {
            by_name(n, profiles.cutting(), "material whose cutting is known")
        });
    }
    let known = profiles.cutting().iter().find(|m| m.name == blank);
    known.cloned().map_or(May::Absent, May::Read)
}

fn zero(node: Option<Node>) -> Option<Zero> {
    node.map_or(Some(Zero::Seat), |n| {
        n.choice(&[("seat", Zero::Seat), ("raw top", Zero::RawTop)])
    })
}

/// A blank as it is bought, and how long it is when finished. mm.
struct Piece<'a> {
    material: &'a str,
    thickness: f64,
    height: f64,
    length: f64,
    finished: f64,
    /// Where its thickness is written.
    field: &'static str,
}

/// The stock as measured, or the blank itself. The finished piece lies in the middle of it unless the margin says otherwise.
fn stock(node: Option<&Node>, blank: &Piece) -> Option<Stock> {
    let margin = |length: f64| 0.5 * (length - blank.finished).max(0.0);
    let plain = Stock {
        thickness: blank.thickness,
        height: blank.height,
        length: blank.length,
        bass_margin: margin(blank.length),
    };
    let Some(node) = node else { return Some(plain) };
    let table = node.table(&STOCK)?;
    let read = |key, limit: &Limit, default| table.get(key).map_or(Some(default), |n: Node| n.length(limit));
    let thickness = read("thickness", &limits::BLANK_THICKNESS, plain.thickness);
    let height = read("height", &limits::STOCK_HEIGHT, plain.height);
    let length = read("length", &limits::STOCK_LENGTH, plain.length);
    // A saddle's blank is as long as it stays: it starts at the stock's end.
    let usual = if blank.length > blank.finished {
        margin(length.unwrap_or(plain.length))
    } else {
        0.0
    };
    let bass_margin = read("bass_margin", &limits::BASS_MARGIN, usual);
    let show = |mm| node.source.show(mm);
    if let (Some(thickness), Some(at)) = (thickness, table.get("thickness"))
        && (thickness - blank.thickness).abs() > SAME_THICKNESS
    {
        at.refuse(format!(
            "The plan is for a blank {} thick. Write the thickness measured in {} too.",
            show(blank.thickness),
            blank.field
        ));
        return None;
    }
    if let (Some(length), Some(margin)) = (length, bass_margin)
        && length < blank.finished + margin
    {
        table
            .get("bass_margin")
            .or_else(|| table.get("length"))
            .unwrap_or_else(|| node.clone())
            .refuse(format!(
                "A stock {} long does not hold a blank {} long that starts {} from its bass end.",
                show(length),
                show(blank.finished),
                show(margin)
            ));
        return None;
    }
    Some(Stock {
        thickness: thickness?,
        height: height?,
        length: length?,
        bass_margin: bass_margin?,
    })
}

/// The jaws on edge, and whether their height is given.
fn vise(node: Option<&Node>, stock: &Stock) -> Option<(Holding, bool)> {
    // Where the jaws end is not known unless it is told.
    let plain = (JAWS * stock.height, JAW_THICKNESS, (f64::NEG_INFINITY, f64::INFINITY));
    let ((jaw_height, jaw_thickness, jaw_x), given) = match node {
        None => (plain, false),
        Some(node) => {
            let table = node.table(&VISE)?;
            let read = |key, limit: &Limit, default| table.get(key).map_or(Some(default), |n: Node| n.length(limit));
            let height = read("jaw_height", &limits::JAW_HEIGHT, plain.0);
            let thickness = read("jaw_thickness", &limits::JAW_THICKNESS, plain.1);
            let from = read("jaw_from", &limits::JAW_X, plain.2.0);
            let to = read("jaw_to", &limits::JAW_X, plain.2.1);
            let (height, thickness, from, to) = (height?, thickness?, from?, to?);
            if from >= to {
                node.refuse("The jaws end before they begin. Mend jaw_from and jaw_to, both along X.");
                return None;
            }
            if height >= stock.height {
                let at = table.get("jaw_height").unwrap_or_else(|| node.clone());
                at.refuse("The jaws stand as high as the stock. Put the stock on a higher parallel.");
                return None;
            }
            ((height, thickness, (from, to)), table.get("jaw_height").is_some())
        }
    };
    let vise = Holding::Vise {
        jaw_height,
        jaw_thickness,
        jaw_x,
    };
    Some((vise, given))
}

/// The tape flat.
fn tape(node: Option<&Node>, thickness: Option<f64>) -> Option<Holding> {
    let (tabs, tab_length, tab_height) = match node {
        None => TABS,
        Some(node) => {
            let table = node.table(&TAPE)?;
            let tabs = table.get("tabs").map_or(Some(TABS.0), |n| n.whole(&limits::TABS));
            let long = table
                .get("tab_length")
                .map_or(Some(TABS.1), |n| n.length(&limits::TAB_LENGTH));
            let high = table
                .get("tab_height")
                .map_or(Some(TABS.2), |n| n.length(&limits::TAB_HEIGHT));
            let (tabs, long, high) = (tabs?, long?, high?);
            if thickness.is_some_and(|thickness| high >= thickness) {
                let at = table.get("tab_height").unwrap_or_else(|| node.clone());
                at.refuse("The tabs are as high as the stock is thick. Give a smaller height.");
                return None;
            }
            (tabs, long, high)
        }
    };
    Some(Holding::Tape {
        tabs,
        tab_length,
        tab_height,
    })
}

/// Square for a through saddle, rounded for a drop-in.
fn usual_ends(blank: &Blank) -> Ends {
    match blank.kind {
        BlankKind::Through => Ends::Square,
        BlankKind::DropIn => Ends::Round,
    }
}

#[derive(Clone, Copy)]
enum EndKind {
    Square,
    Round,
    Winged,
}

fn ends(table: &Table, blank: &Blank) -> Option<Ends> {
    let wings = table.get("wings");
    let kind = match table.get("ends") {
        None if wings.is_some() => EndKind::Winged,
        None => return Some(usual_ends(blank)),
        Some(n) => n.choice(&[
            ("square", EndKind::Square),
            ("round", EndKind::Round),
            ("winged", EndKind::Winged),
        ])?,
    };
    match (kind, wings) {
        (EndKind::Winged, None) => {
            table.lacks("wings", "Winged ends follow the bridge's contour.");
            None
        }
        (EndKind::Winged, Some(n)) => {
            let table = n.table(&WINGS)?;
            let [bass, treble] = ["bass", "treble"].map(|key| table.need(key).and_then(|n| contour(&n)));
            Some(Ends::Winged {
                bass: bass?,
                treble: treble?,
            })
        }
        (_, Some(n)) => {
            n.refuse("Only winged ends have a contour. Write ends = \"winged\", or leave wings out.");
            None
        }
        (EndKind::Square, None) => Some(Ends::Square),
        (EndKind::Round, None) => Some(Ends::Round),
    }
}

/// Pairs of distance inward and height, each rising inward.
fn contour(node: &Node) -> Option<Vec<(f64, f64)>> {
    let expected = "Expected a list of pairs, distance inward from the end and height over the seat, such as \
                    [[\"0 mm\", \"5 mm\"], [\"8 mm\", \"7 mm\"]].";
    let parts = node.list().filter(|list| !list.is_empty());
    let Some(parts) = parts else {
        node.refuse(expected);
        return None;
    };
    let points: Option<Vec<(f64, f64)>> = parts
        .iter()
        .map(|part| match part.list().as_deref() {
            Some([inward, height]) => {
                let inward = inward.length(&limits::WING_INWARD);
                let height = height.length(&limits::WING_HEIGHT);
                Some((inward?, height?))
            }
            _ => {
                part.refuse(expected);
                None
            }
        })
        .collect();
    let points = points?;
    for (pair, part) in points.windows(2).zip(parts.iter().skip(1)) {
        if pair[1].0 <= pair[0].0 || pair[1].1 < pair[0].1 {
            part.refuse("Going inward, each place lies further in than the one before and no lower.");
            return None;
        }
    }
    Some(points)
}
