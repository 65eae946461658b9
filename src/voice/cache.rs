//! Sound already made, kept in memory and on disk, so that a phrase said before answers at once.
//! A helper of speed only: a missing, damaged or unwritable store costs time, never a sentence.
//!
//! Invariant: a file's name is the hash of voice identity and phrase, so another voice never speaks from this store.

use std::collections::HashMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::SystemTime;

use sha2::{Digest, Sha256};

use super::Sound;

/// Bytes kept in memory: about 400 phrases of 1.5 s.
const MEMORY_BYTES_MAX: usize = 48 << 20;

/// Bytes kept on disk: about 900 phrases of 1.5 s as 16-bit sound.
pub const DISK_BYTES_MAX: u64 = 64 << 20;

/// The store of one voice.
pub struct SoundCache {
    /// `None`: memory only.
    folder: Option<PathBuf>,
    identity: String,
    kept: HashMap<String, Kept>,
    kept_bytes: usize,
    /// Counts uses, to know which phrase was used longest ago.
    use_count: u64,
}

struct Kept {
    sound: Arc<Sound>,
    last_use: u64,
}

impl SoundCache {
    /// Opens the store of the voice `identity` in `folder` and deletes the oldest files over `bytes_max`.
    /// Where the folder cannot be used, sound is kept in memory only.
    pub fn open(folder: Option<&Path>, identity: &str, bytes_max: u64) -> Self {
        let folder = folder
            .filter(|folder| fs::create_dir_all(folder).is_ok())
            .map(Path::to_path_buf);
        if let Some(folder) = &folder {
            // Not fatal: an over-full store is a matter of disk space, which `doctor` watches.
            let _ = delete_oldest(folder, bytes_max);
        }
        Self {
            folder,
            identity: identity.to_owned(),
            kept: HashMap::new(),
            kept_bytes: 0,
            use_count: 0,
        }
    }

    /// The sound of `phrase` where it is kept.
    pub fn get(&mut self, phrase: &str) -> Option<Arc<Sound>> {
        self.use_count += 1;
        if let Some(kept) = self.kept.get_mut(phrase) {
            kept.last_use = self.use_count;
            return Some(Arc::clone(&kept.sound));
        }
        let path = self.path(phrase)?;
        let sound = Sound::from_wav(&fs::read(path).ok()?)
            .ok()
            .filter(|sound| !sound.samples.is_empty())?;
        Some(self.remember(phrase, sound))
    }

    /// Keeps the sound of `phrase`.
    pub fn put(&mut self, phrase: &str, sound: Sound) -> Arc<Sound> {
        if let Some(path) = self.path(phrase) {
            // A full disk must not silence the voice; it is told where findings are written.
            let _ = write_whole(&path, &sound);
        }
        self.use_count += 1;
        self.remember(phrase, sound)
    }

    fn remember(&mut self, phrase: &str, sound: Sound) -> Arc<Sound> {
        let sound = Arc::new(sound);
        let kept = Kept {
            sound: Arc::clone(&sound),
            last_use: self.use_count,
        };
        self.kept_bytes += bytes(&sound);
        if let Some(replaced) = self.kept.insert(phrase.to_owned(), kept) {
            self.kept_bytes -= bytes(&replaced.sound);
        }
        while self.kept_bytes > MEMORY_BYTES_MAX && self.kept.len() > 1 {
            let oldest = self.kept.iter().min_by_key(|(_, kept)| kept.last_use);
            let Some(oldest) = oldest.map(|(phrase, _)| phrase.clone()) else {
                break;
            };
            if let Some(forgotten) = self.kept.remove(&oldest) {
                self.kept_bytes -= bytes(&forgotten.sound);
            }
        }
        sound
    }

    fn path(&self, phrase: &str) -> Option<PathBuf> {
        let folder = self.folder.as_ref()?;
        let hash = Sha256::new()
            .chain_update(self.identity.as_bytes())
            .chain_update([0])
            .chain_update(phrase.as_bytes())
            .finalize();
        // 128 bits: no two phrases meet by chance.
        let name: String = hash
            .iter()
            .take(16)
            .map(|byte| format!("{byte:02x}"))
            .collect();
        Some(folder.join(name + ".wav"))
    }
}

fn bytes(sound: &Sound) -> usize {
    sound.samples.len() * size_of::<f32>()
}

/// Writes beside the final name and renames, so that a reader never meets half a file.
fn write_whole(path: &Path, sound: &Sound) -> std::io::Result<()> {
    let wav = sound.to_wav().map_err(std::io::Error::other)?;
    let unfinished = path.with_extension(format!("{}.part", std::process::id()));
    let written = fs::write(&unfinished, wav).and_then(|()| fs::rename(&unfinished, path));
    if written.is_err() {
        let _ = fs::remove_file(&unfinished);
    }
    written
}

/// Deletes the files written longest ago until at most `bytes_max` are left, and what a killed writer left behind.
fn delete_oldest(folder: &Path, bytes_max: u64) -> std::io::Result<()> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let path = entry.path();
        let metadata = entry.metadata()?;
        let extension = path.extension().and_then(|extension| extension.to_str());
        match extension {
            Some("wav") => {
                let written = metadata.modified().unwrap_or(SystemTime::UNIX_EPOCH);
                files.push((written, path, metadata.len()));
            }
            Some("part") => fs::remove_file(path)?,
            _ => {}
        }
    }
    files.sort();
    let mut total: u64 = files.iter().map(|(_, _, length)| length).sum();
    for (_, path, length) in files {
        if total <= bytes_max {
            break;
        }
        fs::remove_file(path)?;
        total -= length;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sound(level: f32) -> Sound {
        Sound {
            samples: vec![level; 1000],
            rate_hz: 22_050,
        }
        .rounded_to_pcm()
    }

    #[test]
    fn sound_is_found_again_by_the_same_voice_and_by_no_other() {
        let folder = tempfile::tempdir().unwrap();
        let open = |identity| SoundCache::open(Some(folder.path()), identity, DISK_BYTES_MAX);
        open("joe").put("one", sound(0.5));
        assert_eq!(*open("joe").get("one").unwrap(), sound(0.5));
        assert!(open("joe").get("two").is_none());
        assert!(open("joe, slower").get("one").is_none());
    }

    #[test]
    fn a_damaged_file_is_as_none() {
        let folder = tempfile::tempdir().unwrap();
        let mut cache = SoundCache::open(Some(folder.path()), "joe", DISK_BYTES_MAX);
        cache.put("one", sound(0.5));
        for entry in fs::read_dir(folder.path()).unwrap() {
            fs::write(entry.unwrap().path(), b"RIFF").unwrap();
        }
        let mut cache = SoundCache::open(Some(folder.path()), "joe", DISK_BYTES_MAX);
        assert!(cache.get("one").is_none());
    }

    #[test]
    fn the_store_is_cut_to_size_at_the_start_and_rubbish_is_swept() {
        let folder = tempfile::tempdir().unwrap();
        let mut cache = SoundCache::open(Some(folder.path()), "joe", DISK_BYTES_MAX);
        for phrase in ["one", "two", "three", "four"] {
            cache.put(phrase, sound(0.5));
        }
        fs::write(folder.path().join("left.77.part"), b"half").unwrap();
        SoundCache::open(Some(folder.path()), "joe", 5000);
        // Each file takes 2044 bytes: two fit.
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2);
    }

    #[test]
    fn without_a_folder_memory_serves_and_stays_bounded() {
        let mut cache = SoundCache::open(None, "joe", 0);
        let large = Sound {
            samples: vec![0.1; MEMORY_BYTES_MAX / 8 - 100],
            rate_hz: 22_050,
        };
        for phrase in ["one", "two", "three"] {
            cache.put(phrase, large.clone());
            cache.get("one");
        }
        assert!(cache.get("one").is_some(), "used last, so kept");
        assert!(cache.get("two").is_none(), "used longest ago");
        assert!(cache.kept_bytes <= MEMORY_BYTES_MAX);
    }

    #[test]
    fn an_unusable_folder_costs_nothing_but_speed() {
        let file = tempfile::NamedTempFile::new().unwrap();
        let mut cache = SoundCache::open(Some(file.path()), "joe", 0);
        cache.put("one", sound(0.5));
        assert!(cache.get("one").is_some());
    }
}
