//! What the vet means to enter: an invented examination, tooth by tooth, in the words it is said in.

use std::collections::BTreeMap;

use rand::RngExt;
use rand::seq::IndexedRandom;
use rand_chacha::ChaCha8Rng;

use crate::terms::{
    Kind, Place, Side, Site, Species, Stage, Subject, ToothNumber, Value, dentition,
};

/// Where a value belongs.
pub type Meant = (Subject, Kind, Place);

/// What is said in one breath, and what it means.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    pub words: Vec<String>,
    pub values: Vec<(Meant, Value)>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct ToothPlan {
    pub tooth: ToothNumber,
    pub pieces: Vec<Piece>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Exam {
    pub teeth: Vec<ToothPlan>,
    values: BTreeMap<Meant, Value>,
}

pub const DIGITS: [&str; 10] = [
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine",
];

impl Exam {
    /// An examination of the first `teeth` teeth on the usual way round.
    pub fn invent(species: Species, teeth: usize, random: &mut ChaCha8Rng) -> Self {
        let teeth: Vec<ToothPlan> = dentition::examination_path(species, Stage::Permanent)
            .into_iter()
            .take(teeth)
            .map(|tooth| plan(species, tooth, random))
            .collect();
        let values = teeth
            .iter()
            .flat_map(|tooth| &tooth.pieces)
            .flat_map(|piece| piece.values.iter().cloned())
            .collect();
        Self { teeth, values }
    }

    /// The examination as the practised say it: one breath a tooth, the first by its number.
    #[cfg(test)]
    pub fn breaths(&self) -> Vec<Vec<String>> {
        self.teeth
            .iter()
            .enumerate()
            .map(|(at, plan)| {
                let way = match at {
                    0 => tooth_words(plan.tooth),
                    _ => words("next"),
                };
                let pieces = plan.pieces.iter().flat_map(|piece| piece.words.clone());
                way.into_iter().chain(pieces).collect()
            })
            .collect()
    }

    pub fn values(&self) -> &BTreeMap<Meant, Value> {
        &self.values
    }

    pub fn meant(&self, key: &Meant) -> Option<&Value> {
        self.values.get(key)
    }
}

fn plan(species: Species, tooth: ToothNumber, random: &mut ChaCha8Rng) -> ToothPlan {
    let mut pieces = Vec::new();
    let whole = |kind| (Subject::Tooth(tooth), kind, Place::Whole);
    if random.random_bool(0.05) {
        pieces.push(Piece {
            words: words("missing"),
            values: vec![(whole(Kind::Absent), Value::Present)],
        });
        return ToothPlan { tooth, pieces };
    }
    for side in [Side::Buccal, Side::Lingual] {
        pieces.push(depths(species, tooth, side, random));
    }
    for (kind, chance, from) in [
        (Kind::Mobility, 0.15, 0),
        (Kind::Gingivitis, 0.3, 0),
        (Kind::Calculus, 0.3, 0),
    ] {
        if random.random_bool(chance) {
            let grade = random.random_range(from..=3);
            pieces.push(Piece {
                words: words(&format!(
                    "{} {}",
                    kind.spec().title,
                    DIGITS[usize::from(grade)]
                )),
                values: vec![(whole(kind), Value::Grade(grade))],
            });
        }
    }
    let roots = dentition::roots(species, tooth);
    if roots.is_some_and(|roots| roots.count > 1) && random.random_bool(0.2) {
        let grade = random.random_range(1..=3_u8);
        pieces.push(Piece {
            words: words(&format!("furcation {}", DIGITS[usize::from(grade)])),
            values: vec![(whole(Kind::Furcation), Value::Grade(grade))],
        });
    }
    if random.random_bool(0.05) {
        let (said, code) = [
            ("uncomplicated crown fracture", "UCF"),
            ("complicated crown fracture", "CCF"),
        ]
        .choose(random)
        .copied()
        .unwrap_or(("enamel fracture", "EF"));
        pieces.push(Piece {
            words: words(said),
            values: vec![(whole(Kind::Fracture), Value::Code(code.to_owned()))],
        });
    }
    ToothPlan { tooth, pieces }
}

/// Three depths of a side: mostly sound, now and then a pocket.
fn depths(species: Species, tooth: ToothNumber, side: Side, random: &mut ChaCha8Rng) -> Piece {
    let sound = match species {
        Species::Dog => 1..=3_u8,
        Species::Cat => 1..=2,
    };
    let deep = match species {
        Species::Dog => 4..=11_u8,
        Species::Cat => 3..=7,
    };
    let mut said = vec![
        match side {
            Side::Buccal => "buccal",
            Side::Lingual => "lingual",
        }
        .to_owned(),
    ];
    let mut values = Vec::new();
    for site in Site::of_side(side) {
        let mm = if random.random_bool(0.12) {
            random.random_range(deep.clone())
        } else {
            random.random_range(sound.clone())
        };
        said.push(match mm {
            10 => "ten".to_owned(),
            11 => "eleven".to_owned(),
            mm => DIGITS[usize::from(mm)].to_owned(),
        });
        values.push((
            (Subject::Tooth(tooth), Kind::Depth, Place::Site(site)),
            Value::Mm(mm),
        ));
    }
    Piece {
        words: said,
        values,
    }
}

pub fn words(sentence: &str) -> Vec<String> {
    sentence.split_whitespace().map(str::to_owned).collect()
}

/// "tooth one zero four", "tooth four eleven".
pub fn tooth_words(tooth: ToothNumber) -> Vec<String> {
    let digit = |digit: u8| DIGITS[usize::from(digit)].to_owned();
    let mut said = vec!["tooth".to_owned(), digit(tooth.quadrant())];
    match tooth.position() {
        // "Three one one" would be three depths.
        11 => said.push("eleven".to_owned()),
        10 => said.push("ten".to_owned()),
        position => said.extend([digit(0), digit(position)]),
    }
    said
}
