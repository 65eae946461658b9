//! `sulcus browsers`: which browsers were let in to the page, and how to shut them out. Works beside a running page.

use jiff::Timestamp;

use crate::commands::{Outcome, visit};
use crate::config::Config;
use crate::web;

#[derive(Debug, clap::Args)]
pub struct Options {
    /// Shut one out, by the letters that the list shows, or all of them
    #[arg(long, value_name = "ID|all")]
    shut: Option<String>,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let now = Timestamp::now();
    match options.shut.as_deref() {
        None => {
            list(config, now);
            Ok(Outcome::Done)
        }
        Some("all") => {
            let count = web::shut_out(&config.data, |_| true)?;
            println!("shut out: {count}");
            Ok(Outcome::Done)
        }
        Some(id) => {
            if web::shut_out(&config.data, |browser| browser.id() == id)? == 0 {
                eprintln!("sulcus: no browser {id}; sulcus browsers lists them");
                return Ok(Outcome::Problem);
            }
            println!("shut out: {id}");
            Ok(Outcome::Done)
        }
    }
}

fn list(config: &Config, now: Timestamp) {
    let browsers = web::browsers(&config.data, now);
    if browsers.is_empty() {
        println!("no browser is let in");
        return;
    }
    for browser in browsers {
        let address = browser
            .address
            .map_or_else(|| "address not known".to_owned(), |ip| ip.to_string());
        let name = if browser.name.is_empty() {
            "unnamed browser"
        } else {
            &browser.name
        };
        let seen = browser
            .seen
            .map_or_else(String::new, |at| format!(", seen {}", visit::local(at)));
        println!(
            "{}  {name}, {address}{seen}, let in until {}",
            browser.id(),
            visit::local(browser.until)
        );
    }
}
