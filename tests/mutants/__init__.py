"""Small faults put into a module one at a time: does some test find each? `python -m tests.mutants MODULE`."""
