"""Bayround: weekly rounds of trellised fruiting vegetables, from the walk to the workbook."""

__version__ = "0.1.0"
