//! Why a command could not do what it was asked: a wrong call, or something that could not be read or written.

use std::io;
use std::path::{Path, PathBuf};

/// A fault that ends a command with exit code 2, but for a closed pipe, which is quiet.
#[derive(Debug, thiserror::Error)]
pub(crate) enum Fault {
    /// The command was called in a way that has no meaning; the text says what would have one.
    #[error("{0}")]
    Call(String),
    /// A file could not be read.
    #[error("cannot read {}: {}", shown(path), plain(error))]
    Read {
        /// The file.
        path: PathBuf,
        /// What the system says.
        error: io::Error,
    },
    /// A file could not be written.
    #[error("cannot write {}: {}", shown(path), plain(error))]
    Write {
        /// The file.
        path: PathBuf,
        /// What the system says.
        error: io::Error,
    },
    /// Standard output could not be written.
    #[error("cannot write to standard output: {}", plain(.0))]
    Output(io::Error),
    /// Whoever read our output has had enough.
    #[error("the reader of the output has gone")]
    ClosedPipe,
    /// A fault of the program itself.
    #[error("interpass {version}: this is a fault of the program: {0}", version = env!("CARGO_PKG_VERSION"))]
    Internal(String),
}

impl Fault {
    /// What came of writing to standard output.
    pub(crate) fn of_output(error: io::Error) -> Self {
        if error.kind() == io::ErrorKind::BrokenPipe { Fault::ClosedPipe } else { Fault::Output(error) }
    }

    /// A file could not be read.
    pub(crate) fn read(path: &Path, error: io::Error) -> Self {
        Fault::Read { path: path.to_owned(), error }
    }

    /// A file could not be written.
    pub(crate) fn write(path: &Path, error: io::Error) -> Self {
        Fault::Write { path: path.to_owned(), error }
    }
}

/// A path as it is shown: parts parted by `/`, without a leading `./`, and nothing in it that could steer a terminal.
pub(crate) fn shown(path: &Path) -> String {
    let text = path.to_string_lossy();
    let text =
        if std::path::MAIN_SEPARATOR == '/' { text } else { text.replace(std::path::MAIN_SEPARATOR, "/").into() };
    let text = text.strip_prefix("./").unwrap_or(&text);
    crate::findings::clean::clean(text)
}

/// What the system says, without its number: `Permission denied`, not `Permission denied (os error 13)`.
fn plain(error: &io::Error) -> String {
    let text = error.to_string();
    text.split(" (os error").next().unwrap_or(&text).to_lowercase()
}

#[cfg(test)]
mod tests {
    use super::{Fault, shown};
    use std::io;
    use std::path::Path;

    #[test]
    fn a_message_names_the_file_and_what_the_system_says() {
        let fault = Fault::read(Path::new("./specs/a.toml"), io::Error::from_raw_os_error(13));
        assert_eq!(fault.to_string(), "cannot read specs/a.toml: permission denied");
    }

    #[test]
    fn a_path_cannot_steer_the_terminal() {
        assert!(!shown(Path::new("a\u{1b}[2Jb.toml")).contains('\u{1b}'));
    }

    #[test]
    fn a_closed_pipe_is_told_from_a_full_disk() {
        assert!(matches!(Fault::of_output(io::ErrorKind::BrokenPipe.into()), Fault::ClosedPipe));
        assert!(matches!(Fault::of_output(io::ErrorKind::StorageFull.into()), Fault::Output(_)));
    }
}
