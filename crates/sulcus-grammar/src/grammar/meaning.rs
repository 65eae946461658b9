//! From a reading of the words to intents: the one place that knows what each intent name and slot means.
//! Invariant: every intent named in the grammar files is known here; `check` refuses the book otherwise.

use super::anaesthetic;
use super::dental;
use super::intent::{Intent, Lacks, Pace, Question, Scope, Spot, ToothWork, Which};
use super::matcher::{Capture, Clause, Reading};
use super::mouth;
use super::template::{Book, GrammarError, Place as FilePlace};
use crate::terms::procedure::{Block, Method, Treatment};
use crate::terms::{
    Area, Decision, Drug, Entrance, Kind, MouthSide, Place, Procedure, Reason, Side, Site, Species,
    ToothNumber, Value,
};
use serde::de::DeserializeOwned;

/// Declares the names of intents that the files may use. What each means is a `match` over all of them in
/// `of_clause`: a name without a meaning does not compile, and a file with another name is refused.
macro_rules! names {
    ($($variant:ident = $name:literal,)*) => {
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        enum Name {
            $($variant,)*
        }

        impl Name {
            const ALL: &[&str] = &[$($name,)*];

            fn of(name: &str) -> Option<Self> {
                match name {
                    $($name => Some(Self::$variant),)*
                    _ => None,
                }
            }
        }
    };
}

names! {
    ChooseTooth = "choose_tooth",
    Each = "each",
    Next = "next",
    Back = "back",
    Depths = "depths",
    Recession = "recession",
    Enlargement = "enlargement",
    Bleeding = "bleeding",
    Furcation = "furcation",
    Mobility = "mobility",
    Plaque = "plaque",
    Calculus = "calculus",
    Gingivitis = "gingivitis",
    Fracture = "fracture",
    Resorption = "resorption",
    Wear = "wear",
    Enamel = "enamel",
    PlainFinding = "plain_finding",
    Malposition = "malposition",
    Supernumerary = "supernumerary",
    RootLength = "root_length",
    Normal = "normal",
    NormalGroup = "normal_group",
    NormalRest = "normal_rest",
    AbsentGroup = "absent_group",
    SoftFinding = "soft_finding",
    Occlusion = "occlusion",
    Crossbite = "crossbite",
    OpenBite = "open_bite",
    Stomatitis = "stomatitis",
    Extract = "extract",
    ExtractTooth = "extract_tooth",
    LeaveTooth = "leave_tooth",
    AbsentTooth = "absent_tooth",
    Monitor = "monitor",
    Leave = "leave",
    Treat = "treat",
    FilmWanted = "film_wanted",
    FilmWantedAll = "film_wanted_all",
    FilmTaken = "film_taken",
    FilmTakenAll = "film_taken_all",
    Extracted = "extracted",
    ToothWork = "tooth_work",
    Treated = "treated",
    RootLeft = "root_left",
    MouthWork = "mouth_work",
    NerveBlock = "nerve_block",
    Medicine = "medicine",
    Swabs = "swabs",
    Checked = "checked",
    Note = "note",
    Confirm = "confirm",
    ConfirmAll = "confirm_all",
    Deny = "deny",
    Undo = "undo",
    Correct = "correct",
    Strike = "strike",
    StrikeValues = "strike_values",
    StrikeDone = "strike_done",
    Repeat = "repeat",
    AskMissing = "ask_missing",
    AskWhere = "ask_where",
    AskOrder = "ask_order",
    SiteOrder = "site_order",
    AskPlan = "ask_plan",
    AskSummary = "ask_summary",
    AskCompare = "ask_compare",
    AskSayable = "ask_sayable",
    Lacking = "lacking",
    Stop = "stop",
    Pause = "pause",
    Listen = "listen",
    Pace = "pace",
    Finish = "finish",
}

/// Refuses a book with an intent that nothing here understands.
pub(super) fn check(book: &Book) -> Result<(), GrammarError> {
    for template in &book.templates {
        let name = template.intent.as_str();
        if Name::of(name).is_none()
            && !anaesthetic::NAMES.contains(&name)
            && !dental::NAMES.contains(&name)
            && !mouth::NAMES.contains(&name)
        {
            return Err(GrammarError {
                place: FilePlace {
                    file: "grammar".into(),
                    line: 0,
                    column: 1,
                },
                what: format!(
                    "no intent is called {}; known are: {}",
                    template.intent,
                    Name::ALL.join(", ")
                ),
                text: template.text.clone(),
            });
        }
    }
    Ok(())
}

/// The intents of a reading; nothing where the words fit a template but no value (a tooth number x00, say).
pub(super) fn intents(reading: &Reading, words: &[&str], species: Species) -> Option<Vec<Intent>> {
    let mut intents = Vec::new();
    for clause in &reading.clauses {
        intents.extend(of_clause(&Slots(clause), words, species)?);
    }
    // "Wear from chewing, abrasion", "no treatment, leave it": said twice it is one finding, one decision.
    intents.dedup_by(|second, first| {
        second == first
            && matches!(
                second,
                Intent::RecordForTooth { .. }
                    | Intent::RecordForMouth { .. }
                    | Intent::RecordNormal(_)
                    | Intent::Decide { .. }
            )
    });
    // "One oh four next": the next is 104, and not the one after it.
    if let [Intent::ChooseTooth(_), Intent::NextTooth] = intents.as_slice() {
        intents.pop();
    }
    // "Buccal should be three two four" mends as "no, buccal three two four" does.
    let corrects = |clause: &Clause| clause.captures.iter().any(|c| c.slot == "corrected");
    let is_correction = match (&reading.prefix, &reading.clauses[..]) {
        // "No, buccal should be three two four" too: said twice it is one correction.
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
pub(super) struct Slots<'a>(pub(super) &'a Clause);

impl Slots<'_> {
    pub(super) fn all(&self, slot: &str) -> impl Iterator<Item = &str> {
        self.0
            .captures
            .iter()
            .filter(move |c| c.slot == slot)
            .map(|c| c.value.as_str())
    }

    pub(super) fn one(&self, slot: &str) -> Option<&str> {
        self.all(slot).next()
    }

    pub(super) fn number(&self, slot: &str) -> Option<u8> {
        self.one(slot)?.parse().ok()
    }

    /// A value whose spelling in the grammar is the name of the type's variant.
    pub(super) fn named<T: DeserializeOwned>(&self, slot: &str) -> Option<T> {
        named(self.one(slot)?)
    }

    /// The words that its values were said with.
    fn said(&self, words: &[&str]) -> Option<String> {
        let of = |capture: &Capture| capture.words.clone();
        let first = self.0.captures.iter().map(of).map(|of| of.start).min()?;
        let last = self.0.captures.iter().map(of).map(|of| of.end).max()?;
        Some(words.get(first..last)?.join(" "))
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
    pub(super) fn tooth(&self) -> Option<ToothNumber> {
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
pub(super) fn named<T: DeserializeOwned>(word: &str) -> Option<T> {
    serde_json::from_value(serde_json::Value::String(word.to_owned())).ok()
}

fn of_clause(slots: &Slots<'_>, words: &[&str], species: Species) -> Option<Vec<Intent>> {
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
    if dental::NAMES.contains(&slots.0.intent.as_str()) {
        return dental::of_clause(slots);
    }
    if mouth::NAMES.contains(&slots.0.intent.as_str()) {
        return mouth::of_clause(slots, species);
    }
    // The tooth was said between the words.
    let at_tooth = |intents: Option<Vec<Intent>>| {
        let mut found = vec![Intent::ChooseTooth(slots.tooth()?)];
        found.extend(intents?);
        Some(found)
    };
    let Some(name) = Name::of(&slots.0.intent) else {
        return one(anaesthetic::of_clause(slots.0)?);
    };
    match name {
        Name::ChooseTooth => one(Intent::ChooseTooth(slots.tooth()?)),
        Name::Next => one(Intent::NextTooth),
        Name::Back => one(Intent::PreviousTooth),
        Name::Depths => match slots.number("same") {
            Some(mm) => Some(all_but(slots, mm)?),
            None => one(Intent::RecordMillimetres {
                kind: Kind::Depth,
                spot: slots.spot(),
                mm: slots.mm(),
            }),
        },
        Name::Recession => one(Intent::RecordMillimetres {
            kind: Kind::Recession,
            spot: slots.spot(),
            mm: slots.mm(),
        }),
        Name::Enlargement if slots.mm().is_empty() => for_tooth(Kind::Enlargement, Value::Present),
        Name::Enlargement => one(Intent::RecordMillimetres {
            kind: Kind::Enlargement,
            spot: slots.spot(),
            mm: slots.mm(),
        }),
        Name::Bleeding => one(Intent::RecordBleeding { spot: slots.spot() }),
        Name::Furcation => one(Intent::RecordFurcation {
            entrance: slots.named::<Entrance>("entrance"),
            grade: slots.number("grade")?,
        }),
        Name::Mobility => grade(Kind::Mobility),
        Name::Plaque => grade(Kind::Plaque),
        Name::Calculus => grade(Kind::Calculus),
        Name::Gingivitis => grade(Kind::Gingivitis),
        Name::Fracture => code(Kind::Fracture, "fracture"),
        Name::Resorption => resorption(slots),
        Name::Wear => code(Kind::Wear, "wear"),
        Name::Enamel => code(Kind::EnamelDefect, "enamel"),
        Name::PlainFinding => for_tooth(slots.named::<Kind>("plain_finding")?, Value::Present),
        Name::Malposition => code(Kind::Malposition, "malposition"),
        Name::Supernumerary => code(Kind::Supernumerary, "beside"),
        Name::RootLength => for_tooth(Kind::RootLength, Value::Mm(slots.number("size_mm")?)),
        Name::Normal => one(Intent::RecordNormal(Scope::ThisTooth)),
        Name::NormalRest => one(Intent::RecordNormal(
            slots.quadrant().map_or(Scope::Rest, Scope::RestOfQuadrant),
        )),
        Name::NormalGroup => one(Intent::RecordNormal(scope(slots, species)?)),
        Name::AbsentGroup => one(Intent::RecordAbsent(scope(slots, species)?)),
        Name::SoftFinding => {
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
        Name::Occlusion => for_mouth(
            Kind::Occlusion,
            Value::Grade(slots.number("occlusion_class")?),
        ),
        Name::Crossbite => for_mouth(Kind::Crossbite, Value::Code(slots.one("crossbite")?.into())),
        Name::OpenBite => for_mouth(Kind::OpenBite, Value::Present),
        Name::Stomatitis => for_mouth(
            Kind::Stomatitis,
            Value::Code(slots.one("stomatitis")?.into()),
        ),
        Name::Extract => decide(Decision::Extract),
        Name::ExtractTooth => at_tooth(decide(Decision::Extract)),
        Name::LeaveTooth => at_tooth(decide(Decision::Leave)),
        Name::AbsentTooth => at_tooth(for_tooth(Kind::Absent, Value::Present)),
        Name::Monitor => decide(Decision::Monitor {
            months: slots.number("months"),
        }),
        Name::Leave => decide(Decision::Leave),
        Name::Treat => decide(Decision::Treat(
            slots.named("treatment").unwrap_or(Treatment::Unspecified),
        )),
        Name::FilmWanted => one(Intent::DoToTooth(ToothWork::FilmWanted)),
        Name::FilmWantedAll => one(Intent::Do(Procedure::FilmWanted { teeth: Vec::new() })),
        Name::FilmTaken => one(Intent::DoToTooth(ToothWork::FilmTaken)),
        Name::FilmTakenAll => one(Intent::Do(Procedure::FilmTaken {
            teeth: Vec::new(),
            number: None,
        })),
        Name::Extracted => one(Intent::DoToTooth(ToothWork::Extracted(
            slots.named("method").unwrap_or(Method::Unspecified),
        ))),
        Name::ToothWork => one(Intent::DoToTooth(match slots.one("tooth_work")? {
            "crown_removed" => ToothWork::CrownRemoved,
            "flap" => ToothWork::Flap(None),
            "sutured" => ToothWork::Sutured,
            "gum_surgery" => ToothWork::GumSurgery,
            "roots_complete" => ToothWork::RootsComplete,
            _ => return None,
        })),
        Name::Treated => one(Intent::DoToTooth(ToothWork::Treated(
            slots.named("treatment")?,
        ))),
        Name::RootLeft => one(Intent::DoToTooth(ToothWork::RootLeft(
            slots.named("reason"),
        ))),
        Name::MouthWork => one(Intent::Do(slots.named("mouth_work")?)),
        Name::NerveBlock => one(Intent::Do(nerve_block(slots)?)),
        Name::Medicine => one(Intent::Do(Procedure::Medication {
            words: slots.one("medicine")?.to_owned(),
        })),
        Name::Swabs => one(Intent::Do(Procedure::SwabsCounted {
            count: slots.number("count")?,
        })),
        Name::Checked => one(Intent::Do(Procedure::Checked {
            point: slots.one("check_point")?.to_owned(),
        })),
        Name::Note => one(Intent::TakeNote),
        Name::Confirm => one(Intent::Confirm),
        Name::ConfirmAll => one(Intent::ConfirmEverything),
        Name::Deny => one(Intent::Deny),
        Name::Undo => one(Intent::Undo),
        Name::Strike => one(Intent::Strike(slots.tooth())),
        Name::StrikeValues => one(Intent::StrikeValues(which(slots)?)),
        Name::StrikeDone => one(Intent::StrikeValues(match slots.one("struck_done")? {
            "note" => Which::Note,
            done => Which::Done(done.to_owned()),
        })),
        Name::Repeat => one(Intent::Repeat),
        Name::AskMissing => one(Intent::Ask(Question::Missing)),
        Name::AskWhere => one(Intent::Ask(Question::Where)),
        Name::AskOrder => one(Intent::Ask(Question::Order)),
        Name::SiteOrder => one(Intent::ReadFromFront(slots.one("site_order")? == "front")),
        Name::AskPlan => one(Intent::Ask(Question::Plan)),
        Name::AskSummary => one(Intent::Ask(Question::Summary)),
        Name::AskCompare => one(Intent::Ask(Question::Compare(slots.tooth()))),
        Name::AskSayable => one(Intent::Ask(Question::Sayable)),
        Name::Lacking => {
            let said = slots.said(words)?;
            let lacks = match slots.one("lacks")? {
                "grade" => Lacks::Grade,
                "stage" => Lacks::Stage,
                "class" => Lacks::Class,
                "fracture" => Lacks::Fracture,
                "crossbite" => Lacks::Crossbite,
                "millimetres" => Lacks::Millimetres,
                "place" => Lacks::Place,
                _ => Lacks::What,
            };
            // Before the name of a tooth, "tooth" can belong to either: it is no part of what was found.
            let said = match (lacks, said.strip_suffix(" tooth")) {
                (Lacks::Place, Some(short)) => short.to_owned(),
                _ => said,
            };
            one(Intent::Lacking { lacks, said })
        }
        Name::Stop => one(Intent::StopSpeaking),
        Name::Pause => one(Intent::PauseListening),
        Name::Listen => one(Intent::Listen),
        Name::Pace => one(Intent::SetPace(match slots.one("pace")? {
            "each_reading" => Pace::EachReading,
            "each_tooth" => Pace::EachTooth,
            "each_quadrant" => Pace::EachQuadrant,
            "quiet" => Pace::Quiet,
            _ => return None,
        })),
        Name::Finish => one(Intent::FinishVisit),
        // Said before others: `intents` makes it of what follows.
        Name::Correct | Name::Each => None,
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
        Some("mouth_decision") => return Some(Which::MouthDecision),
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
pub(super) fn scope(slots: &Slots<'_>, _species: Species) -> Option<Scope> {
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
    let positions = class_positions(slots.one("group_class")?);
    Some(Scope::Teeth {
        quadrants,
        positions,
    })
}

/// The places in a quadrant of a class of teeth, by its key in the grammar.
pub fn class_positions(class: &str) -> Vec<u8> {
    match class {
        "incisors" => (1..=3).collect(),
        "canines" => vec![4],
        "premolars" => (5..=8).collect(),
        "molars" => (9..=11).collect(),
        "cheek" => (5..=11).collect(),
        _ => (1..=11).collect(),
    }
}
