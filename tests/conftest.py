"""Settings for all tests."""

from __future__ import annotations

import os

from hypothesis import settings

# Nor must a catalogue of whoever runs them lie over the one that the tests speak of; processes inherit it.
os.environ["REGRIP_CATALOGUE"] = ""

# A busy machine must not fail a test: no example is held to a time. The suite asks the same examples every time, so
# that a change and not the dice turns it red; `make fuzz` throws new ones, many more.
settings.register_profile("same", deadline=None, derandomize=True)
settings.register_profile("search", deadline=None, max_examples=2000)
settings.load_profile("same")
