//! Finding standards of acceptance by the names that people write, and the rows that hold for a wall and a joint.

use super::rows::{
    Acceptance, AcceptanceByDye, AcceptanceStandard, acceptance, acceptance_by_dye, acceptance_standard,
};

/// A name without what does not tell: the adopting body, the year, spaces and case.
fn bare(name: &str) -> String {
    let name = name.split(':').next().unwrap_or_default().to_uppercase().replace("APPENDIX", "APP.");
    let words = name.split(|c: char| c.is_whitespace() || matches!(c, ',' | '-' | '_')).filter(|word| !word.is_empty());
    let words: Vec<&str> = words.collect();
    let adopted = words.iter().position(|word| !["DIN", "BS", "NF", "UNI", "AS", "EN", "ANSI"].contains(word));
    words.iter().skip(adopted.unwrap_or(0)).copied().collect()
}

/// The standard of this name; none where the tables do not hold it.
#[must_use]
pub fn standard_named(name: &str) -> Option<&'static AcceptanceStandard> {
    let wanted = bare(name);
    let same = |known: &String| bare(known) == wanted;
    acceptance_standard().rows.iter().find(|row| same(&row.name) || row.also.iter().any(same))
}

/// The level of a standard that is meant by these words: `level c` is `C`; none where it has no such level.
#[must_use]
pub fn level_named(standard: &'static AcceptanceStandard, level: &str) -> Option<&'static str> {
    let plain = |text: &str| text.to_uppercase().replace(char::is_whitespace, "");
    let level = plain(level);
    let level = ["LEVEL", "CLASS"].iter().find_map(|word| level.strip_prefix(word)).unwrap_or(&level);
    standard.levels.iter().find(|known| plain(known) == level).map(String::as_str)
}

/// The rows of a standard and level that hold for a wall, mm, and a joint: `butt`, `fillet` or `pad`. A pad takes the
/// rows of a butt weld.
pub fn rows_for(standard: &str, level: &str, wall: f64, joint: &str) -> impl Iterator<Item = &'static Acceptance> {
    let joint = if joint == "fillet" { "fillet" } else { "butt" };
    acceptance().rows.iter().filter(move |row| {
        row.standard == standard
            && row.level == level
            && row.above < wall
            && row.to.is_none_or(|to| wall <= to)
            && row.joint.as_ref().is_none_or(|own| own == joint)
    })
}

/// The class of penetrant testing beside a level of a weld.
#[must_use]
pub fn by_dye(standard: &str, level: &str) -> Option<&'static AcceptanceByDye> {
    acceptance_by_dye().rows.iter().find(|row| row.standard == standard && row.level == level)
}

/// The names of all standards that the tables hold, with their levels: `ISO 10042 (B, C, D)`.
#[must_use]
pub fn held() -> Vec<String> {
    let named = |row: &AcceptanceStandard| {
        if row.levels.is_empty() { row.name.clone() } else { format!("{} ({})", row.name, row.levels.join(", ")) }
    };
    acceptance_standard().rows.iter().map(named).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_standard_is_found_by_the_names_people_write() {
        let named = |name: &str| standard_named(name).map(|row| row.name.as_str());
        for name in ["ISO 10042", "iso 10042:2018", "BS EN ISO 10042", "EN ISO-10042", "ISO10042"] {
            assert_eq!(named(name), Some("ISO 10042"), "{name}");
        }
        assert_eq!(named("AWS D1.2/D1.2M"), Some("AWS D1.2"));
        assert_eq!(named("ASME VIII-1 Appendix 8"), Some("ASME VIII-1 App. 8"));
        assert_eq!(named("ISO 10043"), None);
        assert_eq!(named(""), None);
    }

    #[test]
    fn a_level_is_found_by_the_words_people_write() {
        let standard = standard_named("ISO 23277").expect("held");
        for level in ["2X", "2x", "level 2X", "2 x"] {
            assert_eq!(level_named(standard, level), Some("2X"), "{level}");
        }
        assert_eq!(level_named(standard, "4"), None);
        assert_eq!(level_named(standard, ""), None);
    }
}
