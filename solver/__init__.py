"""The trade decided: case, fit, movement, hold, choice, explanation. Pure functions; no printing."""
