"""The smallest circle round given circles, by many descents of scipy's SLSQP, for `packing` and `loom`."""

from itertools import combinations

import numpy
from scipy.optimize import minimize

# Descents from random places, and then from the best arrangement with two circles changed over. For up to nine
# circles this many reach the best of some hundreds within 0.5 % in most cases.
STARTS, SWAPS = 30, 90


def smallest(diameters, starts=STARTS, swaps=SWAPS, seed=1):
    """The diameter of the best arrangement found. It is spread until nothing overlaps, so it is never too small."""
    radii = numpy.asarray(diameters, dtype=float) / 2
    scale = radii.max()
    radii = radii / scale
    draw = numpy.random.default_rng(seed)
    outer, places = min((_descend(radii, *_start(radii, draw)) for _ in range(starts)), key=lambda found: found[0])
    for _ in range(swaps):
        one, two = draw.choice(len(radii), 2, replace=False)
        swapped = places.copy()
        swapped[:, [one, two]] = places[:, [two, one]]
        outer, places = min((outer, places), _descend(radii, swapped, 1.3 * outer), key=lambda found: found[0])
    return 2 * scale * outer


def lower_bound(diameters):
    """A diameter below which nothing holds all circles: the area, and each three of them by themselves."""
    whole = numpy.sqrt(numpy.sum(numpy.square(diameters)))
    return max([whole, *(three(*some) for some in combinations(diameters, 3))])


def three(*diameters):
    """The smallest circle round three: the outer Soddy circle, or that of the two largest if the third fits
    beside them (Descartes' theorem)."""
    a, b, c = sorted((d / 2 for d in diameters), reverse=True)
    if c <= a * b * (a + b) / (a * a + a * b + b * b):
        return 2 * (a + b)
    return 2 * a * b * c / (2 * numpy.sqrt(a * b * c * (a + b + c)) - (a * b + b * c + c * a))


def overlap(circles):
    """How deep the deepest overlap of (x, y, d) circles is; negative where all are apart."""
    at = numpy.array([(circle["x"], circle["y"], circle["d"]) for circle in circles])
    one, two = numpy.triu_indices(len(at), 1)
    apart = numpy.hypot(at[one, 0] - at[two, 0], at[one, 1] - at[two, 1])
    return float(numpy.max((at[one, 2] + at[two, 2]) / 2 - apart))


def reach(circles):
    """Twice the largest distance of a circle's rim from the centre."""
    return max(2 * numpy.hypot(circle["x"], circle["y"]) + circle["d"] for circle in circles)


def _start(radii, draw):
    spread = 1.2 * numpy.sqrt(numpy.sum(radii**2))
    turned = draw.uniform(0, 2 * numpy.pi, len(radii))
    away = spread * numpy.sqrt(draw.uniform(0, 1, len(radii)))
    return away * numpy.array([numpy.cos(turned), numpy.sin(turned)]), 2 * spread


def _descend(radii, places, outer):
    """One local optimum, as outer radius and places: the outer radius, the last variable, is made small while all
    lie inside and none overlap."""
    count = len(radii)
    one, two = numpy.triu_indices(count, 1)
    least = (radii[one] + radii[two]) ** 2
    rows, each = numpy.arange(len(one)), numpy.arange(count)

    def room(at):
        x, y, outer = at[:count], at[count:-1], at[-1]
        apart = (x[one] - x[two]) ** 2 + (y[one] - y[two]) ** 2 - least
        # Squared, so that the slope stays finite at the centre; the outer radius is kept above each circle.
        return numpy.concatenate([apart, (outer - radii) ** 2 - x**2 - y**2, outer - radii])

    def slope(at):
        x, y, outer = at[:count], at[count:-1], at[-1]
        jacobian = numpy.zeros((len(one) + 2 * count, 2 * count + 1))
        for column, values in ((0, x), (count, y)):
            jacobian[rows, column + one] = 2 * (values[one] - values[two])
            jacobian[rows, column + two] = -2 * (values[one] - values[two])
            jacobian[len(one) + each, column + each] = -2 * values
        jacobian[len(one) + each, -1] = 2 * (outer - radii)
        jacobian[len(one) + count + each, -1] = 1
        return jacobian

    towards = numpy.zeros(2 * count + 1)
    towards[-1] = 1
    done = minimize(lambda at: at[-1], [*places.ravel(), outer], jac=lambda at: towards, method="SLSQP",
                    constraints={"type": "ineq", "fun": room, "jac": slope}, options={"maxiter": 200, "ftol": 1e-10})
    found = done.x[:-1].reshape(2, count)
    return _valid(radii, found), found


def _valid(radii, places):
    """The outer radius of places that are spread until no two circles overlap."""
    one, two = numpy.triu_indices(len(radii), 1)
    apart = numpy.hypot(*(places[:, one] - places[:, two]))
    spread = max(1.0, float(numpy.max((radii[one] + radii[two]) / numpy.maximum(apart, 1e-12))))
    return float(numpy.max(spread * numpy.hypot(*places) + radii))
