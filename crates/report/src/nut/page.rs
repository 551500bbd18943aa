//! What `bonewright plan` prints of a nut.

use super::lines::{pairs, saddle_stays};
use crate::columns::{add, in_bench, in_both, names};
use crate::figures::{degrees, fixed, length, signed};
use crate::grid::{Group, grid};
use crate::page::{begun, closing, noted, stopped, whys};
use crate::wrap::wrapped;
use crate::{Note, Page};
use numerics::math;
use nut::{Case, Front, NutPlan, NutString, OpenString, PLAYED_FRETS, StringCompensation};
use units::BenchUnit;
use work::Hazards;

/// One way to set the nut of a string.
type Way = fn(&StringCompensation) -> Case;

/// What goes on the page of a nut.
#[derive(Debug, Clone, Copy)]
pub struct NutPage<'a> {
    /// Title of the job.
    pub title: &'a str,
    /// Free words of the job; none if empty.
    pub remarks: &'a str,
    /// The nut.
    pub nut: &'a NutPlan,
    /// Notes on the nut.
    pub notes: &'a [Note],
    /// What the cautions depend on.
    pub hazards: Hazards,
    /// Unit shown first.
    pub bench: BenchUnit,
}

impl NutPage<'_> {
    /// Title, remarks, tables, notes and cautions, at most [`crate::WIDTH`] columns wide.
    #[must_use]
    pub fn text(&self) -> String {
        begun(self.title, self.remarks) + &self.body() + &closing(self.hazards)
    }

    /// All but title, remarks and cautions.
    pub(crate) fn body(&self) -> String {
        let (stops, others): (Vec<&Note>, Vec<&Note>) = self.notes.iter().partition(|note| note.stops());
        let mut text = stopped(&whys(&stops));
        text += &format!("NUT: WHERE THE SLOTS LIE\n\n{}", self.places());
        text += &wrapped(&self.rules(), "", "");
        text += &format!("\nNUT: SLOTS\n\n{}", self.slots());
        text += &wrapped(
            "Floor: the lowest line of the slot at its bearing edge, up from the seat. Stack: feelers on the board in front of the nut that stop the file at the floor. Shows: what of the string stands above the top.",
            "",
            "",
        );
        text += &format!("\n{}", self.form());
        text += &format!("\nNUT: AS IT WILL PLAY\n\n{}", self.plays());
        text += &self.before_and_after();
        text += &format!("\nNUT: FRONT COMPENSATION\n{}", self.compensation());
        text + &noted(&others)
    }

    fn names(&self) -> Group {
        names(self.nut.lines.iter().map(|s| (s.number, s.note.as_str())))
    }

    fn both(&self, head: &[&str], value: impl Fn(&NutString) -> f64 + Clone) -> Group {
        in_both(self.bench, head, self.nut.strings.iter().map(move |s| Some(value(s))))
    }

    fn places(&self) -> String {
        let strings = &self.nut.strings;
        let gap = |i: usize| {
            let (one, next) = (strings.get(i)?, strings.get(i + 1)?);
            Some((next.y - one.y) * math::cos(self.nut.slant) - 0.5 * (one.gauge + next.gauge))
        };
        grid(&[
            self.names(),
            self.both(&["centre from the", "blank's bass end"], |s| s.u),
            self.both(&["from the", "centre line"], |s| s.y),
            in_both(self.bench, &["clear gap to", "the next"], (0..strings.len()).map(gap)),
        ])
    }

    fn rules(&self) -> String {
        let rules = &self.nut.rules;
        let steps = |y: &[f64]| -> String {
            let steps: Vec<String> = y.windows(2).map(|w| self.bench.number(w[1] - w[0])).collect();
            steps.join(", ")
        };
        if self.nut.strings.len() < 3 {
            return "From the centre line: positive toward the treble.".to_owned();
        }
        format!(
            "From the centre line: positive toward the treble. From centre to centre, bass to treble, in {}: with equal clear gaps {}; with equal centres {}. Between the two rules one slot moves by {} at most; with equal centres the clear gaps between courses differ by {}.",
            self.bench.name(),
            steps(&rules.equal_gaps),
            steps(&rules.equal_centres),
            length(self.bench, rules.largest_shift),
            length(self.bench, rules.gap_range),
        )
    }

    fn slots(&self) -> String {
        let one = |head: &[&str], value: fn(&NutString) -> f64| {
            in_bench(self.bench, head, self.nut.strings.iter().map(|s| Some(value(s))))
        };
        grid(&[
            self.names(),
            self.both(&["width"], |s| s.width),
            self.both(&["floor above", "the seat"], |s| s.floor),
            self.both(&["stack on", "the board"], |s| s.stack),
            one(&["deep"], |s| s.depth),
            one(&["shows"], |s| s.shows),
        ])
    }

    /// Blank and slots in words.
    fn form(&self) -> String {
        let nut = self.nut;
        let show = |mm| length(self.bench, mm);
        let material = if nut.blank.material.is_empty() {
            String::new()
        } else {
            format!("{}, ", nut.blank.material)
        };
        let blank = format!(
            "{material}{} thick, {} high, {} long; finished {} long",
            show(nut.blank.thickness),
            show(nut.blank.height),
            show(nut.blank.length),
            show(nut.board_width),
        );
        let face = format!(
            "stands at {} to square, positive with the treble end toward the bridge",
            degrees(nut.slant)
        );
        let slots = format!(
            "round floors that fall {} to the tuners and bear at the front edge; leave {} to the final stroke",
            degrees(nut.fall),
            show(nut.proud),
        );
        let fan = nut
            .strings
            .iter()
            .map(|s| signed(s.fan.to_degrees(), 1))
            .collect::<Vec<_>>();
        let fan = format!(
            "degrees from square to the front face going back, bass to treble, positive toward the treble: {}",
            fan.join(", ")
        );
        let line = |text: &str, head: &str| wrapped(text, head, &" ".repeat(head.len()));
        let face = if nut.slant == 0.0 {
            String::new()
        } else {
            line(&face, "Face:  ")
        };
        line(&blank, "Blank: ") + &face + &line(&slots, "Slots: ") + &line(&fan, "Fan:   ")
    }

    fn plays(&self) -> String {
        let of = |value: fn((&NutString, &OpenString)) -> f64| pairs(self.nut).map(move |p| Some(value(p)));
        grid(&[
            self.names(),
            in_both(self.bench, &["gap at fret 1", "open"], of(|p| p.0.clearance)),
            in_both(self.bench, &["gap at fret 1", "held at 3"], of(|p| p.0.held_at_3)),
            in_both(self.bench.action(), &["action at 12"], of(|p| p.1.action_12())),
            in_both(self.bench, &["setback"], of(|p| p.0.setback)),
        ])
    }

    /// Over a saddle that stays: the strings as they stand now and with the new nut.
    fn before_and_after(&self) -> String {
        if !saddle_stays(self.nut) {
            return String::new();
        }
        let of = |value: fn(&OpenString) -> Option<f64>| self.nut.lines.iter().map(value);
        let table = grid(&[
            self.names(),
            in_both(
                self.bench.action(),
                &["action at 12", "now"],
                of(|l| Some(l.now?.action_12)),
            ),
            in_both(
                self.bench.action(),
                &["action at 12", "then"],
                of(|l| Some(l.action_12())),
            ),
            in_both(self.bench, &["change"], of(|l| Some(l.action_12() - l.now?.action_12))),
            in_bench(self.bench, &["gap at fret 1", "now"], of(|l| Some(l.now?.clearance))),
        ]);
        format!("\nTHE SADDLE STAYS: WHAT THE NEW NUT DOES TO THE ACTION\n\n{table}")
    }

    /// The nut at fret 0, one straight shift, and a shelf.
    fn compensation(&self) -> String {
        let all = &self.nut.compensation;
        let ways: [(&str, Front, Way); 3] = [
            ("Nut at fret 0", Front::Plain, |s| s.none),
            ("One straight shift", Front::Straight, |s| s.straight),
            ("A shelf, each string its own", Front::Shelf, |s| s.shelf),
        ];
        let mut text = String::new();
        for (name, front, way) in ways {
            let chosen = if front == self.nut.front { ", AS PLANNED" } else { "" };
            text += "\n";
            text += &wrapped(
                &format!(
                    "{name}{chosen}: {} cents rms over all strings and frets 1 to 12",
                    fixed(all.rms(way), 2)
                ),
                "",
                "",
            );
            text += "\n";
            text += &self.way(way);
        }
        text += &wrapped(
            &format!(
                "Cents: error against equal temperament with the saddle {}, and their root mean square. A negative setback is toward the bridge.",
                if saddle_stays(self.nut) {
                    "where it stands"
                } else {
                    "in its best place for that nut"
                }
            ),
            "",
            "",
        );
        text
    }

    fn way(&self, way: Way) -> String {
        let strings = &self.nut.compensation.strings;
        let cases: Vec<Case> = strings.iter().map(way).collect();
        let setback = |value: fn(&Case) -> f64| cases.iter().map(move |c| Some(value(c)));
        let mut cents = Group::new(&["cents at fret"]);
        for fret in 0..PLAYED_FRETS {
            let cells = cases.iter().map(move |c| signed(c.cents[fret], 1));
            cents = cents.column(&(fret + 1).to_string(), cells);
        }
        let own = add(Group::new(&["nut", "setback"]), self.bench, setback(|c| c.nut));
        let saddle = add(Group::new(&["saddle", "setback"]), self.bench, setback(|c| c.saddle));
        let rms = Group::new(&["1 to 12"]).column("rms", cases.iter().map(|c| fixed(c.rms, 2)));
        grid(&[
            self.names(),
            add(own, self.bench.other(), setback(|c| c.nut)),
            add(saddle, self.bench.other(), setback(|c| c.saddle)),
            cents,
            rms,
        ])
    }
}

/// Saddle and nut on one page, with one title and one list of cautions; `hazards` are those of both blanks.
#[must_use]
pub fn both_page(saddle: &Page, nut: &NutPage, hazards: Hazards) -> String {
    saddle.opened() + "\n" + &nut.body() + &closing(hazards)
}
