//! Who gets in, and what every answer says to the browser about itself.
//!
//! Sources: RFC 9110 (Host, Content-Type), RFC 6454 and the Fetch standard (Origin), W3C Fetch Metadata
//! (Sec-Fetch-Site), RFC 6750 (Bearer), W3C Content Security Policy Level 3.

use hyper::header::{
    AUTHORIZATION, CACHE_CONTROL, CONTENT_SECURITY_POLICY, CONTENT_TYPE, HOST, HeaderMap, HeaderName,
    HeaderValue, ORIGIN, REFERRER_POLICY, X_CONTENT_TYPE_OPTIONS, X_FRAME_OPTIONS,
};
use hyper::{Method, Request, StatusCode};

use super::answer::Refusal;
use super::token::Token;

/// Most bytes of a body: hundreds of times what the longest change takes.
pub const MOST_BODY: usize = 1 << 20;

/// Nothing from elsewhere, no script or style in the page's own text, no frame around it, no form.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; \
                      connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// Where the page's own browser calls, and what it must know.
#[derive(Debug)]
pub struct Guard {
    /// `127.0.0.1:PORT` and `localhost:PORT`.
    hosts: [String; 2],
    token: Token,
}

impl Guard {
    /// Lets in who calls this port of this machine with this token.
    pub fn new(port: u16, token: Token) -> Self {
        Self { hosts: [format!("127.0.0.1:{port}"), format!("localhost:{port}")], token }
    }

    /// The address to open, token and all.
    pub fn address(&self) -> String {
        format!("http://{}/#{}", self.hosts[0], self.token.text())
    }

    /// Turns away what the page's own browser would not send; before any body is read. Says whether the request had to
    /// show the token, and did.
    ///
    /// # Errors
    /// The refusal to answer with.
    pub fn check<B>(&self, request: &Request<B>) -> Result<bool, Refusal> {
        let headers = request.headers();
        // A name that was made to point at this machine is still a foreign name.
        let host = one(headers, &HOST)?.unwrap_or_default();
        if !self.hosts.iter().any(|own| own == host) {
            return Err(foreign());
        }
        self.check_origin(request)?;
        let needs_token = request.uri().path().starts_with("/api/");
        if needs_token {
            self.check_token(headers)?;
        }
        match *request.method() {
            Method::GET => Ok(needs_token),
            Method::POST => check_json(headers).map(|()| needs_token),
            _ => Err(Refusal::new(
                StatusCode::METHOD_NOT_ALLOWED,
                "only GET and POST are known here",
                "reload the page",
            )),
        }
    }

    /// Every page of the world can send requests to this machine: only our own may.
    fn check_origin<B>(&self, request: &Request<B>) -> Result<(), Refusal> {
        const SITE: HeaderName = HeaderName::from_static("sec-fetch-site");
        let headers = request.headers();
        match one(headers, &ORIGIN)? {
            Some(origin) => {
                let host = origin.strip_prefix("http://").unwrap_or_default();
                // The one that was called, not the other of our two names.
                if one(headers, &HOST)? != Some(host) {
                    return Err(foreign());
                }
            }
            None if request.method() == Method::POST => return Err(foreign()),
            None => {}
        }
        match one(headers, &SITE)? {
            None | Some("same-origin" | "none") => Ok(()),
            // The private file that opens the page is another site to the browser; the page holds no secret.
            Some(_) if is_opening(request)? => Ok(()),
            Some(_) => Err(foreign()),
        }
    }

    fn check_token(&self, headers: &HeaderMap) -> Result<(), Refusal> {
        let given = one(headers, &AUTHORIZATION)?.and_then(|value| value.strip_prefix("Bearer "));
        if given.is_some_and(|given| self.token.is(given.as_bytes())) {
            return Ok(());
        }
        Err(Refusal::new(
            StatusCode::UNAUTHORIZED,
            "this page was not opened by the smallcast that runs now",
            "open the address that smallcast edit printed, or start it again",
        ))
    }
}

/// Whether someone opens the page itself as a page of its own, not as a part of another.
fn is_opening<B>(request: &Request<B>) -> Result<bool, Refusal> {
    const MODE: HeaderName = HeaderName::from_static("sec-fetch-mode");
    const DEST: HeaderName = HeaderName::from_static("sec-fetch-dest");
    let (mode, dest) = (one(request.headers(), &MODE)?, one(request.headers(), &DEST)?);
    let is_page = request.method() == Method::GET && request.uri().path() == "/";
    Ok(is_page && mode == Some("navigate") && dest == Some("document"))
}

/// A form or a picture of another page cannot send JSON.
fn check_json(headers: &HeaderMap) -> Result<(), Refusal> {
    let kind = one(headers, &CONTENT_TYPE)?.unwrap_or_default();
    let kind = kind.split(';').next().unwrap_or_default().trim();
    if kind.eq_ignore_ascii_case("application/json") {
        return Ok(());
    }
    Err(Refusal::new(StatusCode::UNSUPPORTED_MEDIA_TYPE, "only JSON is taken here", "reload the page"))
}

/// The one value of a header; a header that stands twice could mean either.
fn one<'a>(headers: &'a HeaderMap, name: &HeaderName) -> Result<Option<&'a str>, Refusal> {
    let mut values = headers.get_all(name).iter();
    match (values.next(), values.next()) {
        (None, _) => Ok(None),
        (Some(value), None) => value.to_str().map(Some).map_err(|_| foreign()),
        _ => Err(foreign()),
    }
}

fn foreign() -> Refusal {
    Refusal::new(
        StatusCode::FORBIDDEN,
        "this did not come from the page itself",
        "open the address that smallcast edit printed",
    )
}

/// Puts on an answer what every answer carries.
pub fn seal(headers: &mut HeaderMap) {
    const CORP: HeaderName = HeaderName::from_static("cross-origin-resource-policy");
    const COOP: HeaderName = HeaderName::from_static("cross-origin-opener-policy");
    let all = [
        (CONTENT_SECURITY_POLICY, POLICY),
        (X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (X_FRAME_OPTIONS, "DENY"),
        (REFERRER_POLICY, "no-referrer"),
        (CACHE_CONTROL, "no-store"),
        (CORP, "same-origin"),
        (COOP, "same-origin"),
    ];
    for (name, value) in all {
        headers.insert(name, HeaderValue::from_static(value));
    }
}
