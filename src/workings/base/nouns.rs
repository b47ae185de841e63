//! Things of the stores as the workings see them: sleeves, cables, services. Plain numbers in fixed units.

use std::sync::Arc;

/// One size of a shrink sleeve.
#[derive(Clone, Debug, PartialEq)]
pub struct Sleeve {
    /// The size's id.
    pub id: String,
    /// The range that it belongs to.
    pub range: String,
    /// Guaranteed least bore as supplied, mm.
    pub supplied: f64,
    /// Guaranteed greatest bore after free recovery, mm.
    pub recovered: f64,
    /// Wall after free recovery, mm.
    pub wall: f64,
    /// Change of length in shrinking as fractions, lowest first; negative where it gets shorter.
    pub length_change: (f64, f64),
    /// Whether it is lined with adhesive.
    pub adhesive: bool,
    /// Relative permittivity of the wall.
    pub relative_permittivity: Option<f64>,
}

/// A cable. What is not known is absent.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Cable {
    /// Its id.
    pub id: String,
    /// `single`, `pair`, `shielded`, `coax`, `data`, `fibre`, `pyrotechnic` or `high-voltage`.
    pub kind: String,
    /// The length to which its maker lets a pair be untwisted, mm.
    pub untwist_limit: Option<f64>,
    /// Conductor diameter, mm.
    pub conductor: Option<f64>,
    /// Outside diameter, mm.
    pub outside: Option<f64>,
    /// Diameter of a coax core, mm.
    pub core: Option<f64>,
    /// Diameter over a coax dielectric, mm.
    pub dielectric: Option<f64>,
    /// Diameter over a shield, mm.
    pub shield: Option<f64>,
    /// Copper area, mm².
    pub area: Option<f64>,
    /// Resistance per length at 20 °C, mΩ/m.
    pub per_length: Option<f64>,
    /// Rated current, A, under the conditions of its source.
    pub rated: Option<f64>,
    /// Characteristic impedance, Ω.
    pub impedance: Option<f64>,
    /// Relative permittivity of the dielectric.
    pub relative_permittivity: Option<f64>,
    /// Least bend radius over outside diameter.
    pub bend_factor: Option<f64>,
    /// Data rate that it carries, Mbit/s.
    pub data_rate: Option<f64>,
    /// Data rate up to which the shop joins it, Mbit/s.
    pub data_rate_limit: Option<f64>,
    /// Whether it is moulded and cannot be opened without loss.
    pub moulded: bool,
}

/// A radio or data service with its band.
#[derive(Clone, Debug, PartialEq)]
pub struct Service {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Lower end of the band, MHz.
    pub low: f64,
    /// Upper end of the band, MHz.
    pub high: f64,
    /// Least return loss that it tolerates, dB.
    pub least_return_loss: f64,
    /// Where band and limit come from.
    pub source: String,
}

/// What the stores hold that a working may choose from.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stock {
    /// Every cable of the stores.
    pub cables: Arc<[Cable]>,
}
