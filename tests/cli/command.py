"""The command as scripts and people meet it: help, files, wrong calls, exit codes, terminals.

python3 tests/cli/command.py runs all, with a name one; points.py beside it has predict and draw.
"""

import csv
import io
import json
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

from program import ROOT, PROGRAM, DENSE, NETWORKS, VERBS, call, predict


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
                         "Predicts liquid CPU coolers from their spec sheets, and reads what was measured.")

    def test_version(self):
        run = call("--version")
        self.assertEqual(run.returncode, 0)
        self.assertRegex(run.stdout, r"^libloop \d+\.\d+\.\d+\n$")


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
