//! Who may ask: the right host, no other site's page, a token with every post, and on a network the key.

use std::io;
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{SystemTime, UNIX_EPOCH};

use subtle::ConstantTimeEq;

use crate::state::{Device, Kept, StateFile};

/// Random bytes of a token or key.
const BYTES: usize = 16;
/// How long a device that was let in stays in, seconds: 30 days.
const STAYS: u64 = 30 * 24 * 3600;
/// Most devices that are in at a time; the one that came in first makes way.
const MOST_DEVICES: usize = 64;
/// How far what is kept of when a device was here may lag behind, seconds.
const LAGS: u64 = 600;
/// Longest word that names a device, characters.
const WORD: usize = 20;

/// A token that cannot be guessed, in hexadecimal.
///
/// # Errors
/// If the system gives no random numbers.
pub fn random() -> Result<String, getrandom::Error> {
    let mut bytes = [0u8; BYTES];
    getrandom::fill(&mut bytes)?;
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

/// Whether two secrets are the same, in a time that does not tell where they differ.
fn same(a: &str, b: &str) -> bool {
    a.as_bytes().ct_eq(b.as_bytes()).into()
}

/// The headers that the guard looks at.
#[derive(Debug, Clone, Copy, Default)]
pub struct Headers<'a> {
    /// `Host`.
    pub host: Option<&'a str>,
    /// `Origin`.
    pub origin: Option<&'a str>,
    /// `Sec-Fetch-Site`.
    pub site: Option<&'a str>,
    /// `Cookie`.
    pub cookie: Option<&'a str>,
}

/// Whether it is such a token.
fn is_random(text: &str) -> bool {
    text.len() == 2 * BYTES && text.bytes().all(|byte| byte.is_ascii_hexdigit())
}

impl Kept {
    /// Whether nothing in it can be guessed: an empty token would be none.
    fn is_sound(&self) -> bool {
        is_random(&self.token) && self.devices.iter().all(|device| is_random(&device.pass))
    }
}

/// Seconds since 1970.
fn now() -> u64 {
    SystemTime::now()
        .duration_since(UNIX_EPOCH)
        .map_or(0, |since| since.as_secs())
}

/// A word for a device from what its browser says of itself: the first one in brackets that tells a system or a device.
fn word(agent: &str) -> String {
    let inner = agent.split_once('(').map_or("", |(_, rest)| rest);
    let inner = inner.split_once(')').map_or(inner, |(inner, _)| inner);
    let words = inner.split(';').map(|part| -> String {
        part.trim()
            .chars()
            .take_while(char::is_ascii_alphanumeric)
            .take(WORD)
            .collect()
    });
    // Some say nothing; after one system the next word may say more.
    let mut told = words.filter(|word| word.len() > 1 && !matches!(word.as_str(), "X11" | "compatible" | "rv"));
    let first = told.next();
    let word = match first.as_deref() {
        Some("Linux") => told
            .next()
            .filter(|word| word.chars().all(|c| c.is_ascii_alphabetic()))
            .or(first),
        _ => first,
    };
    word.unwrap_or_else(|| "Browser".to_owned())
}

/// The key that lets a device in, and the devices that it has let in. Each key works once, and a new one takes its place.
#[derive(Debug)]
struct Keys {
    /// The key that works now.
    key: Mutex<String>,
    /// Name of the cookie that holds a pass.
    cookie: String,
}

/// What the guard decides on.
#[derive(Debug)]
pub struct Guard {
    hosts: Vec<String>,
    token: String,
    keys: Option<Keys>,
    devices: Mutex<Vec<Device>>,
    state: StateFile,
}

/// A device as the list shows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listed {
    /// What to call it by.
    pub id: String,
    /// A word that tells what it is.
    pub what: String,
    /// How long ago it came in, seconds.
    pub since: u64,
    /// How long ago it was last here, seconds.
    pub seen: u64,
    /// It is the one that asks.
    pub asks: bool,
}

impl Guard {
    /// A guard for these hosts, each `address:port`; with `keyed`, only browsers that gave a key are let in. The token and the
    /// devices are those that were kept, if some were.
    ///
    /// # Errors
    /// If the system gives no random numbers.
    pub fn new(hosts: Vec<String>, keyed: bool, state: StateFile) -> Result<Self, getrandom::Error> {
        let kept = match state.read().filter(Kept::is_sound) {
            Some(kept) => kept,
            None => {
                let mut fresh = Kept {
                    token: random()?,
                    devices: Vec::new(),
                };
                // Another bench may have begun meanwhile. Where the disk refuses, the token lasts as long as the program.
                let _ = state.change(|there| {
                    fresh = there.filter(Kept::is_sound).unwrap_or_else(|| fresh.clone());
                    fresh.clone()
                });
                fresh
            }
        };
        let keys = if keyed {
            // Browsers send a cookie to every port of an address: one name for each keeps two servers apart.
            let port = hosts
                .first()
                .and_then(|host| host.rsplit_once(':'))
                .map_or("", |(_, port)| port);
            Some(Keys {
                key: Mutex::new(random()?),
                cookie: format!("bonewright-{port}"),
            })
        } else {
            None
        };
        Ok(Self {
            hosts,
            token: kept.token,
            keys,
            devices: Mutex::new(kept.devices),
            state,
        })
    }

    /// Whether a key is needed.
    #[must_use]
    pub fn keyed(&self) -> bool {
        self.keys.is_some()
    }

    /// The token that every post carries.
    #[must_use]
    pub fn token(&self) -> &str {
        &self.token
    }

    /// The key that works now, if one is needed.
    #[must_use]
    pub fn key(&self) -> Option<String> {
        let keys = self.keys.as_ref()?;
        Some(keys.key.lock().unwrap_or_else(PoisonError::into_inner).clone())
    }

    /// The address to open, with the key that works now if one is needed.
    #[must_use]
    pub fn way_in(&self, address: &str) -> String {
        match self.key() {
            Some(key) => format!("{address}?key={key}"),
            None => address.to_owned(),
        }
    }

    /// Whether the request comes from a page of ours or from the user's own hand.
    ///
    /// # Errors
    /// Why it is refused.
    pub fn comes_from_here(&self, headers: Headers, post: bool) -> Result<(), &'static str> {
        let known = |host: &str| self.hosts.iter().any(|own| own.eq_ignore_ascii_case(host));
        if !headers.host.is_some_and(known) {
            return Err("This page answers only at the address that bonewright printed.");
        }
        if post {
            let origin_ok = headers
                .origin
                .is_none_or(|origin| origin.strip_prefix("http://").is_some_and(known));
            let site_ok = headers.site.is_none_or(|site| matches!(site, "same-origin" | "none"));
            if !(origin_ok && site_ok) {
                return Err("This came from another site's page, so nothing was done.");
            }
        }
        Ok(())
    }

    /// Whether a post carries the token.
    #[must_use]
    pub fn has_token(&self, given: &str) -> bool {
        same(given, &self.token)
    }

    /// Whether the browser may in without giving a key.
    #[must_use]
    pub fn may_in(&self, headers: Headers) -> bool {
        !self.keyed() || self.device(headers).is_some()
    }

    /// Whether this is the key that works now. It works on.
    #[must_use]
    pub fn fits(&self, given: &str) -> bool {
        self.key().is_some_and(|key| same(given, &key))
    }

    /// Takes a key, if it is the right one, and lets the device in: the cookie to give it. The key works no second time.
    #[must_use]
    pub fn take(&self, given: &str, agent: &str) -> Option<String> {
        let keys = self.keys.as_ref()?;
        let (next, id, pass) = (random().ok()?, random().ok()?, random().ok()?);
        {
            let mut key = keys.key.lock().unwrap_or_else(PoisonError::into_inner);
            if !same(given, &key) {
                return None;
            }
            *key = next;
        }
        let cookie = format!("{}={pass}; Path=/; HttpOnly; SameSite=Strict", keys.cookie);
        let device = Device {
            id,
            pass,
            came: now(),
            seen: now(),
            what: word(agent),
        };
        // Where the disk refuses, it is let in for as long as the program lasts.
        let _ = self.change(|devices| {
            devices.push(device.clone());
            let over = devices.len().saturating_sub(MOST_DEVICES);
            devices.drain(..over);
        });
        Some(cookie)
    }

    /// The devices that are in, the first first.
    #[must_use]
    pub fn listed(&self, headers: Headers) -> Vec<Listed> {
        let asks = self.device(headers);
        let now = now();
        let listed = |device: &Device| Listed {
            id: device.id.clone(),
            what: device.what.clone(),
            since: now.saturating_sub(device.came),
            seen: now.saturating_sub(device.seen.max(device.came)),
            asks: asks.as_ref() == Some(&device.id),
        };
        self.devices().iter().map(listed).collect()
    }

    /// Keeps that the device that asks was here.
    pub fn is_here(&self, headers: Headers) {
        let Some(id) = self.device(headers) else { return };
        let now = now();
        let mut lagged = false;
        for device in self.devices().iter_mut().filter(|device| device.id == id) {
            lagged = now.saturating_sub(device.seen) > LAGS;
            device.seen = now.max(device.seen);
        }
        if lagged {
            // Where the disk refuses, it is known for as long as the program lasts.
            let _ = self.change(|devices| {
                for device in devices.iter_mut().filter(|device| device.id == id) {
                    device.seen = now.max(device.seen);
                }
            });
        }
    }

    /// Shuts a device out, at once.
    ///
    /// # Errors
    /// If the disk refuses to keep that: it is out, but only until the program is started again.
    pub fn shut_out(&self, id: &str) -> io::Result<()> {
        self.change(|devices| devices.retain(|device| device.id != id))
    }

    /// Changes who is in: here, and in what is kept, where another bench may have changed it too.
    fn change(&self, change: impl Fn(&mut Vec<Device>)) -> io::Result<()> {
        let now = {
            let mut devices = self.devices();
            change(&mut devices);
            devices.clone()
        };
        // Nobody waits for the disk to be let in.
        self.state.change(|there| match there.filter(Kept::is_sound) {
            Some(mut kept) => {
                change(&mut kept.devices);
                kept
            }
            None => Kept {
                token: self.token.clone(),
                devices: now,
            },
        })
    }

    /// The devices, without those that have stayed long enough.
    fn devices(&self) -> MutexGuard<'_, Vec<Device>> {
        let mut devices = self.devices.lock().unwrap_or_else(PoisonError::into_inner);
        let now = now();
        devices.retain(|device| now < device.came.saturating_add(STAYS));
        devices
    }

    /// The device that asks, by its pass.
    fn device(&self, headers: Headers) -> Option<String> {
        let name = &self.keys.as_ref()?.cookie;
        let devices = self.devices();
        let cookies = headers.cookie.unwrap_or_default().split(';');
        cookies
            .filter_map(|cookie| cookie.trim().split_once('='))
            .filter(|(given, _)| given == name)
            .find_map(|(_, pass)| devices.iter().find(|device| same(pass, &device.pass)))
            .map(|device| device.id.clone())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn from<'a>(host: &'a str, origin: Option<&'a str>, site: Option<&'a str>) -> Headers<'a> {
        Headers {
            host: Some(host),
            origin,
            site,
            cookie: None,
        }
    }

    #[test]
    fn other_hosts_and_other_sites_are_refused() {
        let folder = tempfile::tempdir().unwrap();
        let hosts = vec!["127.0.0.1:80".into(), "localhost:80".into()];
        let guard = Guard::new(hosts, false, StateFile::new(folder.path().into())).unwrap();
        let ok = |headers, post| guard.comes_from_here(headers, post).is_ok();
        assert!(ok(from("127.0.0.1:80", None, None), false));
        assert!(ok(
            from("LOCALHOST:80", Some("http://localhost:80"), Some("same-origin")),
            true
        ));
        assert!(!ok(from("evil.example:80", None, None), false));
        assert!(!ok(from("127.0.0.1:81", None, None), false));
        assert!(!ok(Headers::default(), false));
        assert!(!ok(from("127.0.0.1:80", Some("http://evil.example"), None), true));
        assert!(!ok(from("127.0.0.1:80", Some("null"), None), true));
        assert!(!ok(from("127.0.0.1:80", None, Some("cross-site")), true));
        assert!(
            ok(from("127.0.0.1:80", None, Some("cross-site")), false),
            "a link from elsewhere may be followed"
        );
        assert!(guard.has_token(guard.token()) && !guard.has_token("") && guard.may_in(Headers::default()));
    }

    #[test]
    fn a_key_works_once_and_each_device_is_shut_out_alone() {
        let folder = tempfile::tempdir().unwrap();
        let guard = || Guard::new(vec!["10.0.0.2:80".into()], true, StateFile::new(folder.path().into())).unwrap();
        let first = guard();
        assert!(!first.may_in(Headers::default()));
        assert_eq!(first.take("wrong", ""), None);
        let let_in = |agent| {
            let key = first.key().unwrap();
            assert!(first.fits(&key) && first.fits(&key), "to look at it does not use it up");
            let cookie = first.take(&key, agent).unwrap();
            assert_eq!(first.take(&key, agent), None);
            assert!(!first.fits(&key));
            format!("a=b; {}", cookie.split(';').next().unwrap())
        };
        let cookies = [let_in("Mozilla/5.0 (Tablet; One)"), let_in("")];
        assert_ne!(cookies[0], cookies[1], "each has a pass of its own");
        let shows = |cookie| Headers {
            cookie: Some(cookie),
            ..Headers::default()
        };
        // A restart shuts nobody out.
        let second = guard();
        assert_eq!(second.token(), first.token());
        let listed = second.listed(shows(&cookies[1]));
        let told: Vec<_> = listed.iter().map(|l| (l.what.as_str(), l.asks, l.since < 60)).collect();
        assert_eq!(told, [("Tablet", false, true), ("Browser", true, true)]);
        second.shut_out(&listed[0].id).unwrap();
        for guard in [second, guard()] {
            assert!(!guard.may_in(shows(&cookies[0])) && guard.may_in(shows(&cookies[1])));
        }
    }

    /// Who is shut out by one bench is not let in again by what another one keeps.
    #[test]
    fn two_benches_keep_their_devices_together() {
        let folder = tempfile::tempdir().unwrap();
        let guard = || Guard::new(vec!["10.0.0.2:80".into()], true, StateFile::new(folder.path().into())).unwrap();
        let first = guard();
        let let_in = |guard: &Guard| guard.take(&guard.key().unwrap(), "").unwrap();
        let_in(&first);
        let second = guard();
        let out = second.listed(Headers::default())[0].id.clone();
        second.shut_out(&out).unwrap();
        let_in(&first);
        let_in(&second);
        let kept = guard().listed(Headers::default());
        assert_eq!(kept.len(), 2);
        assert!(kept.iter().all(|device| device.id != out));
    }

    #[test]
    fn a_device_leaves_after_its_time() {
        let folder = tempfile::tempdir().unwrap();
        let device = |came| Device {
            id: "1".into(),
            pass: "ab".repeat(BYTES),
            came,
            seen: 0,
            what: "Old".into(),
        };
        let guard = |came| {
            let kept = Kept {
                token: "cd".repeat(BYTES),
                devices: vec![device(came)],
            };
            let state = StateFile::new(folder.path().into());
            state.change(|_| kept).unwrap();
            Guard::new(vec!["10.0.0.2:80".into()], true, state).unwrap()
        };
        let cookie = format!("bonewright-80={}", "ab".repeat(BYTES));
        let headers = Headers {
            cookie: Some(&cookie),
            ..Headers::default()
        };
        assert!(guard(now() - STAYS + 60).may_in(headers));
        assert!(!guard(now() - STAYS).may_in(headers));
    }

    /// An empty or short token in the file would be no secret.
    #[test]
    fn a_spoilt_file_gives_a_new_token_and_no_device() {
        let folder = tempfile::tempdir().unwrap();
        for spoilt in [
            "",
            "token = \"\"",
            "token = 5",
            "token = \"abc\"\n[[device]]\nid = \"\"\npass = \"\"\ncame = 9223372036854775807\nwhat = \"x\"",
        ] {
            let hidden = folder.path().join(files::HIDDEN);
            std::fs::create_dir_all(&hidden).unwrap();
            std::fs::write(hidden.join("_page.toml"), spoilt).unwrap();
            let guard = Guard::new(vec!["10.0.0.2:80".into()], true, StateFile::new(folder.path().into())).unwrap();
            assert!(is_random(guard.token()) && !guard.has_token(""), "{spoilt}");
            let headers = Headers {
                cookie: Some("bonewright-80="),
                ..Headers::default()
            };
            assert!(!guard.may_in(headers) && guard.listed(headers).is_empty(), "{spoilt}");
        }
    }

    #[test]
    fn a_device_is_named_by_a_word() {
        for (agent, told) in [
            ("Mozilla/5.0 (Linux; Android 14; K) Some/1", "Android"),
            ("Mozilla/5.0 (X11; Linux x86_64; rv:1) Some/1", "Linux"),
            ("Mozilla/5.0 (Tablet; CPU OS 17_0 like any) Some/1", "Tablet"),
            ("Mozilla/5.0 (<b>; ((", "Browser"),
            ("curl", "Browser"),
        ] {
            assert_eq!(word(agent), told, "{agent}");
        }
        assert!(word(&format!("({})", "a".repeat(900))).len() <= WORD);
    }
}
