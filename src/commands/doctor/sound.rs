//! The sound part of the check: which devices there are, and how the microphone sounds, in figures and plain words.

use std::fmt;
use std::time::{Duration, Instant};

use serde::Serialize;

use super::{Findings, Options, Verdict};
use crate::audio::level::{FLOOR_DBFS, Level, Meter};
use crate::audio::{AudioError, AudioEvent, Mix, SAMPLE_RATE_HZ, microphone};

/// A quieter peak than this, in two seconds of even a silent room, means that no sound arrives: a muted or
/// unconnected input. The hiss of a cheap microphone lies near -70 dBFS.
const DEAD_DBFS: f32 = -95.0;

/// Speech from half a metre peaks at -20 to -6 dBFS on a well-set input; with -40 the lowest bits carry it.
const QUIET_PEAK_DBFS: f32 = -40.0;

/// The noise of the room above this leaves speech at -25 dBFS less than 10 dB of distance,
/// where recognition was measured to become unsure.
const NOISY_DBFS: f32 = -35.0;

/// What the check may take beyond the time of the sound: wireless headsets and sound servers take seconds to wake,
/// and a device that goes away for a moment gets the chance to come back.
const PATIENCE: Duration = Duration::from_secs(8);

#[derive(Debug, Serialize)]
pub struct Device {
    id: String,
    name: String,
    input: Option<String>,
    output: Option<String>,
    default: bool,
}

impl fmt::Display for Device {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} ({})", self.id, self.name)?;
        if let Some(form) = &self.input {
            write!(f, ", in: {form}")?;
        }
        if let Some(form) = &self.output {
            write!(f, ", out: {form}")?;
        }
        if self.default {
            write!(f, " [default]")?;
        }
        Ok(())
    }
}

/// What the microphone gave.
#[derive(Debug, Serialize)]
pub struct Microphone {
    name: String,
    heard_ms: u64,
    peak_dbfs: f32,
    rms_dbfs: f32,
    noise_floor_dbfs: f32,
    clipped_samples: u64,
    overrun_frames: u64,
    /// Why it went away for a moment, where it did.
    lost: Option<String>,
}

impl fmt::Display for Microphone {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{}: {:.1} s heard, peak {:.0} dBFS, mean {:.0} dBFS, noise floor {:.0} dBFS, {} samples clipped",
            self.name,
            self.heard_ms as f32 / 1000.0,
            self.peak_dbfs,
            self.rms_dbfs,
            self.noise_floor_dbfs,
            self.clipped_samples
        )
    }
}

pub fn devices(findings: &mut Findings) -> Vec<Device> {
    let devices: Vec<Device> = match microphone::list_devices() {
        Ok(devices) => devices
            .into_iter()
            .map(|device| Device {
                id: device.id,
                name: device.name,
                input: device.input,
                output: device.output,
                default: device.is_default,
            })
            .collect(),
        Err(error) => {
            findings.problems.push(error.to_string());
            return Vec::new();
        }
    };
    if !devices.iter().any(|device| device.output.is_some()) {
        findings.problems.push(
            "no loudspeaker: plug one in, or work with the page alone; read-back is silent without one"
                .to_owned(),
        );
    }
    devices
}

pub fn microphone(options: &Options, findings: &mut Findings) -> Option<Microphone> {
    match listen(options) {
        Ok(microphone) => {
            judge(&microphone, findings);
            Some(microphone)
        }
        Err(error) => {
            findings.problems.push(error.to_string());
            None
        }
    }
}

fn listen(options: &Options) -> Result<Microphone, AudioError> {
    let (microphone, events) = microphone::Microphone::open(&microphone::Options {
        device: options.device.clone(),
        mix: options.channel.map_or(Mix::Mean, Mix::Channel),
    })?;
    let wanted = (options.seconds * SAMPLE_RATE_HZ as f32) as u64;
    let deadline = Instant::now() + PATIENCE + Duration::from_secs_f32(options.seconds);
    let mut meter = Meter::default();
    let (mut overrun_frames, mut lost) = (0, None);
    while meter.samples() < wanted {
        match events.recv_deadline(deadline) {
            Ok(AudioEvent::Frame(frame)) => meter.push(&frame.samples),
            Ok(AudioEvent::Overrun { frames }) => overrun_frames += frames,
            Ok(AudioEvent::Lost { why, .. }) => lost = Some(why),
            Ok(AudioEvent::Found { .. } | AudioEvent::Ended) => {}
            Err(_) => {
                return Err(AudioError::Device {
                    device: microphone.name().to_owned(),
                    why: lost.unwrap_or_else(|| "no sound comes from it".to_owned()),
                });
            }
        }
    }
    let Level {
        peak_dbfs,
        rms_dbfs,
        noise_floor_dbfs,
        clipped_samples,
        samples,
    } = meter.level();
    Ok(Microphone {
        name: microphone.name().to_owned(),
        heard_ms: samples * 1000 / u64::from(SAMPLE_RATE_HZ),
        peak_dbfs,
        rms_dbfs,
        noise_floor_dbfs,
        clipped_samples,
        overrun_frames,
        lost,
    })
}

/// The worst of what [`judge`] would say.
pub fn verdict(options: &Options) -> Result<Verdict, AudioError> {
    Ok(in_a_word(&listen(options)?))
}

fn in_a_word(microphone: &Microphone) -> Verdict {
    if microphone.peak_dbfs <= DEAD_DBFS {
        Verdict::Muted
    } else if microphone.clipped_samples > 0 {
        Verdict::TooLoud
    } else if microphone.peak_dbfs < QUIET_PEAK_DBFS {
        Verdict::TooQuiet
    } else if microphone.noise_floor_dbfs > NOISY_DBFS {
        Verdict::Noisy
    } else {
        Verdict::Good
    }
}

fn judge(microphone: &Microphone, findings: &mut Findings) {
    let name = &microphone.name;
    if microphone.peak_dbfs <= DEAD_DBFS {
        let how = if microphone.peak_dbfs <= FLOOR_DBFS {
            "no sound at all"
        } else {
            "next to no sound"
        };
        findings.problems.push(format!(
            "the microphone {name} gives {how}: switch its mute off, raise its level in the system's sound settings, \
             or choose another with --device NAME"
        ));
        return;
    }
    if microphone.clipped_samples > 0 {
        findings.problems.push(format!(
            "the microphone {name} is too loud ({} samples at full scale): lower its level in the system's sound \
             settings or move it away from the mouth, until the peak stays below -3 dBFS",
            microphone.clipped_samples
        ));
    } else if microphone.peak_dbfs < QUIET_PEAK_DBFS {
        findings.advice.push(format!(
            "the microphone {name} is quiet (peak {:.0} dBFS): if you spoke during the check, move it nearer or raise \
             its level; if not, check again and speak",
            microphone.peak_dbfs
        ));
    }
    if microphone.noise_floor_dbfs > NOISY_DBFS {
        findings.advice.push(format!(
            "the room is loud (noise floor {:.0} dBFS): bring the microphone nearer to the mouth and lower its level, \
             or turn off what hums; if you spoke without a pause during the check, be silent for a moment and check again",
            microphone.noise_floor_dbfs
        ));
    }
    if let Some(why) = &microphone.lost {
        findings.advice.push(format!(
            "the microphone {name} went away during the check and came back ({why}): check its plug and cable"
        ));
    }
    if microphone.overrun_frames > 0 {
        findings.advice.push(format!(
            "{} frames of sound were lost during the check: the machine is too busy; close other programs",
            microphone.overrun_frames
        ));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn findings(peak_dbfs: f32, noise_floor_dbfs: f32, clipped_samples: u64) -> (usize, usize) {
        let mut findings = Findings::default();
        let microphone = Microphone {
            name: "test".to_owned(),
            heard_ms: 2_000,
            peak_dbfs,
            rms_dbfs: peak_dbfs - 10.0,
            noise_floor_dbfs,
            clipped_samples,
            overrun_frames: 0,
            lost: None,
        };
        judge(&microphone, &mut findings);
        // The short form is good where the long one has nothing to say, and nowhere else.
        let is_good = findings.problems.is_empty() && findings.advice.is_empty();
        assert_eq!(in_a_word(&microphone) == Verdict::Good, is_good);
        (findings.problems.len(), findings.advice.len())
    }

    #[test]
    fn levels_are_judged() {
        assert_eq!(findings(-10.0, -60.0, 0), (0, 0), "good");
        assert_eq!(findings(FLOOR_DBFS, FLOOR_DBFS, 0), (1, 0), "muted");
        assert_eq!(findings(0.0, -60.0, 5), (1, 0), "clipping");
        assert_eq!(findings(-50.0, -70.0, 0), (0, 1), "quiet");
        assert_eq!(findings(-10.0, -30.0, 0), (0, 1), "noisy");
    }
}
