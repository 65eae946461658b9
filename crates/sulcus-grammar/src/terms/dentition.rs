//! Which teeth a dog or a cat has, with how many roots, and what each is called.
//! Sources: Merck Veterinary Manual, "Dentition, dog" [MERCK-DOG]; WikiVet, "Dental Formula - Cat" [WIKIVET-CAT];
//! Bellows, Feline Dentistry [BELLOWS-39]; Australian Veterinary Association, "Puppy teeth" [AVA-PUP];
//! Verstraete and Terpak 1997, J Vet Dent [VT97]. Root counts of deciduous teeth are from memory.

use super::patient::Species;
use super::tooth::{Entrance, Jaw, MouthSide, ToothNumber};

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Stage {
    Permanent,
    Deciduous,
}

/// How many roots a tooth has, and how sure the books are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Roots {
    /// 1 to 3.
    pub count: u8,
    /// True where individuals differ so much that another count is to be accepted with a warning.
    pub varies: bool,
    /// True where the count is from memory, without a source.
    pub from_memory: bool,
}

/// Positions present in one quadrant, front to back.
fn positions(species: Species, stage: Stage, jaw: Jaw) -> &'static [u8] {
    match (species, stage, jaw) {
        // Dog: 3 incisors, canine, 4 premolars; 2 upper and 3 lower molars [MERCK-DOG].
        (Species::Dog, Stage::Permanent, Jaw::Upper) => &[1, 2, 3, 4, 5, 6, 7, 8, 9, 10],
        (Species::Dog, Stage::Permanent, Jaw::Lower) => &[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11],
        // Cat: no upper first premolar, no lower first and second premolar, one molar [WIKIVET-CAT].
        (Species::Cat, Stage::Permanent, Jaw::Upper) => &[1, 2, 3, 4, 6, 7, 8, 9],
        (Species::Cat, Stage::Permanent, Jaw::Lower) => &[1, 2, 3, 4, 7, 8, 9],
        // No deciduous first premolar nor molar [AVA-PUP].
        (Species::Dog, Stage::Deciduous, _) => &[1, 2, 3, 4, 6, 7, 8],
        (Species::Cat, Stage::Deciduous, Jaw::Upper) => &[1, 2, 3, 4, 6, 7, 8],
        (Species::Cat, Stage::Deciduous, Jaw::Lower) => &[1, 2, 3, 4, 7, 8],
    }
}

fn stage_of(tooth: ToothNumber) -> Stage {
    if tooth.is_deciduous() {
        Stage::Deciduous
    } else {
        Stage::Permanent
    }
}

/// Whether a normal animal of the species has this tooth at some age.
pub fn has(species: Species, tooth: ToothNumber) -> bool {
    positions(species, stage_of(tooth), tooth.jaw()).contains(&tooth.position())
}

/// All teeth of a normal animal in number order.
pub fn teeth(species: Species, stage: Stage) -> Vec<ToothNumber> {
    let quadrants = match stage {
        Stage::Permanent => 1..=4,
        Stage::Deciduous => 5..=8,
    };
    quadrants
        .flat_map(|quadrant| {
            (1..=11).filter_map(move |p| ToothNumber::from_parts(quadrant, p).ok())
        })
        .filter(|&tooth| has(species, tooth))
        .collect()
}

/// The default way round the mouth: upper right from the back forwards to upper left back, then lower left
/// from the back forwards to lower right back. Common practice, no source: one round without lifting the probe
/// from one jaw to the other.
pub fn examination_path(species: Species, stage: Stage) -> Vec<ToothNumber> {
    let all = teeth(species, stage);
    let quadrant = |number: u8| {
        let number = if stage == Stage::Deciduous {
            number + 4
        } else {
            number
        };
        all.iter().copied().filter(move |t| t.quadrant() == number)
    };
    let mut path: Vec<ToothNumber> = Vec::with_capacity(all.len());
    for (backwards, forwards) in [(1, 2), (3, 4)] {
        let mut first: Vec<_> = quadrant(backwards).collect();
        first.reverse();
        path.extend(first);
        path.extend(quadrant(forwards));
    }
    path
}

/// The roots of a tooth, or nothing where the species lacks it.
pub fn roots(species: Species, tooth: ToothNumber) -> Option<Roots> {
    if !has(species, tooth) {
        return None;
    }
    let position = tooth.position();
    let sure = |count| Roots {
        count,
        varies: false,
        from_memory: false,
    };
    let varying = |count| Roots {
        count,
        varies: true,
        from_memory: false,
    };
    let remembered = |count| Roots {
        count,
        varies: false,
        from_memory: true,
    };
    Some(match (species, stage_of(tooth), tooth.jaw(), position) {
        (Species::Dog, Stage::Permanent, _, 1..=5) => sure(1),
        (Species::Dog, Stage::Permanent, Jaw::Upper, 6 | 7) => sure(2),
        (Species::Dog, Stage::Permanent, Jaw::Upper, _) => sure(3),
        (Species::Dog, Stage::Permanent, Jaw::Lower, 11) => sure(1),
        (Species::Dog, Stage::Permanent, Jaw::Lower, _) => sure(2),
        (Species::Cat, Stage::Permanent, _, 1..=4) => sure(1),
        // 27.7 % one root, 55.1 % partly fused, 9.2 % two roots in 155 skulls [VT97].
        (Species::Cat, Stage::Permanent, Jaw::Upper, 6) => varying(1),
        (Species::Cat, Stage::Permanent, Jaw::Upper, 7) => sure(2),
        (Species::Cat, Stage::Permanent, Jaw::Upper, 8) => sure(3),
        // 35.0 % one root, 34.7 % partly fused, 28.0 % two roots [VT97].
        (Species::Cat, Stage::Permanent, Jaw::Upper, _) => varying(1),
        (Species::Cat, Stage::Permanent, Jaw::Lower, _) => sure(2),
        (_, Stage::Deciduous, _, 1..=4) => remembered(1),
        (Species::Dog, Stage::Deciduous, Jaw::Upper, 6) => remembered(2),
        (Species::Cat, Stage::Deciduous, Jaw::Upper, 6) => remembered(1),
        (_, Stage::Deciduous, Jaw::Upper, _) => remembered(3),
        (_, Stage::Deciduous, Jaw::Lower, _) => remembered(2),
    })
}

/// The ways into the fork of a tooth's roots: none for one root (unless it varies: then as for two),
/// cheek and tongue side for two, cheek, front and back for three. Three-root sites: from memory.
pub fn entrances(species: Species, tooth: ToothNumber) -> &'static [Entrance] {
    match roots(species, tooth) {
        Some(Roots { count: 3, .. }) => &[Entrance::Buccal, Entrance::Mesial, Entrance::Distal],
        Some(Roots { count: 2, .. } | Roots { varies: true, .. }) => {
            &[Entrance::Buccal, Entrance::Lingual]
        }
        _ => &[],
    }
}

/// "left mandibular fourth premolar". Names follow the positions, so a cat's first lower premolar is the third.
pub fn name(tooth: ToothNumber) -> String {
    let side = match tooth.mouth_side() {
        MouthSide::Right => "right",
        MouthSide::Left => "left",
    };
    let jaw = match tooth.jaw() {
        Jaw::Upper => "maxillary",
        Jaw::Lower => "mandibular",
    };
    let kind = match tooth.position() {
        1 => "first incisor",
        2 => "second incisor",
        3 => "third incisor",
        4 => "canine",
        5 => "first premolar",
        6 => "second premolar",
        7 => "third premolar",
        8 => "fourth premolar",
        9 => "first molar",
        10 => "second molar",
        _ => "third molar",
    };
    let stage = if tooth.is_deciduous() {
        "deciduous "
    } else {
        ""
    };
    format!("{side} {jaw} {stage}{kind}")
}

/// Why the species has no such tooth, in words fit to be spoken.
pub fn why_lacking(species: Species, tooth: ToothNumber) -> String {
    let jaw = match tooth.jaw() {
        Jaw::Upper => "upper",
        Jaw::Lower => "lower",
    };
    let kind = match tooth.position() {
        5 => "first premolar",
        6 => "second premolar",
        9 => "first molar",
        10 => "second molar",
        _ => "third molar",
    };
    let stage = if tooth.is_deciduous() {
        "deciduous "
    } else {
        ""
    };
    format!("a {} has no {jaw} {stage}{kind}", species.word())
}
