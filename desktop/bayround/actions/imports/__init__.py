"""Bring files in: look first (new, changed, the same, doubtful, refused), then all of it or nothing; take it back."""
