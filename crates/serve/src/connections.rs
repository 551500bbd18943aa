//! Connections: accepted within limits, answered, and ended in good order when the server stops.

use std::collections::HashMap;
use std::convert::Infallible;
use std::io;
use std::net::{IpAddr, SocketAddr};
use std::pin::pin;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use hyper::Request;
use hyper::body::Incoming;
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper_util::rt::{TokioIo, TokioTimer};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{Semaphore, watch};

use crate::front::Response;
use crate::limits::Limits;
use crate::paced::Paced;

/// How long nothing is accepted after the system refused to: it may have no room for one more connection.
const REST: Duration = Duration::from_millis(500);

/// How many connections each address holds.
#[derive(Debug, Default)]
struct Peers(Mutex<HashMap<IpAddr, usize>>);

impl Peers {
    fn held(&self) -> MutexGuard<'_, HashMap<IpAddr, usize>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// A place for one more connection of an address, if it has fewer than `most`.
    fn enter(self: &Arc<Self>, peer: IpAddr, most: usize) -> Option<Place> {
        let mut held = self.held();
        let count = held.entry(peer).or_default();
        (*count < most).then(|| {
            *count += 1;
            Place {
                peers: Arc::clone(self),
                peer,
            }
        })
    }
}

/// A connection's place among those of its address, until it is dropped.
#[derive(Debug)]
struct Place {
    peers: Arc<Peers>,
    peer: IpAddr,
}

impl Drop for Place {
    fn drop(&mut self) {
        let mut held = self.peers.held();
        if let Some(count) = held.get_mut(&self.peer) {
            *count -= 1;
            if *count == 0 {
                held.remove(&self.peer);
            }
        }
    }
}

/// Answers by `app` until `stop` is true, and then until every connection has had its reply.
pub async fn answer<A, R>(listener: TcpListener, app: A, limits: Limits, stop: watch::Receiver<bool>)
where
    A: Fn(Request<Incoming>) -> R + Clone + Send + Sync + 'static,
    R: Future<Output = Response> + Send + 'static,
{
    let room = Arc::new(Semaphore::new(limits.connections));
    let peers = Arc::new(Peers::default());
    loop {
        let next = async {
            let held = Arc::clone(&room).acquire_owned().await;
            (held, accepted(&listener).await)
        };
        let (held, (stream, peer)) = tokio::select! {
            next = next => next,
            () = stopped(stop.clone()) => break,
        };
        // A place that is not given hangs up.
        if let Some(place) = peers.enter(peer.ip(), limits.of_one) {
            let (app, stop) = (app.clone(), stop.clone());
            tokio::spawn(async move {
                connection(stream, app, limits, stop).await;
                drop((held, place));
            });
        }
    }
    drop(listener);
    let all = u32::try_from(limits.connections).unwrap_or(u32::MAX);
    drop(room.acquire_many(all).await);
}

/// The next connection. What fails before it stands concerns its client alone.
async fn accepted(listener: &TcpListener) -> (TcpStream, SocketAddr) {
    use io::ErrorKind::{ConnectionAborted, ConnectionRefused, ConnectionReset};
    loop {
        match listener.accept().await {
            Ok(accepted) => return accepted,
            Err(error) if matches!(error.kind(), ConnectionAborted | ConnectionRefused | ConnectionReset) => {}
            Err(_) => tokio::time::sleep(REST).await,
        }
    }
}

async fn connection<A, R>(stream: TcpStream, app: A, limits: Limits, stop: watch::Receiver<bool>)
where
    A: Fn(Request<Incoming>) -> R + Send + Sync,
    R: Future<Output = Response> + Send,
{
    let app = service_fn(|request| {
        let reply = app(request);
        async { Ok::<_, Infallible>(reply.await) }
    });
    let io = TokioIo::new(Paced::new(stream, limits.reply));
    let connection = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(limits.head)
        .serve_connection(io, app);
    let mut connection = pin!(connection);
    // How a connection ends, broken or not, concerns its client alone.
    tokio::select! {
        done = connection.as_mut() => drop(done),
        () = stopped(stop) => {
            connection.as_mut().graceful_shutdown();
            drop(connection.await);
        }
    }
}

/// Waits until it is true.
pub async fn stopped(mut stop: watch::Receiver<bool>) {
    // An error means that the sender is gone, which is an end too.
    drop(stop.wait_for(|stopped| *stopped).await);
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::{Read, Write};
    use std::thread;
    use std::time::Instant;

    /// Long enough for a reply on a busy machine.
    const SOON: Duration = Duration::from_secs(10);
    const ASK: &[u8] = b"GET / HTTP/1.1\r\nHost: x\r\n\r\n";

    /// A server of its own in a thread.
    struct Server {
        address: SocketAddr,
        stop: watch::Sender<bool>,
        done: Option<thread::JoinHandle<()>>,
    }

    impl Server {
        fn start<R>(limits: Limits, app: impl Fn(Request<Incoming>) -> R + Clone + Send + Sync + 'static) -> Self
        where
            R: Future<Output = Response> + Send + 'static,
        {
            let runtime = tokio::runtime::Builder::new_current_thread()
                .enable_all()
                .build()
                .unwrap();
            let listener = runtime.block_on(TcpListener::bind(("127.0.0.1", 0))).unwrap();
            let address = listener.local_addr().unwrap();
            let (stop, stopped) = watch::channel(false);
            let done = thread::spawn(move || runtime.block_on(answer(listener, app, limits, stopped)));
            Self {
                address,
                stop,
                done: Some(done),
            }
        }

        fn connect(&self) -> std::net::TcpStream {
            let stream = std::net::TcpStream::connect(self.address).unwrap();
            stream.set_read_timeout(Some(SOON)).unwrap();
            stream
        }

        /// Whether a request on a connection of its own is answered.
        fn answers(&self) -> bool {
            let mut stream = self.connect();
            stream.write_all(ASK).is_ok() && first(&mut stream).contains(" 200 ")
        }
    }

    impl Drop for Server {
        fn drop(&mut self) {
            self.stop.send_replace(true);
            self.done.take().unwrap().join().unwrap();
        }
    }

    /// What comes first; nothing where the connection was ended.
    fn first(stream: &mut std::net::TcpStream) -> String {
        let mut bytes = [0; 512];
        let read = match stream.read(&mut bytes) {
            Ok(read) => read,
            Err(error) if error.kind() == io::ErrorKind::ConnectionReset => 0,
            Err(error) => panic!("{error}"),
        };
        String::from_utf8_lossy(&bytes[..read]).into_owned()
    }

    fn short() -> Limits {
        let short = Duration::from_millis(300);
        Limits {
            head: short,
            body: short,
            reply: short,
            ..Limits::default()
        }
    }

    async fn hello(_: Request<Incoming>) -> Response {
        Response::new("hello".into())
    }

    async fn large(_: Request<Incoming>) -> Response {
        Response::new(vec![b'x'; LARGE].into())
    }

    #[test]
    fn a_request_that_is_not_ended_ends() {
        let server = Server::start(short(), hello);
        let begun = Instant::now();
        let mut idle = [&b""[..], b"GET / HT", b"GET / HTTP/1.1\r\nHost: x\r\n"].map(|half| {
            let mut stream = server.connect();
            stream.write_all(half).unwrap();
            stream
        });
        for stream in &mut idle {
            let told = first(stream);
            assert!(told.is_empty() || told.contains(" 408 "), "{told}");
        }
        assert!(begun.elapsed() < SOON / 2, "{:?}", begun.elapsed());
        // A connection that had its reply is kept no longer either.
        let mut stream = server.connect();
        stream.write_all(ASK).unwrap();
        assert!(first(&mut stream).contains("hello"));
        assert_eq!(first(&mut stream), "");
    }

    #[test]
    fn one_address_leaves_room_for_others() {
        let limits = Limits {
            head: SOON,
            of_one: 2,
            ..Limits::default()
        };
        let server = Server::start(limits, hello);
        let held = [server.connect(), server.connect()];
        assert_eq!(first(&mut server.connect()), "", "a third is hung up on");
        drop(held);
        let freed = (0..100).any(|_| {
            thread::sleep(Duration::from_millis(10));
            server.answers()
        });
        assert!(freed);
    }

    #[test]
    fn all_together_hold_no_more_than_the_limit_and_the_next_waits() {
        let limits = Limits {
            connections: 2,
            ..short()
        };
        let server = Server::start(limits, hello);
        let begun = Instant::now();
        let _held = [server.connect(), server.connect()];
        assert!(server.answers(), "it waits, and is answered when a place is free");
        assert!(begun.elapsed() >= limits.head / 2, "{:?}", begun.elapsed());
    }

    /// More than the buffers of the system hold.
    const LARGE: usize = 64 << 20;

    #[test]
    fn a_reply_that_is_not_taken_ends() {
        let server = Server::start(short(), large);
        let mut stream = server.connect();
        stream.write_all(ASK).unwrap();
        thread::sleep(2 * short().reply);
        let mut taken = Vec::new();
        let end = stream.read_to_end(&mut taken);
        assert!(end.is_err() || taken.len() < LARGE, "all was sent");
        // Who takes it gets it; on a busy machine that lasts.
        let patient = Limits { reply: SOON, ..short() };
        let server = Server::start(patient, large);
        let mut stream = server.connect();
        stream
            .write_all(b"GET / HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n")
            .unwrap();
        assert!(stream.read_to_end(&mut taken).unwrap() > LARGE);
    }

    #[test]
    fn what_is_asked_before_a_stop_is_answered() {
        let (tell, asked) = std::sync::mpsc::channel();
        let slow = move |_| {
            tell.send(()).unwrap();
            async {
                tokio::time::sleep(Duration::from_millis(300)).await;
                Response::new("late".into())
            }
        };
        let server = Server::start(Limits::default(), slow);
        let (mut stream, mut idle) = (server.connect(), server.connect());
        stream.write_all(ASK).unwrap();
        asked.recv_timeout(SOON).unwrap();
        server.stop.send_replace(true);
        assert_eq!(first(&mut idle), "", "who asks nothing is not waited for");
        assert!(first(&mut stream).contains("late"));
        assert_eq!(first(&mut stream), "");
        assert!(std::net::TcpStream::connect(server.address).is_err());
    }
}
