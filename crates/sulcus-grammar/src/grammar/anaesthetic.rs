//! From the words of the anaesthetic to intents: numbers as people say them, vital signs, drugs, steps.
//!
//! Invariant: a row of number words has one value; words that make no number make no intent.

use super::intent::{GivenDrug, Intent, Question, Watching};
use super::matcher::Clause;
use crate::terms::drug::{Amount, Route};
use crate::terms::vital::{Measure, Reading, VitalMethod, VitalSign};
use crate::terms::watch::{AsaStatus, CourseStep, Crisis, Role};
use serde::de::DeserializeOwned;

/// Names of intents that the grammar files may use, beside those of `meaning`.
pub(super) const NAMES: &[&str] = &[
    "vital",
    "temperature_read",
    "pressure",
    "depth_of_anaesthesia",
    "ask_vitals",
    "crisis",
    "course",
    "intubated",
    "asa",
    "drug",
    "drug_wasted",
    "drug_witness",
    "drug_batch",
    "ask_given",
];

fn captured<'a>(clause: &'a Clause, slot: &'a str) -> impl Iterator<Item = &'a str> {
    clause
        .captures
        .iter()
        .filter(move |capture| capture.slot == slot)
        .map(|capture| capture.value.as_str())
}

fn named<T: DeserializeOwned>(clause: &Clause, slot: &str) -> Option<T> {
    let word = captured(clause, slot).next()?.to_owned();
    serde_json::from_value(serde_json::Value::String(word)).ok()
}

fn said(clause: &Clause, word: &str) -> bool {
    clause.literals.iter().any(|literal| literal == word)
}

/// The intent of a clause of the anaesthetic; none where it is another's, or makes no value.
pub(super) fn of_clause(clause: &Clause) -> Option<Intent> {
    let tokens: Vec<&str> = captured(clause, "n").collect();
    let watching = match clause.intent.as_str() {
        "vital" if said(clause, "reading") => {
            let sign = named(clause, "sign")?;
            vital(Reading::new(sign, Measure::NotReading, None).ok()?)
        }
        "vital" => one_number(named(clause, "sign")?, None, &tokens, Scale::Whole)?,
        "temperature_read" if said(clause, "reading") => {
            vital(Reading::new(VitalSign::Temperature, Measure::NotReading, None).ok()?)
        }
        "temperature_read" => one_number(
            VitalSign::Temperature,
            named(clause, "method"),
            &tokens,
            Scale::Tenths,
        )?,
        "pressure" if said(clause, "reading") => {
            vital(Reading::new(VitalSign::Pressure, Measure::NotReading, None).ok()?)
        }
        "pressure" => pressure(&tokens, named(clause, "method"), said(clause, "mean"))?,
        "depth_of_anaesthesia" => {
            let (sign, word) = captured(clause, "depth_sign").next()?.split_once(' ')?;
            let sign = serde_json::from_value(serde_json::Value::String(sign.to_owned())).ok()?;
            let word = word.to_owned();
            vital(Reading::new(sign, Measure::Word { word }, None).ok()?)
        }
        "crisis" => Watching::Crisis(named::<Crisis>(clause, "crisis")?),
        "course" => Watching::Course(named::<CourseStep>(clause, "course_step")?),
        "intubated" => {
            let size = match tokens.as_slice() {
                [] => None,
                // Greater than any tube: asked about as it is.
                tokens => {
                    Some(u16::try_from(hundredths(tokens, Scale::Whole)?).unwrap_or(u16::MAX))
                }
            };
            Watching::Course(CourseStep::Intubated {
                size_mm_hundredths: size,
            })
        }
        "asa" => Watching::Course(CourseStep::Asa(AsaStatus {
            class: captured(clause, "asa_class").next()?.parse().ok()?,
            emergency: said(clause, "emergency"),
        })),
        "drug" => drug(clause, &tokens)?,
        "drug_wasted" => {
            let unit = captured(clause, "unit").next();
            Watching::Wasted {
                drug: captured(clause, "drug").next()?.to_owned(),
                amount: amount(thousandths(&tokens)?, unit, None)?,
            }
        }
        "drug_witness" => Watching::Witness(named::<Role>(clause, "role")?),
        "drug_batch" => Watching::Batch {
            of: None,
            batch: tokens.concat(),
        },
        "ask_vitals" => return Some(Intent::Ask(Question::Vitals)),
        "ask_given" => return Some(Intent::Ask(Question::Given)),
        _ => return None,
    };
    Some(Intent::Watch(watching))
}

fn vital(reading: Reading) -> Watching {
    Watching::Vital {
        reading,
        sounds_like: Vec::new(),
    }
}

/// Whether a third digit without a point is a tenth: "thirty seven four" is 37.4 in a temperature.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Scale {
    Whole,
    Tenths,
}

fn one_number(
    sign: VitalSign,
    method: Option<VitalMethod>,
    tokens: &[&str],
    scale: Scale,
) -> Option<Watching> {
    let reading = |tokens: &[&str]| {
        let hundredths = hundredths(tokens, scale)?;
        Reading::new(sign, Measure::Number { hundredths }, method).ok()
    };
    Some(Watching::Vital {
        reading: reading(tokens)?,
        sounds_like: near(tokens)
            .iter()
            .filter_map(|tokens| reading(tokens))
            .collect(),
    })
}

fn pressure(tokens: &[&str], method: Option<VitalMethod>, is_mean: bool) -> Option<Watching> {
    let reading = |tokens: &[&str]| {
        let mut parts = tokens.split(|token| ["/", "m"].contains(token));
        let mut mmhg = || match parts.next() {
            None => Some(None),
            Some(part) => u16::try_from(hundredths(part, Scale::Whole)? / 100)
                .ok()
                .map(Some),
        };
        let (systolic, diastolic, mean) = (mmhg()?, mmhg()?, mmhg()?);
        let measure = if is_mean {
            Measure::Pressure {
                systolic: None,
                diastolic: None,
                mean: systolic,
            }
        } else {
            Measure::Pressure {
                systolic,
                diastolic,
                mean,
            }
        };
        Reading::new(VitalSign::Pressure, measure, method).ok()
    };
    Some(Watching::Vital {
        reading: reading(tokens)?,
        sounds_like: near(tokens)
            .iter()
            .filter_map(|tokens| reading(tokens))
            .collect(),
    })
}

/// The rows that sound like this one: fifteen for fifty, and the other way about. A number said digit by digit has
/// none; nor has "fifty five".
fn near<'a>(tokens: &[&'a str]) -> Vec<Vec<&'a str>> {
    const PAIRS: [(&str, &str); 7] = [
        ("13", "30"),
        ("14", "40"),
        ("15", "50"),
        ("16", "60"),
        ("17", "70"),
        ("18", "80"),
        ("19", "90"),
    ];
    let mut rows = Vec::new();
    for (at, token) in tokens.iter().enumerate() {
        let is_followed = tokens
            .get(at + 1)
            .is_some_and(|next| next.parse::<u32>().is_ok());
        let other = PAIRS.iter().find_map(|(teen, ten)| match *token {
            token if token == *teen => Some(*ten),
            token if token == *ten && !is_followed => Some(*teen),
            _ => None,
        });
        if let Some(other) = other {
            let mut row = tokens.to_vec();
            row[at] = other;
            rows.push(row);
        }
    }
    rows
}

fn drug(clause: &Clause, tokens: &[&str]) -> Option<Watching> {
    let mut parts = tokens.split(|token| *token == "of");
    let how_much = thousandths(parts.next()?)?;
    let strength = match parts.next() {
        None => None,
        Some(tokens) => Some(u32::try_from(thousandths(tokens)?).ok()?),
    };
    Some(Watching::Drug(GivenDrug {
        drug: captured(clause, "drug").next()?.to_owned(),
        // Without a unit nothing is guessed; it is asked for.
        amount: amount(how_much, captured(clause, "unit").next(), strength),
        strength_ug_per_ml: strength,
        route: named::<Route>(clause, "route"),
        by: named::<Role>(clause, "role"),
        ..GivenDrug::default()
    }))
}

/// Thousandths of the unit as an amount; none where no unit was said.
fn amount(thousandths: u64, unit: Option<&str>, strength: Option<u32>) -> Option<Amount> {
    Some(match unit? {
        // A thousandth of a millilitre is a microlitre, of a milligram a microgram.
        "ml" => Amount::of_volume(u32::try_from(thousandths).ok()?, strength),
        "mg" => Amount::of_dose(thousandths, strength),
        _ => Amount::of_dose(thousandths.div_ceil(1000), strength),
    })
}

/// A row of number words in hundredths.
fn hundredths(tokens: &[&str], scale: Scale) -> Option<u32> {
    let (whole, part) = cut(tokens, scale)?;
    Some(whole * 100 + fraction(part, 2)?)
}

/// A row of number words in thousandths.
pub(super) fn thousandths(tokens: &[&str]) -> Option<u64> {
    let (whole, part) = cut(tokens, Scale::Whole)?;
    Some(u64::from(whole) * 1000 + u64::from(fraction(part, 3)?))
}

/// The whole number, and the digits behind the point.
fn cut<'a, 'b>(tokens: &'a [&'b str], scale: Scale) -> Option<(u32, &'a [&'b str])> {
    if let Some(at) = tokens.iter().position(|token| *token == ".") {
        let (before, after) = (&tokens[..at], &tokens[at + 1..]);
        let count = if before.is_empty() { 0 } else { whole(before)? };
        return Some((count, after));
    }
    if tokens == ["half"] {
        return Some((0, &["5"]));
    }
    if tokens.last() == Some(&"half") {
        return Some((whole(&tokens[..tokens.len() - 1])?, &["5"]));
    }
    // Two figures, or a ten and a one, then a tenth.
    if scale == Scale::Tenths && tokens.len() == 3 && !tokens.contains(&"h") {
        return Some((whole(&tokens[..2])?, &tokens[2..]));
    }
    Some((whole(tokens)?, &[]))
}

/// Digits behind the point, in units of the last of so many places; further ones must be nought.
fn fraction(digits: &[&str], places: usize) -> Option<u32> {
    let mut value = 0;
    for at in 0..places.max(digits.len()) {
        let digit: u32 = digits.get(at).map_or(Some(0), |digit| digit.parse().ok())?;
        if at < places {
            value = value * 10 + digit;
        } else if digit != 0 {
            return None;
        }
    }
    Some(value)
}

/// "1 20", "1 h 20 5", "1 2 0", "90 8".
fn whole(tokens: &[&str]) -> Option<u32> {
    if let Some(at) = tokens.iter().position(|token| *token == "h") {
        let (hundreds, rest) = (whole(&tokens[..at])?, &tokens[at + 1..]);
        return Some(hundreds * 100 + if rest.is_empty() { 0 } else { whole(rest)? });
    }
    let numbers: Vec<u32> = tokens
        .iter()
        .map(|token| token.parse().ok())
        .collect::<Option<_>>()?;
    match numbers.as_slice() {
        [] => None,
        digits if digits.iter().all(|number| *number < 10) => {
            Some(digits.iter().fold(0, |sum, digit| sum * 10 + digit))
        }
        [hundreds, rest @ ..] if *hundreds < 10 => Some(hundreds * 100 + small(rest)?),
        numbers => small(numbers),
    }
}

/// "20", "20 5", "13".
fn small(numbers: &[u32]) -> Option<u32> {
    match numbers {
        [number] => Some(*number),
        [ten, one] if *ten >= 20 && *one < 10 => Some(ten + one),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::grammar::{Grammar, Meaning, Situation};
    use crate::terms::Species;

    fn intents(sentence: &str) -> Vec<Intent> {
        let grammar = Grammar::built_in().expect("a sound grammar");
        match grammar.interpret(&grammar.words(sentence), Situation::Table, Species::Dog) {
            Meaning::Said(intents) => intents,
            other => panic!("{sentence}: {other:?}"),
        }
    }

    fn texts(sentence: &str) -> Vec<String> {
        intents(sentence)
            .iter()
            .map(|intent| match intent {
                Intent::Watch(Watching::Vital { reading, .. }) => reading.text(),
                other => panic!("{other:?}"),
            })
            .collect()
    }

    #[test]
    fn vital_signs_are_said_in_one_breath() {
        assert_eq!(
            texts(
                "heart rate one twenty sats ninety eight CO2 forty two pressure one ten over sixty mean seventy five \
                 temp thirty seven four iso one point five"
            ),
            [
                "heart rate 120/min",
                "saturation 98%",
                "end tidal CO2 42 mmHg",
                "pressure 110/60 (75) mmHg",
                "temperature 37.4 °C",
                "isoflurane 1.5%",
            ]
        );
    }

    /// Each number from 10 to 250 in every way in which people say it means that number.
    #[test]
    fn every_number_from_ten_to_two_hundred_and_fifty_has_one_value() {
        use crate::speech::value::{ONES, TENS};
        let small = |number: usize| match number {
            0..20 => ONES[number].to_owned(),
            _ if number.is_multiple_of(10) => TENS[number / 10 - 2].to_owned(),
            _ => format!("{} {}", TENS[number / 10 - 2], ONES[number % 10]),
        };
        let mut tried = 0;
        for number in 10..=250_usize {
            let digits: Vec<&str> = number
                .to_string()
                .bytes()
                .map(|digit| ONES[usize::from(digit - b'0')])
                .collect();
            let mut ways = vec![digits.join(" ")];
            let (hundreds, rest) = (number / 100, number % 100);
            match (hundreds, rest) {
                (0, rest) => ways.push(small(rest)),
                (hundreds, 0) => ways.push(format!("{} hundred", ONES[hundreds])),
                (hundreds, rest) => {
                    let (hundreds, small) = (ONES[hundreds], small(rest));
                    ways.push(format!("{hundreds} hundred and {small}"));
                    ways.push(format!("{hundreds} hundred {small}"));
                    if rest >= 10 {
                        ways.push(format!("{hundreds} {small}"));
                    }
                }
            }
            for way in ways {
                let expected = format!("heart rate {number}/min");
                assert_eq!(texts(&format!("heart rate {way}")), [expected], "{way}");
                tried += 1;
            }
        }
        assert!(tried > 700, "{tried}");
    }

    #[test]
    fn close_pairs_are_known_unless_said_digit_by_digit() {
        let like = |sentence: &str| match intents(sentence).as_slice() {
            [Intent::Watch(Watching::Vital { sounds_like, .. })] => sounds_like
                .iter()
                .map(|reading| reading.value())
                .collect::<Vec<_>>(),
            other => panic!("{other:?}"),
        };
        assert_eq!(like("heart rate one fifty"), ["115"]);
        assert_eq!(like("heart rate one fifteen"), ["150"]);
        assert_eq!(like("heart rate one five zero"), [""; 0]);
        assert_eq!(like("heart rate one fifty five"), [""; 0]);
        assert_eq!(like("pressure one thirty over sixty"), ["113/60", "130/16"]);
    }

    #[test]
    fn amounts_are_exact() {
        let amount = |sentence: &str| match intents(sentence).as_slice() {
            [Intent::Watch(Watching::Drug(given))] => given.amount.map(|amount| amount.text()),
            other => panic!("{other:?}"),
        };
        assert_eq!(amount("methadone six milligrams"), Some("6 mg".into()));
        assert_eq!(
            amount("methadone point six millilitres intramuscular"),
            Some("0.6 mL".into())
        );
        assert_eq!(
            amount("buprenorphine zero point two seven millilitres of point three"),
            Some("81 µg (0.27 mL of 0.3 mg/mL)".into())
        );
        assert_eq!(
            amount("dexmedetomidine twenty micrograms"),
            Some("20 µg".into())
        );
        assert_eq!(amount("ketamine point four"), None);
    }
}
