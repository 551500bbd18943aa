//! A job file as the answers of the survey, so that a file written by hand can be gone through question by question.

use survey::{
    AnswerCheck, Answers, BETWEEN, Interview, Kind, Question, SAME, SPELLED_OUT, Spread, Station, questions, settings,
};
use toml::{Table, Value};

use crate::beside::Beside;

/// The answers that a job file holds, with the steering answers that follow from it or are kept beside it.
#[must_use]
pub fn from_job(job: &Table, beside: &Beside) -> Answers {
    let mut answers = Answers::default();
    for (key, text) in &beside.steering {
        answers.set(key, text);
    }
    for key in &beside.skipped {
        answers.set(key, "");
    }
    for question in questions()
        .chain(settings())
        .filter(|q| q.is_written() && q.spread != Spread::EachString)
    {
        if let Some(value) = located(job, question.key) {
            spread(&mut answers, question, value);
        }
    }
    for (key, _) in questions().filter_map(|q| q.assumed) {
        let assumed = located(job, key).and_then(Value::as_bool) == Some(true);
        answers.assume(key, assumed);
    }
    strings(&mut answers, job);
    steer(&mut answers, job);
    answers
}

/// An interview over these answers, each in the form in which the survey keeps it.
#[must_use]
pub fn settled(answers: Answers, profiles: job::Profiles) -> Interview {
    let mut interview = Interview::new(answers, profiles);
    for step in interview.everything() {
        let key = step.key();
        let Some(text) = interview.answers.given(&key).map(str::to_owned) else {
            continue;
        };
        if let AnswerCheck::Keep(kept) = interview.read(&step, &text)
            && kept != text
        {
            interview.answers.set(&key, &kept);
        }
    }
    interview
}

/// The value of a question's key in the file.
fn located<'a>(job: &'a Table, key: &str) -> Option<&'a Value> {
    let (path, inline) = key
        .split_once(':')
        .map_or((key, None), |(path, inline)| (path, Some(inline)));
    let mut table = job;
    let (tables, last) = path.rsplit_once('.').unwrap_or(("", path));
    for part in tables.split('.').filter(|part| !part.is_empty()) {
        table = table.get(part)?.as_table()?;
    }
    let value = table.get(last)?;
    match (inline, value) {
        (Some(field), Value::Table(fields)) => fields.get(field),
        // A relief in one value is its gap.
        (Some("gap"), value) => Some(value),
        (Some(_), _) => None,
        (None, Value::Table(_)) if key == "instrument.board_radius" || key == "instrument.scale" => None,
        (None, value) => Some(value),
    }
}

fn spread(answers: &mut Answers, question: &Question, value: &Value) {
    let key = question.key;
    let end = |side: &str| format!("{key}.{side}");
    match (question.spread, value) {
        (Spread::Ends | Spread::Strings | Spread::Sparse | Spread::Listed, Value::Table(ends)) => {
            for side in ["bass", "treble"] {
                if let Some(text) = ends.get(side).and_then(job::as_typed) {
                    answers.set(&end(side), &text);
                }
            }
            // Beside a treble end that was read, the bass end is not left out but still to come.
            if ends.contains_key("treble") && !ends.contains_key("bass") {
                answers.forget(&end("bass"));
            }
        }
        (Spread::Strings | Spread::Sparse | Spread::Listed, Value::Array(list)) if is_measure(question) => {
            let texts: Vec<String> = list.iter().filter_map(job::as_typed).collect();
            answers.set(&end("bass"), &texts.join(BETWEEN));
        }
        (Spread::Ends | Spread::Strings | Spread::Sparse, value) => {
            if let Some(text) = job::as_typed(value) {
                answers.set(&end("bass"), &text);
                answers.set(&end("treble"), SAME);
            }
        }
        (Spread::Paired, Value::Table(paired)) => {
            for (name, key) in [("total", key.to_owned()), ("correlation", end("correlation"))] {
                if let Some(text) = paired.get(name).and_then(job::as_typed) {
                    answers.set(&key, &text);
                }
            }
        }
        // A reading of the only string.
        (Spread::Listed, value) if question.kind == Kind::Length => {
            if let Some(text) = job::as_typed(value) {
                answers.set(&end("bass"), &text);
            }
        }
        (_, Value::Array(list)) => {
            let texts: Vec<String> = list.iter().filter_map(job::as_typed).collect();
            let several = matches!(question.kind, Kind::Names(_) | Kind::Several(_) | Kind::Choice(_));
            answers.set(key, &texts.join(if several { BETWEEN } else { " " }));
        }
        (_, value) => {
            if let Some(text) = job::as_typed(value) {
                answers.set(key, &text);
            }
        }
    }
}

/// Whether it is a length or an angle.
fn is_measure(question: &Question) -> bool {
    matches!(question.kind, Kind::Length | Kind::Angle)
}

/// Strings that are spelled out.
fn strings(answers: &mut Answers, job: &Table) {
    let named = located(job, "strings.set").is_some();
    let list = job.get("string").and_then(Value::as_array);
    let spelled: Vec<(u32, &Table)> = list
        .into_iter()
        .flatten()
        .filter_map(Value::as_table)
        .filter_map(|string| {
            let number = string.get("number")?.as_integer()?;
            Some((u32::try_from(number).ok().filter(|n| (1..=12).contains(n))?, string))
        })
        .collect();
    if named || spelled.is_empty() {
        return;
    }
    answers.set("strings.set", SPELLED_OUT);
    let most = spelled.iter().map(|(n, _)| *n).max().unwrap_or(0);
    let asked = answers
        .given("ask.count")
        .and_then(|text| text.parse().ok())
        .unwrap_or(0);
    answers.set("ask.count", &most.max(asked).to_string());
    for (number, string) in spelled {
        for (field, value) in string {
            if let Some(text) = job::as_typed(value) {
                answers.set(&format!("string.{number}.{field}"), &text);
            }
        }
        if string.contains_key("linear_density") {
            answers.set(&format!("ask.string.{number}.data"), "measured");
        } else if ["core", "material", "wrap"].iter().any(|key| string.contains_key(*key)) {
            answers.set(&format!("ask.string.{number}.data"), "build");
        }
    }
}

/// Steering answers that follow from what the file holds.
fn steer(answers: &mut Answers, job: &Table) {
    let chosen = answers.given("ask.part").map(str::to_owned);
    let has = |key: &str| located(job, key).is_some();
    let mut set = |key: &str, text: &str| answers.set(key, text);
    if has("instrument.scale:square") {
        set("ask.scale", "two scales");
    } else if has("instrument.scale") {
        set("ask.scale", "scale");
    } else if has("instrument.nut_to_12") {
        set("ask.scale", "nut to 12");
    }
    match job.get("instrument").and_then(|i| i.get("board_radius")) {
        Some(Value::Table(_)) => set("ask.board", "two radii"),
        Some(Value::String(text)) if text == "flat" => set("ask.board", "flat"),
        Some(_) => set("ask.board", "one radius"),
        None => {}
    }
    let makes_saddle = ["slot", "blank", "saddle"].iter().any(|table| job.contains_key(*table));
    match (job.contains_key("nut_blank"), makes_saddle) {
        (true, true) => set("ask.part", "both"),
        // With part of the answers in it, the file does not tell the two apart, and the kept answer does.
        (true, false) if chosen.as_deref() != Some("both") => set("ask.part", "nut"),
        (false, true) if chosen.as_deref() != Some("both") => set("ask.part", "saddle"),
        _ => {}
    }
    if has("nut_blank.margin") {
        set("ask.nut_places", "margin");
    } else if has("strings.nut_spread") {
        set("ask.nut_places", "spread");
    }
    if has("nut_blank.post_back") || has("nut_blank.post_across") {
        set("ask.posts", "yes");
    }
    match located(job, "nut_blank.top") {
        Some(Value::String(text)) if text == "follow" => set("ask.top", "follow"),
        Some(_) => set("ask.top", "arc"),
        None => {}
    }
    // Of a saddle that stays, the target says this alone.
    if job.contains_key("nut_blank") && !makes_saddle {
        set("ask.setbacks", if has("target.intonation") { "yes" } else { "no" });
    }
    if has("nut.new_held_at_3") {
        set("ask.new_nut_reading", "held at 3");
    } else if has("nut.new_clearance") {
        set("ask.new_nut_reading", "open");
    }
    if has("nut.zero_fret") {
        set("ask.nut", "zero fret");
    } else if has("nut.new_clearance") || has("nut.new_held_at_3") {
        set("ask.nut", "new");
    } else if has("nut.first_fret_clearance") || has("nut.held_at_3") {
        set("ask.nut", "kept");
    }
    if has("nut.held_at_3") {
        set("ask.nut_reading", "held at 3");
        set("ask.zero_reading", "held at 3");
    } else if has("nut.first_fret_clearance") {
        set("ask.nut_reading", "open");
        set("ask.zero_reading", "open");
    } else if has("nut.zero_fret_above") {
        set("ask.zero_reading", "above");
    }
    let of_assess = questions().filter(|q| q.station == Station::Remedy && q.is_written());
    if of_assess.map(|q| q.key).any(has) {
        set("ask.assess", "yes");
    }
    let more = questions()
        .filter(|q| matches!(q.station, Station::Over | Station::Tuner | Station::Old) && q.place().0 == "present");
    if more.map(|q| q.key).any(has) {
        set("ask.more", "yes");
    }
}

/// Whether an answer is of a kind that a small list of choices shows.
#[must_use]
pub fn is_choice(kind: Kind) -> bool {
    matches!(
        kind,
        Kind::Choice(_) | Kind::YesNo | Kind::Name(_) | Kind::Names(_) | Kind::Several(_)
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use job::Profiles;

    fn interview(text: &str) -> Interview {
        settled(
            from_job(&text.parse().unwrap(), &Beside::default()),
            Profiles::built_in(),
        )
    }

    /// The examples, gone through by the survey, still mean the same.
    #[test]
    fn an_example_read_into_answers_and_written_again_is_the_same_job() {
        for (name, text) in crate::examples::EXAMPLES {
            let profiles = Profiles::built_in();
            let own = job::read(text, &profiles).unwrap().job;
            if text.contains("[[string]]") && text.contains("\nset = ") || text.contains("[[saddle]]") {
                continue; // overrides of a set and several saddles are no questions; the file keeps them
            }
            let again = interview(text);
            let again = job::read(&again.job_text(), &profiles)
                .unwrap_or_else(|e| panic!("{name}: {e:?}\n{}", again.job_text()))
                .job;
            assert_eq!(again.uncertainty, own.uncertainty, "{name}");
            let [again, own] = [again, own].map(|job| figures(&work::planned(job)));
            assert_eq!(again.len(), own.len(), "{name}");
            for (a, b) in again.iter().zip(&own) {
                // A number and the same number as text may differ in the last digit.
                assert!((a - b).abs() < 1e-9, "{name}: {a} {b}");
            }
        }
    }

    /// The contacts of the saddle and the slots of the nut, as far as they are made.
    fn figures(done: &work::Planned) -> Vec<f64> {
        assert_eq!(done.refusals, []);
        let (saddle, nut) = (done.saddle(), done.nut());
        let contacts = saddle.iter().flat_map(|saddle| &saddle.plan.strings);
        let slots = nut.iter().flat_map(|nut| &nut.plan.strings);
        contacts
            .flat_map(|s| [s.contact.b, s.contact.u, s.contact.v])
            .chain(slots.flat_map(|s| [s.u, s.b, s.floor, s.width, s.top, s.clearance, s.fan]))
            .collect()
    }

    #[test]
    fn bare_numbers_take_their_unit_along() {
        let interview = interview("unit = \"in\"\n[instrument]\nscale = 25.5\nrelief = \"7 thou\"\n");
        assert_eq!(interview.answers.given("instrument.scale"), Some("25.5 in"));
        assert_eq!(interview.answers.given("instrument.relief:gap"), Some("7 thou"));
        assert_eq!(interview.answers.given("ask.scale"), Some("scale"));
    }

    #[test]
    fn two_scale_lengths_are_answers_of_their_own() {
        let interview = interview("[instrument]\nscale = { bass = \"26.5 in\", treble = \"25.5 in\", square = 8 }\n");
        let given = |key| interview.answers.given(key);
        assert_eq!(given("ask.scale"), Some("two scales"));
        assert_eq!(given("instrument.scale"), None);
        assert_eq!(given("instrument.scale:bass"), Some("26.5 in"));
        assert_eq!(given("instrument.scale:square"), Some("8"));
    }

    #[test]
    fn usual_answers_bring_up_the_questions_behind_them() {
        let mut interview = Interview::new(Answers::default(), Profiles::built_in());
        interview.fill(|_| true);
        assert_eq!(interview.answers.given("ask.scale"), Some("nut to 12"));
        assert!(interview.steps().iter().any(|s| s.key() == "instrument.nut_to_12"));
        assert!(
            interview
                .steps()
                .iter()
                .any(|s| s.key() == "slot.edge_from_fret_12.bass")
        );
    }
}
