//! Expressions in ordinary notation: what they come to, and what is refused.
#![allow(clippy::unwrap_used)]
use super::*;

fn value(text: &str) -> f64 {
    evaluate(text, &[]).map(|evaluated| evaluated.value).unwrap()
}

#[test]
fn ordinary_notation() {
    for (text, expected) in [
        ("1 + 2*3", 7.0),
        ("-2^2", -4.0),
        ("2^3^2", 512.0),
        ("(1 + 2) * 3 - 4 / 2", 7.0),
        ("√(9) + √16", 7.0),
        ("max(1, 5, 3) - min(2, 4)", 3.0),
        ("round-up(2.1) + round-up(2)", 5.0),
        ("round-up(727 mm, 5 mm)", 730.0),
        ("10 mm/2 + 1 cm", 15.0),
        ("2 m − 5 mm", 1995.0),
        ("90 deg * 2", std::f64::consts::PI),
        ("5 % * 100 mm", 5.0),
        ("3/8 in * 8", 76.2),
        ("1/2in + 1/2 in", 25.4),
        ("12 mm / 4 mm", 3.0),
        ("6 / 2 mm * 1 mm", 3.0),
        ("12 mm/3/2 mm", 2.0),
        ("5 mm^2 + 1 mm * 1 mm", 6.0),
    ] {
        assert!((value(text) - expected).abs() < 1e-9, "{text}: {}", value(text));
    }
}

#[test]
fn names_may_have_hyphens() {
    let (run, tail) = (Quantity::parse("100 mm").unwrap(), Quantity::parse("30 mm").unwrap());
    let named = [("run-in", &run), ("tail", &tail)];
    assert_eq!(evaluate("run-in-tail", &named).map(|it| it.value).unwrap(), 70.0);
    assert!(evaluate("run + tail", &named).is_err());
}

#[test]
fn terms_of_two_kinds_are_refused_in_words_of_their_own() {
    let said = |text: &str| evaluate(text, &[]).err().map(|phrase| phrase.to_string()).unwrap();
    assert_eq!(said("1 mm + 1 V"), "a voltage cannot be added to a length");
    assert_eq!(said("1 mm - 1 V"), "a voltage cannot be taken from a length");
    assert_eq!(said("min(1 mm, 1 V)"), "a voltage cannot be compared with a length");
    assert_eq!(said("round-up(1 mm, 1 V)"), "a length cannot be rounded up in steps of a voltage");
}

#[test]
fn what_does_not_make_sense_is_refused() {
    let deep = "(".repeat(10_000);
    for text in [
        "",
        "1 +",
        "1 mm + 1 N·m",
        "1 mm + 1",
        "√(2 mm)",
        "2^(1 mm)",
        "1/0",
        "foo",
        "(1",
        "1)",
        "20 °C + 1 K",
        "1 EUR + 1 USD",
        "1..2",
        "min()",
        "🦀",
        &deep,
        &"-".repeat(5000),
        &"√".repeat(5000),
    ] {
        assert!(evaluate(text, &[]).is_err(), "{text}");
    }
}

#[test]
fn sixty_levels_are_taken_and_one_more_is_not() {
    let nested = |open: &str, close: &str, depth: usize| {
        evaluate(&format!("{}1{}", open.repeat(depth), close.repeat(depth)), &[]).is_ok()
    };
    // The whole is a level itself, and so is what stands in each parenthesis.
    assert!(nested("(", ")", 59) && !nested("(", ")", 60));
    assert!(nested("√", "", 59) && !nested("√", "", 60));
    assert!(nested("1^", "", 59) && !nested("1^", "", 60));
    // What is closed again does not count.
    for (one, joint) in [("(1)", "+"), ("√1", "+"), ("1^1", "+"), ("min(1, 1)", "*")] {
        assert!(evaluate(&vec![one; 200].join(joint), &[]).is_ok(), "{one}");
    }
}

#[test]
fn signs_cancel_each_other() {
    for (text, expected) in [("--2", 2.0), ("---2", -2.0), ("+-+2", -2.0), ("3 - -2", 5.0), ("2 * -3", -6.0)]
    {
        assert_eq!(value(text), expected, "{text}");
    }
}

#[test]
fn numbers_may_have_an_exponent() {
    for (text, expected) in [
        ("2e3", 2000.0),
        ("2E-3", 0.002),
        ("1.5e+2 mm", 150.0),
        ("25e-1 mm * 2", 5.0),
        ("1e2 + 3", 103.0),
        ("1e10/1e9", 10.0),
    ] {
        assert!((value(text) - expected).abs() < 1e-12 * expected.abs().max(1.0), "{text}: {}", value(text));
    }
    assert!(evaluate("2e", &[]).is_err() && evaluate("2e+", &[]).is_err());
}

#[test]
fn roots_powers_and_choices_hold_their_dimensions() {
    for (text, expected) in [
        ("sqrt(9 mm^2)", 3.0),
        ("√0", 0.0),
        ("2^-1", 0.5),
        ("4^0.5", 2.0),
        ("(2 mm)^3 / 1 mm^2", 8.0),
        ("(2 mm)^20 / (1 mm)^19", 1_048_576.0),
        ("min(3 mm, 2 mm, 5 mm)", 2.0),
        ("min(2, 2) + max(2, 2)", 4.0),
        ("max(-1, -3)", -1.0),
        ("round-up(2.000000001)", 2.0),
        ("round-up(2.00001)", 3.0),
        ("round-up(10.000000001 mm, 5 mm)", 10.0),
        ("round-up(10.001 mm, 5 mm)", 15.0),
        ("pi + π", std::f64::consts::TAU),
    ] {
        assert!((value(text) - expected).abs() < 1e-8 * expected.abs().max(1.0), "{text}: {}", value(text));
    }
    for text in [
        "(2 mm)^0.5",
        "(2 mm)^21",
        "(2 mm)^-21",
        "(-1)^0.5",
        "√(-1)",
        "√(2 mm)",
        "round-up(2 mm)",
        "round-up(2 mm, 0 mm)",
        "round-up(2 mm, -1 mm)",
        "round-up(2 mm, 1 s)",
        "min(1 mm, 1 s)",
        "sqrt(1, 2)",
        "pi(2)",
        "#",
        "1/0 mm",
        "0/0 in",
    ] {
        assert!(evaluate(text, &[]).is_err(), "{text}");
    }
}

#[test]
fn a_strange_letter_is_named_and_a_name_is_wanted() {
    let said = |text: &str| evaluate(text, &[]).err().unwrap().to_string();
    assert!(said("#x + 1").contains("`#` is not expected where `#x + 1` begins"), "{}", said("#x + 1"));
    assert!(said("width + 1").contains("`width` is not a name"), "{}", said("width + 1"));
    // What begins like a power of ten and is none is a name, which a sign joins.
    assert!(said("2e").contains("a sign such as `+` or `*` is missing before `e`"), "{}", said("2e"));
    assert!(said("2 x").contains("is missing before `x`"), "{}", said("2 x"));
    assert!(said("1 + 2 ) 3").contains("`)` is not expected where `) 3` begins"));
}

#[test]
fn sums_say_what_cannot_be_added_and_what_cannot_be_taken_away() {
    let said = |text: &str| evaluate(text, &[]).err().unwrap().to_string();
    assert!(said("1 mm + 1 s").contains("be added to"), "{}", said("1 mm + 1 s"));
    assert!(said("1 mm - 1 s").contains("be taken from"), "{}", said("1 mm - 1 s"));
}

#[test]
fn units_are_counted_and_currencies_do_not_mix() {
    let evaluated = evaluate("2 EUR + 3 EUR", &[]).unwrap();
    assert_eq!((evaluated.value, evaluated.units.len()), (5.0, 2));
    assert!(evaluate("(2 EUR / 1 mm) * 3 mm", &[]).is_ok());
    assert!(evaluate("2 EUR * 1 USD", &[]).is_err());
    // Millimetres before metres: the inner unit of an area is mm², of a reciprocal length 1/mm.
    assert_eq!(value("1 m^2"), 1e6);
    assert!((evaluate("1 / 1 m", &[]).unwrap().value - 1e-3).abs() < 1e-18);
    assert!(evaluate("1 mm^2 + 1 in * 1 cm", &[]).is_ok());
}
