//! Polarity, AC balance and AC frequency.

use super::figure::{Figure, LineKind, Value};
use super::job::Job;
use super::names::FigureName;
use super::work::{Work, cite, round};
use crate::reference::heat::shieldings_of;
use crate::reference::{BalanceBand, Basis, Polarity, Product, Row, Shielding, ac_study, balance_band, frequency_band};
use crate::spec::{Joint, Surface};

/// The polarity that the metal asks for.
#[must_use]
pub fn polarity(job: &Job<'_>) -> (Polarity, Figure) {
    let mut work = Work::new();
    let why = usual(job).map_or_else(|| cite("ac-for-aluminium"), Row::cite);
    let basis = why.basis;
    if of_job(job) == Polarity::DCEN {
        work.remark(LineKind::Remark, "dcen-puts-heat-in-the-part", vec![job.base.shown.clone()], Some(why));
        return (Polarity::DCEN, work.done(FigureName::Polarity, Value::Word("DCEN".to_owned()), basis));
    }
    work.remark(LineKind::Remark, "ac-breaks-the-oxide", vec![job.base.shown.clone()], Some(why));
    if job.helium >= 1.0 {
        work.remark(LineKind::Doubt, "no-pure-helium-on-ac", Vec::new(), Some(cite("helium-share-on-ac")));
    }
    let mut figure = work.done(FigureName::Polarity, Value::Word("AC".to_owned()), basis);
    figure.alternatives = vec!["DCEN".to_owned()];
    (Polarity::AC, figure)
}

/// The usual way to shield the base metal; none for aluminium, whose table the training manual gives.
fn usual(job: &Job<'_>) -> Option<&'static Shielding> {
    shieldings_of(job.base.candidates.first()?).into_iter().next()
}

/// The polarity that the base metal asks for: AC where the arc has to break an oxide that does not melt, as on aluminium,
/// magnesium and bronze with much aluminium.
#[must_use]
pub fn of_job(job: &Job<'_>) -> Polarity {
    usual(job).map_or(Polarity::AC, |row| row.polarity)
}

fn band(surface: &str) -> Option<&'static BalanceBand> {
    balance_band().rows.iter().find(|band| band.surface == surface)
}

/// Whether the arc stands on freshly cut metal: an opening that is burred, milled or chiselled to bright metal.
fn cut_bright(job: &Job<'_>) -> bool {
    matches!(job.joint, Joint::Groove | Joint::Plug)
}

/// The AC balance, percent electrode negative, from the state of the surface under the arc.
#[must_use]
pub fn balance(job: &Job<'_>) -> Option<Figure> {
    let surfaces: Vec<Surface> = job.spec.metal.surface.iter().map(|at| at.value).collect();
    let cast = job.base.candidates.iter().any(|alloy| alloy.product != Product::Wrought);
    let dirty = surfaces.iter().any(|surface| {
        matches!(surface, Surface::Weathered | Surface::OilSoaked | Surface::EarlierWeld | Surface::Anodised)
    });
    let mut work = Work::new();
    let clean = band(if cast { "bright casting" } else { "clean wrought" })?;
    let worn = band("weathered")?;
    let (low, high, lead) = if surfaces.is_empty() {
        work.row_range("balance-dirty", (worn.balance[0], worn.balance[1]), "% EN", worn.cite());
        work.row_range(balance_words(cast), (clean.balance[0], clean.balance[1]), "% EN", clean.cite());
        work.remark(LineKind::Doubt, "surface-unknown", Vec::new(), None);
        (worn.balance[0], clean.balance[1], clean)
    } else if dirty && !cut_bright(job) {
        work.row_range("balance-dirty", (worn.balance[0], worn.balance[1]), "% EN", worn.cite());
        (worn.balance[0], worn.balance[1], worn)
    } else {
        work.row_range(balance_words(cast), (clean.balance[0], clean.balance[1]), "% EN", clean.cite());
        if dirty {
            work.check("balance-dirty", (worn.balance[0], worn.balance[1]), "% EN", Some(worn.cite()));
            work.remark(LineKind::Remark, "cut-bright-leads", Vec::new(), Some(clean.cite()));
        }
        (clean.balance[0], clean.balance[1], clean)
    };
    if surfaces.contains(&Surface::OilSoaked) {
        work.remark(LineKind::Remark, "balance-cures-no-oil", Vec::new(), Some(clean.cite()));
    }
    let usual = work.constant("usual-balance", "");
    let floor = work.small_constant("balance-floor", "");
    let aim =
        if surfaces.is_empty() { super::work::to_step(f64::midpoint(low, high), 5.0) } else { usual.clamp(low, high) };
    work.step("balance-aim", "", "", aim, "% EN");
    work.step("balance-ep", "", "", 100.0 - aim, "% EP");
    if let Some(study) = ac_study().rows.iter().find(|row| row.sign == 0) {
        work.remark(LineKind::Remark, "balance-study", vec![study.fact.clone()], Some(study.cite()));
    }
    let rounded = |value: f64| round(FigureName::Balance, value);
    let value = Value::Range { low: rounded(low), high: rounded(high), set: rounded(aim) };
    let mut figure = work.done(FigureName::Balance, value, lead.basis);
    figure.minimum = Some(floor);
    Some(figure)
}

fn balance_words(cast: bool) -> &'static str {
    if cast { "balance-bright-casting" } else { "balance-clean-wrought" }
}

/// The AC frequency, Hz, from thickness and joint.
#[must_use]
pub fn frequency(job: &Job<'_>, wall: f64) -> Option<Figure> {
    let bands = &frequency_band().rows;
    let band = bands.iter().find(|band| wall <= band.thickness[1]).or(bands.last())?;
    let mut work = Work::new();
    work.stated("wall", "t", wall, "mm", job.thickness_span());
    work.row_range("frequency-band", (band.frequency[0], band.frequency[1]), "Hz", band.cite());
    let [low, high] = band.frequency;
    let (place, words) = match job.joint {
        Joint::Corner | Joint::Edge => (0.75, "frequency-narrow"),
        Joint::Pad => (0.25, "frequency-wide"),
        Joint::Butt | Joint::Fillet | Joint::Lap | Joint::Groove | Joint::Plug => (0.5, "frequency-middle"),
    };
    work.step(words, "", "", low + place * (high - low), "Hz");
    let rounded = |value: f64| round(FigureName::Frequency, value);
    let value = Value::Range { low: rounded(low), high: rounded(high), set: rounded(low + place * (high - low)) };
    Some(work.done(FigureName::Frequency, value, Basis::CommonPractice))
}

/// Time of the negative share of one period, ms: frequency in Hz, balance in percent electrode negative.
#[must_use]
pub fn negative_time(frequency: f64, balance: f64) -> f64 {
    1000.0 / frequency * balance / 100.0
}

/// Mean of a square wave whose halves run at different currents, without their sign, A: balance in percent electrode
/// negative, current of the negative and of the positive half, A.
#[must_use]
pub fn mean_current(balance: f64, negative: f64, positive: f64) -> f64 {
    let share = balance / 100.0;
    share * negative + (1.0 - share) * positive
}
