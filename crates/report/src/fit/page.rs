//! What `bonewright fit` prints.

use super::words;
use crate::columns::{self, NONE, add, in_bench, in_both, names};
use crate::doubted::doubts_after;
use crate::figures::{cents_of, fixed, length, signed};
use crate::grid::{Group, grid};
use crate::page::{closing, noted, opening, stopped, whys};
use crate::wishes::{MAIN_ALONE, tables};
use crate::wrap::wrapped;
use crate::{Note, notes, table};
use instrument::StrungString;
use saddle::{StringFit, StringPlan, Wishes};
use units::BenchUnit;
use work::{Fitted, Hazards, StringLeft, Whole};

/// The page, at most [`crate::WIDTH`] columns wide.
#[must_use]
pub fn fit_page(title: &str, fitted: &Fitted, hazards: Hazards, bench: BenchUnit) -> String {
    let page = Lines { fitted, bench };
    let fit = &fitted.fit;
    let along = |s: Option<&StringPlan>| s.map_or(0.0, |s| s.contact.u);
    let across = along(fitted.made.strings.last()) - along(fitted.made.strings.first());
    let mut text = opening(title);
    text += "HOW THE SADDLE STANDS\n\n";
    text += &wrapped(&words::seat(fit, across, bench), "", "");
    text += &format!("\nWHAT WAS READ\n\n{}", page.read());
    text += &page.about_reading();
    text += &format!("\nWHAT IS LEFT TO DO\n\n{}", page.to_do());
    text += &page.about_to_do();
    text += &format!("\nWHEN IT IS DONE\n\n{}", page.then());
    text += &format!("\nWHAT TO DO\n\n{}", wrapped(&words::whole(fitted, bench), "", ""));
    if let Some(weighed) = words::weighed(fitted, bench) {
        text += &format!("\n{}", wrapped(&weighed, "", ""));
    }
    for doubt in doubts_after(fitted, bench) {
        text += "\n";
        text += &wrapped(&doubt, "", "");
    }
    if matches!(fitted.whole(), Whole::NewSaddle(_) | Whole::ShimOrNew(_)) {
        let notes = notes(&fitted.next_remarks(), &fit.next, bench);
        let (stops, others): (Vec<&Note>, Vec<&Note>) = notes.iter().partition(|note| note.stops());
        text += &format!(
            "\nTHE CORRECTED PLAN\n\n{}{}",
            stopped(&whys(&stops)),
            table(&fit.next, stops.is_empty(), bench)
        );
        let wishes = Wishes::of(&fit.corrected, &fit.corrected, &fit.next);
        text += &wishes.map_or_else(String::new, |wishes| tables(&wishes, bench));
        text += &noted(&others);
    }
    text + &closing(hazards)
}

struct Lines<'a> {
    fitted: &'a Fitted<'a>,
    bench: BenchUnit,
}

impl<'a> Lines<'a> {
    fn each(&self) -> impl Iterator<Item = (&'a StringPlan, &'a StrungString, &'a StringFit)> + Clone + use<'a> {
        let Fitted { made, read, fit, .. } = self.fitted;
        made.strings
            .iter()
            .zip(*read)
            .zip(&fit.strings)
            .map(|((plan, read), fit)| (plan, read, fit))
    }

    fn names(&self) -> Group {
        names(self.each().map(|(s, ..)| (s.number, s.note.as_str())))
    }

    fn read(&self) -> String {
        let bench = self.bench;
        let cents = Group::new(&["cents at 12", "read  planned"])
            .column(
                "",
                self.each()
                    .map(|(_, r, _)| r.cents_12.map_or_else(|| NONE.to_owned(), |c| signed(c, 1))),
            )
            .column("", self.each().map(|(s, ..)| format!("{:>7}", signed(s.cents[11], 1))));
        grid(&[
            self.names(),
            in_both(
                bench.action(),
                &["action at 12", "read"],
                self.each().map(|(_, r, _)| r.action_12),
            ),
            in_bench(
                bench,
                &["off the rest", "at 12"],
                self.each().map(|(_, _, f)| f.off_seat),
            ),
            cents,
            Group::new(&["stretch", "factor"]).column(
                "",
                self.each().map(|(_, r, f)| {
                    if r.cents_12.is_some() {
                        fixed(f.stretch, 2)
                    } else {
                        NONE.to_owned()
                    }
                }),
            ),
        ])
    }

    fn about_reading(&self) -> String {
        let mut text = "Off the rest: how far the action at 12 stands from what all readings together give, before and after stringing up, each weighed by how sure it is. Stretch factor: how much stiffer against stretching than planned the string is, by its cents.".to_owned();
        if self
            .each()
            .any(|(_, r, _)| r.action_12.is_none() || r.cents_12.is_none())
        {
            text += " A dash: not read. There the other readings give it.";
        }
        if self.fitted.fit.corrected.strings.iter().any(|s| !s.also.is_empty()) {
            text += &format!(" {MAIN_ALONE}");
        }
        wrapped(&text, "", "")
    }

    fn to_do(&self) -> String {
        let bench = self.bench;
        let strings = || self.fitted.strings().iter();
        let off = Group::new(&["off the target", "at 12  saddle"])
            .column(bench.name(), strings().map(|s| bench.signed(s.off_12)))
            .column(bench.name(), strings().map(|s| bench.signed(s.off_saddle)));
        let moved = |value: fn(&StringLeft) -> f64| strings().map(move |s| (s.move_back != 0.0).then(|| value(s)));
        let shimmed = self.shimmed();
        let lowered = strings().map(|s| (shimmed || s.rest() > 0.0).then(|| s.rest()));
        let mut groups = vec![self.names(), off];
        if shimmed {
            groups.push(in_bench(
                bench,
                &["shim lifts", "at 12"],
                strings().map(|s| Some(s.lifted_12)),
            ));
        }
        let ridge = in_bench(bench, &["move the ridge", "back by  lowers"], moved(|s| s.move_back));
        groups.push(add(ridge, bench, moved(|s| s.by_move)));
        let head: [&str; 2] = if shimmed {
            ["lower,", "shimmed"]
        } else {
            ["then lower the", "contact by"]
        };
        groups.push(in_both(bench, &head, lowered));
        grid(&groups)
    }

    /// Whether the figures are for a saddle on a shim.
    fn shimmed(&self) -> bool {
        matches!(self.fitted.whole(), Whole::Shim(_) | Whole::ShimOrNew(_))
    }

    fn about_to_do(&self) -> String {
        let mut text = "Off the target: by all readings together; the same twice, as it shows at fret 12 and as it is at the saddle, along the front face; minus: too low.".to_owned();
        let strings = self.fitted.strings();
        if strings.iter().any(|s| s.move_back != 0.0) {
            text += " Back: square to the front face; minus: forward. Lowers: what the move alone takes off the height, filed down the planned crown.";
        }
        if strings.iter().any(StringLeft::is_filed) {
            text += " Lower: along the front face, from the top, after the move.";
        }
        let limits = &self.fitted.limits;
        text += &format!(
            " A dash: nothing to do. No ridge is moved for less than {}, and no height that is good is filed for less than a reading tells ({} at fret 12).",
            cents_of(limits.stroke_cents),
            self.bench.show(limits.reading)
        );
        wrapped(&text, "", "")
    }

    fn then(&self) -> String {
        let bench = self.bench;
        let mut text = grid(&[
            self.names(),
            in_both(
                bench.action(),
                &["action at 12"],
                self.fitted.strings().iter().map(|s| Some(s.then_action_12)),
            ),
            Group::new(&["cents", "at 12"])
                .column("", self.fitted.strings().iter().map(|s| signed(s.then_cents_12, 1))),
            columns::words(
                "now, and what to do",
                self.fitted.strings().iter().map(|s| words::left(s, bench)),
            ),
        ]);
        let limits = &self.fitted.limits;
        let by = match self.fitted.whole() {
            Whole::ShimOrNew(_) => "With the shim; what a new saddle gives stands in the corrected plan. ",
            Whole::SlotsFirst => "With the nut's slots at their gap, and the saddle as it is. ",
            Whole::ReadAgain => "Nothing is done yet: as read. ",
            _ => "",
        };
        text += &wrapped(
            &format!(
                "{by}Good: action within {} of the target now, and fret 12 within {} cents of its aim.",
                length(bench, limits.action),
                fixed(limits.cents, 1)
            ),
            "",
            "",
        );
        text
    }
}
