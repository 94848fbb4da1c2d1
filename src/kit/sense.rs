//! The sense of a kit: names that are told apart, ranges that fit each other, stock that the tables know.

use super::types::{Counts, Kit, Machine, Price};
use crate::findings::{At, Code, Finding, Severity};
use crate::spec::read::Unread;
use crate::spec::sense::{filler_name, gas_name, tungsten_name};
use crate::units::{Amount, Current, Quantity};

/// Everything that the language has to say about a kit as a whole.
#[must_use]
pub fn findings(kit: &Kit, unread: &Unread) -> Vec<Finding> {
    let mut found = Vec::new();
    told_apart("machines", kit.machine.iter().map(|machine| &machine.name), &mut found);
    told_apart("torches", kit.torch.iter().map(|torch| &torch.name), &mut found);
    for machine in &kit.machine {
        currents(machine, unread, &mut found);
        balance(machine, &mut found);
    }
    stock(kit, unread, &mut found);
    found
}

/// Things of one kind are called by their names, so no two may have the same.
fn told_apart<'k>(what: &str, names: impl Iterator<Item = &'k At<String>>, found: &mut Vec<Finding>) {
    let mut known: Vec<&At<String>> = Vec::new();
    for name in names {
        match known.iter().find(|earlier| earlier.to_lowercase() == name.to_lowercase()) {
            Some(earlier) => found.push(
                Finding::new(Code::NameTwice, format!("two {what} are called \"{}\"", name.value))
                    .at(name.span)
                    .label("the second of its name")
                    .related(earlier.span, "the first")
                    .help("give each a name of its own; a spec calls it by that name"),
            ),
            None => known.push(name),
        }
    }
}

fn currents(machine: &At<Machine>, unread: &Unread, found: &mut Vec<Finding>) {
    let range = &machine.amperage;
    if range.ac.is_none() && range.dc.is_none() {
        if !unread.has("machine.amperage.ac") && !unread.has("machine.amperage.dc") {
            found.push(
                Finding::new(Code::KeyTogether, format!("\"{}\" has no range of current", machine.name.value))
                    .at(range.span)
                    .label("neither `ac` nor `dc`")
                    .help("write what the set can do: amperage = { ac = \"5 A to 200 A\", dc = \"5 A to 220 A\" }"),
            );
        }
        return;
    }
    let Some(rated) = &machine.rated else { return };
    let highest = |range: &Option<At<Amount<Current>>>| range.as_ref().map_or(0.0, |range| range.range.high.si());
    if rated.amperage.range.high.si() > highest(&range.ac).max(highest(&range.dc)) {
        found.push(
            Finding::new(
                Code::KitRating,
                format!("\"{}\" is rated above the end of its own range", machine.name.value),
            )
            .at(rated.amperage.span)
            .label("the rated current")
            .related(range.span, "the range of the set")
            .help("check both on the rating plate"),
        );
    }
}

/// A panel that counts electrode negative goes up from about half; one that counts electrode positive, down from it.
fn balance(machine: &At<Machine>, found: &mut Vec<Finding>) {
    let Some(balance) = &machine.balance else { return };
    let half = 0.5;
    let (low, high) = (balance.range.range.low.si(), balance.range.range.high.si());
    let other = match balance.counts.value {
        Counts::En if high <= half => "EP",
        Counts::Ep if low >= half => "EN",
        _ => return,
    };
    found.push(
        Finding::new(Code::KitBalance, format!("this range looks as if the panel counted {other}"))
            .at(balance.range.span)
            .label(format!("{} of {}", balance.range.text, balance.counts.word()))
            .related(balance.counts.span, "what the panel counts")
            .help("look at the panel: more cleaning is a lower number where it counts EN, a higher one where it counts EP"),
    );
}

/// A shelf also holds rods, tungstens and gases for other metals: what the tables do not know is said, and stops
/// nothing.
fn stock(kit: &Kit, unread: &Unread, found: &mut Vec<Finding>) {
    let stock = &kit.stock;
    let rods = stock.rod.iter().filter_map(|rod| filler_name(&rod.name));
    let tungstens = stock.tungsten.iter().filter_map(|tungsten| tungsten_name(&tungsten.type_));
    let gases = stock.gas.iter().filter_map(|gas| gas_name(&gas.name));
    let unknown = rods.chain(tungstens).chain(gases);
    found.extend(unknown.map(|finding| finding.severity(Severity::Note).note("it is left out of every choice")));

    let rods = stock.rod.iter().filter_map(|rod| rod.price.as_ref());
    let gases = stock.gas.iter().filter_map(|gas| gas.price.as_ref());
    let prices: Vec<&At<Price>> = rods.chain(gases).collect();
    for price in &prices {
        measure(price, found);
    }
    if let (Some(price), None) = (prices.first(), &kit.shop.currency)
        && !unread.has("shop.currency")
    {
        found.push(
            Finding::new(Code::KeyTogether, "a price stands here, and [shop] names no currency")
                .severity(Severity::Warning)
                .at(price.span)
                .label("in which currency?")
                .help("add currency = \"EUR\" to [shop]"),
        );
    }
}

/// Measures that rods and gas are sold by.
const MEASURES: [&str; 7] = ["kg", "lb", "piece", "m3", "L", "cu ft", "bottle"];

fn measure(price: &At<Price>, found: &mut Vec<Finding>) {
    if !MEASURES.contains(&price.per.as_str()) {
        found.push(
            Finding::new(Code::NameUnknown, format!("nothing on a shelf is sold by \"{}\"", price.per.value))
                .at(price.per.span)
                .label("not in the list")
                .help(format!("`per` takes {}", crate::spec::shape::or_list(&MEASURES))),
        );
    }
}
