//! The plan's page: everything that is made, one reading to try out, and the ways out to try.

use maud::{Markup, html};
use work::SaddleWork;

use super::live::{self, closing, whole};
use super::notes::WAYS;
use super::told::no_plan;
use super::{Tab, frame, opened, steps, survey, to};
use crate::bench::Bench;
use crate::desk::{Judged, Opened};
use crate::talk::{Ask, Reply};

/// The plan's page: everything, any one reading to try out, and with `way` a way out as it would be.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match opened(bench, ask) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let heights = |saddle: &SaddleWork| bench.sampled.heights(&opened.judged_as(), saddle);
    let main = match tried(&opened, ask.fields.text("way")) {
        Some((what, then)) => on_trial(bench, &opened, what, &then),
        None => match whole(&opened.judged, &heights, None) {
            None => no_plan(&opened),
            Some(whole) => html! {
                div.title-row { h1 { "Plan" } (steps(bench, &opened, "plan")) }
                (survey::lever(bench, &opened, ask.fields.get("key")))
                div id="live" data-part="whole" { (whole) }
                p.setting { a.button.quiet href=(to(&opened.name, "sureness")) { "How sure it is, and what to read next" } }
                (closing(&opened.judged))
            },
        },
    };
    Reply::Page(200, frame(bench, &opened.title(), Some((&opened, Tab::Plan)), &main))
}

/// What a way out would make of the plan, with what it is.
fn tried(opened: &Opened, word: &str) -> Option<(&'static str, Judged)> {
    let (way, _, what) = WAYS.iter().find(|(_, of, _)| *of == word)?;
    let done = opened.judged.planned()?.tried(*way)?;
    let problems = opened.judged.problems.clone();
    Some((
        what,
        Judged {
            problems,
            done: Some(done),
        },
    ))
}

/// The plan with a way out taken, beside the plan as it is.
fn on_trial(bench: &Bench, opened: &Opened, what: &str, then: &Judged) -> Markup {
    let heights = |saddle: &SaddleWork| bench.sampled.while_typing(&opened.judged_as(), saddle);
    html! {
        div.title-row { h1 { "Plan, on trial" } p { a.button href=(to(&opened.name, "plan")) { "Back as it was" } } }
        p.say.doubt { span.mark aria-hidden="true" { "!" } " Tried: " (what) ". Nothing of it is kept. Pale: as it was. When the slot is cut so, read it again: the survey's stations “The slot” and “The new saddle”." }
        p { (live::moved_words(then, &opened.judged)) }
        @if let Some(whole) = whole(then, &heights, Some(&opened.judged)) { (whole) }
        (closing(&opened.judged))
    }
}

#[cfg(test)]
mod tests {
    use job::Profiles;
    use saddle::{Hold, Way};

    use super::*;
    use crate::desk::Desk;
    use crate::examples;
    use crate::memory::MemoryJobs;
    use crate::name::JobName;

    fn opened(name: &str) -> Opened {
        let desk = Desk::new(Box::<MemoryJobs>::default(), Profiles::built_in());
        let job = JobName::parse("a").unwrap();
        desk.store.create(&job, examples::text(name).unwrap()).unwrap();
        desk.open(&job).unwrap()
    }

    /// A way out on trial leaves what the plan said it would: to the tenth of a cent where nothing else moves.
    #[test]
    fn a_way_on_trial_leaves_what_was_told_of_it() {
        let opened = opened("parlour");
        let saddles = opened.judged.saddles();
        let told = saddles[0].plan.ways_out.as_ref().unwrap();
        assert_eq!(saddles[0].tries(), [Way::Thicker, Way::Slot]);
        for (way, word, _) in WAYS {
            let (_, then) = tried(&opened, word).unwrap();
            let tried = then.saddles();
            let plan = tried[0].plan;
            let left = told.order.iter().find(|left| left.way == way).unwrap().worst;
            assert!(plan.strings.iter().all(|s| s.hold == Hold::Free), "{way:?}");
            let fret = usize::try_from(left.fret).unwrap() - 1;
            let string = plan.strings.iter().find(|s| s.number == left.string).unwrap();
            assert!(
                (string.cents[fret] - left.cents).abs() < 0.1,
                "{way:?}: {} {left:?}",
                string.cents[fret]
            );
            let words = live::moved_words(&then, &opened.judged);
            assert!(words.starts_with("Moved, in thou: string 6 up "), "{words}");
            assert_eq!(words.contains("back +"), way == Way::Thicker, "{words}");
            assert_eq!(live::moved_words(&opened.judged, &opened.judged), "");
        }
        assert!(tried(&opened, "nut").is_none());
    }

    /// A thicker blank is as thick as it was told, and the slot as much wider.
    #[test]
    fn a_thicker_blank_is_tried_in_a_slot_as_much_wider() {
        let opened = opened("parlour");
        let saddles = opened.judged.saddles();
        let way = saddles[0].plan.ways_out.as_ref().unwrap().thicker;
        let (_, then) = tried(&opened, "thicker").unwrap();
        let after = then.saddles();
        assert!((after[0].plan.blank.thickness - way.thickness).abs() < 1e-9);
        let wider = after[0].survey.slot_width.unwrap() - saddles[0].survey.slot_width.unwrap();
        assert!((wider - way.forward - way.back).abs() < 1e-9);
    }
}
