//! Check values from published sources, as rows of `tests/data/checks/terms.tsv`.

use super::dentition::{self, Stage};
use super::{Jaw, Species, ToothNumber, eruption};

fn species(word: &str) -> Species {
    word.parse().expect("dog or cat")
}

fn tooth(word: &str) -> ToothNumber {
    ToothNumber::new(word.parse().expect("a number")).expect("a tooth")
}

fn teeth(words: &[&str]) -> (Species, Vec<ToothNumber>) {
    let stage = if words[1] == "deciduous" {
        Stage::Deciduous
    } else {
        Stage::Permanent
    };
    (
        species(words[0]),
        dentition::teeth(species(words[0]), stage),
    )
}

fn found(check: &str, input: &str) -> String {
    let words: Vec<&str> = input.split(' ').collect();
    let roots = |of, tooth| dentition::roots(of, tooth).map_or(0, |roots| roots.count);
    match check {
        "count" => teeth(&words).1.len().to_string(),
        "has" => dentition::has(species(words[0]), tooth(words[1])).to_string(),
        "name" => dentition::name(tooth(words[0])),
        "successor" => tooth(words[0])
            .successor()
            .map_or_else(String::new, |t| t.to_string()),
        "roots" => roots(species(words[0]), tooth(words[1])).to_string(),
        "roots_total" => {
            let (of, teeth) = teeth(&words);
            teeth
                .iter()
                .map(|tooth| u32::from(roots(of, *tooth)))
                .sum::<u32>()
                .to_string()
        }
        "three_rooted_lower" => {
            let (of, teeth) = teeth(&words);
            teeth
                .iter()
                .filter(|t| t.jaw() == Jaw::Lower && roots(of, **t) == 3)
                .count()
                .to_string()
        }
        "furcation_teeth" => {
            let (of, teeth) = teeth(&words);
            teeth
                .iter()
                .filter(|t| !dentition::entrances(of, **t).is_empty())
                .count()
                .to_string()
        }
        "eruption_day" => eruption::eruption_day(species(words[0]), tooth(words[1]))
            .map_or_else(String::new, |d| d.to_string()),
        "persistent" => {
            eruption::is_persistent(tooth(words[1]), words[2].parse().expect("days")).to_string()
        }
        "gap" => {
            format!(
                "{:?}",
                eruption::gap(
                    species(words[0]),
                    tooth(words[1]),
                    words[2].parse().expect("days")
                )
            )
        }
        "age" => eruption::youngest_age_days(&words[0].into(), words[1].parse().expect("a date"))
            .map_or_else(String::new, |days| days.to_string()),
        other => panic!("no check is called {other}"),
    }
}

#[test]
fn published_values_hold() {
    let mut count = 0;
    for line in include_str!("../../../../tests/data/checks/terms.tsv")
        .lines()
        .filter(|line| !line.starts_with('#'))
    {
        let [check, input, expected, source] = line.split('\t').collect::<Vec<_>>()[..] else {
            panic!("a row has four cells: {line}");
        };
        assert!(!source.is_empty(), "{line}");
        assert_eq!(found(check, input), expected, "{check} {input} ({source})");
        count += 1;
    }
    assert!(count > 40);
}

#[test]
fn numbers_outside_the_system_are_refused() {
    for number in [0, 100, 112, 901, 1, 999] {
        assert!(ToothNumber::new(number).is_err(), "{number}");
    }
}
