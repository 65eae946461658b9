//! What the page gets as JSON. Own types: the core's may change without the page noticing.
//!
//! Invariant: what is not confirmed, doubtful or replaced is told as such with every value.

use jiff::Timestamp;
use serde::Serialize;

use super::archive::{Line, is_same_animal};
use super::mouth::{self, ToothShape};
use super::{View, Weight};
use crate::record::fold::Phase;
use crate::record::{Charted, Event, How, Record, Standing};
use crate::session::{Rules, read_back};
use crate::terms::finding::{Form, Reach};
use crate::terms::procedure::Treatment;
use crate::terms::{
    Decision, Entrance, Finding, Kind, Patient, Place, Procedure, Reason, Site, Species, Subject,
    ToothNumber, Value, dentition,
};

/// Below this the least sure word of a value is shown as doubtful. From memory: to be set by measured
/// confidences once there are enough.
const DOUBT_BELOW: f32 = 0.6;

// ---- the visit

#[derive(Serialize)]
struct StateOut<'a> {
    saved_ms: Option<i64>,
    visit: Option<VisitOut>,
    heard: Option<HeardOut<'a>>,
    said: &'a [String],
    question: Option<&'a str>,
    awaited: &'a str,
    has_microphone: bool,
    is_speaking: bool,
    is_listening: bool,
    warnings: &'a [String],
    missing: Vec<u16>,
    alerts: Vec<AlertOut<'a>>,
    check_list: Vec<CheckOut<'a>>,
}

#[derive(Serialize)]
struct HeardOut<'a> {
    words: &'a str,
    confidence: f32,
    is_doubtful: bool,
    understood: &'a str,
    saved: bool,
    is_pressed: bool,
    at_ms: i64,
}

#[derive(Serialize)]
struct AlertOut<'a> {
    weight: &'static str,
    text: &'a str,
    tooth: Option<u16>,
}

#[derive(Serialize)]
struct CheckOut<'a> {
    key: &'a str,
    text: &'a str,
    is_done: bool,
    is_by_hand: bool,
}

#[derive(Serialize)]
pub(super) struct VisitOut {
    visit: String,
    patient: PatientOut,
    vet: Option<String>,
    nurse: Option<String>,
    opened_ms: i64,
    finished_ms: Option<i64>,
    is_open: bool,
    /// Number of the newest entry: sent back with each press.
    last: u64,
    /// Values that "confirm" would confirm now.
    unconfirmed_count: usize,
    value_count: usize,
    /// The tooth at hand.
    tooth: Option<u16>,
    teeth: Vec<ToothOut>,
    mouth: Vec<ValueOut>,
    notes: Vec<NoteOut>,
    timers: Vec<TimerOut>,
}

#[derive(Serialize)]
struct PatientOut {
    id: Option<String>,
    name: String,
    species: &'static str,
    breed: Option<String>,
    sex: Option<crate::terms::Sex>,
    born: Option<String>,
    weight_g: Option<u32>,
    owner: Option<String>,
    invented: bool,
}

/// One tooth. Teeth without any entry are there too.
#[derive(Serialize)]
struct ToothOut {
    tooth: u16,
    is_charted: bool,
    is_absent: bool,
    is_normal: bool,
    unconfirmed_count: usize,
    depth_count: usize,
    values: Vec<ValueOut>,
    decision: Option<DecisionOut>,
    done: Vec<String>,
}

#[derive(Serialize)]
struct ValueOut {
    entry: u64,
    kind: Kind,
    site: Option<Site>,
    entrance: Option<Entrance>,
    value: Value,
    /// "mobility 1", "depth mid buccal 3" without the tooth.
    words: String,
    is_confirmed: bool,
    is_read_back: bool,
    is_doubtful: bool,
    confidence: Option<f32>,
}

#[derive(Serialize)]
struct DecisionOut {
    entry: u64,
    /// extract, monitor, leave or treat.
    key: &'static str,
    words: String,
    reason: Option<&'static str>,
    is_confirmed: bool,
}

#[derive(Serialize)]
struct NoteOut {
    entry: u64,
    tooth: Option<u16>,
    text: String,
    has_sound: bool,
    is_confirmed: bool,
}

/// Something that began and may have ended.
#[derive(Serialize)]
struct TimerOut {
    key: &'static str,
    title: &'static str,
    from_ms: i64,
    to_ms: Option<i64>,
}

/// The whole state as text.
pub(super) fn json(view: &View) -> String {
    let state = StateOut {
        saved_ms: view.saved_at.map(Timestamp::as_millisecond),
        visit: view.record.as_deref().map(visit),
        heard: view.heard.as_ref().map(|heard| HeardOut {
            words: &heard.words,
            confidence: heard.confidence,
            is_doubtful: heard.how == How::Spoken && heard.confidence < DOUBT_BELOW,
            understood: &heard.understood,
            saved: heard.saved,
            is_pressed: heard.how == How::Pressed,
            at_ms: heard.at.as_millisecond(),
        }),
        said: &view.said,
        question: view.question.as_deref(),
        awaited: &view.awaited,
        has_microphone: view.level_dbfs.is_some(),
        is_speaking: view.is_speaking,
        is_listening: view.is_listening,
        warnings: &view.warnings,
        missing: view.missing.iter().map(|tooth| tooth.number()).collect(),
        alerts: view
            .alerts
            .iter()
            .map(|alert| AlertOut {
                weight: match alert.weight {
                    Weight::Note => "note",
                    Weight::Caution => "caution",
                    Weight::Urgent => "urgent",
                },
                text: &alert.text,
                tooth: alert.tooth.map(ToothNumber::number),
            })
            .collect(),
        check_list: view
            .check_list
            .iter()
            .map(|point| CheckOut {
                key: &point.key,
                text: &point.text,
                is_done: point.is_done,
                is_by_hand: point.is_by_hand,
            })
            .collect(),
    };
    serde_json::to_string(&state).unwrap_or_else(|_| "{}".to_owned())
}

pub(super) fn visit(record: &Record) -> VisitOut {
    let species = record.patient.species;
    let teeth = [dentition::Stage::Permanent, dentition::Stage::Deciduous]
        .into_iter()
        .flat_map(|stage| dentition::teeth(species, stage))
        .map(|tooth| tooth_out(record, tooth))
        .collect();
    VisitOut {
        visit: record.visit.to_string(),
        patient: patient(&record.patient),
        vet: record.vet.clone(),
        nurse: record.nurse.clone(),
        opened_ms: record.opened_at.as_millisecond(),
        finished_ms: record.finished_at.map(Timestamp::as_millisecond),
        is_open: record.phase == Phase::Open,
        last: record.last,
        unconfirmed_count: record.unconfirmed().count(),
        value_count: record.current().count(),
        tooth: record.tooth.map(ToothNumber::number),
        teeth,
        mouth: record
            .findings()
            .filter(|(finding, _)| finding.subject == Subject::Mouth)
            .map(|(finding, charted)| value(finding, charted))
            .collect(),
        notes: record.current().filter_map(note).collect(),
        timers: timers(record),
    }
}

fn patient(patient: &Patient) -> PatientOut {
    PatientOut {
        id: patient.id.clone(),
        name: patient.name.clone(),
        species: patient.species.word(),
        breed: patient.breed.clone(),
        sex: patient.sex,
        born: patient.born.clone(),
        weight_g: patient.weight.map(crate::terms::Weight::grams),
        owner: patient.owner.clone(),
        invented: patient.invented,
    }
}

fn tooth_out(record: &Record, tooth: ToothNumber) -> ToothOut {
    let values: Vec<ValueOut> = record
        .findings_of(tooth)
        .map(|(finding, charted)| value(finding, charted))
        .collect();
    let has = |kind| values.iter().any(|value| value.kind == kind);
    let decision = record
        .decision(tooth)
        .map(|(decision, reason, charted)| DecisionOut {
            entry: charted.number,
            key: decision_key(decision),
            words: read_back::decision_words(decision),
            reason: reason.map(read_back::reason_words),
            is_confirmed: charted.standing == Standing::Confirmed,
        });
    ToothOut {
        tooth: tooth.number(),
        is_charted: !values.is_empty() || decision.is_some(),
        is_absent: has(Kind::Absent),
        is_normal: has(Kind::Normal),
        unconfirmed_count: record
            .unconfirmed()
            .filter(|charted| charted.event.tooth() == Some(tooth))
            .count(),
        depth_count: values
            .iter()
            .filter(|value| value.kind == Kind::Depth)
            .count(),
        values,
        decision,
        done: record
            .procedures()
            .filter(|(procedure, _)| procedure.tooth() == Some(tooth))
            .map(|(procedure, _)| read_back::procedure_words(procedure))
            .collect(),
    }
}

fn value(finding: &Finding, charted: &Charted) -> ValueOut {
    let (site, entrance) = match finding.place {
        Place::Site(site) => (Some(site), None),
        Place::Entrance(entrance) => (None, Some(entrance)),
        _ => (None, None),
    };
    let spoken = charted
        .heard
        .as_ref()
        .filter(|heard| heard.how == How::Spoken);
    let is_confirmed = charted.standing == Standing::Confirmed;
    ValueOut {
        entry: charted.number,
        kind: finding.kind,
        site,
        entrance,
        value: finding.value.clone(),
        words: read_back::finding_item(finding).plain(&Rules::default()),
        is_confirmed,
        is_read_back: charted.standing >= Standing::ReadBack,
        is_doubtful: !is_confirmed && spoken.is_some_and(|heard| heard.confidence < DOUBT_BELOW),
        confidence: spoken.map(|heard| heard.confidence),
    }
}

fn decision_key(decision: &Decision) -> &'static str {
    match decision {
        Decision::Extract => "extract",
        Decision::Monitor { .. } => "monitor",
        Decision::Leave => "leave",
        Decision::Treat(_) => "treat",
    }
}

fn note(charted: &Charted) -> Option<NoteOut> {
    match &charted.event {
        Event::NoteRecorded { tooth, text, sound } => Some(NoteOut {
            entry: charted.number,
            tooth: tooth.map(ToothNumber::number),
            text: text.clone(),
            has_sound: sound.is_some(),
            is_confirmed: charted.standing == Standing::Confirmed,
        }),
        _ => None,
    }
}

/// The newest beginning of each, and the end that follows it.
fn timers(record: &Record) -> Vec<TimerOut> {
    let pairs = [
        (
            "anaesthesia",
            "Anaesthetic",
            Procedure::AnaesthesiaStarted,
            Procedure::AnaesthesiaEnded,
        ),
        (
            "procedure",
            "Procedure",
            Procedure::ProcedureStarted,
            Procedure::ProcedureEnded,
        ),
        ("gag", "Mouth gag", Procedure::GagIn, Procedure::GagOut),
        (
            "pack",
            "Throat pack",
            Procedure::ThroatPackIn,
            Procedure::ThroatPackOut,
        ),
    ];
    let newest = |wanted: &Procedure| {
        record
            .procedures()
            .filter(|(procedure, _)| *procedure == wanted)
            .map(|(_, charted)| (charted.number, charted.at))
            .last()
    };
    pairs
        .into_iter()
        .filter_map(|(key, title, start, end)| {
            let (number, from) = newest(&start)?;
            let to = newest(&end).filter(|(end, _)| *end > number);
            Some(TimerOut {
                key,
                title,
                from_ms: from.as_millisecond(),
                to_ms: to.map(|(_, at)| at.as_millisecond()),
            })
        })
        .collect()
}

/// What the visit waits for, in a few words.
pub fn awaited(record: &Record) -> String {
    if record.phase == Phase::Finished {
        return "Finished".into();
    }
    if !record.is_listening {
        return "Paused: \u{201c}listen again\u{201d}".into();
    }
    if record.open_challenge().is_some() {
        return "Yes or no".into();
    }
    let Some(tooth) = record.tooth else {
        return "A tooth number".into();
    };
    if record
        .finding(Subject::Tooth(tooth), Kind::Absent, Place::Whole)
        .is_some()
    {
        return "The next tooth".into();
    }
    let lacking: Vec<Site> = Site::ALL
        .into_iter()
        .filter(|site| {
            record
                .finding(Subject::Tooth(tooth), Kind::Depth, Place::Site(*site))
                .is_none()
        })
        .collect();
    match lacking.as_slice() {
        [] => "Findings or next tooth".into(),
        [only] => format!("{tooth}: depth {}", read_back::site_words(tooth, *only)),
        [first, ..] if lacking.iter().all(|site| site.side() == first.side()) => format!(
            "{tooth}: {} depths {}",
            lacking.len(),
            read_back::side_word(tooth, first.side())
        ),
        _ => format!("{tooth}: {} depths", lacking.len()),
    }
}

// ---- the words of the trade, sent once

#[derive(Serialize)]
pub(super) struct WordsOut {
    width: f64,
    height: f64,
    dog: AnimalOut,
    cat: AnimalOut,
    kinds: Vec<KindOut>,
    reasons: Vec<Choice>,
    treatments: Vec<Choice>,
}

#[derive(Serialize)]
struct AnimalOut {
    /// Deeper readings are drawn heavier. Dog up to 3 mm, cat below or about 1 mm: Merck Veterinary Manual,
    /// periodontal probing.
    normal_mm_max: u8,
    shapes: Vec<ToothShape>,
}

#[derive(Serialize)]
struct KindOut {
    kind: Kind,
    title: &'static str,
    abbreviation: Option<&'static str>,
    /// tooth, site, entrance or mouth.
    reach: &'static str,
    choices: Vec<ChoiceOf>,
}

/// A value that can be touched.
#[derive(Serialize)]
struct ChoiceOf {
    value: Value,
    words: String,
}

#[derive(Serialize)]
struct Choice {
    key: serde_json::Value,
    words: &'static str,
}

pub(super) fn words() -> WordsOut {
    WordsOut {
        width: mouth::WIDTH,
        height: mouth::HEIGHT,
        dog: AnimalOut {
            normal_mm_max: 3,
            shapes: mouth::mouth(Species::Dog),
        },
        cat: AnimalOut {
            normal_mm_max: 1,
            shapes: mouth::mouth(Species::Cat),
        },
        kinds: Kind::ALL.into_iter().map(kind).collect(),
        reasons: REASONS
            .iter()
            .map(|reason| Choice {
                key: serde_json::to_value(reason).unwrap_or_default(),
                words: read_back::reason_words(*reason),
            })
            .collect(),
        treatments: TREATMENTS
            .iter()
            .map(|treatment| Choice {
                key: serde_json::to_value(treatment).unwrap_or_default(),
                words: read_back::treatment_words(*treatment),
            })
            .collect(),
    }
}

const REASONS: [Reason; 13] = [
    Reason::Pocket,
    Reason::Furcation,
    Reason::Mobility,
    Reason::Fracture,
    Reason::Resorption,
    Reason::Crowding,
    Reason::PersistentDeciduous,
    Reason::Stomatitis,
    Reason::Caries,
    Reason::RetainedRoot,
    Reason::OwnerDeclined,
    Reason::Anaesthetic,
    Reason::OtherTreatment,
];

const TREATMENTS: [Treatment; 9] = [
    Treatment::Unspecified,
    Treatment::RootPlaningClosed,
    Treatment::RootPlaningOpen,
    Treatment::RootCanal,
    Treatment::VitalPulpTherapy,
    Treatment::Restoration,
    Treatment::CrownAmputation,
    Treatment::GumSurgery,
    Treatment::Refer,
];

fn kind(kind: Kind) -> KindOut {
    let spec = kind.spec();
    let choice = |value: Value, words: String| ChoiceOf { value, words };
    let mm = |max: u8| (0..=max).map(move |mm| choice(Value::Mm(mm), mm.to_string()));
    let choices = match spec.form {
        Form::Present => vec![choice(Value::Present, "yes".into())],
        Form::Mm(max) => mm(max).collect(),
        // Larger sizes are said.
        Form::Size(max) => std::iter::once(choice(Value::Present, "no size".into()))
            .chain(mm(max.min(20)).skip(1))
            .collect(),
        Form::Grade(min, max) => (min..=max)
            .map(|grade| choice(Value::Grade(grade), grade.to_string()))
            .collect(),
        Form::Code(codes) => codes
            .iter()
            .map(|code| {
                let words = match read_back::code_words(code) {
                    "" => code,
                    words => words,
                };
                choice(Value::Code((*code).to_owned()), words.to_owned())
            })
            .collect(),
    };
    KindOut {
        kind,
        title: spec.title,
        abbreviation: spec.abbreviation,
        reach: match spec.reach {
            Reach::Tooth | Reach::AreaOrTooth => "tooth",
            Reach::Site | Reach::SiteOrTooth => "site",
            Reach::Entrance => "entrance",
            Reach::Mouth => "mouth",
        },
        choices,
    }
}

// ---- earlier visits

#[derive(Serialize)]
pub(super) struct LineOut {
    visit: String,
    name: String,
    species: &'static str,
    id: Option<String>,
    owner: Option<String>,
    opened_ms: i64,
    is_finished: bool,
    value_count: usize,
    open_count: usize,
    is_same_animal: bool,
    invented: bool,
}

pub(super) fn visits(lines: &[Line], at_hand: Option<&Patient>) -> Vec<LineOut> {
    lines
        .iter()
        .map(|line| LineOut {
            visit: line.visit.to_string(),
            name: line.patient.name.clone(),
            species: line.patient.species.word(),
            id: line.patient.id.clone(),
            owner: line.patient.owner.clone(),
            opened_ms: line.opened_at.as_millisecond(),
            is_finished: line.is_finished,
            value_count: line.value_count,
            open_count: line.open_count,
            is_same_animal: at_hand.is_some_and(|patient| is_same_animal(patient, &line.patient)),
            invented: line.patient.invented,
        })
        .collect()
}
