//! `sulcus archive`: the practice's archive on PostgreSQL. `init`, `admit`, `retain` and `serve` are for the machine that
//! keeps it, `join`, `send` and `status` for a table.

mod status;

use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::path::PathBuf;
use std::sync::Arc;

use anyhow::Context;

use crate::app::clinic::Clinic;
use crate::archive::{self, Admitted, ArchiveError, Database, Desk, Notice, Role, ServerFile};
use crate::commands::{Outcome, doors, serve, visit, wrong_use};
use crate::config::Config;
use crate::outbox::{Format, Outbox, State};

#[derive(Debug, clap::Args)]
pub struct Options {
    #[command(subcommand)]
    what: What,
}

#[derive(Debug, clap::Subcommand)]
enum What {
    /// Make the archive in a PostgreSQL database, or bring it forward to this program's version
    Init(Init),
    /// Let a table or a person in, or end that
    Admit(Admit),
    /// Set after how many years a clinic's visits are deleted
    Retain(Retain),
    /// Serve the archive to tables and the front desk
    Serve(Serve),
    /// Let this table in to the archive that clinic.toml names, by its code
    Join(Join),
    /// Hand over now what waits; the table's programs do so by themselves
    Send(Send),
    /// Fetch the earlier visits of a visit's patient, and keep them; a table's programs do so when a visit opens
    History(History),
    /// Tell how the archive stands: from a table what waits, from its keeper all clinics and tables
    Status,
}

/// Where the keeper reaches the database.
#[derive(Debug, clap::Args)]
struct Keeper {
    /// The database, as its keeper: "host=... dbname=... user=..." or postgresql://...; the password is taken from
    /// PGPASSWORD. [default: that of the last init, else the database sulcus on this machine's own PostgreSQL]
    #[arg(
        long,
        value_name = "ADDRESS",
        env = "SULCUS_ARCHIVE_DATABASE",
        hide_env_values = true
    )]
    database: Option<String>,

    /// PEM file by which a database on another machine is known
    #[arg(long, value_name = "FILE")]
    database_certificate: Option<PathBuf>,

    /// The clinic; may be left out where the archive holds only one
    #[arg(long, value_name = "NAME")]
    clinic: Option<String>,
}

#[derive(Debug, clap::Args)]
struct Init {
    #[command(flatten)]
    keeper: Keeper,

    /// Name of the first table, for which a code is made
    #[arg(long, value_name = "NAME", default_value = "Table 1")]
    table: String,
}

#[derive(Debug, clap::Args)]
struct Admit {
    #[command(flatten)]
    keeper: Keeper,

    /// A table: prints a code that is good once, for a day
    #[arg(long, value_name = "NAME", required_unless_present_any = ["person", "end"])]
    table: Option<String>,

    /// A person: prints the key to type at the front desk
    #[arg(long, value_name = "NAME", requires = "role", conflicts_with = "table")]
    person: Option<String>,

    /// What the person is to the practice
    #[arg(long, value_enum)]
    role: Option<Role>,

    /// A table or person that is to be let in no more
    #[arg(long, value_name = "NAME", conflicts_with_all = ["table", "person"])]
    end: Option<String>,
}

#[derive(Debug, clap::Args)]
struct Retain {
    #[command(flatten)]
    keeper: Keeper,

    /// Visits finished longer ago are deleted by the server, once a day; a tombstone stays
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(i32).range(1..=200), required_unless_present = "all")]
    years: Option<i32>,

    /// Keep all
    #[arg(long, conflicts_with = "years")]
    all: bool,

    /// Needed: records of treatment often must be kept for years by law; check before
    #[arg(long, required_unless_present = "all")]
    i_may_delete_this: bool,
}

#[derive(Debug, clap::Args)]
struct Serve {
    /// Address to listen on; other than loopback it speaks TLS
    #[arg(long, value_name = "ADDRESS", default_value_t = IpAddr::V4(Ipv4Addr::LOCALHOST))]
    listen: IpAddr,

    /// Port; 0 takes any free one
    #[arg(long, default_value_t = archive::PORT)]
    port: u16,

    /// TLS on loopback too
    #[arg(long)]
    tls: bool,

    /// Own certificate (PEM) instead of one that is made here
    #[arg(long, value_name = "FILE", requires = "key")]
    certificate: Option<PathBuf>,

    /// Its key (PEM)
    #[arg(long, value_name = "FILE", requires = "certificate")]
    key: Option<PathBuf>,
}

#[derive(Debug, clap::Args)]
struct Join {
    /// As sulcus archive admit printed it
    #[arg(value_name = "CODE")]
    code: String,
}

#[derive(Debug, clap::Args)]
struct Send {
    /// What was refused too
    #[arg(long)]
    retry: bool,

    /// What was handed over before too, for an archive that was brought back from a backup
    #[arg(long)]
    again: bool,
}

#[derive(Debug, clap::Args)]
struct History {
    /// The visit: its id, the first letters of it, or last
    #[arg(value_name = "VISIT")]
    visit: String,
}

/// As the keeper of Debian's PostgreSQL reaches the database on the same machine.
const HERE: &str = "host=/var/run/postgresql dbname=sulcus";

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    match &options.what {
        What::Init(init) => make(init, config),
        What::Admit(admit) => let_in(admit, config),
        What::Retain(retain) => set_retention(retain, config),
        What::Serve(serve) => serve_archive(serve, config),
        What::Join(join) => join_archive(join, config),
        What::Send(send) => send_now(send, config),
        What::History(history) => fetch_history(history, config),
        What::Status => status::status(config),
    }
}

impl Keeper {
    fn address(&self, config: &Config) -> anyhow::Result<String> {
        if let Some(address) = &self.database {
            return Ok(address.clone());
        }
        let kept = ServerFile::read(&config.data)?;
        Ok(kept.map_or_else(|| HERE.to_owned(), |kept| kept.keeper))
    }

    fn place(&self, config: &Config) -> anyhow::Result<Database> {
        let certificate = match &self.database_certificate {
            Some(file) => Some(file.clone()),
            None => ServerFile::read(&config.data)?.and_then(|kept| kept.database_certificate),
        };
        Ok(Database::new(
            &self.address(config)?,
            certificate.as_deref(),
        )?)
    }
}

fn make(options: &Init, config: &Config) -> anyhow::Result<Outcome> {
    let kept = ServerFile::read(&config.data)?;
    let (address, place) = (
        options.keeper.address(config)?,
        options.keeper.place(config)?,
    );
    let made = archive::make(&address, &place, kept.is_none())?;
    match (made.before, made.now) {
        (0, now) => println!("made: the archive in {}, version {now}", place.shown()),
        (before, now) if before < now => {
            println!(
                "brought forward: {} from version {before} to {now}",
                place.shown()
            );
        }
        (_, now) => println!("the archive in {} is of version {now}", place.shown()),
    }
    if let Some(server) = made.server {
        let server = ServerFile {
            database_certificate: options
                .keeper
                .database_certificate
                .as_ref()
                .map(std::fs::canonicalize)
                .transpose()
                .context("the certificate of the database")?,
            ..server
        };
        server.write(&config.data)?;
        note!(
            "sulcus: {} holds the server's own password; keep it to its user",
            config.data.join(archive::SERVER_FILE).display()
        );
    }
    if let Some(clinic) = &options.keeper.clinic
        && !archive::clinics(&place)?
            .iter()
            .any(|known| known.name == *clinic)
    {
        let owner = archive::admit(&place, Some(clinic), "owner", Some(Role::Owner))?;
        tell(&owner);
        tell(&archive::admit(&place, Some(clinic), &options.table, None)?);
    }
    Ok(Outcome::Done)
}

fn tell(admitted: &Admitted) {
    let Admitted {
        clinic,
        name,
        role,
        secret,
    } = admitted;
    match role {
        None => println!(
            "{clinic}: {name}: at that table: sulcus archive join {secret}\n    (good once, for a day)"
        ),
        Some(_) => {
            println!("{clinic}: {name}: key for the front desk: {secret}\n    (shown only now)")
        }
    }
}

fn let_in(options: &Admit, config: &Config) -> anyhow::Result<Outcome> {
    let place = options.keeper.place(config)?;
    let clinic = options.keeper.clinic.as_deref();
    if let Some(clinic) = clinic
        && !archive::clinics(&place)?
            .iter()
            .any(|known| known.name == clinic)
    {
        return wrong_use(format!(
            "the archive knows no clinic {clinic:?}; sulcus archive status lists them, sulcus archive init --clinic \
             NAME makes one"
        ));
    }
    let blank = [&options.table, &options.person, &options.end]
        .into_iter()
        .flatten()
        .any(|name| name.trim().is_empty());
    if blank {
        return wrong_use("an empty name names nobody");
    }
    if let Some(name) = &options.end {
        let clinic = archive::end_account(&place, clinic, name)?;
        println!("{clinic}: {name} is let in no more");
    } else if let Some(name) = options.table.as_ref().or(options.person.as_ref()) {
        let role = options.role.filter(|_| options.person.is_some());
        tell(&archive::admit(&place, clinic, name.trim(), role)?);
    }
    Ok(Outcome::Done)
}

fn set_retention(options: &Retain, config: &Config) -> anyhow::Result<Outcome> {
    let place = options.keeper.place(config)?;
    let clinic = archive::set_retention(&place, options.keeper.clinic.as_deref(), options.years)?;
    match options.years {
        Some(years) => println!(
            "{clinic}: visits finished more than {years} years ago are deleted, once a day; journals at the tables \
             and backups are not reached"
        ),
        None => println!("{clinic}: all visits are kept"),
    }
    Ok(Outcome::Done)
}

fn serve_archive(options: &Serve, config: &Config) -> anyhow::Result<Outcome> {
    let Some(kept) = ServerFile::read(&config.data)? else {
        anyhow::bail!(
            "{} has no archive to serve; run sulcus archive init --clinic NAME first, with the same --data",
            config.data.display()
        );
    };
    let place = Database::new(&kept.database, kept.database_certificate.as_deref())?;
    let desk = Arc::new(Desk::new(place));
    desk.check()?;
    let serve_options = archive::ServeOptions {
        address: SocketAddr::new(options.listen, options.port),
        certificate: options.certificate.clone().zip(options.key.clone()),
        is_tls: options.tls,
        folder: config.data.clone(),
        desk: Arc::clone(&desk),
        language: Clinic::load(&config.data)?
            .page_language
            .unwrap_or_else(|| crate::web::ENGLISH.to_owned()),
        announce: Box::new(announce),
    };
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(1)
        .enable_all()
        .build()
        .context("cannot start the archive's server")?;
    let served = runtime.block_on(async move {
        tokio::select! {
            // In this order: whoever reads the address may end the server at once, and is heard.
            biased;
            _ = serve::stopped() => Ok(()),
            served = archive::serve(serve_options) => served,
        }
    });
    // A request that hangs on the database does not hold up the end.
    runtime.shutdown_timeout(std::time::Duration::from_secs(5));
    drop(desk);
    match served {
        Ok(()) => Ok(Outcome::Done),
        Err(error @ ArchiveError::Settings(_)) if options.listen.is_unspecified() => {
            wrong_use(error.to_string())
        }
        Err(error) => Err(error.into()),
    }
}

fn announce(notice: Notice) {
    match notice {
        Notice::Address(address) => println!("Archive: {address}"),
        Notice::Certificate { file, fingerprint } => println!(
            "Certificate: {}\nCertificate (SHA-256): {fingerprint}",
            file.display()
        ),
        Notice::Trouble(why) => eprintln!("sulcus: {why}"),
    }
}

fn join_archive(options: &Join, config: &Config) -> anyhow::Result<Outcome> {
    let settings = Clinic::load(&config.data)?.archive;
    // Makes the signing key where there is none yet.
    drop(doors::writer(config)?);
    let (clinic, name) = archive::join(&settings, &config.data, &options.code)?;
    println!("let in: this is {name} of {clinic}; finished visits go to the archive by themselves");
    Ok(Outcome::Done)
}

fn send_now(options: &Send, config: &Config) -> anyhow::Result<Outcome> {
    let settings = Clinic::load(&config.data)?.archive;
    if settings.address.is_none() {
        anyhow::bail!("clinic.toml in {} names no archive", config.data.display());
    }
    let journal = doors::reader(config)?;
    if options.retry {
        Outbox::open(&config.data)?
            .retry_of(&[Format::Archive, Format::Farewell], jiff::Timestamp::now())?;
    }
    if options.again {
        Outbox::open(&config.data)?.begin_again(Format::Archive, jiff::Timestamp::now())?;
    }
    // Ended in the middle it goes on there the next time.
    let round = archive::hand_over(&settings, &config.data, &journal, |tried| {
        println!("{}  {}  {}", tried.visit, tried.state.word(), tried.answer);
    })?;
    for warning in round.warnings() {
        eprintln!("sulcus: {warning}");
    }
    if round.tried.is_empty() && round.away.is_none() {
        println!("nothing waits");
    }
    let is_done =
        round.away.is_none() && round.tried.iter().all(|tried| tried.state == State::Sent);
    Ok(if is_done {
        Outcome::Done
    } else {
        Outcome::Problem
    })
}

fn fetch_history(options: &History, config: &Config) -> anyhow::Result<Outcome> {
    let settings = Clinic::load(&config.data)?.archive;
    if settings.address.is_none() {
        anyhow::bail!("clinic.toml in {} names no archive", config.data.display());
    }
    let (_, open) = visit::open(config, &options.visit)?;
    let patient = &open.record.patient;
    // What was kept before is told all the same.
    let outcome = match archive::fetch_history(&settings, &config.data, patient) {
        Ok(_) => Outcome::Done,
        Err(why) => {
            eprintln!("sulcus: {why}");
            Outcome::Problem
        }
    };
    let kept = archive::kept_history(&config.data, patient, &[open.record.visit]);
    for record in &kept {
        println!("{}  {}", record.visit, visit::local(record.opened_at));
    }
    println!(
        "{} earlier visits of {} are kept here",
        kept.len(),
        patient.name
    );
    Ok(outcome)
}
