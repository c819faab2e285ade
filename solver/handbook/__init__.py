"""Figures and formulas from handbooks and papers, each with its source: numbers in, numbers out. Knows no case.

Start at `alloys`, `beams` and `sections` for metal, `wear` and `magnets` for retention, `teeth` and `arch_curve` for
where a tooth stands, `mucosa` for what bears a bite.
"""
