//! The bench behind the module: bytes in, bytes out.

use job::Profiles;
use pages::{Fields, JobName, MemoryJobs, Method, Reply as Answer};

use crate::message::{Reply, Request, changes, joined, split};
use crate::print::print;
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
            Request::Print { name, form } => match std::str::from_utf8(body) {
                Ok(text) => {
                    let printed = print(&name, text, form);
                    let reply = Reply {
                        status: if printed.made { 200 } else { 422 },
                        kind: TEXT.to_owned(),
                        told: printed.told,
                        ..Reply::default()
                    };
                    joined(reply, printed.text.as_bytes(), &[])
                }
                Err(_) => said(422, "The file is no plain text, so it is no job file."),
            },
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

#[cfg(test)]
mod tests {
    use super::*;

    const SOUND: &str = include_str!("../../../examples/sound.toml");

    fn ask(bench: &Bench, head: &serde_json::Value, body: &[u8]) -> (serde_json::Value, Vec<u8>) {
        let head = head.to_string().into_bytes();
        let mut message = u32::try_from(head.len()).unwrap().to_le_bytes().to_vec();
        message.extend(head);
        message.extend(body);
        let reply = bench.answer(&message);
        let (head, content) = split(&reply).unwrap();
        (serde_json::from_slice(head).unwrap(), content.to_vec())
    }

    fn bench() -> Bench {
        Bench::new(|_, _, _| {})
    }

    fn load(bench: &Bench, path: &str, text: &str) {
        let file = serde_json::json!({ "path": path, "when": 1, "bytes": text.len() });
        let (head, _) = ask(
            bench,
            &serde_json::json!({ "do": "load", "files": [file] }),
            text.as_bytes(),
        );
        assert_eq!(
            (head["status"].as_u64(), head["files"].as_array().map(Vec::len)),
            (Some(200), Some(0))
        );
    }

    #[test]
    fn a_job_is_loaded_looked_at_changed_and_what_changed_comes_back() {
        let bench = bench();
        load(&bench, "sound.toml", SOUND);
        let get = |address: &str| {
            ask(
                &bench,
                &serde_json::json!({ "do": "ask", "now": 90_000_000, "address": address }),
                b"",
            )
        };
        let (head, page) = get("/");
        assert_eq!(head["status"], 200);
        let page = String::from_utf8(page).unwrap();
        assert!(page.contains("/job/sound/plan") && page.contains("1 day ago"), "{page}");
        assert!(page.contains("id=\"home\"") && !page.contains("Folder:"));
        let (_, page) = get("/job/sound/text");
        let page = String::from_utf8(page).unwrap();
        let (_, version) = page.split_once("data-version=\"").unwrap();
        let (version, _) = version.split_once('"').unwrap();
        let form = format!("token=&version={version}&key=slot.lean&text=4+deg&sure=yes");
        let posted = serde_json::json!({ "do": "ask", "now": 90_000_001, "address": "/job/sound/answer", "post": true, "script": true });
        let (head, content) = ask(&bench, &posted, form.as_bytes());
        let paths: Vec<&str> = head["files"]
            .as_array()
            .unwrap()
            .iter()
            .map(|file| file["path"].as_str().unwrap())
            .collect();
        assert!(
            paths.contains(&".bonewright/sound/old-000001.toml") && paths.contains(&"sound.toml"),
            "{paths:?}"
        );
        let (_, texts) = content.split_at(usize::try_from(head["bytes"].as_u64().unwrap()).unwrap());
        let texts = String::from_utf8(texts.to_vec()).unwrap();
        let (_, new) = texts.split_once(SOUND).unwrap();
        assert!(new.contains("4 deg"), "the old one whole, then the new");
        // Told once.
        let (head, _) = get("/");
        assert_eq!(head["files"].as_array().map(Vec::len), Some(0));
    }

    #[test]
    fn a_file_of_the_plan_is_the_command_s_to_the_byte() {
        let bench = bench();
        load(&bench, "sound.toml", SOUND);
        let asked = serde_json::json!({ "do": "ask", "now": 1, "address": "/job/sound/out/sound.dxf?save=yes" });
        let (head, content) = ask(&bench, &asked, b"");
        assert_eq!(
            (&head["kind"], &head["save_as"]),
            (&"image/vnd.dxf".into(), &"sound.dxf".into())
        );
        assert!(content.starts_with(b"  0") || content.starts_with(b"0") || content.starts_with(b"999"));
    }

    #[test]
    fn packed_and_unpacked_elsewhere() {
        let (one, other) = (bench(), bench());
        load(&one, "sound.toml", SOUND);
        let (head, bytes) = ask(&one, &serde_json::json!({ "do": "pack", "job": null }), b"");
        assert_eq!(head["save_as"], "bonewright-jobs.zip");
        let (head, words) = ask(
            &other,
            &serde_json::json!({ "do": "unpack", "now": 5, "name": "bonewright-jobs.zip" }),
            &bytes,
        );
        let length = usize::try_from(head["bytes"].as_u64().unwrap()).unwrap();
        assert_eq!(
            (&head["status"], &words[..length]),
            (&200.into(), &b"1 job taken in."[..])
        );
        assert_eq!(&words[length..], SOUND.as_bytes());
        let (head, _) = ask(&one, &serde_json::json!({ "do": "pack", "job": "../x" }), b"");
        assert_eq!(head["status"], 404);
    }

    #[test]
    fn nonsense_is_answered() {
        let bench = bench();
        for message in [&b""[..], b"abc", b"\xff\xff\xff\xff", b"\x02\0\0\0{}", b"\x00\0\0\0"] {
            let reply = bench.answer(message);
            let (head, _) = split(&reply).unwrap();
            assert!(String::from_utf8_lossy(head).contains("\"status\":400"));
        }
        let (head, _) = ask(
            &bench,
            &serde_json::json!({ "do": "load", "files": [{ "path": "a.toml", "bytes": 9 }] }),
            b"short",
        );
        assert_eq!(head["status"], 400);
    }
}
