"""A price list put into an overlay file: worked out first, written later and only if nothing changed in between."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from catalogue import load
from catalogue.difference import Difference, difference
from catalogue.load import load_catalogue
from catalogue.models import Catalogue
from catalogue.price_list import read_prices
from catalogue.reprice import overlay_of
from catalogue.yaml_text import parse_yaml, read_raw, read_text, text_of
from cli.exit import BadInput
from cli.files.catalogue_patch import patched
from cli.files.desk import write_whole
from cli.files.file_kinds import CATALOGUE, PRICES
from cli.files.reading import document_of, read_as, refuse_other
from solver.case.money import minor_digits


@dataclass(frozen=True, slots=True)
class Repriced:
    """An overlay file with new prices, not yet written. `old` is the text it had, None where there was no file."""

    target: Path
    old: str | None
    new: str
    catalogue: Catalogue
    found: Difference

    @property
    def is_overtaken(self) -> bool:
        """True where the file is no longer as it was read."""
        return _text(self.target) != self.old

    def write(self) -> None:
        """Write the file whole; raises `BadInput` where it is not as it was read, and `OSError`.

        To be called `alone` with the file, so that nothing comes between looking and writing.
        """
        if self.is_overtaken:
            raise BadInput(f"{self.target} was changed in the meantime", "run the command again to see what is new")
        write_whole(self.target.resolve(), self.new)


def repriced(prices: Path, overlays: Sequence[str], output: Path | None) -> Repriced:
    """The last of `overlays` with the prices of a CSV file; `output` names another file, or the first one.

    Raises `InputError`, and `BadInput` for a file that must not be written.
    """
    target, is_there = _target(overlays, output)
    lower = [read_as(CATALOGUE, path) for path in overlays[:-1]]
    name, raw = (overlays[-1], read_raw(overlays[-1])) if overlays else (str(target), b"")
    before = load_catalogue([*lower, document_of(CATALOGUE, raw, name)])
    refuse_other(PRICES, prices, "CSV")
    text = text_of(raw, name)
    quotes = read_prices(prices, before, minor_digits(before.currency))
    patch = overlay_of(before, quotes, f"price list {prices.name}")
    new = patched(text, patch, str(target)) if patch else text
    after = load_catalogue([*lower, parse_yaml(new, str(target))])
    old = text if is_there else None  # what was worked on, and not what stands there by now
    return Repriced(target, old, new, after, difference(before, after))


def _target(overlays: Sequence[str], output: Path | None) -> tuple[Path, bool]:
    """The file to write, and whether it is there: then it is the last of `overlays`."""
    if output is None and not overlays:
        raise BadInput("no file is named for the prices", "give `-o our.yaml`, or `--catalogue our.yaml`")
    target = Path(overlays[-1]) if output is None else output
    if target.resolve().is_relative_to(load.STARTER.resolve()):
        raise BadInput(f"{target} is part of the starter catalogue", "give `-o our.yaml`, a file of your own")
    is_there = target.exists()
    if is_there and not (overlays and target.samefile(overlays[-1])):
        raise BadInput(f"{target} exists already", f"give `--catalogue {target}` last to change it, or another name")
    return target, is_there


def _text(path: Path) -> str | None:
    return read_text(path) if path.exists() else None
