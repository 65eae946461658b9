//! Plays sound files through the same listener and conversation as the live table, as fast as the machine can.
//! Knows no clock: time is the sound's own, so that a file gives the same record each time.

use std::path::Path;
use std::time::Duration;

use anyhow::Context as _;
use crossbeam_channel::Receiver;

use super::ending::Ending;
use super::talk::{Line, Talk};
use crate::audio::{AudioEvent, FRAME_MS, Mix, wav::WavSource};
use crate::speech::listener::{Control, ListenEvent, Listener};
use crate::voice::VoiceEvent;

/// Time is let pass in these steps after the end of a file, at most so often: longer than any pause that is waited for.
const SETTLE_STEP_MS: u64 = 500;
const SETTLE_STEPS_MAX: usize = 60;

/// A disk that takes nothing is tried so often more at the end, first after this time, then after twice as long: some
/// six seconds in all. Nobody waits beside a file that is played.
const LAST_TRY: Duration = Duration::from_millis(200);
const LAST_TRIES: u32 = 5;

/// What a replay needs besides the file.
pub struct Replay<'a> {
    pub talk: &'a mut Talk,
    pub listener: &'a mut Listener,
    pub voice: &'a Receiver<VoiceEvent>,
    /// Told each line as it comes.
    pub show: &'a mut dyn FnMut(Line),
    /// Told how much of the file is done, 0.0 to 1.0.
    pub progress: &'a mut dyn FnMut(f32),
}

impl Replay<'_> {
    /// Plays one file to its end.
    pub fn play(&mut self, path: &Path) -> anyhow::Result<()> {
        let mut source = WavSource::open(path, Mix::default())
            .with_context(|| format!("cannot play {}", path.display()))?;
        let length_ms = source.length_ms().max(1);
        self.set_graph();
        let first = self.listener.next_frame();
        // Time has gone on since the file before.
        let before_ms = self.talk.now_ms().saturating_sub(first * FRAME_MS);
        let mut played_ms = 0;
        while let Some(mut frame) = source
            .next_frame()
            .with_context(|| format!("cannot play {}", path.display()))?
        {
            frame.index += first;
            self.talk.at(before_ms + (frame.index + 1) * FRAME_MS);
            let told = self.listener.push(AudioEvent::Frame(frame));
            played_ms += FRAME_MS;
            self.talk.desk().clock().advance_ms(FRAME_MS);
            (self.progress)((played_ms as f32 / length_ms as f32).min(1.0));
            self.handle(told, before_ms);
        }
        let told = self.listener.push(AudioEvent::Ended);
        self.handle(told, before_ms);
        self.settle();
        Ok(())
    }

    /// After the last sound: lets time pass until all that waits is said.
    fn settle(&mut self) {
        for _ in 0..SETTLE_STEPS_MAX {
            if self.talk.is_settled() {
                break;
            }
            self.talk.desk().clock().advance_ms(SETTLE_STEP_MS);
            self.talk.at(self.talk.now_ms() + SETTLE_STEP_MS);
            self.speak();
        }
    }

    /// After the last file: the end, once the disk was tried for some seconds where it takes nothing.
    pub fn end(&mut self) -> Ending {
        let mut wait = LAST_TRY;
        for _ in 0..LAST_TRIES {
            if !self.talk.desk().is_down() {
                break;
            }
            std::thread::sleep(wait);
            wait *= 2;
            let lines = self.talk.try_again();
            self.tell(lines);
            self.speak();
        }
        let lines = self.talk.last_words();
        self.tell(lines);
        self.settle();
        let trouble = self.talk.trouble();
        match trouble.why {
            None => Ending::Done,
            Some(why) => Ending::Storage {
                why,
                unsaved: trouble.unsaved,
            },
        }
    }

    fn set_graph(&mut self) {
        let graph = self.talk.graph();
        self.listener.control(Control::SetGraph(graph));
    }

    fn handle(&mut self, told: Vec<ListenEvent>, before_ms: u64) {
        for event in told {
            let event = match event {
                ListenEvent::SpeechStarted { at_ms, under } => ListenEvent::SpeechStarted {
                    at_ms: before_ms + at_ms,
                    under,
                },
                event => event,
            };
            let lines = self.talk.listen(&event);
            self.tell(lines);
            self.speak();
            self.set_graph();
        }
        let lines = self.talk.retry();
        self.tell(lines);
        self.speak();
    }

    /// Says what may be said now, one after the other.
    fn speak(&mut self) {
        let lines = self.talk.speak();
        self.tell(lines);
        while let Ok(event) = self.voice.try_recv() {
            let lines = self.talk.voice(&event);
            self.tell(lines);
        }
    }

    fn tell(&mut self, lines: Vec<Line>) {
        for line in lines {
            (self.show)(line);
        }
    }
}
