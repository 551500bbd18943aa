//! `[cut]` and `[nut_cut]`: how the blanks of saddle and nut are cut, or their defaults.

use machining::{
    Cutter, CutterShape, Ends, Holding, MOST_PASSES, Machine, Material, PartKind, SetupKind, Stock, Zero,
    finishing_passes,
};
use nut::NutSurvey;
use saddle::{Blank, BlankKind, Wings};

use crate::fields::{Field, f};
use crate::may::May;
use crate::node::Node;
use crate::problem::{ProblemKind as P, Quantity, Why, mm};
use crate::sections::contour::contour;
use crate::source::SourceText;
use crate::table::{Table, default};
use crate::{CutJob, Profiles, Severity};

/// Names of the profiles taken where none is named.
const MACHINE: &str = "small belt router";
const ROUGHER: &str = "flat 3 mm";
const FINISHER: &str = "ball 3 mm";
const SLOT_CUTTERS: [&str; 2] = ["tapered ball 0.25 mm", "V 60 degrees"];
const SAWS: [&str; 1] = ["saw 0.3 mm"];
/// Wanted spindle speed where none is given, rev/min. Common practice, no source.
const SPINDLE: f64 = 12_000.0;
/// Share of the stock's height that the jaws take where none is given, before the part is known; see [`machining::held`].
const JAWS: f64 = 0.4;
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

fn by_name<T: Named + Clone>(node: &Node, list: &[T]) -> Option<T> {
    node.named(list.iter().map(Named::name), |name| {
        list.iter().find(|item| item.name() == name).cloned()
    })
}

/// The profile that a row names, or the one of the default name.
fn chosen<T: Named + Clone>(
    node: Option<Node>,
    list: &[T],
    default: &str,
    row: &'static Field,
    source: &SourceText,
) -> Option<T> {
    match node {
        Some(node) => by_name(&node, list),
        None => usual(list, default, row, source),
    }
}

/// The profile of a name that stands for none.
fn usual<T: Named + Clone>(list: &[T], default: &str, row: &'static Field, source: &SourceText) -> Option<T> {
    let found = list.iter().find(|item| item.name() == default).cloned();
    if found.is_none() {
        let kind = P::NoUsual {
            what: row.list_word(),
            name: default.to_owned(),
            key: row.key,
        };
        source.report(Severity::Error, None, row.key.to_owned(), None, kind);
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
    // The keys that both tables have are read by the rows of [cut].
    let get = |row: &'static Field| table.and_then(|t| t.get(row));
    let length = |row: &'static Field| get(row).map_or_else(|| default(row), |n| n.figure());
    let [machine_row, rougher_row] = match part {
        PartKind::Saddle => [f!("cut.machine"), f!("cut.rougher")],
        PartKind::Nut => [f!("nut_cut.machine"), f!("nut_cut.rougher")],
    };
    let machine = match (get(machine_row), usual) {
        (None, Some(usual)) => Some(usual.machine.clone()),
        (node, _) => chosen(node, profiles.machines(), MACHINE, machine_row, source),
    };
    let rougher = match (get(rougher_row), usual) {
        (None, Some(usual)) => Some(usual.rougher.clone()),
        (node, _) => chosen(node, profiles.cutters(), ROUGHER, rougher_row, source),
    };
    let material = material(get(f!("cut.material")), blank.material, profiles);
    let spindle =
        get(f!("cut.spindle")).map_or_else(|| Some(usual.map_or(SPINDLE, |usual| usual.spindle)), |n| n.figure());
    let stock_node = get(f!("cut.stock"));
    let stock = stock(stock_node.as_ref(), blank);
    let zero = get(f!("cut.zero")).map_or(Some(Zero::Seat), |n| n.choice([Zero::Seat, Zero::RawTop]));
    let vise = stock.and_then(|stock| vise(get(f!("cut.vise")).as_ref(), &stock));
    let tape = tape(get(f!("cut.tape")).as_ref(), stock.map(|stock| stock.thickness));
    let rough_allowance = length(f!("cut.rough_allowance"));
    let clearance = length(f!("cut.clearance"));
    let rougher = rougher?;
    let (vise, jaws_measured) = vise?;
    Some(CutJob {
        part,
        kinds: Vec::new(),
        machine: machine?,
        finisher: rougher.clone(),
        rougher,
        material: material.sound()?,
        spindle: spindle?,
        stock: stock?,
        stock_measured: stock_node.is_some(),
        jaws_measured,
        zero: zero?,
        vise,
        tape: tape?,
        ends: Ends::Square,
        leave_proud: 0.0,
        rough_allowance: rough_allowance?,
        scallop: default(f!("cut.scallop"))?,
        clearance: clearance?,
        groovers: Vec::new(),
        groove_leave: 0.0,
    })
}

/// The outline comes first: after it the block is gone, before it no ridge stands that could be hurt.
const BOTH: [SetupKind; 2] = [SetupKind::Flat, SetupKind::OnEdge];
const SAWN: [SetupKind; 2] = [SetupKind::Flat, SetupKind::OnEnd];

/// How the saddle's blank is cut; `None` if anything is refused.
pub(crate) fn cut(node: Option<&Node>, blank: &Blank, profiles: &Profiles, source: &SourceText) -> Option<CutJob> {
    let table = match node {
        Some(node) => Some(node.table()?),
        None => None,
    };
    let table = table.as_ref();
    let get = |row: &'static Field| table.and_then(|t| t.get(row));
    let kinds = get(f!("cut.setup")).map_or(Some(&BOTH[1..]), |n| n.choice([&BOTH[1..], &BOTH[..1], &BOTH]));
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
    let finisher = chosen(get(f!("cut.finisher")), balls, FINISHER, f!("cut.finisher"), source);
    if let (Some(common), Some(finisher)) = (&common, &finisher)
        && let Some(n) = get(f!("cut.finisher")).or_else(|| get(f!("cut.rougher")))
    {
        own_numbers(&[&common.rougher, finisher], &n);
    }
    let ends = table.map_or(Some(usual_ends(blank)), |t| ends(t, blank));
    let length = |row: &'static Field| get(row).map_or_else(|| default(row), |n| n.figure());
    let scallop = length(f!("cut.scallop"));
    if let (Some(common), Some(finisher), Some(scallop)) = (&common, &finisher, scallop)
        && let Some(node) = get(f!("cut.scallop")).or_else(|| get(f!("cut.finisher")))
    {
        patient(&node, finisher, common, scallop)?;
    }
    Some(CutJob {
        kinds: kinds?.to_vec(),
        finisher: finisher?,
        ends: ends?,
        leave_proud: length(f!("cut.leave_proud"))?,
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
    node.refused(P::TooManyPasses {
        cutter: finisher.name.clone(),
        passes: Quantity::Number(passes.round(), ""),
        most: Quantity::Number(MOST_PASSES, ""),
    })
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
        Some(node) => Some(node.table()?),
        None => None,
    };
    let table = table.as_ref();
    let get = |row: &'static Field| table.and_then(|t| t.get(row));
    let kinds = get(f!("nut_cut.setup")).map_or(Some(&BOTH[..]), |n| {
        n.choice([&BOTH[..1], &BOTH[1..], &BOTH, &SAWN[1..], &SAWN])
    });
    let piece = Piece {
        material: &nut.blank.material,
        thickness: nut.blank.thickness,
        height: nut.blank.height,
        length: nut.blank.length,
        finished: nut.board_width,
        field: "nut_blank.thickness",
    };
    let common = common(table, PartKind::Nut, &piece, saddle, profiles, source);
    let fine = cutters(
        get(f!("nut_cut.slot_cutters")),
        &SLOT_CUTTERS,
        f!("nut_cut.slot_cutters"),
        profiles,
        source,
    );
    let saws = cutters(get(f!("nut_cut.saws")), &SAWS, f!("nut_cut.saws"), profiles, source);
    let groovers = fine.zip(saws).map(|(fine, saws)| [fine, saws].concat());
    if let (Some(common), Some(groovers)) = (&common, &groovers)
        && let Some(n) = [f!("nut_cut.slot_cutters"), f!("nut_cut.saws"), f!("nut_cut.rougher")]
            .into_iter()
            .find_map(get)
    {
        let all: Vec<&Cutter> = std::iter::once(&common.rougher).chain(groovers).collect();
        own_numbers(&all, &n);
    }
    let leave = get(f!("nut_cut.slot_leave")).map_or_else(|| default(f!("nut_cut.slot_leave")), |n| n.figure());
    Some(CutJob {
        kinds: kinds?.to_vec(),
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
                node.refuse(P::SameToolNumber {
                    one: a.name.clone(),
                    other: b.name.clone(),
                    number: a.number,
                });
            }
        }
    }
}

/// Cutters by name, or those that stand for none named; saws, or none of them.
fn cutters(
    node: Option<Node>,
    usually: &[&str],
    row: &'static Field,
    profiles: &Profiles,
    source: &SourceText,
) -> Option<Vec<Cutter>> {
    let saws = row == f!("nut_cut.saws");
    let Some(node) = node else {
        let usual = usually.iter().map(|name| usual(profiles.cutters(), name, row, source));
        return usual.collect();
    };
    let Some(parts) = node.list() else {
        return node.unexpected();
    };
    let named = parts.iter().map(|part| {
        let cutter = by_name(part, profiles.cutters())?;
        if (cutter.shape == CutterShape::Saw) != saws {
            return part.refused(if saws { P::NoSaw {} } else { P::SawAmongCutters {} });
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
        return May::read(node, |n| by_name(n, profiles.cutting()));
    }
    let known = profiles.cutting().iter().find(|m| m.name == blank);
    known.cloned().map_or(May::Absent, May::Read)
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
    let table = node.table_of("cut.stock")?;
    let read = |row, usual| table.may(row, Node::figure).or(usual);
    let [thickness_row, length_row, margin_row] = [
        f!("cut.stock.thickness"),
        f!("cut.stock.length"),
        f!("cut.stock.bass_margin"),
    ];
    let thickness = read(thickness_row, plain.thickness);
    let height = read(f!("cut.stock.height"), plain.height);
    let length = read(length_row, plain.length);
    // A saddle's blank is as long as it stays: it starts at the stock's end.
    let usual = if blank.length > blank.finished {
        margin(length.unwrap_or(plain.length))
    } else {
        0.0
    };
    let bass_margin = read(margin_row, usual);
    if let (Some(thickness), Some(at)) = (thickness, table.get(thickness_row))
        && (thickness - blank.thickness).abs() > SAME_THICKNESS
    {
        return at.refused(P::OtherThickness {
            planned: mm(blank.thickness),
            key: blank.field,
        });
    }
    if let (Some(length), Some(margin)) = (length, bass_margin)
        && length < blank.finished + margin
    {
        let at = table
            .get(margin_row)
            .or_else(|| table.get(length_row))
            .unwrap_or_else(|| node.clone());
        return at.refused(P::StockTooShort {
            stock: mm(length),
            blank: mm(blank.finished),
            margin: mm(margin),
        });
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
    let usual = JAWS * stock.height;
    // Where the jaws end is not known unless it is told.
    let anywhere = (f64::NEG_INFINITY, f64::INFINITY);
    let Some(node) = node else {
        let jaw_thickness = default(f!("cut.vise.jaw_thickness"))?;
        return Some((jaws(usual, jaw_thickness, anywhere), false));
    };
    let table = node.table_of("cut.vise")?;
    let read = |row, usual| table.may(row, Node::figure).or(usual);
    let height_row = f!("cut.vise.jaw_height");
    let height = read(height_row, usual);
    let thickness = table.value(f!("cut.vise.jaw_thickness"));
    let from = read(f!("cut.vise.jaw_from"), anywhere.0);
    let to = read(f!("cut.vise.jaw_to"), anywhere.1);
    let (height, thickness, from, to) = (height?, thickness?, from?, to?);
    if from >= to {
        return node.refused(P::JawsReversed {});
    }
    let given = table.get(height_row);
    if height >= stock.height {
        return given.unwrap_or_else(|| node.clone()).refused(P::JawsAsHighAsStock {});
    }
    Some((jaws(height, thickness, (from, to)), given.is_some()))
}

fn jaws(jaw_height: f64, jaw_thickness: f64, jaw_x: (f64, f64)) -> Holding {
    Holding::Vise {
        jaw_height,
        jaw_thickness,
        jaw_x,
    }
}

/// The tape flat.
fn tape(node: Option<&Node>, thickness: Option<f64>) -> Option<Holding> {
    let rows = [
        f!("cut.tape.tabs"),
        f!("cut.tape.tab_length"),
        f!("cut.tape.tab_height"),
    ];
    let [tabs, tab_length, tab_height] = match node {
        None => rows.map(default),
        Some(node) => {
            let table = node.table_of("cut.tape")?;
            let read = rows.map(|row| table.value(row));
            if let ([Some(_), Some(_), Some(high)], Some(thickness)) = (read, thickness)
                && high >= thickness
            {
                return table
                    .get(rows[2])
                    .unwrap_or_else(|| node.clone())
                    .refused(P::TabsAsHighAsStock {});
            }
            read
        }
    };
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a count within its row's range"
    )]
    let tabs = tabs? as u32;
    Some(Holding::Tape {
        tabs,
        tab_length: tab_length?,
        tab_height: tab_height?,
    })
}

/// As the blank's ends are to be, where a cutter makes them so.
fn usual_ends(blank: &Blank) -> Ends {
    match (blank.blended(), blank.kind) {
        (Some(wings), _) => winged(wings),
        (None, BlankKind::DropIn) if round_from_face_to_face(blank) => Ends::Round,
        (None, _) => Ends::Square,
    }
}

fn winged(wings: &Wings) -> Ends {
    Ends::Winged {
        bass: wings.bass().to_vec(),
        treble: wings.treble().to_vec(),
    }
}

/// The cutter rounds an end over the whole thickness, or not at all.
fn round_from_face_to_face(blank: &Blank) -> bool {
    let radius = blank.end_radius();
    radius.is_none_or(|radius| radius > 0.5 * (blank.thickness - SAME_THICKNESS))
}

/// Contours are one within this, mm: what a caliper reads twice.
const SAME_CONTOUR: f64 = 0.02;

/// Whether two contours are the same line as far as a caliper can tell.
fn alike(one: &[(f64, f64)], other: &[(f64, f64)]) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() <= SAME_CONTOUR;
    one.len() == other.len() && one.iter().zip(other).all(|(a, b)| near(a.0, b.0) && near(a.1, b.1))
}

#[derive(Clone, Copy)]
enum EndKind {
    Square,
    Round,
    Winged,
}

fn ends(table: &Table, blank: &Blank) -> Option<Ends> {
    let row = f!("cut.wings");
    let wings = table.get(row);
    let said = table.get(f!("cut.ends"));
    let kind = match &said {
        None if wings.is_some() => EndKind::Winged,
        None => return Some(usual_ends(blank)),
        Some(n) => n.choice([EndKind::Square, EndKind::Round, EndKind::Winged])?,
    };
    match (kind, wings, blank.blended()) {
        (EndKind::Winged, None, Some(wings)) => Some(winged(wings)),
        (EndKind::Winged, None, None) => {
            table.lacks(row, Why::Winged {});
            None
        }
        (EndKind::Winged, Some(n), blended) => {
            let table = n.table()?;
            let [bass, treble] =
                [f!("cut.wings.bass"), f!("cut.wings.treble")].map(|row| table.may(row, contour).given());
            let (bass, treble) = (bass?, treble?);
            if let Some(wings) = blended
                && !(alike(wings.bass(), &bass) && alike(wings.treble(), &treble))
            {
                return n.refused(P::WingsTwice {});
            }
            Some(Ends::Winged { bass, treble })
        }
        (_, Some(n), _) => n.refused(P::WingsUnused {}),
        (EndKind::Square, None, _) => Some(Ends::Square),
        (EndKind::Round, None, _) if !round_from_face_to_face(blank) => said?.refused(P::RoundOtherwise {
            radius: mm(blank.end_radius().unwrap_or_default()),
        }),
        (EndKind::Round, None, _) => Some(Ends::Round),
    }
}
