"""Uncertainty of any model: spreads of inputs, samples, summaries, indices, fits to readings.

Terms and symbols are those of JCGM 100 (the GUM) and JCGM 101. Nothing here knows a machine: a
model is a function of many rows at once, inputs in, outputs out.
"""
