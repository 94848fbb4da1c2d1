//! `schema`: the JSON Schema of a file of the language.

use super::fault::Fault;
use super::out::Out;
use crate::schema::{Draft, Which, schema};

/// What `schema` is told.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:  interpass schema spec > repair.schema.json\n\
    An editor finds it by a first comment line in the spec:  #:schema ./repair.schema.json")]
pub(crate) struct Args {
    /// Which file.
    #[arg(value_enum, value_name = "FILE")]
    which: File,
    /// Draft of JSON Schema; common editors read draft 7.
    #[arg(long, value_enum, default_value_t, value_name = "DRAFT")]
    draft: DraftName,
}

#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum File {
    /// A repair spec.
    Spec,
    /// A shop's kit.
    Kit,
    /// A run record.
    Run,
}

#[derive(Debug, Clone, Copy, Default, clap::ValueEnum)]
enum DraftName {
    #[default]
    #[value(name = "7")]
    Seven,
    #[value(name = "2020-12")]
    Of2020,
}

/// Prints the schema.
pub(crate) fn run(args: &Args, out: &mut Out) -> Result<(), Fault> {
    let which = match args.which {
        File::Spec => Which::Spec,
        File::Kit => Which::Kit,
        File::Run => Which::Run,
    };
    let draft = match args.draft {
        DraftName::Seven => Draft::Draft07,
        DraftName::Of2020 => Draft::Draft2020,
    };
    let text =
        serde_json::to_string_pretty(&schema(which, draft)).map_err(|error| Fault::Internal(error.to_string()))?;
    out.print(&text)?;
    out.print("\n")
}
