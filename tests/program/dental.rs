//! The rest of the dental record on the built program: what is written in the journal comes out of report, plan,
//! exports and sheets, and what is typed at the command line goes into it.

use std::path::Path;

use sulcus::clock::SetClock;
use sulcus::record::{Draft, Event, Journal};
use sulcus::terms::mouth::{FlapKind, Implant, MouthChoice};
use sulcus::terms::surgery::{Complication, HomeUnit, SampleKind, Suture, SutureSize};
use sulcus::terms::{
    Area, Finding, Kind, MouthDecision, MouthSide, Patient, Place, Procedure, Root, Species,
    Subject, Value, Weight,
};
use uuid::Uuid;

use crate::invented::{Sitting, tooth};
use crate::program::{run, stderr, stdout, sulcus};

const VISIT: Uuid = Uuid::from_u128(0x0F11_0000_0000_4000_8000_0000_0000_0001);

/// A dog in an open visit, written by the given hand.
fn open(folder: &Path, write: impl FnOnce(&mut Sitting<'_>)) {
    let mut journal = Journal::open(folder).expect("opens");
    let visit = VISIT;
    let clock = SetClock::at_second(1_772_442_000);
    let patient = Patient {
        id: Some("INV-7".into()),
        name: "Pepper".into(),
        species: Species::Dog,
        breed: None,
        sex: None,
        born: None,
        weight: Some(Weight::from_grams(4_000).expect("in range")),
        microchip: None,
        felv: None,
        fiv: None,
        owner: Some("Invented owner".into()),
        invented: true,
    };
    let opened = Draft::new(
        Event::VisitOpened {
            patient,
            vet: Some("Dr Invented".into()),
            nurse: None,
        },
        None,
    );
    journal.append(visit, &[opened], clock.0).expect("saves");
    write(&mut Sitting {
        journal: &mut journal,
        visit,
        clock,
    });
}

/// What the program prints; it must end well.
fn ok(folder: &Path, arguments: &[&str]) -> String {
    let output = run(sulcus(folder).args(arguments));
    assert!(
        output.status.success(),
        "{arguments:?}: {}",
        stderr(&output)
    );
    stdout(&output)
}

/// What the program says against it; it must not end well.
fn refused(folder: &Path, arguments: &[&str]) -> String {
    let output = run(sulcus(folder).args(arguments));
    assert!(!output.status.success(), "{arguments:?} was taken");
    stderr(&output)
}

/// Python with the validators, where tests/python/setup put it.
fn python() -> Option<std::path::PathBuf> {
    let python = crate::program::root().join("target/python/bin/python");
    python.exists().then_some(python)
}

#[test]
fn films_read_stand_in_show_plan_report_and_exports() {
    let folder = tempfile::tempdir().expect("a folder");
    open(folder.path(), |sitting| {
        sitting.did(Procedure::FilmTaken {
            teeth: vec![tooth(409)],
            number: Some(3),
        });
        let lesion = sitting.found(
            409,
            Kind::PeriapicalLesion,
            Place::Root(Root::Mesial),
            Value::Present,
        );
        let loss = sitting.found(
            409,
            Kind::BoneLossVertical,
            Place::Root(Root::Distal),
            Value::Percent(60),
        );
        sitting.confirm(&[lesion, loss], "confirm");
        sitting.found(409, Kind::JawBoneThin, Place::Whole, Value::Present);
        sitting.decide(409, sulcus::terms::Decision::Extract, None);
    });
    let at = folder.path();
    let shown = ok(at, &["show", "last"]);
    assert!(shown.contains("periapical lesion mesial root"), "{shown}");
    let plan = ok(at, &["plan", "last"]);
    for line in ["PD4", "the jaw can break", "thin bone of the jaw"] {
        assert!(plan.contains(line), "{line}: {plan}");
    }
    assert!(
        plan.contains("CONFLICT, OPEN, ask the vet: extract but thin bone"),
        "{plan}"
    );
    let json = ok(at, &["export", "last", "--format", "json"]);
    let json: serde_json::Value = serde_json::from_str(&json).expect("json");
    assert_eq!(json["version"], 3);
    let of_409 = json["teeth"]
        .as_array()
        .and_then(|teeth| teeth.iter().find(|of| of["number"] == 409))
        .expect("409");
    let found = |kind: &str| {
        let all = of_409["findings"].as_array().expect("findings");
        all.iter()
            .find(|of| of["kind"] == kind)
            .expect("found")
            .clone()
    };
    assert_eq!(found("bone_loss_vertical")["percent"], 60);
    assert_eq!(found("bone_loss_vertical")["place"], "distal_root");
    assert_eq!(found("periapical_lesion")["place"], "mesial_root");
    let csv = ok(at, &["export", "last", "--format", "csv"]);
    assert!(csv.contains("bone_loss_vertical,distal_root"), "{csv}");
    assert!(csv.contains(",60,%"), "{csv}");
    let fhir = ok(at, &["export", "last", "--format", "fhir"]);
    assert!(fhir.contains("bone-loss-vertical-distal-root"), "{fhir}");
}

#[test]
fn an_image_is_named_by_its_file_and_what_is_in_it() {
    let folder = tempfile::tempdir().expect("a folder");
    open(folder.path(), |sitting| {
        sitting.did(Procedure::FilmTaken {
            teeth: vec![tooth(409)],
            number: Some(3),
        });
    });
    let at = folder.path();
    let image = at.join("409.dcm");
    std::fs::write(&image, b"an invented image").expect("written");
    let image = image.to_str().expect("text");
    let saved = ok(at, &["attach", "last", image, "--film", "3"]);
    assert!(saved.contains("film 3 of 409"), "{saved}");
    // SHA-256 of "an invented image", by the tool sha256sum.
    assert!(
        saved.contains("SHA-256 c2492455f8daf04bcf71b1ae980b0f9da0659f986c5ccf8bea04b2998cd893d7"),
        "{saved}"
    );
    assert!(ok(at, &["show", "last"]).contains("409.dcm"));
    let photograph = ok(at, &["attach", "last", image, "--teeth", "104,105"]);
    assert!(
        photograph.contains("photograph of 104, 105"),
        "{photograph}"
    );
    let nothing = at.join("empty.png");
    std::fs::write(&nothing, b"").expect("written");
    assert!(refused(at, &["attach", "last", nothing.to_str().expect("text")]).contains("is empty"));
    let missing = refused(at, &["attach", "last", "no-such-file.png"]);
    assert!(
        missing.contains("no-such-file.png cannot be read"),
        "{missing}"
    );
    ok(at, &["finish", "last", "--anyway"]);
    let late = refused(at, &["attach", "last", image]);
    assert!(late.contains("the visit is finished"), "{late}");
    assert!(ok(at, &["verify"]).contains("1 visit"));
}

#[test]
fn a_complication_and_a_sample_are_told_until_they_are_closed() {
    let folder = tempfile::tempdir().expect("a folder");
    open(folder.path(), |sitting| {
        sitting.did(Procedure::Extracted {
            tooth: tooth(409),
            method: sulcus::terms::procedure::Method::Surgical,
        });
        sitting.did(Procedure::Complication {
            what: Complication::JawFracture,
            tooth: Some(tooth(409)),
            size_mm: None,
        });
        sitting.did(Procedure::RootLeft {
            tooth: tooth(409),
            reason: None,
        });
        sitting.did(Procedure::SampleTaken {
            pot: 1,
            tooth: None,
            area: Some((Area::Cheek, Some(MouthSide::Left))),
            kind: Some(SampleKind::Incisional),
        });
        sitting.did(Procedure::SamplesSent {
            pots: vec![1],
            due_days: Some(10),
        });
    });
    let at = folder.path();
    let plan = ok(at, &["plan", "last"]);
    for line in [
        "[!] owner told of each complication",
        "jaw fracture: films and the bite",
        "result of the sample in pot 1",
    ] {
        assert!(plan.contains(line), "{line}: {plan}");
    }
    let html = ok(at, &["report", "last", "--format", "html"]);
    for words in [
        "NOT TOLD",
        "jaw fracture",
        "cheek",
        "incisional",
        "not read",
    ] {
        assert!(html.contains(words), "{words}");
    }
    let labels = ok(at, &["report", "last", "--labels", "--format", "html"]);
    for words in [
        "0F110000-1",
        "1 (1 of 1)",
        "left cheek",
        "Pepper",
        "incisional",
    ] {
        assert!(labels.contains(words), "{words}: {labels}");
    }
    let json: serde_json::Value =
        serde_json::from_str(&ok(at, &["export", "last", "--format", "json"])).expect("json");
    let of_409 = json["teeth"]
        .as_array()
        .and_then(|teeth| teeth.iter().find(|of| of["number"] == 409))
        .expect("409");
    assert_eq!(of_409["state"], "root_left");
    let fhir = ok(at, &["export", "last", "--format", "fhir"]);
    for words in ["\"Specimen\"", "CodeSystem/complication", "jaw-fracture"] {
        assert!(fhir.contains(words), "{words}");
    }
    ok(at, &["finish", "last", "--anyway"]);
    assert!(refused(at, &["result", "last", "--pot", "2", "benign"]).contains("there is no pot 2"));
    ok(
        at,
        &[
            "result",
            "last",
            "--pot",
            "1",
            "a benign growth, wholly taken out",
        ],
    );
    let plan = ok(at, &["plan", "last"]);
    assert!(!plan.contains("result of the sample in pot 1"), "{plan}");
    let html = ok(at, &["report", "last", "--format", "html"]);
    assert!(html.contains("a benign growth, wholly taken out"), "{html}");
    let fhir = ok(at, &["export", "last", "--format", "fhir"]);
    assert!(fhir.contains("DiagnosticReport"), "{fhir}");
    let verified = ok(at, &["verify"]);
    assert!(verified.contains("1 visit"), "{verified}");
    if let Some(python) = python() {
        let file = at.join("surgery.fhir.json");
        std::fs::write(&file, &fhir).expect("written");
        let check = crate::program::root().join("tests/python/check_fhir.py");
        let output = run(std::process::Command::new(python).arg(check).arg(&file));
        assert!(
            output.status.success() || output.status.code() == Some(3),
            "{}{}",
            stdout(&output),
            stderr(&output)
        );
    }
}

#[test]
fn the_owners_sheet_says_what_to_do_at_home_in_plain_words() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    open(at, |sitting| {
        sitting.did(Procedure::Scaled);
        sitting.did(Procedure::Extracted {
            tooth: tooth(409),
            method: sulcus::terms::procedure::Method::Surgical,
        });
        sitting.did(Procedure::Sutured {
            tooth: tooth(409),
            material: Some(Suture::Poliglecaprone),
            size: SutureSize::new(4),
        });
        sitting.did(Procedure::Complication {
            what: Complication::NasalOpening,
            tooth: Some(tooth(204)),
            size_mm: Some(4),
        });
        sitting.did(Procedure::Medication {
            words: "meloxicam".into(),
        });
        sitting.did(Procedure::HomeMedicine {
            drug: "meloxicam".into(),
            amount_thousandths: 1_200,
            unit: HomeUnit::Ml,
            times_a_day: 1,
            days: 5,
        });
    });
    let sheet = |out: &str| {
        ok(
            at,
            &[
                "report", "last", "--owner", "--format", "html", "--out", out,
            ],
        );
        std::fs::read_to_string(out).expect("a file")
    };
    let out = at.join("sheet.html");
    let out = out.to_str().expect("text");
    // Without a word about food the sheet is not ready, and without a number it has room for one.
    let text = sheet(out);
    assert!(
        text.contains("STILL OPEN: nobody said for how many days"),
        "{text}"
    );
    assert!(text.contains("______"), "{text}");
    std::fs::write(
        at.join("clinic.toml"),
        "utc_offset_minutes = 0\n[practice]\nname = \"Invented clinic\"\ntelephone = \"0000 12\"\nsoft_food_days = 14\n",
    )
    .expect("written");
    let text = sheet(out);
    assert!(!text.contains("STILL OPEN"), "{text}");
    for words in [
        "Invented clinic: 0000 12.",
        "Give soft food until 16 March 2026",
        "meloxicam: 1.2 ml, once a day, for 5 days. Give the first not before",
        "on 3 March",
        "The stitches go away by themselves between 23 March 2026 and 30 March 2026",
        "We look at the wounds",
        "small hole between mouth and nose",
        "Ask us when to begin",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    let pdf = at.join("sheet.pdf");
    let pdf = pdf.to_str().expect("text");
    ok(at, &["report", "last", "--owner", "--out", pdf]);
    let journal = Journal::open_reader(at).expect("opens");
    let entries = journal.entries(VISIT).expect("entries");
    let record = sulcus::record::Record::fold(&entries).expect("a record");
    let settings = sulcus::plan::Settings::default();
    let plan = sulcus::plan::make(&record, &[], &settings);
    let home = sulcus::report::discharge::Home::of(&plan, &settings.practice);
    let zone = jiff::tz::TimeZone::UTC;
    let pages = sulcus::report::paper::pages(
        &sulcus::report::owner::report(&record, &zone, &home),
        sulcus::report::paper::OWNER,
    );
    assert!(pages.expect("pages").len() <= 2);
    let Some(python) = python() else {
        println!("skipped: the reading age needs tests/python/setup");
        return;
    };
    // The running text: what stands in items and paragraphs, without numbers of teeth.
    let mut words = String::new();
    for part in text.split("<li>").skip(1) {
        let item = part.split("</li>").next().unwrap_or_default();
        words.push_str(item);
        words.push_str(if item.ends_with('.') { " " } else { ". " });
    }
    let file = at.join("sheet.txt");
    std::fs::write(&file, &words).expect("written");
    let check = crate::program::root().join("tests/python/check_reading.py");
    let output = run(std::process::Command::new(python).arg(check).arg(&file));
    assert!(
        output.status.success() || output.status.code() == Some(3),
        "{}{}\n{words}",
        stdout(&output),
        stderr(&output)
    );
}

/// The program with words on its standard input.
fn told(folder: &Path, arguments: &[&str], words: &str) -> std::process::Output {
    use std::io::Write as _;
    let mut child = sulcus(folder)
        .args(arguments)
        .stdin(std::process::Stdio::piped())
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .expect("starts");
    child
        .stdin
        .take()
        .expect("piped")
        .write_all(words.as_bytes())
        .expect("taken");
    child.wait_with_output().expect("ends")
}

#[test]
fn the_vet_signs_by_name_and_pin_and_what_comes_later_is_told() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    open(at, |sitting| sitting.did(Procedure::Scaled));
    let name = "Dr Invented";
    let early = told(at, &["sign", "last", "--as", name], "1234\n");
    assert!(
        stderr(&early).contains("the visit is open"),
        "{}",
        stderr(&early)
    );
    ok(at, &["finish", "last"]);
    let html = || ok(at, &["report", "last", "--format", "html"]);
    assert!(html().contains("Not signed by a vet."));
    let unknown = told(at, &["sign", "last", "--as", name], "1234\n");
    assert!(
        stderr(&unknown).contains("is not enrolled here"),
        "{}",
        stderr(&unknown)
    );
    let short = told(at, &["sign", "--enrol", name], "12\n");
    assert!(
        stderr(&short).contains("four to twelve digits"),
        "{}",
        stderr(&short)
    );
    assert!(
        told(at, &["sign", "--enrol", name], "1234\n")
            .status
            .success()
    );
    let kept = std::fs::read_to_string(at.join("signers")).expect("a file");
    assert!(kept.starts_with(name) && !kept.contains("1234"), "{kept}");
    let wrong = told(at, &["sign", "last", "--as", name], "9999\n");
    assert!(!wrong.status.success());
    assert!(
        stderr(&wrong).contains("nothing was signed"),
        "{}",
        stderr(&wrong)
    );
    let nobody = told(at, &["sign", "--enrol", name], "9999\n5678\n");
    assert!(!nobody.status.success(), "a new PIN without the old one");
    let signed = told(at, &["sign", "last", "--as", name], "1234\n");
    assert!(signed.status.success(), "{}", stderr(&signed));
    assert!(!html().contains("Not signed by a vet.") && html().contains(name));
    let json: serde_json::Value =
        serde_json::from_str(&ok(at, &["export", "last", "--format", "json"])).expect("json");
    assert_eq!(json["visit"]["signed_by"][0]["name"], name);
    let fhir: serde_json::Value =
        serde_json::from_str(&ok(at, &["export", "last", "--format", "fhir"])).expect("json");
    assert_eq!(
        fhir["entry"][0]["resource"]["attester"][0]["party"]["display"],
        name
    );
    // An addendum is signed with the clinic's key at once, and is not the vet's until signed anew.
    ok(at, &["addendum", "last", "Recovery without trouble."]);
    assert!(
        html().contains("1 entry after it is not signed"),
        "{}",
        html()
    );
    assert!(ok(at, &["verify"]).contains("1 visit"));
    assert!(
        told(at, &["sign", "last", "--as", name], "1234\n")
            .status
            .success()
    );
    assert!(!html().contains("not signed"), "{}", html());
}

#[test]
fn a_lesion_is_told_with_its_look_in_plan_report_picture_and_exports() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    let tongue = Place::Area(Area::Tongue, Some(MouthSide::Left));
    let of_mouth = |kind, value| Event::FindingRecorded {
        finding: Finding::new(Subject::Mouth, kind, tongue, value).expect("suited"),
        challenge: None,
    };
    open(at, |sitting| {
        let code = |word: &str| Value::Code(word.into());
        for event in [
            of_mouth(Kind::Mass, Value::Mm(12)),
            of_mouth(Kind::LesionWidth, Value::Mm(8)),
            of_mouth(Kind::LesionShape, code("round")),
            of_mouth(Kind::LesionColour, code("as_around")),
            of_mouth(Kind::LesionPart, code("front")),
            Event::MouthDecided {
                what: MouthDecision {
                    part: Some((Area::Tongue, Some(MouthSide::Left))),
                    choice: MouthChoice::Sample,
                    reason: None,
                },
                challenge: None,
            },
        ] {
            sitting.add(event, "said", 0.9);
        }
        sitting.sure(104, Kind::Vitality, Place::Whole, code("non_vital"));
        sitting.decide(104, sulcus::terms::Decision::Leave, None);
        sitting.did(Procedure::Treated {
            tooth: tooth(208),
            treatment: sulcus::terms::procedure::Treatment::BoneGraft,
        });
        sitting.did(Procedure::Flap {
            tooth: tooth(208),
            kind: Some(FlapKind::Triangle),
        });
        sitting.did(Procedure::ImplantBatch {
            tooth: tooth(208),
            what: Implant::Graft,
            batch: "441".into(),
        });
        sitting.did(Procedure::Staged {
            tooth: tooth(309),
            is_later: true,
        });
        sitting.did(Procedure::SecondVisit { days: 21 });
    });
    let plan = ok(at, &["plan", "last"]);
    for line in [
        "lesion: mass tongue, left: 12 x 8 mm, round, as around, front third",
        "nobody said its surface",
        "decided: tongue, left: take a sample, not confirmed",
        "the pulp is not vital",
        "[ ] samples that were decided are taken",
        "[x] batch of each graft and membrane recorded",
    ] {
        assert!(plan.contains(line), "{line}: {plan}");
    }
    let html = ok(at, &["report", "last", "--format", "html"]);
    for words in [
        "Lesions",
        "12 x 8 mm",
        "A mass, tongue, left: 12 x 8 mm",
        "sulcus-lesion",
        "triangle flap",
        "graft, batch 441",
        "For a second visit",
        "second visit on 2026-03-23",
    ] {
        assert!(html.contains(words), "{words}");
    }
    let json: serde_json::Value =
        serde_json::from_str(&ok(at, &["export", "last", "--format", "json"])).expect("json");
    assert_eq!(json["mouth_decisions"][0]["decision"], "sample");
    assert_eq!(json["mouth_decisions"][0]["place"], "tongue left");
    let csv = ok(at, &["export", "last", "--format", "csv"]);
    for cells in [
        "lesion_shape,tongue left",
        "sample,tongue left",
        "graft 441",
    ] {
        assert!(csv.contains(cells), "{cells}: {csv}");
    }
    let fhir = ok(at, &["export", "last", "--format", "fhir"]);
    for words in [
        "mouth-sample",
        "lesion-shape-round",
        "second-visit",
        "2026-03-23",
    ] {
        assert!(fhir.contains(words), "{words}");
    }
    ok(at, &["finish", "last", "--anyway"]);
    assert!(ok(at, &["verify"]).contains("1 visit"));
}
