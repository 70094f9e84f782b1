"""Coolants and air, from the published equations; arrays in, arrays out, SI units."""
import numpy as np

# ---- water: IAPWS SR6-08(2011) at 0.1 MPa

WATER_R = 461.51805
WATER_VOLUME = (1.93763157e-2,
                np.array([6.74458446e3, -2.22521604e5, 1.00231247e8, -1.63552118e9,
                          8.32299658e9]), np.array([4, 5, 7, 8, 9]),
                np.array([5.78545292e-3, -1.53195665e-2, 3.11337859e-2, -4.23546241e-2,
                          3.38713507e-2, -1.19946761e-2]), np.array([1, 2, 3, 4, 5, 6]))
WATER_HEAT = (-8.983025854,
              np.array([-1.661470539e5, 2.708781640e6, -1.557191544e8]), np.array([4, 5, 7]),
              np.array([-8.237426256e-1, 1.908956353, -2.017597384, 8.546361348e-1]),
              np.array([2, 3, 4, 5]))
WATER_VISCOSITY = (np.array([280.68, 511.45, 61.131, 0.45903]) * 1e-6,
                   np.array([-1.9, -7.7, -19.6, -40.0]))
WATER_CONDUCTIVITY = (np.array([1.6630, -1.7781, 1.1567, -0.432115]),
                      np.array([-1.15, -3.4, -6.0, -7.6]))


class Water:
    def specific_heat(self, kelvin):
        t = within_window(kelvin)[..., None]
        c, a, n, b, m = WATER_HEAT
        series = (a * n * (n + 1) * (10.0 / (593.0 - t)) ** (n + 2)).sum(-1)
        series += (b * m * (m + 1) * (10.0 / (t - 232.0)) ** (m + 2)).sum(-1)
        return -WATER_R * (c + t[..., 0] / 10.0 * series)

    def transport(self, kelvin):
        """Density, viscosity, conductivity."""
        t = within_window(kelvin)[..., None]
        c, a, n, b, m = WATER_VOLUME
        volume = (a * (10.0 / (593.0 - t)) ** n).sum(-1)
        volume += (b * (10.0 / (t - 232.0)) ** m).sum(-1)
        log = np.log(t / 300.0)
        mu = np.exp(WATER_VISCOSITY[1] * log) @ WATER_VISCOSITY[0]
        k = np.exp(WATER_CONDUCTIVITY[1] * log) @ WATER_CONDUCTIVITY[0]
        return 1e5 / (WATER_R * 10.0 * (c + volume)), mu, k


# ---- glycol and water: Melinder (2010); rows are powers (i of x - x_m, j of t - t_m)

POWERS = [(0, 0), (0, 1), (0, 2), (0, 3), (1, 0), (1, 1), (1, 2), (1, 3), (2, 0), (2, 1), (2, 2),
          (2, 3), (3, 0), (3, 1), (3, 2), (4, 0), (4, 1), (5, 0)]
# columns: density, specific heat, conductivity, ln(viscosity / mPa s)
ETHYLENE = (30.8462, 31.728, """
1034 3737 0.472 0.4705
-0.4781 2.93 8.903e-4 -0.0255
-2.692e-3 -4.675e-3 -1.058e-6 1.782e-4
4.725e-6 -1.389e-5 -2.789e-9 -7.669e-7
1.311 -17.99 -4.286e-3 0.02471
-6.876e-3 0.1046 -1.473e-5 -1.171e-4
4.805e-5 -4.147e-4 1.059e-7 1.052e-6
1.69e-8 1.847e-7 -1.142e-10 -1.634e-8
7.49e-5 -0.09933 1.747e-5 3.328e-6
7.855e-5 3.516e-4 6.814e-8 1.086e-6
-3.995e-7 5.109e-6 -3.612e-9 1.051e-8
4.982e-9 -7.138e-8 2.365e-12 -6.475e-10
-1.062e-4 2.61e-3 3.017e-8 1.659e-6
1.229e-6 -1.189e-6 -2.412e-9 3.157e-9
-1.153e-8 -1.643e-7 4.004e-11 4.063e-10
-9.623e-7 1.537e-5 -1.322e-9 3.089e-8
-7.211e-8 -4.272e-7 2.555e-11 1.831e-10
4.891e-8 -1.618e-6 2.678e-11 -1.865e-9""")
PROPYLENE = (30.7031, 32.7083, """
1018 3882 0.4513 0.6837
-0.5406 2.699 7.955e-4 -0.03045
-2.666e-3 -1.659e-3 3.482e-8 2.525e-4
1.347e-5 -1.032e-5 -5.966e-9 -1.399e-6
0.7604 -13.04 -4.795e-3 0.03328
-9.45e-3 0.0507 -1.678e-5 -3.984e-4
5.541e-5 -4.752e-5 8.941e-8 4.332e-6
-1.343e-7 1.522e-6 1.493e-10 -1.86e-8
-2.498e-3 -0.1598 2.076e-5 5.453e-5
2.7e-5 9.534e-5 1.563e-7 -8.6e-8
-4.018e-7 1.167e-5 -4.615e-9 -1.593e-8
3.376e-9 -4.87e-8 9.897e-12 -4.465e-11
-1.55e-4 3.539e-4 -9.083e-8 -3.9e-6
2.829e-6 3.102e-5 -2.518e-9 1.054e-7
-7.175e-9 -2.95e-7 6.543e-11 -1.589e-9
-1.131e-6 5e-5 -5.952e-10 -1.587e-8
-2.221e-8 -7.135e-7 -3.605e-11 4.475e-10
2.342e-8 -4.959e-7 2.104e-11 3.564e-9""")


def cubic_table(text):
    """[i, j, property]"""
    table = np.zeros((6, 4, 4))
    for (i, j), row in zip(POWERS, np.array(text.split(), float).reshape(-1, 4)):
        table[i, j] = row
    return table


GLYCOLS = {"ethylene_glycol": (*ETHYLENE[:2], cubic_table(ETHYLENE[2])),
           "propylene_glycol": (*PROPYLENE[:2], cubic_table(PROPYLENE[2]))}


class Glycol:
    """A mixture of fixed composition: cubics in temperature."""

    def __init__(self, kind, fraction):
        x_middle, self.t_middle, table = GLYCOLS[kind]
        x = 100.0 * soft_hold(fraction, 0.0, 0.6, 0.02)
        self.cubic = np.tensordot((x - x_middle) ** np.arange(6.0), table, 1)  # [j, property]

    def polynomial(self, kelvin, which):
        t = (within_window(kelvin) - 273.15 - self.t_middle)[..., None]
        c = self.cubic[:, which]
        return c[0] + t * (c[1] + t * (c[2] + t * c[3]))

    def specific_heat(self, kelvin):
        return self.polynomial(kelvin, slice(1, 2))[..., 0]

    def transport(self, kelvin):
        values = self.polynomial(kelvin, [0, 2, 3])
        return values[..., 0], 1e-3 * np.exp(values[..., 2]), values[..., 1]


def soft_hold(value, low, high, reach):
    held = np.minimum(np.maximum(value, low), high)
    return held + reach * np.tanh((value - held) / reach)


def within_window(kelvin):
    return soft_hold(np.asarray(kelvin), 253.15, 383.15, 5.0)


def coolant(kind, fraction):
    return Water() if kind == "water" else Glycol(kind, fraction)


# ---- air: U.S. Standard Atmosphere (1976)

AIR_R = 8314.32 / 28.9644
AIR_CP = 1006.4


def air_pressure(altitude):
    height = 6356766.0 * altitude / (6356766.0 + altitude)
    return 101325.0 * (1.0 - 0.0065 * height / 288.15) ** 5.255876


def air_density(kelvin, pascal):
    return pascal / (AIR_R * kelvin)


def air_viscosity(kelvin):
    return 1.458e-6 * kelvin * np.sqrt(kelvin) / (kelvin + 110.4)
