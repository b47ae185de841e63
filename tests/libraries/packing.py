"""`bundle` and `joint` against scipy: the smallest circle round unequal wires."""

import numpy

from checks import EXACT, NUMERIC, Check, reckon, reckon_all
from circles import lower_bound, overlap, reach, smallest, three

SOURCES = [
    ("scipy", "optimize.minimize, SLSQP from many random places and from swaps of two wires"),
    ("numpy", "overlaps, and the area and three-circle lower bounds"),
]

# What workings.md promises to 19 equal wires; unequal ones are held to it too, against the best that is found.
WITHIN = 0.005

# Mixtures in which many arrangements look alike, so that a search easily stops at one that is 2 % too wide.
TREACHEROUS = [
    [2.72, 1.15, 1.27, 1.48, 1.91, 2.26],
    [8.18, 3.28, 10.83, 1.72, 2.76, 3.95, 6.51, 5.54],
    [2.78, 1.99, 1.02, 1.3, 1.34, 2.17, 2.11, 1.99, 1.58],
]


def looms():
    """Four to nine wires: any mixture, two sizes, one thick among thin, and sizes of very different order."""
    draw = numpy.random.default_rng(1871)
    rows = [draw.uniform(1, 6, count) for count in (4, 5, 6, 7, 8, 9)]
    rows += [numpy.exp(draw.uniform(numpy.log(0.5), numpy.log(8), count)) for count in (5, 6, 7, 7, 8, 8, 9, 9)]
    rows += [draw.choice([1.6, 2.8], 8), numpy.array([6.0] + [1.5] * 8), numpy.array([5.0, 5.0] + [1.7] * 6)]
    return [[round(float(diameter), 2) for diameter in row] for row in rows] + TREACHEROUS


class Packing(Check):
    def test_unequal_wires(self):
        rows = looms()
        answers = reckon_all("bundle", [{"diameters": [f"{d} mm" for d in row], "cover": "0.4 mm"} for row in rows])
        as_good = 0
        for row, ours in zip(rows, answers):
            bare = ours["diameter"] - 0.8
            theirs = smallest(row)
            with self.subTest(wires=row):
                Check.compared += 1
                if bare > theirs * (1 + WITHIN):
                    self.fail(f"ours {bare:.4f} mm, theirs {theirs:.4f} mm: {100 * (bare / theirs - 1):.2f} % wider")
            as_good += theirs <= bare * (1 + WITHIN)
            self.assertGreaterEqual(bare, lower_bound(row) * (1 - EXACT), row)
            self.holds(bare, row, ours["positions"])
            self.close(ours["fill"], float(numpy.sum(numpy.square(row))) / bare**2, f"fill of {row}")
            self.close(ours["upper"], ours["diameter"] * 1.2, f"conduit for {row}")
            self.close(ours["rule-of-thumb"], 1.2 * float(numpy.linalg.norm(row)), f"rule of thumb for {row}")
        # Where theirs is the wider one, it proves nothing: that may be the exception only.
        self.assertGreaterEqual(as_good, 0.75 * len(rows))

    def test_three_wires(self):
        draw = numpy.random.default_rng(1643)
        rows = [[round(float(d), 3) for d in draw.uniform(0.5, 6, 3)] for _ in range(40)]
        answers = reckon_all("bundle", [{"diameters": [f"{d} mm" for d in row]} for row in rows])
        for index, (row, ours) in enumerate(zip(rows, answers)):
            self.close(ours["diameter"], three(*row), row)
            self.holds(ours["diameter"], row, ours["positions"])
            if index < 6:
                self.close(ours["diameter"], smallest(row, starts=8, swaps=0), f"{row} by SLSQP", relative=NUMERIC)

    def test_many_wires_lie_as_they_are_drawn(self):
        draw = numpy.random.default_rng(61)
        for count in (20, 61):
            row = [round(float(d), 2) for d in draw.uniform(1, 4, count)]
            ours = reckon("bundle", diameters=[f"{d} mm" for d in row])
            self.holds(ours["diameter"], row, ours["positions"])
            self.assertGreaterEqual(ours["diameter"], lower_bound(row) * (1 - EXACT))

    def test_a_lap_of_several_wires_is_their_bundle(self):
        for row in ([0.9, 0.9, 1.4], [0.9, 0.6, 1.2, 0.9], [1.1, 0.6, 0.6, 0.9, 0.75]):
            ours = reckon("joint", by="lap", wires=[f"{d} mm" for d in row], lap="5 mm")
            self.close(ours["diameter"], smallest(row), f"lap of {row}", relative=WITHIN)

    def holds(self, diameter, row, positions):
        """The circles are the wires in their order, none overlaps, none sticks out, and the diameter is theirs."""
        self.assertEqual([circle["d"] for circle in positions], row)
        self.assertLessEqual(overlap(positions), EXACT * diameter, row)
        self.close(reach(positions), diameter, f"reach of {row}")
