//! The house's order, read from the sources as text: no circle of files inside a crate, and no crate that imports one above it.
//!
//! A file stands on another if code outside `#[cfg(test)]` names something defined there: in a `use`, or by a path in a body
//! (`crate::a::f(`, `super::x::Y`, `child::f(`, `imported_module::f(`). How names are traced:
//!
//! * A name that a `lib.rs`, a `mod.rs` or any other parent only re-exports counts as the file that defines it, however long the chain:
//!   `use crate::Plan` stands on `plan.rs`, not on `lib.rs`.
//! * `mod child;` alone is no dependency. A parent that uses or re-exports what a child defines stands on the child, so a
//!   child that names something defined in such a parent closes a circle.
//! * A glob (`use a::*`) stands on the module it names. A module imported whole counts by what is named through it.
//! * A method that a type calls on itself (`self.f(`, `Self::f(`) stands on the file whose `impl` block of that type has it. Other
//!   calls of methods are not traced: who holds a value has named its type or a function that gives it.

#![allow(clippy::unwrap_used)] // test code outside #[test] functions

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// A file's text by its path from the crate's `src`, with `/` between folders.
type Tree = BTreeMap<String, String>;
/// What each file stands on.
type Edges = BTreeMap<String, BTreeSet<String>>;
/// Segments of a module's path from the crate's root, which is the empty one.
type ModulePath = Vec<String>;

/// A module: its file, what it defines, and what it brings in from elsewhere.
#[derive(Default)]
struct Module {
    file: String,
    /// Items that the file itself defines.
    defined: BTreeSet<String>,
    /// Child modules.
    children: BTreeSet<String>,
    /// Names brought in by `use`, and the path of each as written.
    imported: BTreeMap<String, Vec<String>>,
    /// Modules brought in by `use path::*`.
    globs: Vec<Vec<String>>,
    /// Every path named in the code, imports included.
    named: Vec<Vec<String>>,
    /// Its `impl` blocks.
    impls: Vec<Impl>,
}

/// An `impl` block: its type as written, the functions it holds, and those of the type that it calls.
#[derive(Default)]
struct Impl {
    of: Vec<String>,
    holds: BTreeSet<String>,
    calls: BTreeSet<String>,
}

/// Words and signs of Rust text, without comments, the insides of strings, and lifetimes; `::` is one sign.
fn tokens(text: &str) -> Vec<String> {
    let chars: Vec<char> = text.chars().collect();
    let at = |i: usize| chars.get(i).copied().unwrap_or('\0');
    let word = |c: char| c.is_alphanumeric() || c == '_';
    let mut found = Vec::new();
    let mut i = 0;
    while i < chars.len() {
        let c = chars[i];
        if c == '/' && at(i + 1) == '/' {
            while i < chars.len() && chars[i] != '\n' {
                i += 1;
            }
        } else if c == '/' && at(i + 1) == '*' {
            let mut depth = 0;
            loop {
                match (at(i), at(i + 1)) {
                    ('/', '*') => (depth, i) = (depth + 1, i + 2),
                    ('*', '/') => (depth, i) = (depth - 1, i + 2),
                    _ => i += 1,
                }
                if depth == 0 || i >= chars.len() {
                    break;
                }
            }
        } else if c == '"' {
            i += 1;
            while i < chars.len() && chars[i] != '"' {
                i += if chars[i] == '\\' { 2 } else { 1 };
            }
            i += 1;
            found.push("\"\"".into());
        } else if c == '\'' {
            // 'a' and '\n' are characters, 'a without a second mark is a lifetime.
            if at(i + 1) == '\\' {
                i += 3;
                while i < chars.len() && chars[i] != '\'' {
                    i += 1;
                }
                i += 1;
            } else if at(i + 2) == '\'' {
                i += 3;
            } else {
                i += 1;
                while word(at(i)) {
                    i += 1;
                }
            }
        } else if word(c) {
            let start = i;
            while word(at(i)) {
                i += 1;
            }
            let text: String = chars[start..i].iter().collect();
            let hashes = (i..).take_while(|&k| at(k) == '#').count();
            if ["r", "br", "cr"].contains(&text.as_str()) && at(i + hashes) == '"' {
                i += hashes + 1;
                while i < chars.len() && !(chars[i] == '"' && (1..=hashes).all(|k| at(i + k) == '#')) {
                    i += 1;
                }
                i += 1 + hashes;
                found.push("\"\"".into());
            } else {
                found.push(text);
            }
        } else if c == ':' && at(i + 1) == ':' {
            found.push("::".into());
            i += 2;
        } else {
            if !c.is_whitespace() {
                found.push(c.to_string());
            }
            i += 1;
        }
    }
    found
}

fn is_name(token: &str) -> bool {
    token.starts_with(|c: char| c.is_alphabetic() || c == '_')
}

/// Index after the group that opens at `open`.
fn after_group(tokens: &[String], open: usize) -> usize {
    let mut depth = 0;
    for (i, token) in tokens.iter().enumerate().skip(open) {
        match token.as_str() {
            "{" | "(" | "[" => depth += 1,
            "}" | ")" | "]" => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            return i + 1;
        }
    }
    tokens.len()
}

/// Index after the item that starts at `start`: after its `;` or its braces.
fn after_item(tokens: &[String], start: usize) -> usize {
    let mut i = start;
    while i < tokens.len() {
        match tokens[i].as_str() {
            ";" => return i + 1,
            "{" => return after_group(tokens, i),
            "(" | "[" => i = after_group(tokens, i),
            _ => i += 1,
        }
    }
    i
}

/// The leaves of a use tree that starts at `i`: path as written and the name it gets (`*` for a glob). Returns the index after.
fn use_tree(tokens: &[String], mut i: usize, before: &[String], leaves: &mut Vec<(Vec<String>, String)>) -> usize {
    let mut path = before.to_vec();
    loop {
        match tokens.get(i).map(String::as_str) {
            Some("::") => i += 1,
            Some("{") => {
                i += 1;
                while tokens.get(i).is_some_and(|t| t != "}") {
                    i = use_tree(tokens, i, &path, leaves);
                    if tokens.get(i).is_some_and(|t| t == ",") {
                        i += 1;
                    }
                }
                return i + 1;
            }
            Some("*") => {
                leaves.push((path, "*".into()));
                return i + 1;
            }
            Some("as") => {
                let name = tokens[i + 1].clone();
                leaves.push((path, name));
                return i + 2;
            }
            Some(token) if is_name(token) => {
                // `a::{self, b}`: the module a itself.
                if token != "self" || path.is_empty() {
                    path.push(token.to_owned());
                }
                i += 1;
            }
            _ => {
                let name = path.last().cloned().unwrap_or_default();
                leaves.push((path, name));
                return i;
            }
        }
    }
}

/// Where a child module's file may lie.
fn child_files(file: &str, inline: &[String], name: &str) -> [String; 2] {
    let stem = file.strip_suffix(".rs").unwrap_or(file);
    let (folder, last) = stem.rsplit_once('/').unwrap_or(("", stem));
    let own = if ["lib", "main", "mod"].contains(&last) {
        folder
    } else {
        stem
    };
    let parts = [own].into_iter().chain(inline.iter().map(String::as_str)).chain([name]);
    let base = parts.filter(|p| !p.is_empty()).collect::<Vec<_>>().join("/");
    [format!("{base}.rs"), format!("{base}/mod.rs")]
}

/// The `impl` block that starts at `start`; `None` where it is for no named type.
fn impl_block(tokens: &[String], start: usize) -> Option<Impl> {
    let is = |i: usize, text: &str| tokens.get(i).is_some_and(|t| t == text);
    let mut of = Vec::new();
    let (mut angle, mut whole, mut i) = (0, false, start + 1);
    while !is(i, "{") && i < tokens.len() {
        match tokens[i].as_str() {
            "<" => angle += 1,
            // `->` is no bracket.
            ">" if !is(i - 1, "-") => angle -= 1,
            _ if angle > 0 => {}
            "for" => (of, whole) = (Vec::new(), false),
            "where" => whole = true,
            name if is_name(name) && !whole => of.push(name.to_owned()),
            _ => {}
        }
        i += 1;
    }
    let mut block = Impl { of, ..Impl::default() };
    let end = after_group(tokens, i);
    let mut depth = 0;
    for i in i..end {
        match tokens[i].as_str() {
            "{" => depth += 1,
            "}" => depth -= 1,
            "fn" if depth == 1 => block.holds.extend(tokens.get(i + 1).cloned()),
            "self" if is(i + 1, ".") && is(i + 3, "(") => block.calls.extend(tokens.get(i + 2).cloned()),
            "Self" if is(i + 1, "::") && is(i + 3, "(") => block.calls.extend(tokens.get(i + 2).cloned()),
            _ => {}
        }
    }
    (!block.of.is_empty()).then_some(block)
}

/// Reads a file's modules into `modules`: itself at `path`, then its children, those in files of their own too.
fn read_file(tree: &Tree, file: &str, path: &[String], modules: &mut BTreeMap<ModulePath, Module>) {
    if let Some(text) = tree.get(file) {
        read_module(tree, file, path, &[], &tokens(text), modules);
    }
}

/// One module's tokens; `inline` are the modules of this file that it stands in.
fn read_module(
    tree: &Tree,
    file: &str,
    path: &[String],
    inline: &[String],
    tokens: &[String],
    modules: &mut BTreeMap<ModulePath, Module>,
) {
    let mut module = Module {
        file: file.to_owned(),
        ..Module::default()
    };
    let is = |i: usize, text: &str| tokens.get(i).is_some_and(|t| t == text);
    let mut depth = 0;
    let mut i = 0;
    while i < tokens.len() {
        let next = tokens.get(i + 1);
        match tokens[i].as_str() {
            "#" if is(i + 1, "[") && is(i + 2, "cfg") && is(i + 4, "test") && is(i + 5, ")") => {
                i = after_group(tokens, i + 1);
                while is(i, "#") {
                    i = after_group(tokens, i + 1);
                }
                i = after_item(tokens, i);
                continue;
            }
            "use" => {
                let mut leaves = Vec::new();
                i = use_tree(tokens, i + 1, &[], &mut leaves);
                for (path, name) in leaves {
                    if name == "*" {
                        module.globs.push(path);
                    } else {
                        module.imported.insert(name, path.clone());
                        module.named.push(path);
                    }
                }
                continue;
            }
            "mod" if depth == 0 && next.is_some_and(|name| is_name(name)) => {
                let name = &tokens[i + 1];
                let child = [path, std::slice::from_ref(name)].concat();
                module.children.insert(name.clone());
                if is(i + 2, "{") {
                    let end = after_group(tokens, i + 2);
                    let inline = [inline, std::slice::from_ref(name)].concat();
                    read_module(tree, file, &child, &inline, &tokens[i + 3..end - 1], modules);
                    i = end;
                } else {
                    for place in child_files(file, inline, name) {
                        read_file(tree, &place, &child, modules);
                    }
                    i += 3;
                }
                continue;
            }
            "fn" | "struct" | "enum" | "trait" | "type" | "const" | "static" | "union" if depth == 0 => {
                module.defined.extend(next.cloned());
            }
            "impl" if depth == 0 => module.impls.extend(impl_block(tokens, i)),
            "macro_rules" if depth == 0 => module.defined.extend(tokens.get(i + 2).cloned()),
            "{" => depth += 1,
            "}" => depth -= 1,
            word if is_name(word) && is(i + 1, "::") && !(i > 0 && is(i - 1, "::")) => {
                let mut named = vec![word.to_owned()];
                while is(i + 1, "::") && tokens.get(i + 2).is_some_and(|t| is_name(t)) {
                    named.push(tokens[i + 2].clone());
                    i += 2;
                }
                module.named.push(named);
            }
            _ => {}
        }
        i += 1;
    }
    modules.insert(path.to_vec(), module);
}

/// What a path comes to: files that define it, and the module it is, if it is one. A name may be both.
#[derive(Default)]
struct Target {
    files: BTreeSet<String>,
    module: Option<ModulePath>,
}

/// Traces a path as written in module `from`; empty for names from outside of the crate. `asked` stops a chain that turns on itself.
fn trace(
    modules: &BTreeMap<ModulePath, Module>,
    from: &[String],
    path: &[String],
    asked: &mut BTreeSet<(ModulePath, ModulePath)>,
) -> Target {
    if !asked.insert((from.to_vec(), path.to_vec())) {
        return Target::default();
    }
    let mut here = from.to_vec();
    let mut rest = path;
    while let Some((first, after)) = rest.split_first() {
        match first.as_str() {
            "crate" => here.clear(),
            "super" => drop(here.pop()),
            "self" => {}
            _ => break,
        }
        rest = after;
    }
    let inside = rest.len() < path.len();
    let mut first = true;
    while let Some((name, after)) = rest.split_first() {
        let Some(module) = modules.get(&here) else {
            return Target::default();
        };
        let mut found = Target::default();
        if module.children.contains(name) {
            found.module = Some([here.as_slice(), std::slice::from_ref(name)].concat());
        }
        // A path goes on through a module; its last name may be an item of the same name.
        if after.is_empty() || found.module.is_none() {
            if module.defined.contains(name) {
                found.files.insert(module.file.clone());
            } else if let Some(import) = module.imported.get(name) {
                let through = trace(modules, &here, import, asked);
                found.files.extend(through.files);
                found.module = found.module.or(through.module);
            } else if found.module.is_none() {
                for glob in &module.globs {
                    let open = trace(modules, &here, glob, asked).module;
                    if let Some(open) = open.filter(|open| *open != here) {
                        let through = trace(
                            modules,
                            &open,
                            &[vec!["self".into()], vec![name.clone()]].concat(),
                            asked,
                        );
                        found.files.extend(through.files);
                        found.module = found.module.or(through.module);
                    }
                }
            }
        }
        if found.files.is_empty() && found.module.is_none() && (inside || !first) {
            // Not seen in the text (a macro made it): where it was looked for.
            found.files.insert(module.file.clone());
        }
        match found.module.take() {
            Some(module) if !after.is_empty() => here = module,
            module => return Target { module, ..found },
        }
        rest = after;
        first = false;
    }
    Target {
        module: Some(here),
        ..Target::default()
    }
}

/// What every file of a crate stands on.
fn edges(tree: &Tree) -> Edges {
    let mut edges = Edges::new();
    for root in ["lib.rs", "main.rs"] {
        let mut modules = BTreeMap::new();
        read_file(tree, root, &[], &mut modules);
        // A type is known by the file that defines it and its name there.
        let type_of = |path: &[String], of: &[String]| {
            let files = trace(
                &modules,
                path,
                &[&["self".to_owned()], of].concat(),
                &mut BTreeSet::new(),
            )
            .files;
            files.into_iter().next().zip(of.last().cloned())
        };
        let mut methods: BTreeMap<_, BTreeSet<&String>> = BTreeMap::new();
        for (path, module) in &modules {
            for block in &module.impls {
                for name in &block.holds {
                    let key = (type_of(path, &block.of), name);
                    methods.entry(key).or_default().insert(&module.file);
                }
            }
        }
        for (path, module) in &modules {
            let below = edges.entry(module.file.clone()).or_default();
            for named in &module.named {
                below.extend(trace(&modules, path, named, &mut BTreeSet::new()).files);
            }
            for glob in &module.globs {
                let target = trace(&modules, path, glob, &mut BTreeSet::new());
                below.extend(target.files);
                below.extend(target.module.and_then(|m| modules.get(&m)).map(|m| m.file.clone()));
            }
            for block in &module.impls {
                for name in &block.calls {
                    let files = methods
                        .get(&(type_of(path, &block.of), name))
                        .filter(|f| !f.contains(&module.file));
                    below.extend(files.into_iter().flatten().map(|file| (*file).clone()));
                }
            }
            below.remove(&module.file);
        }
    }
    edges
}

/// The shortest circle through each file that is in one, from its first file by name and back: `a.rs -> b.rs -> a.rs`.
fn circles(edges: &Edges) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for start in edges.keys() {
        let mut came: BTreeMap<&String, &String> = BTreeMap::new();
        let mut ring = vec![start];
        while !ring.is_empty() && !came.contains_key(start) {
            let mut next = Vec::new();
            for file in ring {
                for below in edges.get(file).into_iter().flatten() {
                    came.entry(below).or_insert_with(|| {
                        next.push(below);
                        file
                    });
                }
            }
            ring = next;
        }
        if came.contains_key(start) {
            let mut back = vec![came[start]];
            while *back.last().unwrap() != start {
                back.push(came[back.last().unwrap()]);
            }
            back.reverse();
            let least = (0..back.len()).min_by_key(|&k| back[k]).unwrap_or(0);
            back.rotate_left(least);
            back.push(back[0]);
            found.insert(back.iter().map(|f| f.as_str()).collect::<Vec<_>>().join(" -> "));
        }
    }
    found
}

/// The `.rs` files under a folder.
fn read_tree(folder: &Path, before: &str, tree: &mut Tree) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let entry = entry.unwrap();
        let name = format!("{before}{}", entry.file_name().to_string_lossy());
        if entry.path().is_dir() {
            read_tree(&entry.path(), &format!("{name}/"), tree);
        } else if name.ends_with(".rs") {
            tree.insert(name, std::fs::read_to_string(entry.path()).unwrap());
        }
    }
}

/// Folders of the workspace's crates.
fn crates() -> Vec<std::path::PathBuf> {
    let house = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../crates");
    let mut found: Vec<_> = std::fs::read_dir(house).unwrap().map(|e| e.unwrap().path()).collect();
    found.sort();
    found
}

#[test]
fn no_circle_of_files_inside_a_crate() {
    let mut found = Vec::new();
    for folder in crates() {
        let mut tree = Tree::new();
        read_tree(&folder.join("src"), "", &mut tree);
        let edges = edges(&tree);
        assert!(edges.len() > 1, "{} was not read", folder.display());
        let name = folder.file_name().unwrap().to_string_lossy().into_owned();
        found.extend(
            circles(&edges)
                .iter()
                .map(|circle| format!("crates/{name}/src: {circle}")),
        );
    }
    assert!(
        found.is_empty(),
        "files that stand on each other; move what they share to a file below both:\n{}",
        found.join("\n")
    );
}

/// Names of the house's crates that a crate imports though they stand above it or beside it, `order` lowest first.
fn out_of_order(order: &[String], own: &str, manifest: &str) -> Vec<String> {
    let rank = |name: &str| order.iter().position(|o| o == name);
    let mut section = "";
    let mut found = Vec::new();
    for line in manifest.lines() {
        if line.starts_with('[') {
            section = line.trim();
        } else if section == "[dependencies]" {
            let key = line.split(['.', ' ', '=']).next().unwrap_or_default();
            if let (Some(key_rank), Some(own_rank)) = (rank(key), rank(own))
                && key_rank >= own_rank
            {
                found.push(format!("{own} imports {key}"));
            }
        }
    }
    found
}

#[test]
fn crates_import_only_those_before_them_in_the_house() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let text = std::fs::read_to_string(root.join("Cargo.toml")).unwrap();
    let order: Vec<String> = text
        .lines()
        .filter(|line| line.contains("path = \"crates/"))
        .map(|line| line.split([' ', '=']).next().unwrap_or_default().to_owned())
        .collect();
    assert!(order.len() > 10, "the house was not read from Cargo.toml: {order:?}");
    let mut found = Vec::new();
    for folder in crates() {
        let own = folder.file_name().unwrap().to_string_lossy().into_owned();
        let manifest = std::fs::read_to_string(folder.join("Cargo.toml")).unwrap();
        found.extend(out_of_order(&order, &own, &manifest));
    }
    assert!(
        found.is_empty(),
        "against the order of Cargo.toml: {}",
        found.join(", ")
    );
}

/// Circles of an invented tree.
fn circles_of(files: &[(&str, &str)]) -> Vec<String> {
    let tree = files
        .iter()
        .map(|(name, text)| ((*name).into(), (*text).into()))
        .collect();
    circles(&edges(&tree)).into_iter().collect()
}

#[test]
fn a_tree_without_circles_passes() {
    let found = circles_of(&[
        (
            "lib.rs",
            "mod low; mod mid; mod top; pub use low::Low; pub use mid::{deep::Deep, mid}; pub use top::top;",
        ),
        (
            "low.rs",
            "//! Not `crate::top()`.\npub struct Low; impl Low { fn g(&self) {} pub fn f(&self) { self.g() } } \
             pub const WORDS: &str = \"crate::top()\";",
        ),
        // The parent uses what its child defines, the child what lib.rs only re-exports.
        (
            "mid.rs",
            "pub mod deep; use crate::Low; pub fn mid(_: Low) -> deep::Deep { deep::Deep }",
        ),
        (
            "mid/deep.rs",
            "use crate::Low as L; pub struct Deep; pub fn f<'a>(l: &'a L) -> char { 'x' }",
        ),
        // A function beside a module of the same name.
        (
            "top.rs",
            "use crate::{Low, mid}; impl Low { pub fn h(&self) { self.f() } } pub fn top() { mid(crate::Low); mid::deep::f(&crate::low::Low); }",
        ),
        ("top/lone.rs", "use crate::top;"),
    ]);
    assert_eq!(found, Vec::<String>::new());
    // What tests import does not count.
    let found = circles_of(&[
        ("lib.rs", "mod a; mod b;"),
        ("a.rs", "pub fn a() { crate::b::b() }"),
        (
            "b.rs",
            "pub fn b() {} #[cfg(test)] #[allow(dead_code)] mod tests { use crate::a::a; fn t() { a() } }",
        ),
    ]);
    assert_eq!(found, Vec::<String>::new());
}

#[test]
fn circles_are_found_and_named() {
    let direct = circles_of(&[
        ("lib.rs", "mod a; mod b;"),
        ("a.rs", "use crate::b::{self, B}; pub struct A(B);"),
        ("b.rs", "pub struct B; pub fn b() { super::a::A; }"),
    ]);
    assert_eq!(direct, ["a.rs -> b.rs -> a.rs"]);
    let three = circles_of(&[
        ("main.rs", "mod a; mod b; mod c; fn main() { a::a() }"),
        ("a.rs", "use super::b; pub fn a() { b::b() }"),
        ("b/mod.rs", "pub fn b() { let _ = |c: char| c == '\"'; crate::c::c() }"),
        ("c.rs", "pub fn c() { use crate::{a, b as other}; a::a() }"),
    ]);
    assert_eq!(three, ["a.rs -> b/mod.rs -> c.rs -> a.rs"]);
    // Neither names the other's file: lib.rs re-exports both.
    let through = circles_of(&[
        ("lib.rs", "mod a; mod deep; pub use a::A; pub use deep::*;"),
        ("a.rs", "use crate::D; pub struct A(D);"),
        ("deep/mod.rs", "mod d; pub use d::D;"),
        ("deep/d.rs", "use crate::A; pub enum D { A(Box<A>) }"),
    ]);
    assert_eq!(through, ["a.rs -> deep/d.rs -> a.rs"]);
    // A parent re-exports what its child makes of the parent's own.
    let parent = circles_of(&[
        ("lib.rs", "mod a; pub use a::make; pub struct Own;"),
        ("a.rs", "use super::Own; pub fn make() -> Own { Own }"),
    ]);
    assert_eq!(parent, ["a.rs -> lib.rs -> a.rs"]);
    // A type that calls what another file adds to it.
    let added = circles_of(&[
        ("lib.rs", "mod a; mod b;"),
        (
            "a.rs",
            "pub struct A<T>(T); impl<T: Fn() -> u8> A<T> { pub fn f(&self) -> u8 { self.g() } }",
        ),
        (
            "b.rs",
            "use crate::a::A; impl<T> A<T> where T: Copy { pub fn g(&self) -> u8 { 0 } }",
        ),
    ]);
    assert_eq!(added, ["a.rs -> b.rs -> a.rs"]);
    // Modules inside a file, and a glob.
    let inline = circles_of(&[
        ("lib.rs", "mod a; mod b { pub mod c; }"),
        ("a.rs", "pub mod inner { pub use crate::b::c::C; }"),
        ("b/c.rs", "use crate::a::inner::*; pub struct C;"),
    ]);
    assert_eq!(inline, ["a.rs -> b/c.rs -> a.rs"]);
}

#[test]
fn a_crate_out_of_order_is_named() {
    let order = ["low".to_owned(), "mid".to_owned(), "top".to_owned()];
    let manifest = "[package]\nname = \"mid\"\n[dependencies]\nlow.workspace = true\ntop = { path = \"../top\" }\n\
                    [dev-dependencies]\ntop.workspace = true\n";
    assert_eq!(out_of_order(&order, "mid", manifest), ["mid imports top"]);
    assert!(out_of_order(&order, "cli", manifest).is_empty());
}

/// Lines that begin an example in a comment which would be run, if examples of its crate were.
fn examples(text: &str) -> Vec<usize> {
    let mut open = false;
    let mut found = Vec::new();
    for (at, line) in (1..).zip(text.lines()) {
        let line = line.trim_start();
        let Some(rest) = line.strip_prefix("///").or_else(|| line.strip_prefix("//!")) else {
            open = false;
            continue;
        };
        let Some(kind) = rest.trim_start().strip_prefix("```") else {
            continue;
        };
        if !open && matches!(kind, "" | "rust" | "no_run" | "should_panic") {
            found.push(at);
        }
        open = !open;
    }
    found
}

/// To look for examples costs a run of the compiler for each crate, so that it is off where there are none.
#[test]
fn no_example_in_a_comment_is_left_unrun() {
    let mut left = Vec::new();
    for folder in crates() {
        let manifest = std::fs::read_to_string(folder.join("Cargo.toml")).unwrap();
        let mut tree = Tree::new();
        read_tree(&folder.join("src"), "", &mut tree);
        if manifest.contains("doctest = false") {
            let found = tree
                .iter()
                .flat_map(|(file, text)| examples(text).into_iter().map(move |at| (file, at)));
            left.extend(found.map(|(file, at)| format!("{}/src/{file}:{at}", folder.display())));
        }
    }
    assert_eq!(left, Vec::<String>::new(), "strike out doctest = false there");
    assert_eq!(examples("/// a\n/// ```\n/// b\n/// ```\n/// ```text\n/// ```\n"), [2]);
}
