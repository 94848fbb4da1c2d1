//! Where a command writes: results to standard output, talk to standard error, colour where it is wanted, and the exit
//! code that all of it adds up to.

use super::fault::Fault;
use super::report::is_fault;
use crate::findings::{Code, Severity, Style};
use anstream::ColorChoice;
use std::io::{self, BufWriter, IsTerminal, Write};

/// When texts carry colours.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, clap::ValueEnum)]
pub(crate) enum Colour {
    /// On a terminal, unless NO_COLOR is set.
    #[default]
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

impl Colour {
    /// Makes it hold for all output of this process.
    pub(crate) fn hold(self) {
        let choice = match self {
            Colour::Auto => ColorChoice::Auto,
            Colour::Always => ColorChoice::Always,
            Colour::Never => ColorChoice::Never,
        };
        choice.write_global();
    }
}

/// Standard output and standard error of a command.
pub(crate) struct Out {
    results: BufWriter<Box<dyn Write>>,
    /// Whether results carry colours.
    pub(crate) style: Style,
    /// Whether talk carries colours.
    pub(crate) talk_style: Style,
    /// Whether a person sees the talk.
    pub(crate) talk_on_terminal: bool,
    /// What the exit code will be.
    pub(crate) status: Status,
}

impl Out {
    /// The output of this process.
    pub(crate) fn new() -> Self {
        let style = |choice: ColorChoice| if choice == ColorChoice::Never { Style::Plain } else { Style::Coloured };
        Out {
            results: BufWriter::with_capacity(1 << 16, Box::new(io::stdout())),
            style: style(anstream::AutoStream::choice(&io::stdout())),
            talk_style: style(anstream::AutoStream::choice(&io::stderr())),
            talk_on_terminal: io::stderr().is_terminal(),
            status: Status::default(),
        }
    }

    /// Writes to standard output.
    pub(crate) fn print(&mut self, text: &str) -> Result<(), Fault> {
        self.bytes(text.as_bytes())
    }

    /// Writes bytes to standard output.
    pub(crate) fn bytes(&mut self, bytes: &[u8]) -> Result<(), Fault> {
        self.results.write_all(bytes).map_err(Fault::of_output)
    }

    /// Sends what was written on its way.
    pub(crate) fn flush(&mut self) -> Result<(), Fault> {
        self.results.flush().map_err(Fault::of_output)
    }

    /// Says something on standard error. That nobody hears it changes nothing.
    pub(crate) fn say(&mut self, text: &str) {
        // Results come first where both streams are one.
        let _ = self.results.flush();
        let _ = io::stderr().write_all(text.as_bytes());
    }
}

/// What the exit code of a command is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Status {
    /// There are error findings, or a difference that was asked about.
    pub(crate) errors: bool,
    /// There are warnings.
    pub(crate) warnings: bool,
    /// Something could not be read or written.
    pub(crate) faults: bool,
    /// Warnings count as errors.
    pub(crate) strict: bool,
}

impl Status {
    /// Counts findings in.
    pub(crate) fn count(&mut self, findings: impl IntoIterator<Item = (Code, Severity)>) {
        for (code, severity) in findings {
            match severity {
                Severity::Error => self.errors = true,
                Severity::Warning => self.warnings = true,
                Severity::Note => {}
            }
            // A fault of the program or of the disk is not one of the spec.
            self.faults |= is_fault(code);
        }
    }

    /// 0 when all is well, 1 with errors, 2 when something could not be read or written.
    pub(crate) fn code(self) -> u8 {
        match self {
            Status { faults: true, .. } => 2,
            Status { errors: true, .. } | Status { warnings: true, strict: true, .. } => 1,
            _ => 0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Status;
    use crate::findings::Code;

    fn code(findings: &[Code], strict: bool) -> u8 {
        let mut status = Status { strict, ..Status::default() };
        status.count(findings.iter().map(|code| (*code, code.severity())));
        status.code()
    }

    #[test]
    fn exit_codes() {
        assert_eq!(code(&[], false), 0);
        assert_eq!(code(&[Code::KitNone], true), 0);
        assert_eq!(code(&[Code::GateQuestion], false), 0);
        assert_eq!(code(&[Code::GateQuestion], true), 1);
        assert_eq!(code(&[Code::KeyUnknown, Code::GateQuestion], false), 1);
        assert_eq!(code(&[Code::OutputClash], false), 1);
        assert_eq!(code(&[Code::ReadFile, Code::KeyUnknown], false), 2);
        assert_eq!(code(&[Code::OutputInternal], false), 2);
    }
}
