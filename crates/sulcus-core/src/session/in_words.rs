//! What was understood, in plain English, for people who try a sentence: one line a wish.
//!
//! Invariant: two different wishes never read the same.

use crate::grammar::intent::{
    GivenDrug, Intent, Lacks, Pace, Question, Scope, Spot, ToothWork, Watching, Which,
};
use crate::record::wording;
use crate::terms::{Entrance, Kind, MouthSide, Place, Side, Site, ToothNumber, Value};

/// "mobility 2, for the tooth at hand".
pub fn wish(intent: &Intent) -> String {
    match intent {
        Intent::ChooseTooth(tooth) => format!("go to tooth {tooth}"),
        Intent::NextTooth => "go to the next tooth".into(),
        Intent::PreviousTooth => "go back to the tooth before".into(),
        Intent::RecordMillimetres { kind, spot, mm } => {
            let mm: Vec<String> = mm.iter().map(u8::to_string).collect();
            format!("{} {} mm, {}", title(*kind), mm.join(" "), place(*spot))
        }
        Intent::ReadFromFront(true) => "from now on depths are read from the front".into(),
        Intent::ReadFromFront(false) => "from now on depths are read from the back".into(),
        Intent::RecordBleeding { spot } => format!("bleeding, {}", place(*spot)),
        Intent::RecordFurcation { entrance, grade } => match entrance {
            Some(entrance) => format!("furcation {grade} at the {}", at_entrance(*entrance)),
            None => format!("furcation {grade}, entrance not said"),
        },
        Intent::RecordForTooth { kind, value } => {
            format!("{}, for the tooth at hand", valued(*kind, value))
        }
        Intent::RecordAtRoot { kind, place, value } => {
            let what = valued(*kind, value);
            match place {
                Place::Root(root) => format!("{what}, {} of the tooth at hand", root.word()),
                _ if !Kind::OF_FILMS.contains(kind) => format!("{what}, for the tooth at hand"),
                _ => format!("{what}, on the film of the tooth at hand"),
            }
        }
        Intent::RecordForMouth { kind, area, value } => {
            let what = valued(*kind, value);
            match area {
                Some((area, side)) => {
                    let side = side.map(|side| format!("{} ", mouth_side(side)));
                    let side = side.unwrap_or_default();
                    format!("{what}, on the {side}{}", wording::area(*area))
                }
                None => format!("{what}, for the mouth"),
            }
        }
        Intent::RecordFinding(finding) => wording::finding(finding),
        Intent::RecordNormal(scope) => format!("normal: {}", teeth(scope)),
        Intent::RecordAbsent(scope) => format!("missing: {}", teeth(scope)),
        Intent::Decide { decision, reason } => {
            let what = wording::decision(decision);
            match reason {
                Some(reason) => {
                    format!("decision: {what}, because of {}", wording::reason(*reason))
                }
                None => format!("decision: {what}"),
            }
        }
        Intent::DecideGroup {
            scope,
            decision,
            reason,
        } => {
            let why = reason.map_or_else(String::new, |reason| {
                format!(", because of {}", wording::reason(reason))
            });
            format!(
                "decision for each of {}: {}{why}",
                teeth(scope),
                wording::decision(decision)
            )
        }
        Intent::DecideMouth(what) => format!("decision for {}", wording::mouth_decision(what)),
        Intent::DescribeLesion(traits) => super::mouth::wish(traits),
        Intent::ImplantBatch { what, batch } => {
            format!("{} batch {batch}, at the tooth at hand", what.word())
        }
        Intent::DoToTooth(work) => work_on_tooth(*work),
        Intent::Do(procedure) => format!("done or wanted: {}", wording::procedure(procedure)),
        Intent::HomeMedicine {
            drug,
            amount_thousandths,
            unit,
            times_a_day,
            days,
        } => wording::procedure(&crate::terms::Procedure::HomeMedicine {
            drug: drug.clone(),
            amount_thousandths: *amount_thousandths,
            unit: *unit,
            times_a_day: *times_a_day,
            days: *days,
        }),
        Intent::Surgery(surgical) => super::surgery::wish(*surgical),
        Intent::TakeNote => "a spoken note follows".into(),
        Intent::Confirm => "yes: confirm what was read back, or yes to the question".into(),
        Intent::ConfirmEverything => "confirm everything that was read back".into(),
        Intent::ConfirmUpTo(number) => format!("confirm up to entry {number}"),
        Intent::ConfirmEntries(numbers) => format!("confirm {}", entries(numbers)),
        Intent::ConfirmReadBack(numbers) => format!("confirm as heard {}", entries(numbers)),
        Intent::Lacking { lacks, said } => lacking(*lacks, said),
        Intent::CloseAndStage => "close, and leave the rest for a second visit".into(),
        Intent::Deny => "no: what was read back is wrong, or no to the question".into(),
        Intent::Undo => "take the last entry back".into(),
        Intent::Correct(intents) => {
            let instead: Vec<String> = intents.iter().map(wish).collect();
            format!("instead of the last entry: {}", instead.join("; "))
        }
        Intent::Strike(None) => "take back all entries of the tooth at hand".into(),
        Intent::Strike(Some(tooth)) => format!("take back all entries of tooth {tooth}"),
        Intent::StrikeValues(which) => format!("take back {}", struck(which)),
        Intent::Repeat => "say the last again".into(),
        Intent::Ask(question) => asked(*question),
        Intent::StopSpeaking => "stop speaking".into(),
        Intent::PauseListening => "stop listening".into(),
        Intent::Listen => "listen again".into(),
        Intent::SetPace(pace) => match pace {
            Pace::EachReading => "read back each reading".into(),
            Pace::EachTooth => "read back each tooth".into(),
            Pace::EachQuadrant => "read back each quadrant".into(),
            Pace::Quiet => "tones only".into(),
            Pace::Shown => "show values instead of saying them".into(),
        },
        Intent::Watch(watching) => watched(watching),
        Intent::VirusTests { felv, fiv } => {
            format!("tests of the blood: {}", super::blood::words((*felv, *fiv)))
        }
        Intent::FinishVisit => "finish the examination".into(),
    }
}

fn title(kind: Kind) -> &'static str {
    kind.spec().title
}

fn valued(kind: Kind, value: &Value) -> String {
    match wording::value(value).as_str() {
        "" => title(kind).to_owned(),
        value => format!("{} {value}", title(kind)),
    }
}

fn place(spot: Spot) -> String {
    match spot {
        Spot::Unsaid => "place not said".into(),
        Spot::Side(Side::Buccal) => "buccal side".into(),
        Spot::Side(Side::Lingual) => "palatal or lingual side".into(),
        Spot::Site(site) => site_word(site).into(),
        Spot::AllSites => "all six sites".into(),
    }
}

fn site_word(site: Site) -> &'static str {
    match site {
        Site::MesioBuccal => "mesiobuccal",
        Site::Buccal => "mid buccal",
        Site::DistoBuccal => "distobuccal",
        Site::MesioLingual => "mesiopalatal or mesiolingual",
        Site::Lingual => "mid palatal or mid lingual",
        Site::DistoLingual => "distopalatal or distolingual",
    }
}

fn at_entrance(entrance: Entrance) -> &'static str {
    match entrance {
        Entrance::Buccal => "buccal entrance",
        Entrance::Lingual => "palatal or lingual entrance",
        Entrance::Mesial => "mesial entrance",
        Entrance::Distal => "distal entrance",
    }
}

fn mouth_side(side: MouthSide) -> &'static str {
    wording::mouth_side(side)
}

/// Begins with "none": a sentence that lacks a part enters nothing.
fn lacking(lacks: Lacks, said: &str) -> String {
    let what = match lacks {
        Lacks::Grade => "its grade",
        Lacks::Millimetres => "its millimetres",
        Lacks::Place => "its place",
        Lacks::Stage => "its stage or type",
        Lacks::Class => "its class",
        Lacks::Fracture | Lacks::Crossbite => "its kind",
        Lacks::What => "what it is of",
    };
    format!("none, {said:?} is no sentence by itself; {what} is asked for")
}

fn teeth(scope: &Scope) -> String {
    let numbers = |numbers: &[u8]| {
        let numbers: Vec<String> = numbers.iter().map(u8::to_string).collect();
        numbers.join(", ")
    };
    match scope {
        Scope::ThisTooth => "the tooth at hand".into(),
        Scope::Rest => "all teeth without an entry".into(),
        Scope::RestOfQuadrant(quadrant) => {
            format!("all teeth of quadrant {quadrant} without an entry")
        }
        Scope::Teeth {
            quadrants,
            positions,
        } => format!(
            "quadrants {}, teeth {}",
            numbers(quadrants),
            numbers(positions)
        ),
        Scope::Range(from, to) => format!("{from} to {to}"),
    }
}

fn work_on_tooth(work: ToothWork) -> String {
    // A tooth stands for the one at hand; its number is not told.
    let done = match work {
        ToothWork::FilmWanted => return "film wanted of the tooth at hand".into(),
        ToothWork::FilmTaken => return "film taken of the tooth at hand".into(),
        ToothWork::FilmNumbered(number) => {
            return format!("film {number} taken of the tooth at hand");
        }
        work => ToothNumber::new(101).map(|tooth| wording::procedure(&work.of(tooth))),
    };
    match done {
        Ok(done) => format!("{done}, at the tooth at hand"),
        Err(_) => "work on the tooth at hand".into(),
    }
}

fn entries(numbers: &[u64]) -> String {
    let numbers: Vec<String> = numbers.iter().map(u64::to_string).collect();
    format!("entries {}", numbers.join(", "))
}

fn struck(which: &Which) -> String {
    match which {
        Which::Entry(number) => format!("entry {number}"),
        Which::Findings { kinds, places } => {
            let kinds: Vec<&str> = kinds.iter().map(|kind| title(*kind)).collect();
            let at: Vec<String> = places.iter().map(|place| of_place(*place)).collect();
            match at.is_empty() {
                true => kinds.join(" and "),
                false => format!("{} at {}", kinds.join(" and "), at.join(", ")),
            }
        }
        Which::Decision => "the decision for the tooth at hand".into(),
        Which::MouthDecision => "the newest decision for the mouth or a part of it".into(),
        Which::Done(what) => format!("the newest {}", what.replace('_', " ")),
        Which::Note => "the newest note".into(),
    }
}

fn of_place(place: Place) -> String {
    match place {
        Place::Site(site) => site_word(site).into(),
        Place::Entrance(entrance) => at_entrance(entrance).into(),
        Place::Area(area, side) => {
            let side = side.map(|side| format!("{} ", mouth_side(side)));
            format!("{}{}", side.unwrap_or_default(), wording::area(area))
        }
        Place::Root(root) => root.word().into(),
        Place::Whole => "the whole".into(),
    }
}

fn asked(question: Question) -> String {
    match question {
        Question::Missing => "which teeth lack a reading?".into(),
        Question::Where => "where are we?".into(),
        Question::Order => "in which order are depths read?".into(),
        Question::Plan => "what is the plan?".into(),
        Question::Summary => "what is charted for the tooth at hand?".into(),
        Question::Sayable => "what can be said now?".into(),
        Question::Vitals => "how are the vital signs?".into(),
        Question::Given => "what was given?".into(),
        Question::Compare(None) => "how was the tooth at hand at the last visit?".into(),
        Question::Compare(Some(tooth)) => format!("how was tooth {tooth} at the last visit?"),
    }
}

/// What is watched of the anaesthetic.
fn watched(watching: &Watching) -> String {
    match watching {
        Watching::Vital { reading, .. } => reading.text(),
        Watching::Crisis(crisis) => format!("emergency: {}", crisis.text()),
        Watching::Course(step) => format!("anaesthetic: {}", step.text()),
        Watching::Drug(GivenDrug { drug, amount, .. }) => match amount {
            Some(amount) => format!("{drug}, {} given", amount.text()),
            None => format!("{drug} given, how much was not said"),
        },
        Watching::Wasted { drug, amount } => format!("{drug}, {} thrown away", amount.text()),
        Watching::Witness(role) => format!("seen by the {}", role.word()),
        Watching::Batch { of: None, batch } => format!("batch {batch}, of the drug entered last"),
        Watching::Batch {
            of: Some(entry),
            batch,
        } => format!("batch {batch}, of the drug in entry {entry}"),
    }
}
