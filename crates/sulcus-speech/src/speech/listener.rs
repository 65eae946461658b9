//! Joins sound, voice activity and recognition: [`AudioEvent`]s in, [`ListenEvent`]s out.
//! Decides when an utterance is over: soon where what was heard is a whole sentence that cannot become longer, else
//! after a longer silence. Does not decide what a sentence means, nor what may be entered.
//!
//! Invariants: [`Listener::push`] knows no clock, so a file gives the same events each time; what the program itself
//! says is never heard under the session's graph; an utterance with a hole in it is never recognised.

use std::collections::{HashMap, VecDeque};
use std::sync::Arc;
use std::thread::{self, JoinHandle};
use std::time::{Duration, Instant};

use crossbeam_channel::{Receiver, Sender, select};

use super::activity::{Activity, ActivityEvent, End, START_WINDOW};
use super::{Hearing, Recogniser, SpeechError, Utterance, WordGraph};
use crate::audio::echo::EchoCanceller;
use crate::audio::level::{Level, Meter};
use crate::audio::likeness;
use crate::audio::{AudioEvent, FRAME_MS, FRAME_SAMPLES, Frame};

/// After the program has spoken, sound is not heard for so long: loudspeaker buffers and the room's echo.
const TAIL_MS: u64 = 200;

/// So many silent frames, 96 ms, end an interruption after that time: the program's own voice, taken for the beginning
/// of one, would else swallow what a person answers within 0.7 s.
const OVER_FRAMES: u64 = 3;

/// So many of the last frames of that time must be voice for what follows to count as speech that had begun in it.
const HEADLESS_FRAMES: u64 = 2;

/// Word confidence from which a whole sentence may end an utterance early. Lower ones wait for the full silence,
/// which costs half a second and may bring the rest of a sentence.
const SURE: f32 = 0.8;

/// The level is told once for so many frames: four times a second is as fast as a meter can be read.
const LEVEL_FRAMES: u64 = 8;

/// What the listener is told by the rest of the program.
#[derive(Debug, Clone)]
pub enum Control {
    /// What may be heard from now on. An utterance that is going on is heard under this graph.
    SetGraph(Arc<WordGraph>),
    /// The program begins to speak with the frame `frame` (the next one where `None`).
    /// Until [`Control::VoiceOff`] nothing is heard but the sentences of `interruptions`.
    VoiceOn {
        interruptions: Option<Arc<WordGraph>>,
        frame: Option<u64>,
    },
    /// This sound (16 kHz, mono) goes to the loudspeaker with the frame `frame` (the next one where `None`), after what
    /// was told before: it is taken out of what the microphone hears.
    Played {
        sound: Arc<[f32]>,
        frame: Option<u64>,
    },
    /// The program has stopped speaking.
    VoiceOff { frame: Option<u64> },
    /// End the thread.
    Stop,
}

/// Under which graph an utterance was heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Under {
    /// That of [`Control::SetGraph`].
    Session,
    /// That of [`Control::VoiceOn`], while the program spoke.
    Interruptions,
}

/// Where the time between the end of speech and the result went.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Latency {
    /// Sound from the last voiced frame to the decision that the utterance is over.
    pub silence_ms: u64,
    /// Time that was waited for the engine after that decision; 0 where the result was there already.
    pub waited_ms: f64,
    /// Time that the engine took for this result.
    pub recognition_ms: f64,
    /// How often the engine was asked during this utterance.
    pub attempts: u32,
}

/// An utterance and what was made of it.
#[derive(Debug, Clone)]
pub struct Heard {
    pub hearing: Hearing,
    pub utterance: Utterance,
    /// When speech began, milliseconds from the opening of the source; the utterance's sound begins earlier.
    pub started_ms: u64,
    pub end: End,
    pub under: Under,
    /// Somebody already spoke when the ears opened: its beginning fell into what the program said.
    pub is_headless: bool,
    /// How much the echo canceller took out of the loudest part, in dB; nothing where it had nothing to do.
    pub taken_out_db: Option<f32>,
    /// The share of its energy that is what the program itself played, 0 to 1; only of interruptions.
    pub share_played: Option<f32>,
    pub latency: Latency,
}

#[cfg(any(test, feature = "invented"))]
impl Heard {
    /// Sentences and the logarithms of their probabilities, best first, that no microphone heard.
    pub fn made_up(sentences: &[(&str, f32)], under: Under, end: End, silence_ms: u64) -> Self {
        let hypothesis = |(words, log_probability): &(&str, f32)| {
            let words: Vec<String> = words.split_whitespace().map(str::to_owned).collect();
            super::Hypothesis {
                word_confidences: vec![1.0; words.len()],
                words,
                log_probability: *log_probability,
            }
        };
        Self {
            hearing: Hearing {
                hypotheses: sentences.iter().map(hypothesis).collect(),
                unheard: None,
                free_text: None,
                figures: Vec::new(),
            },
            utterance: Utterance {
                samples: Vec::new(),
                start_ms: 0,
            },
            started_ms: 0,
            end,
            under,
            is_headless: false,
            taken_out_db: None,
            share_played: None,
            latency: Latency {
                silence_ms,
                waited_ms: 0.0,
                recognition_ms: 0.0,
                attempts: 1,
            },
        }
    }
}

/// What the listener tells.
#[derive(Debug)]
pub enum ListenEvent {
    /// All sound up to this time was taken in; what is told next, up to the next of these, comes of it.
    /// Told by [`spawn`] alone: whoever pushes frames knows their time.
    HeardUpTo {
        at_ms: u64,
    },
    /// A new graph is in force; the model can never hear these of its words.
    GraphSet {
        unknown_words: Vec<String>,
    },
    SpeechStarted {
        at_ms: u64,
        under: Under,
    },
    /// Somebody who spoke is silent for a moment: perhaps at the end of the sentence, perhaps within it.
    Hushed,
    /// Speech that had started was too short to be any: nothing is heard from it.
    SpeechDismissed,
    /// Words so far, from engines that hear as the sound comes. For show only.
    Partial(Vec<String>),
    Heard(Box<Heard>),
    Level(Level),
    /// Frames are missing. Where `utterance_lost`, somebody was speaking: what they said must be asked for again.
    Overrun {
        frames: u64,
        utterance_lost: bool,
    },
    Lost {
        device: String,
        why: String,
        utterance_lost: bool,
    },
    Found {
        device: String,
    },
    /// The file is at its end; nothing follows.
    Ended,
    /// The engine failed on what was said: ask for it again. The listener goes on.
    Failed(SpeechError),
}

/// Ten seconds: longer than any read-back lasts before an interruption of it.
const PLAYED_SAMPLES: usize = 160_000;

/// A frame that the canceller has cleaned.
struct Cleaned {
    frame: u64,
    /// As it came from the microphone.
    before: Vec<f32>,
    /// Of what is left.
    energy: f32,
}

/// Five seconds: longer than any interruption.
const CLEANED_FRAMES: usize = 160;

/// Some 130 ms: a vowel.
const LOUDEST_FRAMES: usize = 4;

fn energy(samples: &[f32]) -> f32 {
    samples.iter().map(|sample| sample * sample).sum()
}

/// The listener without its thread.
pub struct Listener {
    activity: Activity,
    recogniser: Box<dyn Recogniser>,
    session: Option<Arc<WordGraph>>,
    ears: Ears,
    /// Controls whose frame has not come yet, in order.
    pending: Vec<(u64, Control)>,
    current: Option<Current>,
    /// Speech that starts up to this frame had begun before the ears opened.
    headless_until: Option<u64>,
    /// Takes the program's own voice out of the microphone, from the first [`Control::Played`] on.
    echo: Option<Box<EchoCanceller>>,
    /// Frames that the canceller has cleaned, newest last.
    cleaned: VecDeque<Cleaned>,
    /// What was played last, newest last.
    played: VecDeque<f32>,
    /// Factor on all samples; 1.0 is as the microphone gives them.
    gain: f32,
    meter: Meter,
    /// Number that the next frame of the same time line bears.
    next_frame: u64,
    stopwatch: Box<dyn FnMut() -> Duration + Send>,
}

/// What the microphone hears now.
#[derive(Debug, Clone)]
enum Ears {
    Open,
    /// The program speaks.
    Guarded(Option<Arc<WordGraph>>),
    /// It has stopped; frames before this one are its echo.
    Tail {
        until: u64,
        /// So many of the newest frames, without a break, were voice.
        voiced: u64,
    },
}

/// The utterance that is going on.
struct Current {
    started_ms: u64,
    graph: Arc<WordGraph>,
    under: Under,
    is_headless: bool,
    attempts: u32,
    /// What the engine made of the utterance up to the last pause, and how long it took.
    /// Still right at the end where no voice came after it, since the sound is then the same.
    at_pause: Option<(Hearing, f64)>,
    /// First frame that the engine has not had yet as partial sound.
    partial_from: u64,
}

impl Listener {
    /// `stopwatch` gives time for the latency figures only; `|| Duration::ZERO` where results must be repeatable.
    pub fn new(
        activity: Activity,
        recogniser: Box<dyn Recogniser>,
        stopwatch: Box<dyn FnMut() -> Duration + Send>,
    ) -> Self {
        Self {
            activity,
            recogniser,
            session: None,
            ears: Ears::Open,
            pending: Vec::new(),
            current: None,
            headless_until: None,
            echo: None,
            cleaned: VecDeque::new(),
            played: VecDeque::new(),
            gain: 1.0,
            meter: Meter::default(),
            next_frame: 0,
            stopwatch,
        }
    }

    /// Makes all sound louder or softer, for a voice that is always one or the other. Clips at full scale.
    pub fn with_gain_db(mut self, gain_db: f32) -> Self {
        self.gain = 10f32.powf(gain_db / 20.0);
        self
    }

    /// Number that the next frame must bear: a second source goes on where the first one ended.
    pub fn next_frame(&self) -> u64 {
        self.next_frame
    }

    /// Takes the next event of a sound source.
    pub fn push(&mut self, event: AudioEvent) -> Vec<ListenEvent> {
        let mut told = Vec::new();
        match event {
            AudioEvent::Frame(frame) => {
                self.next_frame = frame.index + 1;
                self.apply_due(frame.index, &mut told);
                self.frame(frame, &mut told);
            }
            AudioEvent::Overrun { frames } => {
                let utterance_lost = self.gap();
                told.push(ListenEvent::Overrun {
                    frames,
                    utterance_lost,
                });
            }
            AudioEvent::Lost { device, why } => {
                let utterance_lost = self.gap();
                told.push(ListenEvent::Lost {
                    device,
                    why,
                    utterance_lost,
                });
            }
            AudioEvent::Found { device } => told.push(ListenEvent::Found { device }),
            AudioEvent::Ended => {
                self.finish(End::Source, &mut told);
                told.push(ListenEvent::Ended);
            }
        }
        told
    }

    /// Takes a control; one with a frame waits until that frame comes.
    pub fn control(&mut self, control: Control) -> Vec<ListenEvent> {
        let mut told = Vec::new();
        match &control {
            Control::VoiceOn {
                frame: Some(frame), ..
            }
            | Control::Played {
                frame: Some(frame), ..
            }
            | Control::VoiceOff { frame: Some(frame) }
                if *frame > self.activity.newest() =>
            {
                // They come from two threads, and not always in order.
                let frame = *frame;
                let at = self.pending.partition_point(|(due, _)| *due <= frame);
                self.pending.insert(at, (frame, control));
            }
            _ => self.apply(control, &mut told),
        }
        told
    }

    fn apply_due(&mut self, frame: u64, told: &mut Vec<ListenEvent>) {
        while self.pending.first().is_some_and(|(due, _)| *due <= frame) {
            let (_, control) = self.pending.remove(0);
            self.apply(control, told);
        }
    }

    fn apply(&mut self, control: Control, told: &mut Vec<ListenEvent>) {
        match control {
            Control::SetGraph(graph) => {
                match self.recogniser.set_graph(Arc::clone(&graph)) {
                    Ok(unknown_words) => told.push(ListenEvent::GraphSet { unknown_words }),
                    Err(error) => {
                        told.push(ListenEvent::Failed(error));
                        return;
                    }
                }
                if let Some(current) = &mut self.current
                    && current.under == Under::Session
                {
                    current.graph = Arc::clone(&graph);
                    current.at_pause = None;
                }
                self.session = Some(graph);
            }
            Control::VoiceOn { interruptions, .. } => {
                // What was said before the program spoke is whole as it is.
                self.finish(End::Cut, told);
                self.ears = Ears::Guarded(interruptions);
            }
            Control::Played { sound, .. } => {
                self.echo.get_or_insert_default().played(&sound);
                self.played.extend(sound.iter());
                let over = self.played.len().saturating_sub(PLAYED_SAMPLES);
                self.played.drain(..over);
            }
            Control::VoiceOff { .. } => {
                if let Some(echo) = &mut self.echo {
                    echo.silenced();
                }
                if matches!(self.ears, Ears::Guarded(_)) {
                    self.ears = Ears::Tail {
                        until: self.activity.newest() + 1 + TAIL_MS / FRAME_MS,
                        voiced: 0,
                    };
                    if self.current.is_none() {
                        self.activity.gap();
                    }
                }
            }
            Control::Stop => {}
        }
    }

    fn frame(&mut self, mut frame: Frame, told: &mut Vec<ListenEvent>) {
        self.meter.push(&frame.samples);
        if let Some(echo) = &mut self.echo {
            let before = frame.samples.clone();
            echo.clean(&mut frame.samples);
            if self.cleaned.len() == CLEANED_FRAMES {
                self.cleaned.pop_front();
            }
            self.cleaned.push_back(Cleaned {
                frame: frame.index,
                energy: energy(&frame.samples),
                before,
            });
        }
        if self.gain != 1.0 {
            for sample in &mut frame.samples {
                *sample = (*sample * self.gain).clamp(-1.0, 1.0);
            }
        }
        if self.meter.samples() >= LEVEL_FRAMES * FRAME_SAMPLES as u64 {
            told.push(ListenEvent::Level(std::mem::take(&mut self.meter).level()));
        }
        match &mut self.ears {
            Ears::Open => {}
            Ears::Guarded(Some(_)) => {}
            // An interruption that is going on may end; nothing new may start. Once the echo has passed, a short
            // silence ends it: what is said next is no part of it.
            Ears::Tail { until, .. } if self.current.is_some() => {
                if frame.index >= *until && self.activity.silent_frames() >= OVER_FRAMES {
                    self.finish(End::Cut, told);
                    self.activity.open();
                    self.ears = Ears::Open;
                }
            }
            Ears::Tail { until, voiced } if frame.index >= *until => {
                if *voiced >= HEADLESS_FRAMES {
                    self.headless_until = Some(frame.index + START_WINDOW as u64);
                }
                self.activity.open();
                self.ears = Ears::Open;
            }
            Ears::Tail { voiced, .. } => {
                match self.activity.overhear(&frame) {
                    Ok(true) => *voiced += 1,
                    Ok(false) => *voiced = 0,
                    Err(error) => told.push(ListenEvent::Failed(error)),
                }
                return;
            }
            Ears::Guarded(None) => {
                self.activity.pass(frame.index);
                return;
            }
        }
        match self.activity.push(frame) {
            Ok(Some(event)) => self.activity_event(event, told),
            Ok(None) => {}
            Err(error) => {
                self.gap();
                told.push(ListenEvent::Failed(error));
            }
        }
        self.partial(told);
    }

    fn activity_event(&mut self, event: ActivityEvent, told: &mut Vec<ListenEvent>) {
        match event {
            ActivityEvent::Started { at_ms } => {
                let (graph, under) = match &self.ears {
                    Ears::Guarded(graph) => (graph.clone(), Under::Interruptions),
                    _ => (self.session.clone(), Under::Session),
                };
                let Some(graph) = graph else {
                    // Nothing may be heard yet.
                    self.activity.gap();
                    return;
                };
                // Before the first partial sound, so that the engine hears it under the right graph.
                if let Err(error) = self.recogniser.set_graph(Arc::clone(&graph)) {
                    self.activity.gap();
                    told.push(ListenEvent::Failed(error));
                    return;
                }
                self.current = Some(Current {
                    started_ms: at_ms,
                    graph,
                    under,
                    is_headless: self
                        .headless_until
                        .take()
                        .is_some_and(|until| under == Under::Session && at_ms / FRAME_MS <= until),
                    attempts: 0,
                    at_pause: None,
                    partial_from: 0,
                });
                told.push(ListenEvent::SpeechStarted { at_ms, under });
            }
            ActivityEvent::Hushed => {
                if let Some(current) = &self.current
                    && current.under == Under::Session
                {
                    told.push(ListenEvent::Hushed);
                }
            }
            ActivityEvent::Pause {
                utterance,
                silence_ms,
            } => self.pause(utterance, silence_ms, told),
            ActivityEvent::Resumed => {
                if let Some(current) = &mut self.current {
                    current.at_pause = None;
                }
            }
            ActivityEvent::Utterance {
                utterance,
                end,
                silence_ms,
            } => self.ended(utterance, end, silence_ms, told),
            ActivityEvent::Dismissed => {
                self.current = None;
                self.recogniser.discard();
                told.push(ListenEvent::SpeechDismissed);
            }
        }
    }

    /// Asks the engine at each pause, and ends the utterance where its answer is settled.
    fn pause(&mut self, utterance: Utterance, silence_ms: u64, told: &mut Vec<ListenEvent>) {
        let Some(mut current) = self.current.take() else {
            return;
        };
        let mut waited_ms = 0.0;
        let (hearing, recognition_ms) = match current.at_pause.take() {
            Some(known) => known,
            None => match self.recognise(&mut current, &utterance) {
                Ok((hearing, took_ms)) => {
                    waited_ms = took_ms;
                    (hearing, took_ms)
                }
                Err(error) => {
                    // The end of the utterance tries again; a failure there is told.
                    drop(error);
                    self.current = Some(current);
                    return;
                }
            },
        };
        let settled = settled_after(&hearing, &current.graph, self.activity.pauses_ms());
        if settled.is_none_or(|pause_ms| silence_ms < pause_ms) {
            current.at_pause = Some((hearing, recognition_ms));
            self.current = Some(current);
            return;
        }
        self.activity.accept();
        told.push(ListenEvent::Heard(Box::new(Heard {
            hearing,
            utterance,
            started_ms: current.started_ms,
            end: End::Pause,
            under: current.under,
            is_headless: current.is_headless,
            taken_out_db: self.taken_out_db(current.started_ms),
            share_played: self.share_played(current.started_ms, current.under),
            latency: Latency {
                silence_ms,
                waited_ms,
                recognition_ms,
                attempts: current.attempts,
            },
        })));
    }

    fn ended(
        &mut self,
        utterance: Utterance,
        end: End,
        silence_ms: u64,
        told: &mut Vec<ListenEvent>,
    ) {
        let Some(mut current) = self.current.take() else {
            return;
        };
        let going_on = (end == End::TooLong).then(|| Current {
            started_ms: utterance.start_ms
                + utterance.samples.len() as u64 * FRAME_MS / FRAME_SAMPLES as u64,
            graph: Arc::clone(&current.graph),
            under: current.under,
            is_headless: false,
            attempts: 0,
            at_pause: None,
            partial_from: 0,
        });
        let answer = match current.at_pause.take() {
            Some((hearing, recognition_ms)) => Ok((hearing, recognition_ms, 0.0)),
            None => self
                .recognise(&mut current, &utterance)
                .map(|(hearing, took_ms)| (hearing, took_ms, took_ms)),
        };
        told.push(match answer {
            Ok((hearing, recognition_ms, waited_ms)) => ListenEvent::Heard(Box::new(Heard {
                hearing,
                utterance,
                started_ms: current.started_ms,
                end,
                under: current.under,
                is_headless: current.is_headless,
                taken_out_db: self.taken_out_db(current.started_ms),
                share_played: self.share_played(current.started_ms, current.under),
                latency: Latency {
                    silence_ms,
                    waited_ms,
                    recognition_ms,
                    attempts: current.attempts,
                },
            })),
            Err(error) => ListenEvent::Failed(error),
        });
        self.current = going_on;
    }

    /// Of the loudest frames since then: what is left of the program's own voice was much louder before.
    fn taken_out_db(&self, since_ms: u64) -> Option<f32> {
        let mut frames: Vec<(f32, f32)> = self
            .cleaned
            .iter()
            .filter(|cleaned| cleaned.frame * FRAME_MS >= since_ms)
            .map(|cleaned| (energy(&cleaned.before), cleaned.energy))
            .collect();
        frames.sort_by(|(_, a), (_, b)| b.total_cmp(a));
        frames.truncate(LOUDEST_FRAMES);
        let before: f32 = frames.iter().map(|(before, _)| before).sum();
        let after: f32 = frames.iter().map(|(_, after)| after).sum();
        (after > 0.0).then(|| 10.0 * (before / after).log10())
    }

    /// See [`Heard::share_played`].
    fn share_played(&self, since_ms: u64, under: Under) -> Option<f32> {
        if under == Under::Session || self.played.is_empty() {
            return None;
        }
        let heard: Vec<f32> = self
            .cleaned
            .iter()
            .filter(|cleaned| cleaned.frame * FRAME_MS >= since_ms)
            .flat_map(|cleaned| cleaned.before.iter().copied())
            .collect();
        let played: Vec<f32> = self.played.iter().copied().collect();
        Some(likeness::share_played(&heard, &played))
    }

    fn recognise(
        &mut self,
        current: &mut Current,
        utterance: &Utterance,
    ) -> Result<(Hearing, f64), SpeechError> {
        current.attempts += 1;
        let start = (self.stopwatch)();
        // Cheap where the graph is the one in force.
        self.recogniser.set_graph(Arc::clone(&current.graph))?;
        let hearing = self.recogniser.recognise(&utterance.samples)?;
        let took = (self.stopwatch)().saturating_sub(start);
        Ok((hearing, took.as_secs_f64() * 1000.0))
    }

    fn partial(&mut self, told: &mut Vec<ListenEvent>) {
        let Some(current) = &mut self.current else {
            return;
        };
        let sound = self.activity.sound_since(current.partial_from);
        current.partial_from = self.activity.newest() + 1;
        match self.recogniser.partial(&sound) {
            Ok(Some(words)) => told.push(ListenEvent::Partial(words)),
            Ok(None) => {}
            // Partial words are for show; the utterance's end tells a failure that lasts.
            Err(_) => {}
        }
    }

    fn finish(&mut self, end: End, told: &mut Vec<ListenEvent>) {
        if let Some(event) = self.activity.finish(end) {
            self.activity_event(event, told);
        }
        self.current = None;
    }

    /// Drops the utterance that is going on; returns whether somebody has to say it again.
    fn gap(&mut self) -> bool {
        self.activity.gap();
        let Some(current) = self.current.take() else {
            return false;
        };
        self.recogniser.discard();
        // While the program speaks, what began may be its own echo; whoever interrupts in vain does so again.
        current.under == Under::Session
    }
}

/// The silence after which this hearing ends its utterance: the first pause where its sentence cannot become longer,
/// the middle one where it can by words ("mobility two" by "instead of three"), the last one where it can by numbers
/// ("buccal three" by "two": people stop and look between readings), `None` where only the full silence does.
fn settled_after(hearing: &Hearing, graph: &WordGraph, pauses_ms: &[u64]) -> Option<u64> {
    let best = hearing.hypotheses.first()?;
    let sure = best
        .word_confidences
        .iter()
        .all(|&confidence| confidence >= SURE);
    if hearing.unheard.is_some() || !sure {
        return None;
    }
    match continuation(graph, &best.words)? {
        Continuation::Whole => pauses_ms.first(),
        Continuation::ByWords => pauses_ms.get(pauses_ms.len() / 2),
        Continuation::ByNumbers => pauses_ms.last(),
    }
    .copied()
}

enum Continuation {
    /// At most further sentences follow, and those may as well come as the next utterance.
    Whole,
    ByWords,
    ByNumbers,
}

/// `None` where the words are no whole sentence of the graph.
fn continuation(graph: &WordGraph, words: &[String]) -> Option<Continuation> {
    let index: HashMap<&str, u32> = (0..)
        .zip(&graph.words)
        .map(|(index, word)| (word.text.as_str(), index))
        .collect();
    let state = words.iter().try_fold(WordGraph::START, |state, word| {
        graph.step(state, *index.get(word.as_str())?)
    })?;
    let state = &graph.states[state as usize];
    // No further sentence begins with a number, so that a number makes this one longer.
    let is_number = |word: u32| graph.words[word as usize].figure.is_some();
    state.is_final.then(|| match state.may_lengthen {
        false => Continuation::Whole,
        true if state.arcs.iter().any(|(word, _)| is_number(*word)) => Continuation::ByNumbers,
        true => Continuation::ByWords,
    })
}

/// All events of a source that ends, such as a file; the graph must be set before.
pub fn replay(
    listener: &mut Listener,
    events: impl IntoIterator<Item = AudioEvent>,
) -> Vec<ListenEvent> {
    events
        .into_iter()
        .flat_map(|event| listener.push(event))
        .collect()
}

/// A stopwatch for live use.
pub fn monotonic() -> Box<dyn FnMut() -> Duration + Send> {
    let start = Instant::now();
    Box::new(move || start.elapsed())
}

/// Runs the listener on a thread of its own until the source ends, [`Control::Stop`] comes, or a channel closes.
/// Controls go before sound that waits; give them a frame number where the order matters.
pub fn spawn(
    mut listener: Listener,
    audio: Receiver<AudioEvent>,
    control: Receiver<Control>,
    events: Sender<ListenEvent>,
) -> std::io::Result<JoinHandle<()>> {
    thread::Builder::new()
        .name("listener".to_owned())
        .spawn(move || {
            loop {
                let waiting = control.try_recv().ok();
                let told = match waiting {
                    Some(Control::Stop) => return,
                    Some(control) => listener.control(control),
                    None => select! {
                        recv(control) -> control => match control {
                            Ok(Control::Stop) | Err(_) => return,
                            Ok(control) => listener.control(control),
                        },
                        recv(audio) -> event => match event {
                            Ok(event) => {
                                if let AudioEvent::Frame(frame) = &event {
                                    let at_ms = (frame.index + 1) * FRAME_MS;
                                    if events.send(ListenEvent::HeardUpTo { at_ms }).is_err() {
                                        return;
                                    }
                                }
                                listener.push(event)
                            }
                            Err(_) => return,
                        },
                    },
                };
                for event in told {
                    let ended = matches!(event, ListenEvent::Ended);
                    if events.send(event).is_err() || ended {
                        return;
                    }
                }
            }
        })
}

#[cfg(test)]
mod tests;
