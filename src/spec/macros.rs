//! The two forms of declaration: `words!` for a fixed list of words, `table!` for a table. Each gives the type, its
//! reader and its [`Shape`](crate::spec::shape::Shape).

/// Declares fixed lists of words.
macro_rules! words {
    ($( $(#[doc = $doc:literal])* pub enum $name:ident, $what:literal { $($variant:ident = $word:literal),* $(,)? } )*) => {
        $(
            $(#[doc = $doc])*
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
            impl $crate::spec::read::Read for $name {
                fn shape() -> $crate::spec::shape::Shape {
                    static LIST: $crate::spec::shape::WordList = $crate::spec::shape::WordList {
                        name: stringify!($name),
                        what: $what,
                        doc: concat!($($doc),*),
                        words: &[$($word),*],
                    };
                    $crate::spec::shape::Shape::Words(&LIST)
                }
                fn read(
                    value: &$crate::spec::read::Value<'_>,
                    reader: &mut $crate::spec::read::Reader<'_>,
                ) -> Option<Self> {
                    let word = reader.word(value, &Self::shape())?;
                    Self::ALL.iter().copied().find(|known| known.word() == word)
                }
            }
        )*
    };
}

/// Declares tables. A field is `required` ([`At`](crate::findings::At)), `optional` (`Option` of it), `list` (`Vec` of
/// it) or `table` (a table that is empty when left out).
macro_rules! table {
    ($( $(#[doc = $doc:literal])* pub struct $name:ident, $what:literal {
        $( $(#[doc = $field_doc:literal])* $mode:ident $field:ident $(as $key:literal)? : $type:ty, )*
    } )*) => {
        $(
            $(#[doc = $doc])*
            #[derive(Debug, Clone, PartialEq)]
            pub struct $name {
                $( $(#[doc = $field_doc])* pub $field: $crate::spec::macros::field_type!($mode $type), )*
            }
            impl $crate::spec::read::Read for $name {
                fn shape() -> $crate::spec::shape::Shape {
                    static TABLE: $crate::spec::shape::TableShape = $crate::spec::shape::TableShape {
                        name: stringify!($name),
                        what: $what,
                        doc: concat!($($doc),*),
                        fields: &[$( $crate::spec::shape::Field {
                            key: $crate::spec::macros::key!($field $($key)?),
                            mode: $crate::spec::macros::mode!($mode),
                            doc: concat!($($field_doc),*),
                            shape: <$type as $crate::spec::read::Read>::shape,
                        } ),*],
                    };
                    $crate::spec::shape::Shape::Table(&TABLE)
                }
                fn read(
                    value: &$crate::spec::read::Value<'_>,
                    reader: &mut $crate::spec::read::Reader<'_>,
                ) -> Option<Self> {
                    let fields = $crate::spec::read::Fields::open(value, &Self::shape(), reader)?;
                    // All fields are read before any of them can make the table fail.
                    $( let $field = $crate::spec::macros::field_read!(
                        $mode $type, fields, $crate::spec::macros::key!($field $($key)?), reader
                    ); )*
                    Some(Self { $( $field: $field?, )* })
                }
                fn absent() -> Option<Self> {
                    Some(Self { $( $field: $crate::spec::macros::field_absent!($mode $type), )* })
                }
            }
            $crate::spec::macros::default_unless_required!($name [ $( $mode $field ),* ] [ $($field)* ]);
        )*
    };
}

macro_rules! field_type {
    (required $type:ty) => { $crate::findings::At<$type> };
    (optional $type:ty) => { Option<$crate::findings::At<$type>> };
    (list $type:ty) => { Vec<$crate::findings::At<$type>> };
    (table $type:ty) => { $type };
}

macro_rules! field_read {
    (required $type:ty, $fields:ident, $key:expr, $reader:ident) => {
        $fields.required::<$type>($key, $reader)
    };
    (optional $type:ty, $fields:ident, $key:expr, $reader:ident) => {
        Some($fields.optional::<$type>($key, $reader))
    };
    (list $type:ty, $fields:ident, $key:expr, $reader:ident) => {
        Some($fields.list::<$type>($key, $reader))
    };
    (table $type:ty, $fields:ident, $key:expr, $reader:ident) => {
        $fields.table::<$type>($key, $reader)
    };
}

macro_rules! field_absent {
    (required $type:ty) => {
        None::<$crate::findings::At<$type>>?
    };
    (optional $type:ty) => {
        None
    };
    (list $type:ty) => {
        Vec::new()
    };
    (table $type:ty) => {
        <$type as $crate::spec::read::Read>::absent()?
    };
}

macro_rules! key {
    ($field:ident) => {
        stringify!($field)
    };
    ($field:ident $key:literal) => {
        $key
    };
}

macro_rules! mode {
    (required) => {
        $crate::spec::shape::Mode::Required
    };
    (optional) => {
        $crate::spec::shape::Mode::Optional
    };
    (list) => {
        $crate::spec::shape::Mode::List
    };
    (table) => {
        $crate::spec::shape::Mode::Table
    };
}

/// A table without a required field is empty by default; one with a required field has no default.
macro_rules! default_unless_required {
    ($name:ident [ required $field:ident $($rest:tt)* ] $all:tt) => {};
    ($name:ident [ $mode:ident $field:ident, $($rest:tt)* ] $all:tt) => {
        $crate::spec::macros::default_unless_required!($name [ $($rest)* ] $all);
    };
    ($name:ident [ $mode:ident $last:ident ] [ $($field:ident)* ]) => {
        impl Default for $name {
            fn default() -> Self {
                Self { $( $field: Default::default(), )* }
            }
        }
    };
}

pub(crate) use {default_unless_required, field_absent, field_read, field_type, key, mode, table, words};
