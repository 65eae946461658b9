//! What is kept in a data folder to be known by: a table's secret, and the server's way to its database.
//!
//! Invariant: these files are readable by their user alone, and written whole or not at all.

use std::path::Path;

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use super::ArchiveError;
use crate::files::write_private;

/// A table's secret, made when it was let in.
pub const TABLE_FILE: &str = "archive.secret";
/// How `sulcus archive serve` reaches the database.
pub const SERVER_FILE: &str = "archive-server.toml";

/// The server's way to the database.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ServerFile {
    /// As the server itself, which sees only what the secret of a request lets it see.
    pub database: String,
    /// As the keeper of the archive, without a password.
    pub keeper: String,
    /// PEM file with which a database on another machine is recognised.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub database_certificate: Option<std::path::PathBuf>,
}

impl ServerFile {
    pub fn read(folder: &Path) -> Result<Option<Self>, ArchiveError> {
        let path = folder.join(SERVER_FILE);
        match std::fs::read_to_string(&path) {
            Ok(text) => toml::from_str(&text).map(Some).map_err(|why| {
                ArchiveError::Settings(format!(
                    "{}: {}; remove it and run sulcus archive init again",
                    path.display(),
                    why.message()
                ))
            }),
            Err(why) if why.kind() == std::io::ErrorKind::NotFound => Ok(None),
            Err(why) => Err(unreadable(&path, &why)),
        }
    }

    pub fn write(&self, folder: &Path) -> Result<(), ArchiveError> {
        let path = folder.join(SERVER_FILE);
        let text = toml::to_string(self).map_err(|why| ArchiveError::Settings(why.to_string()))?;
        std::fs::create_dir_all(folder)
            .and_then(|()| write_private(&path, text.as_bytes()))
            .map_err(|why| unreadable(&path, &why))
    }
}

pub(super) fn table_secret(folder: &Path) -> Result<String, ArchiveError> {
    let path = folder.join(TABLE_FILE);
    match std::fs::read_to_string(&path) {
        Ok(text) => Ok(text.trim().to_owned()),
        Err(why) if why.kind() == std::io::ErrorKind::NotFound => Err(ArchiveError::Settings(
            "this table was not let in to the archive yet: have a code made there with sulcus archive admit --table \
             NAME, then run sulcus archive join CODE here"
                .into(),
        )),
        Err(why) => Err(unreadable(&path, &why)),
    }
}

pub(super) fn keep_table_secret(folder: &Path, secret: &str) -> Result<(), ArchiveError> {
    let path = folder.join(TABLE_FILE);
    write_private(&path, format!("{secret}\n").as_bytes()).map_err(|why| unreadable(&path, &why))
}

fn unreadable(path: &Path, why: &std::io::Error) -> ArchiveError {
    ArchiveError::Settings(format!(
        "{}: {why}; give another folder with --data DIR",
        path.display()
    ))
}

/// 160 random bits in letters and digits that nobody mistakes for each other, in groups.
pub(super) fn new_secret() -> String {
    const SIGNS: &[u8; 32] = b"abcdefghjkmnpqrstuvwxyz234567890";
    let mut secret = String::new();
    for (at, byte) in rand::random::<[u8; 32]>().iter().enumerate() {
        if at > 0 && at % 4 == 0 {
            secret.push('-');
        }
        secret.push(char::from(SIGNS[usize::from(byte % 32)]));
    }
    secret
}

/// A secret as it is typed: without the spaces and dashes that people add or leave out.
pub(super) fn plain(typed: &str) -> String {
    typed
        .chars()
        .filter(|sign| sign.is_ascii_alphanumeric())
        .collect::<String>()
        .to_lowercase()
}

/// What the archive keeps of a secret.
pub(super) fn hash(secret: &str) -> Vec<u8> {
    Sha256::digest(plain(secret).as_bytes()).to_vec()
}
