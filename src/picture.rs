//! Photographs and drawings as they are taken in: each is looked through and decoded, so that what a manual
//! shows can be shown, runs nothing and fetches nothing.

mod drawing;
mod photograph;

use crate::finding::{Code, FileId, Finding, Sink, Span, Words};

/// A figure that cannot be drawn, or is another kind than its name says.
pub const UNDRAWABLE: Code = Code("SRC-13");
/// A drawing that holds what a drawing must not hold.
pub const UNSAFE: Code = Code("SRC-14");

/// Most pixels of a photograph: 100 megapixels.
pub const MOST_PIXELS: u64 = 100_000_000;

/// Endings of the names of figures, in lower case.
pub const ENDINGS: [&str; 5] = ["svg", "png", "jpeg", "jpg", "webp"];

/// What is known of a figure that can be drawn.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Picture {
    /// The title inside a drawing, which is its text alternative.
    pub title: Option<String>,
}

/// Looks a figure through by its name and bytes; what is wrong with it becomes findings in its file, and then
/// there is no picture.
pub fn take_in(file: FileId, name: &str, bytes: &[u8], sink: &mut Sink) -> Option<Picture> {
    let ending = ending(name);
    if ending == "svg" {
        return match std::str::from_utf8(bytes) {
            Ok(text) => drawing::look_through(file, name, text, sink),
            Err(_) => {
                let headline = format!("the drawing `{name}` is not UTF-8 text");
                sink.push(undrawable(file, headline, "save it again as plain SVG in UTF-8"));
                None
            }
        };
    }
    match photograph::decode(name, &ending, bytes) {
        Ok(()) => Some(Picture::default()),
        Err((headline, help)) => {
            sink.push(undrawable(file, headline, help));
            None
        }
    }
}

/// How a picture of a kind that browsers do not draw is turned into one that they do; nothing for an ending
/// that is no picture's.
pub fn conversion(name: &str) -> Option<String> {
    let (stem, _) = name.rsplit_once('.')?;
    let how = match ending(name).as_str() {
        "heic" | "heif" => "a telephone saves JPEG when its camera's format is set so; or export it as JPEG",
        "dng" | "cr2" | "cr3" | "nef" | "nrw" | "arw" | "raf" | "orf" | "rw2" | "pef" | "srw" | "raw" => {
            "a raw photograph is developed first: export it as JPEG"
        }
        "tif" | "tiff" | "bmp" | "gif" | "ico" | "tga" | "pcx" | "psd" | "xcf" => "export it as PNG",
        "avif" | "jxl" | "jp2" => "export it as JPEG or WebP",
        "svgz" => "unpack it: a drawing is plain SVG",
        "emf" | "wmf" | "eps" | "ai" | "dxf" | "dwg" | "pdf" => "export it as SVG",
        _ => return None,
    };
    let to = match how.rsplit(' ').next() {
        Some("PNG") => "png",
        Some("SVG") => "svg",
        _ => "jpeg",
    };
    Some(format!("{how}, and name it `{stem}.{to}`"))
}

/// The ending of a name in lower case.
fn ending(name: &str) -> String {
    name.rsplit_once('.').map_or_else(String::new, |(_, ending)| ending.to_ascii_lowercase())
}

fn undrawable(file: FileId, headline: String, help: impl Into<Words>) -> Finding {
    Finding::error(UNDRAWABLE, headline).at(Span::whole(file), "this file").help(help)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_picture_that_browsers_do_not_draw_is_named_with_the_way_to_one_that_they_do() {
        let heic = conversion("IMG_1.HEIC").unwrap();
        assert!(heic.ends_with("name it `IMG_1.jpeg`"), "{heic}");
        assert!(conversion("plan.dxf").unwrap().ends_with("name it `plan.svg`"));
        assert!(conversion("shot.bmp").unwrap().ends_with("name it `shot.png`"));
        assert_eq!(conversion("notes.txt"), None);
        for ending in ENDINGS {
            assert_eq!(conversion(&format!("a.{ending}")), None, "{ending}");
        }
    }
}
