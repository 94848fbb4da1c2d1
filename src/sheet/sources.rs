//! Section B: the sources that the sheet cites, by key, each in one line.

use super::context::Context;
use super::weld_tables::capital;
use super::writer::Writer;
use super::{Block, Cell, Section, SourceNote};
use crate::reference::{Basis, source_by_key};
use std::collections::BTreeSet;

/// Key of the source that stands for having none.
const PRACTICE: &str = "practice";

/// Section B: its lines stand in the list of sources of the sheet.
pub(super) fn section(context: &Context<'_>) -> Section {
    Writer::new(context, "B").done()
}

/// Keys that the sections cite.
fn cited(sections: &[Section]) -> BTreeSet<String> {
    let mut keys: BTreeSet<String> = BTreeSet::new();
    let mut take = |cell: &Cell| keys.extend(cell.cites.iter().cloned());
    for block in sections.iter().flat_map(|section| &section.blocks) {
        match block {
            Block::Text { text, .. } => take(text),
            Block::Prose { .. } | Block::Drawing(_) => {}
            Block::Table(table) => table.rows.iter().flatten().for_each(&mut take),
            Block::Caution(caution) => {
                take(&Cell { cites: caution.cites.clone(), ..Cell::default() });
            }
            Block::Step(step) => take(&step.action),
            Block::Hold(hold) => take(&hold.criterion),
            Block::List { items } | Block::Alert { items, .. } => items.iter().for_each(&mut take),
        }
    }
    keys
}

/// The sources that the sections cite, in the order of their keys.
pub(super) fn notes(context: &Context<'_>, sections: &[Section]) -> Vec<SourceNote> {
    cited(sections).into_iter().map(|key| SourceNote { text: note(context, &key), key }).collect()
}

/// A source in one line: what it is, the places in it, how it was read.
fn note(context: &Context<'_>, key: &str) -> String {
    let Some(source) = source_by_key(key) else { return key.to_owned() };
    if key == PRACTICE {
        return context.text("values", "source/none");
    }
    let mut parts: Vec<String> = Vec::new();
    for basis in Basis::ALL {
        let noted = context.noted(key);
        let places = noted.iter().filter(|(own, place)| *own == basis && *place != "none").map(|(_, place)| *place);
        let places: BTreeSet<&str> = places.collect();
        if noted.iter().any(|(own, _)| *own == basis) {
            let places: Vec<&str> = places.into_iter().collect();
            parts.push(format!("{}{}", places.join("; "), how(context, basis, &source.read)));
        }
    }
    let places = parts.join(" ");
    let short = capital(&source.short);
    if places.starts_with('.') { format!("{short}{places}") } else { format!("{short}: {places}") }
}

/// How the fact was read, after its place.
fn how(context: &Context<'_>, basis: Basis, read: &str) -> String {
    let key = match (basis, read) {
        (Basis::Published, "copy") => "copy",
        (Basis::Published, "abstract") => "abstract",
        (Basis::Published, _) => "published",
        (Basis::Computed, _) => "computed",
        (Basis::CommonPractice, _) => "practice",
        (Basis::Memory, _) => "memory",
    };
    format!(". {}", context.text("values", &format!("source/{key}")))
}
