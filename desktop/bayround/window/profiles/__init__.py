"""The Crop numbers screen."""
