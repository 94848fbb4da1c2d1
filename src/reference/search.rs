//! Looking things up in the tables. Each look-up also tells which row it used.

use super::{
    Alloy, AsWelded, Cite, Class, Composition, ConstantRow, Filler, FillerBehaviour, FillerChoice, Haz, Physical,
    Postweld, Row, Strength, alloy, as_welded, filler, filler_behaviour, haz, postweld,
};
use std::{collections::BTreeMap, sync::LazyLock};

/// How many near names are offered.
const NEAR_NAMES: usize = 4;

/// The longest spelling, in characters, that is compared with the names in the tables.
const LONGEST_NAME: usize = 40;

/// The longest chain of stand-ins that is followed.
const STAND_INS: usize = 4;

/// A value together with where it came from.
#[derive(Debug, Clone, PartialEq)]
pub struct Found<T> {
    /// The value, in the unit of the table it stands in.
    pub value: T,
    /// Source, locator and basis of the row.
    pub cite: Cite,
    /// The row it came from: `A356.0-T6`, or `356.0, standing in for EN AC-42000`.
    pub from: String,
    /// Temperature that it holds for, °C, where the row says so.
    pub at: Option<f64>,
}

/// A spelling reduced to what tells names apart: small letters, digits and points; no `.0` at the end.
fn bare(name: &str) -> String {
    let kept: String = name
        .chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '-' | '_' | '(' | ')' | '\u{2010}'..='\u{2014}'))
        .flat_map(char::to_lowercase)
        .map(|c| if c == ',' { '.' } else { c })
        .collect();
    kept.strip_suffix(".0").map_or(kept.clone(), str::to_owned)
}

/// Rows by each of their reduced spellings; a spelling that stands for two rows finds none.
type Index<T> = BTreeMap<String, Option<&'static T>>;

/// Makes the index of a table from the name and the other spellings of each row.
fn index<T>(rows: &'static [T], spellings: impl Fn(&'static T) -> (&'static String, &'static [String])) -> Index<T> {
    let mut index: Index<T> = BTreeMap::new();
    for row in rows {
        let (name, also) = spellings(row);
        for spelling in std::iter::once(name).chain(also) {
            let found = index.entry(bare(spelling)).or_insert(Some(row));
            if found.is_some_and(|other| !std::ptr::eq(other, row)) {
                *found = None;
            }
        }
    }
    index
}

/// The base metal of this name, or of this spelling in `also`.
///
/// Capitals, spaces, hyphens and a missing `.0` do not matter: `a356` finds A356.0. Nothing is guessed: a name that
/// fits no alloy, or more than one, finds none.
#[must_use]
pub fn alloy_named(name: &str) -> Option<&'static Alloy> {
    static INDEX: LazyLock<Index<Alloy>> = LazyLock::new(|| index(&alloy().rows, |row| (&row.name, &row.also)));
    INDEX.get(&bare(name)).copied().flatten()
}

/// Up to four names of base metals that are spelt much like this one, the nearest first.
///
/// To be shown, never to be put in its place: one letter apart may be a metal that must not be welded.
#[must_use]
pub fn alloy_names_near(name: &str) -> Vec<&'static str> {
    let name = bare(name);
    let length = name.chars().count();
    if length == 0 || length > LONGEST_NAME {
        return Vec::new();
    }
    let furthest = (length / 3).max(2);
    let mut near: Vec<(usize, &'static str)> = alloy()
        .rows
        .iter()
        .filter_map(|row| {
            let spellings = std::iter::once(&row.name).chain(&row.also);
            let distance = spellings.map(|other| strsim::damerau_levenshtein(&bare(other), &name)).min()?;
            (distance <= furthest).then_some((distance, row.name.as_str()))
        })
        .collect();
    near.sort_by_key(|(distance, _)| *distance);
    near.into_iter().map(|(_, name)| name).take(NEAR_NAMES).collect()
}

/// The base metals of a family: `cast aluminium`, `carbon steel`, `grey iron`. None for an unknown family.
///
/// A family of steel that is called as its whole class takes in all of the class: who knows no more than that a steel is
/// a carbon steel does not know that it is not one that hardens.
#[must_use]
pub fn family_members(family: &str) -> Vec<&'static Alloy> {
    let wanted = bare(family);
    let of_class = |row: &Alloy| row.class.is_steel() && bare(row.class.word()) == wanted;
    let members = alloy().rows.iter().filter(|row| bare(&row.family) == wanted || of_class(row));
    members.collect()
}

/// A temper without the marks of stress relief: T651 is T6, T3511 is T3; T51, T5 and H116 stay as they are.
fn plain_temper(temper: &str) -> String {
    let temper = bare(temper);
    ["510", "511", "51", "52"]
        .iter()
        .filter_map(|mark| temper.strip_suffix(mark))
        .find(|rest| rest.starts_with('t') && rest.len() > 1)
        .map_or(temper.clone(), str::to_owned)
}

/// Do two tempers mean the same strength.
fn same_temper(a: &str, b: &str) -> bool {
    bare(a) == bare(b) || plain_temper(a) == plain_temper(b)
}

/// A temper that belongs to another copy or another way of casting, written in brackets.
fn is_aside(temper: &str) -> bool {
    temper.contains('(')
}

/// The row of a property that an alloy has of its own, and what to call it.
fn own_physical(
    all: &'static [Physical],
    name: &str,
    temper: Option<&str>,
    property: &str,
) -> Option<(&'static Physical, String)> {
    let rows = || all.iter().filter(|row| row.alloy == name && row.property == property);
    let of_temper = temper.and_then(|asked| {
        let row = rows().find(|row| row.temper.as_deref().is_some_and(|own| same_temper(own, asked)))?;
        Some((row, format!("{name}-{}", row.temper.as_deref().unwrap_or_default())))
    });
    let of_all = || Some((rows().find(|row| row.temper.is_none())?, name.to_owned()));
    let of_another = || {
        let row = rows().find(|row| row.temper.as_deref().is_some_and(|own| !is_aside(own)))?;
        let from = format!("{name}-{}", row.temper.as_deref().unwrap_or_default());
        Some((row, temper.map_or(from.clone(), |asked| format!("{from}, taken for temper {asked}"))))
    };
    of_temper.or_else(of_all).or_else(of_another)
}

/// A physical value of a base metal: `solidus`, `liquidus` (°C), `density` (g/cm3), `conductivity` (W/mK),
/// `specific heat` (J/kgK); of metals other than aluminium also `latent heat` (kJ/kg) and `expansion` (µm/mK).
///
/// First comes the alloy's own row of this temper, then its own row without a temper, then its own row of another
/// temper, then in the same order the rows of the alloy that stands in for it. `from` says which it was. A temper with
/// the marks of stress relief counts as the plain one: T651 as T6.
#[must_use]
pub fn physical_value(alloy: &Alloy, temper: Option<&str>, property: &str) -> Option<Found<f64>> {
    let mut name = alloy.name.as_str();
    for _ in 0..=STAND_INS {
        if let Some((row, from)) = own_physical(Physical::part(alloy.class.part()), name, temper, property) {
            let stands_in =
                if name == alloy.name { String::new() } else { format!(", standing in for {}", alloy.name) };
            return Some(Found { value: row.value, cite: row.cite(), from: from + &stands_in, at: row.at });
        }
        name = alloy_named(name)?.like.as_deref()?;
    }
    None
}

/// The composition limits of the base metal of this name, percent by mass.
#[must_use]
pub fn composition_of(alloy: &str) -> Option<&'static Composition> {
    let base = alloy_named(alloy)?;
    Composition::part(base.class.part()).iter().find(|row| row.alloy == base.name)
}

/// The content of an element to reckon with, percent by mass: the middle of its limits; 0 where it has none.
///
/// Where only a maximum is printed, the lower limit is 0 and this takes half the maximum: such an element is an
/// impurity, which a melt holds seldom at its limit and never at nothing, so that either end would mislead.
#[must_use]
pub fn content(limits: &BTreeMap<String, [f64; 2]>, element: &str) -> f64 {
    limits.get(&element.to_lowercase()).map_or(0.0, |[low, high]| f64::midpoint(*low, *high))
}

/// The filler metal of this name or of a spelling in `also`, as tolerant as [`alloy_named`]: `4043`, `er 4043`.
#[must_use]
pub fn filler_named(name: &str) -> Option<&'static Filler> {
    static INDEX: LazyLock<Index<Filler>> = LazyLock::new(|| index(&filler().rows, |row| (&row.name, &row.also)));
    INDEX.get(&bare(name)).copied().flatten()
}

/// How the filler metal of this name behaves in the weld.
#[must_use]
pub fn behaviour_of(filler: &str) -> Option<&'static FillerBehaviour> {
    let name = &filler_named(filler)?.name;
    filler_behaviour().rows.iter().find(|row| row.filler == *name)
}

/// The rows that recommend filler metals for this pair of base metals, in the order of the table, whichever side each
/// stands on. Empty where an alloy is unknown or no source names a sound filler.
#[must_use]
pub fn choices_for(a: &str, b: &str) -> Vec<&'static FillerChoice> {
    let (Some(a), Some(b)) = (alloy_named(a), alloy_named(b)) else { return Vec::new() };
    let holds = |row: &FillerChoice, one: &str, other: &str| {
        let others = if row.b.is_empty() { &row.a } else { &row.b };
        row.a.iter().any(|name| name == one)
            && others.iter().any(|name| name == other)
            && (!row.b.is_empty() || one == other)
    };
    // Two aluminium alloys are found in their own file alone; pairs with another metal stand in the others.
    let files = if [a, b].iter().all(|base| base.class == Class::Aluminium) { 0..1 } else { 1..3 };
    files
        .flat_map(FillerChoice::part)
        .filter(|row| holds(row, &a.name, &b.name) || holds(row, &b.name, &a.name))
        .collect()
}

/// The strength of a base metal in this temper, MPa; stress-relieved tempers count as the plain ones.
#[must_use]
pub fn strength_of(alloy: &str, temper: &str) -> Option<&'static Strength> {
    let base = alloy_named(alloy)?;
    Strength::part(base.class.part()).iter().find(|row| row.alloy == base.name && same_temper(&row.temper, temper))
}

/// The strength beside the weld, MPa, for a base metal in this temper and form at this thickness in mm.
///
/// Forms are those of the spec: `sheet` and `plate` share their rows, `tube` takes those of drawn tube. A range of
/// thickness holds above its low end, up to and with its high end.
#[must_use]
pub fn haz_of(alloy: &str, temper: &str, form: &str, thickness: f64) -> Option<&'static Haz> {
    let name = &alloy_named(alloy)?.name;
    let form = match form {
        "sheet" | "plate" => "sheet and plate",
        "tube" => "drawn tube",
        other => other,
    };
    haz().rows.iter().find(|row| {
        let [low, high] = row.thickness;
        row.alloy == *name
            && row.form == form
            && row.temper.iter().any(|own| same_temper(own, temper))
            && thickness > low
            && thickness <= high
    })
}

/// The least tensile strength of a welded joint of this base metal in a procedure test.
#[must_use]
pub fn as_welded_of(alloy: &str) -> Option<&'static AsWelded> {
    let name = &alloy_named(alloy)?.name;
    as_welded().rows.iter().find(|row| row.alloy == *name)
}

/// The heat treatment that brings back the temper of this base metal after welding.
#[must_use]
pub fn postweld_of(alloy: &str) -> Option<&'static Postweld> {
    let name = &alloy_named(alloy)?.name;
    postweld().rows.iter().find(|row| row.alloys.contains(name))
}

/// Do two tempers mean the same strength: T651 and T6 do.
#[must_use]
pub fn tempers_agree(a: &str, b: &str) -> bool {
    same_temper(a, b)
}

/// The single number that formulas ask for by this key.
#[must_use]
pub fn constant(key: &str) -> Option<&'static ConstantRow> {
    super::constant().rows.iter().find(|row| row.key == key)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::panic)]
mod tests {
    use super::*;
    use crate::reference::Basis;

    fn name_of(spelling: &str) -> Option<&'static str> {
        alloy_named(spelling).map(|row| row.name.as_str())
    }

    fn value(alloy: &str, temper: Option<&str>, property: &str) -> Found<f64> {
        physical_value(alloy_named(alloy).unwrap(), temper, property).unwrap()
    }

    #[test]
    fn names_are_found_however_they_are_spelt() {
        for (spelling, name) in [
            ("A356.0", "A356.0"),
            ("a356", "A356.0"),
            ("A 356", "A356.0"),
            ("356", "356.0"),
            ("6061", "6061"),
            ("EN AW-6082", "6082"),
            ("en ac 42100", "EN AC-42100"),
            ("AlSi7Mg0,3", "EN AC-42100"),
            ("LM25", "EN AC-42000"),
            ("AlMg4.5Mn0.7", "5083"),
            ("s355", "S355J2"),
            ("1.4301", "304"),
            ("X5CrNi18-10", "304"),
            ("EN-GJL-250", "grey iron"),
            ("42crmo4", "4140"),
            ("CW024A", "C12200"),
            ("Ti Grade 5", "Ti-6Al-4V"),
            ("2.4856", "alloy 625"),
        ] {
            assert_eq!(name_of(spelling), Some(name), "{spelling}");
        }
    }

    #[test]
    fn nothing_is_guessed() {
        for spelling in ["", " ", ".0", "A365.0", "6061-T6", "AlSi12", "AlSi10Mg", "4043", "steel"] {
            assert_eq!(name_of(spelling), None, "{spelling}");
        }
    }

    #[test]
    fn no_spelling_stands_for_two() {
        for row in &alloy().rows {
            for spelling in std::iter::once(&row.name).chain(&row.also) {
                assert_eq!(name_of(spelling), Some(row.name.as_str()), "{spelling}");
            }
        }
        for row in &filler().rows {
            for spelling in std::iter::once(&row.name).chain(&row.also) {
                assert_eq!(filler_named(spelling).map(|found| &found.name), Some(&row.name), "{spelling}");
            }
        }
    }

    #[test]
    fn near_names_are_few_and_near() {
        let near = alloy_names_near("A365.0");
        assert_eq!(near.first(), Some(&"A356.0"));
        assert!(near.len() <= NEAR_NAMES);
        assert!(alloy_names_near("6016").contains(&"6061"));
        assert!(alloy_names_near("mild steel plate").is_empty());
        assert!(alloy_names_near("").is_empty());
        assert!(alloy_names_near(&"9".repeat(100_000)).is_empty());
    }

    #[test]
    fn families_divide_the_alloys() {
        let cast = family_members("cast aluminium");
        let wrought = family_members("Wrought Aluminium");
        let aluminium = alloy().rows.iter().filter(|row| row.class == Class::Aluminium).count();
        assert_eq!(cast.len() + wrought.len(), aluminium);
        assert!(cast.iter().any(|row| row.name == "380.0") && wrought.iter().any(|row| row.name == "5083"));
        assert!(family_members("aluminium bronze").iter().all(|row| row.class == Class::Copper));
        assert!(family_members("steel").is_empty());
        for row in &alloy().rows {
            assert!(family_members(&row.family).iter().all(|other| other.class.is_ferrous() == row.class.is_ferrous()));
        }
    }

    #[test]
    fn own_rows_come_before_those_of_a_stand_in() {
        // Stockholder's copy: 96 Btu/(h ft °F) for 6061-T6, 89 for T4; 1 Btu/(h ft °F) is 1.731 W/mK.
        let found = value("6061", Some("T6"), "conductivity");
        assert!((found.value - 96.0 * 1.731).abs() < 0.5);
        assert_eq!((found.from.as_str(), found.cite.basis), ("6061-T6", Basis::Published));
        assert!((value("6061", Some("T4"), "conductivity").value - 89.0 * 1.731).abs() < 0.5);
        assert_eq!(value("6061", Some("T651"), "conductivity").from, "6061-T6");
        assert_eq!(value("6061", Some("O"), "conductivity").from, "6061-T6, taken for temper O");
        assert_eq!(value("6061", None, "conductivity").from, "6061-T6");
        assert_eq!(value("6061", Some("T6"), "solidus").from, "6061");
    }

    #[test]
    fn a_stand_in_is_named() {
        let found = value("EN AC-42100", Some("T6"), "conductivity");
        assert_eq!(found.from, "A356.0-T6, standing in for EN AC-42100");
        // By way of 355.0 and C355.0 to 356.0, which has the figure.
        let found = value("EN AC-45300", None, "specific heat");
        assert_eq!(found.from, "356.0, standing in for EN AC-45300");
        assert!(physical_value(alloy_named("6061").unwrap(), None, "colour").is_none());
    }

    #[test]
    fn content_is_the_middle_of_the_limits() {
        // Nominal compositions that published dilution examples reckon with.
        for (alloy, element, nominal) in
            [("6061", "si", 0.6), ("6061", "Mg", 1.0), ("A356", "si", 7.0), ("5083", "mg", 4.45), ("5083", "si", 0.2)]
        {
            let limits = &composition_of(alloy).unwrap().limits;
            assert!((content(limits, element) - nominal).abs() < 1e-9, "{alloy} {element}");
        }
        for (name, element, nominal) in [("4043", "si", 5.25), ("5356", "mg", 5.0)] {
            let limits = &filler_named(name).unwrap().limits;
            assert!((content(limits, element) - nominal).abs() < 1e-9, "{name} {element}");
        }
        assert!(content(&BTreeMap::new(), "si").abs() < f64::EPSILON);
    }

    #[test]
    fn three_fillers_with_like_numbers_are_three() {
        let names: Vec<&str> =
            ["4043", "S Al 4043A", "er 4943"].iter().map(|name| filler_named(name).unwrap().name.as_str()).collect();
        assert_eq!(names, ["ER4043", "4043A", "ER4943"]);
        assert_eq!(filler_named("ER4010").unwrap().name, "R-A356.0");
        assert_eq!(behaviour_of("4943").unwrap().heat_treatment, "yes");
        assert!(!behaviour_of("5356").unwrap().warm_service && behaviour_of("5554").unwrap().warm_service);
    }

    #[test]
    fn a_class_has_its_own_rows() {
        for class in Class::ALL {
            assert!(alloy().rows.iter().any(|row| row.class == class), "{}", class.word());
            assert_eq!(class.part() == 1, class.is_ferrous());
            assert!(class.is_ferrous() || !class.is_steel());
        }
        let names = |a, b| choices_for(a, b).iter().flat_map(|row| &row.fillers).cloned().collect::<Vec<_>>();
        assert_eq!(names("S355J2", "S355J2").first().map(String::as_str), Some("ER70S-2"));
        assert!(names("S235JR", "304").contains(&"ER309L".to_owned()));
        // A pair without a rod has a row that says so.
        assert!(names("S235JR", "6061").is_empty() && !choices_for("S235JR", "6061").is_empty());
        assert!(names("AZ91C", "A356.0").is_empty() && !choices_for("A356.0", "AZ91C").is_empty());
        let latent = value("304", None, "latent heat");
        assert!((latent.value - 285.0).abs() < 1.0);
    }

    #[test]
    fn choices_do_not_depend_on_the_side() {
        for one in &alloy().rows {
            for other in &alloy().rows {
                let ways = [choices_for(&one.name, &other.name), choices_for(&other.name, &one.name)];
                let keys = ways.map(|rows| rows.iter().map(|row| row.key()).collect::<Vec<_>>());
                assert_eq!(keys[0], keys[1], "{} {}", one.name, other.name);
            }
        }
    }

    #[test]
    fn a_row_without_a_second_side_holds_for_the_same_alloy_alone() {
        let rows = choices_for("6082", "6082");
        assert!(rows.iter().any(|row| row.b.is_empty() && row.need == "strength"));
        assert!(choices_for("6082", "6061").iter().all(|row| !row.b.is_empty()));
    }

    #[test]
    fn strength_and_soft_zone_by_temper_form_and_thickness() {
        // EN 1999-1-1 Table 3.2b: 6061-T6 extrusion to 20 mm, 240/260 MPa, beside the weld 115/175 MPa.
        let row = haz_of("6061", "T6", "extrusion", 20.0).unwrap();
        assert_eq!([row.proof, row.tensile, row.haz_proof, row.haz_tensile], [240.0, 260.0, 115.0, 175.0]);
        assert!(haz_of("6061", "T6", "extrusion", 20.1).is_none());
        assert_eq!(haz_of("6082", "T651", "plate", 6.0).map(|row| row.thickness), Some([0.0, 6.0]));
        assert_eq!(haz_of("6082", "T6", "plate", 6.1).map(|row| row.thickness), Some([6.0, 12.5]));
        assert!(haz_of("A356", "T6", "sand casting", 8.0).is_none());
        // The foundry page prints 41 and 30 ksi; 1 ksi is 6.895 MPa.
        let row = strength_of("A356", "T6").unwrap();
        assert!((row.tensile - 41.0 * 6.895).abs() < 1.0 && (row.proof - 30.0 * 6.895).abs() < 1.0);
        assert_eq!(strength_of("6061", "T651").map(|row| row.temper.as_str()), Some("T6"));
        assert!(strength_of("6061", "T5").is_none());
    }

    #[test]
    fn stress_relief_does_not_change_the_temper() {
        for (temper, plain) in
            [("T651", "t6"), ("T6511", "t6"), ("T351", "t3"), ("T7351", "t73"), ("T51", "t51"), ("H116", "h116")]
        {
            assert_eq!(plain_temper(temper), plain);
        }
    }
}
