//! The hint who spoke, on recorded people: each pair of speakers of one half as vet and nurse, three clips each for
//! practising and the others to be told apart, in quiet and in noise. Prints its figures.
//! Needs the recordings at ../shared/speech or $SULCUS_SPEECH; says so and passes where they are absent.

use crate::recordings;

use std::collections::BTreeMap;
use std::path::Path;

use recordings::recordings;
use sulcus::app::sounds_like::Pitches;
use sulcus::record::event::Speaker;
use sulcus::score::list::{self, Split};
use sulcus::score::{clip, noise::Noises};
use sulcus::speech::pitch;

/// Clips of each person by which their usual pitch is known.
const PRACTISED: usize = 3;

/// One person: usual pitch in quiet, and that of the clips that are to be told.
struct Voice {
    hz: f32,
    clips: Vec<Option<f32>>,
}

fn voices(folder: &Path, noise: Option<&Noises>) -> Vec<Voice> {
    let mut clips: BTreeMap<String, Vec<Vec<f32>>> = BTreeMap::new();
    for row in list::read(&folder.join("manifest.tsv")).unwrap() {
        // The limits were chosen on the other half.
        if row.name.starts_with("an4/") && row.split() == Split::Check {
            let sound = clip::read(&row.path).unwrap();
            clips.entry(row.speaker.clone()).or_default().push(sound);
        }
    }
    clips
        .into_values()
        .filter(|clips| clips.len() > PRACTISED)
        .filter_map(|mut clips| {
            let mut told = clips.split_off(PRACTISED);
            let mut hz: Vec<f32> = clips
                .iter()
                .filter_map(|clip| pitch::median_hz(clip))
                .collect();
            hz.sort_by(f32::total_cmp);
            let hz = *hz.get(hz.len() / 2)?;
            let clips = told.iter_mut().enumerate().map(|(at, clip)| {
                if let Some(noise) = noise {
                    noise.mix(&format!("{hz} {at}"), clip);
                }
                pitch::median_hz(clip)
            });
            Some(Voice {
                hz,
                clips: clips.collect(),
            })
        })
        .collect()
}

#[derive(Debug, Default)]
struct Figures {
    pairs: usize,
    told_apart: usize,
    right: usize,
    wrong: usize,
    none: usize,
}

fn figures(voices: &[Voice]) -> Figures {
    let mut figures = Figures::default();
    for (at, vet) in voices.iter().enumerate() {
        for nurse in &voices[at + 1..] {
            let pitches = Pitches {
                vet_hz: vet.hz,
                nurse_hz: nurse.hz,
            };
            figures.pairs += 1;
            if !pitches.are_apart() {
                continue;
            }
            figures.told_apart += 1;
            for (voice, person) in [(vet, Speaker::Vet), (nurse, Speaker::Nurse)] {
                for clip in &voice.clips {
                    match clip.map_or(Speaker::Unknown, |hz| pitches.who_at(hz)) {
                        Speaker::Unknown => figures.none += 1,
                        who if who == person => figures.right += 1,
                        _ => figures.wrong += 1,
                    }
                }
            }
        }
    }
    figures
}

#[test]
fn recorded_people_are_told_by_their_pitch_or_not_at_all() {
    let Some(folder) = recordings() else { return };
    println!("| sound | pairs of people | far enough apart | clips | right | wrong | no hint |");
    println!("|---|---|---|---|---|---|---|");
    for (name, snr_db) in [("quiet", None), ("noise, 10 dB", Some(10.0))] {
        let noise = snr_db.map(|db| Noises::read(&folder.join("noise"), db, 7).unwrap());
        let figures = figures(&voices(&folder, noise.as_ref()));
        let Figures {
            pairs,
            told_apart,
            right,
            wrong,
            none,
        } = figures;
        let clips = right + wrong + none;
        println!("| {name} | {pairs} | {told_apart} | {clips} | {right} | {wrong} | {none} |");
        assert!(clips >= 50, "enough to say anything");
        // A hint may be missing; it must hardly ever be wrong.
        assert!(wrong * 50 <= clips, "{wrong} of {clips} wrong");
        assert!(
            snr_db.is_some() || right * 10 >= clips * 8,
            "{right} of {clips} right"
        );
    }
}
