//! Every kind of store, each one line: its name in the code, and the file of this folder that declares it.

use crate::model::key::Key;
use crate::model::store::declaration::{Declaration, EVERY_LINE, Register};

/// Makes the kinds of store of the lines below.
macro_rules! register {
    ($($name:ident = $file:ident,)*) => {
        /// A kind of store; each is the file that it names.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        #[allow(missing_docs, reason = "each is the file it names")]
        pub enum Store { $($name),* }

        impl Store {
            /// All kinds, in the order of the registers.
            pub const ALL: [Store; [$(stringify!($name)),*].len()] = [$(Store::$name),*];

            /// What it declares.
            pub fn declaration(self) -> &'static Declaration {
                match self { $(Store::$name => &crate::model::store::$file::DECLARATION),* }
            }
        }
    };
}

register! {
    Tools = tools,
    Fasteners = fasteners,
    Cables = cables,
    Sleeves = sleeves,
    Consumables = consumables,
    Parts = parts,
    Protection = protection,
    Hazards = hazards,
    Services = services,
    Fuses = fuses,
    Joins = joins,
    Words = words,
}

impl Store {
    /// The name of its file, without the ending.
    pub fn file(self) -> &'static str {
        self.declaration().file
    }

    /// One line of it, in a sentence: `tool`, `sleeve range`.
    pub fn noun(self) -> &'static str {
        self.declaration().noun
    }

    /// Every key that its lines may have.
    pub fn keys(self) -> impl Iterator<Item = &'static Key> {
        let own = self.declaration().keys;
        own.iter().chain(EVERY_LINE.iter().filter(|key| own.iter().all(|known| known.name != key.name)))
    }

    /// The kind of a file's name.
    pub fn of_file(name: &str) -> Option<Store> {
        Store::ALL.into_iter().find(|store| store.file() == name)
    }

    /// The kind at which a reference's word points.
    pub fn of_word(word: &str) -> Option<Store> {
        Store::ALL.into_iter().find(|store| store.declaration().scheme == Some(word))
    }

    /// The kind on whose page its lines are listed.
    pub fn listed_with(self) -> Option<Store> {
        match self.declaration().register {
            Register::Own => Some(self),
            Register::Beside(other) => Store::of_file(other),
            Register::Nowhere => None,
        }
    }
}
