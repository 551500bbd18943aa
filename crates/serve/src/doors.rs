//! The pages at the door: the one that lets a device in, and the list of those that are in.

use maud::{DOCTYPE, Markup, html};
use pages::{Bench, Phone, ago};

use crate::guard::Listed;

/// Where a key is given, by a post.
pub const OPEN: &str = "/open";
/// The list of devices.
pub const DEVICES: &str = "/devices";

/// What to press to be let in. To look at it changes nothing: what fetches an address by itself, to show what is behind it, uses up no
/// key. It works without script, and holds nothing that only those who are in may see.
#[must_use]
pub fn door(key: &str) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head { (pages::head("bonewright")) }
            body {
                header.top { p.home { "bonewright" } }
                main id="main" {
                    h1 { "The bench" }
                    p { "This lets this browser in. The address that led here works for no other one then." }
                    form method="post" action=(OPEN) {
                        input type="hidden" name="key" value=(key);
                        p { button { "Open the bench here" } }
                    }
                }
            }
        }
    }
}

/// What the door page may load before a key was given.
#[must_use]
pub fn is_plain_asset(path: &str) -> bool {
    matches!(path, "/bench.css" | "/icon.svg")
}

/// The devices that are in, each with a way to shut it out.
#[must_use]
pub fn devices(bench: &Bench, token: &str, listed: &[Listed]) -> Markup {
    let main = html! {
        h1 { "Devices" }
        p { "Each of these gave a key once, and may see and change the jobs of this folder." }
        ul.jobs.list {
            @for device in listed {
                li {
                    span { (device.what) @if device.asks { ", this one" } }
                    span.small { "Last here " (ago(device.seen)) ", came in " (ago(device.since)) }
                    form.more method="post" action=(DEVICES) {
                        input type="hidden" name="token" value=(token);
                        input type="hidden" name="device" value=(device.id);
                        button.quiet aria-label={ "Shut out: " (device.what) ", came in " (ago(device.since)) } { "Shut out" }
                    }
                }
            }
        }
        h2 { "Let one more in" }
        (pages::phone(bench))
        @if matches!(bench.phone(), Phone::Alone) { p { "A key for another browser of this machine stands where bonewright was started." } }
        p.small { "Whoever has been in for 30 days gives a key again." }
        p { a href="/" { "Jobs" } }
    };
    pages::own(bench, "Devices", &main)
}
