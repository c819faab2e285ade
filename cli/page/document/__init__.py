"""The open case of the page: undo, folder, recovery."""
