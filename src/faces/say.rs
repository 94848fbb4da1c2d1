//! What a figure, a line of a working or a reason says, in words: for JSON and for the terminal, which have no sheet to
//! take them from.

use crate::engine::job::Assumed;
use crate::engine::{Figure, FigureName, Line, Reason};
use crate::sheet::show;
use crate::sheet::words::english;
use crate::units::System;

/// Fills the blanks `{0}`, `{1}` with the arguments.
fn numbered(args: &[String]) -> impl Fn(&str) -> Option<String> {
    move |blank| args.get(blank.parse::<usize>().ok()?).cloned()
}

/// The title of a figure.
pub(crate) fn title(name: FigureName) -> String {
    english().text("figures", &format!("{}/title", name.key()), &|_| None)
}

/// The words of a line of a working. A line that quotes another figure bears its title.
pub(crate) fn line(line: &Line, system: System) -> String {
    let words = english();
    match (words.get("workings", line.words), FigureName::from_key(line.words)) {
        (Some(text), _) => show::with_quantities(text, system, &numbered(&line.args)),
        (None, Some(name)) => title(name),
        (None, None) => words.text("workings", line.words, &|_| None),
    }
}

/// The words of a reason for or against a filler metal.
pub(crate) fn reason(reason: &Reason, system: System) -> String {
    let text = english().text("reasons", reason.words, &|blank| Some(format!("{{{blank}}}")));
    show::with_quantities(&text, system, &numbered(&reason.args))
}

/// Why something was assumed; empty where nothing is said about it.
pub(crate) fn assumed(assumed: &Assumed) -> String {
    english().get("assumed", assumed.why).unwrap_or_default().to_owned()
}

/// What is set, and within which range; the range is empty where there is none.
pub(crate) fn figure(figure: &Figure, system: System) -> (String, String) {
    show::figure_text(figure, system)
}

/// A formula as a reader with a pocket calculator would write it: functions by their names in words.
pub(crate) fn formula(formula: &str) -> String {
    let mut out = String::with_capacity(formula.len() + 16);
    let mut rest = formula;
    while let Some(open) = rest.find('(') {
        let (before, after) = rest.split_at(open);
        let name = before.rsplit(|c: char| !c.is_ascii_alphanumeric() && c != '_').next().unwrap_or_default();
        let head = before.strip_suffix(name).unwrap_or(before);
        out.push_str(head);
        out.push_str(english().get("values", &format!("formula/{name}")).unwrap_or(name));
        out.push('(');
        rest = after.get(1..).unwrap_or_default();
    }
    out.push_str(rest);
    out
}

#[cfg(test)]
mod tests {
    use super::formula;

    #[test]
    fn functions_of_a_formula_have_their_names_in_words() {
        assert_eq!(formula("k0 * f"), "k0 * f");
        assert_eq!(formula("max(1, ceil(g / (D + 1)))"), "the most of (1, rounded up (g / (D + 1)))");
        assert_eq!(formula("2 * unknown(x)"), "2 * unknown(x)");
    }
}
