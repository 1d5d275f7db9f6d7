"""The compiled core and its border: machines in, running states out. See `c/` for the physics."""
