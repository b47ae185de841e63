//! The kinds of things on a vehicle that work disturbs.

/// What kind of thing an item is; each kind has its life.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs, reason = "each is the kind it names")]
pub enum Kind {
    Energy,
    Panel,
    Fastener,
    Clip,
    Tie,
    Grommet,
    Connector,
    Conductor,
    Aid,
    Setting,
}

impl Kind {
    /// All kinds, in the order in which pages list them.
    pub const ALL: [Kind; 10] = [
        Kind::Energy,
        Kind::Panel,
        Kind::Fastener,
        Kind::Clip,
        Kind::Tie,
        Kind::Grommet,
        Kind::Connector,
        Kind::Conductor,
        Kind::Aid,
        Kind::Setting,
    ];

    /// The key under which items of this kind are declared.
    pub fn key(self) -> &'static str {
        match self {
            Kind::Energy => "energies",
            Kind::Panel => "panels",
            Kind::Fastener => "fasteners",
            Kind::Clip => "clips",
            Kind::Tie => "ties",
            Kind::Grommet => "grommets",
            Kind::Connector => "connectors",
            Kind::Conductor => "conductors",
            Kind::Aid => "aids",
            Kind::Setting => "settings",
        }
    }

    /// One of them, in a sentence.
    pub fn noun(self) -> &'static str {
        match self {
            Kind::Energy => "energy",
            Kind::Panel => "panel",
            Kind::Fastener => "fastener",
            Kind::Clip => "clip",
            Kind::Tie => "tie",
            Kind::Grommet => "grommet",
            Kind::Connector => "connector",
            Kind::Conductor => "conductor",
            Kind::Aid => "aid",
            Kind::Setting => "setting",
        }
    }

    /// Whether it is something that is driven, clipped or tied, and counted.
    pub fn is_fastening(self) -> bool {
        matches!(self, Kind::Fastener | Kind::Clip | Kind::Tie | Kind::Grommet)
    }
}
