//! `sulcus push`: sends finished visits to a folder or a web address, and tries again what could not be sent.

use crate::commands::{Outcome, WrongUse, export, visit};
use crate::config::Config;
use crate::export::{fhir, json};
use crate::outbox::{
    Format, Item, Outbox, Parcel, Settings, State, Token, check_target, deliver, host_of,
};
use crate::record::fold::Phase;

#[derive(Debug, clap::Args)]
pub struct Options {
    /// The visit: its id, the first letters of it, or last; without it, what waits is tried again
    #[arg(value_name = "VISIT", requires = "to")]
    visit: Option<String>,

    /// Folder, or web address (a webhook, or a FHIR server's .../Bundle). A bearer token is taken from
    /// SULCUS_PUSH_TOKEN and sent to this host only; for later tries name the host in SULCUS_PUSH_HOST
    #[arg(long, value_name = "FOLDER|URL", requires = "visit")]
    to: Option<String>,

    #[arg(long, value_enum, default_value_t = Format::Json)]
    format: Format,

    /// Allow plain http beyond this machine: anybody between can read along
    #[arg(long)]
    plain_http: bool,

    /// Try all that is not sent now, refused parcels too
    #[arg(long, conflicts_with = "visit")]
    retry: bool,

    /// Only show what was sent, waits or was refused
    #[arg(long, conflicts_with_all = ["visit", "retry"])]
    list: bool,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let now = jiff::Timestamp::now();
    if let (Some(wanted), Some(target)) = (&options.visit, &options.to) {
        check_target(target, false).map_err(|why| WrongUse(why.to_string()))?;
        if !options.plain_http {
            check_target(target, true)?;
        }
        let (journal, visit) = visit::open(config, wanted)?;
        let record = &visit.record;
        if record.phase == Phase::Open {
            anyhow::bail!("the visit is not finished; finish it first, then push it");
        }
        let body = match options.format {
            Format::Json => json::text(&export::document(&journal, record)?)?,
            Format::Fhir => fhir::write(
                record,
                &visit.entries,
                &export::made_here(&journal, record.visit)?,
            )?,
            Format::FhirTransaction => export::transaction(&journal, config, &visit)?,
            // Not to be asked for: `sulcus archive` hands those over.
            Format::Archive | Format::Farewell => String::new(),
        };
        // A folder is kept by its full path: the next try may start elsewhere.
        let target = match std::fs::canonicalize(target) {
            Ok(path) if path.is_dir() => path.display().to_string(),
            _ => target.clone(),
        };
        Outbox::open(&config.data)?.queue(
            &Parcel {
                visit: record.visit,
                journal_hash: record.last_hash.clone(),
                target,
                format: options.format,
                body: body.into_bytes(),
            },
            now,
        )?;
    }
    let mut outbox = Outbox::open(&config.data)?;
    if !options.list {
        if options.retry {
            outbox.retry(now)?;
        }
        let host = std::env::var("SULCUS_PUSH_HOST")
            .ok()
            .or_else(|| options.to.as_deref().and_then(host_of));
        let secret = std::env::var("SULCUS_PUSH_TOKEN").ok();
        let settings = Settings {
            token: host
                .zip(secret)
                .map(|(host, secret)| Token { host, secret }),
            ..Settings::default()
        };
        outbox.send_due(now, |item| deliver(item, &settings))?;
    }
    let mut items = outbox.items()?;
    items.retain(|item| Format::PUSHED.contains(&item.format));
    if items.is_empty() {
        println!("nothing was pushed yet");
    }
    for item in &items {
        println!("{}", line(item));
    }
    let all_sent = items.iter().all(|item| item.state == State::Sent);
    Ok(if all_sent {
        Outcome::Done
    } else {
        Outcome::Problem
    })
}

fn line(item: &Item) -> String {
    let when = match (item.state, item.sent_at) {
        (State::Sent, Some(at)) => visit::local(at),
        (State::Waiting, _) => format!("next try {}", visit::local(item.next_at)),
        _ => "not tried again without --retry".into(),
    };
    let short: String = item.visit.chars().take(8).collect();
    format!(
        "{short}  {}  {when}  {} tries  {}  {}",
        item.state.word(),
        item.attempts,
        item.target,
        item.answer
    )
}
