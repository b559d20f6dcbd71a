"""The Treatments screen."""
