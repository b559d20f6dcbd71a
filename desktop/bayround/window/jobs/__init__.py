"""The Jobs screen."""
