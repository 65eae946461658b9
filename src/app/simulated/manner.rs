//! How people work and speak: the kinds of people of the rehearsals, and each figure with its source or its range.
//!
//! Invariant: the scribe of `scribe` and the program meet the same people: hands, words and pauses are theirs.

use std::ops::Range;

/// Milliseconds, evenly spread.
pub type Span = Range<u64>;

/// What is said without a pause.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Breath {
    /// One side, one finding.
    Piece,
    /// All of a tooth.
    Tooth,
}

/// How what was read back is confirmed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Confirms {
    /// "Confirm" after each tooth, waiting for the answer.
    Word,
    /// "Confirm, next" before the readings of the next tooth.
    InFlow,
    /// By "next", where the clinic chose so.
    Next,
    /// The nurse says "confirm" after each read-back that is right.
    NurseWord,
    /// The nurse treads on a pedal after each read-back that is right.
    NursePedal,
    /// "Confirm everything" at the end of each quadrant.
    Quadrant,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Manner {
    /// The hands probe on while the mouth calls and the ears listen, one breath ahead.
    pub works_ahead: bool,
    pub breath: Breath,
    /// Each tooth by its number; else "next" where it is the next one.
    pub says_numbers: bool,
    pub confirms: Confirms,
    /// To walk the probe along one side of a tooth.
    pub probe_ms: Span,
    /// To look for, or to feel, one finding more.
    pub look_ms: Span,
    pub word_ms: u64,
    /// From hearing something that needs an answer to the answer.
    pub react_ms: Span,
    /// Between the end of a read-back and the next words.
    pub gap_ms: u64,
}

/// One assumption, for the documents.
pub struct Figure {
    pub what: &'static str,
    pub value: &'static str,
    pub range: &'static str,
    pub source: &'static str,
}

/// All that is assumed of people.
pub const FIGURES: [Figure; 11] = [
    Figure {
        what: "probing one side (three sites)",
        value: "2 to 4 s",
        range: "1.3 to 5.3 s",
        source: "estimate: no timing of single sites in dogs or cats was found",
    },
    Figure {
        what: "looking for or feeling one finding more",
        value: "0.5 to 2 s (learner 2 to 4 s)",
        range: "0.3 to 4 s",
        source: "estimate",
    },
    Figure {
        what: "a dictated word",
        value: "0.36 s",
        range: "0.30 to 0.45 s",
        source: "measured: the middle of the recorded speakers of CMU AN4, 2.8 words a second; conversation runs at about 150 words a minute, 0.4 s",
    },
    Figure {
        what: "from a read-back's end to the next words",
        value: "0.2 s (learner and usual 0.4 s)",
        range: "0 to 0.5 s",
        source: "gaps between turns are about 200 ms: Levinson and Torreira 2015, Frontiers in Psychology 6:731",
    },
    Figure {
        what: "from hearing something wrong to the answer",
        value: "0.25 to 0.7 s practised, 0.35 to 0.9 s else",
        range: "0.25 to 1.5 s",
        source: "planning even one word takes about 600 ms, partly while listening: Levinson and Torreira 2015, as above",
    },
    Figure {
        what: "a wrong read-back that nobody notices",
        value: "1 in 50",
        range: "1 in 50 to 1 in 5",
        source: "estimate; the table of attention varies it",
    },
    Figure {
        what: "the same while calling the next tooth",
        value: "3 times as often",
        range: "1 to 5 times",
        source: "estimate: listening and speaking at once divide attention",
    },
    Figure {
        what: "scribe: finding the row of a side or a finding",
        value: "1.0 s",
        range: "0.5 to 1.35 s",
        source: "estimate; the mental operator of the keystroke-level model is 1.35 s (Card, Moran and Newell 1980, from memory)",
    },
    Figure {
        what: "scribe: writing one value in its box",
        value: "0.7 s",
        range: "0.4 to 1.2 s",
        source: "estimate: two letters' time of fast copying by hand",
    },
    Figure {
        what: "scribe: asking for a call to be said again",
        value: "1 in 50 calls",
        range: "0 to 1 in 20",
        source: "estimate: the same share as the program's ears refuse in quiet",
    },
    Figure {
        what: "copying one value into the record afterwards",
        value: "1.5 s",
        range: "0.8 to 2.5 s",
        source: "estimate: a key of 0.28 s, a move to the next field of 0.28 s, and a look of 1.35 s for every two values gives 1.2 s (keystroke-level model, as above); errors looked for are not in it",
    },
];

impl Manner {
    /// Stands still while listening, calls one piece after the other, and each tooth by its number.
    pub fn learner() -> Self {
        Self {
            works_ahead: false,
            breath: Breath::Piece,
            says_numbers: true,
            confirms: Confirms::Word,
            probe_ms: 2_000..4_000,
            look_ms: 2_000..4_000,
            word_ms: 360,
            react_ms: 350..900,
            gap_ms: 400,
        }
    }

    /// The hands go on; one piece after the other; "confirm, next".
    pub fn usual() -> Self {
        Self {
            works_ahead: true,
            says_numbers: false,
            confirms: Confirms::InFlow,
            look_ms: 500..2_000,
            ..Self::learner()
        }
    }

    /// One breath a tooth, beginning with "next", while the probe is at the next tooth already.
    pub fn practised() -> Self {
        Self {
            breath: Breath::Tooth,
            confirms: Confirms::Next,
            react_ms: 250..700,
            gap_ms: 200,
            ..Self::usual()
        }
    }

    /// A practised vet, and a nurse who listens and confirms by pedal.
    pub fn two_people() -> Self {
        Self {
            confirms: Confirms::NursePedal,
            ..Self::practised()
        }
    }
}
