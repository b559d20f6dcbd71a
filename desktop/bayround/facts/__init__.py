"""What was seen and set up, as frozen values. No clock, no database, no screen."""
