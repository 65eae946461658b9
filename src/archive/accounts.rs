//! Who may do what in the archive: tables and people of a clinic, let in and ended by the keeper of the archive.
//!
//! Invariant: what lets somebody in is shown once and kept only as a hash.

use postgres::{Client, Transaction};
use uuid::Uuid;

use super::database::Database;
use super::{ArchiveError, migrate, secrets};

/// Hours for which the code of a table is good.
const CODE_HOURS: i32 = 24;

/// What a person is to the practice; the rights of each are in the archive itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Role {
    /// Searches, prints, and says which patients are one
    Reception,
    /// The same
    Nurse,
    /// The same, and exports records and study tables
    Vet,
    /// All of it, deletes visits and reads who did what
    Owner,
    /// Study tables without names and dates, nothing else
    Study,
}

impl Role {
    pub const ALL: [Self; 5] = [
        Self::Reception,
        Self::Nurse,
        Self::Vet,
        Self::Owner,
        Self::Study,
    ];

    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Reception => "reception",
            Self::Nurse => "nurse",
            Self::Vet => "vet",
            Self::Owner => "owner",
            Self::Study => "study",
        }
    }
}

/// Somebody who was let in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Admitted {
    pub clinic: String,
    pub name: String,
    /// None for a table.
    pub role: Option<Role>,
    /// For a table a code that is good once; for a person the key itself.
    pub secret: String,
}

/// The clinic of that name, made where it is new; the only one where none is named.
fn clinic(
    transaction: &mut Transaction<'_>,
    name: Option<&str>,
) -> Result<(Uuid, String), ArchiveError> {
    if let Some(name) = name {
        let line = transaction.query_one(
            "INSERT INTO sulcus.clinic (name) VALUES ($1) ON CONFLICT (name) DO UPDATE SET name = $1 RETURNING id",
            &[&name],
        )?;
        return Ok((line.get(0), name.to_owned()));
    }
    let all = transaction.query("SELECT id, name FROM sulcus.clinic ORDER BY name", &[])?;
    match all.as_slice() {
        [one] => Ok((one.get(0), one.get(1))),
        [] => Err(ArchiveError::Settings(
            "the archive knows no clinic yet; name it with --clinic NAME".into(),
        )),
        more => Err(ArchiveError::Settings(format!(
            "the archive holds {} clinics; say which with --clinic NAME: {}",
            more.len(),
            more.iter()
                .map(|line| line.get::<_, String>(1))
                .collect::<Vec<_>>()
                .join(", ")
        ))),
    }
}

fn keeper(place: &Database) -> Result<Client, ArchiveError> {
    let mut client = place.connect()?;
    migrate::check(&mut client)?;
    Ok(client)
}

/// Lets a table (no role) or a person in; a table that is known gets a new code and keeps its place.
///
/// # Errors
/// Where the clinic is not named and not the only one, a person of the name is there, or the database fails.
pub fn admit(
    place: &Database,
    of_clinic: Option<&str>,
    name: &str,
    role: Option<Role>,
) -> Result<Admitted, ArchiveError> {
    let mut client = keeper(place)?;
    let mut transaction = client.transaction()?;
    let (clinic, clinic_name) = clinic(&mut transaction, of_clinic)?;
    let secret = secrets::new_secret();
    let hash = secrets::hash(&secret);
    let known = transaction.query_opt(
        "SELECT id, role FROM sulcus.account WHERE clinic = $1 AND name = $2 AND ended_at IS NULL",
        &[&clinic, &name],
    )?;
    match (known, role) {
        (Some(line), None) if line.get::<_, &str>(1) == "table" => transaction.execute(
            "UPDATE sulcus.account SET code_hash = $2, code_until = now() + make_interval(hours => $3) WHERE id = $1",
            &[&line.get::<_, Uuid>(0), &hash, &CODE_HOURS],
        )?,
        (Some(line), _) => {
            return Err(ArchiveError::Settings(format!(
                "{name} is known already, as {}; end that with sulcus archive admit --end {name:?}, or take another name",
                line.get::<_, &str>(1)
            )));
        }
        (None, None) => transaction.execute(
            "INSERT INTO sulcus.account (clinic, name, role, code_hash, code_until)
             VALUES ($1, $2, 'table', $3, now() + make_interval(hours => $4))",
            &[&clinic, &name, &hash, &CODE_HOURS],
        )?,
        (None, Some(role)) => transaction.execute(
            "INSERT INTO sulcus.account (clinic, name, role, secret_hash) VALUES ($1, $2, $3, $4)",
            &[&clinic, &name, &role.word(), &hash],
        )?,
    };
    let detail = format!("{name} as {}", role.map_or("table", Role::word));
    by_keeper(&mut transaction, clinic, "admit", &detail)?;
    transaction.commit()?;
    Ok(Admitted {
        clinic: clinic_name,
        name: name.to_owned(),
        role,
        secret,
    })
}

/// Ends an account: what it holds opens nothing any more. What it did stays on record.
///
/// # Errors
/// Where there is none of that name, or the database fails.
pub fn end_account(
    place: &Database,
    of_clinic: Option<&str>,
    name: &str,
) -> Result<String, ArchiveError> {
    let mut client = keeper(place)?;
    let mut transaction = client.transaction()?;
    let (clinic, clinic_name) = clinic(&mut transaction, of_clinic)?;
    let ended = transaction.execute(
        "UPDATE sulcus.account SET ended_at = now(), secret_hash = NULL, code_hash = NULL
         WHERE clinic = $1 AND name = $2 AND ended_at IS NULL",
        &[&clinic, &name],
    )?;
    if ended == 0 {
        return Err(ArchiveError::Settings(format!(
            "{clinic_name} has nobody called {name:?}; sulcus archive status lists them"
        )));
    }
    by_keeper(&mut transaction, clinic, "end", name)?;
    transaction.commit()?;
    Ok(clinic_name)
}

/// Sets after how many years a clinic's visits are deleted; none keeps all.
///
/// # Errors
/// Where the clinic is not named and not the only one, or the database fails.
pub fn set_retention(
    place: &Database,
    of_clinic: Option<&str>,
    years: Option<i32>,
) -> Result<String, ArchiveError> {
    let mut client = keeper(place)?;
    let mut transaction = client.transaction()?;
    let (clinic, clinic_name) = clinic(&mut transaction, of_clinic)?;
    transaction.execute(
        "UPDATE sulcus.clinic SET keep_years = $2 WHERE id = $1",
        &[&clinic, &years],
    )?;
    let detail = years.map_or("keep all".to_owned(), |years| format!("keep {years} years"));
    by_keeper(&mut transaction, clinic, "retention", &detail)?;
    transaction.commit()?;
    Ok(clinic_name)
}

fn by_keeper(
    transaction: &mut Transaction<'_>,
    clinic: Uuid,
    action: &str,
    detail: &str,
) -> Result<(), ArchiveError> {
    transaction.execute(
        "INSERT INTO sulcus.access (clinic, name, role, action, detail)
         VALUES ($1, session_user, 'keeper', $2, $3)",
        &[&clinic, &action, &detail],
    )?;
    Ok(())
}

/// Whoever a request comes from.
#[derive(Debug, Clone)]
pub(super) struct Caller {
    pub id: Uuid,
    pub clinic: Uuid,
    pub clinic_name: String,
    pub name: String,
    pub role: String,
    pub signing_key: Option<String>,
    rights: Vec<String>,
}

impl Caller {
    /// Whoever holds the secret of the transaction; none where it opens nothing.
    pub fn of(transaction: &mut Transaction<'_>) -> Result<Option<Self>, ArchiveError> {
        let line = transaction.query_opt(
            "SELECT a.id, a.clinic, c.name, a.name, a.role, a.signing_key,
                 array(SELECT what FROM sulcus.role_right r WHERE r.role = a.role)
             FROM sulcus.account a JOIN sulcus.clinic c ON c.id = a.clinic
             WHERE a.id = (SELECT sulcus.account_id())",
            &[],
        )?;
        Ok(line.map(|line| Self {
            id: line.get(0),
            clinic: line.get(1),
            clinic_name: line.get(2),
            name: line.get(3),
            role: line.get(4),
            signing_key: line.get(5),
            rights: line.get(6),
        }))
    }

    pub fn may(&self, what: &str) -> bool {
        self.rights.iter().any(|right| right == what)
    }

    pub fn require(&self, what: &str) -> Result<(), ArchiveError> {
        if self.may(what) {
            return Ok(());
        }
        Err(ArchiveError::Refused(format!(
            "{} is here as {}, which may not {}; the keeper of the archive can let {} in with another role",
            self.name,
            self.role,
            match what {
                "deliver" => "deliver visits",
                "read" => "read visits",
                "print" => "print reports",
                "merge" => "say which patients are one",
                "export" => "export records",
                "study" => "export study tables",
                "forget" => "delete visits",
                _ => "read who did what",
            },
            self.name
        )))
    }
}

/// Writes down what was done.
pub(super) fn note(
    transaction: &mut Transaction<'_>,
    action: &str,
    visit: Option<Uuid>,
    patient: Option<Uuid>,
    detail: &str,
) -> Result<(), ArchiveError> {
    transaction.execute(
        "SELECT sulcus.note($1, $2, $3, $4)",
        &[&action, &visit, &patient, &detail],
    )?;
    Ok(())
}
