"""Logs that become points, as scripts and people meet them. All data are invented.

python3 tests/cli/reduce.py runs all, with a name one.
"""

import csv
import io
import json
import math
import pathlib
import tempfile
import unittest

import simulated
from program import call, numbers

STEPS = [(90, 1.0), (180, 1.0), (180, 0.5)]


class Folder(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = pathlib.Path(folder.name)

    def file(self, name, text, encoding="utf-8"):
        path = self.folder / name
        path.write_bytes(text.encode(encoding))
        return str(path)

    def reduce(self, *words, code=0):
        run = call("reduce", *words, "--json")
        self.assertEqual(run.returncode, code, run.stderr)
        return json.loads(run.stdout)


class Answers(Folder):
    def test_the_limit_of_the_bench_file(self):
        path = self.file("monday.csv", simulated.log([(180, 0.6)]))
        hot = simulated.AMBIENT + simulated.rise(180, 0.6)
        at = self.file("at.toml", f'[chip]\nlimit = "{hot:.1f} C"\n')
        bare = self.file("bare.toml", "[chip]\n")
        self.assertIs(self.reduce(path, "--bench", at)["points"][0]["held"], False)
        self.assertIs(self.reduce(path, "--bench", at, "--limit", "95 C")["points"][0]["held"],
                      True)
        self.assertIs(self.reduce(path, "--bench", bare)["points"][0]["held"], True)
        told = "no limit of the chip is watched"
        self.assertIn(told, call("reduce", path, "--bench", bare).stderr)
        self.assertNotIn(told, call("reduce", path, "--bench", at).stderr)

    def test_points_hold_the_truth(self):
        path = self.file("monday.csv", simulated.log(STEPS))
        answer = self.reduce(path)
        points = answer["points"]
        self.assertEqual(len(points), 3)
        for point, (load, fan) in zip(points, STEPS):
            true = simulated.rise(load, fan)
            # The bench of the test reads without a fault of its own: only the point's doubt counts.
            self.assertLess(abs(point["rise_K"] - true), 4 * point["u_own_K"] + 0.1)
            self.assertLess(point["u_own_K"], 0.3)
            self.assertTrue(point["settled"])
            self.assertTrue(point["held"])
            self.assertAlmostEqual(point["load_W"], load, delta=0.01 * load)
            self.assertAlmostEqual(point["fan_speed_rpm"], 1500 * fan, delta=15)
            self.assertGreater(point["end_s"] - point["start_s"], 59)
            self.assertAlmostEqual(point["u_K"],
                                   math.sqrt(sum(b["u_K"] ** 2 for b in point["budget"])),
                                   delta=1e-9)
        self.assertTrue(all(math.isfinite(n) for n in numbers(answer)))
        self.assertEqual(answer["logs"][0]["rows_read"], 2700)

    def test_the_sentence_comes_first(self):
        path = self.file("monday.csv", simulated.log(STEPS))
        run = call("reduce", path)
        self.assertEqual(run.returncode, 0, run.stderr)
        opening = " ".join(run.stdout.split("\n\n")[0].split())
        self.assertRegex(opening, r"^3 steady points in monday\.csv: the hottest, at 180 W and "
                                  r"fans at 7[45]\d rpm, 43\.\d \+- \d\.\d K \(95 %\) over ambient")
        for head in ("Points", "What the doubt of each rise is made of", "How the file was read"):
            self.assertIn("\n" + head, run.stdout)
        self.assertLessEqual(max(map(len, run.stdout.splitlines())), 100)
        self.assertIn("no --bench given", run.stderr)
        self.assertNotIn("nan", run.stdout)

    def test_csv_is_a_table_that_compare_reads(self):
        path = self.file("monday.csv", simulated.log(STEPS))
        run = call("reduce", path, "--cooler-title", "Invented, \"slim\" 280", "--mount", "2",
                   "--csv")
        rows = list(csv.DictReader(io.StringIO(run.stdout)))
        points = self.reduce(path)["points"]
        self.assertEqual(len(rows), 3)
        for row, point in zip(rows, points):
            self.assertEqual(row["cooler"], "Invented, \"slim\" 280")
            self.assertEqual(row["mount"], "2")
            self.assertEqual(float(row["rise [K]"]), point["rise_K"])
            self.assertEqual(float(row["u [K]"]), point["u_own_K"])
        table = self.file("measured.csv", run.stdout)
        ranked = call("compare", table, "--load", "180", "--json")
        self.assertEqual(ranked.returncode, 0, ranked.stderr)
        best = json.loads(ranked.stdout)["ranking"][0]
        self.assertEqual(best["title"], "Invented, \"slim\" 280")
        self.assertAlmostEqual(best["rise_K"]["p50"], points[1]["rise_K"], delta=0.05)

    def test_ambient_by_option_and_by_a_second_log(self):
        lines = simulated.log(STEPS).splitlines()
        bare = "\n".join(",".join(cell for i, cell in enumerate(line.split(",")) if i != 2)
                         for line in lines)
        path = self.file("bare.csv", bare)
        run = call("reduce", path)
        self.assertEqual((run.returncode, run.stdout), (3, ""))
        self.assertIn("--ambient", run.stderr)
        by_option = self.reduce(path, "--ambient", "22 C")["points"]
        room = self.file("room.csv", "time [s],ambient [C]\n" +
                         "".join(f"{t},22.0\n" for t in range(0, 2701, 30)))
        by_log = self.reduce(path, "--ambient-log", room)["points"]
        for one, other in zip(by_option, by_log):
            self.assertAlmostEqual(one["rise_K"], other["rise_K"], delta=0.01)

    def test_noise_joins_by_fan_speed(self):
        path = self.file("monday.csv", simulated.log(STEPS))
        levels = self.file("levels.csv",
                           "fan [rpm],noise [dBA],background [dBA]\n750,29,18\n1500,41,18\n")
        answer = self.reduce(path, "--noise", levels)
        points = answer["points"]
        self.assertTrue(any("levels.csv: " in one["text"] for one in answer["decisions"]))
        self.assertAlmostEqual(points[2]["noise"]["level_dBA"], 29, delta=0.5)
        self.assertAlmostEqual(points[0]["noise"]["level_dBA"], 41, delta=0.5)

    def test_a_chip_at_its_limit_is_a_lower_bound(self):
        limit = 62.0
        lines = simulated.log([(90, 1.0), (260, 0.5)]).splitlines()
        out = [lines[0]]
        for line in lines[1:]:
            cells = line.split(",")
            if float(cells[1]) > limit:
                cells[1] = f"{limit:.1f}"
            out.append(",".join(cells))
        path = self.file("hot.csv", "\n".join(out) + "\n")
        run = call("reduce", path, "--limit", f"{limit} C")
        self.assertIn("\nCAUTION  Point 2", run.stdout)
        point = self.reduce(path, "--limit", f"{limit} C")["points"][1]
        self.assertIs(point["held"], False)

    def test_ugly_files_are_read_the_same(self):
        text = simulated.log(STEPS)
        plain = self.reduce(self.file("plain.csv", text))["points"]
        comma = text.replace(",", ";").replace(".", ",")
        for name, ugly, encoding in (("comma.csv", comma, "utf-8-sig"),
                                     ("wide.csv", comma.replace(";", "\t"), "utf-16"),
                                     ("crlf.csv", text.replace("\n", "\r\n"), "cp1252")):
            with self.subTest(name):
                points = self.reduce(self.file(name, ugly, encoding))["points"]
                self.assertEqual([p["rise_K"] for p in points], [p["rise_K"] for p in plain])

    def test_several_logs(self):
        first = self.file("monday.csv", simulated.log(STEPS[:1]))
        second = self.file("tuesday.csv", simulated.log(STEPS[1:], seed=7))
        answer = self.reduce(first, second)
        self.assertEqual([p["file"] for p in answer["points"]], [first, second, second])
        self.assertIn("Points of tuesday.csv", call("reduce", first, second).stdout)

    def test_a_picture(self):
        path = self.file("monday.csv", simulated.log(STEPS))
        picture = self.folder / "monday.svg"
        run = call("reduce", path, "--picture", str(picture), "--language", "de")
        self.assertEqual(run.returncode, 0, run.stderr)
        self.assertIn("<svg", picture.read_text())

    def test_the_same_call_gives_the_same_answer(self):
        path = self.file("monday.csv", simulated.log(STEPS))
        self.assertEqual(self.reduce(path), self.reduce(path))

    def test_help(self):
        run = call("reduce", "--help")
        self.assertEqual(run.returncode, 0)
        self.assertGreaterEqual(run.stdout.count("  libloop reduce "), 3)
        self.assertLessEqual(max(map(len, run.stdout.splitlines())), 100)


class Failures(Folder):
    def test_wrong_calls(self):
        path = self.file("monday.csv", simulated.log(STEPS[:1], seconds=120))
        for part, *words in [
            ("--limit hot", "--limit", "hot"),
            ("--limit 5000: out of bounds", "--limit", "5000"),
            ("--creep 0: out of bounds", "--creep", "0"),
            ("--creep", "--creep", "1 K"),
            ("--shortest 0: out of bounds", "--shortest", "0"),
            ("no coolant is called so", "--coolant", "beer"),
            ("--coolant", "--coolant", "90 % propylene glycol"),
            ("excludes", "--ambient", "22", "--ambient-log", path),
            ("--ambient-shift requires", "--ambient-shift", "5 s"),
            ("Did you mean 'comma'?", "--decimal", "coma"),
            ("Take comma, semicolon or tab", "--separator", "pipe"),
            ("Did you mean 'day-first'?", "--dates", "dayfirst"),
            ("Did you mean 'utf-8'?", "--encoding", "utf8"),
            ("Did you mean 'chip'?", "--column", "chop=A"),
            ("a channel, '=' and what it is", "--column", "chip"),
            ("chip is given twice", "--column", "chip=A", "--column", "chip=B"),
            ("Let its name end in .svg or .png", "--picture", "a.gif"),
            ("--language", "--language", "latin"),
            ("--picture takes one log", path, "--picture", "a.svg"),
            ("--mount 0: out of bounds", "--mount", "0"),
            ("excludes", "--json", "--csv"),
            ("Did you mean '--ambient'?", "--ambint", "22"),
        ]:
            with self.subTest(words):
                run = call("reduce", path, *words)
                self.assertEqual((run.returncode, run.stdout), (2, ""), run.stderr)
                self.assertIn(part, run.stderr)

    def test_bad_input(self):
        for words in (["nowhere.csv"], [self.file("empty.csv", "")],
                      [self.file("words.csv", "no,log\nat,all\n")]):
            run = call("reduce", *words)
            self.assertEqual((run.returncode, run.stdout), (3, ""), run.stderr)
            self.assertIn("error: ", run.stderr)

    def test_too_short_a_log_has_no_point(self):
        path = self.file("short.csv", simulated.log(STEPS[:1], seconds=40))
        answer = self.reduce(path, code=4)
        self.assertEqual(answer["points"], [])
        self.assertTrue(any(one["what"] == "steps" for one in answer["left_out"]))


if __name__ == "__main__":
    unittest.main()
