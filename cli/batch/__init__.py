"""Thousands of cases planned: rows in a journal that survives anything, engines that fill it, results made of it."""
