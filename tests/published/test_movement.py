"""What no level of movement is, beyond the table of checks."""

from __future__ import annotations

import pytest

from solver.mechanics.freedom import Level


@pytest.mark.parametrize("number", [1, 5])
def test_there_is_no_level_1_and_no_5(number: int) -> None:
    """Misch, overdenture chapters (memory)."""
    with pytest.raises(ValueError, match="not a valid Level"):
        Level(number)
