//! The card as HTML: one page for A4 and Letter, one file without script and without network.
//!
//! Every size comes from the plan that the card was counted with, so that what was counted is what is printed.

use super::{FaceError, escape};
use crate::sheet::card::Card;
use crate::sheet::card::plan::plan;
use fast_qr::qr::QRBuilder;
use fast_qr::{ECL, QRCode};
use std::fmt::Write;
use std::sync::OnceLock;
use tera::{Context, Tera, Value};

const TEMPLATE: [(&str, &str); 1] = [("card.html", include_str!("../../templates/card.html"))];
const STYLE: &str = include_str!("../../templates/card.css");

/// Empty modules that a QR code has on each side, by its standard.
const QUIET: usize = 4;

/// The parsed template, once a process.
fn press() -> Result<&'static Tera, FaceError> {
    static PRESS: OnceLock<Result<Tera, FaceError>> = OnceLock::new();
    let parsed = PRESS.get_or_init(|| {
        let mut tera = Tera::default();
        tera.autoescape_on([".html"]);
        tera.add_raw_templates(TEMPLATE)?;
        Ok(tera)
    });
    parsed.as_ref().map_err(Clone::clone)
}

/// Appends the HTML of a card to `out`.
///
/// # Errors
/// [`FaceError::Template`], when the template does not fit the model.
pub fn write(card: &Card, out: &mut Vec<u8>) -> Result<(), FaceError> {
    let mut context = Context::from_serialize(card)?;
    context.insert_value("style", Value::safe_string(STYLE));
    context.insert_value("sizes", Value::safe_string(&sizes()));
    context.insert_value("printed", Value::safe_string(&escape::css_string(&printed(card), 160)));
    context.insert_value("number_line", Value::from(card.number_line()));
    context.insert_value("date_beside", Value::from(card.date_beside()));
    if let Some(modules) = modules(&card.code) {
        context.insert_value("qr_side", Value::from(modules.len() + 2 * QUIET));
        context.insert_value("qr_path", Value::from(path(&modules)));
    }
    press()?.render_to("card.html", &context, &mut *out)?;
    Ok(())
}

/// What stands in the margin of a print, small: whose print it is, and that it may be out of date.
fn printed(card: &Card) -> String {
    let words = card.labels.get("printed").map_or("", String::as_str);
    format!("{}. {words}", card.number_line())
}

/// The sizes of the plan as variables of the style.
fn sizes() -> String {
    let plan = plan();
    let mut css = String::from(":root{");
    for (name, mm) in &plan.size {
        let _ = write!(css, "--{}:{mm}mm;", name.replace('_', "-"));
    }
    let [width, height] = [plan.width(), plan.height()].map(|mm| (mm * 10.0).round() / 10.0);
    let points = plan.point;
    let _ = write!(css, "--width:{width}mm;--height:{height}mm;");
    let _ = write!(css, "--work:{}pt;--set:{}pt;--key:{}pt}}", points.work, points.set, points.key);
    // A margin of `@page` takes no variable.
    let _ = write!(css, "\n@page{{margin:{}mm {}mm}}", plan.mm("margin_end"), plan.mm("margin_side"));
    css
}

/// The modules of a QR code by row, dark ones true; none for a text that no code can hold.
#[must_use]
pub fn modules(text: &str) -> Option<Vec<Vec<bool>>> {
    let code: QRCode = QRBuilder::new(text).ecl(ECL::Q).build().ok()?;
    let rows = (0..code.size).map(|row| code.data.get(row * code.size..(row + 1) * code.size));
    rows.map(|row| Some(row?.iter().map(|module| module.value()).collect())).collect()
}

/// The dark modules as one path, runs of a row together, in units of a module from the corner of the quiet zone.
fn path(modules: &[Vec<bool>]) -> String {
    let mut path = String::new();
    for (y, row) in modules.iter().enumerate() {
        let mut x = QUIET;
        for run in row.chunk_by(|a, b| a == b) {
            if run.first() == Some(&true) {
                let _ = write!(path, "M{x} {}h{}v1h-{}z", y + QUIET, run.len(), run.len());
            }
            x += run.len();
        }
    }
    path
}
