"""How the wheel is made of the tree: one import name, `regrip`, with the three packages inside it.

In the tree they stand side by side as `catalogue`, `solver` and `cli`, and import each other by these names. Beside
another package that is called so, an installed program could not own them: what is installed is `regrip.catalogue`,
`regrip.solver` and `regrip.cli`, with every import rewritten, and `cli/public.py` as the face of it all. The build
tool loads this file by its path (see `pyproject.toml`); it is no part of the program.
"""

from __future__ import annotations

import ast
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

NAME = "regrip"
ROOMS = ("catalogue", "solver", "cli")
FACE = Path("cli", "public.py")
LEFT_OUT = {FACE, Path("cli", "build_hook.py")}
EXAMPLES = Path("docs", "examples")
MAIN = f"from {NAME} import main\n\nmain()\n"


class BareImport(ValueError):
    """`import catalogue.load` binds the name `catalogue`, which the installed program has not got."""

    def __init__(self, line: int, what: str) -> None:
        super().__init__(line, what)
        self.line, self.what = line, what

    def __str__(self) -> str:
        return f"line {self.line}: `import {self.what}`; write `from ... import ...`, or `import ... as ...`"


def rewritten(source: str) -> str:
    """The source with every import from a room made one from inside `regrip`; raises `BareImport`.

    >>> rewritten("from solver.case import reading\\nimport catalogue.load as load\\nimport click\\n")
    'from regrip.solver.case import reading\\nimport regrip.catalogue.load as load\\nimport click\\n'
    """
    lines = source.splitlines(keepends=True)
    for line, column in sorted(_places(ast.parse(source)), reverse=True):
        # Columns of a syntax tree count bytes.
        raw = lines[line - 1].encode()
        lines[line - 1] = (raw[:column] + f"{NAME}.".encode() + raw[column:]).decode()
    return "".join(lines)


def _places(tree: ast.Module) -> Iterator[tuple[int, int]]:
    """Line and column of every name of a room in an import."""
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.level == 0 and _is_room(node.module or ""):
            yield node.lineno, node.col_offset + len("from ")
        elif isinstance(node, ast.Import):
            for alias in node.names:
                if _is_room(alias.name):
                    if alias.asname is None:
                        raise BareImport(node.lineno, alias.name)
                    yield alias.lineno, alias.col_offset


def _is_room(module: str) -> bool:
    return module.partition(".")[0] in ROOMS


def lay_out(root: Path, into: Path) -> None:
    """Write the package as it is installed into a folder; raises `BareImport` and `OSError`."""
    for room in ROOMS:
        for path in sorted((root / room).rglob("*")):
            inside = path.relative_to(root)
            if path.is_file() and "__pycache__" not in inside.parts and inside not in LEFT_OUT:
                _put(path, into / NAME / inside)
    _put(root / FACE, into / NAME / "__init__.py")
    (into / NAME / "__main__.py").write_text(MAIN, encoding="utf-8")
    (into / NAME / "py.typed").touch()
    shutil.copytree(root / EXAMPLES, into / NAME / "cli" / "examples")


def _put(path: Path, where: Path) -> None:
    where.parent.mkdir(parents=True, exist_ok=True)
    if path.suffix == ".py":
        where.write_text(rewritten(path.read_text(encoding="utf-8")), encoding="utf-8")
    else:
        shutil.copyfile(path, where)


class OneName(BuildHookInterface):  # type: ignore[type-arg]
    """Lays the package out before the wheel is packed; an editable install gets the face alone, beside the tree."""

    PLUGIN_NAME = "custom"

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Called by the build tool; `version` is `standard` or `editable`."""
        root = Path(self.root)
        if version == "editable":
            build_data["force_include_editable"] = {str(root / FACE): f"{NAME}.py"}
            return
        self._laid_out = Path(tempfile.mkdtemp(prefix=f"{NAME}-wheel-"))
        lay_out(root, self._laid_out)
        build_data["force_include"][str(self._laid_out / NAME)] = NAME

    def finalize(self, version: str, build_data: dict[str, Any], artifact_path: str) -> None:
        """Called when the wheel is packed."""
        if version != "editable":
            shutil.rmtree(self._laid_out)
