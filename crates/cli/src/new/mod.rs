//! `bonewright new`: the guided survey in the terminal, by plain lines of text. The questions are in the crate `survey`.

mod review;
mod store;
mod talk;

use std::io::{self, BufRead, IsTerminal, Write};
use std::path::{Path, PathBuf};

use ::survey::{Answers, Instrument, Interview, Station, Step};
use anyhow::{Context, bail};
use job::Profiles;

use review::Review;
use store::Store;
use talk::{Asked, Reply, Talk};

use crate::failure::Failure;
use crate::source::{ProfileArgs, own_beside, own_in};

/// Name of the job file unless another is given.
const DEFAULT_FILE: &str = "job.toml";

/// What to know before the first question.
const WELCOME: &str = "Answer each question and press Enter. Enter alone takes what stands in [brackets]. \
    `same` at the treble takes what you gave at the bass. `?` explains, `back` returns to the question before, `list` shows your answers, `quit` leaves. Every answer is kept \
    at once, so that you can leave at any point and go on later. What is usual as it is, or seldom read, is not asked; `new --all` asks it.";

/// Take a survey by question and answer, and write the job file
///
/// Each question says how to take the reading. Every answer is kept at once in FILE.draft, so you may leave at any point
/// and go on later. Leaving is no error: the exit code is 0.
#[derive(clap::Args)]
pub struct NewArgs {
    /// The job file to write; asked for if left out
    pub file: Option<PathBuf>,
    /// Go on with the draft kept beside the file, without asking
    #[arg(long)]
    pub resume: bool,
    /// Ask everything, also what is usual as it is or seldom read
    #[arg(long)]
    pub all: bool,
    /// Replace a finished job file of this name
    #[arg(long)]
    pub force: bool,
    #[command(flatten)]
    profiles: ProfileArgs,
}

/// Runs the guided survey on standard input and output. Leaving before the end, by `quit` or the end of input, keeps
/// the draft and is a success.
///
/// # Errors
/// [`Failure::File`]: the file exists and may not be replaced, the draft cannot be read, a file cannot be written.
pub fn run(args: &NewArgs) -> Result<(), Failure> {
    let own = args.file.as_deref().map_or_else(|| own_in(Path::new("")), own_beside);
    let profiles = args.profiles.with_own(own).load()?;
    let mut talk = Talk::new(io::stdin().lock(), io::stdout().lock(), !io::stdin().is_terminal());
    match talk_over(&mut talk, args, profiles) {
        Err(error) if is_closed_pipe(&error) => Ok(()), // no one listens any more; the draft is kept
        done => done.map_err(Failure::File),
    }
}

fn is_closed_pipe(error: &anyhow::Error) -> bool {
    error
        .downcast_ref::<io::Error>()
        .is_some_and(|error| error.kind() == io::ErrorKind::BrokenPipe)
}

/// The whole talk, from the file's name to the next commands.
fn talk_over<R: BufRead, W: Write>(talk: &mut Talk<R, W>, args: &NewArgs, profiles: Profiles) -> anyhow::Result<()> {
    let Some(store) = open(talk, args)? else { return Ok(()) };
    let Some(answers) = begin(talk, &store, args.resume)? else {
        return Ok(());
    };
    let mut interview = if args.all {
        Interview::new(answers, profiles)
    } else {
        Interview::short(answers, profiles)
    };
    if ask_all(talk, &mut interview, &store)? {
        let path = store.write_job(&interview.job_text())?;
        talk.say(&format!("Written: {path}"))?;
        talk.say("Next:")?;
        talk.say(&format!("  bonewright check {path}"))?;
        talk.say(&format!("  bonewright plan {path}"))?;
    } else if store.has_draft() {
        talk.tell(&format!("Your answers are kept in {}.", store.draft_name()))?;
        talk.say("Go on with:")?;
        talk.say(&format!("  bonewright new {} --resume", store.job_name()))?;
    } else {
        talk.say("Nothing was answered, nothing is kept.")?;
    }
    Ok(())
}

/// The place to write to. `None` if the user left before naming it.
fn open<R: BufRead, W: Write>(talk: &mut Talk<R, W>, args: &NewArgs) -> anyhow::Result<Option<Store>> {
    if let Some(file) = &args.file {
        let store = Store::new(file.clone(), args.force);
        if store.would_replace() {
            bail!(
                "{} exists already and is not replaced. Give another name, or --force to replace it.",
                store.job_name()
            );
        }
        return Ok(Some(store));
    }
    loop {
        let Some(line) = talk.prompt("Job file to write", Some(DEFAULT_FILE))? else {
            return Ok(None);
        };
        if line == "quit" {
            return Ok(None);
        }
        let name = if line.is_empty() { DEFAULT_FILE.to_owned() } else { line };
        let store = Store::new(PathBuf::from(name), args.force);
        if !store.would_replace() {
            return Ok(Some(store));
        }
        talk.tell(&format!(
            "{} exists already and is not replaced. Give another name.",
            store.job_name()
        ))?;
    }
}

/// The answers to start from: those of the draft, or none. `None` if the user left.
fn begin<R: BufRead, W: Write>(talk: &mut Talk<R, W>, store: &Store, resume: bool) -> anyhow::Result<Option<Answers>> {
    let Some(text) = store.draft()? else {
        if resume {
            bail!("There is no draft {} to go on with.", store.draft_name());
        }
        talk.tell(WELCOME)?;
        return Ok(Some(Answers::default()));
    };
    let answers = Answers::from_draft(&text)
        .with_context(|| format!("Cannot go on with {}. Move it away to start over.", store.draft_name()))?;
    if resume {
        talk.say(&format!("Going on with {}.", store.draft_name()))?;
        return Ok(Some(answers));
    }
    talk.tell(&format!("There are answers in {} from before.", store.draft_name()))?;
    match talk.yes_or_no("Go on with them (no starts over)", Some(true))? {
        None => Ok(None),
        Some(true) => Ok(Some(answers)),
        Some(false) => {
            talk.tell(WELCOME)?;
            Ok(Some(Answers::default()))
        }
    }
}

/// Asks until the file is to be written (`true`) or the user leaves (`false`).
fn ask_all<R: BufRead, W: Write>(
    talk: &mut Talk<R, W>,
    interview: &mut Interview,
    store: &Store,
) -> anyhow::Result<bool> {
    let mut station: Option<Station> = None;
    let mut told_strings_off = false;
    let mut wanted: Option<Step> = None;
    let mut last: Option<Step> = None;
    loop {
        let Some(step) = wanted.take().or_else(|| interview.next()) else {
            match review::review(talk, interview)? {
                Review::Write => return Ok(true),
                Review::Leave => return Ok(false),
                Review::Change(step) => wanted = Some(step),
            }
            continue;
        };
        if last.is_some_and(|last| asked_for_again(interview, &step, &last)) {
            talk.blank()?;
            talk.tell("That answer needs an earlier one too, so the survey goes back to it.")?;
        }
        last = None;
        if station != Some(step.question.station) {
            station = Some(step.question.station);
            talk.station(step.question.station)?;
        }
        if step.question.strings_off && !told_strings_off {
            told_strings_off = true;
            talk.blank()?;
            talk.tell(&interview.strings_off())?;
        }
        match talk.ask(interview, &step)? {
            Asked::Kept => {
                store.keep_draft(&interview.answers.to_draft())?;
                if let Some(kind) = interview.answers.given("ask.kind").and_then(Instrument::of)
                    && step.question.key == "ask.kind"
                {
                    talk.tell(&format!(
                        "Taken as usual: {}. `list` shows what can be changed.",
                        kind.words(interview.bench())
                    ))?;
                }
                last = Some(step);
            }
            Asked::Command(Reply::Back(to)) => wanted = Some(back(talk, interview, &step, to)?),
            Asked::Command(Reply::List) => {
                review::list(talk, interview)?;
                wanted = Some(step);
            }
            Asked::Command(Reply::Help) => {
                talk.help(interview, &step)?;
                wanted = Some(step);
            }
            Asked::Again => wanted = Some(step),
            Asked::Command(Reply::Leave) => return Ok(false),
        }
    }
}

/// Whether a step to be asked comes before the one just answered.
fn asked_for_again(interview: &Interview, step: &Step, last: &Step) -> bool {
    let steps = interview.steps();
    let place = |wanted: &Step| steps.iter().position(|step| step == wanted);
    place(step).zip(place(last)).is_some_and(|(step, last)| step < last)
}

/// The step that `back` or `back N` means.
fn back<R: BufRead, W: Write>(
    talk: &mut Talk<R, W>,
    interview: &Interview,
    step: &Step,
    to: Option<usize>,
) -> anyhow::Result<Step> {
    let found = match to {
        None => interview.before(step),
        Some(number) => review::numbered(interview, number),
    };
    if found.is_none() {
        talk.tell(match to {
            None => "This is the first question.",
            Some(_) => "There is no answer of that number. `list` shows them.",
        })?;
    }
    Ok(found.unwrap_or(*step))
}
