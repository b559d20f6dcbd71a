"""The climate of a house: temperature, humidity and light, typed day by day."""
