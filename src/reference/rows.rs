//! What a row of each table holds. The unit of each field stands in its line; every pair is `[low, high]`.

use super::table::TableInfo;
use serde::Deserialize;

/// What the build script made of a table of a file.
macro_rules! made {
    ($file:literal, $table:ident) => {
        include_str!(concat!(env!("OUT_DIR"), "/reference/", $file, "/", stringify!($table), ".json"))
    };
}

/// Declares the row types and, for each, its table: its files, whose rows stand one behind the other, the name of the
/// array of tables and the function that gives it. One line a field, with its meaning and unit. Of a table with a file
/// for each kind of metal the first is aluminium, the second iron and steel, the third all other metals.
macro_rules! tables {
    ($(
        $(#[$meta:meta])*
        $table:ident in $($file:literal),+ gives $row:ident key ($($key:ident),*) {
            $( $(#[$field_meta:meta])* $field:ident : $type:ty, )*
        }
    )*) => {
        $(
            $(#[$meta])*
            #[derive(Debug, Clone, Deserialize)]
            #[serde(deny_unknown_fields)]
            pub struct $row {
                $( $(#[$field_meta])* pub $field: $type, )*
                /// Key of a row of the table of sources.
                pub source: String,
                /// Page, table, clause or paragraph.
                pub locator: String,
                /// How well the fact is founded.
                pub basis: Basis,
                /// What a reader of the table should know besides.
                #[serde(default)]
                pub note: Option<String>,
            }
            impl Row for $row {
                fn cite(&'static self) -> Cite {
                    Cite { source: &self.source, locator: &self.locator, basis: self.basis }
                }
                fn key(&self) -> String {
                    let parts: Vec<String> = vec![$( format!("{:?}", self.$key) ),*];
                    parts.join(" ")
                }
                fn part(at: usize) -> &'static [$row] {
                    const FILES: &[&str] = &[$(made!($file, $table)),+];
                    static PARTS: [OnceLock<Table<$row>>; FILES.len()] = [const { OnceLock::new() }; FILES.len()];
                    PARTS.get(at).zip(FILES.get(at)).map_or(&[], |(part, json)| {
                        part.get_or_init(|| Table::read(json)).rows.as_slice()
                    })
                }
            }
            $(#[$meta])*
            #[must_use]
            pub fn $table() -> &'static Table<$row> {
                static TABLE: LazyLock<Table<$row>> = LazyLock::new(|| {
                    Table::read_all(&[$(made!($file, $table)),+])
                });
                &TABLE
            }
        )*
        pub(super) fn infos() -> Vec<TableInfo> {
            vec![$( TableInfo {
                name: stringify!($table),
                files: &[$(TableFile { name: $file, text: include_str!(concat!("../", $file)) }),+],
                check: || {
                    let mut all: Vec<$row> = Vec::new();
                    $(
                        let table: Table<$row> =
                            Table::try_read(include_str!(concat!("../", $file)), stringify!($table))?;
                        all.extend(table.rows);
                    )+
                    // What the program reads is what stands in the files.
                    if cfg!(debug_assertions) && format!("{all:?}") != format!("{:?}", $table().rows) {
                        return Err(format!("{}: what the build made of it is something else", stringify!($table)));
                    }
                    let rows: &'static [$row] = Box::leak(all.into_boxed_slice());
                    Ok(rows.iter().map(|row| (row.key(), row.cite())).collect())
                },
            } ),*]
        }
    };
}

// After the macro, which they use: one file a field of facts.
mod arc;
mod ferrous;
mod fillers;
mod heat;
mod inspection;
mod metals;
mod qualification;
mod shop;

pub use arc::*;
pub use ferrous::*;
pub use fillers::*;
pub use heat::*;
pub use inspection::*;
pub use metals::*;
pub use qualification::*;
pub use shop::*;

/// What a metal is, as far as welding cares: the class decides polarity, gas, heat and tests.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Deserialize)]
pub enum Class {
    /// Aluminium and its alloys.
    #[default]
    #[serde(rename = "aluminium")]
    Aluminium,
    /// Steel whose alloying is carbon and manganese alone.
    #[serde(rename = "carbon steel")]
    CarbonSteel,
    /// Steel with some chromium, molybdenum, nickel or copper.
    #[serde(rename = "low alloy steel")]
    LowAlloySteel,
    /// Steel for tools, dies and moulds.
    #[serde(rename = "tool steel")]
    ToolSteel,
    /// Steel with over about 10.5 % chromium that does not rust.
    #[serde(rename = "stainless steel")]
    Stainless,
    /// Iron with over 2 % carbon.
    #[serde(rename = "cast iron")]
    CastIron,
    /// Copper, brass, bronze, copper-nickel.
    #[serde(rename = "copper")]
    Copper,
    /// Nickel and its alloys.
    #[serde(rename = "nickel")]
    Nickel,
    /// Titanium and its alloys.
    #[serde(rename = "titanium")]
    Titanium,
    /// Magnesium alloys.
    #[serde(rename = "magnesium")]
    Magnesium,
    /// Zinc alloys.
    #[serde(rename = "zinc")]
    Zinc,
}

impl Class {
    /// All, in the order of the tables.
    pub const ALL: [Class; 11] = [
        Class::Aluminium,
        Class::CarbonSteel,
        Class::LowAlloySteel,
        Class::ToolSteel,
        Class::Stainless,
        Class::CastIron,
        Class::Copper,
        Class::Nickel,
        Class::Titanium,
        Class::Magnesium,
        Class::Zinc,
    ];

    /// The word of the tables and of the sheet.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Class::Aluminium => "aluminium",
            Class::CarbonSteel => "carbon steel",
            Class::LowAlloySteel => "low alloy steel",
            Class::ToolSteel => "tool steel",
            Class::Stainless => "stainless steel",
            Class::CastIron => "cast iron",
            Class::Copper => "copper",
            Class::Nickel => "nickel",
            Class::Titanium => "titanium",
            Class::Magnesium => "magnesium",
            Class::Zinc => "zinc",
        }
    }

    /// Whether its base is iron: all steels, stainless steel, cast iron.
    #[must_use]
    pub fn is_ferrous(self) -> bool {
        self.is_steel() || matches!(self, Class::Stainless | Class::CastIron)
    }

    /// Whether it is a carbon, low alloy or tool steel; stainless steel is not meant.
    #[must_use]
    pub fn is_steel(self) -> bool {
        matches!(self, Class::CarbonSteel | Class::LowAlloySteel | Class::ToolSteel)
    }

    /// Which file of a table with a file for each kind of metal holds its rows.
    pub(super) fn part(self) -> usize {
        match self {
            Class::Aluminium => 0,
            class if class.is_ferrous() => 1,
            _ => 2,
        }
    }
}

/// Can this metal be welded by TIG.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Weldability {
    /// Yes, with the usual care.
    Good,
    /// With doubt: the reason is printed and the sheet heads with caution.
    Limited,
    /// Not by arc: the repair is refused.
    Refused,
}

/// How the metal came to its shape, as far as welding cares.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Product {
    /// Sheet, plate, extrusion, forging, tube.
    Wrought,
    /// Sand, permanent mould, investment, low-pressure casting.
    Cast,
    /// High-pressure die casting.
    Die,
}

/// Electrode polarity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub enum Polarity {
    /// Alternating current.
    AC,
    /// Direct current, electrode negative.
    DCEN,
    /// Direct current, electrode positive.
    DCEP,
}

/// A flaw of a weld, or a mark of a penetrant test, that an acceptance standard limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Flaw {
    /// Crack.
    Crack,
    /// Crack in the end crater.
    CraterCrack,
    /// Lack of fusion that shows.
    Fusion,
    /// Pore in the surface.
    Pore,
    /// Pipe in the end crater.
    CraterPipe,
    /// Root not melted through.
    Root,
    /// Pores in the root.
    RootPore,
    /// Undercut of any length.
    Undercut,
    /// Undercut that runs on.
    UndercutLong,
    /// Undercut in short lengths.
    UndercutShort,
    /// Groove beside the root bead.
    Shrinkage,
    /// Weld below the face of the part.
    Underfill,
    /// Weld proud of the face.
    Excess,
    /// Fillet proud of its flat face.
    Convexity,
    /// Root hanging through.
    Penetration,
    /// Weld metal that lies on the part without joining it.
    Overlap,
    /// Faces out of line.
    Misalignment,
    /// Mark of the dye over three times as long as wide.
    MarkLong,
    /// Any other mark of the dye.
    MarkRound,
    /// Marks of the dye in a row.
    MarkRow,
    /// Size up to which a mark of the dye does not count.
    MarkCounts,
}

impl Flaw {
    /// All, in the order of the sheet.
    pub const ALL: [Flaw; 21] = [
        Flaw::Crack,
        Flaw::CraterCrack,
        Flaw::Fusion,
        Flaw::Pore,
        Flaw::CraterPipe,
        Flaw::Root,
        Flaw::RootPore,
        Flaw::Undercut,
        Flaw::UndercutLong,
        Flaw::UndercutShort,
        Flaw::Shrinkage,
        Flaw::Underfill,
        Flaw::Excess,
        Flaw::Convexity,
        Flaw::Penetration,
        Flaw::Overlap,
        Flaw::Misalignment,
        Flaw::MarkLong,
        Flaw::MarkRound,
        Flaw::MarkRow,
        Flaw::MarkCounts,
    ];

    /// Whether it is a mark of the dye.
    #[must_use]
    pub fn by_dye(self) -> bool {
        matches!(self, Flaw::MarkLong | Flaw::MarkRound | Flaw::MarkRow | Flaw::MarkCounts)
    }
}

/// What is known of every table.
pub(super) fn infos() -> Vec<TableInfo> {
    [
        inspection::infos(),
        metals::infos(),
        fillers::infos(),
        heat::infos(),
        ferrous::infos(),
        arc::infos(),
        shop::infos(),
        qualification::infos(),
    ]
    .into_iter()
    .flatten()
    .collect()
}
