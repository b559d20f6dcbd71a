"""The Bay screen."""
