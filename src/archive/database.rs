//! Connections to PostgreSQL, and what its errors mean for people.
//!
//! Invariants: beyond this machine only by TLS, with a certificate that was named; a request's secret lives for its
//! transaction alone.

use std::path::Path;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, SystemTime};

use jiff::Timestamp;
use postgres::config::Host;
use postgres::error::SqlState;
use postgres::{Client, Config, NoTls, Transaction};
use rustls::pki_types::CertificateDer;
use rustls::pki_types::pem::PemObject;
use tokio_postgres_rustls::MakeRustlsConnect;

use super::{ArchiveError, migrate, secrets};

/// A database that does not answer by then is away.
const CONNECT_SECONDS: u64 = 5;
/// No statement of a request may take longer.
const STATEMENT_MS_MAX: u64 = 20_000;
/// Connections kept for the next request.
const KEPT_MAX: usize = 8;

/// Where the database is, checked.
#[derive(Debug, Clone)]
pub struct Database {
    config: Config,
    tls: Option<MakeRustls>,
}

#[derive(Clone)]
struct MakeRustls(MakeRustlsConnect);

impl std::fmt::Debug for MakeRustls {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("MakeRustls")
    }
}

impl Database {
    /// Reads "host=... dbname=... user=..." or "postgresql://...". A database on another machine needs the
    /// certificate by which it is known.
    ///
    /// # Errors
    /// Says what is wrong with it.
    pub fn new(address: &str, certificate: Option<&Path>) -> Result<Self, ArchiveError> {
        let mut config: Config = address.parse().map_err(|why: postgres::Error| {
            ArchiveError::Settings(format!(
                "the address of the database cannot be read: {why}; write for example \
                 \"host=127.0.0.1 dbname=sulcus user=keeper\""
            ))
        })?;
        if config.get_hosts().is_empty() {
            config.host("/var/run/postgresql");
        }
        if config.get_dbname().is_none() {
            config.dbname("sulcus");
        }
        if config.get_user().is_none() {
            let user = std::env::var("USER").or_else(|_| std::env::var("LOGNAME"));
            config.user(user.as_deref().unwrap_or("postgres"));
        }
        if config.get_password().is_none()
            && let Ok(password) = std::env::var("PGPASSWORD")
        {
            config.password(password);
        }
        config.connect_timeout(Duration::from_secs(CONNECT_SECONDS));
        config.application_name("sulcus");
        let is_here = config.get_hosts().iter().all(is_this_machine);
        let tls = match certificate {
            Some(file) => Some(MakeRustls(tls(file)?)),
            None if is_here => None,
            None => {
                return Err(ArchiveError::Settings(
                    "the database is on another machine: name the certificate by which it is known with \
                     --database-certificate FILE.pem, so that nobody between reads along"
                        .into(),
                ));
            }
        };
        if tls.is_some() {
            config.ssl_mode(postgres::config::SslMode::Require);
        }
        Ok(Self { config, tls })
    }

    /// The same server, another database of it.
    pub(super) fn beside(&self, name: &str) -> Self {
        let mut other = self.clone();
        other.config.dbname(name);
        other
    }

    pub(super) fn config(&self) -> &Config {
        &self.config
    }

    pub(super) fn connect(&self) -> Result<Client, ArchiveError> {
        let client = match &self.tls {
            Some(MakeRustls(tls)) => self.config.connect(tls.clone()),
            None => self.config.connect(NoTls),
        };
        client.map_err(|why| self.unreached(&why))
    }

    /// Where it is, without a password.
    pub fn shown(&self) -> String {
        let hosts: Vec<String> = self.config.get_hosts().iter().map(host).collect();
        format!(
            "{} on {}",
            self.config.get_dbname().unwrap_or_default(),
            hosts.join(", ")
        )
    }

    fn unreached(&self, why: &postgres::Error) -> ArchiveError {
        let place = self.shown();
        let user = self.config.get_user().unwrap_or_default();
        let text = in_full(why);
        let code = why.code();
        if code == Some(&SqlState::INVALID_PASSWORD)
            || code == Some(&SqlState::INVALID_AUTHORIZATION_SPECIFICATION)
        {
            return ArchiveError::Settings(format!(
                "the database {place} does not let {user} in: {text}; check the name and the password (PGPASSWORD)"
            ));
        }
        if code == Some(&SqlState::INVALID_CATALOG_NAME) {
            return ArchiveError::Settings(format!(
                "there is no database {place}; run sulcus archive init, which makes it"
            ));
        }
        if text.contains("certificate") {
            return ArchiveError::Settings(format!(
                "the database {place} is not known by the certificate that was named: {text}; name its own with \
                 --database-certificate FILE.pem"
            ));
        }
        ArchiveError::Away(format!(
            "the database {place} cannot be reached: {text}; is PostgreSQL running there?"
        ))
    }
}

fn host(host: &Host) -> String {
    match host {
        Host::Tcp(name) => name.clone(),
        #[cfg(unix)]
        Host::Unix(path) => path.display().to_string(),
    }
}

fn is_this_machine(host: &Host) -> bool {
    match host {
        Host::Tcp(name) => {
            name == "localhost"
                || name
                    .parse::<std::net::IpAddr>()
                    .is_ok_and(|address| address.is_loopback())
        }
        #[cfg(unix)]
        Host::Unix(_) => true,
    }
}

fn tls(file: &Path) -> Result<MakeRustlsConnect, ArchiveError> {
    let trouble = |why: &dyn std::fmt::Display| {
        ArchiveError::Settings(format!(
            "{}: {why}; name the PEM file of the database's certificate",
            file.display()
        ))
    };
    let mut roots = rustls::RootCertStore::empty();
    for certificate in CertificateDer::pem_file_iter(file).map_err(|why| trouble(&why))? {
        roots
            .add(certificate.map_err(|why| trouble(&why))?)
            .map_err(|why| trouble(&why))?;
    }
    if roots.is_empty() {
        return Err(trouble(&"it holds no certificate"));
    }
    let provider = Arc::new(rustls::crypto::ring::default_provider());
    let config = rustls::ClientConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()
        .map_err(|why| trouble(&why))?
        .with_root_certificates(roots)
        .with_no_client_auth();
    Ok(MakeRustlsConnect::new(config))
}

/// An error with all that caused it.
fn in_full(why: &dyn std::error::Error) -> String {
    let mut text = why.to_string();
    let mut cause = why.source();
    while let Some(why) = cause {
        let more = why.to_string();
        if !text.contains(&more) {
            text += &format!(": {more}");
        }
        cause = why.source();
    }
    text
}

/// What an error of the database means.
pub(super) fn told(why: &postgres::Error) -> ArchiveError {
    let text = in_full(why);
    match why.code() {
        Some(code) if *code == SqlState::DISK_FULL => ArchiveError::Away(format!(
            "the disk of the archive is full: {text}; make room there, what was not taken stays at the table"
        )),
        Some(code) if *code == SqlState::INSUFFICIENT_PRIVILEGE => {
            ArchiveError::Refused(format!("the archive refuses it: {text}"))
        }
        Some(code)
            if *code == SqlState::UNDEFINED_TABLE || *code == SqlState::INVALID_SCHEMA_NAME =>
        {
            ArchiveError::Version(format!(
                "the archive is not of this program's version: {text}; run sulcus archive init"
            ))
        }
        _ => ArchiveError::Away(format!("the archive's database failed: {text}; try again")),
    }
}

/// A time as the database takes it.
pub(super) fn system_time(at: Timestamp) -> SystemTime {
    let since = Duration::from_micros(at.as_microsecond().unsigned_abs());
    if at < Timestamp::UNIX_EPOCH {
        SystemTime::UNIX_EPOCH - since
    } else {
        SystemTime::UNIX_EPOCH + since
    }
}

/// A time as the database gives it.
pub(super) fn timestamp(at: SystemTime) -> Timestamp {
    let micros = match at.duration_since(SystemTime::UNIX_EPOCH) {
        Ok(since) => i64::try_from(since.as_micros()).unwrap_or(i64::MAX),
        Err(before) => -i64::try_from(before.duration().as_micros()).unwrap_or(i64::MAX),
    };
    Timestamp::from_microsecond(micros).unwrap_or(Timestamp::UNIX_EPOCH)
}

/// The database as the server uses it: connections that are kept, and one transaction for each request.
pub struct Desk {
    database: Database,
    kept: Mutex<Vec<Client>>,
}

impl std::fmt::Debug for Desk {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Desk({})", self.database.shown())
    }
}

impl Desk {
    /// Nothing is connected yet.
    pub fn new(database: Database) -> Self {
        Self {
            database,
            kept: Mutex::default(),
        }
    }

    /// Connects, and refuses an archive that this program does not know.
    ///
    /// # Errors
    /// Where the database is away, lets nobody in, or holds an archive of another version.
    pub fn check(&self) -> Result<(), ArchiveError> {
        let client = self.client()?;
        self.keep(client);
        Ok(())
    }

    fn client(&self) -> Result<Client, ArchiveError> {
        let kept = self
            .kept
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .pop();
        match kept {
            Some(client) if !client.is_closed() => Ok(client),
            _ => {
                let mut client = self.database.connect()?;
                migrate::check(&mut client)?;
                client.batch_execute(&format!("SET statement_timeout = {STATEMENT_MS_MAX}"))?;
                Ok(client)
            }
        }
    }

    fn keep(&self, client: Client) {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.len() < KEPT_MAX && !client.is_closed() {
            kept.push(client);
        }
    }

    /// Does something for whoever holds the secret, in one transaction; nothing of it stays where it fails.
    ///
    /// # Errors
    /// What the work says, and where the database fails.
    pub fn for_secret<T>(
        &self,
        secret: &str,
        work: impl Fn(&mut Transaction<'_>) -> Result<T, ArchiveError>,
    ) -> Result<T, ArchiveError> {
        let mut client = self.client()?;
        let done = Self::attempt(&mut client, secret, &work);
        // A kept connection may have died since: a fresh one is tried once.
        if done.is_err() && client.is_closed() {
            let mut client = self.client()?;
            let done = Self::attempt(&mut client, secret, &work);
            self.keep(client);
            return done;
        }
        self.keep(client);
        done
    }

    fn attempt<T>(
        client: &mut Client,
        secret: &str,
        work: &impl Fn(&mut Transaction<'_>) -> Result<T, ArchiveError>,
    ) -> Result<T, ArchiveError> {
        let mut transaction = client.transaction()?;
        transaction.execute(
            "SELECT set_config('sulcus.secret', $1, true)",
            &[&secrets::plain(secret)],
        )?;
        let done = work(&mut transaction)?;
        transaction.commit()?;
        Ok(done)
    }

    /// Deletes what the clinics' rules bid delete; how many visits.
    pub(super) fn apply_retention(&self) -> Result<i64, ArchiveError> {
        let mut client = self.client()?;
        let gone = client
            .query_one("SELECT sulcus.apply_retention()", &[])?
            .get(0);
        self.keep(client);
        Ok(gone)
    }
}
