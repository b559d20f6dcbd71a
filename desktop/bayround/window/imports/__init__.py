"""Bringing files in: the preview, and the list of imports."""
