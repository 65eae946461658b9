//! Where a journal lives: a folder of the machine, or the simulator's disk. Only the few operations that
//! SQLite does not do itself.
//!
//! Invariant: whatever is made here is readable by the owner of the account only.

use std::fmt::Debug;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

use super::error::JournalError;
use super::fault::Fault;

/// Held by the one program that writes.
const LOCK_FILE: &str = "writer.lock";

/// The place of one journal.
pub trait Storage: Debug + Send {
    fn folder(&self) -> &Path;
    /// Name of the SQLite file layer; none for the machine's own.
    fn file_layer(&self) -> Option<&str>;
    /// Makes the folder where it is missing.
    fn prepare(&self) -> io::Result<()>;
    /// Claims the folder for writing; the claim ends with the value.
    fn lock(&self) -> Result<Option<File>, JournalError>;
    /// Makes an empty private file where there is none.
    fn make_file(&self, name: &str) -> io::Result<()>;
    /// Length of a file in bytes; none where there is none.
    fn len(&self, name: &str) -> Option<u64>;
    /// What tells this file from another of the same name; none where there is none.
    fn identity(&self, name: &str) -> Option<(u64, u64)>;
    fn read(&self, name: &str) -> io::Result<Vec<u8>>;
    /// Writes a small file in place, without syncing it.
    fn overwrite(&self, name: &str, bytes: &[u8]) -> io::Result<()>;
    /// Writes a small new file that outlasts a power cut. An error where it is there already.
    fn make_durable(&self, name: &str, bytes: &[u8]) -> io::Result<()>;
    fn remove(&self, name: &str) -> io::Result<()>;
    /// Keeps a copy beside it for a later look.
    fn keep_copy(&self, name: &str, copy: &str) -> io::Result<()> {
        self.overwrite(copy, &self.read(name)?)
    }
    /// Asks the place itself what is wrong, after an error that says no more than "input/output": none where a small
    /// file can be written.
    fn fault(&self) -> Option<Fault> {
        None
    }
    /// Makes new names in the folder survive a power cut.
    fn sync_folder(&self) -> io::Result<()>;
    /// The log is written over into the database after so many commits. 200: at some 5 pages a commit it stays
    /// near 4 MB, and the copying (some 10 ms) is rare.
    fn checkpoint_commits(&self) -> u32 {
        200
    }
}

/// A folder of the machine.
#[derive(Debug, Clone)]
pub struct DataFolder(PathBuf);

impl DataFolder {
    pub fn new(folder: &Path) -> Self {
        Self(folder.to_owned())
    }
}

impl Storage for DataFolder {
    fn folder(&self) -> &Path {
        &self.0
    }

    fn file_layer(&self) -> Option<&str> {
        None
    }

    fn prepare(&self) -> io::Result<()> {
        make_private_folder(&self.0)
    }

    fn lock(&self) -> Result<Option<File>, JournalError> {
        lock(&self.0).map(Some)
    }

    fn make_file(&self, name: &str) -> io::Result<()> {
        let path = self.0.join(name);
        match private_options().create_new(true).open(&path) {
            Ok(_) => Ok(()),
            // Never opened to look at it: closing it again would end SQLite's own locks of this process.
            Err(why) if why.kind() == io::ErrorKind::AlreadyExists => {
                if fs::symlink_metadata(&path)?.is_symlink() {
                    return Err(io::Error::other(format!(
                        "{name} is a symbolic link; lay the file itself there"
                    )));
                }
                make_private(&path)
            }
            Err(why) => Err(why),
        }
    }

    fn len(&self, name: &str) -> Option<u64> {
        fs::metadata(self.0.join(name)).ok().map(|data| data.len())
    }

    fn identity(&self, name: &str) -> Option<(u64, u64)> {
        let data = fs::metadata(self.0.join(name)).ok()?;
        #[cfg(unix)]
        {
            use std::os::unix::fs::MetadataExt;
            Some((data.dev(), data.ino()))
        }
        #[cfg(not(unix))]
        Some((u64::from(data.is_file()), 0))
    }

    fn read(&self, name: &str) -> io::Result<Vec<u8>> {
        fs::read(self.0.join(name))
    }

    fn overwrite(&self, name: &str, bytes: &[u8]) -> io::Result<()> {
        let mut file = private_options()
            .create(true)
            .truncate(false)
            .open(self.0.join(name))?;
        file.write_all(bytes)?;
        file.set_len(bytes.len() as u64)
    }

    fn make_durable(&self, name: &str, bytes: &[u8]) -> io::Result<()> {
        let mut file = private_options().create_new(true).open(self.0.join(name))?;
        file.write_all(bytes)?;
        file.sync_all()?;
        self.sync_folder()
    }

    fn remove(&self, name: &str) -> io::Result<()> {
        fs::remove_file(self.0.join(name))
    }

    /// What is kept must outlast a power cut: the original is written over next.
    fn keep_copy(&self, name: &str, copy: &str) -> io::Result<()> {
        let mut from = File::open(self.0.join(name))?;
        let mut to = private_options().create_new(true).open(self.0.join(copy))?;
        io::copy(&mut from, &mut to)
            .and_then(|_| to.sync_all())
            .inspect_err(|_| {
                // Half a copy is worth nothing, and takes room.
                let _ = fs::remove_file(self.0.join(copy));
            })
    }

    fn fault(&self) -> Option<Fault> {
        let probe = self.0.join(format!(".sulcus-probe-{}", std::process::id()));
        let written = private_options()
            .create_new(true)
            .open(&probe)
            .and_then(|mut file| {
                file.write_all(&[0; PROBE_BYTES])?;
                file.sync_all()
            });
        // Best effort: it may not have been made.
        let _ = fs::remove_file(&probe);
        written.err().map(|why| Fault::of_io(&why))
    }

    fn sync_folder(&self) -> io::Result<()> {
        File::open(&self.0)?.sync_all()
    }
}

/// As much as SQLite takes at once for the index of its log.
const PROBE_BYTES: usize = 32 << 10;

/// Opens for writing; what is made by it belongs to the owner of the account only.
pub(super) fn private_options() -> fs::OpenOptions {
    let mut options = File::options();
    options.write(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt;
        options.mode(0o600);
        // A link laid in the folder must not lead a write elsewhere.
        options.custom_flags(rustix::fs::OFlags::NOFOLLOW.bits().cast_signed());
    }
    options
}

/// A program that is just ending, or one it started and that has not begun yet, holds the lock for a moment longer:
/// half a second is waited for it.
const LOCK_TRIES: u32 = 10;
const LOCK_PAUSE: Duration = Duration::from_millis(50);

fn lock(folder: &Path) -> Result<File, JournalError> {
    let path = folder.join(LOCK_FILE);
    let mut file = private_options()
        .read(true)
        .create(true)
        .truncate(false)
        .open(&path)
        .map_err(|why| JournalError::folder_io(folder, &why))?;
    let mut locked = file.try_lock();
    for _ in 0..LOCK_TRIES {
        if !matches!(locked, Err(fs::TryLockError::WouldBlock)) {
            break;
        }
        std::thread::sleep(LOCK_PAUSE);
        locked = file.try_lock();
    }
    match locked {
        Ok(()) => {
            // Only for the message of the second program; the lock itself is the file system's.
            let process = std::process::id().to_string();
            let _ = file
                .write_all(process.as_bytes())
                .and_then(|()| file.set_len(process.len() as u64));
            Ok(file)
        }
        Err(fs::TryLockError::WouldBlock) => Err(JournalError::Busy {
            folder: folder.display().to_string(),
            process: fs::read_to_string(&path)
                .unwrap_or_default()
                .trim()
                .to_owned(),
        }),
        Err(fs::TryLockError::Error(why)) => Err(JournalError::folder_io(folder, &why)),
    }
}

/// Health data of somebody's animal: for the owner of the account only.
pub(super) fn make_private_folder(folder: &Path) -> io::Result<()> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::{DirBuilderExt, PermissionsExt};
        fs::DirBuilder::new()
            .recursive(true)
            .mode(0o700)
            .create(folder)?;
        fs::set_permissions(folder, fs::Permissions::from_mode(0o700))
    }
    #[cfg(not(unix))]
    fs::create_dir_all(folder)
}

fn make_private(file: &Path) -> io::Result<()> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        fs::set_permissions(file, fs::Permissions::from_mode(0o600))?;
    }
    Ok(())
}
