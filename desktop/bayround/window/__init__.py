"""The only Qt in the program: one folder a screen, shared parts beside them."""
