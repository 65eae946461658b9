//! The project's own record as JSON: types, reading and writing. What is in them is put in by `project`.
//!
//! Invariant: `journal` holds the exact text of the hashed rows; all else is made from it and can be made again.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::ExportError;
use super::anaesthetic::Anaesthetic;
use super::project;
use crate::record::row::{StoredRow, entries_of_rows};
use crate::record::{Entry, Record};

pub const FORMAT: &str = "sulcus-record";
/// Raised when a field is taken away or gets another sense. New fields do not raise it.
pub const VERSION: u32 = 3;

/// The oldest version that is still read. Version 1 knew no anaesthetic; version 2 no films, roots and per cents.
pub const VERSION_READ_MIN: u32 = 1;

/// One visit: patient, chart as it stands, and the whole history behind it. Times are RFC 3339 with zone.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Document {
    #[schemars(extend("const" = "sulcus-record"))]
    pub format: String,
    #[schemars(extend("const" = 3))]
    pub version: u32,
    /// True for demonstration data.
    pub invented: bool,
    pub visit: Visit,
    pub patient: Patient,
    /// Every tooth of the species' permanent set and every other tooth spoken of, in number order.
    pub teeth: Vec<Tooth>,
    /// Findings of the mouth away from single teeth.
    pub mouth: Vec<Finding>,
    pub decisions: Vec<Decision>,
    /// Decisions for the mouth or parts of it; left out where there is none. Since version 3.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub mouth_decisions: Vec<MouthDecision>,
    pub procedures: Vec<Procedure>,
    /// Vital signs, drugs and course; since version 2.
    #[serde(default)]
    pub anaesthetic: Anaesthetic,
    pub notes: Vec<Note>,
    /// Questions that the program asked before it entered something.
    pub challenges: Vec<Challenge>,
    /// Numbers of current entries that nobody confirmed.
    pub unconfirmed: Vec<u64>,
    pub addenda: Vec<Remark>,
    pub reopenings: Vec<Remark>,
    /// Entries of this visit that had been saved and that the disk lost. Left out where nothing was.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub losses: Vec<Loss>,
    /// The clinic's signatures under heads of the journal below. Left out where there is none.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub signatures: Vec<Signature>,
    /// Every entry in words, corrections and withdrawals included.
    pub history: Vec<HistoryLine>,
    /// Every entry as stored and hashed: SHA-256 over the fields, each after its length in eight bytes
    /// (little-endian), in the order: hash before, visit, number, at, monotonic_ms, heard, supersedes, event.
    pub journal: Vec<Row>,
}

/// Saved entries that the disk lost.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Loss {
    /// Number of the entry that tells it; null where it was found just now and no entry tells it yet.
    pub entry: Option<u64>,
    /// Number of the first lost entry. Numbers from here on may have been given anew since.
    pub first: u64,
    /// Number of the last lost entry.
    pub last: u64,
    /// When the entry before the first lost one was saved.
    #[schemars(extend("format" = "date-time"))]
    pub from: Option<String>,
    /// When the last lost entry had been saved, where that is known.
    #[schemars(extend("format" = "date-time"))]
    pub until: Option<String>,
    #[schemars(extend("format" = "date-time"))]
    pub found_at: String,
}

impl From<&crate::record::Loss> for Loss {
    fn from(loss: &crate::record::Loss) -> Self {
        Self {
            entry: Some(loss.number).filter(|number| *number > 0),
            first: loss.first,
            last: loss.last,
            from: loss.from.map(|at| at.to_string()),
            until: loss.until.map(|at| at.to_string()),
            found_at: loss.found_at.to_string(),
        }
    }
}

/// A signature (Ed25519) of the clinic under the head of the journal as it stood then. Signed are the bytes of six
/// lines, each ended by a line feed: "sulcus seal 1", the visit's id, number, hash, at, occasion.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Signature {
    /// Number of the entry that was the newest then.
    pub number: u64,
    /// Its hash, which covers all before it.
    #[schemars(regex(pattern = r"^[0-9a-f]{64}$"))]
    pub hash: String,
    #[schemars(extend("format" = "date-time"))]
    pub at: String,
    /// "finish", "addendum", "signature", "found", "import", "backup", "salvage".
    pub occasion: String,
    /// Public key.
    #[schemars(regex(pattern = r"^[0-9a-f]{64}$"))]
    pub key: String,
    #[schemars(regex(pattern = r"^[0-9a-f]{128}$"))]
    pub signature: String,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Visit {
    #[schemars(extend("format" = "uuid"))]
    pub id: String,
    #[schemars(extend("format" = "date-time"))]
    pub opened_at: String,
    #[schemars(extend("format" = "date-time"))]
    pub finished_at: Option<String>,
    pub state: VisitState,
    pub vet: Option<String>,
    pub nurse: Option<String>,
    /// Vets who signed by name and PIN, oldest first; left out where nobody did. Since version 3.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub signed_by: Vec<SignedBy>,
    pub entry_count: u64,
    /// Hash of the newest entry; covers all before it.
    #[schemars(regex(pattern = r"^[0-9a-f]{64}$"))]
    pub journal_hash: String,
}

/// A vet's word that the visit is as it stood then.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct SignedBy {
    pub entry: u64,
    #[schemars(extend("format" = "date-time"))]
    pub at: String,
    pub name: String,
    /// Number of the newest entry that was signed.
    pub up_to: u64,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum VisitState {
    Open,
    Finished,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Patient {
    /// The clinic's own number.
    pub id: Option<String>,
    /// The number of the transponder: 15 digits by ISO 11784, or 9 or 10 characters of an older one; left out where not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub microchip: Option<String>,
    pub name: String,
    #[schemars(extend("enum" = ["dog", "cat"]))]
    pub species: String,
    pub breed: Option<String>,
    #[schemars(extend("enum" = ["female", "female_neutered", "male", "male_neutered", "unknown", null]))]
    pub sex: Option<String>,
    /// Year, year-month or full date, as far as known.
    pub born: Option<String>,
    pub weight_g: Option<u32>,
    /// Test for feline leukaemia virus; left out where not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub is_felv_positive: Option<bool>,
    /// Test for feline immunodeficiency virus; left out where not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub is_fiv_positive: Option<bool>,
    pub owner: Option<String>,
}

/// What is known of one tooth.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Tooth {
    /// Modified Triadan number.
    #[schemars(range(min = 101, max = 811))]
    pub number: u16,
    pub name: String,
    pub state: ToothState,
    /// The six sites, cheek side from the front backwards, then tongue side; null where not read.
    pub sites: Vec<SiteReading>,
    pub findings: Vec<Finding>,
    /// Number of the entry that holds the decision, if one was taken.
    pub decision: Option<u64>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum ToothState {
    /// Nothing was said of it. Never to be read as normal.
    NotExamined,
    Examined,
    Absent,
    Unerupted,
    /// Taken out in this visit.
    Extracted,
    /// Taken out in this visit, and a root, or a piece of one, was left; since version 3.
    RootLeft,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SiteReading {
    #[schemars(extend("enum" = ["mesio_buccal", "buccal", "disto_buccal", "mesio_lingual", "lingual", "disto_lingual"]))]
    pub site: String,
    pub depth_mm: Option<u8>,
    pub recession_mm: Option<u8>,
    pub enlargement_mm: Option<u8>,
    /// True where bleeding was charted; null where nothing was said of it, which is not the same as none.
    pub bleeding: Option<bool>,
    /// False where a value of this site is not confirmed; null where the site has no value.
    pub confirmed: Option<bool>,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Finding {
    pub entry: u64,
    #[schemars(schema_with = "kinds")]
    pub kind: String,
    /// Site, entrance to the fork, root or part of the mouth; null for the whole.
    pub place: Option<String>,
    pub mm: Option<u8>,
    pub grade: Option<u8>,
    pub code: Option<String>,
    /// Since version 3; left out where the kind has none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub percent: Option<u8>,
    pub text: String,
    #[serde(flatten)]
    pub standing: Standing,
}

/// How an entry came to be, and how sure it is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Standing {
    #[schemars(extend("format" = "date-time"))]
    pub at: String,
    pub standing: StandingWord,
    pub heard: Option<Heard>,
    pub confirmation: Option<Confirmation>,
    /// Numbers of the entries that this one replaced.
    pub supersedes: Vec<u64>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum StandingWord {
    /// Saved, not read back.
    Heard,
    /// Read back and not contradicted. Silence is no confirmation.
    ReadBack,
    Confirmed,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Confirmation {
    pub entry: u64,
    #[schemars(extend("format" = "date-time"))]
    pub at: String,
    pub heard: Option<Heard>,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Heard {
    pub words: String,
    /// Of the least sure word.
    #[schemars(range(min = 0.0, max = 1.0))]
    pub confidence: f32,
    pub engine: String,
    pub model: String,
    #[schemars(extend("enum" = ["vet", "nurse", "unknown"]))]
    pub speaker: String,
    #[schemars(extend("enum" = ["spoken", "pressed", "imported", "machine"]))]
    pub how: String,
    /// Whose voice it was like, by its pitch. A hint, not who spoke; null where nothing tells.
    #[schemars(extend("enum" = ["vet", "nurse", null]))]
    pub sounds_like: Option<String>,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Decision {
    pub entry: u64,
    pub tooth: u16,
    #[schemars(extend("enum" = ["extract", "monitor", "leave", "treat"]))]
    pub decision: String,
    pub recheck_months: Option<u8>,
    pub treatment: Option<String>,
    pub reason: Option<String>,
    pub text: String,
    #[serde(flatten)]
    pub standing: Standing,
}

/// For the mouth as a whole, or a part of it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct MouthDecision {
    pub entry: u64,
    /// Part of the mouth, with its side where it was said; null for the mouth as a whole.
    pub place: Option<String>,
    #[schemars(extend("enum" = ["sample", "remove", "medicine", "refer", "monitor", "leave"]))]
    pub decision: String,
    pub recheck_days: Option<u16>,
    pub reason: Option<String>,
    pub text: String,
    #[serde(flatten)]
    pub standing: Standing,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Procedure {
    pub entry: u64,
    pub kind: String,
    pub teeth: Vec<u16>,
    /// The procedure with all its figures.
    pub detail: serde_json::Value,
    pub text: String,
    #[serde(flatten)]
    pub standing: Standing,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Note {
    pub entry: u64,
    pub tooth: Option<u16>,
    /// As recognised; unverified.
    pub text: String,
    pub sound: Option<String>,
    #[serde(flatten)]
    pub standing: Standing,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Challenge {
    pub entry: u64,
    #[schemars(extend("format" = "date-time"))]
    pub at: String,
    pub rule: String,
    pub question: String,
    /// Null while it waits for an answer.
    pub accepted: Option<bool>,
    /// Left out while it waits for an answer.
    #[schemars(extend("format" = "date-time"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub answered_at: Option<String>,
    /// Keys of the published guidance that the question puts in words; left out where it names none.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub conflicts: Vec<String>,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Remark {
    #[schemars(extend("format" = "date-time"))]
    pub at: String,
    pub text: String,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct HistoryLine {
    pub entry: u64,
    #[schemars(extend("format" = "date-time"))]
    pub at: String,
    pub text: String,
    pub heard: Option<Heard>,
    pub supersedes: Vec<u64>,
    /// For values only: what became of it.
    pub outcome: Option<Outcome>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// It counts now.
    Current,
    /// A later entry of the same thing counts.
    Replaced,
    /// "undo"
    Undone,
    /// "no" after the read-back.
    Denied,
    /// "no", with another value.
    Corrected,
    /// The tooth's entries were struck out.
    Struck,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Row {
    pub number: u64,
    pub at: String,
    pub monotonic_ms: u64,
    /// JSON text.
    pub heard: Option<String>,
    /// JSON text.
    pub supersedes: String,
    /// JSON text.
    pub event: String,
    #[schemars(regex(pattern = r"^[0-9a-f]{64}$"))]
    pub hash: String,
}

impl From<&StoredRow> for Row {
    fn from(row: &StoredRow) -> Self {
        Self {
            number: row.number,
            at: row.at.clone(),
            monotonic_ms: row.monotonic_ms,
            heard: row.heard.clone(),
            supersedes: row.supersedes.clone(),
            event: row.event.clone(),
            hash: row.hash.clone(),
        }
    }
}

impl From<Row> for StoredRow {
    fn from(row: Row) -> Self {
        Self {
            number: row.number,
            at: row.at,
            monotonic_ms: row.monotonic_ms,
            heard: row.heard,
            supersedes: row.supersedes,
            event: row.event,
            hash: row.hash,
        }
    }
}

fn kinds(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
    let keys: Vec<String> = crate::terms::Kind::ALL
        .iter()
        .map(|kind| kind.key())
        .collect();
    schemars::json_schema!({ "type": "string", "enum": keys })
}

/// The document's JSON Schema (2020-12) as text.
pub fn schema() -> Result<String, ExportError> {
    let mut schema = schemars::schema_for!(Document);
    schema.insert("title".into(), "sulcus record".into());
    Ok(serde_json::to_string_pretty(&schema)? + "\n")
}

/// A visit, read back from a document and checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Imported {
    pub visit: uuid::Uuid,
    pub rows: Vec<StoredRow>,
    pub entries: Vec<Entry>,
    /// As they came: whoever takes the visit in checks them.
    pub signatures: Vec<Signature>,
}

/// The document of a visit's stored rows, as text.
pub fn write(visit: uuid::Uuid, rows: &[StoredRow]) -> Result<String, ExportError> {
    text(&document(visit, rows)?)
}

/// A document as text.
pub fn text(document: &Document) -> Result<String, ExportError> {
    Ok(serde_json::to_string_pretty(document)? + "\n")
}

pub fn document(visit: uuid::Uuid, rows: &[StoredRow]) -> Result<Document, ExportError> {
    let entries = entries_of_rows(visit, rows)?;
    let record = Record::fold(&entries).ok_or(ExportError::NoRecord(visit))?;
    Ok(project::document(&record, &entries, rows))
}

/// What is made from the journal, and must follow from it.
const PARTS: &[&str] = &[
    "invented",
    "visit",
    "patient",
    "teeth",
    "mouth",
    "decisions",
    "procedures",
    "anaesthetic",
    "notes",
    "challenges",
    "unconfirmed",
    "addenda",
    "reopenings",
    "history",
];

/// Fields in which another version of the program may word or detail the same fact otherwise. What they say stands
/// in other fields, or in the journal's own rows, which are taken in as they are.
const FREE: &[&str] = &["text", "detail"];

/// What earlier programs wrote at a site of which nothing was said, where null stands now.
const UNSAID_EARLIER: &[(&str, bool)] = &[("bleeding", false), ("confirmed", true)];

/// Whether two values say the same: fields that only one version of the program knows are passed over.
fn agrees(made: &serde_json::Value, given: &serde_json::Value) -> bool {
    use serde_json::Value::{Array, Object};
    match (made, given) {
        (Object(made), Object(given)) => {
            // A note's text is the fact itself: there it is no other wording of other fields.
            let is_note = given.contains_key("sound") || given.len() == 2;
            made.iter().all(|(field, made)| {
                let is_free = FREE.contains(&field.as_str()) && !is_note;
                let was_unsaid = |given: &serde_json::Value| {
                    made.is_null()
                        && UNSAID_EARLIER
                            .iter()
                            .any(|(name, value)| field == name && *given == *value)
                };
                is_free
                    || given
                        .get(field)
                        .is_none_or(|given| agrees(made, given) || was_unsaid(given))
            })
        }
        (Array(made), Array(given)) => {
            made.len() == given.len() && made.iter().zip(given).all(|(a, b)| agrees(a, b))
        }
        (made, given) => made == given,
    }
}

/// Reads a document. Refuses another format or version, a broken chain, and a chart that does not follow
/// from the journal inside.
pub fn read(text: &str) -> Result<Imported, ExportError> {
    let unreadable = |why: serde_json::Error| ExportError::Unreadable(why.to_string());
    // Some programs put a mark before the text that says nothing here.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    // First only what it calls itself: a large file that is none of ours is not taken apart.
    let named: Named = serde_json::from_str(text).map_err(unreadable)?;
    match named.format.as_ref().and_then(|format| format.as_str()) {
        Some(FORMAT) => {}
        Some(other) => {
            return Err(ExportError::Unreadable(format!(
                "its format is {other}, not {FORMAT}"
            )));
        }
        None => {
            return Err(ExportError::Unreadable(format!(
                "it does not say format: {FORMAT}"
            )));
        }
    }
    match named.version {
        Some(version)
            if version.as_u64().is_some_and(|version| {
                (u64::from(VERSION_READ_MIN)..=u64::from(VERSION)).contains(&version)
            }) => {}
        other => {
            return Err(ExportError::Version(
                other.map_or_else(|| "none".into(), |version| version.to_string()),
            ));
        }
    }
    let value: serde_json::Value = serde_json::from_str(text).map_err(unreadable)?;
    let given: Document = serde_json::from_value(value.clone())
        .map_err(|why| ExportError::Unreadable(why.to_string()))?;
    let visit = given
        .visit
        .id
        .parse()
        .map_err(|_| ExportError::Unreadable(format!("{} is no visit id", given.visit.id)))?;
    let rows: Vec<StoredRow> = given.journal.into_iter().map(Into::into).collect();
    let entries = entries_of_rows(visit, &rows)
        .map_err(|broken| ExportError::ChangedRow(broken.number, broken.why))?;
    // By way of text, as the given one came: a confidence is a short number there.
    let made = serde_json::to_string(&document(visit, &rows)?)?;
    let made: serde_json::Value = serde_json::from_str(&made)?;
    for part in PARTS {
        // What an older version did not know, it cannot contradict.
        if value.get(part).is_none() && *part == "anaesthetic" {
            continue;
        }
        if !agrees(&made[*part], &value[*part]) {
            return Err(ExportError::Altered(part));
        }
    }
    Ok(Imported {
        visit,
        rows,
        entries,
        signatures: given.signatures,
    })
}

/// What a document calls itself. The rest is passed over without being kept.
#[derive(Deserialize)]
struct Named {
    format: Option<serde_json::Value>,
    version: Option<serde_json::Value>,
}
