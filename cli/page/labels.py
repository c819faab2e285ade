"""Names of the fields that are no measured quantity, and of the words that one chooses from."""

from __future__ import annotations

from collections.abc import Mapping

LABELS: Mapping[str, str] = {
    "case": "Title",
    "about": "The story in a sentence",
    "arch": "Jaw",
    "opposing": "Bites on",
    "locale": "Figures written as in",
    "place": "Where it stands",
    "diameter_mm": "Diameter of the collar",
    "ends.length_mm": "Length of the free end",
    "tilt_towards": "Leans towards",
    "top_mm": "height above the ridge",
    "at_mm": "Place of the ball",
    "left": "Left saddle ends at",
    "right": "Right saddle ends at",
    "front": "Front of the teeth at",
    "settling_mm": "settling of the mucosa",
    "acrylic_mm": "Least acrylic",
    "tooth_mm": "Least height of a tooth",
    "force_n": "bite force",
    "reference": "Your own reference",
    "hand": "Strength of the hand",
    "scans_expected": "Magnetic scans expected",
    "sensitivities": "Sensitive to metals",
    "bruxism": "Grinds",
    "send_out": "Work may be sent out",
    "weld": "The bar may be welded to",
    "cut_bar": "The bar may be cut",
    "bar_off": "The bar may come off",
    "new_bar": "A new bar may be made",
    "currency": "Currency",
    "cap": "Most that it may cost",
    "bench_per_hour": "An hour at the bench",
    "chair_per_hour": "An hour at the chair",
    "exchange": "Exchange",
    "years": "Years to count",
    "hold_n": "Least hold",
    "most_n": "Most that the hand can pull",
    "insertions_per_day": "Put in, times a day",
    "pull_n.centre": "Least pull at the middle",
    "pull_n.left": "Least pull at the left end",
    "pull_n.right": "Least pull at the right end",
    "pull_n.front": "Least pull at the front",
    "movement.whole": "Share of whole settling",
    "movement.front": "Share of front bite",
    "movement.left": "Share of left bite",
    "movement.right": "Share of right bite",
}

HINTS: Mapping[str, str] = {
    "place": "FDI tooth such as 43, or x y z in mm (x to the patient's left, y forwards, z up)",
    "at_mm": "x y z in mm, only where the ball is off the line of the bar",
    "left": "FDI tooth, or x y in mm; empty: first molar",
    "right": "FDI tooth, or x y in mm; empty: first molar",
    "front": "FDI tooth, or x y in mm; empty: between the first incisors",
    "sensitivities": "for instance nickel, cobalt",
    "currency": "three capitals of ISO 4217",
    "tilt_towards": "degrees: 0 forwards, 90 to the patient's left; empty: not known",
    "ends.length_mm": "centre of the support to the ball",
    "locale": "language and country, for instance de_DE; empty: English",
    "movement": "0 to 1; empty: all of it",
    "pull_n": "pulled straight up; empty: not asked",
}

WORDS: Mapping[str, str] = {
    "unknown": "don't know",
    "keyhole": "keyhole-shaped",
    "parallel": "parallel-sided",
    "denture": "a denture",
    "natural": "natural teeth",
    "cobalt-chromium": "cobalt-chromium",
    "titanium-alloy": "titanium alloy",
    "documented": "documented: parts can be ordered",
}

UNITS: Mapping[str, str] = {"_mm": "mm", "_deg": "degrees", "_n": "N", "_towards": "degrees", "_day": "times"}
