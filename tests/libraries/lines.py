"""`line-joint` against scikit-rf: the same sections as cascaded networks, at one frequency and over bands."""

import numpy
from scipy.optimize import brentq

from checks import EXACT, NUMERIC, Check, reckon, reckon_all
from networks import chain, worst

SOURCES = [
    ("scikit-rf", "DefinedGammaZ0.line and cascade_list: s, s_db and s_vswr of the cascade"),
    ("scipy", "optimize.brentq, the length at which a limit is just kept"),
]


def spelled(segments):
    return [f"{impedance!r}ohm/{length!r}mm/{velocity!r}" for impedance, length, velocity in segments]


def random_segments(draw, count):
    """Sections from 15 Ω to 300 Ω, up to a few wavelengths of the highest frequency together."""
    return [(round(float(draw.uniform(15, 300)), 2), round(float(draw.uniform(1, 60)), 2),
             round(float(draw.uniform(0.4, 1.0)), 3)) for _ in range(count)]


class Lines(Check):
    def test_at_one_frequency(self):
        draw = numpy.random.default_rng(75)
        cases = [(float(draw.choice([50.0, 75.0, 93.0, 120.0])), random_segments(draw, 1 + index % 6),
                  round(float(draw.uniform(1, 6000)), 3)) for index in range(60)]
        rows = [{"line": f"{line} ohm", "segments": spelled(segments), "frequency": f"{megahertz} MHz"}
                for line, segments, megahertz in cases]
        for (line, segments, megahertz), row, ours in zip(cases, rows, reckon_all("line-joint", rows)):
            network = chain(line, segments, megahertz)
            reflection = abs(network.s[0, 0, 0])
            # Near a perfect match, |Γ| is a difference of figures near one: 1e-12 absolute is all that is left.
            self.close(ours["reflection"], reflection, f"reflection {row}", absolute=1e-12)
            self.close(ours["return-loss"], -network.s_db[0, 0, 0], f"return loss {row}",
                       absolute=1e-11 / reflection)
            self.close(ours["vswr"], network.s_vswr[0, 0, 0], f"VSWR {row}")
            # Nothing is lost in the line, so that what does not pass was reflected.
            self.close(ours["mismatch-loss"], -network.s_db[0, 1, 0], f"mismatch loss {row}", absolute=1e-11)
            degrees = sum(360e6 * megahertz * length / 1000 / (299_792_458 * velocity)
                          for _, length, velocity in segments)
            self.close(ours["electrical-length"], degrees, f"electrical length {row}")

    def test_the_worst_point_of_a_band(self):
        draw = numpy.random.default_rng(76)
        for count in (1, 1, 2, 3, 3, 5):
            for low, high in ((80, 240), (1, 3000), (1200, 6000)):
                segments = random_segments(draw, count)
                ours = reckon("line-joint", line="75 ohm", segments=spelled(segments),
                              frequency=f"{low} MHz to {high} MHz")
                theirs, _ = worst(75.0, segments, low, high)
                self.close(ours["reflection"], theirs, f"{segments} {low} to {high} MHz", relative=NUMERIC)

    def test_the_three_inputs_of_one_section(self):
        ours = reckon("line-joint", line="50 ohm", impedance="88 ohm", length="0.7 in", velocity_factor="0.82",
                      frequency="1.1 GHz")
        theirs = abs(chain(50.0, [(88.0, 0.7 * 25.4, 0.82)], 1100).s[0, 0, 0])
        self.close(ours["reflection"], theirs, "one section in inches and GHz")

    def test_the_longest_section_that_keeps_a_limit(self):
        for line, impedance, velocity, low, high, limit in [
            (75.0, 164.0, 1.0, 174, 240, 14.0), (50.0, 25.0, 0.66, 1, 1600, 10.0), (75.0, 50.0, 0.8, 88, 108, 20.0),
            (93.0, 150.0, 0.7, 2400, 2500, 16.0), (50.0, 300.0, 0.9, 470, 470, 6.0),
        ]:
            ours = reckon("line-joint", line=f"{line} ohm", segments=f"{impedance}ohm/1mm/{velocity}",
                          frequency=f"{low} MHz to {high} MHz", limit=f"{limit} dB")["longest"]
            allowed = 10 ** (-limit / 20)
            quarter = 299_792_458 * velocity / high / 1e6 / 4 * 1000
            sweep = numpy.linspace(low, high, 101) if high > low else [low]

            def above(length):
                reflections = chain(line, [(impedance, length, velocity)], sweep).s[:, 0, 0]
                return float(numpy.max(numpy.abs(reflections))) - allowed

            theirs = brentq(above, quarter * 1e-6, quarter, xtol=1e-12, rtol=1e-14)
            self.close(ours, theirs, f"{impedance} Ω in {line} Ω to {high} MHz", relative=EXACT)

    def test_a_quarter_wave_that_keeps_the_limit(self):
        ours = reckon("line-joint", line="75 ohm", segments="80ohm/1mm/0.66", frequency="100 MHz", limit="20 dB")
        quarter = 299_792_458 * 0.66 / 100e6 / 4 * 1000
        theirs = chain(75.0, [(80.0, quarter, 0.66)], 100)
        self.assertGreater(-theirs.s_db[0, 0, 0], 20)
        self.assertEqual(ours["longest"], "unlimited")

    def test_a_section_of_the_line_itself(self):
        ours = reckon("line-joint", line="75 ohm", segments="75ohm/33mm/0.66", frequency="1 GHz")
        self.close(ours["reflection"], abs(chain(75.0, [(75.0, 33.0, 0.66)], 1000).s[0, 0, 0]), "no joint",
                   absolute=1e-14)
        self.assertEqual(ours["return-loss"], "unlimited")
