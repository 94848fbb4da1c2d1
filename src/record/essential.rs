//! Which variable of a sheet is essential under the standard that the spec names: run otherwise, it wants a new test piece.

use super::say;
use crate::engine::FigureName;
use crate::engine::qualification::point::figure_of;
use crate::reference::qualification::{Class, Variable, rows_of, standard_named};
use crate::reference::{QualificationVariable, filler};
use crate::sheet::show;
use crate::sheet::words::english;

/// What it means to have run this figure otherwise, in words; empty where the figure is no essential variable of the
/// standard, and where nothing is known of it.
pub(super) fn of_figure(figure: FigureName, standard: &str) -> String {
    let variable = Variable::ALL.iter().copied().find(|variable| figure_of(*variable) == Some(figure));
    variable.and_then(|variable| words(variable, standard)).unwrap_or_default()
}

/// The same for the variable that a text in a welder's words speaks of: `cup 6, rod ER5356` speaks of the filler metal.
pub(super) fn of_words(text: &str, standard: &str) -> String {
    let text = format!(" {} ", plain(text));
    let speaks = |word: &str| !word.is_empty() && text.contains(&format!(" {} ", plain(word)));
    let named = |variable: &Variable| {
        let said = english().get("record", &format!("spoken/{}", variable.word())).unwrap_or_default();
        let rod = *variable == Variable::Filler && filler().rows.iter().any(|row| speaks(&row.name));
        rod || said.split(',').any(|word| speaks(word.trim()))
    };
    let found = Variable::ALL.iter().copied().filter(named).find_map(|variable| words(variable, standard));
    found.unwrap_or_default()
}

fn words(variable: Variable, standard: &str) -> Option<String> {
    let standard = standard_named(standard)?;
    let row: &QualificationVariable = rows_of(standard, variable).find(|row| row.class == Class::Essential)?;
    let name = english().get("qualification", &format!("variable/{}", variable.word()))?.to_lowercase();
    let by = if row.standard == standard.name { String::new() } else { say("essential-older", &[&row.standard]) };
    let mark = show::mark(row.class_basis.unwrap_or(row.basis));
    Some(say("essential", &[&standard.name, &by, &name, mark]))
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
    fn a_welder_names_what_he_did_otherwise() {
        let named = |text| of_words(text, "iso 15614-2");
        assert!(named("ER5356 rod for pass 4").contains("filler metal"), "{}", named("ER5356"));
        assert!(named("argon with 30 % helium").contains("shielding gas"));
        assert_eq!(named("cup 6 instead of 7"), "");
        assert_eq!(named("gas lens left out, prodded"), "", "a rod is no prod");
        assert_eq!(of_words("ER5356", "no such standard"), "");
    }

    #[test]
    fn an_older_text_is_named_where_the_standard_itself_was_not_read() {
        assert!(of_figure(FigureName::FillerMetal, "ISO 15614-2").contains("EN 288-4"));
        assert!(!of_figure(FigureName::FillerMetal, "EN 288-4").contains("by "));
    }
}
