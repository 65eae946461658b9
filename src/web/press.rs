//! What a touch or key on the page asks for: JSON in, presses out. Unknown fields are refused; every value is
//! checked by the types of `terms`.

use serde::{Deserialize, Serialize};
use std::fmt;
use tokio::sync::oneshot;
use uuid::Uuid;

use super::watch_press::{self, WatchIn};
use crate::clock::today;
use crate::grammar::intent::{Question, Scope, Spot, Surgical, ToothWork, Which};
use crate::grammar::{Intent, class_positions};
use crate::record::{Heard, How, Record};
use crate::session::Said;
use crate::terms::mouth::{FlapKind, Implant, MouthChoice, MouthDecision};
use crate::terms::patient::Sex;
use crate::terms::patient::{Plausible, check_born, plausible_weight};
use crate::terms::procedure::{Block, Method, Treatment};
use crate::terms::surgery::{Agreed, Complication, HomeCare, HomeUnit, Remedy, SampleKind, Way};
use crate::terms::{
    Area, Decision, Drug, Entrance, Finding, Kind, MouthSide, PartialDate, Patient, Place,
    Procedure, Reason, Root, Site, Species, Subject, ToothNumber, Value, Weight, eruption,
};

/// Longest text that is taken in, in characters: a name, a note.
const LINE_CHARS_MAX: usize = 120;
const NOTE_CHARS_MAX: usize = 2_000;
/// More values than a whole examination has.
const ENTRIES_MAX: usize = 1_000;
/// The greatest volume of one block, as when it is said; more is a slip of the point.
pub(super) const VOLUME_ML_HUNDREDTHS_MAX: u16 = 999;

/// One wish from the page.
#[derive(Debug, Clone, PartialEq)]
pub enum Press {
    Intents(Vec<Intent>),
    /// About this tooth, whichever is at hand; the tooth at hand stays.
    ForTooth {
        tooth: ToothNumber,
        intents: Vec<Intent>,
    },
    /// A typed note.
    Note {
        tooth: Option<ToothNumber>,
        text: String,
    },
    OpenVisit {
        patient: Patient,
        vet: Option<String>,
        nurse: Option<String>,
    },
    UpdatePatient(Patient),
    /// Go on with a visit that was left open.
    GoOn(Uuid),
    /// Somebody has seen what failed, and written down what was not saved.
    Acknowledge,
    /// Open a finished visit again.
    Reopen {
        visit: Uuid,
        reason: String,
    },
    /// Words added to a finished visit, which stays finished.
    Addendum {
        visit: Uuid,
        text: String,
    },
    /// A finished visit is signed; the server has proven the name by its PIN.
    Sign {
        visit: Uuid,
        name: String,
        up_to: u64,
        anyway: bool,
    },
}

/// A press on its way to `app`, which answers once it is saved or refused.
#[derive(Debug)]
pub struct Pressed {
    pub press: Press,
    /// Number of the newest entry that the page showed.
    pub seen: u64,
    pub reply: oneshot::Sender<Reply>,
}

/// What became of a press.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Reply {
    /// Taken; what was to be saved is saved.
    Taken { last: u64, said: Vec<String> },
    /// Not taken; why, for the person.
    Refused(String),
    /// Understood, and the disk did not take it; why. It is kept, and entered when the disk takes it.
    NotSaved(String),
}

/// Why a press cannot be taken now: it spoke of what stood on the page, and that is no longer so.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NotNow {
    #[error("something new came in before the touch; look, and press again")]
    Newer,
    #[error("a question is open; answer it first")]
    QuestionOpen,
    #[error("no question is open any more")]
    NoQuestion,
    #[error("that value no longer stands; look again")]
    Gone,
}

impl Pressed {
    /// The press as the session takes it; nothing for presses that are not for the session.
    /// Yes, no, confirm and undo mean what was on the page, so a newer value or question stops them.
    pub fn said(&self, record: &Record) -> Result<Option<Said>, NotNow> {
        let intents = match &self.press {
            Press::Intents(intents) => intents.clone(),
            Press::ForTooth { tooth, intents } => for_tooth(record, *tooth, intents),
            _ => return Ok(None),
        };
        for intent in &intents {
            self.check(intent, record)?;
        }
        Ok(Some(Said {
            intents,
            heard: pressed(),
        }))
    }

    fn check(&self, intent: &Intent, record: &Record) -> Result<(), NotNow> {
        let question = record.open_challenge().map(|open| open.number);
        match intent {
            // The session would take it for a yes.
            Intent::ConfirmUpTo(_) | Intent::ConfirmEntries(_) if question.is_some() => {
                Err(NotNow::QuestionOpen)
            }
            Intent::Confirm | Intent::Deny => match question {
                None => Err(NotNow::NoQuestion),
                Some(number) if number > self.seen => Err(NotNow::Newer),
                Some(_) => Ok(()),
            },
            Intent::Undo
                if record.last_change > self.seen
                    || question.is_some_and(|number| number > self.seen) =>
            {
                Err(NotNow::Newer)
            }
            Intent::StrikeValues(Which::Entry(number)) if !record.is_current(*number) => {
                Err(NotNow::Gone)
            }
            _ => Ok(()),
        }
    }
}

/// What is kept as heard for a press.
pub fn pressed() -> Heard {
    Heard {
        confidence: 1.0,
        how: How::Pressed,
        ..Heard::default()
    }
}

/// The tooth at hand is left and taken up again, so that the voice goes on where it was.
fn for_tooth(record: &Record, tooth: ToothNumber, intents: &[Intent]) -> Vec<Intent> {
    if record.tooth == Some(tooth) {
        return intents.to_vec();
    }
    let mut all = vec![Intent::ChooseTooth(tooth)];
    all.extend_from_slice(intents);
    all.extend(record.tooth.map(Intent::ChooseTooth));
    all
}

// ---- JSON

/// The body of a press.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Body {
    pub seen: u64,
    pub press: PressIn,
}

#[derive(Debug, Deserialize)]
#[serde(
    tag = "do",
    content = "with",
    rename_all = "snake_case",
    deny_unknown_fields
)]
pub(super) enum PressIn {
    Choose(ToothIn),
    Next,
    Previous,
    Finding(FindingIn),
    /// One depth for all six sites.
    AllSites(AllSitesIn),
    /// Several depths of one tooth at once.
    Depths(DepthsIn),
    Normal(ToothIn),
    /// Every tooth of these quadrants that has no entry yet is normal.
    NormalRest(QuadrantsIn),
    Decide(DecideIn),
    Work(WorkIn),
    Mark(MarkIn),
    Surgery(SurgeryIn),
    MouthDecision(MouthDecisionIn),
    /// The same decision for several teeth.
    GroupDecision(GroupDecisionIn),
    /// Of a graft or membrane.
    ImplantBatch(ImplantBatchIn),
    HomeMedicine(HomeMedicineIn),
    Watch(WatchIn),
    Confirm,
    /// These values and no others.
    ConfirmThese(EntriesIn),
    Yes,
    No,
    Undo,
    Strike(ToothIn),
    Withdraw(EntryIn),
    Repeat,
    Quiet,
    Pause,
    Listen,
    SpokenNote,
    Note(NoteIn),
    AskMissing,
    Finish,
    OpenVisit(VisitIn),
    Patient(PatientIn),
    GoOn(GoOnIn),
    Acknowledge,
    Reopen(WordsIn),
    Addendum(WordsIn),
    Sign(SignIn),
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ToothIn {
    tooth: ToothNumber,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct AllSitesIn {
    tooth: ToothNumber,
    mm: u8,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct DepthsIn {
    tooth: ToothNumber,
    depths: Vec<SiteDepthIn>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct SiteDepthIn {
    site: Site,
    mm: u8,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct QuadrantsIn {
    /// 1 to 4; none means the whole mouth.
    quadrants: Vec<u8>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct EntriesIn {
    entries: Vec<u64>,
}

/// Words for a visit that is finished.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct WordsIn {
    visit: Uuid,
    text: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct EntryIn {
    /// Number of the entry whose value is taken back.
    entry: u64,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FindingIn {
    /// None: the mouth.
    tooth: Option<ToothNumber>,
    kind: Kind,
    site: Option<Site>,
    entrance: Option<Entrance>,
    #[serde(default)]
    root: Option<Root>,
    /// Of the mouth.
    #[serde(default)]
    area: Option<AreaIn>,
    value: Value,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct AreaIn {
    area: Area,
    side: Option<MouthSide>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct DecideIn {
    tooth: ToothNumber,
    decision: DecisionIn,
    months: Option<u8>,
    treatment: Option<Treatment>,
    reason: Option<Reason>,
}

#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum DecisionIn {
    Extract,
    Monitor,
    Leave,
    Treat,
}

/// What surgery is recorded with; of the tooth, where one is named.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SurgeryIn {
    tooth: Option<ToothNumber>,
    what: SurgicalIn,
}

#[derive(Debug, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub(super) enum SurgicalIn {
    Complication {
        what: Complication,
        size_mm: Option<u8>,
    },
    Remedy(Remedy),
    OwnerTold {
        way: Option<Way>,
    },
    OwnerAsked {
        about: Agreed,
        is_agreed: bool,
        way: Option<Way>,
    },
    Sample {
        kind: Option<SampleKind>,
        area: Option<AreaIn>,
    },
    SamplesSent {
        due_days: Option<u16>,
    },
    HomeCare {
        what: HomeCare,
        days: u16,
    },
    /// For a second visit, or for today after all.
    Staged {
        is_later: bool,
    },
    SecondVisit {
        days: u16,
    },
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct MouthDecisionIn {
    /// None: the mouth as a whole.
    area: Option<AreaIn>,
    choice: MouthChoice,
    reason: Option<Reason>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct GroupDecisionIn {
    teeth: GroupIn,
    decision: DecisionIn,
    months: Option<u8>,
    treatment: Option<Treatment>,
    reason: Option<Reason>,
}

#[derive(Debug, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub(super) enum GroupIn {
    Class {
        /// 1 to 4, of deciduous teeth 5 to 8.
        quadrants: Vec<u8>,
        class: String,
    },
    /// Along the arch, both included.
    Range { from: ToothNumber, to: ToothNumber },
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ImplantBatchIn {
    tooth: ToothNumber,
    what: Implant,
    batch: String,
}

/// A vet's word that a finished visit is as it stands.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SignIn {
    visit: Uuid,
    pub name: String,
    pub pin: Pin,
    /// Number of the newest entry that was shown of this visit.
    up_to: u64,
    /// Although values are unconfirmed.
    #[serde(default)]
    anyway: bool,
}

/// Shown nowhere.
#[derive(Deserialize)]
#[serde(transparent)]
pub(super) struct Pin(pub String);

impl fmt::Debug for Pin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Pin")
    }
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct HomeMedicineIn {
    drug: String,
    amount_hundredths: u16,
    unit: HomeUnit,
    times_a_day: u8,
    days: u16,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct WorkIn {
    tooth: ToothNumber,
    work: WorkKey,
}

/// The keys of `words` come from these as well.
#[derive(Debug, Clone, Copy, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum WorkKey {
    FilmWanted,
    FilmTaken,
    Flap(Option<FlapKind>),
    ExtractedClosed,
    ExtractedSectioned,
    ExtractedSurgical,
    RootsComplete,
    RootLeft(Option<Reason>),
    CrownRemoved,
    GumSurgery,
    Sutured,
    Treated(Treatment),
}

/// What is marked for the whole animal. The keys of `words` come from these as well.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum MarkIn {
    AnaesthesiaStarted,
    AnaesthesiaEnded,
    ProcedureStarted,
    ProcedureEnded,
    ThroatPackIn,
    ThroatPackOut,
    GagIn,
    GagOut,
    Scaled,
    Polished,
    FilmsWanted,
    FilmsTaken,
    FilmsRead,
    Block(BlockIn),
    /// A medicine given, by its name alone; with an amount it belongs in the drug log (`watch`).
    Medicine(String),
    Swabs(u8),
    CelsiusTenths(u16),
    /// Key of a point of the check list.
    Checked(String),
}

#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BlockIn {
    block: Block,
    side: MouthSide,
    drug: Drug,
    volume_ml_hundredths: u16,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct NoteIn {
    tooth: Option<ToothNumber>,
    text: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct VisitIn {
    patient: PatientIn,
    vet: Option<String>,
    nurse: Option<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PatientIn {
    id: Option<String>,
    #[serde(default)]
    microchip: Option<String>,
    name: String,
    species: Species,
    breed: Option<String>,
    sex: Option<Sex>,
    born: Option<String>,
    weight_g: Option<u32>,
    /// Answers the question about an unusual weight.
    #[serde(default)]
    weight_is_right: bool,
    #[serde(default)]
    felv: Option<bool>,
    #[serde(default)]
    fiv: Option<bool>,
    owner: Option<String>,
    #[serde(default)]
    invented: bool,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct GoOnIn {
    visit: Uuid,
}

/// The JSON was well formed, but a value in it is not.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Unfit(pub String);

impl fmt::Display for Unfit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl PressIn {
    /// `seen`: number of the newest entry that the page showed.
    pub fn press(self, seen: u64) -> Result<Press, Unfit> {
        let one = |intent| Ok(Press::Intents(vec![intent]));
        let of_tooth = |tooth, intent| {
            Ok(Press::ForTooth {
                tooth,
                intents: vec![intent],
            })
        };
        match self {
            Self::Choose(ToothIn { tooth }) => one(Intent::ChooseTooth(tooth)),
            Self::Next => one(Intent::NextTooth),
            Self::Previous => one(Intent::PreviousTooth),
            Self::Finding(finding) => one(Intent::RecordFinding(finding.finding()?)),
            Self::AllSites(AllSitesIn { tooth, mm }) => {
                for site in Site::ALL {
                    depth(tooth, site, mm)?;
                }
                of_tooth(
                    tooth,
                    Intent::RecordMillimetres {
                        kind: Kind::Depth,
                        spot: Spot::AllSites,
                        mm: vec![mm],
                    },
                )
            }
            Self::Depths(DepthsIn { tooth, depths }) => {
                if depths.is_empty() || depths.len() > Site::ALL.len() {
                    return Err(Unfit("one to six depths go at once".into()));
                }
                let intents = depths
                    .into_iter()
                    .map(|SiteDepthIn { site, mm }| {
                        depth(tooth, site, mm).map(Intent::RecordFinding)
                    })
                    .collect::<Result<Vec<_>, _>>()?;
                Ok(Press::Intents(intents))
            }
            Self::NormalRest(QuadrantsIn { quadrants }) => {
                if quadrants.iter().any(|quadrant| !(1..=4).contains(quadrant)) {
                    return Err(Unfit("quadrants are 1 to 4".into()));
                }
                if quadrants.is_empty() {
                    return one(Intent::RecordNormal(Scope::Rest));
                }
                let of = |quadrant| Intent::RecordNormal(Scope::RestOfQuadrant(quadrant));
                Ok(Press::Intents(quadrants.into_iter().map(of).collect()))
            }
            Self::Normal(ToothIn { tooth }) => {
                of_tooth(tooth, Intent::RecordNormal(Scope::ThisTooth))
            }
            Self::Decide(decide) => {
                let reason = decide.reason;
                let tooth = decide.tooth;
                of_tooth(
                    tooth,
                    Intent::Decide {
                        decision: decide.decision.with(decide.months, decide.treatment)?,
                        reason,
                    },
                )
            }
            Self::Work(WorkIn { tooth, work }) => of_tooth(tooth, Intent::DoToTooth(work.work())),
            Self::Mark(mark) => one(Intent::Do(mark.procedure()?)),
            Self::Surgery(SurgeryIn { tooth, what }) => match tooth {
                Some(tooth) => of_tooth(tooth, what.intent()?),
                None => one(what.intent()?),
            },
            Self::MouthDecision(MouthDecisionIn {
                area,
                choice,
                reason,
            }) => one(Intent::DecideMouth(MouthDecision {
                part: area.map(|AreaIn { area, side }| (area, side)),
                choice,
                reason,
            })),
            Self::GroupDecision(group) => one(group.intent()?),
            Self::ImplantBatch(ImplantBatchIn { tooth, what, batch }) => of_tooth(
                tooth,
                Intent::ImplantBatch {
                    what,
                    batch: watch_press::batch(&batch).map_err(Unfit)?,
                },
            ),
            Self::HomeMedicine(given) => one(given.intent()?),
            Self::Watch(watch) => one(Intent::Watch(watch.watching().map_err(Unfit)?)),
            Self::Confirm => one(Intent::ConfirmUpTo(seen)),
            Self::ConfirmThese(EntriesIn { entries }) => {
                if entries.is_empty() || entries.len() > ENTRIES_MAX {
                    return Err(Unfit("which values?".into()));
                }
                one(Intent::ConfirmEntries(entries))
            }
            Self::Yes => one(Intent::Confirm),
            Self::No => one(Intent::Deny),
            Self::Undo => one(Intent::Undo),
            Self::Strike(ToothIn { tooth }) => one(Intent::Strike(Some(tooth))),
            Self::Withdraw(EntryIn { entry }) => one(Intent::StrikeValues(Which::Entry(entry))),
            Self::Repeat => one(Intent::Repeat),
            Self::Quiet => one(Intent::StopSpeaking),
            Self::Pause => one(Intent::PauseListening),
            Self::Listen => one(Intent::Listen),
            Self::SpokenNote => one(Intent::TakeNote),
            Self::Note(NoteIn { tooth, text }) => Ok(Press::Note {
                tooth,
                text: text_of("the note", &text, NOTE_CHARS_MAX)?,
            }),
            Self::AskMissing => one(Intent::Ask(Question::Missing)),
            Self::Finish => one(Intent::FinishVisit),
            Self::OpenVisit(VisitIn {
                patient,
                vet,
                nurse,
            }) => Ok(Press::OpenVisit {
                patient: patient.patient()?,
                vet: maybe("the vet's name", vet)?,
                nurse: maybe("the nurse's name", nurse)?,
            }),
            Self::Patient(patient) => Ok(Press::UpdatePatient(patient.patient()?)),
            Self::GoOn(GoOnIn { visit }) => Ok(Press::GoOn(visit)),
            Self::Acknowledge => Ok(Press::Acknowledge),
            Self::Reopen(WordsIn { visit, text }) => Ok(Press::Reopen {
                visit,
                reason: text_of("the reason", &text, NOTE_CHARS_MAX)?,
            }),
            Self::Addendum(WordsIn { visit, text }) => Ok(Press::Addendum {
                visit,
                text: text_of("the addendum", &text, NOTE_CHARS_MAX)?,
            }),
            Self::Sign(SignIn {
                visit,
                name,
                pin: _,
                up_to,
                anyway,
            }) => Ok(Press::Sign {
                visit,
                name: text_of("the name", &name, LINE_CHARS_MAX)?,
                up_to,
                anyway,
            }),
        }
    }
}

fn depth(tooth: ToothNumber, site: Site, mm: u8) -> Result<Finding, Unfit> {
    Finding::new(
        Subject::Tooth(tooth),
        Kind::Depth,
        Place::Site(site),
        Value::Mm(mm),
    )
    .map_err(|unsuited| Unfit(unsuited.to_string()))
}

impl FindingIn {
    fn finding(self) -> Result<Finding, Unfit> {
        let subject = self.tooth.map_or(Subject::Mouth, Subject::Tooth);
        let place = match (self.site, self.entrance, self.area, self.root) {
            (None, None, None, None) => Place::Whole,
            (Some(site), None, None, None) => Place::Site(site),
            (None, Some(entrance), None, None) => Place::Entrance(entrance),
            (None, None, Some(AreaIn { area, side }), None) => Place::Area(area, side),
            (None, None, None, Some(root)) => Place::Root(root),
            _ => return Err(Unfit("two places at once".into())),
        };
        Finding::new(subject, self.kind, place, self.value)
            .map_err(|unsuited| Unfit(unsuited.to_string()))
    }
}

impl DecisionIn {
    fn with(self, months: Option<u8>, treatment: Option<Treatment>) -> Result<Decision, Unfit> {
        match (self, months, treatment) {
            (Self::Extract, None, None) => Ok(Decision::Extract),
            (Self::Leave, None, None) => Ok(Decision::Leave),
            (Self::Monitor, months, None) if months.is_none_or(|m| (1..=24).contains(&m)) => {
                Ok(Decision::Monitor { months })
            }
            (Self::Treat, None, treatment) => {
                Ok(Decision::Treat(treatment.unwrap_or(Treatment::Unspecified)))
            }
            _ => Err(Unfit(
                "months are for monitor (1 to 24), a treatment is for treat".into(),
            )),
        }
    }
}

impl GroupDecisionIn {
    fn intent(self) -> Result<Intent, Unfit> {
        let scope = match self.teeth {
            GroupIn::Class { quadrants, class } => {
                let is_quadrant = |quadrant: &u8| (1..=8).contains(quadrant);
                if quadrants.is_empty() || quadrants.len() > 8 || !quadrants.iter().all(is_quadrant)
                {
                    return Err(Unfit("quadrants are 1 to 8".into()));
                }
                Scope::Teeth {
                    quadrants,
                    positions: class_positions(&class),
                }
            }
            GroupIn::Range { from, to } => Scope::Range(from, to),
        };
        Ok(Intent::DecideGroup {
            scope,
            decision: self.decision.with(self.months, self.treatment)?,
            reason: self.reason,
        })
    }
}

/// Days that are said of home and of visits: a slip beyond a year.
const DAYS_MAX: u16 = 366;

fn days_of(days: u16) -> Result<u16, Unfit> {
    if (1..=DAYS_MAX).contains(&days) {
        Ok(days)
    } else {
        Err(Unfit(format!("{days} days are outside 1 to {DAYS_MAX}")))
    }
}

impl SurgicalIn {
    fn intent(self) -> Result<Intent, Unfit> {
        Ok(Intent::Surgery(match self {
            Self::Complication { what, size_mm } => Surgical::Complication { what, size_mm },
            Self::Remedy(how) => Surgical::Treated(how),
            Self::OwnerTold { way } => Surgical::OwnerTold { way, by: None },
            Self::OwnerAsked {
                about,
                is_agreed,
                way,
            } => Surgical::OwnerAsked {
                about,
                is_agreed,
                way,
                by: None,
            },
            Self::Sample { kind, area } => Surgical::Sample {
                pot: None,
                kind,
                area: area.map(|AreaIn { area, side }| (area, side)),
            },
            Self::SamplesSent { due_days } => Surgical::SamplesSent {
                due_days: due_days.map(days_of).transpose()?,
            },
            Self::HomeCare { what, days } => Surgical::HomeCare {
                what,
                days: days_of(days)?,
            },
            Self::Staged { is_later } => {
                return Ok(Intent::DoToTooth(ToothWork::Staged { is_later }));
            }
            Self::SecondVisit { days } => {
                return Ok(Intent::Do(Procedure::SecondVisit {
                    days: days_of(days)?,
                }));
            }
        }))
    }
}

impl HomeMedicineIn {
    fn intent(self) -> Result<Intent, Unfit> {
        if self.amount_hundredths == 0 || !(1..=4).contains(&self.times_a_day) {
            return Err(Unfit("an amount above 0, one to four times a day".into()));
        }
        Ok(Intent::HomeMedicine {
            drug: text_of("the medicine", &self.drug, LINE_CHARS_MAX)?,
            amount_thousandths: u32::from(self.amount_hundredths) * 10,
            unit: self.unit,
            times_a_day: self.times_a_day,
            days: days_of(self.days)?,
        })
    }
}

impl WorkKey {
    pub fn work(self) -> ToothWork {
        match self {
            Self::ExtractedClosed => ToothWork::Extracted(Method::Closed),
            Self::ExtractedSectioned => ToothWork::Extracted(Method::Sectioned),
            Self::ExtractedSurgical => ToothWork::Extracted(Method::Surgical),
            Self::Flap(kind) => ToothWork::Flap(kind),
            Self::Sutured => ToothWork::Sutured,
            Self::RootsComplete => ToothWork::RootsComplete,
            Self::FilmWanted => ToothWork::FilmWanted,
            Self::FilmTaken => ToothWork::FilmTaken,
            Self::CrownRemoved => ToothWork::CrownRemoved,
            Self::GumSurgery => ToothWork::GumSurgery,
            Self::RootLeft(reason) => ToothWork::RootLeft(reason),
            Self::Treated(treatment) => ToothWork::Treated(treatment),
        }
    }
}

impl MarkIn {
    pub fn procedure(self) -> Result<Procedure, Unfit> {
        Ok(match self {
            Self::AnaesthesiaStarted => Procedure::AnaesthesiaStarted,
            Self::AnaesthesiaEnded => Procedure::AnaesthesiaEnded,
            Self::ProcedureStarted => Procedure::ProcedureStarted,
            Self::ProcedureEnded => Procedure::ProcedureEnded,
            Self::ThroatPackIn => Procedure::ThroatPackIn,
            Self::ThroatPackOut => Procedure::ThroatPackOut,
            Self::GagIn => Procedure::GagIn,
            Self::GagOut => Procedure::GagOut,
            Self::Scaled => Procedure::Scaled,
            Self::Polished => Procedure::Polished,
            Self::FilmsWanted => Procedure::FilmWanted { teeth: Vec::new() },
            Self::FilmsTaken => Procedure::FilmTaken {
                teeth: Vec::new(),
                number: None,
            },
            Self::FilmsRead => Procedure::FilmsRead,
            Self::Block(BlockIn {
                block,
                side,
                drug,
                volume_ml_hundredths,
            }) => {
                if !(1..=VOLUME_ML_HUNDREDTHS_MAX).contains(&volume_ml_hundredths) {
                    return Err(Unfit(format!(
                        "{}.{:02} ml is outside 0.01 to 9.99",
                        volume_ml_hundredths / 100,
                        volume_ml_hundredths % 100
                    )));
                }
                Procedure::NerveBlock {
                    block,
                    side,
                    drug,
                    volume_ml_hundredths,
                    // The house's own solution, as when it is said.
                    strength_percent_hundredths: None,
                    as_given: None,
                }
            }
            Self::Medicine(words) => Procedure::Medication {
                words: text_of("the medicine", &words, LINE_CHARS_MAX)?,
            },
            Self::Swabs(count) => Procedure::SwabsCounted { count },
            // A live animal between deep cooling and high fever; beyond is a slip of the point.
            Self::CelsiusTenths(celsius_tenths) if (250..=430).contains(&celsius_tenths) => {
                Procedure::Temperature { celsius_tenths }
            }
            Self::CelsiusTenths(tenths) => {
                return Err(Unfit(format!(
                    "{}.{} degrees is outside 25 to 43",
                    tenths / 10,
                    tenths % 10
                )));
            }
            Self::Checked(point) => Procedure::Checked {
                point: text_of("the point", &point, LINE_CHARS_MAX)?,
            },
        })
    }
}

impl PatientIn {
    fn patient(self) -> Result<Patient, Unfit> {
        let born = maybe("the birth date", self.born)?
            .map(|text| text.parse::<PartialDate>())
            .transpose()
            .map_err(|why| Unfit(why.to_string()))?;
        let today = today();
        if let Some(born) = &born {
            check_born(born, today).map_err(Unfit)?;
        }
        if let Some(grams) = self.weight_g {
            let weight = Weight::from_grams(grams).map_err(Unfit)?;
            let age_days = born
                .as_ref()
                .and_then(|born| eruption::youngest_age_days(born, today));
            match plausible_weight(self.species, self.breed.as_deref(), weight, age_days) {
                Plausible::Refuse(why) => return Err(Unfit(why)),
                Plausible::Ask(why) if !self.weight_is_right => {
                    return Err(Unfit(format!(
                        "{why}: where it is right, say so in the form"
                    )));
                }
                _ => {}
            }
        }
        Ok(Patient {
            id: maybe("the number", self.id)?,
            microchip: maybe("the microchip", self.microchip)?
                .map(|text| text.parse())
                .transpose()
                .map_err(Unfit)?,
            name: text_of("the name", &self.name, LINE_CHARS_MAX)?,
            species: self.species,
            breed: maybe("the breed", self.breed)?,
            sex: self.sex,
            born,
            weight: self
                .weight_g
                .map(Weight::from_grams)
                .transpose()
                .map_err(Unfit)?,
            felv: self.felv,
            fiv: self.fiv,
            owner: maybe("the owner's name", self.owner)?,
            invented: self.invented,
        })
    }
}

fn maybe(what: &str, text: Option<String>) -> Result<Option<String>, Unfit> {
    text.filter(|text| !text.trim().is_empty())
        .map(|text| text_of(what, &text, LINE_CHARS_MAX))
        .transpose()
}

/// Text as text: trimmed, not empty, not too long, no control characters but line ends and tabs.
fn text_of(what: &str, text: &str, chars_max: usize) -> Result<String, Unfit> {
    let text = text.trim();
    if text.is_empty() {
        return Err(Unfit(format!("{what} is empty")));
    }
    if text.chars().count() > chars_max {
        return Err(Unfit(format!("{what} is longer than {chars_max} letters")));
    }
    if text
        .chars()
        .any(|c| c.is_control() && c != '\n' && c != '\t')
    {
        return Err(Unfit(format!("{what} holds a control character")));
    }
    Ok(text.to_owned())
}
