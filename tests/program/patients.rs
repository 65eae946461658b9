//! Whole invented patients: what is said at the table is entered through the desk into a real journal, and the built
//! program then gives plan, report and owner's sheet. What these must hold was written by hand from the sources, before
//! the program was asked: `tests/data/patients/NAME.txt` and `NAME.expect`.

use std::fs;

use sulcus::app::desk::{Desk, Opening};
use sulcus::clock::SetClock;
use sulcus::grammar::Meaning;
use sulcus::record::Heard;
use sulcus::record::event::Telling;
use sulcus::session::{Phrase, Said};
use sulcus::terms::{Patient, Species, Weight};

use crate::program::{root, run, stderr, stdout, sulcus};

/// 2026-03-02, nine in the morning, UTC.
const OPENED_SECOND: i64 = 1_772_442_000;

/// Longer than the pause after which conflicts are asked.
const PAUSE_MS: u64 = 20_000;

fn opening(line: &str) -> Opening {
    let words: Vec<&str> = line.split_whitespace().collect();
    let ["patient", species, name, kg, born] = words[..] else {
        panic!("patient SPECIES NAME KG BORN, not {line}");
    };
    let species: Species = species.parse().expect("a species");
    let kg: f64 = kg.parse().expect("kilograms");
    Opening {
        patient: Patient {
            name: name.to_owned(),
            born: Some(born.into()),
            weight: Some(Weight::from_grams((kg * 1000.0).round() as u32).expect("a weight")),
            ..Patient::example(species)
        },
        vet: None,
        nurse: None,
    }
}

/// A phrase is said to its end.
fn hear_out(desk: &mut Desk, phrases: &[Phrase]) {
    for phrase in phrases {
        assert!(desk.told(phrase, Telling::Spoken).is_none(), "saved");
    }
}

fn play(script: &str, data: &std::path::Path) {
    let mut lines = script
        .lines()
        .map(str::trim)
        .filter(|line| !line.is_empty() && !line.starts_with('#'));
    let first = opening(lines.next().expect("a patient"));
    let species = first.patient.species;
    let clock = Box::new(SetClock::at_second(OPENED_SECOND));
    let (mut desk, _) = Desk::open(data, Some(first), true, clock).expect("a desk");
    for line in lines {
        if line == "(pause)" {
            desk.clock().advance_ms(PAUSE_MS);
            let phrases = desk.remind().phrases;
            assert!(
                phrases.iter().any(|phrase| phrase.is_question),
                "nothing was asked in the pause"
            );
            hear_out(&mut desk, &phrases);
            continue;
        }
        desk.clock().advance_ms(4_000);
        let words = desk.grammar().words(line);
        let intents = match desk.grammar().interpret(&words, desk.situation(), species) {
            Meaning::Said(intents) => intents,
            other => panic!("{line}: {other:?}"),
        };
        let heard = Heard {
            words: words.join(" "),
            confidence: 1.0,
            ..Heard::default()
        };
        let taken = desk.take(&Said { intents, heard });
        assert!(taken.not_saved.is_none(), "{line}");
        hear_out(&mut desk, &taken.phrases);
    }
}

fn told(data: &std::path::Path, arguments: &[&str]) -> String {
    let output = run(sulcus(data).args(arguments));
    assert!(
        output.status.success(),
        "{arguments:?}: {}",
        stderr(&output)
    );
    stdout(&output)
}

/// Text of an HTML page, one line for each piece between tags.
fn text_of(html: &str) -> String {
    let tags =
        regex::Regex::new(r"(?s)<(style|svg)\b.*?</(style|svg)>|<[^>]*>").expect("a pattern");
    tags.replace_all(html, "\n")
        .replace("&quot;", "\"")
        .replace("&#39;", "'")
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&amp;", "&")
}

#[test]
fn invented_patients_give_what_the_sources_say() {
    let folder = root().join("tests/data/patients");
    let mut names: Vec<_> = fs::read_dir(&folder)
        .expect("the folder")
        .filter_map(|item| Some(item.ok()?.path()))
        .filter(|path| path.extension().is_some_and(|extension| extension == "txt"))
        .collect();
    names.sort();
    assert!(names.len() >= 3);
    let mut wrong = Vec::new();
    for path in names {
        let data = tempfile::tempdir().expect("a folder");
        play(&fs::read_to_string(&path).expect("a script"), data.path());
        let plan = told(data.path(), &["plan", "last"]);
        let report = text_of(&told(data.path(), &["report", "last", "--format", "html"]));
        let owner = text_of(&told(
            data.path(),
            &["report", "last", "--owner", "--format", "html"],
        ));
        let expected = fs::read_to_string(path.with_extension("expect")).expect("expectations");
        let name = path.file_stem().unwrap_or_default().to_string_lossy();
        for line in expected
            .lines()
            .filter(|line| !line.is_empty() && !line.starts_with('#'))
        {
            let mut parts = line.splitn(3, ' ');
            let (Some(of), Some(how), Some(what)) = (parts.next(), parts.next(), parts.next())
            else {
                panic!("{name}: {line}");
            };
            let text = match of {
                "plan" => &plan,
                "report" => &report,
                "owner" => &owner,
                other => panic!("{name}: {other} is nothing that is printed"),
            };
            let has = text.lines().any(|line| line.contains(what));
            if has != (how == "has") {
                wrong.push(format!("{name}: {line}"));
            }
        }
        if wrong.iter().any(|line| line.starts_with(&*name)) {
            wrong.push(format!("--- plan\n{plan}\n--- owner\n{owner}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_weight_far_from_the_visit_before_is_asked_about() {
    let data = tempfile::tempdir().expect("a folder");
    let begin = |kg: &str| {
        let clock = Box::new(SetClock::at_second(OPENED_SECOND));
        let first = opening(&format!("patient dog Biscuit {kg} 2015-04"));
        let (desk, phrases) = Desk::open(data.path(), Some(first), true, clock).expect("a desk");
        let asked = desk
            .record()
            .open_challenge()
            .map(|open| open.question.clone());
        assert_eq!(
            asked.is_some(),
            phrases.iter().any(|phrase| phrase.is_question)
        );
        asked
    };
    assert_eq!(begin("14.2"), None, "there was no visit before");
    assert_eq!(begin("14.9"), None);
    assert_eq!(
        begin("1.42").as_deref(),
        Some("1.42 kilograms, and 14.9 at the visit before. Is that right?")
    );
}

#[test]
fn no_visit_begins_with_an_animal_that_cannot_be() {
    for (arguments, why) in [
        (
            &["--species", "dog", "--breed", "Chihuahua", "--weight", "25"] as &[_],
            "for a toy breed is very heavy (usual: 1 to 5 kg)",
        ),
        (
            &["--species", "dog", "--microchip", "12"],
            "write its 15 digits",
        ),
        (&["--species", "cat", "--weight", "41"], "cannot be"),
        (&["--species", "cat", "--weight", "12"], "--weight-is-right"),
        (
            &["--species", "dog", "--weight", "0.05"],
            "--weight-is-right",
        ),
        (&["--species", "dog", "--born", "2031"], "after today"),
        (
            &["--species", "dog", "--born", "31/05/2019"],
            "no date of birth",
        ),
    ] {
        let data = tempfile::tempdir().expect("a folder");
        let output = run(sulcus(data.path())
            .arg("replay")
            .arg(crate::program::demo("dog.wav"))
            .args(["--new", "--patient", "Biscuit"])
            .args(arguments));
        assert!(!output.status.success(), "{arguments:?}");
        assert!(
            stderr(&output).contains(why),
            "{arguments:?}: {}",
            stderr(&output)
        );
    }
}
