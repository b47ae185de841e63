//! Pens, fills and hatches: line weights and materials that need no colour.

/// A pen: line weight and dashes after ISO 128-2.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Pen {
    /// No line.
    None,
    /// What the drawing is about where it is a line itself: a route, a curve.
    Heavy,
    /// Visible outlines, wide.
    Line,
    /// Leaders, breaks, inner edges, narrow.
    Thin,
    /// The lines behind a plot, so faint that they come second.
    Grid,
    /// Hidden edges and rules of thumb, dashed.
    Dash,
    /// Centre lines, long-dashed dotted.
    Axis,
}

impl Pen {
    /// Class and presentation attributes.
    pub(crate) fn look(self) -> (&'static str, &'static str) {
        match self {
            Pen::None => ("", ""),
            Pen::Heavy => ("d-heavy", r##" stroke="#111" stroke-width="3.2" stroke-linejoin="round""##),
            Pen::Line => ("d-line", r##" stroke="#111" stroke-width="1.8" stroke-linejoin="round""##),
            Pen::Thin => ("d-thin", r##" stroke="#111" stroke-width="0.9""##),
            Pen::Grid => ("d-grid", r##" stroke="#8a8a84" stroke-width="0.7""##),
            Pen::Dash => ("d-dash", r##" stroke="#111" stroke-width="1.2" stroke-dasharray="6 4""##),
            Pen::Axis => ("d-axis", r##" stroke="#111" stroke-width="0.8" stroke-dasharray="16 3 3 3""##),
        }
    }
}

/// What an outline is filled with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Fill {
    /// Nothing.
    None,
    /// White.
    Paper,
    /// Conductor metal.
    Copper,
    /// Cable jacket.
    Jacket,
    /// Solid black.
    Ink,
    /// Insulation in its own colour.
    Wire(&'static str),
    /// A hatch.
    Hatch(Hatch),
}

/// A hatch pattern: different materials differ without colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Hatch {
    /// Lines rising to the right: sleeves.
    Slant,
    /// Lines falling to the right: insulation, covers.
    Back,
    /// Crossed lines: braid.
    Cross,
    /// Dense crossed lines: the bridge over a braid.
    Dense,
}

impl Hatch {
    /// The end of its id.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Hatch::Slant => "slant",
            Hatch::Back => "back",
            Hatch::Cross => "cross",
            Hatch::Dense => "dense",
        }
    }

    /// Spacing, rotation, and whether it is crossed.
    fn form(self) -> (f64, f64, bool) {
        match self {
            Hatch::Slant => (6.0, 45.0, false),
            Hatch::Back => (8.0, -45.0, false),
            Hatch::Cross => (5.0, 30.0, true),
            Hatch::Dense => (3.0, 45.0, true),
        }
    }
}

/// The definition of a hatch.
pub(crate) fn pattern(id: &str, hatch: Hatch) -> String {
    let (step, turn, crossed) = hatch.form();
    let stroke = r##"class="d-hatch" stroke="#222" stroke-width="0.9""##;
    let across =
        if crossed { format!(r#"<line {stroke} x1="0" y1="0" x2="{step}" y2="0"/>"#) } else { String::new() };
    let name = hatch.name();
    format!(
        r##"<pattern id="{id}-{name}" width="{step}" height="{step}" patternUnits="userSpaceOnUse" patternTransform="rotate({turn})"><rect class="d-paper" fill="#fff" width="{step}" height="{step}"/><line {stroke} x1="0" y1="0" x2="0" y2="{step}"/>{across}</pattern>"##
    )
}
