"""The Visit screen."""
