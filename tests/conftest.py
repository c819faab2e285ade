"""Settings for all tests."""

from __future__ import annotations

from hypothesis import settings

# A busy machine must not fail a test: no example is held to a time.
settings.register_profile("regrip", deadline=None)
settings.load_profile("regrip")
