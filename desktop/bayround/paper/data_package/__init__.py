"""The data package: a whole farm as CSV tables with a description (Frictionless Data Package 2.0)."""
