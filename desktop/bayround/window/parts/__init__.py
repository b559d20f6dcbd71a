"""Shared parts of the screens."""
