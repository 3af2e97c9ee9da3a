//! The loop that listens: loopback only, every wait and every size bounded.

use std::collections::VecDeque;
use std::future::{Future, poll_fn};
use std::net::{Ipv4Addr, SocketAddr};
use std::pin::pin;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::task::Poll;
use std::time::Duration;

use http_body_util::{BodyExt, Full, Limited};
use hyper::body::{Body, Bytes, Incoming};
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper::{Request, Response, StatusCode};
use hyper_util::rt::{TokioIo, TokioTimer};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{Semaphore, watch};
use tokio::task::{AbortHandle, JoinSet};
use tokio::time::{sleep, timeout};

use super::Page;
use super::answer::{Answer, Refusal};
use super::guard::MOST_BODY;
use crate::error::{Error, Result};

/// A browser sends its headers at once; who has not after so long never will.
const HEADER_TIME: Duration = Duration::from_secs(5);

/// The longest body over loopback takes a fraction of a second.
const BODY_TIME: Duration = Duration::from_secs(5);

/// Connections end after this long and are made again: nobody holds one for ever.
const LIFE: Duration = Duration::from_secs(600);

/// What is under way when the page is stopped may end within this.
const GRACE: Duration = Duration::from_secs(3);

/// A browser asks for six at a time and a maker has a few tabs.
const MOST_ANSWERS: usize = 64;

/// Connections that have not shown the page's token: few enough for the files a program may have open (1024 on common
/// systems), and more than come while a browser says who it is.
const MOST_STRANGERS: usize = 256;

/// A browser opens a few before it needs them.
const FEW_SILENT: usize = 16;

/// Where more than those few say nothing, a connection on which nothing that may be asked was asked after this long is
/// dropped, once what is being sent to it has gone. Else [`HEADER_TIME`] holds for it.
const SILENT_TIME: Duration = Duration::from_millis(800);
const LAST_WORD: Duration = Duration::from_millis(200);

/// Bytes of headers: a browser's own take about 1 KiB. 8 KiB is the least the library takes.
const MOST_HEADER_BYTES: usize = 16 << 10;
const MOST_HEADERS: usize = 64;

/// A page that listens, before anybody was told of it.
pub struct Server {
    listener: std::net::TcpListener,
    /// The port it listens on.
    pub port: u16,
}

impl Server {
    /// Listens on this machine alone; on any free port where none is asked for.
    ///
    /// # Errors
    /// [`Error::BadValue`] if the port is taken.
    pub fn new(port: Option<u16>) -> Result<Self> {
        let refused = |e: std::io::Error| Error::BadValue {
            option: "--port",
            value: port.map_or_else(|| "(any)".into(), |port| port.to_string()),
            why: match e.kind() {
                std::io::ErrorKind::AddrInUse => "another program listens there".into(),
                std::io::ErrorKind::PermissionDenied => "the system keeps that port for itself".into(),
                kind => kind.to_string(),
            },
            right: "leave --port out, or give another number from 1024 to 65535".into(),
        };
        let address = SocketAddr::from((Ipv4Addr::LOCALHOST, port.unwrap_or(0)));
        let listener = std::net::TcpListener::bind(address).map_err(refused)?;
        listener.set_nonblocking(true).map_err(refused)?;
        let port = listener.local_addr().map_err(refused)?.port();
        Ok(Self { listener, port })
    }

    /// Serves a page until the maker stops the program (Ctrl-C, or the system's polite end); says then
    /// once more that it stands, by `ready`, as soon as it listens.
    ///
    /// # Errors
    /// [`Error::Unreadable`] if the system will not let it listen; what `ready` says: nobody is served then.
    pub fn serve(self, page: Page, ready: impl FnOnce() -> Result<()>) -> Result<()> {
        let refused =
            |e: std::io::Error| Error::Unreadable { file: "the network".into(), why: e.to_string() };
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .max_blocking_threads(MOST_ANSWERS)
            .build()
            .map_err(refused)?;
        let outcome = runtime.block_on(async {
            let listener = TcpListener::from_std(self.listener).map_err(refused)?;
            // Listened for before anybody is told, so that a stop right away is a stop.
            let stopped = stopped().map_err(refused)?;
            ready()?;
            accept(&listener, Arc::new(page), stopped).await;
            Ok(())
        });
        // A drawing that is still being read is nothing to wait for: no work is in it.
        runtime.shutdown_timeout(GRACE);
        outcome
    }
}

async fn accept(listener: &TcpListener, page: Arc<Page>, stopped: impl Future<Output = ()>) {
    let (stop, stopping) = watch::channel(());
    let mut stopped = pin!(stopped);
    let mut connections = JoinSet::new();
    let mut strangers = Strangers::default();
    let door = Arc::new(Door { page, free: Semaphore::new(MOST_ANSWERS), silent: AtomicUsize::new(0) });
    loop {
        let stream = match race(listener.accept(), stopped.as_mut()).await {
            First::One(Ok((stream, _))) => stream,
            First::One(Err(_)) => {
                /// Out of files, or the like: it passes, and must not take a whole processor.
                const BREATH: Duration = Duration::from_millis(50);
                sleep(BREATH).await;
                continue;
            }
            First::Other(()) => break,
        };
        let caller = Arc::new(Caller::new(&door));
        let handle = connections.spawn(connection(stream, Arc::clone(&caller), stopping.clone()));
        while connections.try_join_next().is_some() {}
        strangers.add(handle, caller);
    }
    drop(stop);
    let _ = timeout(GRACE, async { while connections.join_next().await.is_some() {} }).await;
}

/// What is answered from, by at most this many at once.
struct Door {
    page: Arc<Page>,
    free: Semaphore,
    /// Connections on which nothing was asked yet.
    silent: AtomicUsize,
}

/// Who called on a connection.
struct Caller {
    door: Arc<Door>,
    /// Whether something was asked that a browser of this machine may ask: the page's own files need no token.
    has_asked: AtomicBool,
    /// Whether the page's token was shown.
    is_known: AtomicBool,
}

impl Caller {
    fn new(door: &Arc<Door>) -> Self {
        door.silent.fetch_add(1, Ordering::Relaxed);
        let (has_asked, is_known) = (AtomicBool::new(false), AtomicBool::new(false));
        Self { door: Arc::clone(door), has_asked, is_known }
    }

    fn asks(&self, has_token: bool) {
        if !self.has_asked.swap(true, Ordering::Relaxed) {
            self.door.silent.fetch_sub(1, Ordering::Relaxed);
        }
        self.is_known.fetch_or(has_token, Ordering::Relaxed);
    }

    /// Whether it says nothing where many say nothing: a browser's own few may wait for their turn.
    fn is_of_a_crowd(&self) -> bool {
        !self.has_asked() && self.door.silent.load(Ordering::Relaxed) > FEW_SILENT
    }

    fn has_asked(&self) -> bool {
        self.has_asked.load(Ordering::Relaxed)
    }

    fn is_known(&self) -> bool {
        self.is_known.load(Ordering::Relaxed)
    }
}

impl Drop for Caller {
    fn drop(&mut self) {
        if !self.has_asked() {
            self.door.silent.fetch_sub(1, Ordering::Relaxed);
        }
    }
}

/// Connections without the token yet, the oldest first: when they are too many the oldest goes, of those that never asked
/// if there is one, so that they never keep out the page's own browser, which asks at once.
#[derive(Default)]
struct Strangers(VecDeque<(AbortHandle, Arc<Caller>)>);

impl Strangers {
    fn add(&mut self, handle: AbortHandle, caller: Arc<Caller>) {
        self.0.retain(|(handle, caller)| !handle.is_finished() && !caller.is_known());
        self.0.push_back((handle, caller));
        if self.0.len() > MOST_STRANGERS {
            let silent = self.0.iter().position(|(_, caller)| !caller.has_asked());
            if let Some((oldest, _)) = self.0.remove(silent.unwrap_or(0)) {
                oldest.abort();
            }
        }
    }
}

async fn connection(stream: TcpStream, caller: Arc<Caller>, mut stopping: watch::Receiver<()>) {
    // Small answers go out at once.
    let _ = stream.set_nodelay(true);
    let service = {
        let caller = Arc::clone(&caller);
        service_fn(move |request| answer(Arc::clone(&caller), request))
    };
    let connection = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEADER_TIME)
        .max_headers(MOST_HEADERS)
        .max_buf_size(MOST_HEADER_BYTES)
        .serve_connection(TokioIo::new(stream), service);
    let mut connection = pin!(connection);
    let end = async {
        // Who asked may ask on: a browser loads the page's files one after another.
        let life = async {
            sleep(SILENT_TIME).await;
            if !caller.is_of_a_crowd() {
                sleep(LIFE).await;
            }
        };
        race(stopping.changed(), life).await;
    };
    if let First::Other(()) = race(connection.as_mut(), end).await {
        connection.as_mut().graceful_shutdown();
        let grace = if caller.has_asked() { GRACE } else { LAST_WORD };
        let _ = timeout(grace, connection).await;
    }
}

async fn answer(
    caller: Arc<Caller>,
    request: Request<Incoming>,
) -> std::result::Result<Response<Full<Bytes>>, std::convert::Infallible> {
    let Door { page, free, .. } = &*caller.door;
    // Turned away before a byte of the body is read.
    let told = page.guard().check(&request);
    if let Ok(has_token) = told {
        caller.asks(has_token);
    }
    // Never closed: whoever is let in waits for a place.
    let _place = if told.is_ok() { free.acquire().await.ok() } else { None };
    let (parts, body) = request.into_parts();
    let answer = match told {
        Err(refusal) => closing(refusal),
        // Nothing that a body says is done without the token: it is not waited for.
        Ok(false) => on_its_own(Arc::clone(page), Request::from_parts(parts, Bytes::new())).await,
        // What says itself that it is too large is not waited for.
        Ok(_) if body.size_hint().lower() > MOST_BODY as u64 => closing(too_large()),
        Ok(_) => match timeout(BODY_TIME, Limited::new(body, MOST_BODY).collect()).await {
            Err(_) => closing(Refusal::new(
                StatusCode::REQUEST_TIMEOUT,
                "what was sent came too slowly",
                "try again",
            )),
            Ok(Err(_)) => closing(too_large()),
            Ok(Ok(body)) => on_its_own(Arc::clone(page), Request::from_parts(parts, body.to_bytes())).await,
        },
    };
    Ok(answer.map(Full::new))
}

/// Files and drawings are worked on away from the loop that listens.
async fn on_its_own(page: Arc<Page>, request: Request<Bytes>) -> Answer {
    let work = tokio::task::spawn_blocking(move || page.answer(&request));
    work.await.unwrap_or_else(|_| {
        Refusal::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            "an internal error occurred",
            "every confirmed change is saved: reload the page",
        )
        .into()
    })
}

fn too_large() -> Refusal {
    Refusal::new(
        StatusCode::PAYLOAD_TOO_LARGE,
        "what was sent is too large, or was cut off",
        "change less at a time",
    )
}

/// A refusal after which nothing more is read from whoever it was.
fn closing(refusal: Refusal) -> Answer {
    let mut answer = Answer::from(refusal);
    let close = hyper::header::HeaderValue::from_static("close");
    answer.headers_mut().insert(hyper::header::CONNECTION, close);
    answer
}

/// Which of two came first.
enum First<A, B> {
    One(A),
    Other(B),
}

/// Waits for the first of two; the other is not polled again.
async fn race<A, B>(one: impl Future<Output = A>, other: impl Future<Output = B>) -> First<A, B> {
    let (mut one, mut other) = (pin!(one), pin!(other));
    poll_fn(|context| match one.as_mut().poll(context) {
        Poll::Ready(one) => Poll::Ready(First::One(one)),
        Poll::Pending => other.as_mut().poll(context).map(First::Other),
    })
    .await
}

/// Waits until the maker stops the program, or the system does.
#[cfg(unix)]
fn stopped() -> std::io::Result<impl Future<Output = ()>> {
    use tokio::signal::unix::{SignalKind, signal};
    // Ctrl-C, kill, and the terminal's window closed.
    let mut signals =
        [signal(SignalKind::interrupt())?, signal(SignalKind::terminate())?, signal(SignalKind::hangup())?];
    Ok(poll_fn(move |context| {
        let came = signals.iter_mut().any(|signal| signal.poll_recv(context).is_ready());
        if came { Poll::Ready(()) } else { Poll::Pending }
    }))
}

/// Waits until the maker stops the program.
#[cfg(not(unix))]
fn stopped() -> std::io::Result<impl Future<Output = ()>> {
    Ok(async { drop(tokio::signal::ctrl_c().await) })
}
