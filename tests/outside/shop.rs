//! Short specs and the engine's answers to them.

use crate::common::calculator::Calculator;
use crate::rows::Check;
use interpass::engine::preheat::{Limits, limits};
use interpass::engine::{self, Figure, FigureName, Job, PassKind, PassRow, Worked};
use interpass::findings::{Code, Finding};
use interpass::kit::Kit;
use interpass::reference::Product;
use interpass::reference::search::alloy_named;
use interpass::rules::{self, Judgement};
use interpass::spec::Spec;

/// A spec of a crack, as a welder would write it.
#[derive(Debug, Clone)]
pub(crate) struct Ask {
    pub(crate) alloy: String,
    pub(crate) temper: Option<&'static str>,
    pub(crate) other: Option<String>,
    pub(crate) form: String,
    pub(crate) thickness: String,
    pub(crate) joint: String,
    /// Whether the bench answer is asked for, which cuts nothing, as a printed schedule does not; so it is for a butt.
    pub(crate) bench: bool,
    /// Lines of `[metal]`, `[damage]`, `[part]`, `[place]` and `[weld]` beside the usual ones.
    pub(crate) metal: String,
    pub(crate) damage: String,
    pub(crate) part: String,
    pub(crate) place: String,
    pub(crate) weld: String,
}

fn form_of(alloy: &str) -> &'static str {
    match alloy_named(alloy).map(|alloy| alloy.product) {
        Some(Product::Cast) => "sand casting",
        Some(Product::Die) => "die casting",
        _ => "plate",
    }
}

impl Ask {
    pub(crate) fn new(alloy: &str, thickness: &str, joint: &str) -> Ask {
        Ask::of_form(alloy, form_of(alloy), thickness, joint)
    }

    pub(crate) fn of_form(alloy: &str, form: &str, thickness: &str, joint: &str) -> Ask {
        Ask {
            alloy: alloy.to_owned(),
            temper: None,
            other: None,
            form: form.to_owned(),
            thickness: thickness.to_owned(),
            joint: joint.to_owned(),
            bench: joint == "butt",
            metal: String::new(),
            damage: String::new(),
            part: String::new(),
            place: String::new(),
            weld: String::new(),
        }
    }

    /// One more line of a table.
    pub(crate) fn put(&mut self, table: &str, line: &str) {
        let lines = match table {
            "metal" => &mut self.metal,
            "damage" => &mut self.damage,
            "part" => &mut self.part,
            "place" => &mut self.place,
            "weld" => &mut self.weld,
            other => panic!("no table {other}"),
        };
        lines.push_str(line);
        lines.push('\n');
    }

    pub(crate) fn text(&self) -> String {
        let temper = self.temper.map_or(String::new(), |temper| format!("temper = \"{temper}\"\n"));
        let other = self.other.as_ref().map_or(String::new(), |other| {
            format!("[metal.other]\nalloy = \"{other}\"\nform = \"{}\"\n", form_of(other))
        });
        format!(
            "format = 1\n[procedure]\nnumber = \"OUT-1\"\ntitle = \"Outside check\"\nrevision = \"A\"\n[part]\n{}\n[place]\n{}\n\
             [metal]\nalloy = \"{}\"\n{temper}form = \"{}\"\nthickness = \"{}\"\n{}\n{other}\
             [damage]\nkind = \"crack\"\nlength = \"40 mm\"\n{}\n[weld]\njoint = \"{}\"\n{}\n",
            self.part,
            self.place,
            self.alloy,
            self.form,
            self.thickness,
            self.metal,
            self.damage,
            self.joint,
            self.weld
        )
    }

    /// The engine's answer, or what the reader has against it.
    pub(crate) fn answer(&self) -> Result<Answer, String> {
        self.answer_with(None)
    }

    /// The job.
    pub(crate) fn job<'a>(&self, spec: &'a Spec, kit: Option<&'a Kit>) -> (Job<'a>, Vec<Finding>) {
        let check = if self.bench { engine::job::check_settings } else { engine::job::check };
        check(spec, kit)
    }

    /// As [`Ask::answer`], in a shop with this kit.
    pub(crate) fn answer_with(&self, kit: Option<&Kit>) -> Result<Answer, String> {
        let text = self.text();
        let (spec, findings) = interpass::spec::read(&text);
        let spec = spec.ok_or_else(|| format!("does not read: {}", messages(&findings)))?;
        let (job, _) = self.job(&spec, kit);
        let worked = engine::work_out(&job);
        let judgement = rules::judge(&job, &worked);
        Ok(Answer { worked, judgement, limits: limits(&job) })
    }
}

fn messages(findings: &[Finding]) -> String {
    findings.iter().map(|finding| finding.message.clone()).collect::<Vec<_>>().join("; ")
}

/// What the program says to a spec.
pub(crate) struct Answer {
    pub(crate) worked: Worked,
    pub(crate) judgement: Judgement,
    /// Highest preheat and interpass temperature of the metal.
    pub(crate) limits: Option<Limits>,
}

impl Answer {
    pub(crate) fn figure(&self, name: FigureName) -> Option<&Figure> {
        self.worked.figures.get(&name)
    }

    /// The value to set.
    pub(crate) fn aim(&self, name: FigureName) -> Option<f64> {
        self.figure(name).and_then(Figure::aim)
    }

    pub(crate) fn ends(&self, name: FigureName) -> Option<(f64, f64)> {
        self.figure(name).and_then(Figure::ends)
    }

    /// Whether the engine has found this.
    pub(crate) fn has(&self, code: Code) -> bool {
        self.worked.findings.iter().any(|finding| finding.code == code)
    }

    /// Filler metals that are not excluded, best first.
    pub(crate) fn fillers(&self) -> Vec<&str> {
        let ranking = self.figure(FigureName::FillerMetal).map_or(&[][..], |figure| &figure.ranking);
        ranking.iter().filter(|ranked| !ranked.excluded).map(|ranked| ranked.name.as_str()).collect()
    }

    pub(crate) fn pass(&self, kind: PassKind) -> Option<&PassRow> {
        self.figure(FigureName::Passes).and_then(|figure| figure.passes.iter().find(|row| row.kind == kind))
    }
}

/// The formula by which the engine works a line of a figure out.
pub(crate) fn formula(joint: &'static str, name: FigureName, words: &str) -> &'static str {
    let answer = Ask::new("A356.0", "8 mm", joint).answer().expect("a spec");
    let figure = answer.figure(name).expect("the figure");
    figure.working.iter().find(|line| line.words == words).expect("the line").formula
}

/// Gas of a job by the engine's own formula, fed with the inputs of a row.
pub(crate) fn gas_volume(row: &Check) -> Option<f64> {
    let mut calculator = Calculator::default();
    let inputs = [("Q", "flow"), ("m", "arc_time"), ("n", "starts"), ("p", "post_flow"), ("a", "pre_flow")];
    for (symbol, input) in inputs {
        calculator.set(symbol, row.number(input));
    }
    calculator.work_out(formula("groove", FigureName::GasVolume, "gas-volume")).ok()
}
