"""`stock-cut` against scipy: the fewest stock lengths as a mixed-integer program."""

from collections import Counter

import numpy
from scipy.optimize import Bounds, LinearConstraint, milp

from checks import Check, reckon_all

SOURCES = [("scipy", "optimize.milp (HiGHS), bin packing")]


def fewest(pieces, stock, kerf):
    """The least number of stock lengths. Each piece takes a kerf too, of a stock that is one kerf longer.

    Variables are `used` for each length and then `piece i from length j`, row by row.
    """
    most = count = len(pieces)
    sizes = numpy.array(pieces) + kerf
    objective = numpy.concatenate([numpy.ones(most), numpy.zeros(count * most)])
    once = numpy.hstack([numpy.zeros((count, most)), numpy.kron(numpy.eye(count), numpy.ones(most))])
    held = numpy.hstack([-(stock + kerf) * numpy.eye(most), numpy.kron(sizes, numpy.eye(most))])
    # Lengths are used from the first on, and a piece lies in none beyond its own number: it only renames them.
    order = numpy.hstack([numpy.eye(most)[1:] - numpy.eye(most)[:-1], numpy.zeros((most - 1, count * most))])
    upper = numpy.concatenate([numpy.ones(most), numpy.tril(numpy.ones((count, most))).ravel()])
    done = milp(objective, integrality=numpy.ones(len(objective)), bounds=Bounds(0, upper),
                constraints=[LinearConstraint(once, 1, 1), LinearConstraint(held, ub=1e-7),
                             LinearConstraint(order, ub=0)])
    assert done.status == 0, done.message
    return round(done.fun)


def instances():
    """Random orders, and orders sawn out of whole stock lengths, of which first-fit decreasing spoils some."""
    draw = numpy.random.default_rng(1972)
    for count in range(2, 13):
        stock, kerf = float(draw.choice([600, 1200, 2000])), float(draw.choice([0, 1, 2.5]))
        pieces = draw.integers(int(stock * 0.15), int(stock * 0.6), count)
        yield [float(piece) for piece in pieces], stock, kerf
    for _ in range(20):
        pieces = []
        for _ in range(int(draw.integers(2, 5))):
            sawn = numpy.sort(draw.choice(numpy.arange(100, 900, 20), int(draw.integers(2, 4)), replace=False))
            pieces += [float(piece) for piece in numpy.diff(sawn, prepend=0, append=1000)]
        yield pieces[:12], 1000.0, 0.0


class Cutting(Check):
    def test_fewest_stock_lengths(self):
        cases = list(instances())
        rows = [{"pieces": [f"{piece} mm" for piece in pieces], "stock": f"{stock} mm", "kerf": f"{kerf} mm"}
                for pieces, stock, kerf in cases]
        for (pieces, stock, kerf), row, ours in zip(cases, rows, reckon_all("stock-cut", rows)):
            self.close(ours["lengths-needed"], fewest(pieces, stock, kerf), row, relative=0)
            self.cut_from(ours["plan"], pieces, stock, kerf, row)
            waste = ours["lengths-needed"] * stock - sum(pieces)
            self.close(ours["waste"], waste, row, absolute=1e-6)

    def cut_from(self, plan, pieces, stock, kerf, row):
        """The plan cuts exactly these pieces, and each length has room for its pieces and the cuts between."""
        cut = Counter(round(piece, 6) for length in plan for piece in length)
        self.assertEqual(cut, Counter(pieces), row)
        for length in plan:
            self.assertLessEqual(sum(length) + kerf * (len(length) - 1), stock + 1e-6, row)
