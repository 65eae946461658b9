//! Who an utterance sounds like, where vet and nurse have both practised and one voice is clearly higher: a hint that
//! is kept beside the entry. Nothing is decided by it, and it never becomes the speaker.

use super::voices::Voices;
use crate::record::Record;
use crate::record::event::Speaker as Person;
use crate::speech::pitch;

/// Voices that are nearer to each other than this, in semitones, are not told apart. Of two recorded people chosen
/// at random about half are further apart (`tests/sound/sounds_like.rs`).
const APART_SEMITONES: f32 = 4.0;

/// So much of the way from one voice to the other, an utterance may still be the first one's.
const OWN_SHARE: f32 = 0.4;

/// An utterance further than this from both, in semitones, is somebody else's, or no voice.
const AWAY_SEMITONES: f32 = 6.0;

/// Usual pitch of both at the table, in hertz.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pitches {
    pub vet_hz: f32,
    pub nurse_hz: f32,
}

impl Pitches {
    /// Of the vet and the nurse of this visit; none where one of them has not practised.
    pub fn of(voices: &Voices, record: &Record) -> Option<Self> {
        let hz = |name: &Option<String>| voices.get(name.as_deref()?)?.pitch_hz;
        Some(Self {
            vet_hz: hz(&record.vet)?,
            nurse_hz: hz(&record.nurse)?,
        })
    }

    /// Whether these two can be told apart at all.
    pub fn are_apart(&self) -> bool {
        semitones(self.vet_hz, self.nurse_hz).abs() >= APART_SEMITONES
    }

    /// Whose voice this is most like; unknown where that is not clear.
    pub fn who(&self, samples: &[f32]) -> Person {
        pitch::median_hz(samples).map_or(Person::Unknown, |hz| self.who_at(hz))
    }

    /// The same for an utterance of this pitch.
    pub fn who_at(&self, hz: f32) -> Person {
        let apart = semitones(self.vet_hz, self.nurse_hz);
        let from_vet = semitones(self.vet_hz, hz);
        let from_nurse = from_vet - apart;
        let is_near = from_vet.abs().min(from_nurse.abs()) <= AWAY_SEMITONES;
        if !self.are_apart() || !is_near {
            return Person::Unknown;
        }
        // 0 is the vet, 1 the nurse.
        let way = from_vet / apart;
        if way <= OWN_SHARE {
            Person::Vet
        } else if way >= 1.0 - OWN_SHARE {
            Person::Nurse
        } else {
            Person::Unknown
        }
    }
}

/// How much higher the second is.
fn semitones(from_hz: f32, to_hz: f32) -> f32 {
    12.0 * (to_hz / from_hz).log2()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_clear_difference_is_a_hint() {
        let far = Pitches {
            vet_hz: 110.0,
            nurse_hz: 205.0,
        };
        for (hz, who) in [
            (100.0, Person::Vet),
            (125.0, Person::Vet),
            (150.0, Person::Unknown),
            (190.0, Person::Nurse),
            (240.0, Person::Nurse),
            // A child in the door, a motor.
            (330.0, Person::Unknown),
            (70.0, Person::Unknown),
        ] {
            assert_eq!(far.who_at(hz), who, "{hz} Hz");
        }
        let near = Pitches {
            vet_hz: 190.0,
            nurse_hz: 205.0,
        };
        assert_eq!(near.who_at(190.0), Person::Unknown);
        let broken = Pitches {
            vet_hz: 0.0,
            nurse_hz: 205.0,
        };
        assert_eq!(broken.who_at(205.0), Person::Unknown);
    }
}
