//! The front desk, asked as its page asks: search, papers, rechecks, the study table, and who may not.

use super::{Archive, CLINIC, stderr, stdout};
use crate::invented;
use crate::program;

use serde_json::{Value, json};

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

/// The words come before anybody is let in, in the language that the keeper chose; what it lacks is English.
#[test]
fn the_front_desk_speaks_the_language_that_its_keeper_chose() {
    let Some(mut archive) = Archive::start("the_front_desk_speaks") else {
        return;
    };
    let words = |archive: &Archive| -> Value {
        let mut answer = agent()
            .get(format!("{}/api/messages", archive.address))
            .call()
            .expect("an answer");
        let text = answer.body_mut().read_to_string().expect("text");
        serde_json::from_str(&text).expect("JSON")
    };
    let english = words(&archive);
    assert_eq!(english["language"], "en");
    assert_eq!(english["messages"]["title"], json!(["Front desk"]));
    archive.kill();
    std::fs::write(
        archive.folder.path().join("clinic.toml"),
        "page_language = \"de\"\n",
    )
    .expect("written");
    archive.serve(&[]);
    let german = words(&archive);
    assert_eq!(german["language"], "de");
    assert_eq!(german["messages"]["title"], json!(["Empfang"]));
    assert_eq!(
        german["messages"]["study-save"], english["messages"]["study-save"],
        "not said in German yet"
    );
}
