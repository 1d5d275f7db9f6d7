"""Hypothesis draws the same examples in every run: what fails, fails again.

`pytest --hypothesis-profile=default` draws others.
"""

from hypothesis import settings

settings.register_profile("repeatable", derandomize=True, database=None, deadline=None)
settings.load_profile("repeatable")
