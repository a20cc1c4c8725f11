"""A copy of the tree with changes in it, kept in target/, and what cargo makes of it from the project's own build."""

from __future__ import annotations

import os
import re
import subprocess
from collections.abc import Callable
from pathlib import Path

PROJECT = Path(__file__).resolve().parent.parent

# The version of the project's own packages, where manifest and lock file have it.
OWN = {"Cargo.toml": r'^(\[workspace\.package\]\nversion = ")', "Cargo.lock": r'^(name = "pullmap[^"]*"\nversion = ")'}


class Stopped(Exception):
    """Why nothing can be said."""


class Copy:
    """A copy of the tree in target/NAME."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.folder = PROJECT / "target" / name

    def renamed(self, file: str, text: str) -> str:
        """A manifest or lock file with another version for the project's own packages.

        Cargo tells packages of a workspace apart by name, version and place in the workspace, which are those of the project: one
        would take what was built of the other for its own.
        """
        if file not in OWN:
            return text
        text, count = re.subn(OWN[file] + r'([^"]+)"', rf'\1\2-{self.name}"', text, flags=re.MULTILINE)
        if count == 0:
            raise Stopped(f"{file}: no version to change")
        return text

    def write(self, change: Callable[[str, str], str]) -> set[str]:
        """What is under version control, and what is about to be: `change` gives the text of a source or manifest from its name and
        its text. A file that has not changed is left as it is. Returns the names of all files.
        """
        listed = subprocess.run(
            ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z"],
            cwd=PROJECT, check=True, capture_output=True,
        )
        names = {name for name in listed.stdout.decode().split("\0") if name and (PROJECT / name).is_file()}
        for name in names:
            content = (PROJECT / name).read_bytes()
            if name.endswith((".rs", "Cargo.toml", "Cargo.lock")):
                content = self.renamed(name, change(name, content.decode())).encode()
            target = self.folder / name
            if not target.is_file() or target.read_bytes() != content:
                target.parent.mkdir(parents=True, exist_ok=True)
                target.write_bytes(content)
        for path in [p for p in self.folder.rglob("*") if p.is_file() and p.relative_to(self.folder).as_posix() not in names]:
            path.unlink()
        return names

    def cargo(self, *words: str) -> str:
        """What cargo prints; libraries are taken from the project's own build."""
        done = subprocess.run(
            ["cargo", *words], cwd=self.folder, env={**os.environ, "CARGO_TARGET_DIR": str(PROJECT / "target")},
            capture_output=True, text=True,
        )
        if done.returncode != 0:
            raise Stopped(f"the copy cannot be built:\n{done.stderr[-4000:]}")
        return done.stdout
