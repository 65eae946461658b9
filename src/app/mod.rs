//! Joins the modules to a working whole: what was heard becomes facts, facts are saved, and only then spoken.
//! `desk` is the core of it without threads; `file` plays sound files through it, `live` runs it at the table.

#[cfg(test)]
mod as_sound;
pub mod clinic;
pub mod close_call;
pub mod desk;
pub mod dying;
pub mod ending;
pub mod figures;
pub mod file;
pub mod first_hour;
pub mod flow;
pub mod kept;
pub mod keys;
pub mod live;
pub mod monitor;
pub mod notes;
pub mod own_sayings;
pub mod page;
pub mod papers;
pub mod pedal;
pub mod people;
#[cfg(test)]
mod practised_as_sound;
pub mod signers;
pub mod simulated;
pub mod sounds_like;
pub mod study;
pub mod talk;
pub mod time_line;
pub mod turn;
pub mod understand;
pub mod voices;
