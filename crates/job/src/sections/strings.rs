//! `[strings]`: what is strung and where the strings lie.

use instrument::{Courses, PairSpacing, SpacingError, SpacingRule, StringRun};
use nut::{Outer, spacing::centres};
use strings::{StringModel, frequency};

use super::nut_blank::Margins;
use super::spelled::{Spelled, by_number, count, is_note, spelled_out};
use crate::limits;
use crate::node::{Got, Node};
use crate::per_string::fits;
use crate::schema::STRINGS;
use crate::string_spec::{StringKind, StringSpec, unknown};
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
    /// Bass to treble; `None` if any is not known.
    pub(crate) strings: Option<Vec<OneString<'a>>>,
    pub(crate) press: Option<Got<'a, f64>>,
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
    ) -> Self {
        let courses = count.and_then(|count| courses(table, count, set));
        let by_margin = margins.filter(|margins| margins.given);
        let spread = |key| match (count, table.get(key)) {
            (_, given) if key == "nut_spread" && by_margin.is_some() => {
                if let Some(node) = given {
                    node.refuse(
                        "The margins of [nut_blank] place the outer strings. Keep one of the two: margin, or nut_spread.",
                    );
                }
                None
            }
            (Some(1), given) => {
                if let Some(node) = given {
                    node.doubt("One string has no spread, so this is not used. Leave it out.");
                }
                None
            }
            _ => table.need(key),
        };
        let [nut_spread, saddle_spread] = ["nut_spread", "saddle_spread"]
            .map(|key| spread(key).and_then(|n| Some(n.got(n.length(&limits::SPREAD)?))));
        let pairs = courses.as_ref().is_some_and(|sizes| sizes.contains(&2));
        let [nut_pair, saddle_pair] = ["nut_pair", "saddle_pair"].map(|key| {
            let node = if pairs { table.need(key) } else { table.get(key) };
            if let (Some(node), Some(_), false) = (&node, &courses, pairs) {
                node.doubt("No course is a pair, so this is not used. Leave it out, or say which courses are pairs.");
            }
            node.and_then(|n| n.length(&limits::PAIR))
        });
        // Equal gaps at the nut and equal centres at the saddle where nothing is said: common practice, no source.
        let rule = |key, default| table.get(key).map_or(Some(default), |n| n.choice(&RULES));
        let rules = [
            rule("nut_spacing", SpacingRule::EqualGaps),
            rule("saddle_spacing", SpacingRule::EqualCentres),
        ];
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
        let at = |outer: Option<Outer>, place: Option<&Node>, courses: Option<&Courses>, rule: Option<SpacingRule>| {
            let gauges: Vec<f64> = strings?.iter().map(|s| s.model.outer_diameter).collect();
            let (outer, courses) = (outer?, courses?);
            let width = match outer {
                Outer::Spread(_) => 0.0,
                _ => board_width?.value,
            };
            centres(outer, width, rule?, &gauges, courses)
                .map_err(|error| does_not_fit(place.unwrap_or(&table.node), error))
                .ok()
        };
        let margin_node = by_margin.and_then(|margins| margins.table.get("margin"));
        let nut_place = margin_node.as_ref().or(nut_spread.as_ref().map(|got| &got.at));
        let (nut_courses, saddle_courses) = (laid(nut_pair), laid(saddle_pair));
        let at_nut = at(outer, nut_place, nut_courses.as_ref(), rules[0]);
        let saddle_place = saddle_spread.as_ref().map(|got| &got.at);
        let at_saddle = at(
            by_spread(&saddle_spread),
            saddle_place,
            saddle_courses.as_ref(),
            rules[1],
        );
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
        profiles: &Profiles,
    ) -> Option<Self> {
        let table = table.table(&STRINGS)?;
        let set_node = table.get("set");
        let set = set_node.as_ref().and_then(|n| find_set(n, profiles));
        let set_lost = set_node.is_some() && set.is_none();
        let spelled = spelled.map(spelled_out);
        let count = if set_lost { None } else { count(set, spelled.as_deref()) };
        if !set_lost && set.is_none() && spelled.is_none() {
            table.lacks("set", "Name a set, or spell the strings out as [[string]].");
        }
        table.node.source.strings.set(count);
        let tuning = table.get("tuning").and_then(|n| tuning(&n, count));
        let a4 = table.get("a4").map_or(Some(440.0), |n| n.number(&limits::A4, "Hz"));
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
        let across = Across::read(&table, count, set, strings.as_deref(), margins);
        let press = table.get("press").and_then(|n| Some(n.got(n.length(&limits::PRESS)?)));
        Some(Self {
            count,
            set: set.map(|set| set.name.clone()),
            strings,
            press,
            places: across.places,
            saddle_spread: across.saddle_spread,
            outer: across.outer,
            nut_rule: across.nut_rule,
            nut_courses: across.nut_courses,
        })
    }

    /// Runs of the strings, bass to treble.
    pub(crate) fn runs(&self, scale: f64) -> Option<Vec<StringRun>> {
        let [nut, saddle] = self.places.as_ref()?;
        let runs = nut.iter().zip(saddle);
        Some(
            runs.map(|(nut, saddle)| StringRun::between(*nut, *saddle, scale))
                .collect(),
        )
    }
}

const RULES: [(&str, SpacingRule); 2] = [
    ("equal gaps", SpacingRule::EqualGaps),
    ("equal centres", SpacingRule::EqualCentres),
];

fn does_not_fit(node: &Node, error: SpacingError) {
    match error {
        SpacingError::TooTight(gap) => node.refuse(format!(
            "The strings do not fit: the clear gap between neighbours would be {}. Look at the spread, the gauges and \
             the distance within a pair.",
            node.source.show(gap)
        )),
        other => node.refuse(format!("The strings cannot be placed: {other}.")),
    }
}

fn find_set<'p>(node: &Node, profiles: &'p Profiles) -> Option<&'p StringSet> {
    let name = node.text()?;
    let set = profiles.string_set(name);
    if set.is_none() {
        let known: Vec<&str> = profiles.string_sets().collect();
        node.refuse(unknown(name, &known, "string set"));
    }
    set
}

/// Note names with their places, bass to treble.
fn tuning<'a>(node: &Node<'a>, count: Option<usize>) -> Option<Vec<Got<'a, String>>> {
    let Some(parts) = node.list() else {
        node.refuse("Expected a list of note names from bass to treble, such as [\"E2\", \"A2\", \"D3\", \"G3\", \"B3\", \"E4\"].");
        return None;
    };
    let notes: Vec<_> = parts
        .iter()
        .map(|part| {
            let note = part.text()?;
            is_note(part, note).then(|| part.got(note.to_owned()))
        })
        .collect();
    if !fits(node, parts.len(), count) {
        return None;
    }
    notes.into_iter().collect()
}

/// Keys that a description gives of how the string is made.
fn construction(spec: &StringSpec) -> impl Iterator<Item = &'static str> {
    let given = [
        ("core", spec.core.is_some()),
        ("core_shape", spec.core_shape.is_some()),
        ("core_material", spec.core_material.is_some()),
        ("material", spec.material.is_some()),
        ("wrap", spec.wrap.is_some()),
    ];
    given.into_iter().filter_map(|(key, given)| given.then_some(key))
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
    let set_node = strings.get("set").unwrap_or_else(|| strings.node.clone());
    let place = |key: &str| match own {
        Some(own) => own.table.get(key).unwrap_or_else(|| own.table.node.clone()),
        None => set_node.clone(),
    };
    let in_string = |what: &str| format!("String {number}: {what}");
    if own.is_some_and(|own| !own.sound) {
        return None;
    }
    if let (Some(tuned), Some(note)) = (tuned, &top.note)
        && tuned.value != *note
    {
        place("note").refuse(in_string(&format!(
            "the tuning gives {}, this note {note}. Keep one of them.",
            tuned.value
        )));
        return None;
    }
    let note_node = match (tuned, &top.note) {
        (Some(tuned), _) => tuned.at.clone(),
        (None, Some(_)) => place("note"),
        (None, None) => set_node.clone(),
    };
    let note = tuned.map(|t| t.value.clone()).or(spec.note.clone());
    if note.is_none() {
        place("note").refuse(in_string(
            "its note is missing. Write note = \"E2\" or the like here, or a tuning in [strings].",
        ));
    }
    // A gauge laid over a measured string would leave the old string's mass.
    if let (Some(base), Some(_)) = (base, top.gauge)
        && base.linear_density.is_some()
        && spec.linear_density == base.linear_density
        && top.linear_density.is_none()
    {
        place("gauge").refuse(in_string(
            "the set gives this string by its measured linear_density, which does not fit another gauge. Give \
             linear_density and stretch_response too.",
        ));
        return None;
    }
    if let (Some(base), Some(_), None) = (base, top.gauge, top.core)
        && base.core.is_some()
        && spec.core == base.core
    {
        place("gauge").doubt(in_string(
            "the gauge is yours but the core is still the set's. Give core too if you can measure it.",
        ));
    }
    let measured = spec.linear_density.is_some() && spec.stretch_response.is_some();
    for key in construction(top).filter(|_| measured) {
        place(key).doubt(in_string(
            "this is not used, because linear_density and stretch_response say all that the construction would. \
             Leave it out.",
        ));
    }
    let model = spec
        .model(&profiles.wire)
        .map_err(|fault| place(fault.key).refuse(in_string(&fault.what)))
        .ok();
    if let (Some(_), Some(fault)) = (&model, spec.doubt()) {
        place(fault.key).doubt(in_string(&fault.what));
    }
    let (note, mut model, a4) = (note?, model?, a4?);
    let stretch = own.and_then(|own| own.stretch.clone());
    if let Some(factor) = &stretch {
        model.stiffness = model.stiffness.scaled(factor.value);
    }
    let frequency = frequency(&note, a4).ok()?;
    let carrier = match spec.kind {
        Some(StringKind::Wound) => spec.core_material.as_deref(),
        _ => spec.material.as_deref(),
    };
    Some(OneString {
        number: u32::try_from(number).unwrap_or(u32::MAX),
        note,
        frequency,
        model,
        wound: spec.kind == Some(StringKind::Wound),
        steel: !measured && carrier == Some("steel"),
        stretch,
        at: note_node,
    })
}

/// Strings in each course, bass to treble: as said, else the set's own.
fn courses(table: &Table, count: usize, set: Option<&StringSet>) -> Option<Vec<usize>> {
    let Some(node) = table.get("courses") else {
        return Some(set.map_or_else(|| vec![1; count], |set| set.courses.clone()));
    };
    if let Some(parts) = node.list() {
        let limit = limits::Limit {
            least: 1.0,
            most: 2.0,
            usual: (1.0, 2.0),
            hint: "A course is 1 string or a pair of 2.",
        };
        let sizes: Vec<_> = parts.iter().map(|part| part.whole(&limit)).collect();
        let sizes: Option<Vec<usize>> = sizes.into_iter().map(|size| usize::try_from(size?).ok()).collect();
        let sizes = sizes?;
        let held: usize = sizes.iter().sum();
        if held != count {
            node.refuse(format!(
                "The courses hold {held} strings, but there are {count}. Write 1 or 2 for each course, from bass to treble."
            ));
            return None;
        }
        return Some(sizes);
    }
    if !node.is_text() {
        node.refuse("Expected \"single\", \"pairs\", or a list such as [1, 2, 2, 1] from bass to treble.");
        return None;
    }
    let pairs = node.choice(&[("single", false), ("pairs", true)])?;
    if !pairs {
        return Some(vec![1; count]);
    }
    if count % 2 == 1 {
        node.refuse(format!(
            "{count} strings do not make pairs. Write a list such as [1, 2, 2], from bass to treble."
        ));
        return None;
    }
    Some(vec![2; count / 2])
}
