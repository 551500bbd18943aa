//! A field of a form: of one thing of the shop, of what a job has beside its survey.

/// A field of a form.
#[derive(Debug, Clone, PartialEq)]
pub struct FormField {
    /// Its place in the entry: `corner`, `travel.0` for the first of several, `string.6.gauge` and `reads.action.sure_to` for one of
    /// the tables in it.
    pub key: String,
    /// What it belongs to among others of its like: "String 6". Empty for what is the thing's own.
    pub group: String,
    /// What it is, in a few words.
    pub title: String,
    /// One line more of it.
    pub how: &'static str,
    /// What it takes.
    pub take: FormTake,
    /// May be left empty.
    pub optional: bool,
}

/// What a field takes.
#[derive(Debug, Clone, PartialEq)]
pub enum FormTake {
    /// Words.
    Words,
    /// A length with its unit.
    Length,
    /// How sure a reading is, with its unit.
    Sure,
    /// A number in this unit, which may be none.
    Number(&'static str),
    /// A whole number of these.
    Whole(&'static str),
    /// One of these: as the file has it, and as it is shown.
    Choice(Vec<(String, String)>),
    /// Yes or no.
    YesNo,
    /// Words with spaces between them.
    List,
    /// Whole numbers with spaces between them.
    Wholes,
    /// Letters in a row.
    Letters,
}

impl FormTake {
    /// The unit of its number, if it has one that is not typed.
    #[must_use]
    pub fn unit(&self) -> &'static str {
        match self {
            Self::Number(unit) | Self::Whole(unit) => unit,
            _ => "",
        }
    }
}
