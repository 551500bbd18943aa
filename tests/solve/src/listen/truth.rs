use fixtures::{OPEN_STRINGS, plucked};
use listen::{Sound, listened};

#[test]
#[ignore]
fn look() {
    let base: u64 = std::env::var("SEED").ok().and_then(|s| s.parse().ok()).unwrap_or(1);
    let per: u64 = std::env::var("PER").ok().and_then(|s| s.parse().ok()).unwrap_or(4);
    let verbose = std::env::var("V").is_ok();
    for which in (0..6).filter(|w| std::env::var("W").map_or(true, |s| s == w.to_string())) {
        let mut bs = vec![]; let mut fs=vec![]; let mut inside=[0;2]; let mut n=0; let mut fm=vec![];
        for k in (0..per).filter(|k| std::env::var("K").map_or(true, |s| s == k.to_string())) {
            let p = plucked(which, 48000.0, base * 1000 + 10 * k + which as u64);
            let t = std::time::Instant::now();
            let h = listened(&Sound::of(&p.samples, p.rate).unwrap(), OPEN_STRINGS[which].frequency);
            let ms = t.elapsed().as_secs_f64() * 1e3;
            n+=1; if std::env::var("DBG").is_ok() { println!("truth {:?} pulls {}", p.truth, p.pulls.iter().map(|v| format!("{v:.2}")).collect::<Vec<_>>().join(" ")); }
            match h {
                Ok(h) => {
                    let db = (h.inharmonicity.value / p.inharmonicity() - 1.0) * 100.0;
                    let zf = p.off_mean(h.pitch.value) / h.pitch_cents();
                    let zb = (h.inharmonicity.value - p.inharmonicity()) / h.inharmonicity.sure_to;
                    bs.push(db.abs()); fs.push(p.off(h.pitch.value).abs()); fm.push(p.off_mean(h.pitch.value).abs());
                    inside[0] += usize::from(zf.abs() < 1.96); inside[1] += usize::from(zb.abs() < 1.96);
                    if verbose || db.abs() > 2.0 || p.off(h.pitch.value).abs() > 0.2 || zf.abs() > 2.5 || zb.abs() > 2.5 { println!("{k} {} B {:.2e} db {:+.2}% (sure {:.2}%) z {:+.1}; f off {:+.3} mean {:+.3} (sure {:.3}) z {:+.1}; glide {:.1}/{:.1} pull {:.1} maxpull {:.1} n {} scatter {:.2} st {} {:.0} ms", p.string.note, p.inharmonicity(), db, 100.0*h.inharmonicity.share(), zb, p.off(h.pitch.value), p.off_mean(h.pitch.value), h.pitch_cents(), zf, h.began_sharp, p.glide, h.pull, p.pulls.iter().fold(0.0f64, |m, v| m.max(v.abs())), h.partials.len(), h.scatter, h.stretches, ms); }
                }
                Err(e) => println!("{k} {} {e:?}", p.string.note),
            }
        }
        let q = |v: &mut Vec<f64>| { v.sort_by(f64::total_cmp); if v.is_empty() { return (f64::NAN, f64::NAN) } ; (v[v.len()/2], v[((v.len() as f64)*0.95) as usize % v.len()]) };
        let l = bs.len();
        println!("{} of {n} heard {l}; B median/95 {:?} %; f {:?}; mean {:?}; inside f {} B {}", OPEN_STRINGS[which].note, q(&mut bs), q(&mut fs), q(&mut fm), inside[0], inside[1]);
    }
}
