"""One module per command: load, call the library once, print, return a code."""
