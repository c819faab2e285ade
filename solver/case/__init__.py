"""The case file and what follows from it alone: schema, reading, positions, sites, rules, money.

`schema.Case` is what stands in a file and `reading.read_case` reads one; `sites.sites_of` lists where something can
be fitted; `rules` and `rule_set` say what a mix must keep; `provenance` and `origins` say where a fact stands.
"""
