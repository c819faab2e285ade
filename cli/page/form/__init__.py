"""The form of the page: fields, entries, what an edit does to the file."""
