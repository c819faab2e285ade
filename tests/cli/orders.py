"""A case, a stock and suppliers to order for. Every figure is invented."""

from __future__ import annotations

from pathlib import Path

from tests.cli.ran import CASE

CLIPS = CASE.replace("ends:\n  L: {on: i33, length_mm: 8, ball_mm: 2.2}\n", "")

STOCK = """\
# counted by hand
parts:
  clip-spring:  # top drawer
    reserve: 1
    lots:
      - {pieces: 1, expires: 2031-01-01}
      - {pieces: 3, expires: 2030-06-30}
      - {pieces: 5, expires: 2020-01-01}
"""
SUPPLIERS = """\
currency: EUR
suppliers:
  depot:
    name: The depot
    carriage: 9
    offers:
      - {part: clip-spring, pieces: 1, price: 24, up_to: 26}
      - {part: clip-spring, pieces: 4, price: 70, up_to: 80, breaks: [{packs: 2, price: 60, up_to: 70}]}
      - {part: gauge, price: 15}
kits:
  gauge: {name: Gauge for the arms, serves: [clip-spring]}
"""


def written(folder: Path, name: str, text: str) -> Path:
    path = folder / name
    path.write_text(text)
    return path
