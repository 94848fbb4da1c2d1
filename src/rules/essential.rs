//! Which figure of a sheet is an essential variable under a standard: run otherwise, it wants a new test piece.
//!
//! This file alone reads the table, so that a fuller one can take its place.

use crate::engine::FigureName;
use crate::reference::{Cite, EssentialRow, Row, essential as table};

/// Why a figure is essential.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Essential {
    /// The figure.
    pub figure: FigureName,
    /// Name of the standard.
    pub standard: &'static str,
    /// What wants a new test: `another filler metal`.
    pub by: &'static str,
    /// Where it was found.
    pub cite: Cite,
}

/// Whether this figure is an essential variable of this standard, by the name that a spec gives it. None also where
/// nothing is known of it.
#[must_use]
pub fn essential(figure: FigureName, standard: &str) -> Option<Essential> {
    rows(standard).find(|row| row.figure == figure.key()).and_then(of_row)
}

/// The essential variable that a text in a welder's words speaks of: `cup 6, rod ER5356` speaks of the filler metal.
#[must_use]
pub fn spoken_of(text: &str, standard: &str) -> Option<Essential> {
    let text = format!(" {} ", plain(text));
    let speaks = |row: &&EssentialRow| row.words.iter().any(|word| text.contains(&format!(" {} ", plain(word))));
    rows(standard).find(speaks).and_then(of_row)
}

fn rows(standard: &str) -> impl Iterator<Item = &'static EssentialRow> {
    let standard = plain(standard);
    table().rows.iter().filter(move |row| plain(&row.standard) == standard)
}

fn of_row(row: &'static EssentialRow) -> Option<Essential> {
    let figure = FigureName::from_key(&row.figure)?;
    Some(Essential { figure, standard: &row.standard, by: &row.by, cite: row.cite() })
}

/// Letters and digits in lower case, everything else as single spaces.
fn plain(text: &str) -> String {
    let text: String = text.to_lowercase().chars().map(|c| if c.is_alphanumeric() { c } else { ' ' }).collect();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_names_a_figure() {
        for row in &table().rows {
            assert!(of_row(row).is_some(), "{}", row.figure);
        }
    }

    #[test]
    fn a_welder_names_what_he_did_otherwise() {
        let named = |text| spoken_of(text, "iso 15614-2").map(|essential| essential.figure);
        assert_eq!(named("ER5356 rod for pass 4"), Some(FigureName::FillerMetal));
        assert_eq!(named("argon with 30 % helium"), Some(FigureName::Gas));
        assert_eq!(named("cup 6 instead of 7"), None);
        assert_eq!(named("gas lens left out, prodded"), None, "a rod is no prod");
        assert_eq!(spoken_of("ER5356", "no such standard"), None);
    }
}
