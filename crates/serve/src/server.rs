//! The server: where it listens, from its start to its end.

use std::net::SocketAddr;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use job::Profiles;
use pages::{Bench, Phone};
use thiserror::Error;
use tokio::net::TcpListener;
use tokio::sync::watch;

use crate::connections::{self, stopped};
use crate::doors;
use crate::folder::Folder;
use crate::front;
use crate::guard::Guard;
use crate::limits::Limits;
use crate::served::Served;
use crate::state::StateFile;

/// How long open requests may take after the server was told to stop.
const LAST_REQUESTS: Duration = Duration::from_secs(2);

/// How to serve.
#[derive(Debug)]
pub struct Options {
    /// The folder of jobs; it must exist.
    pub folder: PathBuf,
    /// Where to listen; port 0 takes a free one.
    pub listen: SocketAddr,
    /// How many ports to try, that one and the next ones. With more than one, a free one is taken if all of them are taken.
    pub tries: u16,
    /// Whether each browser must give a key, also on loopback, which all users of a machine share. Elsewhere each must.
    pub key: bool,
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
    let listen = plain_address(options.listen).ok_or(ServeError::Anywhere(options.listen))?;
    // One thread for the network; pages are made on others.
    let runtime = tokio::runtime::Builder::new_current_thread()
        .max_blocking_threads(4)
        .enable_all()
        .build()
        .map_err(ServeError::Broke)?;
    let done = runtime.block_on(async move {
        let listener = bound(listen, options.tries)
            .await
            .map_err(|e| ServeError::Listen(listen, e))?;
        let address = listener.local_addr().map_err(|e| ServeError::Listen(listen, e))?;
        let keyed = options.key || !address.ip().is_loopback();
        let mut hosts = vec![address.to_string()];
        if address.ip().is_loopback() {
            hosts.push(format!("localhost:{}", address.port()));
        }
        let folder = Folder::open(&options.folder).map_err(|e| ServeError::Folder(options.folder, e))?;
        let guard = Guard::new(hosts, keyed, StateFile::new(folder.path().to_owned())).map_err(ServeError::Random)?;
        let bench = Bench::new(Box::new(folder), options.profiles, guard.token().to_owned());
        let guard = Arc::new(guard);
        let page = format!("http://{address}/");
        let phone = if address.ip().is_loopback() {
            Phone::Alone
        } else {
            let (door, page) = (Arc::clone(&guard), page.clone());
            Phone::At(Box::new(move || door.way_in(&page)))
        };
        let bench = bench.with_phone(phone);
        let served = Arc::new(Served {
            bench: if keyed {
                bench.with_devices(doors::DEVICES)
            } else {
                bench
            },
            guard,
            limits: Limits::default(),
            address: page,
            tell: Box::new(ready),
        });
        let stop = stop_signal().map_err(ServeError::Broke)?;
        served.tell_address();
        // So that the first page finds at hand how every job stands. Nobody waits for it, to begin or to end.
        let looks = Arc::clone(&served);
        std::thread::spawn(move || looks.bench.look_round());
        let limits = served.limits;
        let app = move |request| front::guarded(Arc::clone(&served), request);
        tokio::select! {
            () = connections::answer(listener, app, limits, stop.clone()) => {}
            () = async { stopped(stop).await; tokio::time::sleep(LAST_REQUESTS).await } => {}
        }
        Ok(())
    });
    // A save that is under way is finished, not cut off.
    runtime.shutdown_timeout(LAST_REQUESTS);
    done
}

/// Listens at the first port that is not taken, as [`Options::tries`] says.
async fn bound(listen: SocketAddr, tries: u16) -> std::io::Result<TcpListener> {
    let last = listen.port().saturating_add(tries.saturating_sub(1));
    let ports = (listen.port()..=last).chain((tries > 1).then_some(0));
    let mut taken = std::io::ErrorKind::AddrInUse.into();
    for port in ports {
        match TcpListener::bind(SocketAddr::new(listen.ip(), port)).await {
            // Some systems say this of a port that they keep for others.
            Err(error)
                if matches!(
                    error.kind(),
                    std::io::ErrorKind::AddrInUse | std::io::ErrorKind::PermissionDenied
                ) =>
            {
                taken = error;
            }
            done => return done,
        }
    }
    Err(taken)
}

/// The address as it is written plainly, if it is one to listen at: an IPv4 address is the same in the dress of IPv6.
fn plain_address(listen: SocketAddr) -> Option<SocketAddr> {
    let ip = listen.ip().to_canonical();
    if ip.is_unspecified() || ip.is_multicast() {
        return None;
    }
    // An IPv6 address keeps its scope.
    Some(if ip == listen.ip() {
        listen
    } else {
        SocketAddr::new(ip, listen.port())
    })
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_address_is_every_address_in_disguise() {
        for no in [
            "0.0.0.0:1",
            "[::]:1",
            "224.0.0.1:1",
            "[ff02::1]:1",
            "[::ffff:0.0.0.0]:1",
            "[::ffff:224.0.0.1]:1",
        ] {
            assert_eq!(plain_address(no.parse().unwrap()), None, "{no}");
        }
        for (given, plain) in [
            ("127.0.0.1:1", "127.0.0.1:1"),
            ("[::1]:1", "[::1]:1"),
            ("[::ffff:127.0.0.1]:1", "127.0.0.1:1"),
            ("[fe80::1%3]:1", "[fe80::1%3]:1"),
        ] {
            assert_eq!(
                plain_address(given.parse().unwrap()),
                Some(plain.parse().unwrap()),
                "{given}"
            );
        }
    }

    #[test]
    fn a_taken_port_gives_the_next() {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()
            .unwrap();
        let loopback = SocketAddr::from(([127, 0, 0, 1], 0));
        runtime.block_on(async {
            let first = bound(loopback, 1).await.unwrap().local_addr().unwrap();
            let held = bound(first, 1).await.unwrap();
            assert_eq!(held.local_addr().unwrap(), first);
            let error = bound(first, 1).await.unwrap_err();
            assert_eq!(error.kind(), std::io::ErrorKind::AddrInUse, "that one and no other");
            let next = bound(first, 10).await.unwrap().local_addr().unwrap();
            assert!(next.port() != first.port() && next.ip() == first.ip());
            // Up to the end of all ports, and never round to the first.
            assert!(bound(SocketAddr::new(first.ip(), u16::MAX), 10).await.is_ok());
        });
    }
}
