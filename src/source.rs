//! Disk → [`Source`]: the bytes of a manual's folder under a hard cap. Judges nothing.
#![allow(clippy::disallowed_methods, reason = "this module is the one that reads the manual from disk")]

use crate::finding::{Excerpts, FileId};
use rayon::prelude::*;
use std::fs::FileType;
use std::io;
use std::path::{Path, PathBuf};
use walkdir::WalkDir;

/// No file above this is read, whatever the shop's own limit says.
pub const HARD_CAP: u64 = 64 * 1024 * 1024;

/// Everything that stands in a manual's folder, sorted by path in byte order.
#[derive(Debug)]
pub struct Source {
    root: PathBuf,
    files: Vec<SourceFile>,
}

/// One file of the folder.
#[derive(Debug)]
pub struct SourceFile {
    /// Path below the root, with `/` between folders; what is not UTF-8 in it is replaced.
    pub path: String,
    /// The path as a user would type it from where the program was started.
    pub shown: String,
    /// What was read.
    pub content: Content,
}

/// What a file holds.
#[derive(Debug)]
pub enum Content {
    /// Valid UTF-8.
    Text(String),
    /// A text in another encoding.
    Foreign(Foreign),
    /// Anything else.
    Binary(Vec<u8>),
    /// Not read: larger than [`HARD_CAP`]; holds the size in bytes.
    TooLarge(u64),
    /// A symbolic link, never followed; holds where it leads.
    Link(PathBuf),
    /// Neither file, folder nor link: a pipe or a device, never opened.
    Special,
    /// The system refused to read it, with its reason.
    Unreadable(String),
}

/// A text that is not UTF-8: its bytes, and how far it can be shown.
#[derive(Debug)]
pub struct Foreign {
    /// The bytes.
    pub bytes: Vec<u8>,
    /// The text with each byte that cannot be read replaced.
    pub shown: String,
    /// The first byte that cannot be read, in both.
    pub at: usize,
}

impl SourceFile {
    /// The text, if the file is text.
    pub fn text(&self) -> Option<&str> {
        match &self.content {
            Content::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The bytes, if the file was read.
    pub fn bytes(&self) -> Option<&[u8]> {
        match &self.content {
            Content::Text(text) => Some(text.as_bytes()),
            Content::Binary(bytes) | Content::Foreign(Foreign { bytes, .. }) => Some(bytes),
            _ => None,
        }
    }
}

impl Source {
    /// Reads every file below `root`, leaving out hidden files and folders, and the folders that `leave_out`
    /// names: a bound site may lie inside its manual.
    ///
    /// # Errors
    /// Fails when the folder itself cannot be walked; a single unreadable file is kept as such.
    pub(crate) fn read(root: &Path, leave_out: impl Fn(&Path) -> bool) -> io::Result<Source> {
        let mut found: Vec<(PathBuf, Result<FileType, String>)> = Vec::new();
        let walk = WalkDir::new(root).follow_links(false).sort_by_file_name().into_iter();
        let wanted = |entry: &walkdir::DirEntry| {
            let left_out = entry.file_type().is_dir() && leave_out(entry.path());
            entry.depth() == 0 || !(passed_over(entry.file_name()) || left_out)
        };
        for entry in walk.filter_entry(wanted) {
            let entry = match entry {
                Ok(entry) => entry,
                Err(error) if error.depth() == 0 => return Err(error.into()),
                Err(error) => {
                    let path = error.path().unwrap_or(root).to_owned();
                    found.push((path, Err(error.to_string())));
                    continue;
                }
            };
            if entry.depth() == 0 || entry.file_type().is_dir() {
                continue;
            }
            let kind = entry.file_type();
            found.push((entry.into_path(), Ok(kind)));
        }
        // A manual is many small files: a disk answers several at a time sooner than one after another.
        let mut files: Vec<SourceFile> = found
            .into_par_iter()
            .map(|(path, kind)| {
                let content = kind.map_or_else(Content::Unreadable, |kind| read_file(&path, kind));
                file(root, &path, content)
            })
            .collect();
        files.sort_by(|a, b| a.path.cmp(&b.path));
        Ok(Source { root: root.to_owned(), files })
    }

    /// A manual that is held in memory: each file's path below the manual, and what it holds.
    pub fn held(files: impl IntoIterator<Item = (String, Content)>) -> Source {
        let mut files: Vec<SourceFile> = files
            .into_iter()
            .map(|(path, content)| SourceFile { shown: path.clone(), path, content })
            .collect();
        files.sort_by(|a, b| a.path.cmp(&b.path));
        Source { root: PathBuf::from("."), files }
    }

    /// The folder.
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// Its files, sorted by path in byte order.
    pub fn files(&self) -> &[SourceFile] {
        &self.files
    }

    /// The files with their ids.
    pub fn iter(&self) -> impl Iterator<Item = (FileId, &SourceFile)> {
        (0u32..).map(FileId).zip(&self.files)
    }

    /// The file of an id.
    pub fn file(&self, id: FileId) -> Option<&SourceFile> {
        self.files.get(usize::try_from(id.0).ok()?)
    }

    /// The file at a path below the root.
    pub fn at(&self, path: &str) -> Option<(FileId, &SourceFile)> {
        let index = self.files.binary_search_by(|file| file.path.as_str().cmp(path)).ok()?;
        Some((FileId(u32::try_from(index).ok()?), self.files.get(index)?))
    }
}

impl Excerpts for Source {
    fn path(&self, file: FileId) -> &str {
        self.file(file).map_or("", |file| file.shown.as_str())
    }

    fn text(&self, file: FileId) -> &str {
        match self.file(file).map(|file| &file.content) {
            Some(Content::Text(text)) => text,
            Some(Content::Foreign(foreign)) => &foreign.shown,
            _ => "",
        }
    }
}

/// What is no part of a manual: notes of its writers, and what editors, office programs and systems leave behind.
fn passed_over(name: &std::ffi::OsStr) -> bool {
    let name = name.to_string_lossy();
    name.starts_with(['.', '_'])
        || name.starts_with("~$")
        || name.ends_with('~')
        || name.ends_with(".bak")
        || ["README.md", "Thumbs.db", "desktop.ini"].iter().any(|known| name.eq_ignore_ascii_case(known))
}

fn file(root: &Path, path: &Path, content: Content) -> SourceFile {
    let below = path.strip_prefix(root).unwrap_or(path);
    let parts: Vec<String> =
        below.components().map(|part| part.as_os_str().to_string_lossy().into_owned()).collect();
    SourceFile { path: parts.join("/"), shown: path.display().to_string(), content }
}

fn read_file(path: &Path, kind: FileType) -> Content {
    if kind.is_symlink() {
        return match std::fs::read_link(path) {
            Ok(target) => Content::Link(target),
            Err(error) => Content::Unreadable(error.to_string()),
        };
    }
    if !kind.is_file() {
        return Content::Special;
    }
    match std::fs::metadata(path) {
        Ok(data) if data.len() > HARD_CAP => return Content::TooLarge(data.len()),
        Ok(_) => {}
        Err(error) => return Content::Unreadable(error.to_string()),
    }
    match std::fs::read(path) {
        Ok(bytes) => content(bytes, path),
        Err(error) => Content::Unreadable(error.to_string()),
    }
}

/// What bytes hold. A byte order mark at the very beginning says nothing of UTF-8, and editors of Windows write
/// it: it is dropped here, so that it moves no column and changes no hash.
fn content(bytes: Vec<u8>, path: &Path) -> Content {
    match String::from_utf8(bytes) {
        Ok(text) => Content::Text(match text.strip_prefix('\u{feff}') {
            Some(rest) => rest.to_owned(),
            None => text,
        }),
        Err(error) => {
            let at = error.utf8_error().valid_up_to();
            let bytes = error.into_bytes();
            let ending = path.extension().and_then(std::ffi::OsStr::to_str);
            if matches!(ending, Some("md" | "yaml" | "yml" | "csv")) && !bytes.contains(&0) {
                let shown = String::from_utf8_lossy(&bytes).into_owned();
                return Content::Foreign(Foreign { bytes, shown, at });
            }
            Content::Binary(bytes)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_writers_and_programs_leave_behind_is_passed_over() {
        for name in
            ["README.md", "readme.md", "_ideas.md", ".git", "~$tools.yaml", "lid.md~", "a.bak", "Thumbs.db"]
        {
            assert!(passed_over(name.as_ref()), "{name}");
        }
        for name in ["lid.md", "my_lid.md", "README-first.md", "thumbs.svg", "bak.md"] {
            assert!(!passed_over(name.as_ref()), "{name}");
        }
    }

    #[test]
    fn a_byte_order_mark_is_dropped_at_the_beginning_alone() {
        let held = |text: &str| match content(text.as_bytes().to_vec(), Path::new("a.md")) {
            Content::Text(text) => text,
            other => panic!("{other:?}"),
        };
        assert_eq!(held("\u{feff}a"), "a");
        assert_eq!(held("a\u{feff}"), "a\u{feff}");
    }

    #[test]
    fn a_text_of_another_encoding_says_where_it_ceases_to_be_one() {
        let Content::Foreign(foreign) = content(b"one\nCaf\xe9 x".to_vec(), Path::new("a.md")) else {
            panic!("this is text");
        };
        assert_eq!((foreign.at, foreign.shown.as_str()), (7, "one\nCaf\u{fffd} x"));
        assert!(matches!(content(vec![0, 0xff], Path::new("a.md")), Content::Binary(_)));
        assert!(matches!(content(b"Caf\xe9".to_vec(), Path::new("a.png")), Content::Binary(_)));
    }
}
