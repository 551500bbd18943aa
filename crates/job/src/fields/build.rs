//! How a row is written: a kind, then what else is to be said of the field.

pub(super) use super::row::List::{
    Balls, Blanks, Cutting, Flats, Groovers, Machines, Saws, Sets, StringMaterials, Tools, Woods, WrapMetals,
};
pub(super) use super::row::Range;
pub(super) use super::row::Tool::{Caliper, DepthRod, Feeler, Fine, Micrometer, RadiusGauge, Rule};
pub(super) use super::row::When::{All, Any, Given, Is, ManyStrings, Pairs, SetChosen};
pub(super) use super::row::{Field, Kind, Start, When};
use super::row::{List, Spread, Tool};
pub(super) use super::station::Station as At;
use super::station::Station;
pub(super) use super::when::{NUT_MADE, SADDLE_MADE, SADDLE_STAYS, SPELLED_OUT};

/// A key's table and name.
const fn place(key: &'static str) -> (&'static str, &'static str) {
    let bytes = key.as_bytes();
    let mut at = bytes.len();
    while at > 0 {
        at -= 1;
        if bytes[at] == b'.' || bytes[at] == b':' {
            let (table, rest) = key.split_at(at);
            return (table, rest.split_at(1).1);
        }
    }
    ("", key)
}

pub(super) const fn field(key: &'static str, kind: Kind) -> Field {
    Field {
        key,
        place: place(key),
        kind,
        spread: Spread::One,
        tool: Tool::None,
        range: Range::ANY,
        needed: false,
        default: "",
        older: &[],
        otherwise: "",
        value: "",
        page: "",
        station: Station::Unasked,
        folded: false,
        title: "",
        how: "",
        help: "",
        assumed: None,
        start: Start::None,
        when: When::Always,
        required: When::Always,
        strings_off: false,
    }
}

pub(super) const fn length(key: &'static str, tool: Tool) -> Field {
    Field {
        tool,
        ..field(key, Kind::Length)
    }
}

pub(super) const fn contour(key: &'static str) -> Field {
    Field {
        tool: Tool::Caliper,
        ..field(key, Kind::Contour).value("list of pairs, or text")
    }
}

pub(super) const fn angle(key: &'static str) -> Field {
    field(key, Kind::Angle)
}

pub(super) const fn cents(key: &'static str) -> Field {
    field(key, Kind::Cents)
}

pub(super) const fn number(key: &'static str, unit: &'static str) -> Field {
    field(key, Kind::Number(unit))
}

pub(super) const fn whole(key: &'static str) -> Field {
    field(key, Kind::Whole)
}

pub(super) const fn choice(key: &'static str, choices: &'static [(&'static str, &'static str)]) -> Field {
    field(key, Kind::Choice(choices))
}

pub(super) const fn name(key: &'static str, list: List) -> Field {
    field(key, Kind::Name(list))
}

pub(super) const fn range(least: f64, most: f64) -> Range {
    Range {
        least,
        most,
        usual: (least, most),
        hint: "",
    }
}

impl Range {
    pub(super) const fn usual(self, from: f64, to: f64) -> Self {
        Self {
            usual: (from, to),
            ..self
        }
    }

    pub(super) const fn hint(self, hint: &'static str) -> Self {
        Self { hint, ..self }
    }
}

impl Field {
    /// Words of older files for choices of today.
    pub(super) const fn older(self, older: &'static [(&'static str, &'static str)]) -> Self {
        Self { older, ..self }
    }

    /// What is allowed.
    pub(super) const fn from(self, least: f64, most: f64) -> Self {
        self.is(range(least, most))
    }

    /// What raises no doubt.
    pub(super) const fn usual(self, from: f64, to: f64) -> Self {
        let range = self.range.usual(from, to);
        self.is(range)
    }

    pub(super) const fn hint(self, hint: &'static str) -> Self {
        let range = self.range.hint(hint);
        self.is(range)
    }

    pub(super) const fn is(self, range: Range) -> Self {
        Self { range, ..self }
    }

    const fn spread(self, spread: Spread) -> Self {
        Self { spread, ..self }
    }

    pub(super) const fn ends(self) -> Self {
        self.spread(Spread::Ends)
    }

    pub(super) const fn strings(self) -> Self {
        self.spread(Spread::Strings)
    }

    pub(super) const fn sparse(self) -> Self {
        self.spread(Spread::Sparse)
    }

    pub(super) const fn all_or_each(self) -> Self {
        self.spread(Spread::AllOrEach)
    }

    pub(super) const fn each_string(self) -> Self {
        self.spread(Spread::EachString)
    }

    pub(super) const fn listed(self) -> Self {
        self.spread(Spread::Listed)
    }

    pub(super) const fn paired(self) -> Self {
        self.spread(Spread::Paired)
    }

    pub(super) const fn needed(self) -> Self {
        Self { needed: true, ..self }
    }

    /// The value taken where none is given.
    pub(super) const fn default(self, default: &'static str) -> Self {
        Self { default, ..self }
    }

    /// What holds where none is given, in words.
    pub(super) const fn otherwise(self, otherwise: &'static str) -> Self {
        Self { otherwise, ..self }
    }

    /// The page's words for what is written, where its kind does not say it.
    pub(super) const fn value(self, value: &'static str) -> Self {
        Self { value, ..self }
    }

    /// The page's words for how it is read.
    pub(super) const fn page(self, page: &'static str) -> Self {
        Self { page, ..self }
    }

    pub(super) const fn ask(self, station: Station, title: &'static str, how: &'static str) -> Self {
        Self {
            station,
            title,
            how,
            ..self
        }
    }

    /// A setting: the survey does not ask it, and it may always be left out.
    pub(super) const fn set(self, station: Station, title: &'static str, how: &'static str) -> Self {
        self.ask(station, title, how).optional()
    }

    pub(super) const fn help(self, help: &'static str) -> Self {
        Self { help, ..self }
    }

    pub(super) const fn start(self, start: Start) -> Self {
        Self { start, ..self }
    }

    pub(super) const fn start_with(self, text: &'static str) -> Self {
        let start = match self.spread {
            Spread::Ends | Spread::Strings => Start::TextSame(text),
            _ => Start::Text(text),
        };
        self.start(start)
    }

    /// Enter takes the default.
    pub(super) const fn start_usual(self) -> Self {
        let text = self.default;
        self.start_with(text)
    }

    pub(super) const fn when(self, when: When) -> Self {
        Self { when, ..self }
    }

    pub(super) const fn required(self, required: When) -> Self {
        Self { required, ..self }
    }

    pub(super) const fn optional(self) -> Self {
        self.required(When::Never)
    }

    /// It stands folded: usual as it is, or seldom read.
    pub(super) const fn folded(self) -> Self {
        Self { folded: true, ..self }
    }

    /// It may be assumed: the key that says so, and what is usual.
    pub(super) const fn may_be_assumed(self, key: &'static str, usual: &'static str) -> Self {
        Self {
            assumed: Some((key, usual)),
            ..self
        }
    }

    pub(super) const fn strings_off(self) -> Self {
        Self {
            strings_off: true,
            ..self
        }
    }
}
