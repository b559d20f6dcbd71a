"""The Trials screen."""
