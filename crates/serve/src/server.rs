//! The server: limits and headers round the pages.

use std::net::SocketAddr;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::body::{Body, Bytes, to_bytes};
use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method as Verb, Response, StatusCode, header};
use axum::middleware::{self, Next};
use job::Profiles;
use pages::{Bench, Fields, Method, Reply};
use thiserror::Error;
use tokio::net::TcpListener;
use tokio::sync::watch;

use crate::folder::Folder;
use crate::guard::{COOKIE, Guard, Headers};
use crate::served::Served;

/// Largest body that is read, bytes.
const MOST_BODY: usize = 256 * 1024;
/// How long open requests may take after the server was told to stop.
const LAST_REQUESTS: Duration = Duration::from_secs(2);

/// Everything comes from here, nothing runs inline, no other page may frame it.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";
/// A drawing carries its own style and nothing else.
const DRAWING_POLICY: &str =
    "default-src 'none'; style-src 'unsafe-inline'; font-src data:; sandbox; frame-ancestors 'none'";

/// How to serve.
#[derive(Debug)]
pub struct Options {
    /// The folder of jobs; it must exist.
    pub folder: PathBuf,
    /// Where to listen; port 0 takes a free one.
    pub listen: SocketAddr,
    /// String sets and materials.
    pub profiles: Profiles,
}

/// Why the page cannot be served.
#[derive(Debug, Error)]
pub enum ServeError {
    /// The folder of jobs.
    #[error("the folder {0} could not be opened")]
    Folder(PathBuf, #[source] std::io::Error),
    /// The address.
    #[error(
        "{0} is no address to listen at: give the address that this machine has in the shop's network, such as 192.168.1.20:8080"
    )]
    Anywhere(SocketAddr),
    /// The network.
    #[error("could not listen at {0}")]
    Listen(SocketAddr, #[source] std::io::Error),
    /// No random numbers.
    #[error("the system gave no random numbers: {0}")]
    Random(getrandom::Error),
    /// The server broke off.
    #[error("the server broke off")]
    Broke(#[source] std::io::Error),
}

/// Serves until `stop` is done. `ready` is told the address to open, and on a network each new one-time address.
///
/// # Errors
/// [`ServeError`].
pub fn serve(options: Options, ready: impl Fn(&str) + Send + Sync + 'static) -> Result<(), ServeError> {
    let listen = options.listen;
    if listen.ip().is_unspecified() || listen.ip().is_multicast() {
        return Err(ServeError::Anywhere(listen));
    }
    // One thread for the network; pages are made on others.
    let runtime = tokio::runtime::Builder::new_current_thread()
        .max_blocking_threads(4)
        .enable_all()
        .build()
        .map_err(ServeError::Broke)?;
    let done = runtime.block_on(async move {
        let listener = TcpListener::bind(listen).await.map_err(|e| ServeError::Listen(listen, e))?;
        let address = listener.local_addr().map_err(|e| ServeError::Listen(listen, e))?;
        let keyed = !address.ip().is_loopback();
        let mut hosts = vec![address.to_string()];
        if !keyed {
            hosts.push(format!("localhost:{}", address.port()));
        }
        let folder = Folder::open(&options.folder).map_err(|e| ServeError::Folder(options.folder, e))?;
        let guard = Guard::new(hosts, keyed).map_err(ServeError::Random)?;
        let served = Arc::new(Served {
            bench: Bench::new(Box::new(folder), options.profiles, guard.token().to_owned()),
            guard,
            address: format!("http://{address}/"),
            tell: Box::new(ready),
        });
        let stop = stop_signal().map_err(ServeError::Broke)?;
        served.tell_address();
        let app = router(served);
        tokio::select! {
            done = axum::serve(listener, app).with_graceful_shutdown(stopped(stop.clone())).into_future() => done.map_err(ServeError::Broke),
            () = async { stopped(stop).await; tokio::time::sleep(LAST_REQUESTS).await } => Ok(()),
        }
    });
    // A save that is under way is finished, not cut off.
    runtime.shutdown_timeout(LAST_REQUESTS);
    done
}

/// Turns true when the user stops the program. The signals are caught from this call on, before any address is told.
fn stop_signal() -> std::io::Result<watch::Receiver<bool>> {
    let (tell, stop) = watch::channel(false);
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        let (mut interrupt, mut terminate) = (signal(SignalKind::interrupt())?, signal(SignalKind::terminate())?);
        tokio::spawn(async move {
            tokio::select! { _ = interrupt.recv() => {}, _ = terminate.recv() => {} }
            tell.send_replace(true);
        });
    }
    #[cfg(not(unix))]
    tokio::spawn(async move {
        drop(tokio::signal::ctrl_c().await);
        tell.send_replace(true);
    });
    Ok(stop)
}

async fn stopped(mut stop: watch::Receiver<bool>) {
    // An error means that the sender is gone, which is an end too.
    drop(stop.wait_for(|stopped| *stopped).await);
}

/// The pages behind the guard.
fn router(served: Arc<Served>) -> Router {
    Router::new()
        .fallback(answer)
        .layer(middleware::from_fn_with_state(Arc::clone(&served), guarded))
        .with_state(served)
}

/// The reply of the pages. It is made beside the server's own thread, because it reads files and draws.
async fn answer(State(served): State<Arc<Served>>, request: Request) -> Response<Body> {
    let (mut parts, _) = request.into_parts();
    let Taken { fields, script } = parts.extensions.remove().unwrap_or_default();
    let method = if parts.method == Verb::POST {
        Method::Post
    } else {
        Method::Get
    };
    let path = parts.uri.path().to_owned();
    let done = tokio::task::spawn_blocking(move || pages::reply(&served.bench, method, &path, fields, script)).await;
    done.map_or_else(
        |_| {
            plain(
                StatusCode::INTERNAL_SERVER_ERROR,
                "The page broke. Nothing was changed by it.",
            )
        },
        respond,
    )
}

/// The header `Allow` of a reply, where the address is there and is not asked in this way.
fn allow(asked: &Verb, path: &str) -> Option<String> {
    let verbs: Vec<Verb> = pages::methods(path)
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
#[derive(Debug, Clone, Default)]
struct Taken {
    fields: Fields,
    script: bool,
}

/// Lets in what may in, reads the body within its limit, and puts the headers on every reply.
async fn guarded(State(served): State<Arc<Served>>, request: Request, next: Next) -> Response<Body> {
    let allow = allow(request.method(), request.uri().path());
    let mut response = match admit(&served, request).await {
        Ok(request) => next.run(request).await,
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
    set(
        headers,
        HeaderName::from_static("permissions-policy"),
        "camera=(), geolocation=(), microphone=()",
    );
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

async fn admit(served: &Served, request: Request) -> Result<Request, Response<Body>> {
    let (mut parts, body) = request.into_parts();
    let text = |name: HeaderName| parts.headers.get(name).and_then(|value| value.to_str().ok());
    let headers = Headers {
        host: text(header::HOST),
        origin: text(header::ORIGIN),
        site: text(HeaderName::from_static("sec-fetch-site")),
        cookie: text(header::COOKIE),
    };
    let post = parts.method == Verb::POST;
    if !post && parts.method != Verb::GET && parts.method != Verb::HEAD {
        return Err(plain(
            StatusCode::METHOD_NOT_ALLOWED,
            "Only GET and POST are understood here.",
        ));
    }
    served
        .guard
        .comes_from_here(headers, post)
        .map_err(|why| plain(StatusCode::FORBIDDEN, why))?;
    let query = Fields::parse(parts.uri.query().unwrap_or_default().as_bytes());
    if !served.guard.may_in(headers) {
        if let Some(pass) = query
            .get("key")
            .filter(|_| !post)
            .and_then(|key| served.guard.take(key))
        {
            served.tell_address();
            let mut see = plain(StatusCode::SEE_OTHER, "");
            set(see.headers_mut(), header::LOCATION, "/");
            set(
                see.headers_mut(),
                header::SET_COOKIE,
                &format!("{COOKIE}={pass}; Path=/; HttpOnly; SameSite=Strict"),
            );
            return Err(see);
        }
        return Err(plain(
            StatusCode::FORBIDDEN,
            "This page opens with the address that bonewright printed last. Each address works once.",
        ));
    }
    let script = text(HeaderName::from_static("x-bench")).is_some();
    let mut fields = query;
    if post {
        let too_long = || {
            plain(
                StatusCode::PAYLOAD_TOO_LARGE,
                "That is more than a form of this page sends.",
            )
        };
        let stated = text(header::CONTENT_LENGTH).and_then(|n| n.parse::<usize>().ok());
        if stated.is_some_and(|n| n > MOST_BODY) {
            return Err(too_long());
        }
        let body: Bytes = to_bytes(body, MOST_BODY).await.map_err(|_| too_long())?;
        fields = Fields::parse(&body);
        if !served.guard.has_token(fields.text("token")) {
            return Err(plain(
                StatusCode::FORBIDDEN,
                "This page is from before bonewright was started again. Nothing was done. Load the page again.",
            ));
        }
    }
    parts.extensions.insert(Taken { fields, script });
    Ok(Request::from_parts(parts, Body::empty()))
}

fn set(headers: &mut HeaderMap, name: HeaderName, value: &str) {
    if let Ok(value) = HeaderValue::from_str(value) {
        headers.insert(name, value);
    }
}

fn plain(status: StatusCode, text: &'static str) -> Response<Body> {
    let mut response = Response::new(Body::from(text));
    *response.status_mut() = status;
    set(
        response.headers_mut(),
        header::CONTENT_TYPE,
        "text/plain; charset=utf-8",
    );
    response
}

fn respond(reply: Reply) -> Response<Body> {
    let (status, kind, content) = match reply {
        Reply::Page(status, page) => (status, "text/html; charset=utf-8", page.into_string().into_bytes()),
        Reply::Json(status, value) => (status, "application/json", value.to_string().into_bytes()),
        Reply::See(place) => {
            let mut response = plain(StatusCode::SEE_OTHER, "");
            set(response.headers_mut(), header::LOCATION, &place);
            return response;
        }
        Reply::File { kind, save_as, content } => {
            let mut response = Response::new(Body::from(content));
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
    let mut response = Response::new(Body::from(content));
    *response.status_mut() = StatusCode::from_u16(status).unwrap_or(StatusCode::OK);
    set(response.headers_mut(), header::CONTENT_TYPE, kind);
    response
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_address_asked_in_another_way_names_its_own() {
        assert_eq!(allow(&Verb::POST, "/").as_deref(), Some("GET,HEAD"));
        assert_eq!(allow(&Verb::HEAD, "/new").as_deref(), Some("POST"));
        assert_eq!(allow(&Verb::PUT, "/job/a/text").as_deref(), Some("GET,HEAD,POST"));
        assert_eq!(allow(&Verb::PUT, "/nowhere"), None);
        for verb in [Verb::GET, Verb::HEAD, Verb::POST] {
            assert_eq!(allow(&verb, "/job/a/text"), None);
        }
    }
}
