"""What regrip foretells, against what was measured on casts and in mouths: every line on pulls and hands."""
