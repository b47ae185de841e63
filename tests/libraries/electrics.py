"""`wire` against pint: resistance, drop and heat worked with units, gauges against numpy."""

import numpy
import pint

from checks import Check, reckon

SOURCES = [("pint", "arithmetic of quantities"), ("numpy", "logspace of the gauge rule")]

Q = pint.UnitRegistry().Quantity

# workings.md: resistivity of annealed copper (IACS), its temperature coefficient, and the share by which real
# strands pass ideal copper.
RESISTIVITY = Q(0.017241, "ohm * mm**2 / m")
COEFFICIENT = Q(0.00393, "1 / delta_degC")
STRANDS = 1.11

# Size, length, return, current, temperature in °C, supply in V.
WIRES = [
    (Q(0.75, "mm**2"), Q(4, "m"), "same", Q(8, "A"), 85.0, 12.0),
    (Q(2.5, "mm**2"), Q(11, "foot"), "chassis", Q(15, "A"), 20.0, 13.8),
    (Q(0.0014, "inch**2"), Q(350, "cm"), "none", Q(750, "mA"), -40.0, 24.0),
    (Q(1900, "circular_mil"), Q(2.2, "yard"), "same", Q(5.5, "A"), 105.0, 12.6),
]
SPELLED = {"millimeter ** 2": "mm2", "inch ** 2": "in2", "circular_mil": "cmil", "meter": "m", "foot": "ft",
           "centimeter": "cm", "yard": "yd", "ampere": "A", "milliampere": "mA"}


def spelled(quantity):
    """A quantity as our command line takes it."""
    return f"{quantity.magnitude!r} {SPELLED[str(quantity.units)]}"


class Wire(Check):
    def test_resistance_drop_and_heat(self):
        for size, length, way, current, celsius, supply in WIRES:
            ours = reckon("wire", size=spelled(size), length=spelled(length), **{"return": way},
                          current=spelled(current), temperature=f"{celsius} degC", supply=f"{supply} V")
            warmer = Q(celsius, "degC") - Q(20, "degC")
            conductor = length * (2 if way == "same" else 1)
            resistance = RESISTIVITY * conductor / size * (1 + (COEFFICIENT * warmer).to("").magnitude)
            drop = resistance * current
            for name, theirs in [
                ("area", size.to("mm**2")),
                ("resistance", resistance.to("milliohm")),
                ("drop", drop.to("V")),
                ("drop-worst", (drop * STRANDS).to("V")),
                ("drop-share", (drop / Q(supply, "V")).to("percent")),
                ("heat", (current ** 2 * resistance).to("W")),
            ]:
                self.close(ours[name], theirs.magnitude, f"{name} of {size} {length} {way}")

    def test_a_stated_resistance(self):
        stated = Q(6.3, "ohm / kilofoot")
        ours = reckon("wire", per_length="6.3 ohm/1000ft", length="7 m", **{"return": "same"}, current="3 A",
                      temperature="68 degF")
        # 68 °F is 20 °C, where the stated resistance holds as it stands.
        self.close(ours["drop"], (stated * Q(14, "m") * Q(3, "A")).to("V").magnitude, "drop")
        self.close(ours["heat"], (stated * Q(14, "m") * Q(3, "A") ** 2).to("W").magnitude, "heat")

    def test_gauge_by_copper_area(self):
        # ASTM B258: from 0000 (460 mil) to 36 AWG (5 mil), 39 equal steps of the diameter's logarithm.
        mils = numpy.logspace(numpy.log10(460), numpy.log10(5), 40)
        areas = (Q(numpy.pi / 4, "") * Q(mils, "thou") ** 2).to("mm**2").magnitude
        names = ["4/0", "3/0", "2/0", "1/0"] + [str(number) for number in range(1, 37)]
        for name, area in zip(names, areas):
            self.close(reckon("convert", value=f"{name} AWG", to="mm2")["result"], area, f"{name} AWG")
        even = [(name, area) for name, area in zip(names, areas) if name in ("1/0", "3/0") or name.isdigit()
                and int(name) % 2 == 0]
        for size in (0.22, 0.35, 0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0):
            thinnest = [name for name, area in even if area >= size][-1]
            ours = reckon("wire", size=f"{size} mm2", length="1 m", **{"return": "none"}, current="1 A",
                          temperature="20 degC")
            self.assertEqual(ours["awg-at-least"], f"{thinnest} AWG", f"{size} mm²")
            Check.compared += 1
