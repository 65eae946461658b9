//! Lets SQLite work on the simulated disk: a file layer ("VFS") registered under its own name.
//! The only file of the simulator with unsafe code; what it tells SQLite is what the layer of Unix tells.
//!
//! Invariant: a file of the simulated disk is named `/sulcus-simulated-N/NAME`, with N the number of the disk.

use std::collections::HashMap;
use std::ffi::{CStr, c_char, c_int, c_void};
use std::fs::File;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rusqlite::ffi;

use super::disk::{Disk, DiskError};
use crate::record::JournalError;
use crate::record::journal::Storage;

/// Name of the layer, and how SQLite gets it.
const LAYER: &str = "sulcus-simulated";
const LAYER_C: &CStr = c"sulcus-simulated";
const FOLDER_START: &str = "/sulcus-simulated-";
const REGION_BYTES: usize = 32 * 1024;
/// As SQLite's layer of Unix says without asking the disk.
const SECTOR_BYTES: c_int = 4096;

type Disks = HashMap<u64, Arc<Mutex<Machine>>>;

fn disks() -> MutexGuard<'static, Disks> {
    static DISKS: OnceLock<Mutex<Disks>> = OnceLock::new();
    let disks = DISKS.get_or_init(|| {
        register();
        Mutex::default()
    });
    disks.lock().unwrap_or_else(PoisonError::into_inner)
}

/// The disk and what the running machine knows of its files: gone with the power.
struct Machine {
    disk: Disk,
    locks: HashMap<usize, Locks>,
    shared: HashMap<usize, Arc<Shared>>,
}

#[derive(Default)]
struct Locks {
    readers: u32,
    is_reserved: bool,
    is_exclusive: bool,
    /// Of the shared memory: below zero exclusive, above zero so many share it.
    slots: [i32; ffi::SQLITE_SHM_NLOCK as usize],
}

/// Memory that the connections of one database share.
#[derive(Default)]
struct Shared {
    /// Addresses of regions of [`REGION_BYTES`], made by `Box::into_raw`.
    regions: Mutex<Vec<usize>>,
}

impl Drop for Shared {
    fn drop(&mut self) {
        let regions = self
            .regions
            .get_mut()
            .unwrap_or_else(PoisonError::into_inner);
        for &region in regions.iter() {
            // SAFETY: each address came from `Box::into_raw` of this type and is freed only here, once; every
            // open file that handed it to SQLite holds an Arc of this value, so none is left.
            drop(unsafe { Box::from_raw(region as *mut [u64; REGION_BYTES / 8]) });
        }
    }
}

/// A disk in memory on which a journal can be kept.
#[derive(Debug)]
pub struct SimulatedDisk {
    number: u64,
}

impl SimulatedDisk {
    pub fn new(seed: u64) -> Self {
        static NEXT: AtomicU64 = AtomicU64::new(0);
        let number = NEXT.fetch_add(1, Ordering::Relaxed);
        let machine = Machine {
            disk: Disk::new(ChaCha8Rng::seed_from_u64(seed)),
            locks: HashMap::new(),
            shared: HashMap::new(),
        };
        disks().insert(number, Arc::new(Mutex::new(machine)));
        Self { number }
    }

    /// The folder on it, for a journal.
    pub fn folder(&self, checkpoint_commits: u32) -> SimulatedFolder {
        SimulatedFolder {
            number: self.number,
            folder: format!("{FOLDER_START}{}", self.number).into(),
            checkpoint_commits,
        }
    }

    /// Does something with the disk itself.
    pub fn with<T>(&self, action: impl FnOnce(&mut Disk) -> T) -> T {
        with_disk(self.number, action).expect("a disk lives as long as its handle")
    }

    /// Path by which the disk knows a file of the folder.
    pub fn path(&self, name: &str) -> String {
        format!("{FOLDER_START}{}/{name}", self.number)
    }

    /// Power fails and comes back.
    pub fn power_cycle(&self, cut: super::disk::PowerCut) {
        let machine = disks().get(&self.number).cloned();
        if let Some(machine) = machine {
            let mut machine = machine.lock().unwrap_or_else(PoisonError::into_inner);
            machine.disk.power_cycle(cut);
            machine.locks.clear();
            machine.shared.clear();
        }
    }
}

impl Drop for SimulatedDisk {
    fn drop(&mut self) {
        disks().remove(&self.number);
    }
}

fn with_disk<T>(number: u64, action: impl FnOnce(&mut Disk) -> T) -> Option<T> {
    let machine = disks().get(&number).cloned()?;
    let mut machine = machine.lock().unwrap_or_else(PoisonError::into_inner);
    Some(action(&mut machine.disk))
}

/// The folder of a simulated disk.
#[derive(Debug, Clone)]
pub struct SimulatedFolder {
    number: u64,
    folder: PathBuf,
    checkpoint_commits: u32,
}

impl SimulatedFolder {
    fn disk<T>(
        &self,
        action: impl FnOnce(&mut Disk, &dyn Fn(&str) -> String) -> Result<T, DiskError>,
    ) -> io::Result<T> {
        let path = |name: &str| format!("{}/{name}", self.folder.display());
        with_disk(self.number, |disk| action(disk, &path))
            .unwrap_or(Err(DiskError::Missing))
            .map_err(|error| match error {
                DiskError::Missing => io::ErrorKind::NotFound.into(),
                DiskError::Full => io::ErrorKind::StorageFull.into(),
                DiskError::Off | DiskError::Failed => io::Error::other("input or output error"),
            })
    }
}

impl Storage for SimulatedFolder {
    fn folder(&self) -> &Path {
        &self.folder
    }

    fn file_layer(&self) -> Option<&str> {
        Some(LAYER)
    }

    fn prepare(&self) -> io::Result<()> {
        Ok(())
    }

    fn lock(&self) -> Result<Option<File>, JournalError> {
        Ok(None)
    }

    fn make_file(&self, name: &str) -> io::Result<()> {
        self.disk(|disk, path| disk.create(&path(name)).map(|_| ()))
    }

    fn len(&self, name: &str) -> Option<u64> {
        self.disk(|disk, path| Ok(disk.bytes(&path(name)).map(|bytes| bytes.len() as u64)))
            .ok()
            .flatten()
    }

    fn identity(&self, name: &str) -> Option<(u64, u64)> {
        self.disk(|disk, path| Ok(disk.find(&path(name)).map(|file| (0, file as u64))))
            .ok()
            .flatten()
    }

    fn read(&self, name: &str) -> io::Result<Vec<u8>> {
        self.disk(|disk, path| {
            let file = disk.find(&path(name)).ok_or(DiskError::Missing)?;
            let mut bytes = vec![0; disk.length(file)];
            disk.read(file, 0, &mut bytes)?;
            Ok(bytes)
        })
    }

    fn overwrite(&self, name: &str, bytes: &[u8]) -> io::Result<()> {
        self.disk(|disk, path| {
            let file = disk.create(&path(name))?;
            disk.write(file, 0, bytes)?;
            disk.truncate(file, bytes.len())
        })
    }

    fn make_durable(&self, name: &str, bytes: &[u8]) -> io::Result<()> {
        self.disk(|disk, path| {
            let file = disk.create(&path(name))?;
            disk.write(file, 0, bytes)?;
            disk.sync(file)?;
            disk.sync_folder()
        })
    }

    fn remove(&self, name: &str) -> io::Result<()> {
        self.disk(|disk, path| disk.delete(&path(name)))
    }

    fn sync_folder(&self) -> io::Result<()> {
        self.disk(|disk, _| disk.sync_folder())
    }

    fn checkpoint_commits(&self) -> u32 {
        self.checkpoint_commits
    }
}

/// One open file, as SQLite sees it: its part first, ours behind it.
#[repr(C)]
struct OpenFile {
    base: ffi::sqlite3_file,
    /// From `Box::into_raw`, freed by `close`.
    inner: *mut Inner,
}

struct Inner {
    machine: Arc<Mutex<Machine>>,
    file: usize,
    boot: u32,
    /// SQLite's lock level of this file.
    level: c_int,
    shared: Option<Arc<Shared>>,
    /// Which slots of the shared memory this file holds: 1 shared, -1 exclusive.
    slots: [i32; ffi::SQLITE_SHM_NLOCK as usize],
    /// Unix syncs the folder with the first sync of a new log or journal.
    syncs_folder: bool,
}

impl Inner {
    /// The machine, unless the power failed since the file was opened.
    fn machine(&self) -> Result<MutexGuard<'_, Machine>, DiskError> {
        let machine = self.machine.lock().unwrap_or_else(PoisonError::into_inner);
        if machine.disk.boot == self.boot && !machine.disk.is_off() {
            Ok(machine)
        } else {
            Err(DiskError::Off)
        }
    }
}

fn code(result: Result<(), DiskError>, failure: c_int) -> c_int {
    match result {
        Ok(()) => ffi::SQLITE_OK,
        Err(DiskError::Full) => ffi::SQLITE_FULL,
        Err(_) => failure,
    }
}

/// The machine that a path belongs to.
fn machine_of(path: &str) -> Option<Arc<Mutex<Machine>>> {
    let number = path.strip_prefix(FOLDER_START)?.split('/').next()?;
    disks().get(&number.parse().ok()?).cloned()
}

/// The text of a path that SQLite gives.
///
/// # Safety
/// `path` is null or a C string that lives as long as the call.
unsafe fn text<'a>(path: *const c_char) -> Option<&'a str> {
    if path.is_null() {
        return None;
    }
    // SAFETY: not null, and a C string by the contract of this function.
    unsafe { CStr::from_ptr(path) }.to_str().ok()
}

/// Our part of an open file.
///
/// # Safety
/// `file` was opened by `open` and not yet closed; SQLite calls the methods of one file one after another.
unsafe fn inner<'a>(file: *mut ffi::sqlite3_file) -> &'a mut Inner {
    // SAFETY: `open` laid an OpenFile there whose pointer stays valid until `close`, and nobody else holds it.
    unsafe { &mut *(*file.cast::<OpenFile>()).inner }
}

unsafe extern "C" fn open(
    _vfs: *mut ffi::sqlite3_vfs,
    path: *const c_char,
    file: *mut ffi::sqlite3_file,
    flags: c_int,
    out_flags: *mut c_int,
) -> c_int {
    // SAFETY: SQLite gives room for `szOsFile` bytes; no methods means that there is nothing to close.
    unsafe { (*file).pMethods = std::ptr::null() };
    // SAFETY: a path from SQLite is null (a temporary file, which we have none of) or a C string.
    let Some(path) = (unsafe { text(path) }) else {
        return ffi::SQLITE_CANTOPEN;
    };
    let Some(machine) = machine_of(path) else {
        return ffi::SQLITE_CANTOPEN;
    };
    let mut state = machine.lock().unwrap_or_else(PoisonError::into_inner);
    if state.disk.is_off() {
        return ffi::SQLITE_CANTOPEN;
    }
    let is_new = state.disk.find(path).is_none();
    if is_new && flags & ffi::SQLITE_OPEN_CREATE == 0 {
        return ffi::SQLITE_CANTOPEN;
    }
    let Ok(number) = state.disk.create(path) else {
        return ffi::SQLITE_CANTOPEN;
    };
    let boot = state.disk.boot;
    drop(state);
    let log = ffi::SQLITE_OPEN_WAL | ffi::SQLITE_OPEN_MAIN_JOURNAL | ffi::SQLITE_OPEN_SUPER_JOURNAL;
    let inner = Box::new(Inner {
        machine,
        file: number,
        boot,
        level: ffi::SQLITE_LOCK_NONE,
        shared: None,
        slots: [0; ffi::SQLITE_SHM_NLOCK as usize],
        syncs_folder: is_new && flags & log != 0,
    });
    // SAFETY: the room is that of an OpenFile (`szOsFile`), and `out_flags` is null or a place for a number.
    unsafe {
        file.cast::<OpenFile>().write(OpenFile {
            base: ffi::sqlite3_file { pMethods: &METHODS },
            inner: Box::into_raw(inner),
        });
        if !out_flags.is_null() {
            *out_flags = flags;
        }
    }
    ffi::SQLITE_OK
}

unsafe extern "C" fn close(file: *mut ffi::sqlite3_file) -> c_int {
    // SAFETY: SQLite closes each opened file once.
    unsafe {
        unlock(file, ffi::SQLITE_LOCK_NONE);
        unmap(file, 0);
        drop(Box::from_raw((*file.cast::<OpenFile>()).inner));
        (*file).pMethods = std::ptr::null();
    }
    ffi::SQLITE_OK
}

unsafe extern "C" fn read(
    file: *mut ffi::sqlite3_file,
    into: *mut c_void,
    count: c_int,
    offset: i64,
) -> c_int {
    // SAFETY: an open file, and room for `count` bytes.
    let (inner, into) = unsafe {
        (
            inner(file),
            std::slice::from_raw_parts_mut(into.cast::<u8>(), count as usize),
        )
    };
    let number = inner.file;
    let result = inner
        .machine()
        .and_then(|mut machine| machine.disk.read(number, offset as usize, into));
    match result {
        Ok(read) if read == into.len() => ffi::SQLITE_OK,
        Ok(read) => {
            // SQLite counts on zeroes behind the end of a file.
            into[read..].fill(0);
            ffi::SQLITE_IOERR_SHORT_READ
        }
        Err(_) => ffi::SQLITE_IOERR_READ,
    }
}

unsafe extern "C" fn write(
    file: *mut ffi::sqlite3_file,
    from: *const c_void,
    count: c_int,
    offset: i64,
) -> c_int {
    // SAFETY: an open file, and `count` bytes to read from.
    let (inner, from) = unsafe {
        (
            inner(file),
            std::slice::from_raw_parts(from.cast::<u8>(), count as usize),
        )
    };
    let number = inner.file;
    let result = inner
        .machine()
        .and_then(|mut machine| machine.disk.write(number, offset as usize, from));
    code(result, ffi::SQLITE_IOERR_WRITE)
}

unsafe extern "C" fn truncate(file: *mut ffi::sqlite3_file, length: i64) -> c_int {
    // SAFETY: an open file.
    let inner = unsafe { inner(file) };
    let number = inner.file;
    let result = inner
        .machine()
        .and_then(|mut machine| machine.disk.truncate(number, length as usize));
    code(result, ffi::SQLITE_IOERR_TRUNCATE)
}

unsafe extern "C" fn sync(file: *mut ffi::sqlite3_file, _flags: c_int) -> c_int {
    // SAFETY: an open file.
    let inner = unsafe { inner(file) };
    let (number, syncs_folder) = (inner.file, inner.syncs_folder);
    let result = inner.machine().and_then(|mut machine| {
        machine.disk.sync(number)?;
        if syncs_folder {
            machine.disk.sync_folder()?;
        }
        Ok(())
    });
    if result.is_ok() {
        inner.syncs_folder = false;
    }
    code(result, ffi::SQLITE_IOERR_FSYNC)
}

unsafe extern "C" fn file_size(file: *mut ffi::sqlite3_file, size: *mut i64) -> c_int {
    // SAFETY: an open file.
    let inner = unsafe { inner(file) };
    let result = inner
        .machine()
        .map(|machine| machine.disk.length(inner.file));
    match result {
        Ok(length) => {
            // SAFETY: a place for a number.
            unsafe { *size = length as i64 };
            ffi::SQLITE_OK
        }
        Err(_) => ffi::SQLITE_IOERR_FSTAT,
    }
}

unsafe extern "C" fn lock(file: *mut ffi::sqlite3_file, level: c_int) -> c_int {
    // SAFETY: an open file.
    let inner = unsafe { inner(file) };
    let (number, held) = (inner.file, inner.level);
    if level <= held {
        return ffi::SQLITE_OK;
    }
    {
        let Ok(mut machine) = inner.machine() else {
            return ffi::SQLITE_IOERR_LOCK;
        };
        let locks = machine.locks.entry(number).or_default();
        match level {
            ffi::SQLITE_LOCK_SHARED if locks.is_exclusive => return ffi::SQLITE_BUSY,
            ffi::SQLITE_LOCK_SHARED => locks.readers += 1,
            ffi::SQLITE_LOCK_RESERVED if locks.is_reserved => return ffi::SQLITE_BUSY,
            ffi::SQLITE_LOCK_RESERVED => locks.is_reserved = true,
            _ if locks.readers > 1 || locks.is_exclusive => return ffi::SQLITE_BUSY,
            _ => locks.is_exclusive = true,
        }
    }
    inner.level = level;
    ffi::SQLITE_OK
}

unsafe extern "C" fn unlock(file: *mut ffi::sqlite3_file, level: c_int) -> c_int {
    // SAFETY: an open file.
    let inner = unsafe { inner(file) };
    let (number, held) = (inner.file, inner.level);
    if level >= held {
        return ffi::SQLITE_OK;
    }
    if let Ok(mut machine) = inner.machine() {
        let locks = machine.locks.entry(number).or_default();
        if held > ffi::SQLITE_LOCK_RESERVED {
            locks.is_exclusive = false;
        }
        if held >= ffi::SQLITE_LOCK_RESERVED {
            locks.is_reserved = false;
        }
        if level == ffi::SQLITE_LOCK_NONE {
            locks.readers = locks.readers.saturating_sub(1);
        }
    }
    inner.level = level;
    ffi::SQLITE_OK
}

unsafe extern "C" fn check_reserved(file: *mut ffi::sqlite3_file, result: *mut c_int) -> c_int {
    // SAFETY: an open file.
    let inner = unsafe { inner(file) };
    let is_reserved = inner.machine().is_ok_and(|machine| {
        machine
            .locks
            .get(&inner.file)
            .is_some_and(|locks| locks.is_reserved || locks.is_exclusive)
    });
    // SAFETY: a place for a number.
    unsafe { *result = c_int::from(is_reserved) };
    ffi::SQLITE_OK
}

unsafe extern "C" fn file_control(
    _file: *mut ffi::sqlite3_file,
    _operation: c_int,
    _argument: *mut c_void,
) -> c_int {
    ffi::SQLITE_NOTFOUND
}

unsafe extern "C" fn sector_size(_file: *mut ffi::sqlite3_file) -> c_int {
    SECTOR_BYTES
}

unsafe extern "C" fn device_characteristics(_file: *mut ffi::sqlite3_file) -> c_int {
    // The layer of Unix takes this for granted, and the simulated disk keeps it.
    ffi::SQLITE_IOCAP_POWERSAFE_OVERWRITE
}

unsafe extern "C" fn map(
    file: *mut ffi::sqlite3_file,
    region: c_int,
    region_bytes: c_int,
    is_made: c_int,
    out: *mut *mut c_void,
) -> c_int {
    // SAFETY: an open file.
    let inner = unsafe { inner(file) };
    if region_bytes as usize > REGION_BYTES {
        return ffi::SQLITE_IOERR_SHMSIZE;
    }
    let number = inner.file;
    if inner.shared.is_none() {
        let shared = match inner.machine() {
            Ok(mut machine) => machine.shared.entry(number).or_default().clone(),
            Err(_) => return ffi::SQLITE_IOERR_SHMOPEN,
        };
        inner.shared = Some(shared);
    }
    let Some(shared) = &inner.shared else {
        return ffi::SQLITE_IOERR_SHMOPEN;
    };
    let mut regions = shared
        .regions
        .lock()
        .unwrap_or_else(PoisonError::into_inner);
    let region = region as usize;
    while is_made != 0 && regions.len() <= region {
        regions.push(Box::into_raw(Box::new([0_u64; REGION_BYTES / 8])) as usize);
    }
    let address = regions.get(region).copied().unwrap_or(0);
    // SAFETY: a place for an address; null says that the region is not there.
    unsafe { *out = address as *mut c_void };
    ffi::SQLITE_OK
}

unsafe extern "C" fn shared_lock(
    file: *mut ffi::sqlite3_file,
    offset: c_int,
    count: c_int,
    flags: c_int,
) -> c_int {
    // SAFETY: an open file.
    let inner = unsafe { inner(file) };
    let number = inner.file;
    let range = offset as usize..(offset + count) as usize;
    let mut held = inner.slots;
    {
        let Ok(mut machine) = inner.machine() else {
            return ffi::SQLITE_IOERR_SHMLOCK;
        };
        let slots = &mut machine.locks.entry(number).or_default().slots;
        let is_shared = flags & ffi::SQLITE_SHM_SHARED != 0;
        if flags & ffi::SQLITE_SHM_LOCK != 0 {
            let is_free = range.clone().all(|slot| {
                if is_shared {
                    slots[slot] >= 0
                } else {
                    slots[slot] == 0
                }
            });
            if !is_free {
                return ffi::SQLITE_BUSY;
            }
            for slot in range {
                slots[slot] += if is_shared { 1 } else { -1 };
                held[slot] = if is_shared { 1 } else { -1 };
            }
        } else {
            for slot in range {
                slots[slot] -= held[slot];
                held[slot] = 0;
            }
        }
    }
    inner.slots = held;
    ffi::SQLITE_OK
}

unsafe extern "C" fn barrier(_file: *mut ffi::sqlite3_file) {
    std::sync::atomic::fence(Ordering::SeqCst);
}

unsafe extern "C" fn unmap(file: *mut ffi::sqlite3_file, is_deleted: c_int) -> c_int {
    // SAFETY: an open file.
    let inner = unsafe { inner(file) };
    let number = inner.file;
    inner.shared = None;
    if is_deleted != 0
        && let Ok(mut machine) = inner.machine()
        // Another connection still works with it.
        && machine.shared.get(&number).is_some_and(|shared| Arc::strong_count(shared) == 1)
    {
        machine.shared.remove(&number);
    }
    ffi::SQLITE_OK
}

unsafe extern "C" fn delete(
    _vfs: *mut ffi::sqlite3_vfs,
    path: *const c_char,
    syncs_folder: c_int,
) -> c_int {
    // SAFETY: a path from SQLite is a C string.
    let Some((path, machine)) =
        (unsafe { text(path) }).and_then(|path| Some((path, machine_of(path)?)))
    else {
        return ffi::SQLITE_IOERR_DELETE;
    };
    let mut machine = machine.lock().unwrap_or_else(PoisonError::into_inner);
    match machine.disk.delete(path) {
        Err(DiskError::Missing) => ffi::SQLITE_IOERR_DELETE_NOENT,
        Err(_) => ffi::SQLITE_IOERR_DELETE,
        Ok(()) if syncs_folder != 0 => {
            code(machine.disk.sync_folder(), ffi::SQLITE_IOERR_DIR_FSYNC)
        }
        Ok(()) => ffi::SQLITE_OK,
    }
}

unsafe extern "C" fn access(
    _vfs: *mut ffi::sqlite3_vfs,
    path: *const c_char,
    flags: c_int,
    result: *mut c_int,
) -> c_int {
    // SAFETY: a path from SQLite is a C string.
    let found = unsafe { text(path) }.and_then(|path| {
        let machine = machine_of(path)?;
        let machine = machine.lock().unwrap_or_else(PoisonError::into_inner);
        machine.disk.bytes(path).map(<[u8]>::len)
    });
    // As on Unix: an empty file does not count as existing.
    let is_there = match flags {
        ffi::SQLITE_ACCESS_EXISTS => found.is_some_and(|length| length > 0),
        _ => found.is_some(),
    };
    // SAFETY: a place for a number.
    unsafe { *result = c_int::from(is_there) };
    ffi::SQLITE_OK
}

unsafe extern "C" fn full_path(
    _vfs: *mut ffi::sqlite3_vfs,
    path: *const c_char,
    room: c_int,
    out: *mut c_char,
) -> c_int {
    // SAFETY: a path from SQLite is a C string.
    let bytes = unsafe { CStr::from_ptr(path) }.to_bytes_with_nul();
    if bytes.len() > room as usize {
        return ffi::SQLITE_CANTOPEN;
    }
    // SAFETY: `out` has room for `room` bytes, and the two do not overlap.
    unsafe { std::ptr::copy_nonoverlapping(bytes.as_ptr(), out.cast::<u8>(), bytes.len()) };
    ffi::SQLITE_OK
}

unsafe extern "C" fn randomness(
    _vfs: *mut ffi::sqlite3_vfs,
    count: c_int,
    out: *mut c_char,
) -> c_int {
    // SAFETY: room for `count` bytes. SQLite asks the default layer, never this one, for its seed.
    unsafe { std::ptr::write_bytes(out, 7, count as usize) };
    count
}

unsafe extern "C" fn sleep(_vfs: *mut ffi::sqlite3_vfs, microseconds: c_int) -> c_int {
    microseconds
}

unsafe extern "C" fn current_time(_vfs: *mut ffi::sqlite3_vfs, out: *mut f64) -> c_int {
    // SAFETY: a place for a number. A Julian day; nothing of ours asks SQLite for the time.
    unsafe { *out = 2_460_000.5 };
    ffi::SQLITE_OK
}

unsafe extern "C" fn last_error(
    _vfs: *mut ffi::sqlite3_vfs,
    _room: c_int,
    _out: *mut c_char,
) -> c_int {
    0
}

static METHODS: ffi::sqlite3_io_methods = ffi::sqlite3_io_methods {
    iVersion: 2,
    xClose: Some(close),
    xRead: Some(read),
    xWrite: Some(write),
    xTruncate: Some(truncate),
    xSync: Some(sync),
    xFileSize: Some(file_size),
    xLock: Some(lock),
    xUnlock: Some(unlock),
    xCheckReservedLock: Some(check_reserved),
    xFileControl: Some(file_control),
    xSectorSize: Some(sector_size),
    xDeviceCharacteristics: Some(device_characteristics),
    xShmMap: Some(map),
    xShmLock: Some(shared_lock),
    xShmBarrier: Some(barrier),
    xShmUnmap: Some(unmap),
    xFetch: None,
    xUnfetch: None,
};

fn register() {
    let layer = ffi::sqlite3_vfs {
        iVersion: 1,
        szOsFile: size_of::<OpenFile>() as c_int,
        mxPathname: 512,
        pNext: std::ptr::null_mut(),
        zName: LAYER_C.as_ptr(),
        pAppData: std::ptr::null_mut(),
        xOpen: Some(open),
        xDelete: Some(delete),
        xAccess: Some(access),
        xFullPathname: Some(full_path),
        xDlOpen: None,
        xDlError: None,
        xDlSym: None,
        xDlClose: None,
        xRandomness: Some(randomness),
        xSleep: Some(sleep),
        xCurrentTime: Some(current_time),
        xGetLastError: Some(last_error),
        xCurrentTimeInt64: None,
        xSetSystemCall: None,
        xGetSystemCall: None,
        xNextSystemCall: None,
    };
    // SAFETY: SQLite keeps the address for good, and a leaked box stays for good; it is not the default layer.
    let code = unsafe { ffi::sqlite3_vfs_register(Box::into_raw(Box::new(layer)), 0) };
    assert_eq!(
        code,
        ffi::SQLITE_OK,
        "SQLite takes a well-formed file layer"
    );
}
