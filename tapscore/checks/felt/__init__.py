"""Rules about what the board's model finds; run apart, as they need numpy and scipy."""
