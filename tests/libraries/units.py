"""`convert` and `total` against pint: every pair of units of a kind, and refusals between kinds."""

from itertools import permutations, product

import pint

from checks import Check, Refused, reckon, reckon_all

SOURCES = [("pint", "Quantity.to and DimensionalityError")]

REGISTRY = pint.UnitRegistry()

# Our spellings with pint's of the same unit, by kind. Where the two do not mean the same thing: months and years
# are left out (pint's year has 365.25 days, the calendar's mean one 365.2425), and 1/minute stands for `rpm`,
# which is turns per minute here and an angular speed in pint.
KINDS = {
    "length": {"mm": "mm", "m": "m", "cm": "cm", "um": "um", "km": "km", "in": "inch", "ft": "foot",
               "yd": "yard", "mi": "mile", "mil": "thou"},
    "area": {"mm2": "mm**2", "cm2": "cm**2", "m2": "m**2", "in2": "inch**2", "ft2": "foot**2",
             "cmil": "circular_mil", "kcmil": "kilocircular_mil"},
    "volume": {"ml": "ml", "l": "liter", "mm3": "mm**3", "cm3": "cm**3", "m3": "m**3"},
    "mass": {"g": "g", "kg": "kg", "mg": "mg", "lb": "pound", "oz": "ounce"},
    "time": {"s": "s", "ms": "ms", "us": "us", "ns": "ns", "min": "minute", "h": "hour", "d": "day",
             "weeks": "week"},
    "frequency": {"Hz": "Hz", "kHz": "kHz", "MHz": "MHz", "GHz": "GHz", "rpm": "1/minute"},
    "data rate": {"kbit/s": "kbit/s", "Mbit/s": "Mbit/s", "Gbit/s": "Gbit/s"},
    "speed": {"m/s": "m/s", "mm/s": "mm/s", "km/h": "km/hour", "mph": "mile/hour"},
    "force": {"N": "N", "kN": "kN", "mN": "mN", "lbf": "pound_force", "kgf": "kilogram_force",
              "ozf": "ounce_force"},
    "torque": {"N.m": "N*m", "N.cm": "N*cm", "N.mm": "N*mm", "kN.m": "kN*m", "mN.m": "mN*m",
               "lbf.ft": "pound_force*foot", "lbf.in": "pound_force*inch", "kgf.m": "kilogram_force*m",
               "kgf.cm": "kilogram_force*cm", "ozf.in": "ounce_force*inch"},
    "pressure": {"Pa": "Pa", "hPa": "hPa", "kPa": "kPa", "MPa": "MPa", "bar": "bar", "psi": "psi",
                 "N/mm2": "N/mm**2"},
    "power": {"W": "W", "mW": "mW", "kW": "kW"},
    "current": {"A": "A", "mA": "mA", "uA": "uA"},
    "voltage": {"V": "V", "mV": "mV", "uV": "uV", "kV": "kV"},
    "resistance": {"ohm": "ohm", "mohm": "milliohm", "uohm": "microohm", "kohm": "kiloohm",
                   "Mohm": "megaohm"},
    "resistance per length": {"mohm/m": "milliohm/m", "ohm/km": "ohm/km", "ohm/m": "ohm/m",
                              "ohm/ft": "ohm/foot", "ohm/1000ft": "milliohm/foot"},
    "resistivity": {"ohm.m": "ohm*m", "ohm.mm2/m": "ohm*mm**2/m"},
    "capacitance": {"pF": "pF", "nF": "nF", "uF": "uF"},
    "capacitance per length": {"pF/m": "pF/m", "pF/ft": "pF/foot", "nF/m": "nF/m"},
    "inductance": {"nH": "nH", "uH": "uH", "mH": "mH"},
    "inductance per length": {"nH/m": "nH/m", "uH/m": "uH/m"},
    "delay": {"ns/m": "ns/m", "s/m": "s/m"},
    "angle": {"deg": "degree", "rad": "radian"},
    "temperature": {"degC": "degC", "degF": "degF", "K": "kelvin", "degR": "degR"},
}

# A value with no round figure in any unit; the last place of each kind of arithmetic shows.
VALUE = 7.3
# Points of the temperature scales: where two meet, below nought, and of hot work.
POINTS = [-40.0, -17.5, 0.0, 36.6, 451.0]


class Units(Check):
    def test_every_pair_of_a_kind(self):
        pairs = [pair for kind in KINDS if kind != "temperature" for pair in permutations(KINDS[kind].items(), 2)]
        rows = [{"value": f"{VALUE} {here[0]}", "to": there[0]} for here, there in pairs]
        for (here, there), row, outputs in zip(pairs, rows, reckon_all("convert", rows)):
            theirs = REGISTRY.Quantity(VALUE, here[1]).to(there[1]).magnitude
            ours = outputs if isinstance(outputs, Refused) else outputs["result"]
            self.close(ours, theirs, row)

    def test_temperature_scales(self):
        for here, there in product(KINDS["temperature"].items(), repeat=2):
            for point in POINTS:
                if here[0] in ("K", "degR") and point < 0:
                    continue
                theirs = REGISTRY.Quantity(point, here[1]).to(there[1]).magnitude
                ours = reckon("convert", value=f"{point} {here[0]}", to=there[0])["result"]
                # Scales cancel: at -40 °C, 273.15 loses the last places of what is left.
                self.close(ours, theirs, f"{point} {here[0]} to {there[0]}", absolute=1e-10)

    def test_kinds_do_not_convert_into_each_other(self):
        firsts = [next(iter(units.items())) for units in KINDS.values()]
        pairs = list(permutations(firsts, 2))
        # A bit counts as a plain number in both programs' frequency, and pint has no angle of its own.
        alike = [pair for pair in pairs if {pair[0][0], pair[1][0]} == {"Hz", "kbit/s"}]
        rows = [{"value": f"{VALUE} {here[0]}", "to": there[0]} for here, there in pairs]
        for pair, row, outputs in zip(pairs, rows, reckon_all("convert", rows)):
            if pair in alike:
                continue
            with self.assertRaises(pint.DimensionalityError, msg=row):
                REGISTRY.Quantity(VALUE, pair[0][1]).to(pair[1][1])
            self.assertIsInstance(outputs, Refused, row)
            Check.compared += 1

    def test_gauges_of_whole_circular_mils(self):
        # 36 AWG is 5 mil and 4/0 AWG 460 mil thick by definition (ASTM B258): 25 and 211600 circular mils.
        for gauge, mils in [("36 AWG", 25), ("4/0 AWG", 211_600), ("0000 AWG", 211_600)]:
            theirs = REGISTRY.Quantity(mils, "circular_mil").to("mm**2").magnitude
            self.close(reckon("convert", value=gauge, to="mm2")["result"], theirs, gauge)

    def test_totals_take_the_first_unit(self):
        for parts in (["1.2 m", "3.5 in", "80 mm"], ["25 N.m", "10 lbf.ft", "30 lbf.in"], ["2 bar", "30 psi"]):
            spellings = {ours: theirs for kind in KINDS.values() for ours, theirs in kind.items()}
            amounts = [part.split(" ") for part in parts]
            quantities = [REGISTRY.Quantity(float(value), spellings[unit]) for value, unit in amounts]
            theirs = sum(quantities[1:], quantities[0]).to(spellings[amounts[0][1]]).magnitude
            self.close(reckon("total", of=parts)["sum"], theirs, parts)
        self.refused("total", "a length is wanted", of=["1 m", "2 s"])
