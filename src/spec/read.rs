//! The reader: opens every table, reports unknown keys, asks for each field by name, and never returns early.

use crate::findings::At;
use jiff::civil;

/// A short text of one line, cleaned of what has no place on a sheet.
pub type Text = String;

/// A name that may stand in a file name or a step id.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Identifier(pub String);

/// The author's prose: CommonMark without raw HTML, kept as written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Prose(pub String);

/// A calendar date.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date(pub civil::Date);

/// The author's own value of a figure, with the reason.
#[derive(Debug, Clone, PartialEq)]
pub struct Setting<T> {
    /// The value.
    pub value: At<T>,
    /// Why.
    pub because: Option<At<String>>,
}

macro_rules! words {
    ($( $(#[$meta:meta])* pub enum $name:ident, $what:literal { $($variant:ident = $word:literal),* $(,)? } )*) => {
        $(
            $(#[$meta])*
            #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
            pub enum $name { $(#[doc = $word] $variant,)* }
            impl $name {
                /// All words, in the order of the language.
                pub const ALL: &'static [$name] = &[$($name::$variant),*];
                /// What kind of word it is.
                pub const WHAT: &'static str = $what;
                /// The word as it is written in a file.
                #[must_use]
                pub fn word(self) -> &'static str {
                    match self { $($name::$variant => $word),* }
                }
            }
        )*
    };
}
pub(crate) use words;

macro_rules! table {
    ($( $(#[$meta:meta])* pub struct $name:ident, $what:literal {
        $( $(#[$field_meta:meta])* $mode:ident $field:ident $(as $key:literal)? : $type:ty, )*
    } )*) => {
        $(
            $(#[$meta])*
            #[derive(Debug, Clone, PartialEq)]
            pub struct $name {
                $( $(#[$field_meta])* pub $field: $crate::spec::read::field_type!($mode $type), )*
            }
        )*
    };
}
pub(crate) use table;

macro_rules! field_type {
    (required $type:ty) => { At<$type> };
    (optional $type:ty) => { Option<At<$type>> };
    (list $type:ty) => { Vec<At<$type>> };
    (table $type:ty) => { $type };
}
pub(crate) use field_type;
