//! The one mouth of the program: a queue of sentences and tones in front of one voice and one output.
//! Says what it is told, in order; tells when sound begins and ends. Decides nothing about what to say.
//!
//! Invariant: each sentence ends in exactly one [`VoiceEvent::Ended`] or [`VoiceEvent::Failed`].

use std::path::Path;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::JoinHandle;

use crossbeam_channel::{Receiver, Sender, unbounded};

use super::player::{Output, Silencer};
use super::{Cue, Synthesiser, VoiceError};

mod mouth;
mod queue;

use mouth::{Mouth, Tell};
use queue::Queue;

/// Names one sentence between `say` and its events. The caller counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SayId(pub u64);

/// When a sentence is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Priority {
    /// After all that waits.
    Ordinary,
    /// At once: what is being said is cut. What waits is said afterwards.
    Urgent,
}

/// What the speaker tells. The listener is deaf between a beginning and its end.
#[derive(Debug)]
pub enum VoiceEvent {
    /// The first sound of this sentence goes to the loudspeaker now.
    Started { id: SayId },
    /// The last sound has left the loudspeaker, or the sentence was `cut` short (also where it had not begun).
    Ended { id: SayId, cut: bool },
    /// This sentence was not, or not wholly, heard.
    Failed { id: SayId, error: VoiceError },
    /// A tone begins. A tone that cannot be played has no events.
    CueStarted { cue: Cue },
    /// The tone has ended, or broke off.
    CueEnded { cue: Cue },
    /// The loudspeaker is missing or went away: told once, until it is found again. It is looked for.
    NoLoudspeaker { error: VoiceError },
    /// The loudspeaker is there again.
    LoudspeakerFound,
}

/// Handle to the mouth. Dropping it cuts what is being said and ends the thread.
pub struct Speaker {
    mode: Mode,
    silencer: Silencer,
}

enum Mode {
    /// A thread of its own, for live work.
    Thread {
        commands: Option<Sender<Command>>,
        thread: Option<JoinHandle<()>>,
    },
    /// Within the call, without clock: for replay.
    Direct(Mutex<Mouth>),
}

enum Command {
    Say(Sentence, Priority),
    Cue(Cue),
    Prepare(Vec<String>),
    Stop,
}

struct Sentence {
    id: SayId,
    phrases: Vec<String>,
}

impl Speaker {
    /// Starts the mouth in a thread of its own. `store` is the folder for sound already made.
    /// Without a voice, tones still work and each sentence fails with [`VoiceError::NoVoice`].
    pub fn start(
        voice: Option<Box<dyn Synthesiser>>,
        output: Box<dyn Output>,
        store: Option<&Path>,
    ) -> (Self, Receiver<VoiceEvent>) {
        let (events, from_mouth) = unbounded();
        let tell = move |event| {
            let _ = events.send(event);
        };
        (
            Self::start_telling(voice, output, store, Box::new(tell)),
            from_mouth,
        )
    }

    fn start_telling(
        voice: Option<Box<dyn Synthesiser>>,
        output: Box<dyn Output>,
        store: Option<&Path>,
        tell: Tell,
    ) -> Self {
        let (commands, orders) = unbounded();
        let silencer = output.silencer();
        let mouth = Mouth::new(voice, output, store, tell, silencer.clone());
        let thread = std::thread::Builder::new()
            .name("voice".to_owned())
            .spawn(move || Queue::new(mouth, orders).run())
            .expect("a thread can be started at start-up");
        let mode = Mode::Thread {
            commands: Some(commands),
            thread: Some(thread),
        };
        Self { mode, silencer }
    }

    /// The same, and each event comes with the number that `position` had when it happened: of the newest frame that
    /// the microphone had given, whenever somebody comes to read it.
    pub fn start_beside(
        voice: Option<Box<dyn Synthesiser>>,
        output: Box<dyn Output>,
        store: Option<&Path>,
        position: Arc<AtomicU64>,
    ) -> (Self, Receiver<(u64, VoiceEvent)>) {
        let (events, from_mouth) = unbounded();
        let tell = move |event| {
            // Nobody listens any more at the end of the program.
            let _ = events.send((position.load(Ordering::Acquire), event));
        };
        (
            Self::start_telling(voice, output, store, Box::new(tell)),
            from_mouth,
        )
    }

    /// A mouth that works within the call: `say` returns when the sound is made and written.
    /// Its events are in the channel by then.
    pub fn synchronous(
        voice: Option<Box<dyn Synthesiser>>,
        output: Box<dyn Output>,
        store: Option<&Path>,
    ) -> (Self, Receiver<VoiceEvent>) {
        let (events, from_mouth) = unbounded();
        let silencer = output.silencer();
        let tell = move |event| {
            let _ = events.send(event);
        };
        let mouth = Mouth::new(voice, output, store, Box::new(tell), silencer.clone());
        let mode = Mode::Direct(Mutex::new(mouth));
        (Self { mode, silencer }, from_mouth)
    }

    /// Says the phrases, one after the other, as one sentence.
    pub fn say(&self, id: SayId, phrases: Vec<String>, priority: Priority) {
        let sentence = Sentence { id, phrases };
        match &self.mode {
            Mode::Direct(mouth) => lock(mouth).say_whole(&sentence),
            Mode::Thread { .. } => {
                if priority == Priority::Urgent {
                    self.silencer.silence();
                }
                self.send(Command::Say(sentence, priority));
            }
        }
    }

    /// Plays a tone: before the sentences that wait, after what is being said.
    pub fn cue(&self, cue: Cue) {
        match &self.mode {
            Mode::Direct(mouth) => {
                let mut mouth = lock(mouth);
                if mouth.begin_cue(cue) {
                    mouth.tell(VoiceEvent::CueEnded { cue });
                }
            }
            Mode::Thread { .. } => self.send(Command::Cue(cue)),
        }
    }

    /// Makes these phrases ahead, whenever there is nothing to say, so that they are said at once later.
    /// The synchronous mouth has no idle time and ignores it.
    pub fn prepare(&self, phrases: Vec<String>) {
        self.send(Command::Prepare(phrases));
    }

    /// Is silent at once, and forgets what waits.
    pub fn stop(&self) {
        if matches!(self.mode, Mode::Thread { .. }) {
            self.silencer.silence();
            self.send(Command::Stop);
        }
    }

    fn send(&self, command: Command) {
        if let Mode::Thread {
            commands: Some(commands),
            ..
        } = &self.mode
        {
            // The thread ends only when this sender is dropped.
            let _ = commands.send(command);
        }
    }
}

impl Drop for Speaker {
    fn drop(&mut self) {
        if let Mode::Thread { commands, thread } = &mut self.mode {
            self.silencer.silence();
            drop(commands.take());
            if let Some(thread) = thread.take() {
                // A panic of the voice must not become one of the program.
                let _ = thread.join();
            }
        }
    }
}

fn lock(mouth: &Mutex<Mouth>) -> std::sync::MutexGuard<'_, Mouth> {
    mouth.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests;
