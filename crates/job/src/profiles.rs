//! Profiles: string sets, materials, tools of the bench, cutters and machines by name, built in and added.

mod cutting;
pub(crate) mod kind;
mod length;
pub(crate) mod rows;
mod slips;
mod tools;
mod wire;

use cutting::{CutterEntry, CuttingEntry, MachineEntry};
use instrument::Of;
pub(crate) use length::length;
use machining::CutterShape as Shape;
use serde::Deserialize;
use strings::{CoreShape, Material, PitchError, frequency};
use toml::Spanned;
use tools::ToolEntry;
#[cfg(test)]
pub(crate) use tools::read_as;
pub use tools::{BenchTool, SureTo, reading_word};
pub(crate) use tools::{SureIn, reading_words};
use units::BenchUnit;
pub(crate) use wire::Wire;

use crate::mending::is_sound;
use crate::parse::parse;
use crate::problem::{ProblemKind, printable};
use crate::source::SourceText;
use crate::string_spec::{StringKind, StringSpec};
use crate::{List, Problem, Severity};

/// Most characters of a profile's name.
const MOST_NAME: usize = 80;

/// The profiles that are built into the program: file name and text, materials before the strings that use them.
pub(crate) const BUILT_IN: [(&str, &str); 6] = [
    ("materials.toml", include_str!("../../../profiles/materials.toml")),
    ("strings.toml", include_str!("../../../profiles/strings.toml")),
    ("tools.toml", include_str!("../../../profiles/tools.toml")),
    ("cutting.toml", include_str!("../../../profiles/cutting.toml")),
    ("cutters.toml", include_str!("../../../profiles/cutters.toml")),
    ("machines.toml", include_str!("../../../profiles/machines.toml")),
];

/// String sets, string materials, wrap metals, blank materials, tools of the bench, cutters and machines by name.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Profiles {
    sets: Vec<StringSet>,
    pub(crate) wire: Wire,
    materials: Vec<BlankMaterial>,
    tools: Vec<BenchTool>,
    cutting: Vec<machining::Material>,
    cutters: Vec<machining::Cutter>,
    machines: Vec<machining::Machine>,
}

/// A set of strings.
#[derive(Debug, Clone, PartialEq)]
pub struct StringSet {
    /// Its name.
    pub name: String,
    /// Strings in each course, bass to treble.
    pub courses: Vec<usize>,
    /// Strings, bass to treble; each has a note and builds a model.
    pub strings: Vec<StringSpec>,
    /// Where its figures come from.
    pub source: String,
}

/// A material that blanks are made of.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BlankMaterial {
    /// Its name.
    pub name: String,
    /// Density, g/cm3, if given.
    pub density: Option<f64>,
    /// Its kind of dust: `bone`, `shell`, `synthetic`, `metal` or `wood`. Selects the caution text.
    pub dust: Dust,
    /// Whether it may be protected by law, so that the user should check before buying, working or travelling.
    #[serde(default)]
    pub check_law: bool,
    /// Where its figures come from.
    pub source: String,
}

/// Kind of dust that a material makes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Dust {
    /// Bone, horn, antler, ivory.
    Bone,
    /// Shell and mother-of-pearl.
    Shell,
    /// Plastics and resin-bound paper or linen.
    Synthetic,
    /// Metals.
    Metal,
    /// Wood.
    Wood,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[serde(default)]
    string_set: Vec<SetEntry>,
    #[serde(default)]
    string_material: Vec<Spanned<StringMaterialEntry>>,
    #[serde(default)]
    wrap: Vec<Spanned<WrapEntry>>,
    #[serde(default)]
    blank_material: Vec<Spanned<BlankMaterial>>,
    #[serde(default)]
    tool: Vec<Spanned<ToolEntry>>,
    #[serde(default)]
    cutting: Vec<Spanned<CuttingEntry>>,
    #[serde(default)]
    cutter: Vec<Spanned<CutterEntry>>,
    #[serde(default)]
    machine: Vec<Spanned<MachineEntry>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SetEntry {
    name: Spanned<String>,
    courses: Option<Vec<usize>>,
    source: String,
    string: Vec<Spanned<StringEntry>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct StringEntry {
    number: usize,
    note: String,
    gauge: String,
    kind: KindEntry,
    core: Option<String>,
    core_shape: Option<ShapeEntry>,
    core_material: Option<String>,
    material: Option<String>,
    wrap: Option<String>,
    linear_density: Option<f64>,
    stretch_response: Option<f64>,
    /// Where the figures come from, if not as the set's; kept in the file for its readers.
    #[serde(rename = "source")]
    _source: Option<String>,
}

#[derive(Deserialize)]
#[serde(rename_all = "lowercase")]
enum KindEntry {
    Plain,
    Wound,
}

#[derive(Deserialize)]
#[serde(rename_all = "lowercase")]
enum ShapeEntry {
    Round,
    Hexagonal,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct StringMaterialEntry {
    name: String,
    /// g/cm3.
    density: f64,
    /// GPa.
    modulus: f64,
    #[serde(rename = "source")]
    _source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WrapEntry {
    name: String,
    /// g/cm3.
    density: f64,
    #[serde(rename = "source")]
    _source: String,
}

impl File {
    /// Every name: where it stands, of what.
    fn names(&self) -> Vec<(usize, &'static str, &str)> {
        fn of<'a, T>(
            list: &'a [Spanned<T>],
            kind: &'static str,
            name: fn(&T) -> &str,
        ) -> Vec<(usize, &'static str, &'a str)> {
            let one = |entry: &'a Spanned<T>| (entry.span().start, kind, name(entry.get_ref()));
            list.iter().map(one).collect()
        }
        let sets = self.string_set.iter();
        let mut names = of(&self.string_material, "string_material", |entry| &entry.name);
        names.extend(of(&self.wrap, "wrap", |entry| &entry.name));
        names.extend(of(&self.blank_material, "blank_material", |entry| &entry.name));
        names.extend(of(&self.tool, "tool", |entry| &entry.name));
        names.extend(of(&self.cutting, "cutting", |entry| &entry.name));
        names.extend(of(&self.cutter, "cutter", |entry| &entry.name));
        names.extend(of(&self.machine, "machine", |entry| &entry.name));
        names.extend(sets.map(|set| (set.name.span().start, "string_set", set.name.get_ref().as_str())));
        names
    }
}

impl Profiles {
    /// The profiles that come with the program.
    #[must_use]
    pub fn built_in() -> Self {
        let mut profiles = Self::default();
        for (name, text) in BUILT_IN {
            // A test holds that these have no problems.
            let _ = profiles.add_text(name, text);
        }
        profiles
    }

    /// Adds the profiles of a text; a profile replaces one of the same name and kind. `name` is that of the file, for
    /// messages. A string set may use the materials of the same text and of those added before it.
    ///
    /// # Errors
    /// Every problem found; then nothing is added.
    pub fn add_text(&mut self, name: &str, text: &str) -> Result<(), Vec<Problem>> {
        let source = SourceText::new(text);
        let problem = |at: usize, field: String, what: String| Problem {
            severity: Severity::Error,
            line: Some(source.line(at)),
            field,
            read: None,
            kind: ProblemKind::Profile {
                name: name.to_owned(),
                what,
            },
            bench: BenchUnit::METRIC,
        };
        if !is_sound(text) {
            let _ = parse(&source, text);
            let named = |found: Problem| Problem {
                kind: ProblemKind::Profile {
                    name: name.to_owned(),
                    what: found.what(),
                },
                ..found
            };
            let layout = source.outcome::<()>(None).err().unwrap_or_default();
            return Err(layout.into_iter().map(named).collect());
        }
        let file: File = toml::from_str(text).map_err(|error| {
            let slips = slips::slips(text).into_iter();
            let mut told: Vec<Problem> = slips.map(|slip| problem(slip.at, slip.field, slip.what)).collect();
            if told.is_empty() {
                // No known text comes here.
                let at = error.span().map_or(0, |span| span.start);
                told.push(problem(at, String::new(), format!("{}.", error.message())));
            }
            crate::problem::in_line_order(&mut told);
            told
        })?;
        let mut next = self.clone();
        let mut problems = Vec::new();
        for (at, kind, name) in file.names() {
            let long = name.chars().count();
            if long > MOST_NAME {
                let what = format!("The name is {long} characters long; {MOST_NAME} is the most. Shorten it.");
                problems.push(problem(at, format!("{kind} \"{}\"", printable(name)), what));
            }
        }
        for entry in file.string_material {
            let at = entry.span().start;
            let entry = entry.into_inner();
            positive(
                &[("density", entry.density), ("modulus", entry.modulus)],
                &mut |key, what| {
                    problems.push(problem(at, format!("string_material \"{}\" {key}", entry.name), what));
                },
            );
            let material = Material {
                density: entry.density,
                modulus: entry.modulus,
            };
            replace(&mut next.wire.materials, (entry.name, material), |m| &m.0);
        }
        for entry in file.wrap {
            let at = entry.span().start;
            let entry = entry.into_inner();
            positive(&[("density", entry.density)], &mut |key, what| {
                problems.push(problem(at, format!("wrap \"{}\" {key}", entry.name), what));
            });
            replace(&mut next.wire.wraps, (entry.name, entry.density), |w| &w.0);
        }
        for entry in file.blank_material {
            let at = entry.span().start;
            let entry = entry.into_inner();
            positive(&[("density", entry.density.unwrap_or(1.0))], &mut |key, what| {
                problems.push(problem(at, format!("blank_material \"{}\" {key}", entry.name), what));
            });
            replace(&mut next.materials, entry, |m| &m.name);
        }
        let mut fault = |at: usize, kind: &str, name: &str, (key, what): (&str, String)| {
            problems.push(problem(
                at,
                format!("{kind} \"{name}\" {key}").trim_end().to_owned(),
                what,
            ));
        };
        for entry in file.tool {
            match entry.get_ref().tool() {
                Ok(tool) => replace(&mut next.tools, tool, |t| &t.name),
                Err(why) => fault(entry.span().start, "tool", &entry.get_ref().name, why),
            }
        }
        for entry in file.cutting {
            match entry.get_ref().material() {
                Ok(material) => replace(&mut next.cutting, material, |m| &m.name),
                Err(why) => fault(entry.span().start, "cutting", &entry.get_ref().name, why),
            }
        }
        for entry in file.cutter {
            match entry.get_ref().cutter() {
                Ok(cutter) => replace(&mut next.cutters, cutter, |c| &c.name),
                Err(why) => fault(entry.span().start, "cutter", &entry.get_ref().name, why),
            }
        }
        for entry in file.machine {
            match entry.get_ref().machine() {
                Ok(machine) => replace(&mut next.machines, machine, |m| &m.name),
                Err(why) => fault(entry.span().start, "machine", &entry.get_ref().name, why),
            }
        }
        for entry in file.string_set {
            let at = entry.name.span().start;
            let title = format!("string_set \"{}\"", entry.name.get_ref());
            let mut report = |at: usize, key: &str, what: String| {
                problems.push(problem(at, format!("{title} {key}"), what));
            };
            if let Some(set) = set(entry, &next, at, &mut report) {
                replace(&mut next.sets, set, |s| &s.name);
            }
        }
        if problems.is_empty() {
            *self = next;
            Ok(())
        } else {
            crate::problem::in_line_order(&mut problems);
            Err(problems)
        }
    }

    /// Names of the string sets.
    pub fn string_sets(&self) -> impl Iterator<Item = &str> {
        self.sets.iter().map(|set| set.name.as_str())
    }

    /// The string set of this name.
    #[must_use]
    pub fn string_set(&self, name: &str) -> Option<&StringSet> {
        self.sets.iter().find(|set| set.name == name)
    }

    /// Names of the materials of cores and plain strings.
    pub fn string_materials(&self) -> impl Iterator<Item = &str> {
        self.wire.materials()
    }

    /// The string material of this name.
    #[must_use]
    pub fn string_material(&self, name: &str) -> Option<Material> {
        self.wire.material(name)
    }

    /// Names of the wrap metals.
    pub fn wraps(&self) -> impl Iterator<Item = &str> {
        self.wire.wraps()
    }

    /// Density of the wrap metal of this name, g/cm3.
    #[must_use]
    pub fn wrap(&self, name: &str) -> Option<f64> {
        self.wire.wrap(name)
    }

    /// Names of the woods of bridges; no profile adds to them.
    pub fn woods() -> impl Iterator<Item = &'static str> {
        assess::woods().into_iter().map(|wood| wood.name)
    }

    /// Names of the blank materials.
    pub fn materials(&self) -> impl Iterator<Item = &str> {
        self.materials.iter().map(|material| material.name.as_str())
    }

    /// The blank material of this name.
    #[must_use]
    pub fn material(&self, name: &str) -> Option<&BlankMaterial> {
        self.materials.iter().find(|material| material.name == name)
    }

    /// Tools of the bench, with which readings are taken.
    #[must_use]
    pub fn tools(&self) -> &[BenchTool] {
        &self.tools
    }

    /// The tool of this name.
    #[must_use]
    pub fn tool(&self, name: &str) -> Option<&BenchTool> {
        self.tools.iter().find(|tool| tool.name == name)
    }

    /// Every tool that can take this reading, and how sure it is of it; in the order of the profiles.
    pub fn tools_for(&self, of: Of) -> impl Iterator<Item = (&BenchTool, SureTo)> {
        self.tools.iter().filter_map(move |tool| Some((tool, tool.reads(of)?)))
    }

    /// Materials whose cutting is known, under the names of blank materials.
    #[must_use]
    pub fn cutting(&self) -> &[machining::Material] {
        &self.cutting
    }

    /// Cutters.
    #[must_use]
    pub fn cutters(&self) -> &[machining::Cutter] {
        &self.cutters
    }

    /// Names of the cutters that serve where this list is chosen from.
    pub fn cutters_for(&self, list: List) -> impl Iterator<Item = &str> {
        let serves = move |shape: Shape| match list {
            List::Flats => matches!(shape, Shape::Flat | Shape::Corner { .. }),
            List::Balls => matches!(shape, Shape::Ball | Shape::TaperedBall { .. }),
            List::Groovers => matches!(shape, Shape::Ball | Shape::TaperedBall { .. } | Shape::Vee { .. }),
            List::Saws => matches!(shape, Shape::Saw),
            _ => false,
        };
        self.cutters()
            .iter()
            .filter(move |cutter| serves(cutter.shape))
            .map(|cutter| cutter.name.as_str())
    }

    /// Machines.
    #[must_use]
    pub fn machines(&self) -> &[machining::Machine] {
        &self.machines
    }
}

/// Puts `item` in the place of the one of its name, or at the end.
fn replace<T>(list: &mut Vec<T>, item: T, name: impl Fn(&T) -> &String) {
    match list.iter().position(|old| name(old) == name(&item)) {
        Some(at) => list[at] = item,
        None => list.push(item),
    }
}

fn positive(values: &[(&str, f64)], report: &mut impl FnMut(&str, String)) {
    for (key, value) in values {
        if !(value.is_finite() && *value > 0.0) {
            report(key, format!("{value} is not a number above 0."));
        }
    }
}

/// A set that can be used, or reports.
fn set(
    entry: SetEntry,
    profiles: &Profiles,
    at: usize,
    report: &mut impl FnMut(usize, &str, String),
) -> Option<StringSet> {
    let count = entry.string.len();
    let mut strings: Vec<Option<StringSpec>> = vec![None; count];
    let mut sound = true;
    let mut bad = |at: usize, key: &str, what: String| {
        sound = false;
        report(at, key, what);
    };
    if !(1..=12).contains(&count) {
        bad(at, "string", format!("There are {count} strings; 1 to 12 are allowed."));
    }
    for string in entry.string {
        let at = string.span().start;
        let string = string.into_inner();
        let number = string.number;
        let key = |key: &str| format!("string {number} {key}");
        let spec = match spec(string) {
            Ok(spec) => spec,
            Err((field, what)) => {
                bad(at, &key(field), what);
                continue;
            }
        };
        if let Err(fault) = spec.model(&profiles.wire) {
            bad(at, &key(fault.row.name()), fault.kind.words(BenchUnit::METRIC));
        }
        match (1..=count).contains(&number).then(|| &mut strings[count - number]) {
            Some(place @ None) => *place = Some(spec),
            Some(Some(_)) => bad(at, &key("number"), "This number stands twice.".into()),
            None => bad(at, &key("number"), format!("Numbers run from 1 to {count} here.")),
        }
    }
    let courses = entry.courses.unwrap_or_else(|| vec![1; count]);
    if courses.iter().any(|size| !(1..=2).contains(size))
        || courses.iter().try_fold(0usize, |sum, size| sum.checked_add(*size)) != Some(count)
    {
        bad(
            at,
            "courses",
            format!("Each course holds 1 or 2 strings, and all together {count}."),
        );
    }
    let strings: Option<Vec<StringSpec>> = strings.into_iter().collect();
    let strings = strings.filter(|_| sound)?;
    Some(StringSet {
        name: entry.name.into_inner(),
        courses,
        strings,
        source: entry.source,
    })
}

fn spec(entry: StringEntry) -> Result<StringSpec, (&'static str, String)> {
    frequency(&entry.note, 440.0).map_err(|e: PitchError| ("note", format!("{e}.")))?;
    for (key, value) in [
        ("linear_density", entry.linear_density),
        ("stretch_response", entry.stretch_response),
    ] {
        if value.is_some_and(|v| !(v.is_finite() && v > 0.0)) {
            return Err((key, "It is not a number above 0.".into()));
        }
    }
    let core = entry.core.map(|core| length("core", &core)).transpose()?;
    Ok(StringSpec {
        note: Some(entry.note),
        gauge: Some(length("gauge", &entry.gauge)?),
        kind: Some(match entry.kind {
            KindEntry::Plain => StringKind::Plain,
            KindEntry::Wound => StringKind::Wound,
        }),
        core,
        core_shape: entry.core_shape.map(|shape| match shape {
            ShapeEntry::Round => CoreShape::Round,
            ShapeEntry::Hexagonal => CoreShape::Hexagonal,
        }),
        core_material: entry.core_material,
        material: entry.material,
        wrap: entry.wrap,
        linear_density: entry.linear_density,
        stretch_response: entry.stretch_response,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_built_in_files_have_no_problems() {
        let mut profiles = Profiles::default();
        for (name, text) in BUILT_IN {
            assert_eq!(profiles.add_text(name, text), Ok(()), "{name}");
        }
        assert_eq!(profiles, Profiles::built_in());
    }
}
