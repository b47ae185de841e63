//! The mat of one group of fasteners, drawn in millimetres: a numbered circle for each of them, a bar to
//! check the print by, and the thread with its length to lay a screw on.

use crate::drawings::svg::escape;
use std::fmt::Write as _;

/// Width of a mat, in mm: it stands between the margins of A4 and of Letter.
const WIDTH: f64 = 170.0;
/// Greatest height of the circles on one mat, in mm, so that it stands on one sheet of either paper.
const TALL: f64 = 170.0;
/// Length of the bar that a print is checked by, in mm.
const BAR: f64 = 50.0;
/// Room between two circles, in mm.
const GAP: f64 = 6.0;
/// A circle's diameter where no thread is known, in mm.
const PLAIN: f64 = 10.0;
/// Longest thread that is drawn, in mm.
const LONGEST: f64 = 60.0;
/// Most fasteners that are laid out one by one.
const MOST: u32 = 600;

/// What a mat is drawn from.
pub(super) struct Mat<'a> {
    /// The group's number; ids begin with it.
    pub(super) number: usize,
    /// What it is a mat of.
    pub(super) title: &'a str,
    /// How many fasteners.
    pub(super) count: u32,
    /// Nominal diameter of the thread, in mm.
    pub(super) thread: Option<f64>,
    /// Length, in mm.
    pub(super) length: Option<f64>,
    /// What the thread and its length are called.
    pub(super) shank: &'a str,
}

/// The nominal diameter of a metric thread such as `M5x0.8`, in mm.
pub(super) fn diameter(thread: &str) -> Option<f64> {
    let size = thread.trim().strip_prefix('M')?.split(['x', '×', ' ', '-']).next()?;
    size.parse::<f64>().ok().filter(|size| (1.0..=64.0).contains(size))
}

/// A number with at most two decimals.
pub(super) fn plain(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

impl Mat<'_> {
    /// The diameter of its circles, in mm.
    pub(super) fn circle(&self) -> f64 {
        self.thread.map_or(PLAIN, |thread| 2.0 * thread + 2.0)
    }

    /// Its drawings, as many as its circles need; none where there are too many to lay out.
    pub(super) fn draw(&self) -> Vec<String> {
        if self.count > MOST {
            return Vec::new();
        }
        let pitch = self.circle() + GAP;
        let columns = fit(WIDTH, pitch);
        let numbers: Vec<u32> = (1..=self.count).collect();
        let parts = numbers.chunks(columns.saturating_mul(fit(TALL, pitch)));
        (1..).zip(parts).map(|(part, numbers)| self.part(part, numbers, columns)).collect()
    }

    /// One drawing with the circles of these numbers.
    fn part(&self, part: u32, numbers: &[u32], columns: usize) -> String {
        let pitch = self.circle() + GAP;
        let mut body = String::new();
        let mut foot = 0.0_f64;
        for (row, numbers) in numbers.chunks(columns).enumerate() {
            let y = pitch * (whole(row) + 0.5);
            foot = y + pitch / 2.0;
            for (column, number) in numbers.iter().enumerate() {
                let x = pitch * (whole(column) + 0.5);
                spot(&mut body, (x, y), self.circle() / 2.0, *number);
            }
        }
        bar(&mut body, foot + 3.0);
        let below = self.shank(&mut body, foot + 3.0);
        let height = plain(foot + 10.0_f64.max(below + 5.0));
        let width = plain(WIDTH);
        let id = format!("mat-{}-{part}", self.number);
        let title = escape(self.title);
        format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" class="mat" width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}" role="img" aria-labelledby="{id}"><title id="{id}">{title}</title>{body}</svg>"#
        )
    }

    /// The thread in true size beside the bar, where it is known and has room; its height.
    fn shank(&self, body: &mut String, y: f64) -> f64 {
        let (Some(thick), Some(long)) = (self.thread, self.length) else { return 0.0 };
        if !(1.0..=LONGEST).contains(&long) {
            return 0.0;
        }
        let x = 2.0 + BAR + 22.0;
        let (w, h) = (plain(long), plain(thick));
        let _ = write!(
            body,
            r#"<rect class="shank" x="{}" y="{}" width="{w}" height="{h}" fill="none" stroke="currentColor" stroke-width="0.25"/>"#,
            plain(x),
            plain(y)
        );
        words(body, (x + long + 2.0, y + thick / 2.0 + 1.2), "start", self.shank);
        thick
    }
}

/// How many of a pitch fit; at least one.
fn fit(room: f64, pitch: f64) -> usize {
    (1..=100_usize).take_while(|count| whole(*count) * pitch <= room).last().unwrap_or(1)
}

/// A small count as a number.
fn whole(count: usize) -> f64 {
    u32::try_from(count).map_or(f64::from(u32::MAX), f64::from)
}

/// A numbered circle.
fn spot(body: &mut String, at: (f64, f64), radius: f64, number: u32) {
    let (x, y, r) = (plain(at.0), plain(at.1), plain(radius));
    let _ = write!(
        body,
        r#"<circle cx="{x}" cy="{y}" r="{r}" fill="none" stroke="currentColor" stroke-width="0.35"/>"#
    );
    words(body, (at.0, at.1 + 1.2), "middle", &number.to_string());
}

/// The bar that a print is checked by, every other 10 mm left white. It has no outline, so that its ends
/// stand exactly where they are said to.
fn bar(body: &mut String, y: f64) {
    let (width, top, inner) = (plain(BAR), plain(y), plain(y + 0.2));
    let _ =
        write!(body, r#"<rect class="bar" x="2" y="{top}" width="{width}" height="2" fill="currentColor"/>"#);
    for x in ["12", "32"] {
        let _ = write!(body, r##"<rect x="{x}" y="{inner}" width="10" height="1.6" fill="#fff"/>"##);
    }
    words(body, (BAR + 4.0, y + 2.2), "start", &format!("{width}\u{a0}mm"));
}

/// Words on their base line.
fn words(body: &mut String, at: (f64, f64), anchor: &str, words: &str) {
    let (x, y, words) = (plain(at.0), plain(at.1), escape(words));
    let _ = write!(
        body,
        r#"<text x="{x}" y="{y}" text-anchor="{anchor}" font-family="sans-serif" font-size="3.5" fill="currentColor">{words}</text>"#
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mat(count: u32, thread: Option<f64>) -> Mat<'static> {
        Mat { number: 1, title: "a < b", count, thread, length: Some(16.0), shank: "M5" }
    }

    #[test]
    fn a_thread_says_its_diameter_or_nothing() {
        for (thread, wanted) in
            [("M5x0.8", Some(5.0)), ("M10", Some(10.0)), ("M2.5×0.45", Some(2.5)), ("1/4-20", None)]
        {
            assert_eq!(diameter(thread), wanted, "{thread}");
        }
        assert_eq!((diameter("M0"), diameter("MNaN"), diameter("M900")), (None, None, None));
    }

    #[test]
    fn every_fastener_has_one_circle_and_every_sheet_its_bar() {
        for (count, thread) in [(0, None), (1, None), (9, Some(5.0)), (200, Some(20.0)), (3, Some(64.0))] {
            let drawn = mat(count, thread).draw();
            let circles: usize = drawn.iter().map(|svg| svg.matches("<circle").count()).sum();
            assert_eq!(circles, usize::try_from(count).unwrap());
            assert!(drawn.iter().all(|svg| svg.contains("class=\"bar\" x=\"2\"")));
            assert!(drawn.iter().all(|svg| svg.contains("a &lt; b")));
        }
        assert!(mat(u32::MAX, None).draw().is_empty());
    }
}
