//! The page's parts without a network: the drawing, the words, what a press means, who is let in.

use jiff::Timestamp;
use tokio::sync::oneshot;
use uuid::Uuid;

use super::keys::{Caller, Entry as Way, Keys};
use super::mouth::{self, ToothShape};
use super::*;
use crate::grammar::Intent;
use crate::grammar::intent::Watching;
use crate::grammar::intent::Which;
use crate::record::{Draft, Entry, Event};
use crate::terms::dentition::{self, Stage};
use crate::terms::{Finding, Kind, Patient, Place, Site, Species, Subject, Value};

fn number(tooth: u16) -> ToothNumber {
    ToothNumber::new(tooth).expect("a tooth")
}

fn record(events: Vec<Event>) -> Record {
    let patient = Patient {
        id: None,
        name: "Pepper".into(),
        species: Species::Dog,
        breed: None,
        sex: None,
        born: None,
        weight: None,
        microchip: None,
        felv: None,
        fiv: None,
        owner: None,
        invented: true,
    };
    let opening = Event::VisitOpened {
        patient,
        vet: None,
        nurse: None,
    };
    let entries: Vec<Entry> = std::iter::once(opening)
        .chain(events)
        .zip(1..)
        .map(|(event, number)| {
            let draft = Draft::new(event, None);
            Entry {
                visit: Uuid::nil(),
                number,
                at: Timestamp::UNIX_EPOCH,
                monotonic_ms: 0,
                heard: draft.heard,
                supersedes: draft.supersedes,
                event: draft.event,
                hash: String::new(),
            }
        })
        .collect();
    Record::fold(&entries).expect("a record")
}

fn depth(tooth: u16, site: Site, mm: u8) -> Event {
    let subject = Subject::Tooth(number(tooth));
    let finding = Finding::new(subject, Kind::Depth, Place::Site(site), Value::Mm(mm));
    Event::FindingRecorded {
        finding: finding.expect("suited"),
        challenge: None,
    }
}

fn press(press: Press, seen: u64) -> Pressed {
    let (reply, _) = oneshot::channel();
    Pressed { press, seen, reply }
}

// ---- the drawing

#[test]
fn every_tooth_has_its_place_on_its_side() {
    for species in [Species::Dog, Species::Cat] {
        let shapes = mouth::mouth(species);
        let mut drawn: Vec<u16> = shapes.iter().map(|shape| shape.tooth).collect();
        let mut known: Vec<u16> = [Stage::Permanent, Stage::Deciduous]
            .into_iter()
            .flat_map(|stage| dentition::teeth(species, stage))
            .map(ToothNumber::number)
            .collect();
        drawn.sort_unstable();
        known.sort_unstable();
        assert_eq!(drawn, known);
        for shape in &shapes {
            let right = matches!(shape.tooth / 100, 1 | 4 | 5 | 8);
            let upper = matches!(shape.tooth / 100, 1 | 2 | 5 | 6);
            assert_eq!(shape.x < mouth::WIDTH / 2.0, right, "{}", shape.tooth);
            assert_eq!(shape.y < mouth::HEIGHT / 2.0, upper, "{}", shape.tooth);
            assert!(
                (20.0..mouth::WIDTH - 20.0).contains(&shape.label_x),
                "{}",
                shape.tooth
            );
            assert!(
                (20.0..mouth::HEIGHT - 20.0).contains(&shape.label_y),
                "{}",
                shape.tooth
            );
            let wanted = dentition::roots(species, number(shape.tooth)).expect("roots");
            assert_eq!(shape.roots.len(), usize::from(wanted.count));
        }
    }
}

#[test]
fn neighbours_do_not_overlap() {
    for species in [Species::Dog, Species::Cat] {
        let shapes = mouth::mouth(species);
        for pair in shapes
            .windows(2)
            .filter(|pair| pair[0].tooth / 100 == pair[1].tooth / 100)
        {
            let away = (pair[0].x - pair[1].x).hypot(pair[0].y - pair[1].y);
            let room = pair[0].half_length + pair[1].half_length;
            // The row bends, so that the straight way is a little shorter than along it.
            assert!(away > room * 0.95, "{} {}", pair[0].tooth, pair[1].tooth);
        }
    }
}

/// Where a point of the tooth's frame lies on the drawing.
fn on_drawing(shape: &ToothShape, x: f64, y: f64) -> (f64, f64) {
    let turn = shape.turn_degrees.to_radians();
    (
        shape.x + x * turn.cos() - y * turn.sin(),
        shape.y + x * turn.sin() + y * turn.cos(),
    )
}

#[test]
fn back_points_to_the_back_and_roots_point_outwards() {
    for species in [Species::Dog, Species::Cat] {
        for shape in mouth::mouth(species) {
            let (back, _) = on_drawing(&shape, f64::from(shape.back) * 10.0, 0.0);
            let is_further_out = (back - 500.0).abs() > (shape.x - 500.0).abs();
            assert!(is_further_out, "{} of a {}", shape.tooth, species.word());
            let (x, y) = on_drawing(&shape, 0.0, -10.0);
            let from_middle = |x: f64, y: f64| (x - 500.0).hypot((y - mouth::HEIGHT / 2.0) * 0.6);
            assert!(
                from_middle(x, y) > from_middle(shape.x, shape.y),
                "{}",
                shape.tooth
            );
        }
    }
}

// ---- words

#[test]
fn the_page_says_what_is_awaited() {
    let chosen = |more: Vec<Event>| {
        let mut events = vec![Event::ToothChosen { tooth: number(104) }];
        events.extend(more);
        state::awaited(&record(events))
    };
    assert_eq!(state::awaited(&record(Vec::new())), "A tooth number");
    assert_eq!(chosen(Vec::new()), "104: 6 depths");
    let cheek =
        [Site::MesioBuccal, Site::Buccal, Site::DistoBuccal].map(|site| depth(104, site, 2));
    assert_eq!(chosen(cheek.to_vec()), "104: 3 depths palatal");
    let five = Site::ALL[..5]
        .iter()
        .map(|site| depth(104, *site, 2))
        .collect();
    assert_eq!(chosen(five), "104: depth disto palatal");
    let six = Site::ALL.map(|site| depth(104, site, 2)).to_vec();
    assert_eq!(chosen(six), "Findings or next tooth");
    assert_eq!(
        chosen(vec![Event::ListeningPaused]),
        "Paused: \u{201c}listen again\u{201d}"
    );
}

#[test]
fn the_state_tells_doubt_and_standing() {
    let record = record(vec![depth(104, Site::Buccal, 4)]);
    let view = View::of(&Arc::new(record), &Settings::default());
    let state: serde_json::Value = serde_json::from_str(&state::json(&view)).expect("JSON");
    let teeth = state["visit"]["teeth"].as_array().expect("teeth");
    let tooth = teeth
        .iter()
        .find(|tooth| tooth["tooth"] == 104)
        .expect("104");
    assert_eq!(tooth["values"][0]["is_confirmed"], false);
    assert_eq!(tooth["values"][0]["value"]["mm"], 4);
    assert_eq!(tooth["depth_count"], 1);
    assert_eq!(state["alerts"][0]["text"], "5 depths not read");
}

// ---- presses

#[test]
fn a_decision_for_another_tooth_leaves_the_voice_where_it_was() {
    let at_hand = record(vec![Event::ToothChosen { tooth: number(206) }]);
    let intents = vec![Intent::NextTooth];
    let other = Press::ForTooth {
        tooth: number(104),
        intents: intents.clone(),
    };
    let said = press(other, 2)
        .said(&at_hand)
        .expect("taken")
        .expect("for the session");
    assert_eq!(
        said.intents,
        [
            Intent::ChooseTooth(number(104)),
            Intent::NextTooth,
            Intent::ChooseTooth(number(206))
        ]
    );
    let same = Press::ForTooth {
        tooth: number(206),
        intents: intents.clone(),
    };
    let said = press(same, 2)
        .said(&at_hand)
        .expect("taken")
        .expect("for the session");
    assert_eq!(said.intents, intents);
}

#[test]
fn undo_is_refused_once_something_newer_came() {
    let newer = record(vec![depth(104, Site::Buccal, 4)]);
    let undo = |seen| press(Press::Intents(vec![Intent::Undo]), seen).said(&newer);
    assert_eq!(undo(1), Err(NotNow::Newer));
    assert!(undo(2).is_ok());
    // "Confirm up to" is bounded by its number.
    let confirm = Press::Intents(vec![Intent::ConfirmUpTo(1)]);
    assert!(press(confirm, 1).said(&newer).is_ok());
}

#[test]
fn what_no_longer_stands_is_not_withdrawn() {
    let value = depth(104, Site::Buccal, 4);
    let strike = Event::Retracted {
        entries: vec![2],
        why: crate::record::event::Retraction::Struck,
    };
    let withdraw = |record: &Record| {
        press(
            Press::Intents(vec![Intent::StrikeValues(Which::Entry(2))]),
            9,
        )
        .said(record)
    };
    assert!(withdraw(&record(vec![value.clone()])).is_ok());
    let replaced = record(vec![value.clone(), depth(104, Site::Buccal, 5)]);
    assert_eq!(withdraw(&replaced), Err(NotNow::Gone));
    let struck = record(vec![value, strike]);
    assert_eq!(withdraw(&struck), Err(NotNow::Gone));
    // The strike is newer than what the page showed: "undo" would mean something else.
    let undo = |seen| press(Press::Intents(vec![Intent::Undo]), seen).said(&struck);
    assert_eq!(undo(2), Err(NotNow::Newer));
    assert!(undo(3).is_ok());
}

#[test]
fn every_choice_that_the_page_offers_is_taken() {
    let words =
        serde_json::to_value(words::words(&crate::terms::drug::Shelf::default())).expect("JSON");
    let taken = |press: serde_json::Value| {
        let body = serde_json::json!({"seen": 0, "press": press});
        let body: press::Body = serde_json::from_value(body).expect("a press");
        body.press.press(0).expect("fit")
    };
    let list = |name: &str| words[name].as_array().expect("a list").clone();
    for name in ["times", "mouth_works"] {
        for choice in list(name) {
            assert_ne!(choice["words"], "", "{choice}");
            taken(serde_json::json!({"do": "mark", "with": choice["key"]}));
        }
    }
    assert!(
        list("medicines")
            .iter()
            .any(|one| one["key"] == "meloxicam")
    );
    for choice in list("medicines") {
        taken(serde_json::json!({"do": "mark", "with": {"medicine": choice["key"]}}));
    }
    for work in list("works") {
        let mut keys = vec![work["key"].clone()];
        if let Some(then) = work["then"].as_str() {
            let name = work["key"].as_str().expect("a name");
            keys = list(then)
                .iter()
                .map(|choice| serde_json::json!({name: choice["key"]}))
                .collect();
        }
        for key in keys {
            taken(serde_json::json!({"do": "work", "with": {"tooth": 104, "work": key}}));
        }
    }
    for block in list("blocks") {
        for (drug, side) in list("drugs").iter().zip(list("sides").iter().cycle()) {
            for volume in list("volumes_ml_hundredths") {
                taken(
                    serde_json::json!({"do": "mark", "with": {"block": {"block": block["key"], "side": side["key"],
                    "drug": drug["key"], "volume_ml_hundredths": volume}}}),
                );
            }
        }
    }
    for kind in list("kinds") {
        if kind["has_areas"] != true {
            continue;
        }
        for area in list("areas") {
            for choice in kind["choices"].as_array().expect("choices") {
                taken(
                    serde_json::json!({"do": "finding", "with": {"tooth": null, "kind": kind["kind"], "site": null,
                    "entrance": null, "area": {"area": area["key"], "side": null}, "value": choice["value"]}}),
                );
            }
        }
    }
}

#[test]
fn what_speaks_against_a_point_of_the_check_list_is_an_alert() {
    let done = |procedure| Event::ProcedureRecorded {
        procedure,
        challenge: None,
    };
    use crate::terms::Procedure::{ThroatPackIn, ThroatPackOut};
    let record = record(vec![
        done(ThroatPackIn),
        done(ThroatPackIn),
        done(ThroatPackOut),
    ]);
    let view = View::of(&Arc::new(record), &Settings::default());
    let alert = view.alerts.first().expect("an alert");
    assert_eq!(alert.weight, Weight::Urgent);
    assert_eq!(alert.text, "throat pack out: 2 in, 1 out");
}

// ---- words of the page

/// Keys that the page's files ask for: written out, in the shell's attributes, or put together from a few endings.
fn keys_asked() -> std::collections::BTreeSet<String> {
    let files = [
        include_str!("assets/page.html"),
        include_str!("assets/page.js"),
        include_str!("assets/after.js"),
        include_str!("assets/alarm.js"),
        include_str!("assets/draft.js"),
        include_str!("assets/link.js"),
        include_str!("assets/mouth.js"),
        include_str!("assets/pad.js"),
        include_str!("assets/patient.js"),
        include_str!("assets/procedure.js"),
        include_str!("assets/sheet.js"),
        include_str!("assets/tooth.js"),
        include_str!("assets/vitals.js"),
        include_str!("assets/drugs.js"),
    ];
    let written = regex::Regex::new(
        r#"\bt\("([a-z0-9-]+)"|data-t(?:-label)?="([a-z0-9-]+)"|"(key-[a-z]+)"|item\((?:[^"()]*\? )?"([a-z-]+)"(?: : "([a-z-]+)")?"#,
    )
    .expect("a pattern");
    files
        .iter()
        .flat_map(|text| written.captures_iter(text))
        .flat_map(|found| {
            found
                .iter()
                .skip(1)
                .flatten()
                .map(|key| key.as_str().to_owned())
                // The beginning of keys that are put together.
                .filter(|key| !key.ends_with('-'))
                .collect::<Vec<_>>()
        })
        .collect()
}

/// Keys that the scripts put together from parts: each list stands beside the place that does so.
const KEYS_PUT_TOGETHER: [&str; 52] = [
    "heard-saved",
    "heard-doubt",
    "heard-only-told",
    "heard-lost",
    "heard-not-saved",
    "nearest",
    "sayable",
    "no-microphone",
    "speaking",
    "listening",
    "paused",
    "dog",
    "cat",
    "teeth-not-charted",
    "to-confirm",
    "entries",
    "not-confirmed-count",
    "quadrant-1",
    "quadrant-2",
    "quadrant-3",
    "quadrant-4",
    "upper-jaw",
    "lower-jaw",
    "whole-mouth",
    "addendum",
    "addendum-what",
    "addendum-text",
    "addendum-empty",
    "addendum-save",
    "reopen",
    "reopen-what",
    "reopen-text",
    "reopen-empty",
    "reopen-save",
    "yes",
    "no",
    "what-is-missing",
    "say-again",
    "stop-speaking",
    "finish-the-visit",
    "patient",
    "papers",
    "compare-last",
    "kind-not-said",
    "unit-ug",
    "pressure-systolic",
    "pressure-diastolic",
    "pressure-mean",
    "stands-low",
    "stands-high",
    "stands-low-again",
    "stands-high-again",
];

#[test]
fn every_word_of_the_page_is_in_the_english_file_and_none_is_left_over_in_any() {
    let mut asked = keys_asked();
    assert!(asked.len() > 200, "{}", asked.len());
    asked.extend(KEYS_PUT_TOGETHER.map(str::to_owned));
    let faults = messages::page_faults(&asked).expect("read");
    assert_eq!(faults, Vec::<String>::new());
}

#[test]
fn a_language_is_filled_up_with_english_and_faults_of_a_file_are_told() {
    let german = serde_json::to_value(messages::of("de").expect("read")).expect("JSON");
    assert_eq!(german["language"], "de");
    assert_eq!(german["messages"]["yes"], serde_json::json!(["Ja"]));
    assert_eq!(german["messages"]["breed"], serde_json::json!(["Breed"]));
    let of_nobody = serde_json::to_value(messages::of("xx").expect("read")).expect("JSON");
    assert_eq!(of_nobody["language"], "en");
    let many = &german["messages"]["confirm-all"][0]["choice"];
    assert_eq!(many["of"], "count");
    assert!(many["variants"]["one"].is_array() && many["variants"]["other"].is_array());

    let fault = |text: &str| messages::parse("xx", text).unwrap_err().to_string();
    assert!(fault("yes = Ja\nno = { $\n").starts_with("xx.ftl, line"));
    assert!(fault("yes = Ja\nyes = Doch\n").contains("yes: it is there twice"));
    assert!(fault("yes = { other }\n").contains("yes: only"));
}

// ---- presses of the pad

#[test]
fn what_the_pad_sends_is_checked_by_the_types() {
    let press = |text: &str| {
        let body: press::Body =
            serde_json::from_str(&format!(r#"{{"seen":0,"press":{text}}}"#)).expect("JSON");
        body.press.press(0)
    };
    let all = press(r#"{"do":"all_sites","with":{"tooth":104,"mm":3}}"#).expect("fit");
    let Press::ForTooth { intents, .. } = all else {
        panic!("{all:?}");
    };
    assert!(matches!(
        intents.as_slice(),
        [Intent::RecordMillimetres { mm, .. }] if mm == &[3]
    ));
    let some = press(
        r#"{"do":"depths","with":{"tooth":104,"depths":[{"site":"buccal","mm":2},{"site":"lingual","mm":3}]}}"#,
    );
    assert!(matches!(some, Ok(Press::Intents(intents)) if intents.len() == 2));
    let rest = press(r#"{"do":"normal_rest","with":{"quadrants":[1,2]}}"#);
    assert!(matches!(rest, Ok(Press::Intents(intents)) if intents.len() == 2));
    for wrong in [
        r#"{"do":"all_sites","with":{"tooth":104,"mm":21}}"#,
        r#"{"do":"depths","with":{"tooth":104,"depths":[]}}"#,
        r#"{"do":"depths","with":{"tooth":104,"depths":[{"site":"buccal","mm":99}]}}"#,
        r#"{"do":"normal_rest","with":{"quadrants":[5]}}"#,
        r#"{"do":"confirm_these","with":{"entries":[]}}"#,
    ] {
        assert!(press(wrong).is_err(), "{wrong}");
    }
}

#[test]
fn a_drug_of_the_form_is_one_of_the_log_and_bad_numbers_are_refused() {
    let given = |more: &str| {
        let text = format!(
            r#"{{"seen":0,"press":{{"do":"watch","with":{{"drug":{{"drug":" Meloxicam "{more}}}}}}}}}"#
        );
        let body: press::Body = serde_json::from_str(&text).expect("JSON");
        body.press.press(0)
    };
    let whole = given(
        r#","volume_ml":0.4,"strength_mg_per_ml":5,"route":"subcutaneous","by":"nurse","minutes_ago":12,"batch":"ab 12""#,
    );
    let Ok(Press::Intents(intents)) = whole else {
        panic!("{whole:?}");
    };
    let [Intent::Watch(Watching::Drug(drug))] = intents.as_slice() else {
        panic!("{intents:?}");
    };
    assert_eq!(drug.drug, "meloxicam");
    assert_eq!(
        drug.amount.map(|amount| amount.text()).as_deref(),
        Some("2 mg (0.4 mL of 5 mg/mL)")
    );
    assert_eq!(
        (drug.minutes_ago, drug.batch.as_deref()),
        (12, Some("ab12"))
    );
    for wrong in [
        "",
        r#","volume_ml":0"#,
        r#","volume_ml":-1"#,
        r#","dose_mg":1e9"#,
        r#","volume_ml":1,"dose_mg":1"#,
        r#","dose_mg":1,"minutes_ago":721"#,
        r#","dose_mg":1,"batch":"a-b""#,
        r#","dose_mg":1,"batch":"""#,
    ] {
        assert!(given(wrong).is_err(), "{wrong}");
    }
}

// ---- who is let in

fn caller(last: u8) -> Caller {
    Caller {
        address: std::net::IpAddr::from([192, 0, 2, last]),
        name: "Chromium Linux".into(),
    }
}

#[test]
fn who_guesses_shuts_out_only_the_own_address() {
    let folder = tempfile::tempdir().expect("a folder");
    let now = Timestamp::from_second(1_800_000_000).expect("a time");
    let keys = Keys::new(folder.path(), true);
    let code = keys.way_in();
    let wrong = if code == "00000000" {
        "11111111"
    } else {
        "00000000"
    };
    let enter = |given: &str, from: u8, at: Timestamp| {
        keys.enter(given, &caller(from), at).expect("written")
    };
    for _ in 0..5 {
        assert_eq!(enter(wrong, 1, now), Way::Out { new_code: None });
    }
    assert_eq!(enter(wrong, 1, now), Way::Wait);
    assert_eq!(enter(&code, 1, now), Way::Wait, "the right one neither");
    // The owner, from another machine, is not kept out, and the code is still the one that was shown.
    assert!(matches!(enter(&code, 2, now), Way::In { .. }));
    // After the wait the first may try again.
    let later = now + jiff::SignedDuration::from_secs(61);
    assert!(matches!(enter(&keys.way_in(), 1, later), Way::In { .. }));
    // Guesses of many together make the code worthless.
    let code = keys.way_in();
    for at in 0..100_u8 {
        enter("99999990", 100 + at % 100, later);
    }
    assert_ne!(keys.way_in(), code);
}

#[test]
fn a_browser_that_is_shut_out_by_the_command_is_out_at_once() {
    let folder = tempfile::tempdir().expect("a folder");
    let now = Timestamp::from_second(1_800_000_000).expect("a time");
    let keys = Keys::new(folder.path(), true);
    let enter = |last: u8| match keys.enter(&keys.way_in(), &caller(last), now) {
        Ok(Way::In { secret, .. }) => secret,
        other => panic!("{other:?}"),
    };
    let (one, other) = (enter(1), enter(2));
    let list = browsers(folder.path(), now);
    assert_eq!(list.len(), 2);
    assert_eq!(list[0].name, "Chromium Linux");
    let id = list[0].id().to_owned();
    assert_eq!(
        shut_out(folder.path(), |browser| browser.id() == id).expect("written"),
        1
    );
    assert!(!keys.knows(&one, now));
    assert!(keys.knows(&other, now));
    // A list of an older version, without names, is still read.
    let file = folder.path().join("page-browsers.json");
    let hash = "ab".repeat(32);
    std::fs::write(
        &file,
        format!(r#"[{{"hash":"{hash}","until":"2030-01-01T00:00:00Z"}}]"#),
    )
    .expect("written");
    assert_eq!(browsers(folder.path(), now)[0].id(), "ababab");
}

#[cfg(unix)]
#[test]
fn a_link_planted_in_the_way_is_not_followed() {
    let folder = tempfile::tempdir().expect("a folder");
    let victim = folder.path().join("victim");
    std::fs::write(&victim, "precious").expect("written");
    std::os::unix::fs::symlink(&victim, folder.path().join("page-browsers.new")).expect("a link");
    let now = Timestamp::from_second(1_800_000_000).expect("a time");
    let keys = Keys::new(folder.path(), true);
    assert!(keys.enter(&keys.way_in(), &caller(1), now).is_ok());
    assert_eq!(std::fs::read_to_string(&victim).expect("read"), "precious");
}

#[test]
fn a_browser_is_known_until_its_day_ends() {
    let folder = tempfile::tempdir().expect("a folder");
    let now = Timestamp::from_second(1_800_000_000).expect("a time");
    let keys = Keys::new(folder.path(), false);
    let Way::In { secret, new_code } = keys
        .enter(&keys.way_in(), &caller(1), now)
        .expect("written")
    else {
        panic!("the token lets in");
    };
    assert_eq!(new_code, None);
    let later = |hours| now + jiff::SignedDuration::from_hours(hours);
    assert!(keys.knows(&secret, later(15)));
    assert!(!keys.knows(&secret, later(17)));
    assert!(!keys.knows("", now) && !keys.knows(&keys.way_in(), now));
    assert!(
        Keys::new(folder.path(), false).knows(&secret, now),
        "after a restart"
    );
}
