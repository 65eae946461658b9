//! The rules as data: reads the files in `data/` that are built into the program. Every row carries its source.
//! Holds no rule itself; what a row means is worked out by the module that asks for it.
//!
//! Invariant: every source key of every row is explained in `sources.toml`, and no two rows share a key.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

use super::condition::Condition;
use crate::terms::{Jaw, Kind, Species, procedure::Block};

/// A statement with where it comes from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Cited {
    /// Key of the rule.
    pub rule: String,
    pub text: String,
    /// Keys of `sources.toml`.
    pub sources: Vec<String>,
    /// Said wherever the statement is shown; none where a publication stands behind it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub caution: Option<String>,
}

impl Cited {
    pub fn new(rule: &str, text: impl Into<String>, sources: &[String]) -> Self {
        Self {
            rule: rule.to_owned(),
            text: text.into(),
            sources: sources.to_vec(),
            caution: caution(sources),
        }
    }
}

/// "from memory, check" or "common practice, no source", where no publication carries the rule alone.
pub fn caution(sources: &[String]) -> Option<String> {
    if sources.iter().any(|s| s == "MEM") {
        Some("from memory, check".into())
    } else if sources.iter().any(|s| s == "PRACTICE") {
        Some("common practice, no source".into())
    } else {
        None
    }
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Figure {
    pub key: String,
    pub value: u32,
    /// Lower end, where the figure is a range.
    pub from: Option<u32>,
    pub unit: String,
    pub says: String,
    pub sources: Vec<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GuidanceRule {
    pub key: String,
    pub text: String,
    pub when: Condition,
    pub suggests: Vec<String>,
    pub conflicts_with: Vec<String>,
    /// 1 to 3.
    pub importance: u8,
    #[serde(default)]
    pub is_infected: bool,
    pub sources: Vec<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MouthRule {
    pub key: String,
    pub species: Option<Species>,
    pub any_of: Vec<Kind>,
    pub text: String,
    pub sources: Vec<String>,
}

/// A rule whose arithmetic is in the code; the text says what it does.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlainRule {
    pub key: String,
    pub text: String,
    pub sources: Vec<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FilmReason {
    pub key: String,
    pub text: String,
    pub when: Condition,
    pub sources: Vec<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Sides {
    Both,
    Each,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct View {
    pub key: String,
    pub title: String,
    pub jaw: Jaw,
    pub sides: Sides,
    pub positions: Vec<u8>,
    pub sources: Vec<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FilmSize {
    pub recorder: super::settings::Recorder,
    pub species: Species,
    pub weight_kg_max: Option<f64>,
    pub text: String,
    pub sources: Vec<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Certainty {
    Covers,
    Disputed,
    Unreliable,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BlockRule {
    pub key: String,
    pub block: Block,
    pub species: Option<Species>,
    pub jaw: Jaw,
    pub positions: Vec<u8>,
    pub certainty: Certainty,
    pub text: String,
    pub sources: Vec<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum RootSize {
    /// Front teeth of cats.
    Tiny,
    Small,
    Medium,
    Large,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RootSizeRule {
    pub key: String,
    /// Told beside what is chosen by it.
    pub why: String,
    pub species: Species,
    #[serde(default)]
    pub positions: Vec<u8>,
    pub weight_kg_min: Option<f64>,
    pub weight_kg_max: Option<f64>,
    #[serde(default)]
    pub is_deciduous: bool,
    pub size: RootSize,
    pub sources: Vec<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Item {
    pub key: String,
    pub title: String,
    #[serde(rename = "for")]
    pub purposes: Vec<String>,
    pub species: Option<Species>,
    pub weight_kg_min: Option<f64>,
    pub weight_kg_max: Option<f64>,
    pub root_size: Option<RootSize>,
    /// For teeth of these places alone.
    #[serde(default)]
    pub positions: Vec<u8>,
    /// When it is asked for.
    pub step: u8,
    /// At hand, not needed.
    #[serde(default)]
    pub in_case: bool,
    /// Key of what is done with it after use.
    pub care: Option<String>,
    pub sources: Vec<String>,
}

/// What is done with instruments after use.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Care {
    pub key: String,
    pub text: String,
    pub sources: Vec<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum CheckPhase {
    Before,
    During,
    After,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Evidence {
    Spoken,
    Weight,
    ThroatPackIn,
    ThroatPackOut,
    Temperature,
    Gag,
    GagOut,
    AllTeethCharted,
    AllConfirmed,
    ByEar,
    FilmsTaken,
    FilmsRead,
    Anaesthetic,
    RootsComplete,
    Swabs,
    OwnerTold,
    Samples,
    SamplesDecided,
    ImplantBatch,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CheckPoint {
    pub key: String,
    pub phase: CheckPhase,
    pub species: Option<Species>,
    pub text: String,
    pub evidence: Evidence,
    #[serde(default)]
    pub blocks_waking: bool,
    pub sources: Vec<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HomeLine {
    pub key: String,
    #[serde(rename = "for")]
    pub purpose: String,
    pub text: String,
    pub sources: Vec<String>,
}

/// What follows from a complication.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Aftermath {
    pub key: String,
    /// Key of the complication, or "root_left".
    pub what: String,
    /// What is looked at again; none where another rule brings it.
    pub text: String,
    /// For the owner, in plain words.
    pub owner: String,
    /// Days after the visit.
    pub from_days: Option<u32>,
    pub days: Option<u32>,
    pub sources: Vec<String>,
}

#[derive(Debug, Deserialize)]
struct Figures {
    figure: Vec<Figure>,
}

#[derive(Debug, Deserialize)]
struct Guidance {
    rule: Vec<GuidanceRule>,
    mouth_rule: Vec<MouthRule>,
}

#[derive(Debug, Deserialize)]
struct Films {
    rule: Vec<PlainRule>,
    reason: Vec<FilmReason>,
    view: Vec<View>,
    size: Vec<FilmSize>,
}

#[derive(Debug, Deserialize)]
struct Blocks {
    block: Vec<BlockRule>,
    rule: Vec<PlainRule>,
}

#[derive(Debug, Deserialize)]
struct Instruments {
    root_size: Vec<RootSizeRule>,
    item: Vec<Item>,
    care: Vec<Care>,
}

#[derive(Debug, Deserialize)]
struct Checks {
    point: Vec<CheckPoint>,
}

#[derive(Debug, Deserialize)]
struct Aftercare {
    line: Vec<HomeLine>,
    complication: Vec<Aftermath>,
}

#[derive(Debug, Deserialize)]
struct Arithmetic {
    rule: Vec<PlainRule>,
}

/// All rules.
#[derive(Debug)]
pub struct Rules {
    pub sources: BTreeMap<String, String>,
    pub figures: Vec<Figure>,
    pub guidance: Vec<GuidanceRule>,
    pub mouth: Vec<MouthRule>,
    /// Rules whose arithmetic is in the code.
    pub plain: Vec<PlainRule>,
    pub film_reasons: Vec<FilmReason>,
    pub views: Vec<View>,
    pub film_sizes: Vec<FilmSize>,
    pub blocks: Vec<BlockRule>,
    pub root_sizes: Vec<RootSizeRule>,
    pub items: Vec<Item>,
    pub care: Vec<Care>,
    pub checks: Vec<CheckPoint>,
    pub home_lines: Vec<HomeLine>,
    pub complications: Vec<Aftermath>,
}

fn read<T: serde::de::DeserializeOwned>(name: &str, text: &str) -> T {
    match toml::from_str(text) {
        Ok(value) => value,
        // The text is part of the program and read by every test run, so no user can meet this.
        Err(why) => panic!("built-in rules in {name} cannot be read: {why}"),
    }
}

static RULES: LazyLock<Rules> = LazyLock::new(|| {
    let guidance: Guidance = read("guidance.toml", include_str!("data/guidance.toml"));
    let films: Films = read("films.toml", include_str!("data/films.toml"));
    let blocks: Blocks = read("blocks.toml", include_str!("data/blocks.toml"));
    let instruments: Instruments = read("instruments.toml", include_str!("data/instruments.toml"));
    let figures: Figures = read("figures.toml", include_str!("data/figures.toml"));
    let checks: Checks = read("checks.toml", include_str!("data/checks.toml"));
    let aftercare: Aftercare = read("aftercare.toml", include_str!("data/aftercare.toml"));
    let arithmetic: Arithmetic = read("arithmetic.toml", include_str!("data/arithmetic.toml"));
    let mut plain = arithmetic.rule;
    plain.extend(films.rule);
    plain.extend(blocks.rule);
    Rules {
        sources: read("sources.toml", include_str!("data/sources.toml")),
        figures: figures.figure,
        guidance: guidance.rule,
        mouth: guidance.mouth_rule,
        plain,
        film_reasons: films.reason,
        views: films.view,
        film_sizes: films.size,
        blocks: blocks.block,
        root_sizes: instruments.root_size,
        items: instruments.item,
        care: instruments.care,
        checks: checks.point,
        home_lines: aftercare.line,
        complications: aftercare.complication,
    }
});

pub fn rules() -> &'static Rules {
    &RULES
}

impl Rules {
    /// A number by its key. The keys are written in the code and checked by a test, so a missing one is a bug.
    pub fn figure(&self, key: &str) -> &Figure {
        self.figures
            .iter()
            .find(|figure| figure.key == key)
            .expect("every key asked for is in figures.toml")
    }

    /// A rule of the code, as a statement.
    pub fn cite(&self, key: &str) -> Cited {
        if let Some(rule) = self.plain.iter().find(|rule| rule.key == key) {
            return Cited::new(key, rule.text.clone(), &rule.sources);
        }
        let figure = self.figure(key);
        Cited::new(key, figure.says.clone(), &figure.sources)
    }

    /// A rule of the code with words of its own.
    pub fn cite_as(&self, key: &str, text: impl Into<String>) -> Cited {
        Cited {
            text: text.into(),
            ..self.cite(key)
        }
    }

    /// Key, what it says and sources of every rule, for the printed table.
    pub fn table(&self) -> Vec<(&str, &str, &[String])> {
        let mut rows: Vec<(&str, &str, &[String])> = Vec::new();
        rows.extend(
            self.figures
                .iter()
                .map(|r| (&*r.key, &*r.says, &*r.sources)),
        );
        rows.extend(self.plain.iter().map(|r| (&*r.key, &*r.text, &*r.sources)));
        rows.extend(
            self.guidance
                .iter()
                .map(|r| (&*r.key, &*r.text, &*r.sources)),
        );
        rows.extend(self.mouth.iter().map(|r| (&*r.key, &*r.text, &*r.sources)));
        rows.extend(
            self.film_reasons
                .iter()
                .map(|r| (&*r.key, &*r.text, &*r.sources)),
        );
        rows.extend(self.views.iter().map(|r| (&*r.key, &*r.title, &*r.sources)));
        rows.extend(
            self.film_sizes
                .iter()
                .map(|r| ("film_size", &*r.text, &*r.sources)),
        );
        rows.extend(self.blocks.iter().map(|r| (&*r.key, &*r.text, &*r.sources)));
        rows.extend(
            self.root_sizes
                .iter()
                .map(|r| (&*r.key, &*r.why, &*r.sources)),
        );
        rows.extend(self.items.iter().map(|r| (&*r.key, &*r.title, &*r.sources)));
        rows.extend(self.care.iter().map(|r| (&*r.key, &*r.text, &*r.sources)));
        rows.extend(self.checks.iter().map(|r| (&*r.key, &*r.text, &*r.sources)));
        rows.extend(
            self.home_lines
                .iter()
                .map(|r| (&*r.key, &*r.text, &*r.sources)),
        );
        rows.extend(
            self.complications
                .iter()
                .map(|r| (&*r.key, &*r.text, &*r.sources)),
        );
        rows
    }
}
