//! Which phrases are worth making ahead: what is certain or likely to be said, the most likely first.
//! Only a list; the speaker makes it when it has nothing to say.

use crate::session::phrase::{Phrase, Slot};
use crate::session::reply;
use crate::session::rules::Rules;
use crate::terms::{Species, Stage, dentition};

use super::wording;

/// Depths of a sound mouth, in mm: said most often. (Limits for challenges are rules; here they
/// only decide what is made first.)
const COMMON_DEPTHS_MM: [u8; 3] = [1, 2, 3];

/// Names of the sides.
const SIDES: [&str; 3] = ["buccal", "palatal", "lingual"];

/// Phrases for an examination of this species: fixed sentences, teeth, single depths, common triples.
pub fn phrases(rules: &Rules, species: Species) -> Vec<String> {
    let mut phrases = fixed();
    for stage in [Stage::Permanent, Stage::Deciduous] {
        for tooth in dentition::teeth(species, stage) {
            let tooth = Phrase::new("tooth").with("tooth", Slot::Tooth(tooth));
            phrases.extend(wording::spoken(&tooth, rules));
        }
    }
    for depths_mm in common_depths() {
        for side in SIDES {
            phrases.extend(depths(side, depths_mm.clone(), rules));
        }
    }
    let mut seen = std::collections::HashSet::new();
    phrases.retain(|phrase| seen.insert(phrase.clone()));
    phrases
}

/// Sentences of the replies that have no gap.
fn fixed() -> Vec<String> {
    let says = reply::replies().values().flat_map(|reply| &reply.say);
    says.filter(|phrase| !phrase.contains('{'))
        .cloned()
        .collect()
}

fn depths(side: &str, depths_mm: Vec<u8>, rules: &Rules) -> Vec<String> {
    let phrase = Phrase::new("depths_side")
        .with("side", Slot::Text(side.to_owned()))
        .with("mm", Slot::Digits(depths_mm));
    wording::spoken(&phrase, rules)
}

/// Single depths, then triples: the more even first, since even depths are the most common.
fn common_depths() -> Vec<Vec<u8>> {
    let mut depths_mm: Vec<Vec<u8>> = (0..=9).map(|depth_mm| vec![depth_mm]).collect();
    for first in COMMON_DEPTHS_MM {
        for second in COMMON_DEPTHS_MM {
            for third in COMMON_DEPTHS_MM {
                depths_mm.push(vec![first, second, third]);
            }
        }
    }
    depths_mm.sort_by_key(|depths| depths.iter().map(|depth| depth.abs_diff(depths[0])).max());
    depths_mm
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn teeth_sides_and_common_depths_are_made_ahead_once_each() {
        let phrases = phrases(&Rules::built_in().unwrap(), Species::Cat);
        for expected in [
            "Tooth, four zero nine.",
            "Palatal, two, two, three.",
            "Nothing to confirm.",
            "Lingual, nine.",
        ] {
            let count = phrases.iter().filter(|phrase| *phrase == expected).count();
            assert_eq!(count, 1, "{expected}");
        }
        // Not a tooth of the cat.
        assert!(!phrases.contains(&"Tooth, one zero five.".to_owned()));
        assert!(phrases.len() < 300, "{}", phrases.len());
    }
}
