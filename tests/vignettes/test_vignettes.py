"""Every vignette against its answer; every expectation against the cases and the catalogue that it speaks of."""

from __future__ import annotations

from fnmatch import fnmatchcase

import pytest

from cli.files.desk import open_desk
from cli.files.reading import catalogue_of
from tests.vignettes.answers import differs
from tests.vignettes.expectation import EXPECTED, FOLDER, case_path
from tests.vignettes.known import KNOWN

OUR_OWN = 26
"""Least number of vignettes beside the first nine."""
GLOBS = sorted({glob for wanted in EXPECTED.values() for glob in wanted.globs()})


def xfail(reason: str) -> pytest.MarkDecorator:
    return pytest.mark.xfail(strict=True, raises=AssertionError, reason=reason)


def marked(names: list[str], known: dict[str, str]) -> list[object]:
    return [pytest.param(name, marks=xfail(known[name]) if name in known else ()) for name in names]


@pytest.mark.parametrize("name", marked(list(EXPECTED), dict(KNOWN)))
def test_the_plan_is_what_practice_expects(name: str) -> None:
    assert differs(name, EXPECTED[name]) == ()


def test_every_case_has_its_expectation_and_every_expectation_its_case() -> None:
    assert sorted(EXPECTED) == sorted(path.stem for path in FOLDER.glob("[0-9]*.yaml"))
    assert len([name for name in EXPECTED if name > "3"]) >= OUR_OWN


def test_a_known_difference_names_a_vignette() -> None:
    assert set(KNOWN) <= set(EXPECTED)


@pytest.mark.parametrize("name", EXPECTED)
def test_a_case_is_invented_and_has_every_site_that_is_spoken_of(name: str) -> None:
    case = open_desk(str(case_path(name))).case

    assert case.invented
    assert set(EXPECTED[name].sites()) <= set(case.site_ids)


@pytest.mark.parametrize("glob", GLOBS)
def test_a_glob_names_something_that_can_be_bought(glob: str) -> None:
    assert any(fnmatchcase(name, glob) for name in catalogue_of().attachments)
