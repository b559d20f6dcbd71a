"""The house check: a short look at the parts of a house."""
