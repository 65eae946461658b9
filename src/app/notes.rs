//! The sound of spoken notes: kept because it was asked for, private, and deleted at the age that the clinic sets.
//! The text of a note is in the journal and stays.

use std::io;
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

use jiff::Timestamp;

use crate::audio::{AudioError, wav};

/// Folder in the data folder.
const FOLDER: &str = "notes";

/// What can go wrong with a note's sound. The note itself is saved all the same.
#[derive(Debug, thiserror::Error)]
pub enum NoteError {
    #[error(transparent)]
    File(#[from] io::Error),
    #[error(transparent)]
    Sound(#[from] AudioError),
}

/// Writes the sound under this name, readable by the owner of the account only.
pub fn keep(data: &Path, name: &str, samples: &[f32]) -> Result<(), NoteError> {
    let folder = data.join(FOLDER);
    std::fs::create_dir_all(&folder)?;
    let path: PathBuf = folder.join(name);
    wav::write_frames(&path, samples)?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o600))?;
    }
    Ok(())
}

/// Deletes sound older than so many days; returns how many files went.
pub fn expire(data: &Path, days: u32, now: Timestamp) -> io::Result<usize> {
    let folder = data.join(FOLDER);
    if !folder.is_dir() {
        return Ok(0);
    }
    let seconds = u64::try_from(now.as_second()).unwrap_or(0);
    let now = SystemTime::UNIX_EPOCH + Duration::from_secs(seconds);
    let age_max = Duration::from_secs(u64::from(days) * 24 * 60 * 60);
    let mut count = 0;
    for item in std::fs::read_dir(&folder)? {
        let item = item?;
        let is_sound = item
            .path()
            .extension()
            .is_some_and(|extension| extension == "wav");
        // A file from the future (a clock set back) has no age.
        let age = now
            .duration_since(item.metadata()?.modified()?)
            .unwrap_or_default();
        if is_sound && age > age_max {
            std::fs::remove_file(item.path())?;
            count += 1;
        }
    }
    Ok(count)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn old_sound_goes_and_new_sound_stays_private() {
        let data = tempfile::tempdir().expect("a folder");
        for name in ["old.wav", "new.wav"] {
            keep(data.path(), name, &[0.0; 1600]).expect("kept");
        }
        let now = Timestamp::now();
        let long_ago = SystemTime::now() - Duration::from_secs(40 * 24 * 60 * 60);
        let old = std::fs::File::options()
            .write(true)
            .open(data.path().join("notes/old.wav"))
            .expect("opens");
        old.set_modified(long_ago).expect("set");
        assert_eq!(expire(data.path(), 30, now).expect("expired"), 1);
        let left = data.path().join("notes/new.wav");
        assert!(left.exists() && !data.path().join("notes/old.wav").exists());
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let mode = left.metadata().expect("there").permissions().mode();
            assert_eq!(mode & 0o777, 0o600);
        }
    }
}
