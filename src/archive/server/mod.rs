//! The archive's own server: tables deliver to it and ask it for histories, the front desk reads in it.
//!
//! Invariants: every request but the way in comes from somebody whom the database knows by a secret; a browser's
//! request passes the same guard as the page of a table; nothing has an effect by GET; beyond this machine only by TLS.

mod answers;
mod certificate;
mod desk;
mod fhir;
mod routes;

pub use certificate::certificates_made;

pub(super) use answers::{Secret, trouble, with};

use std::net::{IpAddr, SocketAddr, TcpListener};
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use axum_server::accept::DefaultAcceptor;
use axum_server::tls_rustls::RustlsAcceptor;
use governor::{DefaultKeyedRateLimiter, Quota, RateLimiter};

use certificate::Source;

use super::ArchiveError;
use super::database::Desk;
use crate::web::{self, Connections, Counting, Names};

/// A connection that has not asked for anything by then is closed.
const FIRST_REQUEST_MS_MAX: u64 = 10_000;
/// Wrong secrets of one address a minute; of 160 random bits nobody guesses one.
const WRONG_PER_MINUTE: u32 = 20;

/// What the server tells the person at the machine.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Notice {
    /// Where it listens.
    Address(String),
    /// The file that tables know it by, and the fingerprint that browsers show.
    Certificate { file: PathBuf, fingerprint: String },
    /// Something that a person should look at.
    Trouble(String),
}

pub struct ServeOptions {
    pub address: SocketAddr,
    /// Own certificate and key in PEM, instead of one that is made here.
    pub certificate: Option<(PathBuf, PathBuf)>,
    /// TLS on loopback too.
    pub is_tls: bool,
    /// Where a certificate that is made here is kept.
    pub folder: PathBuf,
    /// Kept by the caller too: its connections must not end on a thread that serves.
    pub desk: Arc<Desk>,
    /// Of the front desk's page.
    pub language: String,
    pub announce: Box<dyn Fn(Notice) + Send + Sync>,
}

pub(super) struct Server {
    desk: Arc<Desk>,
    names: Names,
    cookie_name: String,
    messages: web::MessagesOut,
    wrong: DefaultKeyedRateLimiter<IpAddr>,
    announce: Box<dyn Fn(Notice) + Send + Sync>,
}

/// Serves until the future is dropped.
///
/// # Errors
/// Where it cannot listen there, or its certificate cannot be used.
pub async fn serve(options: ServeOptions) -> Result<(), ArchiveError> {
    let ip = options.address.ip();
    if ip.is_unspecified() {
        return Err(ArchiveError::Settings(format!(
            "{ip} means every address; give the one address under which tables reach the archive"
        )));
    }
    let is_tls = options.is_tls || !ip.is_loopback() || options.certificate.is_some();
    let listen = |why: std::io::Error| {
        ArchiveError::Settings(format!(
            "cannot listen on {}: {why}; give another port with --port",
            options.address
        ))
    };
    let listener = TcpListener::bind(options.address).map_err(listen)?;
    listener.set_nonblocking(true).map_err(listen)?;
    let address = listener.local_addr().map_err(listen)?;
    let minute = Quota::per_minute(
        WRONG_PER_MINUTE
            .try_into()
            .unwrap_or(std::num::NonZeroU32::MIN),
    );
    let server = Arc::new(Server {
        desk: options.desk,
        names: web::names(address, is_tls),
        cookie_name: if is_tls {
            format!("__Host-sulcus-archive-{}", address.port())
        } else {
            format!("sulcus-archive-{}", address.port())
        },
        messages: web::messages_of(&desk::MESSAGES, &options.language)
            .map_err(|why| ArchiveError::Settings(why.to_string()))?,
        wrong: RateLimiter::keyed(minute),
        announce: options.announce,
    });
    let routes = routes::routes(&server).into_make_service();
    let idle = Duration::from_millis(FIRST_REQUEST_MS_MAX);
    let from = |listener| axum_server::from_tcp(listener).map_err(listen);
    let ended = |why: std::io::Error| ArchiveError::Away(format!("the server ended: {why}"));
    if is_tls {
        let source = match options.certificate {
            Some((certificate, key)) => Source::Own { certificate, key },
            None => Source::Made {
                folder: options.folder,
                address: ip,
            },
        };
        let config = certificate::shown(&server, source)?;
        (server.announce)(Notice::Address(format!("https://{address}/")));
        from(listener)?
            .acceptor(Counting {
                connections: Connections::default(),
                inner: RustlsAcceptor::new(config).handshake_timeout(idle),
            })
            .http1_only()
            .first_request_timeout(idle)
            .serve(routes)
            .await
            .map_err(ended)
    } else {
        (server.announce)(Notice::Address(format!("http://{address}/")));
        from(listener)?
            .acceptor(Counting {
                connections: Connections::default(),
                inner: DefaultAcceptor::new(),
            })
            .http1_only()
            .first_request_timeout(idle)
            .serve(routes)
            .await
            .map_err(ended)
    }
}

/// A day: the rule of each clinic is in years.
pub(super) const RETENTION_HOURS: u64 = 24;

impl Server {
    fn is_tls(&self) -> bool {
        self.names.scheme == "https"
    }

    pub fn desk(&self) -> &Desk {
        &self.desk
    }

    /// Deletes what the clinics' rules bid delete, and tells how many visits.
    fn retain(&self) {
        match self.desk.apply_retention() {
            Ok(0) => {}
            Ok(gone) => (self.announce)(Notice::Trouble(format!(
                "{gone} visits were deleted by the clinics' own rules; their tombstones stay"
            ))),
            Err(why) => (self.announce)(Notice::Trouble(why.to_string())),
        }
    }
}
