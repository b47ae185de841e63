"""`sleeve` and `torque` against scipy, numpy and pint: areas, moments and forces."""

import numpy
import pint
from scipy.optimize import brentq

from checks import EXACT, Check, reckon

SOURCES = [
    ("scipy", "optimize.brentq on the area of a sleeve's wall and on the balance of moments"),
    ("numpy", "moments as cross products, the profile of a thread"),
    ("pint", "preload and its share of the proof load, with units"),
]

Q = pint.UnitRegistry().Quantity


def ring(inside, wall):
    """The area of a ring."""
    return numpy.pi / 4 * ((inside + 2 * wall) ** 2 - inside**2)


class Sleeve(Check):
    def test_the_wall_keeps_its_area(self):
        for over, supplied, recovered, wall in [(4.6, 9.5, 1.5, 0.6), (7.3, 12.7, 6.4, 0.65), (2.0, 3.2, 1.0, 1.0),
                                                (30.0, 40.0, 13.0, 2.4)]:
            ours = reckon("sleeve", over=f"{over} mm", grip=f"{over} mm", covers="10 mm", supplied=f"{supplied} mm",
                          recovered=f"{recovered} mm", wall=f"{wall} mm", length_change="-0.05")
            theirs = brentq(lambda w: ring(over, w) - ring(recovered, wall), 0, wall, xtol=1e-15)
            self.close(ours["wall-after"], theirs, f"wall on {over} mm", absolute=1e-12)
            self.close(ours["finished-diameter"], over + 2 * theirs, f"outside on {over} mm")

    def test_the_cut_covers_after_the_worst_shrinking(self):
        # From the shop's range, -10 % to 2 %: the longest cut that any change within it asks for.
        ours = reckon("sleeve", shop=True, over="4.6 mm", grip="2.5 mm", covers="23 mm", overlap="6.5 mm",
                      **{"from": "sleeve:three-to-one"})
        changes = numpy.linspace(-0.10, 0.02, 121)
        cuts = [brentq(lambda cut: cut * (1 + change) - (23 + 2 * 6.5), 1, 1000, xtol=1e-13) for change in changes]
        self.close(ours["cut-length"], max(cuts), "cut of a range of changes", relative=EXACT)

    def test_the_sleeve_chosen_is_the_smallest_that_fits(self):
        # Bores of shop/stores/sleeves.yaml, in mm.
        supplied, recovered = numpy.array([3.0, 6.0, 9.0, 12.0]), numpy.array([1.0, 2.0, 3.0, 4.0])
        for over, grip in [(2.0, 1.4), (2.5, 2.0), (4.6, 2.5), (5.45, 2.3), (5.5, 3.4), (8.0, 3.5), (10.9, 4.5),
                           (4.0, 2.0), (9.0, 3.0), (11.0, 6.0)]:
            fits = (supplied >= over + max(0.1 * over, 0.5)) & (recovered <= 0.9 * grip)
            given = {"shop": True, "over": f"{over} mm", "grip": f"{grip} mm", "covers": "20 mm",
                     "from": "sleeve:three-to-one"}
            if fits.any():
                self.assertEqual(reckon("sleeve", **given)["sleeve"], f"s{supplied[fits].min():.0f}", given)
                Check.compared += 1
            else:
                self.refused("sleeve", "none fits", **given)


class Torque(Check):
    def test_the_setting_balances_the_moments(self):
        for torque, arm, adapter, degrees in [(25.0, 300.0, 60.0, 60.0), (110.0, 450.0, 45.0, 0.0),
                                              (8.5, 180.0, 32.0, 90.0), (64.0, 520.0, 75.0, 135.0)]:
            # The wrench lies along x with its drive at nought; its grip is pulled at a right angle.
            grip = numpy.array([-arm, 0.0, 0.0]) / 1000
            turn = numpy.radians(degrees)
            fastener = numpy.array([adapter * numpy.cos(turn), adapter * numpy.sin(turn), 0.0]) / 1000

            def about(point, pull):
                return numpy.linalg.norm(numpy.cross(grip - point, [0.0, -pull, 0.0]))

            pull = brentq(lambda pull: about(fastener, pull) - torque, 0, 1e5, xtol=1e-12)
            ours = reckon("torque", torque=f"{torque} N.m", arm=f"{arm} mm", adapter=f"{adapter} mm",
                          angle=f"{degrees} deg")
            self.close(ours["set-to"], about(numpy.zeros(3), pull), f"{torque} N·m at {degrees}°")

    def test_units(self):
        for spelled, theirs in [("25 N.m", Q(25, "N*m")), ("80 lbf.ft", Q(80, "force_pound*foot")),
                                ("95 lbf.in", Q(95, "force_pound*inch")), ("1.2 kgf.m", Q(1.2, "force_kilogram*m")),
                                ("40 ozf.in", Q(40, "force_ounce*inch"))]:
            ours = reckon("torque", torque=spelled, to="ozf.in")
            for name, unit in [("torque", "N*m"), ("torque-lbf-ft", "force_pound*foot"),
                               ("torque-lbf-in", "force_pound*inch"), ("torque-kgf-m", "force_kilogram*m"),
                               ("torque-to", "force_ounce*inch")]:
                self.close(ours[name], theirs.to(unit).magnitude, f"{spelled} as {name}")

    def test_preload_and_proof_share(self):
        # Diameter, pitch, proof stress of class 8.8 to M16, 10.9 and 12.9 (ISO 898-1), friction factor.
        for diameter, pitch, grade, proof, factor, torque in [
            (8.0, 1.25, "8.8", 580, 0.2, 25.0), (6.0, 1.0, "10.9", 830, 0.15, 9.0),
            (12.0, 1.5, "12.9", 970, 0.18, 95.0),
        ]:
            ours = reckon("torque", torque=f"{torque} N.m", thread=f"M{diameter:g}x{pitch:g}",
                          friction_factor=factor, **{"class": grade})
            preload = Q(torque, "N*m") / (factor * Q(diameter, "mm"))
            self.close(ours["preload"], preload.to("kN").magnitude, f"preload of M{diameter:g}")
            # The mean of pitch and root diameter of the profile: triangle of height H, flats of H/8, H/4 and H/6.
            height = pitch * numpy.sqrt(3) / 2
            middle = diameter - 2 * height * 3 / 8
            root = diameter - 2 * height * 5 / 8 - height / 6
            area = Q(numpy.pi / 4 * ((middle + root) / 2) ** 2, "mm**2")
            # ISO 898-1 rounds the factor of the pitch to 0.9382, which is 0.93819.
            self.close(ours["stress-area"], area.magnitude, f"stress area of M{diameter:g}", relative=1e-5)
            share = (preload / (area * Q(proof, "MPa"))).to("dimensionless").magnitude
            self.close(ours["proof-share"], share, f"share of M{diameter:g}", relative=1e-5)
