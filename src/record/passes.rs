//! The passes of a run against those of the sheet: current at the temperature that the part had, the part itself, the rod.

use super::bands::{PartLimits, PassBands, limits, rows};
use super::{Group, Items, PassRun, Verdict, say};
use crate::engine::{Figure, FigureName};
use crate::findings::At;
use crate::run::{RunFiller, RunPass, RunRecord};
use crate::sheet::show as figures;
use crate::sheet::words::english;
use crate::units::show::{self, Toward};
use crate::units::sizes::same_size;
use crate::units::table::Unit;
use crate::units::{Amount, InUnits, Range, System, Temperature, amps, celsius, kelvin, mm};

/// Sets all passes against the sheet, and gives them in numbers.
pub(super) fn check(all: &mut Items<'_>, run: &RunRecord) -> Vec<PassRun> {
    let against = all.against;
    let planned = rows(against.worked);
    let mut numbers: Vec<i64> = planned.iter().map(|row| i64::from(row.number)).collect();
    let mut more: Vec<i64> = run.pass.iter().map(|pass| pass.number.value).collect();
    more.retain(|number| !numbers.contains(number));
    more.sort_unstable();
    more.dedup();
    numbers.append(&mut more);
    let mut seen = Vec::new();
    for number in numbers {
        let row = planned.iter().find(|row| i64::from(row.number) == number);
        let bands = match row {
            Some(row) => Some(PassBands::of(against.job, against.worked, row)),
            None if planned.is_empty() => PassBands::plain(against.job, against.worked),
            None => None,
        };
        let Some(pass) = run.pass.iter().find(|pass| pass.number.value == number) else {
            let subject = say("pass", &[&number.to_string()]);
            all.add(Group::Pass, format!("pass/{number}"), subject, Verdict::Missing).by = say("not-recorded", &[]);
            continue;
        };
        if row.is_none() && !planned.is_empty() {
            let subject = say("pass", &[&number.to_string()]);
            let item = all.add(Group::Pass, format!("pass/{number}"), subject, Verdict::Outside);
            (item.by, item.at) = (say("not-on-sheet", &[]), Some(pass.number.span));
        }
        seen.push(one(all, number, pass, bands.as_ref()));
    }
    seen
}

fn one(all: &mut Items<'_>, number: i64, pass: &At<RunPass>, bands: Option<&PassBands>) -> PassRun {
    let part = pass.start_temperature.as_ref().map(|at| at.value.value().in_celsius());
    let range = bands.map(|bands| part.map_or_else(|| bands.span(), |part| bands.at(part)));
    amperage(all, number, pass, range, part.is_some());
    temperature(all, number, pass, limits(all.against.worked, bands));
    rod(all, number, pass.filler.as_ref());
    let note = pass.note.as_ref().map(|at| at.value.clone()).unwrap_or_default();
    PassRun {
        number,
        amperage: pass.amperage.as_ref().map(|at| [at.value.range.low.in_amps(), at.value.range.high.in_amps()]),
        start_temperature: part,
        range,
        span: bands.map(PassBands::span),
        dug_out: dug_out(&note),
        note,
    }
}

fn subject(number: i64, what: &str) -> String {
    say(what, &[&number.to_string()])
}

fn amperage(all: &mut Items<'_>, number: i64, pass: &RunPass, range: Option<[f64; 2]>, read: bool) {
    let system = all.system();
    let key = format!("pass/{number}/amperage");
    let part = pass.start_temperature.as_ref().map(|at| show::stated(&at.value));
    let wanted = range.map_or_else(String::new, |[low, high]| {
        let range = show::range_both(Range::new(amps(low), amps(high)), system);
        match part.filter(|_| read) {
            Some(part) => say("range-at", &[&range, &part]),
            None => range,
        }
    });
    let Some(stated) = &pass.amperage else {
        all.add(Group::Pass, key, subject(number, "pass-amperage"), Verdict::Missing).wanted = wanted;
        return;
    };
    let ends = [stated.value.range.low.in_amps(), stated.value.range.high.in_amps()];
    let off = range.and_then(|range| off(ends, range));
    let essential = if off.is_some() { all.essential(FigureName::Amperage) } else { String::new() };
    let verdict = if off.is_some() { Verdict::Outside } else { Verdict::Inside };
    let item = all.add(Group::Pass, key, subject(number, "pass-amperage"), verdict);
    item.by = match off {
        Some((above, by)) => say(if above { "above" } else { "below" }, &[&show::both(amps(by), system)]),
        None if range.is_none() => say("no-range", &[]),
        None => String::new(),
    };
    (item.was, item.wanted, item.essential, item.at) =
        (stated.value.text.clone(), wanted, essential, Some(stated.span));
}

/// How far a value or a range lies outside another: whether above, and by how much.
fn off([low, high]: [f64; 2], [least, most]: [f64; 2]) -> Option<(bool, f64)> {
    if high > most {
        return Some((true, high - most));
    }
    (low < least).then_some((false, least - low))
}

fn temperature(all: &mut Items<'_>, number: i64, pass: &RunPass, limits: PartLimits) {
    let system = all.system();
    let key = format!("pass/{number}/temperature");
    let shown = |value: f64, toward| show::limit_both(celsius(value), system, toward);
    let most = limits.wait.or(limits.never);
    let wanted = match (limits.least, most) {
        (Some(least), Some(most)) if least < most => {
            show::limits_both(Range::new(celsius(least), celsius(most)), system)
        }
        (Some(least), _) => say("or-more", &[&shown(least, Toward::Up)]),
        (None, Some(most)) => say("or-less", &[&shown(most, Toward::Down)]),
        (None, None) => String::new(),
    };
    let Some(stated) = &pass.start_temperature else {
        all.add(Group::Pass, key, subject(number, "pass-temperature"), Verdict::Missing).wanted = wanted;
        return;
    };
    let passed = passed(&stated.value, limits);
    let essential = passed
        .map_or_else(String::new, |(_, figure, _)| figure.map_or_else(String::new, |figure| all.essential(figure)));
    let verdict = if passed.is_some() { Verdict::Outside } else { Verdict::Inside };
    let item = all.add(Group::Pass, key, subject(number, "pass-temperature"), verdict);
    item.by = passed.map_or_else(String::new, |(why, _, by)| say(why, &[&show::both(kelvin(by), system)]));
    (item.was, item.wanted, item.essential, item.at) =
        (stated.value.text.clone(), wanted, essential, Some(stated.span));
}

/// The limit that a reading passes: key of its words, the figure that sets it where that is a limit and no wait, and by
/// how many degrees Celsius. A reading is set against the limit as the page prints it in the unit of the reading.
fn passed(stated: &Amount<Temperature>, limits: PartLimits) -> Option<(&'static str, Option<FigureName>, f64)> {
    let printed = |limit: f64, toward| match stated.system {
        System::Metric => limit,
        System::Inch => {
            let text = show::limit_in(celsius(limit), Unit::Fahrenheit, toward);
            let degrees = text.split(' ').next().and_then(|number| number.parse::<f64>().ok());
            degrees.map_or(limit, |degrees| (degrees - 32.0) / 1.8)
        }
    };
    // A reading that was converted on the way is no further off than this.
    const SLACK: f64 = 1e-6;
    let (low, high) = (stated.range.low.in_celsius(), stated.range.high.in_celsius());
    let over = |limit: f64| high - printed(limit, Toward::Down);
    let under = |limit: f64| printed(limit, Toward::Up) - low;
    let all = [
        limits.never.map(|limit| ("above-limit", Some(FigureName::InterpassMax), over(limit))),
        limits.wait.map(|limit| ("above-wait", None, over(limit))),
        limits.least.map(|limit| ("too-cold", Some(FigureName::Preheat), under(limit))),
    ];
    all.into_iter().flatten().find(|(.., by)| *by > SLACK)
}

fn rod(all: &mut Items<'_>, number: i64, rod: Option<&At<RunFiller>>) {
    let worked = all.against.worked;
    let metal = worked.figures.get(&FigureName::FillerMetal);
    let size = worked.figures.get(&FigureName::FillerDiameter);
    let system = all.system();
    let text =
        |figure: Option<&Figure>| figure.map(|figure| figures::figure_text(figure, system).0).unwrap_or_default();
    let wanted = [text(metal), text(size)].into_iter().filter(|text| !text.is_empty()).collect::<Vec<_>>().join(", ");
    let key = format!("pass/{number}/filler");
    let Some(rod) = rod else {
        all.add(Group::Pass, key, subject(number, "pass-rod"), Verdict::Missing).wanted = wanted;
        return;
    };
    let name = rod.name.as_ref().map(|at| at.value.as_str());
    let asked = metal.and_then(Figure::word);
    let other_name = name.zip(asked).is_some_and(|(name, asked)| plain(name) != plain(asked));
    let aim = size.and_then(Figure::aim);
    let other_size = rod.diameter.as_ref().zip(aim).is_some_and(|(at, aim)| !same_size(at.value.value(), mm(aim)));
    let listed = |figure: Option<&Figure>, own: &str| {
        figure.is_some_and(|figure| figure.alternatives.iter().any(|other| plain(other) == plain(own)))
    };
    let essential = if other_name {
        all.essential(FigureName::FillerMetal)
    } else if other_size {
        all.essential(FigureName::FillerDiameter)
    } else {
        String::new()
    };
    let beside = name.is_some_and(|name| other_name && listed(metal, name));
    let verdict = if other_name || other_size { Verdict::Outside } else { Verdict::Inside };
    let item = all.add(Group::Pass, key, subject(number, "pass-rod"), verdict);
    let stated = [
        name.map(str::to_owned),
        rod.diameter.as_ref().map(|at| show::stated(&at.value)),
        rod.lot.as_ref().map(|at| say("lot", &[&at.value])),
    ];
    item.was = stated.into_iter().flatten().collect::<Vec<_>>().join(", ");
    item.by = match (other_name, other_size) {
        (true, _) if beside => say("other-rod-listed", &[]),
        (true, _) => say("other-rod", &[]),
        (false, true) => say("other-size", &[]),
        (false, false) => String::new(),
    };
    (item.wanted, item.essential, item.at) = (wanted, essential, Some(rod.span));
}

/// A classification without the spaces and dashes that a packet may have.
fn plain(name: &str) -> String {
    name.chars().filter(|c| c.is_alphanumeric() || *c == '.').collect::<String>().to_lowercase()
}

/// Whether a note says that the pass was dug out: by one of the words for it, and no word before it that denies it.
#[must_use]
pub(super) fn dug_out(note: &str) -> bool {
    let list =
        |key: &str| english().get("record", key).unwrap_or_default().split(',').map(str::trim).collect::<Vec<_>>();
    let (words, no) = (list("dug-out/words"), list("dug-out/denied"));
    let note: String = note.to_lowercase().replace('-', " ");
    // A denial holds to the end of its part of the sentence.
    note.split(['.', ',', ';', ':']).any(|part| {
        let at = words.iter().filter_map(|word| part.find(word)).min();
        let before = at.and_then(|at| part.get(..at));
        before.is_some_and(|before| !before.split_whitespace().any(|word| no.contains(&word)))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn how_far_a_value_lies_outside() {
        assert_eq!(off([180.0, 180.0], [160.0, 200.0]), None);
        assert_eq!(off([160.0, 200.0], [160.0, 200.0]), None);
        assert_eq!(off([231.0, 231.0], [160.0, 200.0]), Some((true, 31.0)));
        assert_eq!(off([150.0, 180.0], [160.0, 200.0]), Some((false, 10.0)));
    }

    #[test]
    fn a_note_that_a_pass_was_dug_out() {
        for note in [
            "dug out once, ran clean after",
            "Black speck near the edge: dug out once, ran clean after.",
            "a pore; ground out",
            "two dig-outs",
        ] {
            assert!(dug_out(note), "{note}");
        }
        for note in [
            "",
            "ran clean",
            "nothing dug out",
            "no dig-out",
            "not dug out, ran clean",
            "Slow to wet at the inner end.",
        ] {
            assert!(!dug_out(note), "{note}");
        }
        assert!(dug_out("no pores, dug out for a lap"), "what is denied is another thing");
    }
}
