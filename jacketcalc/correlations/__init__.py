"""Catalogue of correlations: formulas that carry their source, range and scatter.

Formulas of one regime stand in `friction`, `heat`, `cylinder`, `outside` and `moisture`; `laws`
joins those of a passage; `records` lists them all.
"""
