//! Things of the stores by their figures, for tests that put them before a working.

use benchleaf::workings::{Cable, Service, Sleeve};

/// A coax of 75 Ω by its dimensions: the one of the format's example.
pub fn coax() -> Cable {
    Cable {
        id: "coax-75-thin".to_owned(),
        kind: "coax".to_owned(),
        impedance: Some(75.0),
        core: Some(0.3),
        dielectric: Some(1.95),
        relative_permittivity: Some(2.25),
        ..Cable::default()
    }
}

/// A service from `low` to `high` MHz.
pub fn service(low: f64, high: f64, least_return_loss: f64) -> Service {
    Service {
        id: "band".to_owned(),
        name: "Band".to_owned(),
        low,
        high,
        least_return_loss,
        source: "test".to_owned(),
    }
}

/// A size of the range `two`, which loses up to a tenth of its length.
pub fn sleeve(id: &str, supplied: f64, recovered: f64) -> Sleeve {
    Sleeve {
        id: id.to_owned(),
        range: "two".to_owned(),
        supplied,
        recovered,
        wall: 0.5,
        length_change: (-0.1, 0.0),
        adhesive: false,
        relative_permittivity: None,
    }
}
