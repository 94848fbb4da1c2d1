//! The working of a figure on a terminal of 80 columns: what goes in, each step with its formula, what it was checked
//! against, and where it all was found.

use super::labels::label;
use super::terminal::{WIDTH, leads, push_wrapped};
use super::{Answer, say};
use crate::engine::{Figure, Line, LineKind, Origin, PassRow, Ranked, Value};
use crate::reference::{Basis, Cite, source_by_key};
use crate::sheet::show as figures;
use crate::units::{amps, mm, show};

/// Columns where text, value and origin of a line begin, and where the text of a remark does.
const TEXT: usize = 4;
const VALUE: usize = 38;
const ORIGIN: usize = 56;
const REMARK: usize = 14;

/// The working of a figure, in lines of at most 80 columns.
#[must_use]
pub fn why_text(figure: &Figure, answer: &Answer<'_>) -> String {
    let mut out = title(figure, answer);
    because(&mut out, figure, answer);
    let mut step = 0;
    for line in figure.working.iter().filter(|line| leads(line.kind)) {
        let mut number = String::new();
        if line.kind != LineKind::Input {
            step += 1;
            number = step.to_string();
        }
        let value = value(line);
        push_columns(
            &mut out,
            &[
                (usize::from(step < 10), &number),
                (TEXT, &say::line(line, answer.job.system)),
                (VALUE, &value),
                (ORIGIN, &origin(line, answer)),
            ],
        );
    }
    remarks(&mut out, figure, answer);
    if !figure.alternatives.is_empty() {
        push_columns(&mut out, &[(0, &label("why-also", &[])), (REMARK, &figure.alternatives.join(", "))]);
    }
    figure.ranking.iter().zip(1..).for_each(|(ranked, place)| ranking(&mut out, ranked, place, answer));
    figure.passes.iter().for_each(|pass| push_wrapped(&mut out, "    ", &pass_text(pass, answer)));
    sources(&mut out, figure);
    out
}

/// Title, aim and range, with the basis at the right.
fn title(figure: &Figure, answer: &Answer<'_>) -> String {
    let (set, range) = say::figure(figure, answer.job.system);
    let range = if range.is_empty() { range } else { format!(" ({range})") };
    let text = format!("{}: {set}{range}", say::title(figure.name));
    let lead = figure.basis.map_or_else(|| label("card-stated", &[]), |basis| basis.words().to_owned());
    let weakest = figure.weakest.filter(|weakest| figure.basis.is_some_and(|lead| *weakest > lead));
    let basis = weakest.map_or_else(|| lead.clone(), |weakest| format!("{lead}, {}", weakest.words()));
    let used = text.chars().count() + basis.chars().count();
    if used + 2 <= WIDTH {
        return format!("{text}{:pad$}{basis}\n", "", pad = WIDTH - used);
    }
    let mut out = String::new();
    push_wrapped(&mut out, "  ", &text);
    out.push_str(&format!("{basis:>WIDTH$}\n"));
    out
}

/// The author's reason, and what his value took the place of.
fn because(out: &mut String, figure: &Figure, answer: &Answer<'_>) {
    let worked_out = figure.worked_out.as_ref().map(|value| {
        let other = Figure { value: value.clone(), because: None, worked_out: None, ..figure.clone() };
        let (set, range) = say::figure(&other, answer.job.system);
        let range = if range.is_empty() { range } else { format!(" ({range})") };
        label("why-worked-out", &[&format!("{set}{range}")])
    });
    let parts: Vec<String> = figure.because.iter().cloned().chain(worked_out).collect();
    if !parts.is_empty() {
        push_columns(out, &[(0, &label("why-because", &[])), (REMARK, &parts.join("; "))]);
    }
}

/// What stands beside the working, each kind named once.
fn remarks(out: &mut String, figure: &Figure, answer: &Answer<'_>) {
    let kinds = [
        (LineKind::Check, "why-check"),
        (LineKind::NotUsed, "why-not-used"),
        (LineKind::Doubt, "why-doubt"),
        (LineKind::Rounding, "why-rounding"),
        (LineKind::Remark, "why-remark"),
    ];
    for (kind, key) in kinds {
        let mut name = label(key, &[]);
        for line in figure.working.iter().filter(|line| line.kind == kind) {
            let parts = [say::line(line, answer.job.system), value(line), remark_origin(line, answer)];
            let text = parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ");
            push_columns(out, &[(0, &name), (REMARK, &text)]);
            name.clear();
        }
    }
}

/// A remark says where it was found, but not that it was worked out.
fn remark_origin(line: &Line, answer: &Answer<'_>) -> String {
    if line.origin == Origin::Computed { String::new() } else { origin(line, answer) }
}

/// The number or range of a line with its symbol: `k = 173 W/mK`.
fn value(line: &Line) -> String {
    let Some(number) = line.number else { return String::new() };
    let one = |number: f64| figures::bare(number, line.unit);
    let text = match line.upper {
        Some(upper) if upper > number => {
            let low = figures::bare(number, "");
            format!("{low} to {}", one(upper))
        }
        _ => one(number),
    };
    if line.symbol.is_empty() { text } else { format!("{} = {text}", line.symbol) }
}

/// Where a line came from: its formula, its source with the basis, or the place where it was stated.
fn origin(line: &Line, answer: &Answer<'_>) -> String {
    let placed = |span, plain: &str, with_line: &str| match answer.line_of(span) {
        Some(number) => label(with_line, &[&number.to_string()]),
        None => label(plain, &[]),
    };
    match &line.origin {
        Origin::Stated(span) => placed(*span, "why-stated", "why-stated-line"),
        Origin::Kit(span) => placed(*span, "why-kit", "why-kit-line"),
        Origin::Assumed => label("why-assumed", &[]),
        Origin::Row(cite) => cited(cite),
        Origin::Figure(name) => name.key().to_owned(),
        Origin::Computed => say::formula(line.formula),
    }
}

fn cited(cite: &Cite) -> String {
    if cite.basis == Basis::CommonPractice {
        cite.basis.words().to_owned()
    } else {
        format!("{}, {}", cite.basis.words(), cite.source)
    }
}

/// A candidate of a ranking with its reasons.
fn ranking(out: &mut String, ranked: &Ranked, place: usize, answer: &Answer<'_>) {
    let mut reasons: Vec<String> = ranked.reasons.iter().map(|reason| say::reason(reason, answer.job.system)).collect();
    reasons.dedup();
    let number = if ranked.excluded { String::new() } else { place.to_string() };
    let out_word = if ranked.excluded { label("why-out", &[]) } else { String::new() };
    let text = format!("{out_word}{}", reasons.join(" "));
    push_columns(out, &[(usize::from(place < 10), &number), (TEXT, &ranked.name), (REMARK + 4, &text)]);
}

fn pass_text(pass: &PassRow, answer: &Answer<'_>) -> String {
    let current = |[_, set, _]: [f64; 3]| show::one(amps(set), answer.job.system);
    let pool = show::both(mm(pass.pool), answer.job.system);
    let (number, side) = (pass.number.to_string(), pass.side.to_string());
    let parts = [&number, &side, pass.kind.word(), &pool, &current(pass.start), &current(pass.warm)];
    format!("  {}", label("why-pass", &parts))
}

/// What the keys of the sources stand for.
fn sources(out: &mut String, figure: &Figure) {
    let mut name = label("why-sources", &[]);
    let cites: Vec<Cite> = figure.cites().into_iter().filter(|cite| cite.basis != Basis::CommonPractice).collect();
    for (index, cite) in cites.iter().enumerate() {
        let key = cite.source;
        if cites.iter().take(index).any(|before| before.source == key) {
            continue;
        }
        let mut places: Vec<&str> = cites.iter().filter(|cite| cite.source == key).map(|cite| cite.locator).collect();
        places.dedup();
        let what = source_by_key(key).map_or("", |source| source.short.as_str());
        push_columns(out, &[(0, &name), (REMARK, &format!("{key}: {what}: {}", places.join("; ")))]);
        name.clear();
    }
}

/// Whether a figure has anything to explain.
#[must_use]
pub fn has_working(figure: &Figure) -> bool {
    !figure.working.is_empty() || !figure.ranking.is_empty() || matches!(figure.value, Value::Word(_))
}

/// Writes texts in columns; one that is too long for its column goes on in the same column of the next line.
pub(crate) fn push_columns(out: &mut String, columns: &[(usize, &str)]) {
    let ends = columns.iter().skip(1).map(|(at, _)| at.saturating_sub(2)).chain([WIDTH]);
    let mut cells: Vec<(usize, Vec<String>)> =
        columns.iter().zip(ends).map(|((at, text), end)| (*at, wrapped(text, end.saturating_sub(*at)))).collect();
    // An empty column gives its room to the one before it.
    for index in (1..cells.len()).rev() {
        let empty = cells.get(index).is_some_and(|cell| cell.1.is_empty());
        let last = cells.iter().skip(index + 1).all(|cell| cell.1.is_empty());
        if empty
            && last
            && let Some((at, text)) = columns.get(index - 1)
            && let Some(cell) = cells.get_mut(index - 1)
        {
            cell.1 = wrapped(text, WIDTH - at);
        }
    }
    let height = cells.iter().map(|cell| cell.1.len()).max().unwrap_or_default();
    for line in 0..height {
        let mut column = 0;
        for (at, lines) in &cells {
            let Some(text) = lines.get(line) else { continue };
            out.extend(std::iter::repeat_n(' ', at.saturating_sub(column)));
            out.push_str(text);
            column = column.max(*at) + text.chars().count();
        }
        out.push('\n');
    }
}

/// A text in lines of at most so many characters; a word that is longer stands alone.
fn wrapped(text: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}
