//! What `bonewright filing` prints.

use super::words;
use crate::columns;
use crate::columns::{add, in_bench, in_both, names};
use crate::figures::{cents_of, length, signed, strings};
use crate::grid::{Group, grid};
use crate::page::{closing, opening, stopped};
use crate::wrap::wrapped;
use saddle::filing::{Move, Stroke};
use saddle::{BlankKind, LIKE};
use units::BenchUnit;
use work::{FiledString, Filing, FilingRefusal, FilingVerdict, Hazards, SIXTY_FOURTH, STAYS};

/// Why a string cannot stand as the job says, lengths in `bench`.
#[must_use]
pub fn filing_refusal(refusal: &FilingRefusal, bench: BenchUnit) -> String {
    format!("string {}: {}", refusal.number, words::start(&refusal.error, bench))
}

/// The page, at most [`crate::WIDTH`] columns wide; the lengths of its tables in `bench`. `stops`: why the saddle is not to be made, which
/// comes first, and then no order of work is told.
#[must_use]
pub fn filing_page(
    title: &str,
    filing: &Filing,
    kind: BlankKind,
    stops: &[String],
    hazards: Hazards,
    bench: BenchUnit,
) -> String {
    let page = Lines { filing, bench };
    let mut text = opening(title) + &stopped(stops);
    text += &format!("HOW IT STANDS\n\n{}", page.standing());
    if filing.is_still() {
        text += "\n";
        text += &wrapped(
            "No move is asked: every string stands at its planned place. Give one with --forward, --back or --cents, or say in [filing] how the crown stands.",
            "",
            "",
        );
    } else {
        text += &format!("\nTHE STROKE\n\n{}\n{}", page.stroke(), page.left());
        text += &page.asked();
        text += &page.refusals();
        if !filing.terms.at_height {
            text += &format!("\nLEAVE PROUD\n\n{}", page.proud());
        }
    }
    text += &format!("\nHOW FAR FORWARD\n\n{}", page.furthest());
    text += &format!("\nSTEP BY STEP\n\n{}", page.steps());
    text += &format!("\nWHAT IS FINAL\n\n{}", wrapped(&final_words(filing, kind), "", ""));
    if stops.is_empty() {
        text += "\nORDER OF WORK\n\n";
        for (number, step) in (1..).zip(FILING_ORDER) {
            text += &wrapped(step, &format!("{number}. "), "   ");
        }
    }
    text + &closing(hazards)
}

/// The order of work by hand. Published order of setup pages: fit, height, nut, then intonation.
pub const FILING_ORDER: [&str; 5] = [
    "Fit the blank in the slot: it stands on the floor without rocking and without play.",
    "Bring it to height, left proud where a figure says so.",
    "Bring the gap over fret 1 right now, at the other end of the strings: that changes the action at fret 12 too.",
    "File for intonation in small strokes: move the contacts, string up to pitch and measure after each. What is filed off cannot be put back.",
    "Take the last height off the top. Once the ends are blended into the bridge, never off the bottom: the ends would sink with it.",
];

/// What cannot be put back, in sentences.
#[must_use]
pub fn final_words(filing: &Filing, kind: BlankKind) -> String {
    let mut text = "What is filed off the crown cannot be put back, and a contact moved forward cannot be moved back without going lower.".to_owned();
    text += match kind {
        BlankKind::Through => {
            " Once the saddle is glued only its top can be reached: it can only go down. Glue it last, when height and intonation are done."
        }
        BlankKind::DropIn => {
            " A shim under the saddle lifts all strings together and never gives a crown its material back. If this saddle is glued, it can only go down."
        }
    };
    if filing.terms.at_height {
        text += " This saddle is at its height: every stroke that lowers it is final.";
    }
    let low = filing.not_to_file();
    if !low.is_empty() {
        let mend = match kind {
            BlankKind::Through => "a new saddle, or a shim while its ends are not blended,",
            BlankKind::DropIn => "a shim or a new saddle",
        };
        text += &format!(
            " Do not file {}: the action would end too low, and only {mend} would mend it.",
            strings(&low)
        );
    }
    text
}

struct Lines<'a> {
    filing: &'a Filing<'a>,
    bench: BenchUnit,
}

impl Lines<'_> {
    fn each(&self) -> impl Iterator<Item = &FiledString<'_>> + Clone {
        self.filing.strings.iter()
    }

    fn names(&self) -> Group {
        names(self.each().map(|s| (s.plan.number, s.plan.note.as_str())))
    }

    fn standing(&self) -> String {
        let bench = self.bench;
        grid(&[
            self.names(),
            columns::words("crown", self.each().map(|s| words::crown(s.ask.crown, bench))),
            in_both(
                bench,
                &["contact, back", "from the face"],
                self.each().map(|s| Some(s.before.contact.b)),
            ),
            in_both(
                bench.action(),
                &["action at 12"],
                self.each().map(|s| Some(s.before.action_12)),
            ),
            Group::new(&["cents", "at 12"]).column("", self.each().map(|s| signed(s.before.cents_12, 1))),
        ])
    }

    /// A length of the stroke.
    fn of(&self, head: &[&str], value: impl Fn(&Stroke) -> f64 + Clone) -> Group {
        in_bench(self.bench, head, self.strokes(value))
    }

    fn strokes(&self, value: impl Fn(&Stroke) -> f64 + Clone) -> impl Iterator<Item = Option<f64>> + Clone {
        self.each().map(move |s| s.stroke.as_ref().ok().map(&value))
    }

    fn stroke(&self) -> String {
        let back = self.each().all(|s| s.stroke.is_ok_and(|stroke| stroke.forward <= 0.0));
        let turn = if back { -1.0 } else { 1.0 };
        let contact = self.of(&["new contact", "back    up"], |s| s.contact.b);
        let lost = self.of(&["action lost", "at 12  at 1"], |s| s.loss_12);
        grid(&[
            self.names(),
            self.of(&["move", if back { "back" } else { "forward" }], move |s| {
                turn * s.forward
            }),
            add(contact, self.bench, self.strokes(|s| s.contact.v)),
            self.of(&["drop at", "the crown"], |s| s.drop),
            add(lost, self.bench, self.strokes(|s| s.loss_1)),
            in_bench(self.bench.action(), &["action", "then"], self.strokes(|s| s.action_12)),
        ])
    }

    fn left(&self) -> String {
        let bench = self.bench;
        let cell = |s: &FiledString, value: &dyn Fn(&Stroke) -> String| {
            s.stroke.as_ref().map_or_else(|_| columns::NONE.to_owned(), value)
        };
        let cents = Group::new(&["cents gained", "by"])
            .column("length", self.each().map(|s| cell(s, &|k| signed(k.by_length, 1))))
            .column("height", self.each().map(|s| cell(s, &|k| signed(k.by_height, 1))));
        let left = Group::new(&["off the target", "then"])
            .column(
                bench.name(),
                self.each()
                    .map(|s| cell(s, &|k| bench.signed(k.action_12 - s.plan.action_12))),
            )
            .column(
                "cents",
                self.each()
                    .map(|s| cell(s, &|k| signed(k.cents_12 - s.plan.aim_cents_12, 1))),
            );
        grid(&[
            self.names(),
            cents,
            left,
            columns::words("verdict", self.each().map(|s| words::verdict(s, bench))),
        ])
    }

    /// What was asked, and what the columns mean.
    fn asked(&self) -> String {
        let move_of = self.filing.strings.first().and_then(|s| s.ask.step);
        let asked = match move_of {
            None => "Each contact goes from where it stands to its planned place.".to_owned(),
            Some(Move::Forward(by)) if by < 0.0 => {
                format!(
                    "Each contact goes {} back, away from the nut.",
                    step_name(-by, self.bench)
                )
            }
            Some(Move::Forward(by)) => format!(
                "Each contact goes {} forward, toward the nut.",
                step_name(by, self.bench)
            ),
            Some(Move::Cents(by)) => format!(
                "Each contact goes as far as changes fret 12 by {} cents.",
                signed(by, 1)
            ),
        };
        let allowed = length(self.bench, self.filing.terms.allowed);
        let leave = if self.each().any(|s| s.verdict == FilingVerdict::NotWorth) {
            format!(
                " Leave it: no ridge is moved for less than {}, and no file moves one by less than {}.",
                cents_of(LIKE),
                self.bench.show(STAYS)
            )
        } else {
            String::new()
        };
        wrapped(
            &format!(
                "{asked} Back is from the front face, up from the bottom edge. By length: the string ends elsewhere. By height: action and stretch change with the drop. Go: the action ends no more than {allowed} under its target.{leave}"
            ),
            "",
            "",
        )
    }

    /// What the verdicts' few words leave open.
    fn refusals(&self) -> String {
        self.each()
            .filter_map(|s| {
                if let Err(error) = &s.stroke {
                    return Some(words::refusal(s, error, self.bench));
                }
                let told =
                    s.untuned.is_some() || matches!(s.verdict, FilingVerdict::OutsideLand(_) | FilingVerdict::Rises(_));
                told.then(|| format!("String {}: {}", s.plan.number, words::verdict_sentence(s, self.bench)))
            })
            .map(|text| wrapped(&text, "", ""))
            .collect()
    }

    fn proud(&self) -> String {
        let bench = self.bench;
        let mut text = grid(&[
            self.names(),
            in_both(
                bench,
                &["leave it", "proud by"],
                self.each().map(|s| s.proud.ok().map(|p| p.height)),
            ),
            in_both(
                bench.action(),
                &["it then shows", "action at 12"],
                self.each().map(|s| s.proud.ok().map(|p| p.action_12)),
            ),
            in_bench(
                bench,
                &["it is now", "proud by"],
                self.each().map(|s| Some(s.proud_now)),
            ),
        ]);
        text += &wrapped(
            "Proud is the height at the present contact, along the blank, over what the target asks there. Left so, the same move ends on the target action.",
            "",
            "",
        );
        text
    }

    fn furthest(&self) -> String {
        let bench = self.bench;
        let mut text = grid(&[
            self.names(),
            in_both(
                bench,
                &["it can go", "forward by"],
                self.each().map(|s| words::furthest(s.furthest).0),
            ),
            columns::words("until", self.each().map(|s| words::furthest(s.furthest).1.to_owned())),
            in_both(
                bench.action(),
                &["floor of the", "action at 12"],
                self.each().map(|s| Some(s.ask.floor)),
            ),
        ]);
        let already = self.filing.at_floor();
        if !already.is_empty() {
            let one = already.len() == 1;
            text += &wrapped(
                &format!(
                    "{} {} at or under {} floor already: do not move {} forward at this height.",
                    crate::figures::sentence(&strings(&already)),
                    if one { "is" } else { "are" },
                    if one { "its" } else { "their" },
                    if one { "it" } else { "them" },
                ),
                "",
                "",
            );
        }
        text += &wrapped(
            "From where it stands now. Floor: there the action reaches its floor. Land: there the ridge comes as near to the front face as the land allows.",
            "",
            "",
        );
        text
    }

    fn steps(&self) -> String {
        let bench = self.bench;
        let table = |head: &str, cell: &dyn Fn(&FiledString, &Stroke) -> String| {
            let mut group = Group::new(&[head]);
            for (n, title) in (0..).zip(["1", "2", "3", "4", "5", "6"]) {
                let cells = self.each().map(|s| {
                    s.steps
                        .get(n)
                        .and_then(Option::as_ref)
                        .map_or_else(|| columns::NONE.to_owned(), |stroke| format!("{:>6}", cell(s, stroke)))
                });
                group = group.column(title, cells);
            }
            grid(&[self.names(), group])
        };
        let step = self.filing.terms.step;
        let mut text = wrapped(
            &format!(
                "Steps of {} forward, down the crown as it stands; lengths in {}. A dash: off the blank.",
                step_name(step, bench),
                bench.name()
            ),
            "",
            "",
        );
        text += "\n";
        text += &table("drop at the crown after this many steps", &|_, k| bench.number(k.drop));
        text += "\n";
        text += &table("action at 12 lost after this many steps", &|_, k| {
            bench.number(k.loss_12)
        });
        text += "\n";
        text += &table("cents at 12 after this many steps", &|_, k| signed(k.cents_12, 1));
        text
    }
}

/// The step in the words it was set in: 1/64 in by its name.
fn step_name(mm: f64, bench: BenchUnit) -> String {
    if (mm - SIXTY_FOURTH).abs() < NAMED {
        format!("1/64 in ({})", bench.show(mm))
    } else {
        length(bench, mm)
    }
}

/// A step this near to 1/64 in is called so, mm.
const NAMED: f64 = 1e-6;
