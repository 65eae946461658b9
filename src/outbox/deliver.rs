//! One attempt to hand a parcel over: writes a file, or posts to a web address.
//!
//! Invariants: follows no redirect (the data goes where it was told to go, or nowhere); waits no longer than told;
//! reads no more of an answer than told.

use std::path::{Path, PathBuf};
use std::time::Duration;

use super::{Format, Item, OutboxError};
use crate::export::write_file;

/// What came of one attempt.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Delivery {
    /// The receiver has it; its answer in short.
    Taken(String),
    /// Not reached, or busy: try again later.
    Again(String),
    /// The receiver said no: a person must look.
    Refused(String),
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Settings {
    /// From connecting to the end of the answer.
    pub timeout_ms: u64,
    /// Sent as bearer token to this host only; never written down.
    pub token: Option<Token>,
}

/// A secret belongs to one host: parcels that wait for others must not carry it there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Token {
    pub host: String,
    pub secret: String,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            // A record is well below a megabyte; slower than this is no connection.
            timeout_ms: 30_000,
            token: None,
        }
    }
}

/// Enough to say what went wrong.
const ANSWER_BYTES_MAX: u64 = 2_000;

enum Target {
    Folder(PathBuf),
    Web {
        url: String,
        host: String,
        is_loopback: bool,
    },
}

fn parse(target: &str) -> Result<Target, String> {
    let web = |rest: &str| -> Result<Target, String> {
        let authority = rest.split(['/', '?', '#']).next().unwrap_or_default();
        if authority.contains('@') {
            return Err(
                "name and password do not belong in an address; set SULCUS_PUSH_TOKEN".into(),
            );
        }
        let host = match authority.strip_prefix('[') {
            Some(rest) => rest.split(']').next().unwrap_or_default(),
            None => authority.split(':').next().unwrap_or_default(),
        };
        if host.is_empty() {
            return Err("it names no host".into());
        }
        Ok(Target::Web {
            url: target.to_owned(),
            host: host.to_owned(),
            is_loopback: host == "localhost"
                || host
                    .parse::<std::net::IpAddr>()
                    .is_ok_and(|address| address.is_loopback()),
        })
    };
    if let Some(rest) = target.strip_prefix("https://") {
        web(rest)
    } else if let Some(rest) = target.strip_prefix("http://") {
        web(rest)
    } else if target.contains("://") {
        Err("only http, https and folders are known".into())
    } else if target.is_empty() {
        Err("it is empty".into())
    } else {
        Ok(Target::Folder(PathBuf::from(target)))
    }
}

/// Whether a parcel may be sent there. Plain http beyond this machine is refused
/// where `strict`: anybody between reads along.
pub fn check_target(target: &str, strict: bool) -> Result<(), OutboxError> {
    let fail = |why: String| OutboxError::Target {
        target: target.to_owned(),
        why,
    };
    match parse(target).map_err(fail)? {
        Target::Folder(folder) if strict && !folder.is_dir() => {
            Err(fail("the folder is not there".into()))
        }
        Target::Web {
            is_loopback, url, ..
        } if strict && !is_loopback && url.starts_with("http://") => Err(fail(
            "over plain http anybody between can read the record; use https, or add --plain-http"
                .into(),
        )),
        _ => Ok(()),
    }
}

/// Tries once.
pub fn deliver(item: &Item, settings: &Settings) -> Delivery {
    match parse(&item.target) {
        Err(why) => Delivery::Refused(why),
        Ok(Target::Folder(folder)) => put(item, &folder),
        Ok(Target::Web {
            url,
            host,
            is_loopback,
        }) => {
            let token = settings.token.as_ref().filter(|token| token.host == host);
            post(item, &url, is_loopback, token, settings.timeout_ms)
        }
    }
}

fn put(item: &Item, folder: &Path) -> Delivery {
    let end = match item.format {
        Format::Fhir => "fhir.json",
        Format::FhirTransaction => "transaction.fhir.json",
        _ => "json",
    };
    // The key makes the name: the same parcel twice is the same file.
    let file = folder.join(format!(
        "sulcus-{}-{}.{end}",
        item.visit,
        &item.key.to_string()[..8]
    ));
    match write_file(&file, &item.body) {
        Ok(()) => Delivery::Taken(format!("written: {}", file.display())),
        Err(why) => Delivery::Again(why.to_string()),
    }
}

fn post(
    item: &Item,
    url: &str,
    is_loopback: bool,
    token: Option<&Token>,
    timeout_ms: u64,
) -> Delivery {
    let mut config = ureq::Agent::config_builder()
        .timeout_global(Some(Duration::from_millis(timeout_ms)))
        .max_redirects(0)
        .max_redirects_will_error(false)
        .http_status_as_error(false)
        .user_agent(concat!("sulcus/", env!("CARGO_PKG_VERSION")));
    if is_loopback {
        config = config.proxy(None);
    }
    // A fresh agent for each parcel: no connection is used twice, so that a stray second answer meets nobody.
    let agent: ureq::Agent = config.build().into();
    let kind = match item.format {
        Format::Fhir | Format::FhirTransaction => "application/fhir+json",
        _ => "application/json",
    };
    let mut request = agent
        .post(url)
        .header("Content-Type", kind)
        .header("Idempotency-Key", item.key.to_string())
        .header("Connection", "close");
    if item.format == Format::Fhir
        && let Some(identifier) = bundle_identifier(&item.body)
    {
        request = request.header("If-None-Exist", format!("identifier={identifier}"));
    }
    if let Some(token) = token {
        request = request.header("Authorization", format!("Bearer {}", token.secret));
    }
    let mut response = match request.send(&item.body[..]) {
        Ok(response) => response,
        Err(why) => return Delivery::Again(why.to_string()),
    };
    let status = response.status().as_u16();
    let said = response
        .body_mut()
        .with_config()
        .limit(ANSWER_BYTES_MAX)
        .lossy_utf8(true)
        .read_to_string()
        .unwrap_or_default();
    let said: String = said
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .take(200)
        .collect();
    let answer = format!("{status} {}", said.trim()).trim().to_owned();
    match status {
        200..=299 => Delivery::Taken(answer),
        300..=399 => Delivery::Refused(format!(
            "{answer}: it points elsewhere; push to the right address"
        )),
        // Too slow, too early, too many, not logged in yet: worth another try.
        401 | 408 | 425 | 429 => Delivery::Again(answer),
        400..=499 => Delivery::Refused(answer),
        _ => Delivery::Again(answer),
    }
}

/// "system|value" of a bundle, for servers that create only what they do not have.
fn bundle_identifier(body: &[u8]) -> Option<String> {
    let bundle: serde_json::Value = serde_json::from_slice(body).ok()?;
    let system = bundle["identifier"]["system"].as_str()?;
    let value = bundle["identifier"]["value"].as_str()?;
    Some(format!("{system}|{value}"))
}

/// The host of a web address; none for a folder.
pub fn host_of(target: &str) -> Option<String> {
    match parse(target) {
        Ok(Target::Web { host, .. }) => Some(host),
        _ => None,
    }
}
