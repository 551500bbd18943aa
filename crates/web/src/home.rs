//! What the browser edition says of itself on the pages.

use maud::{Markup, html};
use pages::{Home, JobName};

/// Its own words on the first page, and of a job.
pub(crate) fn home() -> Home {
    Home { foot: foot(), of_job }
}

/// Where the jobs are, and the ways out of the browser and into it. The buttons are the shell's.
fn foot() -> Markup {
    html! {
        section aria-labelledby="home" {
            h2 id="home" { "Where your jobs are" }
            p id="home-place" { "In this browser, on this device, and nowhere else: nothing is sent anywhere." }
            p.say id="home-saved" role="status" {}
            div.go {
                button type="button" data-home="pack" { "Save all jobs to a file" }
                button.quiet type="button" data-home="unpack" { "Open a file" }
                button.quiet type="button" data-home="folder" hidden { "Work in a folder" }
                button.quiet type="button" data-home="browser" hidden { "Back to the browser's own jobs" }
            }
            p.how { "The file is a folder of jobs with their old versions, packed (ZIP): unpacked, it is one for the command too. A browser may clear what it holds, when space is short or with its history: save what you would miss." }
        }
    }
}

fn of_job(name: &JobName) -> Markup {
    html! {
        section aria-labelledby="pack" {
            h2 id="pack" { "Save it to a file" }
            p.how { "With its old versions, to open on another device or to unpack for the command. The job alone stands on its File page." }
            div.go { button.quiet type="button" data-home="pack" data-job=(name) { "Save this job to a file" } }
        }
    }
}
