"""`wrap`, `cut-length` and `stagger` against numpy and scipy: curves measured, joints laid out and looked at."""

import numpy
from scipy.integrate import quad
from scipy.optimize import brentq, minimize_scalar

from checks import EXACT, NUMERIC, Check, reckon
from circles import smallest

SOURCES = [
    ("scipy", "integrate.quad of a helix; optimize.brentq and minimize_scalar for its pitch; SLSQP for the bulge"),
    ("numpy", "paths as polylines of many chords"),
]

# Loom diameter, tape width, thickness, overlap, length, end turns.
TAPES = [(12.0, 19.0, 0.13, 0.5, 500.0, 3.0), (6.5, 9.0, 0.2, 0.0, 1250.0, 0.0), (25.0, 32.0, 0.3, 0.66, 80.0, 2.5),
         (9.3, 25.4, 0.18, 0.25, 340.0, 1.0)]


def turn(radius, pitch):
    """The length of one turn of a helix."""

    def speed(angle):
        return numpy.linalg.norm([-radius * numpy.sin(angle), radius * numpy.cos(angle), pitch / (2 * numpy.pi)])

    return quad(speed, 0, 2 * numpy.pi, epsabs=0, epsrel=1e-12)[0]


def across(radius, pitch):
    """The shortest way over the cylinder, laid flat, from the middle of one turn to that of the next."""
    round_ = 2 * numpy.pi * radius

    def distance(along):
        # A point of the first turn's line, from a point of the next turn's.
        return numpy.hypot(along * round_, along * pitch - pitch)

    return minimize_scalar(distance, bracket=(-1, 1), tol=1e-12).fun


class Wrap(Check):
    def test_a_helix_whose_turns_lie_one_advance_apart(self):
        for diameter, width, thickness, overlap, length, ends in TAPES:
            ours = reckon("wrap", diameter=f"{diameter} mm", tape_width=f"{width} mm", tape_thickness=f"{thickness} mm",
                          overlap=overlap, length=f"{length} mm", end_turns=ends)
            radius, advance = (diameter + thickness) / 2, width * (1 - overlap)
            pitch = brentq(lambda pitch: across(radius, pitch) - advance, advance, 50 * advance, xtol=1e-13)
            row = f"{width} mm tape on {diameter} mm"
            self.close(ours["pitch"], pitch, f"pitch, {row}", relative=NUMERIC)
            self.close(ours["turns"], length / pitch, f"turns, {row}", relative=NUMERIC)
            tape = turn(radius, pitch) * length / pitch + turn(radius, 0.0) * ends
            self.close(ours["tape"], tape / 1000, f"tape, {row}", relative=NUMERIC)
            rise = numpy.degrees(numpy.arctan2(pitch, turn(radius, 0.0)))
            self.close(ours["angle"], rise, f"angle, {row}", relative=NUMERIC)
            # What lies on the cylinder is the tape's area, layer upon layer.
            spiral = (ours["tape"] * 1000 - turn(radius, 0.0) * ends) * width
            self.close(ours["layers"], spiral / (turn(radius, 0.0) * length), f"layers, {row}")

    def test_a_tape_too_wide_for_a_spiral(self):
        # No pitch has its turns farther apart than once round the cylinder.
        diameter, width = 5.0, 16.2
        self.assertLess(across((diameter + 0.1) / 2, 1e9), width)
        self.refused("wrap", "too wide for a spiral", diameter=f"{diameter} mm", tape_width=f"{width} mm",
                     tape_thickness="0.1 mm", overlap=0, length="100 mm")


class CutLength(Check):
    def test_a_path_of_runs_and_bends(self):
        runs, bends = [400.0, 250.0, 82.5, 1100.0], [(90.0, 30.0), (37.5, 120.0), (180.0, 44.0)]
        path = [numpy.zeros((2, 1))]
        heading, side = 0.0, 1
        for run, (degrees, radius) in zip(runs, [*bends, (0.0, 1.0)]):
            at = path[-1][:, -1:]
            at = at + run * numpy.array([[numpy.cos(heading)], [numpy.sin(heading)]])
            # Left and right bends in turn, as chords so short that their length is the arc's to ten digits.
            turned = heading + side * numpy.radians(degrees) * numpy.linspace(0, 1, 200_001)
            arc = side * radius * numpy.array([numpy.sin(turned) - numpy.sin(heading),
                                               numpy.cos(heading) - numpy.cos(turned)])
            path += [at, at + arc]
            heading, side = turned[-1], -side
        walked = float(numpy.sum(numpy.hypot(*numpy.diff(numpy.hstack(path)))))
        loops, ends, slack, step = [60.0, 35.0], [8.0, 11.5], 0.03, 25.0
        exact = walked * (1 + slack) + sum(loops) + sum(ends)
        given = {"runs": [f"{run} mm" for run in runs], "bends": [f"{angle}deg/{radius}mm" for angle, radius in bends],
                 "loops": [f"{loop} mm" for loop in loops], "terminations": [f"{end} mm" for end in ends],
                 "slack": slack, "step": f"{step} mm", "outside": "4.4 mm"}
        ours = reckon("cut-length", bend_factor=6, **given)
        self.close(ours["exact"], exact, "a path of three bends", relative=EXACT)
        self.close(ours["length"], float(numpy.ceil(exact / step) * step), "rounded up")
        # The sharpest curvature of the path is 1/30 mm: a least radius above it is refused.
        self.refused("cut-length", "tighter than the least radius", bend_factor=7, **given)


class Stagger(Check):
    def lay_out(self, wires, finished, abreast=1, **more):
        """Asks for a layout and looks at it as it would lie on the bench."""
        joint, lap, gap = 32.0, 7.0, 11.0
        ours = reckon("stagger", wires=[f"{d} mm" for d in wires], finished=[f"{d} mm" for d in finished],
                      joint=f"{joint} mm", lap=f"{lap} mm", gap=f"{gap} mm", abreast=abreast, **more)
        offsets, near, far = (numpy.array(ours[name]) for name in ("offsets", "trim-near", "trim-far"))
        zone = ours["zone"]
        self.close(float(numpy.min(offsets)) - joint / 2, 0.0, "the first joint begins the zone", absolute=1e-9)
        self.close(float(numpy.max(offsets)) + joint / 2, zone, "the last joint ends the zone")
        # The near end lies at `near`, the far one at `zone - far`: they overlap by the lap, round the joint's centre.
        for index, offset in enumerate(offsets):
            self.close(near[index] - (zone - far[index]), lap, f"lap of wire {index + 1}")
            self.close((near[index] + zone - far[index]) / 2, offset, f"centre of wire {index + 1}")
            self.close(near[index] + far[index], ours["overlap-needed"], f"reach of wire {index + 1}")
        apart = numpy.abs(offsets[:, None] - offsets[None, :])
        self.assertTrue(numpy.all((apart < 1e-9) | (apart > joint + gap - 1e-9)), "joints lie abreast or a gap apart")
        self.assertLessEqual(int(numpy.max(numpy.sum(apart < 1e-9, axis=0))), abreast)
        self.bulge(ours, wires, finished, offsets)
        self.parked(ours, offsets, zone, joint, lap, sleeve=joint, standoff=25.0)
        return ours, offsets

    def bulge(self, ours, wires, finished, offsets):
        """The thickest station and the level joint are smallest circles, within what `bundle` promises."""
        stations = {tuple(sorted(joint if abs(other - offset) < 1e-9 else wire
                                 for wire, joint, other in zip(wires, finished, offsets))) for offset in offsets}
        theirs = max(smallest(circles) for circles in stations)
        self.close(ours["bulge-staggered"], theirs, f"bulge of {wires}", relative=0.005)
        self.close(ours["bulge-level"], smallest(finished), f"level bulge of {finished}", relative=0.005)

    def parked(self, ours, offsets, zone, joint, lap, sleeve, standoff):
        """Each sleeve waits clear of the heat on its side; what does not fit in the zone is opened, no more."""
        opened = {"near": 0.0, "far": 0.0}
        for side, offset in zip(ours["park"], offsets):
            other = "far" if side == "near" else "near"
            out = {"near": standoff + sleeve + lap / 2 - offset, "far": standoff + sleeve + lap / 2 - (zone - offset)}
            self.assertLessEqual(max(out[side], 0.0), max(out[other], 0.0) + 1e-9, "the side that opens less")
            opened[side] = max(opened[side], out[side])
        for side, theirs in opened.items():
            self.close(ours[f"open-{side}"], theirs, f"open-{side}", absolute=1e-9)

    def test_one_after_the_other(self):
        wires = [1.6, 2.1, 2.1, 2.8, 1.6]
        ours, offsets = self.lay_out(wires, [d + 1.7 for d in wires])
        self.assertEqual(len({round(offset, 6) for offset in offsets}), len(wires))
        self.assertLess(ours["bulge-staggered"], ours["bulge-level"])

    def test_two_abreast(self):
        _, offsets = self.lay_out([2.0, 1.4, 1.4, 2.4, 1.8], [3.7, 3.1, 3.1, 4.2, 3.5], abreast=2)
        # Five joints, two to a station, take three stations at least.
        self.assertEqual(len({round(offset, 6) for offset in offsets}), 3)

    def test_pairs_stand_side_by_side_in_line(self):
        ours, offsets = self.lay_out([1.5, 1.5, 2.2, 1.8, 1.8], [3.0, 3.0, 3.9, 3.4, 3.4], pairs=["1-4", "2-5"],
                                     untwist_limit="80 mm")
        for index, (one, two) in enumerate([(0, 3), (1, 4)]):
            self.close(abs(offsets[one] - offsets[two]), 32.0 + 11.0, f"pair {one + 1}-{two + 1}")
            # Untwisted from the outer end of one joint to the outer end of the other.
            ends = [offsets[one] - 16, offsets[one] + 16, offsets[two] - 16, offsets[two] + 16]
            self.close(ours["untwisted"][index], float(numpy.ptp(ends)), f"untwisted {one + 1}-{two + 1}")
        self.assertEqual(ours["verdict"], "stagger")

    def test_ends_that_overlap_too_little(self):
        given = {"wires": ["2 mm"] * 3, "finished": "4 mm", "joint": "30 mm", "lap": "6 mm", "gap": "10 mm"}
        needed = reckon("stagger", **given)["overlap-needed"]
        reckon("stagger", available=f"{needed} mm", **given)
        self.refused("stagger", "insert", available=f"{needed - 0.5} mm", **given)
