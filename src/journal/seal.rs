//! The clinic's signing key, and seals: signatures under the head of a visit as it stood at a certain time.
//!
//! Hashes alone show accident: whoever rewrites a visit can work them out anew. A seal shows more: without the key
//! nobody can make one that fits another head. Whoever can read the key can; so it shows nothing against them.
//!
//! Invariants: the key is made once and never written over; a seal is written in the transaction that writes what it
//! seals; nothing is sealed anew behind the people's back, so that a rewritten visit stays without a fitting seal.

use ed25519_dalek::{Signature, Signer, SigningKey, VerifyingKey};
use jiff::Timestamp;
use rusqlite::{Connection, Transaction, params};
use uuid::Uuid;

use super::JournalError;
use super::storage::Storage;
use crate::export::json;
use crate::record::Record;
use crate::record::fold::Phase;
use crate::record::row::hexadecimal;

/// File name of the clinic's signing key in the data folder. Whoever can read it can sign.
pub const KEY_FILE: &str = "clinic.key";
/// File name of the list of other keys whose seals count here, one a line.
pub const TRUSTED_FILE: &str = "trusted.keys";

const HEAD: &str = "sulcus signing key 1";

/// On what occasion a head was signed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Occasion {
    /// The visit was finished.
    Finish,
    /// Words or a result were added after the end.
    Addendum,
    /// A vet signed.
    Signature,
    /// Found so when the clinic's key was made, or the file was brought to the present format: nothing is said
    /// about the time before.
    Found,
    /// Taken in from a record.
    Import,
    /// A copy of the journal was made.
    Backup,
    /// Taken over by a rescue.
    Salvage,
    /// Handed over to the practice's archive.
    Delivery,
}

impl Occasion {
    pub fn word(self) -> &'static str {
        match self {
            Self::Finish => "finish",
            Self::Addendum => "addendum",
            Self::Signature => "signature",
            Self::Found => "found",
            Self::Import => "import",
            Self::Backup => "backup",
            Self::Salvage => "salvage",
            Self::Delivery => "delivery",
        }
    }
}

/// A signed head of a visit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Seal {
    pub visit: Uuid,
    /// Number of the entry that was the newest then.
    pub number: u64,
    /// Its hash, which covers all before it.
    pub hash: String,
    /// RFC 3339, UTC.
    pub at: String,
    /// "finish", "addendum", "signature", "found", "import", "backup", "salvage"; later programs may have more.
    pub occasion: String,
    /// Public key, 64 hexadecimal digits.
    pub key: String,
    /// Ed25519, 128 hexadecimal digits.
    pub signature: String,
}

impl From<Seal> for json::Signature {
    fn from(seal: Seal) -> Self {
        Self {
            number: seal.number,
            hash: seal.hash,
            at: seal.at,
            occasion: seal.occasion,
            key: seal.key,
            signature: seal.signature,
        }
    }
}

impl Seal {
    /// What an export tells of one.
    pub fn exported(visit: Uuid, signature: &json::Signature) -> Self {
        Self {
            visit,
            number: signature.number,
            hash: signature.hash.clone(),
            at: signature.at.clone(),
            occasion: signature.occasion.clone(),
            key: signature.key.clone(),
            signature: signature.signature.clone(),
        }
    }

    /// The bytes that are signed.
    pub fn message(&self) -> String {
        format!(
            "sulcus seal 1\n{}\n{}\n{}\n{}\n{}\n",
            self.visit, self.number, self.hash, self.at, self.occasion
        )
    }

    /// Whether the signature is one of the key that it names.
    pub fn is_genuine(&self) -> bool {
        is_signed(&self.key, self.message().as_bytes(), &self.signature)
    }

    pub(super) fn insert(&self, transaction: &Transaction<'_>) -> Result<(), rusqlite::Error> {
        transaction
            .prepare_cached(
                "INSERT INTO seal (visit, number, hash, at, occasion, key, signature)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
            )?
            .execute(params![
                self.visit.to_string(),
                self.number as i64,
                self.hash,
                self.at,
                self.occasion,
                self.key,
                self.signature
            ])?;
        Ok(())
    }
}

/// Whether a signature of these bytes is one of this key, both in hexadecimal.
pub fn is_signed(key: &str, bytes: &[u8], signature: &str) -> bool {
    let genuine = || {
        let key = VerifyingKey::from_bytes(&of_hexadecimal(key)?).ok()?;
        let signature = Signature::from_bytes(&of_hexadecimal(signature)?);
        key.verify_strict(bytes, &signature).ok()
    };
    genuine().is_some()
}

/// A head that could not be signed, since the key could not be read: told as such, so that a signature that was taken
/// away is not mistaken for it.
pub(super) fn unsigned(
    visit: Uuid,
    (number, hash): (u64, &str),
    at: Timestamp,
    occasion: Occasion,
) -> Seal {
    Seal {
        visit,
        number,
        hash: hash.to_owned(),
        at: at.to_string(),
        occasion: occasion.word().to_owned(),
        key: String::new(),
        signature: String::new(),
    }
}

/// The clinic's key.
pub struct Key(SigningKey);

impl std::fmt::Debug for Key {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Key({})", self.public())
    }
}

impl Key {
    /// Public half, 64 hexadecimal digits.
    pub fn public(&self) -> String {
        hexadecimal(self.0.verifying_key().as_bytes())
    }

    /// Signature of these bytes, 128 hexadecimal digits.
    pub fn sign(&self, bytes: &[u8]) -> String {
        hexadecimal(&self.0.sign(bytes).to_bytes())
    }

    /// Signs a head.
    pub fn seal(
        &self,
        visit: Uuid,
        (number, hash): (u64, &str),
        at: Timestamp,
        occasion: Occasion,
    ) -> Seal {
        let mut seal = Seal {
            visit,
            number,
            hash: hash.to_owned(),
            at: at.to_string(),
            occasion: occasion.word().to_owned(),
            key: self.public(),
            signature: String::new(),
        };
        seal.signature = self.sign(seal.message().as_bytes());
        seal
    }

    /// The key of a place. None where there is none; the text says what is wrong with it.
    pub fn read(storage: &dyn Storage) -> Result<Option<Self>, String> {
        if storage.len(KEY_FILE).is_none() {
            return Ok(None);
        }
        let bytes = storage
            .read(KEY_FILE)
            .map_err(|why| format!("{KEY_FILE} cannot be read: {why}"))?;
        Self::from_text(&bytes)
            .map(Some)
            .ok_or_else(|| format!("{KEY_FILE} is damaged; lay a copy of it there"))
    }

    fn from_text(bytes: &[u8]) -> Option<Self> {
        let mut lines = std::str::from_utf8(bytes).ok()?.lines();
        if lines.next()? != HEAD {
            return None;
        }
        let key = Self(SigningKey::from_bytes(&of_hexadecimal(lines.next()?)?));
        // The public half stands beside it, so that a torn or altered file is noticed.
        (lines.next()? == key.public()).then_some(key)
    }

    fn text(&self) -> String {
        format!(
            "{HEAD}\n{}\n{}\n",
            hexadecimal(&self.0.to_bytes()),
            self.public()
        )
    }

    /// Makes the key of a place that has none, durably.
    pub(super) fn make(storage: &dyn Storage) -> Result<Self, JournalError> {
        let key = Self(SigningKey::from_bytes(&rand::random()));
        storage
            .make_durable(KEY_FILE, key.text().as_bytes())
            .map_err(|why| JournalError::folder_io(storage.folder(), &why))?;
        Ok(key)
    }
}

/// Keys of other journals whose seals count here.
pub fn trusted(storage: &dyn Storage) -> Vec<String> {
    let bytes = storage.read(TRUSTED_FILE).unwrap_or_default();
    let text = String::from_utf8_lossy(&bytes);
    text.lines()
        .filter_map(|line| line.split_whitespace().next())
        .filter(|word| is_key(word))
        .map(str::to_lowercase)
        .collect()
}

/// Adds a key to those whose seals count here.
pub fn trust(storage: &dyn Storage, key: &str) -> std::io::Result<()> {
    if trusted(storage).iter().any(|known| known == key) {
        return Ok(());
    }
    let mut bytes = storage.read(TRUSTED_FILE).unwrap_or_default();
    if !bytes.is_empty() && !bytes.ends_with(b"\n") {
        bytes.push(b'\n');
    }
    bytes.extend_from_slice(key.as_bytes());
    bytes.push(b'\n');
    storage.overwrite(TRUSTED_FILE, &bytes)?;
    storage.sync_folder()
}

/// Whether a text is a public key as `sulcus key` prints it.
pub fn is_key(text: &str) -> bool {
    of_hexadecimal::<32>(&text.to_lowercase())
        .is_some_and(|bytes| VerifyingKey::from_bytes(&bytes).is_ok())
}

/// A key in groups of four digits, to be read aloud and compared.
pub fn fingerprint(key: &str) -> String {
    let digits: Vec<char> = key.chars().take(16).collect();
    let groups: Vec<String> = digits.chunks(4).map(|four| four.iter().collect()).collect();
    groups.join(" ")
}

/// For the foot of a paper: up to where the record is signed, so that the paper shows later what the journal was.
pub fn foot(newest: Option<&Seal>, record: &Record) -> String {
    let Some(seal) = newest else {
        return match record.phase {
            Phase::Open => ". Not signed: the visit is not finished.".to_owned(),
            Phase::Finished => ". Not signed when it was finished.".to_owned(),
        };
    };
    let up_to = if seal.hash == record.last_hash {
        String::new()
    } else {
        format!(
            " up to entry {} of {}, what came later is not signed",
            seal.number, record.last
        )
    };
    format!(
        ". Signed{up_to}: {} ({}) with the clinic's key {}: {}",
        seal.at,
        seal.occasion,
        fingerprint(&seal.key),
        seal.signature
    )
}

/// All seals of one visit, oldest first; none in a file of a format without them.
pub(super) fn of_visit(connection: &Connection, visit: &str) -> Result<Vec<Seal>, rusqlite::Error> {
    if super::schema::format(connection)? < 2 {
        return Ok(Vec::new());
    }
    let mut statement = connection.prepare_cached(
        "SELECT visit, number, hash, at, occasion, key, signature FROM seal WHERE visit = ?1 ORDER BY number, rowid",
    )?;
    let mut rows = statement.query([visit])?;
    let mut seals = Vec::new();
    while let Some(row) = rows.next()? {
        let (visit, number): (String, i64) = (row.get(0)?, row.get(1)?);
        let (Ok(visit), Ok(number)) = (visit.parse(), u64::try_from(number)) else {
            continue;
        };
        seals.push(Seal {
            visit,
            number,
            hash: row.get(2)?,
            at: row.get(3)?,
            occasion: row.get(4)?,
            key: row.get(5)?,
            signature: row.get(6)?,
        });
    }
    Ok(seals)
}

fn of_hexadecimal<const LENGTH: usize>(text: &str) -> Option<[u8; LENGTH]> {
    let digits = text.as_bytes();
    if digits.len() != LENGTH * 2 {
        return None;
    }
    let mut bytes = [0; LENGTH];
    for (byte, pair) in bytes.iter_mut().zip(digits.chunks(2)) {
        let pair = std::str::from_utf8(pair).ok()?;
        *byte = u8::from_str_radix(pair, 16).ok()?;
    }
    Some(bytes)
}
