//! A page as Markdown, for the repository.

use super::{Block, Page};
use crate::faces::escape::markdown as plain;

/// The page as Markdown.
#[must_use]
pub fn markdown(page: &Page) -> String {
    let mut out = format!("# {}\n", plain(&page.title));
    for block in &page.blocks {
        out.push('\n');
        match block {
            Block::Heading(heading) => out.push_str(&format!("## {}\n", plain(heading))),
            Block::Line(line) => out.push_str(&format!("{}\n", plain(line))),
            Block::List(items) => items.iter().for_each(|item| out.push_str(&format!("- {}\n", plain(item)))),
            Block::Table { head, rows, .. } => {
                row(&mut out, head);
                out.push_str(&format!("|{}\n", " --- |".repeat(head.len())));
                rows.iter().for_each(|cells| row(&mut out, cells));
            }
            // Characters of one width keep their places in a block of code alone; nobody else's text stands in it.
            Block::Chart(chart) => out.push_str(&format!("```text\n{}```\n", chart.bars())),
        }
    }
    out
}

fn row(out: &mut String, cells: &[String]) {
    out.push('|');
    for cell in cells {
        out.push_str(&format!(" {} |", plain(cell)));
    }
    out.push('\n');
}
