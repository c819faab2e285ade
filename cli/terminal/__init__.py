"""Tables and screens of the terminal; the sentences that other faces use too stand in `cli.wording`."""
