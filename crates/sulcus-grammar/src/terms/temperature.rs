//! What a body temperature under anaesthetic means. For looking, never for treating: the vet decides.
//!
//! Sources: bands of cooling, Redondo et al., Vet Rec 170:206 (cats) and 171:374 (dogs): slight 36.50 to 38.49,
//! moderate 34.00 to 36.49, severe below 34.00 degrees. Awake normal up to 39.2 (dog) and 39.5 (cat): Today's
//! Veterinary Practice, hypothermia in the veterinary operating room. Other tables draw the bands elsewhere.

use super::patient::Species;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Band {
    /// Down to slight cooling, which is the rule under anaesthetic.
    Usual,
    /// Moderate cooling.
    Cold,
    /// Severe cooling.
    VeryCold,
    /// Above the awake normal.
    Hot,
}

/// The band of a temperature in tenths of a degree Celsius.
pub fn band(species: Species, celsius_tenths: u16) -> Band {
    let hot = match species {
        Species::Dog => 392,
        Species::Cat => 395,
    };
    match celsius_tenths {
        ..340 => Band::VeryCold,
        340..365 => Band::Cold,
        over if over > hot => Band::Hot,
        _ => Band::Usual,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_published_limits() {
        let dog = |tenths| band(Species::Dog, tenths);
        assert_eq!(
            [339, 340, 364, 365, 392, 393].map(dog),
            [
                Band::VeryCold,
                Band::Cold,
                Band::Cold,
                Band::Usual,
                Band::Usual,
                Band::Hot
            ]
        );
        assert_eq!(band(Species::Cat, 395), Band::Usual);
        assert_eq!(band(Species::Cat, 396), Band::Hot);
    }
}
