//! Everything the operator can mean, by voice, key or page. Requests, in the imperative; nothing has happened yet.

use crate::terms::drug::{Amount, Route};
use crate::terms::mouth::{FlapKind, Implant};
use crate::terms::procedure::{Method, Treatment};
use crate::terms::surgery::{
    Agreed, Complication, HomeCare, HomeUnit, Remedy, SampleKind, Suture, SutureSize, Way,
};
use crate::terms::vital::Reading;
use crate::terms::watch::{CourseStep, Crisis, Role};
use crate::terms::{
    Area, Decision, Entrance, Finding, Kind, MouthDecision, MouthSide, Place, Procedure, Reason,
    Side, Site, ToothNumber, Value,
};

/// Where millimetres were said to belong.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spot {
    /// Not said: the next sites awaited, or the tooth as a whole.
    Unsaid,
    /// One value: the middle; two: front and back; three: front, middle, back.
    Side(Side),
    Site(Site),
    /// One value for all six sites.
    AllSites,
}

/// Which teeth a group means; the species and what was already said decide the numbers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Scope {
    /// The tooth at hand.
    ThisTooth,
    /// All teeth that have no entry yet.
    Rest,
    /// The same, in one quadrant (1 to 4).
    RestOfQuadrant(u8),
    /// Teeth of these quadrants (1 to 8) at these positions.
    Teeth {
        quadrants: Vec<u8>,
        positions: Vec<u8>,
    },
    /// From one to the other along the arch, both included; the session refuses two different jaws.
    Range(ToothNumber, ToothNumber),
}

/// Done to the tooth at hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ToothWork {
    Extracted(Method),
    CrownRemoved,
    RootLeft(Option<Reason>),
    Flap(Option<FlapKind>),
    /// For a second visit, or for today after all.
    Staged {
        is_later: bool,
    },
    Sutured,
    GumSurgery,
    RootsComplete,
    Treated(Treatment),
    FilmWanted,
    FilmTaken,
    FilmNumbered(u16),
}

impl ToothWork {
    pub fn of(self, tooth: ToothNumber) -> Procedure {
        match self {
            Self::Extracted(method) => Procedure::Extracted { tooth, method },
            Self::CrownRemoved => Procedure::CrownRemoved { tooth },
            Self::RootLeft(reason) => Procedure::RootLeft { tooth, reason },
            Self::Flap(kind) => Procedure::Flap { tooth, kind },
            Self::Staged { is_later } => Procedure::Staged { tooth, is_later },
            Self::Sutured => Procedure::Sutured {
                tooth,
                material: None,
                size: None,
            },
            Self::GumSurgery => Procedure::GumSurgery { tooth },
            Self::RootsComplete => Procedure::RootsComplete { tooth },
            Self::Treated(treatment) => Procedure::Treated { tooth, treatment },
            Self::FilmWanted => Procedure::FilmWanted { teeth: vec![tooth] },
            Self::FilmNumbered(number) => Procedure::FilmTaken {
                teeth: vec![tooth],
                number: Some(number),
            },
            Self::FilmTaken => Procedure::FilmTaken {
                teeth: vec![tooth],
                number: None,
            },
        }
    }
}

/// Which single values are taken back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Which {
    /// The entry of this number: what was touched on the page.
    Entry(u64),
    /// Findings of these kinds at these places, none named meaning all: of the tooth at hand, or of the mouth
    /// where the kind is none of a tooth.
    Findings {
        kinds: Vec<Kind>,
        places: Vec<Place>,
    },
    /// The decision for the tooth at hand.
    Decision,
    /// The newest for the mouth or a part of it.
    MouthDecision,
    /// The newest of this kind, by the key of [`Procedure`]; of work on a tooth, at the tooth at hand.
    Done(String),
    /// The newest note.
    Note,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Question {
    /// Which teeth still lack a reading?
    Missing,
    Where,
    /// In which order are the depths of a side read?
    Order,
    Plan,
    /// What is charted for the tooth at hand?
    Summary,
    /// What can be said now?
    Sayable,
    /// The last vital signs.
    Vitals,
    /// Which drugs were given, and how much of each?
    Given,
    /// How was this tooth at the last visit? None: the tooth at hand.
    Compare(Option<ToothNumber>),
}

/// How much is read back aloud.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "clap", derive(clap::ValueEnum))]
pub enum Pace {
    /// Each reading as soon as it is saved.
    #[default]
    EachReading,
    /// All of a tooth when it is left, or in a longer pause.
    EachTooth,
    /// All of a quadrant when it is left, or on "confirm"; questions about odd values are gathered until then.
    EachQuadrant,
    /// Tones only; questions are still spoken, and "confirm" reads back first.
    Quiet,
    /// Values are shown on page and screen instead; what was shown may be confirmed.
    Shown,
}

/// What a sentence lacks that is whole but for one part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lacks {
    Grade,
    /// Stage or type of a resorption.
    Stage,
    /// Class of the occlusion.
    Class,
    Millimetres,
    /// Where in the mouth, or which site of the tooth.
    Place,
    /// Which fracture of the tooth.
    Fracture,
    /// Rostral or caudal.
    Crossbite,
    /// Of what: a part alone.
    What,
}

/// For the anaesthetic record, as it was said.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Watching {
    Vital {
        reading: Reading,
        /// What was said sounds like these: fifteen for fifty.
        sounds_like: Vec<Reading>,
    },
    Crisis(Crisis),
    Course(CourseStep),
    Drug(GivenDrug),
    Wasted {
        drug: String,
        amount: Amount,
    },
    /// Somebody saw it.
    Witness(Role),
    /// Of the drug in this entry; none: of the one entered last.
    Batch {
        of: Option<u64>,
        batch: String,
    },
}

/// A drug that was given, as it was said or typed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct GivenDrug {
    pub drug: String,
    /// None: no unit was said.
    pub amount: Option<Amount>,
    pub strength_ug_per_ml: Option<u32>,
    pub route: Option<Route>,
    pub by: Option<Role>,
    /// Entered so long after it was given.
    pub minutes_ago: u16,
    pub batch: Option<String>,
}

/// What surgery is recorded with, as it was said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Surgical {
    Closed {
        material: Suture,
        size: Option<SutureSize>,
    },
    Complication {
        what: Complication,
        size_mm: Option<u8>,
    },
    /// Of the newest complication.
    Treated(Remedy),
    /// Of every complication that the owner was not told of.
    OwnerTold {
        way: Option<Way>,
        by: Option<Role>,
    },
    OwnerAsked {
        about: Agreed,
        is_agreed: bool,
        way: Option<Way>,
        by: Option<Role>,
    },
    Sample {
        /// None: the next.
        pot: Option<u8>,
        kind: Option<SampleKind>,
        /// None: at the tooth at hand.
        area: Option<(Area, Option<MouthSide>)>,
    },
    /// All that were not sent.
    SamplesSent {
        due_days: Option<u16>,
    },
    HomeCare {
        what: HomeCare,
        days: u16,
    },
    Tray {
        number: u16,
        sterilised_days_ago: Option<u16>,
    },
}

/// One thing that is said of a lesion.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trait {
    /// None: the size of the lesion itself.
    pub kind: Option<Kind>,
    pub value: Value,
}

/// One wish of the operator.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Intent {
    ChooseTooth(ToothNumber),
    NextTooth,
    PreviousTooth,
    /// Depth, recession or enlargement in millimetres, in the order said.
    RecordMillimetres {
        kind: Kind,
        spot: Spot,
        mm: Vec<u8>,
    },
    /// From now on the three depths of a side are read from the front backwards (true) or from the back.
    ReadFromFront(bool),
    /// Bleeding at places of the tooth at hand.
    RecordBleeding {
        spot: Spot,
    },
    RecordFurcation {
        entrance: Option<Entrance>,
        grade: u8,
    },
    /// A finding of the tooth at hand as a whole.
    RecordForTooth {
        kind: Kind,
        value: Value,
    },
    /// What a film shows of a root of the tooth at hand, or of it as a whole.
    RecordAtRoot {
        kind: Kind,
        place: Place,
        value: Value,
    },
    RecordForMouth {
        kind: Kind,
        area: Option<(Area, Option<MouthSide>)>,
        value: Value,
    },
    /// A finding whose subject and place are given whole, as the page sends it.
    RecordFinding(Finding),
    RecordNormal(Scope),
    RecordAbsent(Scope),
    Decide {
        decision: Decision,
        reason: Option<Reason>,
    },
    /// The same decision for several teeth.
    DecideGroup {
        scope: Scope,
        decision: Decision,
        reason: Option<Reason>,
    },
    /// For the mouth or a part of it.
    DecideMouth(MouthDecision),
    /// How the lesion looks that was entered last.
    DescribeLesion(Vec<Trait>),
    /// Of what was put into the wound of the tooth at hand.
    ImplantBatch {
        what: Implant,
        batch: String,
    },
    DoToTooth(ToothWork),
    Do(Procedure),
    /// A medicine for home.
    HomeMedicine {
        drug: String,
        amount_thousandths: u32,
        unit: HomeUnit,
        times_a_day: u8,
        days: u16,
    },
    /// Of surgery in full: what belongs to it is found in the record.
    Surgery(Surgical),
    /// For the anaesthetic record.
    Watch(Watching),
    /// Results of the cat's blood tests; none where it was not named.
    VirusTests {
        felv: Option<bool>,
        fiv: Option<bool>,
    },
    TakeNote,
    /// Confirms what was read back last for the tooth at hand, or answers the open question with yes.
    Confirm,
    /// Confirms everything read back and not yet confirmed.
    ConfirmEverything,
    /// Confirms the entries up to this number: what the page showed when it was pressed.
    ConfirmUpTo(u64),
    /// Confirms these and no others: what the page listed with its values when it was pressed.
    ConfirmEntries(Vec<u64>),
    /// Confirms these, as far as they were read back: a second person's word on what was heard last, whatever the
    /// first has entered since.
    ConfirmReadBack(Vec<u64>),
    /// A sentence that lacks one part: it is asked for, and the next utterance gives it.
    Lacking {
        lacks: Lacks,
        /// The words so far, without what stands around them.
        said: String,
    },
    /// Answers whether to go on or to close and leave the rest for a second visit.
    CloseAndStage,
    /// What was read back last is wrong; or no to the open question.
    Deny,
    /// Takes the last entry back.
    Undo,
    /// The last entry is replaced by these.
    Correct(Vec<Intent>),
    /// Takes back all entries of a tooth. None: the tooth at hand.
    Strike(Option<ToothNumber>),
    /// Takes back single values, whenever they were entered.
    StrikeValues(Which),
    Repeat,
    Ask(Question),
    StopSpeaking,
    PauseListening,
    Listen,
    SetPace(Pace),
    FinishVisit,
}

/// Whether what was said may be the part that another sentence lacks: a part by itself, or bare numbers.
pub(super) fn is_part(intent: &Intent) -> bool {
    matches!(
        intent,
        Intent::Lacking { .. }
            | Intent::RecordMillimetres {
                kind: Kind::Depth,
                spot: Spot::Unsaid,
                ..
            }
    )
}
