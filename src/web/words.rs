//! The words of the trade and the drawing, sent to the page once: every list that can be touched is made here from
//! `terms` and the grammar, so that the page's script holds none.

use serde::Serialize;
use serde_json::json;

use super::mouth::{self, ToothShape};
use super::press::{MarkIn, VOLUME_ML_HUNDREDTHS_MAX, WorkKey};
use super::watch_words::{self, WatchWords};
use crate::grammar::Grammar;
use crate::grammar::template::Node;
use crate::record::wording;
use crate::session::read_back;
use crate::terms::drug::Shelf;
use crate::terms::finding::{Form, Reach};
use crate::terms::mouth::{FlapKind, Implant, MouthChoice, span};
use crate::terms::procedure::{Block, Treatment};
use crate::terms::surgery::{Agreed, Complication, HomeCare, HomeUnit, Remedy, SampleKind, Way};
use crate::terms::{
    Area, Decision, Entrance, Jaw, Kind, MouthSide, Reason, Root, Sex, Site, Species, ToothNumber,
    Value, anaesthetic,
};

/// Months after which a tooth is looked at again: a choice of those that can be said.
const MONTHS: [u8; 9] = [1, 2, 3, 4, 6, 9, 12, 18, 24];
/// Larger sizes of a mass go in steps, as when they are said.
const SIZES_MM: [u8; 7] = [25, 30, 40, 50, 75, 100, 150];
/// Volumes of a block with one touch; others by figures. Common practice, no source: 0.1 to 2 ml.
const VOLUMES_ML_HUNDREDTHS: [u16; 16] = [
    10, 15, 20, 25, 30, 40, 50, 60, 70, 80, 90, 100, 120, 150, 180, 200,
];

/// As many as are said of home, results and second visits.
const DAYS: [u16; 9] = [1, 2, 3, 5, 7, 10, 14, 21, 42];

#[derive(Serialize)]
pub(super) struct WordsOut {
    width: f64,
    height: f64,
    dog: AnimalOut,
    cat: AnimalOut,
    kinds: Vec<KindOut>,
    /// The six places of a reading, in the order from the front, first outside.
    sites: Vec<SiteOut>,
    entrances: Vec<EntranceOut>,
    roots: Vec<Choice>,
    areas: Vec<Choice>,
    sides: Vec<Choice>,
    decisions: Vec<Choice>,
    months: Vec<u8>,
    reasons: Vec<Choice>,
    treatments: Vec<Choice>,
    /// Done to a tooth.
    works: Vec<WorkOut>,
    /// Begun and ended, for the whole animal.
    times: Vec<Choice>,
    /// Done to the whole mouth.
    mouth_works: Vec<Choice>,
    blocks: Vec<Choice>,
    drugs: Vec<Choice>,
    volumes_ml_hundredths: Vec<u16>,
    volume_ml_hundredths_max: u16,
    medicines: Vec<Choice>,
    sexes: Vec<Choice>,
    complications: Vec<Choice>,
    remedies: Vec<Choice>,
    ways: Vec<Choice>,
    agreed: Vec<Choice>,
    sample_kinds: Vec<Choice>,
    home_cares: Vec<Choice>,
    home_units: Vec<Choice>,
    /// Decided for the mouth or a part of it.
    mouth_choices: Vec<Choice>,
    /// Days with one touch, in words.
    days: Vec<Choice>,
    /// Kinds of flap; what has a batch and stays in the wound.
    flaps: Vec<Choice>,
    implants: Vec<Choice>,
    /// Classes of teeth, as they are said of groups, and what is decided for a group.
    classes: Vec<Choice>,
    group_decisions: Vec<Choice>,
    watch: WatchWords,
}

#[derive(Serialize)]
struct AnimalOut {
    shapes: Vec<ToothShape>,
}

#[derive(Serialize)]
struct KindOut {
    kind: Kind,
    title: &'static str,
    abbreviation: Option<&'static str>,
    /// tooth, site, entrance, root or mouth.
    reach: &'static str,
    /// Also of a part of the mouth.
    has_areas: bool,
    /// Only a film shows it.
    is_of_films: bool,
    /// Tells how a lump or sore looks.
    is_of_lesions: bool,
    choices: Vec<ChoiceOf>,
}

/// A value that can be touched.
#[derive(Serialize)]
struct ChoiceOf {
    value: Value,
    words: String,
}

/// What is sent back where it is touched, and what stands on it.
#[derive(Serialize)]
pub(super) struct Choice {
    pub key: serde_json::Value,
    pub words: String,
}

/// Named as the voice says them.
#[derive(Serialize)]
struct SiteOut {
    key: Site,
    /// "mesio buccal", "mid palatal" ...
    upper: String,
    lower: String,
    /// "mesio", "mid", "disto": beside the name of the side.
    short: String,
    side_upper: &'static str,
    side_lower: &'static str,
}

#[derive(Serialize)]
struct EntranceOut {
    key: Entrance,
    upper: &'static str,
    lower: &'static str,
}

#[derive(Serialize)]
struct WorkOut {
    #[serde(flatten)]
    choice: Choice,
    /// flaps, reasons or treatments: the list from which one more choice is made.
    then: Option<&'static str>,
}

pub(super) fn words(shelf: &Shelf) -> WordsOut {
    WordsOut {
        width: mouth::WIDTH,
        height: mouth::HEIGHT,
        dog: AnimalOut {
            shapes: mouth::mouth(Species::Dog),
        },
        cat: AnimalOut {
            shapes: mouth::mouth(Species::Cat),
        },
        kinds: Kind::ALL.into_iter().map(kind).collect(),
        sites: sites(),
        roots: Root::ALL
            .into_iter()
            .map(|root| Choice {
                key: crate::terms::key(&root).into(),
                words: root.word().to_owned(),
            })
            .collect(),
        entrances: [
            Entrance::Buccal,
            Entrance::Lingual,
            Entrance::Mesial,
            Entrance::Distal,
        ]
        .into_iter()
        .map(|key| EntranceOut {
            key,
            upper: wording::entrance(key, Jaw::Upper),
            lower: wording::entrance(key, Jaw::Lower),
        })
        .collect(),
        areas: choices(Area::ALL, |area| read_back::area_words(*area, None)),
        sides: choices([MouthSide::Right, MouthSide::Left], |side| {
            wording::mouth_side(*side).to_owned()
        }),
        decisions: [
            Decision::Extract,
            Decision::Monitor { months: None },
            Decision::Leave,
            Decision::Treat(Treatment::Unspecified),
        ]
        .iter()
        .map(|decision| Choice {
            key: super::state::decision_key(decision).into(),
            words: read_back::decision_words(decision),
        })
        .collect(),
        months: MONTHS.to_vec(),
        reasons: choices(Reason::ALL, |reason| {
            read_back::reason_words(*reason).to_owned()
        }),
        treatments: choices(Treatment::ALL, |treatment| {
            read_back::treatment_words(*treatment).to_owned()
        }),
        works: works(),
        times: marks([
            MarkIn::AnaesthesiaStarted,
            MarkIn::AnaesthesiaEnded,
            MarkIn::ProcedureStarted,
            MarkIn::ProcedureEnded,
            MarkIn::ThroatPackIn,
            MarkIn::ThroatPackOut,
            MarkIn::GagIn,
            MarkIn::GagOut,
        ]),
        mouth_works: marks([
            MarkIn::FilmsWanted,
            MarkIn::FilmsTaken,
            MarkIn::FilmsRead,
            MarkIn::Scaled,
            MarkIn::Polished,
        ]),
        blocks: choices(Block::ALL, |block| wording::block(*block).to_owned()),
        drugs: choices(anaesthetic::DRUGS, |drug| drug.word().to_owned()),
        volumes_ml_hundredths: VOLUMES_ML_HUNDREDTHS.to_vec(),
        volume_ml_hundredths_max: VOLUME_ML_HUNDREDTHS_MAX,
        medicines: medicines(),
        sexes: choices(
            [
                Sex::Female,
                Sex::FemaleNeutered,
                Sex::Male,
                Sex::MaleNeutered,
            ],
            |sex| wording::sex(*sex).to_owned(),
        ),
        complications: choices(Complication::ALL, |one| one.word().to_owned()),
        remedies: choices(Remedy::ALL, |one| one.word().to_owned()),
        ways: choices(Way::ALL, |one| one.word().to_owned()),
        agreed: choices(Agreed::ALL, |one| one.word().to_owned()),
        sample_kinds: choices(SampleKind::ALL, |one| one.word().to_owned()),
        home_cares: choices(HomeCare::ALL, |one| one.word().to_owned()),
        home_units: choices(HomeUnit::ALL, |one| one.word().to_owned()),
        mouth_choices: choices(
            [
                MouthChoice::Sample,
                MouthChoice::Remove,
                MouthChoice::Medicine,
                MouthChoice::Refer,
                MouthChoice::Leave,
                MouthChoice::Monitor { days: 7 },
                MouthChoice::Monitor { days: 14 },
                MouthChoice::Monitor { days: 42 },
                MouthChoice::Monitor { days: 90 },
            ],
            |choice| choice.text(),
        ),
        days: choices(DAYS, |days| span(*days)),
        flaps: choices(FlapKind::ALL, |kind| kind.word().to_owned()),
        implants: choices(Implant::ALL, |what| what.word().to_owned()),
        classes: classes(),
        group_decisions: [
            Decision::Extract,
            Decision::Leave,
            Decision::Monitor { months: None },
            Decision::Treat(Treatment::Refer),
        ]
        .iter()
        .map(|decision| Choice {
            key: match decision {
                Decision::Treat(treatment) => {
                    json!({ "decision": "treat", "treatment": treatment })
                }
                decision => json!({ "decision": super::state::decision_key(decision) }),
            },
            words: read_back::decision_words(decision),
        })
        .collect(),
        watch: watch_words::words(shelf),
    }
}

fn sites() -> Vec<SiteOut> {
    let (Ok(upper), Ok(lower)) = (ToothNumber::new(104), ToothNumber::new(404)) else {
        return Vec::new();
    };
    Site::ALL
        .into_iter()
        .map(|key| {
            let words = read_back::site_words(upper, key);
            SiteOut {
                key,
                short: words.split(' ').next().unwrap_or_default().to_owned(),
                upper: words,
                lower: read_back::site_words(lower, key),
                side_upper: read_back::side_word(upper, key.side()),
                side_lower: read_back::side_word(lower, key.side()),
            }
        })
        .collect()
}

pub(super) fn choices<T: Serialize>(
    all: impl IntoIterator<Item = T>,
    words: impl Fn(&T) -> String,
) -> Vec<Choice> {
    all.into_iter()
        .map(|one| Choice {
            key: serde_json::to_value(&one).unwrap_or_default(),
            words: words(&one),
        })
        .collect()
}

fn marks(all: impl IntoIterator<Item = MarkIn>) -> Vec<Choice> {
    choices(all, |mark| {
        mark.clone()
            .procedure()
            .map(|procedure| read_back::procedure_words(&procedure))
            .unwrap_or_default()
    })
}

fn works() -> Vec<WorkOut> {
    let Ok(any) = ToothNumber::new(101) else {
        return Vec::new();
    };
    let plain = [
        WorkKey::FilmWanted,
        WorkKey::FilmTaken,
        WorkKey::ExtractedClosed,
        WorkKey::ExtractedSectioned,
        WorkKey::ExtractedSurgical,
        WorkKey::RootsComplete,
        WorkKey::CrownRemoved,
        WorkKey::GumSurgery,
        WorkKey::Sutured,
    ];
    let mut works: Vec<WorkOut> = choices(plain, |work| {
        read_back::procedure_words(&work.work().of(any))
    })
    .into_iter()
    .map(|choice| WorkOut { choice, then: None })
    .collect();
    for (key, words, then) in [
        ("flap", "flap raised", "flaps"),
        ("root_left", "root left", "reasons"),
        ("treated", "treated", "treatments"),
    ] {
        works.push(WorkOut {
            choice: Choice {
                key: key.into(),
                words: words.to_owned(),
            },
            then: Some(then),
        });
    }
    works
}

/// Classes of teeth as the voice names them.
fn classes() -> Vec<Choice> {
    let Ok(grammar) = Grammar::built_in() else {
        return Vec::new();
    };
    let list = grammar.book().lists.get("group_class");
    list.into_iter()
        .flatten()
        .map(|(ways, key)| Choice {
            key: key.as_str().into(),
            words: first_way(ways),
        })
        .collect()
}

/// The first of the ways of saying it, without what may be left out.
fn first_way(ways: &Node) -> String {
    match ways {
        Node::Word(word) => word.clone(),
        Node::Row(parts) => {
            let words: Vec<String> = parts.iter().map(first_way).collect();
            words.join(" ").trim().to_owned()
        }
        Node::Choice(choices) => choices.first().map(first_way).unwrap_or_default(),
        Node::Optional(_) | Node::List { .. } | Node::Rule { .. } | Node::Repeat { .. } => {
            String::new()
        }
    }
}

/// The medicines that can be said.
fn medicines() -> Vec<Choice> {
    let Ok(grammar) = Grammar::built_in() else {
        return Vec::new();
    };
    let list = grammar.book().lists.get("medicine");
    list.into_iter()
        .flatten()
        .map(|(_, name)| Choice {
            key: name.as_str().into(),
            words: name.clone(),
        })
        .collect()
}

fn kind(kind: Kind) -> KindOut {
    let spec = kind.spec();
    let choice = |value: Value, words: String| ChoiceOf { value, words };
    let mm = |mm: u8| choice(Value::Mm(mm), mm.to_string());
    let choices = match spec.form {
        Form::Present => vec![choice(Value::Present, "yes".into())],
        Form::Mm(max) => (0..=max).map(mm).collect(),
        Form::Size(max) => std::iter::once(choice(Value::Present, "no size".into()))
            .chain(
                (1..=20)
                    .chain(SIZES_MM)
                    .filter(|size_mm| *size_mm <= max)
                    .map(mm),
            )
            .collect(),
        Form::Percent => (0..=100)
            .step_by(10)
            .map(|percent| choice(Value::Percent(percent), format!("{percent} %")))
            .collect(),
        Form::Grade(min, max) => (min..=max)
            .map(|grade| choice(Value::Grade(grade), grade_words(kind, grade)))
            .collect(),
        Form::Code(codes) => codes
            .iter()
            .map(|code| {
                let words = read_back::code_words(code);
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
            Reach::RootOrTooth => "root",
            Reach::Mouth => "mouth",
        },
        has_areas: spec.reach == Reach::AreaOrTooth,
        is_of_films: Kind::OF_FILMS.contains(&kind),
        is_of_lesions: Kind::OF_LESIONS.contains(&kind),
        choices,
    }
}

fn grade_words(kind: Kind, grade: u8) -> String {
    match (kind, grade) {
        (Kind::Occlusion, 0) => "normal".to_owned(),
        (_, grade) => grade.to_string(),
    }
}
