//! Rod diameter, passes, and what the job uses up: weld metal, rods, arc time, gas.

use super::figure::{Figure, LineKind, PassKind, PassRow, Value};
use super::geometry::{rod_mass, rods_needed};
use super::job::Job;
use super::names::FigureName;
use super::opening::{Opening, Shape};
use super::schedule;
use super::solved::Solved;
use super::stock::{self, Rod};
use super::work::{Work, constant, constant_of, round};
use crate::findings::Finding;
use crate::reference::search::filler_named;
use crate::reference::{Basis, Class, Polarity, Product, Row, SoldSize, rod_current, sold_size};
use crate::units::show;

/// Rod sizes sold, thin to thick.
fn rods_sold() -> Vec<&'static SoldSize> {
    let mut sizes: Vec<_> = sold_size().rows.iter().filter(|size| size.what == "rod").collect();
    sizes.sort_by(|a, b| a.mm.total_cmp(&b.mm));
    sizes
}

/// The rod diameter: within the published range for the current; through a wall the size of the schedule, else the
/// middle; on sheet not thicker than a little over the wall; of the shelf where it holds this filler in a size of that
/// range. The finding says what the shelf lacks.
#[must_use]
pub fn rod_figure(
    job: &Job<'_>,
    filler: Option<&str>,
    wall: f64,
    amps: f64,
    polarity: Polarity,
    through: bool,
) -> Option<(Figure, Option<Finding>)> {
    let rows = &rod_current().rows;
    let row = rows.iter().find(|row| amps <= row.current[1]).or(rows.last())?;
    let mut work = Work::new();
    work.figure(FigureName::Amperage, "i", round(FigureName::Amperage, amps));
    work.row_range("rod-by-current", (row.diameter[0], row.diameter[1]), "mm", row.cite());
    let mut aim = f64::midpoint(row.diameter[0], row.diameter[1]);
    let mut basis = row.basis;
    if through {
        let leads = schedule::lead_rows(schedule::Of::job(job, polarity), "butt");
        let nearest = leads
            .into_iter()
            .filter(|row| row.rod.is_some())
            .min_by(|a, b| (a.thickness - wall).abs().total_cmp(&(b.thickness - wall).abs()));
        if let Some((lead, rod)) = nearest.and_then(|lead| lead.rod.map(|rod| (lead, rod))) {
            work.row_range("rod-of-schedule", (rod[0], rod[1]), "mm", lead.cite());
            aim = f64::midpoint(rod[0], rod[1]);
            basis = lead.basis;
        }
    }
    let bound = constant("rod-over-wall").value * wall;
    if bound < aim {
        work.adjust("rod-over-wall", "", bound, "mm", constant("rod-over-wall").cite());
        aim = bound;
    }
    let sizes = rods_sold();
    let nearest = |sizes: &mut dyn Iterator<Item = &'static SoldSize>| {
        sizes.min_by(|a, b| (a.mm - aim).abs().total_cmp(&(b.mm - aim).abs()))
    };
    let best = nearest(&mut sizes.iter().copied())?;
    // What the shelf holds of this filler, and of that what the current and the wall bear.
    let held: Vec<Rod<'_>> =
        stock::rods(job).into_iter().filter(|rod| Some(rod.filler.name.as_str()) == filler).collect();
    let bears = |mm: f64| {
        // The sizes sold lie beside the ends of the published ranges: 3.2 mm where 3 mm is printed.
        let slack = constant("rod-slack").value;
        let low = row.diameter[0].min(best.mm) - slack;
        low <= mm && mm <= row.diameter[1].max(best.mm) + slack && mm <= bound.max(best.mm)
    };
    let at_hand = |size: &&SoldSize| held.iter().any(|rod| rod.diameter.is_some_and(|mm| (mm - size.mm).abs() < 0.01));
    let taken = nearest(&mut sizes.iter().copied().filter(|size| at_hand(size) && bears(size.mm)));
    let chosen = taken.unwrap_or(best);
    if let Some(rod) = held.iter().find(|rod| taken.is_some() && rod.diameter == Some(chosen.mm)) {
        work.kit("rod-on-shelf", "", chosen.mm, "mm", Some(rod.span));
        if (chosen.mm - best.mm).abs() > 0.01 {
            work.remark(LineKind::NotUsed, "size-not-on-shelf", vec![show::number(best.mm, 1)], None);
        }
    }
    work.small_row("rod-sold", "", chosen.mm, "mm", chosen.cite());
    let mut figure = work.done(FigureName::FillerDiameter, Value::Number(chosen.mm), basis);
    let index = sizes.iter().position(|size| (size.mm - chosen.mm).abs() < 0.01)?;
    let beside = [index.checked_sub(1), Some(index + 1)];
    figure.alternatives =
        beside.into_iter().flatten().filter_map(|i| sizes.get(i)).map(|size| show::number(size.mm, 1)).collect();
    figure.parts = vec![("range-low", row.diameter[0], "mm"), ("range-high", row.diameter[1], "mm")];
    let sized = held.iter().any(|rod| rod.diameter.is_some());
    let lacks = (taken.is_none() && sized && held.iter().all(|rod| rod.diameter.is_some()))
        .then(|| lacking_rod(best, filler.unwrap_or("the rod"), &held));
    Some((figure, lacks))
}

/// The shelf holds the filler, and in no size that fits.
fn lacking_rod(best: &SoldSize, filler: &str, held: &[Rod<'_>]) -> Finding {
    let sizes: Vec<String> =
        held.iter().filter_map(|rod| rod.diameter).map(|mm| format!("{} mm", show::number(mm, 1))).collect();
    let thin = held.iter().filter_map(|rod| rod.diameter).all(|mm| mm < best.mm);
    let until =
        if thin { "until then feed two thin ones side by side" } else { "a thick rod chills the pool of a thin wall" };
    stock::lacks(
        format!(
            "{filler} lies ready in {} alone, and {} mm ({}) is wanted",
            sizes.join(" and "),
            show::number(best.mm, 1),
            best.inch
        ),
        format!("get {} mm ({}); {until}", show::number(best.mm, 1), best.inch),
        held.first().map(|rod| rod.span),
    )
}

/// Part temperatures that currents are given for, °C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Temperatures {
    /// At the start.
    pub start: f64,
    /// Half way to the limit.
    pub running: f64,
    /// Near the interpass limit.
    pub warm: f64,
}

/// The passes: how many, where they lie, and what each is run at.
#[must_use]
pub fn passes(class: Class, opening: &Opening, root: &Solved, fill: &Solved, temperatures: Temperatures) -> Figure {
    let mut work = opening.work.clone();
    let most = work.constant_of(class, "deposit-per-pass-most", "D");
    let mut rows: Vec<PassRow> = Vec::new();
    for side in &opening.sides {
        let section = side.area + side.cap;
        work.step("section-to-fill", "g", "", section, "mm2");
        work.with(vec![side.number.to_string()]);
        let count = if opening.shape == Shape::Pad {
            work.step("layers", "N", "", f64::from(opening.layers), "");
            let pitch = work.small_constant("bead-pitch", "b");
            let pool = fill.pool.unwrap_or_default();
            let wide = work.step("beads-side-by-side", "W", "", side_by_side(side.width, pool, pitch), "");
            pad_beads(opening, section, most, wide)
        } else {
            (section / most - 1e-9).ceil().max(1.0)
        };
        let formula = if opening.shape == Shape::Pad { "max(N * W, ceil(g / D))" } else { "max(1, ceil(g / D))" };
        work.step("passes-of-side", "", formula, count, "");
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "few passes")]
        let count = (count as u32).clamp(1, 200);
        // A pad is listed by its layers, or its table would run over the page.
        let listed = if opening.shape == Shape::Pad { opening.layers.max(1) } else { count };
        for index in 0..listed {
            let kind = kind_of(opening.shape, index, listed);
            let solved = if kind == PassKind::Root { root } else { fill };
            let share = f64::from(index + 1) / f64::from(listed);
            let length = if opening.shape == Shape::Pad {
                side.volume.map(|volume| volume / f64::from(listed) / (section / f64::from(count)).max(1e-9))
            } else {
                side.full_length.map(|length| length + side.ends * side.run_out)
            };
            rows.push(PassRow {
                number: u32::try_from(rows.len()).unwrap_or(u32::MAX) + 1,
                side: side.number,
                kind,
                pool: solved.pool.unwrap_or_else(|| seam_pool(opening, side)),
                deposit: section / f64::from(count),
                length,
                fill_to: fill_to(opening, side.depth, share, index + 1 == listed),
                start: rounded(solved.at(temperatures.start)),
                running: rounded(solved.at(temperatures.running)),
                warm: rounded(solved.at(temperatures.warm)),
            });
        }
    }
    let count = u32::try_from(rows.len()).unwrap_or(u32::MAX);
    work.step("passes-in-all", "", "", f64::from(count), "");
    let mut figure = work.done(FigureName::Passes, Value::Number(f64::from(count)), Basis::CommonPractice);
    figure.passes = rows;
    figure
}

/// Beads of a pad: its section over what one bead lays, and never fewer than cover its width in each layer.
fn pad_beads(opening: &Opening, section: f64, most: f64, wide: f64) -> f64 {
    (section / most - 1e-9).ceil().max(f64::from(opening.layers) * wide)
}

/// Beads side by side that cover a width, mm, with this pool, mm, and this share of it between them.
fn side_by_side(width: f64, pool: f64, pitch: f64) -> f64 {
    if pool <= 0.0 || width <= pool { 1.0 } else { 1.0 + ((width - pool) / (pitch * pool) - 1e-9).ceil() }
}

fn kind_of(shape: Shape, index: u32, count: u32) -> PassKind {
    match (shape, index) {
        (Shape::Pad, _) => PassKind::Pad,
        (_, 0) => PassKind::Root,
        (_, index) if index + 1 == count => PassKind::Cap,
        _ => PassKind::Fill,
    }
}

/// Pool of a pass that a schedule leads: as wide as the joint; of a patch, as wide as its seam.
fn seam_pool(opening: &Opening, side: &super::opening::Side) -> f64 {
    if opening.shape == Shape::Patch {
        constant("pool-per-wall").value * opening.left + constant("butt-gap").value
    } else {
        side.width
    }
}

/// Depth below the face at which a pass ends, mm; the cap stands proud.
fn fill_to(opening: &Opening, depth: f64, share: f64, last: bool) -> Option<f64> {
    if last {
        return (opening.cap_height > 0.0).then_some(-super::work::to_step(opening.cap_height, 0.1));
    }
    matches!(opening.shape, Shape::Groove | Shape::Plug | Shape::Vee)
        .then(|| super::work::to_step(depth * (1.0 - share.sqrt()), 0.5))
}

/// Rounded as amperage is.
#[must_use]
pub fn rounded(amps: [f64; 3]) -> [f64; 3] {
    amps.map(|amps| round(FigureName::Amperage, amps))
}

/// What a job is run at, as far as it uses something up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunAt<'a> {
    /// Rod diameter, mm.
    pub rod: f64,
    /// Filler metal.
    pub filler: &'a str,
    /// Travel speed, mm/min.
    pub travel: f64,
    /// Gas flow, L/min.
    pub flow: f64,
    /// Gas of a trailing shield and behind the root together, L/min.
    pub beside: f64,
    /// Gas before the arc, s.
    pub pre_flow: f64,
    /// Gas after the arc, s.
    pub post_flow: f64,
}

/// Weld metal, rods, arc time and gas; empty where the damage is not measured.
#[must_use]
pub fn figures(job: &Job<'_>, opening: &Opening, passes: &Figure, set: &RunAt<'_>) -> Vec<Figure> {
    let RunAt { rod, filler, travel, flow, beside, pre_flow, post_flow } = *set;
    let Some(volume) = opening.volume() else { return Vec::new() };
    let Some(density) = filler_named(filler) else { return Vec::new() };
    let casting = job.base.candidates.iter().any(|alloy| alloy.product != Product::Wrought);
    let class = job.class();
    let deposit = constant_of(class, "deposit-per-pass").value;
    let mut trial_length = constant("scrap-bead-length").value;
    if casting {
        trial_length += constant("trial-bead-length").value;
    }
    let mut mass = Work::new();
    mass.step("deposit-volume", "V", "", volume, "mm3");
    mass.small_row("filler-density", "rho", density.density, "g/cm3", density.cite());
    mass.small_constant_of(class, "deposit-per-pass", "d");
    mass.step("trial-length", "l", "", trial_length, "mm");
    let grams = mass.step(
        "weld-mass",
        "",
        "(V + d * l) * rho / 1000",
        (volume + deposit * trial_length) * density.density / 1000.0,
        "g",
    );
    let mass = mass.done(
        FigureName::FillerMass,
        Value::Number(round(FigureName::FillerMass, grams).max(1.0)),
        Basis::Computed,
    );

    let mut rods = Work::new();
    let length = sold_size().rows.iter().find(|size| size.what == "rod" && (size.mm - rod).abs() < 0.01);
    let metre = length.and_then(|size| size.lengths.last().copied()).unwrap_or(1000.0);
    rods.figure(FigureName::FillerMass, "M", grams);
    rods.figure(FigureName::FillerDiameter, "d", rod);
    rods.step("rod-length", "l", "", metre, "mm");
    rods.small_row("filler-density", "rho", density.density, "g/cm3", density.cite());
    let one = rods.step("one-rod", "m", "pi / 4 * d^2 * l * rho / 1000", rod_mass(rod, metre, density.density), "g");
    let stub = rods.constant("stub-loss", "q");
    let count = rods.step(
        "rods",
        "",
        "max(1, ceil(M / (m * (1 - q / 100)) - 1e-9))",
        rods_needed(grams, one, stub / 100.0),
        "",
    );
    let mut rods = rods.done(FigureName::Rods, Value::Number(count), Basis::Computed);
    rods.parts.push(("rod-length", metre, "mm"));

    let run = weld_length(class, opening, passes) + trial_length;
    let mut time = Work::new();
    time.step("weld-length", "l", "", run, "mm");
    time.figure(FigureName::TravelSpeed, "v", travel);
    let minutes = time.step("arc-time", "", "l / v", run / travel, "min");
    let time = time.done(FigureName::ArcTime, Value::Number(up_to_half(minutes)), Basis::Computed);

    let mut gas = Work::new();
    gas.figure(FigureName::GasFlow, "Q", flow);
    let flow = if beside > 0.0 {
        gas.step("gas-beside", "Qb", "", beside, "L/min");
        gas.remark(LineKind::Doubt, "gas-of-purge", Vec::new(), None);
        gas.step("gas-together", "Q", "Q + Qb", flow + beside, "L/min")
    } else {
        flow
    };
    gas.figure(FigureName::ArcTime, "m", minutes);
    gas.figure(FigureName::PostFlow, "p", post_flow);
    gas.figure(FigureName::PreFlow, "a", pre_flow);
    let starts =
        f64::from(u32::try_from(passes.passes.len()).unwrap_or(u32::MAX)) * gas.constant("starts-per-pass", "s") + 2.0;
    gas.step("starts", "n", "", starts, "");
    gas.remark(LineKind::Remark, "starts-include-trials", Vec::new(), None);
    let litres = gas.step(
        "gas-volume",
        "",
        "Q * (m + n * (a + p) / 60)",
        flow * (minutes + starts * (pre_flow + post_flow) / 60.0),
        "L",
    );
    let gas =
        gas.done(FigureName::GasVolume, Value::Number(round(FigureName::GasVolume, litres).max(5.0)), Basis::Computed);
    vec![mass, rods, time, gas]
}

/// Minutes, rounded up to the half.
fn up_to_half(minutes: f64) -> f64 {
    show::round_to(minutes, 0.5, show::Toward::Up).max(0.5)
}

/// Length of all passes, mm.
fn weld_length(class: Class, opening: &Opening, passes: &Figure) -> f64 {
    let listed: f64 = passes.passes.iter().filter_map(|row| row.length).sum();
    if listed > 0.0 { listed } else { opening.volume().unwrap_or(0.0) / constant_of(class, "deposit-per-pass").value }
}
