//! The bench behind the module: bytes in, bytes out.

use job::Profiles;
use pages::{Fields, JobName, MemoryJobs, Method, Reply as Answer};

use crate::message::{Reply, Request, changes, joined, split};
use crate::{archive, clock, home};

const HTML: &str = "text/html; charset=utf-8";
const TEXT: &str = "text/plain; charset=utf-8";
const JSON: &str = "application/json";
const ARCHIVE: &str = "application/zip";

/// The pages over jobs in memory.
pub struct Bench {
    pages: pages::Bench,
    jobs: MemoryJobs,
}

/// A request that no reply can be made of: the shell's fault, not the user's.
const NOT_UNDERSTOOD: &str = "The page and the module do not fit together. Load the page again.";

impl Bench {
    /// A bench without a job, which tells how far a check of programs is: of how many setups how many are done, and the words.
    #[must_use]
    pub fn new(told: fn(usize, usize, &str)) -> Self {
        let jobs = MemoryJobs::new("this browser".to_owned(), clock::now);
        // Nothing but this page's own script asks, so that no form needs a word to be known by.
        let pages = pages::Bench::new(Box::new(jobs.clone()), Profiles::built_in(), String::new());
        let pages = pages.with_home(home::home()).with_progress(told);
        Self { pages, jobs }
    }

    /// Answers a request, which is as `message` has it, with a reply.
    #[must_use]
    pub fn answer(&self, message: &[u8]) -> Vec<u8> {
        let Some((request, body)) =
            split(message).and_then(|(head, body)| Some((serde_json::from_slice(head).ok()?, body)))
        else {
            return said(400, NOT_UNDERSTOOD);
        };
        match request {
            Request::Load { files } => match changes(files, body) {
                Some(changes) => {
                    self.jobs.load(changes);
                    said(200, "")
                }
                None => said(400, NOT_UNDERSTOOD),
            },
            Request::Ask {
                now,
                address,
                post,
                script,
            } => {
                clock::set(now);
                self.asked(&address, post, script, body)
            }
            Request::Files => {
                let files = self.jobs.files(None).into_iter();
                let files: Vec<_> = files.map(|(path, record)| (path, Some(record))).collect();
                joined(
                    Reply {
                        status: 200,
                        ..Reply::default()
                    },
                    &[],
                    &files,
                )
            }
            Request::Pack { job } => self.packed(job.as_deref()),
            Request::Unpack { now, name } => {
                clock::set(now);
                match archive::unpack(&self.jobs, body, &name) {
                    Ok((told, changes)) => {
                        self.jobs.write(changes);
                        self.replied(
                            Reply {
                                status: 200,
                                kind: TEXT.to_owned(),
                                ..Reply::default()
                            },
                            told.words().as_bytes(),
                        )
                    }
                    Err(why) => said(422, &why.to_string()),
                }
            }
        }
    }

    fn asked(&self, address: &str, post: bool, script: bool, body: &[u8]) -> Vec<u8> {
        let (path, query) = address.split_once('?').unwrap_or((address, ""));
        let query = Fields::parse(query.as_bytes());
        let answer = if post && pages::takes_sound(path) {
            pages::reply_to_sound(&self.pages, path, query, body.to_vec(), script)
        } else if post {
            pages::reply(&self.pages, Method::Post, path, Fields::parse(body), script)
        } else {
            pages::reply(&self.pages, Method::Get, path, query, script)
        };
        let reply = |status, kind: &str| Reply {
            status,
            kind: kind.to_owned(),
            ..Reply::default()
        };
        match answer {
            Answer::Page(status, page) => self.replied(reply(status, HTML), page.into_string().as_bytes()),
            Answer::Json(status, value) => self.replied(reply(status, JSON), value.to_string().as_bytes()),
            Answer::See(there) => self.replied(
                Reply {
                    see: Some(there),
                    ..reply(303, TEXT)
                },
                &[],
            ),
            Answer::File { kind, save_as, content } => self.replied(
                Reply {
                    save_as,
                    ..reply(200, kind)
                },
                &content,
            ),
        }
    }

    fn packed(&self, job: Option<&str>) -> Vec<u8> {
        let name = job.and_then(JobName::parse);
        if job.is_some() && name.is_none() {
            return said(404, NOT_UNDERSTOOD);
        }
        match archive::pack(&self.jobs.files(name.as_ref())) {
            Ok(content) => {
                let save_as = name.map_or_else(|| "bonewright-jobs.zip".to_owned(), |name| format!("{name}.zip"));
                let reply = Reply {
                    status: 200,
                    kind: ARCHIVE.to_owned(),
                    save_as: Some(save_as),
                    ..Reply::default()
                };
                self.replied(reply, &content)
            }
            Err(why) => said(500, &why.to_string()),
        }
    }

    /// A reply, with what has changed in the folder.
    fn replied(&self, reply: Reply, content: &[u8]) -> Vec<u8> {
        joined(reply, content, &self.jobs.changes())
    }
}

fn said(status: u16, words: &str) -> Vec<u8> {
    let reply = Reply {
        status,
        kind: TEXT.to_owned(),
        ..Reply::default()
    };
    joined(reply, words.as_bytes(), &[])
}
