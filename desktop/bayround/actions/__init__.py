"""One function for each thing a person can do; window and command line call the same ones."""
