"""Invented cases and the decision that practice expects of each; README.md says how to read them."""
