//! Preheat by the CET method, and two rules beside it for steels that it is not meant for.

use super::Departure;
use super::carbon_equivalent::Formula;
use crate::engine::work::constant;
use crate::reference::ConstantRow;

/// The two printed forms of the method. They differ by 3 CET - 2, at most 1.4 °C.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// EN 1011-2, method B: from memory.
    Standard,
    /// SEW 088 as a textbook quotes it: read.
    Read,
}

/// What the method starts from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inputs {
    /// CET, percent.
    pub cet: f64,
    /// Thickness of one plate, mm: never the sum of the plates that meet.
    pub thickness: f64,
    /// Hydrogen that diffuses, ml in 100 g of weld metal.
    pub hydrogen: f64,
    /// Heat input with k, kJ/mm.
    pub heat_input: f64,
}

/// What the method says.
#[derive(Debug, Clone, PartialEq)]
pub enum Advice {
    /// Preheat to this, °C, not rounded.
    Preheat(f64),
    /// The method asks for less than drying heat: dry the part, no more.
    DryOnly,
    /// The method is not meant for this; each bound that is left, and by how much.
    Outside(Vec<Departure>),
}

impl Form {
    fn weights(self) -> (&'static ConstantRow, &'static ConstantRow) {
        match self {
            Form::Standard => (constant("cet-carbon"), constant("cet-base")),
            Form::Read => (constant("cet-carbon-read"), constant("cet-base-read")),
        }
    }

    /// Preheat, °C, whatever the inputs: it may be negative, and outside the limits of use it means nothing.
    ///
    /// `a CET + 160 tanh(d/35) + 62 HD^0.35 + (53 CET - 32) Q - b`; a 697 and b 328, as read 700 and 330.
    #[must_use]
    pub fn temperature(self, inputs: &Inputs) -> f64 {
        let (carbon, base) = self.weights();
        let of = |key| constant(key).value;
        let plate = of("cet-plate") * libm::tanh(inputs.thickness / of("cet-plate-depth"));
        let hydrogen = of("cet-hydrogen") * libm::pow(inputs.hydrogen, of("cet-hydrogen-power"));
        let heat = (of("cet-heat") * inputs.cet - of("cet-heat-base")) * inputs.heat_input;
        carbon.value * inputs.cet + plate + hydrogen + heat - base.value
    }
}

/// The span of a constant that holds one; a constant without a range holds its value alone.
fn span(key: &str) -> [f64; 2] {
    let row = constant(key);
    row.range.unwrap_or([row.value; 2])
}

/// Bounds of the method that the inputs leave: CET 0.2 to 0.5 %, 10 to 90 mm, 1 to 20 ml in 100 g, 0.5 to 4 kJ/mm
/// (memory). It also is for yield strengths up to 1000 MPa, which no input tells.
#[must_use]
pub fn departures(inputs: &Inputs) -> Vec<Departure> {
    let of = |what, value, key, unit| Departure::of(what, value, span(key), unit);
    let others = [
        of("thickness", inputs.thickness, "cet-thickness-span", "mm"),
        of("hydrogen", inputs.hydrogen, "cet-hydrogen-span", "ml/100 g"),
        of("heat input", inputs.heat_input, "cet-heat-span", "kJ/mm"),
    ];
    Formula::Cet.departure_of_value(inputs.cet).into_iter().chain(others.into_iter().flatten()).collect()
}

/// What the method says, by the form that was read.
#[must_use]
pub fn advise(inputs: &Inputs) -> Advice {
    let left = departures(inputs);
    if !left.is_empty() {
        return Advice::Outside(left);
    }
    let preheat = Form::Read.temperature(inputs);
    if preheat < constant("cet-dry-below").value { Advice::DryOnly } else { Advice::Preheat(preheat) }
}

/// Carbon of the root rule with the part for thickness, percent: from the sum [`Formula::RootRule`] and mm.
#[must_use]
pub fn root_rule_carbon(sum: f64, thickness: f64) -> f64 {
    sum * (1.0 + constant("root-rule-size").value * thickness)
}

/// Preheat by the root rule, °C: `350 sqrt(C - 0.25)`; none where the carbon asks for none. From memory, for steels
/// over 0.2 % carbon; it knows neither hydrogen nor heat input.
#[must_use]
pub fn root_rule(sum: f64, thickness: f64) -> Option<f64> {
    let over = root_rule_carbon(sum, thickness) - constant("root-rule-base").value;
    (over > 0.0).then(|| constant("root-rule-factor").value * over.sqrt())
}

/// Band of preheat by quarter weights, °C; none where the laboratory leaves preheat to choice.
#[must_use]
pub fn quarter_band(sum: f64) -> Option<([f64; 2], &'static ConstantRow)> {
    if sum < constant("quarter-none-below").value {
        return None;
    }
    let hot = sum > constant("quarter-hot-from").value;
    let row = if hot { constant("quarter-band-hot") } else { constant("quarter-band-warm") };
    Some((row.range.unwrap_or([row.value; 2]), row))
}

/// Temperature at which martensite begins to form on cooling, °C, from the sum [`Formula::MartensiteFall`].
#[must_use]
pub fn martensite_start(fall: f64) -> f64 {
    constant("martensite-start-base").value - fall
}
