"""Checks every answer by other means; shares no code with what it checks.

`certificate.verify` proves that an answer follows from case and catalogue; `second_opinion` decides anew, by trying.
"""
