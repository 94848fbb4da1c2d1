//! Welding filter shade.

use super::figure::{Figure, LineKind, Value};
use super::names::FigureName;
use super::work::{Work, cite};
use crate::reference::{LensShade, Row, lens_shade};

/// The row that rules at a current: where it stands in two rows, the one with the higher minimum.
#[must_use]
pub fn row(scheme: &str, amps: f64) -> Option<&'static LensShade> {
    lens_shade()
        .rows
        .iter()
        .filter(|row| row.scheme == scheme && row.process == "GTAW")
        .filter(|row| row.current[0] <= amps && amps <= row.current[1])
        .max_by_key(|row| row.minimum)
}

/// Luminous transmittance of a shade, percent: `N = 1 + 7/3 log10(1/tau)`.
#[must_use]
pub fn transmittance(shade: f64) -> f64 {
    100.0 * libm::pow(10.0, -3.0 / 7.0 * (shade - 1.0))
}

/// Shade to start from and the lowest allowed, at the panel maximum.
#[must_use]
pub fn figure(amps: f64) -> Option<Figure> {
    let row = row("US", amps)?;
    let mut work = Work::new();
    work.figure(FigureName::AmperageMax, "i", amps);
    work.row("lens-minimum", "", f64::from(row.minimum), "", row.cite());
    let start = row.start.unwrap_or(row.minimum);
    work.row("lens-start", "", f64::from(start), "", row.cite());
    if let Some(european) = self::row("EN 169", amps) {
        let shade = f64::from(european.minimum);
        work.check("lens-european", (shade, shade), "", Some(european.cite()));
    }
    work.remark(LineKind::Remark, "start-dark", Vec::new(), Some(cite("lens-start-dark")));
    let mut figure = work.done(FigureName::LensShade, Value::Number(f64::from(start)), row.basis);
    figure.minimum = Some(f64::from(row.minimum));
    Some(figure)
}
