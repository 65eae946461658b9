//! What surgery is recorded with: what went wrong and what was done about it, what a wound was closed with, samples
//! for the laboratory, and what the owner was told and agreed to.

use serde::{Deserialize, Serialize};

/// An enum whose variants have one word each, as shown and said.
macro_rules! worded {
    ($(#[$about:meta])* $name:ident { $($variant:ident = $word:literal,)* }) => {
        $(#[$about])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
        #[serde(rename_all = "snake_case")]
        pub enum $name {
            $($variant,)*
        }

        impl $name {
            pub const ALL: &'static [Self] = &[$(Self::$variant,)*];

            pub fn word(self) -> &'static str {
                match self {
                    $(Self::$variant => $word,)*
                }
            }
        }
    };
}

pub(crate) use worded;

worded! {
    /// What went wrong. A root that was left has an entry of its own.
    Complication {
        RootInNose = "root pushed into the nose",
        RootInSinus = "root pushed into the sinus",
        RootInCanal = "root pushed into the mandibular canal",
        JawFracture = "jaw fracture",
        Bleeding = "bleeding",
        OrbitInjury = "injury of the orbit",
        NasalOpening = "opening into the nose",
        NeighbourDamaged = "neighbour tooth or bud damaged",
        SoftTissueTorn = "soft tissue torn",
        WoundOpen = "wound broken open",
        TongueSwelling = "swelling of the tongue",
        AirUnderSkin = "air under the skin",
    }
}

worded! {
    /// What was done about it.
    Remedy {
        Pressure = "pressure",
        Ligature = "ligature",
        Packed = "packing",
        Sutured = "sutures",
        Flap = "flap",
        Fixed = "fixation",
        RootTakenOut = "root taken out",
        LeftInPlace = "left in place",
        EyeExamined = "eye examined",
        Watched = "watched",
        Referred = "referred",
    }
}

worded! {
    /// By what way the owner was spoken with.
    Way {
        Telephone = "by telephone",
        InPerson = "in person",
        InWriting = "in writing",
    }
}

worded! {
    /// What the owner was asked to agree to beyond what was signed.
    Agreed {
        Extraction = "extraction",
        Surgery = "surgery",
        Sample = "a sample for the laboratory",
        LaterVisit = "a later visit for the rest",
        Referral = "referral",
        Cost = "the higher cost",
    }
}

worded! {
    /// How a sample is taken.
    SampleKind {
        Incisional = "incisional",
        Excisional = "excisional",
        Punch = "punch",
        Needle = "needle",
    }
}

worded! {
    /// How a medicine for home is measured.
    HomeUnit {
        Ml = "ml",
        Tablets = "tablets",
    }
}

worded! {
    /// What the owner does at home for so many days.
    HomeCare {
        SoftFood = "soft food",
        Collar = "collar",
        Rest = "rest",
    }
}

worded! {
    /// What a wound is sewn with.
    Suture {
        Poliglecaprone = "poliglecaprone",
        PolyglactinFast = "fast polyglactin",
        Polyglactin = "polyglactin",
        ChromicGut = "chromic gut",
        Polydioxanone = "polydioxanone",
        Nylon = "nylon",
    }
}

impl Suture {
    /// Days after which it is gone, from and to, where a source says it; none where it stays or nothing was read.
    /// Poliglecaprone 3 to 4 weeks, fast polyglactin and chromic gut 1 to 2 weeks [BRANNAN].
    pub fn gone_after_days(self) -> Option<(u16, u16)> {
        match self {
            Self::Poliglecaprone => Some((21, 28)),
            Self::PolyglactinFast | Self::ChromicGut => Some((7, 14)),
            Self::Polyglactin | Self::Polydioxanone | Self::Nylon => None,
        }
    }
}

/// Size of a suture by the United States Pharmacopeia: "4-0", from 3-0 to 6-0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "u8", into = "u8")]
pub struct SutureSize(u8);

impl SutureSize {
    pub fn new(zeros: u8) -> Option<Self> {
        (3..=6).contains(&zeros).then_some(Self(zeros))
    }

    pub fn zeros(self) -> u8 {
        self.0
    }

    /// "4-0 (1.5 metric)"; the metric sizes are from memory.
    pub fn text(self) -> String {
        let metric = match self.0 {
            3 => "2",
            4 => "1.5",
            5 => "1",
            _ => "0.7",
        };
        format!("{}-0 ({metric} metric)", self.0)
    }
}

impl TryFrom<u8> for SutureSize {
    type Error = String;

    fn try_from(zeros: u8) -> Result<Self, String> {
        Self::new(zeros).ok_or_else(|| format!("{zeros}-0 is no suture for the mouth: 3-0 to 6-0"))
    }
}

impl From<SutureSize> for u8 {
    fn from(size: SutureSize) -> Self {
        size.0
    }
}
