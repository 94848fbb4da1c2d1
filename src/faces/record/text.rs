//! A page as text for a terminal of 80 columns: tables with cells that wrap.

use super::{Block, Page};
use crate::faces::terminal::{WIDTH, push_wrapped};
use crate::findings::clean::clean;

/// Space between two columns.
const GAP: usize = 2;
/// No column is made narrower than this.
const NARROW: usize = 4;
/// Letters of the longest word that keeps its column wide.
const WORD: usize = 14;

/// The page as text, with a line feed at the end of each line.
#[must_use]
pub fn text(page: &Page) -> String {
    let mut out = String::new();
    push_wrapped(&mut out, "  ", &page.title);
    for block in &page.blocks {
        match block {
            Block::Heading(heading) => {
                out.push('\n');
                push_wrapped(&mut out, "", &heading.to_uppercase());
            }
            Block::Line(line) => push_wrapped(&mut out, "", line),
            Block::List(items) => items.iter().for_each(|item| push_wrapped(&mut out, "    ", &format!("- {item}"))),
            Block::Table { head, rows, .. } => table(&mut out, head, rows),
            Block::Chart(chart) => out.push_str(&chart.bars()),
        }
    }
    // A record is somebody else's text.
    out.split_inclusive('\n').map(|line| clean(line.trim_end()) + "\n").collect()
}

/// A table; columns without a value are left out, and the widest gives way until all fit.
fn table(out: &mut String, head: &[String], rows: &[Vec<String>]) {
    let cell = |row: &[String], column: usize| row.get(column).cloned().unwrap_or_default();
    let kept: Vec<usize> =
        (0..head.len()).filter(|column| rows.iter().any(|row| !cell(row, *column).is_empty())).collect();
    let all: Vec<Vec<String>> = std::iter::once(head)
        .chain(rows.iter().map(Vec::as_slice))
        .map(|row| kept.iter().map(|column| cell(row, *column)).collect())
        .collect();
    let widths = widths(&all, kept.len());
    for row in &all {
        let cells: Vec<Vec<String>> = row.iter().zip(&widths).map(|(cell, width)| wrapped(cell, *width)).collect();
        let lines = cells.iter().map(Vec::len).max().unwrap_or(0);
        for line in 0..lines {
            let mut text = String::new();
            for (cell, width) in cells.iter().zip(&widths) {
                let piece = cell.get(line).map_or("", String::as_str);
                let pad = (width + GAP).saturating_sub(piece.chars().count());
                text.push_str(piece);
                text.extend(std::iter::repeat_n(' ', pad));
            }
            out.push_str(text.trim_end());
            out.push('\n');
        }
    }
}

fn widths(rows: &[Vec<String>], columns: usize) -> Vec<usize> {
    let most = |column: usize, of: fn(&String) -> usize| rows.iter().filter_map(|row| row.get(column)).map(of).max();
    let letters = |text: &str| text.chars().count();
    let mut widths: Vec<usize> =
        (0..columns).map(|column| most(column, |cell| cell.chars().count()).unwrap_or(0)).collect();
    // A word is cut only where it is longer than any word of the trade, or where nothing else helps.
    let least: Vec<usize> = (0..columns)
        .map(|column| {
            let words = rows.iter().filter_map(|row| row.get(column)).flat_map(|cell| cell.split_whitespace());
            words.map(letters).max().unwrap_or(0).clamp(NARROW, WORD)
        })
        .collect();
    let room = WIDTH.saturating_sub(GAP * columns.saturating_sub(1));
    for floor in [least, vec![NARROW; columns]] {
        while widths.iter().sum::<usize>() > room {
            let loose = widths.iter_mut().zip(&floor).filter(|(width, floor)| **width > **floor);
            let Some((most, _)) = loose.max_by_key(|(width, _)| **width) else { break };
            *most -= 1;
        }
    }
    widths
}

/// A text in lines of a width; a word that is longer is cut.
fn wrapped(text: &str, width: usize) -> Vec<String> {
    let width = width.max(1);
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let mut letters: Vec<char> = word.chars().collect();
        while letters.len() > width {
            let rest = letters.split_off(width);
            lines.push(letters.into_iter().collect());
            letters = rest;
        }
        let word: String = letters.into_iter().collect();
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= width => {
                line.push(' ');
                line.push_str(&word);
            }
            _ => lines.push(word),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_wrap_and_long_words_are_cut() {
        assert_eq!(wrapped("above the limit", 9), ["above the", "limit"]);
        assert_eq!(wrapped("abcdefghij", 4), ["abcd", "efgh", "ij"]);
        assert_eq!(wrapped("", 4), Vec::<String>::new());
    }

    #[test]
    fn no_line_is_longer_than_the_terminal() {
        let long = "word ".repeat(40);
        let rows = vec![vec!["x".repeat(120), long.clone(), String::new(), long]];
        let head = ["a", "b", "empty", "c"].map(str::to_owned);
        let mut out = String::new();
        table(&mut out, &head, &rows);
        assert!(out.lines().all(|line| line.chars().count() <= WIDTH), "{out}");
        assert!(!out.contains("empty"), "a column without a value is left out");
    }
}
