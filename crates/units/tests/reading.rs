//! Properties of reading: no panic, no silent misreading, exact values, and what is shown reads back.

#![allow(clippy::disallowed_methods)] // sines may be the platform's: what is held against ours does not come from the same source

use proptest::prelude::*;
use proptest::sample::select;
use units::{BenchUnit, LengthUnit, MAX_LENGTH_MM, ReadErrorKind, degrees, parse_angle, parse_cents, parse_length};

/// Room for the rounding of f64 at the largest length, in mm or degrees.
const FLOAT_NOISE: f64 = 1e-9;

/// A text made from known parts, and the exact value that it stands for, in mm.
#[derive(Debug, Clone)]
struct Known {
    text: String,
    /// The index in `text` from which on letters belong to the unit.
    unit_at: usize,
    default: LengthUnit,
    negative: bool,
    over: u128,
    under: u128,
}

#[derive(Debug, Clone, Copy)]
enum Shape {
    Decimal,
    Fraction,
    Mixed,
}

fn any_default() -> impl Strategy<Value = LengthUnit> {
    select(LengthUnit::ALL.as_slice())
}

/// A number as text and as `over / under`.
fn number(shape: Shape) -> BoxedStrategy<(String, u128, u128)> {
    match shape {
        Shape::Decimal => (0u128..=300, 0usize..=4, any::<u32>())
            .prop_map(|(whole, places, digits)| {
                let scale = 10u128.pow(u32::try_from(places).unwrap_or(0));
                let part = u128::from(digits) % scale;
                let text = match places {
                    0 => format!("{whole}"),
                    _ if whole == 0 && digits % 2 == 0 => format!(".{part:0places$}"),
                    _ => format!("{whole}.{part:0places$}"),
                };
                (text, whole * scale + part, scale)
            })
            .boxed(),
        Shape::Fraction => (0u128..=200, 1u128..=128, select(vec!["/", " / ", "⁄"]))
            .prop_map(|(over, under, slash)| (format!("{over}{slash}{under}"), over, under))
            .boxed(),
        Shape::Mixed => (
            0u128..=300,
            2u128..=128,
            any::<u32>(),
            any::<bool>(),
            select(vec![" ", "-", "  "]),
        )
            .prop_map(|(whole, under, seed, tenths, joint)| {
                let scale = if tenths { 10 } else { 1 };
                let over = u128::from(seed) % (under * scale);
                let upper = if tenths {
                    format!("{}.{}", over / 10, over % 10)
                } else {
                    format!("{over}")
                };
                let under_scaled = under * scale;
                let text = format!("{whole}{joint}{upper}/{under}");
                (text, whole * under_scaled + over, under_scaled)
            })
            .boxed(),
    }
}

/// Units as written and their size in mm as a ratio: 25.4 mm to the inch, so 254/10 and its parts.
const WRITTEN: [(&str, u128, u128); 12] = [
    ("mm", 1, 1),
    ("cm", 10, 1),
    ("in", 254, 10),
    ("inch", 254, 10),
    ("inches", 254, 10),
    ("\"", 254, 10),
    ("″", 254, 10),
    ("ins", 254, 10),
    ("millimetres", 1, 1),
    ("thou", 254, 10_000),
    ("thousandths", 254, 10_000),
    ("thousandths of an inch", 254, 10_000),
];

fn known() -> impl Strategy<Value = Known> {
    let shape = select(vec![Shape::Decimal, Shape::Fraction, Shape::Mixed]);
    let parts = shape.prop_flat_map(|shape| (Just(shape), number(shape)));
    // Two more than the written units: 64ths and no unit.
    let unit = 0..WRITTEN.len() + 2;
    let sign = select(vec!["", "+", "-", "−", "- "]);
    let spaces = select(vec!["", " ", "  ", "\u{a0}"]);
    (parts, unit, sign, spaces, any_default(), any::<bool>()).prop_map(
        |((shape, (number, over, under)), unit, sign, spaces, default, upper)| {
            let decimal = matches!(shape, Shape::Decimal);
            let (unit, mm_over, mm_under) = match WRITTEN.get(unit) {
                Some(written) => *written,
                None if unit == WRITTEN.len() && decimal => (" 64ths", 254, 640),
                None => match default {
                    LengthUnit::Inch => ("", 254, 10),
                    LengthUnit::Millimetre if decimal => ("", 1, 1),
                    LengthUnit::Thou if decimal => ("", 254, 10_000),
                    _ => ("in", 254, 10),
                },
            };
            let before = format!("{sign}{number}{spaces}");
            let unit = if upper { unit.to_uppercase() } else { unit.to_owned() };
            Known {
                unit_at: before.len(),
                text: before + &unit,
                default,
                negative: sign.starts_with(['-', '−']),
                over: over * mm_over,
                under: under * mm_under,
            }
        },
    )
}

/// Whether `value` is the f64 nearest to `over / under`, in whole numbers only: with
/// `value = m 2^-k`, that is `|m under - over 2^k| <= under / 2`.
fn is_nearest(value: f64, over: u128, under: u128) -> bool {
    if over == 0 {
        return value == 0.0 && value.is_sign_positive();
    }
    let bits = value.to_bits();
    let m = u128::from((bits & ((1 << 52) - 1)) | (1 << 52));
    let Ok(k) = u32::try_from(1075 - i64::try_from(bits >> 52).unwrap_or(0)) else {
        return false;
    };
    match (m.checked_mul(under), over.checked_shl(k)) {
        (Some(read), Some(exact)) if exact >> k == over => 2 * read.abs_diff(exact) <= under,
        _ => false,
    }
}

/// Pieces that make texts near the grammar, right and wrong.
fn soup() -> impl Strategy<Value = String> {
    let pieces = vec![
        "0",
        "1",
        "3",
        "8",
        "25",
        "64",
        "64ths",
        ".",
        "/",
        "-",
        "−",
        "+",
        " ",
        " ",
        "½",
        "⅜",
        "in",
        "inch",
        "mm",
        "cm",
        "thou",
        "\"",
        "″",
        "”",
        "~",
        "about",
        "thousandths",
        "over",
        "deg",
        "°",
        "cents",
        "c",
        "e",
        "x",
        ",",
        "'",
        "mil",
        "inf",
        "999999999999",
    ];
    prop::collection::vec(select(pieces), 0..9).prop_map(|pieces| pieces.concat())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..Default::default() })]

    #[test]
    fn any_text_is_read_or_refused_in_one_line(
        text in prop_oneof!["(?s).*", "[ -~]{0,12}", soup()],
        default in any_default(),
    ) {
        let reads = [
            (parse_length(&text, default), MAX_LENGTH_MM),
            (parse_angle(&text, default), std::f64::consts::FRAC_PI_2),
            (parse_cents(&text), 1200.0),
        ];
        for (read, limit) in reads {
            match read {
                Ok(value) => prop_assert!(value.abs() <= limit),
                Err(error) => {
                    let line = error.to_string();
                    prop_assert!(!line.contains(char::is_control), "{line}");
                    prop_assert!(!error.hint().is_empty());
                }
            }
        }
    }

    /// What holds of every text with one meaning, checked without the scanner.
    #[test]
    fn what_is_read_has_one_number_and_one_unit(text in soup(), default in any_default()) {
        if let Ok(mm) = parse_length(&text, default) {
            // `about` and `~` say nothing; what is read with them is read without.
            let text = text.replace('~', "").replace("about.", "").replace("about", "");
            let text = text.replace("64ths", "u").replace("inch", "u").replace("thousandths", "u").replace("thou", "u");
            let text = text.replace("in", "u").replace("mm", "u").replace("cm", "u");
            let text = text.replace(['"', '″', '”'], "u").replace("u.", "u");
            let count = |wanted: &[char]| text.matches(wanted).count();
            prop_assert!(count(&['u']) <= 1);
            prop_assert!(count(&['/']) + count(&['½', '⅜']) <= 1);
            prop_assert!(!text.contains(char::is_alphabetic) || text.trim_end().ends_with('u'));
            prop_assert!(!text.contains([',', '\'', '°']));
            let numbers = text.split(|c: char| !c.is_ascii_digit() && c != '.');
            prop_assert!(numbers.filter(|n| !n.is_empty()).count() <= 3);
            prop_assert!(mm >= 0.0 || text.trim_start().starts_with(['-', '−']));
        }
    }

    #[test]
    fn a_length_of_known_parts_has_its_exact_value(known in known()) {
        let mm = parse_length(&known.text, known.default)?;
        let size = if known.negative && mm != 0.0 { -mm } else { mm };
        prop_assert!(is_nearest(size, known.over, known.under), "{size}");
    }

    #[test]
    fn a_letter_too_many_never_changes_a_length(
        known in known(),
        place in any::<prop::sample::Index>(),
        letter in prop_oneof![
            proptest::char::range('a', 'z'),
            proptest::char::range('A', 'Z'),
            any::<char>().prop_filter("a letter", |c| c.is_alphabetic()),
        ],
    ) {
        let mut places: Vec<usize> = known.text.char_indices().map(|(at, _)| at).collect();
        places.push(known.text.len());
        let mut text = known.text.clone();
        text.insert(*place.get(&places), letter);
        if let Ok(mm) = parse_length(&text, known.default) {
            prop_assert_eq!(mm, parse_length(&known.text, known.default)?, "{}", text);
        }
    }

    #[test]
    fn a_letter_too_many_never_changes_an_angle_or_cents(
        text in select(vec!["9", "9.5 deg", "9 degree", "9°", "1 over 6", "3/64 over 1/4 in", "5 thou over 1 cm",
            "3", "-3 cent", "1.5 c"]),
        place in any::<prop::sample::Index>(),
        letter in "[a-zA-Z]",
        default in any_default(),
    ) {
        let mut places: Vec<usize> = text.char_indices().map(|(at, _)| at).collect();
        places.push(text.len());
        let mut longer = text.to_owned();
        longer.insert_str(*place.get(&places), &letter);
        if let Ok(rad) = parse_angle(&longer, default) {
            prop_assert_eq!(rad, parse_angle(text, default)?, "{}", longer);
        }
        if let Ok(cents) = parse_cents(&longer) {
            prop_assert_eq!(cents, parse_cents(text)?, "{}", longer);
        }
    }

    #[test]
    fn a_letter_too_few_never_changes_a_length(
        known in known(),
        place in any::<prop::sample::Index>(),
    ) {
        let letters: Vec<usize> = known.text.char_indices()
            .filter(|(at, c)| *at >= known.unit_at && c.is_alphabetic())
            .map(|(at, _)| at)
            .collect();
        prop_assume!(!letters.is_empty());
        let mut text = known.text.clone();
        text.remove(*place.get(&letters));
        if let Ok(mm) = parse_length(&text, known.default) {
            prop_assert_eq!(mm, parse_length(&known.text, known.default)?, "{}", text);
        }
    }

    #[test]
    fn rise_over_run_of_known_parts(rise in known(), run in known(), default in any_default()) {
        let has_unit = |k: &Known| k.text.len() > k.unit_at;
        prop_assume!(has_unit(&rise) && has_unit(&run));
        let read = parse_angle(&format!("{} over {}", rise.text, run.text), default);
        if run.negative || run.over == 0 {
            let kind = read.map_err(|error| error.kind().clone());
            prop_assert_eq!(kind, Err(ReadErrorKind::RunNotPositive));
            return Ok(());
        }
        let read = read?;
        let slope = (rise.over as f64 / rise.under as f64) / (run.over as f64 / run.under as f64);
        let expected = if rise.negative { -slope.atan() } else { slope.atan() };
        prop_assert!((read - expected).abs() < FLOAT_NOISE);
    }

    #[test]
    fn a_shown_length_reads_back(
        mm in prop_oneof![-9999.0..9999.0, -30.0..30.0, -0.5..0.5f64],
        default in any_default(),
    ) {
        for unit in BenchUnit::ALL {
            let shown = [
                unit.show(mm),
                format!("{} {}", unit.number(mm), unit.name()),
                format!("{} {}", unit.signed(mm), unit.name()),
            ];
            for text in shown {
                let read = parse_length(&text, default)?;
                prop_assert!((read - mm).abs() <= unit.step() + FLOAT_NOISE, "{text}: {read}");
                prop_assert!(!text.starts_with('-') || read < 0.0, "{text}: -0");
            }
        }
    }

    /// Whole 64ths, as read off a rule, are shown and read back without any loss.
    #[test]
    fn whole_64ths_read_back_exactly(count in 0u32..20_000, default in any_default()) {
        let mm = parse_length(&format!("{count} 64ths"), default)?;
        let shown = BenchUnit::IMPERIAL.rule().show(mm);
        prop_assert!(!shown.contains('.'), "{}", shown);
        prop_assert_eq!(parse_length(&shown, default)?, mm);
    }

    #[test]
    fn a_shown_angle_reads_back(rad in -1.57..1.57f64, default in any_default()) {
        let read = parse_angle(&degrees(rad), default)?;
        prop_assert!((read - rad).to_degrees().abs() <= 0.05 + FLOAT_NOISE);
    }

    #[test]
    fn cents_read_as_decimals(tenths in -12_000i32..=12_000, unit in select(vec!["", " c", " cents"])) {
        let cents = f64::from(tenths) / 10.0;
        prop_assert_eq!(parse_cents(&format!("{cents:+}{unit}"))?, cents);
    }
}

#[test]
fn the_check_for_the_nearest_value_can_fail() {
    assert!(is_nearest(0.1, 1, 10));
    assert!(!is_nearest(0.1f64.next_up(), 1, 10));
    assert!(!is_nearest(0.1f64.next_down(), 1, 10));
    assert!(!is_nearest(0.2, 1, 10));
}
