"""Rules about the shape of a story: refrain, waits, start and finish."""
