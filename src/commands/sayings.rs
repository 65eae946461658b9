//! `sulcus sayings`: what was refused at this clinic's table in its newest visits, how often, and what was said instead; takes a proposal
//! into the clinic's own file.

use crate::app::own_sayings::{LEAST, NEWEST, OwnSayings, Taken};
use crate::commands::{Outcome, doors, wrong_use};
use crate::config::Config;

#[derive(Debug, clap::Args)]
pub struct Options {
    /// Take these words into the clinic's own file
    #[arg(long, value_name = "WORDS")]
    accept: Option<String>,

    /// The sentence that they stand for [default: the one proposed]
    #[arg(long, value_name = "SENTENCE", requires = "accept")]
    means: Option<String>,

    /// List what was refused at least so often
    #[arg(long, value_name = "COUNT", default_value_t = LEAST)]
    least: usize,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let journal = doors::reader(config)?;
    let own = OwnSayings::read(&config.data, &journal)?;
    if let Some(words) = &options.accept {
        match own.accept(words, options.means.as_deref())? {
            Taken::Written { means, file } => {
                println!("{words:?} now means {means:?} ({})", file.display());
            }
            Taken::Known => println!("{words:?} is understood already"),
            Taken::NothingProposed => {
                return wrong_use(format!(
                    "nothing is proposed for {words:?}; say with --means which sentence it stands for"
                ));
            }
        }
        return Ok(Outcome::Done);
    }
    let rows = own.rows(options.least);
    if rows.is_empty() {
        println!(
            "nothing was refused {} times or more in the newest {NEWEST} visits",
            options.least
        );
    }
    for row in rows {
        let (count, visits, said) = (row.count, row.visits, &row.said);
        print!("said {count} times in {visits} visits, refused: {said:?}.");
        match row.means {
            Some(means) => println!(" Means {means:?}? sulcus sayings --accept {said:?}"),
            None => println!(" sulcus sayings --accept {said:?} --means \"SENTENCE\""),
        }
    }
    Ok(Outcome::Done)
}
