//! Everything that a job file holds, as read, before its tables are looked at together.

use std::ops::Range;

use assess::Facts;
use instrument::{Between, Board, FretPlaces};
use saddle::CrownSpec;

use crate::fields::f;
use crate::may::May;
use crate::node::Node;
use crate::per_string::PerString;
use crate::problem::{ProblemKind as P, Why};
use crate::sections::also::{Also, also};
use crate::sections::assess::assess as facts;
use crate::sections::bridge::{BlankRead, Exit, crown};
use crate::sections::filing::FilingRead;
use crate::sections::instrument::Neck;
use crate::sections::nut::{Nut, Present, Target, setback_alone};
use crate::sections::nut_blank::{Laid, Margins, saddle_stays};
use crate::sections::slot::{SlotRead, Way};
use crate::sections::strings::Strung;
use crate::source::SourceText;
use crate::split::OneOf;
use crate::table::Table;
use crate::{FilingSetup, Profiles};

/// Everything read, for the checks across tables. What belongs to a saddle is empty where the saddle stays.
pub(crate) struct Parts<'a> {
    pub(crate) source: &'a SourceText<'a>,
    pub(crate) neck: Neck<'a>,
    pub(crate) board: Option<Board>,
    pub(crate) strung: Strung<'a>,
    /// What takes turns with the strings on the same contacts.
    pub(crate) also: May<Vec<Also<'a>>>,
    pub(crate) nut_node: Option<Node<'a>>,
    /// Whether `[nut]` could be read as a table.
    pub(crate) nut_read: bool,
    pub(crate) nut: Nut<'a>,
    pub(crate) nut_blank: Option<Node<'a>>,
    pub(crate) margins: Option<Margins<'a>>,
    pub(crate) present_node: Option<Node<'a>>,
    pub(crate) present: Present<'a>,
    pub(crate) target: Target<'a>,
    /// The strings are solved for a nut setback, if the target says so or not.
    pub(crate) with_setback: Option<bool>,
    pub(crate) slot: SlotRead<'a>,
    pub(crate) exit: May<Exit<'a>>,
    pub(crate) blank: BlankRead<'a>,
    pub(crate) crown: Option<CrownSpec>,
    pub(crate) filing: Option<FilingRead<'a>>,
    /// Readings and limits for `assess`, but for what the strings are wound of.
    pub(crate) facts: Option<Facts>,
    /// Which strings the saddle carries, counted from the bass: all, but for one of several saddles.
    pub(crate) carried: Option<Range<usize>>,
    /// No saddle is made.
    pub(crate) stays: bool,
    /// The saddle has a table `[filing]` of its own, whose lists run over its own strings.
    own_filing: bool,
}

impl<'a> Parts<'a> {
    /// Reads every table that says what is there and what is wanted; `of` is the saddle, where there are several.
    pub(crate) fn read(top: &Table<'a>, profiles: &Profiles, of: Option<&OneOf>) -> Self {
        let stays = saddle_stays(top);
        let neck = top
            .need(f!("instrument"))
            .and_then(|n| Neck::read(&n))
            .unwrap_or_default();
        let spelled = top.get(f!("string"));
        let nut_blank = top.get(f!("nut_blank"));
        let margins = nut_blank.as_ref().and_then(Margins::read);
        let fan = neck.fan.as_ref().map(|fan| &fan.value);
        let strung = top
            .need(f!("strings"))
            .and_then(|n| Strung::read(&n, spelled.as_ref(), margins.as_ref(), fan, profiles));
        let strung = strung.unwrap_or_default();
        let nut_node = top.need(f!("nut"));
        let nut = nut_node.as_ref().and_then(Nut::read);
        let present_node = top.get(f!("present"));
        let present = present_node.as_ref().and_then(Present::read);
        let mut parts = Self {
            source: top.node.source,
            board: neck.board(strung.spread()),
            neck,
            strung,
            also: May::Absent,
            nut_node,
            nut_read: nut.is_some(),
            nut: nut.unwrap_or_default(),
            nut_blank,
            margins,
            present_node,
            present: present.unwrap_or_default(),
            target: Target::default(),
            with_setback: None,
            slot: SlotRead::default(),
            exit: May::Absent,
            blank: BlankRead::default(),
            crown: None,
            filing: None,
            facts: None,
            carried: None,
            stays,
            own_filing: of.is_some_and(|one| one.own_filing),
        };
        let count = parts.strung.count;
        parts.carried = count.and_then(|count| of.map_or(Some(0..count), |one| one.carries(count)));
        if stays {
            parts.with_setback = setback_alone(top.get(f!("target")));
            return parts;
        }
        parts.also = May::read(top.get(f!("also")), |n| also(n, &parts.strung, profiles));
        let target = top.need(f!("target")).and_then(|n| Target::read(&n));
        parts.target = target.unwrap_or_default();
        parts.with_setback = parts.target.with_setback();
        // What is read at the ends of a slot is read under the outer strings of its own saddle.
        let own = parts.carried.as_ref().map(Range::len);
        parts.source.strings.set(own);
        parts.slot = top
            .need(f!("slot"))
            .and_then(|n| SlotRead::read(&n))
            .unwrap_or_default();
        let bridge = top.get(f!("bridge"));
        parts.exit = bridge.as_ref().map_or(May::Absent, Exit::read);
        parts.blank = top
            .need(f!("blank"))
            .and_then(|n| BlankRead::read(&n, profiles))
            .unwrap_or_default();
        parts.crown = crown(top.get(f!("crown")).as_ref());
        if !parts.own_filing {
            parts.source.strings.set(count);
        }
        parts.filing = top.get(f!("filing")).and_then(|n| FilingRead::read(&n));
        parts.source.strings.set(own);
        parts.facts = facts(
            bridge.as_ref(),
            top.get(f!("neck")).as_ref(),
            top.get(f!("assess")).as_ref(),
        );
        parts.source.strings.set(count);
        parts
    }

    /// Places of the strings at fret 12: 0 at the bass-most string, 1 at the treble-most.
    pub(crate) fn shares(&self) -> Option<Vec<f64>> {
        self.shares_within(0..self.strung.count?)
    }

    /// The same for some of them, which they are the outer ones of.
    fn shares_within(&self, strings: Range<usize>) -> Option<Vec<f64>> {
        let [nut, saddle] = self.strung.places.as_ref()?;
        // Fret 12 is half way.
        let places: Vec<f64> = nut
            .get(strings.clone())?
            .iter()
            .zip(saddle.get(strings)?)
            .map(|(nut, saddle)| 0.5 * (nut + saddle))
            .collect();
        let (first, last) = (*places.first()?, *places.last()?);
        let width = last - first;
        let share = |y: &f64| if width > 0.0 { (y - first) / width } else { 0.0 };
        Some(places.iter().map(share).collect())
    }

    /// The crown as it stands under the saddle's own strings, by `[filing]`.
    pub(crate) fn filed(&self, filing: &FilingRead) -> Option<FilingSetup> {
        let carried = self.carried.clone()?;
        if self.own_filing {
            return filing.resolve(&self.shares_within(carried)?);
        }
        Some(filing.resolve(&self.shares()?)?.of_strings(carried))
    }

    /// Places of the saddle's own strings across, at nut and saddle, mm.
    pub(crate) fn own_places(&self) -> Option<[&[f64]; 2]> {
        let [nut, saddle] = self.strung.places.as_ref()?;
        let carried = self.carried.clone()?;
        Some([nut.get(carried.clone())?, saddle.get(carried)?])
    }

    /// Where the saddle's own outer strings lie across at fret 12; `None` where it carries all strings.
    fn own_shares(&self) -> Option<[f64; 2]> {
        let carried = self
            .carried
            .clone()
            .filter(|own| Some(own.len()) != self.strung.count)?;
        let shares = self.shares()?;
        let own = shares.get(carried)?;
        Some([*own.first()?, *own.last()?])
    }

    /// Places of the frets along the saddle's own outer strings.
    pub(crate) fn own_frets(&self) -> Option<[FretPlaces; 2]> {
        let fan = &self.neck.fan.as_ref()?.value;
        Some(
            self.own_shares()
                .map_or(fan.outer, |shares| shares.map(|share| fan.at(share))),
        )
    }

    /// How much further toward the bridge fret 12 lies under its own treble string than under its own bass string, mm.
    pub(crate) fn own_treble_ahead(&self) -> f64 {
        let ahead = self.neck.fan.as_ref().map_or(0.0, |fan| fan.value.treble_ahead(12));
        // A fret is straight from the outer bass to the outer treble string.
        self.own_shares()
            .map_or(ahead, |[bass, treble]| (treble - bass) * ahead)
    }

    /// Between its own outer strings at the saddle, mm: as written, where it carries all.
    pub(crate) fn own_spread(&self) -> Option<f64> {
        let written = self.strung.saddle_spread.as_ref()?.value;
        if self.own_shares().is_none() {
            return Some(written);
        }
        let [_, saddle] = self.own_places()?;
        Some(saddle.last()? - saddle.first()?)
    }

    /// What of the strings a new nut needs.
    pub(crate) fn laid(&self) -> Option<Laid> {
        let strung = &self.strung;
        Some(Laid {
            outer: strung.outer?,
            rule: strung.nut_rule?,
            courses: strung.nut_courses.clone()?,
            wound: strung.strings.as_ref()?.iter().map(|s| s.wound).collect(),
            shares: self.shares()?,
            with_setback: self.with_setback?,
        })
    }

    /// Readings that need other readings.
    pub(crate) fn dependents(&self) {
        let (nut, present) = (&self.nut, &self.present);
        if let (Some(clearance), None) = (&nut.first_fret_clearance, &present.action_12)
            && let Some(first) = clearance.written().first()
        {
            present.lacks_action(&first.at, Why::ClearanceNeedsAction {});
        }
        let above = nut.zero_fret.as_ref().and_then(|zero| zero.above.as_ref());
        let read = [&nut.first_fret_clearance, &nut.held_at_3]
            .into_iter()
            .any(Option::is_some)
            || above.is_some();
        let no_present_nut = self.nut_read && !nut.refused && !read;
        if let Some(cents) = &present.cents_12 {
            if no_present_nut {
                cents.at.refuse(P::CentsNeedNut {});
            }
            if present.action_12.is_none() {
                present.lacks_action(&cents.at, Why::CentsNeedAction {});
            }
        }
        if let Some(by_reference) = &self.slot.by_reference {
            if no_present_nut {
                by_reference.refuse(P::ReferenceNeedsNut {});
            }
            let own = matches!(&self.slot.way, Some(Way::Reference { action_12: Some(_), .. }));
            if present.action_12.is_none() && !own {
                present.lacks_action(by_reference, Why::ReferenceNeedsAction {});
            }
        }
    }

    /// A string cannot have both a factor and the reading that finds it anew.
    pub(crate) fn stretch_given_twice(&self) {
        for string in self.strung.strings.iter().flatten() {
            let Some(factor) = &string.stretch else { continue };
            let place = self
                .strung
                .count
                .and_then(|count| count.checked_sub(string.number as usize));
            let read = place.and_then(|i| *self.present.cents_12.as_ref()?.value.get(i)?);
            if read.is_some() {
                factor.at.refuse(P::StretchTwice { string: string.number });
            }
        }
    }

    /// Of what the inner strings' figures were put between those of the outer ones.
    pub(crate) fn between(&self) -> Between {
        let inner = self.strung.count.is_some_and(|count| count > 2);
        let between = |values: Option<&PerString>| inner && values.is_some_and(|values| !values.is_each());
        let (nut, present) = (&self.nut, &self.present);
        let above = nut.zero_fret.as_ref().and_then(|zero| zero.above.as_ref());
        let at_nut = nut.first_fret_clearance.as_ref().or(nut.held_at_3.as_ref()).or(above);
        Between {
            nut: between(at_nut),
            action_12: between(present.action_12.as_ref()),
            contact: between(present.contact_from_fret_12.as_ref()),
            ..Between::default()
        }
    }

    /// One figure for each string, where any is given.
    pub(crate) fn each(&self, values: Option<&PerString>) -> Option<Vec<Option<f64>>> {
        let shares = self.shares()?;
        Some(match values {
            Some(values) => values.resolve(&shares).into_iter().map(Some).collect(),
            None => vec![None; shares.len()],
        })
    }
}
