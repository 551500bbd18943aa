//! What a sheet of a part says first.

use crate::Note;

/// Said where nothing stands in the way of making the part, and nothing comes first.
const MAKE_IT: &str = "Make it: nothing that was read stands in its way.";

/// What a sheet says first, in large letters: why the part is not to be made, or what comes first, or that it may be made. What it says
/// is taken out of `notes`; a note with choices stays there, as the choices have no room in a headline.
#[must_use]
pub fn headline(notes: &mut Vec<Note>) -> String {
    let stops = notes.iter().position(Note::stops);
    match stops.or_else(|| notes.iter().position(Note::is_first)) {
        None => MAKE_IT.to_owned(),
        Some(at) if notes[at].points.is_empty() => notes.remove(at).text,
        Some(at) => notes[at].text.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::NoteTopic;
    use work::Severity;

    #[test]
    fn what_stops_comes_before_what_comes_first() {
        let note = |topic, severity, text: &str| Note::new(topic, severity, text.to_owned());
        let tell = || note(NoteTopic::Crown, Severity::Tell, "Falls.");
        let first = || note(NoteTopic::Remedy, Severity::Mind, "Neck first.");
        let stop = || note(NoteTopic::BlankHeight, Severity::Stop, "Too low.");
        for (mut notes, said, left) in [
            (vec![tell()], MAKE_IT, vec![tell()]),
            (vec![tell(), first()], "Neck first.", vec![tell()]),
            (vec![first(), tell(), stop()], "Too low.", vec![first(), tell()]),
            (vec![], MAKE_IT, vec![]),
        ] {
            assert_eq!(headline(&mut notes), said);
            assert_eq!(notes, left);
        }
    }
}
