//! Cautions and notes.

use crate::canvas::{Anchor, Block, Canvas, Lettering};
use crate::text::{clean, wrap};

/// What every sheet that guides work says, in short (the design's section 7).
pub(crate) const CAUTIONS: [&str; 5] = [
    "Dust of bone, shell and synthetic blanks harms lungs: extract it and wear a respirator rated for fine dust.",
    "Wear eye protection. Strings under tension whip: slack them first.",
    "Hot tools and spindles burn and catch: keep hands, hair and sleeves clear.",
    "Some materials (ivory, some shells, some rosewoods) are protected by law: check local rules, which come first.",
    "The figures are as good as the survey. Leave a little to file and check each string at pitch. A valuable or historic instrument belongs with a qualified repairer.",
];

/// How to use the patterns.
pub(crate) const STEPS: [&str; 5] = [
    "1. Measure both bars. If one is wrong, do not use this sheet.",
    "2. Square the blank; bring the bottom edge straight and the thickness right.",
    "3. Glue the front pattern with its bottom edge on the blank's bottom edge. Check TREBLE and BASS.",
    "4. Saw and file the top square to the faces down to the wide line. Check v with a caliper.",
    "5. Glue on the strip for the top, mark the ridge, and file the falls on both sides up to the ridge. Check b with a caliper.",
];

/// One line of a column of words.
#[derive(Debug, Clone)]
pub(crate) struct Line {
    pub text: String,
    pub lettering: Lettering,
    /// Air above, mm.
    pub lead: f64,
}

/// A headed list of paragraphs in lines no wider than `width` mm.
pub(crate) fn lines<S: AsRef<str>>(head: &str, paragraphs: &[S], width: f64) -> Vec<Line> {
    let mut all = vec![Line {
        text: head.to_owned(),
        lettering: Lettering::BODY_BOLD,
        lead: 0.0,
    }];
    for paragraph in paragraphs {
        let lettering = Lettering::SMALL;
        for (i, text) in wrap(&clean(paragraph.as_ref()), width, lettering.capitals, false)
            .into_iter()
            .enumerate()
        {
            let lead = if i == 0 { 0.9 } else { 0.0 };
            all.push(Line { text, lettering, lead });
        }
    }
    all
}

/// Takes as many lines as `height` mm hold from the front of `lines` and sets them.
pub(crate) fn column(lines: &mut Vec<Line>, width: f64, height: f64) -> Block {
    let mut canvas = Canvas::default();
    let mut y = 0.0;
    let mut used = 0;
    for line in lines.iter() {
        let next = y + line.lead + line.lettering.line();
        if next > height {
            break;
        }
        let baseline = y + line.lead + line.lettering.capitals;
        canvas.text([0.0, baseline], line.text.clone(), line.lettering, Anchor::Start);
        y = next;
        used += 1;
    }
    lines.drain(..used);
    Block {
        canvas,
        width,
        height: y,
    }
}
