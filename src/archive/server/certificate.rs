//! The certificate that the archive's server shows, renewed while it runs.
//!
//! Invariants: a certificate that cannot be used takes the place of none that can; one that is made here keeps its key
//! when it is renewed, so that tables that hold the earlier one know it still.

use std::net::IpAddr;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use axum_server::tls_rustls::RustlsConfig;
use jiff::{SignedDuration, Timestamp};
use rustls::pki_types::pem::PemObject;
use rustls::pki_types::{CertificateDer, PrivateKeyDer};

use super::super::ArchiveError;
use super::{Notice, Server};
use crate::web;

/// Between two looks whether it is to be renewed, or lies there anew: three small files.
const LOOK_SECONDS: u64 = 10;
/// A certificate that somebody else must renew is told so long before its end, once a day.
const TOLD_DAYS: i64 = 30;
const TOLD_AGAIN: SignedDuration = SignedDuration::from_hours(24);

/// Where it comes from.
pub(super) enum Source {
    /// Made here and kept in a folder, for this address.
    Made { folder: PathBuf, address: IpAddr },
    /// Somebody else's, in PEM.
    Own { certificate: PathBuf, key: PathBuf },
}

/// One that can be shown.
struct Loaded {
    config: Arc<rustls::ServerConfig>,
    first: Vec<u8>,
    /// What tables know it by; none for somebody else's.
    notice: Option<Notice>,
}

impl Source {
    fn load(&self) -> Result<Loaded, ArchiveError> {
        match self {
            Self::Made { folder, address } => {
                let made = web::certificate(folder, *address, Timestamp::now())
                    .map_err(|why| ArchiveError::Settings(why.to_string()))?;
                let first = std::fs::read(&made.file).map_err(|why| {
                    ArchiveError::Settings(format!("{}: {why}", made.file.display()))
                })?;
                Ok(Loaded {
                    config: made.config.get_inner(),
                    first,
                    notice: Some(Notice::Certificate {
                        file: made.file,
                        fingerprint: made.fingerprint,
                    }),
                })
            }
            Self::Own { certificate, key } => own(certificate, key),
        }
    }

    /// That it ends soon, where a person must do something about it.
    fn ends_soon(&self, first: &[u8], now: Timestamp) -> Option<String> {
        let Self::Own { certificate, .. } = self else {
            return None;
        };
        let until = web::good_until(first)?;
        let days = until.duration_since(now).as_hours().div_euclid(24);
        (days < TOLD_DAYS).then(|| {
            format!(
                "the certificate {} {} {until}; lay a new one in its place, which is taken at once, or no table gets in",
                certificate.display(),
                if days < 0 { "was good until" } else { "is good only until" },
            )
        })
    }
}

fn own(certificate: &PathBuf, key: &PathBuf) -> Result<Loaded, ArchiveError> {
    let trouble = |file: &PathBuf, why: &dyn std::fmt::Display| {
        ArchiveError::Settings(format!("{}: {why}; name PEM files", file.display()))
    };
    let chain = CertificateDer::pem_file_iter(certificate)
        .and_then(Iterator::collect::<Result<Vec<_>, _>>)
        .map_err(|why| trouble(certificate, &why))?;
    let secret = PrivateKeyDer::from_pem_file(key).map_err(|why| trouble(key, &why))?;
    let first = chain.first().map(|one| one.to_vec()).unwrap_or_default();
    let provider = Arc::new(rustls::crypto::ring::default_provider());
    let mut config = rustls::ServerConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()
        .map_err(|why| trouble(certificate, &why))?
        .with_no_client_auth()
        .with_single_cert(chain, secret)
        .map_err(|why| trouble(certificate, &why))?;
    config.alpn_protocols = vec![b"http/1.1".to_vec()];
    Ok(Loaded {
        config: Arc::new(config),
        first,
        notice: None,
    })
}

/// The certificate as it is now, kept as it should be from then on for as long as the server runs.
pub(super) fn shown(server: &Arc<Server>, source: Source) -> Result<RustlsConfig, ArchiveError> {
    let Loaded {
        config,
        mut first,
        notice,
    } = source.load()?;
    if let Some(notice) = notice {
        (server.announce)(notice);
    }
    let shown = RustlsConfig::from_config(config);
    let (server, renewed) = (Arc::clone(server), shown.clone());
    tokio::spawn(async move {
        let mut told: Option<(String, Timestamp)> = None;
        loop {
            let now = Timestamp::now();
            let trouble = match source.load() {
                Ok(loaded) => {
                    if loaded.first != first {
                        renewed.reload_from_config(loaded.config);
                        first = loaded.first;
                        if let Some(notice) = loaded.notice {
                            (server.announce)(notice);
                        }
                    }
                    source.ends_soon(&first, now)
                }
                Err(why) => Some(format!(
                    "{why}; the earlier certificate is shown until then"
                )),
            };
            let is_told = |trouble: &String| {
                told.as_ref().is_some_and(|(words, at)| {
                    words == trouble && now.duration_since(*at) < TOLD_AGAIN
                })
            };
            if let Some(trouble) = trouble.filter(|trouble| !is_told(trouble)) {
                (server.announce)(Notice::Trouble(trouble.clone()));
                told = Some((trouble, now));
            }
            tokio::time::sleep(Duration::from_secs(LOOK_SECONDS)).await;
        }
    });
    Ok(shown)
}

/// The certificates that were made in this folder, each with the time until which it is good.
pub fn certificates_made(folder: &Path) -> Vec<(PathBuf, Timestamp)> {
    let mut made: Vec<(PathBuf, Timestamp)> = std::fs::read_dir(folder)
        .into_iter()
        .flatten()
        .flatten()
        .map(|entry| entry.path())
        .filter(|path| {
            path.file_name()
                .is_some_and(|name| name.to_string_lossy().ends_with(web::CERTIFICATE_FILE))
        })
        .filter_map(|path| {
            let until = web::good_until(&std::fs::read(&path).ok()?)?;
            Some((path, until))
        })
        .collect();
    made.sort();
    made
}
