//! How large a dog of a breed grows, so that a slip in its weight is asked back.
//!
//! The classes and which breed belongs to which: from memory, common practice, no source. The limits are wide on
//! purpose: they catch a slip of the point or of the unit, not a fat dog.

use super::Species;

/// The size that a grown dog of a breed has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BreedSize {
    Toy,
    Small,
    Medium,
    Large,
    Giant,
}

impl BreedSize {
    pub const ALL: [Self; 5] = [
        Self::Toy,
        Self::Small,
        Self::Medium,
        Self::Large,
        Self::Giant,
    ];

    /// As a person says it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Toy => "toy breed",
            Self::Small => "small breed",
            Self::Medium => "medium breed",
            Self::Large => "large breed",
            Self::Giant => "giant breed",
        }
    }

    /// Grams that grown dogs of this size usually have.
    pub fn usual_grams(self) -> (u32, u32) {
        match self {
            Self::Toy => (1_000, 5_000),
            Self::Small => (4_000, 12_000),
            Self::Medium => (9_000, 28_000),
            Self::Large => (20_000, 50_000),
            Self::Giant => (38_000, 90_000),
        }
    }

    /// Grams below which, and above which, a weight is asked back.
    pub fn asked_grams(self) -> (u32, u32) {
        let (low, high) = self.usual_grams();
        (low * 6 / 10, high * 14 / 10)
    }

    /// Words of the breeds of this size, each as it stands in a longer name too.
    fn breeds(self) -> &'static [&'static str] {
        match self {
            Self::Toy => &[
                "chihuahua",
                "yorkshire terrier",
                "yorkie",
                "pomeranian",
                "maltese",
                "papillon",
                "toy poodle",
                "italian greyhound",
                "toy terrier",
                "chinese crested",
            ],
            Self::Small => &[
                "jack russell",
                "miniature poodle",
                "dachshund",
                "pug",
                "shih tzu",
                "cavalier king charles",
                "west highland",
                "border terrier",
                "bichon",
                "miniature schnauzer",
                "french bulldog",
                "boston terrier",
                "lhasa apso",
                "cairn terrier",
                "pekingese",
                "norfolk terrier",
                "scottish terrier",
            ],
            Self::Medium => &[
                "cocker spaniel",
                "springer spaniel",
                "beagle",
                "border collie",
                "whippet",
                "staffordshire bull terrier",
                "corgi",
                "english bulldog",
                "shetland sheepdog",
                "basset",
                "australian cattle",
                "kelpie",
                "brittany",
            ],
            Self::Large => &[
                "labrador",
                "golden retriever",
                "german shepherd",
                "boxer",
                "dobermann",
                "doberman",
                "standard poodle",
                "husky",
                "weimaraner",
                "vizsla",
                "dalmatian",
                "greyhound",
                "irish setter",
                "malinois",
                "rhodesian ridgeback",
            ],
            Self::Giant => &[
                "great dane",
                "saint bernard",
                "st bernard",
                "newfoundland",
                "mastiff",
                "irish wolfhound",
                "leonberger",
                "bernese",
            ],
        }
    }
}

/// The size of a breed; none of a cat's, of a crossbreed, and of a breed that is not on the list.
pub fn size_of(species: Species, breed: &str) -> Option<BreedSize> {
    if species != Species::Dog {
        return None;
    }
    let lower = breed.to_lowercase();
    let words: Vec<&str> = lower
        .split(|letter: char| !letter.is_alphabetic())
        .filter(|word| !word.is_empty())
        .collect();
    if words
        .iter()
        .any(|word| matches!(*word, "x" | "cross" | "crossbreed" | "mix" | "mixed"))
    {
        return None;
    }
    let name = format!(" {} ", words.join(" "));
    BreedSize::ALL
        .into_iter()
        .flat_map(|size| size.breeds().iter().map(move |breed| (size, breed)))
        .filter(|(_, breed)| name.contains(&format!(" {breed} ")))
        // "Italian greyhound" is no greyhound.
        .max_by_key(|(_, breed)| breed.len())
        .map(|(size, _)| size)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_breed_is_found_in_a_longer_name_and_the_longest_name_decides() {
        let size = |breed| size_of(Species::Dog, breed);
        assert_eq!(size("Chihuahua (long-haired)"), Some(BreedSize::Toy));
        assert_eq!(size("Italian Greyhound"), Some(BreedSize::Toy));
        assert_eq!(size("greyhound"), Some(BreedSize::Large));
        assert_eq!(size("St. Bernard"), Some(BreedSize::Giant));
        assert_eq!(size("Labrador Retriever"), Some(BreedSize::Large));
        assert_eq!(size("Labrador cross"), None);
        assert_eq!(size("Labrador x Poodle"), None);
        assert_eq!(size("pugnacious"), None);
        assert_eq!(size_of(Species::Cat, "Maltese"), None);
    }

    #[test]
    fn no_breed_stands_on_two_lists() {
        let mut all: Vec<_> = BreedSize::ALL
            .iter()
            .flat_map(|size| size.breeds())
            .collect();
        all.sort();
        let count = all.len();
        all.dedup();
        assert_eq!(all.len(), count);
    }

    #[test]
    fn limits_lie_around_what_is_usual_and_grow_with_the_size() {
        for size in BreedSize::ALL {
            let ((low, high), (ask_low, ask_high)) = (size.usual_grams(), size.asked_grams());
            assert!(ask_low < low && low < high && high < ask_high, "{size:?}");
            // A slip of the point is always seen.
            assert!(low * 10 > ask_high || high / 10 < ask_low, "{size:?}");
        }
        assert!(
            BreedSize::ALL
                .windows(2)
                .all(|two| two[0].usual_grams() < two[1].usual_grams())
        );
    }

    proptest! {
        #[test]
        fn any_text_may_be_a_breed(text in "\\PC{0,40}") {
            let _ = size_of(Species::Dog, &text);
        }
    }
}
