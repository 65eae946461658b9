//! Hears clips as at the table: through voice activity and the end of an utterance, frame by frame, silence after each.
//! Without it `score` gives the engine whole clips, which measures the engine alone.
//!
//! Invariant: one clip's sound never reaches into the next one's: the tail is longer than any end of an utterance.

use std::path::Path;
use std::sync::Arc;
use std::time::Instant;

use crate::audio::{AudioEvent, FRAME_SAMPLES, Frame, SAMPLE_RATE_HZ};
use crate::speech::activity::{Activity, Settings, Silero};
use crate::speech::listener::{Control, ListenEvent, Listener};
use crate::speech::{Hearing, Hypothesis, Recogniser, SpeechError, Unheard, WordGraph};

/// Sound that follows each clip: twice the longest silence that ends an utterance.
pub const TAIL_SAMPLES: usize = SAMPLE_RATE_HZ as usize * 3 / 2;

/// An engine behind voice activity.
pub struct Ear {
    listener: Listener,
    frame: u64,
    first_pause_ms: f64,
}

/// What became of one clip.
pub struct Heard {
    /// The utterances of the clip together, those that may be entered only, if any.
    pub hearing: Hearing,
    /// From the last voiced frame to the result, the silence that ends the utterance included. Of the last utterance;
    /// nothing where voice was never found.
    pub latency_ms: Option<f64>,
    /// Time that the engine took, all its tries together as far as they are told.
    pub recognition_ms: f64,
    pub utterances: usize,
    /// Utterances that would have been entered.
    pub entries: usize,
}

impl Ear {
    pub fn new(
        recogniser: Box<dyn Recogniser>,
        graph: Arc<WordGraph>,
        models: &Path,
    ) -> Result<Self, SpeechError> {
        let settings = Settings::default();
        let first_pause_ms = settings.pauses_ms.first().copied().unwrap_or_default() as f64;
        let activity = Activity::new(Box::new(Silero::new(models)?), settings);
        let begin = Instant::now();
        let mut listener = Listener::new(activity, recogniser, Box::new(move || begin.elapsed()));
        for event in listener.control(Control::SetGraph(graph)) {
            if let ListenEvent::Failed(error) = event {
                return Err(error);
            }
        }
        Ok(Self {
            listener,
            frame: 0,
            first_pause_ms,
        })
    }

    /// Hears a clip that ends in [`TAIL_SAMPLES`] without speech.
    pub fn hear(&mut self, samples: &[f32]) -> Result<Heard, SpeechError> {
        let mut heard = Vec::new();
        for block in samples.chunks(FRAME_SAMPLES) {
            let mut samples = block.to_vec();
            samples.resize(FRAME_SAMPLES, 0.0);
            let frame = Frame {
                samples,
                index: self.frame,
            };
            self.frame += 1;
            for event in self.listener.push(AudioEvent::Frame(frame)) {
                match event {
                    ListenEvent::Heard(one) => heard.push(*one),
                    ListenEvent::Failed(error) => return Err(error),
                    _ => {}
                }
            }
        }
        let latency_ms = heard.last().map(|last| {
            let latency = last.latency;
            if latency.waited_ms > 0.0 {
                return latency.silence_ms as f64 + latency.waited_ms;
            }
            // The engine was asked at the first pause, and may have taken longer than the rest of the silence.
            (latency.silence_ms as f64).max(self.first_pause_ms + latency.recognition_ms)
        });
        let recognition_ms = heard.iter().map(|one| one.latency.recognition_ms).sum();
        let utterances = heard.len();
        let hearings: Vec<Hearing> = heard.into_iter().map(|one| one.hearing).collect();
        let entries = hearings
            .iter()
            .filter(|hearing| hearing.unheard.is_none())
            .count();
        Ok(Heard {
            hearing: together(hearings),
            latency_ms,
            recognition_ms,
            utterances,
            entries,
        })
    }
}

/// One hearing of several: the words of those that would be entered, one after the other.
fn together(hearings: Vec<Hearing>) -> Hearing {
    let nothing = Hearing {
        hypotheses: Vec::new(),
        unheard: Some(Unheard::NoSpeech),
        free_text: None,
        figures: Vec::new(),
    };
    let entered: Vec<&Hearing> = hearings
        .iter()
        .filter(|hearing| hearing.unheard.is_none())
        .collect();
    match entered.len() {
        0 | 1 => {
            let only = entered.first().map(|&hearing| hearing.clone());
            only.or_else(|| hearings.into_iter().next())
                .unwrap_or(nothing)
        }
        _ => {
            let best = entered
                .iter()
                .filter_map(|hearing| hearing.hypotheses.first());
            let mut joined = Hypothesis {
                words: Vec::new(),
                log_probability: 0.0,
                word_confidences: Vec::new(),
            };
            for hypothesis in best {
                joined.words.extend(hypothesis.words.iter().cloned());
                joined.word_confidences.extend(&hypothesis.word_confidences);
                joined.log_probability += hypothesis.log_probability;
            }
            Hearing {
                hypotheses: vec![joined],
                unheard: None,
                ..nothing
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hearing(words: &str, unheard: Option<Unheard>) -> Hearing {
        Hearing {
            hypotheses: vec![Hypothesis {
                words: words.split(' ').map(str::to_owned).collect(),
                log_probability: -1.0,
                word_confidences: Vec::new(),
            }],
            unheard,
            free_text: None,
            figures: Vec::new(),
        }
    }

    #[test]
    fn what_is_entered_counts_and_the_rest_does_not() {
        let unclear = Some(Unheard::Unclear);
        let words = |hearing: &Hearing| hearing.hypotheses[0].words.join(" ");
        let both = together(vec![hearing("one two", None), hearing("three", None)]);
        assert_eq!((words(&both), both.unheard), ("one two three".into(), None));
        let one = together(vec![hearing("nine", unclear), hearing("three", None)]);
        assert_eq!((words(&one), one.unheard), ("three".into(), None));
        let none = together(vec![hearing("nine", unclear), hearing("ten", unclear)]);
        assert_eq!((words(&none), none.unheard), ("nine".into(), unclear));
        assert_eq!(together(Vec::new()).unheard, Some(Unheard::NoSpeech));
    }
}
