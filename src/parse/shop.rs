//! `shop.yaml`.

use super::fields::{Fields, place};
use super::yaml;
use crate::finding::{Code, FileId, Finding, Sink, Span};
use crate::model::{Browsers, Limits, Place, SHOP, Shop};
use crate::source::Source;

/// Reads `shop.yaml`; what is missing or wrong is reported and replaced by a default, so that the rest of the
/// manual can still be checked.
pub(super) fn read(source: &Source, sink: &mut Sink) -> Shop {
    let mut shop = default();
    let Some((id, file)) = source.at("shop.yaml") else {
        sink.push(
            Finding::error(Code("SRC-07"), format!("`{}` holds no shop.yaml", source.root().display()))
                .help("a manual is a folder with a shop.yaml: name the right folder, or write one"),
        );
        return shop;
    };
    let Some(text) = file.text() else { return shop };
    if text.len() > 65_536 {
        sink.push(
            Finding::error(Code("SRC-02"), "shop.yaml holds more than 64 kB")
                .at(Span::whole(id), "this file"),
        );
        return shop;
    }
    match yaml::read(id, text, 0, text.len()) {
        Ok(node) => {
            if let Some(fields) = Fields::declared(&node, "the shop", SHOP, sink) {
                fill(&mut shop, fields, sink);
            }
        }
        Err(finding) => sink.push(*finding),
    }
    shop.place = place(Span::whole(id));
    shop
}

fn default() -> Shop {
    Shop {
        id: "shop".into(),
        name: String::new(),
        language: "en".into(),
        length: "mm".into(),
        torque: "N·m".into(),
        temperature: "°C".into(),
        second_units: Vec::new(),
        paper: "A4".into(),
        currency: "EUR".into(),
        signal_words: "ANSI Z535.6".into(),
        browsers: Browsers::default(),
        limits: Limits::default(),
        place: Place { file: FileId(0).0, start: 0, end: 0 },
    }
}

fn fill(shop: &mut Shop, mut fields: Fields<'_>, sink: &mut Sink) {
    let Shop { id, name, language, paper, currency, signal_words, .. } = shop;
    let texts = [
        ("id", id),
        ("name", name),
        ("language", language),
        ("paper", paper),
        ("currency", currency),
        ("signal-words", signal_words),
    ];
    for (key, kept) in texts {
        if let Some((text, _)) = fields.said(key, sink) {
            *kept = text;
        }
    }
    if let Some(units) = fields.map("units", "the shop's units", sink) {
        for (dimension, symbol) in read_units(units, sink) {
            match dimension {
                "length" => shop.length = symbol,
                "torque" => shop.torque = symbol,
                _ => shop.temperature = symbol,
            }
        }
    }
    if let Some(units) = fields.map("second-units", "the shop's second units", sink) {
        shop.second_units = read_units(units, sink)
            .into_iter()
            .map(|(dimension, symbol)| (dimension.to_owned(), symbol))
            .collect();
    }
    if let Some(mut browsers) = fields.map("browsers", "the shop's browsers", sink) {
        let Browsers { chrome, firefox, safari } = &mut shop.browsers;
        for (key, kept) in [("chrome", chrome), ("firefox", firefox), ("safari", safari)] {
            *kept = browsers.whole_number(key, sink).unwrap_or(*kept);
        }
        browsers.finish(sink);
    }
    if let Some(mut limits) = fields.map("limits", "the shop's limits", sink) {
        let Limits { file, figure, procedures, carried, cells, wires } = &mut shop.limits;
        let all = [
            ("file", file),
            ("figure", figure),
            ("procedures", procedures),
            ("carried", carried),
            ("cells", cells),
            ("wires", wires),
        ];
        for (key, kept) in all {
            *kept = limits.whole_number(key, sink).map_or(*kept, u64::from);
        }
        limits.finish(sink);
    }
    fields.finish(sink);
}

/// The units of length, torque and temperature that a map names.
fn read_units(mut fields: Fields<'_>, sink: &mut Sink) -> Vec<(&'static str, String)> {
    let mut units = Vec::new();
    for key in ["length", "torque", "temperature"] {
        if let Some((symbol, _)) = fields.said(key, sink) {
            units.push((key, symbol));
        }
    }
    fields.finish(sink);
    units
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read_text(text: &str) -> (Shop, Vec<Finding>) {
        let (mut shop, mut sink) = (default(), Sink::new());
        let node = yaml::read(FileId(0), text, 0, text.len()).unwrap();
        fill(&mut shop, Fields::declared(&node, "the shop", SHOP, &mut sink).unwrap(), &mut sink);
        (shop, sink.into_sorted())
    }

    #[test]
    fn the_example_of_every_key_is_read() {
        let lines: Vec<String> = SHOP.iter().map(|key| format!("{}: {}\n", key.name, key.example)).collect();
        let (shop, found) = read_text(&lines.concat());
        assert_eq!(found, []);
        assert_eq!((shop.length.as_str(), shop.temperature.as_str()), ("mm", "°C"));
        assert_eq!(shop.second_units, [("length".into(), "in".into()), ("torque".into(), "lbf·ft".into())]);
        assert_eq!(shop.limits.figure, 5 * 1024 * 1024);
        assert_eq!((shop.browsers.chrome, shop.browsers.firefox, shop.browsers.safari), (90, 90, 14));
    }

    #[test]
    fn a_wrong_value_says_what_to_write_and_leaves_the_usual_one() {
        for (written, help) in [
            ("units: {length: millimetre}", Some("write `mm`")),
            ("units: {length: mm2}", Some("write `mm`")),
            ("units: {length: mmm}", Some("write `mm`")),
            ("units: {lenght: mm}", Some("write `length`")),
            ("units: {torque: N.m}", None),
            ("language: eng", Some("write `en`")),
            ("limits: {file: 2}", None),
            ("limits: {file: 5 GB}", None),
            ("browsers: {chrome: 0}", None),
        ] {
            let (shop, found) = read_text(&format!("id: a\nname: A\n{written}\n"));
            let serves = written.contains("N.m");
            assert_eq!(found.len(), usize::from(!serves), "{written}: {found:?}");
            assert_eq!(found.first().and_then(|found| found.help.as_deref()), help, "{written}");
            assert_eq!(
                (shop.length.as_str(), shop.torque.as_str(), shop.limits.file),
                ("mm", "N·m", 2 << 20)
            );
        }
    }

    #[test]
    fn a_shop_needs_its_id_and_a_name_that_says_something() {
        for (text, wanted) in
            [("name: A", "has no `id`"), ("id: a", "has no `name`"), ("id: a\nname: ''", "empty")]
        {
            let (_, found) = read_text(text);
            assert_eq!(found.len(), 1, "{text}: {found:?}");
            assert!(found[0].headline.contains(wanted), "{found:?}");
        }
    }
}
