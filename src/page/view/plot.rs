//! The plot of a computed table: one line over one axis, laid out once wide and once narrow.

use crate::page::markup::Markup;
use crate::quantity::print::{Rounding, number};

/// The words around a plot.
#[derive(Debug)]
pub struct Words {
    /// What ids begin with.
    pub prefix: String,
    /// The title, for those who do not see it.
    pub title: String,
    /// Along, with its unit.
    pub x: String,
    /// Up, with its unit.
    pub y: String,
}

/// Left, top, right and bottom margins.
const MARGINS: [f64; 4] = [64.0, 34.0, 18.0, 52.0];

/// A plot as an `svg` element, or nothing where there is no line to draw.
pub fn plot(words: &Words, points: &[(f64, f64)], width: f64, class: &str) -> Option<String> {
    let (first, last) = ends(points.iter().map(|(x, _)| *x))?;
    let (_, top) = ends(points.iter().map(|(_, y)| *y))?;
    if points.len() < 2 || last <= first || top <= 0.0 {
        return None;
    }
    let height = width * 0.55;
    let [left, head, right, foot] = MARGINS;
    let step = nice(top / 4.0);
    let ceiling = (top / step).ceil() * step;
    let at_x = |x: f64| left + (x - first) / (last - first) * (width - left - right);
    let at_y = |y: f64| height - foot - y / ceiling * (height - head - foot);
    let mut svg = format!(
        "<svg class=\"{class}\" viewBox=\"0 0 {width:.0} {height:.0}\" width=\"{width:.0}\" height=\"{height:.0}\" role=\"img\" \
         aria-labelledby=\"{0}\" font-family=\"sans-serif\" font-size=\"13\" fill=\"#1b1b19\"><title id=\"{0}\">{1}</title>",
        words.prefix,
        Markup::text(&words.title)
    );
    let mut y = 0.0;
    while y <= ceiling + step * 0.01 {
        let (level, text) = (at_y(y), number(y, Rounding::Figures));
        svg.push_str(&format!(
            "<path d=\"M{left:.1} {level:.1}H{:.1}\" stroke=\"#b9b3a2\"/><text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{text}</text>",
            width - right,
            left - 8.0,
            level + 4.0
        ));
        y += step;
    }
    let mut free = f64::NEG_INFINITY;
    for (x, _) in points {
        let (at, text) = (at_x(*x), number(*x, Rounding::Figures));
        svg.push_str(&format!("<path d=\"M{at:.1} {:.1}v6\" stroke=\"#1b1b19\"/>", height - foot));
        // A label that would lie on its neighbour is left out: the table beside holds every figure.
        if at >= free {
            svg.push_str(&format!(
                "<text x=\"{at:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{text}</text>",
                height - foot + 20.0
            ));
            free = at + 34.0;
        }
    }
    let line: Vec<String> = points.iter().map(|(x, y)| format!("{:.1} {:.1}", at_x(*x), at_y(*y))).collect();
    svg.push_str(&format!(
        "<path d=\"M{}\" fill=\"none\" stroke=\"#7a2438\" stroke-width=\"2.5\"/>",
        line.join("L")
    ));
    for (x, y) in points {
        svg.push_str(&format!(
            "<circle cx=\"{:.1}\" cy=\"{:.1}\" r=\"4\" fill=\"#7a2438\"/>",
            at_x(*x),
            at_y(*y)
        ));
    }
    svg.push_str(&format!(
        "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{}</text><text x=\"4\" y=\"12\">{}</text></svg>",
        width - right,
        height - 8.0,
        Markup::text(&words.x),
        Markup::text(&words.y)
    ));
    Some(svg)
}

fn ends(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    values.filter(|value| value.is_finite()).fold(None, |ends, value| match ends {
        None => Some((value, value)),
        Some((least, most)) => Some((f64::min(least, value), f64::max(most, value))),
    })
}

/// The next 1, 2 or 5 times a power of ten.
fn nice(step: f64) -> f64 {
    let power = 10f64.powf(step.log10().floor());
    let factor = [1.0, 2.0, 5.0, 10.0].into_iter().find(|factor| factor * power >= step * 0.999);
    factor.unwrap_or(10.0) * power
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plot_needs_two_points_and_names_its_axes() {
        let words = Words { prefix: "p".into(), title: "T".into(), x: "mm".into(), y: "m".into() };
        assert!(plot(&words, &[(1.0, 1.0)], 640.0, "d-wide").is_none());
        let svg = plot(&words, &[(1.0, 1.0), (2.0, 3.0)], 640.0, "d-wide").unwrap();
        assert!(svg.contains("<title id=\"p\">T</title>") && svg.contains(">mm<"), "{svg}");
        assert!(!svg.contains("style="));
    }

    #[test]
    fn steps_are_round() {
        for (step, wanted) in [(0.7, 1.0), (1.0, 1.0), (3.0, 5.0), (12.0, 20.0)] {
            assert!((nice(step) - wanted).abs() < 1e-9, "{step}");
        }
    }
}
