"""Shows that no number and no shape hangs on a text: writes every text of report/ otherwise in a copy of the tree, builds the
program from it and compares what both write.

    PULLMAP_BIN=target/release/pullmap python3 tests/texts.py

In the copy (target/texts) each vowel of a text of report/ wears two dots: as wide as without, so that what is placed by the width
of words stays where it is. Of all files that both programs write, the numbers and the keys of the JSON, the numbers of the CSV and
the shapes of the pictures must be equal, and every text the same but for the dots. Texts that wear none, though they have vowels,
are counted: names of models and keys, and whatever English stands elsewhere.

Exit code 0 when all of that holds, 1 when something moved, 2 when the copy cannot be built or run.
"""

from __future__ import annotations

import csv
import json
import os
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as xml
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from copied_tree import PROJECT, Copy, Stopped, version

COPY = Copy("texts")
DOTS = str.maketrans("aeiouAEIOU", "äëïöüÄËÏÖÜ")
NO_DOTS = str.maketrans("äëïöüÄËÏÖÜ", "aeiouAEIOU")

# A string of Rust, a comment, a raw string, a character, an attribute: whichever begins first.
TOKEN = re.compile(
    r"""(?P<comment>//[^\n]*|/\*.*?\*/)|(?P<attribute>\#!?\[(?:[^\[\]"]|"(?:[^"\\]|\\.)*"|\[[^\]]*\])*\])"""
    r"""|(?P<raw>r(\#*)".*?"\4)|(?P<char>'(?:[^'\\]|\\.[^']*)')|"(?P<text>(?:[^"\\]|\\.)*)\"""",
    re.DOTALL,
)
# What is a path, a key or a format and no text.
NAME = re.compile(r"^[a-z0-9*]*([._-][a-z0-9*]*)+$")
# What stands within a text and is none: a place for a value, an escape.
FIXED = re.compile(r"\{\{|\}\}|\{[^{}]*\}|\\u\{[^}]*\}|\\.", re.DOTALL)

COMMANDS = [
    ["map"], ["map", "--set", "rig.gate=open"], ["map", "--set", "rig.load_kn=60"],
    ["forecast"], ["forecast", "--set", "rig.gate=half"], ["seats"],
    ["compare", "--vary", "nose.notch_depth_mm=4.5,5"], ["compare", "--vary", "rig.load_kn=10,60"],
    ["map", "--sensitivity"], ["explain", "--broke-at", "14"],
    ["sweep", "--vary", "rig.both.offset_mm=-2..2:3", "--vary", "nose.lip_breadth_mm=4,5"],
    ["sketch"], ["still", "--kind", "forecast"], ["pull", "--mesh-size", "5", "--steps", "20", "--until", "6"],
]
MODELS = ["broadbar-alu", "oval"]
# Commands that take no model.
OF_NO_MODEL = [
    ["trace", str(PROJECT / "bench/traces/sb-02.csv")], ["trace", str(PROJECT / "bench/traces/sb-08.csv")],
    ["lot", "--values", "22.4,21.9,23.1,20.8+,22.6", "--marking", "20", "--claim", "18"],
]
WHOLE = os.environ.get("PULLMAP_WHOLE", "0") == "1"


def dotted(text: str) -> str:
    """A text with dots on its vowels, its places for values as they are."""
    parts, last = [], 0
    for fixed in FIXED.finditer(text):
        parts += [text[last : fixed.start()].translate(DOTS), fixed.group()]
        last = fixed.end()
    return "".join(parts) + text[last:].translate(DOTS)


def rewritten(source: str) -> str:
    """A file of report/ with all its texts dotted; its tests, its attributes and what it matches on are left alone."""
    tests = source.find("#[cfg(test)]\nmod tests")
    head, tail = (source, "") if tests < 0 else (source[:tests], source[tests:])

    def change(token: re.Match[str]) -> str:
        text = token.group("text")
        matched_on = re.match(r"\s*(=>|\||if\b)", head[token.end() :])
        if text is None or NAME.match(text) or matched_on:
            return token.group()
        return f'"{dotted(text)}"'

    return TOKEN.sub(change, head) + tail


def changed(name: str, text: str) -> str:
    """A file of the copy."""
    if name.startswith(("report/src/", "explorer/src/")):
        # The version is written into pictures and files. These two packages have another one in the copy; the others stay as they are.
        text = text.replace('env!("CARGO_PKG_VERSION")', f'"{version()}"')
    if name.startswith("report/src/") and not name.endswith("/tests.rs"):
        return rewritten(text)
    return text.replace('name = "pullmap"\npath', 'name = "pullmap-texts"\npath') if name == "explorer/Cargo.toml" else text


def build() -> Path:
    """Writes and compiles the copy. Its program has another name: it stands beside the project's own."""
    COPY.write(changed)
    # Of the whole workspace, with an example that needs what tests need: so libraries have the features of the project's own build, and
    # only what says something is compiled again, with what uses it.
    COPY.cargo("build", "--release", "--locked", "--workspace", "--bin", "pullmap-texts", "--example", "limit_loads")
    return PROJECT / "target" / "release" / "pullmap-texts"


def plain(text: str) -> str:
    """A text without dots, and without what a picture calls its parts by: that hangs on the whole picture."""
    text = re.sub(r"\bp[0-9a-f]{8}(?=[td0-9])", "p", text)
    return text.translate(NO_DOTS)


def leaves(value: object, at: str = "") -> Iterator[tuple[str, object]]:
    """All values of a JSON document with their places; the keys of objects are part of the places."""
    if isinstance(value, dict):
        yield at, sorted(value)
        for key, inner in value.items():
            yield from leaves(inner, f"{at}/{key}")
    elif isinstance(value, list):
        yield at, len(value)
        for i, inner in enumerate(value):
            yield from leaves(inner, f"{at}/{i}")
    else:
        yield at, value


def of_picture(text: str) -> Iterator[tuple[str, object]]:
    """The shapes of a picture and its words, in order. The outlines of letters are those of the words."""
    for i, element in enumerate(xml.fromstring(text).iter()):
        tag = element.tag.rpartition("}")[2]
        words = element.get("data-words")
        attributes = dict(element.attrib)
        if words is not None:
            del attributes["d"]
        yield f"{i} <{tag}>", words if words is not None else (element.text or "").strip()
        for key, value in sorted(attributes.items()):
            yield f"{i} <{tag} {key}>", value


def of_table(text: str) -> Iterator[tuple[str, object]]:
    for i, row in enumerate(csv.reader(text.splitlines())):
        for j, cell in enumerate(row):
            yield f"row {i}, column {j}", cell


READERS = {".json": lambda text: leaves(json.loads(text)), ".svg": of_picture, ".csv": of_table}


def written(binary: Path, command: list[str], model: str) -> dict[str, list[tuple[str, object]]]:
    """What a command writes, by the name of the file."""
    with tempfile.TemporaryDirectory() as folder:
        words = [command[0], *([model] if model else []), *command[1:], "--out", "out"]
        done = subprocess.run([binary, *words], cwd=folder, capture_output=True, text=True)
        if done.returncode != 0:
            raise Stopped(f"{' '.join(words)} ended with {done.returncode}:\n{done.stderr[-2000:]}")
        files = sorted(p for p in Path(folder).rglob("*") if p.suffix in READERS)
        if not files:
            raise Stopped(f"{' '.join(words)} wrote nothing that can be compared")
        return {str(p.relative_to(folder)): list(READERS[p.suffix](p.read_text())) for p in files}


def run() -> int:
    ours = Path(os.environ.get("PULLMAP_BIN", PROJECT / "target" / "release" / "pullmap")).resolve()
    theirs = build()
    moved, texts, bare = 0, 0, set()
    # All commands of all models in the whole run, else each command of one model, in turn.
    questions = [(m, c) for i, c in enumerate(COMMANDS) for j, m in enumerate(MODELS) if WHOLE or i % len(MODELS) == j]
    questions += [("", command) for command in OF_NO_MODEL]
    with ThreadPoolExecutor(os.cpu_count() or 1) as pool:
        # As many at a time as there are cores: much of what a command does keeps one of them busy.
        answers = pool.map(lambda q: [written(binary, q[1], q[0]) for binary in (ours, theirs)], questions)
        for (model, command), (a, b) in zip(questions, answers):
            name = " ".join([*command[:1], *([model] if model else []), *command[1:]])
            wrong = [] if a.keys() == b.keys() else [f"other files: {sorted(a)} and {sorted(b)}"]
            for file in a.keys() & b.keys():
                if len(a[file]) != len(b[file]):
                    wrong.append(f"{file}: {len(a[file])} and {len(b[file])} things")
                for (at, was), (other, now) in zip(a[file], b[file]):
                    same = plain(now) == plain(was) if isinstance(now, str) and isinstance(was, str) else now == was
                    if at != other or not same:
                        wrong.append(f"{file}: {at}: {was!r} and {now!r}")
                    elif isinstance(was, str) and re.search(r"[A-Za-z]{3} [a-z]{2}", was):
                        texts += now != was
                        if now == was:
                            bare.add(was)
            moved += len(wrong)
            print(f"{'MOVED' if wrong else 'equal'}  {name}")
            for one in wrong[:5]:
                print(f"       {one[:300]}")
    print(f"{texts} texts written otherwise, {len(bare)} sentences of elsewhere:")
    for one in sorted(bare):
        print(f"       {one[:160]}")
    return 1 if moved or texts == 0 else 0


if __name__ == "__main__":
    try:
        sys.exit(run())
    except Stopped as why:
        print(why)
        sys.exit(2)
