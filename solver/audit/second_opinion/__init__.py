"""The decision made a second time by other means, to be compared with the plan.

python-constraint enumerates every mix, scipy's linprog judges each; no cut, no bound, no search for an optimum. Of
regrip it takes only what a case and a catalogue say (their models) and where a tooth stands on the arch; an
import-linter contract holds it to that. Rules of the trade are written here once more, without looking.
"""
