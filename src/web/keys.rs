//! Who may use the page: the token of this start, the pairing code, and the browsers let in by either.
//!
//! Invariants: only hashes of what browsers hold are kept; a secret is compared in constant time; a pairing
//! code is good for one browser, and gone after a few wrong tries.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use jiff::{SignedDuration, Timestamp};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use subtle::ConstantTimeEq;

/// File of the browsers let in, so that an open page finds back after a restart. Removing it shuts all out.
const FILE: &str = "page-browsers.json";
/// A working day with its overtime; the next day begins with the address or code shown on the machine.
const HOURS: i64 = 16;
/// Browsers remembered; the oldest goes first.
const BROWSERS_MAX: usize = 16;
/// Wrong codes until a new one is made: with eight figures, guessing is hopeless.
const WRONG_CODES_MAX: u8 = 5;

pub(super) struct Keys {
    file: PathBuf,
    way_in: Mutex<WayIn>,
    browsers: Mutex<Vec<Browser>>,
}

/// What lets a new browser in.
enum WayIn {
    /// Good until the program ends: shown as part of an address that only this machine can open.
    Token(String),
    Code {
        code: String,
        wrong_count: u8,
    },
}

#[derive(Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Browser {
    /// SHA-256 of its secret, in hexadecimal.
    hash: String,
    until: Timestamp,
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
}

impl Keys {
    pub fn new(folder: &Path, with_code: bool) -> Self {
        let file = folder.join(FILE);
        let browsers = fs::read(&file)
            .ok()
            .and_then(|bytes| serde_json::from_slice(&bytes).ok())
            .unwrap_or_default();
        let way_in = if with_code {
            WayIn::Code {
                code: code(),
                wrong_count: 0,
            }
        } else {
            WayIn::Token(secret())
        };
        Self {
            file,
            way_in: Mutex::new(way_in),
            browsers: Mutex::new(browsers),
        }
    }

    /// The token or the code, to be shown on the machine and nowhere else.
    pub fn way_in(&self) -> String {
        match &*lock(&self.way_in) {
            WayIn::Token(secret) | WayIn::Code { code: secret, .. } => secret.clone(),
        }
    }

    pub fn enter(&self, given: &str, now: Timestamp) -> std::io::Result<Entry> {
        let mut way_in = lock(&self.way_in);
        let new_code = match &mut *way_in {
            WayIn::Token(token) => {
                if !same(token, given) {
                    return Ok(Entry::Out { new_code: None });
                }
                None
            }
            WayIn::Code { code, wrong_count } => {
                let figures: String = given.chars().filter(char::is_ascii_digit).collect();
                let is_right = same(code, &figures);
                *wrong_count += u8::from(!is_right);
                let is_spent = is_right || *wrong_count >= WRONG_CODES_MAX;
                if is_spent {
                    *code = self::code();
                    *wrong_count = 0;
                }
                let new_code = is_spent.then(|| code.clone());
                if !is_right {
                    return Ok(Entry::Out { new_code });
                }
                new_code
            }
        };
        drop(way_in);
        let secret = secret();
        self.remember(&secret, now)?;
        Ok(Entry::In { secret, new_code })
    }

    fn remember(&self, secret: &str, now: Timestamp) -> std::io::Result<()> {
        let mut browsers = lock(&self.browsers);
        browsers.retain(|browser| browser.until > now);
        if browsers.len() >= BROWSERS_MAX {
            browsers.remove(0);
        }
        browsers.push(Browser {
            hash: hash(secret),
            until: now + SignedDuration::from_hours(HOURS),
        });
        write_private(&self.file, &serde_json::to_vec(&*browsers)?)
    }

    /// Whether a browser that shows this secret was let in.
    pub fn knows(&self, secret: &str, now: Timestamp) -> bool {
        let hash = hash(secret);
        lock(&self.browsers).iter().fold(false, |known, browser| {
            known | (same(&browser.hash, &hash) && browser.until > now)
        })
    }
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

/// Written beside and renamed, so that it is never half; for the owner of the account only.
pub(super) fn write_private(file: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let beside = file.with_extension("new");
    // What an earlier end left is taken away; a link that somebody laid there is never followed.
    match fs::remove_file(&beside) {
        Err(why) if why.kind() != std::io::ErrorKind::NotFound => return Err(why),
        _ => {}
    }
    let mut options = fs::OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut open = options.open(&beside)?;
    open.write_all(bytes)?;
    open.sync_all()?;
    fs::rename(&beside, file)
}
