//! FHIR out of the archive and to other servers: what is held is found by read and search, every reference leads
//! somewhere, and a transaction sent twice creates nothing twice. Checked by validators that are none of ours.

use super::desk::{Person, agent};
use super::{Archive, CLINIC, after, stderr, stdout};
use crate::export::validate;
use crate::invented;
use crate::program;

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Value, json};

fn list(value: &Value) -> Vec<Value> {
    value.as_array().cloned().unwrap_or_default()
}

/// All references in a resource.
fn references(value: &Value, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(fields) => {
            for (name, field) in fields {
                match field {
                    Value::String(text) if name == "reference" => {
                        found.insert(text.clone());
                    }
                    _ => references(field, found),
                }
            }
        }
        Value::Array(all) => all.iter().for_each(|one| references(one, found)),
        _ => {}
    }
}

#[test]
fn what_the_archive_holds_is_read_and_searched_as_fhir() {
    let Some(archive) = Archive::start("what_the_archive_holds_is_read") else {
        return;
    };
    let table = archive.table("Table 2", CLINIC);
    let cat = invented::cat(&mut table.journal());
    invented::dog(&mut table.journal());
    table.send();
    let vet = Person {
        archive: &archive,
        key: archive.person("V. Vet (invented)", "vet", CLINIC),
    };
    let metadata = vet.get("/fhir/metadata");
    assert_eq!(metadata["fhirVersion"], "4.0.1");
    let found = vet.get("/fhir/Patient?name=pix");
    assert_eq!(found["total"], 1, "{found}");
    let patient = found["entry"][0]["resource"]["id"]
        .as_str()
        .expect("an id")
        .to_owned();
    assert_eq!(vet.get("/fhir/Patient?identifier=DEMO-C1")["total"], 1);
    assert_eq!(vet.get("/fhir/Patient?identifier=DEMO-C")["total"], 0);
    // The number is this clinic's, and its system says so: of another clinic's system nothing is found.
    let resource = &found["entry"][0]["resource"];
    let system = resource["identifier"][0]["system"]
        .as_str()
        .expect("a system");
    let clinic = archive
        .postgres
        .sql("postgres", "sulcus", "SELECT id FROM sulcus.clinic");
    assert!(system.ends_with(&format!("/patient/{clinic}")), "{system}");
    for (system, total) in [(system, 1), ("https://elsewhere.example/patient", 0)] {
        let found = vet.get(&format!("/fhir/Patient?identifier={system}|DEMO-C1"));
        assert_eq!(found["total"], total, "{system}");
    }
    assert_eq!(
        vet.get(&format!("/fhir/Patient/{patient}"))["name"][0]["text"],
        "Pixel"
    );
    let encounters = vet.get(&format!("/fhir/Encounter?patient=Patient/{patient}"));
    assert_eq!(
        encounters["entry"][0]["resource"]["id"],
        cat.to_string(),
        "{encounters}"
    );

    // All pages of what there is of the cat, and nothing of the dog.
    let mut resources = vec![vet.get(&format!("/fhir/Patient/{patient}"))];
    for kind in [
        "Encounter",
        "Observation",
        "Procedure",
        "ServiceRequest",
        "DocumentReference",
        "Provenance",
    ] {
        let (mut next, mut count) = (format!("/fhir/{kind}?patient={patient}&_count=40"), 0);
        loop {
            let page = vet.get(&next);
            count += list(&page["entry"]).len();
            resources.extend(
                list(&page["entry"])
                    .iter()
                    .map(|entry| entry["resource"].clone()),
            );
            let link = list(&page["link"])
                .into_iter()
                .find(|link| link["relation"] == "next");
            match link {
                Some(link) => next = link["url"].as_str().expect("an address").to_owned(),
                None => {
                    assert_eq!(page["total"], count, "{kind}");
                    break;
                }
            }
        }
        assert!(count > 0, "{kind}");
    }
    let ids: BTreeSet<String> = resources
        .iter()
        .map(|resource| {
            format!(
                "{}/{}",
                resource["resourceType"].as_str().expect("a type"),
                resource["id"].as_str().expect("an id")
            )
        })
        .collect();
    assert_eq!(ids.len(), resources.len(), "nothing twice");
    let mut led = BTreeSet::new();
    resources
        .iter()
        .for_each(|resource| references(resource, &mut led));
    for reference in led {
        assert!(!reference.starts_with("urn:"), "{reference}");
        if !ids.contains(&reference) {
            let found = vet.get(&format!("/fhir/{reference}"));
            assert_eq!(
                format!(
                    "{}/{}",
                    found["resourceType"].as_str().expect("a type"),
                    found["id"].as_str().expect("an id")
                ),
                reference
            );
        }
    }
    let one = resources
        .iter()
        .find(|one| one["resourceType"] == "Observation")
        .expect("one");
    let read = vet.get(&format!(
        "/fhir/Observation/{}",
        one["id"].as_str().expect("an id")
    ));
    assert_eq!(&read, one);
    let code = one["code"]["coding"][0]["code"].as_str().expect("a code");
    let coded = vet.get(&format!("/fhir/Observation?encounter={cat}&code={code}"));
    assert!(
        coded["total"].as_u64().is_some_and(|count| count > 0),
        "{coded}"
    );
    assert_eq!(
        vet.get(&format!("/fhir/Observation?encounter={cat}&code=none"))["total"],
        0
    );

    for (path, status, words) in [
        ("/fhir/Observation", 400, "of which patient or encounter"),
        (
            "/fhir/Observation?mood=good",
            400,
            "cannot be searched by mood",
        ),
        ("/fhir/Account?patient=x", 404, "is not served here"),
        ("/fhir/Patient/nobody", 404, "no such resource"),
    ] {
        let (found, told) = vet.get_text(path);
        assert!(
            found == status && told.contains(words) && told.contains("OperationOutcome"),
            "{path}: {found} {told}"
        );
    }
    assert_eq!(
        vet.post("/fhir/Patient", &json!({})).0,
        405,
        "it is read, nothing else"
    );
    let reception = Person {
        archive: &archive,
        key: archive.person("R. Desk (invented)", "reception", CLINIC),
    };
    assert_eq!(
        reception
            .get_text(&format!("/fhir/Observation?encounter={cat}"))
            .0,
        403
    );
    let other = archive.keeper(&["init", "--clinic", "Clinic B (invented)"]);
    let stranger = Person {
        archive: &archive,
        key: after(&stdout(&other), "front desk: "),
    };
    assert_eq!(
        stranger.get(&format!("/fhir/Observation?encounter={cat}"))["total"],
        0
    );
    assert_eq!(stranger.get_text(&format!("/fhir/Encounter/{cat}")).0, 404);
    let unknown = agent()
        .get(format!("{}/fhir/Patient", archive.address))
        .call()
        .expect("an answer");
    assert_eq!(unknown.status(), 401);

    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("search.json");
    let entries: Vec<Value> = resources
        .iter()
        .map(|resource| json!({ "resource": resource }))
        .collect();
    let bundle = json!({ "resourceType": "Bundle", "type": "collection", "entry": entries });
    std::fs::write(&file, bundle.to_string()).expect("written");
    validate("check_fhir.py", &["--plain".as_ref(), file.as_path()]);
}

/// What a server that knows conditional creates does with a transaction: everything or nothing.
fn commit(server: &mut BTreeMap<String, Value>, bundle: &Value) -> usize {
    assert_eq!(bundle["type"], "transaction");
    let mut created = 0;
    for entry in list(&bundle["entry"]) {
        let request = &entry["request"];
        assert_eq!(request["method"], "POST");
        assert_eq!(request["url"], entry["resource"]["resourceType"]);
        let (_, token) = request["ifNoneExist"]
            .as_str()
            .expect("a condition")
            .split_once('=')
            .expect("a pair");
        let (system, value) = token.split_once('|').expect("system and value");
        let has = |resource: &Value| {
            list(&resource["identifier"])
                .iter()
                .any(|one| one["system"] == system && one["value"] == value)
        };
        assert!(
            has(&entry["resource"]),
            "the condition is of the resource's own identifier"
        );
        let key = format!("{}?{token}", request["url"]);
        if server.insert(key, entry["resource"].clone()).is_none() {
            created += 1;
        }
    }
    created
}

#[test]
fn a_transaction_sent_twice_creates_nothing_twice() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut journal = sulcus::record::Journal::open(folder.path()).expect("opens");
    let cat = invented::cat(&mut journal);
    let dog = invented::dog(&mut journal);
    let later = invented::cat_later(&mut journal);
    drop(journal);
    let bundle = |data: &std::path::Path, visit: uuid::Uuid| -> Value {
        let made = program::run(program::sulcus(data).args([
            "export",
            &visit.to_string(),
            "--format",
            "fhir-transaction",
        ]));
        assert!(made.status.success(), "{}", stderr(&made));
        serde_json::from_str(&stdout(&made)).expect("JSON")
    };
    let mut server = BTreeMap::new();
    for visit in [cat, dog] {
        let sent = bundle(folder.path(), visit);
        let count = list(&sent["entry"]).len();
        assert_eq!(commit(&mut server, &sent), count);
        assert_eq!(commit(&mut server, &sent), 0);
        // Every reference is to a resource that comes along.
        let urls: BTreeSet<String> = list(&sent["entry"])
            .iter()
            .filter_map(|entry| entry["fullUrl"].as_str().map(str::to_owned))
            .collect();
        let mut led = BTreeSet::new();
        references(&sent, &mut led);
        assert!(led.is_subset(&urls), "{:?}", led.difference(&urls));
    }
    let patients = |server: &BTreeMap<String, Value>| {
        server
            .values()
            .filter(|one| one["resourceType"] == "Patient")
            .count()
    };
    // The same cat again is the same patient there; at another clinic it is another, whatever its number.
    commit(&mut server, &bundle(folder.path(), later));
    assert_eq!(patients(&server), 2);
    let elsewhere = tempfile::tempdir().expect("a folder");
    invented::cat(&mut sulcus::record::Journal::open(elsewhere.path()).expect("opens"));
    commit(&mut server, &bundle(elsewhere.path(), cat));
    assert_eq!(patients(&server), 3);

    let file = folder.path().join("dog.json");
    std::fs::write(&file, bundle(folder.path(), dog).to_string()).expect("written");
    validate("check_fhir.py", &["--plain".as_ref(), file.as_path()]);
    // Pushed into a folder it is the same.
    let out = tempfile::tempdir().expect("a folder");
    let pushed = program::run(program::sulcus(folder.path()).args([
        "push",
        &cat.to_string(),
        "--format",
        "fhir-transaction",
        "--to",
        out.path().to_str().expect("a path"),
    ]));
    assert!(pushed.status.success(), "{}", stderr(&pushed));
    let name = std::fs::read_dir(out.path())
        .expect("listed")
        .flatten()
        .next()
        .expect("a file")
        .file_name();
    assert!(
        name.to_string_lossy().ends_with(".transaction.fhir.json"),
        "{name:?}"
    );
}
