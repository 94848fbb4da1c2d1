//! Looking up what heat and shielding a metal other than aluminium asks. No formula: rows by metal and thickness.

use super::{
    Alloy, FerriteTypical, FillerStrength, HeatWindow, PreheatRow, Shielding, Treatment, ferrite_typical,
    filler_strength, heat_window, preheat_row, shielding, treatment,
};
use crate::reference::search::filler_named;

/// Does a range of thickness, mm, hold: above its low end and up to its high end; from 0 on where it begins at 0.
fn holds(range: Option<[f64; 2]>, thickness: f64) -> bool {
    range.is_none_or(|[low, high]| thickness > low && thickness <= high)
}

/// Does a list of names mean this alloy: an empty list means all.
fn names(list: &[String], alloy: &Alloy) -> bool {
    list.is_empty() || list.contains(&alloy.name)
}

/// All preheat rows of this base metal at this wall thickness, mm, the leading one first: the others are witnesses and
/// other methods, which their `condition` tells.
#[must_use]
pub fn preheat_rows_for(alloy: &Alloy, thickness: f64) -> Vec<&'static PreheatRow> {
    let fits = |row: &&PreheatRow| {
        row.group == alloy.heat_group && names(&row.alloys, alloy) && holds(row.thickness, thickness)
    };
    let mut rows: Vec<&'static PreheatRow> = preheat_row().rows.iter().filter(fits).collect();
    rows.sort_by_key(|row| !row.leads);
    rows
}

/// What heat does this base metal want after welding, in the order of the table.
#[must_use]
pub fn treatments_of(alloy: &Alloy) -> Vec<&'static Treatment> {
    treatment().rows.iter().filter(|row| row.alloys.contains(&alloy.name)).collect()
}

/// Ways to shield this base metal, usual way first. Rows that name the metal go before those of its class, and then the
/// class has none.
#[must_use]
pub fn shieldings_of(alloy: &Alloy) -> Vec<&'static Shielding> {
    let rows = || shielding().rows.iter().filter(|row| row.class == alloy.class);
    let own: Vec<&'static Shielding> = rows().filter(|row| row.alloys.contains(&alloy.name)).collect();
    if own.is_empty() { rows().filter(|row| row.alloys.is_empty()).collect() } else { own }
}

/// The window of heat input of this base metal, kJ/mm; most have none.
#[must_use]
pub fn heat_window_of(alloy: &Alloy) -> Option<&'static HeatWindow> {
    heat_window().rows.iter().find(|row| row.alloys.contains(&alloy.name))
}

/// Ferrite that a rod of this name leaves undiluted, ferrite number.
#[must_use]
pub fn ferrite_typical_of(filler: &str) -> Option<&'static FerriteTypical> {
    let name = &filler_named(filler)?.name;
    ferrite_typical().rows.iter().find(|row| row.filler == *name)
}

/// The least tensile strength of weld metal of a rod of this name, MPa.
#[must_use]
pub fn filler_strength_of(filler: &str) -> Option<&'static FillerStrength> {
    let name = &filler_named(filler)?.name;
    filler_strength().rows.iter().find(|row| row.filler == *name)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::reference::{Polarity, search::alloy_named};

    fn lead(name: &str, thickness: f64) -> (Option<[f64; 2]>, Option<f64>) {
        let row = preheat_rows_for(alloy_named(name).unwrap(), thickness).into_iter().find(|row| row.leads).unwrap();
        (row.preheat, row.interpass_max)
    }

    #[test]
    fn preheat_goes_by_metal_and_thickness() {
        // D1.1 category B as remembered: none to 20 mm, 10, 65, 110 °C above.
        assert_eq!(lead("S355J2", 10.0), (None, Some(250.0)));
        assert_eq!(lead("S235", 20.0).0, None);
        assert_eq!(lead("1.0038", 30.0).0, Some([10.0, 10.0]));
        assert_eq!(lead("A36", 80.0).0.map(|range| range[0]), Some(110.0));
        assert_eq!(lead("4130", 2.0).0, Some([20.0, 100.0]));
        assert_eq!(lead("42CrMo4", 20.0), (Some([260.0, 315.0]), Some(345.0)));
        // NAVSEA 278 Table IV: 350 °F, no least temperature.
        assert_eq!(lead("304", 3.0), (None, Some(177.0)));
        // Steelmaker's handbook p.25: 140 °C at 10 to 20 mm, interpass 210 °C.
        assert_eq!(lead("S690QL", 15.0), (Some([140.0, 140.0]), Some(210.0)));
        assert_eq!(lead("2205", 6.0), (None, Some(150.0)));
        assert!(preheat_rows_for(alloy_named("A356.0").unwrap(), 8.0).is_empty());
        assert!(preheat_rows_for(alloy_named("303").unwrap(), 8.0).is_empty());
    }

    #[test]
    fn witnesses_stand_behind_the_row_that_leads() {
        let rows = preheat_rows_for(alloy_named("304").unwrap(), 3.0);
        assert!(rows.len() > 1 && rows[0].leads && rows.iter().skip(1).all(|row| !row.leads));
        assert!(rows.iter().any(|row| row.interpass_max == Some(175.0)));
    }

    #[test]
    fn shielding_of_the_metal_goes_before_its_class() {
        let usual = |name: &str| shieldings_of(alloy_named(name).unwrap()).first().map(|row| row.polarity);
        assert_eq!(usual("C95400"), Some(Polarity::AC));
        assert_eq!(usual("C65500"), Some(Polarity::DCEN));
        assert_eq!(usual("AZ91C"), Some(Polarity::AC));
        assert_eq!(usual("6061"), None);
        let titanium = shieldings_of(alloy_named("Ti grade 2").unwrap());
        assert!(titanium.iter().all(|row| row.trailing && row.shield_until == Some(427.0)));
    }

    #[test]
    fn rows_that_few_metals_have() {
        let of = |name: &str| alloy_named(name).unwrap();
        assert_eq!(heat_window_of(of("1.4462")).map(|row| row.heat_input), Some([0.5, 2.5]));
        assert!(heat_window_of(of("304")).is_none());
        assert!(treatments_of(of("17-4PH")).iter().all(|row| row.kind == "age"));
        assert_eq!(ferrite_typical_of("308L").map(|row| row.ferrite), Some([8.0, 12.0]));
        assert_eq!(filler_strength_of("70S-6").map(|row| row.tensile), Some(480.0));
    }
}
