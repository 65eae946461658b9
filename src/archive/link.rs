//! A table's way to the archive: requests by HTTP, with what each failure means for the people at the table.
//!
//! Invariants: follows no redirect; waits no longer than told; the secret goes to the address of the settings alone.

use std::path::{Path, PathBuf};
use std::time::Duration;

use jiff::Timestamp;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::parcel::{Farewell, Outcome, Parcel};
use super::settings::Settings;
use super::{ArchiveError, DELIVERY_BYTES_MAX, PROTOCOL, secrets};
use crate::journal::{DataFolder, Key};
use crate::terms::Patient;

/// From connecting to the end of the answer; a history of years is a few megabytes.
const TIMEOUT_MS: u64 = 20_000;
/// An archive that does not answer by then is away: the people at the table do not wait for it.
const CONNECT_MS: u64 = 3_000;
/// Says which version of the protocol is spoken.
pub(super) const PROTOCOL_HEADER: &str = "sulcus-protocol";
/// Says what time it is for whoever asks.
pub(super) const TIME_HEADER: &str = "sulcus-time";

/// Who the archive takes this table for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Hello {
    pub clinic: String,
    pub name: String,
    pub role: String,
    pub program: String,
    /// The archive's clock.
    pub now: Timestamp,
}

#[derive(Debug, Serialize, Deserialize)]
pub(super) struct JoinIn {
    pub code: String,
    pub key: String,
}

#[derive(Debug, Serialize, Deserialize)]
pub(super) struct JoinOut {
    pub clinic: String,
    pub name: String,
    pub secret: String,
}

#[derive(Debug, Serialize, Deserialize)]
pub(super) struct Trouble {
    pub error: String,
}

/// The archive as a table sees it.
#[derive(Debug)]
pub struct Link {
    address: String,
    agent: ureq::Agent,
    secret: String,
}

impl Link {
    /// The archive of the settings; none where there is none. Nothing is asked yet.
    ///
    /// # Errors
    /// Where the certificate cannot be read, or this table was not let in yet.
    pub fn open(settings: &Settings, folder: &Path) -> Result<Option<Self>, ArchiveError> {
        if settings.address.is_none() {
            return Ok(None);
        }
        Self::with_secret(settings, folder, secrets::table_secret(folder)?)
    }

    fn with_secret(
        settings: &Settings,
        folder: &Path,
        secret: String,
    ) -> Result<Option<Self>, ArchiveError> {
        settings.check().map_err(ArchiveError::Settings)?;
        let Some(address) = &settings.address else {
            return Ok(None);
        };
        let mut config = ureq::Agent::config_builder()
            .timeout_global(Some(Duration::from_millis(TIMEOUT_MS)))
            .timeout_connect(Some(Duration::from_millis(CONNECT_MS)))
            .max_redirects(0)
            .max_redirects_will_error(false)
            .http_status_as_error(false)
            // The practice's own network: no proxy lies between.
            .proxy(None)
            .user_agent(concat!("sulcus/", env!("CARGO_PKG_VERSION")));
        if let Some(file) = &settings.certificate {
            config = config.tls_config(
                ureq::tls::TlsConfig::builder()
                    .root_certs(ureq::tls::RootCerts::new_with_certs(&certificates(
                        &folder.join(file),
                    )?))
                    .build(),
            );
        }
        Ok(Some(Self {
            address: address.trim_end_matches('/').to_owned(),
            agent: config.build().into(),
            secret,
        }))
    }

    pub fn address(&self) -> &str {
        &self.address
    }

    /// Who the archive takes this table for.
    ///
    /// # Errors
    /// Where it is away, of another version, or knows this table not.
    pub fn hello(&self) -> Result<Hello, ArchiveError> {
        let request = self.agent.get(format!("{}/v1/hello", self.address));
        self.answer(self.with_headers(request).call())
    }

    /// Hands a visit over.
    ///
    /// # Errors
    /// Where it is away, or refuses.
    pub fn deliver(&self, parcel: &Parcel) -> Result<Outcome, ArchiveError> {
        let body = serde_json::to_vec(parcel)
            .map_err(|why| ArchiveError::Refused(format!("it cannot be written: {why}")))?;
        if body.len() > DELIVERY_BYTES_MAX {
            return Err(ArchiveError::Refused(format!(
                "the visit has {} MB, the archive takes {} MB at most; it stays at this table",
                body.len() >> 20,
                DELIVERY_BYTES_MAX >> 20
            )));
        }
        self.post("deliver", &body)
    }

    /// Has a visit deleted in the archive too.
    pub(super) fn forget(&self, farewell: &Farewell) -> Result<(), ArchiveError> {
        let body = serde_json::to_vec(farewell)
            .map_err(|why| ArchiveError::Refused(format!("it cannot be written: {why}")))?;
        let _: serde_json::Value = self.post("forget", &body)?;
        Ok(())
    }

    /// The earlier visits of a patient that the archive has, newest first.
    pub(super) fn history(&self, patient: &Patient) -> Result<Vec<Parcel>, ArchiveError> {
        let body = serde_json::to_vec(patient)
            .map_err(|why| ArchiveError::Refused(format!("it cannot be written: {why}")))?;
        self.post("history", &body)
    }

    fn post<T: DeserializeOwned>(&self, what: &str, body: &[u8]) -> Result<T, ArchiveError> {
        let request = self
            .agent
            .post(format!("{}/v1/{what}", self.address))
            .header("Content-Type", "application/json");
        self.answer(self.with_headers(request).send(body))
    }

    fn with_headers<B>(&self, request: ureq::RequestBuilder<B>) -> ureq::RequestBuilder<B> {
        request
            .header("Authorization", format!("Bearer {}", self.secret))
            .header(PROTOCOL_HEADER, PROTOCOL.to_string())
            .header(TIME_HEADER, Timestamp::now().to_string())
    }

    fn answer<T: DeserializeOwned>(
        &self,
        answer: Result<ureq::http::Response<ureq::Body>, ureq::Error>,
    ) -> Result<T, ArchiveError> {
        let mut response = answer.map_err(|why| self.unreached(&why))?;
        let status = response.status().as_u16();
        let spoken: Option<u32> = response
            .headers()
            .get(PROTOCOL_HEADER)
            .and_then(|value| value.to_str().ok()?.parse().ok());
        let text = response
            .body_mut()
            .with_config()
            .limit(64 << 20)
            .lossy_utf8(true)
            .read_to_string()
            .map_err(|why| self.unreached(&why))?;
        let Some(spoken) = spoken else {
            return Err(ArchiveError::Settings(format!(
                "what answers at {} ({status}) is no archive of sulcus; look at [archive] address in clinic.toml",
                self.address
            )));
        };
        if spoken > PROTOCOL {
            return Err(ArchiveError::Version(format!(
                "the archive at {} is newer than this table (it speaks version {spoken}, this program {PROTOCOL}); \
                 bring this table up to date, its visits wait here until then",
                self.address
            )));
        }
        if status == 200 {
            return serde_json::from_str(&text).map_err(|why| {
                ArchiveError::Away(format!(
                    "the answer of the archive cannot be read ({why}); try again"
                ))
            });
        }
        let said = serde_json::from_str::<Trouble>(&text)
            .map_or_else(|_| format!("answer {status}"), |trouble| trouble.error);
        Err(match status {
            426 => ArchiveError::Version(said),
            408 | 425 | 429 | 500.. => ArchiveError::Away(said),
            _ => ArchiveError::Refused(said),
        })
    }

    fn unreached(&self, why: &ureq::Error) -> ArchiveError {
        let place = &self.address;
        let text = why.to_string();
        if text.contains("certificate") {
            return ArchiveError::Settings(format!(
                "the archive at {place} is not known by its certificate: {text}; copy the certificate file that \
                 sulcus archive serve names to this data folder, and name it in clinic.toml: [archive] certificate"
            ));
        }
        if matches!(why, ureq::Error::HostNotFound) || text.contains("lookup address") {
            return ArchiveError::Away(format!(
                "no machine is found at {place}; look at [archive] address in clinic.toml, and at the network"
            ));
        }
        ArchiveError::Away(format!(
            "the archive at {place} cannot be reached: {text}; visits wait here, and the table works on"
        ))
    }
}

/// PEM or DER.
fn certificates(file: &PathBuf) -> Result<Vec<ureq::tls::Certificate<'static>>, ArchiveError> {
    let trouble = |why: String| {
        ArchiveError::Settings(format!(
            "{}: {why}; [archive] certificate in clinic.toml names the file that sulcus archive serve made",
            file.display()
        ))
    };
    let bytes = std::fs::read(file).map_err(|why| trouble(why.to_string()))?;
    if !bytes.starts_with(b"-----") {
        return Ok(vec![ureq::tls::Certificate::from_der(&bytes).to_owned()]);
    }
    let mut found = Vec::new();
    for item in ureq::tls::parse_pem(&bytes) {
        if let ureq::tls::PemItem::Certificate(certificate) =
            item.map_err(|why| trouble(why.to_string()))?
        {
            found.push(certificate);
        }
    }
    if found.is_empty() {
        return Err(trouble("it holds no certificate".into()));
    }
    Ok(found)
}

/// Lets this table in by its code, and keeps the secret that it is known by from then on.
///
/// # Errors
/// Where the archive is away or the code is not good, or the secret cannot be kept.
pub fn join(
    settings: &Settings,
    folder: &Path,
    code: &str,
) -> Result<(String, String), ArchiveError> {
    let Some(link) = Link::with_secret(settings, folder, String::new())? else {
        return Err(ArchiveError::Settings(
            "clinic.toml in the data folder does not say where the archive is; write there:\n[archive]\naddress = \
             \"https://HOST:7312\""
                .into(),
        ));
    };
    let key = Key::read(&DataFolder::new(folder)).map_err(ArchiveError::Settings)?;
    let Some(key) = key else {
        return Err(ArchiveError::Settings(
            "this data folder has no signing key; begin a visit first, which makes it".into(),
        ));
    };
    let body = serde_json::to_vec(&JoinIn {
        code: code.to_owned(),
        key: key.public(),
    })
    .map_err(|why| ArchiveError::Refused(why.to_string()))?;
    let joined: JoinOut = link.post("join", &body)?;
    secrets::keep_table_secret(folder, &joined.secret)?;
    Ok((joined.clinic, joined.name))
}

/// The id of a visit that a parcel of the outbox names.
pub(super) fn visit_of(text: &str) -> Option<Uuid> {
    text.parse().ok()
}
