//! Charts written as short lines, folded into a record by the real fold: the same events that a session writes.
//!
//! One thing a line (or between semicolons):
//! `104 depths 3 3 4 3 3 3` in the order of the sites, `-` for a site not read; `104 depth buccal 4`;
//! `104 recession [site] 2`; `104 enlargement [site] 5|present`; `104 furcation 2 [entrance]`; `104 KIND [value]`;
//! `mouth KIND [value]`; `rest 2` charts all other permanent teeth as normal with that depth everywhere;
//! `decide mouth sample|monitor DAYS`; `decide 104 extract|monitor 6|leave|treat root_canal [because REASON]`, `decide! ...` after a challenge;
//! `did scaled`, `did film 104 105`, `did film all`, `did extracted 104 surgical`,
//! `pressure MEAN`, `asa CLASS`; `did flap 104`, `did later 104`, `did second_visit DAYS`;
//! `did block maxillary left bupivacaine 0.8 [0.5]`, and other procedures by name; `+10` ten minutes pass;
//! `confirm` confirms all before; `finish`.

use sulcus::clock::{Clock as _, SetClock};
use sulcus::record::event::Proposed;
use sulcus::record::{Entry, Event, Heard, Record};
use sulcus::terms::mouth::{MouthChoice, MouthDecision};
use sulcus::terms::procedure::Block;
use sulcus::terms::vital::Measure;
use sulcus::terms::watch::{AsaStatus, CourseStep};
use sulcus::terms::{
    Decision, Drug, Entrance, Finding, Kind, MouthSide, Patient, Place, Procedure, Reading, Reason,
    Root, Site, Species, Subject, ToothNumber, Value, VitalSign, Watched, Weight, dentition,
};
use uuid::Uuid;

/// 2026-03-02, nine in the morning, UTC.
pub const OPENED_SECOND: i64 = 1_772_442_000;

/// "cat 4kg born=2020-01 name=Milo owner=... id=...".
pub fn patient(text: &str) -> Patient {
    let mut words = text.split_whitespace();
    let species: Species = words.next().expect("a species").parse().expect("a species");
    let mut patient = Patient {
        id: None,
        name: "Test".into(),
        species,
        breed: None,
        sex: None,
        born: None,
        weight: None,
        microchip: None,
        felv: None,
        fiv: None,
        owner: None,
        invented: true,
    };
    for word in words {
        if let Some(kg) = word.strip_suffix("kg") {
            let kg: f64 = kg.parse().expect("a weight");
            patient.weight =
                Some(Weight::from_grams((kg * 1000.0).round() as u32).expect("in range"));
        } else if let Some((key, value)) = word.split_once('=') {
            match key {
                "born" => patient.born = Some(value.into()),
                "name" => patient.name = value.into(),
                "id" => patient.id = Some(value.into()),
                "owner" => patient.owner = Some(value.into()),
                "felv" => patient.felv = Some(value == "positive"),
                "fiv" => patient.fiv = Some(value == "positive"),
                _ => panic!("{key} is nothing of a patient"),
            }
        } else {
            panic!("{word} is nothing of a patient");
        }
    }
    patient
}

/// Folds a chart into a record. `visit` tells visits apart; `second` is when it was opened.
pub fn record(patient: &Patient, chart: &str, visit: u128, second: i64) -> Record {
    let entries = entries(patient, chart, visit, second);
    Record::fold(&entries).expect("begins with the opening")
}

/// The same as journal entries, for tests that write a real journal.
pub fn events(patient: &Patient, chart: &str) -> Vec<(u64, Event)> {
    let mut events = vec![(
        0,
        Event::VisitOpened {
            patient: patient.clone(),
            vet: None,
            nurse: None,
        },
    )];
    let mut minute = 0;
    for line in chart.split(['\n', ';']).map(str::trim) {
        let line = line.split('#').next().unwrap_or_default().trim();
        if line.is_empty() {
            continue;
        }
        if let Some(minutes) = line.strip_prefix('+') {
            minute += minutes.parse::<u64>().expect("minutes");
            continue;
        }
        let before: Vec<Event> = events.iter().map(|(_, event)| event.clone()).collect();
        events.extend(
            line_events(patient.species, line, &before)
                .into_iter()
                .map(|event| (minute, event)),
        );
    }
    events
}

fn entries(patient: &Patient, chart: &str, visit: u128, second: i64) -> Vec<Entry> {
    events(patient, chart)
        .into_iter()
        .enumerate()
        .map(|(at, (minute, event))| {
            let mut clock = SetClock::at_second(second);
            clock.advance_ms(minute * 60_000);
            Entry {
                visit: Uuid::from_u128(visit),
                number: at as u64 + 1,
                at: clock.0.at,
                monotonic_ms: clock.0.monotonic_ms,
                // "say confirm": by a spoken word.
                heard: (matches!(event, Event::Confirmed { .. }) && chart.contains("say confirm"))
                    .then(|| Heard {
                        words: "confirm".into(),
                        ..Heard::default()
                    }),
                supersedes: Vec::new(),
                event,
                hash: String::new(),
            }
        })
        .collect()
}

pub fn tooth(word: &str) -> ToothNumber {
    let number = word
        .parse()
        .unwrap_or_else(|_| panic!("{word} is no tooth"));
    ToothNumber::new(number).expect("a tooth")
}

fn named<T: serde::de::DeserializeOwned>(word: &str) -> Option<T> {
    serde_json::from_value(serde_json::Value::String(word.into())).ok()
}

fn finding(subject: Subject, kind: Kind, place: Place, value: Value) -> Event {
    Event::FindingRecorded {
        finding: Finding::new(subject, kind, place, value).expect("suited"),
        challenge: None,
    }
}

fn line_events(species: Species, line: &str, before: &[Event]) -> Vec<Event> {
    let words: Vec<&str> = line.split_whitespace().collect();
    match words.as_slice() {
        ["confirm"] | ["say", "confirm"] => vec![Event::Confirmed {
            entries: (1..=before.len() as u64).collect(),
        }],
        ["finish"] => vec![Event::VisitFinished],
        ["rest", mm] => rest(species, mm.parse().expect("mm"), before),
        ["mouth", kind, value @ ..] => {
            vec![plain(Subject::Mouth, kind, value)]
        }
        ["decide", "mouth", choice, days @ ..] => vec![Event::MouthDecided {
            what: MouthDecision {
                part: None,
                choice: match days {
                    [days] => MouthChoice::Monitor {
                        days: days.parse().expect("days"),
                    },
                    _ => named(choice).expect("a choice"),
                },
                reason: None,
            },
            challenge: None,
        }],
        ["decide" | "decide!", of, rest @ ..] => {
            vec![decision(tooth(of), rest, words[0].ends_with('!'))]
        }
        // The question about these conflicts of the newest decision for the tooth, and yes.
        ["stands", of, keys @ ..] => {
            let tooth = tooth(of);
            let entry = before
                .iter()
                .rposition(|event| {
                    matches!(event, Event::DecisionRecorded { tooth: of, .. } if *of == tooth)
                })
                .expect("a decision") as u64
                + 1;
            vec![
                Event::Challenged {
                    rule: "conflict".into(),
                    question: "put in words".into(),
                    proposed: Proposed::Stands { tooth, entry },
                    conflicts: keys.iter().map(ToString::to_string).collect(),
                },
                Event::ChallengeAnswered {
                    challenge: before.len() as u64 + 1,
                    accepted: true,
                },
            ]
        }
        ["pressure", mean] => vec![watched(
            VitalSign::Pressure,
            Measure::Pressure {
                systolic: None,
                diastolic: None,
                mean: Some(mean.parse().expect("mmHg")),
            },
        )],
        ["asa", class] => vec![Event::WatchRecorded {
            what: Watched::Course(CourseStep::Asa(AsaStatus {
                class: class.parse().expect("a class"),
                emergency: false,
            })),
            challenge: None,
        }],
        ["did", rest @ ..] => vec![Event::ProcedureRecorded {
            procedure: procedure(rest),
            challenge: None,
        }],
        [of, "depths", depths @ ..] => depths
            .iter()
            .zip(Site::ALL)
            .filter(|(mm, _)| **mm != "-")
            .map(|(mm, site)| {
                let value = Value::Mm(mm.parse().expect("mm"));
                finding(
                    Subject::Tooth(tooth(of)),
                    Kind::Depth,
                    Place::Site(site),
                    value,
                )
            })
            .collect(),
        [of, kind, rest @ ..] => vec![plain(Subject::Tooth(tooth(of)), kind, rest)],
        _ => panic!("cannot read the line {line:?}"),
    }
}

fn watched(sign: VitalSign, measure: Measure) -> Event {
    Event::WatchRecorded {
        what: Watched::Vital(Reading {
            sign,
            measure,
            method: None,
        }),
        challenge: None,
    }
}

fn plain(subject: Subject, kind: &str, rest: &[&str]) -> Event {
    let kind: Kind = named(kind).unwrap_or_else(|| panic!("{kind} is no kind of finding"));
    let mut place = Place::Whole;
    let mut value = Value::Present;
    for word in rest {
        if kind != Kind::Furcation
            && let Some(site) = named::<Site>(word)
        {
            place = Place::Site(site);
        } else if let (Kind::Furcation, Some(entrance)) = (kind, named::<Entrance>(word)) {
            place = Place::Entrance(entrance);
        } else if let Some(root) = word.strip_suffix("_root").and_then(named::<Root>) {
            place = Place::Root(root);
        } else if *word == "present" {
            value = Value::Present;
        } else {
            let number = word.parse::<u8>();
            value = match (kind.spec().form, number) {
                (sulcus::terms::finding::Form::Grade(..), Ok(grade)) => Value::Grade(grade),
                (sulcus::terms::finding::Form::Percent, Ok(percent)) => Value::Percent(percent),
                (
                    sulcus::terms::finding::Form::Mm(_) | sulcus::terms::finding::Form::Size(_),
                    Ok(mm),
                ) => Value::Mm(mm),
                _ => Value::Code((*word).into()),
            };
        }
    }
    finding(subject, kind, place, value)
}

/// Every permanent tooth that nothing is charted of: normal, and the same depth everywhere.
fn rest(species: Species, mm: u8, before: &[Event]) -> Vec<Event> {
    let charted: Vec<ToothNumber> = before
        .iter()
        .filter(|event| matches!(event, Event::FindingRecorded { .. }))
        .filter_map(Event::tooth)
        .collect();
    let mut events = Vec::new();
    for tooth in dentition::teeth(species, dentition::Stage::Permanent) {
        if charted.contains(&tooth) {
            continue;
        }
        let subject = Subject::Tooth(tooth);
        events.push(finding(subject, Kind::Normal, Place::Whole, Value::Present));
        events.extend(
            Site::ALL.map(|site| finding(subject, Kind::Depth, Place::Site(site), Value::Mm(mm))),
        );
    }
    events
}

fn decision(tooth: ToothNumber, words: &[&str], was_challenged: bool) -> Event {
    let (words, reason) = match words {
        [words @ .., "because", reason] => {
            (words, Some(named::<Reason>(reason).expect("a reason")))
        }
        words => (words, None),
    };
    let decision = match words {
        ["extract"] => Decision::Extract,
        ["leave"] => Decision::Leave,
        ["monitor"] => Decision::Monitor { months: None },
        ["monitor", months] => Decision::Monitor {
            months: Some(months.parse().expect("months")),
        },
        ["treat"] => Decision::Treat(sulcus::terms::procedure::Treatment::Unspecified),
        ["treat", treatment] => Decision::Treat(named(treatment).expect("a treatment")),
        other => panic!("{other:?} is no decision"),
    };
    Event::DecisionRecorded {
        tooth,
        decision,
        reason,
        challenge: was_challenged.then_some(1),
    }
}

fn hundredths(word: &str) -> u16 {
    (word.parse::<f64>().expect("a number") * 100.0).round() as u16
}

fn procedure(words: &[&str]) -> Procedure {
    match words {
        ["film", "all"] => Procedure::FilmTaken {
            teeth: Vec::new(),
            number: None,
        },
        ["film", teeth @ ..] => Procedure::FilmTaken {
            teeth: teeth.iter().map(|word| tooth(word)).collect(),
            number: None,
        },
        ["film_wanted", teeth @ ..] => Procedure::FilmWanted {
            teeth: teeth.iter().map(|word| tooth(word)).collect(),
        },
        ["extracted", of, method] => Procedure::Extracted {
            tooth: tooth(of),
            method: named(method).expect("a method"),
        },
        ["crown_removed", of] => Procedure::CrownRemoved { tooth: tooth(of) },
        ["root_left", of] => Procedure::RootLeft {
            tooth: tooth(of),
            reason: None,
        },
        ["roots_complete", of] => Procedure::RootsComplete { tooth: tooth(of) },
        ["sutured", of] => Procedure::Sutured {
            tooth: tooth(of),
            material: None,
            size: None,
        },
        ["complication", what, of] => Procedure::Complication {
            what: named(what).expect("a complication"),
            tooth: Some(tooth(of)),
            size_mm: None,
        },
        ["owner_told", of] => Procedure::OwnerTold {
            of: vec![of.parse().expect("an entry")],
            way: None,
            by: None,
        },
        ["sample", pot, of] => Procedure::SampleTaken {
            pot: pot.parse().expect("a pot"),
            tooth: Some(tooth(of)),
            area: None,
            kind: None,
        },
        ["sent", pot, days @ ..] => Procedure::SamplesSent {
            pots: vec![pot.parse().expect("a pot")],
            due_days: days.first().map(|days| days.parse().expect("days")),
        },
        ["result", pot, text] => Procedure::ResultRead {
            pot: pot.parse().expect("a pot"),
            text: (*text).into(),
        },
        ["treated", of, treatment] => Procedure::Treated {
            tooth: tooth(of),
            treatment: named(treatment).expect("a treatment"),
        },
        ["flap", of] => Procedure::Flap {
            tooth: tooth(of),
            kind: None,
        },
        ["later", of] => Procedure::Staged {
            tooth: tooth(of),
            is_later: true,
        },
        ["second_visit", days] => Procedure::SecondVisit {
            days: days.parse().expect("days"),
        },
        ["batch", of, what, batch] => Procedure::ImplantBatch {
            tooth: tooth(of),
            what: named(what).expect("graft or membrane"),
            batch: (*batch).into(),
        },
        ["block", block, side, drug, volume, strength @ ..] => Procedure::NerveBlock {
            block: named::<Block>(block).expect("a block"),
            side: named::<MouthSide>(side).expect("a side"),
            drug: named::<Drug>(drug).expect("a drug"),
            volume_ml_hundredths: hundredths(volume),
            strength_percent_hundredths: strength.first().map(|word| hundredths(word)),
            as_given: None,
        },
        ["swabs", count] => Procedure::SwabsCounted {
            count: count.parse().expect("a count"),
        },
        ["temperature", degrees] => Procedure::Temperature {
            celsius_tenths: (degrees.parse::<f64>().expect("degrees") * 10.0).round() as u16,
        },
        ["checked", point] => Procedure::Checked {
            point: (*point).into(),
        },
        [name] => named(name).unwrap_or_else(|| panic!("{name} is no procedure")),
        other => panic!("{other:?} is no procedure"),
    }
}
