//! The page on the job file is made from the rows: `BONEWRIGHT_BLESS=1` writes its tables anew.

use std::fs;

use job::{Kind, Profiles, fields, format_table, read};

const PAGE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/FORMAT.md");
const BEGIN: &str = "<!-- keys of: ";
const END: &str = "<!-- end -->";

#[test]
fn the_page_has_the_tables_of_the_rows() {
    let page = fs::read_to_string(PAGE).unwrap();
    let mut made = String::new();
    let mut tables = Vec::new();
    let mut rest = page.as_str();
    while let Some((before, after)) = rest.split_once(BEGIN) {
        let (name, after) = after.split_once(" -->\n").unwrap();
        let (_, after) = after.split_once(END).unwrap();
        let path = if name == "the top" { "" } else { name };
        made += &format!("{before}{BEGIN}{name} -->\n{}\n{END}", format_table(path));
        tables.push(path);
        rest = after;
    }
    made += rest;
    if std::env::var_os("BONEWRIGHT_BLESS").is_some() {
        fs::write(PAGE, &made).unwrap();
    }
    // Every row is on the page: in a table of its own or within its parent's.
    for row in fields().filter(|row| row.is_written() && row.kind != Kind::Table) {
        let (table, name) = row.place();
        let home = tables.iter().any(|home| !home.is_empty() && table.starts_with(home)) || table.is_empty();
        let named = made.contains(&format!("`{name}`")) || made.contains(&format!(".{name}`"));
        assert!(
            home && named || matches!(table, "strung_file" | "wing" | "sure_to"),
            "{}",
            row.key
        );
    }
    assert!(
        page == made,
        "the page is not that of the rows; run again with BONEWRIGHT_BLESS=1"
    );
}

#[test]
fn the_blocks_of_the_page_are_read() {
    let page = fs::read_to_string(PAGE).unwrap();
    let mut whole = 0;
    for block in page.split("```toml\n").skip(1) {
        let text = block.split("```").next().unwrap();
        assert!(text.parse::<toml::Table>().is_ok(), "{text}");
        if text.starts_with("format = ") {
            let checked = read(text, &Profiles::built_in()).unwrap();
            assert_eq!(checked.warnings, []);
            whole += 1;
        } else {
            // A piece of a job: it may lack tables, but what it holds is known and allowed.
            let problems = read(text, &Profiles::built_in()).unwrap_err();
            for problem in problems {
                // A saddle without a slot, in a floating bridge, has no width and no depth of one.
                let floats = ["NoSlotWidth", "NoSlotDepth"].contains(&problem.kind.name());
                assert!(problem.line.is_none() || floats, "{problem}\n{text}");
            }
        }
    }
    assert_eq!(whole, 1);
}
