"""A copy of the tree with changes in it, kept in target/, and what cargo makes of it from the project's own build."""

from __future__ import annotations

import os
import re
import subprocess
from collections.abc import Callable
from pathlib import Path

PROJECT = Path(__file__).resolve().parent.parent

# Where a package has its version: in its manifest, which takes that of the workspace, and in the lock file.
IN_MANIFEST = r"^version\.workspace = true$"
IN_LOCK = r'^(name = "NAME"\nversion = ")[^"]+"'


class Stopped(Exception):
    """Why nothing can be said."""


def version() -> str:
    """The version of the project's own packages."""
    found = re.search(r'^\[workspace\.package\]\nversion = "([^"]+)"', (PROJECT / "Cargo.toml").read_text(), flags=re.MULTILINE)
    if not found:
        raise Stopped("Cargo.toml: no version of the workspace")
    return found.group(1)


def replaced(pattern: str, by: str, text: str, file: str) -> str:
    text, count = re.subn(pattern, by, text, flags=re.MULTILINE)
    if count != 1:
        raise Stopped(f"{file}: {count} versions to change")
    return text


class Copy:
    """A copy of the tree in target/NAME.

    Cargo tells packages of a workspace apart by name, version and place in the workspace. A package of which something has changed
    has another version in the copy, so that neither is taken for the other. A package that is as it was stands for that of the
    project: with the same times on its files, so that what was built of one serves the other.
    """

    def __init__(self, name: str) -> None:
        self.name = name
        self.folder = PROJECT / "target" / name

    def renamed(self, texts: dict[str, str], packages: set[str]) -> dict[str, str]:
        """The manifests of the packages in some folders, and the lock file, with another version for them."""
        texts = dict(texts)
        other = f"{version()}-{self.name}"
        for folder in packages:
            manifest = f"{folder}/Cargo.toml"
            texts[manifest] = replaced(IN_MANIFEST, f'version = "{other}"', texts[manifest], manifest)
            name = re.search(r'^name = "([^"]+)"', texts[manifest], flags=re.MULTILINE)
            pattern = IN_LOCK.replace("NAME", name.group(1) if name else "")
            texts["Cargo.lock"] = replaced(pattern, rf'\g<1>{other}"', texts["Cargo.lock"], "Cargo.lock")
        return texts

    def write(self, change: Callable[[str, str], str]) -> set[str]:
        """What is under version control, and what is about to be: `change` gives the text of a source or manifest from its name and
        its text. A file that is there already is left as it is. Returns the names of all files.
        """
        listed = subprocess.run(
            ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z"],
            cwd=PROJECT, check=True, capture_output=True,
        )
        names = {name for name in listed.stdout.decode().split("\0") if name and (PROJECT / name).is_file()}
        texts, changed = {}, set()
        for name in names:
            if name.endswith((".rs", "Cargo.toml", "Cargo.lock")):
                text = (PROJECT / name).read_text()
                texts[name] = change(name, text)
                changed |= {name} if texts[name] != text else set()
        folders = {name.removesuffix("/Cargo.toml") for name in names if name.endswith("/Cargo.toml")}

        def package(name: str) -> str | None:
            """The folder of the package that a file belongs to."""
            above = [folder for folder in folders if name.startswith(f"{folder}/")]
            return max(above, key=len, default=None)

        others = {package(name) for name in changed} - {None}
        texts = self.renamed(texts, others)
        for name in names:
            source, target = PROJECT / name, self.folder / name
            content = texts[name].encode() if name in texts else source.read_bytes()
            if not target.is_file() or target.read_bytes() != content:
                target.parent.mkdir(parents=True, exist_ok=True)
                target.write_bytes(content)
            if package(name) not in others:
                was = source.stat()
                os.utime(target, ns=(was.st_atime_ns, was.st_mtime_ns))
        for path in [p for p in self.folder.rglob("*") if p.is_file() and p.relative_to(self.folder).as_posix() not in names]:
            path.unlink()
        return names

    def cargo(self, *words: str) -> str:
        """What cargo prints; libraries, and packages that are as they were, are taken from the project's own build."""
        done = subprocess.run(
            ["cargo", *words], cwd=self.folder, env={**os.environ, "CARGO_TARGET_DIR": str(PROJECT / "target")},
            capture_output=True, text=True,
        )
        if done.returncode != 0:
            raise Stopped(f"the copy cannot be built:\n{done.stderr[-4000:]}")
        return done.stdout
