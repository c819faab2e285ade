"""What a person can get wrong in a file: each mistake with its place, what is wrong, and what to write instead."""

from __future__ import annotations

from pathlib import Path

import pytest

from cli.exit import BAD_INPUT
from tests.cli.ran import CASE, Run

FDI = (
    "write its FDI number: the quadrant (1 upper right, 2 upper left, 3 lower left, 4 lower right), "
    "then its place from the midline, e.g. `43`"
)
WIDTH = "width_mm: 1.8}\n  B"
A_WIDTH = "case.yaml:8:54: segments.A.width_mm: "
RATE = "case.yaml:13:60: money.chair_per_hour: "
SAYS_THREE = "write `1.8`, `1.8 +- 0.1` or `unknown`"
CASE_KEYS = (
    "case, about, invented, arch, opposing, room, supports, segments, ends, bar, denture, bite, patient, allowed, "
    "money, wanted, severity, mix, locale"
)
FOUR = "supports:\n  i44: {tooth: 44}\n  i42: {tooth: 42}\n  i32: {tooth: 32}\n  i34: {tooth: 34}\nsegments:\n"

WRONG = {
    # Type
    "list for a figure": (WIDTH, "width_mm: [1.8]}\n  B", A_WIDTH + f"expected a number, got [1.8]; {SAYS_THREE}"),
    "true for a figure": (WIDTH, "width_mm: true}\n  B", A_WIDTH + f"expected a number, got true; {SAYS_THREE}"),
    "nothing for a figure": (WIDTH, "width_mm: }\n  B", A_WIDTH + f"expected a number, got null; {SAYS_THREE}"),
    "word for a figure": (WIDTH, "width_mm: thin}\n  B", A_WIDTH + f"expected a number, got 'thin'; {SAYS_THREE}"),
    "number in quotes": (
        "hour: 100", "hour: '100'", RATE + "expected a number, got '100'; write `100` without quotes"),
    "list for entries": (
        "room: {room_mm: 12, breadth_mm: 9}", "room: [12]",
        "case.yaml:12:7: room: expected `key: value` lines, got [12]; indent its entries under the key"),
    "number for text": ("case: test", "case: 12", "case.yaml:1:7: case: expected text, got 12; put it in quotes"),
    "maybe for yes": (
        "money:", "allowed: {weld: maybe}\nmoney:",
        "case.yaml:13:17: allowed.weld: expected true or false, got 'maybe'; write `true` or `false`"),
    "word for a tooth": (
        "tooth: 43", "tooth: canine",
        "case.yaml:4:16: supports.i43.tooth: expected the number of a tooth, got 'canine'; " + FDI),
    "tooth with a letter": (
        "tooth: 43", "tooth: 22R",
        "case.yaml:4:16: supports.i43.tooth: expected the number of a tooth, got '22R'; " + FDI),
    "tooth in quotes": (
        "tooth: 43", "tooth: '43'",
        "case.yaml:4:16: supports.i43.tooth: expected the number of a tooth, got '43'; write `43` without quotes"),
    "tooth with a point": (
        "tooth: 43", "tooth: 4.3",
        "case.yaml:4:16: supports.i43.tooth: expected a whole number, got 4.3; write it without quotes and point"),
    "saddle with a letter": (
        "money:", "denture: {left: UL6}\nmoney:",
        "case.yaml:13:17: denture.left: expected the number of a tooth, got 'UL6'; " + FDI),
    "saddle of three coordinates": (
        "money:", "denture: {left: [1, 2, 3]}\nmoney:",
        "case.yaml:13:17: denture.left: expected at most 2 in the list, got [1, 2, 3]"),
    # Unit and size
    "unit with the figure": (
        WIDTH, "width_mm: 1.8 mm}\n  B",
        A_WIDTH + "expected a number, got '1.8 mm'; write the number without its unit: `1.8`"),
    "another unit": (
        WIDTH, "width_mm: 18}\n  B", A_WIDTH + "18 is no bar width, which is 0.3 to 12 mm; check the unit"),
    "negative figure": (
        WIDTH, "width_mm: -1.8}\n  B",
        A_WIDTH + "-1.8 is no bar width, which is 0.3 to 12 mm; check the unit"),
    "negative error": (
        WIDTH, "width_mm: 1.8 +- -0.1}\n  B",
        A_WIDTH + "the error of '1.8 +- -0.1' is negative; write `1.8 +- 0.1`"),
    "decimal comma": (
        WIDTH, "width_mm: '1,8'}\n  B",
        A_WIDTH + "expected a number, got '1,8'; write `1.8`, or `1.8 +- 0.1` with its error"),
    "negative length": (
        "length_mm: 8", "length_mm: -8",
        "case.yaml:11:27: ends.L.length_mm: expected more than 0, got -8; check the unit"),
    "length beyond any mouth": (
        "length_mm: 8", "length_mm: 80",
        "case.yaml:11:27: ends.L.length_mm: expected at most 40, got 80; check the unit"),
    "not a number": (
        WIDTH, "width_mm: .nan}\n  B",
        A_WIDTH + "expected a finite number; write the measured value or `unknown`"),
    "a rate that is no number": (
        "hour: 100", "hour: .nan", RATE + "expected a finite number, got NaN; write the measured value"),
    "a rate without end": (
        "hour: 100", "hour: .inf", RATE + "expected a finite number, got Infinity; write the measured value"),
    # Names
    "support that is not there": (
        "between: [i43, i41]", "between: [i44, i41]",
        "case.yaml:8:17: segments.A.between.0: no support is called 'i44'; did you mean `i43`?"),
    "support unlike any": (
        "on: i33", "on: zz", "case.yaml:11:11: ends.L.on: no support is called 'zz'; known: i43, i41, i33"),
    "site that is not there": (
        "money:", "mix: {Q: ball-ring}\nmoney:",
        "case.yaml:13:10: mix.Q: no site is called 'Q'; known: A, B, L, i43, i41, i33"),
    "key twice": (
        "  B: {", "  A: {", "case.yaml:9:3: `A` stands twice here (first in line 8); remove one of them"),
    "name of two things": (
        "  L: {", "  A: {", "case.yaml:11:6: ends.A: `A` is also in `segments`; give every site its own name"),
    "name with a blank": (
        "  i43:", "  i 43:",
        "case.yaml:4:9: supports.i 43: 'i 43' cannot stand here; "
        "write a letter, then letters, digits, `-` or `_`, 20 at most"),
    "key with a slip": (
        WIDTH, "widht_mm: 1.8}\n  B",
        "case.yaml:8:44: segments.A.widht_mm: `widht_mm` is not known here; did you mean `width_mm`?"),
    "key unlike any": (
        "arch: lower", "arch: lower\nzzz: 1", f"case.yaml:3:1: zzz: `zzz` is not known here; known: {CASE_KEYS}"),
    "key that is missing": (
        "arch: lower\n", "", "case.yaml:1:1: arch: `arch` is missing; add it (`regrip schema` lists the keys)"),
    "word with a slip": (
        "round, width_mm: 1.8}\n  B", "rond, width_mm: 1.8}\n  B",
        "case.yaml:8:37: segments.A.section: 'rond' is not one of round, ovoid, parallel, keyhole, unknown; "
        "did you mean `round`?"),
    # Geometry
    "segments that cross": (
        CASE[CASE.index("supports:"):CASE.index("room:")],
        FOUR + "  A: {between: [i44, i32]}\n  B: {between: [i42, i34]}\n",
        "case.yaml:10:6: segments.B: crosses segment `A`; check `between` and the positions"),
    "segment from a support to itself": (
        "between: [i43, i41]", "between: [i43, i43]",
        "case.yaml:8:16: segments.A.between: runs from a support to itself; name two supports"),
    "segment with one support": (
        "between: [i43, i41]", "between: [i43]",
        'case.yaml:8:16: segments.A.between: expected more values, got ["i43"]; write them all, in brackets'),
    "supports in one place": (
        "tooth: 41", "tooth: 43",
        "case.yaml:5:8: supports.i41: stands in the same place as `i43`; check the positions\n"
        "case.yaml:9:6: segments.B: crosses segment `A`; check `between` and the positions"),
    "tooth of the other jaw": (
        "tooth: 43", "tooth: 23",
        "case.yaml:4:16: supports.i43.tooth: 23 is not in the lower jaw; lower teeth are 31 to 48"
        " by FDI; if 23 is a Universal number, write `32` (lower left lateral incisor)"),
    "tooth that nobody has": (
        "tooth: 43", "tooth: 39",
        "case.yaml:4:16: supports.i43.tooth: 39 is no FDI tooth; lower teeth are 31 to 48"),
    "support without a place": (
        "{tooth: 43}", "{}",
        "case.yaml:4:8: supports.i43: a support has one position; give `tooth: 43` or `at_mm: [x, y, z]`"),
    # Money
    "currency that is none": (
        "EUR", "QQQ", "case.yaml:13:19: money.currency: 'QQQ' is no currency of ISO 4217 in use; e.g. EUR"),
    "currency in words": (
        "EUR", "euro",
        "case.yaml:13:19: money.currency: 'euro' cannot stand here; "
        "write the three capitals of ISO 4217, such as EUR"),
    "currency without a rate": (
        "EUR", "USD",
        "case.yaml:13:19: money.currency: prices are in EUR and the case is in USD; "
        "give `exchange`: USD for one EUR"),
    "cap in half cents": (
        "hour: 100", "hour: 100, cap: 9.995", "case.yaml:13:70: money.cap: EUR has 2 decimals; write 9.99"),
    # YAML
    "tab": (
        "  i41: {tooth", "\ti41: {tooth", "case.yaml:5:1: a tab stands where YAML wants spaces; indent with spaces"),
    "two colons": (
        "case: test", "case: a: b",
        "case.yaml:1:8: is not YAML: mapping values are not allowed in this context; "
        "check the indentation and the quotes"),
    "alias": (
        "case: test", "case: &a test\nabout: *a",
        "case.yaml:1:7: anchors (`&`) and aliases (`*`) are not used here; write the value out, or quote the text"),
    "second document": (
        "money:", "---\nmoney:",
        "case.yaml:13:1: starts a second document (`---`); keep one document in a file"),
}  # fmt: skip


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


@pytest.mark.parametrize(("right", "wrong", "message"), WRONG.values(), ids=WRONG)
def test_a_slip_in_a_case(run: Run, right: str, wrong: str, message: str) -> None:
    assert right in CASE
    Path("case.yaml").write_text(CASE.replace(right, wrong, 1))

    assert (BAD_INPUT, "", message + "\n") == run("plan", "case.yaml")


def test_every_slip_is_told_at_once_in_order_of_line(run: Run) -> None:
    Path("case.yaml").write_text(CASE.replace("tooth: 43", "tooth: x").replace("length_mm: 8", "length_mm: 0"))

    assert [
        "case.yaml:4:16: supports.i43.tooth: expected the number of a tooth, got 'x'; " + FDI,
        "case.yaml:11:27: ends.L.length_mm: expected more than 0, got 0; check the unit",
    ] == run("plan", "case.yaml").err.splitlines()


BOMB = "a: &a [x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"{new}: &{new} [{', '.join([f'*{old}'] * 9)}]\n" for old, new in zip("abcdefgh", "bcdefghi", strict=True)
)
FILES = {
    "10 MB": (
        b"# " + b"x" * 10_000_000,
        "case.yaml:1:1: is larger than 1,000,000 bytes; a case or catalogue file is far smaller"),
    "aliases that multiply": (
        BOMB.encode(),
        "case.yaml:1:4: anchors (`&`) and aliases (`*`) are not used here; write the value out, or quote the text"),
    "nested without end": (b"[" * 60, "case.yaml:1:42: is nested more than 40 levels deep"),
    "not UTF-8": ("case: \u00e9\n".encode("latin-1"), "case.yaml:1:1: is not UTF-8 text; save the file as UTF-8"),
    "a bare list": (b"- a\n- b\n", "case.yaml:1:1: expected `key: value` lines; see `regrip schema case`"),
    "a bare word": (b"hello\n", "case.yaml:1:1: expected `key: value` lines; see `regrip schema case`"),
}  # fmt: skip


@pytest.mark.parametrize(("content", "message"), FILES.values(), ids=FILES)
def test_a_file_that_is_no_case(run: Run, content: bytes, message: str) -> None:
    Path("case.yaml").write_bytes(content)

    assert (BAD_INPUT, "", message + "\n") == run("plan", "case.yaml")


def test_a_case_that_is_hardly_begun_lacks_every_other_key(run: Run) -> None:
    Path("case.yaml").write_text("about: nothing yet")

    lines = run("plan", "case.yaml").err.splitlines()

    advice = "is missing; add it (`regrip schema` lists the keys)"
    assert [f"case.yaml:1:1: {k}: `{k}` {advice}" for k in ("arch", "case", "money", "supports")] == lines


def test_files_that_cannot_be_read(run: Run) -> None:
    Path("folder").mkdir()
    Path("dangling.yaml").symlink_to("gone.yaml")

    assert "folder:1:1: is a folder; name the YAML file in it\n" == run("plan", "folder").err
    assert "dangling.yaml:1:1: cannot be read: no such file or directory\n" == run("plan", "dangling.yaml").err
    assert "none.yaml:1:1: cannot be read: no such file or directory\n" == run("plan", "none.yaml").err
    assert BAD_INPUT == run("plan", "none.yaml").code


OVERLAYS = {
    "a source that is not there": (
        "attachments: {ball-ring: {price: {low: 1, high: 2, source: shop}}}",
        "our.yaml:1:60: attachments.ball-ring.price.source: no source is called 'shop'; add it under `sources`"),
    "a step that is not there": (
        "attachments: {ball-ring: {steps: [polish]}}",
        "our.yaml:1:35: attachments.ball-ring.steps.0: no rework is called 'polish'; add it under `reworks`"),
    "everything taken out": (
        "attachments: {clip-spring: null, ball-ring: null, stud-thread: null}",
        "our.yaml:1:14: attachments: the catalogue holds no attachment; add at least one"),
    "a band upside down": (
        "attachments: {ball-ring: {price: {low: 90}}}",
        "our.yaml:1:34: attachments.ball-ring.price: high is below low: 30 < 90"),
    "a list": ("- a", "our.yaml:1:1: expected `key: value` lines; start with `attachments:`"),
}  # fmt: skip


@pytest.mark.parametrize(("overlay", "message"), OVERLAYS.values(), ids=OVERLAYS)
def test_a_slip_in_a_catalogue(run: Run, overlay: str, message: str) -> None:
    Path("case.yaml").write_text(CASE)
    Path("our.yaml").write_text(overlay)

    assert (BAD_INPUT, "", message + "\n") == run("plan", "case.yaml", "--catalogue", "our.yaml")
    assert (BAD_INPUT, "", message + "\n") == run("catalogue", "check", "our.yaml")


def test_an_id_that_ends_like_a_count(run: Run) -> None:
    Path("our.yaml").write_text("attachments: {ballx2: {name: x}}")

    first, *_ = run("catalogue", "check", "our.yaml").err.splitlines()

    assert "our.yaml:1:23: attachments.ballx2: 'ballx2' would read as 2 of 'ball'; let it end in another way" == first
