//! Lines of the stores as the workings take them.

use crate::model::{Figure, Line, Store, Stores};
use crate::quantity::{Quantity, unit};
use crate::workings::{Cable, Service, Sleeve, Stock};
use std::collections::BTreeMap;

/// What a working may choose from.
pub fn stock(stores: &Stores) -> Stock {
    Stock { cables: stores.lines(Store::Cables).map(cable).collect() }
}

/// A figure in a unit, as the workings count it.
fn number(line: &Line, key: &str, symbol: &str) -> Option<f64> {
    line.quantity(key).and_then(|quantity| quantity.in_unit(unit(symbol)?).ok())
}

/// A cable.
pub(super) fn cable(line: &Line) -> Cable {
    Cable {
        id: line.id.clone(),
        kind: line.text("kind").unwrap_or_default().to_owned(),
        untwist_limit: number(line, "untwist-limit", "mm"),
        conductor: number(line, "conductor", "mm"),
        outside: number(line, "outside", "mm"),
        core: number(line, "core", "mm"),
        dielectric: number(line, "dielectric", "mm"),
        shield: number(line, "shield", "mm"),
        area: number(line, "size", "mm²"),
        per_length: number(line, "per-length", "mΩ/m"),
        rated: number(line, "rated", "A"),
        impedance: number(line, "impedance", "Ω"),
        relative_permittivity: line.number("relative-permittivity"),
        bend_factor: line.number("bend-factor"),
        data_rate: number(line, "data-rate", "Mbit/s"),
        data_rate_limit: number(line, "data-rate-limit", "Mbit/s"),
        moulded: line.text("moulded") == Some("yes"),
    }
}

/// The sizes of a range of sleeves.
pub(super) fn sleeves(line: &Line) -> Vec<Sleeve> {
    let Some(Figure::Sizes(sizes)) = line.figure("sizes") else { return Vec::new() };
    let fraction = |quantity: &Quantity| quantity.in_unit(unit("1")?).ok();
    let change = line.range("length-change");
    let length_change = change
        .and_then(|range| Some((fraction(&range.least)?, fraction(&range.greatest)?)))
        .unwrap_or((0.0, 0.0));
    let size = |(id, size): (&String, &BTreeMap<String, Quantity>)| {
        let of = |key: &str| size.get(key).and_then(|quantity| quantity.in_unit(unit("mm")?).ok());
        Some(Sleeve {
            id: id.clone(),
            range: line.id.clone(),
            supplied: of("supplied")?,
            recovered: of("recovered")?,
            wall: of("wall")?,
            length_change,
            adhesive: line.text("adhesive") == Some("yes"),
            relative_permittivity: line.number("relative-permittivity"),
        })
    };
    sizes.iter().filter_map(size).collect()
}

/// Where a service's band and its limit come from, each said where they differ.
fn sources(band: Option<&str>, limit: Option<&str>) -> String {
    match (band.unwrap_or_default(), limit.unwrap_or_default()) {
        (band, limit) if band == limit => band.to_owned(),
        (band, limit) => format!("band by {band}; limit by {limit}"),
    }
}

/// A service of the stores as the workings take it; none where its band or its limit is missing.
pub fn service(line: &Line) -> Option<Service> {
    let band = line.range("band")?;
    Some(Service {
        id: line.id.clone(),
        name: line.name.clone(),
        low: band.least.in_unit(unit("MHz")?).ok()?,
        high: band.greatest.in_unit(unit("MHz")?).ok()?,
        least_return_loss: number(line, "least-return-loss", "dB")?,
        source: sources(line.source_of("band"), line.source_of("least-return-loss")),
    })
}
