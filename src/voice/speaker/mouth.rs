//! Voice, kept sound and output together: makes phrases and hands them over. No queue and no thread.

use std::path::Path;
use std::sync::Arc;

use super::super::cache::{DISK_BYTES_MAX, SoundCache};
use super::super::player::{Item, Output, Silencer};
use super::super::{Cue, Sound, Synthesiser, VoiceError};
use super::{SayId, Sentence, VoiceEvent};

/// Pause between two phrases of one sentence, on top of the margins that each phrase carries.
const GAP_MS: u32 = 90;

/// Rate of tones where there is no voice to set one.
const CUE_RATE_HZ: u32 = 22_050;

pub(super) struct Mouth {
    voice: Option<Box<dyn Synthesiser>>,
    kept: SoundCache,
    pub(super) output: Box<dyn Output>,
    told: Tell,
    pub(super) silencer: Silencer,
    pub(super) lost_told: bool,
}

/// Takes what the mouth tells. Nobody may listen any more at the end of the program.
pub(super) type Tell = Box<dyn Fn(VoiceEvent) + Send>;

impl Mouth {
    pub(super) fn new(
        voice: Option<Box<dyn Synthesiser>>,
        output: Box<dyn Output>,
        store: Option<&Path>,
        told: Tell,
        silencer: Silencer,
    ) -> Self {
        let identity = voice.as_ref().map_or("", |voice| voice.identity());
        Self {
            kept: SoundCache::open(store, identity, DISK_BYTES_MAX),
            voice,
            output,
            told,
            silencer,
            lost_told: false,
        }
    }

    pub(super) fn tell(&self, event: VoiceEvent) {
        (self.told)(event);
    }

    pub(super) fn sound(&mut self, phrase: &str) -> Result<Arc<Sound>, VoiceError> {
        let voice = self.voice.as_mut().ok_or(VoiceError::NoVoice)?;
        if let Some(sound) = self.kept.get(phrase) {
            return Ok(sound);
        }
        let sound = voice.synthesise(phrase)?;
        Ok(self.kept.put(phrase, sound))
    }

    pub(super) fn rate_hz(&self) -> u32 {
        self.voice
            .as_ref()
            .map_or(CUE_RATE_HZ, |voice| voice.rate_hz())
    }

    /// Opens the output where needed. Tells once that it is missing, and once that it is there again.
    pub(super) fn ready(&mut self) -> Result<(), VoiceError> {
        let ready = self.output.ready();
        match &ready {
            Ok(()) if self.lost_told => {
                self.lost_told = false;
                self.tell(VoiceEvent::LoudspeakerFound);
            }
            Ok(()) => {}
            Err(error) => self.tell_lost(error),
        }
        ready
    }

    pub(super) fn tell_lost(&mut self, error: &VoiceError) {
        if let VoiceError::Loudspeaker { why } = error
            && !self.lost_told
        {
            self.lost_told = true;
            let error = VoiceError::Loudspeaker { why: why.clone() };
            self.tell(VoiceEvent::NoLoudspeaker { error });
        }
    }

    /// Makes all phrases and hands them to the output, the first as soon as it is made.
    /// Tells the start where `started` is false, and sets it. Ends early where the output was silenced.
    pub(super) fn hand_over(
        &mut self,
        sentence: &Sentence,
        started: &mut bool,
    ) -> Result<(), VoiceError> {
        let mut begun = false;
        for phrase in &sentence.phrases {
            let sound = self.sound(phrase)?;
            if self.silencer.is_silent() {
                return Ok(());
            }
            if begun {
                let gap = Sound::silence(GAP_MS, self.rate_hz());
                self.output.play(&gap)?;
            } else {
                self.ready()?;
                self.output.begin(&Item::Sentence {
                    id: sentence.id,
                    phrases: &sentence.phrases,
                })?;
                begun = true;
                if !std::mem::replace(started, true) {
                    self.tell(VoiceEvent::Started { id: sentence.id });
                }
            }
            self.output.play(&sound)?;
        }
        if begun { self.output.end() } else { Ok(()) }
    }

    pub(super) fn fail(&mut self, id: SayId, error: VoiceError) {
        self.output.cut();
        self.tell_lost(&error);
        self.tell(VoiceEvent::Failed { id, error });
    }

    pub(super) fn say_whole(&mut self, sentence: &Sentence) {
        match self.hand_over(sentence, &mut false) {
            Ok(()) => self.tell(VoiceEvent::Ended {
                id: sentence.id,
                cut: false,
            }),
            Err(error) => self.fail(sentence.id, error),
        }
    }

    /// Hands a tone over. False where it could not be heard; that is told already.
    pub(super) fn begin_cue(&mut self, cue: Cue) -> bool {
        let begun = self
            .ready()
            .and_then(|()| self.output.begin(&Item::Cue(cue)));
        if let Err(error) = &begun {
            self.tell_lost(error);
            return false;
        }
        self.tell(VoiceEvent::CueStarted { cue });
        let sound = cue.sound(self.rate_hz());
        let played = self.output.play(&sound).and_then(|()| self.output.end());
        if let Err(error) = &played {
            self.tell_lost(error);
            self.tell(VoiceEvent::CueEnded { cue });
        }
        played.is_ok()
    }
}
