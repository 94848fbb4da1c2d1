//! Where the rules in the steps were read: a table of step ids, read from the file beside this module.

use crate::reference::{Basis, Cite, source_by_key};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::LazyLock;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Place {
    source: String,
    locator: String,
    basis: Basis,
    /// Marks of the metals that it was said of; left out: of any.
    #[serde(default)]
    of: Vec<String>,
}

type Places = BTreeMap<String, Vec<Place>>;

fn read() -> Result<Places, toml::de::Error> {
    toml::from_str(include_str!("cited.toml"))
}

/// The mark of aluminium, whose words bear none.
const ALUMINIUM: &str = "aluminium";

/// The sources of a step by its id, those that speak of a metal with these marks; a file that does not read gives none,
/// and a test fails.
pub(super) fn of_step(id: &str, marks: &[&str]) -> Vec<Cite> {
    static PLACES: LazyLock<Places> = LazyLock::new(|| read().unwrap_or_default());
    let places: &'static [Place] = PLACES.get(id).map_or(&[], Vec::as_slice);
    let marks = if marks.is_empty() { &[ALUMINIUM] } else { marks };
    let speaks = |place: &&Place| place.of.is_empty() || place.of.iter().any(|of| marks.contains(&of.as_str()));
    let cite = |place: &'static Place| Cite { source: &place.source, locator: &place.locator, basis: place.basis };
    places.iter().filter(speaks).filter(|place| source_by_key(&place.source).is_some()).map(cite).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::words::english;

    #[test]
    fn every_place_is_of_a_step_and_of_a_source() {
        let places = read();
        assert!(places.is_ok(), "{places:?}");
        let places = places.unwrap_or_default();
        assert!(!places.is_empty());
        let steps: Vec<&str> = english().keys("steps").collect();
        for (id, places) in &places {
            let known = steps.iter().any(|step| step.split('/').next() == Some(id.as_str()));
            assert!(known, "no step {id}");
            for place in places {
                assert!(source_by_key(&place.source).is_some(), "{id}: no source {}", place.source);
            }
        }
    }
}
