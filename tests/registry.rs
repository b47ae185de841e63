//! The registers are whole: every file of workings, drawings, rules and page kinds stands in its register
//! once, and no code, name or address is given twice.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "tests read files")]

mod workbench;

use benchleaf::model::{Form, Kind, Register, Scheme, Store, format};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;

/// A folder whose files are parts that a register lists: where the register stands, and which files of the
/// folder are no parts.
struct Shelf {
    folder: &'static str,
    register: &'static str,
    support: &'static [&'static str],
}

const SHELVES: &[Shelf] = &[
    Shelf { folder: "workings", register: "workings/register.rs", support: &["mod", "register"] },
    // A connector's face draws no working: pages call it by name.
    Shelf {
        folder: "drawings",
        register: "drawings/mod.rs",
        support: &["mod", "connector_face", "plot", "svg", "tests"],
    },
    Shelf {
        folder: "page",
        register: "page/mod.rs",
        support: &["mod", "address", "hazards", "markup", "prose", "tests"],
    },
    Shelf { folder: "check/rules", register: "check/rules/mod.rs", support: &["mod"] },
];

/// The modules that a register names, in lines such as `&bundle::Bundle,`.
fn listed(register: &str) -> Vec<String> {
    let code = register.split("#[cfg(test)]").next().unwrap_or_default();
    code.lines()
        .filter_map(|line| line.trim().strip_prefix('&')?.split_once("::"))
        .map(|(module, _)| module.to_owned())
        .collect()
}

fn twice<T: Ord + Clone + std::fmt::Debug>(all: impl IntoIterator<Item = T>) -> BTreeSet<T> {
    let mut seen = BTreeSet::new();
    all.into_iter().filter(|one| !seen.insert(one.clone())).collect()
}

#[test]
fn every_part_is_registered_once() {
    let source = workbench::root().join("src");
    for shelf in SHELVES {
        let text = fs::read_to_string(source.join(shelf.register)).expect("the register is there");
        let mut listed = listed(&text);
        listed.sort();
        let mut parts: Vec<String> = fs::read_dir(source.join(shelf.folder))
            .expect("the folder is there")
            .filter_map(|entry| entry.unwrap().file_name().to_str()?.strip_suffix(".rs").map(str::to_owned))
            .filter(|name| !shelf.support.contains(&name.as_str()))
            .collect();
        parts.sort();
        assert!(!parts.is_empty(), "src/{} holds no part", shelf.folder);
        assert_eq!(listed, parts, "src/{} against the list in src/{}", shelf.folder, shelf.register);
    }
}

#[test]
fn workings_have_names_of_their_own_and_say_what_they_take() {
    let declarations: Vec<_> =
        benchleaf::workings::register().iter().map(|working| working.declaration()).collect();
    assert_eq!(twice(declarations.iter().map(|declaration| declaration.name)), BTreeSet::new());
    for declaration in declarations {
        let inputs = declaration.inputs.iter().map(|input| input.name);
        assert_eq!(twice(inputs), BTreeSet::new(), "inputs of {}", declaration.name);
        let outputs = declaration.outputs.iter().map(|output| output.name);
        assert_eq!(twice(outputs), BTreeSet::new(), "outputs of {}", declaration.name);
        assert!(benchleaf::model::is_id(declaration.name), "`{}` is not an id", declaration.name);
    }
}

#[test]
fn drawings_draw_workings_that_exist_and_share_none() {
    let mut drawn: BTreeMap<&str, &str> = BTreeMap::new();
    let register = benchleaf::drawings::register();
    assert_eq!(twice(register.iter().map(|drawing| drawing.name())), BTreeSet::new());
    for drawing in register {
        for working in drawing.workings() {
            assert!(benchleaf::workings::find(working).is_some(), "{} draws `{working}`", drawing.name());
            assert_eq!(drawn.insert(working, drawing.name()), None, "`{working}` is drawn twice");
        }
    }
}

#[test]
fn rules_have_codes_of_their_own_and_explain_themselves() {
    let pages: Vec<_> = benchleaf::check::rules::register().iter().map(|rule| rule.page()).collect();
    assert_eq!(twice(pages.iter().map(|page| page.code)), BTreeSet::new());
    for page in pages {
        for (what, text) in [("rule", page.rule), ("why", page.why), ("source", page.source)] {
            assert!(text.len() > 5, "{}: its {what} says nothing", page.code);
        }
        assert_ne!(page.fails, page.passes, "{}: the mended example is the broken one", page.code);
        let file = format!("src/check/rules/{}.rs", page.code.0.to_lowercase().replace('-', "_"));
        assert!(workbench::root().join(&file).is_file(), "{} does not stand in {file}", page.code);
    }
}

#[test]
fn page_kinds_have_names_of_their_own() {
    let names = benchleaf::page::register().iter().map(|kind| kind.name());
    assert_eq!(twice(names), BTreeSet::new());
}

#[test]
fn every_kind_of_store_is_listed_once_under_names_of_its_own() {
    let root = workbench::root().join("src/model/store");
    let support = ["mod", "declaration", "line", "register"];
    let files: BTreeSet<String> = fs::read_dir(&root)
        .unwrap()
        .filter_map(|entry| entry.unwrap().file_name().to_str()?.strip_suffix(".rs").map(str::to_owned))
        .filter(|name| !support.contains(&name.as_str()))
        .map(|name| name.replace('_', "-"))
        .collect();
    let named: BTreeSet<String> = Store::ALL.into_iter().map(|store| store.file().to_owned()).collect();
    assert_eq!(
        files, named,
        "the files of src/model/store, `_` as `-`, against the `file` of the kinds in its register"
    );
    assert_eq!(twice(Store::ALL.into_iter().map(Store::file)), BTreeSet::new());
    assert_eq!(twice(Store::ALL.into_iter().map(Store::noun)), BTreeSet::new());
    for store in Store::ALL {
        let declared = store.declaration();
        // Lines that no page lists are called by their ids.
        let names = store.keys().any(|key| key.name == declared.called_by);
        assert!(
            names || declared.register == Register::Nowhere,
            "{}: `called_by` is `{}`, and no key is called so",
            declared.file,
            declared.called_by
        );
        if let Some(word) = declared.scheme {
            assert_eq!(Scheme::of(word), Some(Scheme::Line(store)), "`{word}:` points at another kind");
            assert_eq!(Scheme::Line(store).word(), word);
        }
        if let Register::Beside(other) = declared.register {
            let other = Store::of_file(other).map(|other| other.declaration().register);
            assert_eq!(other, Some(Register::Own), "{} stands beside nothing", declared.file);
        }
        if declared.register != Register::Nowhere {
            assert!(declared.scheme.is_some(), "{} is listed and nothing can refer to it", declared.file);
        }
    }
}

/// The schemes that a key takes are schemes: a misspelt one would refuse every reference.
#[test]
fn keys_take_schemes_that_exist() {
    let stores = Store::ALL.into_iter().flat_map(Store::keys);
    let items = Kind::ALL.into_iter().flat_map(format::vehicle::item_keys);
    let parts = format::PARTS.iter().flat_map(|part| part.keys);
    let mut seen = 0;
    for key in stores.chain(items).chain(parts) {
        let (Form::Reference(schemes) | Form::References(schemes)) = key.form else { continue };
        for scheme in schemes {
            seen += 1;
            assert!(Scheme::of(scheme).is_some(), "`{}` takes `{scheme}:`, which is no scheme", key.name);
        }
    }
    assert!(seen >= 10, "only {seen} keys take references");
}
