//! Who spoke, where two people have a microphone each on two channels of one device: the louder channel.
//! One engine hears both; this only compares levels.

use std::collections::VecDeque;
use std::sync::{Mutex, PoisonError};

use crossbeam_channel::Receiver;

use crate::audio::{AudioEvent, FRAME_MS, FRAME_SAMPLES};
use crate::record::event::Speaker as Person;
use crate::speech::Utterance;

/// Frames kept: 32 s, twice the longest utterance.
const FRAMES_MAX: usize = 1_000;

/// The nurse's channel against the mean of both, as a ratio of amplitudes. Alone at her microphone she is twice the
/// mean (+6 dB); with the vet speaking, 10 dB softer at her microphone, she is at half of it. The middle in decibels.
const NURSE_FROM: f32 = 1.0;

/// The second channel, frame by frame.
pub struct People {
    frames: Receiver<AudioEvent>,
    levels: Mutex<VecDeque<(u64, f32)>>,
}

impl People {
    /// `frames`: the nurse's channel, of the device whose channels' mean is recognised.
    pub fn new(frames: Receiver<AudioEvent>) -> Self {
        Self {
            frames,
            levels: Mutex::default(),
        }
    }

    /// Takes in what the second channel gave; to be called often, since its queue is bounded.
    pub fn listen(&self) {
        let mut levels = self.levels.lock().unwrap_or_else(PoisonError::into_inner);
        for event in self.frames.try_iter() {
            if let AudioEvent::Frame(frame) = event {
                levels.push_back((frame.index, power(&frame.samples)));
                if levels.len() > FRAMES_MAX {
                    levels.pop_front();
                }
            }
        }
    }

    /// Who said this.
    pub fn who(&self, utterance: &Utterance) -> Person {
        self.listen();
        let levels = self.levels.lock().unwrap_or_else(PoisonError::into_inner);
        let first = utterance.start_ms / FRAME_MS;
        let last = first + (utterance.samples.len() / FRAME_SAMPLES) as u64;
        let nurse: Vec<f32> = levels
            .iter()
            .filter(|(index, _)| (first..=last).contains(index))
            .map(|(_, power)| *power)
            .collect();
        if nurse.is_empty() {
            return Person::Unknown;
        }
        let nurse = (nurse.iter().sum::<f32>() / nurse.len() as f32).sqrt();
        if nurse > power(&utterance.samples).sqrt() * NURSE_FROM {
            Person::Nurse
        } else {
            Person::Vet
        }
    }
}

fn power(samples: &[f32]) -> f32 {
    samples.iter().map(|sample| sample * sample).sum::<f32>() / samples.len().max(1) as f32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::audio::Frame;

    /// Two voices as two tones; each is 10 dB softer at the other's microphone.
    fn who(vet: f32, nurse: f32) -> Person {
        let tone =
            |hz: f32, at: usize| (at as f32 * hz * std::f32::consts::TAU / 16_000.0).sin() * 0.3;
        let mut mean = Vec::new();
        let (sender, frames) = crossbeam_channel::unbounded();
        for index in 0..40 {
            let mut second = Vec::new();
            for at in 0..FRAME_SAMPLES {
                let at = index * FRAME_SAMPLES + at;
                let (vet, nurse) = (tone(200.0, at) * vet, tone(310.0, at) * nurse);
                let channels = (vet + 0.316 * nurse, nurse + 0.316 * vet);
                second.push(channels.1);
                mean.push((channels.0 + channels.1) / 2.0);
            }
            let frame = Frame {
                samples: second,
                index: index as u64,
            };
            sender.send(AudioEvent::Frame(frame)).unwrap();
        }
        let people = People::new(frames);
        people.who(&Utterance {
            samples: mean[10 * FRAME_SAMPLES..30 * FRAME_SAMPLES].to_vec(),
            start_ms: 10 * FRAME_MS,
        })
    }

    #[test]
    fn the_louder_channel_tells_who_spoke() {
        assert_eq!(who(1.0, 0.0), Person::Vet);
        assert_eq!(who(0.0, 1.0), Person::Nurse);
        // A soft voice at one's own microphone is still that person's.
        assert_eq!(who(0.05, 0.0), Person::Vet);
        assert_eq!(who(0.0, 0.05), Person::Nurse);
    }

    #[test]
    fn without_sound_from_the_second_channel_nobody_is_named() {
        let (_sender, frames) = crossbeam_channel::unbounded();
        let utterance = Utterance {
            samples: vec![0.1; FRAME_SAMPLES],
            start_ms: 0,
        };
        assert_eq!(People::new(frames).who(&utterance), Person::Unknown);
    }
}
