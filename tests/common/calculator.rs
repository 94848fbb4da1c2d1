//! A pocket calculator for the formulas of workings: numbers, symbols, + - * / ^, brackets and a few functions.
//!
//! `plate_power` is worked out by mirrored sources, not by the series that the engine uses; `u_area` by adding up
//! slices.

use std::collections::HashMap;
use std::f64::consts::PI;

/// Symbols and their numbers.
#[derive(Default)]
pub struct Calculator {
    symbols: HashMap<String, f64>,
}

struct Reading<'a> {
    rest: &'a str,
    symbols: &'a HashMap<String, f64>,
}

impl Calculator {
    /// Gives a symbol its number.
    pub fn set(&mut self, symbol: &str, number: f64) {
        self.symbols.insert(symbol.to_owned(), number);
    }

    /// Works a formula out.
    pub fn work_out(&self, formula: &str) -> Result<f64, String> {
        let mut reading = Reading { rest: formula, symbols: &self.symbols };
        let value = reading.sum()?;
        reading.skip();
        if reading.rest.is_empty() { Ok(value) } else { Err(format!("left over: {}", reading.rest)) }
    }
}

impl Reading<'_> {
    fn skip(&mut self) {
        self.rest = self.rest.trim_start();
    }

    fn take(&mut self, sign: char) -> bool {
        self.skip();
        match self.rest.strip_prefix(sign) {
            Some(rest) => {
                self.rest = rest;
                true
            }
            None => false,
        }
    }

    fn sum(&mut self) -> Result<f64, String> {
        let mut value = self.product()?;
        loop {
            if self.take('+') {
                value += self.product()?;
            } else if self.take('-') {
                value -= self.product()?;
            } else {
                return Ok(value);
            }
        }
    }

    fn product(&mut self) -> Result<f64, String> {
        let mut value = self.power()?;
        loop {
            if self.take('*') {
                value *= self.power()?;
            } else if self.take('/') {
                value /= self.power()?;
            } else {
                return Ok(value);
            }
        }
    }

    fn power(&mut self) -> Result<f64, String> {
        let base = self.atom()?;
        if self.take('^') { Ok(base.powf(self.atom()?)) } else { Ok(base) }
    }

    fn atom(&mut self) -> Result<f64, String> {
        if self.take('(') {
            let value = self.sum()?;
            return if self.take(')') { Ok(value) } else { Err("bracket".into()) };
        }
        self.skip();
        let end = self
            .rest
            .find(|c: char| !(c.is_alphanumeric() || c == '.' || c == '_' || c == 'e'))
            .unwrap_or(self.rest.len());
        let (mut word, mut rest) = self.rest.split_at(end);
        // 1e-9
        if word.ends_with('e') && word.starts_with(|c: char| c.is_ascii_digit()) && rest.starts_with('-') {
            let more = 1 + rest[1..].find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len() - 1);
            word = &self.rest[..end + more];
            rest = &self.rest[end + more..];
        }
        self.rest = rest;
        if let Ok(number) = word.parse::<f64>() {
            return Ok(number);
        }
        if word == "pi" {
            return Ok(PI);
        }
        if self.take('(') {
            let mut arguments = vec![self.sum()?];
            while self.take(',') {
                arguments.push(self.sum()?);
            }
            if !self.take(')') {
                return Err(format!("bracket of {word}"));
            }
            return function(word, &arguments);
        }
        self.symbols.get(word).copied().ok_or_else(|| format!("no symbol {word}"))
    }
}

fn function(name: &str, a: &[f64]) -> Result<f64, String> {
    Ok(match (name, a) {
        ("sqrt", [x]) => x.sqrt(),
        ("min", [x, y]) => x.min(*y),
        ("max", [x, y]) => x.max(*y),
        ("ceil", [x]) => (x - 1e-9).ceil(),
        ("floor", [x]) => x.floor(),
        ("tan", [x]) => x.tan(),
        ("tanh", [x]) => x.tanh(),
        ("sin", [x]) => x.sin(),
        ("cos", [x]) => x.cos(),
        ("atan", [x]) => x.atan(),
        ("ln", [x]) => x.ln(),
        ("exp", [x]) => x.exp(),
        ("abs", [x]) => x.abs(),
        ("plate_power", [w, t, k, a, v, rise]) => plate_power(*w, *t, *k, *a, *v, *rise, None),
        ("plate_power_at_edge", [w, t, k, a, v, rise, edge]) => plate_power(*w, *t, *k, *a, *v, *rise, Some(*edge)),
        ("u_width", [d, r, angle]) => {
            // The section between two depths a hair apart.
            (u_area(d + 5e-5, *r, *angle) - u_area(d - 5e-5, *r, *angle)) / 1e-4
        }
        ("u_area", [d, r, angle]) => u_area(*d, *r, *angle),
        ("warm_amps", [i, molten, from, to, base, slope]) => {
            let power = i * (base + slope * i) * (molten - to) / (molten - from);
            // By halving, not by the root of the quadratic.
            let (mut low, mut high) = (0.0, 10_000.0);
            for _ in 0..200 {
                let middle = (low + high) / 2.0;
                if middle * (base + slope * middle) < power { low = middle } else { high = middle }
            }
            low
        }
        _ => return Err(format!("no function {name} of {}", a.len())),
    })
}

/// Power for a pool of this width (mm) on a plate (mm), W/mK, mm2/s, mm/min, K: by mirrored sources.
fn plate_power(
    width: f64,
    plate: f64,
    conductivity: f64,
    diffusivity: f64,
    travel: f64,
    rise: f64,
    edge: Option<f64>,
) -> f64 {
    let speed = travel / 60.0;
    let source = |x: f64, y: f64| -> f64 {
        let mut sum = 0.0;
        for mirror in -3000i32..=3000 {
            let depth = 2.0 * f64::from(mirror) * plate;
            let r = (x * x + y * y + depth * depth).sqrt();
            sum += (-speed * (r + x) / (2.0 * diffusivity)).exp() / r;
        }
        sum / (2.0 * PI * conductivity * 1e-3)
    };
    let at = |x: f64| source(x, width / 2.0) + edge.map_or(0.0, |edge| source(x, 2.0 * edge - width / 2.0));
    let mut best: f64 = 0.0;
    let (mut centre, mut reach) = (-2.0 * width, 4.0 * width + 3.0 * plate);
    for _ in 0..14 {
        let mut top = centre;
        for step in -8..=8 {
            let x = centre + reach * f64::from(step) / 8.0;
            let value = at(x);
            if value > best {
                best = value;
                top = x;
            }
        }
        centre = top;
        reach /= 3.0;
    }
    rise / best
}

/// Section of a round-bottomed groove by slices: depth, radius (mm), included angle (degrees).
fn u_area(depth: f64, radius: f64, angle: f64) -> f64 {
    let half = (angle / 2.0).to_radians();
    let tangent = radius * (1.0 - half.sin());
    let slices = 200_000;
    let step = depth / f64::from(slices);
    (0..slices)
        .map(|slice| {
            let h = (f64::from(slice) + 0.5) * step;
            let width = if h < tangent {
                2.0 * (h * (2.0 * radius - h)).sqrt()
            } else {
                2.0 * (radius * half.cos() + (h - tangent) * half.tan())
            };
            width * step
        })
        .sum()
}
