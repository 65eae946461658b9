//! Makes the archive and brings it forward: numbered SQL files, each in one transaction, never backward.
//!
//! Invariants: an archive of a newer version is refused, never written to; each step is done once.

use postgres::Client;
use postgres::error::SqlState;

use super::database::Database;
use super::secrets::{self, ServerFile};
use super::{ArchiveError, database};

/// The login of the server, which owns nothing.
pub const SERVER_ROLE: &str = "sulcus_server";

/// All steps, oldest first. One that was published is never changed.
const STEPS: [(&str, &str); 3] = [
    ("begin", include_str!("migrations/0001_begin.sql")),
    ("identity", include_str!("migrations/0002_identity.sql")),
    ("microchip", include_str!("migrations/0003_microchip.sql")),
];

/// Version that this program makes and knows.
pub(super) fn newest() -> i32 {
    i32::try_from(STEPS.len()).unwrap_or(i32::MAX)
}

/// What was done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Made {
    /// Version before; 0 where there was none.
    pub before: i32,
    pub now: i32,
    /// How the server reaches it, where its password was made now.
    pub server: Option<ServerFile>,
}

/// Makes the database, the server's login and the tables where they are missing, and brings them forward. A new
/// password for the server is made where `needs_server`.
///
/// # Errors
/// Where the keeper may not, the archive is newer than this program, or the database is away.
pub fn make(keeper: &str, place: &Database, needs_server: bool) -> Result<Made, ArchiveError> {
    let mut client = match place.connect() {
        // Made by whoever keeps the archive, who can reach the database that every server has.
        Err(_) if is_missing(place) => {
            let mut beside = place.beside("postgres").connect()?;
            let name = place.config().get_dbname().unwrap_or_default();
            beside.batch_execute(&format!(
                "CREATE DATABASE {} ENCODING 'UTF8' TEMPLATE template0",
                quoted(name)
            ))?;
            place.connect()?
        }
        other => other?,
    };
    // Two that begin at once wait for each other.
    let mut transaction = client.transaction()?;
    transaction.batch_execute("SELECT pg_advisory_xact_lock(7312)")?;
    let before = version(&mut transaction)?;
    refuse_newer(before)?;
    if before < newest() {
        make_role(&mut transaction)?;
        transaction.batch_execute(
            "CREATE SCHEMA IF NOT EXISTS sulcus;
             CREATE TABLE IF NOT EXISTS sulcus.version (
                 number integer PRIMARY KEY,
                 name text NOT NULL,
                 program text NOT NULL,
                 applied_at timestamptz NOT NULL DEFAULT now()
             )",
        )?;
        for (number, (name, step)) in (1_i32..).zip(STEPS) {
            if number > before {
                transaction.batch_execute(step)?;
                transaction.execute(
                    "INSERT INTO sulcus.version (number, name, program) VALUES ($1, $2, $3)",
                    &[&number, &name, &env!("CARGO_PKG_VERSION")],
                )?;
            }
        }
    }
    let server = if needs_server {
        let password = secrets::new_secret();
        transaction.batch_execute(&format!(
            "ALTER ROLE {SERVER_ROLE} LOGIN PASSWORD '{password}'"
        ))?;
        Some(ServerFile {
            database: server_address(place, &password),
            keeper: without_password(keeper),
            database_certificate: None,
        })
    } else {
        None
    };
    transaction.commit()?;
    Ok(Made {
        before,
        now: newest(),
        server,
    })
}

fn is_missing(place: &Database) -> bool {
    matches!(place.connect(), Err(ArchiveError::Settings(why)) if why.starts_with("there is no database"))
}

fn make_role(transaction: &mut postgres::Transaction<'_>) -> Result<(), ArchiveError> {
    let is_there: bool = transaction
        .query_one(
            "SELECT EXISTS (SELECT FROM pg_roles WHERE rolname = $1)",
            &[&SERVER_ROLE],
        )?
        .get(0);
    if !is_there {
        transaction
            .batch_execute(&format!("CREATE ROLE {SERVER_ROLE} LOGIN NOINHERIT"))
            .map_err(|why| {
                match why.code() {
                Some(code) if *code == SqlState::INSUFFICIENT_PRIVILEGE => ArchiveError::Refused(
                    "the keeper of the archive may not make the server's login: give it CREATEROLE \
                     (createuser --createdb --createrole NAME)"
                        .into(),
                ),
                _ => database::told(&why),
            }
            })?;
    }
    Ok(())
}

/// By password over loopback where the keeper comes by a local socket, which lets in by the name of the user.
fn server_address(place: &Database, password: &str) -> String {
    use postgres::config::Host;
    let config = place.config();
    let host = match config.get_hosts().first() {
        Some(Host::Tcp(name)) => name.clone(),
        _ => "127.0.0.1".to_owned(),
    };
    let port = config.get_ports().first().copied().unwrap_or(5432);
    let name = config.get_dbname().unwrap_or_default();
    format!("host={host} port={port} dbname={name} user={SERVER_ROLE} password={password}")
}

/// The words of an address but for its password.
fn without_password(address: &str) -> String {
    if let Some((scheme, rest)) = address.split_once("://")
        && let Some((who, place)) = rest.split_once('@')
    {
        let user = who.split(':').next().unwrap_or_default();
        return format!("{scheme}://{user}@{place}");
    }
    address
        .split_whitespace()
        .filter(|word| !word.starts_with("password"))
        .collect::<Vec<_>>()
        .join(" ")
}

fn quoted(name: &str) -> String {
    format!("\"{}\"", name.replace('"', "\"\""))
}

/// Version of the archive; 0 where there is none.
fn version(client: &mut impl postgres::GenericClient) -> Result<i32, ArchiveError> {
    let is_there: bool = client
        .query_one("SELECT to_regclass('sulcus.version') IS NOT NULL", &[])?
        .get(0);
    if !is_there {
        return Ok(0);
    }
    Ok(client
        .query_one("SELECT coalesce(max(number), 0) FROM sulcus.version", &[])?
        .get(0))
}

fn refuse_newer(found: i32) -> Result<(), ArchiveError> {
    if found > newest() {
        return Err(ArchiveError::Version(format!(
            "the archive is of version {found}, this program knows up to {}; use the newer program, nothing was changed",
            newest()
        )));
    }
    Ok(())
}

/// Refuses an archive that is not of exactly this program's version.
pub(super) fn check(client: &mut Client) -> Result<(), ArchiveError> {
    let found = version(client)?;
    refuse_newer(found)?;
    match found {
        0 => Err(ArchiveError::Settings(
            "there is no archive in this database yet; run sulcus archive init".into(),
        )),
        found if found < newest() => Err(ArchiveError::Version(format!(
            "the archive is of version {found}, this program needs {}; run sulcus archive init, which brings it forward",
            newest()
        ))),
        _ => Ok(()),
    }
}
