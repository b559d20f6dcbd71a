"""An invented farm: a readable story of one season (scenario.toml) and the generator that plays it."""
