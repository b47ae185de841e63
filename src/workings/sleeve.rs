//! `sleeve`: which shrink sleeve fits, and how long to cut it.

use crate::phrase::{Phrase, phrase};
use crate::quantity::Bound;
use crate::quantity::print::{Rounding, number};
use crate::workings::base::declaration::{Declaration, Example, Formula, Input, Kind, Output};
use crate::workings::base::given::{Given, Measure, missing};
use crate::workings::base::nouns::Sleeve as Size;
use crate::workings::base::outcome::{Answer, Outcome};
use crate::workings::base::refusal::Refusal;
use crate::workings::base::working::Working;

/// The working `sleeve`.
pub(crate) struct Sleeve;

const BORE: Bound = Bound::above(0.0, 200.0);

static DECLARATION: Declaration = Declaration {
    name: "sleeve",
    title: "Which shrink sleeve, and how long",
    purpose: "Chooses the smallest sleeve that slides over the joint and grips the wire, and gives its cut length.",
    inputs: &[
        Input::need(
            "over",
            "mm",
            BORE,
            "largest diameter that it must slide over; of a list the largest counts",
        )
        .kind(Kind::Quantities),
        Input::need("grip", "mm", BORE, "smallest diameter that it must grip; of a list the smallest counts")
            .kind(Kind::Quantities),
        Input::need(
            "covers",
            "mm",
            Bound::from(0.0, 100_000.0),
            "length to cover between the ends of the insulation",
        ),
        Input::may("overlap", "mm", Bound::from(0.0, 1000.0), "overlap on the insulation at each end")
            .derived("the larger of 5 mm and 2·grip"),
        Input::word("from", Kind::Sleeves, "one range of the stores, or several").optional(),
        Input::may("supplied", "mm", BORE, "guaranteed least bore as supplied, for one sleeve"),
        Input::may("recovered", "mm", BORE, "guaranteed greatest bore after shrinking, for one sleeve"),
        Input::may("wall", "mm", Bound::above(0.0, 50.0), "wall after free shrinking, for one sleeve"),
        Input::may(
            "length-change",
            "1",
            Bound::above(-0.9, 0.5),
            "change of length in shrinking, for one sleeve; a shrinkage is negative",
        )
        .kind(Kind::Range),
        Input::need("slide", "1", Bound::from(0.0, 2.0), "free clearance as a fraction of `over`")
            .default("0.1"),
        Input::need("slide-least", "mm", Bound::from(0.0, 50.0), "least free clearance").default("0.5 mm"),
        Input::need("squeeze", "1", Bound::below(0.0, 1.0), "least interference as a fraction of `grip`")
            .default("0.1"),
    ],
    open: false,
    outputs: &[
        Output::text("sleeve", "the size chosen"),
        Output::number("cut-length", "mm", Rounding::LengthUp, "length to cut"),
        Output::number("wall-after", "mm", Rounding::Length, "wall over the largest diameter, shrunk"),
        Output::number(
            "finished-diameter",
            "mm",
            Rounding::LengthUp,
            "outside diameter over the largest diameter, shrunk",
        ),
        Output::number("ratio-needed", "1", Rounding::Figures, "shrink ratio that the place asks for"),
        Output::number("slide-margin", "mm", Rounding::Length, "bore as supplied beyond what sliding needs"),
        Output::number(
            "grip-margin",
            "mm",
            Rounding::Length,
            "what gripping allows beyond the bore after shrinking",
        ),
    ],
    formulas: &[
        Formula {
            text: "supplied ≥ over + max(slide·over, slide-least)",
            mathml: "<msub><mi>b</mi><mi>s</mi></msub><mo>≥</mo><mi>D</mi><mo>+</mo><mrow><mi>max</mi><mo>(</mo><mrow><mi>s</mi><mo>·</mo><mi>D</mi></mrow><mo>,</mo><msub><mi>s</mi><mn>0</mn></msub><mo>)</mo></mrow>",
        },
        Formula {
            text: "recovered ≤ grip·(1 − squeeze)",
            mathml: "<msub><mi>b</mi><mi>r</mi></msub><mo>≤</mo><mrow><mi>g</mi><mo>·</mo><mrow><mo>(</mo><mn>1</mn><mo>−</mo><mi>q</mi><mo>)</mo></mrow></mrow>",
        },
        Formula {
            text: "cut-length = (covers + 2·overlap) / (1 + length-change)",
            mathml: "<mi>L</mi><mo>=</mo><mfrac><mrow><mi>c</mi><mo>+</mo><mrow><mn>2</mn><mo>·</mo><mi>o</mi></mrow></mrow><mrow><mn>1</mn><mo>+</mo><mi>ε</mi></mrow></mfrac>",
        },
        Formula {
            text: "wall-after = √(D²/4 + w·(w + b)) − D/2 on the diameter D, finished-diameter = D + 2·wall-after",
            mathml: "<mi>w</mi><mo>=</mo><msqrt><mfrac><msup><mi>D</mi><mn>2</mn></msup><mn>4</mn></mfrac><mo>+</mo><mrow><msub><mi>w</mi><mi>r</mi></msub><mo>·</mo><mrow><mo>(</mo><msub><mi>w</mi><mi>r</mi></msub><mo>+</mo><msub><mi>b</mi><mi>r</mi></msub><mo>)</mo></mrow></mrow></msqrt><mo>−</mo><mfrac><mi>D</mi><mn>2</mn></mfrac>",
        },
    ],
    limits: &[
        "The wall keeps its area; a change of length is not counted in it.",
        "A sleeve is threaded on before the joint closes its way.",
    ],
    sources: &[
        "NASA-STD-8739.3 9.8 for the overlap: 5 mm or two insulated wire diameters, the larger",
        "The sleeve's own specification for its sizes; the fit rule is common practice",
        "Constant wall area: derived",
    ],
    example: Example {
        given: &[
            ("over", "4.6mm"),
            ("grip", "1.9mm"),
            ("covers", "10mm"),
            ("supplied", "9.5mm"),
            ("recovered", "1.5mm"),
            ("wall", "0.6mm"),
            ("length-change", "-0.05"),
        ],
        answers: &[("cut-length", 21.052_63), ("ratio-needed", 2.982_46)],
    },
    maker_first: false,
};

impl Working for Sleeve {
    fn declaration(&self) -> &'static Declaration {
        &DECLARATION
    }

    fn work(&self, given: &Given) -> Result<Outcome, Refusal> {
        let place = Place::of(given)?;
        let own;
        let sizes = if given.has("from") {
            given.sleeves("from")
        } else {
            own = [one_sleeve(given)?];
            &own
        };
        let chosen = choose(sizes, &place)?;
        let mut answer = Answer::new(&DECLARATION);
        answer.worst_case(given.is_tolerant());
        answer.step(phrase!(
            "it must slide over {over} mm and grip {grip} mm",
            over = number(place.must_pass, Rounding::LengthUp),
            grip = number(place.may_hold, Rounding::Figures)
        ));
        let covers = given.need("covers")?.high();
        let overlap =
            given.measure("overlap").map_or((2.0 * place.grip_high).max(5.0), |overlap| overlap.high());
        answer.step(phrase!(
            "overlap at each end: {overlap} mm",
            overlap = number(overlap, Rounding::LengthUp)
        ));
        let wall = wall_on(place.over, chosen);
        let finished = place.over + 2.0 * wall;
        match given.has("from") {
            true => answer.put_text("sleeve", chosen.id.clone()),
            false => answer.put_words("sleeve", phrase!("as given")),
        }
        answer.put("cut-length", (covers + 2.0 * overlap) / (1.0 + chosen.length_change.0));
        answer.put("wall-after", wall);
        answer.put("finished-diameter", finished);
        answer.put("ratio-needed", place.must_pass / place.may_hold);
        answer.put("slide-margin", chosen.supplied - place.must_pass);
        answer.put("grip-margin", place.may_hold - chosen.recovered);
        if !chosen.range.is_empty() {
            answer.source(phrase!("Sizes of `{range}`: its entry in the stores", range = chosen.range));
        }
        answer.finish()
    }
}

/// What the place asks of a sleeve, worst cases taken.
struct Place {
    over: f64,
    grip_high: f64,
    must_pass: f64,
    may_hold: f64,
}

impl Place {
    /// From the inputs.
    fn of(given: &Given) -> Result<Place, Refusal> {
        let over = given.measures("over").iter().map(Measure::high).fold(0.0, f64::max);
        let narrowest = given.measures("grip").iter().min_by(|a, b| a.low().total_cmp(&b.low()));
        let narrowest = narrowest.ok_or_else(|| missing(&DECLARATION, "grip"))?;
        let (grip, grip_high) = (narrowest.low(), narrowest.high());
        if grip > over {
            let (grip, over) = (number(grip, Rounding::Exact), number(over, Rounding::Exact));
            return Err(Refusal::input(
                "grip",
                phrase!(
                    "`grip` is {grip} mm, above `over` with {over} mm: the smallest diameter cannot be above the largest",
                    grip = grip,
                    over = over
                ),
            ));
        }
        let slide = (given.need("slide")?.value * over).max(given.need("slide-least")?.value);
        let may_hold = grip * (1.0 - given.need("squeeze")?.value);
        Ok(Place { over, grip_high, must_pass: over + slide, may_hold })
    }
}

/// The one sleeve that is described by its figures.
fn one_sleeve(given: &Given) -> Result<Size, Refusal> {
    let absent = ["supplied", "recovered", "wall", "length-change"].into_iter().find(|name| !given.has(name));
    if let Some(absent) = absent {
        return Err(missing(&DECLARATION, absent)
            .help(phrase!("name a range with `from`, or give `supplied`, `recovered`, `wall` and `length-change` of one sleeve")));
    }
    let (supplied, recovered) = (given.need("supplied")?.low(), given.need("recovered")?.high());
    if recovered > supplied {
        return Err(Refusal::input(
            "recovered",
            phrase!("`recovered` is above `supplied`: a sleeve does not widen when it shrinks"),
        ));
    }
    Ok(Size {
        id: "as given".to_owned(),
        range: String::new(),
        supplied,
        recovered,
        wall: given.need("wall")?.high(),
        length_change: given.range("length-change").unwrap_or((0.0, 0.0)),
        adhesive: false,
        relative_permittivity: None,
    })
}

/// The smallest supplied bore that fits, ties by id; else the refusal that names the nearest.
fn choose<'a>(sizes: &'a [Size], place: &Place) -> Result<&'a Size, Refusal> {
    let sound = |size: &&Size| {
        [size.supplied, size.recovered, size.wall].iter().all(|part| part.is_finite() && *part > 0.0)
            && size.length_change.0 > -0.9
            && size.length_change.0.is_finite()
    };
    let slack = 1e-9;
    let slides = |size: &Size| size.supplied >= place.must_pass - slack;
    let grips = |size: &Size| size.recovered <= place.may_hold + slack;
    let by_bore = |a: &&Size, b: &&Size| a.supplied.total_cmp(&b.supplied).then(a.id.cmp(&b.id));
    let fitting = sizes.iter().filter(sound).filter(|size| slides(size) && grips(size)).min_by(by_bore);
    if let Some(size) = fitting {
        return Ok(size);
    }
    let short =
        |size: &Size| (place.must_pass / size.supplied).max(1.0) * (size.recovered / place.may_hold).max(1.0);
    let nearest =
        sizes.iter().filter(sound).min_by(|a, b| short(a).total_cmp(&short(b)).then(a.id.cmp(&b.id)));
    let ratio = number(place.must_pass / place.may_hold, Rounding::Figures);
    let Some(size) = nearest else {
        return Err(Refusal::input(
            "from",
            phrase!("none fits: the range holds no size; a ratio of {ratio}:1 would serve", ratio = ratio),
        ));
    };
    let mut faults = Vec::new();
    let show = |value: f64| number(value, Rounding::Figures);
    if !slides(size) {
        faults.push(phrase!(
            "its bore of {bore} mm does not slide over ({needed} mm needed)",
            bore = show(size.supplied),
            needed = show(place.must_pass)
        ));
    }
    if !grips(size) {
        faults.push(phrase!(
            "it recovers to {recovered} mm only ({needed} mm needed)",
            recovered = show(size.recovered),
            needed = show(place.may_hold)
        ));
    }
    let faults = match <[Phrase; 2]>::try_from(faults) {
        Ok([one, other]) => phrase!("{one} and {other}", one = one, other = other),
        Err(faults) => Phrase::list(faults, ", "),
    };
    let message = phrase!(
        "none fits: needs {ratio}:1. The nearest, `{size}`, fails because {faults}",
        ratio = ratio,
        size = size.id,
        faults = faults
    );
    Err(Refusal::input("from", message).help(phrase!(
        "a sleeve of at least {supplied} mm as supplied and at most {recovered} mm recovered would serve",
        supplied = number(place.must_pass, Rounding::LengthUp),
        recovered = show(place.may_hold)
    )))
}

/// Wall on a diameter not below the recovered bore, from constant wall area.
fn wall_on(diameter: f64, size: &Size) -> f64 {
    let area = size.wall * (size.wall + size.recovered);
    // The stable form of √(D²/4 + a) − D/2, which does not cancel where the wall is thin.
    area / ((diameter * diameter / 4.0 + area).sqrt() + diameter / 2.0)
}
