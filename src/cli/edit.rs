//! `smallcast edit`: clean-up by hand.

use std::path::PathBuf;

use smallcast::error::Result;

use super::page;

/// Clean a figure up by hand, in a page on this machine
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// A figure, a folder of figures, or a picture to draft from
    #[arg(value_name = "FIGURE|FOLDER|PICTURE")]
    named: PathBuf,
    #[command(flatten)]
    page: page::PageArguments,
    /// Tray file of the beads you own; the embedded tray serves without one
    #[arg(long, value_name = "FILE")]
    tray: Option<PathBuf>,
}

impl Arguments {
    /// Serves the page.
    pub fn execute(&self) -> Result<()> {
        self.page.serve(&self.named, super::tray_or_embedded(self.tray.as_deref())?)
    }
}
