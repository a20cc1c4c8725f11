"""Says whether files of a crate use each other in a circle.

    python3 tests/circles.py

A file uses another when it names something that is defined there: by a `use`, or by a path that begins with crate, super or self.
What a folder's mod.rs or a lib.rs passes on by `pub use` counts as used from where it is defined; `mod` lines and tests do not count.
Crates cannot use each other in a circle: cargo refuses that.

Exit code 0 without circles, 1 with some, which are listed.
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

PROJECT = Path(__file__).resolve().parent.parent
CRATES = ["geometry", "solver", "study", "lab", "report", "viz", "explorer", "tests/reference"]
PATH = re.compile(r"\b(?:crate|super|self)(?:::\w+)+")


def code(text: str) -> str:
    """A file without comments, texts and its tests."""
    text = re.sub(r'//[^\n]*|"(?:[^"\\]|\\.)*"', "", text)
    return re.split(r"#\[cfg\(test\)\]\s*mod tests", text)[0]


def spread(tree: str) -> list[list[str]]:
    """The paths of a `use`, braces taken apart."""
    tree = tree.strip()
    opened = tree.find("{")
    if opened < 0:
        return [re.sub(r"\s+as\s+\w+$", "", tree).split("::")]
    before, inside = tree[:opened], tree[opened + 1 : tree.rindex("}")]
    parts, depth, start = [], 0, 0
    for i, letter in enumerate(inside + ","):
        depth += (letter == "{") - (letter == "}")
        if letter == "," and depth == 0:
            parts.append(inside[start:i])
            start = i + 1
    return [path for part in parts if part.strip() for path in spread(before + part.strip())]


class Crate:
    """The files of a crate by the paths of their modules."""

    def __init__(self, source: Path) -> None:
        self.files: dict[tuple[str, ...], Path] = {}
        for file in sorted(source.rglob("*.rs")):
            path = file.relative_to(source).with_suffix("").parts
            if path[-1] in ("mod", "lib"):
                path = path[:-1]
            if path[-1:] not in (("main",), ("tests",)) and "tests" not in path:
                self.files[tuple(path)] = file
        self.code = {module: code(file.read_text()) for module, file in self.files.items()}
        self.passed_on = {module: self.re_exports(module) for module in self.files}

    def absolute(self, module: tuple[str, ...], path: list[str]) -> list[str] | None:
        """A path from the root of the crate; none where it leads elsewhere."""
        at = list(module)
        for i, part in enumerate(path):
            if part == "crate":
                at = []
            elif part == "super":
                at = at[:-1]
            elif part == "self":
                pass
            elif i == 0:
                return [*module, *path] if (*module, part) in self.files else None
            else:
                return at + path[i:]
        return at

    def re_exports(self, module: tuple[str, ...]) -> dict[str, list[str]]:
        found = {}
        for tree in re.findall(r"\bpub(?:\([^)]*\))? use ([^;]+);", self.code[module]):
            for path in spread(tree):
                absolute = self.absolute(module, path)
                if absolute is not None:
                    found[path[-1]] = absolute
        return found

    def defines(self, path: list[str]) -> tuple[str, ...] | None:
        """The module that defines what a path names."""
        for _ in range(10):
            deepest = max((n for n in range(len(path) + 1) if tuple(path[:n]) in self.files), default=0)
            module, rest = tuple(path[:deepest]), path[deepest:]
            if not rest or rest[0] not in self.passed_on.get(module, {}):
                return module
            path = self.passed_on[module][rest[0]] + rest[1:]
        return None

    def uses(self, module: tuple[str, ...]) -> set[tuple[str, ...]]:
        text = re.sub(r"\bpub(?:\([^)]*\))? use [^;]+;", "", self.code[module])
        trees = re.findall(r"\buse ([^;]+);", text)
        paths = [path for tree in trees for path in spread(tree)]
        paths += [found.split("::") for found in PATH.findall(re.sub(r"\buse [^;]+;", "", text))]
        absolute = [self.absolute(module, path) for path in paths]
        return {d for path in absolute if path is not None and (d := self.defines(path)) not in (None, module)}


def circles(uses: dict[tuple[str, ...], set[tuple[str, ...]]]) -> list[list[tuple[str, ...]]]:
    """Sets of modules each of which leads to every other."""

    def reached(start: tuple[str, ...]) -> set[tuple[str, ...]]:
        seen, todo = set(), [start]
        while todo:
            for other in uses.get(todo.pop(), ()):
                if other not in seen:
                    seen.add(other)
                    todo.append(other)
        return seen

    reach = {module: reached(module) for module in uses}
    found = []
    for module in uses:
        circle = sorted(m for m in reach[module] if module in reach[m])
        if circle and circle not in found:
            found.append(circle)
    return found


def main() -> int:
    count = 0
    for name in CRATES:
        crate = Crate(PROJECT / name / "src")
        uses = {module: crate.uses(module) for module in crate.files}
        for circle in circles(uses):
            count += 1
            print(f"{name}: " + ", ".join("::".join(m) or "the root" for m in circle))
            for module in circle:
                others = ["::".join(m) or "the root" for m in sorted(uses[module]) if m in circle]
                print(f"    {'::'.join(module) or 'the root'} uses {', '.join(others)}")
    print(f"{count} circles in {len(CRATES)} crates")
    return 1 if count else 0


if __name__ == "__main__":
    sys.exit(main())
