//! `sulcus man`: manual pages of the program and of each command, for man(1).

use std::path::PathBuf;

use clap::CommandFactory;

use crate::cli::Arguments;
use crate::commands::Outcome;
use crate::export::write_file;
use crate::terminal;

#[derive(Debug, clap::Args)]
pub struct Options {
    /// Folder for a page of the program and one of each command; without it the program's page is printed
    #[arg(value_name = "DIR")]
    folder: Option<PathBuf>,
}

pub fn run(options: &Options) -> anyhow::Result<Outcome> {
    let mut command = Arguments::command();
    command.build();
    let Some(folder) = &options.folder else {
        terminal::put(&page(command)?);
        return Ok(Outcome::Done);
    };
    std::fs::create_dir_all(folder)?;
    write_file(&folder.join("sulcus.1"), &page(command.clone())?)?;
    for one in command.get_subcommands().filter(|one| !one.is_hide_set()) {
        let name = format!("sulcus-{}", one.get_name());
        let one = one.clone().display_name(name.clone());
        write_file(&folder.join(format!("{name}.1")), &page(one)?)?;
    }
    Ok(Outcome::Done)
}

fn page(command: clap::Command) -> std::io::Result<Vec<u8>> {
    let mut text = Vec::new();
    clap_mangen::Man::new(command).render(&mut text)?;
    Ok(text)
}
