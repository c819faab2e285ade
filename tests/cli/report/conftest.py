"""Sheets are made with the starter catalogue: their figures and sources are what people see."""

from __future__ import annotations

import pytest


@pytest.fixture(autouse=True)
def _small_catalogue() -> None:
    """Leave the starter catalogue in place."""
