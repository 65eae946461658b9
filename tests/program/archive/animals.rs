//! Animals over tables: the history that a table fetches and keeps, what a person says to be one, and the front desk.

use super::{Archive, CLINIC, Table, stderr, stdout};
use crate::invented;
use crate::program;

use std::time::{Duration, Instant};

use serde_json::{Value, json};
use sulcus::record::Journal;
use sulcus::terms::Patient;
use uuid::Uuid;

/// Somebody at the front desk, by their key.
pub struct Person<'a> {
    pub archive: &'a Archive,
    pub key: String,
}

impl Person<'_> {
    pub fn get_text(&self, path: &str) -> (u16, String) {
        let mut answer = agent()
            .get(format!("{}{path}", self.archive.address))
            .header("Authorization", format!("Bearer {}", self.key))
            .call()
            .expect("an answer");
        let status = answer.status().as_u16();
        (status, answer.body_mut().read_to_string().expect("text"))
    }

    pub fn get(&self, path: &str) -> Value {
        let (status, text) = self.get_text(path);
        assert_eq!(status, 200, "{path}: {text}");
        serde_json::from_str(&text).expect("JSON")
    }

    pub fn post(&self, path: &str, body: &Value) -> (u16, String) {
        let mut answer = agent()
            .post(format!("{}{path}", self.archive.address))
            .header("Authorization", format!("Bearer {}", self.key))
            .header("Content-Type", "application/json")
            .send(body.to_string())
            .expect("an answer");
        let status = answer.status().as_u16();
        (status, answer.body_mut().read_to_string().expect("text"))
    }
}

pub fn agent() -> ureq::Agent {
    ureq::Agent::config_builder()
        .http_status_as_error(false)
        .build()
        .into()
}

/// The cat half a year later, as another table takes it in, still open.
pub fn later(table: &Table, patient: Patient) -> Uuid {
    let mut journal = table.journal();
    let visit = Uuid::new_v4();
    let mut clock = sulcus::clock::SetClock::at_second(1_794_304_800);
    let event = sulcus::record::Event::VisitOpened {
        patient,
        vet: None,
        nurse: None,
    };
    let draft = sulcus::record::Draft::new(event, None);
    let now = sulcus::clock::Clock::now(&mut clock);
    journal.append(visit, &[draft], now).expect("saved");
    visit
}

#[test]
fn a_table_fetches_what_another_saw_and_keeps_it_for_when_the_archive_is_away() {
    let Some(mut archive) = Archive::start("a_table_fetches") else {
        return;
    };
    let (one, other) = (
        archive.table("Table 2", CLINIC),
        archive.table("Table 3", CLINIC),
    );
    let cat = invented::cat(&mut one.journal());
    one.send();
    // The second table has never seen the cat.
    invented::cat_later(&mut other.journal());
    let compared = program::run(other.command().args(["compare", "last"]));
    assert!(
        stdout(&compared).contains("no earlier visit of Pixel"),
        "{}",
        stdout(&compared)
    );
    // Its page opens the visit, and the history comes by itself.
    let mut page = other
        .command()
        .args(["serve", "--port", "0"])
        .stdout(std::process::Stdio::null())
        .spawn()
        .expect("starts");
    let started = Instant::now();
    while !other.path().join("history").is_dir() {
        assert!(started.elapsed() < Duration::from_secs(60), "it is fetched");
        std::thread::sleep(Duration::from_millis(100));
    }
    page.kill().expect("killed");
    page.wait().expect("ended");
    // The archive goes away, the history stays.
    archive.kill();
    let compared = program::run(other.command().args(["compare", "last"]));
    assert!(compared.status.success(), "{}", stderr(&compared));
    assert!(
        stdout(&compared).contains("307") && stdout(&compared).contains("resorption"),
        "{}",
        stdout(&compared)
    );
    let kept = other.archive(&["history", "last"]);
    assert_eq!(kept.status.code(), Some(1), "the archive is away");
    assert!(
        stdout(&kept).contains(&cat.to_string()),
        "{}",
        stdout(&kept)
    );
    // It is no part of the journal, and readable for its user alone.
    assert!(
        Journal::open_reader(other.path())
            .expect("opens")
            .rows(cat)
            .expect("rows")
            .is_empty()
    );
    for file in std::fs::read_dir(other.path().join("history"))
        .expect("listed")
        .flatten()
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = file.metadata().expect("metadata").permissions().mode();
        assert_eq!(mode & 0o077, 0, "{mode:o}");
    }
    // What was altered there proves itself no more, and is left out.
    for file in std::fs::read_dir(other.path().join("history"))
        .expect("listed")
        .flatten()
    {
        let text = std::fs::read_to_string(file.path()).expect("read");
        std::fs::write(
            file.path(),
            text.replacen("\"number\":9", "\"number\":8", 1),
        )
        .expect("written");
    }
    let compared = program::run(other.command().args(["compare", "last"]));
    assert!(
        stdout(&compared).contains("no earlier visit of Pixel"),
        "{}",
        stdout(&compared)
    );
    archive.serve(&[]);
    let kept = other.archive(&["history", "last"]);
    assert!(kept.status.success(), "{}", stderr(&kept));
    // Who read is on record.
    let read = archive.postgres.sql(
        "postgres",
        "sulcus",
        "SELECT count(*) FROM sulcus.access WHERE action = 'read' AND name = 'Table 3' AND detail = 'history, 1 visits'",
    );
    assert_ne!(read, "0");
}

#[test]
fn two_tables_with_the_same_animal_open_disturb_nobody() {
    let Some(archive) = Archive::start("two_tables_with_the_same_animal") else {
        return;
    };
    let (one, other) = (
        archive.table("Table 2", CLINIC),
        archive.table("Table 3", CLINIC),
    );
    let first = later(&one, invented::cat_patient());
    let second = later(&other, invented::cat_patient());
    for (table, visit) in [(&one, first), (&other, second)] {
        let done = program::run(
            table
                .command()
                .args(["finish", &visit.to_string(), "--anyway"]),
        );
        assert!(done.status.success(), "{}", stderr(&done));
    }
    std::thread::scope(|scope| {
        scope.spawn(|| one.send());
        scope.spawn(|| other.send());
    });
    assert_eq!(archive.postgres.count("sulcus.visit"), 2);
    assert_eq!(archive.postgres.count("sulcus.patient"), 1, "one animal");
}

#[test]
fn a_person_says_which_patients_are_one_and_unsays_it() {
    let Some(archive) = Archive::start("a_person_says") else {
        return;
    };
    let (one, other) = (
        archive.table("Table 2", CLINIC),
        archive.table("Table 3", CLINIC),
    );
    invented::cat(&mut one.journal());
    invented::dog(&mut one.journal());
    one.send();
    // The same cat under another number, with a slip in its name.
    let slip = Patient {
        id: Some("DEMO-C9".into()),
        name: "Pixle".into(),
        ..invented::cat_patient()
    };
    let visit = later(&other, slip);
    let compare = || program::run(other.command().args(["compare", &visit.to_string()]));
    other.archive(&["history", &visit.to_string()]);
    assert!(
        stdout(&compare()).contains("no earlier visit"),
        "nothing is guessed"
    );
    let copied = tempfile::tempdir().expect("a folder");
    let closed = program::run(
        other
            .command()
            .args(["finish", &visit.to_string(), "--anyway"]),
    );
    assert!(closed.status.success(), "{}", stderr(&closed));
    drop(copied);
    other.send();
    assert_eq!(archive.postgres.count("sulcus.patient"), 3);

    let desk = Person {
        archive: &archive,
        key: archive.person("R. Desk (invented)", "reception", CLINIC),
    };
    let id = |words: &str| {
        let hits = desk.get(&format!("/v1/patients?words={words}"));
        assert_eq!(hits.as_array().map(Vec::len), Some(1), "{hits}");
        hits[0]["id"].as_str().expect("an id").to_owned()
    };
    let (pixel, pixle, dog) = (id("pixel"), id("demo-c9%20cat"), id("biscuit"));
    let (status, told) = desk.post(
        "/v1/merge",
        &json!({ "patient": pixle, "into": dog, "reason": "x" }),
    );
    assert_eq!(
        (status, told.contains("a dog and a cat are not one animal")),
        (403, true),
        "{told}"
    );
    let (status, told) = desk.post(
        "/v1/merge",
        &json!({ "patient": pixle, "into": pixel, "reason": " " }),
    );
    assert_eq!((status, told.contains("say why")), (400, true), "{told}");
    let wanted =
        json!({ "patient": pixle, "into": pixel, "reason": "same chip, read at the desk" });
    let (status, told) = desk.post("/v1/merge", &wanted);
    assert_eq!(status, 200, "{told}");
    let merge = serde_json::from_str::<Value>(&told).expect("JSON")["merge"].clone();
    let (status, told) = desk.post("/v1/merge", &wanted);
    assert_eq!(
        (status, told.contains("are one animal already")),
        (403, true),
        "{told}"
    );
    for one in [&pixel, &pixle] {
        let timeline = desk.get(&format!("/v1/patients/{one}"));
        assert_eq!(
            timeline["visits"].as_array().map(Vec::len),
            Some(2),
            "{timeline}"
        );
        assert_eq!(timeline["merges"][0]["by"], "R. Desk (invented)");
    }
    // What a person said counts at the table too.
    let fetched = other.archive(&["history", &visit.to_string()]);
    assert!(
        stdout(&fetched).contains("1 earlier visits"),
        "{}{}",
        stdout(&fetched),
        stderr(&fetched)
    );
    assert!(compare().status.success(), "{}", stdout(&compare()));

    let (status, _) = desk.post(
        "/v1/unmerge",
        &json!({ "merge": merge, "reason": "another cat after all" }),
    );
    assert_eq!(status, 204);
    let (status, _) = desk.post("/v1/unmerge", &json!({ "merge": merge, "reason": "again" }));
    assert_eq!(status, 404);
    let timeline = desk.get(&format!("/v1/patients/{pixel}"));
    assert_eq!(
        timeline["visits"].as_array().map(Vec::len),
        Some(1),
        "{timeline}"
    );
    other.archive(&["history", &visit.to_string()]);
    assert!(
        stdout(&compare()).contains("no earlier visit"),
        "{}",
        stdout(&compare())
    );
    let done = archive.postgres.sql(
        "postgres",
        "sulcus",
        "SELECT action, role FROM sulcus.access WHERE action LIKE '%merge' ORDER BY id",
    );
    assert_eq!(done, "merge|reception\nunmerge|reception");
    // Nothing else of it can be changed.
    let study = Person {
        archive: &archive,
        key: archive.person("S. Study (invented)", "study", CLINIC),
    };
    let (status, told) = study.post("/v1/merge", &wanted);
    assert_eq!(
        (status, told.contains("may not say which patients are one")),
        (403, true),
        "{told}"
    );
}

#[test]
fn the_front_desk_searches_prints_and_sees_what_is_due() {
    let Some(archive) = Archive::start("the_front_desk") else {
        return;
    };
    let table = archive.table("Table 2", CLINIC);
    let cat = invented::cat(&mut table.journal());
    let dog = invented::dog(&mut table.journal());
    table.send();
    let other = archive.keeper(&["init", "--clinic", "Clinic B (invented)"]);
    let owner_b = super::after(&stdout(&other), "front desk: ");
    let person = |role: &str| Person {
        archive: &archive,
        key: archive.person(&format!("{role} (invented)"), role, CLINIC),
    };
    let (reception, vet, study) = (person("reception"), person("vet"), person("study"));

    let hits = reception.get("/v1/patients?words=demo%20owner");
    assert_eq!(hits.as_array().map(Vec::len), Some(2), "{hits}");
    assert_eq!(reception.get("/v1/patients?words=nobody"), json!([]));
    assert_eq!(
        reception.get("/v1/patients?words=100%25"),
        json!([]),
        "a sign of patterns is no pattern"
    );
    // The cat was to come again in six months; the dog in three.
    let due = reception.get("/v1/rechecks?until=2030-01-01");
    let names: Vec<&str> = due
        .as_array()
        .expect("a list")
        .iter()
        .filter_map(|line| line["name"].as_str())
        .collect();
    assert!(
        names.contains(&"Pixel") && names.contains(&"Biscuit"),
        "{due}"
    );
    let (status, told) = reception.get_text("/v1/rechecks?until=soon");
    assert_eq!((status, told.contains("2027-01-31")), (400, true), "{told}");
    // It came: what was due is due no more, but for what follows now.
    let mut journal = table.journal();
    let later = invented::cat_later(&mut journal);
    drop(journal);
    let closed = program::run(
        table
            .command()
            .args(["finish", &later.to_string(), "--anyway"]),
    );
    assert!(closed.status.success(), "{}", stderr(&closed));
    table.send();
    let due = reception.get("/v1/rechecks?until=2030-01-01");
    let of_first = due
        .as_array()
        .expect("a list")
        .iter()
        .any(|line| line["visit"] == cat.to_string());
    assert!(!of_first, "{due}");

    for (name, begins) in [("report.pdf", "%PDF"), ("owner.pdf", "%PDF")] {
        let mut answer = agent()
            .get(format!("{}/v1/visits/{dog}/{name}", archive.address))
            .header("Authorization", format!("Bearer {}", reception.key))
            .call()
            .expect("an answer");
        assert_eq!(answer.status(), 200, "{name}");
        let bytes = answer.body_mut().read_to_vec().expect("bytes");
        assert!(bytes.starts_with(begins.as_bytes()), "{name}");
    }
    let (status, told) = reception.get_text(&format!("/v1/visits/{dog}/record.json"));
    assert_eq!(
        (status, told.contains("which may not export records")),
        (403, true),
        "{told}"
    );
    let (status, record) = vet.get_text(&format!("/v1/visits/{dog}/record.json"));
    assert_eq!(status, 200, "{record}");
    // The record that comes out of the archive is taken in by an empty table.
    let fresh = tempfile::tempdir().expect("a folder");
    let file = fresh.path().join("dog.json");
    std::fs::write(&file, record).expect("written");
    let imported = program::run(
        program::sulcus(&fresh.path().join("data"))
            .arg("import")
            .arg(&file),
    );
    assert!(imported.status.success(), "{}", stderr(&imported));

    let (status, table_text) = study.get_text("/v1/study.csv?with_invented=true");
    assert_eq!(status, 200, "{table_text}");
    let at_table =
        program::run(
            table
                .command()
                .args(["export", "--format", "study", "--with-invented"]),
        );
    assert_eq!(
        table_text.lines().count(),
        stdout(&at_table).lines().count()
    );
    assert_eq!(table_text.lines().next(), stdout(&at_table).lines().next());
    assert!(!table_text.contains("Pixel") && !table_text.contains("Demo Owner"));
    assert_eq!(
        study.get_text("/v1/study.csv").0,
        404,
        "all of them are invented"
    );
    for path in [
        "/v1/patients?words=pixel".to_owned(),
        format!("/v1/visits/{dog}/report.pdf"),
        "/v1/access".to_owned(),
    ] {
        let (status, told) = study.get_text(&path);
        assert_eq!(
            (status, told.contains("is here as study")),
            (403, true),
            "{path}: {told}"
        );
    }
    // Another clinic finds nothing, whatever it asks for by id.
    let stranger = Person {
        archive: &archive,
        key: owner_b,
    };
    assert_eq!(stranger.get("/v1/patients?words=pixel"), json!([]));
    let pixel = reception.get("/v1/patients?words=pixel")[0]["id"]
        .as_str()
        .expect("an id")
        .to_owned();
    for path in [
        format!("/v1/patients/{pixel}"),
        format!("/v1/visits/{dog}/record.json"),
    ] {
        assert_eq!(stranger.get_text(&path).0, 404, "{path}");
    }
    assert_eq!(stranger.get("/v1/rechecks?until=2030-01-01"), json!([]));
    assert_eq!(stranger.get_text("/v1/study.csv?with_invented=true").0, 404);
    let read = |name: &str| {
        archive.postgres.count(&format!(
            "sulcus.access WHERE name = '{name} (invented)' AND action IN ('print', 'export')"
        ))
    };
    assert_eq!((read("reception"), read("vet"), read("study")), (2, 1, 2));

    // The page, as a browser has it: by cookie, and only from itself.
    let host = archive.address.trim_start_matches("http://");
    let page = agent()
        .get(format!("{}/", archive.address))
        .call()
        .expect("an answer")
        .body_mut()
        .read_to_string();
    assert!(page.expect("text").contains("Front desk"));
    let entered = agent()
        .post(format!("{}/v1/enter", archive.address))
        .header("Authorization", format!("Bearer {}", reception.key))
        .send_empty()
        .expect("an answer");
    assert_eq!(entered.status(), 204);
    let cookie = entered.headers()["set-cookie"]
        .to_str()
        .expect("text")
        .to_owned();
    assert!(cookie.contains("HttpOnly; SameSite=Strict"), "{cookie}");
    let cookie = cookie.split(';').next().expect("a pair").to_owned();
    let ask = |origin: Option<&str>, path: &str| {
        let mut request = agent()
            .post(format!("{}{path}", archive.address))
            .header("Cookie", &cookie);
        if let Some(origin) = origin {
            request = request.header("Origin", origin);
        }
        request
            .header("Content-Type", "application/json")
            .send("{}")
            .expect("an answer")
            .status()
            .as_u16()
    };
    let own = format!("http://{host}");
    assert_eq!(ask(None, "/v1/leave"), 403);
    assert_eq!(ask(Some("http://evil.invalid"), "/v1/leave"), 403);
    let searched = agent()
        .get(format!("{}/v1/patients?words=pixel", archive.address))
        .header("Cookie", &cookie)
        .call()
        .expect("an answer");
    assert_eq!(searched.status(), 200);
    assert_eq!(searched.headers()["x-frame-options"], "DENY");
    assert_eq!(ask(Some(&own), "/v1/leave"), 204);
    assert_eq!(ask(Some(&own), "/v1/leave"), 401, "it has ended");
    let wrong = Person {
        archive: &archive,
        key: "abcd".into(),
    };
    assert_eq!(wrong.get_text("/v1/hello").0, 401);
}

#[test]
fn an_archive_of_the_first_version_is_brought_forward_with_all_that_it_held() {
    let Some(postgres) = crate::postgres::Postgres::start("an_archive_of_the_first_version") else {
        return;
    };
    postgres.sql(
        "postgres",
        "postgres",
        "CREATE ROLE sulcus_server LOGIN NOINHERIT",
    );
    postgres.sql(
        "postgres",
        "postgres",
        "GRANT sulcus_server TO keeper WITH ADMIN OPTION",
    );
    postgres.sql(
        "postgres",
        "postgres",
        "CREATE DATABASE sulcus OWNER keeper TEMPLATE template0",
    );
    let dump = program::root().join("tests/data/archive/v1.sql");
    let text = std::fs::read_to_string(dump).expect("the kept archive");
    postgres.write("v1.sql", &text);
    postgres.sql("postgres", "sulcus", "\\i v1.sql");
    let mut archive = Archive::of(postgres);
    assert_eq!(archive.entry_count(), 675);
    // Not served before it was brought forward.
    let made = archive.keeper(&["init"]);
    assert!(made.status.success(), "{}", stderr(&made));
    assert!(
        stdout(&made).contains("brought forward") && stdout(&made).contains("from version 1"),
        "{}",
        stdout(&made)
    );
    archive.serve(&[]);
    assert_eq!(archive.entry_count(), 675);
    let desk = Person {
        archive: &archive,
        key: archive.person("R. Desk (invented)", "reception", CLINIC),
    };
    let hits = desk.get("/v1/patients?words=pixel");
    let timeline = desk.get(&format!(
        "/v1/patients/{}",
        hits[0]["id"].as_str().expect("an id")
    ));
    assert_eq!(
        timeline["visits"].as_array().map(Vec::len),
        Some(1),
        "{timeline}"
    );
    let table = archive.table("Table 2", CLINIC);
    invented::cat_later(&mut table.journal());
    let closed = program::run(table.command().args(["finish", "last", "--anyway"]));
    assert!(closed.status.success(), "{}", stderr(&closed));
    table.send();
    let timeline = desk.get(&format!(
        "/v1/patients/{}",
        hits[0]["id"].as_str().expect("an id")
    ));
    assert_eq!(
        timeline["visits"].as_array().map(Vec::len),
        Some(2),
        "{timeline}"
    );
}
