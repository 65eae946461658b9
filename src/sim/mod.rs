//! Seeded trials of the journal: invented examinations on a disk that forgets, tears, fails and fills up.
//! Part of the program (hidden command `sulcus simulate`), so that the very program that is installed can be
//! tried on the very disk it will write to, and so that tests and fuzz targets share one simulated disk.
//!
//! Invariants: one seed gives one trial; nothing here touches the machine's disk, except `writer`, which does
//! nothing else.

pub mod disk;
pub mod examination;
pub mod file_layer;
pub mod sums;
pub mod trial;
pub mod writer;
pub mod years;

pub use disk::{Fault, PowerCut};
pub use examination::{Examinations, Step};
pub use file_layer::SimulatedDisk;
pub use sums::Sum;
pub use trial::{Kind, Outcome};
