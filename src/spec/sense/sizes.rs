//! Which sizes a kind of damage needs before its opening and its deposit can be worked out: a table of the language.

use crate::findings::{Code, Finding};
use crate::spec::read::Unread;
use crate::spec::shape::and_list;
use crate::spec::types::{Damage, DamageKind, Spec};
use crate::units::Quantity;

/// A size of the damage, or of the metal that it lies in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs, reason = "the names are the keys")]
pub enum Size {
    Length,
    Through,
    Depth,
    Width,
    Diameter,
    Height,
    Area,
    Thread,
    /// Thickness of the metal at the repair.
    Thickness,
}

impl Size {
    /// The path of its key in a spec.
    #[must_use]
    pub fn path(self) -> &'static str {
        match self {
            Size::Length => "damage.length",
            Size::Through => "damage.through",
            Size::Depth => "damage.depth",
            Size::Width => "damage.width",
            Size::Diameter => "damage.diameter",
            Size::Height => "damage.height",
            Size::Area => "damage.area",
            Size::Thread => "damage.thread",
            Size::Thickness => "metal.thickness",
        }
    }

    /// Its key, with the table where that is not `[damage]`.
    fn key(self) -> String {
        match self {
            Size::Thickness => "`thickness` of [metal]".to_owned(),
            _ => format!("`{}`", self.path().trim_start_matches("damage.")),
        }
    }

    fn stated(self, spec: &Spec) -> bool {
        let damage = &spec.damage;
        match self {
            Size::Length => damage.length.is_some(),
            Size::Through => damage.through.is_some(),
            Size::Depth => damage.depth.is_some(),
            Size::Width => damage.width.is_some(),
            Size::Diameter => damage.diameter.is_some(),
            Size::Height => damage.height.is_some(),
            Size::Area => damage.area.is_some(),
            Size::Thread => damage.thread.is_some(),
            Size::Thickness => spec.metal.thickness.is_some(),
        }
    }
}

/// Ways of giving one measure of the damage, any of which will do; each is a set of sizes.
pub type OneOf = &'static [&'static [Size]];

/// The sizes that a kind of damage needs.
#[must_use]
pub fn needed(kind: DamageKind) -> &'static [OneOf] {
    use Size::{Area, Depth, Diameter, Height, Length, Thickness, Thread, Through, Width};
    const SURFACE: OneOf = &[&[Area], &[Length, Width], &[Diameter, Width], &[Diameter, Length]];
    const SPOT: OneOf = &[&[Diameter], &[Area], &[Length, Width]];
    match kind {
        DamageKind::Crack => &[&[&[Length]], &[&[Through]]],
        DamageKind::MissingPiece => &[&[&[Length]], &[&[Width], &[Height]]],
        DamageKind::WornSurface => &[SURFACE, &[&[Height]]],
        DamageKind::Hole => &[&[&[Diameter], &[Length, Width]]],
        DamageKind::Porosity => &[SPOT, &[&[Depth]]],
        DamageKind::BrokenLug => &[&[&[Length], &[Width]], &[&[Thickness]]],
        DamageKind::StrippedThread => &[&[&[Thread], &[Diameter]], &[&[Depth]]],
        DamageKind::FailedWeld => &[&[&[Length]]],
        DamageKind::CorrosionPitting => &[&[&[Area], &[Length, Width]], &[&[Depth]]],
    }
}

pub(super) fn check(spec: &Spec, unread: &Unread, found: &mut Vec<Finding>) {
    let Some(kind) = &spec.damage.kind else { return };
    // What stands there but could not be read has its own finding.
    let known = |size: &Size| size.stated(spec) || unread.has(size.path());
    let missing: Vec<String> = needed(kind.value)
        .iter()
        .filter(|one_of| !one_of.iter().any(|sizes| sizes.iter().all(known)))
        .map(|one_of| in_words(one_of))
        .collect();
    if !missing.is_empty() {
        let choice = missing.iter().any(|way| way.contains(" or "));
        let missing = if choice { missing.join("; ") } else { and_list(&missing) };
        found.push(
            Finding::new(Code::DamageNeeds, format!("this {} is not measured", kind.word()))
                .at(kind.span)
                .label(format!("needs {missing}"))
                .help("measure it and add the keys to [damage]; until then the sheet leaves blanks"),
        );
    }
    deeper_than_metal(spec, kind.value, &spec.damage, found);
}

/// `` `area`, or `length` and `width` ``.
fn in_words(one_of: &[&[Size]]) -> String {
    let ways: Vec<String> =
        one_of.iter().map(|sizes| sizes.iter().map(|size| size.key()).collect::<Vec<_>>().join(" and ")).collect();
    ways.join(", or ")
}

/// A crack, a pit or a failed weld cannot be deeper than the metal that it lies in.
fn deeper_than_metal(spec: &Spec, kind: DamageKind, damage: &Damage, found: &mut Vec<Finding>) {
    let lies_in_the_wall = matches!(kind, DamageKind::Crack | DamageKind::FailedWeld | DamageKind::CorrosionPitting);
    let (true, Some(depth), Some(thickness)) = (lies_in_the_wall, &damage.depth, &spec.metal.thickness) else { return };
    // Half a percent is the rounding between two systems of units.
    if depth.value().si() > thickness.value().si() * 1.005 {
        found.push(
            Finding::new(Code::DamageSize, format!("this {} is deeper than the metal is thick", kind.word()))
                .at(depth.span)
                .label(format!("{} deep", depth.text))
                .related(thickness.span, format!("in {}", thickness.text))
                .help("check both; through = true says that it goes through the wall"),
        );
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "a test fails by panicking")]
mod tests {
    use super::{in_words, needed};
    use crate::spec::types::DamageKind;

    #[test]
    fn every_kind_of_damage_needs_a_size() {
        for kind in DamageKind::ALL {
            assert!(!needed(*kind).is_empty(), "{kind:?}");
        }
    }

    #[test]
    fn needs_read_as_a_person_says_them() {
        let needs = needed(DamageKind::CorrosionPitting);
        assert_eq!(in_words(needs[0]), "`area`, or `length` and `width`");
        assert_eq!(in_words(needed(DamageKind::BrokenLug)[1]), "`thickness` of [metal]");
    }
}
