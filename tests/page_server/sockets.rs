//! The running program: silent and slow senders, killing and stopping, and where the secret is.

use std::io::{BufRead, BufReader, ErrorKind, Read, Write};
use std::net::{Ipv4Addr, TcpStream};
use std::os::unix::fs::PermissionsExt;
use std::os::unix::process::ExitStatusExt;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use serde_json::{Value, json};

use crate::visitor::{ANNA, until};

/// Far more than any bound of the server: who is not cut off by then is never cut off.
const LONG: Duration = Duration::from_secs(60);

const FILE: &str = "anna.figure.toml";

/// The program serving a folder with Anna.
struct Running {
    child: Child,
    port: u16,
    token: String,
    folder: tempfile::TempDir,
}

impl Running {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join(FILE), ANNA).unwrap();
        Self::on(folder)
    }

    fn on(folder: tempfile::TempDir) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_smallcast"))
            .args(["edit", FILE, "--no-browser"])
            .current_dir(folder.path())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.take().unwrap()).read_line(&mut line).unwrap();
        let (address, token) = line.trim().split_once("/#").expect("the address with its token");
        let port = address.strip_prefix("http://127.0.0.1:").unwrap().parse().unwrap();
        Self { child, port, token: token.into(), folder }
    }

    fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect((Ipv4Addr::LOCALHOST, self.port)).unwrap();
        stream.set_read_timeout(Some(LONG)).unwrap();
        stream
    }

    fn head(&self, method: &str, path: &str, more: &str) -> String {
        let host = format!("127.0.0.1:{}", self.port);
        format!(
            "{method} {path} HTTP/1.1\r\nhost: {host}\r\norigin: http://{host}\r\nauthorization: Bearer {}\r\n\
             content-type: application/json\r\n{more}\r\n",
            self.token
        )
    }

    /// The status and the body of an answer on a connection of its own.
    fn ask(&self, method: &str, path: &str, body: &str) -> (u16, String) {
        let mut stream = self.connect();
        let more = format!("connection: close\r\ncontent-length: {}\r\n", body.len());
        stream.write_all((self.head(method, path, &more) + body).as_bytes()).unwrap();
        let answer = rest_of(&mut stream);
        let (head, body) = answer.split_once("\r\n\r\n").expect("an answer");
        (status_of(head), body.into())
    }

    fn table(&self) -> Value {
        let (status, body) = self.ask("GET", &format!("/api/figure?file={FILE}"), "");
        assert_eq!(status, 200, "{body}");
        serde_json::from_str(&body).unwrap()
    }

    fn is_well(&self) {
        assert_eq!(self.ask("GET", "/api/start", "").0, 200);
    }

    fn end(mut self, signal: &str) -> (std::process::ExitStatus, String, tempfile::TempDir) {
        send(signal, &self.child);
        let status = self.child.wait().unwrap();
        let mut said = String::new();
        self.child.stderr.take().unwrap().read_to_string(&mut said).unwrap();
        (status, said, std::mem::replace(&mut self.folder, tempfile::tempdir().unwrap()))
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn send(signal: &str, child: &Child) {
    let sent = Command::new("kill").arg(format!("-{signal}")).arg(child.id().to_string()).status().unwrap();
    assert!(sent.success());
}

/// Everything until the server hangs up; panics if it never does.
fn rest_of(stream: &mut TcpStream) -> String {
    let mut bytes = Vec::new();
    match stream.read_to_end(&mut bytes) {
        Ok(_) => {}
        // Hung up on with bytes unread.
        Err(e) if e.kind() == ErrorKind::ConnectionReset => {}
        Err(e) => panic!("the server never hung up: {e}"),
    }
    String::from_utf8_lossy(&bytes).into_owned()
}

fn status_of(answer: &str) -> u16 {
    answer.split(' ').nth(1).and_then(|status| status.parse().ok()).unwrap_or(0)
}

#[test]
fn silent_and_half_heads_are_hung_up_on_while_others_are_served() {
    let running = Running::new();
    let mut silent = running.connect();
    let mut half = running.connect();
    half.write_all(b"GET / HTTP/1.1\r\nhost: 127").unwrap();
    // Its first answer over, it says nothing more.
    let mut idle = running.connect();
    idle.write_all(running.head("GET", "/", "").as_bytes()).unwrap();
    running.is_well();
    assert_eq!(rest_of(&mut silent), "");
    let half = rest_of(&mut half);
    assert!(half.is_empty() || status_of(&half) == 408, "{half}");
    assert_eq!(status_of(&rest_of(&mut idle)), 200);
    running.is_well();
}

#[test]
fn a_body_that_comes_too_slowly_is_given_up() {
    let running = Running::new();
    let mut slow = running.connect();
    slow.write_all(running.head("POST", "/api/edit", "content-length: 100\r\n").as_bytes()).unwrap();
    slow.write_all(b"{").unwrap();
    running.is_well();
    assert_eq!(status_of(&rest_of(&mut slow)), 408);
}

#[test]
fn sizes_are_bounded() {
    let running = Running::new();
    let told = |head: String, body: &[u8]| {
        let mut stream = running.connect();
        // The server may hang up before all is sent.
        let _ = stream.write_all(head.as_bytes()).and_then(|()| stream.write_all(body));
        status_of(&rest_of(&mut stream))
    };
    let two_mebibytes = 2 << 20;
    let head = running.head("POST", "/api/edit", &format!("content-length: {two_mebibytes}\r\n"));
    // Nothing of it needs to be sent to be refused.
    assert_eq!(told(head, b""), 413);
    let chunk = [b"10000\r\n".to_vec(), vec![b' '; 0x10000], b"\r\n".to_vec()].concat();
    let endless = running.head("POST", "/api/edit", "transfer-encoding: chunked\r\n");
    assert!(matches!(told(endless, &chunk.repeat(40)), 413 | 0));
    for more in [format!("x-long: {}\r\n", "x".repeat(64 << 10)), "x-many: x\r\n".repeat(200)] {
        let status = told(running.head("GET", "/", &more), b"");
        assert!(matches!(status, 400 | 431 | 0), "{status}");
    }
    let status = told(format!("GET /{} HTTP/1.1\r\n\r\n", "x".repeat(64 << 10)), b"");
    assert!(matches!(status, 400 | 403 | 414 | 431 | 0), "{status}");
    assert!(matches!(told("\0\u{1}\u{2} no request\r\n\r\n".into(), b""), 400 | 0));
    running.is_well();
}

#[test]
fn a_crowd_of_silent_connections_cannot_keep_the_maker_out() {
    let running = Running::new();
    let crowd: Vec<TcpStream> = (0..300).map(|_| running.connect()).collect();
    running.is_well();
    drop(crowd);
}

/// Where few are silent they have their time, as a browser needs it; where many are, they are gone long before. Told by
/// which comes first, so that a busy machine changes nothing: a second beside five.
#[test]
fn a_silent_crowd_is_hung_up_on_before_a_single_caller() {
    let (quiet, crowded) = (Running::new(), Running::new());
    let alone = quiet.connect();
    let mut crowd: Vec<TcpStream> = (0..40).map(|_| crowded.connect()).collect();
    for stream in &mut crowd {
        assert_eq!(rest_of(stream), "");
    }
    alone.set_nonblocking(true).unwrap();
    let heard = (&alone).read(&mut [0]);
    assert!(matches!(&heard, Err(e) if e.kind() == ErrorKind::WouldBlock), "{heard:?}");
    crowded.is_well();
}

#[test]
fn foreign_requests_are_refused_over_the_wire_too() {
    let running = Running::new();
    let told = |request: String| {
        let mut stream = running.connect();
        stream.write_all(request.as_bytes()).unwrap();
        status_of(&rest_of(&mut stream))
    };
    let own = running.head("POST", "/api/undo", "connection: close\r\ncontent-length: 2\r\n") + "{}";
    assert_eq!(told(own.clone()), 400);
    assert_eq!(told(own.replace("host: 127.0.0.1", "host: evil.example")), 403);
    assert_eq!(told(own.replace("origin: http://127.0.0.1", "origin: http://evil.example")), 403);
    assert_eq!(told(own.replace(&running.token, &"0".repeat(64))), 401);
    assert_eq!(told(own.replace("application/json", "text/plain")), 415);
    assert_eq!(told(own.replace("origin:", "sec-fetch-site: cross-site\r\norigin:")), 403);
}

/// 127.0.0.2 is this machine as well, but not the address that was listened on.
#[cfg(target_os = "linux")]
#[test]
fn it_listens_on_one_address_of_this_machine_alone() {
    let running = Running::new();
    assert!(TcpStream::connect((Ipv4Addr::new(127, 0, 0, 2), running.port)).is_err());
}

#[cfg(target_os = "linux")]
#[test]
fn the_secret_is_in_no_argument_and_in_no_environment() {
    let running = Running::new();
    for what in ["cmdline", "environ"] {
        let bytes = std::fs::read(format!("/proc/{}/{what}", running.child.id())).unwrap();
        assert!(!bytes.is_empty());
        assert!(!String::from_utf8_lossy(&bytes).contains(&running.token), "{what}");
    }
}

/// What was answered is on disk whatever happens then, and can be undone by the next start.
#[test]
fn killing_the_program_loses_no_confirmed_change() {
    let mut running = Running::new();
    for (at, line) in ["place 1,1 bone", "name After", "swap coal fawn"].into_iter().enumerate() {
        let version = running.table()["version"].clone();
        let body = json!({"file": FILE, "version": version, "do": line}).to_string();
        let (status, told) = running.ask("POST", "/api/edit", &body);
        assert_eq!(status, 200, "{told}");
        let (status, _, folder) = running.end("KILL");
        assert_eq!(status.signal(), Some(9));
        running = Running::on(folder);
        let table = running.table();
        assert_eq!(table["undo"], line);
        assert_eq!(table["history"].as_array().unwrap().len(), at + 1);
    }
    let table = running.table();
    assert_eq!((&table["name"], &table["beads"][0][0]["h"]), (&json!("After"), &json!(true)));
}

#[test]
fn stopping_it_is_quick_and_says_where_the_work_is() {
    for signal in ["INT", "TERM", "HUP"] {
        let running = Running::new();
        // Connections that are open, at work or silent, hold nothing up for long.
        let _silent = running.connect();
        running.is_well();
        let (status, said, folder) = running.end(signal);
        assert_eq!(status.code(), Some(0), "{signal}: {said}");
        let folder = folder.path().canonicalize().unwrap();
        assert!(said.contains(&*folder.to_string_lossy()) && said.contains("saved"), "{said}");
    }
}

#[test]
fn a_port_that_is_taken_and_a_name_that_is_nothing_are_said_plainly() {
    let running = Running::new();
    let said = |arguments: &[&str]| {
        let output = Command::new(env!("CARGO_BIN_EXE_smallcast"))
            .arg("edit")
            .args(arguments)
            .current_dir(running.folder.path())
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(2));
        assert!(output.stdout.is_empty());
        String::from_utf8(output.stderr).unwrap()
    };
    let taken = said(&[FILE, "--no-browser", "--port", &running.port.to_string()]);
    assert!(taken.contains("another program listens there") && taken.contains("try:"), "{taken}");
    assert!(said(&["nothing.figure.toml", "--no-browser"]).contains("cannot read nothing.figure.toml"));
    std::fs::create_dir(running.folder.path().join("empty")).unwrap();
    assert!(said(&["empty", "--no-browser"]).contains("neither figure nor picture is in it"));
    std::fs::write(running.folder.path().join("words.png"), "no picture").unwrap();
    assert!(said(&["words.png", "--no-browser"]).contains("is not a picture"));
}

/// A stand-in for the system's opener that notes what it was given.
const NOTES: &str = "#!/bin/sh\nprintf '%s' \"$*\" > \"$NOTED.part\" && mv \"$NOTED.part\" \"$NOTED\"\n";

fn with_opener(folder: &Path, script: &str) -> PathBuf {
    let tools = folder.join("tools");
    std::fs::create_dir(&tools).unwrap();
    let name = if cfg!(target_os = "macos") { "open" } else { "xdg-open" };
    std::fs::write(tools.join(name), script).unwrap();
    std::fs::set_permissions(tools.join(name), std::fs::Permissions::from_mode(0o755)).unwrap();
    tools
}

#[test]
fn the_browser_is_opened_on_a_private_file_that_goes_with_the_program() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join(FILE), ANNA).unwrap();
    let (tools, noted) = (with_opener(folder.path(), NOTES), folder.path().join("noted"));
    let path = format!("{}:{}", tools.display(), std::env::var("PATH").unwrap());
    let child = Command::new(env!("CARGO_BIN_EXE_smallcast"))
        .args(["edit", FILE])
        .current_dir(folder.path())
        .env("PATH", path)
        .env("NOTED", &noted)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let opened = PathBuf::from(until(|| std::fs::read_to_string(&noted).ok()));
    let mode = |path: &Path| std::fs::metadata(path).unwrap().permissions().mode() & 0o777;
    assert_eq!((mode(&opened), mode(opened.parent().unwrap())), (0o600, 0o700));
    let text = std::fs::read_to_string(&opened).unwrap();
    let address = text.split("url=").nth(1).unwrap().split('"').next().unwrap();
    let (address, token) = address.split_once("/#").unwrap();
    assert!(address.starts_with("http://127.0.0.1:") && token.len() == 64);
    assert!(!opened.to_string_lossy().contains(token));
    send("TERM", &child);
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0));
    assert!(!opened.exists() && !opened.parent().unwrap().exists());
    // Into a pipe the secret is written only where it was asked for.
    assert!(output.stdout.is_empty(), "{}", String::from_utf8_lossy(&output.stdout));
    assert!(!String::from_utf8_lossy(&output.stderr).contains(token));
}

#[test]
fn where_nobody_could_come_to_the_page_it_ends_and_says_why() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join(FILE), ANNA).unwrap();
    // As on a machine without a browser, and on one without an opener.
    let finds_none = with_opener(folder.path(), "#!/bin/sh\nexit 3\n");
    for path in [finds_none, folder.path().join("no-tools")] {
        let output = Command::new(env!("CARGO_BIN_EXE_smallcast"))
            .args(["edit", FILE])
            .current_dir(folder.path())
            .env("PATH", path)
            .output()
            .unwrap();
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{said}");
        assert!(
            said.contains("no browser could be opened") && said.contains("try: add --no-browser"),
            "{said}"
        );
        assert!(output.stdout.is_empty() && !said.contains("http"), "{said}");
    }
}
