//! `join-or-replace`: whether a conductor may be joined by hand, or wants a connector, a new cable, its maker.

use crate::phrase::{Phrase, phrase};
use crate::quantity::Bound;
use crate::quantity::print::{Rounding, number};
use crate::workings::base::declaration::{Declaration, Example, Formula, Input, Kind, Output};
use crate::workings::base::given::{Given, missing};
use crate::workings::base::nouns::{Cable, Service};
use crate::workings::base::outcome::{Answer, Outcome};
use crate::workings::base::refusal::Refusal;
use crate::workings::base::working::Working;
use crate::workings::science::chain::{
    Section, coax_impedance, curve, parallel_wires, return_loss, two_layer, worst,
};

/// The working `join-or-replace`.
pub(crate) struct JoinOrReplace;

const DIAMETER: Bound = Bound::above(0.0, 100.0);
const LENGTH: Bound = Bound::from(0.0, 1000.0);
const KINDS: &[&str] =
    &["single", "pair", "shielded", "coax", "data", "fibre", "pyrotechnic", "high-voltage"];

static DECLARATION: Declaration = Declaration {
    name: "join-or-replace",
    title: "Join or replace",
    purpose: "Advises whether a conductor may be joined, and for a coax what the joint leaves of each service.",
    inputs: &[
        Input::word("kind", Kind::Choice(KINDS), "kind of conductor"),
        Input::word("cable", Kind::Cable, "the cable, from the stores").optional(),
        Input::word("services", Kind::Services, "the services that a coax carries, from the stores")
            .optional(),
        Input::word(
            "shield-joint",
            Kind::Choice(&["bridged", "pigtail", "ferrule"]),
            "how the shield is closed",
        )
        .default("bridged"),
        Input::may("joint", "mm", Bound::above(0.0, 1000.0), "length of the core joint, as in `coax-strip`"),
        Input::need("tip", "mm", LENGTH, "gap from a core's tip to the other dielectric").default("1 mm"),
        Input::need("inner-overlap", "mm", LENGTH, "what the inner sleeve covers of each dielectric")
            .default("5 mm"),
        Input::need("gap", "mm", LENGTH, "gap between the inner sleeve and the shield's edge")
            .default("1 mm"),
        Input::may("core-strip", "mm", LENGTH, "output of `coax-strip`, instead of `tip`"),
        Input::may(
            "shield-cut-back",
            "mm",
            LENGTH,
            "output of `coax-strip`, instead of `inner-overlap` and `gap`",
        ),
        Input::may(
            "cable-allowance",
            "mm",
            Bound::above(0.0, 1000.0),
            "output of `coax-strip`, instead of `joint`",
        ),
        Input::may("core-joint", "mm", DIAMETER, "diameter of the core joint")
            .derived("two cores side by side"),
        Input::may("inner-sleeve", "mm", DIAMETER, "finished diameter of the inner sleeve")
            .derived("the dielectric and 1 mm"),
        Input::word("from", Kind::Sleeves, "the ranges that the inner sleeve was chosen from").optional(),
        Input::word("sleeve", Kind::Text, "the inner sleeve among them, output of `sleeve`").optional(),
        Input::may(
            "sleeve-permittivity",
            "1",
            Bound::from(1.0, 20.0),
            "relative permittivity of the inner sleeve",
        )
        .derived("that of the sleeve"),
        Input::may("line", "Ω", Bound::from(1.0, 1000.0), "impedance of the line")
            .derived("that of the cable"),
        Input::may("core", "mm", DIAMETER, "diameter of the core").derived("that of the cable"),
        Input::may("dielectric", "mm", DIAMETER, "diameter over the dielectric").derived("that of the cable"),
        Input::may(
            "relative-permittivity",
            "1",
            Bound::from(1.0, 20.0),
            "relative permittivity of the dielectric",
        )
        .derived("that of the cable"),
    ],
    open: false,
    outputs: &[
        Output::text("verdict", "join, connector, replace or maker"),
        Output::text("reason", "why"),
        Output::text("worst-service", "the service that has least to spare"),
        Output::number(
            "margin",
            "dB",
            Rounding::Figures,
            "return loss beyond what the worst service tolerates",
        ),
    ],
    formulas: &[
        Formula {
            text: "bridged: three segments; layers by ln(b/a)/εr summed",
            mathml: "<mfrac><mrow><mi>ln</mi><mo>(</mo><mfrac><mi>D</mi><mi>d</mi></mfrac><mo>)</mo></mrow><mi>ε</mi></mfrac><mo>=</mo><mfrac><mrow><mi>ln</mi><mo>(</mo><mfrac><mi>b</mi><mi>d</mi></mfrac><mo>)</mo></mrow><msub><mi>ε</mi><mn>1</mn></msub></mfrac><mo>+</mo><mfrac><mrow><mi>ln</mi><mo>(</mo><mfrac><mi>D</mi><mi>b</mi></mfrac><mo>)</mo></mrow><msub><mi>ε</mi><mn>2</mn></msub></mfrac>",
        },
        Formula {
            text: "pigtail: Z = (η₀/π)/√εr · acosh(s/d), s = half the sleeve's diameter + d/2",
            mathml: "<mi>Z</mi><mo>=</mo><mrow><mfrac><msub><mi>η</mi><mn>0</mn></msub><mrow><mrow><mi>π</mi><mo>·</mo><msqrt><msub><mi>ε</mi><mi>r</mi></msub></msqrt></mrow></mrow></mfrac><mo>·</mo><mrow><mi>acosh</mi><mo>(</mo><mfrac><mi>s</mi><mi>d</mi></mfrac><mo>)</mo></mrow></mrow><mo>,</mo><mi>s</mi><mo>=</mo><mfrac><mi>D</mi><mn>2</mn></mfrac><mo>+</mo><mfrac><mi>d</mi><mn>2</mn></mfrac>",
        },
    ],
    limits: &[
        "The verdict advises; the vehicle maker's instruction comes first.",
        "Losses, a broken ground path and the radiation of a pigtail are not in it: the result is the best case.",
    ],
    sources: &[
        "Own calculation by the chain matrix of `line-joint`; limits of the services by their own sources",
    ],
    example: Example { given: &[("kind", "single")], answers: &[] },
    maker_first: true,
};

impl Working for JoinOrReplace {
    fn declaration(&self) -> &'static Declaration {
        &DECLARATION
    }

    fn work(&self, given: &Given) -> Result<Outcome, Refusal> {
        let kind = given.text("kind").ok_or_else(|| missing(&DECLARATION, "kind"))?;
        let cable = given.cable("cable");
        let stored = cable.map(|cable| cable.kind.as_str()).filter(|stored| !stored.is_empty());
        // A dangerous kind wins, whichever side names it.
        let forbidden = [Some(kind), stored].into_iter().flatten().find(|kind| FORBIDDEN.contains(kind));
        let mut answer = Answer::new(&DECLARATION);
        answer.caution(phrase!("The vehicle maker's instruction comes first; this verdict only advises."));
        if let Some(kind) = forbidden {
            return verdict(
                answer,
                "maker",
                phrase!(
                    "A {kind} conductor is never joined by a computed figure: follow the maker's instruction.",
                    kind = named(kind)
                ),
            );
        }
        if let Some(stored) = stored.filter(|stored| *stored != kind) {
            return Err(Refusal::input(
                "kind",
                phrase!(
                    "`kind` is `{kind}`, but the stores call the cable `{stored}`",
                    kind = kind,
                    stored = stored
                ),
            ));
        }
        if let Some(reason) = cable.and_then(unjoinable) {
            return verdict(answer, "replace", reason);
        }
        match kind {
            "coax" => judge_coax(given, answer),
            "data" => judge_data(cable, answer),
            "pair" => judge_pair(cable, answer),
            "shielded" => verdict(
                answer,
                "join",
                phrase!("The conductors are joined and the shield is closed all round over them."),
            ),
            _ => verdict(
                answer,
                "join",
                phrase!("A single conductor is joined by the method that the shop allows for its place."),
            ),
        }
    }
}

/// Kinds for which no figure is given.
const FORBIDDEN: &[&str] = &["fibre", "pyrotechnic", "high-voltage"];

/// A kind for which no figure is given, in words.
fn named(kind: &str) -> Phrase {
    match kind {
        "fibre" => phrase!("fibre"),
        "pyrotechnic" => phrase!("pyrotechnic"),
        _ => phrase!("high-voltage"),
    }
}

/// Why a cable of the stores is not joined at all.
fn unjoinable(cable: &Cable) -> Option<Phrase> {
    if cable.moulded {
        return Some(phrase!(
            "The cable `{cable}` is moulded: it does not open and close again.",
            cable = cable.id
        ));
    }
    match (cable.data_rate, cable.data_rate_limit) {
        (Some(rate), Some(limit)) if rate > limit => {
            let (rate, limit) = (number(rate, Rounding::Figures), number(limit, Rounding::Figures));
            Some(phrase!(
                "Its data rate of {rate} Mbit/s passes the limit of {limit} Mbit/s for a joint.",
                rate = rate,
                limit = limit
            ))
        }
        _ => None,
    }
}

/// A pair is joined only where its maker says how far it may be untwisted.
fn judge_pair(cable: Option<&Cable>, answer: Answer) -> Result<Outcome, Refusal> {
    match cable.and_then(|cable| cable.untwist_limit) {
        Some(limit) => verdict(
            answer,
            "join",
            phrase!(
                "A pair is joined wire by wire, staggered, untwisted over at most {limit} mm, and its twist is restored.",
                limit = number(limit, Rounding::Figures)
            ),
        ),
        None => verdict(
            answer,
            "maker",
            phrase!(
                "The stores do not say how far its maker lets this pair be untwisted: without that the maker decides."
            ),
        ),
    }
}

/// A data cable is joined only below a stated limit.
fn judge_data(cable: Option<&Cable>, answer: Answer) -> Result<Outcome, Refusal> {
    let known = cable.is_some_and(|cable| cable.data_rate.is_some() && cable.data_rate_limit.is_some());
    if known {
        verdict(
            answer,
            "join",
            phrase!("Its data rate is within the limit for a joint; keep the pair's twist up to the joint."),
        )
    } else {
        verdict(
            answer,
            "maker",
            phrase!(
                "No data rate and limit of this cable are in the stores: without them the maker decides."
            ),
        )
    }
}

/// Finishes an answer that has no figures.
fn verdict(mut answer: Answer, verdict: &str, reason: Phrase) -> Result<Outcome, Refusal> {
    answer.put_text("verdict", verdict);
    answer.put_words("reason", reason);
    answer.finish()
}

/// Relative permittivity of polyolefin, of which most shrink sleeves are made (handbook value, from memory).
const POLYOLEFIN: f64 = 2.3;

/// The relative permittivity of the inner sleeve: given, else that of the stores.
fn filling(given: &Given, answer: &mut Answer) -> f64 {
    if let Some(measure) = given.measure("sleeve-permittivity") {
        return measure.value;
    }
    let chosen = given.text("sleeve");
    let sleeve = given.sleeves("from").iter().find(|sleeve| Some(sleeve.id.as_str()) == chosen);
    let stored = sleeve.and_then(|sleeve| sleeve.relative_permittivity).filter(|stored| *stored >= 1.0);
    if stored.is_none() {
        answer.caution(phrase!(
            "The sleeve's permittivity is not known and counts as {polyolefin}, polyolefin.",
            polyolefin = POLYOLEFIN.to_string()
        ));
    }
    stored.unwrap_or(POLYOLEFIN)
}

/// The joint of a coax in its own line, both ways.
struct Model {
    line: f64,
    bridged: Vec<Section>,
    pigtail: Vec<Section>,
}

/// What a method leaves: the service with least to spare, and the return loss at its worst point.
struct Judged<'a> {
    service: &'a Service,
    loss: f64,
    margin: f64,
    megahertz: f64,
}

/// Judges a coax by the worst point of the worst service.
fn judge_coax(given: &Given, mut answer: Answer) -> Result<Outcome, Refusal> {
    let services = given.services("services");
    if services.is_empty() {
        return Err(
            missing(&DECLARATION, "services").help(phrase!("name what the coax carries: its bands decide"))
        );
    }
    for service in services {
        let sound = service.low > 0.0 && service.high >= service.low && service.high <= 100_000.0;
        if !sound || !service.least_return_loss.is_finite() {
            return Err(Refusal::input(
                "services",
                phrase!(
                    "the band of `{service}` is not one from more than 0 MHz to 100 GHz",
                    service = service.id
                ),
            ));
        }
    }
    let model = model(given, &mut answer)?;
    let bridged = judged(model.line, &model.bridged, services)?;
    let pigtail = judged(model.line, &model.pigtail, services)?;
    let as_pigtail = given.text("shield-joint") == Some("pigtail");
    let both = [("bridged", &model.bridged), ("pigtail", &model.pigtail)];
    let (own, [shown, other]) = if as_pigtail { (&pigtail, [both[1], both[0]]) } else { (&bridged, both) };
    let verdict = match (own.margin >= 0.0, bridged.margin >= 0.0) {
        (true, _) => "join",
        (false, true) => "connector",
        (false, false) => "replace",
    };
    let show = |judged: &Judged<'_>| {
        phrase!(
            "{loss} dB at {frequency} MHz for {service}, which tolerates {least} dB",
            loss = number(judged.loss, Rounding::Figures),
            frequency = number(judged.megahertz, Rounding::Figures),
            service = judged.service.name,
            least = number(judged.service.least_return_loss, Rounding::Figures)
        )
    };
    let judged_both = phrase!(
        "Bridged, the shield keeps {bridged}; as a pigtail, {pigtail}.",
        bridged = show(&bridged),
        pigtail = show(&pigtail)
    );
    let advice = match verdict {
        "connector" => {
            Some(phrase!("Bridge the shield all round, or fit an in-line connector of the line's impedance."))
        }
        "replace" => Some(phrase!(
            "Even the better method fails: run a new cable, or a connector if its maker states the band."
        )),
        _ => None,
    };
    let reason = Phrase::list(std::iter::once(judged_both).chain(advice).collect(), " ");
    let low = services.iter().map(|service| service.low).fold(f64::INFINITY, f64::min);
    let high = services.iter().map(|service| service.high).fold(0.0, f64::max);
    answer.curve(curve(model.line, shown.1, low, high));
    answer.against(shown.0, other.0, curve(model.line, other.1, low, high));
    for service in services {
        answer.source(phrase!("{service}: {source}", service = service.name, source = service.source));
    }
    answer.put_text("verdict", verdict);
    answer.put_words("reason", reason);
    answer.put_text("worst-service", own.service.id.clone());
    answer.put("margin", own.margin);
    answer.caution(phrase!(
        "This is the best case: losses, a broken ground path and the radiation of a pigtail are not in it."
    ));
    answer.finish()
}

/// The service with the least margin; return losses are cut at 200 dB so that a perfect match stays a number.
fn judged<'a>(line: f64, sections: &[Section], services: &'a [Service]) -> Result<Judged<'a>, Refusal> {
    let each = services.iter().map(|service| {
        let (megahertz, reflection) = worst(line, sections, service.low, service.high);
        let loss = return_loss(reflection).min(200.0);
        Judged { service, loss, margin: loss - service.least_return_loss, megahertz }
    });
    each.min_by(|a, b| a.margin.total_cmp(&b.margin).then(a.service.id.cmp(&b.service.id)))
        .ok_or_else(|| missing(&DECLARATION, "services"))
}

/// The sections of both methods from the dimensions.
fn model(given: &Given, answer: &mut Answer) -> Result<Model, Refusal> {
    let cable = given.cable("cable");
    let figure = |name: &str, stored: Option<f64>| {
        let value = given.measure(name).map(|measure| measure.value).or(stored);
        value.filter(|value| value.is_finite() && *value > 0.0).ok_or_else(|| {
            missing(&DECLARATION, name)
                .help(phrase!("a coax is judged by its cable's dimensions: name a `cable` that has them"))
        })
    };
    let line = figure("line", cable.and_then(|cable| cable.impedance))?;
    let core = figure("core", cable.and_then(|cable| cable.core))?;
    let dielectric = figure("dielectric", cable.and_then(|cable| cable.dielectric))?;
    let permittivity = figure("relative-permittivity", cable.and_then(|cable| cable.relative_permittivity))?;
    let joint = given
        .measure("cable-allowance")
        .or(given.measure("joint"))
        .ok_or_else(|| missing(&DECLARATION, "joint"))?
        .value;
    let tip = given.measure("core-strip").map_or(given.need("tip")?.value, |strip| strip.value - joint);
    let step = match given.measure("shield-cut-back") {
        Some(back) => back.value - joint - tip,
        None => given.need("inner-overlap")?.value + given.need("gap")?.value,
    };
    if tip < 0.0 || step < 0.0 || permittivity < 1.0 {
        return Err(Refusal::input(
            "core-strip",
            phrase!("the strip lengths do not fit each other: take them from one `coax-strip`"),
        ));
    }
    let joint_diameter = given.measure("core-joint").map_or(2.0 * core, |measure| measure.value);
    let sleeve = given.measure("inner-sleeve").map_or(dielectric + 1.0, |measure| measure.value);
    for (name, text) in [
        ("core-joint", phrase!("two cores side by side")),
        ("inner-sleeve", phrase!("the dielectric and 1 mm")),
    ] {
        if !given.has(name) {
            answer.caution(phrase!(
                "`{name}` was not given and counts as {text}: measure it.",
                name = name,
                text = text
            ));
        }
    }
    if dielectric <= core || sleeve <= joint_diameter || sleeve < dielectric {
        return Err(Refusal::input(
            "inner-sleeve",
            phrase!(
                "the finished inner sleeve must be larger than core joint and dielectric, and the dielectric larger than the core"
            ),
        ));
    }
    let filling = filling(given, answer);
    let middle = Section {
        impedance: coax_impedance(joint_diameter, sleeve, filling),
        length: joint + 2.0 * tip,
        velocity: 1.0 / filling.sqrt(),
    };
    let (impedance, velocity) = two_layer(core, dielectric, sleeve, permittivity, filling);
    let side = Section { impedance, length: step, velocity };
    let length = joint + 2.0 * (tip + step);
    let apart = f64::midpoint(sleeve, joint_diameter);
    // The worse of air and sleeve between the wires is judged over the services: air has the higher impedance.
    let pigtail = [1.0, filling].map(|permittivity| Section {
        impedance: parallel_wires(joint_diameter, apart, permittivity),
        length,
        velocity: 1.0 / permittivity.sqrt(),
    });
    let services = given.services("services");
    let [air, filled] = pigtail;
    let margin = |section: Section| judged(line, &[section], services).map(|judged| judged.margin);
    let worse = if margin(air)? <= margin(filled)? { air } else { filled };
    answer.step(phrase!("core joint {impedance} Ω over {length} mm, beside it {side} Ω over {side_length} mm each; as a pigtail {pigtail} Ω over {pigtail_length} mm", impedance = number(middle.impedance, Rounding::Figures), length = number(middle.length, Rounding::Figures), side = number(impedance, Rounding::Figures), side_length = number(step, Rounding::Figures), pigtail = number(worse.impedance, Rounding::Figures), pigtail_length = number(length, Rounding::Figures)));
    Ok(Model { line, bridged: vec![side, middle, side], pigtail: vec![worse] })
}
