"""Lossless sections in a matched line as networks of scikit-rf, for the checks of `lines` and `coax`."""

import numpy
import skrf
from scipy import constants
from skrf.media import DefinedGammaZ0


def chain(line, segments, megahertz):
    """The two-port of segments (impedance Ω, length mm, velocity factor) between ports of the line's impedance."""
    frequency = skrf.Frequency.from_f(numpy.atleast_1d(megahertz), unit="MHz")
    networks = []
    for impedance, millimetres, velocity in segments:
        phase = 2 * numpy.pi * frequency.f / (constants.c * velocity)
        media = DefinedGammaZ0(frequency, z0_port=line, z0=impedance, gamma=1j * phase)
        networks.append(media.line(millimetres, unit="mm"))
    return skrf.network.cascade_list(networks)


def worst(line, segments, low, high):
    """The greatest |Γ| of a band and its frequency in MHz: a fine sweep, then finer ones round the best point."""
    points = 801
    for _ in range(4):
        swept = numpy.linspace(low, high, points)
        reflections = numpy.abs(chain(line, segments, swept).s[:, 0, 0])
        best = int(numpy.argmax(reflections))
        low, high = swept[max(best - 1, 0)], swept[min(best + 1, len(swept) - 1)]
        points = 101
    return float(reflections[best]), float(swept[best])
