//! Looking things up in the tables. Each look-up also tells which row it used.
