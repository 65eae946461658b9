//! The certificate for a page that other machines may reach: made here once, kept in the data folder, known to
//! people by its fingerprint. Not for loopback, where nothing leaves the machine.

use std::fs;
use std::net::IpAddr;
use std::path::Path;
use std::sync::Arc;

use axum_server::tls_rustls::RustlsConfig;
use sha2::{Digest, Sha256};

use super::keys::{hex, write_private};
use super::server::WebError;

const CERTIFICATE_FILE: &str = "page-certificate.der";
const KEY_FILE: &str = "page-key.der";

/// What the server shows to browsers.
pub(super) struct Certificate {
    pub config: RustlsConfig,
    /// SHA-256 of the certificate in groups of four, to compare with what the browser shows.
    pub fingerprint: String,
}

/// The kept certificate of this address, or a new one. A file beside it tells for which address it was made.
pub(super) fn certificate(folder: &Path, address: IpAddr) -> Result<Certificate, WebError> {
    let named = |file: &str| folder.join(format!("{address}-{file}").replace(':', "_"));
    let (certificate_file, key_file) = (named(CERTIFICATE_FILE), named(KEY_FILE));
    let kept = fs::read(&certificate_file).and_then(|der| Ok((der, fs::read(&key_file)?)));
    let (certificate, key) = match kept {
        Ok(kept) => kept,
        Err(_) => {
            let fresh = rcgen::generate_simple_self_signed([address.to_string()])
                .map_err(|why| WebError::Certificate(why.to_string()))?;
            let pair = (fresh.cert.der().to_vec(), fresh.signing_key.serialize_der());
            write_private(&key_file, &pair.1)?;
            write_private(&certificate_file, &pair.0)?;
            pair
        }
    };
    let fingerprint = fingerprint(&certificate);
    let config = server_config(certificate, key)?;
    Ok(Certificate {
        config: RustlsConfig::from_config(Arc::new(config)),
        fingerprint,
    })
}

fn server_config(certificate: Vec<u8>, key: Vec<u8>) -> Result<rustls::ServerConfig, WebError> {
    let trouble = |why: &dyn std::fmt::Display| WebError::Certificate(why.to_string());
    let key = rustls::pki_types::PrivateKeyDer::try_from(key).map_err(|why| trouble(&why))?;
    let provider = Arc::new(rustls::crypto::ring::default_provider());
    let mut config = rustls::ServerConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()
        .map_err(|why| trouble(&why))?
        .with_no_client_auth()
        .with_single_cert(vec![certificate.into()], key)
        .map_err(|why| trouble(&why))?;
    // One protocol, one way in which a request names its host.
    config.alpn_protocols = vec![b"http/1.1".to_vec()];
    Ok(config)
}

fn fingerprint(certificate: &[u8]) -> String {
    let hex = hex(&Sha256::digest(certificate)).to_uppercase();
    hex.as_bytes()
        .chunks(4)
        .map(|four| String::from_utf8_lossy(four).into_owned())
        .collect::<Vec<_>>()
        .join(" ")
}
