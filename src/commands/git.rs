//! Older texts of a file out of its git repository, by the `git` of this machine.
//!
//! Only plumbing that reads is asked, by hash wherever there is one: no hook, filter, pager or external difference
//! program of the repository runs.

use super::fault::{Fault, shown};
use crate::findings::{Code, Finding};
use crate::spec::limits::FILE_BYTES;
use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// The most commits of a file that are looked through for a revision of the procedure.
const MOST_COMMITS: usize = 2000;

/// A text as it was committed.
pub(crate) struct Older {
    /// What it is called in messages: the file and the commit.
    pub(crate) name: String,
    /// Its bytes.
    pub(crate) bytes: Vec<u8>,
}

/// A file in its repository.
struct Place {
    folder: PathBuf,
    file: String,
    name: String,
}

/// What the file was at `since`: a revision of the procedure by its own name (`A`, `3`) where the history of the file
/// holds one, else a revision of git (`HEAD~2`, a tag, a hash).
///
/// # Errors
/// [`Fault::Call`], when there is no git, no repository, no such revision or no such file in it; the text says which.
pub(crate) fn older(path: &Path, since: &str, revision_of: impl Fn(&[u8]) -> Option<String>) -> Result<Older, Fault> {
    let place = Place::of(path)?;
    if looks_like_revision(since)
        && let Some(found) = place.by_revision(since, revision_of)?
    {
        return Ok(found);
    }
    place.by_git(since)
}

/// Whether a word can be a revision of a procedure: `A` to `ZZ`, or a number of up to three digits.
fn looks_like_revision(word: &str) -> bool {
    let all = |test: fn(&char) -> bool| word.chars().all(|c| test(&c));
    !word.is_empty()
        && ((word.len() <= 2 && all(char::is_ascii_uppercase)) || (word.len() <= 3 && all(char::is_ascii_digit)))
}

impl Place {
    fn of(path: &Path) -> Result<Place, Fault> {
        let Some(file) = path.file_name().and_then(OsStr::to_str) else {
            return Err(Fault::Call(format!("--since needs a file with a name, not {}", shown(path))));
        };
        let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
        let place = Place { folder: folder.to_owned(), file: format!("./{file}"), name: shown(path) };
        match place.git(&["rev-parse", "--is-inside-work-tree"]) {
            Ok(Some(said)) if said.starts_with(b"true") => Ok(place),
            Ok(_) => Err(Fault::Call(format!("--since needs a git repository, and {} lies in none", place.name))),
            Err(fault) => Err(fault),
        }
    }

    /// What git says; none where it says that it cannot.
    fn git(&self, arguments: &[&str]) -> Result<Option<Vec<u8>>, Fault> {
        let done = Command::new("git")
            .args(["--no-pager", "--no-optional-locks", "--literal-pathspecs", "-c", "core.fsmonitor=false"])
            .args(arguments)
            .current_dir(&self.folder)
            .env("GIT_TERMINAL_PROMPT", "0")
            .stdin(Stdio::null())
            .output();
        match done {
            Ok(output) => Ok(output.status.success().then_some(output.stdout)),
            Err(error) if error.kind() == std::io::ErrorKind::NotFound && self.folder.is_dir() => {
                Err(Fault::Call("--since reads the history with git, and there is no git on this machine".to_owned()))
            }
            Err(error) => Err(Fault::read(&self.folder, error)),
        }
    }

    fn text(&self, arguments: &[&str]) -> Result<Option<String>, Fault> {
        Ok(self.git(arguments)?.map(|bytes| String::from_utf8_lossy(&bytes).trim().to_owned()))
    }

    /// The file in a commit; none where it is not in it.
    fn at(&self, commit: &str) -> Result<Option<Vec<u8>>, Fault> {
        let object = format!("{commit}:{}", self.file);
        let Some(blob) = self.text(&["rev-parse", "--verify", "--quiet", "--end-of-options", &object])? else {
            return Ok(None);
        };
        let size = self.text(&["cat-file", "-s", &blob])?.and_then(|size| size.parse::<usize>().ok());
        // A spec that is too large is not read, here as anywhere.
        if size.is_none_or(|size| size > FILE_BYTES) {
            return Ok(None);
        }
        self.git(&["cat-file", "blob", &blob])
    }

    fn named(&self, commit: &str, bytes: Vec<u8>) -> Older {
        let short: String = commit.chars().take(8).collect();
        Older { name: format!("{} at {short}", self.name), bytes }
    }

    /// The newest commit in which the file bears this revision of the procedure.
    fn by_revision(&self, since: &str, revision_of: impl Fn(&[u8]) -> Option<String>) -> Result<Option<Older>, Fault> {
        let most = format!("--max-count={MOST_COMMITS}");
        let list = self.text(&["rev-list", &most, "HEAD", "--", &self.file])?.unwrap_or_default();
        for commit in list.lines() {
            if let Some(bytes) = self.at(commit)?
                && revision_of(&bytes).as_deref() == Some(since)
            {
                return Ok(Some(self.named(commit, bytes)));
            }
        }
        Ok(None)
    }

    fn by_git(&self, since: &str) -> Result<Older, Fault> {
        let wanted = format!("{since}^{{commit}}");
        let commit = self.text(&["rev-parse", "--verify", "--quiet", "--end-of-options", &wanted])?;
        let Some(commit) = commit else {
            let what = if looks_like_revision(since) {
                "the history of this file holds no such revision of the procedure, and git knows no such revision"
            } else {
                "git knows no such revision"
            };
            return Err(Fault::Call(format!("--since {since}: {what} ({})", self.name)));
        };
        match self.at(&commit)? {
            Some(bytes) => Ok(self.named(&commit, bytes)),
            None => Err(Fault::Call(format!("--since {since}: {} was not there then, or is too large", self.name))),
        }
    }
}

/// Says whether entries of the ledger that the last commit holds are not in it any more. Without git, a repository or a
/// commit there is nothing to hold it against.
pub(crate) fn lost(path: &Path, held: &[String], name: &str) -> Option<Finding> {
    let place = Place {
        folder: path.parent()?.to_owned(),
        file: format!("./{}", path.file_name()?.to_str()?),
        name: name.to_owned(),
    };
    let object = format!("HEAD:{}", place.file);
    let blob = place.text(&["rev-parse", "--verify", "--quiet", "--end-of-options", &object]).ok()??;
    let size = place.text(&["cat-file", "-s", &blob]).ok()??.parse::<usize>().ok()?;
    if size > crate::ledger::FILE_BYTES {
        return None;
    }
    let committed = crate::ledger::read(&place.git(&["cat-file", "blob", &blob]).ok()??);
    let gone = committed.digests.iter().zip(1..).find(|(digest, line)| held.get(*line - 1) != Some(digest));
    let (_, line) = gone?;
    Some(
        Finding::new(
            Code::LedgerLost,
            format!("{name} is not what the last commit holds: line {line} of it is gone or other"),
        )
        .help("take it out of the commit: git checkout HEAD -- interpass.ledger.jsonl; then issue again"),
    )
}

#[cfg(test)]
mod tests {
    use super::looks_like_revision;

    #[test]
    fn revisions_of_a_procedure_are_told_from_those_of_git() {
        assert!(["A", "B", "AA", "3", "12"].into_iter().all(looks_like_revision));
        assert!(
            ["", "HEAD", "HEAD~1", "main", "a", "v1", "1a2b", "-x", "2026"]
                .into_iter()
                .all(|word| !looks_like_revision(word))
        );
    }
}
