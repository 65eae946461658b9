//! Voice activity on recorded speech and noise: is speech found, is it clipped, does noise start an utterance?
//! Prints its figures. Needs the models, and the recordings at ../shared/speech or $SULCUS_SPEECH;
//! says so and passes where either is absent.

use crate::recordings;

use std::path::{Path, PathBuf};

use recordings::recordings;
use sulcus::audio::{FRAME_SAMPLES, Mix, wav};
use sulcus::speech::activity::{Detector, End, Segmenter, Settings, Silero, Turn};

const FRAME_MS: f64 = 32.0;

/// Sound put before and after each clip.
const LEAD: usize = 32 * FRAME_SAMPLES;
const TRAIL: usize = 40 * FRAME_SAMPLES;

fn models() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("models")
}

/// Sound with its voiced stretch, as far as energy tells, in samples from its start.
struct Clip {
    name: String,
    sound: Vec<f32>,
    voiced: (usize, usize),
}

/// The stretch from the first to the last 10 ms within 30 dB of the loudest, at least 10 dB over the noise floor
/// and 30 ms long: single clicks at the edges of a clip are no voice.
fn voiced(sound: &[f32]) -> Option<(usize, usize)> {
    let energies: Vec<f32> = sound.chunks(160).map(rms).collect();
    let mut sorted = energies.clone();
    sorted.sort_by(f32::total_cmp);
    let loudest = sorted[sorted.len() * 98 / 100];
    let threshold = (loudest / 31.6).max(sorted[sorted.len() / 10] * 3.16);
    let mut runs = energies
        .windows(3)
        .enumerate()
        .filter(|(_, run)| run.iter().all(|&energy| energy >= threshold))
        .map(|(at, _)| at);
    let first = runs.next()?;
    Some((first * 160, (runs.next_back().unwrap_or(first) + 3) * 160))
}

fn rms(sound: &[f32]) -> f32 {
    (sound.iter().map(|s| s * s).sum::<f32>() / sound.len().max(1) as f32).sqrt()
}

fn probabilities(detector: &mut Silero, sound: &[f32]) -> Vec<f32> {
    detector.reset();
    sound
        .chunks_exact(FRAME_SAMPLES)
        .map(|frame| detector.probability(frame).unwrap())
        .collect()
}

#[derive(Default, Debug)]
struct Figures {
    clips: usize,
    found: usize,
    begin_clipped: usize,
    end_clipped: usize,
    split: usize,
    /// Clips with an utterance beside the speech.
    extra: usize,
    /// Pauses within speech that reached each pause length.
    inner_pauses: [usize; 3],
    /// First silences within speech: there the tone sounds in the middle of a sentence.
    inner_hushes: usize,
    /// From the end of speech to the first silence after it, milliseconds, half and nineteen of twenty.
    hushed_after_ms: [i64; 2],
}

impl Figures {
    fn add(&mut self, other: Figures) {
        self.clips += other.clips;
        self.found += other.found;
        self.begin_clipped += other.begin_clipped;
        self.end_clipped += other.end_clipped;
        self.split += other.split;
        self.extra += other.extra;
    }
}

#[derive(Default)]
struct Cuts {
    /// First sample, and the sample after the last.
    utterances: Vec<(usize, usize)>,
    inner_pauses: [usize; 3],
    /// The sample at which each first silence was noticed.
    hushes: Vec<usize>,
}

fn cut(settings: &Settings, probabilities: &[f32]) -> Cuts {
    let mut segmenter = Segmenter::new(settings.clone());
    let (mut cuts, mut pauses) = (Cuts::default(), 0);
    let mut take = |frame: u64, turn: Turn| match turn {
        Turn::Hushed => cuts.hushes.push((frame as usize + 1) * FRAME_SAMPLES),
        Turn::Pause { .. } => pauses += 1,
        Turn::Resumed => {
            for at in 0..std::mem::take(&mut pauses) {
                cuts.inner_pauses[at] += 1;
            }
        }
        Turn::Ended { span, .. } => {
            pauses = 0;
            cuts.utterances.push((
                span.first as usize * FRAME_SAMPLES,
                (span.last as usize + 1) * FRAME_SAMPLES,
            ));
        }
        Turn::Started { .. } | Turn::Dismissed => pauses = 0,
    };
    for (frame, &probability) in (0..).zip(probabilities) {
        if let Some(turn) = segmenter.push(frame, probability) {
            take(frame, turn);
        }
    }
    let last = probabilities.len() as u64 - 1;
    if let Some(turn) = segmenter.finish(last, End::Source) {
        take(last, turn);
    }
    cuts
}

fn judge<'a>(
    settings: &Settings,
    clips: impl Iterator<Item = (&'a Clip, &'a Vec<f32>)>,
) -> Figures {
    let mut figures = Figures::default();
    let mut hushed_after_ms = Vec::new();
    for (clip, probabilities) in clips {
        let cuts = cut(settings, probabilities);
        let voiced = (clip.voiced.0 + LEAD, clip.voiced.1 + LEAD);
        let hits: Vec<_> = cuts
            .utterances
            .iter()
            .filter(|(first, end)| *first < voiced.1 && *end > voiced.0)
            .collect();
        figures.clips += 1;
        figures.extra += usize::from(cuts.utterances.len() > hits.len());
        for at in 0..3 {
            figures.inner_pauses[at] += cuts.inner_pauses[at];
        }
        if let Some((last, inner)) = cuts.hushes.split_last() {
            figures.inner_hushes += inner.len();
            hushed_after_ms.push((*last as i64 - voiced.1 as i64) / 16);
        }
        let (Some(first), Some(last)) = (hits.first(), hits.last()) else {
            println!("          missed {}", clip.name);
            continue;
        };
        figures.found += 1;
        // 20 ms and 40 ms are what energy and model may differ by.
        figures.begin_clipped += usize::from(first.0 > voiced.0 + 320);
        figures.end_clipped += usize::from(last.1 + 640 < voiced.1);
        figures.split += usize::from(hits.len() > 1);
    }
    hushed_after_ms.sort_unstable();
    let share = |part: usize| hushed_after_ms.get(hushed_after_ms.len() * part / 100);
    figures.hushed_after_ms = [50, 95].map(|part| share(part).copied().unwrap_or(0));
    figures
}

fn clips(folder: &Path) -> Vec<Clip> {
    let manifest = std::fs::read_to_string(folder.join("manifest.tsv")).unwrap();
    manifest
        .lines()
        .skip(1)
        .filter_map(|line| line.split('\t').next())
        .filter_map(|name| {
            let sound = wav::read(&folder.join(name), Mix::Mean).unwrap();
            Some(Clip {
                name: name.to_owned(),
                voiced: voiced(&sound)?,
                sound,
            })
        })
        .collect()
}

fn noises(folder: &Path) -> Vec<(String, Vec<f32>)> {
    let mut noises: Vec<(String, Vec<f32>)> = std::fs::read_dir(folder.join("noise"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "wav"))
        .map(|path| {
            let name = path.file_stem().unwrap().to_string_lossy().into_owned();
            (name, wav::read(&path, Mix::Mean).unwrap())
        })
        .collect();
    noises.sort_by(|a, b| a.0.cmp(&b.0));
    noises
}

/// The clip with sound before and after it: the hiss of a quiet interface, or noise so many dB below the speech.
fn embed(clip: &Clip, number: usize, noise: Option<(&[f32], f32)>) -> Vec<f32> {
    let length = LEAD + clip.sound.len() + TRAIL;
    let mut sound = vec![0.0; length];
    sound[LEAD..LEAD + clip.sound.len()].copy_from_slice(&clip.sound);
    match noise {
        None => {
            // A linear congruential generator; 3e-4 either way is -75 dBFS.
            let mut state = number as u32 + 1;
            for sample in &mut sound {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                *sample += (state >> 8) as f32 / 8_388_608.0 * 3e-4 - 3e-4;
            }
        }
        Some((noise, snr_db)) => {
            let speech = rms(&clip.sound[clip.voiced.0..clip.voiced.1]);
            let gain = speech / rms(noise).max(1e-6) / 10_f32.powf(snr_db / 20.0);
            let from = number * 7_919 % noise.len();
            for (sample, noise) in sound.iter_mut().zip(noise.iter().cycle().skip(from)) {
                *sample += gain * noise;
            }
        }
    }
    sound
}

#[test]
fn speech_is_found_whole_and_noise_is_not_taken_for_it() {
    let Some(folder) = recordings() else { return };
    if !models().join("onnxruntime/libonnxruntime.so").is_file() {
        println!("skipped: no models; run ./models-fetch.sh");
        return;
    }
    let mut detector = Silero::new(&models()).unwrap();
    let (clips, noises) = (clips(&folder), noises(&folder));
    let settings = Settings::default();

    for snr_db in [None, Some(10.0)] {
        let heard: Vec<Vec<f32>> = clips
            .iter()
            .enumerate()
            .map(|(number, clip)| {
                let noise = &noises[number % noises.len()].1;
                let sound = embed(
                    clip,
                    number,
                    snr_db.map(|snr_db| (noise.as_slice(), snr_db)),
                );
                probabilities(&mut detector, &sound)
            })
            .collect();
        let mut all = Figures::default();
        for kind in ["an4", "commands", "other"] {
            let of_kind = clips
                .iter()
                .zip(&heard)
                .filter(|(clip, _)| clip.name.starts_with(kind));
            let figures = judge(&settings, of_kind);
            println!(
                "{kind:9} {}: {figures:?}",
                snr_db.map_or("quiet", |_| "10 dB")
            );
            if snr_db.is_none() && kind == "an4" {
                // Measured: within 351 digit strings 169 first silences, and 100 ms half of the time.
                assert!(figures.inner_hushes <= 200, "{figures:?}");
                assert!(figures.hushed_after_ms[0] <= 120, "{figures:?}");
            }
            all.add(figures);
        }
        // Bounds a little wider than what was measured when they were set: of 854 clips 852 and 850 found,
        // 2 and 4 beginnings and 7 and 7 ends clipped, none split.
        assert!(all.found * 100 >= all.clips * 99, "{all:?}");
        assert!(all.begin_clipped * 100 <= all.clips, "{all:?}");
        assert!(all.end_clipped * 100 <= all.clips * 2, "{all:?}");
        assert!(all.split * 100 <= all.clips, "{all:?}");
    }

    let (mut utterances, mut minutes) = (0, 0.0);
    for (name, sound) in &noises {
        let probabilities = probabilities(&mut detector, sound);
        let found = cut(&settings, &probabilities).utterances.len();
        if found > 0 {
            println!("noise     {name}: {found} utterances");
        }
        utterances += found;
        minutes += probabilities.len() as f64 * FRAME_MS / 60_000.0;
    }
    println!("noise     {utterances} utterances in {minutes:.1} min");
    // Measured: 2, from a dog and from laughter; both are the engine's to reject.
    assert!(utterances <= 4, "{utterances}");
}
