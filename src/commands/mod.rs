//! The commands: one file a command; the only place with files, clock, environment, terminal and threads.
//!
//! [`run`] reads the command line and does what it says. Results go to standard output, talk to standard error. Exit
//! code 0: all is well; 1: there are error findings, or a difference that was asked about; 2: wrong call, or something
//! could not be read or written.

mod batch;
mod changes;
mod check;
mod expand;
mod fault;
mod flags;
mod git;
mod guard;
mod inputs;
mod issue;
mod kept;
mod kits;
mod layout;
mod ledgers;
mod lines;
mod out;
mod received;
mod record;
mod remade;
mod report;
mod schema;
mod settings;
mod tables;
mod targets;
mod unpack;
mod why;
mod write;

use crate::findings::clean::clean;
use clap::{Parser, Subcommand};
use fault::Fault;
use out::{Colour, Out};
use std::ffi::OsString;
use std::io::Write;

/// Turns a short repair spec into a TIG welding procedure sheet with every setting worked out, explained and sourced.
#[derive(Debug, Parser)]
#[command(name = "interpass", version, max_term_width = 100, subcommand_required = true, arg_required_else_help = true)]
#[command(after_help = "Start with:  interpass settings --metal 6061 --thickness \"3 mm\" --joint butt")]
struct Cli {
    /// Colour in the output.
    #[arg(long, global = true, value_enum, default_value_t, value_name = "WHEN")]
    color: Colour,
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Read specs and say everything that is wrong or doubtful.
    Check(check::Args),
    /// Expand specs into sheets.
    Write(write::Args),
    /// Check a received sheet, say what was changed in it, and write out its spec and its kit.
    Unpack(unpack::Args),
    /// Set what was really run against the sheet: inside, outside, missing.
    Record(record::Args),
    /// Check a spec, seal it and enter the revision in the ledger.
    Issue(issue::Args),
    /// Say what changed between two revisions: job, settings, and what the standard says of it.
    Changes(changes::Args),
    /// Show the working of a figure, or of all figures.
    Why(why::Args),
    /// Give the settings for a metal and a thickness, without a spec.
    Settings(Box<settings::Args>),
    /// Print the built-in tables, their sources, the words of the language and the codes of findings.
    Tables(tables::Args),
    /// Print the JSON Schema of a file of the language.
    Schema(schema::Args),
}

/// Does what a command line says, and gives the exit code.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> u8 {
    guard::install();
    let cli = match Cli::try_parse_from(arguments) {
        Ok(cli) => cli,
        Err(error) => {
            // Help and version are no error and go to standard output; nobody is told when nobody listens.
            let _ = error.print();
            return if error.use_stderr() { 2 } else { 0 };
        }
    };
    cli.color.hold();
    let mut out = Out::new();
    let done = match cli.command {
        Command::Check(args) => check::run(&args, &mut out),
        Command::Write(args) => write::run(&args, &mut out),
        Command::Unpack(args) => unpack::run(&args, &mut out),
        Command::Record(args) => record::run(&args, &mut out),
        Command::Issue(args) => issue::run(&args, &mut out),
        Command::Changes(args) => changes::run(&args, &mut out),
        Command::Why(args) => why::run(&args, &mut out),
        Command::Settings(args) => settings::run(&args, &mut out),
        Command::Tables(args) => tables::run(&args, &mut out),
        Command::Schema(args) => schema::run(&args, &mut out),
    };
    match done.and_then(|()| out.flush()) {
        Ok(()) => out.status.code(),
        Err(Fault::ClosedPipe) => 0,
        Err(fault) => {
            let _ = writeln!(std::io::stderr(), "error: {}", clean(&fault.to_string()));
            2
        }
    }
}
