//! A disk in memory that keeps apart what a program sees and what would be there after a power cut.
//!
//! Faults, and why the journal must survive each:
//! - power cut: unsynced writes are kept, dropped, torn at 512 or 4096 bytes or half garbage, in any mixture
//!   (a disk writes its cache back in its own order);
//! - a write fails (EIO), or there is no room (ENOSPC), or only its first half gets in before that;
//! - a sync fails: what it should have saved may never get to the disk, and later syncs say nothing of it
//!   (as Linux does), and the memory may fall back to the old bytes;
//! - a read fails.
//!
//! Invariant: a file's name survives a power cut for sure only after the folder was synced.

use std::collections::BTreeMap;

use rand::{Rng, RngExt};
use rand_chacha::ChaCha8Rng;

/// Sector sizes of common disks; a sector is written whole or not at all, unless it comes out as garbage.
const SECTOR_BYTES: [usize; 2] = [512, 4096];

/// What is left of the unsynced writes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PowerCut {
    DropAll,
    KeepAll,
    /// Each write kept, dropped, torn or half garbage, as the dice fall.
    Mixture,
}

/// What goes wrong at one operation, without a power cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    WriteFails,
    DiskFull,
    /// Half of the bytes get in, then there is no room.
    HalfWritten,
    SyncFails,
    /// And what was not saved is gone from memory too.
    SyncFailsAndForgets,
    ReadFails,
}

/// Why an operation did not succeed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DiskError {
    Off,
    Failed,
    Full,
    Missing,
}

/// A fault, or the power cut, and when.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Plan {
    /// At the operation with this count the power fails, before it is done.
    pub power_cut_at: Option<u64>,
    /// From the operation with this count on, for so many fitting operations.
    pub fault: Option<(u64, Fault, u32)>,
    /// Syncs do nothing and say they did: only to see that the trials find it.
    pub lies: bool,
}

#[derive(Debug, Clone, PartialEq, Eq)]
enum Change {
    Write { offset: usize, bytes: Vec<u8> },
    Truncate(usize),
}

impl Change {
    fn apply(&self, image: &mut Vec<u8>) {
        match self {
            Self::Write { offset, bytes } => {
                let end = offset + bytes.len();
                if image.len() < end {
                    image.resize(end, 0);
                }
                image[*offset..end].copy_from_slice(bytes);
            }
            Self::Truncate(length) => image.truncate(*length),
        }
    }
}

#[derive(Debug, Default, Clone)]
struct FileData {
    live: Vec<u8>,
    durable: Vec<u8>,
    unsynced: Vec<Change>,
}

/// The disk.
#[derive(Debug)]
pub struct Disk {
    files: Vec<FileData>,
    names: BTreeMap<String, usize>,
    durable_names: BTreeMap<String, usize>,
    plan: Plan,
    is_off: bool,
    /// Writes, truncations, syncs, deletions so far.
    operations: u64,
    reads: u64,
    /// Counts the power cuts: a file opened before one is dead after it.
    pub boot: u32,
    rng: ChaCha8Rng,
}

impl Disk {
    pub fn new(rng: ChaCha8Rng) -> Self {
        Self {
            files: Vec::new(),
            names: BTreeMap::new(),
            durable_names: BTreeMap::new(),
            plan: Plan::default(),
            is_off: false,
            operations: 0,
            reads: 0,
            boot: 0,
            rng,
        }
    }

    pub fn plan(&mut self, plan: Plan) {
        self.plan = plan;
    }

    pub fn operations(&self) -> u64 {
        self.operations
    }

    pub fn reads(&self) -> u64 {
        self.reads
    }

    pub fn is_off(&self) -> bool {
        self.is_off
    }

    /// Lays a file down, durably.
    pub fn put(&mut self, name: &str, bytes: &[u8]) {
        self.files.push(FileData {
            live: bytes.to_vec(),
            durable: bytes.to_vec(),
            unsynced: Vec::new(),
        });
        self.names.insert(name.to_owned(), self.files.len() - 1);
        self.durable_names = self.names.clone();
    }

    /// What a program sees of a file.
    pub fn bytes(&self, name: &str) -> Option<&[u8]> {
        let file = *self.names.get(name)?;
        Some(&self.files[file].live)
    }

    pub fn find(&self, name: &str) -> Option<usize> {
        self.names.get(name).copied()
    }

    pub fn create(&mut self, name: &str) -> Result<usize, DiskError> {
        if let Some(file) = self.find(name) {
            return Ok(file);
        }
        self.step(None)?;
        self.files.push(FileData::default());
        self.names.insert(name.to_owned(), self.files.len() - 1);
        Ok(self.files.len() - 1)
    }

    pub fn length(&self, file: usize) -> usize {
        self.files[file].live.len()
    }

    /// Reads as much as there is; the count of bytes read.
    pub fn read(
        &mut self,
        file: usize,
        offset: usize,
        into: &mut [u8],
    ) -> Result<usize, DiskError> {
        if self.is_off {
            return Err(DiskError::Off);
        }
        self.reads += 1;
        if let Some((from, Fault::ReadFails, count)) = &mut self.plan.fault
            && self.reads >= *from
            && *count > 0
        {
            *count -= 1;
            return Err(DiskError::Failed);
        }
        let live = &self.files[file].live;
        let start = offset.min(live.len());
        let end = (offset + into.len()).min(live.len());
        let count = end - start;
        into[..count].copy_from_slice(&live[start..end]);
        Ok(count)
    }

    pub fn write(&mut self, file: usize, offset: usize, bytes: &[u8]) -> Result<(), DiskError> {
        let fault = self.step(Some(&[
            Fault::WriteFails,
            Fault::DiskFull,
            Fault::HalfWritten,
        ]))?;
        let (bytes, result) = match fault {
            None => (bytes, Ok(())),
            Some(Fault::HalfWritten) => (&bytes[..bytes.len() / 2], Err(DiskError::Full)),
            Some(Fault::DiskFull) => (&bytes[..0], Err(DiskError::Full)),
            Some(_) => (&bytes[..0], Err(DiskError::Failed)),
        };
        if !bytes.is_empty() {
            self.change(
                file,
                Change::Write {
                    offset,
                    bytes: bytes.to_vec(),
                },
            );
        }
        result
    }

    pub fn truncate(&mut self, file: usize, length: usize) -> Result<(), DiskError> {
        match self.step(Some(&[Fault::WriteFails]))? {
            Some(_) => Err(DiskError::Failed),
            None => {
                self.change(file, Change::Truncate(length));
                Ok(())
            }
        }
    }

    fn change(&mut self, file: usize, change: Change) {
        let data = &mut self.files[file];
        change.apply(&mut data.live);
        data.unsynced.push(change);
    }

    pub fn sync(&mut self, file: usize) -> Result<(), DiskError> {
        let fault = self.step(Some(&[Fault::SyncFails, Fault::SyncFailsAndForgets]))?;
        let lies = self.plan.lies;
        let data = &mut self.files[file];
        match fault {
            Some(fault) => {
                // The machine takes the pages for written: no later sync tries them again.
                data.unsynced.clear();
                if fault == Fault::SyncFailsAndForgets {
                    data.live.clone_from(&data.durable);
                }
                Err(DiskError::Failed)
            }
            None if lies => Ok(()),
            None => {
                for change in data.unsynced.drain(..) {
                    change.apply(&mut data.durable);
                }
                Ok(())
            }
        }
    }

    pub fn sync_folder(&mut self) -> Result<(), DiskError> {
        match self.step(Some(&[Fault::SyncFails, Fault::SyncFailsAndForgets]))? {
            Some(_) => Err(DiskError::Failed),
            None => {
                if !self.plan.lies {
                    self.durable_names = self.names.clone();
                }
                Ok(())
            }
        }
    }

    pub fn delete(&mut self, name: &str) -> Result<(), DiskError> {
        if self.find(name).is_none() {
            return Err(DiskError::Missing);
        }
        self.step(None)?;
        self.names.remove(name);
        Ok(())
    }

    /// Counts an operation; the power cut, or the fault among the fitting ones, that comes with it.
    fn step(&mut self, fitting: Option<&[Fault]>) -> Result<Option<Fault>, DiskError> {
        if self.is_off {
            return Err(DiskError::Off);
        }
        self.operations += 1;
        if self.plan.power_cut_at == Some(self.operations) {
            self.is_off = true;
            return Err(DiskError::Off);
        }
        if let Some((from, fault, count)) = &mut self.plan.fault
            && self.operations >= *from
            && *count > 0
            && fitting.is_some_and(|fitting| fitting.contains(fault))
        {
            *count -= 1;
            return Ok(Some(*fault));
        }
        Ok(None)
    }

    /// Power fails (if it did not yet) and comes back: from here on only what was on the disk is there.
    pub fn power_cycle(&mut self, cut: PowerCut) {
        let rng = &mut self.rng;
        for data in &mut self.files {
            for change in std::mem::take(&mut data.unsynced) {
                match cut {
                    PowerCut::DropAll => {}
                    PowerCut::KeepAll => change.apply(&mut data.durable),
                    PowerCut::Mixture => {
                        if let Some(change) = torn(&change, rng) {
                            change.apply(&mut data.durable);
                        }
                    }
                }
            }
            data.live.clone_from(&data.durable);
        }
        let mut names = self.durable_names.clone();
        for (name, file) in &self.names {
            let is_kept = match cut {
                PowerCut::DropAll => false,
                PowerCut::KeepAll => true,
                PowerCut::Mixture => rng.random(),
            };
            if is_kept {
                names.insert(name.clone(), *file);
            }
        }
        names.retain(|name, _| {
            self.names.contains_key(name)
                || match cut {
                    PowerCut::DropAll => true,
                    PowerCut::KeepAll => false,
                    PowerCut::Mixture => rng.random(),
                }
        });
        self.durable_names = names.clone();
        self.names = names;
        self.plan = Plan {
            lies: self.plan.lies,
            ..Plan::default()
        };
        self.is_off = false;
        self.boot += 1;
    }
}

/// What the disk made of an unsynced change. None: nothing.
fn torn(change: &Change, rng: &mut ChaCha8Rng) -> Option<Change> {
    let Change::Write { offset, bytes } = change else {
        return rng.random::<bool>().then(|| change.clone());
    };
    let sector = SECTOR_BYTES[rng.random_range(0..2)];
    match rng.random_range(0..4) {
        0 => None,
        1 => Some(change.clone()),
        2 => {
            // The first sectors only.
            let boundaries: Vec<usize> = (1..bytes.len())
                .filter(|count| (offset + count) % sector == 0)
                .collect();
            let count = match boundaries.len() {
                0 => return None,
                length => boundaries[rng.random_range(0..length)],
            };
            Some(Change::Write {
                offset: *offset,
                bytes: bytes[..count].to_vec(),
            })
        }
        _ => {
            // One sector comes out as garbage; never a byte outside what was written.
            let mut bytes = bytes.clone();
            let start = rng.random_range(0..bytes.len().max(1)) / sector * sector;
            let end = (start + sector).min(bytes.len());
            rng.fill_bytes(&mut bytes[start..end]);
            Some(Change::Write {
                offset: *offset,
                bytes,
            })
        }
    }
}
