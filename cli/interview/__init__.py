"""Questions at a terminal or from a pipe, filling a draft case."""
