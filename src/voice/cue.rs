//! Short tones that say without words what happened. Made by sums, so that they work where no voice does.
//!
//! Invariant: each cue differs from each other in rhythm or direction, not in pitch alone:
//! a person with a scaler running hears rhythm before pitch. Common practice, no source.

use super::Sound;
use super::sound::samples_in;

/// What a tone says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Cue {
    /// The end of speech was noticed; understanding has begun. One short tick.
    Heard,
    /// The finding is on disk. Two notes upwards.
    Saved,
    /// The finding could not be saved. Three low rough blasts: longer and louder than all else.
    NotSaved,
    /// Listening begins. A rising sweep.
    ListeningOn,
    /// Listening ends. A falling sweep.
    ListeningOff,
    /// An answer is awaited, or nothing was understood. Three even pips.
    Question,
    /// The vital signs are due. Two soft low notes.
    VitalsDue,
}

/// When [`Cue::Heard`] sounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, clap::ValueEnum)]
pub enum HeardTone {
    /// With the first silence after speech, at pauses within a sentence too: somebody was heard.
    Silence,
    /// When the sentence was understood, half a second later.
    #[default]
    Understood,
}

/// All cues, in the order of their declaration.
pub const ALL: [Cue; 7] = [
    Cue::Heard,
    Cue::Saved,
    Cue::NotSaved,
    Cue::ListeningOn,
    Cue::ListeningOff,
    Cue::Question,
    Cue::VitalsDue,
];

/// One stretch of a cue.
struct Note {
    /// Pitch at start and end; 0 is silence.
    from_hz: f32,
    to_hz: f32,
    duration_ms: u32,
    level: f32,
    /// Adds odd overtones.
    rough: bool,
}

/// Softer than speech (-20 dB root mean square), loud enough over a suction pipe beside the head.
const LEVEL: f32 = 0.25;

/// The alarm alone may startle.
const ALARM_LEVEL: f32 = 0.6;

/// Below the other tones: it may come while the vet listens to an animal.
const SOFT_LEVEL: f32 = 0.16;

/// Rise and fall at both ends of a note, against clicks.
const EDGE_MS: u32 = 5;

impl Cue {
    /// Short name for files and logs.
    pub fn name(self) -> &'static str {
        match self {
            Self::Heard => "heard",
            Self::Saved => "saved",
            Self::NotSaved => "not-saved",
            Self::ListeningOn => "listening-on",
            Self::ListeningOff => "listening-off",
            Self::Question => "question",
            Self::VitalsDue => "vitals-due",
        }
    }

    /// The tone. All but the alarm take less than 150 ms, so that they end before a person speaks on.
    pub fn sound(self, rate_hz: u32) -> Sound {
        let mut samples = Vec::new();
        for note in self.notes() {
            add_note(&mut samples, &note, rate_hz);
        }
        Sound { samples, rate_hz }
    }

    fn notes(self) -> Vec<Note> {
        match self {
            Self::Heard => vec![tone(1000.0, 40)],
            Self::Saved => vec![tone(784.0, 50), tone(1175.0, 70)],
            Self::NotSaved => vec![blast(), rest(70), blast(), rest(70), blast()],
            Self::ListeningOn => vec![sweep(400.0, 900.0)],
            Self::ListeningOff => vec![sweep(900.0, 400.0)],
            Self::VitalsDue => vec![soft(440.0, 48), rest(34), soft(440.0, 48)],
            Self::Question => vec![
                tone(660.0, 30),
                rest(22),
                tone(660.0, 30),
                rest(22),
                tone(660.0, 30),
            ],
        }
    }
}

fn tone(hz: f32, duration_ms: u32) -> Note {
    Note {
        from_hz: hz,
        to_hz: hz,
        duration_ms,
        level: LEVEL,
        rough: false,
    }
}

/// A reminder may be missed, and comes again.
fn soft(hz: f32, duration_ms: u32) -> Note {
    Note {
        level: SOFT_LEVEL,
        ..tone(hz, duration_ms)
    }
}

fn sweep(from_hz: f32, to_hz: f32) -> Note {
    Note {
        from_hz,
        to_hz,
        duration_ms: 140,
        level: LEVEL,
        rough: false,
    }
}

fn blast() -> Note {
    Note {
        from_hz: 330.0,
        to_hz: 300.0,
        duration_ms: 180,
        level: ALARM_LEVEL,
        rough: true,
    }
}

fn rest(duration_ms: u32) -> Note {
    Note {
        level: 0.0,
        ..tone(0.0, duration_ms)
    }
}

fn add_note(samples: &mut Vec<f32>, note: &Note, rate_hz: u32) {
    let count = samples_in(note.duration_ms, rate_hz);
    let edge = samples_in(EDGE_MS, rate_hz).max(1);
    let mut phase = 0.0_f32;
    for index in 0..count {
        let done = index as f32 / count as f32;
        let hz = note.from_hz + (note.to_hz - note.from_hz) * done;
        phase = (phase + std::f32::consts::TAU * hz / rate_hz as f32) % std::f32::consts::TAU;
        let wave = if note.rough {
            // The first terms of a square wave: harsh without aliasing at any rate above 4 kHz.
            (phase.sin() + (3.0 * phase).sin() / 3.0 + (5.0 * phase).sin() / 5.0) * 0.9
        } else {
            phase.sin()
        };
        let to_end = index.min(count - 1 - index);
        let edge_gain = (to_end as f32 / edge as f32).min(1.0);
        samples.push(wave * note.level * edge_gain);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_but_the_alarm_are_shorter_than_150_ms() {
        for cue in ALL {
            let duration_ms = cue.sound(22_050).duration_ms();
            let limit_ms = if cue == Cue::NotSaved { 800 } else { 149 };
            assert!(
                (35..=limit_ms).contains(&duration_ms),
                "{cue:?} {duration_ms} ms"
            );
        }
    }

    #[test]
    fn cues_are_clean_and_the_alarm_is_the_loudest() {
        let peak = |cue: Cue| {
            let sound = cue.sound(48_000);
            let ends = [sound.samples[0], *sound.samples.last().unwrap()];
            assert!(ends.iter().all(|end| end.abs() < 0.01), "{cue:?} clicks");
            sound
                .samples
                .iter()
                .fold(0.0_f32, |peak, sample| peak.max(sample.abs()))
        };
        let alarm = peak(Cue::NotSaved);
        assert!(alarm < 0.9);
        for cue in ALL.into_iter().filter(|cue| *cue != Cue::NotSaved) {
            assert!(peak(cue) < alarm / 2.0, "{cue:?}");
        }
    }

    /// Loudness every 10 ms: two cues whose outlines are alike must differ in the direction of pitch.
    #[test]
    fn no_two_cues_have_the_same_outline_and_direction() {
        let outline = |cue: Cue| -> (Vec<bool>, i8) {
            let sound = cue.sound(16_000);
            let loud = sound
                .samples
                .chunks(160)
                .map(|chunk| chunk.iter().any(|sample| sample.abs() > 0.1))
                .collect();
            let crossings = |part: &[f32]| {
                part.windows(2)
                    .filter(|pair| pair[0] * pair[1] < 0.0)
                    .count()
            };
            let half = sound.samples.len() / 2;
            let (first, second) = (
                crossings(&sound.samples[..half]),
                crossings(&sound.samples[half..]),
            );
            let direction = match second.abs_diff(first) {
                difference if difference < 8 => 0,
                _ if second > first => 1,
                _ => -1,
            };
            (loud, direction)
        };
        for (index, cue) in ALL.into_iter().enumerate() {
            for other in &ALL[index + 1..] {
                assert_ne!(outline(cue), outline(*other), "{cue:?} {other:?}");
            }
        }
    }
}
