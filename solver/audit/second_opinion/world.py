"""What is decided."""

from __future__ import annotations

from typing import NamedTuple

from catalogue.models import Catalogue
from solver.case.schema import Case


class World(NamedTuple):
    """A case and the catalogue it is planned from."""

    case: Case
    catalogue: Catalogue
