//! What each finding says, and what to do about it, in plain words. The one home of these sentences.

use super::assessed::Assessed;
use super::figures::figure;
use super::fork::{fork_words, remedy};
use crate::figures::{degrees, fixed, length, sentence, strings};
use crate::notes::notes;
use assess::{Finding, LEAST_MOVE, Topic, Touch, Undo, Verdict};
use saddle::Way;
use work::{AirFrom, Fork, Remark, Severity};

/// What a finding asks for, in one word or two.
pub(super) fn verdict(finding: &Finding) -> &'static str {
    match finding.verdict {
        Verdict::Act => "TO DO",
        Verdict::Watch => "WATCH",
        Verdict::Unknown => "NOT KNOWN",
        Verdict::Sound => "IN ORDER",
    }
}

/// Whether the remedy can be undone, as a sentence; nothing if there is nothing to do.
pub(super) fn undo(finding: &Finding) -> Option<&'static str> {
    match finding.undo {
        Undo::Reversible => Some("Can be undone."),
        Undo::Irreversible => Some("CANNOT BE UNDONE."),
        Undo::NothingToDo => None,
    }
}

impl Assessed<'_> {
    /// Strings that a finding names.
    fn under(&self, finding: &Finding) -> String {
        let count = finding.strings.len();
        if count == 0 || count == self.plan.strings.len() && count > 1 {
            "all strings".to_owned()
        } else {
            strings(&finding.strings)
        }
    }

    fn mm(&self, mm: f64) -> String {
        length(self.bench, mm)
    }

    fn value(&self, finding: &Finding) -> String {
        finding
            .value
            .map_or_else(|| "not known".to_owned(), |v| figure(finding.quantity, v, self.bench))
    }

    /// How far the crown of a zero fret has to come up or down at least, for the gap over fret 1 to come to its limit with the same action
    /// at fret 12.
    fn at_crown(&self, finding: &Finding) -> String {
        let limit = if finding.is_low() { finding.least } else { finding.most };
        let off = finding
            .value
            .zip(limit)
            .map_or(0.0, |(gap, limit)| (gap - limit.value).abs());
        // The string turns about its point over fret 12.
        let share = self.plan.strings.first().map_or(1.0, |s| {
            let [one, .., twelve] = s.string.crowns;
            (twelve.x - one.x) / (twelve.x - s.nut.x)
        });
        self.mm(off / share)
    }

    /// What was found and what to do about it, in sentences. Every topic is named, so that a new one has its words.
    pub(super) fn advice(&self, finding: &Finding) -> String {
        let value = self.value(finding);
        let [sound, watch, unknown] =
            [Verdict::Sound, Verdict::Watch, Verdict::Unknown].map(|verdict| finding.verdict == verdict);
        let low = finding.is_low();
        match finding.topic {
            Topic::Saddle if unknown => {
                "The exposure is not known, so it cannot be said whether a saddle alone is the remedy. Measure the depth of the slot at both ends.".to_owned()
            }
            Topic::Saddle => format!(
                "{} brings the wanted action, with a mean exposure of {value}. {} Keep the old saddle: it can be put back.",
                remedy(self.beside),
                self.when_to_make()
            ),
            // What else is in order needs no words.
            _ if sound => String::new(),
            Topic::Humidity if unknown => {
                "The humidity at the survey is not known. Season arches the top, and moves the action as much as a neck set does. Read it (humidity under [assess]) before any step that cannot be undone.".to_owned()
            }
            Topic::Humidity => {
                let effect = if low { "Dry air flattens the top and lowers the action" } else { "Damp arches the top and raises the action" };
                let came = if self.air == Some(AirFrom::Book) { " when it came, by the book" } else { "" };
                format!("The relative humidity was {value}{came}. {effect}. Keep the instrument near 45 % for a week or two and take the survey again.")
            }
            Topic::Relief => {
                let which = if low { "A back-bow" } else { "This much relief" };
                format!("The relief is {value}. {which} changes every height of the survey. Set it with the truss rod, if there is one, and take the survey again. Without a rod, levelling frets or board cannot be undone.")
            }
            Topic::Nut if low => format!(
                "The gap over fret 1 is only {value}, least of {}. Make a new nut or fill its slots; the action at fret 12 rises by about half of what the nut gains.",
                self.under(finding)
            ),
            Topic::Nut => format!(
                "The gap over fret 1 is {value}, most of {}. File the nut slots deeper in small steps: the action at fret 12 falls by about half of it, and the saddle may do as it is. A slot filed too deep can only be filled.",
                self.under(finding)
            ),
            Topic::ZeroFret if low => format!(
                "The gap over fret 1 is only {value}, least of {}: the zero fret is worn or too low. Level the frets, or set higher wire at fret 0 (nut.new_wire): the crown must come up by at least {}. The action at fret 12 rises by about half of it.",
                self.under(finding),
                self.at_crown(finding)
            ),
            Topic::ZeroFret => format!(
                "The gap over fret 1 is {value}, most of {}. Dress the crown of the zero fret down by at least {} in small steps (nut.dressed): the action at fret 12 falls by about half of it, and the saddle may do as it is. Keep it level with the other crowns or above; what is filed off needs new wire.",
                self.under(finding),
                self.at_crown(finding)
            ),
            Topic::Fit if low => {
                format!("The blank is {} thicker than the slot. Thin the blank; forced in, it splits the bridge.", self.mm(finding.value.unwrap_or(0.0).abs()))
            }
            Topic::Fit => format!("The blank has {value} of play. {} Take a thicker blank.", self.tipping()),
            Topic::InSlot => format!(
                "Under {} little of the saddle stands in its slot, least {value}. It can tip and press on the mouth. A snug blank helps. Deepening the slot takes wood away for good.",
                self.under(finding)
            ),
            Topic::BreakAngle if unknown => {
                "Where the strings leave the bridge is not known, so neither break angles nor the load are. Add [bridge] to the job.".to_owned()
            }
            Topic::BreakAngle if low && watch => format!(
                "{} would bend too little over so low a saddle, least {value}. The neck mends that too: cut no ramps before it is set.",
                sentence(&self.under(finding))
            ),
            Topic::BreakAngle if low => format!(
                "{} bend little over the saddle, least {value}, and may seat weakly. A deeper ramp from the holes gives more; its wood cannot be put back.",
                sentence(&self.under(finding))
            ),
            Topic::BreakAngle => format!(
                "{} bend by up to {value} over the saddle. That presses hard on the slot; see the load.",
                sentence(&self.under(finding))
            ),
            Topic::BackFall => self.back_fall(finding),
            Topic::Slot => self.slot(finding),
            Topic::WoodUnder if unknown => "The wood under the slot is not known. Read the bridge's thickness before you deepen the slot.".to_owned(),
            Topic::WoodUnder => format!("Only {value} of wood is left under the slot. Do not deepen it. Look inside for a split."),
            Topic::FrontWall if unknown => "The wood in front of the slot is not known. It carries the saddle's push; read it before you widen the slot.".to_owned(),
            Topic::FrontWall => format!("Only {value} of wood stands in front of the slot. Look for a crack along it. Widening the slot forward takes more."),
            Topic::ToHoles => format!("Only {value} of wood stands between slot and holes. A slot moved back would cut into them."),
            Topic::Load if unknown => "The wood of the bridge is not named, so the pressure on its front wall is compared with nothing.".to_owned(),
            Topic::Load => format!("{} A slot that leans less or a lower exposure eases it; so does a snug blank, which spreads the push. Look for a crack in front of the slot.", self.load()),
            Topic::Neck => self.neck(finding),
            Topic::Bridge if watch => format!(
                "The mean exposure would be {value}, a tall saddle. It levers on the bridge; steel strings more than nylon. See the load, and take a snug blank."
            ),
            Topic::Bridge => format!(
                "The mean exposure would be {value}: a saddle so tall levers on the bridge. The plate of the bridge is too low or the neck stands too far back. A taller bridge, or the neck brought forward, is the remedy; look first for a sunken top."
            ),
        }
    }

    /// What play in the slot does.
    fn tipping(&self) -> String {
        let Some(clearance) = &self.found.clearance else {
            return String::new();
        };
        let worst = |of: fn(&assess::Tip) -> f64| {
            clearance
                .strings
                .iter()
                .map(of)
                .fold(0.0, |a, b| if b.abs() > f64::abs(a) { b } else { a })
        };
        format!(
            "It lets the saddle tip forward by {}: contacts move up to {} toward the nut, pitch at fret 12 up to {} cents, action up to {}.",
            degrees(clearance.tilt),
            self.mm(worst(|t| t.forward)),
            fixed(worst(|t| t.cents).abs(), 1),
            self.mm(worst(|t| t.action).abs()),
        )
    }

    fn back_fall(&self, finding: &Finding) -> String {
        let paths = self.found.paths.as_deref().unwrap_or_default();
        let bent = paths.iter().filter(|p| p.at_back_edge > 0.0);
        let needed = bent.clone().map(|p| p.fall_needed).fold(0.0, f64::max);
        let over = bent.map(|p| p.at_back_edge).fold(0.0, f64::max);
        let mut text = String::new();
        if finding.is_low() {
            text = format!(
                "{} lie on the back fall: at the ridge they bend by only {}, the rest, up to {}, over the back edge. With a back fall of {} all of it is at the ridge; set it in the job before you file.",
                sentence(&self.under(finding)),
                self.value(finding),
                degrees(over),
                degrees(needed),
            );
        }
        if paths.iter().any(|p| p.touch == Touch::SlotEdge) {
            text += " A string touches the back edge of the slot; ease that edge.";
        }
        text.trim_start().to_owned()
    }

    /// What the slot leaves, and the ways out, the mildest first.
    fn slot(&self, finding: &Finding) -> String {
        let Some(slot) = &self.found.slot else {
            return String::new();
        };
        let mut text = format!(
            "In the present slot {} stay up to {} off at fret 12; in the best slot {} cents would remain.",
            self.under(finding),
            self.value(finding),
            fixed(slot.worst_best, 1),
        );
        if let Some(ways) = &self.plan.ways_out {
            let names = ways.order.iter().map(|left| match left.way {
                Way::Nut => "a nut setback",
                Way::Thicker => "a thicker blank in a wider slot",
                Way::Slot => "the slot filled and cut again",
            });
            let names: Vec<&str> = names.collect();
            text += &format!(" Mildest first: {}.", names.join("; "));
        }
        text += &format!(
            " The new front wall would lie {} at the bass and {} at the treble{}.",
            self.moved(slot.shift[0]),
            self.moved(slot.shift[1]),
            slot.turned().map_or_else(String::new, |[now, then]| format!(
                " (angle {} instead of {})",
                degrees(then),
                degrees(now)
            )),
        );
        let holes = slot.places.map(|p| p.map(|p| p.to_hole_then));
        if let Some([Some(bass), Some(treble)]) = holes {
            let left = bass.min(treble);
            text += &if left < self.found.limits.least_to_holes.value {
                format!(
                    " The holes are in the way: only {} would be left to them.",
                    self.mm(left)
                )
            } else {
                format!(
                    " The holes are not in the way: {} would be left to them.",
                    self.mm(left)
                )
            };
        }
        if !slot.fits {
            text += " Even there the blank is too thin for all contacts.";
        }
        text
    }

    fn moved(&self, shift: f64) -> String {
        if shift.abs() < LEAST_MOVE {
            return "where it is".to_owned();
        }
        let way = if shift < 0.0 { "forward" } else { "back" };
        format!("{} {way}", self.mm(shift.abs()))
    }

    /// The load in a sentence or three.
    pub(super) fn load(&self) -> String {
        let Some(load) = &self.found.load else {
            return String::new();
        };
        let worst = load.worst();
        let mut text = format!(
            "At worst the mouth of the slot is pressed with {} MPa",
            fixed(worst.wall.mouth, 1),
        );
        if let (Some(wood), Some(share)) = (load.wood, load.share) {
            text += &format!(
                ", {} % of what {} bears across the grain ({} MPa, Wood Handbook FPL-GTR-282, {})",
                fixed(100.0 * share, 0),
                wood.name,
                fixed(wood.compression, 1),
                match wood.specific_gravity {
                    None => "from memory",
                    Some(_) => "by its law of specific gravity, from memory",
                }
            );
        }
        text += ".";
        if worst.upright_mouth > 0.0 && self.plan.lean > 0.0 {
            text += &format!(
                " The lean of {} makes it {} % more than an upright saddle would.",
                degrees(self.plan.lean),
                fixed(100.0 * (worst.wall.mouth / worst.upright_mouth - 1.0), 0),
            );
        }
        text
    }

    /// Whether the saddle is to be made now.
    fn when_to_make(&self) -> &'static str {
        let fork = Fork::of(self.found, self.stops, self.beside);
        if fork.is_make() {
            "Make it as the plan says."
        } else {
            "See first to what stands above."
        }
    }

    fn neck(&self, finding: &Finding) -> String {
        let mut text = format!(
            "With the wanted action {} would stand out too little, least {}. No saddle mends that. When humidity, relief and nut are in order, the neck is to be set.",
            self.under(finding),
            self.value(finding),
        );
        text += &format!(" {}", self.neck_work());
        text.trim_end().to_owned()
    }

    /// What the neck set takes, in sentences; nothing if none was found.
    fn neck_work(&self) -> String {
        let Some(neck) = &self.found.neck else {
            return "No change of the neck's angle up to 6 degrees gives the wanted exposure.".to_owned();
        };
        let mut text = format!(
            "For a mean exposure of {} the neck goes {}{}, and the straightedge lands {} higher.",
            self.mm(neck.exposure_wanted),
            if neck.angle < 0.0 { "forward" } else { "back" },
            neck.turned()
                .map_or_else(String::new, |angle| format!(" by {}", degrees(angle.abs()))),
            self.mm(neck.drop),
        )
        .replace(" -", " minus ");
        if let Some(heel) = neck.heel {
            text += &if heel.wood < 0.0 {
                format!(
                    " The heel would need a wedge of {} at its lowest point.",
                    self.mm(-heel.wood)
                )
            } else {
                format!(
                    " Off the heel comes {} at its lowest point, tapering to nothing at the top.",
                    self.mm(heel.wood)
                )
            };
        }
        if let Some(end) = neck.board_end {
            text += &format!(
                " Under the end of the board (fret {}) goes a wedge of {}.",
                end.fret,
                self.mm(end.wedge)
            );
        }
        text
    }

    /// The fork: what comes first, as one sentence.
    pub(super) fn fork(&self) -> String {
        let unread = self.found.findings.iter().any(|f| f.verdict == Verdict::Unknown);
        fork_words(&Fork::of(self.found, self.stops, self.beside), unread)
    }

    /// What lets no such saddle be made, in sentences.
    pub(super) fn impossible(&self) -> Vec<String> {
        let stops: Vec<Remark> = self
            .stops
            .iter()
            .filter(|stop| stop.severity() == Severity::Stop)
            .cloned()
            .collect();
        let notes = notes(&stops, self.plan, self.bench);
        notes.into_iter().map(|note| note.text).collect()
    }
}
