//! The secret that lets the maker's own browser in, fresh each start.

use std::fmt::Write as _;
use std::hint::black_box;

use crate::error::{Error, Result};

/// Random bytes of a token: 256 bits, twice what is asked of a secret that nobody can try out fast.
const BYTES: usize = 32;

/// A fresh random secret. It is never in the arguments of a process.
pub struct Token(String);

impl Token {
    /// Draws a token from the system's own source.
    ///
    /// # Errors
    /// [`Error::Unreadable`] if the system gives no random bytes.
    pub fn fresh() -> Result<Self> {
        let mut bytes = [0_u8; BYTES];
        getrandom::fill(&mut bytes).map_err(|e| Error::Unreadable {
            file: "the system's source of random numbers".into(),
            why: e.to_string(),
        })?;
        let mut text = String::with_capacity(2 * BYTES);
        // Writing to a String does not fail.
        bytes.iter().for_each(|byte| _ = write!(text, "{byte:02x}"));
        Ok(Self(text))
    }

    /// The token as the page sends it: letters and digits alone.
    pub fn text(&self) -> &str {
        &self.0
    }

    /// Whether this is the token, in the same time wherever the first difference lies.
    pub fn is(&self, given: &[u8]) -> bool {
        let own = self.0.as_bytes();
        let differences =
            own.iter().zip(given).fold(0_u8, |sum, (one, other)| black_box(sum | (one ^ other)));
        own.len() == given.len() && black_box(differences) == 0
    }
}

impl std::fmt::Debug for Token {
    /// Never the secret itself: what is printed for looking at faults may be passed on.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Token(..)")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_token_is_its_own_and_nothing_else_is_taken_for_it() {
        let (one, other) = (Token::fresh().unwrap(), Token::fresh().unwrap());
        assert_eq!(one.text().len(), 64);
        assert!(one.is(one.text().as_bytes()));
        assert!(!one.is(other.text().as_bytes()));
        assert!(!one.is(b""));
        assert!(!one.is(&one.text().as_bytes()[..63]));
        assert!(!one.is(format!("{}0", one.text()).as_bytes()));
        assert!(!format!("{one:?}").contains(one.text()));
    }
}
