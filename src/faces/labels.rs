//! The few words that the faces set themselves: labels of the templates and of the terminal, by language of the sheet.

use super::FaceError;
use crate::sheet::words::filled;
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// The languages there are; the first one stands in for any other.
const FILES: [(&str, &str); 1] = [("en", include_str!("../../templates/words/en/faces.toml"))];

/// The words of the page's switches and of its script, beside the labels.
const PAGE_FILES: [(&str, &str); 1] = [("en", include_str!("../../templates/words/en/page.toml"))];

/// The labels of a language, by key.
pub(crate) type Labels = BTreeMap<String, String>;

/// The labels in this language, else in the first one.
pub(crate) fn labels(lang: &str) -> Result<&'static Labels, FaceError> {
    static READ: OnceLock<Result<ByLanguage, FaceError>> = OnceLock::new();
    of(READ.get_or_init(|| read(&FILES)), lang)
}

/// The words of the page in this language, else in the first one.
pub(crate) fn page_words(lang: &str) -> Result<&'static Labels, FaceError> {
    static READ: OnceLock<Result<ByLanguage, FaceError>> = OnceLock::new();
    of(READ.get_or_init(|| read(&PAGE_FILES)), lang)
}

type ByLanguage = BTreeMap<&'static str, Labels>;

fn of(all: &'static Result<ByLanguage, FaceError>, lang: &str) -> Result<&'static Labels, FaceError> {
    let all = all.as_ref().map_err(Clone::clone)?;
    let found = all.get(lang).or_else(|| all.get(FILES.first().map_or("", |file| file.0)));
    found.ok_or_else(|| FaceError::Words(format!("no words for `{lang}`")))
}

/// A label of the terminal, its blanks `{0}`, `{1}` filled; the key in square brackets where it is missing.
pub(crate) fn label(key: &str, args: &[&str]) -> String {
    let text = labels("en").ok().and_then(|labels| labels.get(key));
    let fill = |blank: &str| args.get(blank.parse::<usize>().ok()?).map(|arg| (*arg).to_owned());
    text.map_or_else(|| format!("[{key}]"), |text| filled(text, &fill))
}

fn read(files: &[(&'static str, &'static str)]) -> Result<ByLanguage, FaceError> {
    let read = |(lang, text): (&'static str, &str)| {
        toml::from_str(text).map(|labels| (lang, labels)).map_err(|error| FaceError::Words(error.to_string()))
    };
    files.iter().copied().map(read).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_language_has_the_keys_of_the_first() {
        for files in [&FILES[..], &PAGE_FILES] {
            let all = read(files).unwrap_or_default();
            assert_eq!(all.len(), files.len());
            let keys: Vec<Vec<&String>> = all.values().map(|labels| labels.keys().collect()).collect();
            assert!(keys.iter().all(|own| Some(own) == keys.first() && !own.is_empty()));
        }
    }
}
