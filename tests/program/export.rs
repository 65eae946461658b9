//! What goes out can come in again, is what the schema says, and is the same each time.
//! `UPDATE_EXPECT=1` writes the expected files anew.

use crate::{invented, invented_surgery};

use std::path::{Path, PathBuf};
use std::process::Command;

use proptest::prelude::*;
use sulcus::export::{ExportError, fhir, json, project, tables};
use sulcus::record::event::{Retraction, Telling};
use sulcus::record::{Draft, Event, Journal, Record};
use sulcus::terms::{
    Decision, Finding, Kind, Patient, Place, Procedure, Species, Stage, Subject, Value, dentition,
    finding::Form,
};
use uuid::Uuid;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Compares with the file, or writes it anew when asked to.
fn expect_file(path: &Path, made: &str) {
    if std::env::var_os("UPDATE_EXPECT").is_some() {
        std::fs::write(path, made).expect("written");
    }
    let kept = std::fs::read_to_string(path).unwrap_or_default();
    assert!(
        kept == made,
        "{} is not what the program makes now; look at the change and run with UPDATE_EXPECT=1",
        path.display()
    );
}

const VISITS: [(&str, u128); 3] = [
    ("dog", invented::DOG),
    ("cat", invented::CAT),
    ("cat-later", invented::CAT_LATER),
];

#[test]
fn the_committed_schema_is_current() {
    let schema = json::schema().expect("a schema");
    assert!(schema.contains("https://json-schema.org/draft/2020-12/schema"));
    expect_file(&root().join("docs/record.schema.json"), &schema);
}

#[test]
fn invented_visits_are_written_as_before() {
    let folder = tempfile::tempdir().expect("a folder");
    let journal = invented::journal(folder.path());
    for (name, id) in VISITS {
        let visit = Uuid::from_u128(id);
        let text = json::write(visit, &journal.rows(visit).expect("rows")).expect("text");
        expect_file(
            &root().join(format!("tests/data/visits/{name}.json")),
            &text,
        );
    }
    let folder = tempfile::tempdir().expect("a folder");
    let mut journal = Journal::open(folder.path()).expect("opens");
    let visit = invented_surgery::old_dog(&mut journal);
    let text = json::write(visit, &journal.rows(visit).expect("rows")).expect("text");
    expect_file(&root().join("tests/data/visits/old-dog.json"), &text);
}

#[test]
fn an_import_is_the_same_visit_with_the_same_hashes() {
    let (from, to) = (
        tempfile::tempdir().expect("a folder"),
        tempfile::tempdir().expect("a folder"),
    );
    let source = invented::journal(from.path());
    let mut target = Journal::open(to.path()).expect("opens");
    let visit = Uuid::from_u128(invented::DOG);
    let text = json::write(visit, &source.rows(visit).expect("rows")).expect("text");
    let imported = json::read(&text).expect("reads");
    let entries = target.import(visit, &imported.rows, &[]).expect("taken in");
    assert_eq!(entries, source.entries(visit).expect("entries"));
    let again = json::write(visit, &target.rows(visit).expect("rows")).expect("text");
    assert_eq!(again, text);
    let twice = target
        .import(visit, &imported.rows, &[])
        .expect_err("twice")
        .to_string();
    assert!(twice.contains("in this journal already"), "{twice}");
}

#[test]
fn each_older_version_is_read_as_it_was() {
    let now = std::fs::read_to_string(root().join("tests/data/visits/cat.json")).expect("a file");
    let now = json::read(&now).expect("reads");
    let old = std::fs::read_to_string(root().join("tests/data/export/cat-version-2.json"))
        .expect("a file");
    assert!(old.contains("\"version\": 2"));
    let old = json::read(&old).expect("version 2 reads");
    assert_eq!(old.rows, now.rows);
    assert_eq!(old.entries, now.entries);
}

/// Each breaks one thing of a good document and names what the refusal must say.
#[test]
fn broken_documents_are_refused() {
    let good = std::fs::read_to_string(root().join("tests/data/visits/cat.json")).expect("a file");
    json::read(&good).expect("the good one is read");
    type Case<'a> = (&'a str, fn(&mut serde_json::Value), &'a str);
    let cases: [Case<'_>; 8] = [
        ("newer", |d| d["version"] = 4.into(), "has version 4"),
        (
            "version as text",
            |d| d["version"] = "1".into(),
            "has version \"1\"",
        ),
        (
            "other format",
            |d| d["format"] = "x".into(),
            "its format is x",
        ),
        (
            "a depth changed in the chart",
            |d| d["teeth"][0]["sites"][0]["depth_mm"] = 9.into(),
            "\"teeth\" does not follow",
        ),
        (
            "owner changed",
            |d| d["patient"]["owner"] = "Somebody".into(),
            "\"patient\" does not follow",
        ),
        (
            "unconfirmed hidden",
            |d| d["unconfirmed"] = serde_json::json!([]),
            "\"unconfirmed\" does not follow",
        ),
        (
            "a row changed",
            |d| {
                let text = d["journal"][3]["event"].as_str().expect("text").to_owned();
                d["journal"][3]["event"] = text.replace('1', "2").into();
            },
            "its hash does not fit",
        ),
        (
            "a row taken out",
            |d| {
                d["journal"].as_array_mut().expect("rows").remove(4);
            },
            "an entry is missing",
        ),
    ];
    for (name, change, says) in cases {
        let mut document: serde_json::Value = serde_json::from_str(&good).expect("json");
        change(&mut document);
        let error = json::read(&document.to_string())
            .expect_err(name)
            .to_string();
        assert!(error.contains(says), "{name}: {error}");
    }
    assert!(matches!(json::read("{"), Err(ExportError::Unreadable(_))));
    assert!(matches!(json::read("{}"), Err(ExportError::Unreadable(_))));
}

/// A later version may word a fact otherwise and know more fields: its files are still taken in.
#[test]
fn other_words_and_new_fields_are_no_change() {
    let good = std::fs::read_to_string(root().join("tests/data/visits/dog.json")).expect("a file");
    let mut document: serde_json::Value = serde_json::from_str(&good).expect("json");
    document["procedures"][0]["text"] = "said otherwise".into();
    document["procedures"][0]["new_field"] = 1.into();
    document["teeth"][0]["new_field"] = "x".into();
    document["new_part"] = serde_json::json!([]);
    json::read(&document.to_string()).expect("read");
    // A note's words are the fact itself.
    document["notes"][0]["text"] = "said otherwise".into();
    let error = json::read(&document.to_string())
        .expect_err("changed")
        .to_string();
    assert!(error.contains("\"notes\" does not follow"), "{error}");
}

/// Silence is no finding: neither "does not bleed" nor "is confirmed".
#[test]
fn what_was_not_said_of_a_site_is_null() {
    let folder = tempfile::tempdir().expect("a folder");
    let journal = invented::journal(folder.path());
    let visit = Uuid::from_u128(invented::DOG);
    let rows = journal.rows(visit).expect("rows");
    let entries = journal.entries(visit).expect("entries");
    let record = Record::fold(&entries).expect("a record");
    let document = json::document(visit, &rows).expect("a document");
    let (mut said, mut unsaid, mut bleeding) = (0, 0, 0);
    for tooth in &document.teeth {
        for site in &tooth.sites {
            let of: Vec<_> = record
                .findings()
                .filter(|(finding, _)| {
                    finding.subject == Subject::Tooth(invented::tooth(tooth.number))
                        && matches!(finding.place, Place::Site(at) if project::key(&at) == site.site)
                })
                .collect();
            let bleeds = of.iter().any(|(finding, _)| finding.kind == Kind::Bleeding);
            assert_eq!(site.bleeding, bleeds.then_some(true), "{}", tooth.number);
            assert_eq!(site.confirmed.is_some(), !of.is_empty(), "{}", tooth.number);
            said += usize::from(!of.is_empty());
            unsaid += usize::from(of.is_empty());
            bleeding += usize::from(bleeds);
        }
    }
    assert!(said > 0 && unsaid > 0 && bleeding > 0);
}

/// Earlier programs wrote false and true there: such files are taken in, but nothing is made of a lie.
#[test]
fn a_file_of_an_earlier_program_is_taken_in() {
    let good = std::fs::read_to_string(root().join("tests/data/visits/dog.json")).expect("a file");
    let mut document: serde_json::Value = serde_json::from_str(&good).expect("json");
    let mut changed = None;
    for (tooth, of) in document["teeth"]
        .as_array_mut()
        .expect("teeth")
        .iter_mut()
        .enumerate()
    {
        for (at, site) in of["sites"]
            .as_array_mut()
            .expect("sites")
            .iter_mut()
            .enumerate()
        {
            if site["bleeding"].is_null() {
                site["bleeding"] = false.into();
            }
            if site["confirmed"].is_null() {
                site["confirmed"] = true.into();
                changed = Some((tooth, at));
            }
        }
    }
    json::read(&document.to_string()).expect("read");
    let (tooth, at) = changed.expect("a site without a value");
    for (field, lie) in [("bleeding", true), ("confirmed", false)] {
        let mut document = document.clone();
        document["teeth"][tooth]["sites"][at][field] = lie.into();
        let error = json::read(&document.to_string())
            .expect_err(field)
            .to_string();
        assert!(error.contains("\"teeth\" does not follow"), "{error}");
    }
}

#[test]
fn a_forgotten_visit_leaves_a_tombstone_and_no_words() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut journal = invented::journal(folder.path());
    let visit = Uuid::from_u128(invented::DOG);
    let rows = journal.rows(visit).expect("rows");
    journal
        .forget(
            visit,
            "owner's wish",
            "2026-12-01T00:00:00Z".parse().expect("a time"),
        )
        .expect("forgotten");
    assert!(journal.entries(visit).expect("reads").is_empty());
    assert_eq!(journal.visits().expect("lists").len(), 2);
    let stones = journal.tombstones().expect("lists");
    assert_eq!(stones.len(), 1);
    assert_eq!(stones[0].entry_count, rows.len() as u64);
    let refused = journal
        .import(visit, &rows, &[])
        .expect_err("stays gone")
        .to_string();
    assert!(refused.contains("was forgotten"), "{refused}");
    drop(journal);
    for file in std::fs::read_dir(folder.path()).expect("lists") {
        let bytes = std::fs::read(file.expect("a file").path()).expect("reads");
        let holds = |word: &[u8]| bytes.windows(word.len()).any(|part| part == word);
        assert!(!holds(b"Biscuit"), "the name is still in the data folder");
    }
}

fn values(form: Form) -> BoxedStrategy<Value> {
    match form {
        Form::Present => Just(Value::Present).boxed(),
        Form::Mm(max) => (0..=max).prop_map(Value::Mm).boxed(),
        Form::Size(max) => prop_oneof![Just(Value::Present), (0..=max).prop_map(Value::Mm)].boxed(),
        Form::Percent => (0..=100_u8).prop_map(Value::Percent).boxed(),
        Form::Grade(min, max) => (min..=max).prop_map(Value::Grade).boxed(),
        Form::Code(codes) => proptest::sample::select(codes)
            .prop_map(|code| Value::Code(code.to_owned()))
            .boxed(),
    }
}

fn findings(species: Species) -> impl Strategy<Value = Finding> {
    let mut teeth = dentition::teeth(species, Stage::Permanent);
    teeth.extend(dentition::teeth(species, Stage::Deciduous));
    let mut places = vec![Place::Whole];
    places.extend(sulcus::terms::Site::ALL.map(Place::Site));
    places.push(Place::Entrance(sulcus::terms::Entrance::Mesial));
    places.extend(sulcus::terms::Root::ALL.map(Place::Root));
    places.push(Place::Area(sulcus::terms::Area::Tongue, None));
    let mut subjects: Vec<Subject> = teeth.into_iter().map(Subject::Tooth).collect();
    subjects.extend([Subject::Mouth; 8]);
    (
        proptest::sample::select(subjects),
        proptest::sample::select(Kind::ALL.to_vec()),
        proptest::sample::select(places),
    )
        .prop_flat_map(|(subject, kind, place)| {
            values(kind.spec().form)
                .prop_map(move |value| Finding::new(subject, kind, place, value).ok())
        })
        .prop_filter_map("suited", |finding| finding)
}

/// Any order of events, references to entries that are there and to some that are not.
fn events(species: Species) -> impl Strategy<Value = Event> {
    let teeth = dentition::teeth(species, Stage::Permanent);
    let tooth = || proptest::sample::select(teeth.clone());
    let entries = || proptest::collection::vec(1..40_u64, 1..4);
    prop_oneof![
        6 => findings(species).prop_map(|finding| Event::FindingRecorded { finding, challenge: None }),
        1 => (tooth(), 1..24_u8).prop_map(|(tooth, months)| Event::DecisionRecorded {
            tooth, decision: Decision::Monitor { months: Some(months) }, reason: None, challenge: None
        }),
        1 => tooth().prop_map(|tooth| Event::DecisionRecorded {
            tooth, decision: Decision::Extract, reason: Some(sulcus::terms::Reason::Pocket), challenge: None
        }),
        1 => tooth().prop_map(|tooth| Event::ProcedureRecorded {
            procedure: Procedure::RootsComplete { tooth }, challenge: None
        }),
        1 => ".{0,20}".prop_map(|words| Event::ProcedureRecorded {
            procedure: Procedure::Medication { words }, challenge: None
        }),
        1 => (proptest::option::of(tooth()), ".{0,30}").prop_map(|(tooth, text)| Event::NoteRecorded { tooth, text, sound: None }),
        1 => (entries(), any::<bool>()).prop_map(|(entries, is_shown)| Event::ReadBack {
            entries, by: if is_shown { Telling::Shown } else { Telling::Spoken }
        }),
        1 => (entries(), ".{0,10}").prop_map(|(entries, why)| Event::ReadBackFailed { entries, why }),
        2 => entries().prop_map(|entries| Event::Confirmed { entries }),
        1 => entries().prop_map(|entries| Event::Retracted { entries, why: Retraction::Denied }),
        1 => Just(Event::VisitFinished),
        1 => ".{1,10}".prop_map(|reason| Event::VisitReopened { reason }),
        1 => ".{1,10}".prop_map(|text| Event::AddendumWritten { text }),
    ]
}

prop_compose! {
    fn visits()(species in prop_oneof![Just(Species::Dog), Just(Species::Cat)])
        (species in Just(species), name in ".{1,12}", events in proptest::collection::vec(
            (events(species), "[a-z ]{0,16}", 0.0..=1.0_f32), 0..40))
        -> Vec<Draft>
    {
        let patient = Patient { id: None, microchip: None, name, species, breed: None, sex: None, born: None, weight: None, felv: None, fiv: None, owner: None, invented: true };
        let opened = Draft::new(Event::VisitOpened { patient, vet: None, nurse: None }, None);
        std::iter::once(opened).chain(events.into_iter().map(|(event, words, confidence)| {
            Draft::new(event, Some(&invented::heard(&words, confidence, Default::default())))
        })).collect()
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn any_record_survives_the_round_trip(drafts in visits()) {
        let (from, to) = (tempfile::tempdir()?, tempfile::tempdir()?);
        let visit = Uuid::from_u128(1);
        let mut source = Journal::open(from.path())?;
        let now = sulcus::clock::Now { at: "2026-01-01T00:00:00.123456789Z".parse()?, monotonic_ms: 5 };
        source.append(visit, &drafts, now)?;
        let rows = source.rows(visit)?;
        let text = json::write(visit, &rows)?;
        let imported = json::read(&text)?;
        let mut target = Journal::open(to.path())?;
        let entries = target.import(visit, &imported.rows, &[])?;
        prop_assert_eq!(&entries, &source.entries(visit)?);
        prop_assert_eq!(Record::fold(&entries), Record::fold(&source.entries(visit)?));
        prop_assert_eq!(json::write(visit, &target.rows(visit)?)?, text);
        // Every current value stands in exactly one place of the document.
        let document = json::document(visit, &rows)?;
        let placed = document.teeth.iter().map(|tooth| tooth.findings.len()).sum::<usize>()
            + document.mouth.len() + document.decisions.len() + document.procedures.len() + document.notes.len();
        let record = Record::fold(&entries).expect("a record");
        prop_assert_eq!(placed, record.current().count());
        let bundle = fhir::bundle(&record, &entries);
        prop_assert_eq!(fhir::rules::breaches(&bundle), Vec::<String>::new());
    }
}

/// A Python with the packages of `tests/python/requirements.txt`, or none: then the check is skipped aloud.
fn python() -> Option<PathBuf> {
    let python = std::env::var_os("SULCUS_PYTHON")
        .map_or_else(|| root().join("target/python/bin/python"), PathBuf::from);
    python.exists().then_some(python)
}

/// Runs a validator script; true where it ran.
pub(crate) fn validate(script: &str, arguments: &[&Path]) -> bool {
    let Some(python) = python() else {
        eprintln!(
            "SKIPPED: {script}: no Python with the validators; run tests/python/setup, or set SULCUS_PYTHON"
        );
        assert!(
            std::env::var_os("SULCUS_TEST_ALL").is_none(),
            "SULCUS_TEST_ALL is set and the validators are not there"
        );
        return false;
    };
    let output = Command::new(python)
        .arg(root().join("tests/python").join(script))
        .args(arguments)
        .output()
        .expect("runs");
    assert!(
        output.status.success(),
        "{script}: {}{}",
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr)
    );
    true
}

#[test]
fn another_validator_accepts_the_documents_and_refuses_broken_ones() {
    let schema = root().join("docs/record.schema.json");
    let folder = root().join("tests/data/visits");
    let files: Vec<PathBuf> = VISITS
        .iter()
        .map(|(name, _)| *name)
        .chain(["dog-anaesthetic"])
        .map(|name| folder.join(format!("{name}.json")))
        .collect();
    let mut arguments: Vec<&Path> = vec![&schema];
    arguments.extend(files.iter().map(PathBuf::as_path));
    validate("check_schema.py", &arguments);
}

fn bundle_of(name: &str) -> serde_json::Value {
    let text = std::fs::read_to_string(root().join(format!("tests/data/visits/{name}.json")))
        .expect("a file");
    let imported = json::read(&text).expect("reads");
    let record = Record::fold(&imported.entries).expect("a record");
    fhir::bundle(&record, &imported.entries)
}

/// The resources of one type, in order.
fn resources<'a>(bundle: &'a serde_json::Value, of: &str) -> Vec<&'a serde_json::Value> {
    bundle["entry"]
        .as_array()
        .expect("entries")
        .iter()
        .map(|entry| &entry["resource"])
        .filter(|resource| resource["resourceType"] == of)
        .collect()
}

fn has_code(resource: &serde_json::Value, code: &str) -> bool {
    resource["code"]["coding"]
        .as_array()
        .is_some_and(|codings| codings.iter().any(|coding| coding["code"] == code))
}

fn at_tooth(resource: &serde_json::Value, tooth: &str) -> bool {
    let site = &resource["bodySite"];
    let first = if site.is_array() { &site[0] } else { site };
    first["coding"][0]["code"] == tooth
}

#[test]
fn fhir_says_what_the_record_says() {
    let bundle = bundle_of("dog");
    let depths = resources(&bundle, "Observation")
        .into_iter()
        .find(|o| has_code(o, "depth") && at_tooth(o, "208"))
        .expect("depths of 208");
    let values: Vec<u64> = depths["component"]
        .as_array()
        .expect("components")
        .iter()
        .map(|c| c["valueQuantity"]["value"].as_u64().expect("a depth"))
        .collect();
    assert_eq!(values, [2, 3, 7, 2, 3, 6]);
    let statuses = |code: &str, tooth: &str, of: &str| -> Vec<String> {
        resources(&bundle, of)
            .into_iter()
            .filter(|r| has_code(r, code) && at_tooth(r, tooth))
            .map(|r| r["status"].as_str().expect("a status").to_owned())
            .collect()
    };
    assert_eq!(statuses("mobility", "411", "Observation"), ["preliminary"]);
    assert_eq!(statuses("mobility", "309", "Observation"), ["final"]);
    assert_eq!(
        statuses("depth-mesio-buccal", "209", "Observation"),
        ["entered-in-error"]
    );
    // Decided and done; decided only; never decided.
    assert_eq!(statuses("extract", "108", "ServiceRequest"), ["completed"]);
    assert_eq!(statuses("extracted", "108", "Procedure"), ["completed"]);
    assert_eq!(statuses("recheck", "104", "ServiceRequest"), ["active"]);
    assert!(statuses("extracted", "104", "Procedure").is_empty());
    let recheck = resources(&bundle, "ServiceRequest")
        .into_iter()
        .find(|r| has_code(r, "recheck"))
        .expect("a recheck");
    assert_eq!(recheck["occurrenceDateTime"], "2027-02");
    // The cat's lower left canine and all of the lower right were not looked at: told, not left out.
    let cat = bundle_of("cat");
    let silent = resources(&cat, "Observation")
        .into_iter()
        .find(|o| has_code(o, "examination") && at_tooth(o, "404"))
        .expect("told as not examined");
    assert_eq!(
        silent["dataAbsentReason"]["coding"][0]["code"],
        "not-performed"
    );
}

#[test]
fn every_own_code_used_is_in_the_code_systems() {
    let systems = fhir::code_systems();
    let mut known = std::collections::BTreeSet::new();
    for entry in systems["entry"].as_array().expect("entries") {
        for concept in entry["resource"]["concept"].as_array().expect("concepts") {
            known.insert((
                entry["resource"]["url"].to_string(),
                concept["code"].to_string(),
            ));
        }
    }
    fn visit(value: &serde_json::Value, known: &std::collections::BTreeSet<(String, String)>) {
        match value {
            serde_json::Value::Object(fields) => {
                if let (Some(system), Some(code)) = (fields.get("system"), fields.get("code"))
                    && system.as_str().is_some_and(|s| s.contains("sulcus"))
                {
                    assert!(
                        known.contains(&(system.to_string(), code.to_string())),
                        "{code} is not in {system}"
                    );
                }
                fields.values().for_each(|inner| visit(inner, known));
            }
            serde_json::Value::Array(items) => items.iter().for_each(|inner| visit(inner, known)),
            _ => {}
        }
    }
    for (name, _) in VISITS {
        visit(&bundle_of(name), &known);
    }
    let text = serde_json::to_string_pretty(&systems).expect("text") + "\n";
    expect_file(&root().join("docs/fhir-code-systems.json"), &text);
}

type Change = fn(&mut serde_json::Value);

/// Each breaks one rule; the second text must stand in what is found.
const BROKEN_BUNDLES: [(&str, Change, &str); 14] = [
    (
        "no identifier",
        |b| {
            b.as_object_mut().expect("object").remove("identifier");
        },
        "bdl-9",
    ),
    (
        "empty identifier",
        |b| b["identifier"]["value"] = "".into(),
        "bdl-9",
    ),
    (
        "no timestamp",
        |b| {
            b.as_object_mut().expect("object").remove("timestamp");
        },
        "bdl-10",
    ),
    (
        "timestamp too early",
        |b| b["timestamp"] = "2001-01-01T00:00:00Z".into(),
        "before the composition",
    ),
    (
        "composition not first",
        |b| b["entry"].as_array_mut().expect("entries").swap(0, 1),
        "bdl-11",
    ),
    (
        "a request",
        |b| b["entry"][1]["request"] = serde_json::json!({"method": "POST", "url": "Patient"}),
        "bdl-3",
    ),
    (
        "double address",
        |b| {
            let url = b["entry"][1]["fullUrl"].clone();
            b["entry"][2]["fullUrl"] = url;
        },
        "bdl-7",
    ),
    (
        "capital address",
        |b| b["entry"][1]["fullUrl"] = "urn:uuid:AAAAAAAA-0000-4000-8000-000000000001".into(),
        "lower-case",
    ),
    (
        "versioned address",
        |b| b["entry"][1]["fullUrl"] = "https://x.example/Patient/1/_history/2".into(),
        "bdl-8",
    ),
    (
        "dangling reference",
        |b| {
            b["entry"][0]["resource"]["subject"]["reference"] =
                "urn:uuid:00000000-0000-4000-8000-000000000000".into()
        },
        "leads nowhere",
    ),
    (
        "extension with both",
        |b| b["entry"][1]["resource"]["extension"][0]["valueString"] = "x".into(),
        "ext-1",
    ),
    (
        "no status",
        |b| {
            let entry = b["entry"]
                .as_array_mut()
                .expect("entries")
                .iter_mut()
                .find(|e| e["resource"]["resourceType"] == "Observation")
                .expect("one");
            entry["resource"]
                .as_object_mut()
                .expect("object")
                .remove("status");
        },
        "has no status",
    ),
    (
        "two values",
        |b| {
            let entry = b["entry"]
                .as_array_mut()
                .expect("entries")
                .iter_mut()
                .find(|e| e["resource"]["valueQuantity"].is_object())
                .expect("one");
            entry["resource"]["valueString"] = "x".into();
        },
        "2 values",
    ),
    (
        "unreached resource",
        |b| {
            let section = &mut b["entry"][0]["resource"]["section"][0];
            section["entry"].as_array_mut().expect("entries").remove(0);
        },
        "not reached",
    ),
];

#[test]
fn broken_bundles_are_refused() {
    let good = bundle_of("dog");
    assert_eq!(fhir::rules::breaches(&good), Vec::<String>::new());
    for (name, change, says) in BROKEN_BUNDLES {
        let mut bundle = good.clone();
        change(&mut bundle);
        let found = fhir::rules::breaches(&bundle).join("; ");
        assert!(found.contains(says), "{name}: found only: {found}");
    }
}

#[test]
fn other_validators_accept_the_fhir_documents_and_refuse_broken_ones() {
    let folder = tempfile::tempdir().expect("a folder");
    let files: Vec<PathBuf> = VISITS
        .iter()
        .map(|(name, _)| *name)
        .chain(["dog-anaesthetic"])
        .map(|name| {
            let file = folder.path().join(format!("{name}.fhir.json"));
            std::fs::write(&file, bundle_of(name).to_string()).expect("written");
            file
        })
        .collect();
    let arguments: Vec<&Path> = files.iter().map(PathBuf::as_path).collect();
    validate("check_fhir.py", &arguments);
}

fn record_of(name: &str) -> Record {
    let text = std::fs::read_to_string(root().join(format!("tests/data/visits/{name}.json")))
        .expect("a file");
    Record::fold(&json::read(&text).expect("reads").entries).expect("a record")
}

#[test]
fn the_table_of_a_visit_is_written_as_before() {
    let table = tables::visit(&record_of("cat")).expect("a table");
    expect_file(&root().join("tests/data/export/cat.csv"), &table);
}

#[test]
fn a_study_table_names_nobody() {
    let records = [record_of("dog"), record_of("cat"), record_of("cat-later")];
    let table = tables::study(&records, &[7; 32], false).expect("a table");
    expect_file(&root().join("tests/data/export/study.csv"), &table);
    let secrets = [
        "Biscuit",
        "Pixel",
        "Demo",
        "DEMO",
        "2026",
        "2017",
        "mixed",
        "shorthair",
        "brush",
        "Vet A",
        "d06a",
        "ca71",
    ];
    for secret in secrets {
        assert!(!table.contains(secret), "{secret} is in the study table");
    }
    let other = tables::study(&records, &[8; 32], false).expect("a table");
    let animals = |table: &str| -> std::collections::BTreeSet<String> {
        table
            .lines()
            .skip(1)
            .filter_map(|line| line.split(',').next().map(str::to_owned))
            .collect()
    };
    // Two animals in three visits; no pseudonym is the same under another salt.
    assert_eq!(animals(&table).len(), 2);
    assert!(animals(&table).is_disjoint(&animals(&other)));
}

#[test]
fn a_name_that_is_a_formula_stays_text() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut journal = Journal::open(folder.path()).expect("opens");
    let patient = Patient {
        name: "=HYPERLINK(\"x\"), \"quoted\"".into(),
        ..invented::dog_patient()
    };
    let drafts = [
        Draft::new(
            Event::VisitOpened {
                patient,
                vet: None,
                nurse: None,
            },
            None,
        ),
        Draft::new(
            Event::ProcedureRecorded {
                procedure: Procedure::Scaled,
                challenge: None,
            },
            None,
        ),
    ];
    let now = sulcus::clock::Now {
        at: jiff::Timestamp::UNIX_EPOCH,
        monotonic_ms: 0,
    };
    let entries = journal
        .append(Uuid::from_u128(3), &drafts, now)
        .expect("saves");
    let table = tables::visit(&Record::fold(&entries).expect("a record")).expect("a table");
    let row: Vec<String> = csv::Reader::from_reader(table.as_bytes())
        .records()
        .next()
        .expect("a row")
        .expect("reads")
        .iter()
        .map(str::to_owned)
        .collect();
    assert_eq!(row[2], "'=HYPERLINK(\"x\"), \"quoted\"");
}
