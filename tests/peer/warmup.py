#!/usr/bin/python3
"""A second solution of a sealed cooler's warm-up, written from docs/theory/warm-up.md.

usage: warmup.py CASES [CELLS]          settled values and settling times of cases, the output
                                        of dump_case
       warmup.py --check CASES          heat balance, steady limit: fails when they do not hold
       warmup.py --time CASES [CELLS]   seconds of the integration of 20 minutes, geometry and
                                        settled point not included

The right-hand side holds temperatures only: at each call flows are found by a few secant steps
from those of the last. scipy's BDF integrates it.
"""
import statistics
import sys
import time

import numpy as np
from scipy.integrate import solve_ivp

from loop import Found, Problem
from peer import newton, read

ALUMINIUM, COPPER, SILICON = 2702.0 * 903.0, 8933.0 * 385.0, 2330.0 * 712.0  # J/(m3 K)
USUAL_CELLS, USUAL_DURATION, USUAL_TOLERANCE = 4, 1200.0, 1e-4


class Loop:
    """All that stores heat, in the order of the state, and its rates of change.

    The coolant is one ring of elements, each fed by the one before it: first tank, cells of the
    first pass, tank, ..., last tank, cold hose, pump, plate, warm hose. All temperatures count
    from ambient.
    """

    def __init__(self, case, cells=USUAL_CELLS):
        self.case, self.cells = case, cells
        self.problem = Problem(case)
        self.settled = newton(self.problem)
        self.number_states()
        self.average_pieces()
        self.store_heat()
        self.choose_leakage()
        self.lag = self.problem.sensor.lag
        self.start_flows()

    # ---- once for each case

    def number_states(self):
        """Pieces are those of Problem, then the tanks; elements are pieces cut into cells."""
        p, z, n = self.problem.passes, self.problem.zones, self.cells
        core = p * z
        self.plate, self.hoses, self.pump = core, slice(core + 1, core + 3), core + 3
        self.pieces = core + 4 + p + 1
        ring = []
        for k in range(p):
            ring.append(core + 4 + k)
            for zone in range(z) if k % 2 == 0 else reversed(range(z)):
                ring += [k * z + zone] * n
        ring += [core + 4 + p] + [core + 1] * n + [self.pump] + [self.plate] * n + [core + 2] * n
        self.piece_of = np.array(ring)
        self.ring = slice(0, len(ring))
        self.before = np.roll(np.arange(len(ring)), 1)
        self.tank_at = np.flatnonzero(self.piece_of >= core + 4)
        self.plate_at = np.flatnonzero(self.piece_of == self.plate)
        # Along the tubes, in the direction of the first pass.
        along = [self.tank_at[k] + 1 + np.arange(z * n) for k in range(p)]
        self.along = np.array([a if k % 2 == 0 else a[::-1] for k, a in enumerate(along)])

        at = len(ring)
        self.frame, self.wall, self.lid, self.board = range(at, at + 4)
        self.dies = slice(at + 4, at + 4 + self.problem.dies)
        at = self.dies.stop
        self.warming = self.problem.choices["surroundings.kind"] == "warming"
        self.around = at if self.warming else None
        self.read = at + self.warming
        self.size = self.read + 1

    def average_pieces(self):
        """States to pieces' means, then the mean of first and last tank, then surroundings."""
        core = self.problem.passes * self.problem.zones
        average = np.zeros((self.size, self.pieces + 2))
        average[np.arange(len(self.piece_of)), self.piece_of] = 1.0
        average /= np.maximum(average.sum(0), 1.0)
        average[self.tank_at[[0, -1]], -2] = 0.5
        if self.warming:
            average[self.around, -1] = 1.0
        self.average = average
        # The mean coolant of the core over the air around.
        shares = np.tile(self.problem.shares, self.problem.passes) / self.problem.passes
        self.coolant_rise = average[:, :core] @ shares - average[:, -1]

    def store_heat(self):
        """Volume of coolant and capacity of metal of each element; solids of the others."""
        problem = self.problem
        r, tube, plate, pump = (getattr(problem, part) for part in
                                ("radiator", "tube", "cold_plate", "pump"))
        p, z, n = problem.passes, problem.zones, self.cells
        core, tanks = p * z, p + 1
        area, run = problem.duct_area[:core], problem.duct_run[:core]
        fins = (r.fin_thickness * r.fin_density * r.fin_height / (r.fin_height + r.tube_thickness)
                * problem.width * problem.depth / p)
        tubes = problem.width / (r.fin_height + r.tube_thickness)
        depth = problem.depth
        if problem.behind:
            depth /= p
        else:
            tubes /= p
        walls = 2.0 * tubes * (depth + r.tube_thickness) * r.tube_wall

        volume, metal, cut = (np.zeros(self.pieces) for _ in range(3))
        cut[:] = 1.0
        volume[:core], metal[:core] = area * run, (fins + walls) * ALUMINIUM * run
        volume[self.plate] = plate.volume
        volume[self.hoses] = 0.25 * np.pi * tube.bore**2 * tube.length
        metal[self.hoses] = tube.wall_capacity * tube.length
        volume[self.pump], metal[self.pump] = pump.volume, pump.body_capacity
        volume[core + 4:] = self.tank_volume(volume[:core + 4].sum()) / tanks
        metal[core + 4:] = r.wet_metal_mass * 903.0 / tanks
        cut[:core + 3] = n
        self.volume = (volume / cut)[self.piece_of]
        self.metal = (metal / cut)[self.piece_of]

        chip = problem.chip
        channels = plate.finned_side / (plate.channel_gap + plate.fin_thickness)
        die = [[self.case["values"][f"{path}.{row}"] for row in ("length", "width", "thickness")]
               for path in self.case["dies"]]
        self.solid = np.concatenate([
            [r.frame_mass * 903.0,
             COPPER * (plate.base_length * plate.base_width * plate.base_thickness
                       + channels * plate.fin_thickness * plate.channel_height
                       * plate.finned_side),
             COPPER * chip.spreader_side**2 * chip.spreader_thickness,
             problem.board.capacity],
            SILICON * np.prod(die, axis=1),
            [problem.surroundings.capacity] if self.warming else []])
        # Shares of the passive conductance.
        self.tank_loss = 0.7 * r.passive_conductance / tanks
        self.tank_link = r.frame_link / tanks
        self.frame_loss = 0.3 * r.passive_conductance
        self.through = 1.0 / (0.5 * problem.spreader + problem.joint + problem.base)
        self.die_resistance = np.diag(problem.silicon + problem.solder) + 0.5 * problem.spreader
        self.board_heat = problem.board.own_heat * problem.conditions.load

    def tank_volume(self, elsewhere):
        """Of all tanks: their size and the reserve, or what a stated total leaves."""
        problem, r, coolant = self.problem, self.problem.radiator, self.problem.coolant
        stated = coolant.get("volume")
        if stated is not None:
            rest = stated - elsewhere
            return 0.5 * (rest + np.sqrt(rest * rest + 4.0 * 2e-6**2))
        outer = r.get("length")
        depth = r.tank_depth if outer is None else 0.5 * (outer - problem.length) - 0.002
        return 2.0 * depth * problem.width * r.thickness + coolant.reserve

    def choose_leakage(self):
        """A load read hot is that of the settled dies."""
        problem = self.problem
        self.leakage = problem.power * problem.chip.leakage_slope
        if problem.leakage:
            self.reference = np.full(problem.dies,
                                     problem.chip.leakage_reference - problem.ambient)
        else:
            self.reference = self.settled.t[0, problem.die_at].copy()

    def start_flows(self, tolerance=USUAL_TOLERANCE):
        """Flows of the settled point serve as a first guess."""
        self.close = tolerance  # relative, of the last secant step: what is left is far less
        self.flow = Held(self.settled.m[:1, None])
        self.air = Held(self.settled.air[:1])
        self.calls = self.tries = 0

    # ---- one evaluation, for many states at once: [set, state]

    def evaluate(self, y):
        problem, f = self.problem, Found()
        self.calls += 1
        means = y @ self.average
        f.around = means[:, -1:]
        f.cell_mean = means[:, :problem.passes * problem.zones].reshape(
            -1, problem.passes, problem.zones)
        problem.coolant_properties(f, means)
        problem.air_properties(f, f.cell_mean, f.around)
        self.find_coolant_flow(f)
        self.find_air_flow(f)
        problem.other_conductances(f)
        f.rates = np.empty_like(y)
        self.coolant(f, y)
        self.solids(f, y)
        return f

    def find_coolant_flow(self, f):
        problem = self.problem

        def imbalance(m):
            problem.coolant_drop(f, m)
            return f.pump_residual[:, None]

        f.m = self.secant(self.flow, imbalance, len(f.cp))[:, 0]
        problem.coolant_films(f)

    def find_air_flow(self, f):
        problem = self.problem

        def imbalance(air):
            problem.air_drop(f, air)
            out = None
            if problem.pull:
                self.core_heat(f)
                out = f.around + f.zone_heat[:, :problem.fans] / f.air_c
            problem.fan_balance(f, f.around, out)
            return f.fan_residual

        f.air = self.secant(self.air, imbalance, len(f.cp))
        self.core_heat(f)

    def secant(self, held, imbalance, sets):
        """Each flow has its own balance. Slopes are kept from call to call."""
        y = np.repeat(held.flow, sets, 0) if sets > 1 else held.flow
        residual = imbalance(y)
        slope = held.slope
        if slope is None:
            step = 1e-4 * y
            slope = (imbalance(y + step) - residual) / step
        for _ in range(30):
            move = np.minimum(np.maximum(-residual / slope, -0.5 * y), y)
            y = y + move
            size = (abs(move) / y).max()
            if size < self.close:
                if sets == 1:
                    held.flow, held.slope = y, slope
                return y
            last, residual = residual, imbalance(y)
            self.tries += 1
            if size > 1e-6:  # smaller ones would be differences of rounding
                changed = abs(move) > 1e-7 * y
                slope = np.where(changed, (residual - last) / np.where(changed, move, 1.0), slope)
        raise ArithmeticError("no flow found")

    def core_heat(self, f):
        """Conductances, what enters the fins, and the heat of every zone."""
        problem = self.problem
        problem.air_films(f)
        problem.core_conductances(f)
        k, aired = f.cell_k[:, :, :problem.fans], slice(0, problem.fans)
        over = f.cell_mean[:, :, aired] - f.around[:, :, None]
        if problem.behind:
            f.warmed = k[:, 1] / f.row_c[:, 0]  # share of its excess that the front row gives on
            heat = k[:, 1] * over[:, 1] + k[:, 0] * (over[:, 0] - f.warmed * over[:, 1])
            fall = k[:, 1] + k[:, 0] * (1.0 - f.warmed)
        else:
            heat, fall = (k * over).sum(1), k.sum(1)
        back = problem.radiator.recirculation
        more = back * heat / (f.air_c * (1.0 - back) + back * fall)
        shape = len(heat), problem.zones
        f.fins_in, f.zone_heat = np.repeat(f.around, problem.zones, 1), np.zeros(shape)
        f.fins_in[:, aired] += more
        f.zone_heat[:, aired] = heat - fall * more

    def coolant(self, f, y):
        """Every element of the ring: fed by the one before, giving heat to what is beside it."""
        problem, n = self.problem, self.cells
        core, c = problem.passes * problem.zones, f.c[:, None]
        sets, t = len(y), y[:, self.ring]
        beside = np.repeat(f.around, self.pieces, 1)
        beside[:, :core] = np.tile(f.fins_in, problem.passes)
        beside[:, self.plate] = y[:, self.wall]
        units = np.empty((sets, core + 3))
        units[:, :core] = f.cell_n.reshape(sets, core)
        units[:, self.plate] = f.plate_n
        units[:, self.hoses] = f.hose_n[:, None]
        units /= n
        units += 1e-30
        k = np.zeros((sets, self.pieces))
        k[:, :core + 3] = units * c
        k[:, core + 4:] = self.tank_loss
        leaves = np.ones((sets, self.pieces))  # share of the excess left at the outlet
        leaves[:, :core + 3] = units / np.expm1(units)
        beside, k, leaves = (a[:, self.piece_of] for a in (beside, k, leaves))
        if problem.behind:
            front, back = self.along[1], self.along[0]
            zone = np.repeat(np.arange(problem.zones), n)
            warmed = np.zeros((sets, problem.zones))
            warmed[:, :problem.fans] = f.warmed
            warmed = warmed[:, zone]
            beside[:, back] += warmed * (t[:, front] - f.fins_in[:, zone])
        over = t - beside
        out = beside + over * leaves
        if problem.behind:
            # What the air brings to the back row's outlet follows from what enters the front row.
            n_back, n_front = units[:, zone], units[:, problem.zones + zone]
            enters = warmed * (out[:, self.before[front]] - f.fins_in[:, zone])
            inlet_share = mean_factor(n_back + n_front) / mean_factor(n_back)
            out[:, back] = (f.fins_in[:, zone] + enters * inlet_share + leaves[:, back]
                            * (t[:, back] - f.fins_in[:, zone] - enters * mean_factor(n_front)))
        given = k * over
        rates = c * (out[:, self.before] - out) - given
        to_frame = self.tank_link * (t[:, self.tank_at] - y[:, self.frame, None])
        rates[:, self.tank_at] -= to_frame
        pump_at = self.plate_at[0] - 1
        rates[:, pump_at] += problem.pump_heat
        f.to_frame = to_frame.sum(1)
        f.to_wall = given[:, self.plate_at].sum(1)  # negative
        # To the air: all but what the plate took.
        f.to_air = given.sum(1) - f.to_wall
        f.capacity = f.rho[:, self.piece_of] * f.cp[:, None] * self.volume + self.metal
        f.rates[:, self.ring] = rates / f.capacity

    def solids(self, f, y):
        problem = self.problem
        frame, wall, lid, board = (y[:, i] for i in
                                   (self.frame, self.wall, self.lid, self.board))
        die, around = y[:, self.dies], f.around[:, 0]
        heat = self.heat_of_dies(f, die - lid[:, None])
        power = problem.power + self.leakage * (die - self.reference)
        socket = problem.socket * (die - board[:, None])
        down = self.through * (lid - wall)
        frame_loss = self.frame_loss * (frame - around)
        board_loss = problem.board.air_conductance * (board - around)
        f.to_air = f.to_air + frame_loss + board_loss
        into = np.empty((len(y), len(self.solid)))
        into[:, 0] = f.to_frame - frame_loss
        into[:, 1] = down + f.to_wall
        into[:, 2] = heat.sum(1) - down
        into[:, 3] = self.board_heat + socket.sum(1) - board_loss
        into[:, 4:4 + problem.dies] = power - heat - socket
        f.given = power.sum(1) + self.board_heat + problem.pump_heat
        f.lost = f.to_air
        if self.warming:
            f.lost = problem.surroundings.conductance * around
            into[:, -1] = f.to_air - f.lost
        f.rates[:, self.frame:self.read] = into / self.solid
        f.reading = problem.reading(f, die, heat, around)[1]
        f.rates[:, self.read] = (f.reading - y[:, self.read]) / self.lag

    def heat_of_dies(self, f, over):
        if self.problem.dies == 1:
            return over / (f.mean[:, 0] + self.die_resistance[0])
        return np.linalg.solve(f.mean + self.die_resistance, over[:, :, None])[:, :, 0]

    # ---- for solve_ivp

    def rates(self, _, y):
        return self.evaluate(y[None, :]).rates[0]

    def jacobian(self, _, y):
        """By differences, all columns in one evaluation."""
        step = 1e-3
        sets = y + step * np.vstack([np.zeros(self.size), np.eye(self.size)])
        rates = self.evaluate(sets).rates
        return (rates[1:] - rates[0]).T / step

    def cold(self):
        """All at ambient, the reading as long there."""
        y = np.zeros(self.size)
        y[self.read] = self.evaluate(y[None, :]).reading[0]
        return y


class Held:
    """A flow and the slope of its balance, kept from one evaluation to the next."""

    def __init__(self, flow):
        self.flow, self.slope = flow.copy(), None


def mean_factor(n):
    """(1 - exp(-n))/n"""
    return -np.expm1(-n) / n


class Warmup:
    """times (s), rise and coolant_rise (K) second by second; seconds that it took."""

    def __init__(self, loop, duration, tolerance):
        loop.start_flows(tolerance)
        start = loop.cold()
        self.loop = loop
        self.times = np.arange(0.0, duration + 0.5)
        loop.calls = loop.tries = 0
        begin = time.perf_counter()
        solved = solve_ivp(loop.rates, (0.0, self.times[-1]), start, method="BDF",
                           t_eval=self.times, rtol=tolerance, atol=tolerance, jac=loop.jacobian)
        self.rise = solved.y[loop.read]
        self.coolant_rise = loop.coolant_rise @ solved.y
        self.seconds = time.perf_counter() - begin
        if not solved.success:
            raise ArithmeticError(solved.message)
        self.end, self.calls, self.jacobians = solved.y[:, -1], loop.calls, solved.njev


def warmup(case, cells=USUAL_CELLS, duration=USUAL_DURATION, tolerance=USUAL_TOLERANCE):
    """The warm-up of one case from ambient: times, rise, coolant_rise and the seconds that the
    integration alone took. `tolerance` is relative and, in K over ambient, absolute."""
    w = Warmup(Loop(case, cells), duration, tolerance)
    return w.times, w.rise, w.coolant_rise, w.seconds


# ---- the command


def settling(times, series, settled, band):
    """When the series comes within the band for good; None when it is outside at the end."""
    apart = abs(series - settled) - band
    outside = np.flatnonzero(apart > 0.0)
    if not len(outside):
        return 0.0
    last = outside[-1]
    if last + 1 == len(times):
        return None
    share = apart[last] / (apart[last] - apart[last + 1])
    return times[last] + share * (times[last + 1] - times[last])


def tell(case, cells):
    w = Warmup(Loop(case, cells), 3600.0, 1e-6)
    answers = w.loop.problem.answers(w.loop.settled)
    words = []
    for name, series in (("rise", w.rise), ("coolant rise", w.coolant_rise)):
        times = [settling(w.times, series, answers[name], band) for band in (1.0, 0.5, 0.1)]
        shown = ", ".join("later" if t is None else f"{t:.2f}" for t in times)
        words.append(f"{name} {answers[name]:.4f} K, within 1, 0.5, 0.1 K from {shown} s")
    print(f"{case['name']}: " + "; ".join(words))


def settle(loop, y):
    """Newton's method on the rates."""
    for _ in range(30):
        move = np.linalg.solve(loop.jacobian(0.0, y), -loop.rates(0.0, y))
        y = y + move
        if abs(move).max() < 1e-9:
            return y
    raise ArithmeticError("no settled point found")


def imbalance(loop, y):
    """Heat that the states gain less what comes in and goes out, over what comes in."""
    f = loop.evaluate(y[None, :])
    capacity = np.concatenate([f.capacity[0], loop.solid])
    return abs(capacity @ f.rates[0, :loop.read] - f.given[0] + f.lost[0]) / f.given[0]


def check(cases):
    """Heat is conserved on the way, and the steady point of loop.py is where it ends."""
    failures, worst_heat, worst_end = 0, 0.0, 0.0
    for case in cases:
        loop = Loop(case, 3)
        w = Warmup(loop, 600.0, 1e-3)
        heat = max(imbalance(loop, share * w.end) for share in (0.01, 0.3, 0.7, 1.0))
        loop.start_flows(1e-10)
        end = settle(loop, w.end)
        answers = loop.problem.answers(loop.settled)
        apart = max(abs(end[loop.read] - answers["rise"]),
                    abs(loop.coolant_rise @ end - answers["coolant rise"]))
        worst_heat, worst_end = max(worst_heat, heat), max(worst_end, apart)
        if not (heat < 1e-10 and apart < 1e-6):
            failures += 1
            print(f"{case['name']}: heat {heat:.1e}, settled {apart:.1e} K apart")
    print(f"largest imbalance of heat {worst_heat:.1e}, settled points {worst_end:.1e} K apart")
    print(f"warm-up: {len(cases) - failures} passed, {failures} failed")
    return 1 if failures or not cases else 0


def median_time(cases, cells, rounds=3):
    loops = [Loop(case, cells) for case in cases]
    return statistics.median(Warmup(loop, USUAL_DURATION, USUAL_TOLERANCE).seconds
                             for _ in range(rounds) for loop in loops)


def main(arguments):
    words = [a for a in arguments if not a.startswith("-")]
    options = [a for a in arguments if a.startswith("-")]
    if len(words) in (1, 2) and options in ([], ["--check"], ["--time"]):
        cases, cells = read(words[0]), int(words[1]) if len(words) == 2 else USUAL_CELLS
        if options == ["--check"]:
            return check(cases)
        if options == ["--time"]:
            print(f"{median_time(cases, cells):.6g}")
            return 0
        for case in cases:
            tell(case, cells)
        return 0
    print(__doc__, file=sys.stderr)
    return 2


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
