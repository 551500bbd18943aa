//! `[strings]`: what is strung and where the strings lie.

use instrument::{Board, Courses, Fan, PairSpacing, SpacingError, SpacingRule, Spread, StretchKnown, StringRun};
use nut::{Outer, spacing::slanting};
use strings::{Factors, StringModel, frequency};

use super::nut_blank::Margins;
use super::spelled::{Spelled, by_number, count, note, spelled_out};
use crate::fields::{Field, f};
use crate::node::{Got, Node};
use crate::per_string::fits;
use crate::problem::{ProblemKind as P, Why, mm};
use crate::string_spec::{StringKind, StringSpec};
use crate::table::Table;
use crate::{Profiles, StringSet};

/// One string as read.
pub(crate) struct OneString<'a> {
    pub(crate) number: u32,
    pub(crate) note: String,
    pub(crate) frequency: f64,
    pub(crate) model: StringModel,
    /// Wound, so that its slot in the nut is wider.
    pub(crate) wound: bool,
    /// Carried by steel, whose action is lower than nylon's.
    pub(crate) steel: bool,
    /// How its stretch stiffness is known as it is described.
    pub(crate) known: StretchKnown,
    /// Factor that was put on its stretch stiffness, if one is given.
    pub(crate) stretch: Option<Got<'a, f64>>,
    /// Where to report on its sound.
    pub(crate) at: Node<'a>,
}

/// All strings as read.
#[derive(Default)]
pub(crate) struct Strung<'a> {
    /// Number of strings, if known, even if some of them are not.
    pub(crate) count: Option<usize>,
    pub(crate) set: Option<String>,
    /// Pitch of the fork, Hz.
    pub(crate) a4: Option<f64>,
    /// Bass to treble; `None` if any is not known.
    pub(crate) strings: Option<Vec<OneString<'a>>>,
    pub(crate) press: Option<Got<'a, f64>>,
    /// How string ends hold, and the share of the elastic stand-off.
    pub(crate) ends: Option<f64>,
    pub(crate) stand_off: Option<f64>,
    /// y at the nut and at the saddle, mm, bass to treble.
    pub(crate) places: Option<[Vec<f64>; 2]>,
    pub(crate) saddle_spread: Option<Got<'a, f64>>,
    /// How the outer strings are placed at the nut.
    pub(crate) outer: Option<Outer>,
    /// What is equal between neighbours at the nut.
    pub(crate) nut_rule: Option<SpacingRule>,
    /// Courses, with the distance within a pair at the nut.
    pub(crate) nut_courses: Option<Courses>,
}

/// How the strings lie across, as read.
struct Across<'a> {
    /// y at the nut and at the saddle, mm, bass to treble.
    places: Option<[Vec<f64>; 2]>,
    saddle_spread: Option<Got<'a, f64>>,
    outer: Option<Outer>,
    nut_rule: Option<SpacingRule>,
    nut_courses: Option<Courses>,
}

impl<'a> Across<'a> {
    /// Spreads or margins, pairs and spacing rules of `table`, for `strings` if all of them are known.
    fn read(
        table: &Table<'a>,
        count: Option<usize>,
        set: Option<&StringSet>,
        strings: Option<&[OneString<'a>]>,
        margins: Option<&Margins<'a>>,
        fan: Option<&Fan>,
    ) -> Self {
        let courses = count.and_then(|count| courses(table, count, set));
        let by_margin = margins.filter(|margins| margins.given);
        let at_nut = f!("strings.nut_spread");
        let spread = |row: &'static Field| match (count, table.get(row)) {
            (_, given) if row == at_nut && by_margin.is_some() => given?.refused(P::SpreadBesideMargin {}),
            (Some(1), given) => {
                if let Some(node) = given {
                    node.doubt(P::SpreadOfOneString {});
                }
                None
            }
            _ => table.need(row),
        };
        let [nut_spread, saddle_spread] =
            [at_nut, f!("strings.saddle_spread")].map(|row| spread(row).and_then(|n| Some(n.got(n.figure()?))));
        let pairs = courses.as_ref().is_some_and(|sizes| sizes.contains(&2));
        let [nut_pair, saddle_pair] = [f!("strings.nut_pair"), f!("strings.saddle_pair")].map(|row| {
            let node = if pairs { table.need(row) } else { table.get(row) };
            if let (Some(node), Some(_), false) = (&node, &courses, pairs) {
                node.doubt(P::NoPairs {});
            }
            node.and_then(|n| n.figure())
        });
        let rules = [f!("strings.nut_spacing"), f!("strings.saddle_spacing")].map(|row| {
            table
                .choice(row, [SpacingRule::EqualGaps, SpacingRule::EqualCentres])
                .given()
        });
        let by_spread = |spread: &Option<Got<'a, f64>>| match spread {
            Some(got) => Some(Outer::Spread(got.value)),
            None if count == Some(1) => Some(Outer::Spread(0.0)),
            None => None,
        };
        let outer = match by_margin {
            Some(margins) => margins.outer,
            None => by_spread(&nut_spread),
        };
        let board_width = margins.and_then(|margins| margins.board_width.as_ref());
        let laid = |pair: Option<f64>| {
            Some(Courses {
                sizes: courses.clone()?,
                pair: PairSpacing::Centres(if pairs { pair? } else { 0.0 }),
            })
        };
        let ahead = fan.map(|fan| [fan.treble_ahead(0), fan.treble_end_ahead()]);
        let at = |end: usize, outer: Option<Outer>, place: Option<&Node>, courses: Option<&Courses>| {
            let gauges: Vec<f64> = strings?.iter().map(|s| s.model.outer_diameter).collect();
            let (outer, courses) = (outer?, courses?);
            let width = match outer {
                Outer::Spread(_) => 0.0,
                _ => board_width?.value,
            };
            // Where the scale is not known a square line serves to look for what does not fit.
            let ahead = ahead.map_or(0.0, |ahead| ahead[end]);
            slanting(outer, width, rules[end]?, &gauges, courses, ahead)
                .map_err(|error| does_not_fit(place.unwrap_or(&table.node), error))
                .ok()
        };
        let margin_node = by_margin.and_then(|margins| margins.table.get(f!("nut_blank.margin")));
        let nut_place = margin_node.as_ref().or(nut_spread.as_ref().map(|got| &got.at));
        let (nut_courses, saddle_courses) = (laid(nut_pair), laid(saddle_pair));
        let at_nut = at(0, outer, nut_place, nut_courses.as_ref());
        let saddle_place = saddle_spread.as_ref().map(|got| &got.at);
        let at_saddle = at(1, by_spread(&saddle_spread), saddle_place, saddle_courses.as_ref());
        Self {
            places: at_nut.zip(at_saddle).map(|(nut, saddle)| [nut, saddle]),
            saddle_spread,
            outer,
            nut_rule: rules[0],
            nut_courses,
        }
    }
}

impl<'a> Strung<'a> {
    /// `table` is `[strings]`, `spelled` the value of `[[string]]`.
    ///
    /// `margins` place the outer strings at the nut where a nut is made.
    pub(crate) fn read(
        table: &Node<'a>,
        spelled: Option<&Node<'a>>,
        margins: Option<&Margins<'a>>,
        fan: Option<&Fan>,
        profiles: &Profiles,
    ) -> Option<Self> {
        let table = table.table()?;
        let set_node = table.get(f!("strings.set"));
        let set = set_node.as_ref().and_then(|n| find_set(n, profiles));
        let set_lost = set_node.is_some() && set.is_none();
        let spelled = spelled.map(spelled_out);
        let count = if set_lost { None } else { count(set, spelled.as_deref()) };
        if !set_lost && set.is_none() && spelled.is_none() {
            table.lacks(f!("strings.set"), Why::OrSpelledOut {});
        }
        table.node.source.strings.set(count);
        let tuning = table.may(f!("strings.tuning"), tuning).given();
        let a4 = table.value(f!("strings.a4"));
        let strings = count.and_then(|count| {
            let spelled = by_number(spelled.as_deref().unwrap_or(&[]), count, set)?;
            let each = spelled.iter().enumerate().map(|(i, own)| {
                let base = set.map(|set| &set.strings[i]);
                one(
                    &table,
                    count - i,
                    base,
                    own.as_ref(),
                    tuning.as_ref().map(|t| &t[i]),
                    a4,
                    profiles,
                )
            });
            // All of them are looked at before any is given up.
            each.collect::<Vec<_>>().into_iter().collect::<Option<Vec<_>>>()
        });
        let across = Across::read(&table, count, set, strings.as_deref(), margins, fan);
        let press = table.figure(f!("strings.press")).given();
        Some(Self {
            count,
            set: set.map(|set| set.name.clone()),
            a4,
            strings,
            press,
            ends: table.value(f!("strings.ends")),
            stand_off: table.value(f!("strings.stand_off")),
            places: across.places,
            saddle_spread: across.saddle_spread,
            outer: across.outer,
            nut_rule: across.nut_rule,
            nut_courses: across.nut_courses,
        })
    }

    /// Runs of the strings, bass to treble.
    pub(crate) fn runs(&self, board: &Board) -> Option<Vec<StringRun>> {
        let [nut, saddle] = self.places.as_ref()?;
        let runs = nut.iter().zip(saddle);
        Some(runs.map(|(nut, saddle)| board.frets().run(*nut, *saddle)).collect())
    }

    /// Between the centres of the outer strings, across.
    pub(crate) fn spread(&self) -> Option<Spread> {
        let [nut, saddle] = self.places.as_ref()?;
        let wide = |places: &[f64]| Some(places.last()? - places.first()?);
        Some(Spread {
            nut: wide(nut)?,
            saddle: wide(saddle)?,
        })
    }
}

fn does_not_fit(node: &Node, error: SpacingError) {
    node.refuse(match error {
        SpacingError::TooTight(gap) => P::TooTight { gap: mm(gap) },
        other => P::CannotBePlaced { why: other.to_string() },
    });
}

pub(crate) fn find_set<'p>(node: &Node, profiles: &'p Profiles) -> Option<&'p StringSet> {
    node.named(profiles.string_sets(), |name| profiles.string_set(name))
}

/// Note names with their places, bass to treble.
pub(crate) fn tuning<'a>(node: &Node<'a>) -> Option<Vec<Got<'a, String>>> {
    let Some(parts) = node.list() else {
        return node.unexpected();
    };
    let notes: Vec<_> = parts
        .iter()
        .map(|part| Some(part.got(note(part)?.to_owned())))
        .collect();
    if !fits(node, parts.len()) {
        return None;
    }
    notes.into_iter().collect()
}

fn about_string(number: usize, about: Box<P>) -> P {
    P::InString { number, about }
}

/// Keys that a description gives of how the string is made.
fn construction(spec: &StringSpec) -> impl Iterator<Item = &'static Field> {
    let given = [
        (f!("string.core"), spec.core.is_some()),
        (f!("string.core_shape"), spec.core_shape.is_some()),
        (f!("string.core_material"), spec.core_material.is_some()),
        (f!("string.material"), spec.material.is_some()),
        (f!("string.wrap"), spec.wrap.is_some()),
    ];
    given.into_iter().filter_map(|(row, given)| given.then_some(row))
}

fn one<'a>(
    strings: &Table<'a>,
    number: usize,
    base: Option<&StringSpec>,
    own: Option<&&Spelled<'a>>,
    tuned: Option<&Got<'a, String>>,
    a4: Option<f64>,
    profiles: &Profiles,
) -> Option<OneString<'a>> {
    let none = StringSpec::default();
    let top = own.map_or(&none, |own| &own.spec);
    let spec = base.unwrap_or(&none).over(top);
    let set_node = strings.get(f!("strings.set")).unwrap_or_else(|| strings.node.clone());
    let place = |row: &'static Field| match own {
        Some(own) => own.table.get(row).unwrap_or_else(|| own.table.node.clone()),
        None => set_node.clone(),
    };
    let in_string = |about: P| about_string(number, Box::new(about));
    if own.is_some_and(|own| !own.sound) {
        return None;
    }
    let (note_row, gauge_row) = (f!("string.note"), f!("string.gauge"));
    if let (Some(tuned), Some(note)) = (tuned, &top.note)
        && tuned.value != *note
    {
        return place(note_row).refused(in_string(P::TwoNotes {
            tuned: tuned.value.clone(),
            note: note.clone(),
        }));
    }
    let note_node = match (tuned, &top.note) {
        (Some(tuned), _) => tuned.at.clone(),
        (None, Some(_)) => place(note_row),
        (None, None) => set_node.clone(),
    };
    let note = tuned.map(|t| t.value.clone()).or(spec.note.clone());
    if note.is_none() {
        place(note_row).refuse(in_string(P::NoteMissing {}));
    }
    // A gauge laid over a measured string would leave the old string's mass.
    if let (Some(base), Some(_)) = (base, top.gauge)
        && base.linear_density.is_some()
        && spec.linear_density == base.linear_density
        && top.linear_density.is_none()
    {
        return place(gauge_row).refused(in_string(P::GaugeOfMeasured {}));
    }
    if let (Some(base), Some(_), None) = (base, top.gauge, top.core)
        && base.core.is_some()
        && spec.core == base.core
    {
        place(gauge_row).doubt(in_string(P::CoreOfSet {}));
    }
    let measured = spec.measured();
    for row in construction(top).filter(|_| measured) {
        place(row).doubt(in_string(P::ConstructionUnused {}));
    }
    let model = spec
        .model(&profiles.wire)
        .map_err(|fault| place(fault.row).refuse(about_string(number, fault.kind)))
        .ok();
    if model.is_some() {
        for fault in spec.doubt().into_iter().chain(spec.by_rule(&profiles.wire)) {
            place(fault.row).doubt(about_string(number, fault.kind));
        }
    }
    let (note, mut model, a4) = (note?, model?, a4?);
    let stretch = own.and_then(|own| own.stretch.clone());
    if let Some(factor) = &stretch {
        model.stiffness = model.stiffness.scaled(factor.value);
    }
    if let Some(own) = own {
        let bending = own.bending;
        model.stiffness = model.stiffness.factored(Factors { axial: 1.0, bending });
        model.linear_density *= own.mass;
    }
    let frequency = frequency(&note, a4).ok()?;
    let made = spec.made();
    let carrier = match made {
        Some(StringKind::Wound) => spec.core_material.as_deref(),
        _ => spec.material.as_deref(),
    };
    Some(OneString {
        number: u32::try_from(number).unwrap_or(u32::MAX),
        note,
        frequency,
        model,
        wound: made == Some(StringKind::Wound),
        steel: !measured && carrier == Some("steel"),
        known: spec.stretch_known(top, &profiles.wire),
        stretch,
        at: note_node,
    })
}

/// Strings in each course, bass to treble: as said, else the set's own.
fn courses(table: &Table, count: usize, set: Option<&StringSet>) -> Option<Vec<usize>> {
    let Some(node) = table.get(f!("strings.courses")) else {
        return Some(set.map_or_else(|| vec![1; count], |set| set.courses.clone()));
    };
    if let Some(parts) = node.list() {
        let sizes: Vec<_> = parts.iter().map(Node::whole).collect();
        let sizes: Option<Vec<usize>> = sizes.into_iter().map(|size| usize::try_from(size?).ok()).collect();
        let sizes = sizes?;
        let held: usize = sizes.iter().sum();
        if held != count {
            return node.refused(P::CoursesHold { held, count });
        }
        return Some(sizes);
    }
    match node.as_text() {
        Some("single") => Some(vec![1; count]),
        Some("pairs") if count % 2 == 1 => node.refused(P::OddPairs { count }),
        Some("pairs") => Some(vec![2; count / 2]),
        _ => node.unexpected(),
    }
}
