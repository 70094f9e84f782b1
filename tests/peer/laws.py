"""Friction, heat transfer, fins and machines, from docs/theory; vectorised over all arguments."""
import math

import numpy as np
from scipy.interpolate import PchipInterpolator

# ---- ducts and tubes (ducts.md, friction.md, nusselt.md)

NU_T = 7.541 * np.array([1.0, -2.610, 4.970, -5.119, 2.702, -0.548])
FRE_POLYNOMIAL = 24.0 * np.array([1.0, -1.3553, 1.9467, -1.7012, 0.9564, -0.2537])
SHAH_ASPECT = np.array([0.0, 0.2, 0.5, 1.0])
SHAH_K = np.polyfit(SHAH_ASPECT, [0.674, 0.931, 1.28, 1.43], 3)
SHAH_LOG_C = np.polyfit(SHAH_ASPECT, np.log([2.9e-5, 7.6e-5, 2.1e-4, 2.9e-4]), 3)


def developed_f_re(aspect):
    n = np.arange(1, 400, 2)
    z = 0.5 * math.pi * n / np.asarray(aspect)[..., None]
    # 1 - tanh z by itself, so that the slow part of the series is known exactly
    slow = 31.0 / 32.0 * 1.0369277551433699263
    s = slow - (2.0 / (np.exp(np.minimum(2.0 * z, 700.0)) + 1.0) / n**5).sum(-1)
    return 24.0 / ((1.0 + aspect) ** 2 * (1.0 - 192.0 * aspect / math.pi**5 * s))


def turbulent_share(re, relative_roughness=0.0):
    """Twelfth power of turbulent over laminar friction (Churchill 1977)."""
    r = np.maximum(re, 100.0)
    a = (-2.457 * np.log((7.0 / r) ** 0.9 + 0.27 * relative_roughness)) ** 16
    q = ((r / 8.0) ** 8 / (a + (37530.0 / r) ** 16)) ** 1.5
    return np.where(re > 100.0, q, 0.0)


def churchill_f_re(re, relative_roughness):
    return 64.0 * (1.0 + turbulent_share(re, relative_roughness)) ** (1.0 / 12.0)


def two_k_re(re, bore):
    return 800.0 + 0.40 * (1.0 + 0.0254 / bore) * re


class Ducts:
    """Rectangular ducts side by side in arrays: friction and heat transfer over all regimes."""

    def __init__(self, short, long, length):
        aspect = short / long
        self.diameter = 2.0 * short * long / (short + long)
        self.slenderness = length / self.diameter
        self.f_re = developed_f_re(aspect)
        self.k = np.polyval(SHAH_K, aspect)
        self.c = np.exp(np.polyval(SHAH_LOG_C, aspect))
        self.nu = np.polyval(NU_T[::-1], aspect)

    def friction(self, re):
        """Apparent f Re (Fanning), Shah (1978) joined to Churchill (1977)."""
        y = re / self.slenderness
        developing = self.f_re + 0.25 * self.k * y + 3.44 * self.c * y * y * np.sqrt(y)
        developing = developing / (1.0 + self.c * y * y)
        if re.max() <= 100.0:
            return developing
        return (developing**12 + 16.0**12 * turbulent_share(re)) ** (1.0 / 12.0)

    def nusselt(self, re, pr):
        gz = re * pr / self.slenderness
        third = np.cbrt(pr)
        m = 2.27 + 1.65 * third
        entrance = 2.0 * 0.564 / (1.0 + (1.664 * np.sqrt(third)) ** 4.5) ** (2.0 / 9.0)
        nu = (entrance * np.sqrt(gz)) ** m
        nu = nu + (0.6135**5 * (self.f_re * gz) ** (5.0 / 3.0) + self.nu**5) ** (0.2 * m)
        nu = nu ** (1.0 / m)
        if re.max() <= 2300.0:
            return nu
        r = np.maximum(re, 2300.0)
        root = 1.0 / (math.sqrt(8.0) * (0.790 * np.log(r) - 1.64))  # sqrt(f/8)
        turbulent = root**2 * (r - 1000.0) * pr / (1.0 + 12.7 * root * (third * third - 1.0))
        turbulent = turbulent * (1.0 + self.slenderness ** (-2.0 / 3.0))
        s = np.minimum((r - 2300.0) / 1700.0, 1.0)
        return nu + s**3 * (10.0 - 15.0 * s + 6.0 * s * s) * (turbulent - nu)


def fin_efficiency(h, conductivity, thickness, height):
    x = np.sqrt(2.0 * h / (conductivity * thickness)) * height
    return np.tanh(x) / x


# ---- air between flat tubes (louvered-fins.md)

PR_AIR = 0.71


class Fins:
    """Geometry common to both kinds, and the plain duct of the passage."""

    def __init__(self, pitch, height, thickness, tube_thickness, depth, length=None):
        width, tall = pitch - thickness, height - thickness
        tube_pitch = height + tube_thickness
        self.depth = depth
        self.free_share = width * tall / (tube_pitch * pitch)
        self.area_per_volume = 2.0 * (width + tall) / (pitch * tube_pitch)
        self.diameter = 4.0 * self.free_share / self.area_per_volume
        self.length = length or self.diameter
        aspect = min(width, tall) / max(width, tall)
        self.f_re = np.polyval(FRE_POLYNOMIAL[::-1], aspect)
        self.nu = np.polyval(NU_T[::-1], aspect)
        # per Re on the fin's length
        self.scale = self.diameter / self.length
        self.friction_entrance = 3.44**2 * self.diameter / depth * self.scale
        self.inverse_x = PR_AIR * self.diameter / depth * self.scale

    def duct_heat(self, re):
        m = 2.27 + 1.65 * PR_AIR ** (1.0 / 3.0)
        f = 0.564 / (1.0 + (1.664 * PR_AIR ** (1.0 / 6.0)) ** 4.5) ** (2.0 / 9.0)
        g = re * self.inverse_x
        inner = 0.6135**5 * (self.f_re * g) ** (5.0 / 3.0) + self.nu**5
        nu = ((2.0 * f * np.sqrt(g)) ** m + inner ** (0.2 * m)) ** (1.0 / m)
        return nu * PR_AIR ** (-1.0 / 3.0) / self.scale

    def duct_friction(self, re):
        return np.sqrt(self.f_re**2 + self.friction_entrance * re) / self.scale


class PlainFins(Fins):
    kinetic = 1.2

    def heat(self, re):
        return self.duct_heat(re)

    def friction(self, re):
        return self.duct_friction(re)


class LouveredFins(Fins):
    kinetic = 1.0

    def __init__(self, pitch, height, thickness, tube_thickness, depth, louver_pitch, louver_length,
                 degrees):
        super().__init__(pitch, height, thickness, tube_thickness, depth, louver_pitch)
        l, tube_pitch = louver_pitch, height + tube_thickness
        log = math.log
        self.j_level = (0.27 * log(degrees / 90.0) - 0.14 * log(pitch / l) - 0.29 * log(height / l)
                        - 0.23 * log(depth / l) + 0.68 * log(louver_length / l)
                        - 0.28 * log(tube_pitch / l) - 0.05 * log(thickness / l))
        self.low_level = (log(14.39) + 3.04 * log(log(1.0 + pitch / l))
                          - 1.435 * log(log((thickness / pitch) ** 0.48 + 0.9))
                          - 3.01 * log(self.diameter / l) - 0.308 * log(pitch / louver_length)
                          - 0.308 * log(depth / louver_length)
                          - 0.1167 * tube_pitch / tube_thickness + 0.35 * log(degrees))
        self.low_power = 1.0 - 0.805 * pitch / height
        self.high_level = (log(4.97) - 0.527 * log(log((thickness / pitch) ** 0.5 + 0.9))
                           - 2.966 * log(self.diameter / l)
                           - 0.7931 * tube_pitch / height * log(pitch / louver_length)
                           - 0.0446 * log(tube_pitch / tube_thickness)
                           - 3.553 * log(log(1.2 + (l / pitch) ** 1.4)) - 0.477 * log(degrees))
        self.high_power = 1.0 + 0.6049 - 1.064 / degrees**0.2
        self.prepare_joints()

    # Everything below is ln(j Re) or ln(f Re) of q = ln Re.

    @staticmethod
    def above(value, floor):
        """The larger of two curves, joined by a parabola."""
        d = value - floor
        if (d >= 0.1).all():
            return value
        joined = floor + np.maximum(d + 0.1, 0.0) ** 2 / 0.4
        return np.where(d >= 0.1, value, joined)

    def heat(self, re):
        louver = self.j_level + 0.51 * np.log(re)
        return np.exp(self.above(louver, np.log(self.duct_heat(re))))

    def low(self, q):
        louver = self.low_level + self.low_power * q - 3.01 * np.log(q + math.log(0.5))
        return self.above(louver, np.log(self.duct_friction(np.exp(q))))

    def high(self, q):
        return self.high_level + self.high_power * q - 2.966 * np.log(q + math.log(0.3))

    def duct(self, q):
        return np.log(self.duct_friction(np.exp(q)))

    def duct_slope(self, q):
        grow = self.friction_entrance * math.exp(q)
        return 0.5 * grow / (self.f_re**2 + grow)

    def low_slope(self, q):
        slope = self.low_power - 3.01 / (q + math.log(0.5))
        louver = self.low_level + self.low_power * q - 3.01 * math.log(q + math.log(0.5))
        d, floor = louver - self.duct(q), self.duct_slope(q)
        share = min(max((d + 0.1) / 0.2, 0.0), 1.0)
        return floor + share * (slope - floor)

    def prepare_joints(self):
        self.q = q = np.log([10.0, 100.0, 130.0, 230.0])
        self.cubic = hermite(q[0], q[1], self.duct(q[0]), self.low(q[1]), self.duct_slope(q[0]),
                             self.low_slope(q[1]))
        self.start, self.start_slope = self.low(q[2]), self.low_slope(q[2])
        self.end_slope = self.high_power - 2.966 / (q[3] + math.log(0.3))
        mean = (self.high(q[3]) - self.start) / (q[3] - q[2])
        self.middle_slope = (mean - 0.1 * (self.start_slope + self.end_slope)) / 0.8
        if self.middle_slope < -0.8:  # the upper branch is lifted
            lift = 0.8 * (-0.8 - self.middle_slope) * (q[3] - q[2])
            self.high_level += lift
            self.middle_slope = -0.8

    def bridge(self, q):
        width = self.q[3] - self.q[2]
        u = (q - self.q[2]) / width
        first, last = np.minimum(u, 0.2), np.maximum(u - 0.8, 0.0)
        bend_in = (self.start_slope - self.middle_slope) * (first - 2.5 * first**2)
        bend_out = (self.end_slope - self.middle_slope) * 2.5 * last**2
        return self.start + width * (self.middle_slope * u + bend_in + bend_out)

    def friction(self, re):
        q = np.log(re)
        pieces = (lambda x: np.log(self.duct_friction(np.exp(x))),
                  lambda x: np.polyval(self.cubic, x - self.q[0]), self.low, self.bridge, self.high)
        where = np.searchsorted(self.q, q)
        first, last = where.min(), where.max()
        if first == last:
            return np.exp(pieces[first](q))
        out = np.empty_like(q)
        for k in np.unique(where):
            mask = where == k
            out[mask] = pieces[k](q[mask])
        return np.exp(out)


def hermite(x0, x1, y0, y1, s0, s1):
    """Coefficients for polyval of x - x0."""
    w = x1 - x0
    mean = (y1 - y0) / w
    return np.array([(s0 + s1 - 2.0 * mean) / w**2, (3.0 * mean - 2.0 * s0 - s1) / w, s0, y0])


def contraction_and_expansion(free_share, kinetic):
    c = 4.374e-4 * math.exp(6.737 * math.sqrt(free_share)) + 0.621
    contraction = (1.0 - 2.0 * c + c * c) / (c * c)  # the profile forms within the friction
    return contraction + 1.0 - 2.0 * kinetic * free_share + free_share**2


# ---- cross flow (core.md)


def bypassed(k, c, share, idle):
    """Conductance of a stream c of which a share meets only `idle`."""
    return -c * np.log((1.0 - share) * np.exp(-k / ((1.0 - share) * c))
                       + share * np.exp(-idle / c))


def mean_factor(n):
    """(1 - exp(-n))/n"""
    n = n + 1e-30
    return -np.expm1(-n) / n


# ---- fans and pumps (fans-and-pumps.md)


def bell(x):
    y = (x - 0.42) / 0.09
    return np.exp(-y * y)


BELL_AT_ENDS = bell(0.0), bell(1.0)


class Machine:
    """Pressure over the rated shut-off pressure against flow over the rated free flow.

    Arrays are by machine; the shape is one for all of them.
    """

    def __init__(self, speed, exponent, resistance, linear, power, dip=0.0, points=None):
        self.speed, self.exponent, self.resistance = speed, exponent, resistance
        self.linear, self.power, self.dip = linear, power, dip
        self.table = None
        if points is not None:
            x, y = np.array(points, float).T
            if y[-1] > 0.0:  # one more point, where its last chord meets zero
                x = np.append(x, x[-1] - y[-1] * (x[-1] - x[-2]) / (y[-1] - y[-2]))
                y = np.append(y, 0.0)
            self.free_flow, self.shutoff = x[-1], y[0]
            self.table = PchipInterpolator(x / x[-1], y / y[0])
            self.start_slope, self.end_slope = self.table(np.array([0.0, 1.0]), 1)
        else:
            slope = lambda x: (-linear - power * (1.0 - linear) * x ** (power - 1)
                               - dip * (-2.0 * (x - 0.42) / 0.09**2 * bell(x) + bell(0.0)
                                        - bell(1.0)))
            self.start_slope, self.end_slope = slope(0.0), slope(1.0)

    def shape(self, x):
        if self.table is not None:
            return self.table(x)
        g = 1.0 - self.linear * x - (1.0 - self.linear) * x**self.power
        if self.dip:
            g = g - self.dip * (bell(x) - BELL_AT_ENDS[0] * (1.0 - x) - BELL_AT_ENDS[1] * x)
        return g

    def rise(self, y):
        s, e = self.speed, self.exponent
        if (y >= 0.0).all() and (y <= s).all():
            return s**e * self.shape(y / s)
        inner = np.minimum(np.maximum(y, 0.0), s)
        beyond, back = np.maximum(y - s, 0.0), np.minimum(y, 0.0)
        slope = s ** (e - 1.0)
        return (s**e * self.shape(inner / s)
                + self.end_slope * slope * beyond - self.resistance * beyond**2
                + self.start_slope * slope * back + self.resistance * back**2)


# ---- sound (sound.md)


def sound_energy(level, speed, per_decade):
    return 10.0 ** (level / 10.0) * speed ** (per_decade / 10.0)
