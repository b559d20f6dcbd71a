"""The Picks screen."""
