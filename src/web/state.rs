//! What the page gets as JSON. Own types: the core's may change without the page noticing.
//!
//! Invariant: what is not confirmed, doubtful or replaced is told as such with every value.

use jiff::Timestamp;
use serde::Serialize;

use super::archive::{Line, is_same_animal};
use super::{Trouble, View, Weight, strip};
use crate::record::fold::Phase;
use crate::record::{Charted, Event, How, Record, Standing, monitoring};
use crate::session::{Rules, read_back};
use crate::terms::anaesthetic;
use crate::terms::{
    Area, Decision, Drug, Entrance, Finding, Kind, MouthSide, Patient, Place, Procedure, Root,
    Site, Subject, ToothNumber, Value, dentition,
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
    sayable: &'a [&'static str],
    has_microphone: bool,
    is_speaking: bool,
    is_listening: bool,
    warnings: &'a [String],
    /// None where nothing fails and nothing waits to be acknowledged.
    trouble: Option<TroubleOut<'a>>,
    missing: Vec<u16>,
    alerts: Vec<AlertOut<'a>>,
    check_list: Vec<CheckOut<'a>>,
    anaesthetics: Vec<AnaestheticOut>,
    normal_depth_mm: u8,
    /// The patient under anaesthetic; none where nothing is recorded of it.
    strip: Option<strip::StripOut>,
}

/// One local anaesthetic over all blocks of this visit. For checking, never a dose to give.
#[derive(Serialize)]
struct AnaestheticOut {
    drug: Drug,
    /// Strength of the house's solution.
    percent: String,
    given_ml: String,
    /// None: no weight, so no ceiling.
    left_ml: Option<String>,
    given_mg: String,
    ceiling_mg: Option<String>,
}

#[derive(Serialize)]
struct HeardOut<'a> {
    words: &'a str,
    /// After a refusal: the nearest ways of saying something.
    near: &'a [String],
    confidence: f32,
    is_doubtful: bool,
    understood: &'a str,
    saved: bool,
    is_lost: bool,
    is_pressed: bool,
    at_ms: i64,
}

#[derive(Serialize)]
struct TroubleOut<'a> {
    why: Option<&'a str>,
    unsaved: &'a [String],
    alarms: &'a [String],
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
    /// The depths of a side are read from the front backwards, else from the back forwards.
    is_from_front: bool,
    teeth: Vec<ToothOut>,
    mouth: Vec<ValueOut>,
    notes: Vec<NoteOut>,
    timers: Vec<TimerOut>,
    /// Done to the whole animal, in the order entered.
    procedures: Vec<DoneOut>,
    /// Words added after the end, and the reasons for opening again.
    addenda: Vec<AddedOut>,
    reopenings: Vec<AddedOut>,
    /// The newest signature; none: not signed.
    signed: Option<SignedOut>,
}

#[derive(Serialize)]
struct SignedOut {
    name: String,
    at_ms: i64,
    /// Entries that came after it.
    later_count: u64,
}

#[derive(Serialize)]
struct AddedOut {
    at_ms: i64,
    text: String,
}

#[derive(Serialize)]
struct PatientOut {
    id: Option<String>,
    microchip: Option<String>,
    name: String,
    species: &'static str,
    breed: Option<String>,
    sex: Option<crate::terms::Sex>,
    born: Option<String>,
    weight_g: Option<u32>,
    /// Whether the tests of the two viruses were positive.
    felv: Option<bool>,
    fiv: Option<bool>,
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
    done: Vec<DoneOut>,
}

/// Something done.
#[derive(Serialize)]
struct DoneOut {
    entry: u64,
    words: String,
    at_ms: i64,
    is_confirmed: bool,
}

#[derive(Serialize)]
struct ValueOut {
    entry: u64,
    kind: Kind,
    site: Option<Site>,
    entrance: Option<Entrance>,
    area: Option<Area>,
    side: Option<MouthSide>,
    root: Option<Root>,
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
    /// Longer wants a look.
    minutes_max: Option<u32>,
}

/// The whole state as text.
pub(super) fn json(view: &View) -> String {
    let state = StateOut {
        saved_ms: view.saved_at.map(Timestamp::as_millisecond),
        visit: view.record.as_deref().map(|record| VisitOut {
            timers: timers(record, view),
            ..visit(record)
        }),
        heard: view.heard.as_ref().map(|heard| HeardOut {
            words: &heard.words,
            near: &heard.near,
            confidence: heard.confidence,
            is_doubtful: heard.how == How::Spoken && heard.confidence < DOUBT_BELOW,
            understood: &heard.understood,
            saved: heard.saved,
            is_lost: heard.is_lost,
            is_pressed: heard.how == How::Pressed,
            at_ms: heard.at.as_millisecond(),
        }),
        strip: view
            .record
            .as_deref()
            .and_then(|record| strip::of(record, &view.watch)),
        normal_depth_mm: view.normal_depth_mm,
        said: &view.said,
        question: view.question.as_deref(),
        awaited: &view.awaited,
        sayable: &view.sayable,
        has_microphone: view.level_dbfs.is_some(),
        is_speaking: view.is_speaking,
        is_listening: view.is_listening,
        warnings: &view.warnings,
        trouble: (view.trouble != Trouble::default()).then(|| TroubleOut {
            why: view.trouble.why.as_deref(),
            unsaved: &view.trouble.unsaved,
            alarms: &view.trouble.alarms,
        }),
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
        anaesthetics: view
            .record
            .as_deref()
            .map(|record| anaesthetics(record, &view.strengths))
            .unwrap_or_default(),
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
        is_from_front: record.is_from_front,
        teeth,
        mouth: record
            .findings()
            .filter(|(finding, _)| finding.subject == Subject::Mouth)
            .map(|(finding, charted)| value(finding, charted))
            .collect(),
        notes: record.current().filter_map(note).collect(),
        timers: Vec::new(),
        procedures: record
            .procedures()
            .filter(|(procedure, _)| procedure.tooth().is_none())
            .map(|(procedure, charted)| done(procedure, charted))
            .chain(record.mouth_decisions().map(|(what, charted)| DoneOut {
                entry: charted.number,
                words: format!("decided, {}", read_back::mouth_decision_words(what)),
                at_ms: charted.at.as_millisecond(),
                is_confirmed: charted.standing == Standing::Confirmed,
            }))
            .collect(),
        addenda: added(&record.addenda),
        reopenings: added(&record.reopenings),
        signed: record.signed().map(|(signing, later_count)| SignedOut {
            name: signing.name.clone(),
            at_ms: signing.at.as_millisecond(),
            later_count,
        }),
    }
}

fn added(list: &[(Timestamp, String)]) -> Vec<AddedOut> {
    list.iter()
        .map(|(at, text)| AddedOut {
            at_ms: at.as_millisecond(),
            text: text.clone(),
        })
        .collect()
}

fn patient(patient: &Patient) -> PatientOut {
    PatientOut {
        id: patient.id.clone(),
        microchip: patient.microchip.as_ref().map(ToString::to_string),
        name: patient.name.clone(),
        species: patient.species.word(),
        breed: patient.breed.clone(),
        sex: patient.sex,
        born: patient.born.as_ref().map(ToString::to_string),
        weight_g: patient.weight.map(crate::terms::Weight::grams),
        felv: patient.felv,
        fiv: patient.fiv,
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
            .map(|(procedure, charted)| done(procedure, charted))
            .collect(),
    }
}

fn done(procedure: &Procedure, charted: &Charted) -> DoneOut {
    DoneOut {
        entry: charted.number,
        words: read_back::procedure_words(procedure),
        at_ms: charted.at.as_millisecond(),
        is_confirmed: charted.standing == Standing::Confirmed,
    }
}

fn anaesthetics(record: &Record, strengths: &anaesthetic::Strengths) -> Vec<AnaestheticOut> {
    let patient = &record.patient;
    let (species, weight) = (patient.species, patient.weight);
    let given = monitoring::local_anaesthetics(record);
    let blocks = || given.iter();
    anaesthetic::DRUGS
        .into_iter()
        .map(|drug| {
            let strength = strengths.of(drug);
            let (mut volume, mut dose_ug) = (0, 0);
            for procedure in blocks() {
                if let Procedure::NerveBlock {
                    drug: of,
                    volume_ml_hundredths,
                    strength_percent_hundredths,
                    as_given,
                    ..
                } = procedure
                    && *of == drug
                {
                    let given = u32::from(*volume_ml_hundredths);
                    volume += given;
                    dose_ug += as_given.map_or_else(
                        || {
                            let strength = strength_percent_hundredths.unwrap_or(strength);
                            anaesthetic::dose_ug(given, strength)
                        },
                        |fixed| fixed.dose_ug,
                    );
                }
            }
            let left = weight.and_then(|weight| {
                let total =
                    anaesthetic::running_total(species, Some(weight), blocks(), strengths).ok()?;
                let left_ug = total.left_ug(species, weight, drug);
                Some(anaesthetic::volume_ml_hundredths(left_ug, strength))
            });
            AnaestheticOut {
                drug,
                percent: hundredths(u32::from(strength)),
                given_ml: hundredths(volume),
                left_ml: left.map(hundredths),
                // Rounded against the patient: what was given up, what may be given down.
                given_mg: tenths(dose_ug.div_ceil(100)),
                ceiling_mg: weight
                    .map(|weight| tenths(anaesthetic::ceiling_ug(species, weight, drug) / 100)),
            }
        })
        .collect()
}

fn tenths(number: u64) -> String {
    format!("{}.{}", number / 10, number % 10)
}

/// "0.5", "2", "1.25".
fn hundredths(number: u32) -> String {
    let text = format!("{}.{:02}", number / 100, number % 100);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn value(finding: &Finding, charted: &Charted) -> ValueOut {
    let (mut site, mut entrance, mut area, mut side) = (None, None, None, None);
    let mut root = None;
    match finding.place {
        Place::Whole => {}
        Place::Site(at) => site = Some(at),
        Place::Entrance(at) => entrance = Some(at),
        Place::Area(at, of) => (area, side) = (Some(at), of),
        Place::Root(at) => root = Some(at),
    }
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
        area,
        side,
        root,
        value: finding.value.clone(),
        words: read_back::finding_item(finding).plain(&Rules::default()),
        is_confirmed,
        is_read_back: charted.standing >= Standing::ReadBack,
        is_doubtful: !is_confirmed && spoken.is_some_and(|heard| heard.confidence < DOUBT_BELOW),
        confidence: spoken.map(|heard| heard.confidence),
    }
}

pub(super) fn decision_key(decision: &Decision) -> &'static str {
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
fn timers(record: &Record, view: &View) -> Vec<TimerOut> {
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
                // Under a finished visit no clock runs on.
                to_ms: to
                    .map(|(_, at)| at)
                    .or(record.finished_at)
                    .map(|at| at.as_millisecond()),
                minutes_max: match key {
                    "anaesthesia" => view.anaesthetic_minutes_max,
                    "gag" => view.gag_minutes_max,
                    _ => None,
                },
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
