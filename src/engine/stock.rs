//! The shop's shelf in the names of the tables: tungstens, cups, rods and gases that lie ready.
//!
//! A kind of thing of which the kit lists nothing is unknown, not lacking: then everything that is sold counts.

use super::job::Job;
use crate::findings::{At, Code, Finding, Span};
use crate::kit::{Price, Stock};
use crate::reference::search::filler_named;
use crate::reference::{Filler, SoldSize, TungstenClass, sold_size};
use crate::spec::names;
use crate::units::{InUnits, Quantity, mm, sizes::same_size};

/// A tungsten on the shelf.
#[derive(Debug, Clone, Copy)]
pub struct Electrode {
    /// Its class.
    pub class: &'static TungstenClass,
    /// The size sold that it is, mm.
    pub diameter: f64,
    /// Where the kit lists it.
    pub span: Span,
}

/// A cup on the shelf.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Nozzle {
    /// Number: bore in sixteenths of an inch.
    pub number: u32,
    /// Whether it takes a gas lens.
    pub lens: bool,
    /// Where the kit lists it.
    pub span: Span,
}

/// A rod on the shelf.
#[derive(Debug, Clone, Copy)]
pub struct Rod<'a> {
    /// What it is.
    pub filler: &'static Filler,
    /// The size sold that it is, mm; none where the kit names none.
    pub diameter: Option<f64>,
    /// Its price.
    pub price: Option<&'a Price>,
    /// Where the kit lists it.
    pub span: Span,
}

/// A gas on the shelf.
#[derive(Debug, Clone, Copy)]
pub struct Gas<'a> {
    /// Volume share of helium, 0 to 1.
    pub helium: f64,
    /// Its price.
    pub price: Option<&'a Price>,
    /// Where the kit lists it.
    pub span: Span,
}

fn shelf<'a>(job: &Job<'a>) -> Option<&'a Stock> {
    job.kit.map(|kit| &kit.stock)
}

/// The nominal size that a length means, mm; the length itself where nothing of the kind is sold near it.
fn sold(what: &str, length: f64) -> f64 {
    let rows = sold_size().rows.iter().filter(|row: &&SoldSize| row.what == what);
    let mut same = rows.filter(|row| same_size(mm(row.mm), mm(length)));
    same.next().map_or(length, |row| row.mm)
}

/// The tungstens of the shelf that the tables know.
#[must_use]
pub fn electrodes(job: &Job<'_>) -> Vec<Electrode> {
    let listed = shelf(job).into_iter().flat_map(|stock| &stock.tungsten);
    let known = listed.filter_map(|at| {
        let class = names::tungsten(&at.value.type_.value)?;
        let diameter = sold("tungsten", at.value.diameter.value.value().in_mm());
        Some(Electrode { class, diameter, span: at.span })
    });
    known.collect()
}

/// The cups of the shelf.
#[must_use]
pub fn nozzles(job: &Job<'_>) -> Vec<Nozzle> {
    let listed = shelf(job).into_iter().flat_map(|stock| &stock.cup);
    let known = listed.filter_map(|at| {
        let number = u32::try_from(at.value.number.value).ok()?;
        let lens = at.value.gas_lens.as_ref().is_some_and(|lens| lens.value);
        Some(Nozzle { number, lens, span: at.span })
    });
    known.collect()
}

/// The rods of the shelf that the tables know.
#[must_use]
pub fn rods<'a>(job: &Job<'a>) -> Vec<Rod<'a>> {
    let listed = shelf(job).into_iter().flat_map(|stock| &stock.rod);
    let known = listed.filter_map(|at| {
        let filler = filler_named(&at.value.name.value)?;
        let diameter = at.value.diameter.as_ref().map(|at| sold("rod", at.value.value().in_mm()));
        Some(Rod { filler, diameter, price: price(at.value.price.as_ref()), span: at.span })
    });
    known.collect()
}

/// The gases of the shelf that the tables know.
#[must_use]
pub fn gases<'a>(job: &Job<'a>) -> Vec<Gas<'a>> {
    gases_of(shelf(job))
}

/// As [`gases`], before there is a job.
#[must_use]
pub fn gases_of(stock: Option<&Stock>) -> Vec<Gas<'_>> {
    let listed = stock.into_iter().flat_map(|stock| &stock.gas);
    let known = listed.filter_map(|at| {
        let helium = names::gas(&at.value.name.value)?.si();
        Some(Gas { helium, price: price(at.value.price.as_ref()), span: at.span })
    });
    known.collect()
}

fn price(at: Option<&At<Price>>) -> Option<&Price> {
    at.map(|at| &at.value)
}

/// What the shelf lacks, with what would do instead.
#[must_use]
pub fn lacks(message: String, help: String, span: Option<Span>) -> Finding {
    Finding::new(Code::KitLacks, message).at_some(span).help(help)
}
