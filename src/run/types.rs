//! The tables and words of the run record.

use crate::spec::read::{Date, Identifier, Text, table, words};
use crate::units::{Amount, Current, Length, Temperature};

words! {
    /// Outcome of an inspection.
    pub enum Outcome, "a result" { Accepted = "accepted", Rejected = "rejected", NotDone = "not done" }
}

table! {
    /// What was really done.
    pub struct RunRecord, "the run record" {
        /// Version of this language: 1.
        required format: i64,
        /// Which procedure, when and by whom.
        required run: Run,
        /// Passes as they were run.
        list pass: RunPass,
        /// Inspections.
        list inspection: RunInspection,
        /// Holds and who released them.
        list hold: RunHold,
        /// What was done otherwise.
        list deviation: Deviation,
    }

    /// Which procedure, when and by whom.
    pub struct Run, "[run]" {
        /// Number of the procedure.
        required procedure: Identifier,
        /// Its revision.
        required revision: Identifier,
        /// Seal, copied from the sheet.
        optional seal: Text,
        /// Date of the work.
        optional date: Date,
        /// Who welded.
        optional welder: Text,
        /// On which machine.
        optional machine: Text,
        /// Attempt of repair at this place.
        optional attempt: i64,
    }

    /// A pass as it was run.
    pub struct RunPass, "[[pass]]" {
        /// Number of the pass.
        required number: i64,
        /// Current.
        optional amperage: Amount<Current>,
        /// Part before the pass.
        optional start_temperature: Amount<Temperature>,
        /// Rod.
        optional filler: RunFiller,
        /// What was seen.
        optional note: Text,
    }

    /// The rod that was used.
    pub struct RunFiller, "filler" {
        /// Classification.
        optional name: Text,
        /// Diameter.
        optional diameter: Amount<Length>,
        /// Lot number on the packet.
        optional lot: Text,
    }

    /// An inspection.
    pub struct RunInspection, "[[inspection]]" {
        /// When in the work.
        required when: Text,
        /// Method.
        optional method: Text,
        /// Outcome.
        optional result: Outcome,
    }

    /// A hold and who released it.
    pub struct RunHold, "[[hold]]" {
        /// Id of the hold.
        required id: Identifier,
        /// Who released it.
        optional released_by: Text,
        /// When: 2026-10-05 14:20.
        optional time: Text,
    }

    /// What was done otherwise.
    pub struct Deviation, "[[deviation]]" {
        /// What.
        required what: Text,
        /// Why.
        optional because: Text,
    }
}
