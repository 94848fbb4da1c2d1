//! Counting the card against the page: the height of each of its blocks, and what is left out until all of it fits.

use super::plan::{Plan, Type, plan};
use super::{AmpsValue, Card, CardCaution, CardSetting, CardTick, Carry, NoCard};

/// Lines as a height, mm.
fn high(lines: usize, line: f64) -> f64 {
    f64::from(u32::try_from(lines).unwrap_or(u32::MAX)) * line
}

/// Width of one of the two columns, mm.
fn column(plan: &Plan) -> f64 {
    (plan.width() - plan.mm("between")) / 2.0
}

/// Width of the words of a tick, mm.
pub(super) fn tick_width() -> f64 {
    column(plan()) - plan().mm("tick")
}

/// Something that was left out, and could be put back.
enum Left {
    Setting(CardSetting),
    /// A tick of the pause point with this key.
    Tick(String, CardTick),
    /// What to do in place of a refused repair.
    Instead(CardTick),
}

/// Fits a card to the page: leaves out what the plan gives up first, until all of it stands on one page, then puts back
/// what there is room for after all.
///
/// Ticks stand most needed first until they are put into the order of the sheet here.
///
/// # Errors
/// [`NoCard`], when the least card is too high.
pub(super) fn fit(mut card: Card) -> Result<Card, NoCard> {
    let plan = plan();
    let mut left: Vec<Left> = Vec::new();
    while !stands(plan, &mut card) {
        let Some(one) = give_up(plan, &mut card) else {
            let dangers = card.cautions.iter().filter(|caution| caution.signal == "DANGER").count();
            return Err(NoCard { dangers, takes: card.height, has: plan.height() });
        };
        left.push(one);
    }
    let mut crowded_out: Vec<String> = Vec::new();
    for one in left.into_iter().rev() {
        put_back(&mut card, &one);
        if !stands(plan, &mut card) {
            crowded_out.push(take_out(&mut card, &one));
        }
    }
    stands(plan, &mut card);
    card.groups.retain(|group| !group.ticks.is_empty());
    for group in &mut card.groups {
        group.ticks.sort_by_key(|tick| tick.place);
    }
    let ticks: usize = card.groups.iter().map(|group| group.ticks.len()).sum();
    card.moved.steps = ticks + card.refusal.as_ref().map_or(0, |refusal| refusal.steps.len());
    card.moved.settings += card.settings.len();
    card.moved.crowded_out = crowded_out;
    Ok(card)
}

/// Whether a card stands on one page, with its last pause point where that takes less room.
fn stands(plan: &Plan, card: &mut Card) -> bool {
    card.last_left = columns(plan, card, true) < columns(plan, card, false);
    card.height = height(plan, card);
    card.height <= plan.height()
}

/// Leaves out the least needed thing that may go; none where nothing may.
fn give_up(plan: &Plan, card: &mut Card) -> Option<Left> {
    let least = plan.least;
    if let Some(refusal) = &mut card.refusal {
        return refusal.steps.pop().map(Left::Instead);
    }
    let over = |card: &Card, ticks: usize| card.groups.iter().any(|group| group.ticks.len() > ticks);
    let settings = card.settings.len();
    if over(card, least.ticks) {
        drop_tick(plan, card, least.ticks)
    } else if settings > least.settings {
        card.settings.pop().map(Left::Setting)
    } else if over(card, 0) {
        drop_tick(plan, card, 0)
    } else if settings > least.settings_at_all {
        card.settings.pop().map(Left::Setting)
    } else {
        None
    }
}

/// Leaves a tick out of the column that is the higher one: of its groups the longest, of equal ones the last.
fn drop_tick(plan: &Plan, card: &mut Card, least: usize) -> Option<Left> {
    let right_is_higher = right_column(plan, card, card.last_left) > left_column(plan, card, card.last_left);
    let in_right = |key: &str| key == LAST && !card.last_left;
    let longest = |any: bool| {
        let groups = card.groups.iter().enumerate();
        groups
            .filter(|(_, group)| group.ticks.len() > least && (any || in_right(&group.key) == right_is_higher))
            .max_by_key(|(_, group)| group.ticks.len())
            .map(|(index, _)| index)
    };
    let index = longest(false).or_else(|| longest(true))?;
    let group = card.groups.get_mut(index)?;
    Some(Left::Tick(group.key.clone(), group.ticks.pop()?))
}

fn put_back(card: &mut Card, one: &Left) {
    match one {
        Left::Setting(setting) => card.settings.push(setting.clone()),
        Left::Tick(key, tick) => {
            let group = card.groups.iter_mut().find(|group| group.key == *key);
            group.into_iter().for_each(|group| group.ticks.push(tick.clone()));
        }
        Left::Instead(step) => card.refusal.iter_mut().for_each(|refusal| refusal.steps.push(step.clone())),
    }
}

/// Takes out again what was put back last, and says what it is.
fn take_out(card: &mut Card, one: &Left) -> String {
    match one {
        Left::Setting(setting) => {
            card.settings.pop();
            setting.title.clone()
        }
        Left::Tick(key, tick) => {
            let group = card.groups.iter_mut().find(|group| group.key == *key);
            group.into_iter().for_each(|group| drop(group.ticks.pop()));
            tick.text.clone()
        }
        Left::Instead(step) => {
            card.refusal.iter_mut().for_each(|refusal| drop(refusal.steps.pop()));
            step.text.clone()
        }
    }
}

/// The pause point that may stand in either column.
const LAST: &str = "leaves";

// ---- heights ----

fn height(plan: &Plan, card: &Card) -> f64 {
    let mut blocks = vec![head(plan, card)];
    blocks.extend(card.cautions.iter().map(|one| caution(plan, one)));
    if let Some(refusal) = &card.refusal {
        let width = plan.width() - plan.mm("tick");
        let lines = |texts: &mut dyn Iterator<Item = &String>, width: f64| -> usize {
            texts.map(|text| plan.lines(text, plan.work(false), width)).sum()
        };
        blocks.push(2.0 * plan.mm("big_line") + plan.mm("rule"));
        blocks.push(plan.mm("line") + high(lines(&mut refusal.reasons.iter(), plan.width()), plan.mm("line")));
        let rows = refusal.steps.iter().map(|step| tick_row(plan, step, width));
        blocks.push(plan.mm("line") + rows.sum::<f64>());
    }
    if let Some(own) = &card.carry {
        blocks.push(carry(plan, own));
    }
    if !card.settings.is_empty() {
        blocks.push(settings(plan, card));
    }
    if card.refusal.is_none() {
        blocks.push(columns(plan, card, card.last_left));
    }
    let gaps = high(blocks.len().saturating_sub(1), plan.mm("gap"));
    blocks.iter().sum::<f64>() + gaps + plan.mm("lines")
}

/// Width inside a box, mm.
fn inside(plan: &Plan, width: f64) -> f64 {
    width - 2.0 * plan.mm("pad") - plan.mm("rule")
}

fn key(plan: &Plan) -> Type {
    Type { points: plan.point.key, bold: true }
}

/// Number, date and seal, status, what stands in the way, title; the QR code stands beside them.
fn head(plan: &Plan, card: &Card) -> f64 {
    let width = plan.width() - plan.mm("qr") - plan.mm("between");
    let line = plan.mm("line");
    let number = plan.lines(&card.number_line(), key(plan), width);
    let beside = if card.date_beside() { 0 } else { 1 };
    let bold = |text: &str, width: f64| plan.lines(text, plan.work(true), width);
    let band = |text: &str| {
        if text.is_empty() { 0.0 } else { high(bold(text, inside(plan, width)), line) + plan.mm("rule") }
    };
    let texts = high(number, plan.mm("big_line"))
        + high(beside, line)
        + band(&card.banner)
        + band(&card.state)
        + high(bold(&card.title, width), line);
    texts.max(plan.mm("qr"))
}

impl Card {
    /// Number and revision, as they stand at the head.
    #[must_use]
    pub fn number_line(&self) -> String {
        format!("{} rev {}", self.number, self.revision)
    }

    /// Whether date and seal stand beside the number, not below it.
    #[must_use]
    pub fn date_beside(&self) -> bool {
        let plan = plan();
        let width = plan.width() - plan.mm("qr") - plan.mm("between");
        let number = plan.text_width(&self.number_line(), key(plan));
        let beside = [&self.date, &self.seal].map(|text| plan.text_width(text, plan.work(true)) + plan.mm("between"));
        number + beside.iter().sum::<f64>() <= width
    }
}

fn caution(plan: &Plan, caution: &CardCaution) -> f64 {
    let width = inside(plan, plan.width() - plan.mm("word"));
    let title = format!("{}.", caution.title);
    let lines = plan.lines_of(&[(&title, plan.work(true)), (&caution.text, plan.work(false))], width);
    high(lines.max(1), plan.mm("line")) + plan.mm("rule")
}

fn carry(plan: &Plan, carry: &Carry) -> f64 {
    let (line, rule) = (plan.mm("line"), plan.mm("rule"));
    let beside = amps(plan, carry).max(stop(plan, carry));
    let width = inside(plan, plan.width() - plan.mm("word"));
    let order = carry.order.iter().map(|one| {
        let text = high(plan.lines(&one.text, key(plan), width), plan.mm("big_line"));
        text.max(high(plan.lines(&one.label, plan.work(true), inside(plan, plan.mm("word"))), line)) + rule
    });
    line + beside + plan.mm("gap") + order.sum::<f64>()
}

/// The box of the amperages.
fn amps(plan: &Plan, carry: &Carry) -> f64 {
    let (line, big, pad) = (plan.mm("line"), plan.mm("big_line"), plan.mm("pad"));
    let columns = u32::try_from(carry.heads.len().max(1)).map_or(1.0, f64::from);
    let whole = inside(plan, plan.mm("amps"));
    let column = (whole - plan.mm("amps_name") - pad) / columns - pad;
    let value = |value: &AmpsValue| {
        if value.set {
            high(plan.lines(&value.text, key(plan), column), big)
        } else {
            high(plan.lines(&value.text, plan.work(true), column), line)
        }
    };
    let rows = carry.rows.iter().map(|row| {
        let name = high(plan.lines(&row.name, plan.work(true), plan.mm("amps_name")), line);
        row.values.iter().map(value).fold(name.max(big), f64::max)
    });
    let heads = carry.heads.iter().map(|head| plan.lines(head, plan.work(false), column)).max().unwrap_or(1);
    let notes: usize = carry.notes.iter().map(|note| plan.lines(note, plan.work(true), whole)).sum();
    high(heads, line) + rows.sum::<f64>() + high(notes, line) + plan.mm("rule")
}

/// The box of the stop temperature.
fn stop(plan: &Plan, carry: &Carry) -> f64 {
    let width = inside(plan, plan.width() - plan.mm("amps") - plan.mm("gap"));
    let starts: usize = carry.starts.iter().map(|start| plan.lines(start, plan.work(false), width)).sum();
    let value = plan.lines(&carry.stop, key(plan), width);
    high(1 + starts, plan.mm("line")) + high(value, plan.mm("big_line")) + plan.mm("rule")
}

fn settings(plan: &Plan, card: &Card) -> f64 {
    let pad = plan.mm("pad");
    let value_width = plan.width() - plan.mm("set_name") - plan.mm("read") - 2.0 * pad;
    let value_type = Type { points: plan.point.set, bold: true };
    let rows = card.settings.iter().map(|setting| {
        let title = high(plan.lines(&setting.title, plan.work(false), plan.mm("set_name") - pad), plan.mm("line"));
        let value = high(plan.lines(&setting.set, value_type, value_width), plan.mm("set_line"));
        (title.max(value) + plan.mm("rule")).max(plan.mm("row"))
    });
    plan.mm("line") + rows.sum::<f64>()
}

fn tick_row(plan: &Plan, tick: &CardTick, width: f64) -> f64 {
    let lines = plan.lines(&tick.text, plan.work(false), width);
    (high(lines, plan.mm("line")) + plan.mm("tick_air")).max(plan.mm("tick_row"))
}

fn group(plan: &Plan, card: &Card, key: &str) -> f64 {
    let group = card.groups.iter().find(|group| group.key == key && !group.ticks.is_empty());
    let Some(group) = group else { return 0.0 };
    let rows = group.ticks.iter().map(|tick| tick_row(plan, tick, tick_width()));
    plan.mm("line") + rows.sum::<f64>() + plan.mm("gap")
}

fn holds(plan: &Plan, card: &Card) -> f64 {
    let width = plan.mm("hold_name") - plan.mm("pad");
    let rows = card.holds.iter().map(|hold| {
        let lines = plan.lines(&hold.label, plan.work(false), width);
        (high(lines, plan.mm("line")) + plan.mm("rule")).max(plan.mm("row"))
    });
    plan.mm("line") + rows.sum::<f64>() + plan.mm("gap")
}

fn left_column(plan: &Plan, card: &Card, last_left: bool) -> f64 {
    let groups = card.groups.iter().filter(|own| own.key != LAST || last_left);
    groups.map(|own| group(plan, card, &own.key)).sum()
}

fn right_column(plan: &Plan, card: &Card, last_left: bool) -> f64 {
    holds(plan, card) + if last_left { 0.0 } else { group(plan, card, LAST) }
}

/// The height of the two columns side by side.
fn columns(plan: &Plan, card: &Card, last_left: bool) -> f64 {
    left_column(plan, card, last_left).max(right_column(plan, card, last_left))
}
