//! Frames in, utterances out: where does somebody speak, and when have they finished?
//! A detector gives each frame its probability of voice; [`Segmenter`], a pure state machine, cuts by these alone.
//! Does not know what is said: whether a pause ends the sentence is for the caller to decide ([`Activity::accept`]).
//!
//! Invariants: no voiced frame is in two utterances; every utterance that started ends as one of
//! [`Activity`'s events](ActivityEvent) `Utterance`, `Dismissed` or by `accept`.

mod silero;

use std::collections::VecDeque;

pub use self::silero::Silero;
use super::{SpeechError, Utterance};
use crate::audio::{FRAME_MS, Frame};

/// Gives each frame the probability that somebody speaks in it.
pub trait Detector: Send {
    /// `samples` is one frame.
    fn probability(&mut self, samples: &[f32]) -> Result<f32, SpeechError>;
    /// Forgets what was heard: after a gap, and after the program's own speech.
    fn reset(&mut self);
}

/// How utterances are cut. Times are rounded up to whole frames (32 ms).
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// A frame at or above this is voice.
    pub start_probability: f32,
    /// While voice goes on, a frame counts as voice down to this.
    pub keep_probability: f32,
    /// So many of the last [`START_WINDOW`] frames must be voice for an utterance to start.
    pub start_frames_min: usize,
    /// An utterance with fewer voiced milliseconds is dismissed.
    pub voiced_ms_min: u64,
    /// Silences after which the utterance is offered as it is, shortest first.
    pub pauses_ms: Vec<u64>,
    /// Silence after which the utterance ends in any case.
    pub silence_ms_max: u64,
    /// Sound kept from before the first voiced frame.
    pub pre_roll_ms: u64,
    /// Sound kept from after the last voiced frame; not more than the first pause.
    pub hang_over_ms: u64,
    /// Longer speech is split.
    pub utterance_ms_max: u64,
}

/// Frames that are looked at for the start of an utterance.
pub const START_WINDOW: usize = 4;

/// Measured by `tests/sound/activity.rs` on 854 recorded clips, in quiet and in noise at 10 dB, and on 5.7 minutes of noise.
impl Default for Settings {
    fn default() -> Self {
        Self {
            // 0.3 to 0.6 find the same speech to within one clip in a hundred; at 0.3 noise starts
            // five utterances in 5.7 minutes, at 0.5 two (a dog, laughter).
            start_probability: 0.5,
            // The distance to the upper value is the model's makers' own.
            keep_probability: 0.35,
            // One frame alone doubles the starts from noise and finds no clip more.
            start_frames_min: 2,
            // 128 ms misses two more single words, 64 ms lets no more noise in but no more words either.
            voiced_ms_min: 96,
            // Within 351 dictated digit strings, 31 pauses reach the first length, 13 the middle one and 7 the last
            // (3 reach 576 ms).
            // The first is for sentences that cannot become longer, the last for those that a further number may
            // make longer; the middle one for those that words may ("because of ...").
            pauses_ms: vec![256, 352, 448],
            // No clip of connected digits is split by it.
            silence_ms_max: 704,
            // The "s" of "six" and "seven" may hiss for half a second before the model takes it for voice:
            // at 300 ms 17 of 351 digit strings lose some of it, at 400 ms 6, at 500 ms 2.
            pre_roll_ms: 512,
            // At 100 ms the last "t" or "p" is lost twice as often; longer must not reach the first pause.
            hang_over_ms: 224,
            // Longer than any sentence of the grammar; what an engine takes at once is bounded too.
            utterance_ms_max: 15_000,
        }
    }
}

/// Why an utterance is over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// Silence, the longest that is waited for.
    Silence,
    /// A pause that the caller accepted as the end.
    Pause,
    /// It was too long and was split at its quietest place; the next utterance goes on at once.
    TooLong,
    /// The caller cut it, since the program begins to speak.
    Cut,
    /// The sound came to its end.
    Source,
}

/// Frames of an utterance by number, both ends included.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Span {
    pub first: u64,
    pub last: u64,
    /// The last voiced frame, from which silence is counted.
    pub voiced_last: u64,
}

/// What the segmenter makes of the newest frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    Started {
        frame: u64,
    },
    /// The first frame after voice that would begin none: perhaps the end, perhaps a breath.
    Hushed,
    Pause {
        span: Span,
        silence_ms: u64,
    },
    /// Voice again after a pause that was offered: what was offered is not the whole utterance.
    Resumed,
    Ended {
        span: Span,
        end: End,
    },
    /// Too little voice: a click or a cough.
    Dismissed,
}

/// The state machine over probabilities: knows frames by number only.
#[derive(Debug, Clone)]
pub struct Segmenter {
    settings: Settings,
    state: State,
    /// First frame that the next utterance may hold: what came before is in another one, or was not heard.
    floor: u64,
}

#[derive(Debug, Clone)]
enum State {
    Quiet {
        /// The newest frames: whether each was voice.
        window: VecDeque<(u64, bool)>,
    },
    Speaking(Speaking),
}

#[derive(Debug, Clone)]
struct Speaking {
    first: u64,
    voiced_last: u64,
    voiced_frames: u64,
    /// Whether [`Turn::Hushed`] was told since the last frame that would begin voice.
    is_hush_told: bool,
    /// How many of the pauses were offered since the last voice.
    pauses_told: usize,
    /// Probabilities from `first` on, to find the place for a split.
    probabilities: Vec<f32>,
}

const QUIET: State = State::Quiet {
    window: VecDeque::new(),
};

fn frames(ms: u64) -> u64 {
    ms.div_ceil(FRAME_MS)
}

impl Segmenter {
    pub fn new(settings: Settings) -> Self {
        Self {
            settings,
            state: QUIET,
            floor: 0,
        }
    }

    pub fn is_speaking(&self) -> bool {
        matches!(self.state, State::Speaking(_))
    }

    /// The last voiced frame of the utterance that is going on.
    pub fn voiced_last(&self) -> Option<u64> {
        match &self.state {
            State::Speaking(speaking) => Some(speaking.voiced_last),
            State::Quiet { .. } => None,
        }
    }

    /// Oldest frame that a later turn may name; older ones need not be kept.
    pub fn oldest_needed(&self, newest: u64) -> u64 {
        match &self.state {
            State::Speaking(speaking) => speaking.first,
            State::Quiet { .. } => (newest + 1)
                .saturating_sub(frames(self.settings.pre_roll_ms) + START_WINDOW as u64)
                .max(self.floor),
        }
    }

    /// Takes the probability of the next frame. Numbers must rise by one; after a gap call [`Segmenter::restart`].
    pub fn push(&mut self, frame: u64, probability: f32) -> Option<Turn> {
        match &mut self.state {
            State::Quiet { window } => {
                window.push_back((frame, probability >= self.settings.start_probability));
                if window.len() > START_WINDOW {
                    window.pop_front();
                }
                let voiced = window.iter().filter(|(_, voiced)| *voiced);
                if voiced.clone().count() < self.settings.start_frames_min {
                    return None;
                }
                let started = voiced.clone().next().map_or(frame, |&(started, _)| started);
                let voiced_frames = voiced.count() as u64;
                let first = started
                    .saturating_sub(frames(self.settings.pre_roll_ms))
                    .max(self.floor);
                self.state = State::Speaking(Speaking {
                    first,
                    voiced_last: frame,
                    voiced_frames,
                    is_hush_told: false,
                    pauses_told: 0,
                    probabilities: vec![1.0; (frame + 1 - first) as usize],
                });
                Some(Turn::Started { frame: started })
            }
            State::Speaking(speaking) => {
                let turn = speaking.push(frame, probability, &self.settings);
                match turn {
                    Some(Turn::Ended {
                        span,
                        end: End::TooLong,
                    }) => {
                        speaking.split(span.last + 1, self.settings.keep_probability);
                        self.floor = span.last + 1;
                    }
                    Some(Turn::Ended { span, .. }) => self.restart(span.voiced_last + 1),
                    Some(Turn::Dismissed) => self.restart(frame + 1),
                    _ => {}
                }
                turn
            }
        }
    }

    /// Takes the pause that was offered last as the end of the utterance.
    pub fn accept(&mut self) {
        if let State::Speaking(speaking) = &self.state {
            self.restart(speaking.voiced_last + 1);
        }
    }

    /// Ends an utterance that is going on, at the newest frame.
    pub fn finish(&mut self, newest: u64, end: End) -> Option<Turn> {
        let State::Speaking(speaking) = &self.state else {
            self.restart(newest + 1);
            return None;
        };
        let turn = if speaking.is_enough(&self.settings) {
            let span = speaking.span(newest, &self.settings);
            Turn::Ended { span, end }
        } else {
            Turn::Dismissed
        };
        self.restart(newest + 1);
        Some(turn)
    }

    /// Starts afresh with `floor` as the first frame that counts. What was going on is dropped.
    pub fn restart(&mut self, floor: u64) {
        self.state = QUIET;
        self.floor = floor;
    }
}

impl Speaking {
    fn push(&mut self, frame: u64, probability: f32, settings: &Settings) -> Option<Turn> {
        self.probabilities.push(probability);
        let in_voice = self.voiced_last + 1 == frame;
        let voiced = probability >= settings.start_probability
            || (in_voice && probability >= settings.keep_probability);
        if voiced {
            self.voiced_last = frame;
            self.voiced_frames += 1;
            if probability >= settings.start_probability {
                self.is_hush_told = false;
            }
            if std::mem::take(&mut self.pauses_told) > 0 {
                return Some(Turn::Resumed);
            }
        }
        let silence = frame - self.voiced_last;
        if silence >= frames(settings.silence_ms_max) {
            return Some(if self.is_enough(settings) {
                Turn::Ended {
                    span: self.span(frame, settings),
                    end: End::Silence,
                }
            } else {
                Turn::Dismissed
            });
        }
        if frame + 1 - self.first >= frames(settings.utterance_ms_max) {
            let last = self.quietest();
            return Some(Turn::Ended {
                span: Span {
                    first: self.first,
                    last,
                    voiced_last: last.min(self.voiced_last),
                },
                end: End::TooLong,
            });
        }
        if probability < settings.start_probability
            && !self.is_hush_told
            && self.is_enough(settings)
        {
            self.is_hush_told = true;
            return Some(Turn::Hushed);
        }
        let due = settings
            .pauses_ms
            .get(self.pauses_told)
            .is_some_and(|&pause_ms| silence >= frames(pause_ms));
        if !due || !self.is_enough(settings) {
            return None;
        }
        self.pauses_told += 1;
        Some(Turn::Pause {
            span: self.span(frame, settings),
            silence_ms: silence * FRAME_MS,
        })
    }

    fn is_enough(&self, settings: &Settings) -> bool {
        self.voiced_frames >= frames(settings.voiced_ms_min)
    }

    fn span(&self, newest: u64, settings: &Settings) -> Span {
        Span {
            first: self.first,
            last: newest.min(self.voiced_last + frames(settings.hang_over_ms)),
            voiced_last: self.voiced_last,
        }
    }

    /// The frame of the last third that is least likely voice: the split hurts least there.
    fn quietest(&self) -> u64 {
        let from = self.probabilities.len() * 2 / 3;
        let at = (from..self.probabilities.len())
            .min_by(|&a, &b| self.probabilities[a].total_cmp(&self.probabilities[b]))
            .unwrap_or(from);
        self.first + at as u64
    }

    /// Goes on as the utterance that begins with `first`.
    fn split(&mut self, first: u64, keep_probability: f32) {
        self.probabilities.drain(..(first - self.first) as usize);
        self.first = first;
        self.voiced_last = self.voiced_last.max(first);
        self.voiced_frames = self
            .probabilities
            .iter()
            .filter(|&&probability| probability >= keep_probability)
            .count() as u64;
        self.is_hush_told = false;
        self.pauses_told = 0;
    }
}

/// What [`Activity`] tells about the newest frame.
#[derive(Debug, Clone)]
pub enum ActivityEvent {
    /// Somebody began to speak, so many milliseconds from the opening of the source.
    Started { at_ms: u64 },
    /// They are silent for a moment: perhaps at the end, perhaps for a breath.
    Hushed,
    /// A pause: the utterance so far, as it would be if the pause were its end.
    Pause {
        utterance: Utterance,
        silence_ms: u64,
    },
    /// Speech goes on after a pause that was told.
    Resumed,
    Utterance {
        utterance: Utterance,
        end: End,
        silence_ms: u64,
    },
    /// What started was too short to be speech.
    Dismissed,
}

/// Detector, segmenter and the sound they cut.
pub struct Activity {
    detector: Box<dyn Detector>,
    segmenter: Segmenter,
    frames: VecDeque<Frame>,
    newest: u64,
}

impl Activity {
    pub fn new(detector: Box<dyn Detector>, settings: Settings) -> Self {
        Self {
            detector,
            segmenter: Segmenter::new(settings),
            frames: VecDeque::new(),
            newest: 0,
        }
    }

    pub fn is_speaking(&self) -> bool {
        self.segmenter.is_speaking()
    }

    pub fn push(&mut self, frame: Frame) -> Result<Option<ActivityEvent>, SpeechError> {
        let probability = self.detector.probability(&frame.samples)?;
        self.newest = frame.index;
        self.frames.push_back(frame);
        let turn = self.segmenter.push(self.newest, probability);
        let event = turn.map(|turn| self.event(turn));
        let oldest = self.segmenter.oldest_needed(self.newest);
        while self
            .frames
            .front()
            .is_some_and(|frame| frame.index < oldest)
        {
            self.frames.pop_front();
        }
        Ok(event)
    }

    /// Sound of the utterance that is going on since the frame `from`, for engines that hear as it comes.
    pub fn sound_since(&self, from: u64) -> Vec<f32> {
        let first = self.segmenter.oldest_needed(self.newest).max(from);
        self.samples(first, self.newest)
    }

    /// Counts a frame that is not to be listened to, so that the time line goes on.
    pub fn pass(&mut self, frame: u64) {
        self.newest = frame;
    }

    /// Frames since the last voice of the utterance that is going on; 0 where there is none.
    pub fn silent_frames(&self) -> u64 {
        self.segmenter
            .voiced_last()
            .map_or(0, |last| self.newest - last)
    }

    /// Counts a frame that is not to be listened to, and tells whether somebody speaks in it all the same.
    pub fn overhear(&mut self, frame: &Frame) -> Result<bool, SpeechError> {
        self.pass(frame.index);
        let probability = self.detector.probability(&frame.samples)?;
        Ok(probability >= self.segmenter.settings.start_probability)
    }

    /// From the next frame on everything counts again, and nothing before it.
    pub fn open(&mut self) {
        self.segmenter.restart(self.newest + 1);
        self.frames.clear();
    }

    /// See [`Settings::pauses_ms`].
    pub fn pauses_ms(&self) -> &[u64] {
        &self.segmenter.settings.pauses_ms
    }

    /// Number of the newest frame.
    pub fn newest(&self) -> u64 {
        self.newest
    }

    /// Takes the pause that was told last as the end of the utterance.
    pub fn accept(&mut self) {
        self.segmenter.accept();
    }

    /// Ends the utterance that is going on, if there is one.
    pub fn finish(&mut self, end: End) -> Option<ActivityEvent> {
        let turn = self.segmenter.finish(self.newest, end);
        turn.map(|turn| self.event(turn))
    }

    /// Sound is missing before the next frame: an utterance that is going on would have a hole and is dropped.
    /// Returns whether there was one.
    pub fn gap(&mut self) -> bool {
        let lost = self.is_speaking();
        self.segmenter.restart(0);
        self.frames.clear();
        self.detector.reset();
        lost
    }

    fn event(&self, turn: Turn) -> ActivityEvent {
        let silence_ms = |span: Span| (self.newest - span.voiced_last) * FRAME_MS;
        match turn {
            Turn::Started { frame } => ActivityEvent::Started {
                at_ms: frame * FRAME_MS,
            },
            Turn::Hushed => ActivityEvent::Hushed,
            Turn::Pause { span, silence_ms } => ActivityEvent::Pause {
                utterance: self.utterance(span),
                silence_ms,
            },
            Turn::Resumed => ActivityEvent::Resumed,
            Turn::Ended { span, end } => ActivityEvent::Utterance {
                utterance: self.utterance(span),
                end,
                silence_ms: silence_ms(span),
            },
            Turn::Dismissed => ActivityEvent::Dismissed,
        }
    }

    fn utterance(&self, span: Span) -> Utterance {
        // Frames before the source's first one do not exist; the sound starts with the first there is.
        let first = self
            .frames
            .front()
            .map_or(span.first, |frame| span.first.max(frame.index));
        Utterance {
            samples: self.samples(first, span.last),
            start_ms: first * FRAME_MS,
        }
    }

    fn samples(&self, first: u64, last: u64) -> Vec<f32> {
        self.frames
            .iter()
            .filter(|frame| (first..=last).contains(&frame.index))
            .flat_map(|frame| frame.samples.iter().copied())
            .collect()
    }
}

#[cfg(test)]
mod tests;
