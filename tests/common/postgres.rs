//! A PostgreSQL of its own for a test: in a temporary folder, on a local socket and a loopback port, started and
//! stopped by its own means as an unprivileged user.

#![allow(dead_code)] // Each test file uses its part.

use std::net::TcpListener;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use tempfile::TempDir;

/// The user that Debian's package makes; PostgreSQL refuses to run as root.
const USER: &str = "postgres";
/// Of everybody in these clusters; nothing in them is real.
pub const PASSWORD: &str = "invented";

pub struct Postgres {
    folder: TempDir,
    bin: PathBuf,
    pub port: u16,
    /// Its data lies on a disk of its own.
    is_mounted: bool,
}

impl Postgres {
    /// A fresh cluster; none, with a printed line, where PostgreSQL is not installed. Where all tests must run that
    /// is a failure.
    pub fn start(test: &str) -> Option<Self> {
        Self::start_in(test, None)
    }

    /// The same with its data on a disk of its own of so many megabytes (a tmpfs); none, with a printed line, where this
    /// user may not mount one.
    pub fn start_on_small_disk(test: &str, megabytes: u64) -> Option<Self> {
        Self::start_in(test, Some(megabytes))
    }

    fn start_in(test: &str, megabytes: Option<u64>) -> Option<Self> {
        let Some(bin) = bin() else {
            assert!(
                std::env::var_os("SULCUS_TEST_ALL").is_none(),
                "{test} needs PostgreSQL: apt-get install postgresql"
            );
            println!("SKIPPED: {test} needs PostgreSQL (apt-get install postgresql)");
            return None;
        };
        let folder = tempfile::tempdir().expect("a folder");
        let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
        let port = listener.local_addr().expect("an address").port();
        drop(listener);
        let mut postgres = Self {
            folder,
            bin,
            port,
            is_mounted: false,
        };
        if is_root() {
            let given = Command::new("chown")
                .arg(format!("{USER}:"))
                .arg(postgres.folder.path())
                .status()
                .expect("chown runs");
            assert!(given.success(), "the folder is given to {USER}");
        }
        if let Some(megabytes) = megabytes {
            if !postgres.mount(megabytes) {
                println!("SKIPPED: {test} needs to mount a small disk, which this user may not");
                return None;
            }
            postgres.is_mounted = true;
        }
        postgres.own(
            "initdb",
            &[
                "-N",
                "-E",
                "UTF8",
                "--locale=C.UTF-8",
                "-U",
                "postgres",
                "-A",
                "trust",
                "-D",
            ],
        );
        let settings = format!(
            "listen_addresses = '127.0.0.1'\nport = {port}\nunix_socket_directories = '{}'\nmax_connections = 60\n",
            postgres.folder.path().display()
        );
        postgres.write("data/conf.add", &settings);
        postgres.append("data/postgresql.conf", "include 'conf.add'\n");
        // The keeper comes by the socket, the server and whoever tries by loopback with a password.
        postgres.write(
            "data/pg_hba.conf",
            "local all postgres trust\nlocal all all scram-sha-256\nhost all all 127.0.0.1/32 scram-sha-256\n",
        );
        postgres.run();
        postgres.sql(
            "postgres",
            "postgres",
            &format!("CREATE ROLE keeper LOGIN CREATEDB CREATEROLE PASSWORD '{PASSWORD}'"),
        );
        Some(postgres)
    }

    fn mount(&self, megabytes: u64) -> bool {
        let data = self.data();
        std::fs::create_dir(&data).expect("made");
        let options = format!("size={megabytes}m,mode=0700");
        let mounted = Command::new("mount")
            .args(["-t", "tmpfs", "-o", &options, "tmpfs"])
            .arg(&data)
            .output();
        let is_mounted = mounted.is_ok_and(|output| output.status.success());
        if is_mounted && is_root() {
            let given = Command::new("chown")
                .arg(format!("{USER}:"))
                .arg(&data)
                .status();
            assert!(given.is_ok_and(|status| status.success()));
        }
        is_mounted
    }

    /// Takes all room of its disk, to the last byte; the file that holds it.
    pub fn fill_disk(&self) -> PathBuf {
        let file = self.data().join("filler");
        let mut out = std::fs::File::create(&file).expect("made");
        for size in [1 << 20, 4096, 1] {
            let block = vec![7_u8; size];
            while std::io::Write::write_all(&mut out, &block).is_ok() {}
        }
        file
    }

    pub fn folder(&self) -> &Path {
        self.folder.path()
    }

    fn data(&self) -> PathBuf {
        self.folder.path().join("data")
    }

    pub fn write(&self, name: &str, text: &str) {
        std::fs::write(self.folder.path().join(name), text).expect("written");
        if is_root() {
            let path = self.folder.path().join(name);
            let given = Command::new("chown")
                .arg(format!("{USER}:"))
                .arg(path)
                .status();
            assert!(given.is_ok_and(|status| status.success()));
        }
    }

    pub fn append(&self, name: &str, text: &str) {
        let path = self.folder.path().join(name);
        let before = std::fs::read_to_string(&path).expect("read");
        self.write(name, &(before + text));
    }

    /// A program of PostgreSQL, as the user of the cluster.
    fn command(&self, program: &str) -> Command {
        let program = self.bin.join(program);
        let mut command = if is_root() {
            let mut command = Command::new("setpriv");
            command
                .args(["--reuid", USER, "--regid", USER, "--clear-groups"])
                .arg(program);
            command
        } else {
            Command::new(program)
        };
        command
            .current_dir(self.folder.path())
            .env_remove("PGPASSWORD");
        command
    }

    /// The same on the cluster's data folder, which must succeed.
    fn own(&self, program: &str, arguments: &[&str]) {
        let output = self
            .command(program)
            .args(arguments)
            .arg(self.data())
            .output()
            .expect("PostgreSQL's program starts");
        assert!(
            output.status.success(),
            "{program} fails: {}",
            String::from_utf8_lossy(&output.stderr)
        );
    }

    pub fn run(&self) {
        let log = self.folder.path().join("log");
        let log = log.to_str().expect("a path");
        self.own(
            "pg_ctl",
            &["start", "-s", "-w", "-t", "60", "-l", log, "-D"],
        );
    }

    /// Ends it at once, connections and all, as when somebody restarts the machine.
    pub fn stop(&self) {
        self.own("pg_ctl", &["stop", "-s", "-w", "-m", "fast", "-D"]);
    }

    /// Ends it without letting it write anything: as a power cut would, but for what the machine's memory keeps.
    pub fn kill(&self) {
        self.own("pg_ctl", &["stop", "-s", "-w", "-m", "immediate", "-D"]);
    }

    pub fn reload(&self) {
        self.own("pg_ctl", &["reload", "-s", "-D"]);
    }

    /// The keeper's way to the archive's database.
    pub fn address(&self) -> String {
        format!(
            "host={} port={} dbname=sulcus user=keeper",
            self.folder.path().display(),
            self.port
        )
    }

    /// Runs SQL as a superuser; gives what it prints, a line a row, columns divided by |.
    pub fn sql(&self, user: &str, database: &str, sql: &str) -> String {
        let output = self.try_sql(user, database, sql);
        assert!(
            output.status.success(),
            "{sql}: {}",
            String::from_utf8_lossy(&output.stderr)
        );
        String::from_utf8_lossy(&output.stdout).trim().to_owned()
    }

    pub fn try_sql(&self, user: &str, database: &str, sql: &str) -> Output {
        self.command("psql")
            .args(["-X", "-A", "-t", "-q", "-v", "ON_ERROR_STOP=1"])
            .args(["-h", self.folder.path().to_str().expect("a path")])
            .args([
                "-p",
                &self.port.to_string(),
                "-U",
                user,
                "-d",
                database,
                "-c",
                sql,
            ])
            .env("PGPASSWORD", PASSWORD)
            .output()
            .expect("psql starts")
    }

    /// PostgreSQL's own backup of a database, into a file of the cluster's folder.
    pub fn dump(&self, database: &str, file: &str) {
        self.tool("pg_dump", &["-Fc", "-f", file, "-d", database]);
    }

    /// Brings a database back from such a file.
    pub fn restore(&self, database: &str, file: &str) {
        self.tool("dropdb", &["--force", database]);
        self.tool("createdb", &["-T", "template0", "-O", "keeper", database]);
        self.tool("pg_restore", &["-d", database, file]);
    }

    fn tool(&self, program: &str, arguments: &[&str]) {
        let output = self
            .command(program)
            .args(["-h", self.folder.path().to_str().expect("a path")])
            .args(["-p", &self.port.to_string(), "-U", "postgres"])
            .args(arguments)
            .output()
            .expect("PostgreSQL's program starts");
        assert!(
            output.status.success(),
            "{program}: {}",
            String::from_utf8_lossy(&output.stderr)
        );
    }

    /// Of the archive, as a superuser whom no row is hidden from.
    pub fn count(&self, of: &str) -> i64 {
        self.sql("postgres", "sulcus", &format!("SELECT count(*) FROM {of}"))
            .parse()
            .expect("a number")
    }
}

impl Drop for Postgres {
    fn drop(&mut self) {
        let _ = self
            .command("pg_ctl")
            .args(["stop", "-s", "-w", "-m", "immediate", "-D"])
            .arg(self.data())
            .output();
        if self.is_mounted {
            let _ = Command::new("umount").arg("-l").arg(self.data()).output();
        }
    }
}

fn is_root() -> bool {
    rustix::process::geteuid().is_root()
}

/// The newest of Debian's folders, else where the programs are found.
fn bin() -> Option<PathBuf> {
    let mut versions: Vec<PathBuf> = std::fs::read_dir("/usr/lib/postgresql")
        .map(|folders| {
            folders
                .flatten()
                .map(|folder| folder.path().join("bin"))
                .collect()
        })
        .unwrap_or_default();
    versions.retain(|folder| folder.join("initdb").is_file());
    versions.sort();
    let found = versions.pop().or_else(|| {
        let path = std::env::var_os("PATH")?;
        std::env::split_paths(&path).find(|folder| folder.join("initdb").is_file())
    })?;
    found.join("pg_ctl").is_file().then_some(found)
}
