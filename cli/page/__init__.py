"""The local page: the case file opened, edited field by field, and answered while one types."""
