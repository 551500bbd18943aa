//! Short questions: one line of answer, the reason under it, and what was taken.

use crate::figures::{cents_of, degrees, fixed, sentence};
use crate::json::pretty;
use crate::wrap::wrapped;
use numerics::{math, trimmed};
use saddle::{Bare, BareFiled};
use serde::Serialize;
use units::{BenchUnit, MM_PER_INCH};
use work::{Short, ShortAnswer, ShortAsk, ShortRefusal, ShortUnread};

/// The answer, the reason, and what was taken. `typed` is the question's figure as it was typed.
#[must_use]
pub fn short_lines(short: &Short, typed: &str, bench: BenchUnit) -> [String; 3] {
    [answer(short, bench), reason(short, typed, bench), taken(short, bench)]
}

/// What of it is doubtful, a line each.
#[must_use]
pub fn short_doubts(short: &Short, bench: BenchUnit) -> Vec<String> {
    let each = short.doubts.iter();
    each.map(|(name, problem)| format!("{}: {}", sentence(name), problem.words(bench)))
        .collect()
}

/// All of it as text, at most [`crate::WIDTH`] columns wide.
#[must_use]
pub fn short_page(short: &Short, typed: &str, bench: BenchUnit) -> String {
    let [line, why, taken] = short_lines(short, typed, bench);
    let mut text = wrapped(&line, "", "");
    text += "\n";
    text += &wrapped(&why, "Why:   ", "       ");
    text += &wrapped(&taken, "Taken: ", "       ");
    for doubt in short_doubts(short, bench) {
        text += &wrapped(&doubt, "Mind:  ", "       ");
    }
    text
}

/// Why a question has no answer, a line a figure.
#[must_use]
pub fn short_refusal(refusal: &ShortRefusal, bench: BenchUnit) -> Vec<String> {
    let each = refusal.0.iter();
    each.map(|(name, problem)| format!("{name}: {}", problem.words(bench)))
        .collect()
}

/// Why texts of a question are no figures, a line each.
#[must_use]
pub fn short_unread(unread: &[(&'static str, ShortUnread)]) -> Vec<String> {
    let words = |why: &ShortUnread| match why {
        ShortUnread::NoQuestion => "there is no such question".to_owned(),
        ShortUnread::NoUnit(text) => {
            format!("read `{text}`: say the unit too, as `{text} mm`, `{text} in` or `{text} thou`")
        }
        ShortUnread::NoFret(text) => format!("read `{text}`: expected the number of a fret"),
        ShortUnread::Unread(error) => error.to_string(),
    };
    unread
        .iter()
        .map(|(name, why)| format!("{name}: {}", words(why)))
        .collect()
}

/// The same as JSON.
///
/// # Errors
/// None is known; the JSON library could refuse a value.
pub fn short_json(short: &Short) -> Result<String, serde_json::Error> {
    pretty(&Document {
        format: "bonewright-ask",
        version: 1,
        asked: short.ask,
        taken: short.bare,
        found: short.answer,
        doubts: short
            .doubts
            .iter()
            .map(|(name, problem)| Doubt {
                figure: name,
                words: problem.words(BenchUnit::METRIC),
            })
            .collect(),
    })
}

#[derive(Serialize)]
struct Document {
    format: &'static str,
    version: u32,
    asked: ShortAsk,
    taken: Bare,
    found: ShortAnswer,
    doubts: Vec<Doubt>,
}

#[derive(Serialize)]
struct Doubt {
    figure: &'static str,
    words: String,
}

/// A length of any size in every unit of the bench, a line each: mm, inches, thou, the nearest 64th and what it leaves.
#[must_use]
pub fn in_all_units(mm: f64) -> String {
    let nearest = BenchUnit::IMPERIAL.rule();
    let sixty_fourth = MM_PER_INCH / 64.0;
    let rest = mm - (mm / sixty_fourth).round() * sixty_fourth;
    let thou = |mm: f64| fixed(1000.0 * mm / MM_PER_INCH, 1);
    let left = if thou(rest.abs()) == "0.0" {
        "exactly".to_owned()
    } else {
        format!(
            "and {} thou {}",
            thou(rest.abs()),
            if rest > 0.0 { "more" } else { "less" }
        )
    };
    format!(
        "{} mm\n{} in\n{} thou\n{}, {left}\n",
        fixed(mm, 3),
        fixed(mm / MM_PER_INCH, 4),
        thou(mm),
        nearest.show(mm)
    )
}

/// `down 10.0 thou`, `up 2.0 thou`.
fn down(bench: BenchUnit, mm: f64) -> String {
    format!("{} {}", if mm < 0.0 { "up" } else { "down" }, bench.show(mm.abs()))
}

fn moved(filed: &BareFiled, bench: BenchUnit) -> String {
    let way = if filed.forward < 0.0 { "back" } else { "forward" };
    format!("{way} by {}", bench.show(filed.forward.abs()))
}

fn answer(short: &Short, bench: BenchUnit) -> String {
    match short.answer {
        ShortAnswer::Filed(filed) => {
            let proud = if filed.proud > 0.0 {
                format!(" Leave it {} proud before.", bench.show(filed.proud))
            } else {
                String::new()
            };
            format!(
                "The string comes {} at the saddle, the action at fret 12 {}.{proud}",
                down(bench, filed.drop),
                down(bench, filed.loss_12),
            )
        }
        ShortAnswer::Moved { moved: filed, sure_to } => format!(
            "Move the contact {}. Sure to {}: a tuner and the body leave so much of one reading open.",
            moved(&filed, bench),
            bench.show(sure_to)
        ),
        ShortAnswer::Lowered(lowered) => format!(
            "{} the saddle by {}. The gap over fret 1 goes {}.",
            if lowered.off < 0.0 { "Raise" } else { "Lower" },
            bench.show(lowered.off.abs()),
            down(bench, lowered.at_1)
        ),
        ShortAnswer::Slot(slot) => format!(
            "{} the slot's floor by {}. The action at fret 12 goes {}.",
            if slot.off < 0.0 { "Raise" } else { "Lower" },
            bench.show(slot.off.abs()),
            down(bench, slot.at_12)
        ),
        ShortAnswer::Relief { at_12 } => format!("The action at fret 12 goes {}.", down(bench, -at_12)),
    }
}

fn reason(short: &Short, typed: &str, bench: BenchUnit) -> String {
    let bare = &short.bare;
    match (short.ask, short.answer) {
        (_, ShortAnswer::Filed(filed)) => format!(
            "{typed} times tan({}) is the drop, and about half of it shows at fret 12. By its length alone fret 12 becomes {} {}.",
            degrees(bare.lean + bare.fall),
            cents_of(filed.cents.abs()),
            if filed.cents < 0.0 { "flatter" } else { "sharper" },
        ),
        (_, ShortAnswer::Moved { moved: filed, .. }) => format!(
            "by the lengths of the open and the fretted string. On a crown that falls {} toward the nut the string comes {} by it, and the action at fret 12 {}; a new saddle can keep the height. How stiff the string is does not enter, as long as its action stays.",
            degrees(bare.lean + bare.fall),
            down(bench, filed.drop),
            down(bench, filed.loss_12),
        ),
        (ShortAsk::Action { fret, .. }, ShortAnswer::Lowered(lowered)) => format!(
            "the string turns about the nut, and the saddle stands {} times as far from it as fret {fret}. The action at fret 12 goes {}.",
            fixed((bare.scale + bare.setback) / (bare.scale * (1.0 - math::exp2(-f64::from(fret) / 12.0))), 2),
            down(bench, lowered.at_12),
        ),
        (_, ShortAnswer::Slot(_)) => "the string turns about the saddle: the floor, which stands a little further from it than fret 1, moves a little more than the gap, and fret 12 about half as much.".to_owned(),
        _ => format!(
            "between fret 1 and the joint the board sinks along a parabola, and that is what fret 12 sinks by, with the ends of the string kept over those two frets. The joint is at fret {}.",
            bare.joint_fret
        ),
    }
}

/// What was taken of the string.
fn taken(short: &Short, bench: BenchUnit) -> String {
    let bare = &short.bare;
    let scale = if bench.is_metric() {
        bench.rule().show(bare.scale)
    } else {
        format!("{} in", trimmed(bare.scale / MM_PER_INCH, 3))
    };
    let mut parts = vec![format!("scale {scale}")];
    parts.push(if bare.setback == 0.0 {
        "contact at its end".to_owned()
    } else {
        format!("contact {} beyond its end", bench.show(bare.setback))
    });
    if !matches!(short.ask, ShortAsk::Gap { .. } | ShortAsk::Relief { .. }) {
        parts.push(format!("lean {}", degrees(bare.lean)));
    }
    if matches!(short.ask, ShortAsk::Filed { .. } | ShortAsk::Sharp { .. }) {
        parts.push(if bare.fall == 0.0 {
            "top flat".to_owned()
        } else {
            format!("fall {}", degrees(bare.fall))
        });
    }
    parts.push(format!("action {} at fret 12", bench.action().show(bare.action_12)));
    parts.push(format!("gap {} over fret 1", bench.show(bare.gap_1)));
    format!("{}, no skew. Each can be said otherwise.", parts.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use work::USUAL;

    fn said(ask: ShortAsk, typed: &str, bench: BenchUnit, change: fn(&mut Bare)) -> String {
        let mut bare = USUAL;
        change(&mut bare);
        short_page(&ask.answered(bare).unwrap(), typed, bench)
    }

    #[test]
    fn one_line_of_answer_with_its_reason() {
        let text = said(
            ShortAsk::Filed { forward: 25.4 / 32.0 },
            "1/32 in",
            BenchUnit::THOU,
            |bare| bare.lean = 18_f64.to_radians(),
        );
        assert!(
            text.starts_with(
                "The string comes down 10.0 thou at the saddle, the action at fret 12 down\n5.0 thou. Leave it 10.5 thou proud before.\n"
            ),
            "{text}"
        );
        assert!(text.contains("Why:   1/32 in times tan(18.0 degrees)"), "{text}");
        assert!(
            text.contains("Taken: scale 25.4 in, contact at its end, lean 18.0 degrees, top flat"),
            "{text}"
        );
        let text = said(
            ShortAsk::Action { down: 0.4, fret: 12 },
            "0.4 mm",
            BenchUnit::METRIC,
            |_| (),
        );
        assert!(
            text.starts_with("Lower the saddle by 0.80 mm. The gap over fret 1 goes down 0.04 mm."),
            "{text}"
        );
        let text = said(ShortAsk::Sharp { cents: 4.0 }, "4", BenchUnit::METRIC, |_| ());
        assert!(
            text.starts_with("Move the contact back by 1.50 mm. Sure to 1.13 mm"),
            "{text}"
        );
        let text = said(ShortAsk::Gap { high: 0.1 }, "0.1 mm", BenchUnit::METRIC, |_| ());
        assert!(
            text.starts_with("Lower the slot's floor by 0.11 mm. The action at fret 12 goes down 0.05 mm."),
            "{text}"
        );
        let text = said(ShortAsk::Relief { more: -0.1 }, "-0.1 mm", BenchUnit::METRIC, |_| ());
        assert!(text.starts_with("The action at fret 12 goes down 0.04 mm."), "{text}");
        for line in text.lines() {
            assert!(line.chars().count() <= crate::WIDTH);
        }
    }

    #[test]
    fn the_reference_names_every_key_and_no_other() {
        use ShortAsk::*;
        let all = [
            Filed { forward: 0.4 },
            Sharp { cents: 4.0 },
            Action { down: 0.4, fret: 12 },
            Gap { high: 0.1 },
            Relief { more: 0.1 },
        ];
        let documents = all.into_iter().map(|ask| {
            // So steep that it is doubtful.
            let bare = Bare { lean: 0.4, ..USUAL };
            let short = ask.answered(bare).unwrap();
            serde_json::from_str(&short_json(&short).unwrap()).unwrap()
        });
        crate::reference::described_wholly("bonewright-ask", documents);
    }

    /// 2.4 mm is 94.488 thou; 6/64 in is 93.75 thou.
    #[test]
    fn a_reading_in_all_units() {
        assert_eq!(
            in_all_units(2.4),
            "2.400 mm\n0.0945 in\n94.5 thou\n3/32 in, and 0.7 thou more\n"
        );
        assert_eq!(in_all_units(25.4), "25.400 mm\n1.0000 in\n1000.0 thou\n1 in, exactly\n");
        assert!(in_all_units(0.38).ends_with("1/64 in, and 0.7 thou less\n"));
    }
}
