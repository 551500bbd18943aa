//! The job file for a second saddle: it plans to what the fit planned, and the user's text stays.

use instrument::{NutReading, SlotSurvey, StringLine, Vec3};
use instrument::{Paired, StrungString, Uncertainty};
use job::{CorrectedError, Job, Profiles, corrected, read};
use proptest::prelude::*;
use saddle::{Fit, Plan, SaddleSurvey, fit, plan};
use std::sync::LazyLock;
use strings::{Criterion, Point};

const PARLOUR: &str = include_str!("../../../../examples/parlour.toml");
const NYLON: &str = include_str!("../../../../examples/nylon-drop-in.toml");
const UKULELE: &str = include_str!("../../../../examples/baritone-ukulele.toml");
const TWELVE: &str = include_str!("../../../../examples/twelve-string.toml");

static PROFILES: LazyLock<Profiles> = LazyLock::new(Profiles::built_in);

/// The examples, and what they do not show.
static JOBS: LazyLock<Vec<(&str, String)>> = LazyLock::new(|| {
    let one_line_tables = PARLOUR
        .replace("[nut]                                 # the nut stays\n", "")
        .replace("first_fret_clearance = { bass = \"22 thou\", treble = \"14 thou\" } # feeler over fret 1, string open\n", "")
        .replace("[[string]]                            # the bass string's core was measured at the ball end; the rest as in the set\nnumber = 6\ncore = \"17.5 thou\"\n", "")
        .replace("unit = \"in\"", "nut = { held_at_3 = \"4 thou\", new_clearance = \"18 thou\" }\nstring = [{ number = 6, core = \"17.5 thou\", stretch_factor = 1.1 }]\nunit = \"in\"");
    vec![
        ("parlour", PARLOUR.to_owned()),
        ("nylon", NYLON.to_owned()),
        ("ukulele", UKULELE.to_owned()),
        ("twelve", TWELVE.to_owned()),
        (
            "saddle and nut together",
            PARLOUR
                .replace("\"octave\"", "\"best-fit-with-nut\"")
                .replace("[nut]", "[nut]\nsetback = \"-0.3 mm\""),
        ),
        (
            "slack reference saddle",
            NYLON.replace(
                "lean = 0\n",
                "lean = 2\ntaken = \"slack\"\nunder_tension = { lean = 1.5 }\n",
            ),
        ),
        ("tables in one line", one_line_tables),
        (
            "a dressed zero fret",
            PARLOUR.replace(
                "[nut]",
                "[nut]\nzero_fret = \"dressed\"\ndressed = { bass = \"4 thou\", treble = 0 }",
            ),
        ),
        (
            "new wire at a zero fret",
            PARLOUR.replace(
                "first_fret_clearance = {",
                "zero_fret = \"new wire\"\nnew_wire = \"8 thou\"\nzero_fret_above = {",
            ),
        ),
        (
            "a factor already",
            PARLOUR.replace("number = 6\n", "number = 6\nstretch_factor = 1.2 # of an earlier fit\n"),
        ),
    ]
});

fn job(text: &str) -> Job {
    read(text, &PROFILES)
        .unwrap_or_else(|problems| {
            panic!(
                "{text}\n{}",
                problems.iter().map(|p| format!("{p}\n")).collect::<String>()
            )
        })
        .job
}

/// What the survey got wrong: truth less reading; mm, radians, and a factor on each string's stretch stiffness.
#[derive(Debug, Clone, Copy)]
struct Hidden {
    lean: f64,
    floor: [f64; 2],
    gap: f64,
    stretch: f64,
}

fn hidden() -> impl Strategy<Value = Hidden> {
    (-0.02..0.02f64, -0.4..0.4f64, -0.4..0.4f64, -0.02..0.02f64, 0.8..1.25f64).prop_map(
        |(lean, bass, treble, gap, stretch)| Hidden {
            lean,
            floor: [bass, treble],
            gap,
            stretch,
        },
    )
}

/// The instrument as it really is.
fn truth(survey: &SaddleSurvey, hidden: &Hidden) -> SaddleSurvey {
    let mut world = survey.clone();
    world.lean += hidden.lean;
    let ends = match &mut world.slot {
        SlotSurvey::Straightedge([bass, treble]) => [&mut bass.depth, &mut treble.depth],
        SlotSurvey::Reference([bass, treble]) => [&mut bass.height, &mut treble.height],
    };
    for (end, off) in ends.into_iter().zip(hidden.floor) {
        *end += off;
    }
    for (i, s) in world.strings.iter_mut().enumerate() {
        if let Some(NutReading::Open { clearance: gap, .. } | NutReading::HeldAtThree { gap }) = &mut s.present_nut {
            *gap += hidden.gap;
        }
        s.new_gap = s.new_gap.map(|gap| gap.with(gap.mm() + hidden.gap));
        // Not the same for all.
        s.model.stiffness = s.model.stiffness.scaled(hidden.stretch * (1.0 + 0.01 * i as f64));
    }
    world
}

/// Stand a made saddle in the true world and read every string.
fn strung(world: &SaddleSurvey, made: &Plan) -> Vec<StrungString> {
    let real = plan(world).unwrap();
    let each = made.strings.iter().zip(&real.strings).map(|(s, r)| {
        // Where the made ridge crosses the string's run in the true slot.
        let mut point = s.contact;
        let mut place = Vec3::zeros();
        for _ in 0..20 {
            (point.b, point.v) = made.crown.ridge(point.u);
            place = real.frame.to_fret(point);
            point.u -= place.y - s.run.y(place.x);
        }
        let line = StringLine::through((r.nut.x, r.nut.z), (place.x, place.z));
        StrungString {
            action_12: Some(line.action(&world.board, &s.run, 12)),
            clearance: Some(line.action(&world.board, &s.run, 1)),
            cents_12: Some(r.string.cents_at_12(r.nut, Point { x: place.x, z: place.z })),
            others: Vec::new(),
            ..StrungString::default()
        }
    });
    each.collect()
}

fn fitted(job: &Job, hidden: &Hidden) -> Fit {
    let made = plan(&job.saddle.as_ref().unwrap().survey).unwrap();
    let survey = &job.saddle.as_ref().unwrap().survey;
    let evidence = survey.evidence(&job.uncertainty).unwrap();
    let read = strung(&truth(survey, hidden), &made);
    // Readings that are as good as exact.
    let as_read = Uncertainty {
        present_action: Paired::correlated(0.001, 0.0),
        clearance: Paired::correlated(0.001, 0.0),
        cents: Paired::correlated(0.01, 0.0),
        ..job.uncertainty
    };
    fit(&evidence, survey, &read, &as_read).unwrap()
}

const OFF: Hidden = Hidden {
    lean: 0.01,
    floor: [0.3, 0.1],
    gap: 0.01,
    stretch: 1.1,
};

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// The file plans to what the fit planned, to a micrometre, for every example and way of writing.
    #[test]
    fn it_plans_to_what_the_fit_planned(hidden in hidden(), which in 0usize..10) {
        let (name, text) = &JOBS[which];
        let job = job(text);
        let fit = fitted(&job, &hidden);
        let second = corrected(text, &fit, &job, None).unwrap();
        let again = self::job(&second);
        let planned = plan(&again.saddle.as_ref().unwrap().survey).unwrap();
        for (got, want) in planned.strings.iter().zip(&fit.next.strings) {
            for (got, want) in [(got.contact.b, want.contact.b), (got.contact.u, want.contact.u), (got.contact.v, want.contact.v)] {
                prop_assert!((got - want).abs() < 0.001, "{}: {} {}\n{}", name, got, want, second);
            }
            prop_assert!((got.cents[11] - want.cents[11]).abs() < 0.01, "{}", name);
        }
        for (got, want) in again.saddle.as_ref().unwrap().survey.strings.iter().zip(&fit.corrected.strings) {
            prop_assert_eq!(got.criterion, want.criterion);
            prop_assert!((got.nut_x - want.nut_x).abs() < 1e-4);
            prop_assert!(got.measured.is_none() && got.new_gap.is_none());
        }
        // What the fit does not touch is the same.
        prop_assert_eq!(&again.saddle.as_ref().unwrap().survey.blank, &job.saddle.as_ref().unwrap().survey.blank);
        prop_assert_eq!(again.saddle.as_ref().unwrap().survey.under_tension, job.saddle.as_ref().unwrap().survey.under_tension);
        prop_assert_eq!((again.bench, again.paper, again.unit, &again.notes), (job.bench, job.paper, job.unit, &job.notes));
        prop_assert!(again.strung.is_none());
    }
}

/// Lines of the first file that are no longer in the second, and new ones.
fn changes<'a>(first: &'a str, second: &'a str) -> (Vec<&'a str>, Vec<&'a str>) {
    let without = |these: &'a str, those: &str| {
        these
            .lines()
            .filter(|line| !those.lines().any(|l| l == *line))
            .collect()
    };
    (without(first, second), without(second, first))
}

#[test]
fn the_users_text_stays() {
    let job = job(PARLOUR);
    let fit = fitted(&job, &OFF);
    let second = corrected(PARLOUR, &fit, &job, Some("Parlour guitar: second\nsaddle")).unwrap();
    let (gone, new) = changes(PARLOUR, &second);
    let keys = |lines: &[&str]| {
        lines
            .iter()
            .map(|l| l.split(" = ").next().unwrap().to_owned())
            .collect::<Vec<_>>()
    };
    let gone = keys(&gone);
    assert_eq!(
        gone[..8],
        [
            "title",
            "board_radius",
            "first_fret_clearance",
            "action_12",
            "edge_from_fret_12",
            "bridge_top",
            "depth",
            "lean"
        ]
    );
    // Used up.
    let used = [
        gone[8].starts_with("[filing]"),
        gone[9] == "crown",
        gone[10] == "floor_12",
        gone.len() == 11,
    ];
    assert_eq!(used, [true; 4], "{gone:?}");
    let settings: Vec<&str> = new
        .iter()
        .copied()
        .filter(|line| line.contains(" = ") && !line.starts_with('#'))
        .collect();
    for line in &settings[1..] {
        assert!(
            line.contains('#') && line.ends_with("found by bonewright fit") || line.starts_with("number"),
            "{line}"
        );
    }
    // The user's own remark is before ours.
    assert!(
        settings
            .iter()
            .any(|l| l.starts_with("depth") && l.contains("# depth rod down the front wall; found by")),
        "{settings:?}"
    );
    assert!(settings.iter().any(|l| l.starts_with("lean") && l.contains(" deg\"")));
    let head: Vec<&str> = second.lines().map_while(|line| line.strip_prefix("# ")).collect();
    let head = head.join(" ");
    assert!(
        head.contains("bonewright fit") && head.contains(&job.title) && head.contains("slot.depth"),
        "{head}"
    );
    assert_eq!(self::job(&second).title, "Parlour guitar: second saddle");
    assert_eq!(second.matches("[[string]]").count(), 6, "{second}");
    // Strings stand behind [strings], in the order of the tables.
    let at = |word: &str| second.find(word).unwrap();
    assert!(
        at("[strings]") < at("number = 1") && at("number = 1") < at("[nut]"),
        "{second}"
    );
}

#[test]
fn what_is_used_up_goes() {
    let text = format!(
        "{TWELVE}\n[filing]\ncrown = \"flat\"\n[strung]\naction_12 = {{ bass = 100, treble = 80 }}\n[[strung.cents_at]]\nfret = 5\n\
         cents = {{ bass = 1, treble = 1 }}\n[[readings]]\nrelief = 5\n[[readings]]\nvisit = 2\nrelief = 6\n[doubt]\ncents_12 = true\n"
    );
    let job = job(&text);
    let second = corrected(&text, &fitted(&job, &OFF), &job, None).unwrap();
    let (_, body) = second.split_once("\n\n").unwrap();
    for word in [
        "[filing]",
        "[strung",
        "[readings",
        "[doubt]",
        "cents_12",
        "contact_from_fret_12 = ",
    ] {
        assert!(text.contains(word) && !body.contains(word), "{word}\n{second}");
    }
    let again = self::job(&second);
    assert_eq!(again.tolerance, job.tolerance);
    assert_eq!(again.uncertainty, job.uncertainty);
    assert_eq!(again.title, format!("{}, second saddle", job.title));
}

/// A third saddle: the factors multiply, and remarks do not pile up.
#[test]
fn a_fit_upon_a_fit() {
    let first = job(PARLOUR);
    let once = fitted(&first, &OFF);
    let second = corrected(PARLOUR, &once, &first, None).unwrap();
    let second_job = job(&second);
    let twice = fitted(&second_job, &OFF);
    let third = corrected(&second, &twice, &second_job, None).unwrap();
    let third_job = job(&third);
    let kappa = |job: &Job, i: usize| match job.saddle.as_ref().unwrap().survey.strings[i].model.stiffness {
        strings::Stiffness::Elastic { axial, .. } => axial,
        strings::Stiffness::Measured { kappa, .. } => kappa,
    };
    for i in 0..6 {
        let (one, two) = (
            kappa(&second_job, i) / kappa(&first, i),
            kappa(&third_job, i) / kappa(&second_job, i),
        );
        let want = [&once, &twice].map(|fit| fit.strings[i].stretch);
        assert!(
            (one - want[0]).abs() < 1e-4 && (two - want[1]).abs() < 1e-4,
            "{one} {two} {want:?}"
        );
        assert!((one - 1.0).abs() > 1e-4, "{one}");
    }
    let title = |job: &Job| job.title.clone();
    assert_eq!(title(&second_job), format!("{}, second saddle", first.title));
    assert_eq!(title(&third_job), format!("{}, third saddle", first.title));
    assert_eq!(third.matches("[[string]]").count(), 6);
    assert!(!third.contains("found by bonewright fit; found by"), "{third}");
}

/// One string has one value at each place.
#[test]
fn one_string() {
    let text = "format = 1\ntitle = \"One\"\nunit = \"mm\"\n[instrument]\nscale = 645\njoint_fret = 14\nrelief = 0.2\n\
                board_radius = 300\n[strings]\n[[string]]\nnumber = 1\nnote = \"G3\"\ngauge = 0.43\nkind = \"plain\"\n\
                material = \"steel\"\n[nut]\nheld_at_3 = 0.1\n[target]\naction_12 = 2\nintonation = \"octave\"\n\
                [slot]\nread_by = \"straightedge\"\nedge_from_fret_12 = 322.7\nbridge_top = 0.5\ndepth = 5\nlean = 3\nwidth = 3.2\n\
                [blank]\nkind = \"through\"\nmaterial = \"bone\"\nthickness = 3.2\nheight = 12\nlength = 20\n";
    let job = job(text);
    let hidden = Hidden {
        lean: 0.0,
        floor: [0.2; 2],
        ..OFF
    };
    let fit = fitted(&job, &hidden);
    let second = corrected(text, &fit, &job, None).unwrap();
    let planned = plan(&self::job(&second).saddle.unwrap().survey).unwrap();
    let (got, want) = (planned.strings[0].contact, fit.next.strings[0].contact);
    assert!(
        (got.b - want.b).abs() < 0.001 && (got.v - want.v).abs() < 0.001,
        "{got:?} {want:?}\n{second}"
    );
    // A table that was not there stands behind [nut].
    let at = |word: &str| second.find(word).unwrap();
    assert!(
        at("[nut]") < at("[present]") && at("[present]") < at("[target]"),
        "{second}"
    );
}

#[test]
fn what_cannot_be_written_is_said() {
    let job = job(PARLOUR);
    let good = fitted(&job, &OFF);
    let outside = |change: &dyn Fn(&mut SaddleSurvey)| {
        let mut fit = good.clone();
        change(&mut fit.corrected);
        corrected(PARLOUR, &fit, &job, None).unwrap_err().to_string()
    };
    let stretch = outside(&|s| s.strings[2].model.stiffness = s.strings[2].model.stiffness.scaled(4.0));
    assert!(
        stretch.contains("stretch_factor of string 4 would become ") && stretch.contains("0.30 to 3.00"),
        "{stretch}"
    );
    let lean = outside(&|s| s.lean = 1.0);
    assert!(lean.contains("slot.lean would become 57.3°"), "{lean}");
    let depth = outside(&|s| {
        let SlotSurvey::Straightedge(ends) = &mut s.slot else {
            panic!()
        };
        ends[1].depth = 30.0;
    });
    assert!(depth.contains("slot.depth.treble would become 1.181 in"), "{depth}");
    let action = outside(&|s| {
        s.strings[0].present_nut = Some(NutReading::Open {
            clearance: 0.4,
            action_12: 0.0,
        })
    });
    assert!(action.contains("present.action_12 of string 6"), "{action}");
    let few = outside(&|s| s.strings.truncate(3));
    assert!(few.contains("3 strings") && few.contains('6'), "{few}");
    assert!(matches!(
        corrected("= 1", &good, &job, None),
        Err(CorrectedError::Text(_))
    ));
    assert!(matches!(
        corrected("a = 1", &good, &job, None),
        Err(CorrectedError::Text(_))
    ));
}

/// Windows line ends and a byte order mark are read like any other.
#[test]
fn other_line_ends() {
    let text = format!("\u{feff}{}", PARLOUR.replace('\n', "\r\n"));
    if let Ok(checked) = read(&text, &PROFILES) {
        let second = corrected(&text, &fitted(&checked.job, &OFF), &checked.job, None).unwrap();
        // As it was put down: the mark at the beginning alone, and every line end as the others.
        assert_eq!(second.rfind('\u{feff}'), Some(0));
        assert_eq!(second.matches('\n').count(), second.matches("\r\n").count());
        let again = job(&second).saddle.unwrap().survey;
        let plain = job(&corrected(PARLOUR, &fitted(&checked.job, &OFF), &checked.job, None).unwrap())
            .saddle
            .unwrap()
            .survey;
        assert_eq!(again, plain);
    } else {
        panic!("not read");
    }
}

#[test]
fn best_fit_with_nut_becomes_best_fit() {
    let (_, text) = &JOBS[4];
    let job = job(text);
    assert!(
        job.saddle
            .as_ref()
            .unwrap()
            .survey
            .strings
            .iter()
            .all(|s| s.criterion == Criterion::BestFitWithNut)
    );
    let second = corrected(text, &fitted(&job, &OFF), &job, None).unwrap();
    assert!(
        second.contains("intonation = \"best-fit\" # the nut is made"),
        "{second}"
    );
    assert!(second.contains("setback = [\""), "{second}");
}
