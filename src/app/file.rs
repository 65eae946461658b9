//! Plays sound files through the same listener and conversation as the live table, as fast as the machine can.
//! Knows no clock: time is the sound's own, so that a file gives the same record each time.

use std::path::Path;

use anyhow::Context as _;
use crossbeam_channel::Receiver;

use super::talk::{Line, Talk};
use crate::audio::{AudioEvent, FRAME_MS, Mix, wav::WavSource};
use crate::speech::listener::{Control, ListenEvent, Listener};
use crate::voice::VoiceEvent;

/// Time is let pass in these steps after the end of a file, at most so often: longer than any pause that is waited for.
const SETTLE_STEP_MS: u64 = 500;
const SETTLE_STEPS_MAX: usize = 60;

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
        let mut played_ms = 0;
        while let Some(mut frame) = source
            .next_frame()
            .with_context(|| format!("cannot play {}", path.display()))?
        {
            frame.index += first;
            let told = self.listener.push(AudioEvent::Frame(frame));
            played_ms += FRAME_MS;
            self.talk.desk().clock().advance_ms(FRAME_MS);
            (self.progress)((played_ms as f32 / length_ms as f32).min(1.0));
            self.handle(told)?;
        }
        let told = self.listener.push(AudioEvent::Ended);
        self.handle(told)?;
        self.settle()
    }

    /// After the last sound: lets time pass until all that waits is said.
    fn settle(&mut self) -> anyhow::Result<()> {
        for _ in 0..SETTLE_STEPS_MAX {
            if self.talk.turn().is_idle() {
                break;
            }
            self.talk.desk().clock().advance_ms(SETTLE_STEP_MS);
            self.speak()?;
        }
        Ok(())
    }

    fn set_graph(&mut self) {
        let graph = self.talk.graph();
        self.listener.control(Control::SetGraph(graph));
    }

    fn handle(&mut self, told: Vec<ListenEvent>) -> anyhow::Result<()> {
        for event in told {
            let lines = self.talk.listen(&event);
            self.tell(lines);
            self.speak()?;
            self.set_graph();
        }
        self.speak()
    }

    /// Says what may be said now, one after the other.
    fn speak(&mut self) -> anyhow::Result<()> {
        let lines = self.talk.speak();
        self.tell(lines);
        while let Ok(event) = self.voice.try_recv() {
            let lines = self.talk.voice(&event);
            self.tell(lines);
        }
        if self.talk.is_shut() {
            anyhow::bail!("nothing more could be saved; what was confirmed before is kept");
        }
        Ok(())
    }

    fn tell(&mut self, lines: Vec<Line>) {
        for line in lines {
            (self.show)(line);
        }
    }
}
