"""What the checks share: the real program asked by `reckon`, and numbers compared within a tolerance.

Tolerances, by what is compared:
  EXACT     the same closed form or an exact definition in both; only the last places of floating point differ.
  NUMERIC   theirs is integrated, searched or iterated to about ten digits.
Where a check allows more, it says why beside the number.
"""

import json
import os
import subprocess
import unittest
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

EXACT = 1e-9
NUMERIC = 1e-7

SHOP = Path(__file__).parent / "shop"


class Refused(Exception):
    """The program refused to compute; the text is its reason."""


def reckon(working, **inputs):
    """The outputs of one working by name, without their units."""
    return {name: _value(value) for name, value in answer(working, **inputs)["outputs"].items()}


def answer(working, **inputs):
    """The whole answer as it is printed. `_` in a name stands for `-`; a list is joined by commas."""
    arguments = [os.environ["BENCHLEAF"], "reckon", working, "--json"]
    if inputs.pop("shop", False):
        arguments += ["--shop", str(SHOP)]
    arguments += [f"{name.replace('_', '-')}={_text(value)}" for name, value in inputs.items()]
    run = subprocess.run(arguments, capture_output=True, encoding="utf-8", timeout=60)
    if run.returncode == 1 and run.stdout == "" and run.stderr.startswith("error: "):
        raise Refused(run.stderr)
    if run.returncode != 0:
        raise AssertionError(f"{arguments[1:]} ended with {run.returncode}: {run.stdout}{run.stderr}")
    return json.loads(run.stdout)


def reckon_all(working, rows, ask=reckon):
    """The outputs for each row of inputs, in order; a refusal stands in its place as a `Refused`."""

    def one(row):
        try:
            return ask(working, **row)
        except Refused as refusal:
            return refusal

    with ThreadPoolExecutor(max_workers=4) as pool:
        return list(pool.map(one, rows))


class Check(unittest.TestCase):
    """A test case that compares numbers and counts how many it compared."""

    compared = 0

    def close(self, ours, theirs, what, relative=EXACT, absolute=0.0):
        """Fails unless ours is within the relative or the absolute tolerance of theirs."""
        Check.compared += 1
        if isinstance(ours, Refused):
            self.fail(f"{what}: refused, theirs {theirs!r}: {ours}")
        allowed = max(relative * abs(theirs), absolute)
        if not abs(ours - theirs) <= allowed:
            self.fail(f"{what}: ours {ours!r}, theirs {theirs!r}, allowed {allowed:.3g}")

    def refused(self, working, because, **inputs):
        """Fails unless the working refuses these inputs with these words in its reason."""
        Check.compared += 1
        with self.assertRaises(Refused, msg=f"{working} {inputs}") as refusal:
            reckon(working, **inputs)
        self.assertIn(because, str(refusal.exception))


def _text(value):
    if isinstance(value, (list, tuple)):
        return ",".join(map(_text, value))
    return value if isinstance(value, str) else repr(value)


def _value(value):
    """A number or a text for a value of the contract; a list of these, or of positions as they are."""
    if isinstance(value, list):
        return [_value(item) for item in value]
    return value.get("value", value)
