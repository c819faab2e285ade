"""What can go on one site, need by need, and at what price.

`bench.fit` judges every attachment of a catalogue at every site of a case; a `candidate.Candidate` is one that may be
used there, `needs.judge` the verdict on one need, `proposal.read_put` a part that a person puts by hand.
"""
