"""The Week screen."""
