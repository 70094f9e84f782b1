"""Where a running log settles, as scripts and people meet it. All data are invented.

python3 tests/cli/forecast.py runs all, with a name one.
"""

import csv
import io
import json
import os
import pathlib
import subprocess
import tempfile
import threading
import time
import unittest

import simulated
from program import DENSE, PROGRAM, ROOT, call


class Folder(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = pathlib.Path(folder.name)

    def log(self, seconds, steps=((180, 0.6),), name="running.csv"):
        path = self.folder / name
        path.write_text(simulated.log(list(steps), seconds=seconds))
        return str(path)

    def forecast(self, *words):
        run = call("forecast", *words, "--json")
        self.assertEqual(run.returncode, 0, run.stderr)
        return json.loads(run.stdout)


class Answers(Folder):
    def test_a_settled_log_says_stop_and_holds_the_truth(self):
        answer = self.forecast(self.log(900))
        self.assertEqual(answer["verdict"], "stop")
        self.assertEqual(answer["wait_s"], 0)
        settled = answer["settled_rise_K"]
        true = simulated.rise(180, 0.6)
        self.assertLess(settled["p05"] - 0.3, true)
        self.assertGreater(settled["p95"] + 0.3, true)
        self.assertIs(answer["physical"], False)

    def test_a_young_log_does_not(self):
        young = self.forecast(self.log(8))
        self.assertEqual(young["verdict"], "cannot_tell")
        for key in ("time_constant_s", "noise_K", "allowance_K", "correlation_time_s"):
            self.assertIsNone(young[key], key)
        answer = self.forecast(self.log(60))
        self.assertNotEqual(answer["verdict"], "stop")
        self.assertTrue(answer["why"])

    def test_one_line_first(self):
        run = call("forecast", self.log(900))
        self.assertEqual(run.returncode, 0, run.stderr)
        self.assertRegex(run.stdout, r"^Stop: settles at \d+\.\d+ K \(\d+\.\d+ to \d+\.\d+ K\)\.")
        self.assertLessEqual(max(map(len, run.stdout.splitlines())), 100)

    def test_the_last_step_counts_unless_another_is_named(self):
        path = self.log(600, steps=((90, 1.0), (180, 0.6)))
        last, first = self.forecast(path), self.forecast(path, "--step", "1")
        self.assertEqual((last["step"], last["steps"]), (2, 2))
        self.assertEqual(first["step"], 1)
        self.assertAlmostEqual(first["settled_rise_K"]["p50"], simulated.rise(90, 1.0), delta=0.5)
        self.assertAlmostEqual(last["settled_rise_K"]["p50"], simulated.rise(180, 0.6), delta=0.7)
        run = call("forecast", path, "--step", "3")
        self.assertEqual(run.returncode, 2)
        self.assertIn("--step 3: the log has 2", run.stderr)

    def test_physics(self):
        answer = self.forecast(self.log(400), "--cooler", DENSE, "--bench", "one-large-die",
                               "--fan", "60 %")
        self.assertIs(answer["physical"], True)
        text = call("forecast", self.log(400), "--cooler", DENSE, "--bench", "one-large-die",
                    "--fan", "60 %").stdout
        self.assertIn("warm-ups of ", text)
        self.assertIn("60 % (as given)", text)

    def test_csv(self):
        run = call("forecast", self.log(900), "--csv")
        rows = list(csv.DictReader(io.StringIO(run.stdout)))
        self.assertEqual(len(rows), 1)
        self.assertEqual(rows[0]["verdict"], "stop")

    def test_a_picture(self):
        picture = self.folder / "running.png"
        run = call("forecast", self.log(300), "--picture", str(picture))
        self.assertEqual(run.returncode, 0, run.stderr)
        self.assertEqual(picture.read_bytes()[:4], b"\x89PNG")

    def test_help(self):
        run = call("forecast", "--help")
        self.assertEqual(run.returncode, 0)
        self.assertGreaterEqual(run.stdout.count("  libloop forecast "), 3)
        self.assertLessEqual(max(map(len, run.stdout.splitlines())), 100)


class Cautions(Folder):
    def bench(self, limit):
        path = self.folder / "bench.toml"
        whole = pathlib.Path(ROOT / "examples/bench-invented.toml").read_text()
        path.write_text(whole.replace('limit = "96 C"', limit))
        return str(path)

    def test_a_reading_near_the_limit_or_going_above(self):
        path = self.log(900)
        settled = simulated.AMBIENT + simulated.rise(180, 0.6)
        for limit, words in [(settled + 3, "the chip reads"), (settled - 2, "would settle at")]:
            run = call("forecast", path, "--limit", f"{limit:.1f} C")
            self.assertEqual(run.returncode, 0, run.stderr)
            lines = run.stdout.splitlines()
            self.assertTrue(lines[0].startswith("Stop: "))
            self.assertTrue(any(line.startswith("CAUTION  ") for line in lines[1:4]), run.stdout)
            self.assertIn(words, run.stdout)
            self.assertIn(words, self.forecast(path, "--limit", f"{limit:.1f}")["notes"][-1])
        self.assertNotIn("CAUTION", call("forecast", path, "--limit", "95 C").stdout)
        follow = call("forecast", path, "--until-settled", "--limit", f"{settled:.1f}",
                      "--time-limit", "5 s")
        self.assertEqual(follow.returncode, 0)
        self.assertIn("\nCAUTION  ", follow.stdout)

    def test_the_limit_of_the_bench_file(self):
        path = self.log(300)
        near = f'limit = "{simulated.AMBIENT + simulated.rise(180, 0.6) + 2:.1f} C"'
        words = ("forecast", path, "--cooler", DENSE, "--fan", "60 %", "--bench")
        self.assertIn("CAUTION", call(*words, self.bench(near)).stdout)
        self.assertNotIn("CAUTION", call(*words, self.bench(near), "--limit", "95 C").stdout)
        bare = call(*words, self.bench(""))
        self.assertNotIn("CAUTION", bare.stdout)
        self.assertIn("no limit of the chip is watched", bare.stderr)

    def test_a_throttled_step_is_no_plain_stop(self):
        lines = self.log(900)
        rows = pathlib.Path(lines).read_text().splitlines()
        for at in range(500, len(rows)):
            cells = rows[at].split(",")
            cells[1], cells[3] = rows[499].split(",")[1], f"{float(cells[3]) * 0.85:.1f}"
            rows[at] = ",".join(cells)
        pathlib.Path(lines).write_text("\n".join(rows) + "\n")
        run = call("forecast", lines)
        self.assertEqual(run.returncode, 0, run.stderr)
        self.assertIn("CAUTION  The power fell", run.stdout)
        self.assertIn("lower bound", self.forecast(lines)["notes"][0] + run.stdout)

    def test_a_log_unlike_the_cooler_is_told(self):
        words = ("--cooler", DENSE, "--bench", "one-large-die", "--fan", "60 %")
        like = self.log(300, name="like.csv")
        self.assertNotIn("does not look like", " ".join(self.forecast(like, *words)["notes"]))
        path = self.log(300, steps=((180, 0.6),))
        rows = pathlib.Path(path).read_text().splitlines()
        for at in range(1, len(rows)):
            cells = rows[at].split(",")
            warm = float(cells[1]) - simulated.AMBIENT
            # As much as 180 W would make it, and more, under a load that is told as 60 W.
            cells[1] = f"{simulated.AMBIENT + (3 * warm if at > 3 else 0):.1f}"
            cells[3] = "60.0"
            rows[at] = ",".join(cells)
        pathlib.Path(path).write_text("\n".join(rows) + "\n")
        notes = " ".join(self.forecast(path, *words)["notes"])
        self.assertIn("does not look like this cooler on this bench", notes)


class Following(Folder):
    def grow(self, whole, path, start, rows_each=20, pause=0.08):
        """Appends the rest of a log, as a logger does, cutting lines where it likes."""
        def write():
            at = start
            while at < len(whole):
                with open(path, "a", encoding="utf-8") as file:
                    file.write(whole[at:at + 23 * rows_each])
                at += 23 * rows_each
                time.sleep(pause)
        thread = threading.Thread(target=write)
        thread.start()
        self.addCleanup(thread.join)

    def test_until_settled_ends_with_0_when_it_stops(self):
        whole = simulated.log([(180, 0.6)], seconds=900)
        path = self.folder / "running.csv"
        path.write_text(whole[:2000])
        self.grow(whole, path, 2000)
        run = call("forecast", str(path), "--until-settled", "--time-limit", "60 s", "--poll",
                   "0.1 s", "--bell")
        self.assertEqual(run.returncode, 0, run.stderr)
        lines = run.stdout.splitlines()
        self.assertIn("Stop: settles at", lines[-1])
        self.assertGreater(len(lines), 1)
        self.assertTrue(all("Stop" not in line for line in lines[:-1]))
        self.assertIn("\a", run.stderr)

    def test_until_settled_ends_with_4_when_time_is_over(self):
        began = time.monotonic()
        run = call("forecast", self.log(40), "--until-settled", "--time-limit", "1 s", "--poll",
                   "0.2 s")
        self.assertEqual(run.returncode, 4, run.stderr)
        self.assertIn("not settled within", run.stderr)
        self.assertLess(time.monotonic() - began, 30)

    def test_follow_tells_each_look_in_data(self):
        whole = simulated.log([(180, 0.6)], seconds=300)
        path = self.folder / "running.csv"
        path.write_text(whole[:2000])
        self.grow(whole, path, 2000)
        run = call("forecast", str(path), "--follow", "--time-limit", "3 s", "--poll", "0.1 s",
                   "--json")
        self.assertEqual(run.returncode, 0, run.stderr)
        answers = [json.loads(line) for line in run.stdout.splitlines()]
        self.assertGreater(len(answers), 2)
        elapsed = [answer["elapsed_s"] for answer in answers]
        self.assertEqual(elapsed, sorted(elapsed))
        self.assertEqual(elapsed[-1], 299)
        run = call("forecast", str(path), "--follow", "--time-limit", "0.3 s", "--csv")
        self.assertEqual(len(run.stdout.splitlines()), 2)

    def test_a_limit_is_told_when_it_is_assumed(self):
        run = call("forecast", self.log(900), "--until-settled")
        self.assertEqual(run.returncode, 0, run.stderr)
        self.assertIn("no --time-limit given", run.stderr)

    def test_a_log_that_is_not_there_yet_is_waited_for(self):
        path = self.folder / "running.csv"
        timer = threading.Timer(1.0, lambda: self.log(900))
        timer.start()
        self.addCleanup(timer.join)
        run = call("forecast", str(path), "--until-settled", "--time-limit", "30 s", "--poll",
                   "0.1 s")
        self.assertEqual(run.returncode, 0, run.stderr)
        self.assertIn("is not there yet: waiting for it", run.stderr)
        run = call("forecast", str(self.folder / "never.csv"), "--until-settled", "--time-limit",
                   "0.3 s")
        self.assertEqual(run.returncode, 4, run.stderr)
        self.assertIn("there is no such log", run.stderr)

    def test_interrupted(self):
        process = subprocess.Popen([PROGRAM, "forecast", self.log(60), "--follow"],
                                   stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=os.environ)
        process.stdout.readline()
        process.send_signal(2)
        process.communicate(timeout=20)
        self.assertEqual(process.returncode, 130)


class Failures(Folder):
    def test_wrong_calls(self):
        path = self.log(60)
        for part, *words in [
            ("--time-limit requires", "--time-limit", "5 s"),
            ("--poll requires", "--poll", "5 s"),
            ("--bell requires", "--bell"),
            ("--bench requires --cooler", "--bench", "thick-lid"),
            ("--load requires --cooler", "--load", "180"),
            ("--step excludes --follow", "--step", "1", "--follow"),
            ("--step 0: steps count from 1", "--step", "0"),
            ("--limit hot", "--limit", "hot"),
            ("--within 0: out of bounds", "--within", "0"),
            ("--ambient", "--ambient", "warm"),
            ("--fan 60: per cent or rpm?", "--cooler", DENSE, "--fan", "60"),
            ("one is meant", "--cooler", DENSE, "--load", "60,90"),
            ("Did you mean 'thick-lid'?", "--cooler", DENSE, "--bench", "thik-lid"),
            ("excludes", "--json", "--csv"),
            ("Did you mean '--follow'?", "--folow"),
        ]:
            with self.subTest(words):
                run = call("forecast", path, *words)
                self.assertEqual((run.returncode, run.stdout), (2, ""), run.stderr)
                self.assertIn(part, run.stderr)

    def test_bad_input(self):
        bare = self.folder / "bare.csv"
        bare.write_text("time [s],chip [C]\n" + "".join(f"{t},40.0\n" for t in range(60)))
        for part, *words in [("there is no such file", "nowhere.csv"),
                             ("there is no such file", "nowhere.csv", "--follow",
                              "--time-limit", "0.2 s"),
                             ("no ambient temperature", str(bare))]:
            run = call("forecast", *words)
            self.assertEqual((run.returncode, run.stdout), (3, ""), run.stderr)
            self.assertIn(part, run.stderr)
        self.assertEqual(call("forecast", str(bare), "--ambient", "22").returncode, 0)


if __name__ == "__main__":
    unittest.main()
