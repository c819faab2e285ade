"""The sheets that are passed around: case report, work order and patient page, one content for HTML and PDF."""
