//! One thing of the shop as a form: begun from another, or one of the shop's own to be changed; kept only when it is sound.

use job::{FormFault, FormField, FormTyped, ShopFile, ShopKind, shop_entry, shop_fields};
use maud::{Markup, html};

use super::form::{FormSaid, TYPED, block, refused_words as said};
use super::shop_file::{CHANGED, SHOP, Unsaved, at, named_by, proposed, save, there};
use super::{frame, hidden, store_trouble, trouble};
use crate::bench::Bench;
use crate::desk::Stocked;
use crate::notice::Notice;
use crate::talk::{Ask, Fields, Reply};

/// Most strings of a set, as the reader has it.
const STRINGS: usize = 12;

/// What the form is of.
struct Of {
    kind: ShopKind,
    /// The name of the shop's own thing that is changed.
    own: Option<String>,
    /// The name of what a new one is begun from.
    from: String,
    /// What stands in the fields.
    typed: FormTyped,
    fields: Vec<FormField>,
}

impl Of {
    /// What a request is about; `sent` is the form as it was sent, if it was.
    fn asked(asked: &Fields, sent: Option<&Fields>, stocked: &Stocked) -> Option<Self> {
        let kind = ShopKind::of(asked.text("kind"))?;
        let file = ShopFile::of(&stocked.text).ok()?;
        let own = asked.get("own").filter(|own| !own.is_empty()).map(str::to_owned);
        let from = asked.text("from").to_owned();
        let known = |name: &str| file.typed(kind, name);
        let mut typed = match &own {
            Some(own) => known(own)?,
            None => known(&from).or_else(|| shop_entry(kind, &from))?,
        };
        let fields = shop_fields(kind, typed.strings().min(STRINGS), &stocked.profiles);
        if let Some(sent) = sent {
            let mut again = FormTyped::new();
            for field in &fields {
                again.set(&field.key, sent.text(&format!("{TYPED}{}", field.key)));
            }
            typed = again;
        } else if own.is_none() {
            if kind != ShopKind::Cutting {
                typed.set("name", &proposed(&file, kind, &from));
            }
            typed.set("source", &format!("own, begun from “{from}”"));
        }
        Some(Self {
            kind,
            own,
            from,
            typed,
            fields,
        })
    }

    /// Where the form is.
    fn place(&self) -> String {
        match &self.own {
            Some(own) => there("entry", self.kind, "own", own),
            None => there("entry", self.kind, "from", &self.from),
        }
    }

    /// The file with it, or what is wrong with it.
    fn kept(&self, stocked: &Stocked) -> Result<ShopFile, Vec<FormFault>> {
        let of_all = |why: &str| vec![(String::new(), why.to_owned())];
        let mut file = ShopFile::of(&stocked.text).map_err(|_| of_all("The file of your own cannot be read."))?;
        let entry = self.typed.entry(self.kind, &self.fields, &stocked.profiles)?;
        let name = self.typed.get("name");
        let is_other = self.own.as_deref() != Some(name);
        if is_other && file.names(self.kind).iter().any(|taken| taken == name) {
            let why = "You have one of this name already. Choose another name.";
            return Err(vec![("name".to_owned(), why.to_owned())]);
        }
        file.put(self.kind, self.own.as_deref(), entry);
        Ok(file)
    }
}

fn not_there(bench: &Bench, ask: &Ask) -> Reply {
    trouble(bench, ask, 404, "Your shop has nothing of this name.", SHOP)
}

/// The form.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    let stocked = bench.desk().stocked();
    let notice = bench.notices.of(ask);
    let (sent, why) = match notice.as_deref() {
        Some(Notice::Refused { fields, why, .. }) => (Some(fields), why.as_str()),
        _ => (None, ""),
    };
    let Some(of) = Of::asked(&ask.fields, sent, &stocked) else {
        return not_there(bench, ask);
    };
    let faults = sent.and_then(|_| of.kept(&stocked).err()).unwrap_or_default();
    let title = match &of.own {
        Some(own) => format!("Change “{own}”"),
        None => format!("Add {} of your own", of.kind.words().0),
    };
    let main = html! {
        p.where { a href=(at(of.kind)) { "To “Your shop”" } }
        h1 { (title) }
        @match &of.own {
            Some(own) => (named_by(bench, of.kind, own, true)),
            None => p.how { "Begun from “" (of.from) "”, whose values stand below. Change what is otherwise with yours." },
        }
        p.how { (of.kind.intro()) }
        @if !why.is_empty() { (said(why)) }
        @if !faults.is_empty() { (said("Nothing was kept. What is to be mended stands at its field.")) }
        @for (_, why) in faults.iter().filter(|(key, _)| key.is_empty()) { (said(why)) }
        form.stack.shop method="post" action={ (SHOP) "/entry" } {
            (hidden(bench, None))
            input type="hidden" name="version" value=(stocked.version().as_str());
            input type="hidden" name="kind" value=(of.kind.key());
            @if let Some(own) = &of.own { input type="hidden" name="own" value=(own); } @else { input type="hidden" name="from" value=(of.from); }
            (blocks(&of, &faults.iter().map(FormSaid::of_fault).collect::<Vec<_>>()))
            div.go { button.main { "Keep" } a.button.quiet href=(at(of.kind)) { "Leave it as it was" } }
        }
    };
    Reply::Page(200, frame(bench, &title, None, &main))
}

/// The fields in a row that belong together, and what they are called together: of one string, of one reading, of the axes.
fn grouped(fields: &[FormField]) -> Vec<(String, Vec<&FormField>)> {
    let mut groups: Vec<(String, Vec<&FormField>)> = Vec::new();
    for field in fields {
        let of_axes = || {
            let (stem, at) = field.key.split_once('.')?;
            at.parse::<usize>().ok().map(|_| stem)
        };
        let group = match (field.group.is_empty(), of_axes()) {
            (false, _) => field.group.clone(),
            (true, stem) => stem.unwrap_or_default().to_owned(),
        };
        match groups.last_mut() {
            Some((last, list)) if *last == group && !group.is_empty() => list.push(field),
            _ => groups.push((group, vec![field])),
        }
    }
    groups
}

/// The fields, in their order; readings that a tool does not take stand folded behind those that it takes.
fn blocks(of: &Of, faults: &[FormSaid]) -> Markup {
    let groups = grouped(&of.fields);
    let is_empty = |(_, fields): &&(String, Vec<&FormField>)| {
        fields.iter().all(|field| {
            field.key.starts_with("reads.")
                && of.typed.get(&field.key).is_empty()
                && !faults.iter().any(|said| said.key == field.key)
        })
    };
    let is_last = |(_, fields): &&(String, Vec<&FormField>)| fields.iter().any(|field| field.key == "source");
    let (folded, open): (Vec<_>, Vec<_>) = groups.iter().partition(is_empty);
    let (last, open): (Vec<_>, Vec<_>) = open.into_iter().partition(is_last);
    let shown = |all: &[&(String, Vec<&FormField>)]| html! { @for (group, fields) in all { (block(group, fields, &of.typed, faults)) } };
    html! {
        (shown(&open))
        @if !folded.is_empty() { details { summary { "Readings that it does not take" } (shown(&folded)) } }
        (shown(&last))
    }
}

/// Keeps what was typed, if it is sound.
#[must_use]
pub fn keep(bench: &Bench, ask: &Ask) -> Reply {
    let stocked = bench.desk().stocked();
    let Some(of) = Of::asked(&ask.fields, Some(&ask.fields), &stocked) else {
        return not_there(bench, ask);
    };
    let refused = |why: &str| bench.notices.see(&of.place(), Notice::refused(&ask.fields, why));
    let file = match of.kept(&stocked) {
        Ok(file) => file,
        Err(_) => return refused(""),
    };
    match save(bench, ask.fields.text("version"), &file) {
        Ok(()) => {
            let words = format!("“{}” is kept.", of.typed.get("name"));
            bench.notices.see(&at(of.kind), Notice::Done { words, back: None })
        }
        Err(Unsaved::Changed) => refused(&format!(
            "{CHANGED} What you typed stands below: look at it, and keep it again."
        )),
        Err(Unsaved::Refused(why)) => refused(&why),
        Err(Unsaved::Store(error)) => store_trouble(bench, ask, &error, &of.place()),
    }
}
