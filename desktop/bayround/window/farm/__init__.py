"""The Farm screen."""
