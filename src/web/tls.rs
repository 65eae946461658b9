//! The certificate for a page that other machines may reach: made here once, kept in the data folder, known to
//! people by its fingerprint. Not for loopback, where nothing leaves the machine. The archive's server has one alike.

use std::fs;
use std::net::IpAddr;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use axum_server::tls_rustls::RustlsConfig;
use jiff::{SignedDuration, Timestamp};
use sha2::{Digest, Sha256};

use super::keys::hex;
use super::server::WebError;
use crate::files::write_private;

/// What people read where the browser shows whose certificate it is.
const OWN_NAME: &str = "sulcus, page of this clinic's table";
/// Two years: longer ones are refused by some browsers even where a person trusts them.
const DAYS: i64 = 730;
/// A new one is made while the old one is still good, so that no examination meets an expired one.
const DAYS_LEFT_MIN: i64 = 30;
/// Clocks of tablets go wrong: valid from the day before.
const DAYS_BEFORE: i64 = 1;
const UNTIL_FILE: &str = "page-certificate-until.txt";
/// How the name of a certificate that was made here ends; the address stands before it.
pub const CERTIFICATE_FILE: &str = "page-certificate.der";
const KEY_FILE: &str = "page-key.der";

/// What the server shows to browsers.
pub struct Certificate {
    pub config: RustlsConfig,
    /// The file that others know it by.
    pub file: PathBuf,
    /// SHA-256 of the certificate in groups of four, to compare with what the browser shows.
    pub fingerprint: String,
}

/// The kept certificate of this address while it is good for long enough, or a new one of the same key, which whoever
/// trusts the earlier one knows by that. Its name tells for which address it was made, a file beside it until when; one
/// of an older version has no such file and is made anew.
pub fn certificate(
    folder: &Path,
    address: IpAddr,
    now: Timestamp,
) -> Result<Certificate, WebError> {
    let named = |file: &str| folder.join(format!("{address}-{file}").replace(':', "_"));
    let (certificate_file, key_file) = (named(CERTIFICATE_FILE), named(KEY_FILE));
    let until_file = named(UNTIL_FILE);
    let is_good = fs::read_to_string(&until_file)
        .ok()
        .and_then(|text| text.trim().parse::<Timestamp>().ok())
        .is_some_and(|until| until > now + SignedDuration::from_hours(24 * DAYS_LEFT_MIN));
    let kept = fs::read(&certificate_file).and_then(|der| Ok((der, fs::read(&key_file)?)));
    let (certificate, key) = match kept {
        Ok(kept) if is_good => kept,
        _ => {
            let until = now + SignedDuration::from_hours(24 * DAYS);
            let kept = fs::read(&key_file)
                .ok()
                .and_then(|der| rcgen::KeyPair::try_from(der).ok());
            let pair = fresh(address, now, until, kept)
                .map_err(|why| WebError::Certificate(why.to_string()))?;
            write_private(&key_file, &pair.1)?;
            write_private(&certificate_file, &pair.0)?;
            write_private(&until_file, format!("{until}\n").as_bytes())?;
            pair
        }
    };
    let fingerprint = fingerprint(&certificate);
    let config = server_config(certificate, key)?;
    Ok(Certificate {
        config: RustlsConfig::from_config(Arc::new(config)),
        file: certificate_file,
        fingerprint,
    })
}

/// Certificate and key, both DER.
fn fresh(
    address: IpAddr,
    now: Timestamp,
    until: Timestamp,
    key: Option<rcgen::KeyPair>,
) -> Result<(Vec<u8>, Vec<u8>), rcgen::Error> {
    let day = |at: Timestamp| {
        let date = jiff::tz::TimeZone::UTC.to_datetime(at).date();
        let part = |number: i8| u8::try_from(number).unwrap_or(1);
        rcgen::date_time_ymd(i32::from(date.year()), part(date.month()), part(date.day()))
    };
    let mut wanted = rcgen::CertificateParams::new([address.to_string()])?;
    wanted.not_before = day(now - SignedDuration::from_hours(24 * DAYS_BEFORE));
    wanted.not_after = day(until);
    wanted.distinguished_name = rcgen::DistinguishedName::new();
    wanted
        .distinguished_name
        .push(rcgen::DnType::CommonName, OWN_NAME);
    let key = match key {
        Some(key) => key,
        None => rcgen::KeyPair::generate()?,
    };
    let certificate = wanted.self_signed(&key)?;
    Ok((certificate.der().to_vec(), key.serialize_der()))
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

/// Until when a certificate (DER) is good; none where it cannot be understood. Only the way to that field is read.
pub fn good_until(certificate: &[u8]) -> Option<Timestamp> {
    const SEQUENCE: u8 = 0x30;
    const VERSION: u8 = 0xa0;
    let (_, whole, _) = item(certificate)?;
    let (_, mut fields, _) = item(whole)?;
    let (tag, _, rest) = item(fields)?;
    if tag == VERSION {
        fields = rest;
    }
    // Serial number, algorithm, issuer; then the time from and the time until.
    for _ in 0..3 {
        fields = item(fields)?.2;
    }
    let (tag, times, _) = item(fields)?;
    let (_, _, rest) = item(times).filter(|_| tag == SEQUENCE)?;
    let (tag, until, _) = item(rest)?;
    let text = std::str::from_utf8(until).ok()?.strip_suffix('Z')?;
    let text = match tag {
        // Two digits of the year: 50 and more are of the last century.
        0x17 if text.get(..2)? < "50" => format!("20{text}"),
        0x17 => format!("19{text}"),
        0x18 => text.to_owned(),
        _ => return None,
    };
    let at = jiff::civil::DateTime::strptime("%Y%m%d%H%M%S", &text).ok()?;
    jiff::tz::TimeZone::UTC.to_timestamp(at).ok()
}

/// The first item of DER: its tag, its content, and what follows it.
fn item(bytes: &[u8]) -> Option<(u8, &[u8], &[u8])> {
    let (&tag, rest) = bytes.split_first()?;
    let (&first, rest) = rest.split_first()?;
    let (length, rest) = if first < 0x80 {
        (usize::from(first), rest)
    } else {
        let count = usize::from(first & 0x7f);
        let (digits, rest) = rest.split_at_checked(count).filter(|_| count <= 4)?;
        let length = digits
            .iter()
            .fold(0_usize, |length, digit| length << 8 | usize::from(*digit));
        (length, rest)
    };
    let (content, rest) = rest.split_at_checked(length)?;
    Some((tag, content, rest))
}

fn fingerprint(certificate: &[u8]) -> String {
    let hex = hex(&Sha256::digest(certificate)).to_uppercase();
    hex.as_bytes()
        .chunks(4)
        .map(|four| String::from_utf8_lossy(four).into_owned())
        .collect::<Vec<_>>()
        .join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_end_of_a_certificate_is_read_and_a_renewed_one_keeps_its_key() {
        let folder = tempfile::tempdir().expect("a folder");
        let address: IpAddr = "127.0.0.1".parse().expect("an address");
        let now: Timestamp = "2026-11-27T10:00:00Z".parse().expect("a time");
        let first = certificate(folder.path(), address, now).expect("made");
        let read = |made: &Certificate| fs::read(&made.file).expect("read");
        let (der, key) = (read(&first), folder.path().join("127.0.0.1-page-key.der"));
        let secret = fs::read(&key).expect("read");
        assert_eq!(
            good_until(&der).expect("understood").to_string(),
            "2028-11-26T00:00:00Z"
        );
        let month_before = now + SignedDuration::from_hours(24 * 699);
        let same = certificate(folder.path(), address, month_before).expect("kept");
        assert_eq!(read(&same), der);
        let late = now + SignedDuration::from_hours(24 * 710);
        let renewed = certificate(folder.path(), address, late).expect("renewed");
        assert_ne!(read(&renewed), der);
        assert_eq!(fs::read(&key).expect("read"), secret);
        assert!(good_until(&read(&renewed)) > good_until(&der));
        for end in 0..der.len() {
            // Cut off anywhere it is not understood, or understood as it is.
            let cut = good_until(&der[..end]);
            assert!(cut.is_none() || cut == good_until(&der), "{end}");
        }
        assert_eq!(good_until(&[0x30, 0x85, 1, 1, 1, 1, 1]), None);
    }
}
