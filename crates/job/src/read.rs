//! From the text of a job file to a job.

use instrument::Readings;
use toml::de::{DeTable, DeValue};
use units::LengthUnit;

use crate::cross;
use crate::fields::f;
use crate::head::head;
use crate::made;
use crate::may::May;
use crate::node::Node;
use crate::over_zero_fret;
use crate::parse::parse;
use crate::parts::Parts;
use crate::sections::book::book;
use crate::sections::doubt::{assumed, doubt};
use crate::sections::nut_blank::saddle_stays;
use crate::sections::readings::{of_old_saddle, readings};
use crate::sections::strung::strung;
use crate::sections::tolerance::{tolerance, uncertainty};
use crate::source::SourceText;
use crate::split::{self, OneOf};
use crate::standing;
use crate::table::Table;
use crate::{Book, Checked, Job, Problem, Profiles};

/// Reads a job file, whatever parts it makes, and checks the whole of it.
///
/// # Errors
/// Every problem found, warnings among them, in line order; at least one is an error.
pub fn read(text: &str, profiles: &Profiles) -> Result<Checked, Vec<Problem>> {
    let source = SourceText::new(text);
    let root = parse(&source, text);
    let empty = DeValue::Table(DeTable::new());
    let job = root.as_ref().and_then(|root| {
        let top = Table::root(&source, root, &empty, "");
        match top.get(f!("saddle")) {
            None => job(&top, profiles, None),
            Some(saddles) => several(&top, &saddles, profiles),
        }
    });
    let (job, warnings) = source.outcome(job)?;
    Ok(Checked { job, warnings })
}

/// A job of several saddles: each is read as a job of one saddle, with what is its own laid over what is common.
fn several(top: &Table, saddles: &Node, profiles: &Profiles) -> Option<Job> {
    let source = top.node.source;
    source.several.set(true);
    let empty = DeValue::Table(DeTable::new());
    let each = split::saddles(saddles)?;
    let mut read = Vec::new();
    for one in &each {
        let laid = one.laid_over(top.written());
        source.own.replace(Some(one.written()));
        let top = Table::root(source, &laid, &empty, "");
        source.own.replace(None);
        one.lacks(&top);
        source.own.replace(Some(one.written()));
        read.push(job(&top, profiles, Some(one)));
        source.own.replace(None);
    }
    let sound = split::all_carried(saddles, &each, source.strings.get()?);
    let read = read.into_iter().collect::<Option<Vec<_>>>()?;
    sound.then(|| split::joined(&each, read))?
}

/// A job of one saddle, which is one of several if `of` is given; its instrument has all strings.
fn job(top: &Table, profiles: &Profiles, of: Option<&OneOf>) -> Option<Job> {
    let head = head(top);
    let parts = Parts::read(top, profiles, of);
    let strung = May::read(top.get(f!("strung")), |n| strung(n, profiles));
    let book = May::read(top.get(f!("book")), book);
    let tolerance = tolerance(top.get(f!("tolerance")).as_ref());
    let uncertainty = uncertainty(top.get(f!("uncertainty")).as_ref());
    over_zero_fret::check(top, &parts);
    if saddle_stays(top) {
        standing::check(top, &parts);
    } else {
        parts.dependents();
    }
    parts.stretch_given_twice();
    cross::check(&parts);
    let unsure = uncertainty.unwrap_or_default();
    let taken = May::read(top.get(f!("readings")), |n| readings(n, &parts, &unsure, profiles));
    let of_old = of_old_saddle(&parts, &unsure);
    let struck = May::read(top.get(f!("doubt")), |n| doubt(n, top, &parts));
    let assumed = May::read(top.get(f!("assumed")), |n| assumed(n, top, &parts));
    let instrument = made::instrument(&parts, head.left_handed);
    let cut = made::saddle_cut(top, &parts, profiles);
    let nut = made::nut(top, &parts, instrument.as_ref(), cut.as_ref(), profiles);
    let good_cents = tolerance.as_ref().map(|setup| setup.band.cents);
    let saddle = made::saddle(top, &parts, instrument.as_ref(), good_cents, cut);
    Some(Job {
        title: head.title?.to_owned(),
        notes: head.notes?.to_owned(),
        book: book.or(Book::default())?,
        unit: head.unit.unwrap_or(LengthUnit::Millimetre),
        bench: head.bench?,
        paper: head.paper?,
        set_name: parts.strung.set.clone(),
        instrument: instrument?,
        saddle: saddle.sound()?,
        split: Vec::new(),
        name: None,
        nut: nut.sound()?,
        strung: strung.sound()?,
        readings: Readings {
            taken: [of_old?, taken.or(Vec::new())?].concat(),
            struck: struck.or(Vec::new())?,
            assumed: assumed.or(Vec::new())?,
            between: parts.between(),
        },
        tolerance: tolerance?,
        uncertainty: uncertainty?,
    })
}
