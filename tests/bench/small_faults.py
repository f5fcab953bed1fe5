"""Put small faults into the rooms, one at a time, and list those that the tests let pass.

    .venv/bin/python tests/bench/small_faults.py --count 100

Each fault is one operator, comparison, number or choice of `min` or `max` changed in a copy of
the tree; the tests of its module, and if these let it pass, those of its room and
`tests/reference`, then run on that copy. What passes is either a gap in the tests or no fault at
all (the same thing said in another way): read it.
"""

from __future__ import annotations

import argparse
import ast
import os
import random
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from queue import Queue

ROOT = Path(__file__).parents[2]
ROOMS = ("description", "lettering", "layout", "stencil", "drawing")
#: Longer than the tests of any room take, seconds: a fault that never ends is noticed.
LONGEST = 600.0

_OPERATORS = {
    "**": "*",
    "+": "-",
    "-": "+",
    "*": "/",
    "/": "*",
    "//": "*",
    "%": "+",
    "|": "&",
    "&": "|",
}
_COMPARISONS = {"<": ">", ">": "<", "<=": ">", ">=": "<", "==": "!=", "!=": "==", "is": "is not",
                "is not": "is", "in": "not in", "not in": "in"}  # fmt: skip
_WORDS = {"and": "or", "or": "and"}
_NAMES = {"min": "max", "max": "min", "True": "False", "False": "True"}
#: What says how a record is made, or guards against a slip of ours: nothing comes out otherwise.
_OF_THE_MAKING = {"frozen", "slots", "strict", "repr"}


@dataclass(frozen=True, slots=True)
class Fault:
    """A stretch of a file, from one offset to another, and what is to stand there instead."""

    file: Path
    line: int
    begin: int
    end: int
    instead: str
    before: str

    @property
    def room(self) -> str:
        return self.file.relative_to(ROOT / "legend").parts[0]

    def __str__(self) -> str:
        where = f"{self.file.relative_to(ROOT)}:{self.line}"
        return f"{where}: {self.before.strip()!r} became {self.instead.strip()!r}"


def faults_of(file: Path) -> Iterator[Fault]:
    """Every small fault that could be put into a file."""
    text = file.read_text(encoding="utf-8")
    begins = [0]
    for line in text.splitlines(keepends=True):
        begins.append(begins[-1] + len(line.encode()))
    code = text.encode()

    def at(line: int, column: int) -> int:
        return begins[line - 1] + column

    def between(one: ast.expr, other: ast.expr) -> tuple[int, int]:
        """The offsets of what stands between two parts of an expression."""
        assert one.end_lineno and one.end_col_offset is not None
        return at(one.end_lineno, one.end_col_offset), at(other.lineno, other.col_offset)

    def exchanged(one: ast.expr, other: ast.expr, table: dict[str, str]) -> Iterator[Fault]:
        begin, end = between(one, other)
        stretch = code[begin:end].decode()
        for word in sorted(table, key=len, reverse=True):
            if word in stretch and "#" not in stretch:
                yield Fault(
                    file, one.lineno, begin, end, stretch.replace(word, table[word], 1), stretch
                )
                return

    for node in ast.walk(_without_what_no_test_can_notice(ast.parse(text))):
        if isinstance(node, ast.BinOp):
            yield from exchanged(node.left, node.right, _OPERATORS)
        elif isinstance(node, ast.Compare):
            yield from exchanged(node.left, node.comparators[0], _COMPARISONS)
        elif isinstance(node, ast.BoolOp):
            yield from exchanged(node.values[0], node.values[1], _WORDS)
        elif isinstance(node, ast.Name | ast.Constant):
            word = node.id if isinstance(node, ast.Name) else repr(node.value)
            begin = at(node.lineno, node.col_offset)
            end = begin + len(word.encode())
            if word in _NAMES and code[begin:end].decode() == word:
                yield Fault(file, node.lineno, begin, end, _NAMES[word], word)


def _without_what_no_test_can_notice(tree: ast.AST) -> ast.AST:
    """The tree without the types of things, and without what says how records are made."""
    for node in ast.walk(tree):
        if isinstance(node, ast.arg | ast.AnnAssign):
            node.annotation = ast.Constant(None, lineno=1, col_offset=0)
        elif isinstance(node, ast.FunctionDef):
            node.returns = None
        elif isinstance(node, ast.Call):
            node.keywords = [each for each in node.keywords if each.arg not in _OF_THE_MAKING]
    return tree


def passes(fault: Fault, tree: Path) -> bool:
    """Whether the tests of its room, and those against the outside world, let a fault pass."""
    file = tree / fault.file.relative_to(ROOT)
    sound = file.read_bytes()
    file.write_bytes(sound[: fault.begin] + fault.instead.encode() + sound[fault.end :])
    try:
        # Those of the module first, because they mostly notice, and within seconds.
        of_module = (tree / "tests" / fault.room).rglob(f"test_{fault.file.stem}*.py")
        return all(_tests_pass(each, tree) for each in of_module) and _tests_pass_of(
            fault.room, tree
        )
    finally:
        file.write_bytes(sound)


def _tests_pass_of(room: str, tree: Path) -> bool:
    return _tests_pass(tree / "tests" / room, tree) and _tests_pass(tree / "tests/reference", tree)


def _tests_pass(tests: Path, tree: Path) -> bool:
    command = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", str(tests)]
    own = os.environ | {"PYTHONPATH": str(tree), "PYTHONDONTWRITEBYTECODE": "1"}
    try:
        done = subprocess.run(command, cwd=tree, env=own, capture_output=True, timeout=LONGEST)
    except subprocess.TimeoutExpired:
        return False
    return done.returncode == 0


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=40, help="how many faults")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--room", choices=ROOMS, action="append", help="only in this room")
    parser.add_argument("--jobs", type=int, default=2, help="so many at once")
    asked = parser.parse_args()
    rooms = asked.room or ROOMS
    possible = [
        fault
        for room in rooms
        for file in sorted((ROOT / "legend" / room).rglob("*.py"))
        for fault in faults_of(file)
    ]
    chosen = random.Random(asked.seed).sample(possible, min(asked.count, len(possible)))
    print(f"{len(chosen)} of {len(possible)} possible faults, seed {asked.seed}", flush=True)
    trees: Queue[Path] = Queue()
    with tempfile.TemporaryDirectory() as folder, ThreadPoolExecutor(asked.jobs) as pool:
        for number in range(asked.jobs):
            tree = Path(folder) / str(number)
            shutil.copytree(
                ROOT, tree, ignore=shutil.ignore_patterns(".venv", ".git", "build", "__pycache__")
            )
            trees.put(tree)
        for room in rooms:
            if not _tests_pass_of(room, tree):
                sys.exit(f"The tests of {room} fail without any fault; mend that first.")

        def tried(fault: Fault) -> bool:
            tree = trees.get()
            try:
                return passes(fault, tree)
            finally:
                trees.put(tree)

        passed = 0
        for number, (fault, lets_pass) in enumerate(
            zip(chosen, pool.map(tried, chosen), strict=True), 1
        ):
            passed += lets_pass
            print(f"{number:4} {'PASSES ' if lets_pass else 'noticed'} {fault}", flush=True)
    print(f"{passed} of {len(chosen)} passed: {100 * passed / len(chosen):.0f} %")


if __name__ == "__main__":
    main()
