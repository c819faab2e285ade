"""Fuzzing: readers in one process with coverage as the guide, commands as processes. See `python -m tests.fuzz`."""
