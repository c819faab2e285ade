"""One section of a bar: its outline, its kind, its undercut, the gap under it, and how precisely each is known."""
