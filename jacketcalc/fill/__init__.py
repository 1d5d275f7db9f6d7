"""A receiver filled from cold: many cycles stepped over at once.

`storage` says what walls store, `machine_step` solves the machine at the end of a step of time,
`receiver` balances the receiver, `march` steps both by the rule in `rule` until the target, and
`compare` sets the machine with jackets beside the one without.
"""
