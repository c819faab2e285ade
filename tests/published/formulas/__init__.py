"""Formulas that published checks hold and nothing that runs calls."""
