"""Why: what must give (`waivers`), why nothing fits (`proof`), why not this part (`comparison`, `needs`).

`algorithms` holds minimal conflicts and hitting sets, which know nothing of dentures.
"""
