//! Every limit of the language in one place: sizes of files, lengths of texts, which keys take one value and which a
//! range, and where a zero means something.
//!
//! These are limits of the form of a file, not facts of the trade: they keep a sheet printable and a program quick.

use crate::units::Kind;

/// Largest file that is read, in bytes.
pub const FILE_BYTES: usize = 1024 * 1024;
/// Most findings that are kept of one file; the rest are counted.
pub const FINDINGS: usize = 1000;
/// Most syntax errors that are kept of one file: after the first few the rest are echoes.
pub const SYNTAX_ERRORS: usize = 100;
/// Most entries of a list.
pub const LIST_ENTRIES: usize = 64;
/// Longest spelling of a quantity, in characters.
pub const QUANTITY: usize = 80;
/// Longest prose, in characters.
pub const PROSE: usize = 8000;
/// Deepest nesting of quotes and lists in prose.
pub const PROSE_DEPTH: usize = 12;
/// Longest number, revision or id, in characters.
pub const IDENTIFIER: usize = 40;
/// Longest text of one line, where nothing else is said, in characters.
pub const TEXT: usize = 200;

/// Longest text of one line for a key of a table, in characters.
#[must_use]
pub fn text(table: &str, key: &str) -> usize {
    match (table, key) {
        ("Procedure", "title") => 120,
        ("Procedure", "reason") | ("Step", "text") => 300,
        ("RunPass", "note") => 500,
        (_, "name" | "author" | "feature" | "machine" | "welder" | "released_by" | "by" | "reference" | "standard") => {
            80
        }
        (
            _,
            "alloy" | "family" | "temper" | "gas" | "filler" | "filler_metal" | "tungsten_type" | "type" | "thread",
        ) => 40,
        (_, "tolerance" | "level" | "grade" | "polarity" | "group" | "lot" | "seal" | "time" | "when" | "method") => 60,
        (_, "currency" | "per") => 12,
        _ => TEXT,
    }
}

/// How an identifier is formed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum IdentifierForm {
    /// Number of a procedure: letters and digits, with hyphen, dot, underscore or slash between them.
    Number,
    /// Revision: A ... Z, AA ... ZZ, or 1, 2 ...
    Revision,
    /// Id of a step or hold: lower-case letters and digits, with single hyphens between them.
    Kebab,
}

/// How the identifier of a key of a table is formed.
#[must_use]
pub fn identifier(table: &str, key: &str) -> IdentifierForm {
    match (table, key) {
        (_, "revision") => IdentifierForm::Revision,
        ("Step" | "RunHold", _) => IdentifierForm::Kebab,
        _ => IdentifierForm::Number,
    }
}

impl IdentifierForm {
    /// The form in words, as the end of a sentence.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            IdentifierForm::Number => {
                "letters and digits, with a hyphen, dot, underscore or slash between them, such as \"HW-012\""
            }
            IdentifierForm::Revision => "one or two capital letters, \"A\" to \"ZZ\", or a number, \"1\" to \"999\"",
            IdentifierForm::Kebab => {
                "lower-case letters and digits, with single hyphens between them, such as \"re-tap\""
            }
        }
    }

    /// The form as a regular expression that editors understand.
    #[must_use]
    pub fn pattern(self) -> &'static str {
        match self {
            IdentifierForm::Number => "^[A-Za-z0-9]+([-._/][A-Za-z0-9]+)*$",
            IdentifierForm::Revision => "^([A-Z]{1,2}|[1-9][0-9]{0,2})$",
            IdentifierForm::Kebab => "^[a-z0-9]+(-[a-z0-9]+)*$",
        }
    }

    /// Byte of the first character that does not fit, if any; the length of the text when it ends too early.
    #[must_use]
    pub fn misfit(self, text: &str) -> Option<usize> {
        match self {
            IdentifierForm::Number => parts_misfit(text, &['-', '.', '_', '/'], |c| c.is_ascii_alphanumeric()),
            IdentifierForm::Kebab => parts_misfit(text, &['-'], |c| c.is_ascii_lowercase() || c.is_ascii_digit()),
            IdentifierForm::Revision => revision_misfit(text),
        }
    }
}

/// Every part has at least one character that fits, and one joint stands between two parts.
fn parts_misfit(text: &str, joints: &[char], fits: impl Fn(char) -> bool) -> Option<usize> {
    let mut inside_part = false;
    for (at, c) in text.char_indices() {
        if fits(c) {
            inside_part = true;
        } else if inside_part && joints.contains(&c) {
            inside_part = false;
        } else {
            return Some(at);
        }
    }
    // A joint at the end is itself the misfit.
    (!inside_part).then(|| text.len().saturating_sub(1))
}

fn revision_misfit(text: &str) -> Option<usize> {
    let letters = text.starts_with(|c: char| c.is_ascii_uppercase());
    let most = if letters { 2 } else { 3 };
    for (at, c) in text.char_indices() {
        let fits = if letters { c.is_ascii_uppercase() } else { c.is_ascii_digit() && (at > 0 || c != '0') };
        if !fits || at >= most {
            return Some(at);
        }
    }
    text.is_empty().then_some(0)
}

/// Whether a quantity of this key may be written as a range; everything else takes one value.
#[must_use]
pub fn takes_range(table: &str, key: &str) -> bool {
    matches!(
        (table, key),
        ("Set" | "AmperageRange", _)
            | ("PanelBalance", "range")
            | ("Machine", "frequency" | "pre_flow" | "post_flow")
            | ("Welder" | "Coupon", "thickness" | "deposit")
    )
}

/// Whether this key needs a range with two ends, because one value would not say from where to where.
#[must_use]
pub fn needs_range(table: &str, key: &str) -> bool {
    matches!((table, key), ("AmperageRange", "ac" | "dc"))
}

/// Whether zero means something for a quantity of this key.
#[must_use]
pub fn zero_allowed(table: &str, key: &str, kind: Kind) -> bool {
    match kind {
        Kind::Length | Kind::Area | Kind::Volume | Kind::Mass => matches!(
            (table, key),
            ("Keep", "distance" | "allowance")
                | ("Beside", "distance")
                | ("Damage", "edge_distance")
                | ("Set", "tip_flat")
        ),
        Kind::Current | Kind::Flow | Kind::Frequency | Kind::Rotation | Kind::HeatInput | Kind::Voltage => false,
        Kind::Share => table != "MachineRating" && table != "TorchRating",
        Kind::Speed => table == "Place",
        Kind::Angle => false,
        Kind::Time | Kind::Temperature | Kind::TemperatureStep | Kind::EnShare | Kind::HeliumShare => true,
    }
}

/// The whole numbers that a key takes, lowest and highest.
#[must_use]
pub fn whole(table: &str, key: &str) -> (i64, i64) {
    match (table, key) {
        ("Damage", "tips") => (0, 2),
        (_, "attempt") => (1, 20),
        ("StockCup", "number") | ("Set", "cup") => (3, 24),
        ("Set", "lens_shade") => (4, 15),
        ("RunPass", "number") => (1, 999),
        _ => (i64::MIN, i64::MAX),
    }
}

#[cfg(test)]
mod tests {
    use super::IdentifierForm::{Kebab, Number, Revision};

    #[test]
    fn numbers_hold_no_part_of_a_path() {
        for good in ["HW-012", "7", "HW/012", "A_1.2"] {
            assert_eq!(Number.misfit(good), None, "{good}");
        }
        for (bad, at) in [
            ("../HW", 0),
            ("HW..1", 3),
            ("HW/../1", 3),
            ("/HW", 0),
            ("HW-", 2),
            ("HW\\1", 2),
            ("HW 1", 2),
            ("", 0),
            ("HÜ", 1),
        ] {
            assert_eq!(Number.misfit(bad), Some(at), "{bad}");
        }
    }

    #[test]
    fn revisions_are_letters_or_numbers() {
        for good in ["A", "Z", "AA", "ZZ", "1", "12", "999"] {
            assert_eq!(Revision.misfit(good), None, "{good}");
        }
        for (bad, at) in [("a", 0), ("AAA", 2), ("0", 0), ("01", 0), ("1000", 3), ("A1", 1), ("1A", 1), ("", 0)] {
            assert_eq!(Revision.misfit(bad), Some(at), "{bad}");
        }
    }

    #[test]
    fn step_ids_are_kebab_case() {
        assert_eq!(Kebab.misfit("re-tap"), None);
        for (bad, at) in [("Re-tap", 0), ("re--tap", 3), ("re_tap", 2), ("-x", 0), ("x-", 1)] {
            assert_eq!(Kebab.misfit(bad), Some(at), "{bad}");
        }
    }
}
