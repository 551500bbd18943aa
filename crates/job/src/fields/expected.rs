//! What is expected in a field, in words, with examples that the bench would write.

use units::BenchUnit;

use super::row::{Field, Kind, List, Spread, Tool};
use crate::said::one_of;

impl Field {
    /// What is expected, as the end of a sentence.
    pub(crate) fn expected(&self, bench: BenchUnit) -> String {
        match self.key {
            "ends.bass" => "the value at the bass string".to_owned(),
            "ends.treble" => "the value at the treble string".to_owned(),
            "instrument.board_radius" => "\"flat\", a radius, or one at each of two places: { nut = .., fret_12 = .. }".to_owned(),
            "instrument.frets" | "instrument.frets:bass" | "instrument.frets:treble" => {
                "a list of lengths from fret 0 to fret 1, 2, 3 and on, at least to fret 12".to_owned()
            }
            "instrument.fret_wear" => "a list of heights, fret 1 first, \"0 mm\" where a crown is as high as the rest".to_owned(),
            "instrument.relief" => "the gap at mid-span, or the gap and its fret: { gap = .., fret = 7 }".to_owned(),
            "target.action_at" => "a fret with its action: { fret = 5, action = .. }".to_owned(),
            "nut_blank.top" => "\"follow\", or the radius of an arc".to_owned(),
            "filing.crown" => "\"planned\", \"flat\", \"facet\" or \"rounded\", or a list of these from bass to treble".to_owned(),
            "strung.with" => "the name of a tool, or a list such as [\"feelers\", \"tuner\"]".to_owned(),
            "strung.cents_at" => "a list such as [{ fret = 5, cents = [1, 1, 0, \"-\", 2, 1] }]".to_owned(),
            "readings.sure_to" => {
                "a length, an angle such as \"1 deg\", cents such as \"3 cents\", or a share of what is read such as 0.05".to_owned()
            }
            "readings.action_at" => {
                let [one, bass, treble] = Self { tool: Tool::Rule, ..*self }.examples(bench);
                format!(
                    "a list such as [{{ fret = 5, action = {{ bass = {bass}, treble = {treble} }} }}, {{ fret = 7, action = [{one}, \"-\", ..] }}]"
                )
            }
            "readings.cents_at" => "a list such as [{ fret = 5, cents = [1, 1, 0, \"-\", 2, 1] }]".to_owned(),
            "doubt.nut_to_12" | "doubt.relief" | "doubt.board_radius" | "doubt.lean" => {
                "true, which strikes the one reading out".to_owned()
            }
            "doubt.edge_from_fret_12" | "doubt.bridge_top" | "doubt.depth" | "doubt.reference_contact"
            | "doubt.reference_height" | "doubt.reference_back" => {
                "true for both ends, or \"bass\" or \"treble\" for one".to_owned()
            }
            key if key.starts_with("doubt.") => {
                "true for all strings, \"bass\" or \"treble\" for an outer one, or a list of string numbers such as [6, 1]; string 1 is the treble-most".to_owned()
            }
            "nut_cut.slot_cutters" => "a list of names of cutters, such as [\"V 60 degrees\"]".to_owned(),
            "nut_cut.saws" => "a list of names of saws, such as [\"saw 0.3 mm\"]".to_owned(),
            _ => self.by_kind(bench),
        }
    }

    /// The same for one value of several.
    pub(crate) fn expected_once(&self, bench: BenchUnit) -> String {
        let spread = match self.key {
            _ if self.kind == Kind::Contour => return self.expected(bench),
            key if key.starts_with("doubt.") => return self.expected(bench),
            _ => Spread::One,
        };
        Self { spread, ..*self }.by_kind(bench)
    }

    fn by_kind(&self, bench: BenchUnit) -> String {
        let [one, bass, treble] = self.examples(bench);
        let ends = format!("{{ bass = {bass}, treble = {treble} }}");
        match (self.kind, self.spread) {
            (Kind::Text, _) => "text in quotes".to_owned(),
            (Kind::YesNo, _) => "true or false, without quotes".to_owned(),
            (Kind::Choice(words), _) => {
                let quoted: Vec<String> = words.iter().map(|(word, _)| format!("\"{word}\"")).collect();
                one_of(&quoted)
            }
            (Kind::Name(_), _) => format!("the name of a {}", self.list_word()),
            (Kind::Names(_), _) => format!("a list of names, each of a {}", self.list_word()),
            (Kind::Several(words), _) => {
                let quoted: Vec<String> = words.iter().map(|(word, _)| format!("\"{word}\"")).collect();
                format!("a list, in brackets, of {}", one_of(&quoted))
            }
            (Kind::Note, _) => "a note name with its octave, such as \"E2\"".to_owned(),
            (Kind::Notes, _) => {
                "a list of note names from bass to treble, such as [\"E2\", \"A2\", \"D3\", \"G3\", \"B3\", \"E4\"]"
                    .to_owned()
            }
            (Kind::Courses, _) => {
                "\"single\", \"pairs\", or a list such as [1, 2, 2, 1] from bass to treble".to_owned()
            }
            (Kind::Table, _) => format!("a table [{}]", self.key),
            (Kind::Whole, _) => "a whole number without quotes".to_owned(),
            (Kind::Number(""), Spread::Listed) => {
                "{ bass = .., treble = .. } for the outer strings, or a list of numbers from bass to treble, \"-\" where none was read".to_owned()
            }
            (Kind::Number(""), _) => "a number without quotes".to_owned(),
            (Kind::Number(unit), _) => format!("a number without quotes, in {unit}"),
            (Kind::Cents, Spread::Listed) => {
                "a list of cents from bass to treble, such as [3, 2, \"-\", 1, 4, 1]; \"-\" where none was read"
                    .to_owned()
            }
            (Kind::Cents, Spread::Paired) => "cents such as 3, or { total = 3, correlation = 0.8 }".to_owned(),
            (Kind::Cents, _) => "cents such as 3 or \"-2 cents\"".to_owned(),
            (_, Spread::Ends) => format!("one value for both ends such as {one}, or {ends}"),
            (_, Spread::Strings) => {
                format!("one value for all strings such as {one}, {ends}, or a list from bass to treble")
            }
            (_, Spread::Sparse) => {
                format!("one value for all strings such as {one}, {ends}, or a list from bass to treble, \"-\" where there is none")
            }
            (_, Spread::Listed) => {
                format!("{ends} for the outer strings, or a list from bass to treble, \"-\" where none was read")
            }
            (_, Spread::Paired) => format!("a length such as {one}, or {{ total = {one}, correlation = 0.5 }}"),
            (Kind::Angle, _) => format!("an angle such as {one} or \"0.5 mm over 3.2 mm\""),
            (Kind::Contour, _) => {
                "a list of pairs, distance inward from the end and height over the slot floor, such as [[\"0 mm\", \"5 mm\"], [\"8 mm\", \"7 mm\"]], or \"0 mm: 5 mm; 8 mm: 7 mm\"".to_owned()
            }
            (Kind::Other, _) => "a value".to_owned(),
            (Kind::Length, _) => format!("a length such as {one}"),
        }
    }

    /// One value, and one at each end, as its tool and the bench would have it.
    fn examples(&self, bench: BenchUnit) -> [&'static str; 3] {
        if self.kind == Kind::Angle {
            return ["\"9 deg\"", "\"9 deg\"", "\"8 deg\""];
        }
        match (self.tool, bench.is_metric()) {
            (Tool::Feeler | Tool::Fine, true) => ["\"0.25 mm\"", "\"0.5 mm\"", "\"0.35 mm\""],
            (Tool::Feeler | Tool::Fine, _) => ["\"10 thou\"", "\"20 thou\"", "\"14 thou\""],
            (Tool::Micrometer, true) => ["\"0.30 mm\"", "\"1.35 mm\"", "\"0.30 mm\""],
            (Tool::Micrometer, _) => ["\"0.012 in\"", "\"0.053 in\"", "\"0.012 in\""],
            (Tool::RadiusGauge, true) => ["\"400 mm\"", "\"300 mm\"", "\"400 mm\""],
            (Tool::RadiusGauge, _) => ["\"16 in\"", "\"12 in\"", "\"16 in\""],
            (Tool::Caliper | Tool::DepthRod, false) => ["\"0.126 in\"", "\"0.210 in\"", "\"0.205 in\""],
            (_, true) => ["\"3.2 mm\"", "\"2.4 mm\"", "\"1.9 mm\""],
            _ => ["\"1/8 in\"", "\"6/64 in\"", "\"5/64 in\""],
        }
    }

    /// What the names of its list are names of.
    pub(crate) fn list_word(&self) -> &'static str {
        match self.kind {
            Kind::Name(List::Sets) => "string set",
            Kind::Name(List::StringMaterials) => "string material",
            Kind::Name(List::WrapMetals) => "wrap metal",
            Kind::Name(List::Blanks) => "blank material",
            Kind::Name(List::Woods) => "wood",
            Kind::Name(List::Tools) => "tool",
            Kind::Name(List::Machines) => "machine",
            Kind::Name(List::Cutting) => "material whose cutting is known",
            _ => "cutter",
        }
    }
}
