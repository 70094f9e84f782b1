"""Operating points as scripts and people meet them: predict and draw.

python3 tests/cli/points.py runs all, with a name one.
"""

import csv
import io
import json
import math
import pathlib
import tempfile
import unittest

from program import (ROOT, DENSE, THIN, SMALL, CUSTOM, TWO_CHIPS, BACK_FIRST, FRONT_FIRST,
                     NETWORKS, ANSWERS, call, predict, numbers)


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


if __name__ == "__main__":
    unittest.main()
