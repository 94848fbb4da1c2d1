//! Tungsten: class, diameter, tip and stick-out.

use super::figure::{Figure, LineKind, Value};
use super::maths::between;
use super::names::FigureName;
use super::opening::Opening;
use super::stock::{self, Electrode};
use super::work::{Work, cite, constant, round};
use crate::findings::Finding;
use crate::reference::{
    Basis, Polarity, Row, SoldSize, TungstenClass, TungstenCurrent, sold_size, tungsten_class, tungsten_current,
    tungsten_tip,
};
use crate::units::show;

/// What a tungsten carries at a polarity and balance, A.
#[derive(Debug, Clone)]
pub struct Capacity {
    /// Diameter, mm.
    pub diameter: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// The rows it was read from.
    pub rows: (&'static TungstenCurrent, &'static TungstenCurrent),
}

fn lead(diameter: f64, polarity: Polarity, balance: Option<f64>) -> Option<&'static TungstenCurrent> {
    tungsten_current().rows.iter().find(|row| {
        row.leads
            && row.kind == "oxide"
            && row.polarity == polarity
            && (row.diameter - diameter).abs() < 0.01
            && balance.is_none_or(|balance| row.balance == Some(balance))
    })
}

/// Capacity of an oxide tungsten at this balance (percent electrode negative): between the balanced and the unbalanced
/// column, never beyond.
#[must_use]
pub fn capacity(diameter: f64, polarity: Polarity, balance: f64) -> Option<Capacity> {
    if polarity != Polarity::AC {
        let row = lead(diameter, polarity, None)?;
        return Some(Capacity { diameter, low: row.current[0], high: row.current[1], rows: (row, row) });
    }
    let (even, skew) = (lead(diameter, polarity, Some(50.0))?, lead(diameter, polarity, Some(70.0))?);
    let at = |end: usize| {
        let y = |row: &TungstenCurrent| row.current.get(end).copied().unwrap_or(f64::NAN);
        between(balance.clamp(50.0, 70.0), (50.0, y(even)), (70.0, y(skew)))
    };
    Some(Capacity { diameter, low: at(0), high: at(1), rows: (even, skew) })
}

/// Diameters sold, thin to thick.
fn sold() -> Vec<&'static SoldSize> {
    let mut sizes: Vec<_> = sold_size().rows.iter().filter(|size| size.what == "tungsten").collect();
    sizes.sort_by(|a, b| a.mm.total_cmp(&b.mm));
    sizes
}

/// The inch name of a size of tungsten or rod.
#[must_use]
pub fn inch_name(what: &str, mm: f64) -> Option<&'static str> {
    sold_size().rows.iter().find(|size| size.what == what && (size.mm - mm).abs() < 0.01).map(|size| size.inch.as_str())
}

/// What the tungsten has to carry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Need {
    /// Polarity.
    pub polarity: Polarity,
    /// Percent electrode negative.
    pub balance: f64,
    /// Lowest running current, A.
    pub low: f64,
    /// Highest aim, A.
    pub aim: f64,
    /// Panel maximum, A.
    pub high: f64,
    /// Volume share of helium.
    pub helium: f64,
}

/// The tungsten that a job takes.
#[derive(Debug, Clone)]
pub struct Chosen {
    /// What it carries.
    pub capacity: Capacity,
    /// The figure of its diameter.
    pub figure: Figure,
    /// What the shelf lacks.
    pub lacks: Option<Finding>,
}

impl Need {
    /// Share of the published range that is left in this gas: the ranges are for argon, and helium loads the tip more.
    fn derate(&self) -> f64 {
        1.0 - self.helium * (1.0 - constant("tungsten-in-helium").value)
    }

    /// Whether the aim stays clear of the end of this tungsten: a thin one is not driven to its limit.
    fn has_room(&self, capacity: &Capacity) -> bool {
        let thin = capacity.diameter < constant("tungsten-thin-under").value;
        let load = if thin { constant("tungsten-load").value } else { 1.0 };
        let end = capacity.high * self.derate() * load;
        if thin { self.aim < end } else { self.aim <= end }
    }

    fn fits(&self, capacity: &Capacity) -> bool {
        capacity.high * self.derate() >= self.high && self.has_room(capacity)
    }
}

/// Whether an electrode of the shelf may be taken without being asked for: it has a rank at this polarity and no thorium.
fn ranked(class: &TungstenClass, polarity: Polarity) -> Option<u8> {
    let rank = match polarity {
        Polarity::AC => class.ac_rank,
        Polarity::DCEN | Polarity::DCEP => class.dc_rank,
    };
    rank.filter(|_| !class.thoriated)
}

fn usable(shelf: &[Electrode], polarity: Polarity) -> impl Iterator<Item = &Electrode> {
    shelf.iter().filter(move |electrode| ranked(electrode.class, polarity).is_some())
}

/// The current that the strongest tungsten of the shelf carries, A, rounded down to 5 A, among those that the aim leaves
/// room in: the panel is turned no further. None where the shelf is not known, or holds none for this aim.
#[must_use]
pub fn most_on_shelf(need: Need, shelf: &[Electrode]) -> Option<(f64, Electrode)> {
    let carries = usable(shelf, need.polarity).filter_map(|electrode| {
        let capacity = capacity(electrode.diameter, need.polarity, need.balance)?;
        let most = show::round_to(capacity.high * need.derate(), 5.0, show::Toward::Down);
        need.has_room(&capacity).then_some((most, *electrode))
    });
    carries.reduce(|best, next| if next.0 > best.0 { next } else { best })
}

/// The smallest diameter that carries the panel maximum: of the shelf, else of all that are sold.
#[must_use]
pub fn diameter(need: Need, shelf: &[Electrode]) -> Option<Chosen> {
    let all: Vec<Capacity> =
        sold().into_iter().filter_map(|size| capacity(size.mm, need.polarity, need.balance)).collect();
    let best = all.iter().position(|capacity| need.fits(capacity))?;
    let ready = |capacity: &Capacity| {
        usable(shelf, need.polarity).find(|electrode| (electrode.diameter - capacity.diameter).abs() < 0.01)
    };
    // One size up starts a little lazily; one that is much too thick would not even get warm.
    let held = all.iter().enumerate().skip(best).find_map(|(index, capacity)| {
        let fits = need.fits(capacity) && (index <= best + 1 || capacity.low <= need.high);
        fits.then(|| ready(capacity)).flatten().map(|electrode| (index, electrode))
    });
    let index = held.map_or(best, |(index, _)| index);
    let capacity = all.get(index)?.clone();
    let mut work = Work::new();
    write_capacity(&mut work, &need, &capacity);
    if let Some((index, electrode)) = held {
        work.kit("tungsten-on-shelf", "", capacity.diameter, "mm", Some(electrode.span));
        if index != best
            && let Some(enough) = all.get(best)
        {
            work.remark(LineKind::NotUsed, "size-not-on-shelf", vec![show::number(enough.diameter, 1)], None);
        }
    }
    let lacks = (held.is_none() && !shelf.is_empty()).then(|| lacking(&need, &capacity, shelf));
    let (even, skew) = capacity.rows;
    let mut figure =
        work.done(FigureName::TungstenDiameter, Value::Number(capacity.diameter), skew.basis.weaker(even.basis));
    figure.maximum = Some((capacity.high * need.derate()).floor());
    let beside = [index.checked_sub(1), Some(index + 1)];
    figure.alternatives =
        beside.into_iter().flatten().filter_map(|i| all.get(i)).map(|c| show::number(c.diameter, 1)).collect();
    Some(Chosen { capacity, figure, lacks })
}

fn write_capacity(work: &mut Work, need: &Need, chosen: &Capacity) {
    work.figure(FigureName::AmperageMax, "i", need.high);
    if need.polarity == Polarity::AC {
        work.figure(FigureName::Balance, "b", need.balance);
    }
    let (even, skew) = chosen.rows;
    if std::ptr::eq(even, skew) {
        work.row_range("tungsten-range", (even.current[0], even.current[1]), "A", even.cite());
    } else {
        work.row_range("tungsten-balanced", (even.current[0], even.current[1]), "A", even.cite());
        work.row_range("tungsten-unbalanced", (skew.current[0], skew.current[1]), "A", skew.cite());
        work.step_range("tungsten-at-balance", "", (chosen.low, chosen.high), "A");
    }
    work.small_constant("tungsten-load", "");
    if need.helium > 0.0 {
        work.adjust("tungsten-in-helium", "", need.derate(), "", cite("tungsten-in-helium"));
    }
    if let Some(size) = sold().into_iter().find(|size| (size.mm - chosen.diameter).abs() < 0.01) {
        work.small_row("tungsten-sold", "", size.mm, "mm", size.cite());
    }
    if chosen.low > need.low {
        work.remark(
            LineKind::Doubt,
            "tungsten-cold",
            vec![show::number(chosen.low, 0), show::number(need.low, 0)],
            None,
        );
    }
    for row in tungsten_current().rows.iter().filter(|row| {
        !row.leads
            && row.kind == "oxide"
            && row.polarity == need.polarity
            && (row.diameter - chosen.diameter).abs() < 0.01
            && row.basis == Basis::Published
    }) {
        work.check("tungsten-witness", (row.current[0], row.current[1]), "A", Some(row.cite()));
    }
}

/// No tungsten of the shelf will do: what is wanted, and why what lies there does not do.
fn lacking(need: &Need, wanted: &Capacity, shelf: &[Electrode]) -> Finding {
    let size =
        |mm: f64| format!("{} mm ({})", show::number(mm, 1), inch_name("tungsten", mm).unwrap_or("no inch size"));
    let name = best_class(need.polarity).map_or("an oxide tungsten", |class| class.name.as_str());
    let message = format!(
        "no tungsten of the shelf fits {} A at {} % EN: {name}, {} does",
        show::number(need.aim, 0),
        show::number(need.balance, 0),
        size(wanted.diameter)
    );
    let thorium = shelf.iter().find(|electrode| electrode.class.thoriated);
    let help = match (thorium, usable(shelf, need.polarity).next().is_some()) {
        (Some(electrode), false) => format!(
            "get {name}; {} is radioactive: its grinding dust is drawn off and collected, and no default takes it",
            electrode.class.name
        ),
        _ => format!(
            "get {name}, {}; one that is overloaded spits into the weld, one far too thick wanders",
            size(wanted.diameter)
        ),
    };
    stock::lacks(message, help, shelf.first().map(|electrode| electrode.span))
}

fn best_class(polarity: Polarity) -> Option<&'static TungstenClass> {
    tungsten_class()
        .rows
        .iter()
        .filter(|class| ranked(class, polarity).is_some())
        .min_by_key(|class| ranked(class, polarity))
}

/// The class: oxide without thorium, by rank, from the shelf where it holds this diameter; the others that would do.
#[must_use]
pub fn class(polarity: Polarity, diameter: f64, shelf: &[Electrode]) -> Option<Figure> {
    let mut classes: Vec<_> = tungsten_class().rows.iter().filter(|class| ranked(class, polarity).is_some()).collect();
    classes.sort_by_key(|class| ranked(class, polarity));
    let held = usable(shelf, polarity)
        .filter(|electrode| (electrode.diameter - diameter).abs() < 0.01)
        .min_by_key(|electrode| ranked(electrode.class, polarity));
    let first = *classes.first()?;
    let best = held.map_or(first, |electrode| electrode.class);
    let mut work = Work::new();
    work.remark(LineKind::Remark, "tungsten-class", vec![best.name.clone(), best.oxide.clone()], Some(best.cite()));
    work.remark(LineKind::Remark, "tungsten-colour", vec![best.colour.clone()], Some(best.cite()));
    if let Some(electrode) = held {
        work.kit_remark("on-shelf", vec![best.name.clone()], Some(electrode.span));
        if best.name != first.name {
            work.remark(LineKind::NotUsed, "not-on-shelf", vec![first.name.clone()], Some(first.cite()));
        }
    }
    work.remark(LineKind::NotUsed, "no-thorium", Vec::new(), Some(cite("no-thorium")));
    let mut figure = work.done(FigureName::TungstenType, Value::Word(best.name.clone()), Basis::CommonPractice);
    figure.alternatives =
        classes.iter().filter(|class| class.name != best.name).map(|class| class.name.clone()).collect();
    Some(figure)
}

/// Taper, included angle and flat of the tip.
#[must_use]
pub fn tip(polarity: Polarity, diameter: f64, amps: f64) -> Vec<Figure> {
    match polarity {
        Polarity::AC => tip_ac(diameter),
        Polarity::DCEN | Polarity::DCEP => tip_dc(diameter, amps),
    }
}

fn tip_ac(diameter: f64) -> Vec<Figure> {
    let range = constant("taper-diameters").range.unwrap_or([constant("taper-diameters").value; 2]);
    let mut taper = Work::new();
    taper.figure(FigureName::TungstenDiameter, "d", diameter);
    let factor = taper.constant("taper-diameters", "q");
    taper.step("taper", "", "q * d", factor * diameter, "mm");
    let rounded = |name, value| round(name, value);
    let value = Value::Range {
        low: rounded(FigureName::TipTaper, range[0] * diameter),
        high: rounded(FigureName::TipTaper, range[1] * diameter),
        set: rounded(FigureName::TipTaper, factor * diameter),
    };
    let taper = taper.done(FigureName::TipTaper, value, constant("taper-diameters").basis);

    let mut flat = Work::new();
    flat.figure(FigureName::TungstenDiameter, "d", diameter);
    let share = flat.constant("flat-share-ac", "q");
    flat.step("flat", "", "q * d", share * diameter, "mm");
    flat.remark(LineKind::Remark, "dome-no-wider", Vec::new(), Some(cite("flat-share-ac")));
    let flat = flat.done(
        FigureName::TipFlat,
        Value::Number(rounded(FigureName::TipFlat, share * diameter)),
        constant("flat-share-ac").basis,
    );

    let mut angle = Work::new();
    angle.figure(FigureName::TungstenDiameter, "d", diameter);
    angle.figure(FigureName::TipTaper, "l", factor * diameter);
    angle.figure(FigureName::TipFlat, "F", share * diameter);
    let included = 2.0 * libm::atan((1.0 - share) / 2.0 / factor).to_degrees();
    angle.step("angle", "", "2 * atan((d - F) / 2 / l) * 180 / pi", included, "deg");
    let angle = angle.done(
        FigureName::TipAngle,
        Value::Number(rounded(FigureName::TipAngle, included)),
        constant("taper-diameters").basis,
    );
    vec![taper, angle, flat]
}

fn tip_dc(diameter: f64, amps: f64) -> Vec<Figure> {
    let mut rows: Vec<_> = tungsten_tip().rows.iter().filter(|row| (row.diameter - diameter).abs() < 0.01).collect();
    rows.sort_by(|a, b| a.angle.total_cmp(&b.angle));
    // Above the rows: the largest angle of that diameter.
    let Some(row) = rows.iter().find(|row| amps <= row.current[1]).or(rows.last()) else { return Vec::new() };
    let make = |name, words, number: f64, unit: &'static str| {
        let mut work = Work::new();
        work.figure(FigureName::TungstenDiameter, "d", diameter);
        work.row(words, "", number, unit, row.cite());
        work.done(name, Value::Number(round(name, number)), row.basis)
    };
    vec![
        make(FigureName::TipAngle, "angle-row", row.angle, "deg"),
        make(FigureName::TipFlat, "flat-row", row.flat, "mm"),
    ]
}

/// Stick-out of the tungsten.
#[derive(Debug, Clone)]
pub struct StickOut {
    /// The figure.
    pub figure: Figure,
    /// What the opening would want, mm, where the cup does not allow it.
    pub short_of: Option<f64>,
}

/// Stick-out: as far as the opening and an arc one tungsten long ask, within the limit of the cup.
#[must_use]
pub fn stick_out(diameter: f64, lens: bool, opening: &Opening) -> StickOut {
    let mut work = Work::new();
    let key = if lens { "stick-out-lens" } else { "stick-out-plain" };
    let limit = work.constant(key, "m");
    work.figure(FigureName::TungstenDiameter, "d", diameter);
    let depth = opening.sides.first().map_or(0.0, |side| side.depth);
    work.figure(FigureName::Groove, "D", depth);
    let least = work.small_constant("stick-out-least", "l");
    let wanted = (depth + diameter).max(least);
    let value = work.step("stick-out", "", "min(m, max(l, D + d))", wanted.min(limit), "mm");
    // Where the opening asks for more than the limit, the published limit leads; else the shop's rule does.
    let basis = if wanted > limit { constant(key).basis } else { Basis::CommonPractice };
    let mut figure = work.done(FigureName::StickOut, Value::Number(round(FigureName::StickOut, value)), basis);
    figure.maximum = Some(limit);
    StickOut { figure, short_of: (wanted > limit + 0.5).then_some(wanted) }
}
