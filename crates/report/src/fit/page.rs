//! What `bonewright fit` prints.

use super::words;
use crate::columns::{self, NONE, add, in_bench, in_both, names};
use crate::figures::{fixed, length, signed};
use crate::grid::{Group, grid};
use crate::page::{closing, noted, opening, stopped};
use crate::wrap::wrapped;
use crate::{Note, notes, table};
use instrument::StrungString;
use saddle::{StringFit, StringPlan};
use units::BenchUnit;
use work::{Fitted, Hazards, Whole};

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
    text += &wrapped(
        "Lower: down along the front face; minus: it would have to come up. Back: square to the front face; minus: forward. The move alone, filed down the planned crown, makes part of the drop: count it in.",
        "",
        "",
    );
    text += &format!("\nWHEN IT IS DONE\n\n{}", page.then());
    text += &format!(
        "\nWHAT TO DO\n\n{}",
        wrapped(&words::whole(fitted.whole(), bench), "", "")
    );
    for doubt in fit.strings.iter().filter_map(|s| words::doubt(s, bench)) {
        text += "\n";
        text += &wrapped(&doubt, "", "");
    }
    if matches!(fitted.whole(), Whole::NewSaddle(_)) {
        let notes = notes(&fitted.next_remarks(), &fit.next, bench);
        let (stops, others): (Vec<&Note>, Vec<&Note>) = notes.iter().partition(|note| note.stops());
        text += &format!(
            "\nTHE CORRECTED PLAN\n\n{}{}",
            stopped(&stops),
            table(&fit.next, stops.is_empty(), bench)
        );
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
        let off = self.each().map(|(s, r, _)| {
            r.action_12
                .map_or_else(|| NONE.to_owned(), |read| bench.signed(read - s.action_12))
        });
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
                bench,
                &["action at 12", "read"],
                self.each().map(|(_, r, _)| r.action_12),
            ),
            Group::new(&["off the", "plan"]).column(bench.name(), off),
            in_bench(bench, &["off the", "seat"], self.each().map(|(_, _, f)| f.off_seat)),
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
        let mut text = "Off the seat: how far the action stands from what the saddle's seat, found from all strings together, gives. Stretch factor: how much stiffer against stretching than surveyed the string is, by its cents.".to_owned();
        if self
            .each()
            .any(|(_, r, _)| r.action_12.is_none() || r.cents_12.is_none())
        {
            text += " A dash: not read. There the seat gives the action, and the plan's own string the cents.";
        }
        wrapped(&text, "", "")
    }

    fn to_do(&self) -> String {
        let bench = self.bench;
        let both = |head: &[&str], value: fn(&StringFit) -> f64| {
            in_both(bench, head, self.each().map(move |(_, _, f)| Some(value(f))))
        };
        let alone = |value: fn(&saddle::filing::Stroke) -> f64| {
            self.each().map(move |(_, _, f)| f.move_alone.as_ref().map(value))
        };
        let alone = add(
            in_bench(bench, &["the move alone", "drops  takes at 12"], alone(|k| k.drop)),
            bench,
            alone(|k| k.loss_12),
        );
        let mut groups = vec![
            self.names(),
            both(&["lower the", "contact by"], |f| f.lower),
            both(&["move the ridge", "back by"], |f| f.move_back),
            alone,
        ];
        if let Whole::Shim(shim) = self.fitted.whole() {
            groups.push(in_bench(
                bench,
                &["lower,", "shimmed"],
                self.each().map(move |(_, _, f)| Some(f.lower + shim)),
            ));
        }
        grid(&groups)
    }

    fn then(&self) -> String {
        let bench = self.bench;
        let mut text = grid(&[
            self.names(),
            in_both(
                bench,
                &["action at 12"],
                self.fitted.strings().map(|s| Some(s.then_action_12)),
            ),
            Group::new(&["cents", "at 12"]).column("", self.fitted.strings().map(|s| signed(s.then_cents_12, 1))),
            columns::words("verdict", self.fitted.strings().map(|s| words::left(s.left, bench))),
        ]);
        let limits = &self.fitted.limits;
        text += &wrapped(
            &format!(
                "Good: action within {} of the target now, and fret 12 within {} cents of its aim.",
                length(bench, limits.action),
                fixed(limits.cents, 1)
            ),
            "",
            "",
        );
        text
    }
}
