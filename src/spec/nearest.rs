//! The nearest known name: "did you mean". It only proposes; whether a proposal may be a fix is said where it is used.

/// The known names that are nearest to what was written, all at the same distance, in the order of `known`.
///
/// Compared without regard to case, at a distance of a third of the written length at most, and at least one, but
/// never so far that no letter would stay. Empty where nothing is that near.
#[must_use]
pub fn nearest<'k>(written: &str, known: impl IntoIterator<Item = &'k str>) -> Vec<&'k str> {
    within(written, known, limit(written))
}

/// Known names near to what was written, for a list that proposes nothing: at most `most`, nearest first.
#[must_use]
pub fn near<'k>(written: &str, known: impl IntoIterator<Item = &'k str>, most: usize) -> Vec<&'k str> {
    let lower = written.to_lowercase();
    let mut scored: Vec<(usize, &str)> = known
        .into_iter()
        .map(|name| (strsim::osa_distance(&lower, &name.to_lowercase()), name))
        .filter(|(distance, _)| *distance <= limit(written))
        .collect();
    scored.sort();
    scored.dedup();
    scored.into_iter().take(most).map(|(_, name)| name).collect()
}

fn limit(written: &str) -> usize {
    let length = written.chars().count();
    (length / 3).max(1).min(length.saturating_sub(1))
}

fn within<'k>(written: &str, known: impl IntoIterator<Item = &'k str>, limit: usize) -> Vec<&'k str> {
    // A name of hundreds of characters is no slip of the hand, and distances cost the square of the length.
    if written.len() > 200 {
        return Vec::new();
    }
    let lower = written.to_lowercase();
    let mut best = Vec::new();
    let mut best_distance = limit;
    for name in known {
        let distance = strsim::osa_distance(&lower, &name.to_lowercase());
        if distance < best_distance {
            best_distance = distance;
            best.clear();
        }
        if distance == best_distance {
            best.push(name);
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::{near, nearest};

    #[test]
    fn one_slip_is_found_and_a_guess_is_not_made() {
        assert_eq!(nearest("consequense", ["name", "consequence", "loading"]), ["consequence"]);
        assert_eq!(nearest("Trail", ["draft", "trial", "withdrawn"]), ["trial"]);
        assert!(nearest("colour", ["name", "loading"]).is_empty());
        assert!(nearest("mm", ["in", "cm"]).contains(&"cm"));
        assert!(nearest(&"x".repeat(1000), ["x"]).is_empty());
    }

    #[test]
    fn ties_are_all_listed() {
        assert_eq!(nearest("dipth", ["width", "depth"]), ["depth"]);
        assert_eq!(nearest("pass", ["past", "mass"]), ["past", "mass"]);
        assert!(nearest("a", ["b", "c"]).is_empty());
    }

    #[test]
    fn near_names_come_nearest_first() {
        assert_eq!(near("A365.0", ["356.0", "A356.0", "6061", "A357.0"], 3), ["A356.0", "356.0", "A357.0"]);
    }
}
