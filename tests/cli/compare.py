"""Coolers against each other, as scripts and people meet it. All data are invented.

python3 tests/cli/compare.py runs all, with a name one.
"""

import csv
import io
import json
import math
import pathlib
import tempfile
import unittest

import simulated
from program import DENSE, call, numbers

# K/W more than the first, and dBA more.
COOLERS = {"Invented 360": (0.0, 0.0), "Invented 280": (0.0002, 1.0), "Invented 240": (0.03, -2.0),
           "Invented tower": (0.08, -1.0)}


class Folder(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = pathlib.Path(folder.name)
        self.table = self.file("coolers.csv", simulated.table(COOLERS))

    def file(self, name, text):
        path = self.folder / name
        path.write_text(text, encoding="utf-8")
        return str(path)

    def compare(self, *words, code=0):
        run = call("compare", *words, "--json")
        self.assertEqual(run.returncode, code, run.stderr)
        return json.loads(run.stdout)


class Answers(Folder):
    def test_the_order_is_the_true_one(self):
        answer = self.compare(self.table, "--load", "180")
        rows = answer["ranking"]
        self.assertEqual(len(rows), 4)
        self.assertEqual({rows[0]["title"], rows[1]["title"]}, {"Invented 360", "Invented 280"})
        self.assertEqual([row["title"] for row in rows[2:]], ["Invented 240", "Invented tower"])
        self.assertEqual([row["rank"] for row in rows], [1, 2, 3, 4])
        # 0.04 K apart: one group. 5 K and more: others.
        self.assertEqual(rows[0]["group"], rows[1]["group"])
        self.assertNotEqual(rows[3]["group"], rows[0]["group"])
        for row in rows:
            true = simulated.rise(180, 1.0) + 180 * COOLERS[row["title"]][0]
            self.assertAlmostEqual(row["rise_K"]["p50"], true, delta=0.4)
            self.assertLess(row["rise_K"]["p05"], row["rise_K"]["p95"])
        self.assertEqual(answer["condition"]["load_W"], 180)
        self.assertEqual(len(answer["ties"]), 3)
        self.assertFalse(answer["ties"][0]["apart"])
        self.assertTrue(all(math.isfinite(n) for n in numbers(answer)))
        self.assertIsNotNone(answer["equal_noise"])

    def test_at_equal_noise_and_at_equal_rise(self):
        answer = self.compare(self.table, "--load", "180", "--at-noise", "30 dBA")
        self.assertEqual(answer["ranked_by"], "rise_K")
        for row in answer["ranking"]:
            resistance, level = COOLERS[row["title"]]
            fan = 0.4 * 10 ** ((30 - 20 - level) / 50)
            self.assertAlmostEqual(row["fan_fraction"], fan, delta=0.01)
            true = simulated.rise(180, fan) + 180 * resistance
            self.assertAlmostEqual(row["rise_K"]["p50"], true, delta=0.5)
        answer = self.compare(self.table, "--load", "180", "--at-rise", "40 K")
        self.assertEqual(answer["ranked_by"], "noise_dBA")
        for row in answer["ranking"]:
            resistance, level = COOLERS[row["title"]]
            fan = 0.07 / (40 / 180 - 0.10 - resistance)
            self.assertAlmostEqual(row["noise_dBA"]["p50"], 20 + level + 50 * math.log10(fan / 0.4),
                                   delta=0.8)

    def test_the_sentence_comes_first(self):
        run = call("compare", self.table)
        self.assertEqual(run.returncode, 0, run.stderr)
        opening = " ".join(run.stdout.split("\n\n")[0].split())
        self.assertRegex(opening, r"^At 180 W and the fastest fans measured, Invented \d+ is the "
                                  r"coolest of 4 coolers: \d+\.\d+ K \(.* to .* K, 5-95 %\); not "
                                  r"told apart from it: Invented \d+\.$")
        self.assertIn("no --load given: taking 180 W", run.stderr)
        for head in ("At 180 W", "At equal noise", "Ties between neighbours", "Prices", "Notes",
                     "How the file was read"):
            self.assertIn("\n" + head, run.stdout)
        self.assertLessEqual(max(map(len, run.stdout.splitlines())), 100)
        self.assertNotIn("nan", run.stdout)

    def test_predicted_coolers_stand_beside_measured_ones(self):
        answer = self.compare(self.table, DENSE, "--load", "180", "--bench", "thick-lid")
        predicted = [row for row in answer["ranking"] if row["predicted"]]
        self.assertEqual(len(predicted), 1)
        self.assertEqual(len(answer["ranking"]), 5)
        self.assertIn("predicted", call("compare", self.table, DENSE, "--load", "180", "--bench",
                                        "thick-lid").stdout)
        alone = self.compare(DENSE, "--load", "180")
        self.assertEqual(len(alone["ranking"]), 1)
        run = call("compare", DENSE)
        self.assertEqual(run.returncode, 2)
        self.assertIn("--load is required", run.stderr)

    def test_titles_stay_text(self):
        nasty = "Bad $(touch x) `touch y` _^ <script>'s"
        table = self.file("nasty.csv", simulated.table({nasty: (0, 0), "Invented 2": (0.03, 1)}))
        picture = self.folder / "ranking.svg"
        run = call("compare", table, "--load", "180", "--under-test", nasty, "--picture",
                   str(picture), "--noise-picture", str(self.folder / "noise.png"))
        self.assertEqual(run.returncode, 0, run.stderr)
        self.assertIn(nasty, " ".join(run.stdout.split()))
        self.assertNotIn("<script>", picture.read_text())
        self.assertTrue((self.folder / "noise.png").exists())
        self.assertEqual(sorted(p.name for p in self.folder.iterdir()),
                         ["coolers.csv", "nasty.csv", "noise.png", "ranking.svg"])

    def test_csv_agrees_with_json(self):
        rows = list(csv.DictReader(io.StringIO(
            call("compare", self.table, "--load", "180", "--csv").stdout)))
        answer = self.compare(self.table, "--load", "180")["ranking"]
        self.assertEqual([row["cooler"] for row in rows], [row["title"] for row in answer])
        for row, one in zip(rows, answer):
            self.assertEqual(float(row["rise_K"]), one["rise_K"]["p50"])
            self.assertEqual(row["price"], one["price"])

    def test_rows_left_out_are_told(self):
        text = simulated.table(COOLERS) + "Invented 360,n/a,100,20,,,1,\n"
        table = self.file("gaps.csv", text)
        left = self.compare(table, "--load", "180")["left_out"]
        self.assertTrue(any(one["what"] == "rows" and "no load" in one["reason"] for one in left))

    def test_the_same_call_gives_the_same_answer(self):
        self.assertEqual(self.compare(self.table), self.compare(self.table))

    def test_help(self):
        run = call("compare", "--help")
        self.assertEqual(run.returncode, 0)
        self.assertGreaterEqual(run.stdout.count("  libloop compare "), 3)
        self.assertLessEqual(max(map(len, run.stdout.splitlines())), 100)


class Failures(Folder):
    def test_wrong_calls(self):
        for part, *words in [
            ("excludes", "--at-noise", "30", "--at-rise", "40"),
            ("excludes", "--at-noise", "30", "--fan", "60 %"),
            ("--fan 60: per cent or rpm?", "--fan", "60"),
            ("--at-noise loud", "--at-noise", "loud"),
            ("--at-rise 0: out of bounds", "--at-rise", "0"),
            ("--load -5: out of bounds", "--load=-5"),
            ("Did you mean 'Invented 280'?", "--under-test", "Invented 281"),
            ("no cooler has this title", "--reference", "Something else"),
            ("no cooler has this title", "--pin", "Something else"),
            ("--best -1: out of bounds", "--best=-1"),
            ("--best 0: out of bounds", "--best", "0"),
            ("Let its name end in .svg or .png", "--noise-picture", "a.pdf"),
            ("excludes", "--json", "--csv"),
            ("Did you mean '--at-noise'?", "--at-noize", "30"),
        ]:
            with self.subTest(words):
                run = call("compare", self.table, *words)
                self.assertEqual((run.returncode, run.stdout), (2, ""), run.stderr)
                self.assertIn(part, run.stderr)

    def test_bad_input(self):
        for part, *words in [("there is no such file", "nowhere.csv"),
                             ("there is no such file", self.table, "nowhere.toml"),
                             ("no column for the load",
                              self.file("bad.csv", "cooler,laod,rise\nA,100,40\n"))]:
            run = call("compare", *words)
            self.assertEqual((run.returncode, run.stdout), (3, ""), run.stderr)
            self.assertIn(part, run.stderr)

    def test_nothing_near_the_load(self):
        answer = self.compare(self.table, "--load", "1000", code=4)
        self.assertEqual(answer["ranking"], [])
        self.assertEqual(len([o for o in answer["left_out"] if o["what"] == "coolers"]), 4)


if __name__ == "__main__":
    unittest.main()
