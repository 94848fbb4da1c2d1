//! What is chosen for the card: values to carry in the head, settings, ticks and holds, by the plan.

use super::fit::tick_width;
use super::plan::{Ticks, plan};
use super::{AmpsRow, AmpsValue, Card, CardGroup, CardHold, CardSetting, CardTick, Carry, OrderLine, steps};
use crate::engine::{FigureName, PassKind, PassRow};
use crate::sheet::context::{Context, Say};
use crate::sheet::words::filled as fill_words;
use crate::sheet::{Block, Cell, Sheet, Step, Table, settings, show, weld_tables};
use crate::units::{celsius, show as units_show};

/// A text of the card with its blanks filled; none where there is no such text, or where a blank has nothing to say.
pub(super) fn filled(context: &Context<'_>, key: &str, own: &dyn Fn(&str) -> Option<String>) -> Option<String> {
    let text = context.words.get_marked(&context.marks, "card", key)?;
    let lacks = std::cell::Cell::new(false);
    let fill = |blank: &str| {
        let figure = || {
            let (key, range) = blank.strip_suffix(".range").map_or((blank, false), |key| (key, true));
            let name = FigureName::from_key(key)?;
            context.figure(name)?;
            Some(if range { context.range(name) } else { context.set(name) })
        };
        let value = own(blank).or_else(figure).or_else(|| show::literal(blank, context.system()));
        let value = value.filter(|value| !value.is_empty());
        lacks.set(lacks.get() || value.is_none());
        value
    };
    let text = fill_words(text, &fill);
    (!lacks.get()).then_some(text)
}

/// Fills a card with all that the plan would have on it.
pub(super) fn fill(context: &Context<'_>, sheet: &Sheet, mut card: Card) -> Card {
    let plan = plan();
    let rows: Vec<FigureName> =
        settings::ROWS.iter().copied().filter(|name| settings::stands(context, *name)).collect();
    card.carry = Some(carry(context));
    let heading = FigureName::from_key(&plan.settings.heading).filter(|name| rows.contains(name));
    card.settings_head = match heading.filter(|name| context.figure(*name).is_some()) {
        Some(name) => context.cell(&Say::of("card", "set-current").with("0", context.set(name))).text,
        None => context.text("card", "set"),
    };
    let order = plan.settings.order.iter().filter_map(|key| FigureName::from_key(key));
    let chosen = order.filter(|name| rows.contains(name) && context.figure(*name).is_some());
    card.settings = chosen.map(|name| setting(context, name)).take(plan.most.settings).collect();
    card.moved.of_settings = rows.len();
    // The settings themselves are counted when it is known which of them fit.
    card.moved.settings = usize::from(heading.is_some());
    card.groups = plan.ticks.iter().map(|ticks| group(context, sheet, ticks)).collect();
    card.groups.retain(|group| !group.ticks.is_empty());
    card.holds = holds(context, sheet);
    card
}

fn setting(context: &Context<'_>, name: FigureName) -> CardSetting {
    let set = if name == FigureName::Cup { settings::cup(context) } else { context.set(name) };
    CardSetting { key: name.key().to_owned(), title: settings::title(context, name).text, set }
}

// ---- carry in your head ----

fn carry(context: &Context<'_>) -> Carry {
    let (heads, rows, notes) = amps(context);
    let (stop, starts) = temperatures(context);
    Carry { heads, rows, notes, stop, starts, order: order(context) }
}

/// The amperages of the coldest and of the warmest part that a pass may start on, by groups of passes.
fn amps(context: &Context<'_>) -> (Vec<String>, Vec<AmpsRow>, Vec<String>) {
    let groups = weld_tables::groups(context);
    let Some([cold, _, warm]) = weld_tables::parts(context).filter(|_| !groups.is_empty()) else {
        return first_pass(context);
    };
    let same = libm::fabs(warm - cold) < 0.5;
    let mut heads = vec![units_show::both(celsius(cold), context.system())];
    if !same {
        heads.push(units_show::both(celsius(warm), context.system()));
    }
    let (mut rows, mut notes) = (Vec::new(), Vec::new());
    let ceiling = weld_tables::ceiling(context);
    for group in &groups {
        let name = weld_tables::capital(&group.name(context, groups.len() == 1));
        let [[_, at_cold, _], _, [_, at_warm, _]] = group.bands;
        let warmed = weld_tables::wants_warmth(context, &group.bands);
        let value = |aim: f64| {
            let key = if warmed { "warm-first" } else { "over" };
            let set = aim <= ceiling;
            let text = if set { weld_tables::amps(context, aim) } else { context.text("card", key) };
            AmpsValue { text, set }
        };
        let mut values = vec![value(at_cold)];
        if !same {
            values.push(value(at_warm));
        }
        if at_warm > ceiling {
            let say = Say::of("card", "over-note").with("kind", name.clone());
            let say = say.with("amps", weld_tables::amps(context, at_warm));
            notes.push(context.cell(&say.with("by", weld_tables::limited_by(context))).text);
        }
        rows.push(AmpsRow { name, values });
    }
    (heads, rows, notes)
}

/// The amperage alone, where no pass was worked out; blanks where nothing was.
fn first_pass(context: &Context<'_>) -> (Vec<String>, Vec<AmpsRow>, Vec<String>) {
    let ends = weld_tables::parts(context).map(|[cold, _, warm]| [cold, warm]);
    let heads = match ends {
        Some(ends) => ends.iter().map(|part| units_show::both(celsius(*part), context.system())).collect(),
        None => vec![context.blank(), context.blank()],
    };
    let names = [FigureName::Amperage, FigureName::AmperageWarm];
    let values = names.iter().map(|name| AmpsValue { text: context.set(*name), set: true }).collect();
    (heads, vec![AmpsRow { name: context.text("card", "first-pass"), values }], Vec::new())
}

/// The stop temperature, and where a pass may start: rows of the table of temperatures.
fn temperatures(context: &Context<'_>) -> (String, Vec<String>) {
    let table: Table = weld_tables::temperatures(context);
    let row = |key: &str| {
        let item = context.text("sections", &format!("row/{key}"));
        let found = table.rows.iter().find(|row| row.first().is_some_and(|cell| cell.text == item));
        found.and_then(|row| row.get(1)).map(|cell: &Cell| cell.text.clone()).filter(|text| !text.is_empty())
    };
    let line = |key: &str, value: String| context.cell(&Say::of("card", key).with("0", value)).text;
    let preheat = context.figure(FigureName::Preheat).filter(|figure| figure.aim().is_some());
    let preheat = preheat.filter(|_| !weld_tables::drying_alone(context)).and_then(|_| row("preheat"));
    let starts = [
        preheat.map(|text| line("preheat", text)),
        row("pass-start").map(|text| line("start", text)),
        row("root-start").map(|text| line("start-root", text)),
        row("fill-start").map(|text| line("start-fill", text)),
    ];
    (row("never-above").unwrap_or_else(|| context.blank()), starts.into_iter().flatten().collect())
}

/// The passes of each side: `1 root, 2 to 4 fill, 5 cap`.
fn order(context: &Context<'_>) -> Vec<OrderLine> {
    let sides = [1, 2].map(|side| context.passes().iter().filter(|row| row.side == side).collect::<Vec<_>>());
    let [first, second] = &sides;
    if first.is_empty() && second.is_empty() {
        let (label, text) = (context.text("card", "passes"), context.text("card", "no-passes"));
        return vec![OrderLine { label, text }];
    }
    let both = !first.is_empty() && !second.is_empty();
    let label = |side: &str| context.text("card", if both { side } else { "passes" });
    let lines = [("side-1", first), ("side-2", second)].into_iter().filter(|(_, rows)| !rows.is_empty());
    lines.map(|(side, rows)| OrderLine { label: label(side), text: runs(context, rows) }).collect()
}

/// Passes that follow each other, those of one kind together.
fn runs(context: &Context<'_>, rows: &[&PassRow]) -> String {
    let runs = rows.chunk_by(|a, b| a.kind == b.kind).filter_map(|run| {
        let (first, last) = (run.first()?, run.last()?);
        let number = |row: &PassRow| units_show::number(f64::from(row.number), 0);
        let numbers = if first.number == last.number {
            number(first)
        } else {
            context.cell(&Say::of("values", "to").with("0", number(first)).with("1", number(last))).text
        };
        let layers = first.kind == PassKind::Pad && first.number != last.number;
        let kind = if layers { context.word("bead", "layers") } else { weld_tables::bead(context, first) };
        Some(context.cell(&Say::of("card", "pass").with("0", numbers).with("1", kind)).text)
    });
    runs.collect::<Vec<_>>().join(", ")
}

// ---- ticks and holds ----

/// The ticks of a pause point, most needed first: the fit puts them into the order of the sheet.
fn group(context: &Context<'_>, sheet: &Sheet, ticks: &Ticks) -> CardGroup {
    let of_plan = ticks.steps.iter().filter_map(|id| steps(sheet).find(|step| step.id == *id));
    let own = steps(sheet).filter(|step| {
        step.own && step.id.split('.').next().is_some_and(|section| ticks.own.iter().any(|own| own == section))
    });
    let chosen = of_plan.chain(own).filter_map(|step| tick(context, sheet, step));
    CardGroup {
        key: ticks.key.clone(),
        title: context.text("card", &format!("group/{}", ticks.key)),
        ticks: chosen.take(plan().most.ticks).collect(),
    }
}

/// A step in words that fit on one line; none where there are none.
fn tick(context: &Context<'_>, sheet: &Sheet, step: &Step) -> Option<CardTick> {
    let plan = plan();
    let fits = |text: &String| plan.fits(text, plan.work(false), tick_width());
    let several = steps(sheet).any(|other| other.id.strip_prefix(&step.id).is_some_and(|rest| rest.starts_with("-2")));
    let blank = |blank: &str| match blank {
        "feature" if !several => one_feature(context),
        "start" => start(context),
        "coolant" => context.torch()?.flow.as_ref().map(|flow| crate::sheet::set_up::coolant(&flow.value)),
        _ => None,
    };
    let texts = if step.own {
        [Some(step.action.text.clone()), None]
    } else {
        [format!("ticks/{}", step.id), format!("ticks/{}/short", step.id)].map(|key| filled(context, &key, &blank))
    };
    let text = texts.into_iter().flatten().map(|text| weld_tables::capital(&text)).find(fits)?;
    let place = steps(sheet).position(|other| other.id == step.id)?;
    Some(CardTick { id: step.id.clone(), text, place })
}

/// The feature to keep, where there is one alone.
fn one_feature(context: &Context<'_>) -> Option<String> {
    let mut keeps = context.keeps();
    let (first, second) = (keeps.next()?, keeps.next());
    let name = first.feature.value.split(", ").next()?;
    second.is_none().then(|| name.to_owned())
}

/// What the first pass may start at.
fn start(context: &Context<'_>) -> Option<String> {
    let row = context.passes().first()?;
    let warm = weld_tables::wants_warmth(context, &[row.start, row.running, row.warm]);
    Some(weld_tables::may_start(context, warm))
}

/// The holds in the order of the sheet.
fn holds(context: &Context<'_>, sheet: &Sheet) -> Vec<CardHold> {
    let blocks = sheet.sections.iter().flat_map(|section| &section.blocks);
    let holds = blocks.filter_map(|block| if let Block::Hold(hold) = block { Some(hold) } else { None });
    let label = |id: &str| {
        let key = id.strip_prefix("hold-").unwrap_or(id);
        let own = || key.replace('-', " ");
        context.words.get("card", &format!("holds/{key}")).map_or_else(own, str::to_owned)
    };
    holds.map(|hold| CardHold { id: hold.id.clone(), label: label(&hold.id) }).collect()
}
