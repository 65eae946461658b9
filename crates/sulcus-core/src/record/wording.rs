//! A fact as one line of plain English for the eye: pages, tables, lists. What is spoken is worded elsewhere.
//!
//! Invariant: the same fact always reads the same; no line leaves out a number that the fact holds.

use super::event::{Event, Retraction, Telling};
use super::fold::Standing;
use crate::terms::drug::thousandths;
use crate::terms::mouth::{self, FlapKind, MouthDecision};
use crate::terms::procedure::{AsGiven, Block, Image, Method, Treatment};
use crate::terms::surgery::{Suture, SutureSize, Way};
use crate::terms::{
    Area, Decision, Drug, Entrance, Finding, Jaw, Kind, MouthSide, Place, Procedure, Reason, Sex,
    Site, Subject, ToothNumber, Value,
};

/// "mesiobuccal"; the tongue side of an upper tooth is "palatal".
pub fn site(site: Site, tooth: ToothNumber) -> &'static str {
    let upper = tooth.jaw() == Jaw::Upper;
    match site {
        Site::MesioBuccal => "mesiobuccal",
        Site::Buccal => "buccal",
        Site::DistoBuccal => "distobuccal",
        Site::MesioLingual if upper => "mesiopalatal",
        Site::MesioLingual => "mesiolingual",
        Site::Lingual if upper => "palatal",
        Site::Lingual => "lingual",
        Site::DistoLingual if upper => "distopalatal",
        Site::DistoLingual => "distolingual",
    }
}

/// "MB", "B", "DB", "MP" or "ML", ...
pub fn site_letters(site: Site, tooth: ToothNumber) -> &'static str {
    let upper = tooth.jaw() == Jaw::Upper;
    match site {
        Site::MesioBuccal => "MB",
        Site::Buccal => "B",
        Site::DistoBuccal => "DB",
        Site::MesioLingual if upper => "MP",
        Site::MesioLingual => "ML",
        Site::Lingual if upper => "P",
        Site::Lingual => "L",
        Site::DistoLingual if upper => "DP",
        Site::DistoLingual => "DL",
    }
}

pub fn entrance(entrance: Entrance, jaw: Jaw) -> &'static str {
    match entrance {
        Entrance::Buccal => "buccal",
        Entrance::Lingual if jaw == Jaw::Upper => "palatal",
        Entrance::Lingual => "lingual",
        Entrance::Mesial => "mesial",
        Entrance::Distal => "distal",
    }
}

pub fn area(area: Area) -> &'static str {
    match area {
        Area::Tongue => "tongue",
        Area::UnderTongue => "under the tongue",
        Area::UpperLip => "upper lip",
        Area::LowerLip => "lower lip",
        Area::Cheek => "cheek",
        Area::HardPalate => "hard palate",
        Area::SoftPalate => "soft palate",
        Area::Gum => "gum",
        Area::Tonsil => "tonsil",
        Area::Throat => "throat",
    }
}

pub fn mouth_side(side: MouthSide) -> &'static str {
    match side {
        MouthSide::Right => "right",
        MouthSide::Left => "left",
    }
}

/// "distobuccal", "cheek, left"; empty for the whole.
pub fn place(place: Place, subject: Subject) -> String {
    let tooth = match subject {
        Subject::Tooth(tooth) => Some(tooth),
        Subject::Mouth => None,
    };
    match (place, tooth) {
        (Place::Site(at), Some(tooth)) => site(at, tooth).to_owned(),
        (Place::Entrance(at), Some(tooth)) => entrance(at, tooth.jaw()).to_owned(),
        (Place::Area(part, None), _) => area(part).to_owned(),
        (Place::Area(part, Some(side)), _) => format!("{}, {}", area(part), mouth_side(side)),
        (Place::Root(root), _) => root.word().to_owned(),
        (Place::Whole | Place::Site(_) | Place::Entrance(_), _) => String::new(),
    }
}

pub fn value(value: &Value) -> String {
    match value {
        Value::Present => String::new(),
        Value::Mm(mm) => format!("{mm} mm"),
        Value::Grade(grade) => grade.to_string(),
        Value::Code(of) => code(of),
        Value::Percent(percent) => format!("{percent} %"),
    }
}

/// "broad based"; a code in words where it has more than one.
pub fn code(code: &str) -> String {
    code.replace('_', " ")
}

/// "depth 5 mm distobuccal"; without the tooth.
pub fn finding(finding: &Finding) -> String {
    let mut words = vec![finding.kind.spec().title.to_owned()];
    // "supernumerary beside mesial" would not read: the side is a place there.
    words.push(value(&finding.value));
    words.push(place(finding.place, finding.subject));
    words.retain(|word| !word.is_empty());
    match (finding.kind, &finding.value) {
        (Kind::Supernumerary, Value::Code(side)) => format!("supernumerary tooth, {side}"),
        (Kind::LesionPart, Value::Code(part)) => {
            let place = place(finding.place, finding.subject);
            let place = if place.is_empty() {
                place
            } else {
                format!(" of {place}")
            };
            format!("lesion in the {part} third{place}")
        }
        _ => words.join(" "),
    }
}

pub fn treatment(treatment: Treatment) -> &'static str {
    match treatment {
        Treatment::Unspecified => "treat (not said how)",
        Treatment::RootPlaningClosed => "root planing, closed",
        Treatment::RootPlaningOpen => "root planing, open",
        Treatment::RootCanal => "root canal treatment",
        Treatment::VitalPulpTherapy => "vital pulp therapy",
        Treatment::Restoration => "restoration",
        Treatment::CrownAmputation => "crown amputation",
        Treatment::GumSurgery => "gum surgery",
        Treatment::Refer => "refer",
        Treatment::FistulaRepair => "fistula repair",
        Treatment::FistulaRepairDouble => "fistula repair, double flap",
        Treatment::Alveoloplasty => "alveoloplasty",
        Treatment::BoneGraft => "bone graft",
        Treatment::Membrane => "membrane",
        Treatment::Sealant => "bonded sealant",
        Treatment::Odontoplasty => "odontoplasty",
        Treatment::InterceptiveExtraction => "interceptive extraction",
        Treatment::Operculectomy => "operculectomy",
        Treatment::CrownReduction => "crown reduction",
    }
}

pub fn decision(decision: &Decision) -> String {
    match decision {
        Decision::Extract => "extract".into(),
        Decision::Monitor { months: None } => "monitor".into(),
        Decision::Monitor { months: Some(1) } => "monitor, recheck in 1 month".into(),
        Decision::Monitor {
            months: Some(months),
        } => format!("monitor, recheck in {months} months"),
        Decision::Leave => "leave".into(),
        Decision::Treat(how) => treatment(*how).into(),
    }
}

/// "take a sample (pocket)"; the part of the mouth first, or "mouth".
pub fn mouth_decision(of: &MouthDecision) -> String {
    let part = match of.part {
        Some(part) => place(Place::Area(part.0, part.1), Subject::Mouth),
        None => "mouth".into(),
    };
    let why = of
        .reason
        .map_or_else(String::new, |why| format!(" ({})", reason(why)));
    format!("{part}: {}{why}", of.choice.text())
}

/// "triangle flap".
pub fn flap(kind: Option<FlapKind>) -> String {
    kind.map_or_else(|| "flap".into(), |kind| format!("{} flap", kind.word()))
}

pub fn reason(reason: Reason) -> &'static str {
    match reason {
        Reason::Pocket => "pocket",
        Reason::Furcation => "furcation",
        Reason::Mobility => "mobility",
        Reason::Fracture => "fracture",
        Reason::Resorption => "resorption",
        Reason::Crowding => "crowding",
        Reason::PersistentDeciduous => "persistent deciduous tooth",
        Reason::Stomatitis => "stomatitis",
        Reason::Caries => "caries",
        Reason::RetainedRoot => "retained root",
        Reason::OwnerDeclined => "owner declined",
        Reason::Anaesthetic => "anaesthetic",
        Reason::OtherTreatment => "other treatment",
    }
}

pub fn drug(drug: Drug) -> &'static str {
    match drug {
        Drug::Lidocaine => "lidocaine",
        Drug::Bupivacaine => "bupivacaine",
        Drug::Mepivacaine => "mepivacaine",
    }
}

pub fn block(block: Block) -> &'static str {
    match block {
        Block::Infraorbital => "infraorbital",
        Block::Maxillary => "maxillary",
        Block::InferiorAlveolar => "inferior alveolar",
        Block::MiddleMental => "middle mental",
        Block::Other => "other",
    }
}

fn teeth(teeth: &[ToothNumber]) -> String {
    if teeth.is_empty() {
        return "whole mouth".into();
    }
    let numbers: Vec<String> = teeth.iter().map(ToString::to_string).collect();
    numbers.join(", ")
}

fn hundredths(value: u16) -> String {
    let (whole, rest) = (value / 100, value % 100);
    match rest {
        0 => whole.to_string(),
        _ if rest.is_multiple_of(10) => format!("{whole}.{}", rest / 10),
        _ => format!("{whole}.{rest:02}"),
    }
}

/// ", 4.5 mg (reckoned with 12 kg: alone at most 12 mg; with all before it 38 % of the ceiling)".
fn dose(given: &AsGiven) -> String {
    // Rounded up: never less than was given.
    let mg = |ug: u64| {
        let tenths = ug.div_ceil(100);
        if tenths.is_multiple_of(10) {
            (tenths / 10).to_string()
        } else {
            format!("{}.{}", tenths / 10, tenths % 10)
        }
    };
    let Some((weight_g, ceiling_ug)) = given.weight_g.zip(given.ceiling_ug) else {
        return format!(
            ", {} mg (no weight was recorded: no ceiling)",
            mg(given.dose_ug)
        );
    };
    let share = given.share_thousandths.map_or_else(String::new, |share| {
        format!(
            "; with all before it {} % of the ceiling",
            share.div_ceil(10)
        )
    });
    format!(
        ", {} mg (reckoned with {} kg: alone at most {}.{} mg{share})",
        mg(given.dose_ug),
        f64::from(weight_g) / 1000.0,
        ceiling_ug / 1000,
        ceiling_ug % 1000 / 100
    )
}

/// "sutured, 4-0 (1.5 metric) poliglecaprone".
fn sutured(material: Option<Suture>, size: Option<SutureSize>) -> String {
    let parts: Vec<String> = [
        size.map(SutureSize::text),
        material.map(|material| material.word().to_owned()),
    ]
    .into_iter()
    .flatten()
    .collect();
    if parts.is_empty() {
        return "sutured".into();
    }
    format!("sutured, {}", parts.join(" "))
}

/// "twice a day"; never an abbreviation.
pub fn times(a_day: u8) -> String {
    match a_day {
        1 => "once a day".into(),
        2 => "twice a day".into(),
        many => format!("{many} times a day"),
    }
}

fn by_way(way: Option<Way>) -> String {
    way.map_or_else(String::new, |way| format!(", {}", way.word()))
}

/// "extracted, sectioned"; without the tooth, except in films.
pub fn procedure(procedure: &Procedure) -> String {
    match procedure {
        Procedure::FilmWanted { teeth: of } => format!("film wanted: {}", teeth(of)),
        Procedure::FilmTaken {
            teeth: of,
            number: None,
        } => format!("film taken: {}", teeth(of)),
        Procedure::FilmTaken {
            teeth: of,
            number: Some(number),
        } => format!("film {number} taken: {}", teeth(of)),
        Procedure::ImageLinked {
            image,
            number,
            teeth: of,
            file,
            sha256,
        } => {
            let number = number.map_or_else(String::new, |number| format!(" {number}"));
            let of = match (image, of.is_empty()) {
                (Image::Photograph, true) => String::new(),
                _ => format!(" of {}", teeth(of)),
            };
            format!(
                "{}{number}{of}: file {file}, SHA-256 {sha256}",
                image.word()
            )
        }
        Procedure::FilmsRead => "films read".into(),
        Procedure::RootsComplete { .. } => "roots complete, as said".into(),
        Procedure::Scaled => "scaled".into(),
        Procedure::Polished => "polished".into(),
        Procedure::Extracted { method, .. } => match method {
            Method::Closed => "extracted, closed".into(),
            Method::Sectioned => "extracted, sectioned".into(),
            Method::Surgical => "extracted, surgical".into(),
            Method::Unspecified => "extracted, method not said".into(),
        },
        Procedure::CrownRemoved { .. } => "crown removed".into(),
        Procedure::RootLeft { reason: None, .. } => "root left".into(),
        Procedure::RootLeft {
            reason: Some(why), ..
        } => format!("root left ({})", reason(*why)),
        Procedure::Flap { kind, .. } => flap(*kind),
        Procedure::ImplantBatch { what, batch, .. } => {
            format!("{}, batch {batch}", what.word())
        }
        Procedure::Staged { is_later: true, .. } => "for a second visit".into(),
        Procedure::Staged {
            is_later: false, ..
        } => "for today".into(),
        Procedure::SecondVisit { days } => {
            format!("second visit in {}", mouth::span(*days))
        }
        Procedure::Sutured { material, size, .. } => sutured(*material, *size),
        Procedure::Complication { what, size_mm, .. } => {
            let size = size_mm.map_or_else(String::new, |mm| format!(", {mm} mm"));
            format!("complication: {}{size}", what.word())
        }
        Procedure::ComplicationTreated { of, how } => {
            format!("complication of entry {of}: {}", how.word())
        }
        Procedure::OwnerTold { of, way, by } => {
            let by = by.map_or_else(String::new, |by| format!(", by the {}", by.word()));
            format!("owner told of entry {}{}{by}", numbers(of), by_way(*way))
        }
        Procedure::OwnerAsked {
            about,
            is_agreed,
            way,
            by,
            ..
        } => {
            let answer = if *is_agreed { "agreed to" } else { "declined" };
            let by = by.map_or_else(String::new, |by| format!(", asked by the {}", by.word()));
            format!("owner {answer} {}{}{by}", about.word(), by_way(*way))
        }
        Procedure::SampleTaken {
            pot, area, kind, ..
        } => {
            let kind = kind.map_or_else(String::new, |kind| format!(", {}", kind.word()));
            let place = super::surgery::place(None, *area);
            let place = if place.is_empty() {
                String::new()
            } else {
                format!(", {place}")
            };
            format!("sample, pot {pot}{kind}{place}")
        }
        Procedure::SamplesSent { pots, due_days } => {
            let pots: Vec<String> = pots.iter().map(ToString::to_string).collect();
            let due = due_days.map_or_else(
                || ", nobody said when the result is due".to_owned(),
                |days| format!(", result due in {days} days"),
            );
            format!("samples sent, pot {}{due}", pots.join(", "))
        }
        Procedure::ResultRead { pot, text } => format!("result of pot {pot} read: {text}"),
        Procedure::HomeMedicine {
            drug,
            amount_thousandths,
            unit,
            times_a_day,
            days,
        } => format!(
            "for home: {drug} {} {}, {} for {days} days",
            thousandths(u64::from(*amount_thousandths)),
            unit.word(),
            times(*times_a_day)
        ),
        Procedure::HomeCare { what, days } => format!("at home: {} for {days} days", what.word()),
        Procedure::TrayUsed { number, sterilised } => {
            let on = sterilised.map_or_else(
                || ", date of sterilisation not said".to_owned(),
                |date| format!(", sterilised {date}"),
            );
            format!("tray {number}{on}")
        }
        Procedure::GumSurgery { .. } => "gum surgery".into(),
        Procedure::Treated { treatment: how, .. } => format!("done: {}", treatment(*how)),
        Procedure::NerveBlock {
            block: of,
            side,
            drug: with,
            volume_ml_hundredths,
            strength_percent_hundredths,
            as_given,
        } => {
            let strength = strength_percent_hundredths.map_or_else(
                || ", strength not recorded".to_owned(),
                |percent| format!(" {} %", hundredths(percent)),
            );
            format!(
                "nerve block {} {}: {}{strength}, {} ml{}",
                mouth_side(*side),
                block(*of),
                drug(*with),
                hundredths(*volume_ml_hundredths),
                as_given.map_or_else(String::new, |given| dose(&given))
            )
        }
        Procedure::Medication { words } => format!("medication: {words}"),
        Procedure::AnaesthesiaStarted => "anaesthesia started".into(),
        Procedure::AnaesthesiaEnded => "anaesthesia ended".into(),
        Procedure::ProcedureStarted => "procedure started".into(),
        Procedure::ProcedureEnded => "procedure ended".into(),
        Procedure::ThroatPackIn => "throat pack in".into(),
        Procedure::ThroatPackOut => "throat pack out".into(),
        Procedure::GagIn => "gag in".into(),
        Procedure::GagOut => "gag out".into(),
        Procedure::SwabsCounted { count } => format!("swabs counted: {count}"),
        Procedure::Temperature { celsius_tenths } => {
            format!(
                "temperature {}.{} °C",
                celsius_tenths / 10,
                celsius_tenths % 10
            )
        }
        Procedure::Checked { point } => format!("checked: {}", point.replace('_', " ")),
    }
}

pub fn standing(standing: Standing) -> &'static str {
    match standing {
        Standing::Heard => "heard, not read back",
        Standing::ReadBack => "read back, not confirmed",
        Standing::Confirmed => "confirmed",
    }
}

pub fn retraction(why: Retraction) -> &'static str {
    match why {
        Retraction::Undone => "undone",
        Retraction::Denied => "denied after the read-back",
        Retraction::Corrected => "corrected",
        Retraction::Struck => "struck out",
    }
}

pub fn sex(sex: Sex) -> &'static str {
    match sex {
        Sex::Female => "female",
        Sex::FemaleNeutered => "female, neutered",
        Sex::Male => "male",
        Sex::MaleNeutered => "male, neutered",
        Sex::Unknown => "sex unknown",
    }
}

fn numbers(entries: &[u64]) -> String {
    let words: Vec<String> = entries.iter().map(ToString::to_string).collect();
    words.join(", ")
}

/// One line for any fact, the tooth first where it speaks of one.
pub fn event(event: &Event) -> String {
    let text = match event {
        Event::VisitOpened { patient, .. } => {
            format!(
                "visit opened for {}, {}",
                patient.name,
                patient.species.word()
            )
        }
        Event::PatientUpdated { patient, .. } => format!("patient data changed: {}", patient.name),
        Event::ToothChosen { .. } => "chosen".into(),
        Event::SiteOrderChosen { from_front: true } => "depths read from the front".into(),
        Event::SiteOrderChosen { from_front: false } => "depths read from the back".into(),
        Event::FindingRecorded { finding: of, .. } => finding(of),
        Event::DecisionRecorded {
            decision: of,
            reason: why,
            ..
        } => match why {
            Some(why) => format!("decision: {} ({})", decision(of), reason(*why)),
            None => format!("decision: {}", decision(of)),
        },
        Event::MouthDecided { what, .. } => format!("decision for {}", mouth_decision(what)),
        Event::ProcedureRecorded { procedure: of, .. } => procedure(of),
        Event::WatchRecorded { what, .. } => what.text(),
        Event::NoteRecorded { text, .. } => format!("note: {text}"),
        Event::ReadBack { entries, by } => match by {
            Telling::Spoken => format!("read back: {}", numbers(entries)),
            Telling::Shown => format!("shown: {}", numbers(entries)),
        },
        Event::ReadBackFailed { entries, .. } => {
            format!("read back without sound: {}", numbers(entries))
        }
        Event::Confirmed { entries } => format!("confirmed: {}", numbers(entries)),
        Event::Retracted { entries, why } => {
            format!("withdrawn ({}): {}", retraction(*why), numbers(entries))
        }
        Event::Challenged { question, .. } => format!("asked: {question}"),
        Event::ChallengeAnswered {
            challenge,
            accepted,
        } => format!(
            "answered question {challenge}: {}",
            if *accepted { "yes" } else { "no" }
        ),
        Event::AskedFor { said, question } => format!("{said:?} asked about: {question}"),
        Event::NotUnderstood { said } => format!("not understood: {said:?}"),
        Event::ListeningPaused => "listening paused".into(),
        Event::ListeningResumed => "listening resumed".into(),
        Event::VisitFinished => "visit finished".into(),
        Event::VisitReopened { reason } => format!("visit reopened: {reason}"),
        Event::VisitSigned { name, up_to } => format!("signed by {name}, up to entry {up_to}"),
        Event::AddendumWritten { text } => format!("addendum: {text}"),
        Event::LossTold { first, last, .. } => {
            format!("LOST by the disk: entries {first} to {last}, which had been saved")
        }
    };
    // Films name their teeth themselves.
    let names_itself = matches!(
        event,
        Event::ProcedureRecorded {
            procedure: Procedure::FilmWanted { .. }
                | Procedure::FilmTaken { .. }
                | Procedure::ImageLinked { .. },
            ..
        }
    );
    match event.tooth() {
        Some(tooth) if !names_itself => format!("{tooth} {text}"),
        _ => text,
    }
}
