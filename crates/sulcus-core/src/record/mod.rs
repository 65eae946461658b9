//! What was said and done, kept for ever: events, their rows in the journal, and the record folded from them.
//!
//! Invariants: the journal only grows; the record is what folding the journal gives and is never stored itself;
//! nothing is told as saved before the journal's commit returned.

pub mod event;
pub mod fold;
pub mod lesion;
pub mod loss;
pub mod monitoring;
pub mod row;
pub mod surgery;
pub mod wording;

pub use event::{Draft, Entry, Event, Heard, How, Speaker};
pub use fold::{Charted, Record, Signing, Standing};
pub use loss::Loss;
pub use row::{BrokenChain, Row, StoredRow, entries_of_rows};
