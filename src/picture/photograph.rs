//! Photographs: decoded once, so that a lying header, a cut-off file or an absurd size is found before the
//! page shows a broken picture.

use crate::picture::MOST_PIXELS;
use image::{ImageDecoder, ImageFormat, ImageReader, Limits};
use std::io::Cursor;
use std::sync::Mutex;

/// Most bytes of one decoded photograph: 100 megapixels in colour with transparency.
const MOST_BYTES: u64 = MOST_PIXELS * 4;

/// Pixels above which photographs are decoded one after another, so that several at once do not take all of
/// the memory.
const LARGE: u64 = 25_000_000;

static ONE_AT_A_TIME: Mutex<()> = Mutex::new(());

/// What is wrong with a photograph, and what to do about it.
type Fault = (String, String);

/// Decodes a photograph and lets go of it again.
///
/// # Errors
/// When it cannot be shown: what it is instead, or where it fails.
pub(super) fn decode(name: &str, ending: &str, bytes: &[u8]) -> Result<(), Fault> {
    let wanted = match ending {
        "png" => ImageFormat::Png,
        "webp" => ImageFormat::WebP,
        _ => ImageFormat::Jpeg,
    };
    let is = image::guess_format(bytes).ok();
    if is != Some(wanted) {
        return Err(another_kind(name, wanted, is, bytes));
    }
    let broken = |error: &dyn std::fmt::Display| {
        let headline = format!("the photograph `{name}` cannot be drawn: {error}");
        (headline, "it is broken or was cut off while it was copied: copy or export it again".to_owned())
    };
    let reader = || ImageReader::with_format(Cursor::new(bytes), wanted);
    let (wide, high) = reader().into_dimensions().map_err(|error| broken(&error))?;
    let pixels = u64::from(wide) * u64::from(high);
    if pixels == 0 {
        return Err(broken(&format!("it is {wide} × {high} pixels")));
    }
    if pixels > MOST_PIXELS {
        let headline =
            format!("the photograph `{name}` has {} megapixels and the limit is 100", pixels / 1_000_000);
        return Err((headline, "scale it down: a page shows 1600 pixels across".to_owned()));
    }
    if wanted == ImageFormat::Jpeg && !has_end(bytes) {
        return Err(broken(&"its end is missing"));
    }
    // Whoever panicked while holding it left nothing half done: it guards no data.
    let _one =
        (pixels > LARGE).then(|| ONE_AT_A_TIME.lock().unwrap_or_else(std::sync::PoisonError::into_inner));
    let mut reader = reader();
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_BYTES);
    reader.limits(limits);
    let decoder = reader.into_decoder().map_err(|error| broken(&error))?;
    if decoder.total_bytes() > MOST_BYTES {
        let headline = format!("the photograph `{name}` takes more than {} MB", MOST_BYTES / 1_000_000);
        return Err((headline, "save it with 8 bits a colour".to_owned()));
    }
    let mut pixels = vec![0; usize::try_from(decoder.total_bytes()).unwrap_or(0)];
    decoder.read_image(&mut pixels).map_err(|error| broken(&error))
}

/// What to say of a file that is not what its name says.
fn another_kind(name: &str, wanted: ImageFormat, is: Option<ImageFormat>, bytes: &[u8]) -> Fault {
    let (stem, _) = name.rsplit_once('.').unwrap_or((name, ""));
    let says = word(wanted);
    if let Some(kind) =
        is.filter(|kind| matches!(kind, ImageFormat::Png | ImageFormat::Jpeg | ImageFormat::WebP))
    {
        let ending = word(kind).to_ascii_lowercase();
        let headline = format!("`{name}` is named as {says} and is {}", word(kind));
        return (headline, format!("name it `{stem}.{ending}`"));
    }
    let head = bytes.get(4..12).unwrap_or_default();
    let what = match head {
        b"ftypheic" | b"ftypheix" | b"ftypmif1" | b"ftypheim" | b"ftyphevc" => {
            "a HEIC photograph: export it as JPEG"
        }
        b"ftypavif" => "an AVIF picture: export it as JPEG",
        _ if bytes.is_empty() => "empty",
        _ if std::str::from_utf8(bytes).is_ok() => "text",
        _ => "no picture that is known here",
    };
    let (is, help) = what.split_once(": ").unwrap_or((what, "put the photograph itself here"));
    (format!("`{name}` is named as {says} and is {is}"), help.to_owned())
}

fn word(kind: ImageFormat) -> &'static str {
    match kind {
        ImageFormat::Png => "PNG",
        ImageFormat::WebP => "WebP",
        _ => "JPEG",
    }
}

/// Whether a JPEG file has its end-of-image marker where one belongs (ITU-T T.81, B.1.1 and B.2). The decoder
/// itself fills up what a cut-off file lacks with grey.
fn has_end(bytes: &[u8]) -> bool {
    let byte = |at: usize| bytes.get(at).copied();
    let mut at = 2;
    while at < bytes.len() {
        // Fill bytes and, after a scan's head, its coded data stand before the next marker.
        if byte(at) != Some(0xFF) {
            at += 1;
            continue;
        }
        match byte(at + 1) {
            Some(0xD9) => return true,
            Some(0xFF) => at += 1,
            // A stuffed byte, a restart, a marker without a segment.
            Some(0x00 | 0x01 | 0xD0..=0xD8) => at += 2,
            Some(_) => match (byte(at + 2), byte(at + 3)) {
                (Some(high), Some(low)) => at += 2 + usize::from(u16::from_be_bytes([high, low])).max(2),
                _ => return false,
            },
            None => return false,
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::{DynamicImage, RgbImage};

    fn encoded(kind: ImageFormat, wide: u32, high: u32) -> Vec<u8> {
        let picture = RgbImage::from_fn(wide, high, |x, y| image::Rgb([(x * 7) as u8, (y * 5) as u8, 90]));
        let mut out = Cursor::new(Vec::new());
        DynamicImage::ImageRgb8(picture).write_to(&mut out, kind).unwrap();
        out.into_inner()
    }

    const KINDS: [(ImageFormat, &str); 3] =
        [(ImageFormat::Png, "png"), (ImageFormat::Jpeg, "jpeg"), (ImageFormat::WebP, "webp")];

    #[test]
    fn a_whole_photograph_passes_and_one_cut_off_anywhere_does_not() {
        for (kind, ending) in KINDS {
            let whole = encoded(kind, 60, 40);
            let name = format!("a.{ending}");
            assert_eq!(decode(&name, ending, &whole), Ok(()));
            // The last part of a PNG is its end chunk of 12 bytes, without which every pixel is there.
            for keep in
                [1, 2, 3].map(|quarter| whole.len() * quarter / 4).into_iter().chain([whole.len() - 16])
            {
                let said = decode(&name, ending, &whole[..keep]);
                assert!(said.is_err(), "{name} cut to {keep} of {}", whole.len());
            }
        }
    }

    #[test]
    fn a_photograph_is_the_kind_that_its_name_says() {
        let png = encoded(ImageFormat::Png, 2, 2);
        let (headline, help) = decode("lid.jpeg", "jpeg", &png).unwrap_err();
        assert_eq!(headline, "`lid.jpeg` is named as JPEG and is PNG");
        assert_eq!(help, "name it `lid.png`");
        let (headline, _) = decode("lid.jpeg", "jpeg", b"plain words").unwrap_err();
        assert_eq!(headline, "`lid.jpeg` is named as JPEG and is text");
        let (_, help) = decode("lid.jpeg", "jpeg", b"\0\0\0\x18ftypheic\0\0\0\0\xff").unwrap_err();
        assert_eq!(help, "export it as JPEG");
        assert!(decode("lid.png", "png", b"").unwrap_err().0.ends_with("is empty"));
    }

    /// A PNG whose header says another size; its checksum is that of the header (PNG 3rd edition, 5.3 and D).
    fn lying(wide: u32, high: u32) -> Vec<u8> {
        let mut png = encoded(ImageFormat::Png, 8, 8);
        png[16..20].copy_from_slice(&wide.to_be_bytes());
        png[20..24].copy_from_slice(&high.to_be_bytes());
        let crc = png[12..29].iter().fold(u32::MAX, |crc, byte| {
            (0..8).fold(crc ^ u32::from(*byte), |crc, _| (crc >> 1) ^ (0xEDB8_8320 * (crc & 1)))
        });
        png[29..33].copy_from_slice(&(!crc).to_be_bytes());
        png
    }

    #[test]
    fn a_size_is_neither_nothing_nor_beyond_the_limit_nor_a_lie() {
        assert_eq!(decode("a.png", "png", &lying(8, 8)), Ok(()));
        for (wide, high) in [(0, 8), (8, 0), (8, 9), (9, 8)] {
            assert!(decode("a.png", "png", &lying(wide, high)).is_err(), "{wide} × {high}");
        }
        let (over, _) = decode("a.png", "png", &lying(10_000, 10_001)).unwrap_err();
        assert!(over.contains("has 100 megapixels and the limit is 100"), "{over}");
        let (at, _) = decode("a.png", "png", &lying(10_000, 10_000)).unwrap_err();
        assert!(at.contains("cannot be drawn"), "the limit itself is allowed, and the data is missing: {at}");
    }

    #[test]
    fn the_end_of_a_jpeg_is_found_behind_segments_that_hold_what_looks_like_one() {
        let start = [0xFF, 0xD8];
        let thumbnail = [0xFF, 0xE1, 0x00, 0x06, 0xFF, 0xD9, 0xFF, 0xD9];
        assert!(!has_end(&[&start[..], &thumbnail].concat()));
        assert!(has_end(&[&start[..], &thumbnail, &[0xFF, 0xD9]].concat()));
        assert!(has_end(&[&start[..], &[0x12, 0xFF, 0x00, 0xFF, 0xD0, 0xFF, 0xFF, 0xD9, 0x00]].concat()));
        assert!(!has_end(&[&start[..], &[0xFF, 0xDA, 0x00]].concat()));
    }
}
