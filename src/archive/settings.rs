//! The part `[archive]` of `clinic.toml`: where a table finds the archive.

use std::path::PathBuf;

use serde::Deserialize;

use crate::outbox::check_target;

/// Where the archive is. Without it a table works alone.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Settings {
    /// Web address of `sulcus archive serve`.
    pub address: Option<String>,
    /// Its certificate, PEM or DER, where it made its own: a file in the data folder, or a whole path.
    pub certificate: Option<PathBuf>,
}

impl Settings {
    /// Refuses what can be no address, and one that anybody between could read along.
    ///
    /// # Errors
    /// Says what is wrong, and what to write.
    pub fn check(&self) -> Result<(), String> {
        let Some(address) = &self.address else {
            return Ok(());
        };
        if !address.starts_with("http://") && !address.starts_with("https://") {
            return Err(format!(
                "[archive] address: {address} is no web address; write https://HOST:{}",
                super::PORT
            ));
        }
        check_target(address, true).map_err(|why| format!("[archive] address: {why}"))
    }
}
