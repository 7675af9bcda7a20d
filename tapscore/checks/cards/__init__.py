"""Rules about the printed cards."""
