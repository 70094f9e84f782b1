"""Warm-ups as scripts and people meet them.

python3 tests/cli/warmup.py runs all, with a name one.
"""

import csv
import io
import json
import math
import pathlib
import tempfile
import unittest

from program import DENSE, THIN, CUSTOM, TWO_CHIPS, call, numbers

FOUR = ["p05", "p50", "p95", "typical"]
RUNAWAY = ["--set", "bench.load_at=reference", "--set", "chip.leakage_slope=1.9 %"]


def warmup(*words, code=0):
    run = call("warmup", *words, "--json")
    assert run.returncode == code, run.stderr
    return json.loads(run.stdout)


class Text(unittest.TestCase):
    def test_the_answer_comes_first(self):
        run = call("warmup", DENSE, "--load", "180")
        self.assertEqual(run.returncode, 0)
        opening = " ".join(run.stdout.split("\n\n")[0].split())
        self.assertRegex(opening,
                         r"^From ambient to 180 W and full fans, the reading stays within 0\.5 K of "
                         r"its settled \d+ K after \d+ min( \d+ s)? "
                         r"\(.* to .*, 5-95 %\)\.$")
        self.assertIn("note: no --bench given: taking one-large-die, typical and nobody's\n",
                      run.stderr)
        self.assertIn("no --ambient given: taking 25 C", run.stderr)
        for head in ("Waits from the start on", "What creeps on", "Habits", "Slow modes",
                     "Before you run it"):
            self.assertIn("\n" + head, run.stdout)

    def test_several_points_open_with_the_slowest_and_the_quickest(self):
        run = call("warmup", DENSE, "--load", "90,180", "--fan", "100 %, 60 %", "--samples", "50")
        opening = " ".join(run.stdout.split("\n\n")[0].split())
        self.assertTrue(opening.startswith(
            "From ambient to 180 W and fans at 60 % (990 rpm), the slowest of 4 points, the "))
        self.assertIn("; the quickest, 90 W and full fans, after ", opening)

    def test_pages_keep_to_100_columns(self):
        for words in ([THIN, "--load", "90,300", "--fan", "100 %, 40 %", "--pump", "100 %, 50 %"],
                      [CUSTOM, "--bench", TWO_CHIPS, "--load", "150", "--pump", "80 %"],
                      [DENSE, "--load", "180", "--band", "4,2,1,0.5,0.2,0.1,0.05"],
                      [DENSE, "--load", "60", "--fan", "0 %", "--bench", "copper-block"]):
            run = call("warmup", *words, "--samples", "50")
            self.assertEqual(run.returncode, 0, run.stderr)
            self.assertLessEqual(max(map(len, run.stdout.splitlines())), 100)
            self.assertNotIn("nan", run.stdout)

    def test_no_colour_in_a_pipe(self):
        run = call("warmup", DENSE, "--load", "700", "--samples", "0")
        self.assertIn("\nCAUTION  ", run.stdout)
        self.assertNotIn("\x1b[", run.stdout + run.stderr)

    def test_help(self):
        run = call("warmup", "--help")
        self.assertEqual(run.returncode, 0)
        self.assertGreaterEqual(run.stdout.count("  libloop warmup "), 3)
        self.assertNotIn("Needs", run.stdout)
        self.assertLessEqual(max(map(len, run.stdout.splitlines())), 100)


class Data(unittest.TestCase):
    def test_json_keys(self):
        answer = warmup(DENSE, "--load", "90,180", "--samples", "60", "--every", "5 s")
        point = ["load_W", "fan_fraction", "fan_speed_rpm", "pump_fraction", "pump_speed_rpm",
                 "soak", "profile", "usable", "why", "settled_rise_K", "settled_coolant_rise_K",
                 "settling", "habits", "creep", "modes", "modal_error", "last_change_s", "series",
                 "energy", "samples_without_answer", "notes"]
        self.assertEqual(list(answer), ["format", "libloop", "cooler", "bench", "ambient_C",
                                        "altitude_m", "samples", *point, "more"])
        self.assertEqual(list(answer["more"][0]), point)
        self.assertEqual((answer["load_W"], answer["more"][0]["load_W"]), (90, 180))
        self.assertEqual(answer["samples"], 60)
        self.assertEqual([row["band_K"] for row in answer["settling"]], [1, 0.5, 0.1])
        for row in answer["settling"]:
            for key in ("time_s", "coolant_time_s"):
                self.assertEqual(list(row[key]), FOUR)
                self.assertLessEqual(row[key]["p05"], row[key]["p50"])
                self.assertLessEqual(row[key]["p50"], row[key]["p95"])
        # A narrower band never takes less.
        waits = [row["time_s"]["typical"] for row in answer["settling"]]
        self.assertEqual(waits, sorted(waits))
        self.assertEqual([(h["change_K"], h["over_s"]) for h in answer["habits"]],
                         [(0.5, 60), (0.1, 120)])
        for habit in answer["habits"]:
            self.assertGreaterEqual(habit["time_s"]["p05"], habit["over_s"])
        for row in answer["creep"]:
            self.assertEqual(list(row), ["time_s", "rise_K", "left_K", "rate_K_per_min"])
            self.assertAlmostEqual(row["rise_K"] + row["left_K"],
                                   answer["settled_rise_K"]["typical"], places=9)
        self.assertTrue(all(math.isfinite(n) for n in numbers(answer)))

    def test_modes_have_owners_that_sum_up(self):
        modes = warmup(DENSE, "--load", "180", "--samples", "0")["modes"]
        self.assertTrue(modes)
        constants = [mode["time_constant_s"] for mode in modes]
        self.assertEqual(constants, sorted(constants, reverse=True))
        for mode in modes:
            for kind, whole in (("capacity", 1), ("conductance", -1)):
                shares = [o["share"] for o in mode["owners"] if o["kind"] == kind]
                if shares and mode["period_s"] is None:
                    self.assertAlmostEqual(sum(shares), whole, places=5)

    def test_a_tester_waits_minutes(self):
        # Common practice, no source: a 280 cooler at full fans is read after minutes, neither
        # after seconds nor after an hour, and later at slow fans.
        full = warmup(DENSE, "--load", "180", "--samples", "0")
        slow = warmup(DENSE, "--load", "180", "--fan", "40 %", "--samples", "0")
        wait = full["settling"][1]["time_s"]["typical"]
        self.assertTrue(60 < wait < 1800, wait)
        self.assertGreater(slow["settling"][1]["time_s"]["typical"], 1.3 * wait)

    def test_series_and_energy(self):
        answer = warmup(DENSE, "--load", "180", "--samples", "0")
        series, energy = answer["series"], answer["energy"]
        self.assertEqual(list(series), ["time_s", "rise_K", "coolant_rise_K",
                                        "coolant_flow_L_per_min", "air_flow_m3_per_h", "heat_W"])
        times = series["time_s"]
        self.assertEqual(times[:3], [0, 1, 2])
        self.assertTrue(all(len(values) == len(times) for values in series.values()))
        self.assertAlmostEqual(series["rise_K"][0], 0, delta=0.05)
        self.assertAlmostEqual(series["rise_K"][-1], answer["settled_rise_K"]["typical"],
                               delta=0.01)
        # The first law: what came in went out or stayed; and the heat's integral is what came in.
        self.assertAlmostEqual(energy["in_J"], energy["out_J"] + energy["stored_J"],
                               delta=1e-4 * energy["in_J"])
        area = sum(0.5 * (a + b) * (u - t) for a, b, t, u in
                   zip(series["heat_W"], series["heat_W"][1:], times, times[1:]))
        self.assertAlmostEqual(area, energy["in_J"], delta=2e-3 * area)
        # The settled point is that of predict.
        point = json.loads(call("predict", DENSE, "--load", "180", "--samples", "0",
                                "--json").stdout)["points"][0]
        self.assertAlmostEqual(answer["settled_rise_K"]["typical"], point["rise_K"]["typical"],
                               delta=1e-6)

    def test_waits_are_those_of_the_series(self):
        answer = warmup(DENSE, "--load", "180", "--samples", "0")
        series, settled = answer["series"], answer["settled_rise_K"]["typical"]
        for row in answer["settling"]:
            outside = [t for t, rise in zip(series["time_s"], series["rise_K"])
                       if abs(rise - settled) > row["band_K"]]
            wait = row["time_s"]["typical"]
            self.assertTrue(outside[-1] <= wait <= outside[-1] + 1.0)

    def test_csv_agrees_with_json(self):
        words = [DENSE, "--load", "90,180", "--samples", "0", "--every", "20 s"]
        rows = list(csv.DictReader(io.StringIO(call("warmup", *words, "--csv").stdout)))
        answer = warmup(*words)
        for point in (answer, answer["more"][0]):
            own = [row for row in rows if float(row["load_W"]) == point["load_W"]]
            for key, values in point["series"].items():
                self.assertEqual([float(row[key]) for row in own], values)

    def test_no_more_rows_than_3600(self):
        answer = warmup(DENSE, "--load", "60", "--samples", "0", "--every", "0.01 s")
        self.assertLessEqual(len(answer["series"]["time_s"]), 3600)
        self.assertGreater(len(answer["series"]["time_s"]), 1800)

    def test_several_chips_have_a_series_each(self):
        series = warmup(CUSTOM, "--bench", TWO_CHIPS, "--load", "150", "--samples", "0", "--every",
                        "1 min")["series"]
        self.assertIn("chip.graphics.rise_K", series)

    def test_the_same_call_gives_the_same_answer(self):
        words = [DENSE, "--load", "180", "--samples", "50", "--every", "60"]
        self.assertEqual(warmup(*words), warmup(*words))


class Cases(unittest.TestCase):
    def test_soak(self):
        cold = warmup(DENSE, "--load", "180", "--samples", "0")
        soaked = warmup(DENSE, "--load", "180", "--soak", "170", "--samples", "0")
        same = warmup(DENSE, "--load", "180", "--soak", "180", "--samples", "0")
        down = warmup(DENSE, "--load", "60", "--soak", "180", "--soak-fan", "60 %", "--samples",
                      "0")
        self.assertEqual(soaked["soak"]["load_W"], 170)
        self.assertEqual(down["soak"]["fan_fraction"], 0.6)
        self.assertLess(soaked["settling"][1]["time_s"]["typical"],
                        0.5 * cold["settling"][1]["time_s"]["typical"])
        self.assertEqual(same["settling"][2]["time_s"]["typical"], 0)
        self.assertGreater(down["series"]["rise_K"][0], down["series"]["rise_K"][-1])

    def test_profile(self):
        with tempfile.TemporaryDirectory() as folder:
            path = str(pathlib.Path(folder) / "invented.csv")
            pathlib.Path(path).write_text(
                "time [min],load [W],fan [%]\n0,40,60\n10,40,60\n10,180,100\n")
            words = [DENSE, "--profile", path, "--samples", "0"]
            answer = warmup(*words, "--pump", "80 %")
            self.assertEqual((answer["load_W"], answer["fan_fraction"], answer["pump_fraction"]),
                             (180, 1, 0.8))
            self.assertEqual(answer["last_change_s"], 600)
            self.assertEqual(answer["profile"]["rows"], 3)
            heat = dict(zip(answer["series"]["time_s"], answer["series"]["heat_W"]))
            self.assertLess(heat[599], 80)
            self.assertGreater(heat[630], 150)
            text = call("warmup", *words).stdout
            self.assertTrue(text.startswith(
                "From the profile's last row on (180 W and full fans, at 10 min), "))
            for part, *more in [("--load: the profile has a column", "--load", "60"),
                                ("--fan: the profile has a column", "--fan", "60 %"),
                                ("2 points, where one is meant", "--pump", "60 %, 80 %"),
                                ("the profile is not over by then", "--duration", "10 min")]:
                run = call("warmup", *words, *more)
                self.assertEqual((run.returncode, run.stdout), (2, ""), run.stderr)
                self.assertIn(part, run.stderr)
            pathlib.Path(path).write_text("time [min],fan [%]\n0,60\n")
            self.assertIn("--load is required", call("warmup", *words).stderr)
            pathlib.Path(path).write_text("time [min],lod [W]\n0,60\n")
            run = call("warmup", *words)
            self.assertEqual((run.returncode, run.stdout), (3, ""))
            self.assertIn("invented.csv:1:", run.stderr)

    def test_a_duration_may_be_too_short(self):
        words = [DENSE, "--load", "180", "--samples", "50", "--duration", "1 min"]
        answer = warmup(*words)
        self.assertEqual(answer["series"]["time_s"][-1], 60)
        self.assertIsNone(answer["settling"][2]["time_s"]["p50"])
        self.assertIn(">1:00", call("warmup", *words).stdout)

    def test_bands_and_habits_of_the_call(self):
        answer = warmup(DENSE, "--load", "180", "--samples", "0", "--band", "2 K, 0.2", "--habit",
                        "0.2 K/5 min", "--habit", "1/30")
        self.assertEqual([row["band_K"] for row in answer["settling"]], [2, 0.2])
        self.assertEqual([(h["change_K"], h["over_s"]) for h in answer["habits"]],
                         [(0.2, 300), (1, 30)])


class Failures(unittest.TestCase):
    def test_wrong_calls(self):
        for part, *words in [
            ("--load is required",),
            ("a change and a time are needed", "--load", "60", "--habit", "0.5 K"),
            ("--habit", "--load", "60", "--habit", "0.5 W/1 min"),
            ("a band of 0.001 K", "--load", "60", "--band", "0.001"),
            ("an empty value", "--load", "60", "--band", "1,,2"),
            ("--band", "--load", "60", "--band", "1 W"),
            ("--duration 0: out of bounds", "--load", "60", "--duration", "0"),
            ("--every", "--load", "60", "--every", "5 K"),
            ("Take at least 50", "--load", "60", "--samples", "49"),
            ("--soak-fan requires --soak", "--load", "60", "--soak-fan", "50 %"),
            ("--soak abc", "--load", "60", "--soak", "abc"),
            ("--soak-fan 50: per cent or rpm?", "--load", "60", "--soak", "50", "--soak-fan",
             "50"),
            ("one is meant", "--load", "60", "--soak", "50,60"),
            ("excludes", "--load", "60", "--json", "--csv"),
            ("Did you mean '--soak'?", "--load", "60", "--soke", "50"),
            ("Did you mean 'thick-lid'?", "--load", "60", "--bench", "thik-lid"),
        ]:
            with self.subTest(words):
                run = call("warmup", DENSE, *words)
                self.assertEqual((run.returncode, run.stdout), (2, ""), run.stderr)
                self.assertIn(part, run.stderr)

    def test_bad_input(self):
        for words in (["nowhere.toml", "--load", "60"], [DENSE, "--profile", "nowhere.csv"]):
            run = call("warmup", *words)
            self.assertEqual((run.returncode, run.stdout), (3, ""))
            self.assertIn("there is no such file", run.stderr)

    def test_no_answer_keeps_its_place(self):
        words = [DENSE, "--load", "50,3000", "--samples", "50", "--every", "1 min", *RUNAWAY]
        answer = warmup(*words, code=4)
        bad = answer["more"][0]
        self.assertIs(answer["usable"], True)
        self.assertIs(bad["usable"], False)
        self.assertTrue(bad["why"])
        self.assertEqual(set(bad["settled_rise_K"].values()), {None})
        self.assertEqual([row["band_K"] for row in bad["settling"]], [1, 0.5, 0.1])
        run = call("warmup", *words)
        self.assertEqual(run.returncode, 4)
        self.assertIn("some warm-ups have no answer; they say why", run.stderr)
        self.assertIn("no answer (3000 W, fans 100 %): ", run.stdout)

    def test_strict(self):
        words = [DENSE, "--load", "90", "--fan", "30 %", "--samples", "0"]
        self.assertEqual(call("warmup", *words).returncode, 0)
        run = call("warmup", *words, "--strict")
        self.assertEqual(run.returncode, 5)
        self.assertIn("outside the range of a law", run.stderr)


if __name__ == "__main__":
    unittest.main()
