//! The patient under anaesthetic, through the built program: said, saved, exported, reported, taken from a monitor.
//! The visit is invented; what the nurse says is a script. `UPDATE_EXPECT=1` writes the expected files anew.

use crate::program;

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::os::unix::net::UnixStream;
use std::path::Path;
use std::process::{Child, Stdio};

use program::{root, run, stderr, stdout, sulcus};
use sulcus::clock::{Clock, SetClock};
use sulcus::export::json;
use sulcus::grammar::{Grammar, Meaning};
use sulcus::record::event::Telling;
use sulcus::record::{Draft, Event, Heard, Journal, Record, Speaker};
use sulcus::session::{Rules, Said, Session};
use sulcus::terms::{Patient, Species, Weight};
use uuid::Uuid;

const VISIT: u128 = 0xa4e5_0000_0000_4000_8000_0000_0000_00d2;

/// 2026-05-06 08:00 UTC, an invented moment.
const BEGUN_SECOND: i64 = 1_778_054_400;

/// Minute from the beginning, and what is said. The gap from minute 26 to 38 is meant: nobody reads anything.
const SCRIPT: [(u64, &str); 44] = [
    (0, "asa two"),
    (
        1,
        "methadone point six millilitres intramuscular by the nurse",
    ),
    (1, "witness the nurse"),
    (1, "batch one two four seven"),
    (1, "wasted methadone point four millilitres"),
    (1, "premedicated"),
    (16, "propofol eight millilitres in the vein by the vet"),
    (16, "induced"),
    (17, "tube in size nine"),
    (17, "cuff checked"),
    (17, "anaesthesia started"),
    (
        18,
        "heart rate nine two resp rate one four sats nine nine co2 four one",
    ),
    (
        18,
        "pressure one one eight over six four mean eight two temp three eight one iso two",
    ),
    (18, "confirm"),
    (20, "procedure started"),
    (20, "tooth one oh four"),
    (21, "buccal two two three"),
    (
        22,
        "heart rate eight eight sats nine eight co2 four two pressure one oh four over five six mean seven two temp three seven nine",
    ),
    (22, "iso one point five oxygen one"),
    (22, "confirm"),
    (
        26,
        "heart rate eight four resp rate one two sats nine eight co2 four four pressure nine one over four six mean six one temp three seven five",
    ),
    (26, "eye rotated palpebral slow jaw tone loose gums pink"),
    (26, "confirm"),
    (
        38,
        "heart rate eight one sats nine seven co2 four six pressure eight eight over four four mean five eight temp three seven zero",
    ),
    (38, "confirm"),
    (
        43,
        "heart rate seven nine sats nine seven co2 four seven pressure eight six over four two mean five six temp three six eight",
    ),
    (43, "confirm"),
    (44, "iso one point two five"),
    (
        48,
        "heart rate eight six sats nine eight co2 four three pressure one oh two over five five mean seven one temp three six seven",
    ),
    (48, "no temp three six six"),
    (48, "confirm"),
    (52, "meloxicam three point six milligrams under the skin"),
    (52, "procedure ended"),
    (53, "iso off"),
    (
        53,
        "heart rate nine four sats nine nine co2 three nine pressure one one two over six zero mean seven eight",
    ),
    (57, "swallowing"),
    (57, "patient swallowing"),
    (57, "extubated"),
    (
        58,
        "heart rate one oh two sats nine six temp three six five",
    ),
    (63, "patient sternal"),
    (
        64,
        "heart rate one oh four sats nine seven temp three six eight",
    ),
    (66, "anaesthesia ended"),
    (66, "handed over"),
    (67, "confirm everything"),
];

/// Plays the script into a journal, as the desk would, but with a known visit and a set clock.
fn journal(folder: &Path) -> Journal {
    let mut journal = Journal::open(folder).expect("opens");
    let visit = Uuid::from_u128(VISIT);
    let mut clock = SetClock::at_second(BEGUN_SECOND);
    let patient = Patient {
        id: Some("DEMO-D2".into()),
        name: "Bramble".into(),
        weight: Weight::from_grams(18_000).ok(),
        born: Some("2018-03".into()),
        owner: Some("Demo Owner".into()),
        ..Patient::example(Species::Dog)
    };
    let opened = Event::VisitOpened {
        patient,
        vet: Some("Demo Vet A".into()),
        nurse: Some("Demo Nurse B".into()),
    };
    let entries = journal
        .append(visit, &[Draft::new(opened, None)], clock.now())
        .expect("saved");
    let mut record = Record::fold(&entries).expect("a record");
    let grammar = Grammar::built_in().expect("a grammar");
    let mut session = Session::new(Rules::built_in().expect("rules"));
    let mut minute = 0;
    for (at, sentence) in SCRIPT {
        clock.advance_ms((at - minute) * 60_000 + 2_000);
        minute = at;
        let words = grammar.words(sentence);
        let situation = Session::situation(&record);
        let Meaning::Said(intents) = grammar.interpret(&words, situation, Species::Dog) else {
            // "swallowing" alone is no sentence: talk at the table.
            assert_eq!(sentence, "swallowing");
            continue;
        };
        let said = Said {
            intents,
            heard: Heard {
                words: words.join(" "),
                confidence: 0.94,
                engine: "invented".into(),
                model: "none".into(),
                speaker: Speaker::Nurse,
                ..Heard::default()
            },
        };
        let step = session.step(&record, &said, clock.now());
        let entries = journal
            .append(visit, &step.drafts, clock.now())
            .expect("saved");
        for entry in &entries {
            record.apply(entry);
        }
        let phrases = session.saved(&record, &entries, &step);
        assert!(
            !phrases.iter().any(|phrase| phrase.is_question),
            "{sentence}: {phrases:?}"
        );
        for phrase in phrases {
            if let Some(draft) = Session::told(&record, &phrase, Telling::Spoken) {
                let entries = journal.append(visit, &[draft], clock.now()).expect("saved");
                for entry in &entries {
                    record.apply(entry);
                }
            }
        }
    }
    assert_eq!(record.unconfirmed().count(), 0);
    journal
}

fn visit_file() -> std::path::PathBuf {
    root().join("tests/data/visits/dog-anaesthetic.json")
}

#[test]
fn the_invented_anaesthetic_is_written_as_before() {
    let folder = tempfile::tempdir().expect("a folder");
    let journal = journal(folder.path());
    let visit = Uuid::from_u128(VISIT);
    let made = json::write(visit, &journal.rows(visit).expect("rows")).expect("text");
    if std::env::var_os("UPDATE_EXPECT").is_some() {
        std::fs::write(visit_file(), &made).expect("written");
    }
    let kept = std::fs::read_to_string(visit_file()).unwrap_or_default();
    assert!(
        kept == made,
        "look at the change, and run with UPDATE_EXPECT=1"
    );
}

/// The program with the invented visit taken in.
fn imported() -> tempfile::TempDir {
    let data = tempfile::tempdir().expect("a folder");
    let output = run(sulcus(data.path()).arg("import").arg(visit_file()));
    assert!(output.status.success(), "{}", stderr(&output));
    data
}

#[test]
fn the_program_shows_exports_and_reports_it() {
    let data = imported();
    let told = |arguments: &[&str]| {
        let output = run(sulcus(data.path()).args(arguments));
        assert!(
            output.status.success(),
            "{arguments:?}: {}",
            stderr(&output)
        );
        stdout(&output)
    };
    let chart = told(&["show", "last"]);
    for line in [
        "heart rate 92/min",
        "pressure 118/64 (82) mmHg",
        "temperature 36.6 °C",
        "methadone 6 mg (0.6 mL of 10 mg/mL), intramuscular, 0.334 mg/kg (published 0.1 to 1 mg/kg), controlled",
        "tube in, 9 mm",
        "ASA II",
    ] {
        assert!(chart.contains(line), "{line} is not in\n{chart}");
    }
    // The corrected one does not count, and is kept.
    assert!(!chart.contains("temperature 36.7 °C"), "{chart}");
    assert!(told(&["show", "last", "--history"]).contains("temperature 36.7 °C"));

    let fhir: serde_json::Value =
        serde_json::from_str(&told(&["export", "last", "--format", "fhir"])).expect("JSON");
    let resources = |kind: &str| -> Vec<serde_json::Value> {
        fhir["entry"]
            .as_array()
            .expect("entries")
            .iter()
            .map(|entry| entry["resource"].clone())
            .filter(|resource| resource["resourceType"] == kind)
            .collect()
    };
    let vital = |code: &str| -> Vec<serde_json::Value> {
        resources("Observation")
            .into_iter()
            .filter(|one| {
                one["category"][0]["coding"][0]["code"] == "vital-signs"
                    && one["code"]["coding"][0]["code"] == code
            })
            .collect()
    };
    let rates = vital("8867-4");
    assert_eq!(rates.len(), 9);
    assert_eq!(rates[0]["valueQuantity"]["value"], 92);
    assert_eq!(rates[0]["valueQuantity"]["code"], "/min");
    assert_eq!(rates[0]["status"], "final");
    let pressures = vital("85354-9");
    assert_eq!(
        pressures[0]["component"][0]["code"]["coding"][0]["code"],
        "8480-6"
    );
    assert_eq!(
        pressures[0]["component"][2]["valueQuantity"]["code"],
        "mm[Hg]"
    );
    assert_eq!(vital("8310-5")[0]["valueQuantity"]["code"], "Cel");
    let saturation = &vital("59408-5")[0];
    assert_eq!(saturation["code"]["coding"][1]["code"], "2708-6");
    let given = resources("MedicationAdministration");
    assert_eq!(given.len(), 3);
    assert_eq!(given[0]["dosage"]["dose"]["value"], 6);
    assert_eq!(given[0]["dosage"]["dose"]["code"], "mg");
    let medication = &given[0]["contained"][0];
    assert_eq!(medication["batch"]["lotNumber"], "1247");
    assert_eq!(
        medication["ingredient"][0]["strength"]["numerator"]["value"],
        10
    );
    assert!(given[0]["encounter"].is_null() && given[0]["context"].is_object());

    let table = told(&["export", "last", "--format", "csv"]);
    assert!(
        table
            .lines()
            .next()
            .is_some_and(|head| head.ends_with(",value,unit"))
    );
    assert!(table.contains(",vital_sign,,heart_rate,") && table.contains(",92,/min"));
    assert!(table.contains(",drug,,methadone,intramuscular,") && table.contains(",6,mg"));

    let page = told(&["report", "last", "--format", "html"]);
    for line in [
        "nothing read for 12 min",
        "mean below 60 (AAHA 2020)",
        "56) !!",
        "Given in all: methadone 6 mg in 1; propofol 80 mg in 1; meloxicam 3.6 mg in 1.",
        "extubated",
    ] {
        assert!(page.contains(line), "{line} is not in the report");
    }
    let graph = told(&[
        "report",
        "last",
        "--format",
        "svg",
        "--picture",
        "anaesthetic",
    ]);
    assert!(graph.starts_with("<svg") && graph.contains("class=\"gap\""));
    assert!(graph.contains("outside its limit"));
}

#[test]
fn without_a_vital_sign_there_is_no_graph_and_it_says_so() {
    let data = tempfile::tempdir().expect("a folder");
    let file = root().join("tests/data/visits/cat.json");
    assert!(
        run(sulcus(data.path()).arg("import").arg(file))
            .status
            .success()
    );
    let output = run(sulcus(data.path()).args([
        "report",
        "last",
        "--format",
        "svg",
        "--picture",
        "anaesthetic",
    ]));
    assert_eq!(output.status.code(), Some(1));
    assert!(stderr(&output).contains("no vital sign was read in this visit"));
    let page = run(sulcus(data.path()).args(["report", "last", "--format", "html"]));
    assert!(!stdout(&page).contains("Anaesthetic"));
}

/// A record of the version before the anaesthetic was kept is taken in, and is the same visit.
#[test]
fn the_older_record_is_still_read() {
    let data = tempfile::tempdir().expect("a folder");
    let old = root().join("tests/data/export/cat-version-1.json");
    let text = std::fs::read_to_string(&old).expect("a file");
    assert!(text.contains("\"version\": 1"));
    let output = run(sulcus(data.path()).arg("import").arg(&old));
    assert!(output.status.success(), "{}", stderr(&output));
    let new = run(sulcus(data.path()).args(["export", "last", "--format", "json"]));
    let new: serde_json::Value = serde_json::from_str(&stdout(&new)).expect("JSON");
    let old: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!(new["version"], 3);
    assert_eq!(new["journal"], old["journal"]);
    assert_eq!(new["anaesthetic"]["readings"], serde_json::json!([]));
}

/// Each bad input has its own sentence.
#[test]
fn bad_input_is_told_each_in_its_own_words() {
    let data = tempfile::tempdir().expect("a folder");
    for (said, answer) in [
        ("heart rate five zero zero", "20 to 300 is possible"),
        ("sats one oh two", "there is no more than 100"),
        ("temp twelve", "28 to 42.9 is possible"),
        ("buprenorphine point two millilitres", "of which strength?"),
        ("ketamine two", "millilitres or milligrams?"),
        (
            "propofol nine nine millilitres",
            "more than a syringe holds",
        ),
        ("methadone zero millilitres", "how much?"),
        ("witness the vet", "None was entered"),
        (
            "methadone two milligrams",
            "No weight: the dose a kilogram is unknown",
        ),
        (
            "tube in size forty five",
            "Tube 45 millimetres. Is that right?",
        ),
        ("handed over", "No temperature in the last half hour"),
        (
            "anaesthesia started. temp three seven. handed over. heart rate nine zero",
            "was handed over",
        ),
    ] {
        let output = run(sulcus(data.path()).args(["parse", said]));
        assert!(
            output.status.success() && stdout(&output).contains(answer),
            "{said}\n  expected {answer}\n  found {}",
            stdout(&output)
        );
    }
    let output = run(sulcus(data.path()).args(["parse", "heart rate"]));
    assert_eq!(output.status.code(), Some(1));
}

/// A clinic's own interval, limits and bottles; what makes no sense in them is refused with its name.
#[test]
fn the_clinic_sets_its_own() {
    let data = tempfile::tempdir().expect("a folder");
    let clinic = data.path().join("clinic.toml");
    std::fs::write(
        &clinic,
        "[watch]\ninterval_minutes = 500\n[[drugs]]\nname = \"atropine\"\nstrengths_mg_per_ml = [0.6]\n",
    )
    .expect("written");
    let output = run(sulcus(data.path()).args(["parse", "vital signs"]));
    assert_ne!(output.status.code(), Some(0));
    assert!(
        stderr(&output).contains("watch.interval_minutes"),
        "{}",
        stderr(&output)
    );
}

// ---- the monitor

struct Served(Child);

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

fn post(port: u16, path: &str, cookie: &str, body: &str) -> String {
    let mut stream = TcpStream::connect(("127.0.0.1", port)).expect("a connection");
    let text = format!(
        "POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\nOrigin: http://127.0.0.1:{port}\r\n\
         Content-Type: application/json\r\nCookie: {cookie}\r\nContent-Length: {}\r\n\r\n{body}",
        body.len()
    );
    stream.write_all(text.as_bytes()).expect("sent");
    let mut answer = String::new();
    let _ = stream.read_to_string(&mut answer);
    answer
}

#[test]
fn a_monitor_is_taken_in_marked_and_its_nonsense_told_once() {
    let data = tempfile::tempdir().expect("a folder");
    let socket = data.path().join("monitor.sock");
    let mut child = sulcus(data.path())
        .args(["serve", "--port", "0", "--monitor"])
        .arg(&socket)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut out = BufReader::new(child.stdout.take().expect("its output"));
    let mut errors = BufReader::new(child.stderr.take().expect("its errors"));
    let served = Served(child);
    let mut line = String::new();
    while !line.starts_with("Page: ") {
        line.clear();
        assert!(out.read_line(&mut line).expect("a line") > 0, "ended early");
    }
    let (host, token) = line
        .trim()
        .split_once("/#")
        .expect("an address with its token");
    let port: u16 = host
        .rsplit(':')
        .next()
        .expect("a port")
        .parse()
        .expect("a port");
    let entered = post(
        port,
        "/api/enter",
        "",
        &format!(r#"{{"secret":"{token}"}}"#),
    );
    let cookie = entered
        .lines()
        .find_map(|line| {
            line.to_lowercase()
                .starts_with("set-cookie: ")
                .then(|| &line[12..])
        })
        .and_then(|line| line.split(';').next())
        .expect("a cookie")
        .to_owned();
    let opened = post(
        port,
        "/api/press",
        &cookie,
        r#"{"seen":0,"press":{"do":"open_visit","with":{"patient":{"id":null,"name":"Bramble","species":"dog","breed":null,"sex":null,"born":null,"weight_g":18000,"owner":null,"invented":true},"vet":null,"nurse":null}}}"#,
    );
    assert!(opened.contains("200 OK"), "{opened}");
    let mut monitor = UnixStream::connect(&socket).expect("the socket is there");
    for line in [
        r#"HELLO"#,
        r#"{"sign":"heart_rate","value":118}"#,
        // A second later: one a minute is kept.
        r#"{"sign":"heart_rate","value":119}"#,
        r#"{"sign":"heart_rate","value":9000}"#,
        r#"{"sign":"pressure","systolic":110,"diastolic":60,"mean":75,"method":"oscillometric"}"#,
        r#"{"sign":"oxygen_saturation","not_reading":true}"#,
    ] {
        writeln!(monitor, "{line}").expect("sent");
    }
    drop(monitor);
    let mut told = String::new();
    errors.read_line(&mut told).expect("a line");
    assert!(
        told.contains("no readings") && told.contains("told once"),
        "{told}"
    );
    // Readings are kept in their order: the last being there means that all are.
    let shown = loop {
        let shown = stdout(&run(sulcus(data.path()).args([
            "show",
            "last",
            "--history",
        ])));
        if shown.contains("saturation not reading") {
            break shown;
        }
        std::thread::sleep(std::time::Duration::from_millis(50));
    };
    drop(served);
    let mut rest = String::new();
    errors.read_to_string(&mut rest).expect("the rest");
    assert!(!rest.contains("no readings"), "told again: {rest}");
    assert!(shown.contains("heart rate 118/min"), "{shown}");
    assert!(
        !shown.contains("119/min") && !shown.contains("9000"),
        "{shown}"
    );
    assert!(shown.contains("machine-read"), "{shown}");
    // Nobody is asked to confirm what nobody said.
    assert!(shown.contains("0 unconfirmed"), "{shown}");
    let json = run(sulcus(data.path()).args(["export", "last", "--format", "json"]));
    let json: serde_json::Value = serde_json::from_str(&stdout(&json)).expect("JSON");
    assert_eq!(json["anaesthetic"]["readings"][0]["machine_read"], true);
    assert_eq!(
        json["anaesthetic"]["readings"][0]["heard"]["how"],
        "machine"
    );
}

#[test]
fn a_monitor_that_cannot_be_opened_is_told() {
    let data = tempfile::tempdir().expect("a folder");
    let output = run(sulcus(data.path()).args([
        "serve",
        "--port",
        "0",
        "--monitor",
        "/no/such/folder/monitor.sock",
    ]));
    assert_ne!(output.status.code(), Some(0));
    assert!(stderr(&output).contains("cannot take readings from /no/such/folder"));
}
