"""Spreading resistances of rectangles on a square of two layers (spreading.md).

The double cosine series of 1/(k zeta), the endless plate, is written as an integral over
Gaussians, 1/zeta = 2/sqrt(pi) int exp(-zeta^2 s^2) ds, whose double series are products
of single ones. What the finite layers change, falls like exp(-2 zeta t) and is summed mode
by mode. `plain_sum` is the same as a plain double series, for checks.
"""
import math

import numpy as np
from scipy.special import erf

SMALL = 0.1  # s/side up to which images serve, and from which cosines do
NODES, WEIGHTS = np.polynomial.legendre.leggauss(16)


def panels(edges):
    edges = np.array(edges)
    half = 0.5 * np.diff(edges)[:, None]
    middle = 0.5 * (edges[1:] + edges[:-1])[:, None]
    return (middle + half * NODES).ravel(), (half * WEIGHTS).ravel()


IMAGE_S, IMAGE_W = panels([0.0, SMALL / 64, SMALL / 16, SMALL / 4, SMALL / 2, SMALL])
COSINE_S, COSINE_W = panels([SMALL, 0.2, 0.4, 0.8, 1.6])
COSINE_MODES = np.arange(1, 19)
COSINE_DECAY = np.exp(-((math.pi * COSINE_MODES[:, None] * COSINE_S) ** 2))


def kernels_by_images(x, length):
    """Heat kernel between strips on a side of 1 with insulated ends, mean and at the middle of
    the receiver: [receiver, source, s]."""
    s = IMAGE_S
    middle = np.stack([x, -x, 2.0 - x])[:, None, :, None]
    gap = x[None, :, None, None] - middle
    reach = 0.5 * (length[:, None] + length)[None, :, :, None]
    inner = 0.5 * (length[:, None] - length)[None, :, :, None]
    u = np.stack([gap + reach, gap - reach, gap + inner, gap - inner])
    e = u / (2.0 * s)
    g = 0.5 * u * erf(e) + s / math.sqrt(math.pi) * np.exp(-e * e)
    mean = (g[0] + g[1] - g[2] - g[3]).sum(0) / (length[:, None] * length)[:, :, None]
    half = 0.5 * length[None, None, :, None]
    point = 0.5 * (erf((gap + half) / (2.0 * s)) - erf((gap - half) / (2.0 * s))).sum(0)
    return mean, point / length[None, :, None]


def factors(x, length, modes):
    """Means of cos(m pi x) over strips, and their values in the middle: [strip, mode]."""
    angle = math.pi * np.outer(x, modes)
    half = 0.5 * length[:, None] * modes
    return np.cos(angle) * np.sinc(half), np.cos(angle)


def kernels_by_cosines(x, length):
    mean, point = factors(x, length, COSINE_MODES)
    mean_pairs = mean[:, None, :] * mean
    point_pairs = point[:, None, :] * mean
    return 1.0 + 2.0 * mean_pairs @ COSINE_DECAY, 1.0 + 2.0 * point_pairs @ COSINE_DECAY


class Spreading:
    """Places and lengths of sources over the side, from the corner; one film below."""

    def __init__(self, x, y, length, width, side, top, paste, base):
        """top and base are (thickness, conductivity); paste in m2 K/W."""
        self.side = side
        (t1, k1), (t2, k2) = top, base
        endless = self.endless(x, y, length, width) / (k1 * side)

        count = int(math.ceil(12.5 / (t1 * math.pi / side)))
        modes = np.arange(count + 1)
        m, n = np.meshgrid(modes, modes, indexing="ij")
        keep = (m * m + n * n > 0) & (m * m + n * n <= count * count)
        order = np.argsort((m * m + n * n)[keep], kind="stable")
        m, n = m[keep][order], n[keep][order]
        zeta = np.sqrt(m * m + n * n) * (math.pi / side)
        weights = self.weights(x, y, length, width, m, n) / (side * side)

        self.prepare_change(k1 * zeta, k2 * zeta, np.exp(-2.0 * zeta * t1),
                            np.exp(-2.0 * zeta * t2), paste)
        feels = int(np.searchsorted(zeta, 12.5 / (t1 + t2)))
        self.feels = feels
        rest = weights[:, feels:] @ self.change(slice(feels, None), np.array([1e4]))
        self.fixed = endless.ravel() + rest[:, 0]
        self.weights_felt = weights[:, :feels]
        self.sources = len(x)

    @staticmethod
    def endless(x, y, length, width):
        """Series of 1/zeta for a side of 1 and k = 1: [mean or middle, receiver, source]."""
        total = 0.0
        for kernels, w in ((kernels_by_images, IMAGE_W), (kernels_by_cosines, COSINE_W)):
            along, across = kernels(x, length), kernels(y, width)
            total = total + np.stack([(a * b - 1.0) @ w for a, b in zip(along, across)])
        return 2.0 / math.sqrt(math.pi) * total

    @staticmethod
    def weights(x, y, length, width, m, n):
        """[mean or middle x receiver x source, mode]"""
        cm, cp = (f[:, m] for f in factors(x, length, np.arange(m.max() + 1)))
        dm, dp = (f[:, n] for f in factors(y, width, np.arange(n.max() + 1)))
        both = np.where(m > 0, 2.0, 1.0) * np.where(n > 0, 2.0, 1.0)
        receivers = np.concatenate([cm * dm, cp * dp])
        return ((receivers * both)[:, None, :] * (cm * dm)).reshape(-1, len(m))

    def prepare_change(self, top, base, decay1, decay2, paste):
        """Reflection by the base's bottom, the joint, and the top's bottom: each is a fraction
        of first degree in the film, and so are all together. Coefficients: [mode, degree]."""
        film = np.array([0.0, 1.0])
        constant = 1.0 - film
        top, base, decay1, decay2 = (a[:, None] for a in (top, base, decay1, decay2))
        below = base * (base * (1.0 - decay2) * constant + (1.0 + decay2) * film)
        above = base * (1.0 + decay2) * constant + (1.0 - decay2) * film + paste * below
        reflected = decay1 * (top * above - below)
        self.change_over = 2.0 / top * reflected
        self.change_under = top * above + below - reflected

    def change(self, part, film):
        """Z less 1/(k1 zeta) by mode and film."""
        over, under = self.change_over[part], self.change_under[part]
        return (over[:, :1] + over[:, 1:] * film) / (under[:, :1] + under[:, 1:] * film)

    def at(self, film):
        """Mean and middle resistances, each [film, receiver, source]."""
        film = np.atleast_1d(film)
        s = self.fixed + (self.weights_felt @ self.change(slice(0, self.feels), film)).T
        s = s.reshape(len(film), 2, self.sources, self.sources)
        return s[:, 0], s[:, 1]

    def near(self, film):
        """The same for films that hardly differ: exact for the first, linear for the others."""
        if len(film) == 1:
            return self.at(film)
        apart = 1e-4
        along = (film / film[0] - 1.0)[:, None, None] / apart
        ends = self.at(film[0] * np.array([1.0, 1.0 + apart]))
        return [s[0] + along * (s[1] - s[0]) for s in ends]


def plain_sum(x, y, length, width, side, top, paste, base, film, count):
    """The double cosine series as it stands, modes below `count` along each side."""
    (t1, k1), (t2, k2) = top, base
    n = np.arange(count)
    cn, pn = factors(y, width, n)
    mean = point = 0.0
    for m in range(count):
        cm, pm = factors(x, length, np.array([m]))
        zeta = np.sqrt(m * m + n * n) * (math.pi / side)
        zeta[0] = zeta[0] or 1.0
        z = (1.0 / film + np.tanh(zeta * t2) / (k2 * zeta)) / (
            1.0 + k2 * zeta / film * np.tanh(zeta * t2)) + paste
        z = (z + np.tanh(zeta * t1) / (k1 * zeta)) / (1.0 + z * k1 * zeta * np.tanh(zeta * t1))
        z *= np.where(n > 0, 2.0, 1.0) * (2.0 if m else 1.0)
        if m == 0:
            z[0] = 0.0
        source = cm * cn * z
        mean = mean + (cm * cn) @ source.T
        point = point + (pm * pn) @ source.T
    return mean / side**2, point / side**2
