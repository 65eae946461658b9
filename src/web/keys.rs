//! Who may use the page: the token of this start, the pairing code, and the browsers let in by either.
//!
//! Invariants: only hashes of what browsers hold are kept; a secret is compared in constant time; a pairing code is
//! good for one browser; who guesses shuts out the own address, never the owner of another.

use std::collections::HashMap;
use std::fs;
use std::net::IpAddr;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::SystemTime;

use jiff::{SignedDuration, Timestamp};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use subtle::ConstantTimeEq;

use crate::files::write_private;

/// File of the browsers let in, so that an open page finds back after a restart.
const FILE: &str = "page-browsers.json";
/// A working day with its overtime; the next day begins with the address or code shown on the machine.
const HOURS: i64 = 16;
/// Browsers remembered; the oldest goes first.
const BROWSERS_MAX: usize = 16;
/// Wrong tries of one address until it has to wait.
const WRONG_OF_ONE_MAX: u32 = 5;
/// How long it has to wait then.
const WAIT_SECONDS: i64 = 60;
/// Wrong codes of all addresses together until a new code is made: of a hundred million codes, a millionth.
const WRONG_OF_ALL_MAX: u32 = 100;
/// Addresses remembered for their wrong tries.
const ADDRESSES_MAX: usize = 1_000;
/// How often the time at which a browser was seen last is written down.
const SEEN_SECONDS: i64 = 60;

pub(super) struct Keys {
    file: PathBuf,
    way_in: Mutex<WayIn>,
    browsers: Mutex<Known>,
    guesses: Mutex<HashMap<IpAddr, Guesses>>,
}

/// What lets a new browser in.
enum WayIn {
    /// Good until the program ends: shown as part of an address that only this machine can open.
    Token(String),
    Code {
        code: String,
        wrong_count: u32,
    },
}

#[derive(Debug, Clone, Copy)]
struct Guesses {
    wrong_count: u32,
    last: Timestamp,
}

/// The list with the state of its file, which a command may change meanwhile.
#[derive(Default)]
struct Known {
    list: Vec<Browser>,
    read_as: Option<Version>,
}

/// A browser that was let in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Browser {
    /// SHA-256 of its secret, in hexadecimal.
    hash: String,
    /// It is shut out by itself then.
    pub until: Timestamp,
    /// What it calls itself, shortened; empty where an older version let it in.
    #[serde(default)]
    pub name: String,
    #[serde(default)]
    pub address: Option<IpAddr>,
    #[serde(default)]
    pub since: Option<Timestamp>,
    #[serde(default)]
    pub seen: Option<Timestamp>,
}

impl Browser {
    /// Short and stable: what a person types to shut it out.
    pub fn id(&self) -> &str {
        self.hash.get(..6).unwrap_or(&self.hash)
    }
}

/// Who asks to be let in.
#[derive(Debug, Clone)]
pub(super) struct Caller {
    pub address: IpAddr,
    pub name: String,
}

/// What came of an attempt to enter.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Entry {
    /// The secret that the browser keeps as its cookie. A new pairing code, where codes are in use.
    In {
        secret: String,
        new_code: Option<String>,
    },
    /// Not let in. A new pairing code, where the old one was tried too often.
    Out { new_code: Option<String> },
    /// Not tried: this address guessed too often.
    Wait,
}

impl Keys {
    pub fn new(folder: &Path, with_code: bool) -> Self {
        let way_in = if with_code {
            WayIn::Code {
                code: code(),
                wrong_count: 0,
            }
        } else {
            WayIn::Token(secret())
        };
        Self {
            file: folder.join(FILE),
            way_in: Mutex::new(way_in),
            browsers: Mutex::default(),
            guesses: Mutex::default(),
        }
    }

    /// The token or the code, to be shown on the machine and nowhere else.
    pub fn way_in(&self) -> String {
        match &*lock(&self.way_in) {
            WayIn::Token(secret) | WayIn::Code { code: secret, .. } => secret.clone(),
        }
    }

    pub fn enter(&self, given: &str, caller: &Caller, now: Timestamp) -> std::io::Result<Entry> {
        let mut way_in = lock(&self.way_in);
        let must_wait = self.must_wait(caller.address, now);
        let new_code = match &mut *way_in {
            WayIn::Token(token) => {
                // 256 bits are not guessed: the right one is always taken, so that nobody can lock the owner out.
                if !same(token, given) {
                    self.guessed(caller.address, now);
                    return Ok(if must_wait {
                        Entry::Wait
                    } else {
                        Entry::Out { new_code: None }
                    });
                }
                None
            }
            WayIn::Code { .. } if must_wait => return Ok(Entry::Wait),
            WayIn::Code { code, wrong_count } => {
                let figures: String = given.chars().filter(char::is_ascii_digit).collect();
                let is_right = same(code, &figures);
                *wrong_count += u32::from(!is_right);
                let is_spent = is_right || *wrong_count >= WRONG_OF_ALL_MAX;
                if is_spent {
                    *code = self::code();
                    *wrong_count = 0;
                }
                let new_code = is_spent.then(|| code.clone());
                if !is_right {
                    self.guessed(caller.address, now);
                    return Ok(Entry::Out { new_code });
                }
                new_code
            }
        };
        drop(way_in);
        lock(&self.guesses).remove(&caller.address);
        let secret = secret();
        self.remember(&secret, caller, now)?;
        Ok(Entry::In { secret, new_code })
    }

    fn must_wait(&self, address: IpAddr, now: Timestamp) -> bool {
        let mut guesses = lock(&self.guesses);
        let Some(of_one) = guesses.get(&address).copied() else {
            return false;
        };
        if now.duration_since(of_one.last).as_secs() >= WAIT_SECONDS {
            guesses.remove(&address);
            return false;
        }
        of_one.wrong_count >= WRONG_OF_ONE_MAX
    }

    fn guessed(&self, address: IpAddr, now: Timestamp) {
        let mut guesses = lock(&self.guesses);
        if guesses.len() >= ADDRESSES_MAX && !guesses.contains_key(&address) {
            let oldest = guesses.iter().min_by_key(|(_, of_one)| of_one.last);
            if let Some(oldest) = oldest.map(|(address, _)| *address) {
                guesses.remove(&oldest);
            }
        }
        let of_one = guesses.entry(address).or_insert(Guesses {
            wrong_count: 0,
            last: now,
        });
        // The wait runs from the try that was one too many.
        if of_one.wrong_count < WRONG_OF_ONE_MAX {
            of_one.wrong_count += 1;
            of_one.last = now;
        }
    }

    fn remember(&self, secret: &str, caller: &Caller, now: Timestamp) -> std::io::Result<()> {
        let mut known = self.known();
        known.list.retain(|browser| browser.until > now);
        if known.list.len() >= BROWSERS_MAX {
            known.list.remove(0);
        }
        known.list.push(Browser {
            hash: hash(secret),
            until: now + SignedDuration::from_hours(HOURS),
            name: caller.name.clone(),
            address: Some(caller.address),
            since: Some(now),
            seen: Some(now),
        });
        self.save(&mut known)
    }

    /// Whether a browser that shows this secret was let in and not shut out since.
    pub fn knows(&self, secret: &str, now: Timestamp) -> bool {
        let hash = hash(secret);
        let mut known = self.known();
        let mut found = None;
        for (at, browser) in known.list.iter().enumerate() {
            if same(&browser.hash, &hash) && browser.until > now {
                found = Some(at);
            }
        }
        let Some(browser) = found.and_then(|at| known.list.get_mut(at)) else {
            return false;
        };
        let is_stale = browser
            .seen
            .is_none_or(|seen| now.duration_since(seen).as_secs() >= SEEN_SECONDS);
        if is_stale {
            browser.seen = Some(now);
            // Where that cannot be written, the list tells an older time; nothing else depends on it.
            let _ = self.save(&mut known);
        }
        true
    }

    pub fn browsers(&self, now: Timestamp) -> Vec<Browser> {
        let known = self.known();
        let alive = known.list.iter().filter(|browser| browser.until > now);
        alive.cloned().collect()
    }

    /// Whether this secret belongs to that browser.
    pub fn is_of(secret: &str, browser: &Browser) -> bool {
        same(&browser.hash, &hash(secret))
    }

    /// Shuts out the browsers that `wanted` names; how many there were.
    pub fn shut_out(&self, wanted: impl Fn(&Browser) -> bool) -> std::io::Result<usize> {
        let mut known = self.known();
        let before = known.list.len();
        known.list.retain(|browser| !wanted(browser));
        let gone = before - known.list.len();
        if gone > 0 {
            self.save(&mut known)?;
        }
        Ok(gone)
    }

    /// The list, read again where a command has changed its file.
    fn known(&self) -> MutexGuard<'_, Known> {
        let mut known = lock(&self.browsers);
        let changed = version(&self.file);
        if known.read_as.is_none() || known.read_as != changed {
            known.list = read(&self.file);
            known.read_as = changed;
        }
        known
    }

    fn save(&self, known: &mut Known) -> std::io::Result<()> {
        write_private(&self.file, &serde_json::to_vec(&known.list)?)?;
        known.read_as = version(&self.file);
        Ok(())
    }
}

/// The browsers let in to the page of this data folder, for the command line.
pub fn browsers(folder: &Path, now: Timestamp) -> Vec<Browser> {
    Keys::new(folder, true).browsers(now)
}

/// Shuts browsers out; a running program sees it at once. How many there were.
pub fn shut_out(folder: &Path, wanted: impl Fn(&Browser) -> bool) -> std::io::Result<usize> {
    Keys::new(folder, true).shut_out(wanted)
}

/// What tells one writing of a file from the next. Each writing makes a new file and gives it the name: the time alone
/// is the same for two within one tick of the system's clock, some milliseconds.
type Version = (SystemTime, u64, u64);

fn version(file: &Path) -> Option<Version> {
    let about = fs::metadata(file).ok()?;
    #[cfg(unix)]
    let number = std::os::unix::fs::MetadataExt::ino(&about);
    #[cfg(not(unix))]
    let number = 0;
    Some((about.modified().ok()?, about.len(), number))
}

/// None where the file is not there or is no list.
fn read(file: &Path) -> Vec<Browser> {
    fs::read(file)
        .ok()
        .and_then(|bytes| serde_json::from_slice(&bytes).ok())
        .unwrap_or_default()
}

/// 256 random bits in hexadecimal.
fn secret() -> String {
    hex(&rand::random::<[u8; 32]>())
}

/// Eight figures.
fn code() -> String {
    format!("{:08}", rand::random_range(0..100_000_000_u32))
}

fn same(one: &str, other: &str) -> bool {
    one.as_bytes().ct_eq(other.as_bytes()).into()
}

fn hash(secret: &str) -> String {
    hex(&Sha256::digest(secret.as_bytes()))
}

pub(super) fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// A poisoned lock only means that another request ended in its middle; the lists stay whole.
fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
