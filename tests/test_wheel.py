"""What is installed: one import name, which works beside packages that are called as our folders are."""

from __future__ import annotations

import ast
import email
import json
import os
import re
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

import cli.api
import cli.public
from cli.build_hook import NAME, ROOMS, BareImport, lay_out, rewritten

ROOT = Path(__file__).parents[1]
EXAMPLES = ROOT / "docs" / "examples"


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The package as the wheel has it, beside three others that have our names and break whoever imports them."""
    place = tmp_path_factory.mktemp("installed")
    lay_out(ROOT, place)
    for room in ROOMS:
        (place / f"{room}.py").write_text(f"raise ImportError('this is another {room}')\n")
    return place


def python(place: Path, *arguments: str, given: str = "") -> subprocess.CompletedProcess[str]:
    """A Python that finds the installed package first, in an empty folder."""
    folder = place / "empty"
    folder.mkdir(exist_ok=True)
    environment = os.environ | {"PYTHONPATH": str(place), "COLUMNS": "80"}
    return subprocess.run(
        [sys.executable, *arguments],
        cwd=folder,
        env=environment,
        input=given,
        capture_output=True,
        text=True,
        check=False,
    )


def test_nothing_but_one_name_is_installed(installed: Path) -> None:
    assert {NAME, "empty"} | {f"{room}.py" for room in ROOMS} >= {path.name for path in installed.iterdir()}


def test_no_import_is_left_that_another_package_could_answer(installed: Path) -> None:
    for path in (installed / NAME).rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text())):
            names = [node.module or ""] if isinstance(node, ast.ImportFrom) and not node.level else []
            names += [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            assert not {name.partition(".")[0] for name in names} & set(ROOMS), path


def test_no_text_names_a_module_that_is_not_there(installed: Path) -> None:
    """`import_module("cli.x")` would find nothing, or another's."""
    dotted = re.compile(rf"(?!.*\.yaml)(?:{'|'.join(ROOMS)})(?:\.[a-z_]+)+")
    for path in (installed / NAME).rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                assert not dotted.fullmatch(node.value), (path, node.value)


COMMANDS = {
    "version": (["--version"], (0,)),
    "example": (["example"], (0,)),
    "plan": (["plan", "-", "--no-sensitivity"], (0, 1)),
    "catalogue": (["catalogue", "check"], (0,)),
    "batch in processes": (["batch", str(EXAMPLES / "over-budget.yaml"), "-o", "rows.csv", "--workers", "2"], (0, 1)),
    "report": (["report", "-", "-o", "sheet.html"], (0, 1)),
    "drawing": (["report", "-", "-o", "bar.svg"], (0, 1)),
}


@pytest.mark.parametrize(("words", "codes"), COMMANDS.values(), ids=COMMANDS)
def test_the_commands_work_beside_packages_of_our_names(
    words: list[str], codes: tuple[int, ...], installed: Path
) -> None:
    ran = python(installed, "-m", NAME, *words, given=(EXAMPLES / "over-budget.yaml").read_text())

    assert ran.returncode in codes, ran.stderr
    assert "another" not in ran.stderr


def test_the_page_finds_its_templates_and_examples(installed: Path) -> None:
    code = (
        "from regrip.cli.page.work.fragments import _place\n"
        "from regrip.cli.files.examples import cases, others\n"
        "print(len(_place().list_templates()) > 20, len(cases()), len(others()))"
    )

    assert (
        f"True {len([*EXAMPLES.glob('*.yaml')])} {len([*EXAMPLES.glob('*/*.yaml')])}\n"
        == python(installed, "-c", code).stdout
    )


PROGRAM = """
import json, sys, regrip
heavy = {"numpy", "ortools", "pydantic"} & set(sys.modules)
case = regrip.read_case(sys.stdin.read())
found = regrip.plan(case, time_limit_s=60)
print(json.dumps([sorted(heavy), found["status"], found["money"]["unit"], found["answer"]]))
"""


def test_a_program_imports_it(installed: Path) -> None:
    ran = python(installed, "-c", PROGRAM, given=(EXAMPLES / "over-budget.yaml").read_text())

    assert [[], "relaxed", "0.01 EUR", "plan"] == json.loads(ran.stdout or ran.stderr)


def test_the_face_names_what_the_interface_has() -> None:
    assert cli.api.__all__ == cli.public.__all__ == dir(cli.public)
    assert all(getattr(cli.public, name) is getattr(cli.api, name) for name in cli.public.__all__)
    with pytest.raises(AttributeError, match="module 'regrip' has no attribute 'solve'"):
        cli.public.solve  # noqa: B018 - that it is looked up is the point


REWRITES = {
    "from": ("from solver.case import reading\n", "from regrip.solver.case import reading\n"),
    "a whole room": ("from solver import case\n", "from regrip.solver import case\n"),
    "by another name": ("import catalogue.load as load\n", "import regrip.catalogue.load as load\n"),
    "inside a function": ("def f():\n    from cli import api\n", "def f():\n    from regrip.cli import api\n"),
    "two in a line": ("import os, cli.main as m\n", "import os, regrip.cli.main as m\n"),
    "behind a letter of two bytes": ("x = 'ö'; from cli import a\n", "x = 'ö'; from regrip.cli import a\n"),
    "another package": ("import climate\nfrom solverx import y\n", "import climate\nfrom solverx import y\n"),
    "in a text": ('"""from solver import x"""\n', '"""from solver import x"""\n'),
}


@pytest.mark.parametrize(("source", "expected"), REWRITES.values(), ids=REWRITES)
def test_an_import_is_rewritten(source: str, expected: str) -> None:
    assert expected == rewritten(source)


def test_an_import_that_binds_the_name_of_a_room_is_refused() -> None:
    with pytest.raises(BareImport, match=r"line 2: `import catalogue.load`; write `from ... import ...`"):
        rewritten("import os\nimport catalogue.load\n")


def test_the_wheel_has_it_all_and_says_what_it_is(tmp_path: Path) -> None:
    build = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(tmp_path)]
    subprocess.run(build, cwd=ROOT, check=True, capture_output=True)
    (wheel,) = tmp_path.glob("*.whl")
    with zipfile.ZipFile(wheel) as packed:
        names = packed.namelist()
        meta = next(name for name in names if name.endswith("METADATA"))
        told = email.message_from_bytes(packed.read(meta))
        entry = packed.read(meta.replace("METADATA", "entry_points.txt")).decode()

    assert {NAME, meta.partition("/")[0]} == {name.partition("/")[0] for name in names}
    assert {"regrip/py.typed", "regrip/catalogue/starter/clips.yaml", "regrip/cli/examples/bar-off.yaml"} <= {*names}
    assert not [name for name in names if "build_hook" in name or "__pycache__" in name]
    assert "regrip = regrip:main" in entry
    assert ("regrip", None) == (told["Name"], told["License"])  # the licence is the owner's to choose
    assert not {"scipy", "clarabel", "pytest", "hypothesis", "mypy", "playwright"} & {
        re.split(r"[ <>=!~\[]", line)[0] for line in told.get_all("Requires-Dist") or [] if "extra ==" not in line
    }
