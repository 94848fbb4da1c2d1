//! The commands: one file a command; the only place with files, clock, environment, terminal and threads.
