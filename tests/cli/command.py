"""The command as scripts and people meet it: answers, talk, exit codes.

LIBLOOP names the program; python3 tests/cli/command.py runs all, with a name one.
"""

import csv
import io
import json
import math
import os
import pathlib
import pty
import re
import shlex
import signal
import subprocess
import tempfile
import time
import unittest

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = os.environ.get("LIBLOOP", str(ROOT / "build/release/bin/libloop"))
DENSE = str(ROOT / "examples/dense-280.toml")
THIN = str(ROOT / "examples/thin-240.toml")
SMALL = str(ROOT / "examples/small-fans-280.toml")
CUSTOM = str(ROOT / "examples/custom-loop.toml")
TWO_CHIPS = str(ROOT / "examples/bench-two-chips.toml")
BACK_FIRST = str(ROOT / "examples/stacked-back-first.toml")
FRONT_FIRST = str(ROOT / "examples/stacked-front-first.toml")
# The benches of the examples whose loops are joined in the file.
NETWORKS = {"custom-loop": TWO_CHIPS, "case-mesh": "thick-lid", "push-pull-280": "thick-lid",
            "stacked-back-first": "thick-lid", "stacked-front-first": "thick-lid"}
VERBS = ["new", "check", "predict", "draw", "quantities"]
ANSWERS = ["rise_K", "coolant_rise_K", "coolant_flow_L_per_min", "air_flow_m3_per_h",
           "radiator_conductance_W_per_K", "noise_dBA"]


def call(*words, cwd=None, env=None):
    return subprocess.run([PROGRAM, *words], capture_output=True, text=True, cwd=cwd,
                          env={**os.environ, **(env or {})}, timeout=120)


def predict(*words):
    run = call("predict", *words, "--json", "--samples", "60")
    return json.loads(run.stdout)


def numbers(value):
    if isinstance(value, dict):
        return [n for v in value.values() for n in numbers(v)]
    if isinstance(value, list):
        return [n for v in value for n in numbers(v)]
    return [value] if isinstance(value, float) else []


class Help(unittest.TestCase):
    def test_every_verb_has_worked_examples(self):
        for verb in VERBS:
            run = call(verb, "--help")
            self.assertEqual(run.returncode, 0)
            self.assertEqual(run.stderr, "")
            self.assertGreaterEqual(run.stdout.count(f"  libloop {verb} ")
                                    + run.stdout.count(f"  libloop {verb}\n"), 3, verb)

    def test_help_has_no_clutter(self):
        for verb in VERBS:
            words = call(verb, "--help").stdout
            self.assertNotIn("Excludes", words)
            self.assertNotIn("Needs", words)
            self.assertLessEqual(max(map(len, words.splitlines())), 100)
        self.assertIn("Heat loads in W", call("predict", "--help").stdout)
        self.assertEqual(call("--help").stdout.splitlines()[0],
                         "Predicts liquid CPU coolers from their spec sheets.")

    def test_version(self):
        run = call("--version")
        self.assertEqual(run.returncode, 0)
        self.assertRegex(run.stdout, r"^libloop \d+\.\d+\.\d+\n$")


class Predict(unittest.TestCase):
    def test_the_answer_comes_first(self):
        run = call("predict", DENSE, "--load", "180")
        self.assertEqual(run.returncode, 0)
        self.assertRegex(run.stdout.splitlines()[0],
                         r"^At 180 W and full fans the chip reads \d+ K over ambient "
                         r"\(\d+ to \d+ K, 5-95 %\)\.$")
        self.assertIn("note: no --bench given: taking one-large-die, typical and nobody's\n",
                      run.stderr)
        self.assertIn("no --ambient given: taking 25 C", run.stderr)

    def test_the_answer_is_of_the_hottest_point(self):
        run = call("predict", DENSE, "--load", "90,180", "--fan", "100 %, 60 %")
        self.assertTrue(run.stdout.startswith(
            "At 180 W and fans at 60 % (990 rpm), the hottest of 4 points, the chip reads "))
        self.assertIn("What matters most for the rise at 180 W and fans at 60 %", run.stdout)

    def test_pages_keep_to_100_columns(self):
        for words in (["--fan", "100 %, 40 %, 0 %", "--pump", "100 %, 50 %, 0 %"],
                      ["--against", THIN], ["--samples", "0"]):
            run = call("predict", DENSE, "--load", "90,300", *words)
            self.assertEqual(run.returncode, 0, run.stderr)
            self.assertLessEqual(max(map(len, run.stdout.splitlines())), 100)

    def test_json_keys(self):
        answer = predict(DENSE, "--load", "90", "--load", "180 W, 0.2 kW", "--fan", "100%,60 %")
        self.assertEqual(list(answer), ["format", "libloop", "cooler", "bench", "ambient_C",
                                        "altitude_m", "samples", "points", "matters"])
        self.assertEqual(answer["format"], 1)
        self.assertEqual(answer["ambient_C"], 25)
        self.assertEqual([(p["load_W"], p["fan_fraction"]) for p in answer["points"]],
                         [(90, 1), (90, 0.6), (180, 1), (180, 0.6), (200, 1), (200, 0.6)])
        for point in answer["points"]:
            for key in ANSWERS:
                self.assertEqual(list(point[key]), ["p05", "p50", "p95", "typical"])
                self.assertLessEqual(point[key]["p05"], point[key]["p50"])
                self.assertLessEqual(point[key]["p50"], point[key]["p95"])
            self.assertAlmostEqual(sum(point["budget_K"].values()), point["rise_K"]["typical"],
                                   places=9)
            self.assertLess(point["energy_residual"], 1e-9)
            self.assertEqual(list(point["rise_gradient_K"]), ["p05", "p95"])
            self.assertGreaterEqual(point["interval_gap_K"], 0)
            self.assertIs(point["usable"], True)
            self.assertTrue(0 <= point["share_above_limit"] <= 1)
            # In the units of their names: common practice for a loop of this size.
            self.assertTrue(0.1 < point["coolant_flow_L_per_min"]["p50"] < 5)
            self.assertTrue(10 < point["air_flow_m3_per_h"]["p50"] < 400)
        self.assertEqual(answer["points"][1]["fan_speed_rpm"], 990)
        for matter in answer["matters"]:
            self.assertIn("quantity", matter)
            self.assertIn("effect_K", matter)
            self.assertIn(matter["scope"], ("bench", "law", "product", "each"))
        self.assertTrue(all(math.isfinite(n) for n in numbers(answer)))

    def test_the_same_call_gives_the_same_answer(self):
        self.assertEqual(predict(DENSE, "--load", "180"), predict(DENSE, "--load", "180"))

    def test_csv_agrees_with_json(self):
        words = [DENSE, "--load", "90,180", "--fan", "100 %, 50 %", "--samples", "60"]
        rows = list(csv.DictReader(io.StringIO(call("predict", *words, "--csv").stdout)))
        answer = predict(*words[:-2])
        self.assertEqual(len(rows), 4)
        for row, point in zip(rows, answer["points"]):
            for key in ANSWERS:
                for part in ("p05", "p50", "p95", "typical"):
                    self.assertEqual(float(row[f"{key}_{part}"]), point[key][part])

    def test_against(self):
        answer = predict(DENSE, "--against", THIN, "--load", "180,90", "--fan", "1200 rpm")
        self.assertEqual(answer["against"], "Invented thin 240")
        self.assertEqual(len(answer["differences"]), 2)
        first = answer["differences"][0]["rise_K"]
        self.assertEqual(answer["difference_K"], first)
        typical = (answer["points"][0]["rise_K"]["typical"]
                   - answer["against_points"][0]["rise_K"]["typical"])
        self.assertAlmostEqual(first["typical"], typical, places=9)
        # Doubts that both share drop out: the difference is sharper than either answer.
        rise = answer["points"][0]["rise_K"]
        self.assertLess(first["p95"] - first["p05"], rise["p95"] - rise["p05"])
        # rpm count by each cooler's own rated speed.
        for points in (answer["points"], answer["against_points"]):
            self.assertAlmostEqual(points[0]["fan_speed_rpm"], 1200, places=6)
        self.assertNotEqual(answer["points"][0]["fan_fraction"],
                            answer["against_points"][0]["fan_fraction"])
        run = call("predict", DENSE, "--against", THIN, "--load", "180")
        self.assertRegex(run.stdout, r"^At 180 W and full fans 'Invented dense 280' ")

    def test_two_arrangements_of_the_same_parts(self):
        words = [BACK_FIRST, "--against", FRONT_FIRST, "--load", "180"]
        alone, together = predict(*words), predict(*words, "--alike")
        self.assertIs(alone["alike"], False)
        self.assertIs(together["alike"], True)
        self.assertNotIn("alike", predict(BACK_FIRST, "--load", "180"))
        # Doubts of the same parts drop out.
        width = lambda answer: answer["difference_K"]["p95"] - answer["difference_K"]["p05"]
        self.assertLess(width(together), width(alone))
        self.assertEqual(together["difference_K"]["typical"], alone["difference_K"]["typical"])
        # A cooler against itself does not differ at all.
        same = predict(DENSE, "--against", DENSE, "--load", "180", "--alike")
        self.assertEqual(set(same["difference_K"].values()), {0})
        run = call("predict", *words, "--alike", "--samples", "60")
        self.assertIn("what both have by one name varies together", " ".join(run.stdout.split()))
        self.assertNotIn("drawn independently", run.stdout)
        self.assertLessEqual(max(map(len, run.stdout.splitlines())), 100)

    def test_points_that_differ_in_the_pump_alone_can_be_told_apart(self):
        run = call("predict", BACK_FIRST, "--against", FRONT_FIRST, "--load", "180", "--pump",
                   "100 %, 50 %", "--samples", "0")
        self.assertEqual(run.returncode, 0, run.stderr)
        tables = [table for table in run.stdout.split("\n\n")
                  if table.startswith(("Difference", "Points", "Radiators"))]
        self.assertEqual(len(tables), 5)
        for table in tables:
            self.assertRegex(table, r" pump\b", table)

    def test_networks(self):
        for name, bench in NETWORKS.items():
            with self.subTest(name):
                answer = predict(str(ROOT / f"examples/{name}.toml"), "--load", "150", "--bench",
                                 bench)
                point = answer["points"][0]
                self.assertTrue(point["usable"], point["why"])
                heat = sum(radiator["heat_W"] for radiator in point["radiators"])
                load = sum(chip["load_W"] for chip in point["chips"])
                self.assertTrue(0.5 * load < heat < load)  # the rest leaves through boards
                self.assertEqual([note for note in point["notes"]
                                  if note["code"] in ("coolant_stands", "pump_blocked")], [])

    def test_several_chips_and_radiators_have_columns(self):
        words = ["predict", CUSTOM, "--bench", TWO_CHIPS, "--load", "150", "--samples", "60"]
        row, = csv.DictReader(io.StringIO(call(*words, "--csv").stdout))
        point = json.loads(call(*words, "--json").stdout)["points"][0]
        chip, radiator = point["chips"][1], point["radiators"][1]
        self.assertEqual((chip["name"], radiator["name"]), ("chip.graphics", "radiator.roof"))
        for part in ("p05", "p50", "p95", "typical"):
            self.assertEqual(float(row[f"chip.graphics.rise_K_{part}"]), chip["rise_K"][part])
            self.assertEqual(float(row[f"radiator.roof.radiator_conductance_W_per_K_{part}"]),
                             radiator["radiator_conductance_W_per_K"][part])
        self.assertEqual(float(row["radiator.roof.intake_K"]), radiator["intake_K"])
        # One style: dots belong to names of parts.
        for column in row:
            self.assertRegex(column, r"^((chip|radiator)\.[a-z]+\.)?[A-Za-z_0-9]+$")

    def test_ambient_altitude_and_set_count(self):
        answer = predict(DENSE, "--load", "180", "--ambient", "-5", "--altitude", "1000 m",
                         "--set", "radiator.fin_density=16 fpi",
                         "--set", "paste.conductivity=7 W/(m K)")
        self.assertEqual(answer["ambient_C"], -5)
        self.assertEqual(answer["altitude_m"], 1000)
        names = [m["quantity"] for m in answer["matters"]]
        self.assertNotIn("radiator.fin_density", names)
        self.assertNotIn("paste.conductivity", names)
        self.assertEqual(predict(DENSE, "--load", "180", "--ambient", "77 F")["ambient_C"], 25)

    def test_benches(self):
        example = str(ROOT / "examples/bench-invented.toml")
        self.assertEqual(predict(DENSE, "--load", "90", "--bench", example)["bench"],
                         "Invented bench")
        for name in ("one-large-die", "thick-lid", "small-dies", "copper-block"):
            self.assertIn("nobody's", predict(DENSE, "--load", "90", "--bench", name)["bench"])

    def test_limits_are_loud(self):
        run = call("predict", DENSE, "--load", "180", "--fan", "0 %", "--samples", "0")
        self.assertTrue(run.stdout.splitlines()[2].startswith("CAUTION  "))
        self.assertIn("Before you run it", run.stdout)

    def test_unlike_rated_speeds_refuse_rpm(self):
        text = pathlib.Path(SMALL).read_text().replace("count = 2", "count = 1")
        fan = text[text.index("[[fan]]"):text.index("[pump]")]
        text = text.replace("[pump]", fan.replace("1950", "1700") + "[pump]")
        with tempfile.TemporaryDirectory() as folder:
            file = pathlib.Path(folder, "two.toml")
            file.write_text(text)
            run = call("predict", str(file), "--load", "90", "--fan", "1200 rpm")
            self.assertEqual(run.returncode, 2)
            self.assertIn("unlike rated speeds", run.stderr)
            point = predict(str(file), "--load", "90", "--fan", "60 %")["points"][0]
            self.assertIsNone(point["fan_speed_rpm"])


class Draw(unittest.TestCase):
    def test_every_example_has_a_picture(self):
        for file in sorted((ROOT / "examples").glob("*.toml")):
            if file.stem.startswith("bench"):
                continue
            with self.subTest(file.stem):
                bench = NETWORKS.get(file.stem, "thick-lid")
                run = call("draw", str(file), "--bench", bench, "--load", "180")
                self.assertEqual(run.returncode, 0, run.stderr)
                self.assertRegex(run.stdout, r"^At 180 W and full fans, with \d+\.\d+ L/min of coolant\s")
                lines = run.stdout.splitlines()
                self.assertLessEqual(max(map(len, lines)), 100)
                for piece in ("Coolant: ", "╭─→─╮", "pump", "Air: ", "● outside"):
                    self.assertIn(piece, run.stdout)
                # No line of a table ends in blanks, none has half a character.
                self.assertEqual([line for line in lines if line != line.rstrip()], [])
                self.assertNotIn("\ufffd", run.stdout)

    def test_talk_goes_to_standard_error(self):
        run = call("draw", DENSE)
        self.assertEqual(run.returncode, 0)
        self.assertTrue(run.stdout.startswith("At 100 W and full fans, "))
        for talk in ("no --bench given", "no --load given: taking 100 W", "no --ambient given"):
            self.assertIn(f"note: {talk}", run.stderr)
        self.assertEqual(call("draw", DENSE, "--load", "90", "--bench", "thick-lid", "--ambient",
                              "23").stderr, "")

    def test_json(self):
        words = [CUSTOM, "--bench", TWO_CHIPS, "--load", "150", "--fan", "60 %"]
        run = call("draw", *words, "--json")
        self.assertEqual(run.returncode, 0, run.stderr)
        answer = json.loads(run.stdout)
        self.assertEqual(list(answer), [
            "format", "libloop", "cooler", "bench", "ambient_C", "altitude_m", "load_W",
            "fan_fraction", "fan_speed_rpm", "pump_fraction", "pump_speed_rpm", "usable", "why",
            *ANSWERS, "chips", "radiators", "parts", "notes"])
        # The same point as that of predict.
        point = json.loads(call("predict", *words, "--samples", "0", "--json").stdout)["points"][0]
        for key in ANSWERS:
            self.assertEqual(answer[key], point[key]["typical"])
        for key in ("chips", "radiators", "parts", "notes", "fan_fraction"):
            self.assertEqual(answer[key], point[key])
        self.assertEqual({part["stream"] for part in answer["parts"]}, {"coolant", "air"})
        # What stands in the open takes in air of the surroundings, not nearly so.
        self.assertEqual([radiator["intake_K"] for radiator in answer["radiators"]], [0, 0])
        self.assertTrue(all(n == 0 or abs(n) >= 1e-9 for n in numbers(answer)))

    def test_graphviz(self):
        run = call("draw", CUSTOM, "--bench", TWO_CHIPS, "--graphviz")
        self.assertEqual(run.returncode, 0)
        self.assertTrue(run.stdout.startswith("digraph loop {\n"))
        self.assertTrue(run.stdout.endswith("\n}\n"))
        for name in ("radiator.roof", "chip.graphics", "split", "fan.front.1"):
            self.assertIn(f"<b>{name}</b>", run.stdout)

    def test_settings_count(self):
        words = ["draw", DENSE, "--load", "180", "--json"]
        slow = json.loads(call(*words, "--pump", "50 %", "--set", "radiator.fin_density=10 fpi")
                          .stdout)
        full = json.loads(call(*words).stdout)
        self.assertEqual(slow["pump_fraction"], 0.5)
        self.assertLess(slow["coolant_flow_L_per_min"], full["coolant_flow_L_per_min"])
        self.assertGreater(slow["air_flow_m3_per_h"], full["air_flow_m3_per_h"])

    def test_exit_codes(self):
        for code, part, *words in [
            (2, "2 points do not fit", DENSE, "--load", "90,180"),
            (2, "4 points do not fit", DENSE, "--fan", "100 %, 60 %", "--pump", "100 %, 50 %"),
            (2, "excludes", DENSE, "--json", "--graphviz"),
            (2, "per cent or rpm?", DENSE, "--fan", "60"),
            (2, "Did you mean '--graphviz'?", DENSE, "--grapviz"),
            (3, "there is no such file", "nowhere.toml"),
            (3, "there is no such file", DENSE, "--bench", "nowhere.toml"),
            (3, "network_port_near_miss.toml:13:",
             str(ROOT / "tests/files/broken/network_port_near_miss.toml")),
        ]:
            with self.subTest(words):
                run = call("draw", *words)
                self.assertEqual(run.returncode, code, run.stderr)
                self.assertEqual(run.stdout, "")
                self.assertIn(part, run.stderr)

    def test_a_point_without_an_answer_says_why(self):
        words = ["draw", DENSE, "--load", "3000", "--set", "bench.load_at=reference", "--set",
                 "chip.leakage_slope=1.9 %"]
        run = call(*words)
        self.assertEqual(run.returncode, 4)
        self.assertRegex(run.stdout, r"^At 3000 W and full fans there is no answer: ")
        self.assertNotIn("╭", run.stdout)
        self.assertIn("this point has no answer", run.stderr)
        run = call(*words, "--json")
        self.assertEqual(run.returncode, 4)
        answer = json.loads(run.stdout)
        self.assertIs(answer["usable"], False)
        self.assertTrue(answer["why"])
        self.assertEqual({answer[key] for key in ANSWERS}, {None})
        self.assertEqual(answer["parts"], [])
        run = call(*words, "--graphviz")
        self.assertEqual((run.returncode, run.stdout), (4, ""))


class WrongCalls(unittest.TestCase):
    def refused(self, code, part, *words):
        run = call(*words)
        self.assertEqual(run.returncode, code, f"{words}: {run.stderr}")
        self.assertEqual(run.stdout, "", words)
        self.assertTrue(run.stderr.startswith("error: "), run.stderr)
        self.assertIn(part, run.stderr)

    def test_wrong_calls_say_what_was_meant(self):
        for part, *words in [
            ("libloop --help",),
            ("Did you mean 'predict'?", "predct"),
            ("Did you mean '--fan'?", "predict", DENSE, "--load", "60", "--fans", "60 %"),
            ("Did you mean 'radiator'?", "quantities", "radiater"),
            ("Did you mean 'thick-lid'?", "predict", DENSE, "--load", "60", "--bench", "thik-lid"),
            ("Did you mean 'radiator.fin_density'?", "predict", DENSE, "--load", "60", "--set",
             "radiatr.fin_density=16 fpi"),
            ("Did you mean 'fin_density'?", "predict", DENSE, "--load", "60", "--set",
             "radiator.fin_densty=16 fpi"),
            ("Did you mean 'fpi'?", "predict", DENSE, "--load", "60", "--set",
             "radiator.fin_density=16 fppi"),
            ("there is no '='", "predict", DENSE, "--load", "60", "--set", "radiator"),
            ("per cent or rpm?", "predict", DENSE, "--load", "60", "--fan", "60"),
            ("per cent or rpm?", "predict", DENSE, "--load", "60", "--pump", "0"),
            ("in quotes together", "predict", DENSE, "--load", "60", "--fan", "60", "%"),
            ("between 0 % and 300 %", "predict", DENSE, "--load", "60", "--fan", "400 %"),
            ("between 0 W and 5000 W", "predict", DENSE, "--load", "-5"),
            ("another dimension", "predict", DENSE, "--load", "60 K"),
            ("is out of bounds", "predict", DENSE, "--load", "60", "--ambient", "200 C"),
            ("an empty value", "predict", DENSE, "--load", "60,,70"),
            ("too many", "predict", DENSE, "--load", ",".join(["60"] * 10001)),
            ("--load needs a value", "predict", DENSE, "--load"),
            ("--load is required", "predict", DENSE),
            ("excludes", "predict", DENSE, "--load", "60", "--json", "--csv"),
            ("--alike requires --against", "predict", DENSE, "--load", "60", "--alike"),
            ("does not take 'extra'", "predict", DENSE, "extra", "--load", "60"),
            ("--samples", "predict", DENSE, "--load", "60", "--samples", "many"),
            ("Take at least 50", "predict", DENSE, "--load", "60", "--samples", "49"),
            ("a range belongs in the file", "predict", DENSE, "--load", "60", "--set",
             "radiator.fin_density={ typical = '17 fpi', low = '15 fpi', high = '19 fpi' }"),
            ("\"20 fpi\"", "new", "never", "--class", "240", "--fin-density", "20"),
            ("'240'", "new", "never", "--class", "250"),
            ("--class is required", "new", "never"),
            ("2 errors", "new", "never", "--class", "240", "--fans", "two", "--noise", "loud"),
        ]:
            with self.subTest(words):
                self.refused(2, part, *words)

    def test_samples_out_of_bounds(self):
        run = call("predict", DENSE, "--load", "60", "--samples", "-5")
        self.assertEqual(run.returncode, 2)
        self.assertIn("Between 0 and 1000000.", run.stderr)

    def test_bad_input(self):
        broken = str(ROOT / "tests/files/broken/several.toml")
        self.refused(3, "there is no such file", "predict", "nowhere.toml", "--load", "60")
        self.refused(3, "there is no such file", "predict", DENSE, "--load", "60", "--bench",
                     "nowhere.toml")
        self.refused(3, "several.toml:2:9: ", "predict", broken, "--load", "60")
        self.refused(3, "2 errors", "check", "nowhere.toml", "elsewhere.toml")


class ExitCodes(unittest.TestCase):
    def test_no_answer_keeps_its_place(self):
        words = ["predict", DENSE, "--load", "50,3000", "--set", "bench.load_at=reference",
                 "--set", "chip.leakage_slope=1.9 %", "--samples", "50"]
        run = call(*words, "--json")
        self.assertEqual(run.returncode, 4, run.stderr)
        good, bad = json.loads(run.stdout)["points"]
        self.assertTrue(good["usable"])
        self.assertFalse(bad["usable"])
        self.assertTrue(bad["why"])
        self.assertEqual(set(bad["rise_K"].values()) | set(bad["budget_K"].values()), {None})
        self.assertNotIn("nan", call(*words).stdout + call(*words, "--csv").stdout)

    def test_strict(self):
        words = ["predict", DENSE, "--load", "60", "--fan", "10 %", "--samples", "0"]
        self.assertEqual(call(*words).returncode, 0)
        run = call(*words, "--strict")
        self.assertEqual(run.returncode, 5)
        self.assertTrue(run.stdout.startswith("At 60 W"))

    def test_interrupted(self):
        run = subprocess.Popen([PROGRAM, "predict", DENSE, "--load", "90", "--samples", "1000000"],
                               stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        time.sleep(0.5)
        run.send_signal(signal.SIGINT)
        out, _ = run.communicate(timeout=10)
        self.assertEqual(run.returncode, 130)
        self.assertEqual(out, b"")

    def test_a_reader_that_leaves_is_no_fault(self):
        run = subprocess.Popen([PROGRAM, "quantities", "--json"], stdout=subprocess.PIPE,
                               stderr=subprocess.PIPE)
        run.stdout.close()
        self.assertEqual(run.stderr.read(), b"")
        run.stderr.close()
        self.assertEqual(run.wait(timeout=10), 0)

    def test_a_full_disk_is_told(self):
        with open("/dev/full", "wb") as full:
            run = subprocess.run([PROGRAM, "quantities"], stdout=full, stderr=subprocess.PIPE)
        self.assertEqual(run.returncode, 1)
        self.assertIn(b"cannot be written", run.stderr)


class New(unittest.TestCase):
    def test_a_new_file_is_whole_and_never_overwritten(self):
        with tempfile.TemporaryDirectory() as folder:
            words = ["new", "mine", "--class", "360", "--thickness", "38 mm", "--fin-density",
                     "18 fpi", "--free-flow", "70 cfm", "--noise", "30 dBA", "--set",
                     "coolant.kind=water"]
            run = call(*words, cwd=folder)
            self.assertEqual((run.returncode, run.stderr), (0, ""))
            self.assertIn("libloop check mine.toml", run.stdout)
            file = pathlib.Path(folder, "mine.toml")
            before = file.read_text()
            again = call("new", "mine.toml", "--class", "240", cwd=folder)
            self.assertEqual(again.returncode, 3)
            self.assertIn("exists already", again.stderr)
            self.assertEqual(file.read_text(), before)
            self.assertEqual([p.name for p in pathlib.Path(folder).iterdir()], ["mine.toml"])

            check = json.loads(call("check", str(file), "--json").stdout)["files"][0]
            given = {item["quantity"]: item for item in check["given"]}
            self.assertEqual(set(given), {"radiator.class", "radiator.thickness", "fan.count",
                                          "radiator.fin_density", "fan.free_flow", "fan.noise",
                                          "coolant.kind"})
            self.assertEqual(given["fan.count"]["value"], 3)
            self.assertEqual(given["coolant.kind"]["value"], "water")
            self.assertEqual(check["title"], "mine")
            self.assertEqual(call("predict", str(file), "--load", "180").returncode, 0)

    def test_next_commands_can_be_pasted(self):
        with tempfile.TemporaryDirectory() as folder:
            run = call("new", 'my "cold" one', "--class", "240", cwd=folder)
            self.assertIn("1 value given, a full row of fans, the rest", run.stdout)
            command = next(line for line in run.stdout.splitlines() if "libloop check" in line)
            words = shlex.split(command)
            self.assertEqual(words[:2], ["libloop", "check"])
            self.assertEqual(call(*words[1:], cwd=folder).returncode, 0)

    def test_a_new_file_keeps_to_100_columns(self):
        with tempfile.TemporaryDirectory() as folder:
            call("new", "a", "--class", "240", "--noise", "30 dBA", cwd=folder)
            lines = pathlib.Path(folder, "a.toml").read_text().splitlines()
            self.assertLessEqual(max(map(len, lines)), 100)
            self.assertFalse([line for line in lines if re.search(r"; [A-Z]", line)])

    def test_a_count_of_fans_may_be_set(self):
        with tempfile.TemporaryDirectory() as folder:
            run = call("new", "a", "--class", "240", "--set", "fan.count=1", cwd=folder)
            self.assertEqual((run.returncode, run.stderr), (0, ""))
            self.assertIn("\ncount = 1 ", pathlib.Path(folder, "a.toml").read_text())

    def test_assumed_rated_speed_is_told(self):
        with tempfile.TemporaryDirectory() as folder:
            call("new", "mine", "--class", "240", cwd=folder)
            run = call("predict", "mine.toml", "--load", "90", "--fan", "1000 rpm", cwd=folder)
            self.assertEqual(run.returncode, 0)
            self.assertIn("rated speed of the fans of mine is not given", run.stderr)


class Check(unittest.TestCase):
    def test_good_and_bad_files_in_one_go(self):
        broken = str(ROOT / "tests/files/broken/several.toml")
        bench = str(ROOT / "examples/bench-invented.toml")
        run = call("check", DENSE, broken, bench)
        self.assertEqual(run.returncode, 3)
        self.assertIn("the cooler 'Invented dense 280' is in order", run.stdout)
        self.assertIn("the bench 'Invented bench' is in order", run.stdout)
        self.assertIn("several.toml:6:13: ", run.stderr)

    def test_every_example_is_in_order(self):
        files = sorted(str(p) for p in (ROOT / "examples").glob("*.toml"))
        run = call("check", *files)
        self.assertEqual((run.returncode, run.stderr), (0, ""))
        rows = list(csv.DictReader(io.StringIO(call("check", *files, "--csv").stdout)))
        self.assertEqual({row["file"] for row in rows}, set(files))

    def test_generic_benches_can_be_looked_at(self):
        run = call("check", "small-dies")
        self.assertEqual(run.returncode, 0)
        self.assertIn("chip.die.left.x", run.stdout)

    def test_named_parts_are_listed_and_their_joins_judged(self):
        run = call("check", str(ROOT / "examples/custom-loop.toml"))
        self.assertEqual((run.returncode, run.stderr), (0, ""))
        for name in ("radiator.roof.class", "pump.upper.shutoff_head", "tube.hose.count"):
            self.assertIn(name, run.stdout)
        broken = ROOT / "tests/files/broken/network_port_near_miss.toml"
        run = call("check", str(broken))
        self.assertEqual(run.returncode, 3)
        self.assertIn("network_port_near_miss.toml:13:", run.stderr)
        self.assertIn("Did you mean 'radiator.in'?", run.stderr)

    def test_networks_are_in_order(self):
        for name in NETWORKS:
            file = str(ROOT / f"examples/{name}.toml")
            run = call("check", file)
            self.assertEqual((run.returncode, run.stderr), (0, ""), name)
            self.assertIn(" is in order: ", " ".join(run.stdout.split()))
            self.assertLessEqual(max(map(len, run.stdout.splitlines())), 100, name)

    def test_a_setting_may_be_for_any_kind_of_part(self):
        self.assertEqual(call("check", "small-dies", "--set", "case.own_heat=20 W").returncode, 0)
        self.assertEqual(call("check", "small-dies", "--set", "case.own_heat=20 m").returncode, 2)

    def test_set_may_break_what_fits(self):
        run = call("check", DENSE, "--set", "fan.count=6")
        self.assertEqual(run.returncode, 3)
        self.assertIn("fans need", run.stderr)


class Quantities(unittest.TestCase):
    def test_the_page_in_docs_is_fresh(self):
        run = call("quantities", "--markdown")
        self.assertEqual(run.stdout, (ROOT / "docs/quantities.md").read_text(),
                         "run: libloop quantities --markdown > docs/quantities.md")

    def test_json_and_csv_hold_the_same_rows(self):
        parts = json.loads(call("quantities", "--json").stdout)["parts"]
        rows = list(csv.DictReader(io.StringIO(call("quantities", "--csv").stdout)))
        names = [(part["part"], row["name"]) for part in parts for row in part["rows"]]
        self.assertEqual(names, [(row["part"], row["name"]) for row in rows])
        for part in parts:
            for row in part["rows"]:
                self.assertTrue(row["meaning"])
                if row["type"] == "quantity":
                    self.assertLessEqual(row["min"], row["low"])
                    self.assertLessEqual(row["low"], row["typical"])
                    self.assertLessEqual(row["typical"], row["high"])
                    self.assertLessEqual(row["high"], row["max"])


class Terminal(unittest.TestCase):
    def on_terminal(self, **env):
        """What standard error shows when it is a terminal."""
        master, slave = pty.openpty()
        run = subprocess.Popen([PROGRAM, "predct"], stdout=subprocess.DEVNULL, stderr=slave,
                               env={**os.environ, "TERM": "xterm", **env})
        os.close(slave)
        run.wait(timeout=10)
        seen = os.read(master, 10000)
        os.close(master)
        return seen

    def test_colour_only_for_those_who_want_it(self):
        env = {"NO_COLOR": ""}
        self.assertIn(b"\x1b[", self.on_terminal(**env))
        self.assertNotIn(b"\x1b[", self.on_terminal(NO_COLOR="1"))
        self.assertNotIn(b"\x1b[", self.on_terminal(TERM="dumb", **env))
        self.assertNotIn("\x1b[", call("predct").stderr)


if __name__ == "__main__":
    unittest.main()
