//! Recognition, voice and conversation with the real models and recorded sound, without devices.

#[path = "../common/models.rs"]
mod models;
#[path = "../common/recordings.rs"]
mod recordings;

mod activity;
mod conversation;
mod heard_tone;
mod moonshine;
mod read_back;
mod sound_files;
mod sounds_like;
mod voice;
mod vosk_engine;
