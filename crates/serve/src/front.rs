//! What stands before the pages: limits of a body, who may in, the headers of every reply.

use std::sync::Arc;
use std::time::Duration;

use http_body_util::{BodyExt, Full, Limited};
use hyper::body::{Body, Bytes};
use hyper::header::{self, HeaderName, HeaderValue};
use hyper::http::request::Parts;
use hyper::{HeaderMap, Method as Verb, Request, StatusCode};
use pages::{Fields, MOST_SOUND, Method, Reply};

use crate::doors;
use crate::guard::Headers;
use crate::served::Served;

/// Largest body that is read, bytes.
const MOST_BODY: usize = 256 * 1024;
/// To a browser that has no pass and gives no key that works.
const SHUT: &str =
    "This page opens with the address that bonewright printed last. Each address lets in one browser, once.";

/// When to ask again what was busy, seconds: most programs are checked by then.
const AGAIN: &str = "5";

/// Everything comes from here, nothing runs inline, no other page may frame it.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";
/// A drawing carries its own style and nothing else.
const DRAWING_POLICY: &str =
    "default-src 'none'; style-src 'unsafe-inline'; font-src data:; sandbox; frame-ancestors 'none'";

/// What no page may ask the browser for, and what the one that listens may.
const NO_DEVICES: &str = "camera=(), geolocation=(), microphone=()";
const LISTENS: &str = "camera=(), geolocation=(), microphone=(self)";
/// What carries the token where a body is no form. A page of another site cannot send it.
const TOKEN: HeaderName = HeaderName::from_static("x-bench-token");

/// What a body ends with that does not come to its end.
type Failed = Box<dyn std::error::Error + Send + Sync>;

/// The body of a request.
pub trait Sent: Body<Data = Bytes, Error: Into<Failed>> {}
impl<B: Body<Data = Bytes, Error: Into<Failed>>> Sent for B {}

/// What goes back to the browser.
pub type Response = hyper::Response<Full<Bytes>>;

/// The reply of the pages. It is made beside the server's own thread, because it reads files and draws.
async fn answer(served: Arc<Served>, parts: Parts, taken: Taken) -> Response {
    let Taken { fields, sound, script } = taken;
    let method = if parts.method == Verb::POST {
        Method::Post
    } else {
        Method::Get
    };
    let path = parts.uri.path().to_owned();
    let work = move || {
        served.guard.is_here(looked_at(&parts.headers));
        if served.guard.keyed() && path == doors::DEVICES {
            return devices(&served, method, &fields, &parts.headers);
        }
        respond(match sound {
            Some(sound) => pages::reply_to_sound(&served.bench, &path, fields, sound, script),
            None => pages::reply(&served.bench, method, &path, fields, script),
        })
    };
    let done = tokio::task::spawn_blocking(work).await;
    done.unwrap_or_else(|_| {
        plain(
            StatusCode::INTERNAL_SERVER_ERROR,
            "The page broke. Nothing was changed by it.",
        )
    })
}

/// The list of devices, after one was shut out where a post asks for it.
fn devices(served: &Served, method: Method, fields: &Fields, headers: &HeaderMap) -> Response {
    let guard = &served.guard;
    if method == Method::Post {
        return match guard.shut_out(fields.text("device")) {
            Ok(()) => see(doors::DEVICES),
            Err(_) => plain(
                StatusCode::INSUFFICIENT_STORAGE,
                "The device is shut out, but the disk refused to keep that: it is in again when bonewright is started again.",
            ),
        };
    }
    let listed = guard.listed(looked_at(headers));
    respond(Reply::Page(200, doors::devices(&served.bench, guard.token(), &listed)))
}

/// The header `Allow` of a reply, where the address is there and is not asked in this way.
fn allow(asked: &Verb, path: &str, keyed: bool) -> Option<String> {
    let methods = match path {
        doors::DEVICES if keyed => vec![Method::Get, Method::Post],
        doors::OPEN if keyed => vec![Method::Post],
        path => pages::methods(path),
    };
    let verbs: Vec<Verb> = methods
        .into_iter()
        .flat_map(|method| match method {
            Method::Get => vec![Verb::GET, Verb::HEAD],
            Method::Post => vec![Verb::POST],
        })
        .collect();
    let names = || verbs.iter().map(Verb::as_str).collect::<Vec<_>>().join(",");
    (!verbs.is_empty() && !verbs.contains(asked)).then(names)
}

/// What the guard has read of a request.
#[derive(Debug)]
struct Taken {
    fields: Fields,
    sound: Option<Vec<u8>>,
    script: bool,
}

/// The reply of the pages behind the guard: lets in what may in, reads the body within its limit, and puts the headers on every reply.
pub async fn guarded(served: Arc<Served>, request: Request<impl Sent>) -> Response {
    let (parts, body) = request.into_parts();
    let allow = allow(&parts.method, parts.uri.path(), served.guard.keyed());
    let devices = if pages::listens(parts.uri.path()) {
        LISTENS
    } else {
        NO_DEVICES
    };
    let mut response = match admit(&served, &parts, body).await {
        Ok(taken) => answer(served, parts, taken).await,
        Err(refusal) => refusal,
    };
    let headers = response.headers_mut();
    if let Some(verbs) = allow {
        set(headers, header::ALLOW, &verbs);
    }
    set(headers, HeaderName::from_static("x-content-type-options"), "nosniff");
    set(headers, header::REFERRER_POLICY, "same-origin");
    set(
        headers,
        HeaderName::from_static("cross-origin-resource-policy"),
        "same-origin",
    );
    set(
        headers,
        HeaderName::from_static("cross-origin-opener-policy"),
        "same-origin",
    );
    set(headers, HeaderName::from_static("permissions-policy"), devices);
    set(headers, header::CACHE_CONTROL, "no-store");
    let drawn = headers
        .get(header::CONTENT_TYPE)
        .is_some_and(|kind| kind == "image/svg+xml");
    set(
        headers,
        header::CONTENT_SECURITY_POLICY,
        if drawn { DRAWING_POLICY } else { POLICY },
    );
    response
}

/// What the guard looks at.
fn looked_at(headers: &HeaderMap) -> Headers<'_> {
    let text = |name: HeaderName| headers.get(name).and_then(|value| value.to_str().ok());
    Headers {
        host: text(header::HOST),
        origin: text(header::ORIGIN),
        site: text(HeaderName::from_static("sec-fetch-site")),
        cookie: text(header::COOKIE),
    }
}

async fn admit(served: &Arc<Served>, parts: &Parts, body: impl Sent) -> Result<Taken, Response> {
    let headers = looked_at(&parts.headers);
    let post = parts.method == Verb::POST;
    if !post && parts.method != Verb::GET && parts.method != Verb::HEAD {
        return Err(plain(
            StatusCode::METHOD_NOT_ALLOWED,
            "Only GET and POST are understood here.",
        ));
    }
    let guard = &served.guard;
    guard
        .comes_from_here(headers, post)
        .map_err(|why| plain(StatusCode::FORBIDDEN, why))?;
    let path = parts.uri.path();
    let query = Fields::parse(parts.uri.query().unwrap_or_default().as_bytes());
    let opens = post && guard.keyed() && path == doors::OPEN;
    if guard.may_in(headers) {
        if opens {
            return Err(see("/"));
        }
    } else if opens {
        let fields = form(&parts.headers, body, served.limits.body).await?;
        return Err(let_in(served, &fields, &parts.headers).await);
    } else if post || !doors::is_plain_asset(path) {
        return Err(match query.get("key").filter(|key| !post && guard.fits(key)) {
            Some(key) => respond(Reply::Page(200, doors::door(key))),
            None => plain(StatusCode::FORBIDDEN, SHUT),
        });
    }
    let script = parts.headers.contains_key("x-bench");
    let stranger = || {
        plain(
            StatusCode::FORBIDDEN,
            "This page was not made by the bonewright that runs at this address now. Nothing was done. Load the page again.",
        )
    };
    let (mut fields, mut sound) = (query, None);
    if post && pages::takes_sound(path) {
        let token = parts.headers.get(TOKEN).and_then(|token| token.to_str().ok());
        if !guard.has_token(token.unwrap_or_default()) {
            return Err(stranger());
        }
        let body = whole(&parts.headers, body, MOST_SOUND, served.limits.body).await?;
        sound = Some(body.into());
    } else if post {
        fields = form(&parts.headers, body, served.limits.body).await?;
        if !guard.has_token(fields.text("token")) {
            return Err(stranger());
        }
    }
    Ok(Taken { fields, sound, script })
}

/// The fields of a form, within its limits.
async fn form(headers: &HeaderMap, body: impl Sent, most: Duration) -> Result<Fields, Response> {
    Ok(Fields::parse(&whole(headers, body, MOST_BODY, most).await?))
}

/// A body of so many bytes at most, in so much time.
async fn whole(headers: &HeaderMap, body: impl Sent, bytes: usize, most: Duration) -> Result<Bytes, Response> {
    let too_long = || plain(StatusCode::PAYLOAD_TOO_LARGE, "That is more than this page sends.");
    let stated = headers
        .get(header::CONTENT_LENGTH)
        .and_then(|n| n.to_str().ok()?.parse::<usize>().ok());
    if stated.is_some_and(|n| n > bytes) {
        return Err(too_long());
    }
    // Boxed, because what is limited may not be moved while it is read.
    let body = Limited::new(Box::pin(body), bytes).collect();
    let body = tokio::time::timeout(most, body).await.map_err(|_| {
        plain(
            StatusCode::REQUEST_TIMEOUT,
            "The form did not come to an end. Nothing was done.",
        )
    })?;
    Ok(body.map_err(|_| too_long())?.to_bytes())
}

/// Lets the device in that gives the right key, and tells the next address.
async fn let_in(served: &Arc<Served>, fields: &Fields, headers: &HeaderMap) -> Response {
    let key = fields.text("key").to_owned();
    let agent = headers.get(header::USER_AGENT).and_then(|agent| agent.to_str().ok());
    let agent = agent.unwrap_or_default().to_owned();
    let served = Arc::clone(served);
    // It is kept on the disk, which takes its time.
    let taken = tokio::task::spawn_blocking(move || {
        let cookie = served.guard.take(&key, &agent)?;
        served.tell_address();
        Some(cookie)
    });
    let Ok(Some(cookie)) = taken.await else {
        return plain(StatusCode::FORBIDDEN, SHUT);
    };
    let mut response = see("/");
    set(response.headers_mut(), header::SET_COOKIE, &cookie);
    response
}

fn set(headers: &mut HeaderMap, name: HeaderName, value: &str) {
    if let Ok(value) = HeaderValue::from_str(value) {
        headers.insert(name, value);
    }
}

/// Look there.
fn see(place: &str) -> Response {
    let mut response = plain(StatusCode::SEE_OTHER, "");
    set(response.headers_mut(), header::LOCATION, place);
    response
}

fn plain(status: StatusCode, text: &'static str) -> Response {
    let mut response = Response::new(text.into());
    *response.status_mut() = status;
    set(
        response.headers_mut(),
        header::CONTENT_TYPE,
        "text/plain; charset=utf-8",
    );
    response
}

fn respond(reply: Reply) -> Response {
    let (status, kind, content) = match reply {
        Reply::Page(status, page) => (status, "text/html; charset=utf-8", page.into_string().into_bytes()),
        Reply::Json(status, value) => (status, "application/json", value.to_string().into_bytes()),
        Reply::See(place) => return see(&place),
        Reply::File { kind, save_as, content } => {
            let mut response = Response::new(content.into());
            set(response.headers_mut(), header::CONTENT_TYPE, kind);
            if let Some(name) = save_as {
                set(
                    response.headers_mut(),
                    header::CONTENT_DISPOSITION,
                    &format!("attachment; filename=\"{name}\""),
                );
            }
            return response;
        }
    };
    let mut response = Response::new(content.into());
    *response.status_mut() = StatusCode::from_u16(status).unwrap_or(StatusCode::OK);
    if response.status() == StatusCode::SERVICE_UNAVAILABLE {
        set(response.headers_mut(), header::RETRY_AFTER, AGAIN);
    }
    set(response.headers_mut(), header::CONTENT_TYPE, kind);
    response
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::convert::Infallible;

    use http_body_util::combinators::BoxBody;
    use job::Profiles;
    use pages::{Bench, Phone};

    use crate::folder::Folder;
    use crate::guard::Guard;
    use crate::limits::Limits;
    use crate::state::StateFile;

    #[test]
    fn an_address_asked_in_another_way_names_its_own() {
        assert_eq!(allow(&Verb::POST, "/", true).as_deref(), Some("GET,HEAD"));
        assert_eq!(allow(&Verb::HEAD, "/new", true).as_deref(), Some("POST"));
        assert_eq!(allow(&Verb::PUT, "/job/a/text", true).as_deref(), Some("GET,HEAD,POST"));
        assert_eq!(allow(&Verb::PUT, "/nowhere", true), None);
        assert_eq!(allow(&Verb::GET, "/open", true).as_deref(), Some("POST"));
        assert_eq!(allow(&Verb::PUT, "/devices", true).as_deref(), Some("GET,HEAD,POST"));
        assert_eq!(allow(&Verb::PUT, "/devices", false), None);
        for verb in [Verb::GET, Verb::HEAD, Verb::POST] {
            assert_eq!(allow(&verb, "/job/a/text", true), None);
        }
    }

    #[test]
    fn what_is_busy_says_when_to_ask_again() {
        let again = |status| {
            let response = respond(Reply::Json(status, "x".into()));
            response.headers().get(header::RETRY_AFTER).is_some()
        };
        assert!(again(503) && !again(200) && !again(404));
    }

    /// The pages over an empty folder, with a key, and every address that was told.
    struct Shop {
        served: Arc<Served>,
        _folder: tempfile::TempDir,
    }

    const HOST: &str = "10.0.0.2:80";

    impl Shop {
        fn new() -> Self {
            let folder = tempfile::tempdir().unwrap();
            let jobs = Folder::open(folder.path()).unwrap();
            let guard = Guard::new(vec![HOST.to_owned()], true, StateFile::new(jobs.path().to_owned())).unwrap();
            let bench = Bench::new(Box::new(jobs), Profiles::built_in(), guard.token().to_owned());
            let guard = Arc::new(guard);
            let door = Arc::clone(&guard);
            let way_in = Phone::At(Box::new(move || door.way_in(&format!("http://{HOST}/"))));
            let served = Served {
                bench: bench.with_devices(doors::DEVICES).with_phone(way_in),
                guard,
                limits: Limits {
                    body: Duration::from_millis(100),
                    ..Limits::default()
                },
                address: format!("http://{HOST}/"),
                tell: Box::new(|_| {}),
            };
            Self {
                served: Arc::new(served),
                _folder: folder,
            }
        }

        /// Status, cookie and content of the reply to one request.
        fn ask(&self, verb: Verb, path: &str, cookie: &str, form: impl Into<Bytes>) -> (u16, Option<String>, String) {
            self.ask_with(verb, path, cookie, Full::new(form.into()))
        }

        fn ask_with(&self, verb: Verb, path: &str, cookie: &str, body: impl Sent) -> (u16, Option<String>, String) {
            let request = Request::builder()
                .method(verb)
                .uri(path)
                .header(header::HOST, HOST)
                .header(header::COOKIE, cookie)
                .header(header::USER_AGENT, "Mozilla/5.0 (Tablet; One)")
                .body(body)
                .unwrap();
            self.send(request)
        }

        fn send(&self, request: Request<impl Sent>) -> (u16, Option<String>, String) {
            let runtime = tokio::runtime::Builder::new_current_thread()
                .enable_all()
                .build()
                .unwrap();
            runtime.block_on(async {
                let response = guarded(Arc::clone(&self.served), request).await;
                let cookie = response.headers().get(header::SET_COOKIE);
                let cookie = cookie.map(|cookie| cookie.to_str().unwrap().split(';').next().unwrap().to_owned());
                let status = response.status().as_u16();
                let content = response.into_body().collect().await.unwrap().to_bytes();
                (status, cookie, String::from_utf8_lossy(&content).into_owned())
            })
        }
    }

    /// What looks at the address before its reader does leaves the key as it was.
    #[test]
    fn a_key_is_taken_by_the_button_alone() {
        let shop = Shop::new();
        let key = shop.served.guard.key().unwrap();
        let token = shop.served.guard.token();
        let address = format!("/?key={key}");
        for verb in [Verb::HEAD, Verb::GET, Verb::HEAD, Verb::GET] {
            let (status, cookie, _) = shop.ask(verb, &address, "", "");
            assert_eq!((status, cookie), (200, None));
        }
        let (_, _, door) = shop.ask(Verb::GET, &address, "", "");
        assert!(door.contains("Open the bench here") && !door.contains(token) && !door.contains("<script"));
        for (path, status) in [
            ("/", 403),
            ("/?key=0", 403),
            ("/devices", 403),
            ("/bench.js", 403),
            ("/bench.css", 200),
        ] {
            let (told, _, content) = shop.ask(Verb::GET, path, "", "");
            assert!(told == status && !content.contains(token), "{path}: {told}");
        }
        assert_eq!(shop.ask(Verb::POST, &address, "", "").0, 403);
        assert_eq!(shop.ask(Verb::POST, "/open", "", "key=0").0, 403);
        let form = format!("key={key}");
        let (status, cookie, _) = shop.ask(Verb::POST, "/open", "", form.clone());
        assert_eq!(status, 303);
        let cookie = cookie.unwrap();
        assert_eq!(shop.ask(Verb::POST, "/open", "", form.clone()).0, 403, "it works once");
        assert_eq!(shop.ask(Verb::GET, &address, "", "").0, 403);
        assert_eq!(
            shop.ask(Verb::POST, "/open", &cookie, form).0,
            303,
            "who is in needs none"
        );
        assert!(shop.ask(Verb::GET, "/", &cookie, "").2.contains("href=\"/devices\""));
    }

    #[test]
    fn devices_are_listed_and_shut_out_one_by_one() {
        let shop = Shop::new();
        let let_in = || {
            let key = shop.served.guard.key().unwrap();
            shop.ask(Verb::POST, "/open", "", format!("key={key}")).1.unwrap()
        };
        let (first, second) = (let_in(), let_in());
        assert_ne!(first, second);
        let (status, _, list) = shop.ask(Verb::GET, "/devices", &second, "");
        assert!(status == 200 && list.matches("Tablet").count() >= 2 && list.contains("just now"));
        for cookie in [&first, &second] {
            let (_, pass) = cookie.split_once('=').unwrap();
            assert!(!list.contains(pass), "a list of devices hands out no pass");
        }
        let id = list
            .split("name=\"device\" value=\"")
            .nth(1)
            .unwrap()
            .split('"')
            .next()
            .unwrap();
        let token = shop.served.guard.token();
        assert_eq!(
            shop.ask(Verb::POST, "/devices", &second, format!("device={id}")).0,
            403,
            "no token"
        );
        assert_eq!(shop.ask(Verb::GET, "/", &first, "").0, 200);
        assert_eq!(
            shop.ask(Verb::POST, "/devices", &second, format!("device={id}&token={token}"))
                .0,
            303
        );
        assert_eq!(shop.ask(Verb::GET, "/", &first, "").0, 403);
        assert_eq!(shop.ask(Verb::GET, "/", &second, "").0, 200);
    }

    /// A sound carries its token beside it, is longer than any form, and no longer than one pluck.
    #[test]
    fn a_sound_is_let_in_by_its_own_limit() {
        let shop = Shop::new();
        let key = shop.served.guard.key().unwrap();
        let cookie = shop.ask(Verb::POST, "/open", "", format!("key={key}")).1.unwrap();
        let send = |path: &str, token: &str, sound: BoxBody<Bytes, Infallible>| {
            let request = Request::builder()
                .method(Verb::POST)
                .uri(format!("{path}?string=1&token={}", shop.served.guard.token()))
                .header(header::HOST, HOST)
                .header(header::COOKIE, &cookie)
                .header("x-bench", "1")
                .header(TOKEN, token);
            shop.send(request.body(sound).unwrap())
        };
        let token = shop.served.guard.token();
        let of = |bytes: usize| Full::new(Bytes::from(vec![0u8; bytes])).boxed();
        let there = "/job/none/hear/try";
        // A job that is not there: it has passed the guard.
        assert_eq!(send(there, token, of(MOST_SOUND)).0, 404);
        assert_eq!(send(there, token, of(MOST_SOUND + 1)).0, 413);
        for wrong in ["", "0"] {
            assert_eq!(send(there, wrong, of(10)).0, 403, "the address carries no token");
        }
        assert_eq!(send(there, token, Never.boxed()).0, 408);
        // Everywhere else a body is a form, and a form is short.
        for path in [
            "/job/none/hear",
            "/job/none/try",
            "/job/none/hear/try/",
            "/job/hear/try",
        ] {
            assert_eq!(send(path, token, of(MOST_SOUND)).0, 413, "{path}");
            assert_eq!(send(path, token, of(10)).0, 403, "{path}");
        }
    }

    /// The page that listens alone may ask for the microphone.
    #[test]
    fn one_page_may_ask_for_the_microphone() {
        for (path, may) in [
            ("/job/a/hear", true),
            ("/job/a/hear/try", false),
            ("/job/hear", false),
            ("/hear.js", false),
            ("/", false),
        ] {
            assert_eq!(pages::listens(path), may, "{path}");
        }
        assert!(LISTENS.contains("microphone=(self)") && NO_DEVICES.contains("microphone=()"));
    }

    /// The code on the page lets a phone in, once; then another one stands there. To the devices that are in alone.
    #[test]
    fn the_code_on_the_page_lets_one_phone_in() {
        let shop = Shop::new();
        let key = shop.served.guard.key().unwrap();
        let first = shop.ask(Verb::POST, "/open", "", format!("key={key}")).1.unwrap();
        for page in ["/", "/devices"] {
            let (_, _, shown) = shop.ask(Verb::GET, page, &first, "");
            let key = shop.served.guard.key().unwrap();
            let address = format!("http://{HOST}/?key={key}");
            let picture = pages::code_picture(&address).unwrap().into_string();
            assert!(shown.contains(&picture) && shown.contains(&address), "{page}");
            assert_eq!(shop.ask(Verb::GET, &format!("/?key={key}"), "", "").0, 200);
            let (status, cookie, _) = shop.ask(Verb::POST, "/open", "", format!("key={key}"));
            assert!(status == 303 && cookie.is_some());
            let (_, _, shown) = shop.ask(Verb::GET, page, &first, "");
            assert!(!shown.contains(&key) && shown.contains(&shop.served.guard.key().unwrap()));
            assert_eq!(
                shop.ask(Verb::POST, "/open", "", format!("key={key}")).0,
                403,
                "no second phone"
            );
        }
        let (_, _, list) = shop.ask(Verb::GET, "/devices", &first, "");
        assert_eq!(list.matches("Last here just now").count(), 3, "{list}");
    }

    /// A body that never comes.
    struct Never;

    impl hyper::body::Body for Never {
        type Data = Bytes;
        type Error = Infallible;

        fn poll_frame(
            self: std::pin::Pin<&mut Self>,
            _: &mut std::task::Context<'_>,
        ) -> std::task::Poll<Option<Result<hyper::body::Frame<Bytes>, Self::Error>>> {
            std::task::Poll::Pending
        }
    }

    #[test]
    fn a_form_that_does_not_come_ends() {
        let shop = Shop::new();
        let (status, _, told) = shop.ask_with(Verb::POST, "/open", "", Never);
        assert!(
            status == 408 && told.contains("did not come to an end"),
            "{status} {told}"
        );
    }
}
