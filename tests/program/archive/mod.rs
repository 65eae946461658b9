//! The archive on a real PostgreSQL: the built program keeps it, serves it and hands visits over to it.

mod animals;
mod certificate;
mod delivery;
mod desk;
mod fhir;
mod page;
mod strangers;
mod trouble;
mod walls;

use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Output, Stdio};

use sulcus::app::clinic::Clinic;
use sulcus::archive::{Link, Parcel};
use sulcus::journal::{DataFolder, Key};
use sulcus::record::Journal;
use tempfile::TempDir;
use uuid::Uuid;

use crate::postgres::{PASSWORD, Postgres};
use crate::program;

pub use crate::program::{stderr, stdout};

/// An archive in a cluster of its own, served by the built program.
pub struct Archive {
    pub postgres: Postgres,
    pub folder: TempDir,
    pub address: String,
    child: Option<Child>,
    /// What init printed: the owner's key and the first table's code.
    pub owner: String,
    pub code: String,
}

impl Archive {
    /// Made for one clinic; none where PostgreSQL is not there.
    pub fn start(test: &str) -> Option<Self> {
        Some(Self::made(Postgres::start(test)?))
    }

    /// The same on a disk of so many megabytes; none, too, where this user may mount none.
    pub fn start_on_small_disk(test: &str, megabytes: u64) -> Option<Self> {
        Some(Self::made(Postgres::start_on_small_disk(test, megabytes)?))
    }

    fn made(postgres: Postgres) -> Self {
        let mut archive = Self::of(postgres);
        let made = archive.keeper(&["init", "--clinic", "Clinic A (invented)"]);
        assert!(made.status.success(), "{}", stderr(&made));
        archive.owner = after(&stdout(&made), "front desk: ");
        archive.code = after(&stdout(&made), "archive join ");
        archive.serve(&[]);
        archive
    }

    /// Of a cluster that holds one already; not served yet.
    pub fn of(postgres: Postgres) -> Self {
        Self {
            postgres,
            folder: tempfile::tempdir().expect("a folder"),
            address: String::new(),
            child: None,
            owner: String::new(),
            code: String::new(),
        }
    }

    /// `sulcus archive` as its keeper.
    pub fn keeper(&self, arguments: &[&str]) -> Output {
        let mut command = program::sulcus(self.folder.path());
        command
            .arg("archive")
            .args(arguments)
            .env("PGPASSWORD", PASSWORD);
        if !matches!(arguments.first(), Some(&"status")) {
            command.args(["--database", &self.postgres.address()]);
        }
        program::run(&mut command)
    }

    /// Begins to serve; its own port from then on.
    pub fn serve(&mut self, more: &[&str]) {
        let port = self.address.rsplit(':').next().unwrap_or_default();
        let port = if port.is_empty() { "0" } else { port };
        let mut child = program::sulcus(self.folder.path())
            .args(["archive", "serve", "--port", port])
            .args(more)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        let mut lines = BufReader::new(child.stdout.take().expect("its output")).lines();
        let address = lines
            .by_ref()
            .map_while(Result::ok)
            .find_map(|line| line.strip_prefix("Archive: ").map(str::to_owned))
            .expect("it serves");
        self.address = address.trim_end_matches('/').to_owned();
        self.child = Some(child);
    }

    /// Ends the server without a word.
    pub fn kill(&mut self) {
        if let Some(mut child) = self.child.take() {
            child.kill().expect("killed");
            child.wait().expect("ended");
        }
    }

    /// A table that was let in.
    pub fn table(&self, name: &str, clinic: &str) -> Table {
        let admitted = self.keeper(&["admit", "--table", name, "--clinic", clinic]);
        assert!(admitted.status.success(), "{}", stderr(&admitted));
        let table = Table::new(&self.address);
        let joined = table.archive(&["join", &after(&stdout(&admitted), "archive join ")]);
        assert!(joined.status.success(), "{}", stderr(&joined));
        table
    }

    /// A person's key.
    pub fn person(&self, name: &str, role: &str, clinic: &str) -> String {
        let admitted = self.keeper(&[
            "admit", "--person", name, "--role", role, "--clinic", clinic,
        ]);
        assert!(admitted.status.success(), "{}", stderr(&admitted));
        after(&stdout(&admitted), "front desk: ")
    }

    /// Entries that are held, in all.
    pub fn entry_count(&self) -> i64 {
        self.postgres
            .sql(
                "postgres",
                "sulcus",
                "SELECT coalesce(sum(last - first + 1), 0) FROM sulcus.stretch",
            )
            .parse()
            .expect("a number")
    }
}

impl Drop for Archive {
    fn drop(&mut self) {
        self.kill();
    }
}

/// What follows a mark, up to the end of the word.
pub fn after(text: &str, mark: &str) -> String {
    let (_, rest) = text.split_once(mark).expect(mark);
    rest.split_whitespace().next().expect("a word").to_owned()
}

/// A data folder at a dental table.
pub struct Table {
    pub folder: TempDir,
}

impl Table {
    pub fn new(address: &str) -> Self {
        let table = Self {
            folder: tempfile::tempdir().expect("a folder"),
        };
        table.set(&format!("[archive]\naddress = \"{address}\"\n"));
        drop(table.journal());
        table
    }

    pub fn path(&self) -> &Path {
        self.folder.path()
    }

    /// Writes its clinic.toml.
    pub fn set(&self, text: &str) {
        std::fs::write(self.path().join("clinic.toml"), text).expect("written");
    }

    pub fn journal(&self) -> Journal {
        Journal::open(self.path()).expect("opens")
    }

    pub fn command(&self) -> Command {
        program::sulcus(self.path())
    }

    pub fn archive(&self, arguments: &[&str]) -> Output {
        program::run(self.command().arg("archive").args(arguments))
    }

    /// Hands over what is finished, which must succeed.
    pub fn send(&self) -> String {
        let sent = self.archive(&["send"]);
        assert!(sent.status.success(), "{}{}", stdout(&sent), stderr(&sent));
        stdout(&sent)
    }

    pub fn link(&self) -> Link {
        let settings = Clinic::load(self.path()).expect("clinic.toml").archive;
        Link::open(&settings, self.path())
            .expect("opens")
            .expect("an archive")
    }

    /// A finished visit as it is handed over.
    pub fn parcel(&self, visit: Uuid) -> Parcel {
        let journal = Journal::open_reader(self.path()).expect("opens");
        let head = journal
            .rows(visit)
            .expect("rows")
            .pop()
            .expect("a row")
            .hash;
        Parcel::of(&journal, &self.key(), visit, &head)
            .expect("reads")
            .expect("a visit")
    }

    pub fn key(&self) -> Key {
        Key::read(&DataFolder::new(self.path()))
            .expect("reads")
            .expect("a key")
    }
}

pub const CLINIC: &str = "Clinic A (invented)";
