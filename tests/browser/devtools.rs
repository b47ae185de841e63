//! A headless Chromium with a fresh profile, driven over its DevTools protocol: just enough of it to open a
//! page from disk, to see what goes wrong on it, and to print it.

use serde_json::{Value, json};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use tungstenite::{Message, WebSocket};

/// How long the browser may take for anything before the test fails.
const PATIENCE: Duration = Duration::from_secs(30);

/// What went over the page's wires and its console.
#[derive(Debug, Default)]
pub struct Seen {
    /// Errors and warnings on the console, uncaught exceptions, refusals by the page's policy.
    pub complaints: Vec<String>,
    /// Requests that failed, each with its reason.
    pub failures: Vec<String>,
    /// Every address that was asked for.
    pub requests: Vec<String>,
}

/// A running browser with one page.
pub struct Browser {
    process: Child,
    socket: WebSocket<TcpStream>,
    session: String,
    sent: u64,
    seen: Seen,
    _profile: tempfile::TempDir,
}

impl Browser {
    /// Starts the browser; fails with what to install where there is none.
    pub fn start() -> Browser {
        let profile = tempfile::Builder::new().prefix("benchleaf-browser-").tempdir().expect("a profile");
        let mut process = Command::new(binary())
            .args([
                "--headless",
                "--no-sandbox",
                "--disable-gpu",
                "--disable-quic",
                "--disable-dev-shm-usage",
                "--no-first-run",
                "--disable-background-networking",
                "--disable-component-update",
                "--disable-sync",
                "--remote-debugging-port=0",
            ])
            .arg(format!("--user-data-dir={}", profile.path().display()))
            .arg("about:blank")
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("Chromium starts");
        let address = address(&mut process, profile.path());
        let port = address.split(['/', ':']).nth(4).expect("a port").to_owned();
        let stream = TcpStream::connect(format!("127.0.0.1:{port}")).expect("Chromium listens");
        stream.set_read_timeout(Some(PATIENCE)).expect("a time limit");
        let (socket, _) = tungstenite::client(address, stream).expect("Chromium speaks");
        let mut browser = Browser {
            process,
            socket,
            session: String::new(),
            sent: 0,
            seen: Seen::default(),
            _profile: profile,
        };
        browser.attach();
        browser
    }

    /// Opens a page from disk, waits until it has settled and returns what was seen meanwhile.
    pub fn open(&mut self, page: &Path) -> Seen {
        self.open_address(&address_of(page))
    }

    /// As [`Browser::open`], by address.
    pub fn open_address(&mut self, address: &str) -> Seen {
        self.seen = Seen::default();
        let answer = self.call("Page.navigate", json!({"url": address}));
        if let Some(reason) = answer["errorText"].as_str() {
            self.seen.failures.push(format!("{address}: {reason}"));
        }
        self.settle();
        std::mem::take(&mut self.seen)
    }

    /// Waits until the page stands on a file, is complete, and has run what it runs at the end of loading.
    /// The first document of a tab is about:blank, which is complete as well, hence the protocol.
    pub fn settle(&mut self) {
        let start = Instant::now();
        let stands = Some(json!("file:complete"));
        while self.ask("location.protocol + document.readyState") != stands {
            assert!(start.elapsed() < PATIENCE, "the page did not settle");
            std::thread::sleep(Duration::from_millis(10));
        }
        // What scripts do at the end of loading comes a moment later; with scripts off there are no timers on
        // the page to wait for, so the wait is here, and the call after it takes in what was reported.
        std::thread::sleep(Duration::from_millis(30));
        self.evaluate("0");
    }

    /// What was seen since the last page was opened.
    pub fn seen(&mut self) -> Seen {
        std::mem::take(&mut self.seen)
    }

    /// The value of an expression on the page.
    pub fn evaluate(&mut self, expression: &str) -> Value {
        let call = json!({"expression": expression, "returnByValue": true});
        let mut answer = self.call("Runtime.evaluate", call);
        if let Some(wrong) = answer.get("exceptionDetails") {
            panic!("`{expression}` failed on the page: {wrong}");
        }
        answer["result"]["value"].take()
    }

    /// As [`Browser::evaluate`], or none where the page was exchanged for another before it answered: a question
    /// asked while a navigation is under way.
    pub fn ask(&mut self, expression: &str) -> Option<Value> {
        let call = json!({"expression": expression, "returnByValue": true});
        match self.answer("Runtime.evaluate", call) {
            Ok(mut answer) => Some(answer["result"]["value"].take()),
            Err(wrong) if wrong["message"] == "Inspected target navigated or closed" => None,
            Err(wrong) => panic!("`{expression}`: {wrong}"),
        }
    }

    /// Sets the size of the window in CSS pixels.
    pub fn resize(&mut self, width: u32, height: u32) {
        let size = json!({"width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 600});
        self.call("Emulation.setDeviceMetricsOverride", size);
    }

    /// Turns the page's own scripts off or on, from the next page on.
    pub fn scripts(&mut self, on: bool) {
        self.call("Emulation.setScriptExecutionDisabled", json!({"value": !on}));
    }

    /// The page on paper.
    pub fn print(&mut self) -> Vec<u8> {
        let how = json!({"preferCSSPageSize": true, "printBackground": false});
        let answer = self.call("Page.printToPDF", how);
        base64(answer["data"].as_str().expect("a document"))
    }

    fn attach(&mut self) {
        let made = self.call("Target.createTarget", json!({"url": "about:blank"}));
        let target = json!({"targetId": made["targetId"], "flatten": true});
        let attached = self.call("Target.attachToTarget", target);
        self.session = attached["sessionId"].as_str().expect("a session").to_owned();
        for domain in ["Page", "Runtime", "Log", "Network"] {
            self.call(&format!("{domain}.enable"), json!({}));
        }
    }

    /// Calls a method that must succeed.
    fn call(&mut self, method: &str, parameters: Value) -> Value {
        self.answer(method, parameters).unwrap_or_else(|error| panic!("{method}: {error}"))
    }

    /// Calls a method and waits for its answer, or its error; what else arrives is noted.
    fn answer(&mut self, method: &str, parameters: Value) -> Result<Value, Value> {
        self.sent += 1;
        let id = self.sent;
        let mut message = json!({"id": id, "method": method, "params": parameters});
        if !self.session.is_empty() {
            message["sessionId"] = json!(self.session);
        }
        self.socket.send(Message::text(message.to_string())).expect("Chromium listens");
        loop {
            let message = self.socket.read().unwrap_or_else(|error| panic!("{method}: no answer: {error}"));
            let Message::Text(text) = message else { continue };
            let mut message: Value = serde_json::from_str(&text).expect("an answer in JSON");
            if message["id"] == json!(id) {
                return match message.get_mut("error") {
                    Some(error) => Err(error.take()),
                    None => Ok(message["result"].take()),
                };
            }
            self.note(&message);
        }
    }

    fn note(&mut self, event: &Value) {
        let of = &event["params"];
        match event["method"].as_str().unwrap_or_default() {
            "Runtime.consoleAPICalled"
                if matches!(of["type"].as_str(), Some("error" | "warning" | "assert")) =>
            {
                self.seen.complaints.push(of["args"].to_string());
            }
            "Runtime.exceptionThrown" => {
                let details = &of["exceptionDetails"];
                self.seen
                    .complaints
                    .push(format!("{}: {}", details["text"], details["exception"]["description"]));
            }
            "Log.entryAdded" if matches!(of["entry"]["level"].as_str(), Some("error" | "warning")) => {
                self.seen.complaints.push(format!("{} ({})", of["entry"]["text"], of["entry"]["url"]));
            }
            "Network.requestWillBeSent" => {
                self.seen.requests.push(of["request"]["url"].as_str().unwrap_or_default().to_owned());
            }
            "Network.loadingFailed" => {
                self.seen.failures.push(format!("{}: {}", of["type"], of["errorText"]));
            }
            _ => {}
        }
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        self.session.clear();
        let farewell = json!({"id": self.sent + 1, "method": "Browser.close"});
        let _ = self.socket.send(Message::text(farewell.to_string()));
        let start = Instant::now();
        while start.elapsed() < Duration::from_secs(3) {
            if matches!(self.process.try_wait(), Ok(Some(_))) {
                return;
            }
            std::thread::sleep(Duration::from_millis(20));
        }
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

/// The address of a file.
pub fn address_of(page: &Path) -> String {
    format!("file://{}", page.display())
}

fn binary() -> PathBuf {
    if let Some(path) = std::env::var_os("BENCHLEAF_CHROMIUM") {
        return path.into();
    }
    let folders = std::env::var_os("PATH").unwrap_or_default();
    std::env::split_paths(&folders)
        .flat_map(|folder| ["chromium", "chromium-browser"].map(|name| folder.join(name)))
        .find(|path| path.is_file())
        .expect("the browser tests need Chromium: run `./test`, which installs it, or set BENCHLEAF_CHROMIUM")
}

/// Waits until the browser has written where it listens.
fn address(process: &mut Child, profile: &Path) -> String {
    let start = Instant::now();
    loop {
        let file = std::fs::read_to_string(profile.join("DevToolsActivePort")).unwrap_or_default();
        let mut lines = file.lines();
        if let (Some(port), Some(path)) = (lines.next(), lines.next()) {
            return format!("ws://127.0.0.1:{port}{path}");
        }
        if let Ok(Some(status)) = process.try_wait() {
            panic!("Chromium ended at its start: {status}");
        }
        assert!(start.elapsed() < PATIENCE, "Chromium did not say where it listens");
        std::thread::sleep(Duration::from_millis(20));
    }
}

/// The bytes of a base64 text.
fn base64(text: &str) -> Vec<u8> {
    let mut out = Vec::with_capacity(text.len() / 4 * 3);
    let (mut held, mut bits) = (0u32, 0);
    for byte in text.bytes() {
        let value = match byte {
            b'A'..=b'Z' => byte - b'A',
            b'a'..=b'z' => byte - b'a' + 26,
            b'0'..=b'9' => byte - b'0' + 52,
            b'+' => 62,
            b'/' => 63,
            _ => continue,
        };
        held = held << 6 | u32::from(value);
        bits += 6;
        if bits >= 8 {
            bits -= 8;
            out.push(u8::try_from(held >> bits & 0xFF).expect("eight bits"));
        }
    }
    out
}

#[test]
fn base64_is_read() {
    assert_eq!(base64("JVBERi0xLjQ="), b"%PDF-1.4");
    assert_eq!(base64("AP+/"), [0, 255, 191]);
}
