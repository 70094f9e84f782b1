"""Every code block of the documentation does what the page says.

    code_blocks.py [PAGE...]   checks README.md, DEVELOPERS.md and docs/**/*.md, or some pages
    code_blocks.py --update    rewrites the expected output in place, shortened where it was

The word behind the fence says what a block is:

    console        lines that start with "$ " are commands; what follows is the output of both
                   streams, where a line "..." stands for any lines. A command that ends with
                   a backslash goes on in the next line. One page has one folder, with a copy
                   of examples/ in it, so blocks may build on each other. Commands that build,
                   install or test are only parsed, and show no output.
    toml           a whole cooler or bench: passes `libloop check`
    toml fragment  a piece of one: parses
    cpp            a whole program: compiles, links, runs
    cpp fragment   not compiled
    text output    what the program in the block before prints
    json           parses
    text           not checked
"""

import difflib
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import tomllib

ROOT = pathlib.Path(__file__).resolve().parents[2]
LIBLOOP = os.environ.get("LIBLOOP", str(ROOT / "build/release/bin/libloop"))
LIBRARY = os.environ.get("LIBLOOP_LIBRARY", str(ROOT / "build/release/libloop/libloop.a"))
CXX = os.environ.get("CXX", "g++")
ONLY_PARSED = {"apt-get", "sudo", "cmake", "ctest", "git", "cd", "python3", "clang-format"}
ONLY_PARSED_UNDER = ("examples/run", "tests/", "build/")
ANY_LINES = "..."


class Mismatch(Exception):
    pass


class Block:
    def __init__(self, page, line, info, lines):
        self.page, self.line, self.info, self.lines = page, line, info, lines

    @property
    def text(self):
        return "\n".join(self.lines) + "\n"


def blocks_of(page):
    """The fenced blocks of a page; `line` is the index of a block's first line."""
    blocks, opened = [], None
    for number, line in enumerate(page.read_text().splitlines()):
        fence = re.match(r"```(.*)$", line)
        if fence is None:
            if re.match(r"\s+```", line):
                raise SystemExit(f"{page}:{number + 1}: an indented fence is not checked")
            if opened:
                opened.lines.append(line)
        elif opened:
            blocks.append(opened)
            opened = None
        else:
            opened = Block(page, number + 1, fence.group(1).strip(), [])
    if opened:
        raise SystemExit(f"{page}:{opened.line}: a block without an end")
    return blocks


# ---- console

def commands_of(block):
    """Pairs of a command and the lines it should print."""
    commands = []
    lines = iter(block.lines)
    for line in lines:
        if line.startswith("$ "):
            command = [line[2:]]
            while command[-1].endswith("\\"):
                command.append(next(lines, ""))
            commands.append(("\n".join(command), []))
        elif commands:
            commands[-1][1].append(line)
        else:
            raise Mismatch("a console block starts with '$ '")
    return commands


def only_parsed(command):
    word = command.split()[0]
    return word in ONLY_PARSED or word.startswith(ONLY_PARSED_UNDER)


def tidy(lines):
    """Without blanks at the ends of lines and empty lines at the end."""
    lines = [line.rstrip() for line in lines]
    while lines and not lines[-1]:
        lines.pop()
    return lines


def pieces_of(expected):
    """The runs of lines between the lines that stand for any."""
    pieces = [[]]
    for line in expected:
        if line == ANY_LINES:
            pieces.append([])
        else:
            pieces[-1].append(line)
    return pieces


def matches(expected, got):
    pieces = pieces_of(expected)
    if len(pieces) == 1:
        return expected == got
    first, *middle, last = pieces
    if got[:len(first)] != first:
        return False
    at, end = len(first), len(got) - len(last)
    if end < at or got[end:] != last:
        return False
    for piece in middle:
        while at + len(piece) <= end and got[at:at + len(piece)] != piece:
            at += 1
        at += len(piece)
        if at > end:
            return False
    return True


def likeness(piece, window):
    def plain(lines):
        return re.sub(r"[\d.]+", "#", re.sub(r" +", " ", "\n".join(lines)))
    return difflib.SequenceMatcher(None, plain(piece), plain(window), autojunk=False).ratio()


def renewed(expected, got):
    """The output, shortened in the same places as before."""
    first, *others = pieces_of(expected)
    if not others:
        return got
    lines, at = got[:len(first)], len(first)
    for piece in others[:-1]:
        starts = range(at, max(at, len(got) - len(piece)) + 1)
        best = max(starts, key=lambda i: likeness(piece, got[i:i + len(piece)]))
        lines += [ANY_LINES] + got[best:best + len(piece)]
        at = best + len(piece)
    last = others[-1]
    return lines + [ANY_LINES] + (got[len(got) - len(last):] if last else [])


class Shell:
    """Runs the commands of one page, in a folder of its own."""

    def __init__(self, folder):
        self.folder = folder
        self.status = 0
        self.env = {"PATH": f"{folder}/.bin:{os.environ['PATH']}", "HOME": str(folder),
                    "LC_ALL": "C.UTF-8", "NO_COLOR": "1"}
        (folder / ".bin").mkdir()
        (folder / ".bin/libloop").symlink_to(pathlib.Path(LIBLOOP).resolve())
        shutil.copytree(ROOT / "examples", folder / "examples")

    def parse(self, command):
        run = subprocess.run(["bash", "-n", "-c", command], capture_output=True, text=True)
        if run.returncode != 0:
            raise Mismatch(f"$ {command}\n{run.stderr}")

    def output(self, command):
        # `$?` at the start of a command is what the command before it left.
        run = subprocess.run(["bash", "-c", f"(exit {self.status})\n{command}"], cwd=self.folder,
                             env=self.env, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
                             stdin=subprocess.DEVNULL, text=True, timeout=120)
        self.status = run.returncode
        if run.stdout.startswith("bash: "):
            raise Mismatch(f"$ {command}\n{run.stdout}")
        return tidy(run.stdout.splitlines())


def console(block, shell, update):
    fresh, faults = [], []
    for command, expected in commands_of(block):
        fresh += ("$ " + command).split("\n")
        expected = [line.rstrip() for line in expected]
        gap = expected[len(tidy(expected)):]  # empty lines before the next command
        expected = tidy(expected)
        if only_parsed(command):
            shell.parse(command)
            if expected:
                raise Mismatch(f"$ {command}\nis not run, so its output cannot be checked")
            fresh += gap
            continue
        got = shell.output(command)
        if matches(expected, got):
            fresh += expected + gap
            continue
        better = renewed(expected, got)
        fresh += better + gap
        faults.append("\n".join(["$ " + command, *difflib.unified_diff(
            expected, better, "page", "command", lineterm="", n=2)]))
    if faults and update:
        rewrite(block, fresh)
    elif faults:
        raise Mismatch(faults[0])


def rewrite(block, fresh):
    """Puts other lines into a block of a page; blocks further down are found by their text."""
    old = "\n".join(["```" + block.info, *block.lines, "```"])
    new = "\n".join(["```" + block.info, *fresh, "```"])
    block.page.write_text(block.page.read_text().replace(old, new, 1))
    print(f"{os.path.relpath(block.page, ROOT)}:{block.line}: renewed")


# ---- the others

def toml(block, shell):
    tomllib.loads(block.text)
    if block.info == "toml fragment":
        return
    if not re.search(r"^\[+(radiator|bench)\]+", block.text, re.MULTILINE):
        raise Mismatch("neither a cooler nor a bench: say 'toml fragment'")
    file = shell.folder / ".block.toml"
    file.write_text(block.text)
    run = subprocess.run([LIBLOOP, "check", file], capture_output=True, text=True)
    if run.returncode != 0:
        raise Mismatch(run.stderr)


def cpp(block, shell):
    """What the program prints."""
    if not re.search(r"\bint main\(", block.text):
        raise Mismatch("no main: say 'cpp fragment'")
    source, program = shell.folder / ".block.cpp", shell.folder / ".block"
    source.write_text(block.text)
    build = subprocess.run([CXX, "-std=c++20", "-Wall", "-Wextra", f"-I{ROOT}/include", source,
                            LIBRARY, "-lfmt", "-lcsv", "-o", program], capture_output=True, text=True)
    if build.returncode != 0 or build.stderr:
        raise Mismatch(build.stderr)
    run = subprocess.run([program], cwd=shell.folder, capture_output=True, text=True, timeout=120)
    if run.returncode != 0:
        raise Mismatch(f"the program ends with {run.returncode}\n{run.stderr}")
    return run.stdout


def program_output(block, printed, update):
    if printed is None:
        raise Mismatch("no program stands before it")
    expected, got = tidy(block.lines), tidy(printed.splitlines())
    if expected != got and update:
        rewrite(block, got)
    elif expected != got:
        raise Mismatch("\n".join(difflib.unified_diff(expected, got, "page", "program",
                                                      lineterm="")))


def check(block, shell, update, printed):
    """Checks one block; returns what it printed when it is a program."""
    if block.info == "console":
        console(block, shell, update)
    elif block.info in ("toml", "toml fragment"):
        toml(block, shell)
    elif block.info == "cpp":
        return cpp(block, shell)
    elif block.info == "text output":
        program_output(block, printed, update)
    elif block.info == "json":
        json.loads(block.text)
    elif block.info not in ("cpp fragment", "text"):
        raise Mismatch(f"'{block.info}' says not what this block is (see the head of {__file__})")
    return None


def pages():
    named = [pathlib.Path(word).resolve() for word in sys.argv[1:] if not word.startswith("-")]
    return named or [page for page in [ROOT / "README.md", ROOT / "DEVELOPERS.md",
                                       *sorted((ROOT / "docs").rglob("*.md"))] if page.exists()]


def main():
    for needed in (LIBLOOP, LIBRARY):
        if not pathlib.Path(needed).exists():
            raise SystemExit(f"{needed} is not there: build first, or set LIBLOOP and "
                             "LIBLOOP_LIBRARY")
    update = "--update" in sys.argv
    checked, faults = 0, 0
    for page in pages():
        printed = None
        with tempfile.TemporaryDirectory() as folder:
            shell = Shell(pathlib.Path(folder))
            for block in blocks_of(page):
                checked += 1
                try:
                    printed = check(block, shell, update, printed)
                except (Mismatch, ValueError, subprocess.TimeoutExpired) as fault:
                    faults += 1
                    print(f"{os.path.relpath(page, ROOT)}:{block.line}: {block.info}\n{fault}\n")
    print(f"{checked} code blocks of {len(pages())} pages, {faults} at fault")
    return 1 if faults or checked == 0 else 0


if __name__ == "__main__":
    sys.exit(main())
