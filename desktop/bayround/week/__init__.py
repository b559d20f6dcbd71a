"""One week of the farm as one frozen value, built once and shown by every face alike."""
