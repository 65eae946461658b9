//! From a reading of the words to intents: the one place that knows what each intent name and slot means.
//! Invariant: every intent named in the grammar files is known here; `check` refuses the book otherwise.

use super::anaesthetic;
use super::intent::{Intent, Pace, Question, Scope, Spot, ToothWork, Which};
use super::matcher::{Clause, Reading};
use super::template::{Book, GrammarError, Place as FilePlace};
use crate::terms::procedure::{Block, Method, Treatment};
use crate::terms::{
    Area, Decision, Drug, Entrance, Kind, MouthSide, Place, Procedure, Reason, Side, Site, Species,
    ToothNumber, Value,
};
use serde::de::DeserializeOwned;

/// Names of intents that the files may use.
const NAMES: &[&str] = &[
    "choose_tooth",
    "each",
    "next",
    "back",
    "depths",
    "recession",
    "enlargement",
    "bleeding",
    "furcation",
    "mobility",
    "plaque",
    "calculus",
    "gingivitis",
    "fracture",
    "resorption",
    "wear",
    "enamel",
    "plain_finding",
    "malposition",
    "supernumerary",
    "root_length",
    "normal",
    "normal_group",
    "normal_rest",
    "absent_group",
    "soft_finding",
    "occlusion",
    "crossbite",
    "open_bite",
    "stomatitis",
    "extract",
    "monitor",
    "leave",
    "treat",
    "film_wanted",
    "film_wanted_all",
    "film_taken",
    "film_taken_all",
    "extracted",
    "tooth_work",
    "treated",
    "root_left",
    "mouth_work",
    "nerve_block",
    "medicine",
    "swabs",
    "checked",
    "note",
    "confirm",
    "confirm_all",
    "deny",
    "undo",
    "correct",
    "strike",
    "strike_values",
    "strike_done",
    "repeat",
    "ask_missing",
    "ask_where",
    "ask_order",
    "site_order",
    "ask_plan",
    "ask_summary",
    "ask_compare",
    "stop",
    "pause",
    "listen",
    "pace",
    "finish",
];

/// Refuses a book with an intent that nothing here understands.
pub(super) fn check(book: &Book) -> Result<(), GrammarError> {
    for template in &book.templates {
        let name = template.intent.as_str();
        if !NAMES.contains(&name) && !anaesthetic::NAMES.contains(&name) {
            return Err(GrammarError {
                place: FilePlace {
                    file: "grammar".into(),
                    line: 0,
                    column: 1,
                },
                what: format!(
                    "no intent is called {}; known are: {}",
                    template.intent,
                    NAMES.join(", ")
                ),
                text: template.text.clone(),
            });
        }
    }
    Ok(())
}

/// The intents of a reading; nothing where the words fit a template but no value (a tooth number x00, say).
pub(super) fn intents(reading: &Reading, species: Species) -> Option<Vec<Intent>> {
    let mut intents = Vec::new();
    for clause in &reading.clauses {
        intents.extend(of_clause(&Slots(clause), species)?);
    }
    // "Buccal should be three two four" mends as "no, buccal three two four" does.
    let corrects = |clause: &Clause| clause.captures.iter().any(|c| c.slot == "corrected");
    let is_correction = match (&reading.prefix, &reading.clauses[..]) {
        (Some(_), clauses) if clauses.iter().any(corrects) => return None,
        (Some(_), _) => true,
        (None, [only]) => corrects(only),
        (None, clauses) if clauses.iter().any(corrects) => return None,
        (None, _) => false,
    };
    Some(if is_correction {
        vec![Intent::Correct(intents)]
    } else {
        intents
    })
}

/// The values of a clause by slot.
struct Slots<'a>(&'a Clause);

impl Slots<'_> {
    fn all(&self, slot: &str) -> impl Iterator<Item = &str> {
        self.0
            .captures
            .iter()
            .filter(move |c| c.slot == slot)
            .map(|c| c.value.as_str())
    }

    fn one(&self, slot: &str) -> Option<&str> {
        self.all(slot).next()
    }

    fn number(&self, slot: &str) -> Option<u8> {
        self.one(slot)?.parse().ok()
    }

    /// A value whose spelling in the grammar is the name of the type's variant.
    fn named<T: DeserializeOwned>(&self, slot: &str) -> Option<T> {
        named(self.one(slot)?)
    }

    /// Numbered teeth in the order said.
    fn teeth(&self) -> Vec<ToothNumber> {
        let quadrants = self.all("quadrant");
        let positions = self.all("position");
        quadrants
            .zip(positions)
            .filter_map(|(quadrant, position)| {
                ToothNumber::from_parts(quadrant.parse().ok()?, position.parse().ok()?).ok()
            })
            .collect()
    }

    /// A tooth by number or by name.
    fn tooth(&self) -> Option<ToothNumber> {
        if let Some(&tooth) = self.teeth().first() {
            return Some(tooth);
        }
        // The large tooth of each jaw by its trade name: the upper fourth premolar, the lower first molar.
        let position = match (self.one("tooth_class")?, self.one("jaw")?) {
            ("carnassial", "upper") => 8,
            ("carnassial", _) => 9,
            (position, _) => position.parse().ok()?,
        };
        ToothNumber::from_parts(self.quadrant()?, position).ok()
    }

    fn quadrant(&self) -> Option<u8> {
        let permanent = match (self.one("jaw")?, self.one("mouth_side")?) {
            ("upper", "right") => 1,
            ("upper", _) => 2,
            (_, "left") => 3,
            _ => 4,
        };
        Some(if self.one("deciduous").is_some() {
            permanent + 4
        } else {
            permanent
        })
    }

    fn spot(&self) -> Spot {
        if let Some(site) = self.named::<Site>("site") {
            Spot::Site(site)
        } else if let Some(side) = self.named::<Side>("side") {
            Spot::Side(side)
        } else {
            Spot::Unsaid
        }
    }

    fn mm(&self) -> Vec<u8> {
        self.all("depth").filter_map(|mm| mm.parse().ok()).collect()
    }
}

/// A grammar value whose spelling is the snake-case name of an enum variant.
fn named<T: DeserializeOwned>(word: &str) -> Option<T> {
    serde_json::from_value(serde_json::Value::String(word.to_owned())).ok()
}

fn of_clause(slots: &Slots<'_>, species: Species) -> Option<Vec<Intent>> {
    let one = |intent| Some(vec![intent]);
    let for_tooth = |kind, value| one(Intent::RecordForTooth { kind, value });
    let for_mouth = |kind, value| {
        one(Intent::RecordForMouth {
            kind,
            area: None,
            value,
        })
    };
    let grade = |kind| {
        Some(vec![Intent::RecordForTooth {
            kind,
            value: Value::Grade(slots.number("grade")?),
        }])
    };
    let code = |kind, slot: &str| {
        Some(vec![Intent::RecordForTooth {
            kind,
            value: Value::Code(slots.one(slot)?.to_owned()),
        }])
    };
    let decide = |decision| {
        one(Intent::Decide {
            decision,
            reason: slots.named::<Reason>("reason"),
        })
    };
    match slots.0.intent.as_str() {
        "choose_tooth" => one(Intent::ChooseTooth(slots.tooth()?)),
        "next" => one(Intent::NextTooth),
        "back" => one(Intent::PreviousTooth),
        "depths" => match slots.number("same") {
            Some(mm) => Some(all_but(slots, mm)?),
            None => one(Intent::RecordMillimetres {
                kind: Kind::Depth,
                spot: slots.spot(),
                mm: slots.mm(),
            }),
        },
        "recession" => one(Intent::RecordMillimetres {
            kind: Kind::Recession,
            spot: slots.spot(),
            mm: slots.mm(),
        }),
        "enlargement" if slots.mm().is_empty() => for_tooth(Kind::Enlargement, Value::Present),
        "enlargement" => one(Intent::RecordMillimetres {
            kind: Kind::Enlargement,
            spot: slots.spot(),
            mm: slots.mm(),
        }),
        "bleeding" => one(Intent::RecordBleeding { spot: slots.spot() }),
        "furcation" => one(Intent::RecordFurcation {
            entrance: slots.named::<Entrance>("entrance"),
            grade: slots.number("grade")?,
        }),
        "mobility" => grade(Kind::Mobility),
        "plaque" => grade(Kind::Plaque),
        "calculus" => grade(Kind::Calculus),
        "gingivitis" => grade(Kind::Gingivitis),
        "fracture" => code(Kind::Fracture, "fracture"),
        "resorption" => resorption(slots),
        "wear" => code(Kind::Wear, "wear"),
        "enamel" => code(Kind::EnamelDefect, "enamel"),
        "plain_finding" => for_tooth(slots.named::<Kind>("plain_finding")?, Value::Present),
        "malposition" => code(Kind::Malposition, "malposition"),
        "supernumerary" => code(Kind::Supernumerary, "beside"),
        "root_length" => for_tooth(Kind::RootLength, Value::Mm(slots.number("size_mm")?)),
        "normal" => one(Intent::RecordNormal(Scope::ThisTooth)),
        "normal_rest" => one(Intent::RecordNormal(
            slots.quadrant().map_or(Scope::Rest, Scope::RestOfQuadrant),
        )),
        "normal_group" => one(Intent::RecordNormal(scope(slots, species)?)),
        "absent_group" => one(Intent::RecordAbsent(scope(slots, species)?)),
        "soft_finding" => {
            let kind = slots.named::<Kind>("soft_finding")?;
            let value = slots.number("size_mm").map_or(Value::Present, Value::Mm);
            match slots.named::<Area>("area") {
                Some(area) => one(Intent::RecordForMouth {
                    kind,
                    area: Some((area, slots.named::<MouthSide>("mouth_side"))),
                    value,
                }),
                None => for_tooth(kind, value),
            }
        }
        "occlusion" => for_mouth(
            Kind::Occlusion,
            Value::Grade(slots.number("occlusion_class")?),
        ),
        "crossbite" => for_mouth(Kind::Crossbite, Value::Code(slots.one("crossbite")?.into())),
        "open_bite" => for_mouth(Kind::OpenBite, Value::Present),
        "stomatitis" => for_mouth(
            Kind::Stomatitis,
            Value::Code(slots.one("stomatitis")?.into()),
        ),
        "extract" => decide(Decision::Extract),
        "monitor" => decide(Decision::Monitor {
            months: slots.number("months"),
        }),
        "leave" => decide(Decision::Leave),
        "treat" => decide(Decision::Treat(
            slots.named("treatment").unwrap_or(Treatment::Unspecified),
        )),
        "film_wanted" => one(Intent::DoToTooth(ToothWork::FilmWanted)),
        "film_wanted_all" => one(Intent::Do(Procedure::FilmWanted { teeth: Vec::new() })),
        "film_taken" => one(Intent::DoToTooth(ToothWork::FilmTaken)),
        "film_taken_all" => one(Intent::Do(Procedure::FilmTaken { teeth: Vec::new() })),
        "extracted" => one(Intent::DoToTooth(ToothWork::Extracted(
            slots.named("method").unwrap_or(Method::Unspecified),
        ))),
        "tooth_work" => one(Intent::DoToTooth(match slots.one("tooth_work")? {
            "crown_removed" => ToothWork::CrownRemoved,
            "flap" => ToothWork::Flap,
            "sutured" => ToothWork::Sutured,
            "gum_surgery" => ToothWork::GumSurgery,
            "roots_complete" => ToothWork::RootsComplete,
            _ => return None,
        })),
        "treated" => one(Intent::DoToTooth(ToothWork::Treated(
            slots.named("treatment")?,
        ))),
        "root_left" => one(Intent::DoToTooth(ToothWork::RootLeft(
            slots.named("reason"),
        ))),
        "mouth_work" => one(Intent::Do(slots.named("mouth_work")?)),
        "nerve_block" => one(Intent::Do(nerve_block(slots)?)),
        "medicine" => one(Intent::Do(Procedure::Medication {
            words: slots.one("medicine")?.to_owned(),
        })),
        "swabs" => one(Intent::Do(Procedure::SwabsCounted {
            count: slots.number("count")?,
        })),
        "checked" => one(Intent::Do(Procedure::Checked {
            point: slots.one("check_point")?.to_owned(),
        })),
        "note" => one(Intent::TakeNote),
        "confirm" => one(Intent::Confirm),
        "confirm_all" => one(Intent::ConfirmEverything),
        "deny" => one(Intent::Deny),
        "undo" => one(Intent::Undo),
        "strike" => one(Intent::Strike(slots.tooth())),
        "strike_values" => one(Intent::StrikeValues(which(slots)?)),
        "strike_done" => one(Intent::StrikeValues(match slots.one("struck_done")? {
            "note" => Which::Note,
            done => Which::Done(done.to_owned()),
        })),
        "repeat" => one(Intent::Repeat),
        "ask_missing" => one(Intent::Ask(Question::Missing)),
        "ask_where" => one(Intent::Ask(Question::Where)),
        "ask_order" => one(Intent::Ask(Question::Order)),
        "site_order" => one(Intent::ReadFromFront(slots.one("site_order")? == "front")),
        "ask_plan" => one(Intent::Ask(Question::Plan)),
        "ask_summary" => one(Intent::Ask(Question::Summary)),
        "ask_compare" => one(Intent::Ask(Question::Compare(slots.tooth()))),
        "stop" => one(Intent::StopSpeaking),
        "pause" => one(Intent::PauseListening),
        "listen" => one(Intent::Listen),
        "pace" => one(Intent::SetPace(match slots.one("pace")? {
            "each_reading" => Pace::EachReading,
            "each_tooth" => Pace::EachTooth,
            "quiet" => Pace::Quiet,
            _ => return None,
        })),
        "finish" => one(Intent::FinishVisit),
        _ => one(anaesthetic::of_clause(slots.0)?),
    }
}

/// One value for all six sites, and then those that differ.
fn all_but(slots: &Slots<'_>, same: u8) -> Option<Vec<Intent>> {
    let mut intents = vec![Intent::RecordMillimetres {
        kind: Kind::Depth,
        spot: Spot::AllSites,
        mm: vec![same],
    }];
    for (site, mm) in slots.all("site").zip(slots.mm()) {
        intents.push(Intent::RecordMillimetres {
            kind: Kind::Depth,
            spot: Spot::Site(named::<Site>(site)?),
            mm: vec![mm],
        });
    }
    Some(intents)
}

/// Stage and type are two findings. "Neck lesion" is an older word for a resorption whose stage was not said.
fn resorption(slots: &Slots<'_>) -> Option<Vec<Intent>> {
    let mut intents = Vec::new();
    if let Some(stage) = slots.one("resorption_stage") {
        let value = Value::Code(stage.to_owned());
        intents.push(Intent::RecordForTooth {
            kind: Kind::ResorptionStage,
            value,
        });
    }
    if let Some(kind) = slots.number("type") {
        intents.push(Intent::RecordForTooth {
            kind: Kind::ResorptionType,
            value: Value::Grade(kind),
        });
    }
    if intents.is_empty() {
        let value = Value::Code("unstaged".to_owned());
        intents.push(Intent::RecordForTooth {
            kind: Kind::ResorptionStage,
            value,
        });
    }
    Some(intents)
}

/// What is struck. A side means its three sites.
fn which(slots: &Slots<'_>) -> Option<Which> {
    let kinds = match slots.one("struck") {
        None => return None,
        Some("decision") => return Some(Which::Decision),
        // Stage and type were said as one.
        Some("resorption") => vec![Kind::ResorptionStage, Kind::ResorptionType],
        Some(kind) => vec![named(kind)?],
    };
    let places = match (slots.spot(), slots.named::<Entrance>("entrance")) {
        (_, Some(entrance)) => vec![Place::Entrance(entrance)],
        (Spot::Site(site), None) => vec![Place::Site(site)],
        (Spot::Side(side), None) => Site::of_side(side).map(Place::Site).to_vec(),
        _ => Vec::new(),
    };
    Some(Which::Findings { kinds, places })
}

fn nerve_block(slots: &Slots<'_>) -> Option<Procedure> {
    let hundredths = u16::from(slots.number("whole").unwrap_or(0)) * 100
        + u16::from(slots.number("tenth")?) * 10
        + u16::from(slots.number("hundredth").unwrap_or(0));
    Some(Procedure::NerveBlock {
        block: slots.named::<Block>("block")?,
        side: slots.named::<MouthSide>("mouth_side")?,
        drug: slots.named::<Drug>("drug")?,
        volume_ml_hundredths: hundredths,
        strength_percent_hundredths: None,
        as_given: None,
    })
}

/// Which teeth a group sentence means.
fn scope(slots: &Slots<'_>, _species: Species) -> Option<Scope> {
    if let [from, to] = slots.teeth()[..] {
        return Some(Scope::Range(from, to));
    }
    let offset = if slots.one("deciduous").is_some() {
        4
    } else {
        0
    };
    let quadrants = (1..=4)
        .filter(|quadrant| match slots.one("jaw") {
            Some("upper") => *quadrant <= 2,
            Some(_) => *quadrant > 2,
            None => true,
        })
        .filter(|quadrant| match slots.one("mouth_side") {
            Some("right") => matches!(quadrant, 1 | 4),
            Some(_) => matches!(quadrant, 2 | 3),
            None => true,
        })
        .map(|quadrant| quadrant + offset)
        .collect();
    let positions = match slots.one("group_class")? {
        "incisors" => (1..=3).collect(),
        "canines" => vec![4],
        "premolars" => (5..=8).collect(),
        "molars" => (9..=11).collect(),
        "cheek" => (5..=11).collect(),
        _ => (1..=11).collect(),
    };
    Some(Scope::Teeth {
        quadrants,
        positions,
    })
}
