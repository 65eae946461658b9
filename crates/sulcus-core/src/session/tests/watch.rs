//! The watch over the anaesthetic: reminders in their order, limits told once, and a rehearsal of many readings with a
//! mishearing ear and a nurse who does not always listen.

use rand::RngExt;
use rand::SeedableRng;
use rand::seq::IndexedRandom;
use rand_chacha::ChaCha8Rng;

use super::Table;
use crate::clock::Clock;
use crate::record::monitoring;
use crate::session::Session;
use crate::terms::Species;
use crate::terms::vital::VitalSign;
use sulcus_speech::speech::value::{ONES, TENS};

/// What is told in each of so many minutes: "tone", "word" or nothing.
fn told(table: &mut Table, session: &mut Session, minutes: usize) -> Vec<(usize, &'static str)> {
    let mut told = Vec::new();
    for minute in 1..=minutes {
        table.clock.advance_ms(60_000);
        let reminded = session.remind(&table.record, table.clock.0, Some(10));
        if reminded.is_tone {
            told.push((minute, "tone"));
        }
        if reminded
            .phrases
            .iter()
            .any(|phrase| phrase.key == "vitals_due")
        {
            told.push((minute, "word"));
        }
    }
    told
}

#[test]
fn vital_signs_are_due_by_a_tone_and_then_by_a_word_until_the_animal_is_handed_over() {
    let mut table = Table::open(Species::Dog);
    let mut session = Session::new(crate::session::Rules::built_in().expect("rules"));
    assert_eq!(told(&mut table, &mut session, 20), []);
    table.say("anaesthesia started");
    assert_eq!(
        told(&mut table, &mut session, 12),
        [(5, "tone"), (6, "word"), (10, "tone"), (11, "word")]
    );
    table.say("heart rate nine two temp three seven one");
    assert_eq!(told(&mut table, &mut session, 5), [(5, "tone")]);
    // Depth alone is no reading of the routine.
    table.say("gums pink");
    assert_eq!(told(&mut table, &mut session, 1), [(1, "word")]);
    table.say("heart rate nine two");
    table.say("handed over");
    assert_eq!(told(&mut table, &mut session, 30), []);
}

#[test]
fn a_value_outside_its_limits_is_told_once_and_once_more_where_the_next_is_too() {
    let mut table = Table::open(Species::Dog);
    let mut outside = Vec::new();
    for mean in [
        "five eight",
        "five six",
        "five four",
        "seven two",
        "five eight",
    ] {
        table.clock.advance_ms(300_000);
        let says = table
            .say(&format!("pressure nine eight over four four mean {mean}"))
            .join(". ");
        outside.push((says.contains("Check the patient"), says.contains("twice")));
    }
    assert_eq!(
        outside,
        [
            (true, false),
            (true, true),
            (false, false),
            (false, false),
            (true, false)
        ]
    );
}

/// A number as a person says it: digit by digit, or as a number.
fn as_said(number: u32, random: &mut ChaCha8Rng) -> Vec<String> {
    let one = |number: u32| ONES[number as usize].to_owned();
    let small = |number: u32| match number {
        0..20 => vec![one(number)],
        _ if number.is_multiple_of(10) => vec![TENS[number as usize / 10 - 2].to_owned()],
        _ => vec![TENS[number as usize / 10 - 2].to_owned(), one(number % 10)],
    };
    if random.random_bool(0.5) {
        return number
            .to_string()
            .bytes()
            .map(|digit| one(u32::from(digit - b'0')))
            .collect();
    }
    match (number / 100, number % 100) {
        (0, rest) => small(rest),
        (hundreds, 0) => vec![one(hundreds), "hundred".into()],
        (hundreds, rest @ 1..10) => vec![one(hundreds), "oh".into(), one(rest)],
        (hundreds, rest) => [vec![one(hundreds)], small(rest)].concat(),
    }
}

/// What an ear makes of it: fifteen for fifty, or another digit.
fn misheard(words: &[String], random: &mut ChaCha8Rng) -> Vec<String> {
    let mut words = words.to_vec();
    let swapped = words.iter().position(|word| {
        TENS.contains(&word.as_str()) || (word.ends_with("teen") && word != "teen")
    });
    if let Some(at) = swapped
        && random.random_bool(0.5)
    {
        let ten = TENS.iter().position(|ten| *ten == words[at]);
        words[at] = match ten {
            // Twenty has no teen that sounds like it.
            Some(0) => TENS[1].to_owned(),
            Some(ten) => ONES[ten + 12].to_owned(),
            None => {
                let teen = ONES.iter().position(|one| *one == words[at]).unwrap_or(13);
                TENS[teen - 12].to_owned()
            }
        };
        return words;
    }
    let at = random.random_range(0..words.len());
    if ONES[..10].contains(&words[at].as_str()) {
        words[at] = (*ONES[..10].choose(random).expect("digits")).to_owned();
    }
    words
}

/// One reading in twenty is misheard, and one wrong read-back in fifty goes unnoticed; neither figure is measured.
/// The oracle is what the nurse meant.
#[test]
fn of_a_thousand_readings_few_wrong_ones_are_confirmed() {
    const READINGS: usize = 1_000;
    let mut random = ChaCha8Rng::seed_from_u64(18);
    let (mut wrong, mut asked, mut said, mut caught) = (0, 0, 0, 0);
    for reading in 0..READINGS {
        let species = if reading % 2 == 0 {
            Species::Dog
        } else {
            Species::Cat
        };
        let mut table = Table::open(species);
        let (sign, words, from, to) = *[
            (VitalSign::HeartRate, "heart rate", 60, 180),
            (VitalSign::BreathingRate, "resp rate", 6, 40),
            (VitalSign::OxygenSaturation, "sats", 88, 100),
            (VitalSign::EndTidalCo2, "co2", 30, 60),
        ]
        .choose(&mut random)
        .expect("signs");
        let meant: u32 = random.random_range(from..=to);
        for attempt in 0.. {
            assert!(attempt < 50, "{words} {meant} is never taken");
            let number = as_said(meant, &mut random);
            let heard = if random.random_bool(0.05) {
                misheard(&number, &mut random)
            } else {
                number
            };
            let mut says = table.say(&format!("{words} {}", heard.join(" ")));
            said += 1;
            let value = |table: &Table| {
                monitoring::newest(&table.record, sign)
                    .and_then(|point| point.reading.hundredths())
                    .map(|hundredths| hundredths / 100)
            };
            if table.record.open_challenge().is_some() {
                asked += 1;
                // The question names the value first, and then what it sounds like.
                let title = crate::session::watch::capital(sign.title());
                let said = says.join(" ");
                let is_right = [",", "."]
                    .iter()
                    .any(|end| said.contains(&format!("{title} {meant}{end}")));
                if is_right || random.random_bool(0.02) {
                    says = table.say("confirm");
                } else {
                    caught += 1;
                    table.say("no");
                    continue;
                }
            }
            let Some(entered) = value(&table) else {
                // Refused, or no sentence any more.
                caught += 1;
                continue;
            };
            assert!(!says.is_empty());
            if entered != meant && !random.random_bool(0.02) {
                caught += 1;
                table.say("no");
                continue;
            }
            table.say("confirm");
            wrong += usize::from(entered != meant);
            break;
        }
    }
    println!(
        "{READINGS} readings: {said} said, {asked} asked about, {caught} wrong ones caught, {wrong} wrong confirmed"
    );
    assert!(caught > 20, "the ear of this rehearsal mishears nothing");
    assert!(wrong <= 3, "{wrong} wrong readings were confirmed");
}
