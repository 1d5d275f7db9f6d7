"""Figures and drawings made from a case and its assessment; the only place that draws."""
