//! `bonewright bench`: the local page.

use crate::failure::Failure;
use crate::source::ProfileArgs;
use crate::speak;
use anyhow::anyhow;
use clap::Args;
use files::{Bench, Presence};
use serve::{Options, ServeError};
use std::io::IsTerminal;
use std::net::{Ipv4Addr, SocketAddr};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// Port of the page: the same every time, so that a page that is open works on after a restart. 7366 to 7390 are assigned to nobody
/// (IANA, Service Name and Transport Protocol Port Number Registry, read second-hand).
const PORT: u16 = 7380;
/// How many ports are tried from there on.
const PORTS: u16 = 10;

/// Folder of jobs that is taken if it is there and none is named.
const USUAL_FOLDER: &str = "jobs";

/// Open a page in the browser: survey, live plan, filing by hand, sheets
///
/// It serves the job files of one folder, the same files as the other commands. It uses no other network and works offline.
/// Stop it with Ctrl-C.
#[derive(Args)]
pub struct BenchPage {
    /// Folder of job files [default: jobs if it is there, else the current one]
    folder: Option<PathBuf>,
    /// Do not open the browser, only print the address
    #[arg(long)]
    no_open: bool,
    /// Serve the shop's own network at this address of this machine, such as 192.168.1.20:8080
    ///
    /// Each printed address lets in one browser, once; then the next one is printed. The page lists the devices that are in.
    #[arg(long, value_name = "ADDR")]
    listen: Option<SocketAddr>,
    /// Port of the page on this machine; 0 takes a free one [default: 7380, or the next one that is free]
    #[arg(long, value_name = "N", conflicts_with = "listen")]
    port: Option<u16>,
    /// Ask each browser for a key on this machine too, where others use it as well
    ///
    /// The browser is not opened then: others could read its address among the running programs.
    #[arg(long)]
    key: bool,
    #[command(flatten)]
    profiles: ProfileArgs,
}

/// # Errors
/// [`Failure::Use`] for an address that cannot be listened at; [`Failure::File`] if the folder cannot be opened or the
/// port is taken; as [`ProfileArgs::load`].
pub fn run(args: &BenchPage) -> Result<(), Failure> {
    let profiles = args.profiles.load()?;
    let folder = args.folder.clone().unwrap_or_else(|| {
        let usual = Path::new(USUAL_FOLDER);
        if usual.is_dir() { usual } else { Path::new(".") }.to_owned()
    });
    let (listen, tries) = match (args.listen, args.port) {
        (Some(listen), _) => (listen, 1),
        (None, Some(port)) => (SocketAddr::from((Ipv4Addr::LOCALHOST, port)), 1),
        (None, None) => (SocketAddr::from((Ipv4Addr::LOCALHOST, PORT)), PORTS),
    };
    let open = !args.no_open && args.listen.is_none() && !args.key;
    let (_presence, others) = Presence::begin(&folder);
    for other in &others {
        speak::error(&told(other));
    }
    let options = Options {
        folder,
        listen,
        tries,
        key: args.key,
        profiles,
    };
    // For the camera of a phone, where one may come in and somebody looks at a terminal.
    let coded = !listen.ip().is_loopback() && std::io::stdout().is_terminal();
    let ready = move |address: &str| {
        let code = serve::code_lines(address).filter(|_| coded).unwrap_or_default();
        // Should no one read it, the page works all the same.
        let _ = speak::result(&format!("The page is at {address}\n{code}Stop it with Ctrl-C.\n"));
        if open && !opened(address) {
            speak::error("The browser could not be opened: open that address yourself.");
        }
    };
    serve::serve(options, ready).map_err(|error| match error {
        ServeError::Anywhere(_) => Failure::Use(error.to_string()),
        other => Failure::File(anyhow!(other)),
    })
}

/// That another bench has the folder open, in words.
fn told(other: &Bench) -> String {
    let age = other.age.map_or_else(String::new, |age| match age.as_secs() {
        ..120 => format!(" for {} seconds", age.as_secs()),
        seconds @ ..7200 => format!(" for {} minutes", seconds / 60),
        seconds => format!(" for {} hours", seconds / 3600),
    });
    format!(
        "Another bench (process {}) has had this folder open{age}; both may be used: what one saves the other sees.",
        other.process
    )
}

/// Whether the system's opener took the address.
fn opened(address: &str) -> bool {
    let mut command = if cfg!(target_os = "macos") {
        Command::new("open")
    } else if cfg!(windows) {
        Command::new("explorer")
    } else {
        Command::new("xdg-open")
    };
    command
        .arg(address)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .is_ok()
}
