//! The page: clean-up by hand in the maker's own browser, served by this machine to this machine alone.
//!
//! [`Page::answer`] is all of it as one function, from a request to its answer, without a socket; [`Server`]
//! listens and bounds every wait and every size; `guard.rs` says who gets in.

mod answer;
mod assets;
mod decisions;
mod desk;
mod doubts;
mod folder;
mod guard;
mod guide;
mod making;
mod nearest;
mod opening;
mod parts;
mod printing;
mod reading;
mod readings;
mod routes;
mod server;
mod session;
mod shared;
mod shelf;
mod standing;
mod table;
mod token;
mod vision;
mod why;

pub use answer::Answer;
pub use making::Wishes;
pub use opening::Opening;
pub use server::Server;
pub use shared::Shared;

use std::path::Path;

use crate::error::Result;
use guard::Guard;
use session::Session;
use token::Token;

/// The page of one start of the program.
pub struct Page {
    guard: Guard,
    session: Session,
}

impl Page {
    /// A page on what the maker named: a figure, a folder of figures, or a picture to draft from as wished.
    /// `port` is where it will be called. A tray alone serves figures in no cast.
    ///
    /// # Errors
    /// [`crate::error::Error::Unreadable`], [`crate::error::Error::FigureFile`],
    /// [`crate::error::Error::BadValue`], and as [`crate::reference::open::open`].
    pub fn new(named: &Path, shared: impl Into<Shared>, wishes: Wishes, port: u16) -> Result<Self> {
        Ok(Self {
            session: Session::new(named, shared.into(), wishes)?,
            guard: Guard::new(port, Token::fresh()?),
        })
    }

    /// The address to open: with the secret of this start, so it is not to be passed on.
    pub fn address(&self) -> String {
        self.guard.address()
    }

    /// The folder all of the maker's work is in.
    pub fn folder(&self) -> &Path {
        self.session.folder.root()
    }

    fn guard(&self) -> &Guard {
        &self.guard
    }

    fn session(&self) -> &Session {
        &self.session
    }
}
