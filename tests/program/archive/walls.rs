//! Nobody gets through: broken and forged deliveries, clinics that try to see each other, roles that may not.

use super::{Archive, CLINIC, Table, after, stderr, stdout};
use crate::invented;
use crate::postgres::Postgres;

use sulcus::archive::{Link, Parcel};
use sulcus::journal::{Key, Occasion};
use uuid::Uuid;

fn refusal(link: &Link, parcel: &Parcel) -> String {
    link.deliver(parcel).expect_err("refused").to_string()
}

#[test]
fn a_broken_chain_and_a_forged_signature_are_refused_loudly() {
    let Some(archive) = Archive::start("a_broken_chain") else {
        return;
    };
    let table = archive.table("Table 2", CLINIC);
    let other = archive.table("Table 3", CLINIC);
    let cat = invented::cat(&mut table.journal());
    let whole = table.parcel(cat);
    let link = table.link();
    let resigned = |mut parcel: Parcel, key: &Key| {
        let head = parcel.rows.last().expect("a row");
        let at = "2026-05-05T10:00:00Z".parse().expect("a time");
        let seal = key.seal(cat, (head.number, &head.hash), at, Occasion::Delivery);
        let last = parcel.seals.last_mut().expect("a seal");
        (last.number, last.hash, last.at) = (seal.number, seal.hash, seal.at);
        (last.key, last.signature, last.occasion) = (seal.key, seal.signature, seal.occasion);
        parcel
    };

    let mut parcel = whole.clone();
    parcel.rows[20].event = parcel.rows[20].event.replace("\"mm\":1", "\"mm\":4");
    parcel.rows[3].at = "2026-05-05T09:00:01Z".into();
    assert!(refusal(&link, &parcel).contains("the chain is broken at entry 4"));

    let mut parcel = whole.clone();
    parcel.rows.remove(7);
    assert!(refusal(&link, &parcel).contains("the chain is broken at entry 8"));

    // Entries changed and all hashes worked out anew, signed with a key that is not the table's.
    let mut parcel = whole.clone();
    let mut before = String::new();
    for stored in &mut parcel.rows {
        stored.event = stored
            .event
            .replace("\"name\":\"Pixel\"", "\"name\":\"Pixie\"");
        let row = sulcus::record::StoredRow::from(stored.clone()).row(cat);
        stored.hash = row.hash_after(&before);
        before.clone_from(&stored.hash);
    }
    assert_ne!(parcel.rows[0].event, whole.rows[0].event);
    let why = refusal(&link, &parcel);
    assert!(
        why.contains("signature under entry") && why.contains("does not fit"),
        "{why}"
    );
    parcel.seals.clear();
    assert!(refusal(&link, &parcel).contains("not signed with the key of this table"));
    parcel.seals.clone_from(&whole.seals[..1].to_vec());
    let forged = resigned(parcel, &other.key());
    assert!(refusal(&link, &forged).contains("not signed with the key of this table"));

    // Another table's visit with its own signature, by this table's way.
    let mut theirs = resigned(whole.clone(), &other.key());
    theirs.seals = theirs.seals.split_off(theirs.seals.len() - 1);
    assert!(refusal(&link, &theirs).contains("not signed with the key of this table"));

    assert_eq!(archive.postgres.count("sulcus.visit"), 0);
    assert_eq!(archive.postgres.count("sulcus.stretch"), 0);
    assert!(archive.postgres.count("sulcus.refused") >= 5);
    let status = archive.keeper(&["status"]);
    assert_eq!(status.status.code(), Some(1));
    assert!(stderr(&status).contains("REFUSED"), "{}", stderr(&status));
    // And what is whole is taken after all that.
    table.link().deliver(&whole).expect("taken");
}

/// What the server's own login sees and does with a secret: that of a fault in the server, or of somebody who has its
/// password.
struct Sql<'a> {
    postgres: &'a Postgres,
    secret: String,
}

impl Sql<'_> {
    fn ask(&self, sql: &str) -> Result<String, String> {
        let secret: String = self
            .secret
            .chars()
            .filter(char::is_ascii_alphanumeric)
            .collect();
        let output = self.postgres.try_sql(
            "sulcus_server",
            "sulcus",
            &format!("BEGIN; SET LOCAL sulcus.secret = '{secret}'; {sql}; COMMIT"),
        );
        if output.status.success() {
            Ok(stdout(&output).trim().to_owned())
        } else {
            Err(stderr(&output))
        }
    }
}

#[test]
fn two_clinics_do_not_see_each_other_and_no_role_does_what_it_may_not() {
    let Some(archive) = Archive::start("two_clinics") else {
        return;
    };
    let other = "Clinic B (invented)";
    let made = archive.keeper(&["init", "--clinic", other]);
    assert!(made.status.success(), "{}", stderr(&made));
    let owner_b = after(&stdout(&made), "front desk: ");
    let (a, b) = (
        archive.table("Table 2", CLINIC),
        archive.table("Table 2", other),
    );
    // Two clinics with the same visit (a record was taken in) and an animal of the same number.
    let cat = invented::cat(&mut a.journal());
    invented::cat(&mut b.journal());
    invented::dog(&mut a.journal());
    a.send();
    b.send();
    assert_eq!(archive.postgres.count("sulcus.visit"), 3);
    assert_eq!(
        archive
            .postgres
            .count("sulcus.patient WHERE identifier = 'DEMO-C1'"),
        2
    );

    // The server's login with its password, straight at the database.
    archive.postgres.sql(
        "postgres",
        "sulcus",
        "ALTER ROLE sulcus_server PASSWORD 'invented'",
    );
    let of = |secret: &str| Sql {
        postgres: &archive.postgres,
        secret: secret.to_owned(),
    };
    let secret_of = |table: &Table| {
        std::fs::read_to_string(table.path().join("archive.secret"))
            .expect("a secret")
            .trim()
            .to_owned()
    };
    let clinic_a = archive.postgres.sql(
        "postgres",
        "sulcus",
        &format!("SELECT id FROM sulcus.clinic WHERE name = '{CLINIC}'"),
    );
    let all = [
        "visit",
        "patient",
        "stretch",
        "seal",
        "recheck",
        "account",
        "clinic",
        "access",
        "refused",
        "tombstone",
    ];
    for table in all {
        let rows = of("").ask(&format!(
            "SELECT count(*) FROM (SELECT 1 FROM sulcus.{table}) t"
        ));
        assert_eq!(
            rows.as_deref(),
            Ok("0"),
            "without a secret {table} is empty"
        );
    }
    for secret in [&owner_b, &secret_of(&b)] {
        let b = of(secret);
        for table in all {
            let column = if table == "clinic" { "id" } else { "clinic" };
            let rows = b.ask(&format!(
                "SELECT count(*) FROM sulcus.{table} WHERE {column} = '{clinic_a}'"
            ));
            assert_eq!(
                rows.as_deref(),
                Ok("0"),
                "clinic B sees {table} of clinic A"
            );
        }
        let pretended = b.ask(&format!(
            "SET LOCAL sulcus.clinic = '{clinic_a}'; SELECT count(*) FROM sulcus.visit"
        ));
        assert_eq!(pretended.as_deref(), Ok("1"));
        // What changes nothing, since the rows are not there, and what is refused.
        let moved = b.ask(&format!(
            "UPDATE sulcus.visit SET state = 'open' WHERE clinic = '{clinic_a}' RETURNING id"
        ));
        assert_eq!(moved.as_deref(), Ok(""));
        let _ = b.ask(&format!(
            "SELECT sulcus.forget('{}', 'not theirs')",
            Uuid::from_u128(invented::DOG)
        ));
        assert_eq!(
            archive
                .postgres
                .count(&format!("sulcus.visit WHERE clinic = '{clinic_a}'")),
            2
        );
        for forbidden in [
            format!(
                "INSERT INTO sulcus.patient (clinic, species, name, search) VALUES ('{clinic_a}', 'dog', 'x', 'x')"
            ),
            format!(
                "INSERT INTO sulcus.stretch (clinic, visit, first, last, rows) VALUES ('{clinic_a}', '{cat}', 900, 901, '[]')"
            ),
            "SELECT secret_hash FROM sulcus.account".to_owned(),
            "SELECT * FROM sulcus.session".to_owned(),
            "UPDATE sulcus.account SET role = 'owner'".to_owned(),
            "UPDATE sulcus.stretch SET rows = '[]'".to_owned(),
            "DELETE FROM sulcus.stretch".to_owned(),
            "DELETE FROM sulcus.visit".to_owned(),
            "UPDATE sulcus.access SET name = 'nobody'".to_owned(),
            "DELETE FROM sulcus.access".to_owned(),
            "INSERT INTO sulcus.access (clinic, name, role, action, detail) SELECT sulcus.clinic_id(), 'x', 'x', 'x', 'x'"
                .to_owned(),
            format!("SELECT sulcus.bury('{clinic_a}', '{cat}', 'not theirs')"),
            "UPDATE sulcus.clinic SET keep_years = 1".to_owned(),
            "SET ROLE keeper".to_owned(),
            "ALTER TABLE sulcus.visit DISABLE ROW LEVEL SECURITY".to_owned(),
            "DROP TRIGGER stretch_is_never_changed ON sulcus.stretch".to_owned(),
            "INSERT INTO sulcus.role_right VALUES ('study', 'read')".to_owned(),
        ] {
            let answer = b.ask(&forbidden);
            let why = answer.expect_err(&forbidden);
            assert!(
                why.contains("permission denied") || why.contains("row-level security") || why.contains("must be owner"),
                "{forbidden}: {why}"
            );
        }
    }
    // Roles within a clinic.
    let study = of(&archive.person("S. Study (invented)", "study", CLINIC));
    assert_eq!(
        study.ask("SELECT count(*) FROM sulcus.patient").as_deref(),
        Ok("0")
    );
    let reception = of(&archive.person("R. Desk (invented)", "reception", CLINIC));
    assert_eq!(
        reception
            .ask("SELECT count(*) FROM sulcus.visit")
            .as_deref(),
        Ok("2")
    );
    assert_eq!(
        reception
            .ask("SELECT count(*) FROM sulcus.access")
            .as_deref(),
        Ok("0")
    );
    let why = reception
        .ask(&format!("SELECT sulcus.forget('{cat}', 'x')"))
        .expect_err("refused");
    assert!(why.contains("may not delete"), "{why}");
    let why = reception
        .ask("INSERT INTO sulcus.patient (clinic, species, name, search) SELECT sulcus.clinic_id(), 'dog', 'x', 'x'")
        .expect_err("refused");
    assert!(why.contains("row-level security"), "{why}");
    let owner = of(&archive.owner);
    assert_ne!(
        owner.ask("SELECT count(*) FROM sulcus.access").as_deref(),
        Ok("0")
    );

    // Somebody who is let in no more.
    let ended = archive.keeper(&["admit", "--end", "Table 2", "--clinic", CLINIC]);
    assert!(ended.status.success(), "{}", stderr(&ended));
    let refused = a.archive(&["send"]);
    assert_eq!(refused.status.code(), Some(1));
    assert!(
        stderr(&refused).contains("does not know this secret"),
        "{}",
        stderr(&refused)
    );
    assert_eq!(
        of(&secret_of(&a))
            .ask("SELECT count(*) FROM sulcus.visit")
            .as_deref(),
        Ok("0")
    );
}

#[test]
fn whoever_may_not_deliver_is_told_by_name_and_role() {
    let Some(archive) = Archive::start("whoever_may_not_deliver") else {
        return;
    };
    let table = archive.table("Table 2", CLINIC);
    let cat = invented::cat(&mut table.journal());
    let vet = archive.person("V. Vet (invented)", "vet", CLINIC);
    std::fs::write(table.path().join("archive.secret"), vet).expect("written");
    let why = refusal(&table.link(), &table.parcel(cat));
    assert!(
        why.contains("V. Vet (invented) is here as vet, which may not deliver visits"),
        "{why}"
    );
    assert_eq!(archive.postgres.count("sulcus.visit"), 0);
}
