"""The equations of one sealed loop, as docs/theory has them: flows and the temperatures at which
properties are taken in, balances and answers out. peer.py beside it solves them for the
steady point, warmup.py in time.
"""
import math

import numpy as np

import laws
import properties
from spreading import Spreading

GRAVITY = 9.80665
AT_REST = 1e-9  # kg/s
PRANDTL_POWER = 0.71 ** (-2 / 3)
CLASSES = {"120": (1, 0.120), "140": (1, 0.140), "240": (2, 0.120), "280": (2, 0.140),
           "360": (3, 0.120), "420": (3, 0.140)}


def magnitude(flow):
    return np.sqrt(flow * flow + AT_REST**2)


class Values:
    """Quantities of one table: values.length for "tube.length"."""

    def __init__(self, case, path):
        self._head, self._values = path + ".", case["values"]

    def __getattr__(self, row):
        value = self._values[self._head + row]
        setattr(self, row, value)  # found at once from now on
        return value

    def get(self, row, other=None):
        return self._values.get(self._head + row, other)

    def copy(self, row, number):
        own = f"{self._head}{row}.{number + 1}"
        return self._values[own] if own in self._values else self._values[self._head + row]


class Problem:
    """Everything about a case that does not change with its unknowns."""

    def __init__(self, case):
        self.choices = case["choices"]
        for part in ("radiator", "pump", "tube", "cold_plate", "coolant", "bench", "chip", "paste",
                     "board", "surroundings", "sensor", "law", "conditions"):
            setattr(self, part, Values(case, part))
        self.ambient = self.conditions.ambient
        self.pressure = properties.air_pressure(self.conditions.altitude)
        self.liquid = properties.coolant(self.choices["coolant.kind"], self.coolant.fraction)
        self.prepare_core(case)
        self.prepare_ducts()
        self.prepare_fans(case)
        self.prepare_pump(case)
        self.prepare_chip(case)
        self.number_unknowns()
        self.prepare_system()

    # ---- parts

    def prepare_core(self, case):
        r, words = self.radiator, self.choices
        slots, slot = CLASSES[words["radiator.class"]]
        self.class_length, self.class_fan = slots * slot, slot
        self.passes = words["radiator.passes"]
        self.behind = words["radiator.pass_arrangement"] == "behind"
        self.depth = r.get("core_depth", r.thickness - r.frame_allowance)
        self.length = r.get("core_length", self.class_length * r.face_length_share)
        outer = r.get("width")
        self.width = r.get("core_width", slot * r.face_width_share if outer is None
                           else outer - 2.0 * r.side_plate)

        self.fan_sizes = np.array([fan["size"] or slot for fan in case["fans"]
                                   for _ in range(fan["count"])])
        shares = self.fan_sizes / self.class_length
        covered = self.fan_sizes / slot
        self.fans = len(shares)
        if shares.sum() < 1.0 - 1e-9:  # the last zone without air
            shares = np.append(shares, 1.0 - shares.sum())
        self.shares, self.zones = shares, len(shares)
        self.zone_length = self.length * shares
        aired = slice(0, self.fans)
        self.covered = covered
        self.face = self.zone_length[aired] * self.width * covered
        self.used = r.coverage * self.face
        self.bare = self.length * self.width - self.face.sum()

        sizes = dict(pitch=1.0 / r.fin_density, height=r.fin_height, thickness=r.fin_thickness,
                     tube_thickness=r.tube_thickness, depth=self.depth)
        if words["radiator.fin_kind"] == "plain":
            self.fin = laws.PlainFins(**sizes)
        else:
            self.fin = laws.LouveredFins(**sizes, louver_pitch=r.louver_pitch,
                                         louver_length=r.louver_length_share * r.fin_height,
                                         degrees=math.degrees(r.louver_angle))
        self.free = self.fin.free_share * self.used
        self.surface = self.fin.area_per_volume * self.used * self.depth
        self.ends = laws.contraction_and_expansion(self.fin.free_share, self.fin.kinetic)
        tall, wide = r.fin_height - r.fin_thickness, 1.0 / r.fin_density - r.fin_thickness
        self.fin_share = tall / (tall + wide)

    def prepare_ducts(self):
        """Coolant in the core's pieces (pass by pass, zone by zone) and in the plate, last."""
        r, plate = self.radiator, self.cold_plate
        tubes = self.width / (r.fin_height + r.tube_thickness)
        tube_depth = self.depth
        if self.behind:
            tube_depth /= self.passes
        else:
            tubes /= self.passes
        gap, inner = r.tube_thickness - 2.0 * r.tube_wall, tube_depth - 2.0 * r.tube_wall
        cells = self.passes * self.zones
        self.tube_area = np.tile(2.0 * tubes * (gap + inner) * self.zone_length, self.passes)

        split = self.choices["cold_plate.flow"] == "split"
        channels = plate.finned_side / (plate.channel_gap + plate.fin_thickness)
        path = plate.finned_side / (2.0 if split else 1.0)
        one = plate.channel_gap * plate.channel_height
        self.plate_flow_area = channels * one * (2.0 if split else 1.0)
        self.plate_base = channels * plate.channel_gap * plate.finned_side
        self.plate_fins = 2.0 * channels * plate.channel_height * plate.finned_side

        def each(core, last):
            return np.append(np.full(cells, core), last)

        sides = plate.channel_gap, plate.channel_height
        self.ducts = laws.Ducts(each(min(gap, inner), min(sides)),
                                each(max(gap, inner), max(sides)), each(self.length, path))
        self.duct_area = each(tubes * gap * inner, self.plate_flow_area)
        self.duct_run = np.append(np.tile(self.zone_length, self.passes), path)
        self.duct_share = each(1.0, 1.0 - plate.bypass)
        self.duct_drop = 2.0 * self.duct_run / self.ducts.diameter**2
        tube = self.tube
        self.fittings = 0.5 * tube.minor_loss * 1500.0 / laws.two_k_re(1500.0, tube.bore)

    def prepare_fans(self, case):
        entries = case["fans"]
        count = [fan["count"] for fan in entries]
        tables = [Values(case, fan["path"]) for fan in entries]
        copies = [(v, k) for v, n in zip(tables, count) for k in range(n)]

        def all_of(row):
            return np.array([v.copy(row, k) for v, k in copies])

        self.pull = entries[0]["side"] == "pull"
        speed = self.conditions.fan * all_of("speed_factor")
        self.fan_groups, at = [], 0
        flow, pressure = np.empty(self.fans), np.empty(self.fans)
        for fan, v, n in zip(entries, tables, count):
            part = slice(at, at + n)
            own = dict(speed=speed[part], exponent=v.pressure_exponent, resistance=v.stopped_loss)
            if fan["curve"]:
                machine = laws.Machine(**own, linear=0.0, power=4, points=fan["curve"])
                flow[part], pressure[part] = machine.free_flow, machine.shutoff
            else:
                machine = laws.Machine(**own, linear=v.curve_shape, power=4, dip=v.stall_dip)
                flow[part], pressure[part] = v.free_flow, v.static_pressure
            self.fan_groups.append((part, machine))
            at += n
        self.fan_flow = flow * all_of("flow_factor")
        self.fan_pressure = pressure * all_of("pressure_factor")
        self.fan_speed = speed
        annulus = self.fan_sizes**2 * (0.25 * math.pi * 0.96**2 - all_of("hub_share"))
        recovery = 0.0 if self.pull else all_of("dynamic_recovery")
        self.recovery = recovery / annulus**2
        bare = self.bare if self.bare > 1e-9 * self.length * self.width else 0.0
        self.leak_area = 0.6 * self.radiator.leak_share * bare / self.fans
        self.fan_sound = laws.sound_energy(all_of("noise") + all_of("seating_noise"), speed,
                                           all_of("noise_exponent")).sum()

    def prepare_pump(self, case):
        pump = self.pump
        speed = self.conditions.pump * pump.speed_factor
        own = dict(speed=speed, exponent=2.0, resistance=pump.stopped_loss)
        if case["pump_curve"]:
            self.pump_machine = laws.Machine(**own, linear=0.0, power=2, points=case["pump_curve"])
            self.pump_flow = self.pump_machine.free_flow
            self.pump_head = self.pump_machine.shutoff
        else:
            self.pump_machine = laws.Machine(**own, linear=pump.curve_shape, power=2)
            self.pump_flow, self.pump_head = pump.free_flow, pump.shutoff_head
        self.pump_speed = speed
        self.pump_heat = pump.electric_heat * speed**3
        self.pump_sound = laws.sound_energy(pump.noise, speed, pump.noise_exponent)

    def prepare_chip(self, case):
        chip, plate, paste, phi = self.chip, self.cold_plate, self.paste, self.law.spreading
        dies = [Values(case, path) for path in case["dies"]]
        length, width, thickness, x, y, share = (
            np.array([getattr(die, row) for die in dies])
            for row in ("length", "width", "thickness", "x", "y", "power_share"))
        self.dies = len(dies)
        self.die_area = length * width
        self.die_weight = self.die_area / self.die_area.sum()
        self.power = (self.conditions.load * self.bench.power_factor) * share / share.sum()
        self.socket = self.board.socket_conductance * self.die_weight
        reference = self.choices["bench.load_at"] == "reference"
        self.leakage = chip.leakage_slope if reference else 0.0
        active = self.die_area * chip.active_share
        self.silicon = thickness / (chip.silicon_conductivity * active)
        self.solder = chip.solder_thickness / (chip.solder_conductivity * active)

        side = math.sqrt(chip.spreader_side * plate.finned_side)
        self.plate_area = area = side * side
        joint = paste.bond_line * paste.mount_factor / paste.conductivity + paste.contact
        self.spreader = phi * chip.spreader_thickness / (chip.spreader_conductivity * area)
        self.joint = phi * joint / area
        self.base = phi * plate.base_thickness / (plate.conductivity * area)
        shrink = math.sqrt(chip.active_share) / side
        self.spread = Spreading(0.5 + x / chip.spreader_side, 0.5 + y / chip.spreader_side,
                                length * shrink, width * shrink, side,
                                (chip.spreader_thickness, chip.spreader_conductivity), joint,
                                (plate.base_thickness, plate.conductivity))

    # ---- unknowns

    def number_unknowns(self):
        """Places of the linear system's temperatures (over ambient) and die heat flows."""
        p, z = self.passes, self.zones
        at = 0

        def take(count):
            nonlocal at
            at += count
            return np.arange(at - count, at)

        self.tanks = take(p + 1)
        self.cells = take(p * z).reshape(p, z)  # outlets
        self.supply, self.pump_out, self.plate_out, self.back = take(4)
        self.frame, self.wall, self.lid, self.board_at, self.around = take(5)
        self.intake = take(z)
        self.die_at, self.heat = take(self.dies), take(self.dies)
        self.size = at
        self.intake_of_cells = np.tile(self.intake, (p, 1))
        # What flows into each cell: its neighbour, or a tank.
        self.before = np.empty((p, z), int)
        for k in range(p):
            order = np.arange(z) if k % 2 == 0 else np.arange(z)[::-1]
            self.before[k, order[0]] = self.tanks[k]
            self.before[k, order[1:]] = self.cells[k, order[:-1]]
        last = [self.cells[k, z - 1 if k % 2 == 0 else 0] for k in range(p)]
        self.into_tanks = np.array([self.back] + last)

        # Nonlinear unknowns: coolant flow, air flow of every zone with a fan, temperatures of
        # cells, plate, hoses, pump, the loop's mean and the surroundings.
        self.pieces = p * z + 6
        self.scale = np.concatenate([[1e-2], np.full(self.fans, 1e-2), np.full(self.pieces, 10.0)])

    def start(self):
        flow = 0.33 * self.pump_flow * self.pump_speed * 1000.0
        air = 0.6 * 1.1 * self.fan_flow * self.fan_speed
        warm = np.full(self.pieces, 0.03 * self.conditions.load + 1.0)
        warm[-1] = 0.0
        return np.concatenate([[flow], air, warm])

    # ---- one evaluation, for many sets of unknowns at once: [set, ...]

    def split(self, unknowns):
        return unknowns[:, :1], unknowns[:, 1:1 + self.fans], unknowns[:, 1 + self.fans:]

    def evaluate(self, unknowns):
        """Residuals of flows and temperatures, and all that was found on the way."""
        m, air, warm = self.split(unknowns)
        found = Found()
        cells = warm[:, :self.passes * self.zones].reshape(-1, self.passes, self.zones)
        self.coolant_properties(found, warm)
        self.coolant_drop(found, m)
        self.coolant_films(found)
        self.air_properties(found, cells, warm[:, -1:])
        self.air_drop(found, air)
        self.air_films(found)
        self.core_conductances(found)
        self.other_conductances(found)
        self.temperatures(found)
        new = self.means(found)
        found.residual = np.concatenate(
            [found.pump_residual[:, None], found.fan_residual, (new - warm)], axis=1)
        return found

    def coolant_properties(self, f, warm):
        """Of pieces: cells, plate, hoses, pump, any others, the loop's mean, the surroundings."""
        kelvin = self.ambient + warm
        f.rho, f.mu, f.k = self.liquid.transport(kelvin)
        f.cp = self.liquid.specific_heat(kelvin[:, -2])

    def duct_reynolds(self, f, m):
        mu = f.mu[:, :self.passes * self.zones + 1]
        return magnitude(m * self.duct_share) * self.ducts.diameter / (self.duct_area * mu)

    def coolant_drop(self, f, m):
        f.m = m[:, 0]
        cells = self.passes * self.zones
        part = slice(0, cells + 1)
        rho, mu = f.rho[:, part], f.mu[:, part]
        v = m * self.duct_share / (rho * self.duct_area)
        drop = self.ducts.friction(self.duct_reynolds(f, m)) * mu * v * self.duct_drop
        slot = self.cold_plate.slot_loss * 0.5 * rho[:, -1] * v[:, -1] * abs(v[:, -1])

        tube, bore = self.tube, self.tube.bore
        hoses = slice(cells + 1, cells + 3)
        rho, mu = f.rho[:, hoses], f.mu[:, hoses]
        area = 0.25 * math.pi * bore**2
        re = magnitude(m) * bore / (area * mu)
        hose = laws.churchill_f_re(re, tube.roughness / bore) * tube.length / bore
        hose = hose + self.fittings * laws.two_k_re(re, bore)
        hose = hose * mu * m / (rho * area) / (2.0 * bore)

        density = f.rho[:, cells + 3]
        f.pump_volume = f.m / density
        head = self.pump_machine.rise(f.pump_volume / self.pump_flow) * self.pump_head
        f.drop = drop.sum(1) + slot + hose.sum(1)
        f.pump_residual = head / self.pump_head - f.drop / (density * GRAVITY * self.pump_head)

    def coolant_films(self, f):
        part = slice(0, self.passes * self.zones + 1)
        k = f.k[:, part]
        pr = f.mu[:, part] * f.cp[:, None] / k
        f.h = self.ducts.nusselt(self.duct_reynolds(f, f.m[:, None]), pr) * k / self.ducts.diameter
        f.c = magnitude(f.m) * f.cp

    def air_properties(self, f, cells, around):
        """At the film, half way between entering air and the zone's mean coolant."""
        film = self.ambient + 0.5 * (around + cells[:, :, :self.fans].mean(1))
        f.air_rho = properties.air_density(film, self.pressure)
        f.air_mu = properties.air_viscosity(film)

    def air_drop(self, f, air):
        r, law, fin = self.radiator, self.law, self.fin
        rho, mu = f.air_rho, f.air_mu
        free_v = air / (rho * self.free)
        re = magnitude(air) * fin.length / (self.free * mu)
        face_v = air / (rho * self.face)
        f.air_drop = (2.0 * fin.friction(re) * r.friction_factor * law.fin_friction * mu * free_v
                      / fin.length * self.depth / fin.diameter
                      + 0.5 * rho * (self.ends * free_v * abs(free_v)
                                     + r.air_loss * face_v * abs(face_v)))
        f.air = air

    def air_films(self, f):
        fin = self.fin
        re = magnitude(f.air) * fin.length / (self.free * f.air_mu)
        f.air_h = (fin.heat(re) * f.air_mu * properties.AIR_CP * PRANDTL_POWER / fin.length
                   * self.radiator.heat_factor * self.law.fin_heat)
        f.air_c = magnitude(f.air) * properties.AIR_CP

    def fan_balance(self, f, around, air_out):
        """A pushing fan takes air from around; a pulling one what core and leak mix to."""
        flow = f.air
        if self.leak_area > 0.0:
            outside = self.ambient + around
            leak_rho = properties.air_density(outside, self.pressure)
            at_rest = 10.0 * properties.air_viscosity(outside) * math.sqrt(self.leak_area)
            goal = 2.0 * leak_rho * self.leak_area**2 * f.air_drop  # m sqrt(m^2 + at_rest^2)
            square = 0.5 * (np.sqrt(at_rest**4 + 4.0 * goal * goal) - at_rest**2)
            flow = flow + np.sign(goal) * np.sqrt(square)
        inlet = np.broadcast_to(around, flow.shape)
        if self.pull:
            inlet = (f.air * air_out + (flow - f.air) * around) / flow
        rho = properties.air_density(self.ambient + inlet, self.pressure)
        volume = flow / rho
        rise = np.empty_like(volume)
        for part, machine in self.fan_groups:
            rise[:, part] = machine.rise(volume[:, part] / self.fan_flow[part])
        recovered = 0.5 * rho * self.recovery * volume * abs(volume)
        f.fan_volume = volume
        f.fan_residual = (rise * rho / 1.2
                          + (recovered - f.air_drop) / self.fan_pressure)

    def core_conductances(self, f):
        r, law = self.radiator, self.law
        p, z = self.passes, self.zones
        eta = laws.fin_efficiency(f.air_h, r.fin_conductivity, r.fin_thickness, 0.5 * r.fin_height)
        outer = (1.0 - self.fin_share * (1.0 - eta)) * f.air_h * self.surface
        inside = f.h[:, :-1] * r.tube_heat_factor * law.tube_heat * self.tube_area
        inside = inside.reshape(-1, p, z)[:, :, :self.fans]
        metal = self.tube_area.reshape(p, z)[:, :self.fans] * r.fin_conductivity / r.tube_wall
        ua = 1.0 / (p / outer[:, None, :] + (1.0 / metal + 1.0 / inside) / self.covered)
        f.row_c = (f.air_c if self.behind else f.air_c / p)[:, None, :]
        k = -f.row_c * np.expm1(-ua / f.row_c)
        c = f.c[:, None, None]
        if self.covered.min() < 1.0 - 1e-12:
            narrow = self.covered < 1.0 - 1e-12
            beside = np.where(narrow, 1.0 - self.covered, 0.5)
            k = np.where(narrow, laws.bypassed(k, c, beside, 0.01 * k), k)
        f.cell_k = np.zeros((len(f.c), p, z))
        f.cell_k[:, :, :self.fans] = k
        f.cell_n = f.cell_k / c

    def other_conductances(self, f):
        law, plate = self.law, self.cold_plate
        h = f.h[:, -1] * plate.heat_factor * law.channel_heat
        eta = laws.fin_efficiency(h, plate.conductivity, plate.fin_thickness, plate.channel_height)
        f.film = h * (self.plate_base + eta * self.plate_fins)
        idle = f.k[:, self.passes * self.zones] * plate.finned_side**2 / plate.channel_height
        f.plate_n = laws.bypassed(f.film, f.c, plate.bypass, idle) / f.c
        f.hose_n = self.tube.heat_loss * self.tube.length / f.c
        f.mean, f.middle = (self.law.spreading * s
                            for s in self.spread.near(f.film / self.plate_area))

    def prepare_system(self):
        """The rows and entries of the linear system that no flow changes."""
        r, board = self.radiator, self.board
        self.fixed = a = np.eye(self.size)
        self.given = b = np.zeros(self.size)
        around, tanks, frame = self.around, self.tanks, self.frame
        # Tanks: stirred, losing to the surroundings and the frame.
        loss = 0.7 * r.passive_conductance / (self.passes + 1)
        link = r.frame_link / (self.passes + 1)
        a[tanks, tanks] = loss + link
        a[tanks, around] = -loss
        a[tanks, frame] = -link
        a[frame, frame] = r.frame_link + 0.3 * r.passive_conductance
        a[frame, tanks] = -link
        a[frame, around] = -0.3 * r.passive_conductance
        a[self.intake, around] = -1.0
        a[self.pump_out, self.supply] = -1.0
        # Chip: lid to wall, dies to lid, sockets and board.
        wall, lid, die, heat, at = self.wall, self.lid, self.die_at, self.heat, self.board_at
        through = 1.0 / (0.5 * self.spreader + self.joint + self.base)
        a[wall, wall] = -through
        a[wall, lid] = through
        a[lid, lid] = through
        a[lid, wall] = -through
        a[lid, heat] = -1.0
        a[heat[:, None], heat] = -(0.5 * self.spreader + np.diag(self.silicon + self.solder))
        a[heat, die] = 1.0
        a[heat, lid] = -1.0
        grow = self.power * self.leakage
        a[die, die] = self.socket - grow
        a[die, heat] = 1.0
        a[die, at] = -self.socket
        b[die] = self.power + grow * (self.ambient - self.chip.leakage_reference)
        a[at, at] = self.socket.sum() + board.air_conductance
        a[at, die] = -self.socket
        a[at, around] = -board.air_conductance
        b[at] = board.own_heat * self.conditions.load
        if self.choices["surroundings.kind"] == "warming":
            # All heat of the steady state ends here: load with leakage, board, pump.
            a[around, around] = self.surroundings.conductance
            a[around, die] = -grow
            b[around] = b[die].sum() + b[at] + self.pump_heat

    def temperatures(self, f):
        """The linear system: all temperatures over ambient at these flows and conductances."""
        c, sets = f.c, len(f.c)
        a = np.empty((sets, self.size, self.size))
        a[:] = self.fixed
        b = np.empty((sets, self.size))
        b[:] = self.given
        tanks, around, heat = self.tanks, self.around, self.heat
        a[:, tanks, tanks] += c[:, None]
        a[:, tanks, self.into_tanks] = -c[:, None]

        # Core: outlet - x = (inlet - x) exp(-n), x the entering air.
        stay = np.exp(-f.cell_n)
        cells, before = self.cells, self.before
        a[:, cells, before] -= stay
        a[:, cells, self.intake_of_cells] = stay - 1.0
        if self.behind:
            # The back row (first pass) meets the air that the front row warmed.
            n_back, n_front = f.cell_n[:, 0], f.cell_n[:, 1]
            f.front_share = np.zeros_like(n_back)
            f.front_share[:, :self.fans] = f.cell_k[:, 1, :self.fans] / f.row_c[:, 0]
            warmed = f.front_share * n_back * laws.mean_factor(n_back + n_front)
            a[:, cells[0], before[1]] -= warmed
            a[:, cells[0], self.intake] += warmed

        # Air: enters at the surroundings' temperature, in part its own outlet again.
        back = self.radiator.recirculation / (1.0 - self.radiator.recirculation)
        gain = back * c[:, None] / f.air_c
        aired = slice(0, self.fans)
        for k in range(self.passes):
            a[:, self.intake[aired], before[k, aired]] -= gain
            a[:, self.intake[aired], cells[k, aired]] += gain

        # Hoses, pump, plate.
        hose, stay = np.exp(-f.hose_n), np.exp(-f.plate_n)
        a[:, self.supply, tanks[-1]] = a[:, self.back, self.plate_out] = -hose
        a[:, self.supply, around] = a[:, self.back, around] = hose - 1.0
        b[:, self.pump_out] = self.pump_heat / c
        a[:, self.plate_out, self.pump_out] = -stay
        a[:, self.plate_out, self.wall] = stay - 1.0
        a[:, self.wall, self.plate_out] = -c
        a[:, self.wall, self.pump_out] = c
        a[:, heat[:, None], heat] -= f.mean
        f.t = np.linalg.solve(a, b[:, :, None])[:, :, 0]
        f.around = f.t[:, around]

    def means(self, f):
        """Temperatures at which properties are taken, over ambient; closes fans on the way."""
        t = f.t
        x = t[:, self.intake][:, None, :]
        inlet, outlet = t[:, self.before], t[:, self.cells]
        cells = x + (inlet - x) * laws.mean_factor(f.cell_n)
        heat = f.c[:, None, None] * (inlet - outlet)
        if self.behind:
            front = f.front_share * (cells[:, 1] - x[:, 0])
            safe = np.where(f.cell_k[:, 0] > 0.0, f.cell_k[:, 0], 1.0)
            back = x[:, 0] + heat[:, 0] / safe + front
            cells[:, 0] = np.where(f.cell_k[:, 0] > 0.0, back, inlet[:, 0])
        f.cell_mean, f.cell_heat = cells, heat
        f.core_heat = heat.sum((1, 2))

        around = f.around[:, None]
        # What a pulling fan draws carries the core's heat over what entered from outside.
        air_out = around + heat.sum(1)[:, :self.fans] / f.air_c
        self.fan_balance(f, around, air_out)
        factor = laws.mean_factor(f.hose_n)[:, None]
        hoses = around + (t[:, [self.tanks[-1], self.plate_out]] - around) * factor
        wall = t[:, self.wall]
        f.plate_mean = wall + (t[:, self.pump_out] - wall) * laws.mean_factor(f.plate_n)
        loop = 0.5 * (t[:, self.tanks[0]] + t[:, self.tanks[-1]])
        return np.concatenate([cells.reshape(len(t), -1), f.plate_mean[:, None], hoses,
                               t[:, self.pump_out, None], loop[:, None], around], axis=1)

    # ---- answers

    def reading(self, f, die, heat, around):
        """Hottest point of every die, and the rise as sensor and probe tell it."""
        sensor = self.sensor
        hottest = die + ((f.middle - f.mean)[:len(die)] @ heat[..., None])[..., 0]
        if self.choices["sensor.reads"] == "mean":
            reading = die @ self.die_weight
        else:
            top = hottest.max(-1)
            reading = top + 0.2 * np.log(np.exp((hottest - top[..., None]) / 0.2).sum(-1))
        probe = around if self.choices["sensor.probe"] == "intake" else 0.0
        return hottest, reading + sensor.offset - probe - sensor.probe_offset

    def answers(self, f):
        t, bench = f.t[:1], self.bench
        hottest, rise = self.reading(f, t[:, self.die_at], t[:, self.heat], t[:, self.around])
        coolant_rise = (self.shares * f.cell_mean[0].mean(0)).sum() - t[0, self.around]
        sound = (self.fan_sound + self.pump_sound) / bench.distance**2 + 10 ** (
            bench.background / 10.0)
        return {"rise": rise[0],
                "coolant rise": coolant_rise,
                "coolant flow": f.pump_volume[0],
                "air flow": f.fan_volume[0].sum(),
                "radiator conductance": f.core_heat[0] / coolant_rise,
                "noise": 10.0 * math.log10(sound + 1e-6),
                "hottest": hottest[0]}


class Found:
    """What one evaluation leaves behind."""
