"""`formula` against pint: the same text read by pint's own parser, and refusals where pint refuses."""

import numpy
import pint

from checks import Check, Refused, answer, reckon_all

SOURCES = [
    ("pint", "parse_expression, DimensionalityError"),
    ("numpy", "ceil and sqrt of quantities"),
]

REGISTRY = pint.UnitRegistry()
Q = REGISTRY.Quantity

NAMED = {"run": "1200 mm", "tail": "8 cm", "pull": "40 N", "wait": "2.5 s", "share": "0.3"}
QUANTITIES = {name: REGISTRY.parse_expression(text) for name, text in NAMED.items()}

# Read by both parsers as they stand. A number with a unit stands in parentheses after `/` and before `^`: here
# the unit belongs to its number, in pint it is one more factor, from left to right.
BOTH = [
    "run + 2*tail + 150 mm", "run - tail - 1 m", "run - (tail - 1 m)", "run / tail", "run / tail / 2", "run * tail",
    "run * tail / tail", "2 + 3 * 4 ^ 2", "-2 ^ 2", "2 ^ 3 ^ 2", "2 ^ -1", "-(run - tail) * 2", "run ^ 2 / tail",
    "(run + tail) ^ 2", "pull * run", "pull / run ^ 2", "pull / (4 mm) ^ 2 + 3 kPa", "8 / 4 / 2", "8 / (4 / 2)",
    "1.5e3 mm + 1e-1 m", "3/8 inch * 8", "run - 3/8 inch", "run * (1 + share)", "pull * tail + 3 N * 20 mm", "run / wait", "2 * -3", "((run))",
]

# Refused by both.
REFUSED = ["run + wait", "run - 3", "tail + run * tail", "pull + wait", "2 ^ run", "run + 5 N", "share + tail",
           "nobody + run", "run / 0"]

# Functions, which pint's parser does not know: ours beside numpy on pint's quantities.
FUNCTIONS = [
    ("√(run * tail)", lambda q: numpy.sqrt(q["run"] * q["tail"])),
    ("sqrt(run^2 + tail^2)", lambda q: numpy.sqrt(q["run"] ** 2 + q["tail"] ** 2)),
    ("√16", lambda q: Q(numpy.sqrt(16))),
    ("min(run, tail, 3 in)", lambda q: min(q["run"], q["tail"], Q(3, "inch"))),
    ("max(run, tail, 5 ft)", lambda q: max(q["run"], q["tail"], Q(5, "foot"))),
    ("round-up(run / tail)", lambda q: numpy.ceil((q["run"] / q["tail"]).to("dimensionless"))),
    ("round-up(run * 1.01, 5 mm)", lambda q: numpy.ceil((q["run"] * 1.01 / Q(5, "mm")).to("")) * Q(5, "mm")),
    ("round-up(tail, 1/4 * 1 in)", lambda q: numpy.ceil((q["tail"] / Q(0.25, "inch")).to("")) * Q(0.25, "inch")),
    ("pi * tail", lambda q: numpy.pi * q["tail"]),
    ("90 deg * tail", lambda q: (Q(90, "degree") * q["tail"]).to("mm")),
]

# Kinds of results that our table has a unit for, of those that the random expressions can reach.
KNOWN = [REGISTRY.get_dimensionality(unit) for unit in ("mm", "mm**2", "mm**3", "s", "mm/s", "1/s", "1/mm", "")]


def in_pint(outputs):
    """Our result as a quantity of pint."""
    result = outputs["outputs"]["result"]
    spelling = result["unit"].replace("·", "*").replace("²", "**2").replace("³", "**3").replace("Ω", "ohm")
    return Q(result["value"], {"1": "", "in": "inch", "°": "degree"}.get(spelling, spelling))


def by_pint(text):
    """The text's value by pint, or None where pint refuses."""
    try:
        return Q(REGISTRY.parse_expression(text, **QUANTITIES))
    except (pint.DimensionalityError, pint.UndefinedUnitError, pint.DefinitionSyntaxError, ZeroDivisionError):
        return None


def random_expression(draw, depth):
    """Sums, products, quotients and powers of lengths, numbers and a few times, most of one dimension."""
    if depth == 0 or draw.random() < 0.15:
        value = f"{draw.uniform(0.5, 20):.3f}"
        unit = draw.choice(["mm", "cm", "inch", "", "s"], p=[0.3, 0.2, 0.2, 0.2, 0.1])
        return f"({value} {unit})" if unit else value
    left, right = random_expression(draw, depth - 1), random_expression(draw, depth - 1)
    kind = draw.choice(["+", "-", "*", "/", "(+)", "(-)", "^"], p=[0.25, 0.1, 0.2, 0.15, 0.1, 0.1, 0.1])
    if kind == "^":
        return f"({left})^{draw.choice(['2', '3', '-1'])}"
    return f"({left} {kind[1]} {right})" if kind.startswith("(") else f"{left} {kind} {right}"


class Formulas(Check):
    def same(self, texts, theirs):
        """Compares each text's result with theirs, where None stands for a refusal."""
        rows = [{"expression": text, **NAMED} for text in texts]
        for text, expected, ours in zip(texts, theirs, reckon_all("formula", rows, ask=answer)):
            if expected is None:
                self.assertIsInstance(ours, Refused, text)
                Check.compared += 1
                continue
            self.assertNotIsInstance(ours, Refused, f"{text}: {ours}; theirs {expected}")
            found = in_pint(ours)
            # Both add in their own order and units; a difference may lose some places of its parts.
            self.close(found.to(expected.units).magnitude, expected.magnitude, text, relative=1e-8)

    def test_the_same_text_has_the_same_value(self):
        theirs = [by_pint(text) for text in BOTH]
        self.assertNotIn(None, theirs)
        self.same(BOTH, theirs)

    def test_what_pint_refuses_is_refused(self):
        theirs = [by_pint(text) for text in REFUSED]
        self.assertEqual(theirs, [None] * len(REFUSED))
        self.same(REFUSED, theirs)

    def test_functions(self):
        self.same([text for text, _ in FUNCTIONS], [Q(value(QUANTITIES)) for _, value in FUNCTIONS])

    def test_functions_refuse_mixed_kinds(self):
        for text, because in (("min(run, wait)", "cannot be compared"), ("max(run, 3)", "cannot be compared"),
                              ("round-up(run, 2 s)", "cannot be rounded up"), ("√(0 - 4)", "negative")):
            self.refused("formula", because, expression=text, **NAMED)

    def test_random_expressions(self):
        draw = numpy.random.default_rng(4711)
        texts = [random_expression(draw, 3) for _ in range(400)]
        theirs = [by_pint(text) for text in texts]
        # A result whose dimension has no unit here, as mm⁴, is refused too.
        named = [value if value is not None and value.dimensionality in KNOWN else None for value in theirs]
        self.assertGreater(sum(value is not None for value in named), 60)
        self.assertGreater(sum(value is None for value in theirs), 60)
        self.same(texts, named)
