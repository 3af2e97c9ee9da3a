//! The page of `smallcast edit`: started, opened in the browser, and stopped in good order.

use std::io::IsTerminal;
use std::path::Path;
use std::time::Duration;

use smallcast::error::{Error, Result};
use smallcast::page::{Opening, Page, Server, Wishes};
use smallcast::reference::Corners;

use super::home::Home;
use super::{output, places, report};

/// What is asked of the page.
#[derive(Debug, clap::Args)]
pub struct PageArguments {
    /// The port on this machine; without it, any free one
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..), help_heading = "The page")]
    port: Option<u16>,
    /// Print the address instead of opening a browser
    #[arg(long, help_heading = "The page")]
    no_browser: bool,
    /// For a picture: height class of the figure, as for draft
    #[arg(long, value_name = "NAME", conflicts_with_all = ["stands", "zones"], help_heading = "From a picture")]
    class: Option<String>,
    /// For a picture: standing height beside the guide, such as 165cm or 5ft5in
    #[arg(long, value_name = "HEIGHT", conflicts_with = "zones", help_heading = "From a picture")]
    stands: Option<String>,
    /// For a picture: rows by zone, such as head=5,neck=1,torso=8,legs=9,feet=1
    #[arg(long, value_name = "ZONES", help_heading = "From a picture")]
    zones: Option<String>,
    /// For a picture: bead rows; the drawing keeps its own proportions
    #[arg(long, value_name = "N", conflicts_with_all = ["class", "stands", "zones"], help_heading = "From a picture")]
    rows: Option<usize>,
    /// For a picture: pixel rows of landmarks, such as crown=10,chin=110
    #[arg(long, value_name = "MARKS", allow_hyphen_values = true, help_heading = "From a picture")]
    marks: Option<String>,
    /// For a picture: the part of it to use, in pixels: X,Y,WIDTH,HEIGHT
    #[arg(long, value_name = "X,Y,W,H", allow_hyphen_values = true, help_heading = "From a picture")]
    crop: Option<String>,
    /// For a picture: the four corners of the sheet it is drawn on, in pixels and in any order: X,Y,X,Y,X,Y,X,Y
    #[arg(long, value_name = "CORNERS", allow_hyphen_values = true, help_heading = "From a picture")]
    corners: Option<String>,
}

impl PageArguments {
    /// Serves the page until the maker stops it.
    pub fn serve(&self, named: &Path, home: Home) -> Result<()> {
        let server = Server::new(self.port)?;
        home.warn();
        let page = Page::new(named, home.into_shared(), self.wishes()?, server.port)?;
        let folder = page.folder().display().to_string();
        let address = page.address();
        let opening = if self.no_browser { None } else { Some(Opening::new(&address)?) };
        let served = server.serve(page, || self.say(&address, opening.as_ref()));
        // The private file goes before the last word.
        drop(opening);
        served?;
        report::of_file("stopped", &folder, "every confirmed change is saved there");
        Ok(())
    }

    /// Says where the page is. The address holds a secret: it is not written into a pipe that nobody asked to.
    ///
    /// # Errors
    /// [`Error::BadValue`] where nobody can come to know the address.
    fn say(&self, address: &str, opening: Option<&Opening>) -> Result<()> {
        /// An opener that finds no browser has said so by then.
        const PATIENCE: Duration = Duration::from_secs(2);
        let printed = self.no_browser || std::io::stdout().is_terminal();
        let seen = printed || std::io::stderr().is_terminal();
        let patience = if seen { Duration::ZERO } else { PATIENCE };
        let opened = opening.is_some_and(|opening| opening.open(patience));
        if printed {
            output::print(&format!("{address}\n"))?;
        } else if seen {
            report::note(address);
        }
        report::note(match (self.no_browser, opened, seen) {
            (true, ..) => "open that address in a browser on this machine; Ctrl-C stops the page",
            (_, true, true) => {
                "the page opens in your browser; if it does not, open that address; Ctrl-C stops it"
            }
            (_, false, true) => "no browser could be opened: open that address in one; Ctrl-C stops the page",
            (_, true, false) => {
                "the page opens in your browser; add --no-browser to write its address to a pipe; Ctrl-C stops \
                it"
            }
            (_, false, false) => return Err(nobody_sees()),
        });
        Ok(())
    }

    fn wishes(&self) -> Result<Wishes> {
        let crop = self.crop.as_deref().map(|text| places::area("--crop", text)).transpose()?;
        let corners = self.corners.as_deref().map(Corners::parse).transpose()?;
        Ok(Wishes {
            corners: corners.map(Corners::points),
            crop: crop.map(|crop| [crop.x, crop.y, crop.width, crop.height].map(|v| v as u32)),
            class: self.class.clone(),
            stands: self.stands.clone(),
            zones: self.zones.clone(),
            rows: self.rows,
            marks: self.marks.clone(),
            ..Wishes::default()
        })
    }
}

/// No browser, and no terminal to show the address on: waiting would be for nobody.
fn nobody_sees() -> Error {
    Error::BadValue {
        option: "edit",
        value: "the page".into(),
        why: "no browser could be opened, and its address is written to a pipe only if asked".into(),
        right: "add --no-browser and open the address that is printed, or make changes with --do".into(),
    }
}
