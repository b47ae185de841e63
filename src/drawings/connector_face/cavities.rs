//! The cavities of a connector's face: how they are laid out on a sheet, and what the marks in them mean.

use crate::drawings::connector_face::Filled;
use crate::drawings::svg::lettering::LEADING;
use crate::drawings::svg::{Anchor, Fill, Pen, Point, Sheet, width_of};
use crate::phrase::{Phrase, phrase};
use std::collections::BTreeMap;

/// Least distance between cavities in a row: two letters fit in a box with a double edge.
const NARROWEST: f64 = 34.0;

/// Greatest distance between cavities in a row.
const WIDEST: f64 = 58.0;

/// Between two boxes.
const BETWEEN: f64 = 7.0;

/// Between the boxes and the edge of the housing.
const RIM: f64 = 12.0;

/// More lines of letters than this do not stand in a box.
const MOST_LINES: usize = 4;

/// How the cavities lie. A face that is wider than the sheet is broken into bands, one below the other.
pub(crate) struct Cavities {
    /// Ways by row.
    rows: Vec<Vec<u32>>,
    /// Columns in a band.
    columns: usize,
    /// Bands.
    bands: usize,
    pitch: f64,
    tall: f64,
    boxes: BTreeMap<u32, Mark>,
}

/// What stands in the box of a way that holds a wire.
struct Mark {
    /// The letters of its colour, or none where there are none that fit.
    lines: Vec<String>,
    /// The colour of its one wire as written; empty where there are several, or it is not known.
    colour: String,
    worked: bool,
}

impl Cavities {
    /// The cavities on this sheet.
    pub(crate) fn fitting(
        sheet: &Sheet,
        ways: u32,
        rows: u32,
        placed: &BTreeMap<u32, Vec<&Filled>>,
    ) -> Option<Cavities> {
        let longest = ways.div_ceil(rows) as usize;
        let room = sheet.width - 32.0 - 2.0 * RIM;
        let bands = longest.div_ceil(((room / NARROWEST).floor() as usize).max(1));
        let columns = longest.div_ceil(bands.max(1)).max(1);
        let pitch = (room / columns as f64).min(WIDEST);
        let fits = |line: &String| width_of(line) <= pitch - BETWEEN - 9.0;
        let boxes: BTreeMap<u32, Mark> = placed
            .iter()
            .map(|(way, wires)| {
                let worked = wires.iter().any(|filled| filled.worked);
                let lines = wires.iter().map(|filled| letters(filled, fits)).collect::<Option<Vec<_>>>();
                let lines = lines.unwrap_or_default().concat();
                let shown = lines.len() <= MOST_LINES && lines.iter().all(fits);
                let colour = match wires.as_slice() {
                    [one] => one.colour.clone().unwrap_or_default(),
                    _ => String::new(),
                };
                (*way, Mark { lines: if shown { lines } else { Vec::new() }, colour, worked })
            })
            .collect();
        let most = boxes.values().map(|mark| mark.lines.len()).max().unwrap_or(0).max(1);
        let tall = 32.0 + 15.0 * most as f64;
        Some(Cavities { rows: in_rows(ways, rows)?, columns, bands, pitch, tall, boxes })
    }

    /// Draws them from `top` down. Answers how far down they reach.
    pub(crate) fn lay(&self, sheet: &mut Sheet, top: f64) -> f64 {
        let high = self.rows.len() as f64 * (self.tall + BETWEEN) - BETWEEN;
        let wide = self.pitch * self.columns as f64;
        let left = (sheet.width - wide) / 2.0;
        let mut foot = top;
        for band in 0..self.bands {
            let head = top + band as f64 * (high + 2.0 * RIM + 14.0);
            foot = head + high + 2.0 * RIM;
            let held = self.rows.iter().map(|row| row.len().saturating_sub(band * self.columns)).max();
            let right = left + self.pitch * held.unwrap_or(0).min(self.columns) as f64;
            let middle = f64::midpoint(head, foot);
            let broken = (band > 0, band + 1 < self.bands);
            if self.bands == 1 {
                sheet.rect(Fill::Paper, Pen::Line, (left - RIM, head), (right + RIM, foot), 8.0);
            } else {
                sheet.bar(Fill::Paper, (left - RIM, right + RIM), middle, (foot - head) / 2.0, broken);
            }
            for (place, row) in self.rows.iter().enumerate() {
                let y = head + RIM + place as f64 * (self.tall + BETWEEN);
                let shown = row.iter().skip(band * self.columns).take(self.columns);
                for (column, way) in shown.enumerate() {
                    self.cavity(sheet, *way, (left + self.pitch * (column as f64 + 0.5), y));
                }
            }
        }
        foot
    }

    /// One cavity, `at` the middle of its upper edge.
    fn cavity(&self, sheet: &mut Sheet, way: u32, at: Point) {
        let number = way.to_string();
        let Some(mark) = self.boxes.get(&way) else {
            let centre = (at.0, at.1 + self.tall / 2.0);
            sheet.circle(Fill::Paper, Pen::Thin, centre, (self.pitch - BETWEEN).min(28.0) / 2.0);
            sheet.number(centre, &number);
            return;
        };
        boxed(sheet, at, (self.pitch - BETWEEN, self.tall), mark.worked);
        let half = 0.3 * self.pitch;
        sheet.insulation(
            &mark.colour,
            (at.0 - half, at.1 + self.tall - 9.0),
            (at.0 + half, at.1 + self.tall - 4.5),
        );
        sheet.number((at.0, at.1 + 12.5), &number);
        sheet.line(Pen::Thin, (at.0 - 0.3 * self.pitch, at.1 + 20.5), (at.0 + 0.3 * self.pitch, at.1 + 20.5));
        if mark.lines.is_empty() {
            sheet.circle(Fill::Ink, Pen::None, (at.0, at.1 + 28.5), 4.0);
        }
        for (place, line) in mark.lines.iter().enumerate() {
            sheet.figure((at.0, at.1 + 34.0 + 15.0 * place as f64), Anchor::Middle, line);
        }
    }

    /// What the marks mean, the first on the base line `y`. Answers the base line of the last.
    pub(crate) fn key(&self, sheet: &mut Sheet, y: f64) -> f64 {
        let any = |wanted: &dyn Fn(&Mark) -> bool| self.boxes.values().any(wanted);
        let count: usize = self.rows.iter().map(Vec::len).sum();
        let mut signs: Vec<(Sign, Phrase)> = Vec::new();
        if self.boxes.len() < count {
            signs.push((Sign::Free, phrase!("no wire named here")));
        }
        if any(&|mark| !mark.lines.is_empty()) {
            signs.push((Sign::Letters, phrase!("wire, the letters of its colour")));
        }
        if any(&|mark| mark.lines.is_empty()) {
            signs.push((Sign::Dot, phrase!("wire, see the list")));
        }
        if any(&|mark| mark.worked) {
            signs.push((Sign::Worked, phrase!("worked on here")));
        }
        let (mut x, mut base) = (16.0, y);
        for (sign, words) in signs {
            let words = sheet.tell(&words);
            let wide = 26.0 + width_of(&words);
            if x + wide > sheet.width - 12.0 && x > 16.0 {
                (x, base) = (16.0, base + LEADING + 4.0);
            }
            sign.draw(sheet, (x + 9.0, base - 4.5));
            sheet.text((x + 26.0, base), Anchor::Start, &words);
            x += wide + 12.0;
        }
        base
    }
}

/// A mark by itself, beside its meaning.
enum Sign {
    Free,
    Letters,
    Dot,
    Worked,
}

impl Sign {
    /// Draws it about its centre.
    fn draw(&self, sheet: &mut Sheet, at: Point) {
        let top = (at.0, at.1 - 8.0);
        match self {
            Sign::Free => sheet.circle(Fill::Paper, Pen::Thin, at, 8.0),
            Sign::Worked => boxed(sheet, top, (18.0, 16.0), true),
            Sign::Letters => {
                boxed(sheet, top, (18.0, 16.0), false);
                for y in [at.1 - 2.0, at.1 + 2.5] {
                    sheet.line(Pen::Thin, (at.0 - 5.0, y), (at.0 + 5.0, y));
                }
            }
            Sign::Dot => {
                boxed(sheet, top, (18.0, 16.0), false);
                sheet.circle(Fill::Ink, Pen::None, at, 3.5);
            }
        }
    }
}

/// The box of a way that holds a wire, `at` the middle of its upper edge; what is worked on has a double edge
/// and a black corner.
fn boxed(sheet: &mut Sheet, at: Point, size: Point, worked: bool) {
    let (left, right, top, foot) = (at.0 - size.0 / 2.0, at.0 + size.0 / 2.0, at.1, at.1 + size.1);
    sheet.rect(Fill::Paper, Pen::Line, (left, top), (right, foot), 0.0);
    if worked {
        sheet.rect(Fill::None, Pen::Thin, (left + 3.0, top + 3.0), (right - 3.0, foot - 3.0), 0.0);
        sheet.path(Fill::Ink, Pen::None, &[(right, top), (right, top + 9.0), (right - 9.0, top)], true);
    }
}

/// The ways by row, left to right, the top row first; where they do not fill all rows, the upper have one more.
fn in_rows(ways: u32, rows: u32) -> Option<Vec<Vec<u32>>> {
    let (each, more) = (ways.checked_div(rows)?, ways.checked_rem(rows)?);
    let mut next = 1;
    let mut all = Vec::new();
    for row in 0..rows {
        let end = next + each + u32::from(row < more);
        all.push((next..end).collect());
        next = end;
    }
    Some(all)
}

/// The letters of a wire's colour as lines: whole where that fits, else one colour a line, and what is still too
/// long by twos, for IEC 60757 writes each colour with two letters.
fn letters(filled: &Filled, fits: impl Fn(&String) -> bool) -> Option<Vec<String>> {
    let colour = filled.colour.as_deref().map(str::trim).filter(|colour| !colour.is_empty())?.to_owned();
    if fits(&colour) {
        return Some(vec![colour]);
    }
    let mut lines = Vec::new();
    for part in colour.split(|letter: char| !letter.is_alphanumeric()).filter(|part| !part.is_empty()) {
        let even = part.len().is_multiple_of(2) && part.chars().all(|letter| letter.is_ascii_uppercase());
        if fits(&part.to_owned()) || !even {
            lines.push(part.to_owned());
        } else {
            let letters: Vec<char> = part.chars().collect();
            lines.extend(letters.chunks(2).map(|pair| pair.iter().collect::<String>()));
        }
    }
    Some(lines)
}
