//! The program itself on a real socket: who sends slowly or too much, what a kill leaves, where the secret is.

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use crate::visitor::ANNA;

/// Far beyond the five seconds that headers and bodies have; a test machine may be slow.
const PATIENCE: Duration = Duration::from_secs(60);

struct Served {
    child: Child,
    folder: tempfile::TempDir,
    port: u16,
    token: String,
}

impl Served {
    fn start() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("anna.figure.toml");
        fs::write(&file, ANNA).unwrap();
        let mut child = Command::new(env!("CARGO_BIN_EXE_smallcast"))
            .args(["edit", "--no-browser"])
            .arg(&file)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.take().unwrap()).read_line(&mut line).unwrap();
        let (address, token) = line.trim().split_once("/#").expect("an address with a token");
        let port = address.rsplit_once(':').unwrap().1.parse().unwrap();
        Self { child, folder, port, token: token.to_owned() }
    }

    fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        stream.set_read_timeout(Some(PATIENCE)).unwrap();
        stream
    }

    fn send(&self, request: &str) -> String {
        let mut stream = self.connect();
        stream.write_all(request.as_bytes()).unwrap();
        ended(&mut stream)
    }

    fn get(&self, path: &str) -> String {
        let (port, token) = (self.port, &self.token);
        self.send(&format!(
            "GET {path} HTTP/1.1\r\nhost: 127.0.0.1:{port}\r\nauthorization: Bearer {token}\r\nconnection: close\r\n\r\n"
        ))
    }

    fn post(&self, path: &str, body: &str) -> String {
        let (port, token, length) = (self.port, &self.token, body.len());
        self.send(&format!(
            "POST {path} HTTP/1.1\r\nhost: 127.0.0.1:{port}\r\norigin: http://127.0.0.1:{port}\r\nauthorization: \
             Bearer {token}\r\ncontent-type: application/json\r\ncontent-length: {length}\r\nconnection: close\r\n\r\n{body}"
        ))
    }

    fn version(&self) -> String {
        let told = self.get("/api/version?file=anna.figure.toml");
        let body: serde_json::Value = serde_json::from_str(told.split_once("\r\n\r\n").unwrap().1).unwrap();
        body["version"].as_str().unwrap().to_owned()
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// What comes until the other side ends the connection; fails where it never does.
fn ended(stream: &mut TcpStream) -> String {
    let mut bytes = Vec::new();
    let start = Instant::now();
    match stream.read_to_end(&mut bytes) {
        Ok(_) => {}
        Err(error) if error.kind() == std::io::ErrorKind::ConnectionReset => {}
        Err(error) => panic!("not ended after {:?}: {error}", start.elapsed()),
    }
    String::from_utf8_lossy(&bytes).into_owned()
}

#[test]
fn who_sends_nothing_or_half_is_let_go_and_others_are_served_meanwhile() {
    let served = Served::start();
    let mut silent = served.connect();
    let mut half = served.connect();
    half.write_all(b"GET / HTTP/1.1\r\nhost: 127.0").unwrap();
    let mut slow = served.connect();
    let head = format!(
        "POST /api/edit HTTP/1.1\r\nhost: 127.0.0.1:{0}\r\norigin: http://127.0.0.1:{0}\r\nauthorization: Bearer \
         {1}\r\ncontent-type: application/json\r\ncontent-length: 500\r\n\r\n{{",
        served.port, served.token
    );
    slow.write_all(head.as_bytes()).unwrap();
    assert!(served.get("/").starts_with("HTTP/1.1 200"));
    ended(&mut half);
    ended(&mut silent);
    assert!(!ended(&mut slow).starts_with("HTTP/1.1 200"));
    assert_eq!(fs::read_to_string(served.folder.path().join("anna.figure.toml")).unwrap(), ANNA);
}

#[test]
fn too_much_is_refused() {
    let served = Served::start();
    let told = served.post("/api/edit", &format!("{{\"do\":\"{}\"}}", "x".repeat(3 << 20)));
    assert!(told.is_empty() || told.starts_with("HTTP/1.1 413"), "{told}");
    let headers = format!("x: {}\r\n", "y".repeat(64 << 10));
    let told = served.send(&format!("GET / HTTP/1.1\r\nhost: 127.0.0.1:{}\r\n{headers}\r\n", served.port));
    assert!(told.is_empty() || told.starts_with("HTTP/1.1 4"), "{told}");
    assert!(served.get("/").starts_with("HTTP/1.1 200"), "others are served after it");
}

#[test]
fn a_kill_right_after_a_change_loses_nothing() {
    let mut served = Served::start();
    let version = served.version();
    let body =
        format!("{{\"file\":\"anna.figure.toml\",\"version\":\"{version}\",\"do\":\"place 1,1 moss\"}}");
    let told = served.post("/api/edit", &body);
    served.child.kill().unwrap();
    assert!(told.starts_with("HTTP/1.1 200"), "{told}");
    let file = served.folder.path().join("anna.figure.toml");
    let mut bench = smallcast::figure::Workbench::open(&file).unwrap();
    assert!(fs::read_to_string(&file).unwrap().contains("moss"));
    assert_eq!(bench.undo(1).unwrap(), ["place 1,1 moss"]);
    assert_eq!(fs::read_to_string(&file).unwrap(), ANNA);
}

#[test]
#[cfg(target_os = "linux")]
fn the_secret_is_in_nobody_s_arguments_and_new_each_time() {
    let (one, two) = (Served::start(), Served::start());
    assert_ne!(one.token, two.token);
    // 128 bits take 22 characters of base 64, 32 of base 16.
    assert!(one.token.len() >= 22, "{}", one.token);
    let arguments = fs::read(format!("/proc/{}/cmdline", one.child.id())).unwrap();
    let surroundings = fs::read(format!("/proc/{}/environ", one.child.id())).unwrap();
    for told in [arguments, surroundings] {
        assert!(!String::from_utf8_lossy(&told).contains(&one.token));
    }
}
