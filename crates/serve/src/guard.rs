//! Who may ask: the right host, no other site's page, a token with every post, and on a network the key.

use std::sync::{Mutex, PoisonError};

use subtle::ConstantTimeEq;

/// Random bytes of a token or key.
const BYTES: usize = 16;

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

/// The key that opens the page on a network: each works once, and a new one takes its place.
#[derive(Debug)]
pub struct Keys {
    /// The key that works now.
    key: Mutex<String>,
    /// What a browser that gave a key shows from then on.
    pass: String,
}

/// What the guard decides on.
#[derive(Debug)]
pub struct Guard {
    hosts: Vec<String>,
    token: String,
    keys: Option<Keys>,
}

/// Name of the cookie that holds the pass.
pub const COOKIE: &str = "bonewright";

impl Guard {
    /// A guard for these hosts, each `address:port`; with `keyed`, only browsers that gave a key are let in.
    ///
    /// # Errors
    /// If the system gives no random numbers.
    pub fn new(hosts: Vec<String>, keyed: bool) -> Result<Self, getrandom::Error> {
        let keys = if keyed {
            Some(Keys {
                key: Mutex::new(random()?),
                pass: random()?,
            })
        } else {
            None
        };
        Ok(Self {
            hosts,
            token: random()?,
            keys,
        })
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
        let Some(keys) = &self.keys else { return true };
        let cookies = headers.cookie.unwrap_or_default().split(';');
        cookies
            .filter_map(|cookie| cookie.trim().split_once('='))
            .any(|(name, value)| name == COOKIE && same(value, &keys.pass))
    }

    /// Takes a key: the pass to keep in a cookie, if it was the right one. It works no second time.
    #[must_use]
    pub fn take(&self, given: &str) -> Option<&str> {
        let keys = self.keys.as_ref()?;
        let mut key = keys.key.lock().unwrap_or_else(PoisonError::into_inner);
        if !same(given, &key) {
            return None;
        }
        *key = random().ok()?;
        Some(&keys.pass)
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
        let guard = Guard::new(vec!["127.0.0.1:80".into(), "localhost:80".into()], false).unwrap();
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
    fn a_key_works_once() {
        let guard = Guard::new(vec!["10.0.0.2:80".into()], true).unwrap();
        let key = guard.key().unwrap();
        assert!(!guard.may_in(Headers::default()));
        assert_eq!(guard.take("wrong"), None);
        let pass = guard.take(&key).unwrap().to_owned();
        assert_eq!(guard.take(&key), None);
        assert_ne!(guard.key().unwrap(), key);
        let cookie = format!("a=b; {COOKIE}={pass}");
        let headers = Headers {
            cookie: Some(&cookie),
            ..Headers::default()
        };
        assert!(guard.may_in(headers));
    }
}
