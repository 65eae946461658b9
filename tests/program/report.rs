//! What stands on paper: nothing of the record is lost between content and page, doubt is marked, hostile names do no
//! harm, and the examples in docs are what the program makes.

use crate::invented;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;

use jiff::tz::TimeZone;
use sulcus::export::json;
use sulcus::record::{Draft, Event, Journal, Record};
use sulcus::report::discharge::Home;
use sulcus::report::picture::{self, Colours, Layout, Options, View};
use sulcus::report::{clinical, content::Report, html, owner, paper, pdf, raster};
use sulcus::terms::{Kind, Patient, Place, Site, Species, Stage, Value, dentition};
use uuid::Uuid;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn record_of(name: &str) -> Record {
    let text = std::fs::read_to_string(root().join(format!("tests/data/visits/{name}.json")))
        .expect("a file");
    Record::fold(&json::read(&text).expect("reads").entries).expect("a record")
}

/// A visit of the given patient, written by the given hand.
fn visit(patient: Patient, write: impl FnOnce(&mut invented::Sitting<'_>)) -> Record {
    let folder = tempfile::tempdir().expect("a folder");
    let mut journal = Journal::open(folder.path()).expect("opens");
    let id = Uuid::from_u128(5);
    let now = sulcus::clock::Now {
        at: "2026-03-01T09:00:00Z".parse().expect("a time"),
        monotonic_ms: 0,
    };
    let opened = Draft::new(
        Event::VisitOpened {
            patient,
            vet: None,
            nurse: None,
        },
        None,
    );
    journal.append(id, &[opened], now).expect("saves");
    let mut sitting = invented::Sitting {
        journal: &mut journal,
        visit: id,
        clock: sulcus::clock::SetClock(now),
    };
    write(&mut sitting);
    Record::fold(&journal.entries(id).expect("entries")).expect("a record")
}

/// How often each word stands in a text.
fn words(text: &str) -> BTreeMap<String, usize> {
    let mut counts = BTreeMap::new();
    for word in text.split_whitespace() {
        *counts.entry(word.to_owned()).or_default() += 1;
    }
    counts
}

/// The text of a PDF as an outside program reads it; none where that program is not there.
fn text_of(pdf: &[u8]) -> Option<String> {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("report.pdf");
    std::fs::write(&file, pdf).expect("written");
    let output = Command::new("pdftotext").arg(&file).arg("-").output();
    match output {
        Ok(output) if output.status.success() => {
            Some(String::from_utf8(output.stdout).expect("utf-8"))
        }
        Ok(output) => panic!("pdftotext: {}", String::from_utf8_lossy(&output.stderr)),
        Err(_) => {
            eprintln!("SKIPPED: pdftotext (poppler-utils) is not there");
            assert!(
                std::env::var_os("SULCUS_TEST_ALL").is_none(),
                "pdftotext is needed"
            );
            None
        }
    }
}

fn check_pdf(report: &Report, style: paper::Style) {
    let Some(text) = text_of(&pdf::pdf(report, style).expect("a pdf")) else {
        return;
    };
    let found = words(&text);
    for (word, count) in words(&report.text()) {
        let there = found.get(&word).copied().unwrap_or(0);
        assert!(
            there >= count,
            "{word:?} stands {count} times in the report, {there} times in the PDF"
        );
    }
}

#[test]
fn every_word_of_the_reports_is_in_the_pdf() {
    let plan = [
        "Order: 108, 309.".to_owned(),
        "Turn the patient once.".to_owned(),
    ];
    for name in ["dog", "cat", "cat-later"] {
        let record = record_of(name);
        let report = clinical::report(&record, &TimeZone::UTC, Some(&plan));
        assert!(report.text().contains("Turn the patient once."));
        check_pdf(&report, paper::CLINIC);
        check_pdf(
            &owner::report(&record, &TimeZone::UTC, &Home::default()),
            paper::OWNER,
        );
    }
}

#[test]
fn reports_have_one_to_three_pages_and_the_owners_sheet_two_at_most() {
    for name in ["dog", "cat", "cat-later"] {
        let record = record_of(name);
        let clinic = paper::pages(
            &clinical::report(&record, &TimeZone::UTC, None),
            paper::CLINIC,
        );
        assert!((1..=3).contains(&clinic.expect("pages").len()), "{name}");
        let sheet = paper::pages(
            &owner::report(&record, &TimeZone::UTC, &Home::default()),
            paper::OWNER,
        );
        assert!(sheet.expect("pages").len() <= 2, "{name}");
    }
}

#[test]
fn the_report_says_what_the_record_says() {
    let report = clinical::report(&record_of("dog"), &TimeZone::UTC, None);
    let text = report.text();
    for line in [
        "Biscuit, dog, 3 November 2026",
        "Invented data for demonstration: no such animal, owner or clinic.",
        "2 entries were never confirmed; marked \"?\" below.",
        "mobility 1 (? unconfirmed)",
        "2, 3, 7",
        "extracted, surgical",
        "monitor, recheck in 3 months",
        "nerve block left inferior alveolar: bupivacaine 0.5 %, 0.9 ml",
        "101 has mobility 1: leave it? yes",
        "Recovery without trouble.",
        "1 entry was withdrawn or replaced on the way; the exported record keeps all of them.",
    ] {
        assert!(text.contains(line), "not in the report: {line}");
    }
    // The denied nine is nowhere; the five that came for it is.
    assert!(!text.contains("9, 3, 3") && text.contains("5, 3, 3"));
    let record = record_of("dog");
    for page in paper::pages(&report, paper::CLINIC).expect("pages") {
        assert!(page.contains(&record.last_hash), "the hash is on each page");
        assert!(page.contains("INVENTED DATA"));
    }
}

#[test]
fn the_owner_is_told_only_what_is_confirmed() {
    let tooth = |s: &mut invented::Sitting<'_>, confirm: bool| {
        let entry = s.add(
            Event::ProcedureRecorded {
                procedure: sulcus::terms::Procedure::Extracted {
                    tooth: invented::tooth(204),
                    method: sulcus::terms::procedure::Method::Closed,
                },
                challenge: None,
            },
            "extracted",
            0.9,
        );
        if confirm {
            s.confirm(&[entry], "yes");
        } else {
            s.read_back(&[entry]);
        }
    };
    let sure = visit(invented::dog_patient(), |s| tooth(s, true));
    let text = owner::report(&sure, &TimeZone::UTC, &Home::default()).text();
    assert!(
        text.contains("One tooth was taken out: upper left fang (204)."),
        "{text}"
    );
    let unsure = visit(invented::dog_patient(), |s| tooth(s, false));
    let text = owner::report(&unsure, &TimeZone::UTC, &Home::default()).text();
    assert!(!text.contains("taken out"), "{text}");
    assert!(text.contains("NOT READY"), "{text}");
}

#[test]
fn a_hostile_name_does_no_harm() {
    let name = "<script>alert(1)</script>&\"'\u{1}\u{fffe}";
    let patient = Patient {
        name: name.into(),
        owner: Some("</svg><img src=x onerror=y>".into()),
        ..invented::dog_patient()
    };
    let record = visit(patient, |s| s.depths(104, [1, 2, 3, 4, 5, 6]));
    let report = clinical::report(&record, &TimeZone::UTC, None);
    let page = html::html(&report);
    assert!(
        !page.contains("<script") && !page.contains("<img"),
        "unescaped"
    );
    assert!(page.contains("&lt;script&gt;"));
    pdf::pdf(&report, paper::CLINIC).expect("a pdf");
    for view in [View::Before, View::After, View::Pockets, View::Plain] {
        let options = Options {
            view,
            id_prefix: "\"><script>".into(),
            ..Options::default()
        };
        let svg = picture::mouth_svg(&record, &options);
        assert!(!svg.contains("<script"), "unescaped");
        raster::tree(&svg).expect("well-formed");
    }
}

/// Long words, long lists and a full mouth of the worst findings keep inside the paper.
#[test]
fn too_much_for_a_page_is_broken_and_not_lost() {
    let patient = Patient {
        name: "W".repeat(300),
        ..invented::dog_patient()
    };
    let record = visit(patient, |s| {
        for tooth in dentition::teeth(Species::Dog, Stage::Permanent) {
            s.depths(tooth.number(), [20; 6]);
            s.found(
                tooth.number(),
                Kind::Mobility,
                Place::Whole,
                Value::Grade(3),
            );
            s.found(
                tooth.number(),
                Kind::Recession,
                Place::Site(Site::Buccal),
                Value::Mm(20),
            );
        }
        for number in 0..40 {
            s.add(
                Event::NoteRecorded {
                    tooth: None,
                    text: format!("note {number} {}", "words and ".repeat(30)),
                    sound: None,
                },
                "",
                0.0,
            );
        }
    });
    let report = clinical::report(&record, &TimeZone::UTC, None);
    let pages = paper::pages(&report, paper::CLINIC).expect("pages");
    assert!(pages.len() > 3);
    for page in &pages {
        let tree = raster::tree(page).expect("well-formed");
        let bounds = tree.root().abs_bounding_box();
        assert!(
            bounds.right() <= paper::WIDTH as f32 + 0.5,
            "beyond the paper: {bounds:?}"
        );
        assert!(
            bounds.bottom() <= paper::HEIGHT as f32 + 0.5,
            "beyond the paper: {bounds:?}"
        );
    }
    let all = pages.concat();
    for number in 0..40 {
        assert!(
            all.contains(&format!("note {number} ")),
            "note {number} is lost"
        );
    }
}

#[test]
fn pictures_show_each_tooth_once_and_keep_inside_their_frame() {
    for (name, species) in [("dog", Species::Dog), ("cat", Species::Cat)] {
        let record = record_of(name);
        for view in [View::Before, View::After, View::Pockets, View::Plain] {
            for layout in [Layout::Wide, Layout::Tall] {
                let options = Options {
                    view,
                    layout,
                    colours: Colours::Paper,
                    ..Options::default()
                };
                let svg = picture::mouth_svg(&record, &options);
                for tooth in dentition::teeth(species, Stage::Permanent) {
                    let mark = format!("data-tooth=\"{tooth}\"");
                    assert_eq!(svg.matches(&mark).count(), 1, "{tooth} in {view:?}");
                }
                let tree = raster::tree(&svg).expect("well-formed");
                let (bounds, size) = (tree.root().abs_bounding_box(), tree.size());
                assert!(
                    bounds.left() >= -0.5 && bounds.top() >= -0.5,
                    "{name} {view:?} {layout:?}: {bounds:?}"
                );
                assert!(
                    bounds.right() <= size.width() + 0.5,
                    "{name} {view:?} {layout:?}: {bounds:?}"
                );
            }
        }
    }
}

#[test]
fn a_puppy_is_drawn_with_its_own_teeth() {
    let record = visit(invented::dog_patient(), |s| {
        s.depths(504, [1, 1, 1, 1, 1, 1])
    });
    let svg = picture::mouth_svg(&record, &Options::default());
    assert!(svg.contains("data-tooth=\"504\"") && !svg.contains("data-tooth=\"104\""));
    let mixed = visit(invented::dog_patient(), |s| {
        s.depths(104, [1, 1, 1, 1, 1, 1]);
        s.sure(504, Kind::PersistentDeciduous, Place::Whole, Value::Present);
    });
    let svg = picture::mouth_svg(&mixed, &Options::default());
    assert!(svg.contains("data-tooth=\"104\"") && svg.contains("not drawn: 504"));
}

#[test]
fn colours_for_pages_are_variables_and_for_paper_are_none() {
    let record = record_of("dog");
    let page = picture::mouth_svg(&record, &Options::default());
    assert!(page.contains("var(--sulcus-ink"));
    // A page with a strict policy shows no inline style.
    assert!(!page.contains("style=") && !page.contains("<style"));
    let paper = picture::mouth_svg(
        &record,
        &Options {
            colours: Colours::Paper,
            ..Options::default()
        },
    );
    assert!(!paper.contains("var("));
}

/// Bytes of every file in a folder but those that people write.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    std::fs::read_dir(folder)
        .expect("lists")
        .map(|file| file.expect("a file").path())
        .filter(|path| path.extension().is_some_and(|end| end != "md"))
        .map(|path| {
            let name = path
                .file_name()
                .expect("a name")
                .to_string_lossy()
                .into_owned();
            (name, std::fs::read(&path).expect("reads"))
        })
        .collect()
}

#[test]
fn the_examples_are_what_the_program_makes() {
    let folder = tempfile::tempdir().expect("a folder");
    let kept = root().join("docs/examples");
    let update = std::env::var_os("UPDATE_EXPECT").is_some();
    let into = if update {
        kept.as_path()
    } else {
        folder.path()
    };
    let output = Command::new(kept.join("make"))
        .arg(into)
        .env("SULCUS", env!("CARGO_BIN_EXE_sulcus"))
        .output()
        .expect("runs");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let (made, kept) = (files(into), files(&kept));
    assert_eq!(
        made.keys().collect::<Vec<_>>(),
        kept.keys().collect::<Vec<_>>()
    );
    assert!(made.len() >= 18);
    for (name, bytes) in &made {
        assert!(
            kept[name] == *bytes,
            "docs/examples/{name} is not current; run docs/examples/make and look at it"
        );
    }
}
