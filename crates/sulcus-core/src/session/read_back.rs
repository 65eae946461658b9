//! Saved entries made into phrases: tooth first, then what was entered, digits one by one.
//! Also the words for sites, codes and decisions, which the page and the reports share.

use super::phrase::{Phrase, Slot};
use crate::record::{Charted, Entry, Event, Record, wording};
use crate::terms::procedure::{Block, Drug, Method, Treatment};
use crate::terms::{
    Area, Decision, Entrance, Finding, Jaw, Kind, MouthDecision, MouthSide, Place, Procedure,
    Reason, Side, Site, Subject, ToothNumber, Value,
};

/// The read-back of entries that were just saved. Entries that `told`, the phrases of the step, say back already (a
/// group of teeth) are left out; what no phrase says is never left out.
pub(super) fn of(record: &Record, entries: &[Entry], told: &[Phrase]) -> Vec<Phrase> {
    let is_told = |number: u64| told.iter().any(|phrase| phrase.entries.contains(&number));
    let numbers: Vec<u64> = entries
        .iter()
        .filter(|entry| entry.event.is_value() && record.is_current(entry.number))
        .map(|entry| entry.number)
        .filter(|number| !is_told(*number))
        .collect();
    of_numbers(record, &numbers)
}

/// What stood before where other values were just entered: nobody may think that both stand. What a question named or
/// a correction took back is told already.
pub(super) fn replaced(record: &Record, entries: &[Entry]) -> Option<Phrase> {
    let old: Vec<u64> = entries
        .iter()
        .filter(|entry| {
            matches!(
                entry.event,
                Event::FindingRecorded {
                    challenge: None,
                    ..
                } | Event::DecisionRecorded {
                    challenge: None,
                    ..
                } | Event::MouthDecided {
                    challenge: None,
                    ..
                }
            )
        })
        .flat_map(|entry| {
            entry.supersedes.iter().copied().filter(|number| {
                record.entry(*number).is_some_and(|before| {
                    before.retracted.is_none() && !is_same_value(&before.event, &entry.event)
                })
            })
        })
        .collect();
    let items = Slot::Phrases(of_numbers(record, &old));
    (!old.is_empty()).then(|| Phrase::new("replaced").with("items", items))
}

fn is_same_value(one: &Event, other: &Event) -> bool {
    match (one, other) {
        (
            Event::FindingRecorded { finding: one, .. },
            Event::FindingRecorded { finding: other, .. },
        ) => one.value == other.value,
        (
            Event::DecisionRecorded {
                decision: one,
                reason: because,
                ..
            },
            Event::DecisionRecorded {
                decision: other,
                reason,
                ..
            },
        ) => one == other && because == reason,
        (Event::MouthDecided { what: one, .. }, Event::MouthDecided { what: other, .. }) => {
            one == other
        }
        _ => false,
    }
}

/// The read-back of these entries: one phrase for each run of one tooth.
pub fn of_numbers(record: &Record, numbers: &[u64]) -> Vec<Phrase> {
    let charted: Vec<&Charted> = numbers
        .iter()
        .filter_map(|number| record.entry(*number))
        .collect();
    let mut phrases = Vec::new();
    let mut at = 0;
    while at < charted.len() {
        let tooth = charted[at].event.tooth();
        let end = at
            + charted[at..]
                .iter()
                .take_while(|c| c.event.tooth() == tooth)
                .count();
        let run = &charted[at..end];
        let entries = run.iter().map(|c| c.number).collect();
        let items = Slot::Phrases(items(tooth, run));
        phrases.push(match tooth {
            Some(tooth) => Phrase::new("entry")
                .with("tooth", Slot::Tooth(tooth))
                .with("items", items),
            None => Phrase::new("entry_mouth").with("items", items),
        });
        if let Some(last) = phrases.last_mut() {
            last.entries = entries;
        }
        at = end;
    }
    phrases
}

/// All that is charted of a tooth.
pub(super) fn summary(record: &Record, tooth: ToothNumber) -> Phrase {
    let run: Vec<&Charted> = record
        .current()
        .filter(|c| c.event.tooth() == Some(tooth))
        .collect();
    if run.is_empty() {
        return Phrase::new("nothing_charted").with("tooth", Slot::Tooth(tooth));
    }
    Phrase::new("summary")
        .with("tooth", Slot::Tooth(tooth))
        .with("items", Slot::Phrases(items(Some(tooth), &run)))
        .saying_back(run.iter().map(|c| c.number).collect())
}

fn items(tooth: Option<ToothNumber>, run: &[&Charted]) -> Vec<Phrase> {
    let mut items = Vec::new();
    let mut at = 0;
    while at < run.len() {
        let sites = site_run(&run[at..]);
        if let (Some(tooth), true) = (tooth, sites.len() > 1) {
            items.push(sites_item(tooth, &sites));
            at += sites.len();
            continue;
        }
        match &run[at].event {
            Event::FindingRecorded { finding, .. } => items.push(finding_item(finding)),
            Event::DecisionRecorded {
                decision, reason, ..
            } => items.push(decision_item(decision, *reason)),
            Event::MouthDecided { what, .. } => items.push(mouth_decision_item(what)),
            Event::ProcedureRecorded { procedure, .. } => {
                items.push(
                    Phrase::new("procedure").with("what", Slot::Text(procedure_words(procedure))),
                );
            }
            Event::WatchRecorded { what, .. } => items.push(super::watch::item(what)),
            Event::NoteRecorded { .. } => items.push(Phrase::new("note_saved")),
            _ => {}
        }
        at += 1;
    }
    items
}

/// Millimetres of one kind at the sites of one side, or the same value at all six, one after another.
fn site_run<'a>(run: &[&'a Charted]) -> Vec<(&'a Finding, Site, u8)> {
    let of = |charted: &&'a Charted| match &charted.event {
        Event::FindingRecorded { finding, .. } => match (finding.place, &finding.value) {
            (Place::Site(site), Value::Mm(mm)) => Some((finding, site, *mm)),
            _ => None,
        },
        _ => None,
    };
    let Some(first) = run.first().and_then(of) else {
        return Vec::new();
    };
    let all: Vec<_> = run
        .iter()
        .map_while(of)
        .take_while(|(finding, ..)| finding.kind == first.0.kind)
        .collect();
    let same = all.len() >= 6 && all[..6].iter().all(|(_, _, mm)| *mm == first.2);
    if same {
        return all[..6].to_vec();
    }
    let side: Vec<_> = all
        .into_iter()
        .take_while(|(_, site, _)| site.side() == first.1.side())
        .collect();
    // Only a whole side is said under the side's name; single sites are named.
    if side.len() == 3 { side } else { Vec::new() }
}

fn sites_item(tooth: ToothNumber, sites: &[(&Finding, Site, u8)]) -> Phrase {
    let digits =
        |sites: &[(&Finding, Site, u8)]| Slot::Digits(sites.iter().map(|(_, _, mm)| *mm).collect());
    let is_depth = sites[0].0.kind == Kind::Depth;
    let title = Slot::Text(sites[0].0.kind.spec().title.to_owned());
    let side = Slot::Text(side_word(tooth, sites[0].1.side()).to_owned());
    match (sites.len(), is_depth) {
        (6, true) => Phrase::new("depths_same").with("mm", digits(&sites[..1])),
        (6, false) => Phrase::new("millimetres")
            .with("title", title)
            .with("mm", digits(&sites[..1])),
        (_, true) => Phrase::new("depths_side")
            .with("side", side)
            .with("mm", digits(sites)),
        (_, false) => Phrase::new("millimetres_side")
            .with("title", title)
            .with("side", side)
            .with("mm", digits(sites)),
    }
}

/// For short read-backs: the depths of both sides, the cheek's first, are said without the names of the sides. A side
/// alone keeps its name, and so do both where they were read in another order.
pub fn join_sides(items: &mut Vec<Phrase>) {
    let side = |phrase: &Phrase| match phrase.slots.as_slice() {
        [("side", Slot::Text(side)), ("mm", mm)] if phrase.key == "depths_side" => {
            Some((side.clone(), mm.clone()))
        }
        _ => None,
    };
    for at in 1..items.len() {
        if let (Some((cheek, first)), Some((tongue, second))) =
            (side(&items[at - 1]), side(&items[at]))
            && cheek == "buccal"
            && tongue != "buccal"
        {
            items[at - 1] = Phrase::new("depths_both")
                .with("cheek", first)
                .with("tongue", second);
            items.remove(at);
            return;
        }
    }
}

/// Findings that are not entered yet, in words, without their tooth.
pub(super) fn items_of(findings: &[Finding]) -> Vec<Phrase> {
    let charted: Vec<Charted> = findings
        .iter()
        .map(|finding| Charted {
            number: 0,
            at: jiff::Timestamp::UNIX_EPOCH,
            event: Event::FindingRecorded {
                finding: finding.clone(),
                challenge: None,
            },
            heard: None,
            standing: crate::record::Standing::Heard,
            told: None,
            confirmed_by: None,
            retracted: None,
            supersedes: Vec::new(),
        })
        .collect();
    let tooth = charted.first().and_then(|charted| charted.event.tooth());
    items(tooth, &charted.iter().collect::<Vec<_>>())
}

/// One finding in words, without its tooth.
pub fn finding_item(finding: &Finding) -> Phrase {
    let title = Slot::Text(finding.kind.spec().title.to_owned());
    let tooth = match finding.subject {
        Subject::Tooth(tooth) => Some(tooth),
        Subject::Mouth => None,
    };
    match (&finding.value, finding.place) {
        (Value::Mm(mm), Place::Site(site)) => {
            let site = Slot::Text(tooth.map_or_else(String::new, |tooth| site_words(tooth, site)));
            let phrase = if finding.kind == Kind::Depth {
                Phrase::new("depth_site")
            } else {
                Phrase::new("millimetres_site").with("title", title)
            };
            phrase
                .with("site", site)
                .with("mm", Slot::Digits(vec![*mm]))
        }
        (Value::Percent(percent), place) => {
            let phrase = match place {
                Place::Root(root) => {
                    Phrase::new("percent_root").with("root", Slot::Text(root.word().to_owned()))
                }
                _ => Phrase::new("percent"),
            };
            phrase
                .with("title", title)
                .with("percent", Slot::Number(u16::from(*percent)))
        }
        (Value::Present, Place::Root(root)) => Phrase::new("present_root")
            .with("title", title)
            .with("root", Slot::Text(root.word().to_owned())),
        (Value::Code(code), Place::Root(root)) => Phrase::new("coded_root")
            .with("title", title)
            .with("code", Slot::Text(code_words(code).into()))
            .with("root", Slot::Text(root.word().to_owned())),
        (Value::Mm(mm), Place::Area(area, side)) => Phrase::new("in_area_sized")
            .with("title", title)
            .with("area", Slot::Text(area_words(area, side)))
            .with("mm", Slot::Number(u16::from(*mm))),
        (Value::Mm(mm), _)
            if matches!(
                finding.kind.spec().form,
                crate::terms::finding::Form::Size(_)
            ) =>
        {
            Phrase::new("sized")
                .with("title", title)
                .with("mm", Slot::Number(u16::from(*mm)))
        }
        (Value::Mm(mm), _) => Phrase::new("millimetres")
            .with("title", title)
            .with("mm", Slot::Digits(vec![*mm])),
        (Value::Present, Place::Site(site)) => {
            Phrase::new("present_site").with("title", title).with(
                "site",
                Slot::Text(tooth.map_or_else(String::new, |tooth| site_words(tooth, site))),
            )
        }
        (Value::Present, Place::Area(area, side)) => Phrase::new("in_area")
            .with("title", title)
            .with("area", Slot::Text(area_words(area, side))),
        (Value::Present, _) => Phrase::new("present").with("title", title),
        (Value::Grade(grade), Place::Entrance(entrance)) => {
            let entrance = tooth.map_or("", |tooth| entrance_word(tooth, entrance));
            Phrase::new("graded_entrance")
                .with("title", title)
                .with("entrance", Slot::Text(entrance.into()))
                .with("grade", Slot::Digits(vec![*grade]))
        }
        (Value::Grade(grade), _) => Phrase::new("graded")
            .with("title", title)
            .with("grade", Slot::Digits(vec![*grade])),
        (Value::Code(code), _) if finding.kind == Kind::Fracture => {
            Phrase::new("text").with("text", Slot::Text(code_words(code).into()))
        }
        (Value::Code(code), _) if finding.kind == Kind::LesionPart => Phrase::new("coded")
            .with("title", title)
            .with("code", Slot::Text(format!("{code} third"))),
        (Value::Code(code), _) if code == "general" => Phrase::new("present").with("title", title),
        (Value::Code(code), _) => Phrase::new("coded")
            .with("title", title)
            .with("code", Slot::Text(code_words(code).into())),
    }
}

fn mouth_decision_item(what: &MouthDecision) -> Phrase {
    let phrase = Phrase::new("decision").with("decision", Slot::Text(mouth_decision_words(what)));
    match what.reason {
        Some(reason) => Phrase {
            key: "decision_because".into(),
            ..phrase
        }
        .with("reason", Slot::Text(reason_words(reason).into())),
        None => phrase,
    }
}

/// "left tongue, take a sample"; of the mouth as a whole "whole mouth, refer".
pub fn mouth_decision_words(what: &MouthDecision) -> String {
    let part = what.part.map_or_else(
        || "whole mouth".into(),
        |(area, side)| area_words(area, side),
    );
    format!("{part}, {}", what.choice.text())
}

fn decision_item(decision: &Decision, reason: Option<Reason>) -> Phrase {
    let words = Slot::Text(decision_words(decision));
    match reason {
        Some(reason) => Phrase::new("decision_because")
            .with("decision", words)
            .with("reason", Slot::Text(reason_words(reason).into())),
        None => Phrase::new("decision").with("decision", words),
    }
}

// ---- words

/// "buccal", and for the tongue side of upper teeth "palatal".
pub fn side_word(tooth: ToothNumber, side: Side) -> &'static str {
    match (side, tooth.jaw()) {
        (Side::Buccal, _) => "buccal",
        (Side::Lingual, Jaw::Upper) => "palatal",
        (Side::Lingual, Jaw::Lower) => "lingual",
    }
}

/// "mesiobuccal", "mid palatal" ...
pub fn site_words(tooth: ToothNumber, site: Site) -> String {
    let side = side_word(tooth, site.side());
    match site {
        Site::MesioBuccal | Site::MesioLingual => format!("mesio {side}"),
        Site::Buccal | Site::Lingual => format!("mid {side}"),
        Site::DistoBuccal | Site::DistoLingual => format!("disto {side}"),
    }
}

pub fn entrance_word(tooth: ToothNumber, entrance: Entrance) -> &'static str {
    match entrance {
        Entrance::Buccal => "buccal",
        Entrance::Lingual => side_word(tooth, Side::Lingual),
        Entrance::Mesial => "mesial",
        Entrance::Distal => "distal",
    }
}

pub fn area_words(area: Area, side: Option<MouthSide>) -> String {
    let area = match area {
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
    };
    match side {
        Some(MouthSide::Left) => format!("left {area}"),
        Some(MouthSide::Right) => format!("right {area}"),
        None => area.to_owned(),
    }
}

/// The words of a code: abbreviations are never spelled aloud.
pub fn code_words(code: &str) -> &str {
    match code {
        "EI" => "enamel infraction",
        "EF" => "enamel fracture",
        "UCF" => "uncomplicated crown fracture",
        "CCF" => "complicated crown fracture",
        "UCRF" => "uncomplicated crown root fracture",
        "CCRF" => "complicated crown root fracture",
        "RF" => "root fracture",
        "1" => "one",
        "2" => "two",
        "3" => "three",
        "4" => "four",
        "4a" => "four a",
        "4b" => "four b",
        "4c" => "four c",
        "5" => "five",
        "unstaged" => "not staged",
        "as_around" => "as around it",
        "broad_based" => "broad based",
        "non_vital" => "not vital",
        other => other,
    }
}

pub fn decision_words(decision: &Decision) -> String {
    match decision {
        Decision::Extract => "extract".into(),
        Decision::Monitor { months: None } => "monitor".into(),
        Decision::Monitor { months: Some(1) } => "monitor, one month".into(),
        Decision::Monitor {
            months: Some(months),
        } => format!("monitor, {months} months"),
        Decision::Leave => "leave".into(),
        Decision::Treat(Treatment::Unspecified) => "treat".into(),
        Decision::Treat(treatment) => format!("treat, {}", treatment_words(*treatment)),
    }
}

pub fn treatment_words(treatment: Treatment) -> &'static str {
    match treatment {
        Treatment::Unspecified => "treatment",
        Treatment::RootPlaningClosed => "closed root planing",
        Treatment::RootPlaningOpen => "open root planing",
        Treatment::RootCanal => "root canal",
        Treatment::VitalPulpTherapy => "vital pulp therapy",
        Treatment::Restoration => "restoration",
        Treatment::CrownAmputation => "crown amputation",
        Treatment::GumSurgery => "gum surgery",
        Treatment::Refer => "refer",
        Treatment::FistulaRepair => "fistula repair",
        Treatment::FistulaRepairDouble => "double flap fistula repair",
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

pub fn reason_words(reason: Reason) -> &'static str {
    match reason {
        Reason::Pocket => "pocket",
        Reason::Furcation => "furcation",
        Reason::Mobility => "mobility",
        Reason::Fracture => "fracture",
        Reason::Resorption => "resorption",
        Reason::Crowding => "crowding",
        Reason::PersistentDeciduous => "persistent deciduous",
        Reason::Stomatitis => "stomatitis",
        Reason::Caries => "caries",
        Reason::RetainedRoot => "retained root",
        Reason::OwnerDeclined => "owner declined",
        Reason::Anaesthetic => "anaesthetic",
        Reason::OtherTreatment => "other treatment",
    }
}

/// What was done, in words.
pub fn procedure_words(procedure: &Procedure) -> String {
    let because = |reason: &Option<Reason>| {
        reason.map_or_else(String::new, |reason| {
            format!(", because of {}", reason_words(reason))
        })
    };
    match procedure {
        Procedure::FilmWanted { teeth } if teeth.is_empty() => "radiograph whole mouth".into(),
        Procedure::FilmWanted { .. } => "radiograph".into(),
        Procedure::FilmTaken {
            number: Some(number),
            ..
        } => format!("film {number} taken"),
        Procedure::FilmTaken { teeth, .. } if teeth.is_empty() => "whole mouth films taken".into(),
        Procedure::FilmTaken { .. } => "film taken".into(),
        Procedure::ImageLinked { image, .. } => format!("{} linked", image.word()),
        Procedure::FilmsRead => "films read".into(),
        Procedure::RootsComplete { .. } => "roots complete".into(),
        Procedure::Scaled => "scaled".into(),
        Procedure::Polished => "polished".into(),
        Procedure::Extracted { method, .. } => match method {
            Method::Closed => "extracted, closed".into(),
            Method::Sectioned => "extracted, sectioned".into(),
            Method::Surgical => "extracted, surgical".into(),
            Method::Unspecified => "extracted".into(),
        },
        Procedure::CrownRemoved { .. } => "crown removed".into(),
        Procedure::RootLeft { reason, .. } => format!("root left{}", because(reason)),
        Procedure::Flap { kind, .. } => format!("{} raised", wording::flap(*kind)),
        Procedure::ImplantBatch { what, batch, .. } => {
            // Digits one by one.
            let digits: Vec<String> = batch.chars().map(String::from).collect();
            format!("{} batch {}", what.word(), digits.join(" "))
        }
        Procedure::Staged { .. } | Procedure::SecondVisit { .. } => wording::procedure(procedure),
        Procedure::Sutured { material, size, .. } => {
            let size = size.map_or_else(String::new, |size| format!(" {} oh", size.zeros()));
            match material {
                Some(material) => format!("sutured with{size} {}", material.word()),
                None => "sutured".into(),
            }
        }
        Procedure::Complication { what, size_mm, .. } => {
            let size = size_mm.map_or_else(String::new, |mm| format!(", {mm} millimetres"));
            format!("complication, {}{size}", what.word())
        }
        Procedure::ComplicationTreated { how, .. } => format!("done about it, {}", how.word()),
        Procedure::OwnerTold { way, by, .. } => {
            let way = way.map_or_else(String::new, |way| format!(" {}", way.word()));
            let by = by.map_or_else(String::new, |by| format!(" by the {}", by.word()));
            format!("owner told{way}{by}")
        }
        Procedure::OwnerAsked {
            about,
            is_agreed,
            way,
            by,
            ..
        } => {
            let answer = if *is_agreed { "agreed to" } else { "declined" };
            let way = way.map_or_else(String::new, |way| format!(", {}", way.word()));
            let by = by.map_or_else(String::new, |by| format!(", asked by the {}", by.word()));
            format!("owner {answer} {}{way}{by}", about.word())
        }
        Procedure::SampleTaken {
            pot, area, kind, ..
        } => {
            let kind = kind.map_or_else(String::new, |kind| format!(", {}", kind.word()));
            let area = area.map_or_else(String::new, |(area, side)| {
                format!(", {}", area_words(area, side))
            });
            format!("sample, pot {pot}{kind}{area}")
        }
        Procedure::SamplesSent { pots, due_days } => {
            let due =
                due_days.map_or_else(String::new, |days| format!(", result due in {days} days"));
            let count = if pots.len() == 1 { "sample" } else { "samples" };
            format!("{} {count} sent{due}", pots.len())
        }
        Procedure::ResultRead { pot, .. } => format!("result of pot {pot} read"),
        Procedure::HomeMedicine {
            drug,
            amount_thousandths,
            unit,
            times_a_day,
            days,
        } => {
            let unit = if unit.word() == "ml" {
                "millilitres"
            } else {
                unit.word()
            };
            format!(
                "for home, {drug} {} {unit}, {}, {days} days",
                crate::terms::drug::thousandths(u64::from(*amount_thousandths)),
                crate::record::wording::times(*times_a_day)
            )
        }
        Procedure::HomeCare { what, days } => format!("at home, {}, {days} days", what.word()),
        Procedure::TrayUsed { number, sterilised } => {
            let on = sterilised.map_or_else(String::new, |date| {
                format!(", sterilised {}", date.strftime("%-d %B"))
            });
            format!("tray {number}{on}")
        }
        Procedure::GumSurgery { .. } => "gum surgery done".into(),
        Procedure::Treated { treatment, .. } => format!("treated, {}", treatment_words(*treatment)),
        Procedure::NerveBlock {
            block,
            side,
            drug,
            volume_ml_hundredths,
            strength_percent_hundredths,
            as_given,
        } => {
            let strength = strength_percent_hundredths.map_or_else(String::new, |percent| {
                format!(" {} percent,", fewest_digits(u64::from(percent)))
            });
            let dose = as_given.map_or_else(String::new, |given| {
                format!(", {} milligrams", fewest_digits(given.dose_ug.div_ceil(10)))
            });
            format!(
                "{} block {}, {}{strength} {}.{:02} millilitres{dose}",
                block_words(*block),
                if *side == MouthSide::Left {
                    "left"
                } else {
                    "right"
                },
                drug_words(*drug),
                volume_ml_hundredths / 100,
                volume_ml_hundredths % 100
            )
        }
        Procedure::Medication { words } => format!("{words} given"),
        Procedure::AnaesthesiaStarted => "anaesthesia started".into(),
        Procedure::AnaesthesiaEnded => "anaesthesia ended".into(),
        Procedure::ProcedureStarted => "procedure started".into(),
        Procedure::ProcedureEnded => "procedure ended".into(),
        Procedure::ThroatPackIn => "throat pack in".into(),
        Procedure::ThroatPackOut => "throat pack out".into(),
        Procedure::GagIn => "mouth gag in".into(),
        Procedure::GagOut => "mouth gag out".into(),
        Procedure::SwabsCounted { count } => format!("{count} swabs counted"),
        Procedure::Temperature { celsius_tenths } => {
            format!(
                "temperature {}.{}",
                celsius_tenths / 10,
                celsius_tenths % 10
            )
        }
        Procedure::Checked { point } => format!("{point} checked"),
    }
}

/// "0.5", "2", "1.25" from hundredths: a zero at the end was misread for a tenfold dose [FDA-ERR].
pub(super) fn fewest_digits(hundredths: u64) -> String {
    match (hundredths / 100, hundredths % 100) {
        (whole, 0) => whole.to_string(),
        (whole, rest) if rest % 10 == 0 => format!("{whole}.{}", rest / 10),
        (whole, rest) => format!("{whole}.{rest:02}"),
    }
}

fn block_words(block: Block) -> &'static str {
    match block {
        Block::Infraorbital => "infraorbital",
        Block::Maxillary => "maxillary",
        Block::InferiorAlveolar => "inferior alveolar",
        Block::MiddleMental => "middle mental",
        Block::Other => "other",
    }
}

pub fn drug_words(drug: Drug) -> &'static str {
    match drug {
        Drug::Lidocaine => "lidocaine",
        Drug::Bupivacaine => "bupivacaine",
        Drug::Mepivacaine => "mepivacaine",
    }
}
