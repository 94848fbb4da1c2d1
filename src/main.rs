//! The program: reads the command line, does what it says, gives the exit code.

use std::process::ExitCode;

fn main() -> ExitCode {
    ExitCode::from(interpass::commands::run(std::env::args_os()))
}
