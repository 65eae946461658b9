//! Who may sign at this clinic: names with what their PINs come to, in a file of the data folder.
//!
//! Invariants: no PIN is kept; a name is given a new PIN only with the old one. Whoever can read the file can try all
//! PINs on it, and whoever can write it can sign: it says who signed among people who trust each other, no more.

use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};

use crate::record::fold::Phase;
use crate::record::row::hexadecimal;
use crate::record::{Event, Record};

/// File name in the data folder.
pub const FILE: &str = "signers";

/// How often the digest is taken, so that trying PINs takes time.
const ROUNDS: u32 = 60_000;

/// One who may sign.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Signer {
    name: String,
    salt: String,
    digest: String,
}

/// All of the clinic.
#[derive(Debug)]
pub struct Signers {
    path: PathBuf,
    all: Vec<Signer>,
}

/// What can go wrong; each is for the person at the keyboard.
#[derive(Debug, thiserror::Error)]
pub enum SignersError {
    #[error("cannot read {path}: {why}")]
    Unreadable { path: String, why: std::io::Error },
    #[error(
        "{path}, line {line}: no signer; lay a copy of the file there, or enrol all anew without it"
    )]
    Faulty { path: String, line: usize },
    #[error("cannot write: {0}")]
    Unwritable(#[from] crate::files::WriteError),
    #[error("{0} is not enrolled here; sulcus sign --enrol \"{0}\" does it")]
    Unknown(String),
    #[error("the PIN is not that of {0}; nothing was signed")]
    WrongPin(String),
    #[error("a PIN has four to twelve digits")]
    NoPin,
    #[error("a name to sign with has one to a hundred letters and no line break or tabulator")]
    NoName,
}

/// The names and PINs of a data folder, for the page.
pub struct OfFolder {
    pub folder: PathBuf,
}

impl crate::web::Signing for OfFolder {
    fn names(&self) -> Result<Vec<String>, String> {
        let signers = Signers::load(&self.folder).map_err(|why| why.to_string())?;
        Ok(signers.all.into_iter().map(|one| one.name).collect())
    }

    fn check(&self, name: &str, pin: &str) -> Result<(), String> {
        let signers = Signers::load(&self.folder).map_err(|why| why.to_string())?;
        signers.check(name, pin).map_err(|why| why.to_string())
    }
}

/// The signature under a finished visit as it stands; `up_to` is the newest entry that was shown to who signs.
///
/// # Errors
/// Why it cannot be signed, for the person.
pub fn signature(record: &Record, name: &str, up_to: u64, anyway: bool) -> Result<Event, String> {
    if record.phase == Phase::Open {
        return Err("the visit is open: finish it first, then sign".into());
    }
    if record.last != up_to {
        return Err("the visit was changed meanwhile; look at it and sign again".into());
    }
    let unconfirmed = record.unconfirmed().count();
    if unconfirmed > 0 && !anyway {
        return Err(format!(
            "{unconfirmed} values are unconfirmed; confirm them, or sign anyway: they stay marked"
        ));
    }
    Ok(Event::VisitSigned {
        name: name.to_owned(),
        up_to,
    })
}

fn digest(salt: &str, pin: &str) -> String {
    let mut last = Sha256::digest(format!("{salt}\u{1f}{pin}").as_bytes());
    for _ in 1..ROUNDS {
        let mut next = Sha256::new();
        next.update(last);
        next.update(pin.as_bytes());
        last = next.finalize();
    }
    hexadecimal(&last)
}

fn check_pin(pin: &str) -> Result<(), SignersError> {
    let is_pin = (4..=12).contains(&pin.len()) && pin.bytes().all(|byte| byte.is_ascii_digit());
    is_pin.then_some(()).ok_or(SignersError::NoPin)
}

impl Signers {
    /// Those of a data folder; nobody where there is no file.
    pub fn load(folder: &Path) -> Result<Self, SignersError> {
        let path = folder.join(FILE);
        let text = match std::fs::read_to_string(&path) {
            Ok(text) => text,
            Err(why) if why.kind() == std::io::ErrorKind::NotFound => String::new(),
            Err(why) => {
                return Err(SignersError::Unreadable {
                    path: path.display().to_string(),
                    why,
                });
            }
        };
        let mut all = Vec::new();
        for (at, line) in text.lines().enumerate() {
            let [name, salt, digest] = line.split('\t').collect::<Vec<_>>()[..] else {
                return Err(SignersError::Faulty {
                    path: path.display().to_string(),
                    line: at + 1,
                });
            };
            all.push(Signer {
                name: name.into(),
                salt: salt.into(),
                digest: digest.into(),
            });
        }
        Ok(Self { path, all })
    }

    pub fn has(&self, name: &str) -> bool {
        self.all.iter().any(|signer| signer.name == name)
    }

    /// Whether the PIN is that of the name.
    pub fn check(&self, name: &str, pin: &str) -> Result<(), SignersError> {
        let signer = self
            .all
            .iter()
            .find(|signer| signer.name == name)
            .ok_or_else(|| SignersError::Unknown(name.to_owned()))?;
        if digest(&signer.salt, pin) == signer.digest {
            Ok(())
        } else {
            Err(SignersError::WrongPin(name.to_owned()))
        }
    }

    /// Gives a name its PIN; the caller has checked the old one.
    pub fn enrol(&mut self, name: &str, pin: &str) -> Result<(), SignersError> {
        let is_name = (1..=100).contains(&name.chars().count())
            && name.trim() == name
            && !name.chars().any(char::is_control);
        if !is_name {
            return Err(SignersError::NoName);
        }
        check_pin(pin)?;
        let salt = hexadecimal(&rand::random::<[u8; 16]>());
        let digest = digest(&salt, pin);
        self.all.retain(|signer| signer.name != name);
        self.all.push(Signer {
            name: name.into(),
            salt,
            digest,
        });
        let text: String = self
            .all
            .iter()
            .map(|signer| format!("{}\t{}\t{}\n", signer.name, signer.salt, signer.digest))
            .collect();
        crate::files::write_file(&self.path, text.as_bytes())?;
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt as _;
            std::fs::set_permissions(&self.path, std::fs::Permissions::from_mode(0o600)).map_err(
                |why| SignersError::Unreadable {
                    path: self.path.display().to_string(),
                    why,
                },
            )?;
        }
        Ok(())
    }
}
