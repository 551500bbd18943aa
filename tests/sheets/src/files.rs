//! The files of a job: their names, and each as it is asked for alone.

use crate::worked::example;
use drawing::{
    DrawingError, FileKind, NamedFile, PartWork, SheetSet, cut_files, owner_sheets_of, part_file, part_files,
};
use machining::PartKind;
use work::{Way, tried};

/// Dots per inch: enough to see that there is a picture.
const DPI: f64 = 40.0;

fn names(files: &[NamedFile]) -> Vec<&str> {
    files.iter().map(|(name, _)| name.as_str()).collect()
}

#[test]
fn a_part_has_its_files_and_each_is_found_by_its_name() {
    let done = example("parlour-both");
    for (kind, stem, solids) in [
        (PartKind::Saddle, "guitar", &["guitar.dxf", "guitar.stl"][..]),
        (PartKind::Nut, "guitar-nut", &["guitar-nut.dxf"]),
    ] {
        let part = PartWork::of(&done, kind).unwrap();
        let options = part.options(done.job.bench);
        let count = part.sheets(&options).unwrap().len();
        let mut wanted = vec![format!("{stem}.pdf")];
        for ending in ["svg", "png"] {
            wanted.extend((1..=count).map(|number| format!("{stem}-{number}.{ending}")));
        }
        wanted.extend(solids.iter().map(|name| (*name).to_owned()));
        let files = part_files(&part, "guitar", &options, &FileKind::ALL, DPI).unwrap();
        assert_eq!(names(&files), wanted);
        let alone = |name: &str| part_file(&part, "guitar", &options, name, DPI);
        for (name, content) in &files {
            let (kind, found) = alone(name).unwrap().unwrap();
            assert!(name.ends_with(kind.ending()));
            assert!(found == *content, "{name}");
        }
        for name in [
            "guitar-nut-1.txt",
            "guitar-nut-setup.pdf",
            &format!("{stem}.svg"),
            &format!("{stem}-1.pdf"),
            &format!("{stem}-0.svg"),
            &format!("{stem}-01.svg"),
            &format!("{stem}-{}.png", count + 1),
            &format!("{stem}-18446744073709551616.svg"),
            "other.dxf",
            "",
        ] {
            assert!(alone(name).is_none(), "{name}");
        }
        let only = part_files(&part, "guitar", &options, &[FileKind::Stl], DPI).unwrap();
        assert_eq!(only.len(), solids.len() - 1);
        let refused = part_files(&part, "guitar", &options, &[FileKind::Png], 5.0);
        assert!(matches!(refused, Err(DrawingError::Resolution { .. })));
    }
}

#[test]
fn a_set_of_sheets_is_a_pdf_and_pictures() {
    let done = example("parlour");
    let saddle = done.saddle().unwrap();
    let sheets = owner_sheets_of(&saddle, &saddle.assess(), done.job.bench).unwrap();
    let files = SheetSet::Owner.files(&sheets, "guitar").unwrap();
    assert_eq!(names(&files)[0], "guitar-assess.pdf");
    assert!(names(&files).contains(&"guitar-assess-1.svg") && names(&files).contains(&"guitar-assess-1.png"));
    assert_eq!(files.len(), 1 + 2 * sheets.len());
    assert_eq!(SheetSet::Filing.files(&[], "guitar"), Err(DrawingError::NoSheets));
}

/// Programs first, then each part's setup sheets and pictures; a sheet calls each program by the name of its file.
#[test]
fn cutting_has_programs_sheets_and_pictures() {
    let done = example("parlour-both");
    let tried = tried(&done, &PartKind::ALL, Some(Way::Flat), None);
    let made: Vec<_> = tried.iter().map(|tried| tried.made.as_ref().unwrap()).collect();
    let files = cut_files(&done, &made, "guitar").unwrap();
    let programs: Vec<&NamedFile> = files.iter().take_while(|(name, _)| !name.ends_with(".pdf")).collect();
    assert_eq!(
        programs.len(),
        made.iter().map(|made| made.prepared.programs.len()).sum::<usize>()
    );
    let rest: Vec<&str> = names(&files)[programs.len()..].to_vec();
    let pictures: Vec<&str> = rest.iter().filter(|name| name.ends_with(".png")).copied().collect();
    assert_eq!(pictures, ["guitar-flat-left.png", "guitar-nut-flat-left.png"]);
    for name in [
        "guitar-setup.pdf",
        "guitar-setup-1.svg",
        "guitar-nut-setup.pdf",
        "guitar-nut-setup-1.svg",
    ] {
        assert!(rest.contains(&name), "{rest:?}");
    }
    let svg: String = files
        .iter()
        .filter(|(name, _)| name.ends_with(".svg"))
        .map(|(_, content)| String::from_utf8_lossy(content).into_owned())
        .collect();
    for (name, _) in programs {
        assert!(svg.contains(name.as_str()), "{name}");
    }
}
