//! Section 3, which metal it is: what a shop can test without a laboratory, and the hold that ends it, before any
//! grinding. Each kind of metal has tests of its own: vinegar shows magnesium and says nothing of steel.

use super::context::{Context, Say};
use super::writer::Writer;
use crate::reference::search::{constant, physical_value};
use crate::reference::{Cite, Class};
use crate::rules::metals;
use crate::units::show;

/// Densities of all that the metal may be: low and high, g/cm3, with where they were found.
fn densities(context: &Context<'_>) -> Option<(f64, f64, Vec<Cite>)> {
    let found: Vec<_> = context
        .alloys()
        .filter_map(|alloy| physical_value(alloy, context.job.base.temper.as_deref(), "density"))
        .collect();
    let low = found.iter().map(|found| found.value).reduce(f64::min)?;
    let high = found.iter().map(|found| found.value).reduce(f64::max)?;
    let cites = found.into_iter().map(|found| found.cite).take(if context.job.base.alloy.is_some() { 1 } else { 2 });
    Some((low, high, cites.collect()))
}

/// A test of the bench: the key of its step, and the boxes that it fills at the hold.
type Test = (&'static str, &'static [&'static str]);

const WEIGH: &[&str] = &["dry", "wet", "quotient"];
const FILE: Test = ("file", &["file"]);
const MAGNET: Test = ("magnet", &["magnet"]);
const SPARK: Test = ("spark", &["spark"]);
const CHIP: Test = ("chip", &["chip"]);
const COLOUR: Test = ("colour", &["colour"]);
const RING: Test = ("ring", &["ring"]);
const VINEGAR: Test = ("vinegar", &["fizz"]);
const FRACTURE: Test = ("fracture", &[]);

/// The tests of a kind of metal in their order, besides the weighing.
fn tests(class: Class) -> &'static [Test] {
    match class {
        Class::Aluminium | Class::Zinc => &[VINEGAR, FRACTURE],
        Class::Magnesium => &[VINEGAR],
        Class::CarbonSteel | Class::LowAlloySteel | Class::ToolSteel => &[MAGNET, FILE, SPARK],
        Class::Stainless | Class::Nickel => &[MAGNET, SPARK],
        Class::CastIron => &[MAGNET, RING, CHIP, SPARK],
        Class::Copper => &[MAGNET, COLOUR, CHIP],
        Class::Titanium => &[MAGNET, SPARK],
    }
}

/// Whether a few grams can be filed off a part that cannot be weighed itself: a soft metal.
fn filed(class: Class) -> bool {
    matches!(class, Class::Aluminium | Class::Magnesium | Class::Copper | Class::Titanium | Class::Zinc)
}

/// Writes the tests and the hold; one sentence instead where certificate or spectrometer prove the metal.
pub(super) fn identity(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    if context.proved() {
        let proof = context.identified_by().map_or(String::new(), |by| context.word("proof", by.word()));
        writer.text(Say::of("sections", "not-required/3.identity").with("proof", proof));
        return;
    }
    let class = context.job.class();
    let weighed = context.movable() || filed(class);
    if context.movable() {
        writer.step("weigh");
    }
    for (key, _) in tests(class) {
        writer.step(key);
        if *key == "vinegar" && !context.movable() {
            writer.step("filings");
        }
    }
    if weighed && !context.movable() && !tests(class).iter().any(|(key, _)| *key == "vinegar") {
        writer.step("filings");
    }
    let boxes = WEIGH.iter().filter(|_| weighed).chain(tests(class).iter().flat_map(|(_, boxes)| *boxes));
    let boxes: Vec<&str> = boxes.copied().collect();
    writer.hold("identity", criterion(context, weighed), &boxes);
}

/// What must be true of the metal before it is ground.
fn criterion(context: &Context<'_>, weighed: bool) -> Say {
    let known = context.job.base.alloy.is_some();
    let window = constant("density-window").map_or(0.0, |row| row.value);
    match densities(context).filter(|_| weighed) {
        Some((low, high, cites)) => Say::of("sections", if known { "hold/identity" } else { "hold/identity-family" })
            .with("low", show::rounded(low * (1.0 - window), 2, show::Toward::Down))
            .with("high", show::rounded(high * (1.0 + window), 2, show::Toward::Up))
            .with("middle", show::trimmed(show::number(low, 3)))
            .with("family", context.job.base.shown.clone())
            .with("magnet", magnet(context))
            .cite(cites),
        None => Say::of("sections", "hold/identity-plain").with("magnet", magnet(context)),
    }
}

/// What a magnet does on this metal.
fn magnet(context: &Context<'_>) -> String {
    let key = if metals::tested_by_magnet(context.job) || metals::of_family(context.job, "duplex") {
        "sticks"
    } else if context.job.class() == Class::Stainless {
        "hardly"
    } else {
        "not"
    };
    context.text("values", &format!("magnet/{key}"))
}
