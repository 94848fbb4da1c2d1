//! The plan of the card: what is chosen for it, and the sizes of the page, of its rows and of the letters, read from the
//! file beside this module.

use serde::Deserialize;
use std::collections::{BTreeMap, HashMap};
use std::sync::LazyLock;

/// Limits on number.
#[derive(Debug, Clone, Copy, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Most {
    /// Settings on a card.
    pub settings: usize,
    /// Ticks to a pause point.
    pub ticks: usize,
}

/// What stays when room runs short.
#[derive(Debug, Clone, Copy, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Least {
    pub(super) settings: usize,
    pub(super) ticks: usize,
    pub(super) settings_at_all: usize,
}

/// The choice of settings, by the keys of figures.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Settings {
    pub(super) heading: String,
    pub(super) order: Vec<String>,
}

/// The choice of ticks of a pause point, by the ids of steps.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Ticks {
    pub(super) key: String,
    /// Sections whose own steps may stand here.
    pub(super) own: Vec<String>,
    pub(super) steps: Vec<String>,
}

/// Sizes of type, points.
#[derive(Debug, Clone, Copy, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Points {
    /// Working size.
    pub work: f64,
    /// A value to set.
    pub set: f64,
    /// A value to carry in the head.
    pub key: f64,
}

/// Widths of letters, thousandths of the size of type, as the file has them: by width.
type Letters = BTreeMap<String, String>;

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct Faces {
    plain: Letters,
    bold: Letters,
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    most: Most,
    least: Least,
    settings: Settings,
    ticks: Vec<Ticks>,
    size: BTreeMap<String, f64>,
    point: Points,
    r#type: Faces,
}

/// The plan of the card.
#[derive(Debug, Default)]
pub struct Plan {
    /// Limits on number.
    pub most: Most,
    pub(super) least: Least,
    pub(super) settings: Settings,
    pub(super) ticks: Vec<Ticks>,
    /// Sizes by name, mm: the styles take them from here.
    pub size: BTreeMap<String, f64>,
    /// Sizes of type, points.
    pub point: Points,
    plain: HashMap<char, f64>,
    bold: HashMap<char, f64>,
}

fn read() -> Result<Plan, toml::de::Error> {
    let file: File = toml::from_str(include_str!("card.toml"))?;
    Ok(Plan {
        most: file.most,
        least: file.least,
        settings: file.settings,
        ticks: file.ticks,
        size: file.size,
        point: file.point,
        plain: letters(&file.r#type.plain),
        bold: letters(&file.r#type.bold),
    })
}

/// Widths by letter.
fn letters(by_width: &Letters) -> HashMap<char, f64> {
    let each = by_width.iter().filter_map(|(width, letters)| Some((width.parse::<f64>().ok()?, letters)));
    each.flat_map(|(width, letters)| letters.chars().map(move |letter| (letter, width / 1000.0))).collect()
}

/// The plan; a file that does not read gives an empty one, on which nothing fits, and a test fails.
#[must_use]
pub fn plan() -> &'static Plan {
    static PLAN: LazyLock<Plan> = LazyLock::new(|| read().unwrap_or_default());
    &PLAN
}

/// How a text is set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Type {
    /// Size, points.
    pub points: f64,
    /// Bold.
    pub bold: bool,
}

/// Millimetres in a point.
const MM_IN_POINT: f64 = 25.4 / 72.0;

impl Plan {
    /// A size by its name, mm; a name that is not in the file is as wide as any page, and a test fails.
    #[must_use]
    pub fn mm(&self, name: &str) -> f64 {
        self.size.get(name).copied().unwrap_or(1000.0)
    }

    /// Width of the page between its margins on the narrower paper, mm.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.mm("paper_width") - 2.0 * self.mm("margin_side")
    }

    /// Height of the page between its margins on the shorter paper, mm.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.mm("paper_height") - 2.0 * self.mm("margin_end")
    }

    /// The working type, plain or bold.
    #[must_use]
    pub fn work(&self, bold: bool) -> Type {
        Type { points: self.point.work, bold }
    }

    /// Width of a text on one line, mm.
    #[must_use]
    pub fn text_width(&self, text: &str, set: Type) -> f64 {
        let letters = if set.bold { &self.bold } else { &self.plain };
        let ems: f64 = text.chars().map(|letter| letters.get(&letter).copied().unwrap_or(1.0)).sum();
        ems * set.points * MM_IN_POINT
    }

    /// Whether a text stands on one line of this width, mm.
    #[must_use]
    pub fn fits(&self, text: &str, set: Type, width: f64) -> bool {
        self.text_width(text, set) <= width
    }

    /// Lines that a text takes at this width, mm.
    #[must_use]
    pub fn lines(&self, text: &str, set: Type, width: f64) -> usize {
        self.lines_of(&[(text, set)], width)
    }

    /// Lines that a text takes which is set in pieces. Lines are broken at spaces, and inside a word that is longer than
    /// a line. A browser breaks after a hyphen too, which takes no more lines.
    #[must_use]
    pub fn lines_of(&self, pieces: &[(&str, Type)], width: f64) -> usize {
        let (mut lines, mut used) = (0, 0.0);
        let words = pieces.iter().flat_map(|(text, set)| text.split_whitespace().map(move |word| (word, *set)));
        for (word, set) in words {
            let (space, long) = (self.text_width(" ", set), self.text_width(word, set));
            if lines > 0 && used + space + long <= width {
                used += space + long;
                continue;
            }
            lines += 1;
            used = long;
            if long > width {
                let (more, rest) = self.broken(word, set, width);
                lines += more;
                used = rest;
            }
        }
        lines
    }

    /// Further lines that a word takes which is longer than a line, and the width of its last piece.
    fn broken(&self, word: &str, set: Type, width: f64) -> (usize, f64) {
        let (mut more, mut used) = (0, 0.0);
        for letter in word.chars() {
            let wide = self.text_width(letter.encode_utf8(&mut [0; 4]), set);
            if used > 0.0 && used + wide > width {
                more += 1;
                used = 0.0;
            }
            used += wide;
        }
        (more, used)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::FigureName;
    use crate::sheet::words::english;

    #[test]
    fn the_plan_reads_and_names_what_there_is() {
        let plan = read();
        assert!(plan.is_ok(), "{plan:?}");
        let plan = plan.unwrap_or_default();
        assert!(plan.most.settings == 7 && plan.most.ticks == 4);
        for key in plan.settings.order.iter().chain([&plan.settings.heading]) {
            assert!(FigureName::from_key(key).is_some(), "no figure {key}");
        }
        let words = english();
        let steps: Vec<&str> = words.keys("steps").map(|key| key.split('/').next().unwrap_or(key)).collect();
        let mut short: Vec<&str> =
            words.keys("card").filter_map(|key| key.strip_prefix("ticks/")?.split(['/', '@']).next()).collect();
        for id in plan.ticks.iter().flat_map(|group| &group.steps) {
            assert!(steps.contains(&id.as_str()), "no step {id}");
            assert!(words.get("card", &format!("ticks/{id}")).is_some(), "card.toml: no short words for {id}");
            short.retain(|known| known != id);
        }
        assert!(short.is_empty(), "card.toml: nobody asks for {short:?}");
        for group in &plan.ticks {
            assert!(words.get("card", &format!("group/{}", group.key)).is_some(), "{}", group.key);
        }
    }

    #[test]
    fn letters_are_as_wide_as_in_the_published_metrics_of_the_face() {
        // The widths that are printed for Helvetica, whose metrics the face shares: space 278, A 667, i 222, W 944 (plain).
        let plan = plan();
        let set = Type { points: 1000.0 / MM_IN_POINT, bold: false };
        for (letter, width) in [(" ", 278.0), ("A", 667.0), ("i", 222.0), ("W", 944.0), ("0", 556.0)] {
            let found = plan.text_width(letter, set);
            assert!((found - width).abs() <= 1.0, "{letter}: {found}");
        }
        let bold = Type { bold: true, ..set };
        for (letter, width) in [("A", 722.0), ("i", 278.0), ("W", 944.0), ("0", 556.0)] {
            assert!((plan.text_width(letter, bold) - width).abs() <= 1.0, "{letter}");
        }
    }

    #[test]
    fn lines_are_counted_as_they_are_broken() {
        let plan = plan();
        let set = plan.work(false);
        let width = plan.text_width("aaaa aaaa", set);
        assert_eq!(plan.lines("", set, width), 0);
        assert_eq!(plan.lines("aaaa aaaa", set, width), 1);
        assert_eq!(plan.lines("aaaa aaaa a", set, width), 2);
        assert_eq!(plan.lines("a aaaaaaaaaaaaaaaaaaaaaa a", set, width), 4);
        assert_eq!(plan.lines("\u{6d77}", set, 1.0), 1);
    }
}
