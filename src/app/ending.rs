//! How the work at the table comes to its end. Each end has its own sentence, and only one of them is good.

use std::fmt;

/// A thread that the table cannot do without.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Worker {
    /// Hears and recognises.
    Ears,
    /// Speaks.
    Voice,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Ending {
    /// Somebody ended it, or the sound of a file is over; all is saved.
    Done,
    /// Somebody ended it while the disk took nothing: what was said and is not saved, in order.
    Storage { why: String, unsaved: Vec<String> },
    /// No sound comes any more, and none will.
    Sound,
    /// A fault of the program itself.
    WorkerDied(Worker),
}

impl Ending {
    pub fn is_good(&self) -> bool {
        *self == Self::Done
    }
}

impl fmt::Display for Ending {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Done => write!(f, "done; all is saved"),
            Self::Storage { why, unsaved } if unsaved.is_empty() => write!(
                f,
                "ended while {why}: what was said is saved, but not all that was read back or confirmed"
            ),
            Self::Storage { why, unsaved } => {
                write!(f, "ended while {why}; not saved, write it on paper:")?;
                for words in unsaved {
                    write!(f, "\n  {words}")?;
                }
                Ok(())
            }
            Self::Sound => write!(
                f,
                "no sound comes from the microphone any more; check its plug and start again: all that was saved is kept"
            ),
            Self::WorkerDied(Worker::Ears) => write!(
                f,
                "the part of the program that hears has died; start again: all that was saved is kept"
            ),
            Self::WorkerDied(Worker::Voice) => write!(
                f,
                "the part of the program that speaks has died; start again: all that was saved is kept"
            ),
        }
    }
}
