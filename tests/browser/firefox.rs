//! The demo in a second engine: Firefox draws each kind of page from disk, at its width, and not as an empty sheet.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// Width of the window, CSS pixels.
const WIDTH: u32 = 500;

/// Settings that keep it from asking the network for anything of its own.
const QUIET: &str = "user_pref(\"app.normandy.enabled\", false);\n\
     user_pref(\"browser.shell.checkDefaultBrowser\", false);\n\
     user_pref(\"datareporting.policy.dataSubmissionEnabled\", false);\n\
     user_pref(\"extensions.systemAddon.update.enabled\", false);\n\
     user_pref(\"network.captive-portal-service.enabled\", false);\n\
     user_pref(\"network.connectivity-service.enabled\", false);\n";

/// The program: `BENCHLEAF_FIREFOX`, else what the system's package manager installs.
fn program() -> PathBuf {
    if let Some(named) = std::env::var_os("BENCHLEAF_FIREFOX") {
        return named.into();
    }
    let path = std::env::var_os("PATH").unwrap_or_default();
    let folders: Vec<PathBuf> = std::env::split_paths(&path).collect();
    let found = ["firefox-esr", "firefox"]
        .iter()
        .flat_map(|name| folders.iter().map(move |folder| folder.join(name)))
        .find(|file| file.is_file());
    found.expect("Firefox is not installed: `./test` installs it, or set BENCHLEAF_FIREFOX")
}

/// A picture of a page as Firefox draws it.
pub struct Picture {
    /// Across and down, pixels.
    pub size: (u32, u32),
    /// Bytes of its file: an empty sheet compresses to next to nothing.
    pub bytes: usize,
}

/// Draws a page at the width of a telephone held across.
pub fn picture(page: &Path) -> Picture {
    let folder = crate::workbench::folder();
    let (profile, target) = (folder.path().join("profile"), folder.path().join("page.png"));
    std::fs::create_dir(&profile).unwrap();
    std::fs::write(profile.join("user.js"), QUIET).unwrap();
    let mut firefox = Command::new(program())
        .args(["--headless", "--profile"])
        .arg(&profile)
        .arg("--screenshot")
        .arg(&target)
        .arg(format!("--window-size={WIDTH},900"))
        .arg(crate::devtools::address_of(page))
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("Firefox starts");
    let start = Instant::now();
    // The picture may come after the program that was started has handed over and ended.
    let png = loop {
        match std::fs::read(&target) {
            Ok(bytes) if bytes.ends_with(b"IEND\xaeB`\x82") => break bytes,
            _ if start.elapsed() > Duration::from_secs(60) => {
                let _ = firefox.kill();
                panic!("Firefox draws no picture of {}", page.display());
            }
            _ => std::thread::sleep(Duration::from_millis(100)),
        }
    };
    let _ = firefox.wait();
    let number = |at: usize| u32::from_be_bytes(png[at..at + 4].try_into().unwrap());
    // Width and height are the first eight bytes of the first chunk (PNG, third edition, 11.2.1).
    Picture { size: (number(16), number(20)), bytes: png.len() }
}

/// The width that a page that fits has.
pub fn width() -> u32 {
    WIDTH
}
